//! Home or garage by hand: rates, markup, missing tools, skill, safety work, used parts. Sums are worked out beside each check.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::made;

use made::{all_by, buyer, fault, operation, pinned, plain_settings, repair, tables, tool, weigh};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use wrenchworth::car::{Buyer, Money, RouteWish, SizeClass, System};
use wrenchworth::engine::{Appraisal, Route};
use wrenchworth::trade::{SafetyClass, Tables};

#[track_caller]
fn near(what: &str, got: f64, wanted: f64) {
    assert!((got - wanted).abs() < 1e-9, "{what}: {got}, not {wanted}");
}

/// One fault X with one repair of a 100 dollar part and two hours' work (1.5 times that at home); other fields as given.
fn one_repair(more: Value) -> Tables {
    let mut tables = tables(
        vec![fault("X", 0.1, &["fix"], json!({}))],
        vec![repair("fix", [100.0; 3], &["work"], more)],
        vec![operation("work", 2.0, json!({"home_factor": 1.5}))],
        plain_settings(),
    );
    tables.tools = vec![
        tool("press", 60.0, json!({"hire": [25.0, 25.0, 25.0]})),
        tool("puller", 15.0, json!({"hire": [20.0, 20.0, 20.0]})),
    ];
    tables
}

/// A buyer of skill 3 in everything at 10 an hour, against a garage at 110 with a fifth on parts.
fn mechanic() -> Buyer {
    Buyer {
        skill: System::ALL.iter().map(|system| (*system, 3)).collect(),
        hour_value: Some(Money::whole(10)),
        garage_rate: Money::whole(110),
        garage_parts_markup: 0.2,
        ..buyer()
    }
}

fn with_hour(dollars: i64) -> Buyer {
    Buyer {
        hour_value: Some(Money::whole(dollars)),
        ..mechanic()
    }
}

fn weighed(tables: &Tables, buyer: &Buyer, wish: Option<RouteWish>) -> Appraisal {
    let car = pinned(tables, &["X"]);
    let car = wish.map_or(car.clone(), |wish| all_by(tables, &car, wish));
    weigh(tables, &car, buyer, 40)
}

#[track_caller]
fn stays_at_the_garage(out: &Appraisal) {
    assert_eq!(out.faults[0].route, Route::Garage);
    near("garage cash", out.repair.cash.mean, 340.0);
    near("garage hours", out.repair.garage_hours.mean, 2.0);
    near("own hours", out.repair.hours.mean, 0.0);
}

#[test]
fn the_cheaper_of_home_and_garage_is_taken() {
    // Home: 100 + hired press 25, 2 x 1.5 x 1.3 h (one level above own skill) = 3.9 h. Garage: 100 x 1.2 + 2 x 110 = 340.
    let tables = one_repair(json!({"skill": 4, "tools": ["press"]}));
    let out = weighed(&tables, &mechanic(), None);
    assert_eq!(out.faults[0].route, Route::Home);
    near("cash", out.repair.cash.mean, 125.0);
    near("tools", out.repair.tools, 25.0);
    near("hours", out.repair.hours.mean, 3.9);
    near("takes", out.faults[0].takes, 125.0 + 39.0);
    // 125 + 3.9 h x 55 = 339.5, still home; x 56 = 343.4, garage.
    assert_eq!(
        weighed(&tables, &with_hour(55), None).faults[0].route,
        Route::Home
    );
    stays_at_the_garage(&weighed(&tables, &with_hour(56), None));
    // Against the price, by the user's wish.
    let out = weighed(&tables, &with_hour(56), Some(RouteWish::Home));
    assert_eq!(out.faults[0].route, Route::Home);
    stays_at_the_garage(&weighed(&tables, &mechanic(), Some(RouteWish::Garage)));
}

#[test]
fn work_above_own_skill_takes_1_3_times_the_hours_a_level_and_two_levels_need_a_yes() {
    for (skill, wish, hours) in [
        (2, None, Some(3.0)),
        (3, None, Some(3.0)),
        (4, None, Some(3.9)),
        (5, None, None),
        (5, Some(RouteWish::Home), Some(3.0 * 1.69)),
    ] {
        let out = weighed(&one_repair(json!({"skill": skill})), &mechanic(), wish);
        match hours {
            Some(hours) => near("hours", out.repair.hours.mean, hours),
            None => stays_at_the_garage(&out),
        }
    }
    let novice = Buyer {
        skill: System::ALL.iter().map(|system| (*system, 2)).collect(),
        ..mechanic()
    };
    let tables = one_repair(json!({"skill": 5}));
    stays_at_the_garage(&weighed(&tables, &novice, Some(RouteWish::Home)));
}

#[test]
fn a_missing_tool_is_bought_or_hired_once_for_the_whole_list() {
    let mut tables = one_repair(json!({"tools": ["press", "puller"]}));
    tables.faults.push(fault("Y", 0.1, &["other"], json!({})));
    let other = repair("other", [200.0; 3], &[], json!({"tools": ["press"]}));
    tables.repairs.push(other);
    let out = weigh(&tables, &pinned(&tables, &["X", "Y"]), &mechanic(), 40);
    // Press hired at 25 rather than bought at 60, puller bought at 15 rather than hired at 20.
    near("tools", out.repair.tools, 40.0);
    near("cash", out.repair.cash.mean, 340.0);
    near("saved", out.repair.shared_labour_saved, 25.0);
    let mut equipped = mechanic();
    equipped.tools = BTreeSet::from(["press".to_owned(), "puller".to_owned()]);
    let out = weigh(&tables, &pinned(&tables, &["X", "Y"]), &equipped, 40);
    near("tools", out.repair.tools, 0.0);
    near("cash", out.repair.cash.mean, 300.0);
}

#[test]
fn a_tool_that_the_whole_list_needs_is_shared_out_before_home_or_garage_is_chosen() {
    // The press is hired at 25. Parts of p cost p at home and 1.2 p at a garage: each work saves .2 p at home.
    let two = |first: f64, second: f64| {
        let mut tables = one_repair(json!({}));
        tables.repairs = vec![
            repair("one", [first / 0.2; 3], &[], json!({"tools": ["press"]})),
            repair("two", [second / 0.2; 3], &[], json!({"tools": ["press"]})),
        ];
        tables.faults = vec![
            fault("X", 0.1, &["one"], json!({})),
            fault("Y", 0.1, &["two"], json!({})),
        ];
        tables
    };
    let routes = |tables: &Tables, present: &[&str]| -> Vec<Route> {
        let out = weigh(tables, &pinned(tables, present), &mechanic(), 40);
        let mut faults = out.faults;
        faults.sort_by(|a, b| a.id.cmp(&b.id));
        faults.iter().map(|fault| fault.route).collect()
    };
    // Either alone saves 15 with the press there and would have to pay 25 for it; together they save 30.
    assert_eq!(routes(&two(15.0, 15.0), &["X", "Y"]), [Route::Home; 2]);
    assert_eq!(routes(&two(15.0, 15.0), &["X"])[0], Route::Garage);
    // Together 20: not worth a press.
    assert_eq!(routes(&two(10.0, 10.0), &["X", "Y"]), [Route::Garage; 2]);
    // One pays for the press by itself, the other uses what is there.
    assert_eq!(routes(&two(30.0, 2.0), &["X", "Y"]), [Route::Home; 2]);
}

#[test]
fn a_tool_that_cannot_be_had_sends_the_work_to_a_garage() {
    let mut tables = one_repair(json!({"tools": ["press"]}));
    tables.tools[0].buy = None;
    tables.tools[0].hire = None;
    stays_at_the_garage(&weighed(&tables, &mechanic(), None));
}

#[test]
fn safety_work_never_goes_home_by_price_alone() {
    for class in [
        "brakes",
        "steering",
        "restraints",
        "fuel",
        "structure",
        "refrigerant",
        "high_voltage",
        "springs",
    ] {
        let _: SafetyClass = serde_json::from_value(json!(class)).unwrap();
        let tables = one_repair(json!({"skill": 3, "safety": class}));
        for hour in [0, 10] {
            stays_at_the_garage(&weighed(&tables, &with_hour(hour), None));
        }
        // Nor by a wish for one fault: only by the user's own word for the class.
        let out = weighed(&tables, &mechanic(), Some(RouteWish::Home));
        stays_at_the_garage(&out);
        assert!(
            out.assumptions
                .assumed
                .iter()
                .any(|one| one.words.contains("stays at a garage")),
            "{class}: the refusal is not told"
        );
        let mut taking_home = mechanic();
        taking_home.takes_home = BTreeSet::from([class.to_owned()]);
        let out = weighed(&tables, &taking_home, None);
        assert_eq!(out.faults[0].route, Route::Home, "{class}");
        near("hours", out.repair.hours.mean, 3.0);
        // Never above own skill, whatever the word.
        let tables = one_repair(json!({"skill": 4, "safety": class}));
        stays_at_the_garage(&weighed(&tables, &taking_home, Some(RouteWish::Home)));
    }
}

#[test]
fn garage_only_work_stays_there_whatever_is_wished() {
    let tables = one_repair(json!({"garage_only": true}));
    stays_at_the_garage(&weighed(&tables, &with_hour(0), Some(RouteWish::Home)));
}

#[test]
fn used_parts_are_taken_only_at_home_where_that_is_safe_and_wanted() {
    let parts =
        json!([{"name": "part", "per": "each", "new": [100, 100, 100], "used": [40, 40, 40]}]);
    let plain = one_repair(json!({"parts": parts}));
    let cash = |tables: &Tables, buyer: &Buyer, wish| weighed(tables, buyer, wish).repair.cash.mean;
    near("used", cash(&plain, &mechanic(), None), 40.0);
    let new_only = Buyer {
        uses_used_parts: false,
        ..mechanic()
    };
    near("new", cash(&plain, &new_only, None), 100.0);
    near(
        "garage",
        cash(&plain, &mechanic(), Some(RouteWish::Garage)),
        340.0,
    );
    let mut taking_home = mechanic();
    taking_home.takes_home = BTreeSet::from(["brakes".to_owned()]);
    let brakes = one_repair(json!({"parts": parts, "safety": "brakes"}));
    near("brakes", cash(&brakes, &taking_home, None), 100.0);
}

#[test]
fn a_machine_step_is_paid_by_the_fee_at_home_and_by_the_hour_at_a_garage() {
    // Home: 100 + fee 80 for the alignment, 3 h own; garage: 100 x 1.2 + (2 + 1) x 110 = 450, the fee is not on its bill.
    let mut tables = one_repair(json!({"follow_ups": ["align"], "outside_fee": [80, 80, 80]}));
    tables
        .operations
        .insert(0, operation("align", 1.0, json!({"garage_machine": true})));
    let out = weighed(&tables, &mechanic(), None);
    assert_eq!(out.faults[0].route, Route::Part);
    near("cash", out.repair.cash.mean, 180.0);
    near("hours", out.repair.hours.mean, 3.0);
    near("garage hours", out.repair.garage_hours.mean, 0.0);
    let out = weighed(&tables, &mechanic(), Some(RouteWish::Garage));
    near("garage cash", out.repair.cash.mean, 450.0);
    near("garage hours", out.repair.garage_hours.mean, 3.0);
}

#[test]
fn class_of_car_local_prices_and_pace_multiply_what_they_should() {
    // Class factors are data: small cars take 0.85 of the parts and 0.95 of the hours (settings, from memory).
    let tables = one_repair(json!({}));
    let mut car = pinned(&tables, &["X"]);
    car.particulars.size_class = Some(SizeClass::Small);
    let costly = Buyer {
        price_index: 1.2,
        pace: 1.5,
        ..mechanic()
    };
    let out = weigh(&tables, &car, &costly, 40);
    near("cash", out.repair.cash.mean, 100.0 * 0.85 * 1.2);
    near("hours", out.repair.hours.mean, 2.0 * 1.5 * 0.95 * 1.5);
    let car = all_by(&tables, &car, RouteWish::Garage);
    let out = weigh(&tables, &car, &costly, 40);
    near(
        "garage",
        out.repair.cash.mean,
        100.0 * 0.85 * 1.2 * 1.2 + 2.0 * 0.95 * 110.0,
    );
}
