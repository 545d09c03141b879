//! What follows from the record by law and arithmetic alone, with no draws: readings against their limits, papers, codes, dangers waived.

use super::ordinary::not_seen;
use super::papers::{Papers, papers};
use super::readings::{ReadingFinding, readings};
use super::scan::{Scan, scan};
use super::walkaround::{WaivedGate, waived_gates};
use crate::car::{Buyer, CarRecord};
use crate::trade::Tables;
use jiff::civil::Date;

/// Findings of one car.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Findings {
    /// Readings that count, with their verdicts.
    pub readings: Vec<ReadingFinding>,
    /// What papers and plates say.
    pub papers: Papers,
    /// What the computer of the car tells of its memory.
    pub scan: Scan,
    /// Dangers waived in words.
    pub waived: Vec<WaivedGate>,
    /// Names of the checks of an ordinary visit that have no answer, or were not to be seen.
    pub not_seen: Vec<String>,
}

/// Finds them.
#[must_use]
pub fn findings(car: &CarRecord, tables: &Tables, buyer: &Buyer, today: Date) -> Findings {
    Findings {
        readings: readings(car, tables, buyer, today),
        papers: papers(car, tables, today),
        scan: scan(car, tables, today),
        waived: waived_gates(car, tables),
        not_seen: not_seen(car, tables)
            .into_iter()
            .map(|sign| sign.name.clone())
            .collect(),
    }
}
