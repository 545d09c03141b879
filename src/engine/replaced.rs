//! Wearing parts whose replacement is known: proved new, or admitted to be old.
//!
//! What cars like it brought carries ordinary wear of unknown history already, so only the difference from that is reckoned: a credit for
//! a part proved new, a charge for one known to be old.

use super::wear::{fails_ahead, fails_known_age, survival};
use crate::car::{CarRecord, Known, Stamp};
use crate::trade::{Life, Tables};

/// Miles over which a part's chance to be bad now is compared with that of unknown history.
const NOW_MILES: f64 = 5_000.0;
/// Most that a known age moves the chance of being bad now, either way.
const MOST_TIMES: f64 = 6.0;

/// A part whose age is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownPart {
    /// Row in the faults table.
    pub row: usize,
    /// Miles on the part.
    pub miles: f64,
    /// Life of the part.
    pub life: Life,
    /// Place of the claim on file that says so.
    pub claim: usize,
}

/// Parts of known age: from claims that say when a part was new. In the car's favor it counts with a paper or better, against it at the
/// seller's word; a contradicted claim never counts. Of two claims on a part the later in the file counts.
#[must_use]
pub fn known_parts(car: &CarRecord, tables: &Tables) -> Vec<KnownPart> {
    let mut found: Vec<KnownPart> = Vec::new();
    let Some(odometer) = car.particulars.odometer_miles else {
        return found;
    };
    for (claim, told) in car.claims.iter().enumerate() {
        let proved = !told.pro || told.proof.is_some_and(|proof| proof >= Known::Paper);
        let Some(new) = (told.replaced.as_ref())
            .filter(|_| proved && told.stamp != Stamp::Contradicted)
            .filter(|new| new.at_miles.is_finite() && new.at_miles <= odometer)
        else {
            continue;
        };
        let row = tables.faults.iter().position(|row| row.id == new.part);
        let Some((row, life)) = row.and_then(|row| Some((row, tables.faults[row].life?))) else {
            continue;
        };
        found.retain(|part| part.row != row);
        found.push(KnownPart {
            row,
            miles: odometer - new.at_miles.max(0.0),
            life,
            claim,
        });
    }
    found.sort_by_key(|part| part.row);
    found
}

impl KnownPart {
    /// Chance that it fails on the way ahead, more than that of unknown history: under zero for a new part.
    #[must_use]
    pub fn fails_more(&self, odometer: f64, ahead: f64) -> f64 {
        fails_known_age(self.life, self.miles, ahead) - fails_ahead(self.life, odometer, ahead)
    }

    /// How many times likelier it is to be bad now than a part of unknown history.
    #[must_use]
    pub fn times(&self, odometer: f64) -> f64 {
        let unknown = fails_ahead(self.life, odometer, NOW_MILES);
        let known = fails_known_age(self.life, self.miles, NOW_MILES);
        if unknown > 0.0 {
            (known / unknown).clamp(1.0 / MOST_TIMES, MOST_TIMES)
        } else {
            1.0
        }
    }

    /// The same for the part new on the day of sale: what a renewed part has ahead of it.
    #[must_use]
    pub fn fails_new(&self, ahead: f64) -> f64 {
        1.0 - survival(self.life, ahead)
    }
}
