//! What the user lays over the tables: prices and chances with a reason, and the weak spots of a model.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::tables_kit;

use tables_kit::*;
use wrenchworth::car::{CarRecord, SaltWinters, SizeClass};
use wrenchworth::engine::Knowledge;
use wrenchworth::trade::{EMBEDDED, Overlay, Tables, check};

fn overlay(table: &str, text: &str) -> Overlay {
    Overlay {
        table: table.to_owned(),
        place: format!("/home/pudd/tables/{table}.json"),
        text: text.to_owned(),
    }
}

fn with(table: &str, text: &str) -> Result<Tables, String> {
    Tables::from_texts(&EMBEDDED, &[overlay(table, text)]).map_err(|error| error.to_string())
}

fn chance(tables: Tables, car: &CarRecord, fault: &str) -> f64 {
    let out = Knowledge::new(tables).appraise(car, &works_at_home(), &run(4));
    out.faults
        .iter()
        .find(|found| found.id == fault)
        .unwrap()
        .chance
}

#[test]
fn a_change_without_a_reason_is_refused_in_one_sentence_with_its_place() {
    for (table, text, place) in [
        ("faults", r#"[{"id": "ENG01", "prior": 0.05}]"#, "row ENG01"),
        (
            "repairs",
            r#"[{"id": "head-gasket", "skill": 5, "reason": " "}]"#,
            "row head-gasket",
        ),
        (
            "settings",
            r#"{"costs": {"pace_spread": 0.3}}"#,
            "settings.json",
        ),
        (
            "weak-spots",
            r#"[{"model": "Zorrel", "fault": "ENG01", "times": 2, "reason": ""}]"#,
            "row 1, ENG01",
        ),
    ] {
        let told = with(table, text).unwrap_err();
        assert!(
            told.contains("no reason") && told.contains(place) && told.contains(".json"),
            "{told}"
        );
        assert_eq!(told.lines().count(), 1);
    }
}

#[test]
fn a_reason_is_kept_with_the_row() {
    let tables = with(
        "faults",
        r#"[{"id": "ENG01", "prior": 0.05, "reason": "three of five I looked at"}]"#,
    )
    .unwrap();
    let row = tables.fault("ENG01").unwrap();
    assert!((row.prior - 0.05).abs() < 1e-12);
    assert_eq!(row.note, "three of five I looked at");
    let text = r#"{"costs": {"pace_spread": 0.3}, "reason": "I am slow some days"}"#;
    let tables = with("settings", text).unwrap();
    assert!((tables.settings.costs.pace_spread - 0.3).abs() < 1e-12);
}

const WEAK: &str = r#"[{"model": "dabchick zorrel", "year_from": 2008, "year_to": 2012, "fault": "ENG01",
    "times": 3, "reason": "gaskets of that batch", "heard": "the man at the yard"}]"#;

#[test]
fn a_weak_spot_makes_its_fault_likelier_on_that_model_and_nothing_dearer() {
    let plain = plain();
    let before = chance(with("faults", "[]").unwrap(), &plain, "ENG01");
    let after = chance(with("weak-spots", WEAK).unwrap(), &plain, "ENG01");
    // Three times the hazard: a small chance triples nearly.
    assert!((2.7..3.0).contains(&(after / before)), "{before} {after}");
    for (make, model, year) in [
        ("Pudd", "Dabchick", 2011),
        ("Zorrel", "Newt", 2011),
        ("Zorrel", "Dabchick", 2015),
    ] {
        let mut other = plain.clone();
        other.particulars.make = make.to_owned();
        other.particulars.model = model.to_owned();
        other.particulars.year = Some(year);
        let before = chance(with("faults", "[]").unwrap(), &other, "ENG01");
        let after = chance(with("weak-spots", WEAK).unwrap(), &other, "ENG01");
        assert!((after - before).abs() < 1e-15, "{make} {model} {year}");
    }
    let way = |tables: Tables| {
        let out = Knowledge::new(tables).appraise(&plain, &works_at_home(), &run(4));
        let fault = out.faults.iter().find(|one| one.id == "ENG01").unwrap();
        let told: Vec<String> = out
            .assumptions
            .assumed
            .iter()
            .map(|one| one.words.clone())
            .collect();
        (fault.ways.clone(), told)
    };
    let (plain_ways, _) = way(with("faults", "[]").unwrap());
    let (weak_ways, told) = way(with("weak-spots", WEAK).unwrap());
    assert_eq!(plain_ways, weak_ways);
    assert!(
        told.iter()
            .any(|words| words.contains("gaskets of that batch")),
        "{told:?}"
    );
}

#[test]
fn a_weak_spot_beyond_its_bounds_or_of_no_fault_is_named() {
    for (text, what) in [
        (
            WEAK.replace("\"times\": 3", "\"times\": 30"),
            "times is not between",
        ),
        (WEAK.replace("ENG01", "ENG99"), "no fault has that id"),
    ] {
        let told: Vec<String> = check(&with("weak-spots", &text).unwrap())
            .iter()
            .map(ToString::to_string)
            .collect();
        assert!(told.iter().any(|line| line.contains(what)), "{told:?}");
    }
    let told = with("weak-spots", &WEAK.replace("dabchick zorrel", " ")).unwrap_err();
    assert!(told.contains("no make or model"), "{told}");
}

#[test]
fn salted_winters_double_what_rust_drives_and_nothing_else() {
    let at = |winters: SaltWinters| {
        let mut car = plain();
        car.particulars.salt_winters = Some(winters);
        TRADE.appraise(&car, &works_at_home(), &run(4)).faults
    };
    let (some, many) = (at(SaltWinters::Some), at(SaltWinters::Many));
    for before in &some {
        let after = many.iter().find(|one| one.id == before.id).unwrap();
        let ratio = after.chance / before.chance;
        if tables().fault(&before.id).unwrap().salt {
            assert!((1.5..=2.0).contains(&ratio), "{}: {ratio}", before.id);
        } else {
            assert!((ratio - 1.0).abs() < 1e-12, "{}: {ratio}", before.id);
        }
    }
}

#[test]
fn a_van_is_dearer_than_a_small_car_and_a_premium_one_dearer_still() {
    let cost = |class: SizeClass| {
        let mut car = plain();
        car.particulars.size_class = Some(class);
        TRADE
            .appraise(&car, &drives_only(), &run(400))
            .repair
            .cash
            .mean
    };
    let (small, mid) = (cost(SizeClass::Small), cost(SizeClass::Mid));
    let (van, premium) = (cost(SizeClass::Truck), cost(SizeClass::Premium));
    assert!(
        small < mid && mid < van && van < premium,
        "{small} {mid} {van} {premium}"
    );
}
