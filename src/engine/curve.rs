//! A sum of unsure amounts that move together, as one curve of equally likely steps.
//!
//! The lines of one bill (parts, oil, a machine shop's fee) are bought in one place on one day: they share one luck, so the bill's
//! quantile is the sum of its lines' quantiles. A draw takes one of 256 equally likely steps; each is the mean of its stretch, so the
//! mean of the draws is exact and their spread short by about one part in ten thousand.

use super::figures::Spread;
use super::pert::QuantileTable;
use crate::car::ThreePoint;

/// Equally likely steps of a curve: one for each value of eight bits of luck.
pub const STEPS: usize = 256;

/// Amounts by luck, rising.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    steps: Box<[f64; STEPS]>,
    mean: f64,
}

impl Curve {
    /// A bill of lines, each a range and how many of it.
    #[must_use]
    pub fn of(lines: &[(ThreePoint, f64)], table: &QuantileTable) -> Self {
        let mut out = Self::of_nothing();
        for (range, times) in lines {
            table.add_steps(*range, *times, &mut out.steps);
        }
        // Folds start from zero: an empty sum of floats is minus zero.
        // Mean of a PERT-beta with lambda 4 (Malcolm et al. 1959, from memory): exact, so ranges of no width stay exact too.
        out.mean = lines.iter().fold(0.0, |sum, (range, times)| {
            sum + (range.low() + 4.0 * range.likely() + range.high()) / 6.0 * times
        });
        out
    }

    /// A curve from its quantile function, taken at the middle of each step.
    #[must_use]
    pub fn from_quantiles(quantile: impl Fn(f64) -> f64) -> Self {
        let mut steps = Box::new([0.0; STEPS]);
        for (at, step) in steps.iter_mut().enumerate() {
            *step = quantile(middle(at));
        }
        let mean = mean_of(&steps);
        Self { steps, mean }
    }

    /// No amount at all.
    #[must_use]
    pub fn of_nothing() -> Self {
        Self {
            steps: Box::new([0.0; STEPS]),
            mean: 0.0,
        }
    }

    /// The same curve, stretched to a mean.
    #[must_use]
    pub fn with_mean(mut self, mean: f64) -> Self {
        let times = if self.mean > 0.0 {
            mean / self.mean
        } else {
            1.0
        };
        for step in self.steps.iter_mut() {
            *step *= times;
        }
        self.mean *= times;
        self
    }

    /// The amount at eight bits of luck.
    #[must_use]
    #[inline]
    pub fn at(&self, luck: u8) -> f64 {
        self.steps[usize::from(luck)]
    }

    /// Least and greatest amount that a draw can take.
    #[must_use]
    pub fn ends(&self) -> (f64, f64) {
        (self.steps[0], self.steps[STEPS - 1])
    }

    /// The amount under which the share `luck` of the draws lies, read straight between the middles of the steps.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 to 255"
    )]
    pub fn quantile(&self, luck: f64) -> f64 {
        let place = (luck * STEPS as f64 - 0.5).clamp(0.0, (STEPS - 1) as f64);
        let below = (place as usize).min(STEPS - 2);
        let (lower, upper) = (self.steps[below], self.steps[below + 1]);
        lower + (upper - lower) * (place - below as f64)
    }

    /// Exact mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Standard deviation of the steps.
    #[must_use]
    pub fn sd(&self) -> f64 {
        let center = mean_of(&self.steps);
        let squares = self.steps.map(|step| (step - center).powi(2));
        mean_of(&squares).sqrt()
    }
}

/// Amounts that move together, each so many times, as one unsure figure; its standard deviation is that of a sum in step.
#[must_use]
pub fn spread_of(parts: &[(&Curve, f64)]) -> Spread {
    let sum = |of: &dyn Fn(&Curve) -> f64| {
        // Starting from zero: an empty sum of floats is minus zero.
        (parts.iter()).fold(0.0, |sum, (curve, times)| sum + of(curve) * times)
    };
    Spread {
        mean: sum(&Curve::mean),
        sd: sum(&Curve::sd),
        p10: sum(&|curve| curve.quantile(0.1)),
        p20: sum(&|curve| curve.quantile(0.2)),
        p30: sum(&|curve| curve.quantile(0.3)),
        p50: sum(&|curve| curve.quantile(0.5)),
        p80: sum(&|curve| curve.quantile(0.8)),
        p90: sum(&|curve| curve.quantile(0.9)),
    }
}

#[expect(clippy::cast_precision_loss, reason = "256")]
fn mean_of(steps: &[f64; STEPS]) -> f64 {
    steps.iter().sum::<f64>() / STEPS as f64
}

/// Middle of a step, 0 to 1.
#[expect(clippy::cast_precision_loss, reason = "0 to 255")]
pub(crate) fn middle(at: usize) -> f64 {
    (at as f64 + 0.5) / STEPS as f64
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::engine::pert::{CLASSIC_LAMBDA, Pert};

    #[test]
    fn the_steps_have_the_mean_of_the_range_and_nearly_its_spread() {
        let table = QuantileTable::default();
        for (low, likely, high) in [
            (80.0, 120.0, 300.0),
            (10.0, 10.0, 90.0),
            (5.0, 60.0, 61.0),
            (40.0, 40.0, 40.0),
        ] {
            let range = ThreePoint::new(low, likely, high).unwrap();
            let curve = Curve::of(&[(range, 2.0)], &table);
            let exact = Pert::new(range, CLASSIC_LAMBDA);
            assert!((mean_of(&curve.steps) - 2.0 * exact.mean()).abs() < 1e-9 * high);
            assert!((curve.mean() - 2.0 * exact.mean()).abs() < 1e-9 * high);
            assert!((curve.sd() - 2.0 * exact.sd()).abs() < 4e-3 * exact.sd() + 1e-9);
            for share in [0.1, 0.2, 0.5, 0.9] {
                let wanted = 2.0 * exact.quantile(share);
                assert!((curve.quantile(share) - wanted).abs() < 0.004 * (high - low) + 1e-9);
            }
            assert!(curve.steps.is_sorted());
        }
    }
}
