//! What counts of what is on file, and what is said about the rest.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    clippy::needless_pass_by_value
)]

use crate::diagnosis_kit;

use diagnosis_kit::*;
use serde_json::{Value, json};
use wrenchworth::car::{Answer, Claim, ClaimedSign, Known, Pin, Stamp};
use wrenchworth::engine::Standing;
use wrenchworth::engine::diagnosis::{Diagnosis, reasons};
use wrenchworth::trade::{SignRow, Tables, derive};

fn check(id: &str, fault: &str, more: Value) -> SignRow {
    let mut fields = json!({"hits": {"rates": {fault: [0.7]}, "false_alarm": [0.02]}});
    fields
        .as_object_mut()
        .unwrap()
        .extend(more.as_object().unwrap().clone());
    sign(id, 2, fields)
}

fn small(signs: Vec<SignRow>) -> Tables {
    let faults = vec![
        fault("A", 0.1, json!({"owner_sees": 0.8})),
        fault(
            "B",
            0.2,
            json!({"owner_sees": 0.5, "severities": ["strands"]}),
        ),
    ];
    tables(faults, signs, settings())
}

fn same(one: &Diagnosis, other: &Diagnosis) -> bool {
    one.faults == other.faults && one.care == other.care && one.openness == other.openness
}

#[test]
fn a_code_that_says_it_more_exactly_takes_the_place_of_the_lamp() {
    let lamp = check("lamp", "A", json!({"subsumed_by": ["code"]}));
    let tables = small(vec![lamp, check("code", "A", json!({}))]);
    let mut car = reference_car();
    car.observations = vec![saw("code", 1)];
    let code = run(&car, &tables);
    car.observations.push(saw("lamp", 1));
    assert!(same(&code, &run(&car, &tables)));
    // Without the code the lamp speaks for itself, and a code read as clear takes nothing from it but its own.
    car.observations = vec![saw("lamp", 1), saw("code", 0)];
    assert_eq!(run(&car, &tables).faults[0].because_of, ["lamp"]);
}

#[test]
fn one_act_counts_once_by_its_most_direct_report() {
    let tables = small(vec![
        check("driven", "A", json!({"act": "slips"})),
        check("told", "A", json!({"act": "slips", "kind": "admission"})),
    ]);
    let mut car = reference_car();
    car.observations = vec![saw("driven", 1)];
    let driven = run(&car, &tables);
    let mut told = saw("told", 1);
    told.known = Known::Said;
    car.observations.push(told);
    let both = run(&car, &tables);
    assert_eq!(both.signs.len(), 1);
    assert_eq!(both.faults[0].because_of, ["driven"]);
    // Told and then found: the seller is the opener for it, nothing else changes.
    assert!(both.openness[2] > driven.openness[2]);
    assert!((chance(&both, "A") - chance(&driven, "A")).abs() < 1e-12);
}

#[test]
fn a_claim_proved_on_paper_counts_like_the_answer_and_an_admission_like_itself() {
    let tables = small(vec![check("belt", "A", json!({"kind": "paper"}))]);
    let claimed = |pro, proof, stamp, level| {
        let mut car = reference_car();
        let sign = Some(ClaimedSign {
            id: "belt".to_owned(),
            level,
        });
        car.claims = vec![Claim {
            text: String::new(),
            pro,
            proof,
            stamp,
            replaced: None,
            sign,
        }];
        run(&car, &tables)
    };
    let mut car = reference_car();
    car.observations = vec![saw("belt", 0)];
    let answered = run(&car, &tables);
    assert!(same(
        &answered,
        &claimed(true, Some(Known::Paper), Stamp::Proved, 0)
    ));
    car.observations[0].answer = Answer::Level(1);
    car.observations[0].admitted = true;
    car.observations[0].known = Known::Said;
    let admitted = run(&car, &tables);
    assert!(same(&admitted, &claimed(false, None, Stamp::Open, 1)));
}

#[test]
fn what_the_tables_do_not_know_is_named_and_counts_nothing() {
    let mut tables = small(vec![check("a", "A", json!({}))]);
    tables
        .settings
        .aliases
        .insert("old-a".to_owned(), "a".to_owned());
    let mut car = reference_car();
    let plain = run(&car, &tables);
    car.observations = vec![saw("from-later", 1), saw("a", 7)];
    car.pins.insert("FROM-LATER".to_owned(), Pin::Certain);
    let found = run(&car, &tables);
    assert!(same(&plain, &found));
    assert_eq!(found.not_in_tables, ["FROM-LATER", "from-later"]);
    assert!(found.notes.iter().any(|note| note.contains("answer 7")));
    car.observations = vec![saw("old-a", 1)];
    car.pins.clear();
    assert_eq!(run(&car, &tables).faults[0].because_of, ["a"]);
}

#[test]
fn a_sign_that_nothing_explains_is_left_out_with_a_note() {
    let mut row = check("odd", "A", json!({}));
    row.hits.as_mut().unwrap().false_alarm = vec![0.0];
    let tables = small(vec![row]);
    let mut car = reference_car();
    car.observations = vec![saw("odd", 1)];
    assert!((chance(&run(&car, &tables), "A") - 1.0).abs() < 1e-12);
    car.pins.insert("A".to_owned(), Pin::RuledOut);
    let found = run(&car, &tables);
    assert!(
        found
            .notes
            .iter()
            .any(|note| note.contains("nothing this car can have"))
    );
    assert!(found.log_evidence.is_finite() && chance(&found, "A") == 0.0);
}

#[test]
fn a_fault_is_seen_likely_unseen_or_ruled_out() {
    let causes = json!({"kind": "symptom", "causes": {"weights": {"A": 0.4, "B": 0.4}}});
    let tables = small(vec![
        check("look", "A", json!({})),
        sign("noise", 2, causes),
    ]);
    let mut car = reference_car();
    let standing =
        |car: &wrenchworth::car::CarRecord, id: &str| run(car, &tables).fault(id).unwrap().standing;
    assert_eq!(standing(&car, "A"), Standing::Unseen);
    car.observations = vec![saw("noise", 1)];
    assert_eq!(standing(&car, "B"), Standing::Likely);
    car.observations.push(saw("look", 1));
    assert_eq!(standing(&car, "A"), Standing::Seen);
    car.pins.insert("B".to_owned(), Pin::RuledOut);
    assert_eq!(standing(&car, "B"), Standing::RuledOut);
}

#[test]
fn reasons_give_odds_with_over_odds_without() {
    let tables = small(vec![
        check("good", "B", json!({})),
        check("bad", "A", json!({})),
    ]);
    let mut car = reference_car();
    car.particulars.odometer_miles = Some(75_000.0);
    car.particulars.in_use_proven = true;
    car.observations = vec![saw("bad", 1), saw("good", 0)];
    let links = derive::links(&tables);
    let odds = |found: &Diagnosis, id: &str| chance(found, id) / (1.0 - chance(found, id));
    let base = run(&car, &tables);
    let of = |id: &str| reasons(&car, &tables, &links, TODAY, id);
    let bad = of("A")
        .into_iter()
        .find(|reason| reason.id == "bad")
        .unwrap();
    let mut without = car.clone();
    without.observations.remove(0);
    let times = odds(&base, "A") / odds(&run(&without, &tables), "A");
    assert!((bad.times - times).abs() < 1e-9 && times > 5.0);
    let why = of("B");
    for id in ["good", "in use", "miles"] {
        assert!(
            why.iter().find(|reason| reason.id == id).unwrap().times < 1.0,
            "{id}"
        );
    }
    assert!(
        why.windows(2)
            .all(|pair| pair[0].times.ln().abs() >= pair[1].times.ln().abs())
    );
}

#[test]
fn what_is_not_known_of_the_car_is_said() {
    let tables = small(vec![]);
    let found = run(&wrenchworth::car::CarRecord::default(), &tables);
    assert!(found.notes.iter().any(|note| note.contains("year")));
    assert!(found.notes.iter().any(|note| note.contains("miles")));
}
