//! What a seller holds back: things asked for that never came, checks refused on the spot. It tells how open they are, and with that what
//! their silence on the rest is worth.

use super::evidence::current;
use crate::car::{Asked, CarRecord};
use crate::trade::Tables;
use crate::trade::settings::DiagnosisSettings;
use std::collections::BTreeMap;

/// What came of everything the seller was asked for, and what it says of them.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldBack {
    /// Asked for from afar, and came.
    pub arrived: usize,
    /// Asked for from afar, and never came.
    pub missing: usize,
    /// Refused on the spot.
    pub refused: usize,
    /// Share of what they see that such a seller tells, before and after counting this alone.
    pub tells: (f64, f64),
}

impl HeldBack {
    /// Missing and refused.
    #[must_use]
    pub fn held(&self) -> usize {
        self.missing + self.refused
    }

    /// One sentence; empty where nothing was asked for.
    #[must_use]
    pub fn words(&self) -> String {
        let asked = self.arrived + self.held();
        if asked == 0 {
            return String::new();
        }
        let percent = |share: f64| format!("{:.0}%", share * 100.0);
        format!(
            "{} of {asked} things asked for were held back: such a seller tells {} of what they see, where others tell {}",
            self.held(),
            percent(self.tells.1),
            percent(self.tells.0)
        )
    }
}

/// What came of everything asked for.
#[must_use]
pub fn held_back(car: &CarRecord, tables: &Tables) -> HeldBack {
    let settings = &tables.settings.diagnosis;
    // Two ids of one check, of which the tables know the newer, are one thing asked for.
    let asked: BTreeMap<&str, Asked> = car
        .checks
        .iter()
        .filter_map(|(sign, check)| Some((current(tables, sign), check.asked?)))
        .collect();
    let count = |what: Asked| asked.values().filter(|one| **one == what).count();
    let mut found = HeldBack {
        arrived: count(Asked::Arrived),
        missing: count(Asked::Missing),
        refused: count(Asked::Refused),
        tells: (0.0, 0.0),
    };
    let told = |factors: [f64; 3]| {
        let weights = settings.openness_weights.iter().zip(factors);
        let weights: Vec<f64> = weights.map(|(weight, factor)| weight * factor).collect();
        let levels = settings.openness_levels.iter().zip(&weights);
        let sum: f64 = levels.map(|(level, weight)| level * weight).sum();
        sum / weights.iter().sum::<f64>().max(f64::MIN_POSITIVE)
    };
    found.tells = (told([1.0; 3]), told(factors(&found, settings)));
    found
}

/// Chance of what came and what did not, at each level of openness. Things asked of one person go together, so that many count as few.
pub(super) fn factors(found: &HeldBack, settings: &DiagnosisSettings) -> [f64; 3] {
    #[expect(clippy::cast_precision_loss, reason = "a count of checks")]
    let (held, came) = (found.held() as f64, found.arrived as f64);
    let all = held + came;
    if all <= 0.0 {
        return [1.0; 3];
    }
    let scale = settings.held_back.count_as_most.min(all) / all;
    settings
        .held_back
        .shares
        .map(|share| libm::pow(share, held * scale) * libm::pow(1.0 - share, came * scale))
}
