//! The page of a report, read by a general XML parser (roxmltree): its figures are those of the JSON, and what is private stays out.

use super::mini::{KNOWLEDGE, TODAY, answered, buyer, car, run, saw};
use roxmltree::{Document, ParsingOptions};
use serde_json::Value;
use wrenchworth::car::papers::VinRead;
use wrenchworth::car::{Answer, CarRecord, Known, Waiver};
use wrenchworth::engine::findings::findings;
use wrenchworth::report::html::{Audience, ReportWish, report};
use wrenchworth::report::{WeighedCar, json, words};

const HOSTILE: &str = "Newt</h1><script>alert(\"1\")</script>&amp;'\u{1b}[2J\u{202e}\u{0}]]><!--";

fn recorded() -> CarRecord {
    let mut car = car();
    car.listing.place = "9 Gravel Row, Nether Spindle".to_owned();
    car.particulars.vin = None;
    car.papers.vins.push(VinRead {
        place: "dash".to_owned(),
        text: "ZZZTESTCAR1987654".to_owned(),
    });
    car.observations.push(saw("brake-discs-seen", 2));
    let mut said = answered("sills-tapped", Answer::Level(2));
    said.known = Known::Said;
    car.observations.push(said);
    car.waivers.insert(
        "sills-tapped".to_owned(),
        Waiver {
            words: "Mrs Pennifold of 9 Gravel Row, Nether Spindle, shows me ZZZTESTCAR1987654"
                .to_owned(),
            on: TODAY,
        },
    );
    car
}

/// The page and the JSON of one car.
fn made(record: &CarRecord, audience: Audience, with_names: bool) -> (String, Value) {
    let buyer = buyer();
    let out = KNOWLEDGE.appraise(record, &buyer, &run(400));
    let found = findings(record, KNOWLEDGE.tables(), &buyer, TODAY);
    let car = WeighedCar {
        slug: "dabchick",
        name: &record.name,
        record,
        appraisal: &out,
        findings: Some(&found),
    };
    let wish = ReportWish {
        audience,
        with_names,
    };
    (
        report(&[car], KNOWLEDGE.tables(), wish),
        json::weigh(&[car]),
    )
}

fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(page, options).unwrap()
}

/// All text of the page that is read, drawings too.
fn text(page: &str) -> String {
    let document = parsed(page);
    let body = document
        .descendants()
        .find(|node| node.has_tag_name(("http://www.w3.org/1999/xhtml", "body")))
        .unwrap();
    body.descendants()
        .filter_map(|node| node.is_text().then(|| node.text()).flatten())
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn the_page_holds_the_figures_of_the_json() {
    let (page, json) = made(&recorded(), Audience::Me, false);
    let (text, car) = (text(&page), &json["cars"][0]);
    let mut wanted: Vec<f64> = vec![
        car["limit_price"].as_f64().unwrap(),
        car["limit_blind"].as_f64().unwrap(),
        car["car"]["asking"].as_f64().unwrap(),
    ];
    wanted.extend(
        car["offer"]["steps"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(Value::as_f64),
    );
    wanted.extend(
        car["ladder"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(|rung| rung["cash"].as_f64()),
    );
    for sum in wanted {
        let sum = words::money(sum, "$");
        assert!(text.contains(&sum), "no {sum} in {text}");
    }
    for fault in car["faults"].as_array().unwrap() {
        let name = fault["name"].as_str().unwrap();
        let chance = words::percent(fault["chance"].as_f64().unwrap());
        assert!(
            text.contains(name) && text.contains(&chance),
            "{name} {chance}"
        );
    }
    for word in [
        "Not seen",
        "Plan of offers",
        "Cautions",
        "Sources",
        "Waived, in the words",
    ] {
        assert!(text.contains(word), "no {word}");
    }
    assert_eq!(
        parsed(&page)
            .descendants()
            .filter(|node| node.tag_name().name() == "svg")
            .count(),
        3
    );
}

#[test]
fn the_page_stands_alone_and_runs_nothing() {
    let (page, _) = made(&recorded(), Audience::Me, true);
    for node in parsed(&page)
        .descendants()
        .filter(roxmltree::Node::is_element)
    {
        assert!(
            !["script", "link", "img", "iframe", "object", "use", "a"]
                .contains(&node.tag_name().name())
        );
        for attribute in node.attributes() {
            let name = attribute.name();
            assert!(
                !name.starts_with("on") && name != "href" && name != "src",
                "{name}"
            );
        }
    }
    assert!(!page.contains("url(") && !page.contains("@import"));
}

#[test]
fn hostile_names_are_text_and_nothing_else() {
    let mut record = recorded();
    record.name = HOSTILE.to_owned();
    for waiver in record.waivers.values_mut() {
        waiver.words = HOSTILE.to_owned();
    }
    let (page, _) = made(&record, Audience::Me, false);
    assert!(!page.contains("<script") && !page.contains('\u{1b}') && !page.contains('\u{202e}'));
    let title = "Newt</h1><script>alert(\"1\")</script>&amp;'[2J]]><!--";
    assert!(text(&page).contains(title));
}

#[test]
fn names_places_and_the_last_six_of_the_number_are_left_out_unless_asked_for() {
    for (with_names, there) in [(false, false), (true, true)] {
        let (page, _) = made(&recorded(), Audience::Me, with_names);
        for secret in ["Pennifold", "Gravel Row", "987654"] {
            assert_eq!(text(&page).contains(secret), there, "{secret}");
        }
    }
}

#[test]
fn the_seller_sees_what_was_proven_and_no_limit() {
    let (page, json) = made(&recorded(), Audience::Seller, false);
    let (text, car) = (text(&page), &json["cars"][0]);
    assert!(text.contains("rotors: deep lip"));
    for hidden in [
        "sills",
        "limit",
        "Limit",
        "never pay",
        "offer",
        "wallet",
        "likely",
        "Waived",
        "STOP",
    ] {
        assert!(!text.contains(hidden), "{hidden} in {text}");
    }
    let limit = words::money(car["limit_price"].as_f64().unwrap(), "$");
    assert!(!text.contains(&limit));
    for fault in car["faults"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|fault| fault["standing"] != "seen")
    {
        assert!(!text.contains(fault["name"].as_str().unwrap()));
    }
}
