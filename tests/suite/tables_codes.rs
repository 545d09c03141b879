//! Trouble codes: how they are built, what the table holds of them, and where they lead.
//!
//! Structure: SAE J2012 / ISO 15031-6, as an open reader library (obd 0.7.3, `parse_dtc`) decodes two bytes and as open tables of generic
//! descriptions group the third character.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::tables_kit;

use std::collections::{BTreeMap, BTreeSet};
use tables_kit::*;
use wrenchworth::car::System;
use wrenchworth::report::look_up::{Kind, details, entries};
use wrenchworth::trade::code::{Owner, Part, Structure};
use wrenchworth::trade::{SignKind, check};

#[test]
fn bytes_of_a_reader_become_the_codes_of_the_published_examples() {
    for (bytes, code) in [
        ([0x41, 0x23], "C0123"),
        ([0x01, 0x71], "P0171"),
        ([0x04, 0x20], "P0420"),
        ([0xC1, 0x00], "U0100"),
        ([0x03, 0x03], "P0303"),
        ([0x0A, 0x80], "P0A80"),
        ([0x80, 0x01], "B0001"),
    ] {
        let taken_apart = Structure::of_bytes(bytes).unwrap();
        assert_eq!(taken_apart.written(), code);
        assert_eq!(Structure::of(code).unwrap().bytes, bytes);
    }
    // Two zero bytes pad the answer.
    assert_eq!(Structure::of_bytes([0, 0]), None);
    assert_eq!(Structure::of("P0000"), None);
}

#[test]
fn every_pair_of_bytes_is_written_and_read_back() {
    for first in 0..=255 {
        for second in 0..=255 {
            let Some(code) = Structure::of_bytes([first, second]) else {
                assert_eq!((first, second), (0, 0));
                continue;
            };
            assert_eq!(Structure::of(&code.written()), Some(code));
        }
    }
    for no_code in [
        "P04", "P01711", "Q0171", "P4171", "0171", "", "PP171", "P01 71",
    ] {
        assert_eq!(Structure::of(no_code), None, "{no_code}");
    }
}

#[test]
fn makers_fill_their_own_ranges() {
    let owner = |code: &str| Structure::of(code).unwrap().owner;
    for code in [
        "P0171", "P2101", "P3400", "P3FFF", "B0001", "C0035", "U0100",
    ] {
        assert_eq!(owner(code), Owner::Standard, "{code}");
    }
    for code in [
        "P1135", "P3000", "P33FF", "B1000", "B2FFF", "C1256", "U1000",
    ] {
        assert_eq!(owner(code), Owner::Maker, "{code}");
    }
    for code in ["B3000", "C3000"] {
        assert_eq!(owner(code), Owner::Reserved, "{code}");
    }
    // Every code of the table in a maker's range says so in its note; the check of the tables holds that.
    assert!(check(tables()).is_empty());
}

#[test]
fn four_hundred_codes_lead_to_a_hundred_and_twenty_signs() {
    let mut to_a_sign: BTreeMap<&str, usize> = BTreeMap::new();
    for code in &tables().codes {
        *to_a_sign.entry(&code.sign).or_default() += 1;
    }
    assert!(tables().codes.len() >= 400, "{}", tables().codes.len());
    assert!(to_a_sign.len() >= 120, "{}", to_a_sign.len());
    assert!(to_a_sign.values().all(|codes| *codes <= 12));
    // No code sign without a code.
    for sign in tables()
        .signs
        .iter()
        .filter(|sign| sign.kind == SignKind::Code)
    {
        assert!(to_a_sign.contains_key(sign.id.as_str()), "{}", sign.id);
    }
    let meanings: BTreeSet<(&str, Option<u8>, Option<u8>)> = tables()
        .codes
        .iter()
        .map(|code| (code.meaning.as_str(), code.cylinder, code.bank))
        .collect();
    assert!(
        meanings.len() + 20 >= tables().codes.len(),
        "{} codes say only {} things",
        tables().codes.len(),
        meanings.len()
    );
}

/// The third character of a powertrain code names its subsystem: gearbox codes are P07 to P09, hybrid ones P0A to P0C, misfires P03.
#[test]
fn the_system_of_every_powertrain_code_is_that_of_its_third_character() {
    for row in &tables().codes {
        let code = Structure::of(&row.id).unwrap();
        if code.part != Part::Powertrain || code.bytes[0] >> 4 != 0 {
            continue;
        }
        let right = match code.subsystem {
            // The switches of brake and starter speak to the gearbox too.
            7..=9 => matches!(
                row.system,
                System::Gearbox | System::Brakes | System::Electrics
            ),
            10..=12 => row.system == System::Electrics,
            // Six is the computer and what it drives, five speed, idle and other inputs: both reach into the whole car.
            5 | 6 => true,
            0..=4 => matches!(
                row.system,
                System::Fuel | System::Engine | System::Cooling | System::Gearbox | System::Heating
            ),
            _ => false,
        };
        assert!(right, "{}: {:?}", row.id, row.system);
        assert!(!code.subsystem_words().is_empty(), "{}", row.id);
    }
}

#[test]
fn misfire_and_injector_codes_name_their_cylinder() {
    for cylinder in 1..=12 {
        let row = tables().code(&format!("P03{cylinder:02}")).unwrap();
        assert_eq!(row.cylinder, Some(cylinder));
        assert_eq!(row.place().unwrap(), format!("cylinder {cylinder}"));
        assert_eq!(row.sign, "p030x");
    }
    for cylinder in 1..=8 {
        let row = tables().code(&format!("P02{cylinder:02}")).unwrap();
        assert_eq!(row.cylinder, Some(cylinder));
    }
    // Bank 1 and bank 2 of the same meaning: P0171 and P0174, P0420 and P0430.
    for (one, two) in [("P0171", "P0174"), ("P0420", "P0430"), ("P0011", "P0021")] {
        assert_eq!(tables().code(one).unwrap().bank, Some(1), "{one}");
        assert_eq!(tables().code(two).unwrap().bank, Some(2), "{two}");
    }
}

#[test]
fn a_code_is_looked_up_by_its_own_name_and_told_with_its_sign() {
    let entries = entries(tables());
    let found = entries
        .iter()
        .find(|entry| entry.kind == Kind::Code && entry.id == "P0303")
        .unwrap();
    let told = details(tables(), Kind::Code, found.id);
    let has = |label: &str, words: &str| {
        told.iter()
            .any(|(shown, text)| *shown == label && text.contains(words))
    };
    assert!(
        has("says", "misfire") && has("place", "cylinder 3"),
        "{told:?}"
    );
    assert!(has("points to", "ignition coil"), "{told:?}");
    assert_eq!(tables().sign_named("p0303").unwrap().id, "p030x");
    assert_eq!(tables().sign_named("idle-hunts").unwrap().id, "idle-hunts");
    assert!(tables().code_named("P1135").is_none());
}

/// A sign with several codes is found by any of them in the picker: they stand among what it is also called.
#[test]
fn every_code_stands_in_the_words_of_its_sign() {
    for code in &tables().codes {
        let sign = tables().sign(&code.sign).unwrap();
        assert!(sign.also_called.contains(&code.id), "{}", code.id);
    }
}

#[test]
fn the_cylinder_of_a_code_on_file_goes_with_the_faults_it_speaks_for() {
    let tables = tables();
    let mut car = plain();
    let read: wrenchworth::car::CodeRead =
        serde_json::from_value(serde_json::json!({"code": "P0303", "state": "stored"})).unwrap();
    let at = jiff::civil::date(2026, 11, 1).at(10, 0, 0, 0);
    wrenchworth::engine::scan::put_code(&mut car, tables, &read, Some(true), at);
    let out = TRADE.appraise(&car, &works_at_home(), &run(200));
    let sign = &tables.code_named("p0303").unwrap().sign;
    let (with, without): (Vec<_>, Vec<_>) =
        (out.faults.iter()).partition(|fault| fault.because_of.contains(sign));
    assert!(with.len() >= 5);
    assert!(
        with.iter()
            .all(|fault| fault.name.ends_with("(cylinder 3)"))
    );
    assert!(
        without
            .iter()
            .all(|fault| !fault.name.contains("cylinder 3"))
    );
}

/// Cylinder and bank are the figures of a code row: each code that has one tells it with the faults, and another figure tells another.
#[test]
fn every_cylinder_and_bank_of_a_code_is_told_with_its_faults() {
    let tables = tables();
    let at = jiff::civil::date(2026, 11, 1).at(10, 0, 0, 0);
    let mut tried = BTreeSet::new();
    for code in &tables.codes {
        let place = match (code.cylinder, code.bank) {
            (Some(cylinder), _) => format!("cylinder {cylinder}"),
            (None, Some(bank)) => format!("bank {bank}"),
            (None, None) => continue,
        };
        // One code a sign and place: the others of a sign go the same way.
        if !tried.insert((code.sign.clone(), code.cylinder.is_some())) {
            continue;
        }
        let mut car = plain();
        let read: wrenchworth::car::CodeRead =
            serde_json::from_value(serde_json::json!({"code": code.id, "state": "stored"}))
                .unwrap();
        wrenchworth::engine::scan::put_code(&mut car, tables, &read, Some(true), at);
        let out = TRADE.appraise(&car, &works_at_home(), &run(1));
        let spoken = out
            .faults
            .iter()
            .filter(|fault| fault.because_of.contains(&code.sign));
        for fault in spoken {
            assert!(
                fault.name.contains(&place),
                "{}: {} without {place}",
                code.id,
                fault.name
            );
        }
    }
    assert!(tried.len() > 30, "{}", tried.len());
}
