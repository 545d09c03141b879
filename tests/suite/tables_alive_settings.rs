//! Every starting value is alive: each number of the settings, changed alone, changes what is said of one of a few cars and buyers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::tables_kit;

use serde_json::Value;
use tables_kit::*;
use wrenchworth::car::{
    Answer, AskedPrice, Buyer, CarRecord, Drive, Known, Money, MoneyRange, Move, Particulars, Pin,
    RangeReading, SaltWinters, SizeClass, Who,
};
use wrenchworth::engine::{Knowledge, Trace};
use wrenchworth::trade::settings::Settings;
use wrenchworth::trade::{TableProblem, Tables, check};

/// Numbers that no appraisal of a sound table reads, each with who does.
const READ_ELSEWHERE: &[(&str, &str)] = &[
    (
        "/diagnosis/greatest_width",
        "bounds the work: the answer is the same to the bound",
    ),
    (
        "/diagnosis/greatest_false_alarm",
        "no row of a checked table is over it",
    ),
    (
        "/diagnosis/greatest_weak_spot",
        "a bound: the tests of overlays hold it",
    ),
    ("/offer/proof_share", "what to find out next reads it"),
    (
        "/odometer_rules",
        "papers read it before anything is weighed",
    ),
    (
        "/ordinary_miles",
        "papers read it before anything is weighed",
    ),
    ("/gates", "places in lists of levels: the walk reads them"),
];

/// Faults that between them ask for every fact of a car.
const FAULTS: &[&str] = &[
    "BOD01", "BOD13", "BRA01", "BRA02", "ELE08", "EMI05", "ENG01", "ENG06", "ENG07", "ENG08",
    "ENG19", "FLD01", "HVA02", "HYB01", "IGN01", "STE01", "STE05", "SUS01", "TRA01", "TRA04",
    "TRA06", "TRA10",
];

/// Signs with cause weights open and complete, with hits, and of care.
const SIGNS: &[&str] = &[
    "bounces",
    "cabin-kept",
    "clutch-slips",
    "coolant-vanishes",
    "pads-seen",
    "sills-tapped",
    "white-smoke-stays",
    "wet-top-of-engine",
];

fn few() -> Tables {
    let mut tables = tables().clone();
    tables
        .faults
        .retain(|row| FAULTS.contains(&row.id.as_str()));
    tables.signs.retain(|row| SIGNS.contains(&row.id.as_str()));
    tables.repairs.retain(|row| {
        tables
            .faults
            .iter()
            .any(|fault| fault.repairs.contains(&row.id))
    });
    tables.codes.clear();
    tables.limits.clear();
    tables
}

fn asked(mut car: CarRecord, asking: i64) -> CarRecord {
    car.listing.asking = Some(Money::whole(asking));
    car
}

/// Cars and buyers that between them ask for every setting.
fn cases() -> Vec<(CarRecord, Buyer)> {
    let home = works_at_home();
    let mut cases = Vec::new();
    // Facts not known, one set of comparables of one year and one of several, asked and sold.
    let mut unknown = plain();
    unknown.particulars = Particulars {
        power_hp: Some(120.0),
        curb_mass_lb: Some(2_700.0),
        ..Particulars::default()
    };
    cases.push((unknown, home.clone()));
    let mut mixed = plain();
    for (like, (year, miles)) in mixed.worth.comparables.iter_mut().zip([
        (2010, 120_000.0),
        (2012, 160_000.0),
        (2013, 90_000.0),
    ]) {
        like.year = Some(year);
        like.miles = Some(miles);
    }
    mixed.worth.comparables[0].kind = wrenchworth::car::PriceKind::Asked;
    cases.push((asked(mixed, 3_400), home.clone()));
    let mut same_year = plain();
    same_year.worth.comparables[0].miles = Some(110_000.0);
    same_year.worth.comparables[0].price = Money::whole(9_000);
    cases.push((same_year, home.clone()));
    // Every class, every drive, every winter.
    for (at, class) in SizeClass::ALL.iter().enumerate() {
        let mut car = plain();
        car.particulars.size_class = Some(*class);
        car.particulars.drive = Some(Drive::ALL[at % 3]);
        car.particulars.salt_winters = Some(SaltWinters::ALL[at % 3]);
        cases.push((car, home.clone()));
    }
    // Looked over, some of it admitted, in use by proof, the whole advert on file; one with a grave question open.
    let mut seen = plain();
    seen.listing.whole_text_on_file = true;
    seen.particulars.in_use_proven = true;
    for (at, sign) in SIGNS.iter().enumerate() {
        let mut answer = saw(sign, usize::from(at % 2 == 0));
        answer.admitted = at == 2;
        if answer.admitted {
            answer.known = Known::Said;
        }
        seen.observations.push(answer);
    }
    cases.push((asked(seen.clone(), 2_600), home.clone()));
    let mut grave = seen;
    for answer in &mut grave.observations {
        if answer.sign == "sills-tapped" {
            answer.answer = Answer::Level(1);
        }
    }
    cases.push((grave, home.clone()));
    cases.extend(talks(&home));
    // A race under a cap with parts to sell, and a wallet.
    let mut racer = Buyer {
        purpose: "capped-race".to_owned(),
        wallet: Some(Money::whole(3_000)),
        ..does_it_all()
    };
    racer.tools.clear();
    cases.push((asked(plain(), 900), racer));
    cases.push((
        plain(),
        Buyer {
            wallet: Some(Money::whole(2_600)),
            ..drives_only()
        },
    ));
    cases
}

/// Sellers of several manners, before and after an answer.
fn talks(home: &Buyer) -> Vec<(CarRecord, Buyer)> {
    let mut cases = Vec::new();
    let mut eager = asked(plain(), 2_400);
    eager.listing.open_to_offers = true;
    eager.listing.certainty = true;
    cases.push((eager, home.clone()));
    let mut firm = asked(plain(), 2_300);
    firm.listing.firm = true;
    cases.push((firm, home.clone()));
    let mut tired = asked(plain(), 2_200);
    tired.listing.asked_before = vec![AskedPrice {
        amount: Money::whole(2_500),
        on: None,
    }];
    tired.listing.listed_on = Some(TODAY.saturating_sub(jiff::Span::new().days(14)));
    tired.particulars.non_runner = true;
    cases.push((tired, home.clone()));
    // So long listed and so often dropped that the most for days and the least share hold.
    let mut stale = asked(plain(), 2_300);
    stale.listing.listed_on = Some(TODAY.saturating_sub(jiff::Span::new().days(300)));
    cases.push((stale.clone(), home.clone()));
    stale.listing.asked_before = [4_000, 3_500, 3_200, 3_000, 2_800, 2_600, 2_500]
        .map(|amount| AskedPrice {
            amount: Money::whole(amount),
            on: None,
        })
        .to_vec();
    cases.push((stale, home.clone()));
    // Out of reach, and within it by a hair.
    for asking in [30_000, 6_000, 4_000, 3_000, 1_800, 1_000] {
        cases.push((asked(plain(), asking), home.clone()));
    }
    // Proven faults, and an offer refused.
    let mut proven = asked(plain(), 3_000);
    proven.pins.insert("ENG08".to_owned(), Pin::Certain);
    proven.observations.push(saw("pads-seen", 3));
    cases.push((proven.clone(), home.clone()));
    proven.talks.push(Move {
        who: Who::You,
        amount: Some(Money::whole(1_300)),
        words: String::new(),
        at: None,
    });
    cases.push((proven, home.clone()));
    let mut own = asked(plain(), 2_900);
    own.worth.comparables.clear();
    own.worth.own = Some(MoneyRange {
        low: Money::whole(2_500),
        likely: Money::whole(3_000),
        high: Money::whole(3_600),
        reading: RangeReading::OneInTen,
    });
    cases.push((own, home.clone()));
    cases
}

fn prints(tables: &Tables, cases: &[(CarRecord, Buyer)], before: Option<&[String]>) -> Vec<String> {
    let knowledge = Knowledge::new(tables.clone());
    let mut told = Vec::new();
    for (at, (car, buyer)) in cases.iter().enumerate() {
        let mut out = knowledge.appraise(car, buyer, &run(40));
        out.trace = Trace::default();
        let words = serde_json::to_string(&out).unwrap();
        // One difference is enough.
        let differs = before.is_some_and(|before| before[at] != words);
        told.push(words);
        if differs {
            break;
        }
    }
    told
}

fn numbers(value: &Value, path: &str, found: &mut Vec<String>) {
    match value {
        Value::Number(number) if number.as_f64() != Some(0.0) => found.push(path.to_owned()),
        Value::Array(list) => {
            for (at, one) in list.iter().enumerate() {
                numbers(one, &format!("{path}/{at}"), found);
            }
        }
        Value::Object(fields) => {
            for (name, one) in fields {
                numbers(one, &format!("{path}/{name}"), found);
            }
        }
        _ => {}
    }
}

#[test]
fn every_starting_value_changes_what_is_said_of_some_car() {
    let cases = cases();
    let mut tables = few();
    let value = wrenchworth::car::json::value_of(&tables.settings).unwrap();
    let mut found = Vec::new();
    numbers(&value, "", &mut found);
    found.retain(|path| {
        !READ_ELSEWHERE
            .iter()
            .any(|(start, _)| path.starts_with(start))
    });
    assert!(found.len() > 100, "{}", found.len());
    let before = prints(&tables, &cases, None);
    let mut dead = Vec::new();
    // Doubled, else halved; a bound that is seldom reached is moved a little, or far.
    for path in found {
        let alive = [2.0, 0.5, 0.9, 1.2, 8.0, 0.125].into_iter().any(|times| {
            let mut over = value.clone();
            let number = over.pointer_mut(&path).unwrap();
            let moved = number.as_f64().unwrap() * times;
            #[allow(clippy::cast_possible_truncation)]
            if number.is_f64() {
                *number = Value::from(moved);
            } else {
                *number = Value::from((moved.round() as i64).max(1));
            }
            let Ok(settings) = wrenchworth::car::json::of_value::<Settings>(&over) else {
                return false;
            };
            tables.settings = settings;
            // What the check of the tables refuses is never weighed with.
            let refused = |problem: &TableProblem| problem.what.contains("out of order");
            if check(&tables).iter().any(refused) {
                return false;
            }
            let now = prints(&tables, &cases, Some(&before));
            now.len() < before.len() || now != before
        });
        if !alive {
            dead.push(path);
        }
    }
    assert!(
        dead.is_empty(),
        "{} change nothing:\n{}",
        dead.len(),
        dead.join("\n")
    );
}
