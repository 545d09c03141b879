//! `letter` as a script meets it: kinds, tones, rounds, two prices, files, and every way in which there is none.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use crate::cli::{err, file, out, ran, sample};
use serde_json::{Value, json};
use std::fs;
use tempfile::TempDir;

/// A sample with its JSON changed, in the home.
fn changed(home: &TempDir, name: &str, change: impl FnOnce(&mut Value)) -> String {
    let text = fs::read_to_string(sample("dabchick-2009")).unwrap();
    let mut json: Value = serde_json::from_str(&text).unwrap();
    change(&mut json["car"]);
    let path = file(home, name, &json.to_string());
    path.to_string_lossy().into_owned()
}

fn talks(moves: &[(&str, i64)]) -> Value {
    let each = moves
        .iter()
        .map(|(who, sum)| json!({"who": who, "amount": sum.to_string()}));
    Value::Array(each.collect())
}

fn json_of(home: &TempDir, args: &[&str]) -> Value {
    let mut all = vec!["letter", "--json"];
    all.extend(args);
    let output = ran(home.path(), &all);
    assert_eq!(output.status.code(), Some(0), "{args:?}: {}", err(&output));
    serde_json::from_str(&out(&output)).unwrap()
}

#[test]
fn a_letter_has_its_figure_from_the_plan_and_a_ground_for_every_sentence() {
    let home = TempDir::new().unwrap();
    let dabchick = sample("dabchick-2009");
    let weighed = ran(home.path(), &["weigh", "--json", &dabchick]);
    let weighed: Value = serde_json::from_str(&out(&weighed)).unwrap();
    let steps = weighed["cars"][0]["offer"]["steps"].clone();
    for (round, tone) in [("1", "plain"), ("1", "warm"), ("2", "brief")] {
        let letter = json_of(&home, &[&dabchick, "--round", round, "--tone", tone]);
        assert_eq!(
            (&letter["kind"], &letter["tone"]),
            (&json!("letter"), &json!(tone))
        );
        let at = round.parse::<usize>().unwrap() - 1;
        assert_eq!(letter["letter"]["figure"], steps[at]);
        assert!(letter["letter"]["words"].as_u64().unwrap() <= 120);
        let statements = letter["letter"]["statements"].as_array().unwrap();
        assert!(statements.len() >= 4);
        for one in statements {
            assert!(one["ground"]["id"].as_str().unwrap().contains('/'), "{one}");
        }
    }
    let text = out(&ran(
        home.path(),
        &["letter", &dabchick, "--until", "2026-12-01"],
    ));
    assert!(text.contains("until 1 Dec."), "{text}");
    assert!(text.contains("Each statement and its ground, for you alone"));
    assert!(out(&ran(home.path(), &["letter", &dabchick, "--ascii"])).is_ascii());
}

#[test]
fn a_file_holds_only_what_may_be_sent_and_is_never_written_over() {
    let home = TempDir::new().unwrap();
    let dabchick = sample("dabchick-2009");
    let args = ["letter", &dabchick, "--out", "letter.txt"];
    let first = ran(home.path(), &args);
    assert_eq!(first.status.code(), Some(0), "{}", err(&first));
    let written = fs::read_to_string(home.path().join("letter.txt")).unwrap();
    assert!(written.contains('$') && !written.contains("for you alone"));
    assert!(out(&first).contains("for you alone") && err(&first).contains("written to"));
    let again = ran(home.path(), &args);
    assert_eq!(again.status.code(), Some(1));
    assert!(err(&again).contains("is there already"));
    assert_eq!(
        fs::read_to_string(home.path().join("letter.txt")).unwrap(),
        written
    );
}

#[test]
fn receipt_and_bill_of_sale_name_the_price_in_the_log() {
    let home = TempDir::new().unwrap();
    let sold = changed(&home, "sold.car.json", |car| {
        car["talks"] = talks(&[("you", 1000), ("they", 1500), ("you", 1150), ("they", 1150)]);
    });
    for (kind, says) in [
        ("receipt", "received $1,150"),
        ("bill-of-sale", "for $1,150"),
    ] {
        let draft = json_of(&home, &[&sold, "--kind", kind]);
        assert_eq!(
            (&draft["kind"], &draft["price"]),
            (&json!(kind), &json!(1150))
        );
        let text = draft["text"].as_str().unwrap().replace('\n', " ");
        for words in [
            says,
            "local forms and law decide",
            "neither copies or keeps it",
            "____",
        ] {
            assert!(text.contains(words), "{kind}: no “{words}” in {text}");
        }
        assert_eq!(draft["statements"][0]["ground"]["id"], "talks/4");
    }
    let paid = changed(&home, "paid.car.json", |car| {
        car["talks"] = json!([]);
        car["bought_at"] = json!("900");
    });
    assert_eq!(
        json_of(&home, &[&paid, "--kind", "receipt"])["statements"][0]["ground"]["id"],
        "entry/bought_at"
    );
}

#[test]
fn two_prices_each_stay_under_the_limit_with_their_answer() {
    let home = TempDir::new().unwrap();
    let dabchick = sample("dabchick-2009");
    // An unknown check is answered with those that can carry two prices.
    let unknown = ran(
        home.path(),
        &["letter", &dabchick, "--two-price", "no-such-check"],
    );
    assert_eq!(unknown.status.code(), Some(1));
    let named = err(&unknown);
    let list = named
        .split("Checks that can carry them: ")
        .nth(1)
        .expect(&named);
    let first = list
        .trim()
        .trim_end_matches('.')
        .split(", ")
        .next()
        .unwrap();
    let two = json_of(&home, &[&dabchick, "--two-price", first]);
    let (good, bad) = (&two["two_prices"]["if_good"], &two["two_prices"]["if_not"]);
    for one in [good, bad] {
        assert!(one["price"].as_f64() <= one["limit"].as_f64(), "{one}");
    }
    assert!(good["price"].as_f64() > bad["price"].as_f64());
    assert_eq!(
        (&two["letter"]["figure"], &two["letter"]["if_not"]),
        (&good["price"], &bad["price"])
    );
    let ground = two["letter"]["statements"][1]["ground"]["id"]
        .as_str()
        .unwrap();
    assert_eq!(ground, format!("check/{first}"));
}

#[test]
fn every_letter_that_cannot_be_written_says_why() {
    let home = TempDir::new().unwrap();
    let dabchick = sample("dabchick-2009");
    file(&home, "prose.car.json", "once upon a time");
    let bought = changed(&home, "bought.car.json", |car| {
        car["talks"] = json!([]);
        car["bought_at"] = json!("900");
    });
    let worthless = changed(&home, "worthless.car.json", |car| car["worth"] = json!({}));
    let odd = changed(&home, "odd.car.json", |car| {
        car["talks"] = talks(&[("you", 1000), ("they", 1000)]);
        car["bought_at"] = json!("950");
    });
    let over = changed(&home, "over.car.json", |car| {
        car["talks"] = talks(&[("you", 1800), ("they", 1800)]);
    });
    let rows: &[(&[&str], i32, &str)] = &[
        (&["gone.car.json"], 1, "gone.car.json"),
        (&["prose.car.json"], 1, "prose.car.json"),
        (&[&dabchick, "--round", "9"], 1, "there is no round 9"),
        (&[&dabchick, "--round", "0"], 2, "--round"),
        (&[&dabchick, "--tone", "grim"], 2, "--tone"),
        (&[&dabchick, "--kind", "poem"], 2, "--kind"),
        (&[&dabchick, "--until", "soon"], 2, "no such day"),
        (&[&dabchick, "--until", "2026-11-01"], 1, "before today"),
        (
            &[
                &dabchick,
                "--two-price",
                "carpet-lifted",
                "--kind",
                "receipt",
            ],
            2,
            "--kind",
        ),
        (&[&dabchick, "--kind", "receipt"], 1, "no price is agreed"),
        (
            &[&dabchick, "--kind", "bill-of-sale"],
            1,
            "no price is agreed",
        ),
        (
            &[&dabchick, "--kind", "notice"],
            1,
            "nothing was seen on the car that makes it unsafe",
        ),
        (
            &[&dabchick, "--out", "prose.car.json/letter.txt"],
            1,
            "prose.car.json",
        ),
        (
            &[&odd, "--kind", "receipt"],
            1,
            "put one of them right first",
        ),
        (&[&bought], 1, "It is bought already"),
        (
            &[&bought, "--two-price", "carpet-lifted"],
            1,
            "no two prices",
        ),
        (&[&worthless], 1, "There is no limit"),
        (&[&over], 1, "over your limit"),
        (&[], 2, "CAR"),
    ];
    for (args, code, words) in rows {
        let mut all = vec!["letter"];
        all.extend(*args);
        let output = ran(home.path(), &all);
        let told = err(&output);
        assert_eq!(
            output.status.code(),
            Some(*code),
            "{args:?}: {told}{}",
            out(&output)
        );
        assert!(told.contains(words), "{args:?}: {told}");
        assert_eq!(out(&output), "", "{args:?}");
    }
}

#[test]
fn a_notice_of_danger_outlives_the_refusal_of_the_car() {
    let home = TempDir::new().unwrap();
    let stopped = changed(&home, "stopped.car.json", |car| {
        let seen = json!({"sign": "brake-hoses-seen", "answer": {"level": 2}, "known": "seen"});
        car["observations"].as_array_mut().unwrap().push(seen);
        car["pins"] = json!({"BRA04": "certain"});
    });
    // No letter over a stop: the refusal; the notice is there all the same, alone and with it.
    let letter = ran(home.path(), &["letter", &stopped]);
    assert_eq!(letter.status.code(), Some(1));
    assert!(err(&letter).contains("STOP"), "{}", err(&letter));
    let notice = ran(home.path(), &["letter", &stopped, "--kind", "notice"]);
    assert_eq!(notice.status.code(), Some(0), "{}", err(&notice));
    let text = out(&notice).replace('\n', " ");
    assert!(
        text.contains("Whatever becomes of the sale, for your safety") && !text.contains('$'),
        "{text}"
    );
    assert!(
        out(&letter)
            .replace('\n', " ")
            .contains("Whatever becomes of the sale")
    );
}

#[test]
fn weigh_tells_scripts_what_to_answer_and_what_would_change_the_mind() {
    let home = TempDir::new().unwrap();
    let output = ran(home.path(), &["weigh", "--json", &sample("dabchick-2009")]);
    let json: Value = serde_json::from_str(&out(&output)).unwrap();
    let car = &json["cars"][0];
    let mind = &car["change_my_mind"];
    assert_eq!(mind["now"], car["verdict"]);
    for set in mind["sets"].as_array().unwrap() {
        assert!(set["chance"].as_f64().unwrap() > 0.0);
        assert!(!set["facts"].as_array().unwrap().is_empty());
    }
    let reply = &car["offer"]["reply"];
    assert!(["take", "say", "leave"].contains(&reply["what"].as_str().unwrap()));
    assert!(!reply["because"].as_str().unwrap().is_empty());
    for cue in car["offer"]["cues"].as_array().unwrap() {
        let id = cue["trace_id"].as_str().unwrap();
        assert!(
            car["trace"]["nodes"]
                .get(id)
                .or(car["trace"].get(id))
                .is_some(),
            "{id}"
        );
    }
}
