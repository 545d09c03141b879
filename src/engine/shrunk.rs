//! A level from a handful of values: a line whose slope is shrunk to a prior, a center that one wild value cannot drag, a spread shrunk to a prior.
//!
//! Weighted form of: center = ybar + b (x0 - xbar); s² = (nu0 s0² + sum r²)/(nu0 + n - 1);
//! b = (Sxx b_ols/s² + b0/tau²) v, v = 1/(Sxx/s² + 1/tau²); error² = s² (1 + 1/n) + v (x0 - xbar)²; Student's t with nu0 + n - 1.
//! Wild values are met by Huber's weights (Huber 1964, Ann. Math. Stat. 35:73-101), started at the weighted median.

/// One value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Where on the line.
    pub x: f64,
    /// Value.
    pub y: f64,
    /// Weight, 1 for a whole value.
    pub weight: f64,
}

/// What is held before any value is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Slope.
    pub slope: f64,
    /// How far the slope may lie off: 0 fixes it, infinity frees it.
    pub slope_sd: f64,
    /// Spread of values about the line.
    pub spread: f64,
    /// Weight of that spread, in values.
    pub spread_weight: f64,
    /// A value further off than this many spreads pulls no harder than one at that distance; infinity trusts every value.
    pub wild_beyond: f64,
}

/// The level at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Center.
    pub center: f64,
    /// Variance of the center itself.
    pub center_variance: f64,
    /// Slope.
    pub slope: f64,
    /// Spread of one value about the line.
    pub spread: f64,
    /// Degrees of freedom.
    pub freedom: f64,
    /// Weights left to the values, in their order: own weight times what wildness left of it.
    pub weights: Vec<f64>,
}

impl Level {
    /// Standard error of one more value at the place.
    #[must_use]
    pub fn error(&self) -> f64 {
        (self.spread * self.spread + self.center_variance).sqrt()
    }
}

/// A value further off than this many spreads widens the spread no more than one at that distance.
const SPREAD_REACH: f64 = 2.5;
/// Rounds of reweighting; weights settle well before.
const ROUNDS: usize = 60;

/// The level at `x0`; `None` when no value has weight.
#[must_use]
pub fn level(points: &[Point], x0: f64, prior: &Prior) -> Option<Level> {
    let usable = |p: &Point| p.weight > 0.0 && p.x.is_finite() && p.y.is_finite();
    if !points.iter().any(usable) {
        return None;
    }
    let own: Vec<f64> = points
        .iter()
        .map(|p| if usable(p) { p.weight } else { 0.0 })
        .collect();
    let mut spread = prior.spread.max(1e-12);
    let mut slope = prior.slope;
    let mut center = weighted_median(points, &own, x0, slope);
    let mut weights = own.clone();
    let mut sums = Sums::of(points, &weights);
    for _ in 0..ROUNDS {
        let was = center;
        for ((weight, own), p) in weights.iter_mut().zip(&own).zip(points) {
            let off = (p.y - center - slope * (p.x - x0)).abs();
            let reach = prior.wild_beyond * spread;
            *weight = if off > reach { own * reach / off } else { *own };
        }
        sums = Sums::of(points, &weights);
        slope = sums.shrunk_slope(spread, prior).0;
        center = sums.mean_y + slope * (x0 - sums.mean_x);
        spread = sums.spread(points, &own, slope, spread, prior);
        if (center - was).abs() < 1e-13 {
            break;
        }
    }
    let (slope, slope_variance) = sums.shrunk_slope(spread, prior);
    let away = x0 - sums.mean_x;
    Some(Level {
        center: sums.mean_y + slope * away,
        center_variance: spread * spread / sums.n + slope_variance * away * away,
        slope,
        spread,
        freedom: (prior.spread_weight + own.iter().sum::<f64>() - 1.0).max(1.0),
        weights,
    })
}

struct Sums {
    n: f64,
    mean_x: f64,
    mean_y: f64,
    xx: f64,
    xy: f64,
}

impl Sums {
    fn of(points: &[Point], weights: &[f64]) -> Self {
        let total = |value: &dyn Fn(&Point) -> f64| -> f64 {
            points
                .iter()
                .zip(weights)
                .filter(|(_, w)| **w > 0.0)
                .map(|(p, w)| w * value(p))
                .sum()
        };
        let n = total(&|_| 1.0);
        let mean_x = total(&|p| p.x) / n;
        let mean_y = total(&|p| p.y) / n;
        Self {
            n,
            mean_x,
            mean_y,
            xx: total(&|p| (p.x - mean_x) * (p.x - mean_x)),
            xy: total(&|p| (p.x - mean_x) * (p.y - mean_y)),
        }
    }

    /// Slope and its variance.
    fn shrunk_slope(&self, spread: f64, prior: &Prior) -> (f64, f64) {
        let seen = self.xx / (spread * spread);
        let held = 1.0 / (prior.slope_sd * prior.slope_sd);
        // Values all in one place say nothing of a slope, and a fixed one has no variance.
        if held.is_infinite() || self.xx <= 0.0 {
            return (prior.slope, 0.0);
        }
        let variance = 1.0 / (seen + held);
        (
            (self.xy / (spread * spread) + prior.slope * held) * variance,
            variance,
        )
    }

    /// Spread about the line, by the values' own weights: a wild value counts as one [`SPREAD_REACH`] of the former spread away, so that it
    /// widens the doubt without making it.
    fn spread(&self, points: &[Point], own: &[f64], slope: f64, was: f64, prior: &Prior) -> f64 {
        let most = if prior.wild_beyond.is_finite() {
            SPREAD_REACH * was
        } else {
            f64::INFINITY
        };
        let mut whole = 0.0;
        let mut squares = 0.0;
        for (p, w) in points.iter().zip(own).filter(|(_, w)| **w > 0.0) {
            let off = (p.y - self.mean_y - slope * (p.x - self.mean_x)).abs();
            squares += w * off.min(most) * off.min(most);
            whole += w;
        }
        let freedom = prior.spread_weight + whole - 1.0;
        if freedom <= 0.0 {
            return prior.spread.max(1e-12);
        }
        let held = prior.spread_weight * prior.spread * prior.spread;
        // Below one whole value the prior stands alone.
        ((held + squares) / freedom.max(prior.spread_weight))
            .sqrt()
            .max(1e-12)
    }
}

/// The value with half the weight on either side, every value first moved to `x0`.
fn weighted_median(points: &[Point], weights: &[f64], x0: f64, slope: f64) -> f64 {
    let mut moved: Vec<(f64, f64)> = points
        .iter()
        .zip(weights)
        .filter(|(_, w)| **w > 0.0)
        .map(|(p, w)| (p.y + slope * (x0 - p.x), *w))
        .collect();
    moved.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = 0.5 * moved.iter().map(|(_, w)| w).sum::<f64>();
    let mut passed = 0.0;
    for (at, (value, weight)) in moved.iter().enumerate() {
        passed += weight;
        if passed > half * (1.0 + 1e-12) {
            return *value;
        }
        if passed >= half * (1.0 - 1e-12) {
            let next = moved.get(at + 1).map_or(*value, |(next, _)| *next);
            return 0.5 * (value + next);
        }
    }
    moved.last().map_or(0.0, |(value, _)| *value)
}
