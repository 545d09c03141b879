//! The page of a report, read by a general XML parser (roxmltree): its figures are those of the JSON, and what is private stays out.

use super::mini::{KNOWLEDGE, TODAY, answered, buyer, car, run, saw};
use roxmltree::{Document, ParsingOptions};
use serde_json::Value;
use wrenchworth::car::papers::VinRead;
use wrenchworth::car::{Answer, CarRecord, Known, Money, Waiver};
use wrenchworth::engine::findings::findings;
use wrenchworth::engine::preference::EVEN;
use wrenchworth::report::full::{Audience, Compared, Document as Report, ReportWish, report};
use wrenchworth::report::html;
use wrenchworth::report::{WeighedCar, csv, json, markdown, text as written, words};

const HOSTILE: &str = "Newt</h1><script>alert(\"1\")</script>&amp;'\u{1b}[2J\u{202e}\u{0}]]><!--";

fn recorded() -> CarRecord {
    let mut car = car();
    car.listing.seller = "Mrs Pennifold".to_owned();
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

/// The report of one car in every form, and its JSON.
struct Made {
    page: String,
    markdown: String,
    text: String,
    json: Value,
}

impl Made {
    /// What is read of each form.
    fn read(&self) -> [String; 3] {
        // Markdown's marks before marks are not read.
        [
            text(&self.page),
            self.markdown.replace('\\', ""),
            self.text.split_whitespace().collect::<Vec<_>>().join(" "),
        ]
    }
}

/// The page and the JSON of one car.
fn made(record: &CarRecord, audience: Audience, with_names: bool) -> (String, Value) {
    let all = in_every_form(record, audience, with_names);
    (all.page, all.json)
}

fn in_every_form(record: &CarRecord, audience: Audience, with_names: bool) -> Made {
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
    let document = report(&[car], None, KNOWLEDGE.tables(), wish);
    Made {
        page: html::page(&document),
        markdown: markdown::written(&document),
        text: written::report(&document, written::Style::default()),
        json: json::weigh(&[car]),
    }
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
    let all = in_every_form(&recorded(), Audience::Me, false);
    let car = &all.json["cars"][0];
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
    for text in all.read() {
        for sum in &wanted {
            let sum = words::money(*sum, "$");
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
            "blue smoke",
        ] {
            assert!(text.contains(word), "no {word} in {text}");
        }
    }
    let drawings = parsed(&all.page)
        .descendants()
        .filter(|node| node.tag_name().name() == "svg")
        .count();
    assert_eq!(drawings, 3);
}

#[test]
fn no_line_of_the_text_is_wider_than_72_columns() {
    let text = in_every_form(&recorded(), Audience::Me, false).text;
    for line in text.lines() {
        assert!(textwrap::core::display_width(line) <= 72, "{line}");
        assert_eq!(line, line.trim_end());
    }
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
    record.name = format!("![x](http://evil) `c` **b** <img src=x> {HOSTILE}");
    let all = in_every_form(&record, Audience::Me, false);
    for (number, line) in all.markdown.lines().enumerate() {
        let mut before = ' ';
        for c in line.chars() {
            // Outside our own marks every one of theirs has its backslash.
            let ours = line.starts_with("> **") || line.starts_with('#') || line.starts_with('|');
            if "<>`[]".contains(c) && !(ours && c == '>' && number > 0) {
                assert_eq!(before, '\\', "{line}");
            }
            before = if before == '\\' { ' ' } else { c };
        }
        assert!(!line.contains("http:"), "{line}");
    }
    assert!(all.text.chars().all(|c| c == '\n' || !c.is_control()));
}

#[test]
fn names_places_and_the_last_six_of_the_number_are_left_out_unless_asked_for() {
    for (with_names, there) in [(false, false), (true, true)] {
        let mut record = recorded();
        for waiver in record.waivers.values_mut() {
            waiver
                .words
                .push_str("; pennifold’s number is 555-014-2299");
        }
        for text in in_every_form(&record, Audience::Me, with_names).read() {
            for secret in ["Pennifold", "Gravel Row", "987654", "555-014-2299"] {
                assert_eq!(text.contains(secret), there, "{secret} in {text}");
            }
        }
    }
}

#[test]
fn the_seller_sees_what_was_proven_and_no_limit() {
    let all = in_every_form(&recorded(), Audience::Seller, false);
    for text in all.read() {
        shows_the_seller(&text, &all.json["cars"][0]);
    }
}

fn shows_the_seller(text: &str, car: &Value) {
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

/// Two cars side by side: the document and the comparison.
fn both(one: &CarRecord, other: &CarRecord) -> (Report, String, Value) {
    let comparison = KNOWLEDGE.compare(&[("one", one), ("other", other)], &buyer(), &run(400));
    let preference = comparison.preferred(EVEN);
    let cars: Vec<WeighedCar<'_>> = [one, other]
        .into_iter()
        .zip(&comparison.cars)
        .map(|(record, car)| WeighedCar {
            slug: &car.slug,
            name: &record.name,
            record,
            appraisal: &car.appraisal,
            findings: None,
        })
        .collect();
    let compared = Compared {
        comparison: &comparison,
        preference: &preference,
    };
    let wish = ReportWish::default();
    let document = report(&cars, Some(compared), KNOWLEDGE.tables(), wish);
    (
        document,
        csv::compare(&comparison, &[one, other], &preference),
        json::compare(&comparison, &[one, other], &preference),
    )
}

#[test]
fn the_page_of_cars_side_by_side_holds_the_figures_of_the_json() {
    let mut other = car();
    other.name = "Pudd Newt 2014".to_owned();
    other.listing.asking = Some(Money::whole(2_300));
    let mut one = recorded();
    one.observations.clear();
    let (document, _, json) = both(&one, &other);
    assert_eq!(document.articles.len(), 3, "side by side, then each car");
    let page = html::page(&document);
    let texts = [
        text(&page),
        markdown::written(&document).replace('\\', ""),
        written::report(&document, written::Style::default()),
    ];
    let of_100 = |share: &Value| format!("{:.0} of 100", share.as_f64().unwrap() * 100.0);
    for text in texts {
        for (at, letter) in ["A", "B"].into_iter().enumerate() {
            assert!(text.contains(&of_100(&json["first_in"][at])), "{text}");
            let car = &json["cars"][at];
            for sum in [&car["limit_price"], &car["offer"]["settle"]] {
                if let Some(sum) = sum.as_f64() {
                    assert!(text.contains(&words::money(sum, "$")), "{sum} in {text}");
                }
            }
            let ranks = &json["preference"]["cars"][at]["ranks"];
            assert_eq!(ranks.as_array().unwrap().len(), 2, "{letter}");
        }
        assert!(text.contains(&format!("{} shared draws", of_100(&json["wins"][0][1]))));
        assert!(text.contains(&of_100(&json["none_of_these"])));
        assert!(text.contains("What would settle it") && text.contains("regret"));
    }
    // Not for the seller: what the other cars are is none of their business.
    let cars_only = document.articles.get(1).unwrap();
    assert!(!format!("{cars_only:?}").contains("Pudd Newt"));
    for line in written::report(&document, written::Style::default()).lines() {
        assert!(textwrap::core::display_width(line) <= 72, "{line}");
    }
}

#[test]
fn no_cell_of_the_spreadsheet_is_a_formula_and_its_figures_are_those_of_the_json() {
    let mut one = recorded();
    one.name = "=HYPERLINK(\"http://evil\",\"Newt\")".to_owned();
    let mut other = car();
    other.name = "@SUM(1+1)*cmd|' /C calc'!A0".to_owned();
    other.currency = "-2+3".to_owned();
    let (_, csv, json) = both(&one, &other);
    let rows = records_of(&csv);
    let names = &rows[0];
    assert!(rows.iter().all(|row| row.len() == names.len()), "{csv}");
    let at = |name: &str| names.iter().position(|known| known == name).unwrap();
    for (row, car) in rows.iter().skip(1).zip(json["cars"].as_array().unwrap()) {
        for cell in row {
            let number = cell.parse::<f64>().is_ok();
            assert!(
                number || !cell.starts_with(['=', '+', '-', '@', '\t']),
                "{cell}"
            );
        }
        let figure = |name: &str| row[at(name)].parse::<f64>().unwrap();
        assert!((figure("limit_price") - car["limit_price"].as_f64().unwrap()).abs() < 0.005);
        let mean = car["you_are_up"]["mean"].as_f64().unwrap();
        assert!((figure("you_are_up_mean") - mean).abs() < 0.005);
    }
    assert!(rows[1][at("name")].ends_with("HYPERLINK(\"http://evil\",\"Newt\")"));
}

/// A small reader of RFC 4180: quoted cells, doubled marks, lines ended by CR LF.
fn records_of(csv: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![String::new()]];
    let (mut quoted, mut chars) = (false, csv.chars().peekable());
    while let Some(c) = chars.next() {
        let row = rows.last_mut().unwrap();
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => {
                chars.next();
                row.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(String::new()),
            '\r' if !quoted => {}
            '\n' if !quoted => rows.push(vec![String::new()]),
            c => row.last_mut().unwrap().push(c),
        }
    }
    rows.retain(|row| row.len() > 1);
    rows
}
