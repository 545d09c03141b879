//! Buying unseen, and what a seller holds back: what is asked for, what came, how open they are taken to be, and the limit of one who never
//! stood before the car. On the program's own tables, by the engine's front door.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;
use std::sync::LazyLock;
use wrenchworth::car::{Answer, Asked, CarRecord, Known, Observation, RuleSet};
use wrenchworth::engine::amounts::dollars;
use wrenchworth::engine::find_out::FindOutWish;
use wrenchworth::engine::held_back::held_back;
use wrenchworth::engine::readings::read_typed_for;
use wrenchworth::engine::unseen::{RemoteItem, Standing, items};
use wrenchworth::engine::walkaround::{Order, Plan, State, walk};
use wrenchworth::engine::{Appraisal, Knowledge, Run};
use wrenchworth::report::unseen::message;
use wrenchworth::trade::{Invasive, SignKind, Tables};

static TRADE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::new(Tables::embedded().unwrap()));

const RUN: Run = Run {
    today: mini::TODAY,
    seed: 7,
    draws: 4_000,
};

/// A car whose whole advert is on file: only then is silence evidence, and openness worth money.
fn car() -> CarRecord {
    let mut car = mini::car();
    car.listing.whole_text_on_file = true;
    car.worth.own = serde_json::from_value(
        serde_json::json!({"low": "5200", "likely": "6000", "high": "6900"}),
    )
    .unwrap();
    car
}

fn ask(car: &CarRecord) -> Vec<RemoteItem> {
    items(car, TRADE.tables(), mini::TODAY)
}

fn weigh(car: &CarRecord) -> Appraisal {
    TRADE.appraise(car, &mini::buyer(), &RUN)
}

fn blind(car: &CarRecord) -> f64 {
    dollars(weigh(car).limit.blind.unwrap())
}

fn arrives(car: &mut CarRecord, sign: &str, level: usize) {
    car.checks.entry(sign.to_owned()).or_default().asked = Some(Asked::Arrived);
    car.observations.push(Observation {
        known: Known::Said,
        ..mini::answered(sign, Answer::Level(level))
    });
}

fn misses(car: &mut CarRecord, sign: &str) {
    car.checks.entry(sign.to_owned()).or_default().asked = Some(Asked::Missing);
    car.observations.push(mini::answered(sign, Answer::NotSeen));
}

#[test]
fn the_message_asks_for_everything_that_can_be_shown_from_afar_and_for_no_money() {
    let car = car();
    let tables = TRADE.tables();
    let items = ask(&car);
    let sent = message(&car, &items, None);
    let flat = sent.split_whitespace().collect::<Vec<_>>().join(" ");
    let listed = walk(&car, tables, Plan::FromAfar, Order::Walking, mini::TODAY);
    assert!(listed.len() > 80, "{}", listed.len());
    for check in listed {
        let row = tables.sign(&check.sign).unwrap();
        assert!(
            row.remote_ok && row.invasive != Invasive::OwnerOrGarage,
            "{}",
            row.id
        );
        let asked = match row.kind {
            SignKind::Code => &row.name,
            _ if !row.to_seller.is_empty() => &row.to_seller,
            _ => &row.question,
        };
        assert!(
            flat.contains(asked.as_str()),
            "{} is not asked for:\n{sent}",
            row.id
        );
    }
    for row in tables.signs.iter().filter(|row| !row.remote_ok) {
        assert!(!flat.contains(&row.question), "{} is asked for", row.id);
    }
    let low = flat.to_lowercase();
    for word in [
        "deposit",
        "pay",
        "money",
        "dollar",
        "hold it",
        "reserve",
        "transfer",
        "down payment",
    ] {
        assert!(!low.contains(word), "“{word}” in\n{sent}");
    }
    assert!(sent.lines().all(|line| line.chars().count() <= 72));
}

#[test]
fn what_came_and_what_is_missing_is_asked_for_no_more() {
    let mut car = car();
    arrives(&mut car, "title-words", 0);
    misses(&mut car, "tire-dates");
    let items = ask(&car);
    let standing = |sign: &str| {
        items
            .iter()
            .find(|item| item.sign == sign)
            .unwrap()
            .standing
    };
    assert_eq!(standing("title-words"), Standing::Arrived);
    assert_eq!(standing("tire-dates"), Standing::Missing);
    assert_eq!(standing("cabin-kept"), Standing::Open);
    let sent = message(&car, &items, None);
    let question = |sign: &str| TRADE.tables().sign(sign).unwrap().question.clone();
    assert!(!sent.contains(&question("tire-dates")));
    let few = message(&car, &items, Some(&["cabin-kept".to_owned()]));
    assert!(
        few.contains(&question("cabin-kept")) && few.lines().count() < 12,
        "{few}"
    );
}

#[test]
fn each_thing_that_comes_and_each_that_is_missing_moves_the_blind_limit() {
    let mut car = car();
    let mut before = blind(&car);
    let start = before;
    for sign in [
        "title-words",
        "tire-dates",
        "white-smoke-stays",
        "strut-towers-seen",
    ] {
        arrives(&mut car, sign, 0);
        let now = blind(&car);
        assert!(now >= before, "{sign}: {before} to {now}");
        before = now;
    }
    assert!(before > start, "{start} to {before}");
    // Without a visit the limit is the blind one.
    let out = weigh(&car);
    assert_eq!(out.limit.blind, out.limit.price);
    for sign in [
        "cabin-kept",
        "seats-headlining",
        "under-oil-cap",
        "wheel-pad-dash",
    ] {
        misses(&mut car, sign);
        let now = blind(&car);
        assert!(now <= before, "{sign}: {before} to {now}");
        before = now;
    }
    let shut = weigh(&car);
    assert!(
        shut.openness[0] > out.openness[0] + 0.05,
        "{:?} {:?}",
        shut.openness,
        out.openness
    );
    assert!(shut.limit.price < out.limit.price);
    // One bad photo takes more off than a missing one.
    let mut bad = car.clone();
    arrives(&mut bad, "coolant-cold", 3);
    assert!(blind(&bad) < before);
}

#[test]
fn what_was_found_on_a_visit_is_not_in_the_blind_limit() {
    let mut car = car();
    arrives(&mut car, "title-words", 0);
    let unseen = blind(&car);
    car.observations.push(mini::saw("coolant-cold", 3));
    let out = weigh(&car);
    let (visited, still) = (
        dollars(out.limit.price.unwrap()),
        dollars(out.limit.blind.unwrap()),
    );
    assert!(visited < unseen - 50.0, "{visited} {unseen}");
    // A side run of fewer draws: the same figure to its noise.
    assert!(
        (still - unseen).abs() <= 0.04 * dollars(car.listing.asking.unwrap()),
        "{still} {unseen}"
    );
}

#[test]
fn many_things_held_back_count_as_few_and_what_came_weighs_against_them() {
    let tables = TRADE.tables();
    let told = |missing: usize, came: usize| {
        let mut car = car();
        let signs = ask(&car);
        for item in signs.iter().take(missing) {
            misses(&mut car, &item.sign);
        }
        for item in signs.iter().skip(missing).take(came) {
            arrives(&mut car, &item.sign, 0);
        }
        let held = held_back(&car, tables);
        assert_eq!((held.missing, held.arrived), (missing, came));
        held.tells.1
    };
    let plain = told(0, 0);
    assert!(told(1, 0) < plain && told(2, 0) < told(1, 0));
    assert!(told(0, 1) > plain && told(1, 1) > told(1, 0));
    assert!((told(60, 0) - told(3, 0)).abs() < 1e-12);
    let mut refused = car();
    refused
        .checks
        .entry("coolant-cold".to_owned())
        .or_default()
        .asked = Some(Asked::Refused);
    assert!((held_back(&refused, tables).tells.1 - told(1, 0)).abs() < 1e-12);
    assert!(held_back(&refused, tables).words().starts_with("1 of 1"));
}

#[test]
fn what_they_only_say_is_still_to_be_looked_at_and_an_admitted_danger_withdraws_its_checks() {
    let mut car = car();
    let state = |car: &CarRecord, plan: Plan, sign: &str| {
        let checks = walk(car, TRADE.tables(), plan, Order::Walking, mini::TODAY);
        let check = checks.into_iter().find(|check| check.sign == sign).unwrap();
        (check.state, check.said)
    };
    arrives(&mut car, "tire-sidewalls", 0);
    assert_eq!(
        state(&car, Plan::Full, "tire-sidewalls"),
        (State::ToCome, Some(0))
    );
    assert_eq!(
        state(&car, Plan::FromAfar, "tire-sidewalls").0,
        State::Answered(0)
    );
    assert_eq!(state(&car, Plan::Full, "weak-pull").0, State::ToCome);
    // A question is answered by a word.
    arrives(&mut car, "uses-oil", 1);
    assert_eq!(state(&car, Plan::Full, "uses-oil").0, State::Answered(1));
    car.claims.push(
        serde_json::from_value(serde_json::json!({"text": "pedal goes down", "pro": false,
            "sign": {"id": "pedal-held", "level": 3}}))
        .unwrap(),
    );
    assert!(matches!(
        state(&car, Plan::Full, "weak-pull").0,
        State::Withdrawn(_)
    ));
    // Seen to be well, it is a danger no more.
    car.observations.push(mini::saw("pedal-held", 0));
    assert_eq!(state(&car, Plan::Full, "weak-pull").0, State::ToCome);
}

#[test]
fn what_only_an_owner_or_a_garage_may_do_is_in_no_list_no_question_and_no_message() {
    let car = car();
    let tables = TRADE.tables();
    let forbidden: Vec<&str> = tables
        .signs
        .iter()
        .filter(|row| row.invasive == Invasive::OwnerOrGarage)
        .map(|row| row.id.as_str())
        .collect();
    assert!(forbidden.len() >= 20);
    for plan in [Plan::Quick, Plan::Minutes(600), Plan::Full, Plan::FromAfar] {
        for check in walk(&car, tables, plan, Order::Walking, mini::TODAY) {
            assert!(
                !forbidden.contains(&check.sign.as_str()),
                "{plan:?} {}",
                check.sign
            );
        }
    }
    for remote in [false, true] {
        let wish = FindOutWish {
            minutes: None,
            remote,
        };
        let found = TRADE.find_out(&car, &mini::buyer(), &Run { draws: 200, ..RUN }, wish);
        for check in &found.checks {
            assert!(!forbidden.contains(&check.id.as_str()), "{}", check.id);
            let row = tables.sign(&check.id).unwrap();
            assert_eq!(
                check.ask.is_some(),
                row.invasive == Invasive::AskFirst,
                "{}",
                check.id
            );
        }
    }
    for id in &tables.settings.quick_list {
        assert!(!forbidden.contains(&id.as_str()));
    }
    assert!(
        ask(&car)
            .iter()
            .all(|item| !forbidden.contains(&item.sign.as_str()))
    );
}

/// Steering play of 3 in on a 16 in wheel: US law allows 2 in (49 CFR 570.7), the UK a fifth of the wheel's diameter on a rack less (MOT
/// 2.2.1). A pad of 1.2 mm: over 1/32 in passes the US (49 CFR 570.5(g)), under 1.5 mm is dangerous in the UK (MOT 1.1.13).
#[test]
fn the_rule_set_chosen_decides_the_level_that_counts() {
    let tables = TRADE.tables();
    let row = tables.sign("pads-seen").unwrap();
    let level = |choice: Option<RuleSet>| {
        let mut buyer = mini::buyer();
        buyer.rule_set = choice;
        let mut car = car();
        car.observations.push(mini::saw("pads-seen", 0));
        let reading = read_typed_for(row, tables, Some(&buyer), "1.2mm").unwrap();
        car.checks
            .entry("pads-seen".to_owned())
            .or_default()
            .reading = Some(reading);
        let out = TRADE.appraise(&car, &buyer, &Run { draws: 400, ..RUN });
        let findings = wrenchworth::engine::readings::readings(&car, tables, &buyer, mini::TODAY);
        let grade = findings[0].verdict.measured[0].row.clone().unwrap();
        let worn = out
            .faults
            .iter()
            .find(|fault| fault.because_of.contains(&"pads-seen".to_owned()));
        (
            findings[0].verdict.level,
            grade.rule_set,
            worn.map(|fault| fault.chance),
        )
    };
    let (us, uk) = (level(Some(RuleSet::Us)), level(Some(RuleSet::Uk)));
    assert_eq!(level(None), us);
    assert_eq!((us.1.as_str(), uk.1.as_str()), ("handbook", "uk-mot"));
    assert!(uk.0 > us.0, "{us:?} {uk:?}");
    // What is shown is what counts: the levels reach the diagnosis.
    assert!(us.2.is_some() && uk.2.is_some());
    // A bare number is millimeters where the UK's limits come first.
    let mut buyer = mini::buyer();
    let typed = |buyer: &wrenchworth::car::Buyer| {
        read_typed_for(row, tables, Some(buyer), "2").map(|read| read.values)
    };
    let us = typed(&buyer);
    buyer.rule_set = Some(RuleSet::Uk);
    assert_ne!(typed(&buyer), us);
    for set in RuleSet::ALL {
        assert!(
            tables.settings.rule_set_choices.contains_key(set.word()),
            "{set:?}"
        );
    }
}

/// The message by the command line: alone in a file, beside its standing on standard output, and in the JSON.
#[test]
fn the_command_line_writes_the_message_alone_to_a_file() {
    let home = tempfile::TempDir::new().unwrap();
    let car = crate::cli::sample("heron-2004");
    let sent = crate::cli::ran(
        home.path(),
        &["next", &car, "--remote", "--message", "--out", "ask.txt"],
    );
    assert_eq!(sent.status.code(), Some(0), "{}", crate::cli::err(&sent));
    let file = std::fs::read_to_string(home.path().join("ask.txt")).unwrap();
    assert!(file.starts_with("Hello Odile Thrupp,"), "{file}");
    let shown = crate::cli::out(&sent);
    assert!(
        shown.starts_with(&file) && shown.contains("for you alone"),
        "{shown}"
    );
    assert!(!file.contains("for you alone"));
    let json = crate::cli::ran(home.path(), &["--json", "next", &car, "--remote"]);
    let value: serde_json::Value = serde_json::from_str(&crate::cli::out(&json)).unwrap();
    assert_eq!(value["unseen"]["message"].as_str(), Some(file.as_str()));
    assert!(value["unseen"]["items"].as_array().unwrap().len() > 80);
    let without = crate::cli::ran(home.path(), &["next", &car, "--message"]);
    assert_eq!(without.status.code(), Some(2));
}
