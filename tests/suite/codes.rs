//! Codes, readiness and counters, through the functions that the walk-around and `weigh` call.
//!
//! `pids.csv`: random replies of service 01 decoded by the library obd 0.7.3 (values only); the bits of PID 01 likewise. Structure of a
//! code: SAE J2012 / ISO 15031-6 as public tables have it. Unset monitors allowed: 66 FR 18156, figures from memory.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;
use jiff::civil::{Date, DateTime, date};
use wrenchworth::car::obd::{CodeRead, CodeState, decode, reader_text, status};
use wrenchworth::car::{Buyer, CarRecord};
use wrenchworth::engine::findings::findings;
use wrenchworth::engine::scan::{Memory, Scan, code_words, put_code, put_on_file, scan, sign_of};
use wrenchworth::engine::{Appraisal, Knowledge, Run};
use wrenchworth::trade::Tables;

const TODAY: Date = date(2026, 11, 25);
const NOW: DateTime = date(2026, 11, 25).at(10, 0, 0, 0);

fn pasted(text: &str) -> CarRecord {
    let mut car = mini::car();
    let tables = Tables::embedded().unwrap();
    put_on_file(&mut car, &tables, &reader_text(text), NOW);
    car
}

fn of(car: &CarRecord) -> Scan {
    scan(car, &Tables::embedded().unwrap(), TODAY)
}

fn weighed(car: &CarRecord) -> Appraisal {
    let run = Run {
        today: TODAY,
        seed: 1,
        draws: 50,
    };
    Knowledge::new(Tables::embedded().unwrap()).appraise(car, &Buyer::default(), &run)
}

#[test]
fn replies_decode_as_another_library_decodes_them() {
    let mut seen = 0;
    for line in include_str!("../reference/pids.csv").lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let bytes: Vec<u8> = fields[1]
            .split(' ')
            .map(|byte| u8::from_str_radix(byte, 16).unwrap())
            .collect();
        let pid = u8::from_str_radix(fields[0], 16).unwrap();
        if pid == 1 {
            let found = status(bytes.clone().try_into().unwrap());
            let kind = if found.diesel { "compression" } else { "spark" };
            let words = format!(
                "{};{};{};{kind}",
                u8::from(found.lamp_on),
                found.codes,
                found.not_ready
            );
            assert_eq!(words, fields[2], "{line}");
            // The same through a paste.
            let text = format!("41 01 {}", fields[1]);
            assert_eq!(reader_text(&text).not_ready, Some(found.not_ready));
        } else {
            let value = decode(pid, &bytes)
                .unwrap_or_else(|| panic!("{line}"))
                .value;
            let wanted: f64 = fields[2].parse().unwrap();
            assert!((value - wanted).abs() < 1e-9, "{line}: {value}");
        }
        seen += 1;
    }
    assert!(seen > 200);
}

#[test]
fn two_worked_status_replies_come_out() {
    // 00 07 65 00: lamp off, no codes, all done. 81 07 65 21: lamp on, one code, catalyst and oxygen sensor open.
    let done = status([0x00, 0x07, 0x65, 0x00]);
    assert_eq!(
        (done.lamp_on, done.codes, done.not_ready, done.fitted),
        (false, 0, 0, 7)
    );
    let open = status([0x81, 0x07, 0x65, 0x21]);
    assert_eq!((open.lamp_on, open.codes, open.not_ready), (true, 1, 2));
    assert_eq!(status([0x83, 0x07, 0xff, 0x00]).codes, 3);
}

#[test]
fn a_makers_own_code_says_so_and_is_kept() {
    let tables = Tables::embedded().unwrap();
    for code in ["P1234", "P3055", "B1000", "C1201", "U1900"] {
        assert!(code_words(&tables, code).contains("maker"), "{code}");
    }
    for code in ["P0171", "P2463", "P0999", "P3400"] {
        assert!(!code_words(&tables, code).contains("maker"), "{code}");
    }
    assert_eq!(sign_of(&tables, "P0171").as_deref(), Some("p0171"));
    assert!(sign_of(&tables, "P0303").is_some());
    assert_eq!(code_words(&tables, "hello"), "no trouble code");
    let car = pasted("P1234");
    assert_eq!(car.codes.len(), 1);
    assert!(car.observations.is_empty());
    assert!(of(&car).codes[0].words.contains("maker"));
}

#[test]
fn pending_stored_and_permanent_are_told_apart() {
    let tables = Tables::embedded().unwrap();
    let level = |state: CodeState, lamp: Option<bool>| {
        let mut car = CarRecord::default();
        let code = CodeRead {
            code: "P0420".to_owned(),
            state,
        };
        put_code(&mut car, &tables, &code, lamp, NOW);
        match car.observations[0].answer {
            wrenchworth::car::Answer::Level(level) => level,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(level(CodeState::Pending, Some(true)), 1);
    assert_eq!(level(CodeState::Stored, Some(false)), 1);
    assert_eq!(level(CodeState::Stored, Some(true)), 2);
    assert_eq!(level(CodeState::Permanent, Some(false)), 2);
}

#[test]
fn lamp_off_not_ready_and_three_miles_is_unknown_probably_cleared_and_lowers_openness() {
    let cleared =
        "MIL: off\nCatalyst: not ready\nEVAP: not ready\nDistance since codes cleared: 3 miles";
    let car = pasted(cleared);
    let found = of(&car);
    assert_eq!(found.memory, Memory::ProbablyCleared);
    assert!(
        found
            .memory
            .words()
            .starts_with("state unknown, probably cleared")
    );
    let findings = findings(&car, &Tables::embedded().unwrap(), &Buyer::default(), TODAY);
    assert_eq!(findings.scan, found);

    let open = |car: &CarRecord| weighed(car).openness;
    let (before, after) = (open(&mini::car()), open(&car));
    assert!(after[0] > before[0] + 0.05, "{before:?} {after:?}");
    assert!(after[2] < before[2] - 0.05);

    // Long since cleared, by contrast, it speaks for the seller a little.
    let straight =
        pasted("MIL: off\n0 not ready\nDistance since codes cleared: 900 miles\nWarm-ups 60");
    assert_eq!(of(&straight).memory, Memory::Clean);
    assert!(open(&straight)[2] > before[2]);
}

#[test]
fn the_places_rule_decides_what_counts_as_not_ready() {
    let memory = |year: u16, count: u8| {
        let mut car = pasted(&format!("MIL off\n{count} not ready"));
        car.particulars.year = Some(year);
        of(&car).memory
    };
    assert_eq!(memory(2009, 2), Memory::Unready);
    assert_eq!(memory(1998, 2), Memory::Unsure);
    assert_eq!(memory(1998, 3), Memory::Unready);
    assert_eq!(memory(2009, 0), Memory::NotRead);
    let mut strict = Tables::embedded().unwrap();
    for row in &mut strict.limits {
        if row.item == "monitors-not-ready" && row.year_to == Some(2000) {
            row.greatest = Some(1.0);
        }
    }
    let mut car = pasted("MIL off\n2 not ready");
    car.particulars.year = Some(1998);
    assert_eq!(scan(&car, &strict, TODAY).memory, Memory::Unready);
}

#[test]
fn no_codes_is_evidence_on_a_ready_car_and_none_on_a_cleared_one() {
    let chance = |text: &str| {
        let mut car = pasted(text);
        car.observations.push(mini::saw("codes-read", 0));
        let weighed = weighed(&car);
        let fault = weighed
            .faults
            .iter()
            .find(|fault| fault.id == "EMI01")
            .unwrap();
        (
            fault.chance,
            weighed
                .assumptions
                .assumed
                .iter()
                .any(|one| one.words.contains("cleared")),
        )
    };
    let (ready, _) =
        chance("MIL: off\n0 not ready\nDistance since codes cleared: 900 miles\nWarm-ups 60");
    let (cleared, said) = chance("MIL: off\n3 not ready\nDistance since codes cleared: 3 miles");
    assert!(said);
    assert!(cleared > 2.0 * ready, "{ready} {cleared}");
}

#[test]
fn a_code_pasted_moves_the_figures() {
    let base = weighed(&mini::car());
    let with = weighed(&pasted("P0420"));
    let of = |weighed: &Appraisal| {
        weighed
            .faults
            .iter()
            .find(|fault| fault.id == "EMI01")
            .unwrap()
            .chance
    };
    assert!(of(&with) > 2.0 * of(&base));
}
