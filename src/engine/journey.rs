//! How far the car must go for its purpose, and what may leave it at the roadside on the way.

use super::replaced::known_parts;
use super::wear::{fails_ahead, fails_known_age, survival};
use crate::car::CarRecord;
use crate::trade::{PurposeRow, Tables};

/// How far the car must go, and what breaks on the way.
#[derive(Debug, Clone, Default)]
pub struct Journey {
    /// Miles on the road that it comes to.
    pub miles: f64,
    /// For each fault: strandings over the horizon while it is present.
    pub strands: Vec<f64>,
    /// For each fault whose part wears: log chance that the part as it is, of unknown history or of known age, does not strand the car; 0
    /// else.
    pub log_whole_as_is: Vec<f64>,
    /// The same for a part renewed now.
    pub log_whole_new: Vec<f64>,
    /// Parts of known age: place of the fault, and how much likelier than one of unknown history it is to fail on the way.
    pub known_age: Vec<(usize, f64)>,
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
    /// A journey on which nothing strands the car.
    fn none(faults: usize) -> Self {
        Self {
            miles: 0.0,
            strands: vec![0.0; faults],
            log_whole_as_is: vec![0.0; faults],
            log_whole_new: vec![0.0; faults],
            known_age: Vec::new(),
        }
    }

    /// What parts of known age may cost on the way, and nothing else of the journey: for runs that only costs are wanted of.
    #[must_use]
    pub fn costs_of(
        car: &CarRecord,
        purpose: &PurposeRow,
        tables: &Tables,
        faults: &[usize],
    ) -> Self {
        let (miles, odometer) = (horizon_miles(purpose, tables), odometer(car, tables));
        let known_age = known_parts(car, tables).into_iter().filter_map(|part| {
            let at = faults.iter().position(|row| *row == part.row)?;
            Some((at, part.fails_more(odometer, miles)))
        });
        Self {
            miles,
            known_age: known_age.collect(),
            ..Self::none(faults.len())
        }
    }

    /// The journey of a purpose for the faults that can be on this car (rows of the faults table).
    #[must_use]
    pub fn of(car: &CarRecord, purpose: &PurposeRow, tables: &Tables, faults: &[usize]) -> Self {
        let mut out = Self::costs_of(car, purpose, tables, faults);
        let (miles, odometer) = (out.miles, odometer(car, tables));
        let known = known_parts(car, tables);
        for (at, row) in faults.iter().enumerate() {
            let fault = &tables.faults[*row];
            out.strands[at] = fault.strands_per_1000_miles * miles / 1000.0;
            if let Some(life) = fault.life {
                let whole = |fails: f64| libm::log1p(-(fault.strand_share * fails).min(0.999));
                let part = known.iter().find(|part| part.row == *row);
                let fails = part.map_or_else(
                    || fails_ahead(life, odometer, miles),
                    |part| fails_known_age(life, part.miles, miles),
                );
                out.log_whole_as_is[at] = whole(fails);
                out.log_whole_new[at] = whole(1.0 - survival(life, miles));
            }
        }
        out
    }
}

/// Miles on the car; of an ordinary one where they are not known.
fn odometer(car: &CarRecord, tables: &Tables) -> f64 {
    (car.particulars.odometer_miles).unwrap_or(tables.settings.diagnosis.reference_miles)
}
