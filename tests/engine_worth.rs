//! Worth from comparables against published price data, textbook limits of its formula, and the user's own range.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]

use std::sync::LazyLock;
use wrenchworth::car::{
    Comparable, Money, MoneyRange, Particulars, PriceKind, RangeReading, ThreePoint, WorthBasis,
    WorthMeans,
};
use wrenchworth::engine::luck::{Luck, StableId};
use wrenchworth::engine::pert::{CLASSIC_LAMBDA, Pert, QuantileTable};
use wrenchworth::engine::shrunk::{Point, Prior, level};
use wrenchworth::engine::worth::{Worth, WorthInputs, worth};
use wrenchworth::trade::settings::{Settings, WorthSettings};

static TABLE: LazyLock<QuantileTable> = LazyLock::new(QuantileTable::default);

fn settings() -> WorthSettings {
    let all: Settings =
        serde_json::from_str(include_str!("../assets/trade/settings.json")).unwrap();
    all.worth
}

#[derive(Debug, Clone)]
struct Car {
    model: String,
    age: f64,
    /// Dollars.
    price: f64,
    /// Thousands of miles.
    miles: f64,
}

/// Cannon et al., STAT2: data set ThreeCars2017 (see the head of the file).
fn cars() -> Vec<Car> {
    include_str!("reference/three_models_2017.csv")
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("row"))
        .map(|line| {
            let field: Vec<&str> = line.split(',').collect();
            Car {
                model: field[1].to_owned(),
                age: field[2].parse().unwrap(),
                price: field[3].parse::<f64>().unwrap() * 1000.0,
                miles: field[4].parse().unwrap(),
            }
        })
        .collect()
}

fn particulars(car: &Car) -> Particulars {
    Particulars {
        year: Some((2017.0 - car.age) as u16),
        odometer_miles: Some(car.miles * 1000.0),
        ..Particulars::default()
    }
}

fn comparable(car: &Car) -> Comparable {
    Comparable {
        name: car.model.clone(),
        price: Money::whole(car.price.round() as i64),
        kind: PriceKind::Sold,
        year: Some((2017.0 - car.age) as u16),
        miles: Some(car.miles * 1000.0),
        alike: 1.0,
    }
}

fn own(low: i64, likely: i64, high: i64, reading: RangeReading) -> MoneyRange {
    MoneyRange {
        low: Money::whole(low),
        likely: Money::whole(likely),
        high: Money::whole(high),
        reading,
    }
}

fn reckon(
    this: &Particulars,
    comparables: Vec<Comparable>,
    own: Option<MoneyRange>,
) -> Result<Worth, String> {
    let basis = WorthBasis {
        own,
        comparables,
        ..WorthBasis::default()
    };
    worth(&WorthInputs {
        particulars: this,
        basis: &basis,
        means: WorthMeans::Ordinary,
        settings: &settings(),
        table: &TABLE,
    })
}

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

/// Four handfuls of `n` of the same model for every car; `spoil` multiplies the price of the first one.
fn leave_one_out(n: usize, spoil: &[f64]) -> Errors {
    let cars = cars();
    let luck = Luck::new(5);
    let known = settings();
    let mut squares = [0.0; 3];
    let (mut inside, mut count) = (0.0, 0.0);
    for (at, car) in cars.iter().enumerate() {
        for (round, times) in (0u32..).zip(spoil.iter().cycle().take(4)) {
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

#[test]
fn one_comparable_is_enough_and_keeps_the_prior_spread_widened() {
    let this = Particulars {
        year: Some(2009),
        odometer_miles: Some(120_000.0),
        ..Particulars::default()
    };
    let one = Comparable {
        name: "a Wobblet".to_owned(),
        price: Money::whole(3000),
        kind: PriceKind::Asked,
        year: Some(2009),
        miles: Some(110_000.0),
        alike: 1.0,
    };
    let found = reckon(&this, vec![one], None).unwrap();
    let settings = settings();
    // Same year: asked less the discount, ten thousand miles at the slope within a year.
    let wanted = 3000.0 * 0.95 * (10.0 * settings.log_price_per_1000_miles_same_year).exp();
    assert!(found.same_year);
    assert!(
        (found.value(0.5) - wanted).abs() < 0.5,
        "{}",
        found.value(0.5)
    );
    assert!((found.log_sd - (0.01f64 * 2.0).sqrt()).abs() < 1e-9);
    // Student's t with 4 degrees of freedom at 90 %: 1.5332 (any table).
    let ninety = wanted * (1.5332 * found.log_sd).exp();
    assert!(
        (found.value(0.9) / ninety - 1.0).abs() < 0.002,
        "{}",
        found.value(0.9)
    );
    assert_eq!(
        found.moved[0].steps,
        ["asked, not sold: −5%", "10 thousand miles fewer: −8%"]
    );
}

#[test]
fn cars_of_other_years_move_by_age_and_miles_and_never_by_the_slope_within_a_year() {
    let this = Particulars {
        year: Some(2009),
        odometer_miles: Some(120_000.0),
        ..Particulars::default()
    };
    let older = Comparable {
        name: "an older Wobblet".to_owned(),
        price: Money::whole(2000),
        kind: PriceKind::Sold,
        year: Some(2007),
        miles: Some(150_000.0),
        alike: 0.5,
    };
    let found = reckon(&this, vec![older], None).unwrap();
    let wanted = 2000.0 * (2.0 * 0.09 + 30.0 * 0.0033f64).exp();
    assert!(!found.same_year);
    assert!((found.moved[0].moved_price - wanted).abs() < 0.5);
    assert_eq!(
        found.moved[0].steps,
        ["2 years older: +20%", "30 thousand miles more: +10%"]
    );
}

#[test]
fn an_own_range_alone_is_that_range() {
    for reading in [RangeReading::OneInTen, RangeReading::Limits] {
        let found = reckon(
            &Particulars::default(),
            Vec::new(),
            Some(own(2000, 2600, 4000, reading)),
        )
        .unwrap();
        let range = ThreePoint::new(2000.0, 2600.0, 4000.0).unwrap();
        let exact = Pert::read_as(range, reading, CLASSIC_LAMBDA);
        let width = exact.range().high() - exact.range().low();
        for k in 0..=1000 {
            let u = f64::from(k) / 1000.0;
            let wanted = exact.quantile(u).max(0.0);
            assert!(
                (found.value(u) - wanted).abs() < 0.002 * width,
                "{reading:?} {u}"
            );
        }
    }
}

#[test]
fn an_own_range_and_comparables_meet_between_by_how_sure_each_is() {
    let cars = cars();
    let this = particulars(&cars[0]);
    let hand = |n: usize, alike: f64| -> Vec<Comparable> {
        cars[1..=n]
            .iter()
            .map(|c| Comparable {
                alike,
                ..comparable(c)
            })
            .collect()
    };
    let alone = reckon(&this, hand(4, 1.0), None).unwrap();
    let range = own(9000, 10_000, 11_000, RangeReading::OneInTen);
    let both = reckon(&this, hand(4, 1.0), Some(range)).unwrap();
    assert!(both.value(0.5) < alone.value(0.5) && both.value(0.5) > 10_000.0);
    assert!(both.log_sd < alone.log_sd);
    let shares: f64 = both.moved.iter().map(|m| m.weight).sum();
    assert!((shares + both.own_weight - 1.0).abs() < 1e-12);
    // A car that is hardly alike leaves the own range as it was.
    let faint = reckon(&this, hand(1, 1e-4), Some(range)).unwrap();
    assert!(
        (faint.value(0.5) / 10_000.0 - 1.0).abs() < 0.005,
        "{}",
        faint.value(0.5)
    );
    // More alike cars, more weight to them.
    assert!(reckon(&this, hand(8, 1.0), Some(range)).unwrap().own_weight < both.own_weight);
}

#[test]
fn without_a_range_or_a_priced_car_there_is_a_sentence_and_no_worth() {
    let nothing = reckon(&Particulars::default(), Vec::new(), None).unwrap_err();
    assert!(nothing.starts_with("worth not known"));
    let free = Comparable {
        price: Money::ZERO,
        ..comparable(&cars()[0])
    };
    assert!(
        reckon(&Particulars::default(), vec![free], None)
            .unwrap_err()
            .contains("price")
    );
}

#[test]
fn for_wanted_parts_cars_like_it_stay_out() {
    let basis = WorthBasis {
        own: Some(own(300, 400, 600, RangeReading::Limits)),
        comparables: vec![comparable(&cars()[0])],
        ..WorthBasis::default()
    };
    let inputs = WorthInputs {
        particulars: &Particulars::default(),
        basis: &basis,
        means: WorthMeans::Parts,
        settings: &settings(),
        table: &TABLE,
    };
    let found = worth(&inputs).unwrap();
    assert!(found.moved.is_empty() && found.value(1.0) <= 600.0);
    let bare = WorthBasis {
        own: None,
        ..basis.clone()
    };
    assert!(
        worth(&WorthInputs {
            basis: &bare,
            ..inputs
        })
        .unwrap_err()
        .contains("parts")
    );
}

#[test]
fn worth_rises_with_luck_and_its_tails_stay_bounded() {
    let cars = cars();
    let found = reckon(
        &particulars(&cars[3]),
        cars[4..7].iter().map(comparable).collect(),
        None,
    )
    .unwrap();
    let mut last = 0.0;
    for k in 0..=20_000 {
        let value = found.value(f64::from(k) / 20_000.0);
        assert!(value >= last);
        last = value;
    }
    assert!(last < 3.0 * found.value(0.5) && found.value(f64::NAN) > 0.0);
}
