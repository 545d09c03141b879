//! The engine's front door: tables made ready once, then any number of cars.

use super::figures::{Appraisal, Comparison, Run};
use crate::car::{Buyer, CarRecord};
use crate::trade::Tables;

/// Tables with what is derived from them once.
#[derive(Debug, Clone)]
pub struct Knowledge {
    tables: Tables,
}

impl Knowledge {
    /// Makes tables ready: link strengths and quantiles are derived here, once.
    #[must_use]
    pub fn new(tables: Tables) -> Self {
        Self { tables }
    }

    /// The tables.
    #[must_use]
    pub fn tables(&self) -> &Tables {
        &self.tables
    }
}

/// Signatures of the two calls, kept by `Knowledge`.
pub type Appraise = fn(&Knowledge, &CarRecord, &Buyer, &Run) -> Appraisal;
/// The comparison call: slug, name and record of each car.
pub type Compare = fn(&Knowledge, &[(&str, &CarRecord)], &Buyer, &Run) -> Comparison;
