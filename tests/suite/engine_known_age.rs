//! Wearing parts of known age: the difference from unknown history, in money and in being stranded, against worked examples.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::made;

use made::{buyer, car, fault, plain_settings, repair, tables, weigh};
use serde_json::json;
use wrenchworth::car::{CarRecord, Claim, Known, Pin, Replaced, Stamp};
use wrenchworth::engine::Appraisal;
use wrenchworth::trade::Tables;

const DRAWS: u32 = 400;
/// Dollars of the repair, for certain.
const PRICE: f64 = 1_000.0;

/// One part with a life of eta 60,000 miles and beta 3, on a car that must cover 12,000 miles.
fn one_part() -> Tables {
    let worn = fault(
        "P1",
        1e-9,
        &["R1"],
        json!({"life": {"eta_miles": 60_000.0, "beta": 3.0}, "strand_share": 1.0, "severities": ["strands"]}),
    );
    let mut tables = tables(
        vec![worn],
        vec![repair("R1", [PRICE; 3], &[], json!({}))],
        vec![],
        plain_settings(),
    );
    tables.purposes[0].horizon_miles = 12_000.0;
    tables
}

/// A car at 100,000 miles of whose part somebody says that it was new so many miles ago.
fn with_part(miles_ago: f64, pro: bool, proof: Option<Known>) -> CarRecord {
    let mut car = car();
    car.particulars.odometer_miles = Some(100_000.0);
    car.claims.push(Claim {
        text: "the part was done".to_owned(),
        pro,
        proof,
        replaced: Some(Replaced {
            part: "P1".to_owned(),
            at_miles: 100_000.0 - miles_ago,
        }),
        ..Claim::default()
    });
    car
}

fn weighed(car: &CarRecord) -> Appraisal {
    weigh(&one_part(), car, &buyer(), DRAWS)
}

fn plain() -> CarRecord {
    let mut car = with_part(0.0, true, None);
    car.claims.clear();
    car
}

/// Chances of failing in the next 12,000 miles. Known age 20,000 and 45,000: .108337 and .353059, P(T <= t+h | T > t) = 1 - exp[(t/eta)^beta
/// - ((t+h)/eta)^beta] (textbook form, e.g. Meeker & Escobar 1998). Unknown history at 100,000: .2189 (renewal of a Weibull life, Smith &
///   Leadbetter 1963 and Xie 1989; Monte Carlo of 400,000 histories agrees).
#[test]
fn a_part_of_known_age_costs_the_difference_from_unknown_history() {
    for (miles_ago, known) in [(20_000.0, 0.108_337), (45_000.0, 0.353_059)] {
        let wear = weighed(&with_part(miles_ago, true, Some(Known::Paper)))
            .wear
            .unwrap();
        let wanted = PRICE * (known - 0.2189);
        assert!(
            (wear.mean - wanted).abs() < 1.5,
            "{} for {wanted}",
            wear.mean
        );
    }
    assert!(weighed(&plain()).wear.unwrap().mean.abs() < 1e-12);
}

/// The same chances, as the chance of covering the way: every failure strands here.
#[test]
fn a_part_of_known_age_strands_at_its_own_chance() {
    let reliable = |car: &CarRecord| weighed(car).chances.after.reliable.unwrap();
    assert!((reliable(&plain()) - (1.0 - 0.2189)).abs() < 2e-3);
    let new = with_part(20_000.0, true, Some(Known::Seen));
    assert!((reliable(&new) - (1.0 - 0.108_337)).abs() < 1e-5);
    let old = with_part(45_000.0, false, None);
    assert!((reliable(&old) - (1.0 - 0.353_059)).abs() < 1e-5);
}

#[test]
fn a_renewal_moves_no_figure_until_a_paper_proves_it_and_none_when_contradicted() {
    let before = weighed(&plain());
    for proof in [None, Some(Known::Said)] {
        let said = weighed(&with_part(5_000.0, true, proof));
        assert_eq!(said.limit, before.limit);
        assert_eq!(said.wear, before.wear);
        assert_eq!(said.chances, before.chances);
    }
    let mut wrong = with_part(5_000.0, true, Some(Known::Paper));
    wrong.claims[0].stamp = Stamp::Contradicted;
    assert_eq!(weighed(&wrong).wear, before.wear);
}

#[test]
fn a_new_part_lifts_the_limit_and_an_old_one_the_seller_admits_lowers_it() {
    // No limit goes over the worth: something must be amiss for a new part to lift it.
    let mut tables = one_part();
    tables.faults.push(fault("P2", 0.5, &["R2"], json!({})));
    tables
        .repairs
        .push(repair("R2", [5_000.0; 3], &[], json!({})));
    let price = |car: &CarRecord| {
        let mut car = car.clone();
        car.pins.insert("P2".to_owned(), Pin::Certain);
        weigh(&tables, &car, &buyer(), DRAWS).limit.price.unwrap()
    };
    let plain = price(&plain());
    assert!(price(&with_part(2_000.0, true, Some(Known::Paper))) > plain);
    assert!(price(&with_part(90_000.0, false, None)) < plain);
}

#[test]
fn a_part_that_is_bad_already_is_paid_once_as_a_fault() {
    let mut car = with_part(45_000.0, false, None);
    car.pins.insert("P1".to_owned(), Pin::Certain);
    let out = weighed(&car);
    assert!(out.wear.unwrap().mean.abs() < 1e-12);
    assert!((out.repair.cash.mean - PRICE).abs() < 1e-9);
}

#[test]
fn a_part_of_known_age_is_less_or_more_likely_to_be_bad_now() {
    let mut tables = one_part();
    tables.faults[0].prior = 0.2;
    let chance = |car: &CarRecord| weigh(&tables, car, &buyer(), DRAWS).faults[0].chance;
    let plain = chance(&plain());
    assert!(chance(&with_part(2_000.0, true, Some(Known::Paper))) < 0.5 * plain);
    assert!(chance(&with_part(45_000.0, false, None)) > 1.2 * plain);
}
