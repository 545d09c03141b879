//! Files that no car can have: one clear sentence with file, place and remedy, exit 1, nothing overwritten.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::cli::{err, file, out, ran, sample};
use std::fs;
use tempfile::TempDir;

/// What is replaced in the sample, by what, and what the sentence must hold besides the name of the file.
const CHANGED: &[(&str, &str, &[&str])] = &[
    // Negative or absurd numbers.
    (
        r#""odometer_miles": 168240"#,
        r#""odometer_miles": -5"#,
        &[
            "car.particulars.odometer_miles",
            "−5 mi",
            "correct it there",
        ],
    ),
    (
        r#""odometer_miles": 168240"#,
        r#""odometer_miles": 1e300"#,
        &["car.particulars.odometer_miles", "2,000,000 mi"],
    ),
    (
        r#""year": 2009"#,
        r#""year": 9999"#,
        &["car.particulars.year", "9999", "1900 to 2100"],
    ),
    (
        r#""year": 2009"#,
        r#""year": -1"#,
        &["car.particulars.year", "-1", "whole number from 0 up"],
    ),
    (
        r#""year": 2009"#,
        r#""year": "2009""#,
        &["car.particulars.year", "“2009”", "without quotes"],
    ),
    (
        r#""asking": "1850""#,
        r#""asking": "-100""#,
        &["car.listing.asking", "−100"],
    ),
    (
        r#""asking": "1850""#,
        r#""asking": "99999999999""#,
        &["car.listing.asking", "10,000,000"],
    ),
    // Prices with signs, commas or points.
    (
        r#""asking": "1850""#,
        r#""asking": "$1,850""#,
        &["car.listing.asking", "“$1,850”", r#""1850""#, "line "],
    ),
    (
        r#""asking": "1850""#,
        r#""asking": "1,850""#,
        &["car.listing.asking", "“1,850”", r#""1850""#],
    ),
    (
        r#""asking": "1850""#,
        r#""asking": "1.850,00""#,
        &["car.listing.asking", "“1.850,00”", "commas", r#""1850.50""#],
    ),
    (
        r#""asking": "1850""#,
        r#""asking": 1850"#,
        &["car.listing.asking", "quotes", r#""1850""#],
    ),
    (
        r#""asking": "1850""#,
        r#""asking": """#,
        &["car.listing.asking", r#""1850""#],
    ),
    (
        r#""asking": "1850""#,
        r#""asking": "1850", "listed_on": "yesterday""#,
        &["car.listing.listed_on", "no day", "2026-11-14"],
    ),
    // Kilometers where miles are due.
    (
        r#""odometer_miles": 168240"#,
        r#""odometer_miles": "270756km""#,
        &["car.particulars.odometer_miles", "kilometers", "168240"],
    ),
    (
        r#""odometer_miles": 168240"#,
        r#""odometer_miles": "168,240""#,
        &["car.particulars.odometer_miles", "“168,240”", "168240"],
    ),
    (
        r#""odometer_miles": 168240"#,
        r#""odometer_miles": "17l,000""#,
        &[
            "car.particulars.odometer_miles",
            "“17l,000”",
            "without quotes",
        ],
    ),
    (
        r#""odometer_miles": 168240"#,
        r#""odometer_km": 270756"#,
        &[
            "car.particulars.odometer_km",
            "write odometer_miles in miles",
            "168240",
        ],
    ),
    // Letters that no number of a car has.
    (
        r#""year": 2009"#,
        r#""vin": "ZZZDAB1819XI46200", "year": 2009"#,
        &["car.particulars.vin", "I in place 12", "likely 1"],
    ),
    (
        r#""year": 2009"#,
        r#""vin": "OZZDAB1819X146200", "year": 2009"#,
        &["car.particulars.vin", "O in place 1", "likely 0"],
    ),
    (
        r#""year": 2009"#,
        r#""vin": "ZZZDAB1819X14620Q", "year": 2009"#,
        &["car.particulars.vin", "Q in place 17", "likely 0"],
    ),
    (
        r#""year": 2009"#,
        r#""fuel": "petroleum", "year": 2009"#,
        &["car.particulars.fuel", "“petroleum”", "petrol or diesel"],
    ),
];

/// Words of the libraries beneath that nobody should have to read.
const NOT_OURS: &[&str] = &[
    "Decimal", "expected", "invalid", "u16", "f64", "struct", "serde", "column 0",
];

fn refused(home: &TempDir, args: &[&str], text: &str) -> String {
    let path = file(home, "odd.car.json", text);
    let output = ran(home.path(), args);
    assert_eq!(output.status.code(), Some(1), "{text:.200}");
    assert!(out(&output).is_empty());
    let said = err(&output);
    assert_eq!(said.lines().count(), 1, "one sentence: {said}");
    assert!(said.contains("odd.car.json"), "{said}");
    for word in NOT_OURS {
        assert!(!said.contains(word), "{word}: {said}");
    }
    assert_eq!(
        fs::read_to_string(&path).unwrap(),
        text,
        "nothing is overwritten"
    );
    said
}

#[test]
fn every_number_that_no_car_has_is_refused_with_file_place_and_remedy() {
    let home = TempDir::new().unwrap();
    let sound = fs::read_to_string(sample("dabchick-2009")).unwrap();
    let dabchick = sample("dabchick-2009");
    for (was, is, wanted) in CHANGED {
        let text = sound.replacen(was, is, 1);
        assert_ne!(text, sound, "the sample no longer says {was}");
        for args in [
            &["weigh", "odd.car.json"][..],
            &["compare", &dabchick, "odd.car.json"],
        ] {
            let said = refused(&home, args, &text);
            for part in *wanted {
                assert!(said.contains(part), "{is}: no {part} in {said}");
            }
        }
    }
}

#[test]
fn a_file_that_is_none_is_refused_with_what_it_is() {
    let home = TempDir::new().unwrap();
    let sound = fs::read_to_string(sample("dabchick-2009")).unwrap();
    let deep = format!(
        r#"{{"schema":1,"car":{{"odd":{}{}}}}}"#,
        "[".repeat(200_000),
        "]".repeat(200_000)
    );
    let newer = sound.replacen(r#""schema": 1"#, r#""schema": 2"#, 1);
    for (text, wanted) in [
        (&sound[..sound.len() / 2], "is cut off at line"),
        ("once upon a time", "is not JSON at line 1"),
        (deep.as_str(), "is nested too deep"),
        (newer.as_str(), "was written by a newer version"),
    ] {
        let said = refused(&home, &["weigh", "odd.car.json"], text);
        assert!(said.contains(wanted), "{said}");
    }
    let long = home.path().join("odd.car.json");
    fs::File::create(&long).unwrap().set_len(100 << 20).unwrap();
    let output = ran(home.path(), &["weigh", "odd.car.json"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        err(&output).contains("too long for a car file (over 16 MB)"),
        "{}",
        err(&output)
    );
}

#[test]
fn a_buyer_with_numbers_that_nobody_has_is_refused_too() {
    let home = TempDir::new().unwrap();
    let car = sample("dabchick-2009");
    for (text, place) in [
        (r#"{"hours_a_week": 200}"#, "hours_a_week"),
        (r#"{"pace": 0}"#, "pace"),
        (
            r#"{"confidence": 0.3}"#,
            "be right: 30% is outside 50 to 99%",
        ),
        (r#"{"wallet": "$2,400"}"#, r#""2400""#),
        (r#"{"garage_rate": "-1"}"#, "garage_rate"),
    ] {
        let buyer = file(&home, "odd/buyer.json", text);
        let named = buyer.to_string_lossy();
        let output = ran(home.path(), &["weigh", &car, "--buyer", &named]);
        assert_eq!(output.status.code(), Some(1), "{text}");
        let said = err(&output);
        assert!(
            said.contains("buyer.json") && said.contains(place),
            "{said}"
        );
        assert_eq!(fs::read_to_string(&buyer).unwrap(), text);
    }
}
