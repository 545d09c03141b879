//! What follows by law and arithmetic, as `weigh` writes it: text for people, fields for scripts.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;
use jiff::civil::date;
use wrenchworth::car::obd::reader_text;
use wrenchworth::car::{Buyer, CarRecord, CheckExtras, Receipt, Waiver};
use wrenchworth::engine::findings::findings;
use wrenchworth::engine::readings::read_typed;
use wrenchworth::engine::scan::put_on_file;
use wrenchworth::engine::{Knowledge, Run};
use wrenchworth::report::{WeighedCar, json, text};
use wrenchworth::trade::Tables;

const TODAY: jiff::civil::Date = date(2026, 11, 25);

fn car(tables: &Tables) -> CarRecord {
    let mut car = mini::car();
    let row = tables.sign("pads-seen").unwrap();
    let extras = CheckExtras {
        reading: Some(read_typed(row, tables, "2mm").unwrap()),
        ..CheckExtras::default()
    };
    car.observations.push(mini::saw("pads-seen", 0));
    car.checks.insert("pads-seen".to_owned(), extras);
    car.observations.push(mini::saw("pedal-held", 3));
    car.waivers.insert(
        "gate/road/pedal-held".to_owned(),
        Waiver {
            words: "closed yard only".to_owned(),
            on: TODAY,
        },
    );
    car.papers.tires = vec!["1023".to_owned()];
    car.papers.receipts = vec![Receipt {
        on: Some(date(2024, 1, 5)),
        miles: Some(140_000.0),
        what: "brakes".to_owned(),
    }];
    let read = reader_text("P1234\nMIL: off\n2 not ready\nDistance since codes cleared: 3 miles");
    put_on_file(&mut car, tables, &read, TODAY.at(9, 0, 0, 0));
    // A stored code speaks for itself; pending ones do not.
    car.codes.clear();
    car
}

#[test]
fn text_and_json_tell_the_limit_its_source_and_what_cannot_be_true() {
    let tables = Tables::embedded().unwrap();
    let buyer = Buyer::default();
    let record = car(&tables);
    let run = Run {
        today: TODAY,
        seed: 1,
        draws: 50,
    };
    let appraisal = Knowledge::new(tables.clone()).appraise(&record, &buyer, &run);
    let found = findings(&record, &tables, &buyer, TODAY);
    let weighed = [WeighedCar {
        slug: "newt",
        name: "Pudd Newt",
        record: &record,
        appraisal: &appraisal,
        findings: Some(&found),
    }];
    let text = text::weigh(&weighed, text::Style::default());
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "thinnest pad 2 mm: passes, renew it soon: 2 mm or under",
        "handbook: common practice",
        "Contradiction: “brakes” of 2024-01-05 has 140,000 mi, the odometer 128,000 mi.",
        "week 10 of 2023",
        "state unknown, probably cleared",
        "Waived, in your words “closed yard only”: no drive on the road",
        "the seller must state the miles",
    ] {
        assert!(flat.contains(words), "{words}\n{text}");
    }
    let json = json::weigh(&weighed);
    let car = &json["cars"][0];
    assert_eq!(car["readings"][0]["measured"][0]["rule_set"], "handbook");
    assert_eq!(car["readings"][0]["level"], 2);
    assert_eq!(
        car["papers"]["contradictions"][0]["id"],
        "receipt-over-odometer"
    );
    assert_eq!(car["papers"]["odometer_disclosure"], "required");
    assert_eq!(car["papers"]["tires"][0]["week"], 10);
    assert!(
        car["scan"]["memory"]
            .as_str()
            .unwrap()
            .contains("probably cleared")
    );
    assert_eq!(car["waived_dangers"][0]["id"], "gate/road/pedal-held");
}
