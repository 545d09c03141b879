//! How far the car must go for its purpose, and what may leave it at the roadside on the way.

use super::wear::{fails_ahead, survival};
use crate::car::CarRecord;
use crate::trade::{PurposeRow, Tables};

/// How far the car must go, and what breaks on the way.
#[derive(Debug, Clone, Default)]
pub struct Journey {
    /// Miles on the road that it comes to.
    pub miles: f64,
    /// For each fault: strandings over the horizon while it is present.
    pub strands: Vec<f64>,
    /// For each fault whose part wears: log chance that the part of unknown history does not strand the car; 0 else.
    pub log_whole_unknown: Vec<f64>,
    /// The same for a part renewed now.
    pub log_whole_new: Vec<f64>,
}

/// Miles on the road that a purpose's horizon comes to; a mile in a race counts for several.
#[must_use]
pub fn horizon_miles(purpose: &PurposeRow, tables: &Tables) -> f64 {
    let pace = &tables.settings.pace;
    if purpose.race_hours > 0.0 {
        purpose.race_hours * pace.race_miles_an_hour * pace.race_hazard
    } else {
        purpose.horizon_miles
    }
}

impl Journey {
    /// A journey of no miles, where only costs are wanted.
    #[must_use]
    pub fn none(faults: usize) -> Self {
        Self {
            miles: 0.0,
            strands: vec![0.0; faults],
            log_whole_unknown: vec![0.0; faults],
            log_whole_new: vec![0.0; faults],
        }
    }

    /// The journey of a purpose for the faults that can be on this car (rows of the faults table).
    #[must_use]
    pub fn of(car: &CarRecord, purpose: &PurposeRow, tables: &Tables, faults: &[usize]) -> Self {
        let miles = horizon_miles(purpose, tables);
        let odometer = car
            .particulars
            .odometer_miles
            .unwrap_or(tables.settings.diagnosis.reference_miles);
        let mut out = Self {
            miles,
            ..Self::none(faults.len())
        };
        for (at, row) in faults.iter().enumerate() {
            let fault = &tables.faults[*row];
            out.strands[at] = fault.strands_per_1000_miles * miles / 1000.0;
            if let Some(life) = fault.life {
                let whole = |fails: f64| libm::log1p(-(fault.strand_share * fails).min(0.999));
                out.log_whole_unknown[at] = whole(fails_ahead(life, odometer, miles));
                out.log_whole_new[at] = whole(1.0 - survival(life, miles));
            }
        }
        out
    }
}
