//! A sum of unsure amounts that move together, as one quantile curve.
//!
//! The lines of one bill (parts, oil, a machine shop's fee) are bought in one place on one day: they share one luck, so the bill's
//! quantile is the sum of its lines' quantiles.

use super::pert::{QuantileTable, UnitGrid};
use crate::car::ThreePoint;

/// Quantiles of a bill on the grid of the quantile table.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    at: Vec<f64>,
    mean: f64,
}

impl Curve {
    /// A bill of lines, each a range and how many of it.
    #[must_use]
    pub fn of(lines: &[(ThreePoint, f64)], table: &QuantileTable) -> Self {
        let mut at = vec![0.0; UnitGrid::LEN];
        for (range, times) in lines {
            table.add_to(*range, *times, &mut at);
        }
        // Folds start from zero: an empty sum of floats is minus zero.
        // Mean of a PERT-beta with lambda 4 (Malcolm et al. 1959, from memory): exact, so ranges of no width stay exact too.
        let mean = lines.iter().fold(0.0, |sum, (range, times)| {
            sum + (range.low() + 4.0 * range.likely() + range.high()) / 6.0 * times
        });
        Self { at, mean }
    }

    /// The amount at a luck inside 0 to 1; the last 1 in 8,192 at each end is held at its edge.
    #[must_use]
    pub fn quantile(&self, luck: f64) -> f64 {
        let least = UnitGrid::least();
        let (place, share) = UnitGrid::cell(luck.clamp(least, 1.0 - least));
        let lower = self.at.get(place).copied().unwrap_or_default();
        let upper = self.at.get(place + 1).copied().unwrap_or(lower);
        lower + (upper - lower) * share
    }

    /// Exact mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }
}
