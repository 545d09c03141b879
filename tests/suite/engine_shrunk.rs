//! The shrunk level against the limits of its formula.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use wrenchworth::engine::shrunk::{Point, Prior, level};

fn points(values: &[(f64, f64)]) -> Vec<Point> {
    values
        .iter()
        .map(|(x, y)| Point {
            x: *x,
            y: *y,
            weight: 1.0,
        })
        .collect()
}

const HANDFUL: [(f64, f64); 5] = [
    (-0.3, 8.10),
    (-0.1, 8.42),
    (0.0, 8.35),
    (0.2, 8.61),
    (0.5, 8.74),
];

fn prior(slope_sd: f64, spread_weight: f64) -> Prior {
    Prior {
        slope: 1.0,
        slope_sd,
        spread: 0.1,
        spread_weight,
        wild_beyond: f64::INFINITY,
    }
}

#[test]
fn a_slope_without_doubt_stays_and_one_with_endless_doubt_is_least_squares() {
    let values = points(&HANDFUL);
    let n = 5.0;
    let (mean_x, mean_y) = (0.06, 8.444);
    let xx: f64 = HANDFUL
        .iter()
        .map(|(x, _)| (x - mean_x) * (x - mean_x))
        .sum();
    let xy: f64 = HANDFUL
        .iter()
        .map(|(x, y)| (x - mean_x) * (y - mean_y))
        .sum();
    // Slope fixed: the mean, moved along it.
    let fixed = level(&values, 0.1, &prior(0.0, 4.0)).unwrap();
    assert!((fixed.center - (mean_y + 0.04)).abs() < 1e-12);
    let squares: f64 = HANDFUL
        .iter()
        .map(|(x, y)| (y - mean_y - (x - mean_x)).powi(2))
        .sum();
    let spread2 = (4.0 * 0.01 + squares) / (4.0 + n - 1.0);
    assert!((fixed.error() - (spread2 * (1.0 + 1.0 / n)).sqrt()).abs() < 1e-12);
    assert!((fixed.freedom - 8.0).abs() < 1e-12);
    // Slope free, no weight on the prior spread: the textbook line and its prediction error, but for one degree of freedom.
    let free = level(&values, 0.1, &prior(f64::INFINITY, 0.0)).unwrap();
    let slope = xy / xx;
    assert!((free.slope - slope).abs() < 1e-12);
    assert!((free.center - (mean_y + slope * 0.04)).abs() < 1e-12);
    let rest: f64 = HANDFUL
        .iter()
        .map(|(x, y)| (y - mean_y - slope * (x - mean_x)).powi(2))
        .sum();
    let textbook = (rest / (n - 1.0) * (1.0 + 1.0 / n + 0.04 * 0.04 / xx)).sqrt();
    assert!((free.error() - textbook).abs() < 1e-12);
    // Between them, the slope lies between.
    let shrunk = level(&values, 0.1, &prior(0.25, 4.0)).unwrap();
    assert!(shrunk.slope < 1.0 && shrunk.slope > slope);
}
