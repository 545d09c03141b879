#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use crate::car::{Answer, Claim, Known, Money, Observation, Pin, Waiver};
use proptest::prelude::*;

fn bytes(record: &CarRecord) -> String {
    String::from_utf8(json::text_of(record).unwrap()).unwrap()
}

fn observed(sign: &str, level: usize) -> Observation {
    Observation {
        sign: sign.to_owned(),
        answer: Answer::Level(level),
        known: Known::Seen,
        admitted: false,
        note: String::new(),
        at: None,
    }
}

/// One act in words, so that a failing case can be read.
#[derive(Debug, Clone)]
enum Act {
    Name(String),
    Asking(Option<i64>),
    Odometer(Option<f64>),
    Observe(u8, usize),
    Forget(usize),
    Insert(usize, String),
    Note(String),
    ClearNotes,
    Pin(String, bool),
    Unpin,
    Waive(String),
    Claims(Vec<String>),
    Nothing,
}

fn perform(record: &mut CarRecord, act: &Act) {
    match act {
        Act::Name(name) => record.name.clone_from(name),
        Act::Asking(sum) => record.listing.asking = sum.map(Money::whole),
        Act::Odometer(miles) => record.particulars.odometer_miles = *miles,
        Act::Observe(sign, level) => {
            let sign = format!("sign-{sign}");
            match record.observations.iter_mut().find(|o| o.sign == sign) {
                Some(old) => old.answer = Answer::Level(*level),
                None => record.observations.push(observed(&sign, *level)),
            }
        }
        Act::Forget(at) if *at < record.observations.len() => {
            record.observations.remove(*at);
        }
        Act::Insert(at, words) => {
            let at = (*at).min(record.notes.len());
            record.notes.insert(at, words.clone());
        }
        Act::Note(words) => record.notes.push(words.clone()),
        Act::ClearNotes => record.notes.clear(),
        Act::Pin(fault, sure) => {
            let pin = if *sure { Pin::Certain } else { Pin::RuledOut };
            record.pins.insert(fault.clone(), pin);
        }
        Act::Unpin => drop(record.pins.pop_first()),
        Act::Waive(words) => {
            let on = jiff::civil::date(2026, 11, 14);
            let words = words.clone();
            record
                .waivers
                .insert("flood/line~1".to_owned(), Waiver { words, on });
        }
        Act::Claims(texts) => {
            record.claims = texts
                .iter()
                .map(|text| Claim {
                    text: text.clone(),
                    ..Claim::default()
                })
                .collect();
        }
        Act::Forget(_) | Act::Nothing => {}
    }
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        ".{0,12}".prop_map(Act::Name),
        proptest::option::of(0..9000i64).prop_map(Act::Asking),
        proptest::option::of(any::<f64>()).prop_map(Act::Odometer),
        (0..6u8, 0..4usize).prop_map(|(sign, level)| Act::Observe(sign, level)),
        (0..6usize).prop_map(Act::Forget),
        (0..4usize, "[ab]{0,2}").prop_map(|(at, words)| Act::Insert(at, words)),
        "[ab]{0,2}".prop_map(Act::Note),
        Just(Act::ClearNotes),
        ("[a/~0-1]{0,4}", any::<bool>()).prop_map(|(fault, sure)| Act::Pin(fault, sure)),
        Just(Act::Unpin),
        "[a-z ]{0,8}".prop_map(Act::Waive),
        proptest::collection::vec("[ab]{0,2}", 0..4).prop_map(Act::Claims),
        Just(Act::Nothing),
    ]
}

proptest! {
    #[test]
    fn undoing_everything_gives_the_record_it_began_with_byte_for_byte(
        before in proptest::collection::vec(act(), 0..12),
        acts in proptest::collection::vec(act(), 0..60),
        breaks in proptest::collection::vec(any::<bool>(), 60),
    ) {
        let mut file = CarFile { schema: 1, ..CarFile::default() };
        for act in &before {
            perform(&mut file.car, act);
        }
        let first = bytes(&file.car);
        let mut steps = 0;
        for (act, through_a_file) in acts.iter().zip(breaks) {
            steps += usize::from(apply(&mut file, "act", "walk", |record| perform(record, act)));
            if through_a_file {
                let text = String::from_utf8(json::text_of(&file).unwrap()).unwrap();
                file = json::read(&text).unwrap();
            }
        }
        prop_assert_eq!(file.undo.len(), steps);
        let last = bytes(&file.car);
        for _ in 0..steps {
            prop_assert!(undo(&mut file).is_some());
        }
        prop_assert!(undo(&mut file).is_none());
        prop_assert_eq!(bytes(&file.car), first);
        for _ in 0..steps {
            prop_assert!(redo(&mut file).is_some());
        }
        prop_assert!(redo(&mut file).is_none());
        prop_assert_eq!(bytes(&file.car), last);
    }

    #[test]
    fn redo_takes_back_what_undo_took_back(acts in proptest::collection::vec(act(), 1..30)) {
        let mut file = CarFile { schema: 1, ..CarFile::default() };
        for act in &acts {
            apply(&mut file, "act", "", |record| perform(record, act));
        }
        let (car, undo_steps) = (bytes(&file.car), file.undo.clone());
        if undo(&mut file).is_some() {
            prop_assert!(redo(&mut file).is_some());
        }
        prop_assert_eq!(bytes(&file.car), car);
        prop_assert_eq!(file.undo, undo_steps);
    }
}

#[test]
fn an_act_that_changes_nothing_adds_no_step_and_keeps_redo() {
    let mut file = CarFile::default();
    assert!(apply(&mut file, "name", "", |r| r.name = "Pudd Newt".into()));
    undo(&mut file).unwrap();
    assert!(!apply(&mut file, "name", "", |r| r.name = String::new()));
    assert!(!apply(&mut file, "miles", "", |r| {
        r.particulars.odometer_miles = Some(f64::NAN);
    }));
    assert!(file.undo.is_empty() && file.redo.len() == 1);
    assert_eq!(redo(&mut file).unwrap().label, "name");
    assert_eq!(file.car.name, "Pudd Newt");
}

#[test]
fn the_last_two_hundred_steps_are_kept() {
    let mut file = CarFile::default();
    for n in 0..260 {
        apply(&mut file, &n.to_string(), "", |r| {
            r.notes.push(n.to_string());
        });
    }
    assert_eq!(file.undo.len(), STEPS_KEPT);
    assert_eq!(file.undo[0].label, "60");
    while undo(&mut file).is_some() {}
    assert_eq!(file.car.notes.len(), 60);
}

#[test]
fn long_notes_never_let_the_steps_outgrow_the_file() {
    let mut file = CarFile::default();
    for n in 0..40 {
        let advert = format!("{n}{}", "x".repeat(300_000));
        apply(&mut file, "paste", "", |r| r.listing.advert = advert);
    }
    assert!(serde_json::to_vec(&file.undo).unwrap().len() < HISTORY_BYTES + HISTORY_BYTES / 8);
    assert!(file.undo.len() > 3);
    assert!(undo(&mut file).is_some());
}

#[test]
fn a_new_observation_is_a_small_step_however_many_there_are() {
    let mut file = CarFile::default();
    file.car.observations = (0..75).map(|n| observed(&format!("s{n}"), 1)).collect();
    apply(&mut file, "one more", "walk", |r| {
        r.observations.insert(30, observed("new", 0));
    });
    assert_eq!(file.undo[0].changes.len(), 1);
    assert_eq!(file.undo[0].changes[0].path, "/observations/30");
}

#[test]
fn a_step_that_no_longer_fits_changes_nothing() {
    let mut file = CarFile::default();
    apply(&mut file, "note", "", |r| r.notes.push("a".into()));
    file.car.notes[0] = "changed by hand".into();
    assert!(undo(&mut file).is_none());
    assert_eq!(file.car.notes, ["changed by hand"]);
    assert_eq!(file.undo.len(), 1);
}
