//! Draws against the exact chances, and luck that stays where it belongs.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::diagnosis_kit;

use diagnosis_kit::*;
use serde_json::{Map, json};
use wrenchworth::car::CarRecord;
use wrenchworth::engine::diagnosis::{Diagnosis, LEAK, reasons};
use wrenchworth::engine::luck::{DRAWS_A_TURN, Luck};
use wrenchworth::trade::settings::Settings;
use wrenchworth::trade::{SignRow, Tables, derive};

const TURNS: u32 = 6_250;

/// Faults by three or four to a sign; all signs above benign hang together in two groups.
fn invent(dice: &mut Dice, settings: &Settings) -> (Tables, CarRecord) {
    let faults: Vec<_> = (0..14)
        .map(|f| {
            let more = json!({"owner_sees": dice.unit(), "hidden_share": 0.2});
            fault(&format!("F{f:02}"), 0.02 + 0.3 * dice.unit(), more)
        })
        .collect();
    let mut car = reference_car();
    let signs: Vec<SignRow> = (0..7)
        .map(|s| {
            let id = format!("s{s}");
            let from = if s < 4 { 0 } else { 6 };
            let mut rates = Map::new();
            for _ in 0..4 {
                let (f, sum) = (from + dice.below(6), 0.2 + 0.7 * dice.unit());
                rates.insert(format!("F{f:02}"), json!(dice.shares(2, sum)));
            }
            let mut seen = saw(&id, 1 + dice.below(2));
            seen.admitted = s == 0;
            car.observations.push(seen);
            sign(
                &id,
                3,
                json!({"hits": {"rates": rates, "false_alarm": [0.02, 0.01]}}),
            )
        })
        .collect();
    car.listing.whole_text_on_file = true;
    (tables(faults, signs, settings.clone()), car)
}

struct Counted {
    present: Vec<f64>,
    both: Vec<Vec<f64>>,
    causes: Vec<Vec<f64>>,
    care: [f64; 5],
}

/// Shares over all draws: presence, presence in pairs, cause of each sign (the leak last), level of care.
fn count(diagnosis: &Diagnosis) -> Counted {
    let (faults, signs) = (diagnosis.faults.len(), diagnosis.signs.len());
    let mut counted = Counted {
        present: vec![0.0; faults],
        both: vec![vec![0.0; faults]; faults],
        causes: vec![vec![0.0; faults + 1]; signs],
        care: [0.0; 5],
    };
    let (mut present, mut causes) = (vec![], vec![]);
    let mut sampler = diagnosis.sampler();
    let one = 1.0 / f64::from(DRAWS_A_TURN * TURNS);
    for turn in 0..TURNS {
        sampler.draw(Luck::new(3), turn, &mut present, &mut causes);
        counted.care[sampler.component().0] += one * f64::from(DRAWS_A_TURN);
        for lane in 0..DRAWS_A_TURN as usize {
            let there = |f: &usize| present[*f] >> lane & 1 == 1;
            for f in (0..faults).filter(there) {
                counted.present[f] += one;
                for g in (0..faults).filter(there) {
                    counted.both[f][g] += one;
                }
            }
            for (s, cause) in causes.iter().enumerate() {
                let cause = if cause[lane] == LEAK {
                    faults
                } else {
                    usize::from(cause[lane])
                };
                assert!(cause == faults || there(&cause), "a cause is present");
                counted.causes[s][cause] += one;
            }
        }
    }
    counted
}

/// Five standard errors of a share over all draws.
fn error(p: f64) -> f64 {
    5.0 * (p * (1.0 - p) / f64::from(DRAWS_A_TURN * TURNS)).sqrt() + 1e-6
}

fn agrees(found: &Diagnosis, car: &CarRecord, tables: &Tables) {
    let counted = count(found);
    for (f, fault) in found.faults.iter().enumerate() {
        let p = fault.chance;
        assert!(
            (counted.present[f] - p).abs() < error(p),
            "{} {p}",
            fault.id
        );
    }
    for (n, weight) in found.care.iter().enumerate() {
        assert!((counted.care[n] - weight).abs() < error(*weight));
    }
    // Pairs: the chance of both is the chance of one times the chance of the other with the first held certain.
    for f in [0, 3, 7] {
        let mut with = car.clone();
        let first = &found.faults[f];
        with.pins
            .insert(first.id.clone(), wrenchworth::car::Pin::Certain);
        let with = run(&with, tables);
        for (g, second) in with.faults.iter().enumerate() {
            let both = first.chance * second.chance;
            assert!(
                (counted.both[f][g] - both).abs() < error(both),
                "{} {}",
                first.id,
                second.id
            );
        }
    }
}

#[test]
fn draws_have_the_exact_chances_alone_and_in_pairs() {
    let mut dice = Dice(5);
    for settings in [one_component(), settings(), settings()] {
        let (tables, car) = invent(&mut dice, &settings);
        agrees(&run(&car, &tables), &car, &tables);
    }
}

#[test]
fn draws_with_held_faults_have_the_exact_chances_too() {
    let mut dice = Dice(6);
    let mut held = 0;
    for _ in 0..6 {
        let mut settings = settings();
        settings.diagnosis.greatest_width = 2;
        let (tables, car) = invent(&mut dice, &settings);
        let found = run(&car, &tables);
        if found.notes.iter().any(|note| note.contains("in turn")) {
            held += 1;
            agrees(&found, &car, &tables);
        }
    }
    assert!(held > 0);
}

/// The first cause in the table is named, so for it the share of draws is the chance of being a cause.
#[test]
fn the_first_fault_is_named_as_cause_as_often_as_it_is_one() {
    let mut dice = Dice(7);
    let (tables, car) = invent(&mut dice, &settings());
    let found = run(&car, &tables);
    let counted = count(&found);
    let links = derive::links(&tables);
    let mut compared = 0;
    for (s, seen) in found.signs.iter().enumerate() {
        let first = links.signs[seen.row].faults[0].fault;
        let all: f64 = counted.causes[s].iter().sum();
        assert!((all - 1.0).abs() < 1e-9);
        // As symptom with cause weights the reason carries the chance of being the cause.
        let mut told = tables.clone();
        let weights = json!({told.faults[first].id.clone(): 1.0});
        told.signs[seen.row].causes = serde_json::from_value(json!({"weights": weights})).unwrap();
        let id = &tables.faults[first].id;
        let why = reasons(&car, &told, &links, TODAY, id);
        let why = why.iter().find(|reason| reason.id == seen.id).unwrap();
        let p = why.is_the_cause.unwrap();
        assert!(
            (counted.causes[s][first] - p).abs() < error(p),
            "{id} {}: {p}",
            seen.id
        );
        compared += 1;
    }
    assert_eq!(compared, 7);
}

#[test]
fn a_new_sign_leaves_the_luck_of_faults_it_does_not_touch() {
    let mut dice = Dice(8);
    let (mut tables, car) = invent(&mut dice, &one_component());
    let rates = json!({"F12": [0.8]});
    tables.signs.push(sign(
        "zz",
        2,
        json!({"hits": {"rates": rates, "false_alarm": [0.01]}}),
    ));
    let before = run(&car, &tables);
    let mut more = car.clone();
    more.observations.push(saw("zz", 1));
    let after = run(&more, &tables);
    let (mut one, mut other) = (before.sampler(), after.sampler());
    let (mut a, mut b, mut causes) = (vec![], vec![], vec![]);
    let mut moved = 0;
    for turn in 0..200 {
        one.draw(Luck::new(9), turn, &mut a, &mut causes);
        other.draw(Luck::new(9), turn, &mut b, &mut causes);
        for (f, fault) in before.faults.iter().enumerate() {
            if fault.id == "F12" {
                moved += usize::from(a[f] != b[f]);
            } else {
                assert_eq!(a[f], b[f], "{} in turn {turn}", fault.id);
            }
        }
    }
    assert!(moved > 0);
}

#[test]
fn a_turn_is_the_same_whatever_was_drawn_before() {
    let mut dice = Dice(10);
    let (tables, car) = invent(&mut dice, &settings());
    let found = run(&car, &tables);
    let (mut a, mut b) = ((vec![], vec![]), (vec![], vec![]));
    let mut used = found.sampler();
    for turn in (0..50).rev() {
        used.draw(Luck::new(1), turn, &mut a.0, &mut a.1);
        found.sampler().draw(Luck::new(1), turn, &mut b.0, &mut b.1);
        assert_eq!(a, b);
    }
}
