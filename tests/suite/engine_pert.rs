//! Three-point figures against handbook formulas, a second library and themselves.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use proptest::prelude::*;
use statrs::distribution::{Beta, ContinuousCDF, Normal, StudentsT};
use std::sync::LazyLock;
use wrenchworth::car::{RangeReading, ThreePoint};
use wrenchworth::engine::beta::{beta_cdf, beta_quantile, student_quantile};
use wrenchworth::engine::normal::{quantile as normal_quantile, share_below as normal_cdf};
use wrenchworth::engine::pert::{CLASSIC_LAMBDA, Pert, QuantileTable};

fn range(a: f64, m: f64, b: f64) -> ThreePoint {
    ThreePoint::new(a, m, b).unwrap()
}

/// Least, likely, greatest; mean; exact standard deviation; P10, P50, P80, P90, P95 (recomputed with scipy 1.17; formulas: Vose 2000).
#[rustfmt::skip]
const PERCENTILES: [([f64; 3], f64, f64, [f64; 5]); 10] = [
    ([0.0, 5.0, 10.0], 5.0, 1.8898, [2.466, 5.0, 6.734, 7.534, 8.107]),
    ([100.0, 150.0, 300.0], 166.6667, 35.6348, [122.447, 162.762, 198.038, 216.778, 231.482]),
    ([80.0, 100.0, 200.0], 113.3333, 20.3150, [89.119, 110.234, 130.750, 142.232, 151.517]),
    ([250.0, 400.0, 900.0], 458.3333, 114.6510, [317.239, 444.687, 558.737, 620.025, 668.442]),
    ([600.0, 900.0, 2000.0], 1033.3333, 244.6248, [734.552, 1002.187, 1246.514, 1379.145, 1484.540]),
    ([50.0, 60.0, 65.0], 59.1667, 2.7639, [55.333, 59.363, 61.725, 62.705, 63.358]),
    ([0.0, 0.0, 100.0], 16.6667, 14.0859, [2.085, 12.945, 27.522, 36.904, 45.072]),
    ([100.0, 300.0, 300.0], 266.6667, 28.1718, [226.191, 274.110, 291.270, 295.830, 297.959]),
    ([1.0, 3.0, 12.0], 4.1667, 1.8825, [1.904, 3.895, 5.790, 6.839, 7.684]),
    ([1200.0, 1800.0, 4500.0], 2150.0, 564.7376, [1471.306, 2068.510, 2636.885, 2951.838, 3205.094]),
];

#[test]
fn mean_spread_and_quantiles_match_reference_percentiles() {
    let table = QuantileTable::default();
    for ([a, m, b], mean, sd, quantiles) in PERCENTILES {
        let pert = Pert::new(range(a, m, b), CLASSIC_LAMBDA);
        assert!(
            (pert.mean() - mean).abs() < 6e-5,
            "{a} {m} {b}: {}",
            pert.mean()
        );
        assert!((pert.sd() - sd).abs() < 6e-5, "{a} {m} {b}: {}", pert.sd());
        for (u, wanted) in [0.1, 0.5, 0.8, 0.9, 0.95].into_iter().zip(quantiles) {
            let exact = pert.quantile(u);
            assert!((exact - wanted).abs() < 6e-4, "{a} {m} {b} at {u}: {exact}");
            let fast = table.quantile(pert.range(), u);
            assert!(
                (fast - wanted).abs() < 0.002 * (b - a),
                "{a} {m} {b} at {u}: {fast}"
            );
        }
    }
}

/// The triple (100, 150, 300) under other weights of the likely value (recomputed with scipy 1.17); weight 0 is uniform.
#[rustfmt::skip]
const WEIGHTS: [(f64, f64, f64, [f64; 4]); 6] = [
    (0.0, 200.0, 57.7350, [120.0, 200.0, 260.0, 280.0]),
    (1.0, 183.3333, 49.3007, [119.443, 179.222, 231.008, 254.185]),
    (2.0, 175.0, 43.3013, [120.307, 170.490, 214.959, 236.942]),
    (4.0, 166.6667, 35.6348, [122.447, 162.762, 198.038, 216.778]),
    (8.0, 160.0, 27.6340, [125.899, 157.247, 183.536, 198.016]),
    (20.0, 154.5455, 18.5729, [131.510, 153.148, 170.066, 179.465]),
];

#[test]
fn the_weight_of_the_likely_value_moves_mean_and_spread_as_tabulated() {
    for (lambda, mean, sd, quantiles) in WEIGHTS {
        let pert = Pert::new(range(100.0, 150.0, 300.0), lambda);
        let table = QuantileTable::new(lambda);
        assert!((pert.mean() - mean).abs() < 6e-5);
        assert!((pert.sd() - sd).abs() < 6e-5);
        for (u, wanted) in [0.1, 0.5, 0.8, 0.9].into_iter().zip(quantiles) {
            assert!((pert.quantile(u) - wanted).abs() < 6e-4, "{lambda} at {u}");
            let fast = table.quantile(pert.range(), u);
            assert!((fast - wanted).abs() < 0.4, "{lambda} at {u}: {fast}");
        }
    }
}

#[test]
fn the_exact_spread_is_not_the_classic_sixth_of_the_range() {
    // Symmetric triple: (b - a)/sqrt(28), 13 % over (b - a)/6 (algebra).
    let pert = Pert::new(range(0.0, 5.0, 10.0), CLASSIC_LAMBDA);
    assert!((pert.sd() - 10.0 / 28f64.sqrt()).abs() < 1e-12);
}

#[test]
fn ends_that_meet_are_one_value_and_never_divide_by_zero() {
    let table = QuantileTable::default();
    let point = Pert::read_as(ThreePoint::exactly(250.0), RangeReading::OneInTen, 4.0);
    for u in [0.0, 1e-9, 0.3, 1.0, f64::NAN] {
        assert!((point.quantile(u) - 250.0).abs() < 1e-12);
        assert!((table.quantile(point.range(), u) - 250.0).abs() < 1e-12);
    }
    assert!(point.variance().abs() < 1e-12);
    assert!(
        ThreePoint::new(1.0, f64::NAN, 2.0).is_err() && ThreePoint::new(3.0, 2.0, 4.0).is_err()
    );
}

#[test]
fn a_likely_value_at_an_end_has_the_closed_form_of_its_power_law() {
    // m = a is Beta(1, 5): x = 1 - (1 - u)^(1/5); m = b is Beta(5, 1): x = u^(1/5) (algebra).
    let table = QuantileTable::default();
    for k in 1..200 {
        let u = f64::from(k) / 200.0;
        let at_low = 1.0 - (1.0 - u).powf(0.2);
        let at_high = u.powf(0.2);
        let low = Pert::new(range(0.0, 0.0, 1.0), 4.0);
        let high = Pert::new(range(0.0, 1.0, 1.0), 4.0);
        assert!((low.quantile(u) - at_low).abs() < 1e-12);
        assert!((high.quantile(u) - at_high).abs() < 1e-12);
        assert!((table.quantile(low.range(), u) - at_low).abs() < 5e-4);
        assert!((table.quantile(high.range(), u) - at_high).abs() < 5e-4);
    }
}

#[test]
fn special_functions_agree_with_a_second_library() {
    // statrs 0.19.
    for (alpha, beta) in [
        (1.0, 5.0),
        (3.0, 3.0),
        (2.2, 3.8),
        (5.1, 0.9),
        (0.5, 2.0),
        (9.0, 40.0),
    ] {
        let oracle = Beta::new(alpha, beta).unwrap();
        for k in 1..100 {
            let x = f64::from(k) / 100.0;
            let ours = beta_cdf(x, alpha, beta);
            assert!((ours - oracle.cdf(x)).abs() < 1e-10, "{alpha} {beta} {x}");
            if ours < 1.0 - 1e-9 {
                let back = beta_quantile(ours, alpha, beta);
                assert!((beta_cdf(back, alpha, beta) - ours).abs() < 1e-13);
            }
        }
    }
    let normal = Normal::standard();
    for k in 1..1000 {
        let u = f64::from(k) / 1000.0;
        assert!((normal_cdf(normal_quantile(u)) - u).abs() < 1e-12);
        assert!((normal_quantile(u) - normal.inverse_cdf(u)).abs() < 1e-7);
        for freedom in [1.0, 3.5, 4.0, 9.0] {
            let t = StudentsT::new(0.0, 1.0, freedom).unwrap();
            assert!((t.cdf(student_quantile(u, freedom)) - u).abs() < 1e-9);
        }
    }
}

#[test]
fn low_and_high_meant_as_one_in_ten_are_hit_to_the_cent() {
    for [low, likely, high] in [
        [2000.0, 2600.0, 3400.0],
        [100.0, 100.0, 900.0],
        [100.0, 900.0, 900.0],
        [500.0, 550.0, 2500.0],
    ] {
        let stated = range(low, likely, high);
        let pert = Pert::read_as(stated, RangeReading::OneInTen, CLASSIC_LAMBDA);
        assert!(
            (pert.quantile(0.1) - low).abs() < 0.01,
            "{low} {likely} {high}"
        );
        assert!(
            (pert.quantile(0.9) - high).abs() < 0.01,
            "{low} {likely} {high}"
        );
        assert!((pert.range().likely() - likely).abs() < 1e-9);
        // Read so, a range is wider than the same figures read as limits (about double, more at an end; Keefer & Bodily 1983).
        let narrow = Pert::read_as(stated, RangeReading::Limits, CLASSIC_LAMBDA);
        let times = pert.sd() / narrow.sd();
        assert!(
            (1.5..3.0).contains(&times),
            "{low} {likely} {high}: {times}"
        );
    }
}

#[test]
fn draws_through_the_table_have_the_exact_mean_and_variance() {
    let table = QuantileTable::default();
    for ([a, m, b], ..) in PERCENTILES {
        let pert = Pert::new(range(a, m, b), CLASSIC_LAMBDA);
        let count = 100_000;
        let (mut sum, mut squares) = (0.0, 0.0);
        for k in 0..count {
            let x = table.quantile(pert.range(), (f64::from(k) + 0.5) / f64::from(count));
            sum += x;
            squares += (x - pert.mean()).powi(2);
        }
        let n = f64::from(count);
        assert!(
            (sum / n - pert.mean()).abs() < 3e-4 * (b - a),
            "{a} {m} {b}"
        );
        assert!(
            ((squares / n).sqrt() / pert.sd() - 1.0).abs() < 0.003,
            "{a} {m} {b}"
        );
    }
}

static TABLE: LazyLock<QuantileTable> = LazyLock::new(QuantileTable::default);

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_table_stays_within_two_thousandths_of_the_range(shape in 0.0..=1.0f64, u in 0.0..=1.0f64, tail in 1.0..33.0f64) {
        let pert = Pert::new(range(0.0, shape, 1.0), CLASSIC_LAMBDA);
        for u in [u, (-tail * std::f64::consts::LN_2).exp(), 1.0 - (-tail * std::f64::consts::LN_2).exp()] {
            let miss = (TABLE.quantile(pert.range(), u) - pert.quantile(u)).abs();
            prop_assert!(miss < 0.002, "shape {} at {}: off by {}", shape, u, miss);
        }
    }

    #[test]
    fn a_higher_chance_never_has_a_lower_value(shape in 0.0..=1.0f64, u in 0.0..1.0f64, more in 0.0..0.01f64) {
        let figure = range(10.0, 10.0 + 90.0 * shape, 100.0);
        prop_assert!(TABLE.quantile(figure, u) <= TABLE.quantile(figure, (u + more).min(1.0)) + 1e-9);
    }
}
