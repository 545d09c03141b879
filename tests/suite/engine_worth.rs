//! Worth from comparables and from the user's own range; on published prices in `engine_worth_on_data.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]

use crate::three_models;

use three_models::{TABLE, cars, comparable, particulars, reckon, settings};
use wrenchworth::car::{
    Comparable, Money, MoneyRange, Particulars, PriceKind, RangeReading, ThreePoint, WorthBasis,
    WorthMeans,
};
use wrenchworth::engine::pert::{CLASSIC_LAMBDA, Pert};
use wrenchworth::engine::worth::{WorthInputs, worth};

fn own(low: i64, likely: i64, high: i64, reading: RangeReading) -> MoneyRange {
    MoneyRange {
        low: Money::whole(low),
        likely: Money::whole(likely),
        high: Money::whole(high),
        reading,
    }
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
