//! The triangle against worked coordinates, projections and orders.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use proptest::prelude::*;
use wrenchworth::engine::ThreeChances;
use wrenchworth::engine::triangle::{Place, Shares, dominates, offers, place, words};
use wrenchworth::trade::settings::{PaceSettings, Settings};

fn settings() -> PaceSettings {
    let all: Settings =
        serde_json::from_str(include_str!("../../assets/trade/settings.json")).unwrap();
    all.pace
}

fn shares([cheap, fast, reliable]: [f64; 3]) -> Shares {
    Shares {
        cheap,
        fast,
        reliable,
    }
}

fn near(a: Shares, [cheap, fast, reliable]: [f64; 3]) -> bool {
    (a.cheap - cheap).abs() < 1e-6
        && (a.fast - fast).abs() < 1e-6
        && (a.reliable - reliable).abs() < 1e-6
}

fn chances(cheap: f64, reliable: f64, fast: f64) -> ThreeChances {
    ThreeChances {
        cheap: Some(cheap),
        reliable: Some(reliable),
        fast: Some(fast),
    }
}

#[test]
fn shares_stand_at_their_barycentric_place_and_come_back() {
    // Corners (0,0), (1,0), (1/2, sqrt 3/2): P = sum of share times corner (geometry).
    let third = 1.0 / 3.0;
    for (weights, x, y) in [
        ([third, third, third], 0.5, 0.288_675),
        ([0.5, 0.3, 0.2], 0.4, 0.173_205),
        ([0.2, 0.2, 0.6], 0.5, 0.519_615),
        ([0.7, 0.1, 0.2], 0.2, 0.173_205),
    ] {
        let there = shares(weights).place();
        assert!(
            (there.x - x).abs() < 1e-6 && (there.y - y).abs() < 1e-6,
            "{there:?}"
        );
        assert!(near(Shares::at(there), weights));
        // The same through the chances of a car, whatever their sum.
        let [cheap, fast, reliable] = weights.map(|w| 0.8 * w);
        let car = place(&chances(cheap, reliable, fast)).unwrap();
        assert!((car.x - x).abs() < 1e-6 && (car.y - y).abs() < 1e-6);
    }
    for (x, y, weights) in [
        (0.5, 0.2, [0.384_530, 0.384_530, 0.230_940]),
        (0.3, 0.1, [0.642_265, 0.242_265, 0.115_470]),
        (0.6, 0.4, [0.169_060, 0.369_060, 0.461_880]),
        (0.9, 0.5, [-0.188_675, 0.611_325, 0.577_350]),
    ] {
        assert!(near(Shares::at(Place { x, y }), weights));
    }
}

#[test]
fn points_outside_are_brought_to_the_nearest_inside() {
    // Euclidean projection onto the simplex (Duchi et al. 2008).
    let third = 1.0 / 3.0;
    for (outside, inside) in [
        ([0.9, 0.5, -0.4], [0.7, 0.3, 0.0]),
        ([0.6, 0.6, -0.2], [0.5, 0.5, 0.0]),
        ([1.2, -0.1, -0.1], [1.0, 0.0, 0.0]),
        ([0.5, 0.5, 0.5], [third, third, third]),
    ] {
        assert!(
            near(shares(outside).brought_inside(), inside),
            "{outside:?}"
        );
    }
}

#[test]
fn the_best_cars_are_those_that_none_dominates() {
    // Rows 0, 3, 5, 6, 7 stay; the equal rows 3 and 5 both do (definition of Pareto dominance).
    let rows = [
        (7.0, 5.0, 6.0),
        (6.0, 6.0, 6.0),
        (7.0, 4.0, 6.0),
        (3.0, 9.0, 5.0),
        (5.0, 5.0, 5.0),
        (3.0, 9.0, 5.0),
        (9.0, 2.0, 3.0),
        (6.0, 6.0, 7.0),
    ]
    .map(|(a, b, c)| chances(a / 10.0, b / 10.0, c / 10.0));
    let best: Vec<usize> = (0..rows.len())
        .filter(|at| !rows.iter().any(|other| dominates(other, &rows[*at])))
        .collect();
    assert_eq!(best, [0, 3, 5, 6, 7]);
}

#[test]
fn an_unknown_chance_is_never_beaten_and_has_no_place() {
    let unknown = ThreeChances {
        fast: None,
        ..chances(0.1, 0.1, 0.0)
    };
    assert!(!dominates(&chances(0.9, 0.9, 0.9), &unknown));
    assert!(!dominates(&unknown, &chances(0.0, 0.0, 0.0)));
    assert!(place(&unknown).is_none());
    assert!(place(&chances(0.0, 0.0, 0.0)).is_none());
}

#[test]
fn words_say_which_corners_are_offered() {
    let s = settings();
    for (car, said) in [
        (chances(0.78, 0.81, 0.31), "cheap and reliable, not fast"),
        (
            chances(0.78, 0.50, 0.31),
            "cheap, fairly reliable, not fast",
        ),
        (chances(0.2, 0.3, 0.1), "neither cheap, reliable nor fast"),
        (chances(0.9, 0.6, 0.7), "cheap, reliable and fast"),
        (
            chances(0.2, 0.5, 0.59),
            "fairly reliable and fast, not cheap",
        ),
        (chances(0.9, 0.1, 0.1), "cheap, not reliable or fast"),
        (
            ThreeChances {
                fast: None,
                ..chances(0.7, 0.4, 0.0)
            },
            "cheap, not reliable, fast not known",
        ),
        (
            ThreeChances::default(),
            "cheap, reliable and fast not known",
        ),
    ] {
        assert_eq!(words(&car, &s), said);
    }
    assert_eq!(offers(&chances(0.6, 0.599, 0.8), &s), ["cheap", "fast"]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_brought_inside_is_inside_and_stays(a in -3.0..3.0f64, b in -3.0..3.0f64, c in -3.0..3.0f64) {
        let inside = shares([a, b, c]).brought_inside();
        prop_assert!((inside.cheap + inside.fast + inside.reliable - 1.0).abs() < 1e-9);
        prop_assert!(inside.cheap >= 0.0 && inside.fast >= 0.0 && inside.reliable >= 0.0);
        prop_assert!(near(inside.brought_inside(), [inside.cheap, inside.fast, inside.reliable]));
    }
}
