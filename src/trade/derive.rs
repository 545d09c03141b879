//! Links between faults and signs, worked out once from the tables at the reference car.
//!
//! Knowledge comes in two forms. *Cause weights* say how often each fault is the cause when the symptom is there; they are turned
//! into link strengths c = K w / p with one scale K a sign, so that the weights come out again when the network is asked. *Hit
//! rates* say how often a check shows a fault that is there; they are links already. Strengths do not move with age or miles: the
//! priors do.

use super::rows::{Causes, Hits, SignRow, TestOf};
use super::settings::DiagnosisSettings;
use super::tables::Tables;

/// What one fault does to one sign.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultLink {
    /// Row in the faults table.
    pub fault: usize,
    /// Chance of each level, benign first, when this fault alone is present; sums to 1.
    pub levels: Vec<f64>,
}

/// A test of the cause of other signs.
#[derive(Debug, Clone, PartialEq)]
pub struct TestLinks {
    /// Rows in the signs table, in the order in which they are tried.
    pub signs: Vec<usize>,
    /// For faults (rows in the faults table, rising): chance of each outcome when it is the cause.
    pub rows: Vec<(usize, Vec<f64>)>,
    /// The same for any other cause.
    pub other: Vec<f64>,
}

impl TestLinks {
    /// Chance of an outcome when this fault is the cause; `None` is any cause that is no fault of the tables.
    #[must_use]
    pub fn chance(&self, fault: Option<usize>, outcome: usize) -> f64 {
        let row = fault
            .and_then(|row| self.rows.binary_search_by_key(&row, |named| named.0).ok())
            .and_then(|at| self.rows.get(at))
            .map_or(&self.other, |named| &named.1);
        row.get(outcome).copied().unwrap_or(0.0)
    }
}

/// All that is known of one sign.
#[derive(Debug, Clone, PartialEq)]
pub struct SignLinks {
    /// Chance of each level with no fault present, benign first; sums to 1.
    pub leak: Vec<f64>,
    /// Faults that show in it, rising by row.
    pub faults: Vec<FaultLink>,
    /// Scale K of its cause weights, where it has them.
    pub scale: Option<f64>,
    /// What it tells about the cause of other signs.
    pub test: Option<TestLinks>,
}

/// Links of all signs and hazards of all faults.
#[derive(Debug, Clone, PartialEq)]
pub struct DerivedLinks {
    /// By row of the faults table: hazard h with mean over care of 1 - exp(-h N) equal to the reference prior.
    pub hazards: Vec<f64>,
    /// By row of the signs table.
    pub signs: Vec<SignLinks>,
}

/// Works out all links. Ids that the faults or signs table does not hold are passed over; the check of the tables names them.
#[must_use]
pub fn links(tables: &Tables) -> DerivedLinks {
    let settings = &tables.settings.diagnosis;
    DerivedLinks {
        hazards: tables
            .faults
            .iter()
            .map(|row| hazard(row.prior, settings))
            .collect(),
        signs: tables
            .signs
            .iter()
            .map(|row| of_sign(row, tables))
            .collect(),
    }
}

/// Hazard at the reference car whose mean chance over the levels of care is the prior.
///
/// The mean is concave and rising in the hazard, so Newton's steps from below never overshoot.
fn hazard(prior: f64, settings: &DiagnosisSettings) -> f64 {
    let prior = prior.clamp(0.0, 1.0 - 1e-12);
    let total: f64 = settings.care_weights.iter().sum();
    let care = || settings.care_levels.iter().zip(settings.care_weights);
    let mean_level: f64 = care().map(|(level, weight)| level * weight / total).sum();
    if prior <= 0.0 || !mean_level.is_normal() {
        return 0.0;
    }
    let mut hazard = prior / mean_level;
    for _ in 0..200 {
        let (mut chance, mut slope) = (0.0, 0.0);
        for (level, weight) in care() {
            let share = weight / total;
            chance -= share * libm::expm1(-hazard * level);
            slope += share * level * libm::exp(-hazard * level);
        }
        let step = (prior - chance) / slope;
        hazard += step;
        if step.abs() <= 1e-15 * hazard {
            break;
        }
    }
    hazard
}

fn of_sign(row: &SignRow, tables: &Tables) -> SignLinks {
    let settings = &tables.settings.diagnosis;
    let mut found = SignLinks {
        leak: levels(0.0, &[], row.levels.len()),
        faults: Vec::new(),
        scale: None,
        test: None,
    };
    if let Some(causes) = &row.causes {
        from_causes(causes, row.levels.len(), tables, &mut found);
    }
    if let Some(hits) = &row.hits {
        from_hits(hits, row.levels.len(), tables, settings, &mut found);
    }
    found.faults.sort_by_key(|link| link.fault);
    found.test = row.test_of.as_ref().map(|test| of_test(test, tables));
    found
}

/// K = min(ceiling / max(w / p), the share of ordinary cars that show it, else the scale); c = K w / p; the leak is a share of K, greater where the list of causes is open.
fn from_causes(causes: &Causes, count: usize, tables: &Tables, found: &mut SignLinks) {
    let settings = &tables.settings.diagnosis;
    let ratios: Vec<(usize, f64)> = causes
        .weights
        .iter()
        .filter_map(|(id, weight)| {
            let fault = fault_row(tables, id)?;
            let prior = tables.faults.get(fault)?.prior;
            (prior > 0.0 && *weight > 0.0).then_some((fault, weight / prior))
        })
        .collect();
    let greatest = ratios.iter().map(|pair| pair.1).fold(0.0, f64::max);
    let most = causes.seen_in.unwrap_or(settings.cause_scale);
    let scale = if greatest > 0.0 {
        most.min(settings.cause_ceiling / greatest)
    } else {
        most
    };
    let leak_share = if causes.complete {
        settings.leak_complete
    } else {
        settings.leak_open
    };
    found.scale = Some(scale);
    found.leak = levels(leak_share * scale, &causes.level_shares, count);
    found.faults = ratios
        .into_iter()
        .map(|(fault, ratio)| FaultLink {
            fault,
            levels: levels(scale * ratio, &causes.level_shares, count),
        })
        .collect();
}

/// Hit rates as they stand; a false alarm over the greatest is scaled down to it.
fn from_hits(
    hits: &Hits,
    count: usize,
    tables: &Tables,
    settings: &DiagnosisSettings,
    found: &mut SignLinks,
) {
    let alarm: f64 = hits.false_alarm.iter().sum();
    found.leak = levels(
        alarm.min(settings.greatest_false_alarm),
        &hits.false_alarm,
        count,
    );
    for (id, rates) in &hits.rates {
        let Some(fault) = fault_row(tables, id) else {
            continue;
        };
        found.faults.retain(|link| link.fault != fault);
        found.faults.push(FaultLink {
            fault,
            levels: levels(rates.iter().sum(), rates, count),
        });
    }
}

fn of_test(test: &TestOf, tables: &Tables) -> TestLinks {
    let mut rows: Vec<(usize, Vec<f64>)> = test
        .rows
        .iter()
        .filter_map(|(id, row)| Some((fault_row(tables, id)?, row.clone())))
        .collect();
    rows.sort_by_key(|row| row.0);
    TestLinks {
        signs: test
            .signs
            .iter()
            .filter_map(|id| sign_row(tables, id))
            .collect(),
        rows,
        other: test.other.clone(),
    }
}

/// Spreads a chance over the levels above benign in proportion to the shares (all at level 1 without any); benign takes the rest.
fn levels(chance: f64, shares: &[f64], count: usize) -> Vec<f64> {
    let count = count.max(2);
    let chance = chance.clamp(0.0, 1.0);
    let mut spread = vec![0.0; count];
    let shares = shares.get(..shares.len().min(count - 1)).unwrap_or(&[]);
    let total: f64 = shares.iter().sum();
    spread[0] = 1.0 - chance;
    if total > 0.0 {
        for (level, share) in spread.iter_mut().skip(1).zip(shares) {
            *level = chance * share / total;
        }
    } else {
        spread[1] = chance;
    }
    spread
}

/// Row of a fault by id.
#[must_use]
pub fn fault_row(tables: &Tables, id: &str) -> Option<usize> {
    tables
        .faults
        .binary_search_by(|row| row.id.as_str().cmp(id))
        .ok()
}

/// Row of a sign by id.
#[must_use]
pub fn sign_row(tables: &Tables, id: &str) -> Option<usize> {
    tables
        .signs
        .binary_search_by(|row| row.id.as_str().cmp(id))
        .ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    fn settings() -> DiagnosisSettings {
        let all: super::super::settings::Settings =
            serde_json::from_str(include_str!("../../assets/trade/settings.json")).unwrap();
        all.diagnosis
    }

    #[test]
    fn the_mean_over_care_keeps_the_prior() {
        let settings = settings();
        for prior in [1e-6, 0.01, 0.2, 0.6, 0.97] {
            let hazard = hazard(prior, &settings);
            let mean: f64 = settings
                .care_levels
                .iter()
                .zip(settings.care_weights)
                .map(|(level, weight)| weight * (1.0 - (-hazard * level).exp()))
                .sum();
            assert!((mean - prior).abs() < 1e-14, "{prior}: {mean}");
        }
    }

    #[test]
    fn a_chance_spreads_over_levels_and_benign_takes_the_rest() {
        assert_eq!(levels(0.5, &[], 2), vec![0.5, 0.5]);
        assert_eq!(levels(0.5, &[0.25, 0.75], 3), vec![0.5, 0.125, 0.375]);
        assert_eq!(levels(0.0, &[], 4), vec![1.0, 0.0, 0.0, 0.0]);
    }
}
