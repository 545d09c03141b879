//! A sum of unsure amounts that move together, as one quantile curve.
//!
//! The lines of one bill (parts, oil, a machine shop's fee) are bought in one place on one day: they share one luck, so the bill's
//! quantile is the sum of its lines' quantiles.

use super::pert::QuantileTable;
use crate::car::ThreePoint;

/// Points of the curve; between them it is read straight.
const POINTS: usize = 129;

/// Quantiles of a bill at even steps of luck.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    at: Vec<f64>,
    mean: f64,
}

impl Curve {
    /// A bill of lines, each a range and how many of it.
    #[must_use]
    pub fn of(lines: &[(ThreePoint, f64)], table: &QuantileTable) -> Self {
        let at = (0..POINTS)
            .map(|point| {
                #[expect(clippy::cast_precision_loss, reason = "a small count")]
                let luck = point as f64 / (POINTS - 1) as f64;
                lines.iter().map(|(range, times)| table.quantile(*range, luck) * times).sum()
            })
            .collect();
        // Mean of a PERT-beta with lambda 4 (Malcolm et al. 1959, from memory): exact, so ranges of no width stay exact too.
        let mean = lines
            .iter()
            .map(|(range, times)| (range.low() + 4.0 * range.likely() + range.high()) / 6.0 * times)
            .sum();
        Self { at, mean }
    }

    /// The amount at a luck inside 0 to 1.
    #[must_use]
    pub fn quantile(&self, luck: f64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let place = luck.clamp(0.0, 1.0) * (POINTS - 1) as f64;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped above")]
        let below = (place as usize).min(POINTS - 2);
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let share = place - below as f64;
        let (a, b) = (self.at[below], self.at[below + 1]);
        a + (b - a) * share
    }

    /// Exact mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }
}
