//! Three-point figures as distributions: PERT-beta with its exact variance, its quantiles, and a table of them for the draws.
//!
//! Shapes alpha = 1 + lambda (m - a)/(b - a), beta = 1 + lambda (b - m)/(b - a); lambda 4 keeps the classic mean (a + 4m + b)/6
//! (Malcolm, Roseboom, Clark & Fazar 1959; Vose 2000). The variance is that of the beta itself, not the classic ((b - a)/6)².

use super::beta::beta_quantile;
use super::curve::STEPS;
pub(crate) use super::grid::UnitGrid;
use crate::car::{RangeReading, ThreePoint};

/// How strongly the likely value weighs against the ends: 4 keeps the classic mean.
pub const CLASSIC_LAMBDA: f64 = 4.0;

/// A three-point figure as a PERT-beta distribution, in the unit of the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pert {
    range: ThreePoint,
    lambda: f64,
}

impl Pert {
    /// The distribution of a range whose ends are limits. A lambda under zero or broken counts as zero: uniform.
    #[must_use]
    pub fn new(range: ThreePoint, lambda: f64) -> Self {
        let lambda = if lambda.is_finite() {
            lambda.max(0.0)
        } else {
            0.0
        };
        Self { range, lambda }
    }

    /// The distribution of a user's range, its ends read as the user means them ([`limits_of`]).
    #[must_use]
    pub fn read_as(range: ThreePoint, reading: RangeReading, lambda: f64) -> Self {
        Self::new(limits_of(range, reading, lambda), lambda)
    }

    /// The limits and the likely value.
    #[must_use]
    pub fn range(&self) -> ThreePoint {
        self.range
    }

    /// Mean: (a + lambda m + b)/(lambda + 2).
    #[must_use]
    pub fn mean(&self) -> f64 {
        let ThreePointParts { low, width, shape } = parts(self.range);
        low + width * (1.0 + self.lambda * shape) / (self.lambda + 2.0)
    }

    /// Variance of the beta itself: (mean - a)(b - mean)/(lambda + 3).
    #[must_use]
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        (mean - self.range.low()) * (self.range.high() - mean) / (self.lambda + 3.0)
    }

    /// Standard deviation, from [`Pert::variance`].
    #[must_use]
    pub fn sd(&self) -> f64 {
        self.variance().max(0.0).sqrt()
    }

    /// The value under which the figure lies with chance `u`, exact; all of it at once when the ends meet.
    #[must_use]
    pub fn quantile(&self, u: f64) -> f64 {
        let ThreePointParts { low, width, shape } = parts(self.range);
        if width <= 0.0 {
            return low;
        }
        low + width * unit_quantile(shape, self.lambda, u)
    }
}

struct ThreePointParts {
    low: f64,
    width: f64,
    shape: f64,
}

/// Low end, width, and where the likely value lies between the ends, 0 to 1 (one half where the ends meet).
fn parts(range: ThreePoint) -> ThreePointParts {
    let width = range.high() - range.low();
    let shape = if width > 0.0 {
        ((range.likely() - range.low()) / width).clamp(0.0, 1.0)
    } else {
        0.5
    };
    ThreePointParts {
        low: range.low(),
        width,
        shape,
    }
}

/// Quantile of the unit range with its likely value at `shape`.
fn unit_quantile(shape: f64, lambda: f64, u: f64) -> f64 {
    beta_quantile(u, 1.0 + lambda * shape, 1.0 + lambda * (1.0 - shape))
}

/// The limits a, b that a user's low and high stand for; the likely value stays.
///
/// `Limits`: as written. `OneInTen`: a and b such that one in ten lies under the low and one in ten over the high. Only the place s of
/// the likely value between a and b is unknown: with q1(s), q9(s) the 10 % and 90 % points of the unit range, s solves
/// (m - low)/(high - low) = (s - q1)/(q9 - q1), whose right side rises from under 0 to over 1, so halving always finds it; then
/// b - a = (high - low)/(q9 - q1) and a = m - s (b - a). The lower limit can fall under zero: owners of money cut there.
#[must_use]
pub fn limits_of(range: ThreePoint, reading: RangeReading, lambda: f64) -> ThreePoint {
    let width = range.high() - range.low();
    if reading == RangeReading::Limits || width <= 0.0 {
        return range;
    }
    let wanted = (range.likely() - range.low()) / width;
    let ends = |shape: f64| {
        (
            unit_quantile(shape, lambda, 0.1),
            unit_quantile(shape, lambda, 0.9),
        )
    };
    let (mut under, mut over) = (0.0, 1.0);
    for _ in 0..52 {
        let shape = 0.5 * (under + over);
        let (q1, q9) = ends(shape);
        if (shape - q1) / (q9 - q1) < wanted {
            under = shape;
        } else {
            over = shape;
        }
    }
    let shape = 0.5 * (under + over);
    let (q1, q9) = ends(shape);
    let full = width / (q9 - q1);
    let low = range.likely() - shape * full;
    ThreePoint::new(low, range.likely(), low + full).unwrap_or(range)
}

/// Shapes tabulated, evenly from 0 to 1.
const SHAPES: usize = 33;
/// Cells of the sine-squared grid on which a row's distribution is summed.
const SUM_CELLS: usize = 256;

/// Quantiles of every PERT-beta of one lambda, for the draws: built once, passed on. A shape depends only on (m - a)/(b - a).
///
/// Within .002 of the range everywhere (measured: see the tests), rising with `u`; the last 1 in 8,192 at each end is reckoned exactly.
#[derive(Debug, Clone)]
pub struct QuantileTable {
    lambda: f64,
    /// Row after row, a shape each.
    rows: Vec<f64>,
    /// Row after row, a shape each: means of the equally likely steps of a curve.
    steps: Vec<f64>,
}

impl Default for QuantileTable {
    fn default() -> Self {
        Self::new(CLASSIC_LAMBDA)
    }
}

impl QuantileTable {
    /// The table of one lambda (0 to about 50).
    #[must_use]
    pub fn new(lambda: f64) -> Self {
        let lambda = Pert::new(ThreePoint::exactly(0.0), lambda).lambda;
        let nodes = SineNodes::new();
        let mut rows = vec![0.0; SHAPES * UnitGrid::LEN];
        // A shape and its mirror share one sum.
        for at in 0..=SHAPES / 2 {
            let row = nodes.quantiles(shape_of(at), lambda);
            for (place, value) in row.iter().enumerate() {
                rows[at * UnitGrid::LEN + place] = *value;
                let mirror = (SHAPES - 1 - at) * UnitGrid::LEN + UnitGrid::LEN - 1 - place;
                rows[mirror] = 1.0 - value;
            }
        }
        let mut steps = Vec::with_capacity(SHAPES * STEPS);
        for (at, row) in rows.chunks_exact(UnitGrid::LEN).enumerate() {
            let mean = (1.0 + lambda * shape_of(at)) / (lambda + 2.0);
            steps.extend(steps_of(row, mean));
        }
        Self {
            lambda,
            rows,
            steps,
        }
    }

    /// The value under which a figure with these limits lies with chance `u`; exactly it when the ends meet.
    #[must_use]
    pub fn quantile(&self, range: ThreePoint, u: f64) -> f64 {
        let ThreePointParts { low, width, shape } = parts(range);
        if width <= 0.0 {
            return low;
        }
        low + width * self.unit(shape, u)
    }

    /// Adds `times` the means of the equally likely steps of a range to a curve's.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 to 32"
    )]
    #[expect(clippy::cast_precision_loss, reason = "0 to 32")]
    pub(crate) fn add_steps(&self, range: ThreePoint, times: f64, curve: &mut [f64; STEPS]) {
        let ThreePointParts { low, width, shape } = parts(range);
        let place = shape * (SHAPES - 1) as f64;
        let row = (place as usize).min(SHAPES - 2);
        let up = place - row as f64;
        let (under, over) = (times * width * (1.0 - up), times * width * up);
        let (low, first) = (times * low, row * STEPS);
        let rows = self.steps.get(first..first + 2 * STEPS).unwrap_or(&[]);
        let (lower, upper) = rows.split_at(rows.len() / 2);
        for ((slot, lower), upper) in curve.iter_mut().zip(lower).zip(upper) {
            *slot += low + under * lower + over * upper;
        }
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 to 32"
    )]
    #[expect(clippy::cast_precision_loss, reason = "0 to 32")]
    fn unit(&self, shape: f64, u: f64) -> f64 {
        let place = shape * (SHAPES - 1) as f64;
        let row = (place as usize).min(SHAPES - 2);
        let up = place - row as f64;
        let least = UnitGrid::least();
        if u >= least && u <= 1.0 - least {
            let (at, along) = UnitGrid::cell(u);
            let lower = self.between(row, at, along);
            let upper = self.between(row + 1, at, along);
            return lower + up * (upper - lower);
        }
        let lower = unit_quantile(shape_of(row), self.lambda, u);
        let upper = unit_quantile(shape_of(row + 1), self.lambda, u);
        lower + up * (upper - lower)
    }

    fn between(&self, row: usize, at: usize, along: f64) -> f64 {
        let first = row * UnitGrid::LEN + at;
        let lower = self.rows[first];
        // The last place has no cell above it.
        let upper = if at + 1 < UnitGrid::LEN {
            self.rows[first + 1]
        } else {
            lower
        };
        lower + along * (upper - lower)
    }
}

/// Means of the equally likely steps of a row of quantiles on the grid, moved together so that their mean is the exact one.
#[expect(clippy::cast_precision_loss, reason = "at most 256")]
fn steps_of(row: &[f64], exact_mean: f64) -> Vec<f64> {
    // Area under the quantiles up to each place; flat outside the grid.
    let first = row.first().copied().unwrap_or_default();
    let mut areas = vec![UnitGrid::least() * first];
    for (at, pair) in row.windows(2).enumerate() {
        let width = UnitGrid::place(at + 1) - UnitGrid::place(at);
        let area = areas.last().copied().unwrap_or_default();
        areas.push(area + width * 0.5 * pair.iter().sum::<f64>());
    }
    let area_up_to = |u: f64| {
        let least = UnitGrid::least();
        let inside = u.clamp(least, 1.0 - least);
        let (at, along) = UnitGrid::cell(inside);
        let lower = row.get(at).copied().unwrap_or_default();
        let upper = row.get(at + 1).copied().unwrap_or(lower);
        let here = lower + along * (upper - lower);
        let area = areas.get(at).copied().unwrap_or_default();
        area + (inside - UnitGrid::place(at)) * 0.5 * (lower + here) + (u - inside) * here
    };
    let mut steps: Vec<f64> = (0..STEPS)
        .map(|step| {
            let (from, to) = (step as f64 / STEPS as f64, (step + 1) as f64 / STEPS as f64);
            (area_up_to(to) - area_up_to(from)) * STEPS as f64
        })
        .collect();
    let off = exact_mean - steps.iter().sum::<f64>() / STEPS as f64;
    for step in &mut steps {
        *step += off;
    }
    steps
}

#[expect(clippy::cast_precision_loss, reason = "0 to 32")]
fn shape_of(row: usize) -> f64 {
    row as f64 / (SHAPES - 1) as f64
}

/// Logarithms of sine and cosine at the ends and middles of even cells of the angle: with x = sin² the beta density is smooth at both
/// ends, so Simpson's rule sums it well.
struct SineNodes {
    log_sin: Vec<f64>,
    log_cos: Vec<f64>,
}

impl SineNodes {
    #[expect(clippy::cast_precision_loss, reason = "at most 512")]
    fn new() -> Self {
        let angle = |at: usize| std::f64::consts::FRAC_PI_2 * at as f64 / (2 * SUM_CELLS) as f64;
        Self {
            log_sin: (0..=2 * SUM_CELLS)
                .map(|at| libm::log(libm::sin(angle(at)).max(1e-300)))
                .collect(),
            log_cos: (0..=2 * SUM_CELLS)
                .map(|at| libm::log(libm::sin(angle(2 * SUM_CELLS - at)).max(1e-300)))
                .collect(),
        }
    }

    /// Quantiles of one shape at every place of the grid.
    #[expect(clippy::cast_precision_loss, reason = "at most 512")]
    fn quantiles(&self, shape: f64, lambda: f64) -> Vec<f64> {
        let sines = 1.0 + 2.0 * lambda * shape;
        let cosines = 1.0 + 2.0 * lambda * (1.0 - shape);
        let logs: Vec<f64> = self
            .log_sin
            .iter()
            .zip(&self.log_cos)
            .map(|(s, c)| sines * s + cosines * c)
            .collect();
        let greatest = logs.iter().copied().fold(f64::MIN, f64::max);
        let density: Vec<f64> = logs.iter().map(|l| libm::exp(l - greatest)).collect();
        let mut sums = vec![0.0];
        let mut sum = 0.0;
        for cell in 0..SUM_CELLS {
            sum += (density[2 * cell] + 4.0 * density[2 * cell + 1] + density[2 * cell + 2]) / 6.0;
            sums.push(sum);
        }
        let mut cell = 0;
        (0..UnitGrid::LEN)
            .map(|at| {
                let wanted = UnitGrid::place(at) * sum;
                while cell + 1 < SUM_CELLS && sums[cell + 1] < wanted {
                    cell += 1;
                }
                let along = along_cell(
                    [
                        density[2 * cell],
                        density[2 * cell + 1],
                        density[2 * cell + 2],
                    ],
                    wanted - sums[cell],
                );
                let angle = (cell as f64 + along) / SUM_CELLS as f64;
                let sine = libm::sin(std::f64::consts::FRAC_PI_2 * angle);
                sine * sine
            })
            .collect()
    }
}

/// Share of a cell at which the integral of the parabola through three densities (start, middle, end) reaches `wanted`.
fn along_cell([start, middle, end]: [f64; 3], wanted: f64) -> f64 {
    let slope = 4.0 * middle - 3.0 * start - end;
    let bend = 2.0 * (start + end) - 4.0 * middle;
    let whole = start + slope / 2.0 + bend / 3.0;
    let mut x = if whole > 0.0 {
        (wanted / whole).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (mut under, mut over) = (0.0, 1.0);
    for _ in 0..8 {
        let miss = x * (start + x * (slope / 2.0 + x * bend / 3.0)) - wanted;
        if miss > 0.0 {
            over = x;
        } else {
            under = x;
        }
        let next = x - miss / (start + x * (slope + x * bend));
        let inside = next > under && next < over;
        let next = if inside { next } else { 0.5 * (under + over) };
        if (next - x).abs() < 1e-9 {
            return next;
        }
        x = next;
    }
    x
}
