//! A sum over every set of faults in every component, straight from the formulas and the rows of the tables.

use wrenchworth::car::{CarRecord, Pin};
use wrenchworth::trade::settings::DiagnosisSettings;
use wrenchworth::trade::{FaultRow, SignRow, Tables};

/// What is present, summed over every set of faults in every component, straight from the formulas and the rows of the tables.
pub struct Brute {
    pub evidence: f64,
    pub chances: Vec<f64>,
    pub care: [f64; 5],
    pub openness: [f64; 3],
}

/// Observed levels by sign row.
fn observed(car: &CarRecord, tables: &Tables) -> Vec<(usize, usize)> {
    car.observations
        .iter()
        .map(|one| {
            let wrenchworth::car::Answer::Level(level) = one.answer else {
                panic!("levels only")
            };
            let at = tables.signs.iter().position(|row| row.id == one.sign);
            (at.unwrap(), level)
        })
        .collect()
}

/// Chance of a level and of all under it, from a row of chances above benign.
fn under_at(rates: &[f64], level: usize) -> (f64, f64) {
    let benign = 1.0 - rates.iter().sum::<f64>();
    let at = |k: usize| {
        if k == 0 {
            benign
        } else {
            rates.get(k - 1).copied().unwrap_or(0.0)
        }
    };
    ((0..level).map(at).sum(), at(level))
}

fn test_factor(row: &SignRow, fault: Option<&str>, outcome: usize) -> f64 {
    let test = row.test_of.as_ref().unwrap();
    fault
        .and_then(|id| test.rows.get(id))
        .unwrap_or(&test.other)[outcome]
}

pub fn brute(car: &CarRecord, tables: &Tables) -> Brute {
    let settings = &tables.settings.diagnosis;
    let seen = observed(car, tables);
    let count = tables.faults.len();
    let admissions = car.observations.iter().filter(|one| one.admitted).count();
    let mean_openness: f64 = (settings
        .openness_levels
        .iter()
        .zip(settings.openness_weights))
    .map(|(level, weight)| level * weight)
    .sum();
    let is_test = |row: &SignRow| is_test_of_seen(row, &seen, tables);
    let mut found = Brute {
        evidence: 0.0,
        chances: vec![0.0; count],
        care: [0.0; 5],
        openness: [0.0; 3],
    };
    let nodes: Vec<Vec<(Option<usize>, f64, f64)>> = (seen.iter())
        .filter(|(at, level)| *level > 0 && !is_test(&tables.signs[*at]))
        .filter_map(|(at, level)| sources(&tables.signs[*at], *level, &seen, tables))
        .collect();
    let benign: f64 = (seen.iter())
        .filter(|(at, level)| *level == 0 && !is_test(&tables.signs[*at]))
        .filter_map(|(at, _)| tables.signs[*at].hits.as_ref())
        .map(|hits| under_at(&hits.false_alarm, 0).1)
        .product();
    for (n, care_weight) in settings.care_weights.iter().enumerate() {
        for (d, openness_weight) in settings.openness_weights.iter().enumerate() {
            let openness = settings.openness_levels[d];
            let mut component = care_weight * openness_weight * openness.powi(admissions as i32);
            if component == 0.0 {
                continue;
            }
            for (at, level) in &seen {
                if let Some(care) = tables.signs[*at].care.get(*level) {
                    component *= care[4 - n];
                }
            }
            let weights: Vec<(f64, f64)> = (tables.faults.iter())
                .map(|row| {
                    let p = chance_at(row.prior, settings.care_levels[n], settings);
                    let mut there = p * clear_of(row, &seen, tables);
                    if car.listing.whole_text_on_file && !told(row, car, tables) {
                        let v = row.owner_sees;
                        there *= (1.0 - openness * v) / (1.0 - mean_openness * v);
                    }
                    match car.pins.get(&row.id) {
                        Some(Pin::Certain) => (0.0, there),
                        Some(Pin::RuledOut) => (1.0 - p, 0.0),
                        None => (1.0 - p, there),
                    }
                })
                .collect();
            for set in 0..1_u32 << count {
                let present = |f: usize| set >> f & 1 == 1;
                let mut term = component * benign;
                for (f, (absent, there)) in weights.iter().enumerate() {
                    term *= if present(f) { there } else { absent };
                }
                if term == 0.0 {
                    continue;
                }
                for node in &nodes {
                    let (mut none, mut some) = (1.0, 0.0);
                    for (f, q, r) in node {
                        if f.is_none_or(present) {
                            some = some * (q + r) + none * r;
                            none *= q;
                        }
                    }
                    term *= some;
                }
                found.evidence += term;
                found.care[n] += term;
                found.openness[d] += term;
                for (f, chance) in found.chances.iter_mut().enumerate() {
                    *chance += if present(f) { term } else { 0.0 };
                }
            }
        }
    }
    let total = found.evidence;
    found.chances.iter_mut().for_each(|chance| *chance /= total);
    found.care.iter_mut().for_each(|share| *share /= total);
    found.openness.iter_mut().for_each(|share| *share /= total);
    found
}

fn is_test_of_seen(row: &SignRow, seen: &[(usize, usize)], tables: &Tables) -> bool {
    row.test_of.as_ref().is_some_and(|test| {
        let target = &test.signs[0];
        (seen.iter()).any(|(at, level)| *level > 0 && tables.signs[*at].id == *target)
    })
}

/// Leak (no fault) and faults of a sign at a level above benign: under it and at it, times the tests of each cause.
fn sources(
    sign: &SignRow,
    level: usize,
    seen: &[(usize, usize)],
    tables: &Tables,
) -> Option<Vec<(Option<usize>, f64, f64)>> {
    let hits = sign.hits.as_ref()?;
    let tests = |fault: Option<&str>| -> f64 {
        (seen.iter())
            .map(|(test, outcome)| (&tables.signs[*test], *outcome))
            .filter(|(test, _)| {
                test.test_of
                    .as_ref()
                    .is_some_and(|of| of.signs[0] == sign.id)
            })
            .map(|(test, outcome)| test_factor(test, fault, outcome))
            .product()
    };
    let (q, r) = under_at(&hits.false_alarm, level);
    let mut found = vec![(None, q, r * tests(None))];
    for (id, rates) in &hits.rates {
        let f = tables.faults.iter().position(|row| row.id == *id)?;
        let (q, r) = under_at(rates, level);
        found.push((Some(f), q, r * tests(Some(id))));
    }
    Some(found)
}

/// Benign answers within the hidden share.
fn clear_of(row: &FaultRow, seen: &[(usize, usize)], tables: &Tables) -> f64 {
    let mut clear = 1.0;
    for (at, level) in seen {
        let sign = &tables.signs[*at];
        if *level == 0 && !is_test_of_seen(sign, seen, tables) {
            let rates = sign.hits.as_ref().and_then(|hits| hits.rates.get(&row.id));
            clear *= 1.0 - rates.map_or(0.0, |rates| rates.iter().sum());
        }
    }
    let u = row.hidden_share.unwrap();
    u + (1.0 - u) * clear
}

/// The seller told a sign that this fault shows in.
fn told(row: &FaultRow, car: &CarRecord, tables: &Tables) -> bool {
    car.observations
        .iter()
        .filter(|one| one.admitted)
        .any(|one| {
            let sign = tables.signs.iter().find(|row| row.id == one.sign).unwrap();
            sign.hits.as_ref().unwrap().rates.contains_key(&row.id)
        })
}

/// Chance at a level of care: the hazard is found by bisection here, so that the two ways share nothing.
fn chance_at(prior: f64, level: f64, settings: &DiagnosisSettings) -> f64 {
    let mean = |h: f64| -> f64 {
        (settings.care_levels.iter().zip(settings.care_weights))
            .map(|(n, w)| -w * (-h * n).exp_m1())
            .sum()
    };
    let (mut low, mut high) = (0.0, 64.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if mean(middle) < prior {
            low = middle;
        } else {
            high = middle;
        }
    }
    -(-low * level).exp_m1()
}
