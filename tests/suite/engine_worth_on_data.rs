//! Worth from comparables on published prices of used cars.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]

use crate::three_models;

use three_models::{Car, cars, comparable, particulars, reckon, settings};
use wrenchworth::engine::luck::{Luck, StableId};

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    0.5 * (values[(n - 1) / 2] + values[n / 2])
}

/// Solves `a x = b` by elimination with the largest pivot.
fn solve(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Vec<f64> {
    let n = b.len();
    for at in 0..n {
        let pivot = (at..n)
            .max_by(|i, j| a[*i][at].abs().total_cmp(&a[*j][at].abs()))
            .unwrap();
        a.swap(at, pivot);
        b.swap(at, pivot);
        let (lead, lead_b) = (a[at].clone(), b[at]);
        for row in (0..n).filter(|row| *row != at) {
            let times = a[row][at] / lead[at];
            for (cell, above) in a[row].iter_mut().zip(&lead) {
                *cell -= times * above;
            }
            b[row] -= times * lead_b;
        }
    }
    (0..n).map(|at| b[at] / a[at][at]).collect()
}

#[test]
fn the_slopes_of_age_and_miles_lie_within_the_error_of_published_price_data() {
    // Log price on age and miles with an effect for each model: -0.0919 (se 0.0089) a year and -0.00331 (se 0.00096) per 1,000 miles.
    let cars = cars();
    let rows: Vec<[f64; 5]> = cars
        .iter()
        .map(|car| {
            let is = |model: &str| f64::from(u8::from(car.model == model));
            [
                is("model 1"),
                is("model 2"),
                is("model 3"),
                car.age,
                car.miles,
            ]
        })
        .collect();
    let squares: Vec<Vec<f64>> = (0..5)
        .map(|i| {
            (0..5)
                .map(|j| rows.iter().map(|r| r[i] * r[j]).sum())
                .collect()
        })
        .collect();
    let sums = (0..5)
        .map(|i| {
            rows.iter()
                .zip(&cars)
                .map(|(r, car)| r[i] * (car.price / 1000.0).ln())
                .sum()
        })
        .collect();
    let fitted = solve(squares, sums);
    assert!((fitted[3] + 0.0919).abs() < 5e-5, "{}", fitted[3]);
    assert!((fitted[4] + 0.00331).abs() < 5e-6, "{}", fitted[4]);
    let settings = settings();
    assert!((settings.log_price_per_year - fitted[3]).abs() < 0.0089);
    assert!((settings.log_price_per_1000_miles - fitted[4]).abs() < 0.00096);
    // One model year (Kuiper 2008, 804 cars a year old, configuration effects): -0.00788 per 1,000 miles.
    assert!((settings.log_price_per_1000_miles_same_year + 0.00788).abs() < 0.0004);
}

/// Root mean square errors of log price, every car in turn unknown: ours, plain median, median after moving each by the known slopes.
struct Errors {
    ours: f64,
    plain: f64,
    moved: f64,
    inside: f64,
}

/// Sixteen handfuls of `n` of the same model for every car; `spoil` multiplies the price of the first one.
fn leave_one_out(n: usize, spoil: &[f64]) -> Errors {
    let cars = cars();
    let luck = Luck::new(5);
    let known = settings();
    let mut squares = [0.0; 3];
    let (mut inside, mut count) = (0.0, 0.0);
    for (at, car) in cars.iter().enumerate() {
        for (round, times) in (0u32..).zip(spoil.iter().cycle().take(16)) {
            let mut others: Vec<(f64, &Car)> = cars
                .iter()
                .enumerate()
                .filter(|(other, c)| *other != at && c.model == car.model)
                .map(|(other, c)| {
                    let id = StableId::of(&["handful", &at.to_string(), &other.to_string()]);
                    (luck.unit(id, round), c)
                })
                .collect();
            others.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut hand: Vec<Car> = others.iter().take(n).map(|(_, c)| (*c).clone()).collect();
            hand[0].price *= times;
            let found = reckon(
                &particulars(car),
                hand.iter().map(comparable).collect(),
                None,
            )
            .unwrap();
            let moved = hand.iter().map(|c| {
                c.price.ln()
                    - known.log_price_per_year * (c.age - car.age)
                    - known.log_price_per_1000_miles * (c.miles - car.miles)
            });
            let guesses = [
                found.value(0.5).ln(),
                median(hand.iter().map(|c| c.price.ln()).collect()),
                median(moved.collect()),
            ];
            for (square, guess) in squares.iter_mut().zip(guesses) {
                *square += (guess - car.price.ln()).powi(2);
            }
            inside += f64::from(u8::from(
                found.value(0.1) < car.price && car.price < found.value(0.9),
            ));
            count += 1.0;
        }
    }
    let [ours, plain, moved] = squares.map(|s: f64| (s / count).sqrt());
    Errors {
        ours,
        plain,
        moved,
        inside: inside / count,
    }
}

#[test]
fn left_out_cars_are_told_far_better_than_by_a_plain_median() {
    for n in [3, 4, 5, 6, 8, 20] {
        let e = leave_one_out(n, &[1.0]);
        assert!(
            e.ours < 0.6 * e.plain,
            "{n}: {} against {}",
            e.ours,
            e.plain
        );
        assert!(
            e.ours < 1.02 * e.moved,
            "{n}: {} against {}",
            e.ours,
            e.moved
        );
        assert!((0.7..0.9).contains(&e.inside), "{n}: {}", e.inside);
    }
}

#[test]
fn one_wild_price_among_a_handful_moves_it_little() {
    // Spoiled as in the experiment on Kuiper's data: one comparable +50 % or -40 %; the median of moved prices is the mark to meet.
    for n in [4, 6, 8] {
        let clean = leave_one_out(n, &[1.0]);
        let e = leave_one_out(n, &[1.5, 0.6]);
        assert!(
            e.ours < 1.05 * e.moved,
            "{n}: {} against {}",
            e.ours,
            e.moved
        );
        assert!(
            e.ours < 1.15 * clean.ours,
            "{n}: {} against {}",
            e.ours,
            clean.ours
        );
    }
}
