//! The chance of every answer of a check in each draw, in the order of the draws: for those who weigh the draws of several cars.

use super::says::{OnFile, Says};
use super::table::DrawTable;
use crate::engine::weighing::Weighing;

/// Answers still to come on one car.
pub(in crate::engine) struct Answers<'a> {
    weighing: &'a Weighing<'a>,
    table: DrawTable,
    on_file: OnFile,
}

impl<'a> Answers<'a> {
    pub(in crate::engine) fn of(weighing: &'a Weighing<'a>) -> Self {
        // All alike: they stay in their order.
        let alike = vec![0.0; weighing.columns.present.len()];
        Self {
            weighing,
            table: DrawTable::of(weighing, &alike),
            on_file: OnFile::of(weighing.car, weighing.knowledge.tables(), weighing),
        }
    }

    /// Chance of each level in every draw: rows of levels, by draw; `None` where the check says nothing of any draw.
    pub(in crate::engine) fn chances(&self, row: usize) -> Option<Vec<Vec<f64>>> {
        let says = Says::of(self.weighing, &self.on_file, row)?;
        self.table.columns(self.weighing, &says, row)
    }
}
