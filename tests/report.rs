//! The reports of one appraisal made by hand: text by snapshot, JSON by the promised list of fields.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use serde_json::Value;
use wrenchworth as house;
use wrenchworth::car::{CarRecord, Money};
use wrenchworth::engine::{ComparedCar, Pace, StandsAt};
use wrenchworth::report::text::Style;
use wrenchworth::report::{WeighedCar, json, text};

#[path = "report/deeds.rs"]
mod deeds;
#[path = "fixtures/appraisal.rs"]
mod fixed;
#[path = "report/letters.rs"]
mod letters;
#[path = "suite/mini.rs"]
mod mini;
#[path = "report/pages.rs"]
mod pages;
#[path = "suite/support/strategies.rs"]
mod strategies;

fn record() -> CarRecord {
    let mut record = CarRecord {
        name: "Zorrel Dabchick 1.8 2009".to_owned(),
        ..CarRecord::default()
    };
    record.listing.asking = Some(Money::whole(1_850));
    record.particulars.year = Some(2009);
    record.particulars.odometer_miles = Some(168_240.0);
    record
}

fn written(style: Style) -> String {
    let (record, appraisal) = (record(), fixed::appraisal());
    text::weigh(
        &[WeighedCar {
            slug: "dabchick-2009",
            name: &record.name,
            record: &record,
            appraisal: &appraisal,
            findings: None,
        }],
        style,
    )
}

fn as_json() -> Value {
    let (record, appraisal) = (record(), fixed::appraisal());
    json::weigh(&[WeighedCar {
        slug: "dabchick-2009",
        name: &record.name,
        record: &record,
        appraisal: &appraisal,
        findings: None,
    }])
}

fn compared() -> house::engine::Comparison {
    let car = |slug: &str, name: &str| ComparedCar {
        slug: slug.to_owned(),
        name: name.to_owned(),
        appraisal: fixed::appraisal(),
        stands_at: StandsAt::Settle,
    };
    fixed::comparison(vec![
        car("dabchick", "Zorrel Dabchick 1.8"),
        car("newt", "Pudd Newt 1.6"),
    ])
}

#[test]
fn the_text_of_a_weighed_car_reads_like_this() {
    insta::assert_snapshot!("weigh", written(Style::default()));
}

#[test]
fn the_plain_text_in_ascii_reads_like_this() {
    let style = Style {
        plain: true,
        ascii: true,
    };
    let text = written(style);
    assert!(text.is_ascii());
    insta::assert_snapshot!("weigh_plain_ascii", text);
}

#[test]
fn the_text_of_cars_side_by_side_reads_like_this() {
    let marks = vec!["$".to_owned(), "$".to_owned()];
    insta::assert_snapshot!(
        "compare",
        text::compare(
            &compared(),
            &marks,
            &compared().preference,
            Style::default()
        )
    );
}

#[test]
fn no_line_is_wider_than_72_columns_and_none_ends_in_blanks() {
    for plain in [false, true] {
        for line in written(Style {
            plain,
            ascii: false,
        })
        .lines()
        {
            assert!(textwrap::core::display_width(line) <= 72, "{line}");
            assert_eq!(line, line.trim_end());
        }
    }
}

#[test]
fn the_rungs_shown_add_up_to_the_room_and_to_the_limit() {
    let text = written(Style::default());
    let ladder = text
        .split("Why this limit\n")
        .nth(1)
        .unwrap()
        .split("\n\n")
        .next()
        .unwrap();
    let amount = |line: &str| -> f64 {
        let last = line.split_whitespace().next_back().unwrap();
        last.replace(['$', ',', '+'], "")
            .replace('−', "-")
            .parse()
            .unwrap()
    };
    let mut total = 0.0;
    for line in ladder.lines() {
        if line.contains("room, on average") || line.contains("never pay over") {
            assert!((amount(line) - total).abs() < 1e-9, "{line} after {total}");
        } else {
            total += amount(line);
        }
    }
}

#[test]
fn words_from_outside_cannot_command_the_terminal() {
    let mut record = record();
    record.name = "Newt\u{1b}]0;owned\u{7}\u{202e}\u{9b}2J\r\nsecond".to_owned();
    let appraisal = fixed::appraisal();
    let car = WeighedCar {
        slug: "newt",
        name: &record.name,
        record: &record,
        appraisal: &appraisal,
        findings: None,
    };
    for plain in [false, true] {
        let text = text::weigh(
            &[car],
            Style {
                plain,
                ascii: false,
            },
        );
        assert!(
            text.chars().all(|c| c == '\n' || !c.is_control()),
            "{text:?}"
        );
        assert!(!text.contains('\u{202e}'));
    }
}

/// The fields of a weighed car as the interface promises them.
const CAR_FIELDS: &[&str] = &[
    "car",
    "assumptions",
    "faults",
    "care",
    "openness",
    "repair",
    "unseen",
    "wear",
    "fit_out",
    "fees",
    "allowance",
    "ladder",
    "worth",
    "worth_missing",
    "floor",
    "limit_price",
    "limit_lines",
    "limit_blind",
    "limit_if_nothing_new",
    "withheld_because",
    "verdict",
    "offer",
    "chances",
    "pace",
    "stops",
    "cautions",
    "trace",
];
/// Fields of the objects inside, by JSON pointer.
const PARTS: &[(&str, &[&str])] = &[
    (
        "/assumptions",
        &["date", "buyer", "purpose", "draws", "assumed"],
    ),
    (
        "/faults/0",
        &[
            "id",
            "name",
            "chance",
            "because_of",
            "needed",
            "route",
            "cash",
            "hours",
            "trace_id",
        ],
    ),
    (
        "/repair",
        &[
            "cash",
            "hours",
            "garage_hours",
            "shared_labour_saved",
            "trace_id",
        ],
    ),
    ("/unseen", &["cash", "hours", "trace_id"]),
    ("/ladder/0", &["id", "label", "cash", "trace_id"]),
    ("/floor", &["scrap", "parts", "as_is", "best"]),
    (
        "/limit_lines",
        &["value", "wallet", "rules_hopeful", "rules_cautious"],
    ),
    (
        "/offer",
        &[
            "kind",
            "open",
            "steps",
            "settle",
            "limit",
            "take_it_at",
            "chance_of_deal",
            "trace_id",
        ],
    ),
    ("/chances", &["before", "after", "offers", "trace_id"]),
    ("/chances/before", &["cheap", "reliable", "fast"]),
    ("/chances/after", &["cheap", "reliable", "fast"]),
    ("/stops/0", &["id", "sentence", "waived", "trace_id"]),
    ("/cautions/0", &["id", "sentence", "source"]),
];
/// Fields of an unsure figure.
const SPREAD: &[&str] = &[
    "mean", "p10", "p20", "p30", "p50", "p80", "p90", "sd", "trace_id",
];

#[test]
fn the_json_has_every_field_that_is_promised() {
    let json = as_json();
    assert_eq!(json["schema"], 1);
    let car = &json["cars"][0];
    for field in CAR_FIELDS {
        assert!(car.get(field).is_some(), "no {field}");
    }
    for (pointer, fields) in PARTS {
        let part = car
            .pointer(pointer)
            .unwrap_or_else(|| panic!("no {pointer}"));
        for field in *fields {
            assert!(part.get(field).is_some(), "no {pointer}/{field}");
        }
    }
    for pointer in [
        "/repair/cash",
        "/repair/hours",
        "/unseen/cash",
        "/unseen/hours",
        "/fit_out",
        "/worth",
    ] {
        for field in SPREAD {
            assert!(
                car.pointer(pointer).unwrap().get(field).is_some(),
                "no {pointer}/{field}"
            );
        }
    }
}

#[test]
fn amounts_are_numbers_words_are_the_promised_words_and_unknowns_are_null() {
    let json = as_json();
    let car = &json["cars"][0];
    assert_eq!(car["limit_price"].to_string(), "1350");
    assert_eq!(car["limit_lines"]["value"].to_string(), "1362.42");
    assert_eq!(car["limit_lines"]["rules_hopeful"], Value::Null);
    assert_eq!(car["limit_if_nothing_new"], Value::Null);
    assert_eq!(car["withheld_because"][0], "FLD01");
    assert_eq!(car["verdict"], "buy");
    assert_eq!(car["offer"]["kind"], "ladder");
    assert_eq!(car["faults"][0]["route"], "garage");
    assert_eq!(car["faults"][2]["route"], "lived_with");
    assert_eq!(car["pace"], Value::Null);
    assert_eq!(car["pace_missing"], "power is not on file");
    assert_eq!(car["wear"], Value::Null);
    assert_eq!(car["chances"]["before"]["fast"], Value::Null);
    assert_eq!(car["assumptions"]["date"], "2026-11-14");
    assert_eq!(car["car"]["asking"].to_string(), "1850");
}

#[test]
fn the_rungs_of_the_json_add_up_to_the_cent() {
    let json = as_json();
    let mut cents = 0.0;
    for rung in json["cars"][0]["ladder"].as_array().unwrap() {
        let cash = rung["cash"].as_f64().unwrap() * 100.0;
        if rung["id"] == "room" {
            assert!((cash - cents).abs() < 1e-6);
            return;
        }
        cents += cash;
    }
    panic!("the ladder has no room");
}

#[test]
fn the_same_appraisal_gives_the_same_bytes() {
    assert_eq!(as_json().to_string(), as_json().to_string());
}

#[test]
fn a_figure_that_is_no_number_is_null() {
    let (record, mut appraisal) = (record(), fixed::appraisal());
    appraisal.fees = f64::NAN;
    appraisal.pace = Some(Pace {
        zero_to_60_mph_s: f64::INFINITY,
        quarter_mile_s: 17.204,
        quarter_mile_mph: 81.0,
        band_s: 1.0,
    });
    let json = json::weigh(&[WeighedCar {
        slug: "x",
        name: &record.name,
        record: &record,
        appraisal: &appraisal,
        findings: None,
    }]);
    let car = &json["cars"][0];
    assert_eq!(car["fees"], Value::Null);
    assert_eq!(car["pace"]["zero_to_60_mph_s"], Value::Null);
    assert_eq!(car["pace"]["quarter_mile_s"].to_string(), "17.2");
    assert_eq!(car["pace_missing"], Value::Null);
}

#[test]
fn cars_side_by_side_have_every_field_that_is_promised() {
    let record = record();
    let comparison = compared();
    let json = json::compare(&comparison, &[&record, &record], &comparison.preference);
    for field in ["schema", "cars", "wins", "regret", "best", "swap"] {
        assert!(json.get(field).is_some(), "no {field}");
    }
    assert_eq!(json["best"], "none");
    assert_eq!(json["swap"]["check"], "compression");
    assert_eq!(json["swap"]["outcomes"][1]["best"], "none");
    assert!(json["swap"].get("weight").is_some());
    assert_eq!(json["preference"]["weights"]["fast"], Value::Null);
    assert_eq!(json["wins"][0].as_array().unwrap().len(), 2);
    let mut with_best = compared();
    with_best.best = Some(1);
    assert_eq!(
        json::compare(&with_best, &[], &comparison.preference)["best"],
        "newt"
    );
}
