//! What follows from the record by law and arithmetic alone, with no draws: readings against their limits.

use super::readings::{ReadingFinding, readings};
use crate::car::{Buyer, CarRecord};
use crate::trade::Tables;
use jiff::civil::Date;

/// Findings of one car.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Findings {
    /// Readings that count, with their verdicts.
    pub readings: Vec<ReadingFinding>,
}

/// Finds them.
#[must_use]
pub fn findings(car: &CarRecord, tables: &Tables, buyer: &Buyer, today: Date) -> Findings {
    Findings {
        readings: readings(car, tables, buyer, today),
    }
}
