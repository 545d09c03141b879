//! Every figure is alive: each number of each row, changed on its own, changes what an appraisal says of a car that the row is about.
//!
//! A number is doubled; where that leaves the answer as it was (a chance already at its bound, the dearer of two ways), halved. Signs and
//! chances of faults are asked of the diagnosis, which is the appraisal's own; everything else of the whole appraisal, with the trace left
//! out, since the trace repeats the tables' words.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::tables_kit;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::collections::BTreeMap;
use tables_kit::*;
use wrenchworth::car::{
    Buyer, CarRecord, Claim, Known, Money, MoneyRange, Pin, RangeReading, Replaced, RouteWish,
};
use wrenchworth::engine::diagnosis::diagnose;
use wrenchworth::engine::{Appraisal, Knowledge, Trace};
use wrenchworth::trade::derive::links;
use wrenchworth::trade::{AppliesIf, EMBEDDED, FaultRow, Overlay, RepairRow, SignRow, Tables};

/// Columns that no appraisal reads, each with who does.
const READ_ELSEWHERE: &[(&str, &str, &str)] = &[
    ("signs", "order", "the walk-around lists by it"),
    ("signs", "seconds", "what to check next weighs minutes"),
    (
        "signs",
        "stop.from_level",
        "a place in a list, held by the stops' own tests",
    ),
    ("signs", "timer_seconds", "the walk's timers run by it"),
    (
        "signs",
        "reading",
        "a reading becomes a level by it before anything is weighed",
    ),
];

/// Every number of a value, by its path.
fn numbers(value: &Value, path: &str, found: &mut Vec<(String, String)>) {
    match value {
        Value::Number(number) if number.as_f64() != Some(0.0) => {
            found.push((path.to_owned(), path.replace('/', ".")));
        }
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

/// A value with the number at a path multiplied; whole numbers stay whole, and three-point figures keep their order.
fn changed(row: &Value, path: &str, times: f64) -> Value {
    let mut row = row.clone();
    let number = row.pointer_mut(path).unwrap();
    let value = number.as_f64().unwrap() * times;
    #[allow(clippy::cast_possible_truncation)]
    if number.is_f64() {
        *number = Value::from(value);
    } else {
        *number = Value::from((value.round() as i64).max(1));
    }
    let (parent, place) = path.rsplit_once('/').unwrap();
    let range = [
        "new",
        "used",
        "hours",
        "cash",
        "price",
        "buy",
        "hire",
        "consumables",
        "outside_fee",
    ];
    let name = parent.rsplit('/').next().unwrap();
    if let (Ok(at), Some(Value::Array(list))) = (place.parse::<usize>(), row.pointer_mut(parent))
        && range.contains(&name)
        && list.len() == 3
    {
        let moved = list[at].as_f64().unwrap();
        for (other, one) in list.iter_mut().enumerate() {
            let now = one.as_f64().unwrap();
            if (other > at && now < moved) || (other < at && now > moved) {
                *one = Value::from(moved);
            }
        }
    }
    row
}

fn elsewhere(table: &str, dotted: &str) -> bool {
    // A doubled year is no year: first and last years have a test of their own.
    let year = dotted.ends_with("year_from") || dotted.ends_with("year_to");
    year || READ_ELSEWHERE
        .iter()
        .any(|(of, column, _)| *of == table && dotted[1..].starts_with(column))
}

/// Tries every number of the rows of a table; names those that change nothing.
fn dead<Row: Serialize + DeserializeOwned>(
    table: &str,
    rows: &[Row],
    id: impl Fn(&Row) -> &str,
    excused: impl Fn(&Row, &str) -> bool,
    mut answer: impl FnMut(usize, Row) -> u64,
) -> Vec<String> {
    let mut dead = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let value = wrenchworth::car::json::value_of(row).unwrap();
        let mut found = Vec::new();
        numbers(&value, "", &mut found);
        found.retain(|(_, dotted)| !elsewhere(table, dotted) && !excused(row, dotted));
        if found.is_empty() {
            continue;
        }
        let before = answer(at, wrenchworth::car::json::of_value(&value).unwrap());
        for (path, dotted) in found {
            let alive = [2.0, 0.5].into_iter().any(|times| {
                wrenchworth::car::json::of_value::<Row>(&changed(&value, &path, times))
                    .is_ok_and(|row| answer(at, row) != before)
            });
            if !alive {
                dead.push(format!("{table}, row {}, {dotted}", id(row)));
            }
        }
    }
    dead
}

fn none(dead: &[String]) {
    assert!(
        dead.is_empty(),
        "{} numbers change nothing:\n{}",
        dead.len(),
        dead.join("\n")
    );
}

/// A print of all figures: FNV-1a over their words.
fn print(words: &str, onto: u64) -> u64 {
    words.bytes().fold(onto, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    })
}

const START: u64 = 0xCBF2_9CE4_8422_2325;

fn print_of(mut out: Appraisal, onto: u64) -> u64 {
    out.trace = Trace::default();
    print(&serde_json::to_string(&out).unwrap(), onto)
}

fn appraised(tables: &Tables, cases: &[(&CarRecord, &Buyer)], draws: u32) -> u64 {
    let knowledge = Knowledge::new(tables.clone());
    cases.iter().fold(START, |onto, (car, buyer)| {
        print_of(knowledge.appraise(car, buyer, &run(draws)), onto)
    })
}

/// The tables without signs: what repairs, steps, tools and parts come to does not ask for them, and is reckoned faster.
fn silent() -> Tables {
    let mut tables = tables().clone();
    tables.signs.clear();
    tables.codes.clear();
    tables
}

/// The tables with these faults and what cures them only: a row's figures do not ask for the others, and are reckoned faster.
fn narrow(faults: &[&str], signs: &[&SignRow]) -> Tables {
    fn of<Row: Clone>(rows: &[Row], keep: impl Fn(&Row) -> bool) -> Vec<Row> {
        rows.iter().filter(|row| keep(row)).cloned().collect()
    }
    let all = tables();
    let faults = of(&all.faults, |row| faults.contains(&row.id.as_str()));
    let repairs = of(&all.repairs, |row| {
        faults.iter().any(|fault| fault.repairs.contains(&row.id))
    });
    let operations = of(&all.operations, |row| {
        repairs.iter().any(|repair| {
            repair.operations.contains(&row.id) || repair.follow_ups.contains(&row.id)
        })
    });
    Tables {
        faults,
        repairs,
        operations,
        signs: of(&all.signs, |row| signs.iter().any(|sign| sign.id == row.id)),
        codes: Vec::new(),
        limits: Vec::new(),
        tools: all.tools.clone(),
        cautions: Vec::new(),
        sellables: Vec::new(),
        purposes: of(&all.purposes, |row| row.id == "daily"),
        weak_spots: Vec::new(),
        settings: all.settings.clone(),
    }
}

/// Puts a row in the place of the one with its id.
macro_rules! put {
    ($tables:expr, $table:ident, $row:expr) => {{
        let row = $row;
        let at = $tables
            .$table
            .iter()
            .position(|old| old.id == row.id)
            .unwrap();
        $tables.$table[at] = row;
    }};
}

fn asks_of<'a>(sign: &'a SignRow, tables: &'a Tables) -> Vec<Vec<&'a AppliesIf>> {
    // A car for each of the faults that the sign speaks of: not every one can be on the same car.
    let faults = sign
        .causes
        .iter()
        .flat_map(|causes| causes.weights.keys())
        .chain(sign.hits.iter().flat_map(|hits| hits.rates.keys()))
        .chain(sign.test_of.iter().flat_map(|test| test.rows.keys()));
    let mut all: Vec<Vec<&AppliesIf>> = vec![vec![&sign.applies_if]];
    for id in faults {
        let asks = &tables.fault(id).unwrap().applies_if;
        let asked = vec![&sign.applies_if, asks];
        if !asks.asks_nothing() && !all.contains(&asked) {
            all.push(asked);
        }
    }
    all
}

#[test]
fn every_number_of_a_sign_changes_the_chances() {
    let all = tables();
    let cars: Vec<Vec<CarRecord>> = all
        .signs
        .iter()
        .map(|sign| {
            asks_of(sign, all)
                .iter()
                .map(|asks| car_for(asks))
                .collect()
        })
        .collect();
    let mut small = all.clone();
    let found = dead(
        "signs",
        &all.signs,
        |row| &row.id,
        |_, _| false,
        |at, row| {
            // Only the sign in hand and the symptoms whose cause it tells: the others are silent here.
            let symptoms: Vec<SignRow> = row
                .test_of
                .iter()
                .flat_map(|test| &test.signs)
                .map(|id| all.sign(id).unwrap().clone())
                .collect();
            let levels = row.levels.len();
            let id = row.id.clone();
            small.signs = symptoms.clone();
            small.signs.push(row);
            // And only the faults they speak of, with two of the engine's for signs of care, which speak of none.
            small.faults = all
                .faults
                .iter()
                .filter(|fault| {
                    ["ENG17", "ENG18"].contains(&fault.id.as_str())
                        || small.signs.iter().any(|sign| speaks_of(sign, &fault.id))
                })
                .cloned()
                .collect();
            small.signs.sort_by(|a, b| a.id.cmp(&b.id));
            small.signs.dedup_by(|a, b| a.id == b.id);
            let derived = links(&small);
            let mut onto = START;
            for car in &cars[at] {
                let mut car = car.clone();
                // Only silence after a whole advert speaks of how open a seller is.
                car.listing.whole_text_on_file = true;
                let mut ask = |car: &CarRecord| {
                    let found = diagnose(car, &small, &derived, TODAY);
                    for fault in &found.faults {
                        onto = (onto ^ fault.chance.to_bits()).wrapping_mul(0x0100_0000_01B3);
                    }
                };
                for level in 0..levels {
                    car.observations = vec![saw(&id, level)];
                    ask(&car);
                    for symptom in &symptoms {
                        car.observations = vec![saw(&id, level), saw(&symptom.id, 1)];
                        ask(&car);
                    }
                }
            }
            onto
        },
    );
    none(&found);
}

#[test]
fn a_fault_is_on_cars_of_its_years_and_on_no_others() {
    let years = |row: &FaultRow, year: u16| {
        let mut car = car_for(&[&row.applies_if]);
        car.particulars.year = Some(year);
        let found = diagnose(&car, tables(), TRADE.links(), TODAY);
        found.fault(&row.id).is_some()
    };
    for row in &tables().faults {
        if let Some(from) = row.applies_if.year_from {
            assert!(years(row, from) && !years(row, from - 1), "{}", row.id);
        }
        if let Some(to) = row.applies_if.year_to {
            assert!(years(row, to) && !years(row, to + 1), "{}", row.id);
        }
    }
}

/// The first sign that shows each fault, with its level best for telling.
fn showing() -> BTreeMap<&'static str, &'static SignRow> {
    let mut found = BTreeMap::new();
    for sign in &tables().signs {
        let causes = sign.causes.iter().flat_map(|causes| causes.weights.keys());
        let hits = sign.hits.iter().flat_map(|hits| hits.rates.keys());
        for id in causes.chain(hits) {
            found.entry(id.as_str()).or_insert(sign);
        }
    }
    found
}

#[test]
fn every_number_of_a_fault_changes_what_is_said_of_the_car() {
    let all = tables();
    let showing = showing();
    let buyer = works_at_home();
    let cases: Vec<[CarRecord; 4]> = all
        .faults
        .iter()
        .map(|row| {
            let sign = showing[row.id.as_str()];
            let mut car = car_for(&[&row.applies_if, &sign.applies_if]);
            // Off the reference, or no exponent can be seen; the whole advert on file, or no silence speaks.
            let facts = &mut car.particulars;
            let from = row.applies_if.year_from.unwrap_or(0);
            facts.year = Some(
                2014.max(from)
                    .min(row.applies_if.year_to.unwrap_or(u16::MAX)),
            );
            facts.odometer_miles = Some(91_000.0);
            car.listing.whole_text_on_file = true;
            car.observations = vec![saw(&sign.id, 0)];
            let mut there = car.clone();
            there.pins.insert(row.id.clone(), Pin::Certain);
            let mut lived_with = there.clone();
            lived_with
                .routes
                .insert(row.id.clone(), RouteWish::LiveWith);
            // A paper says when the part was new.
            let mut renewed = car.clone();
            renewed.claims.push(Claim {
                proof: Some(Known::Paper),
                replaced: Some(Replaced {
                    part: row.id.clone(),
                    at_miles: 60_000.0,
                }),
                ..Claim::default()
            });
            [car, there, lived_with, renewed]
        })
        .collect();
    let found = dead(
        "faults",
        &all.faults,
        |row| &row.id,
        |_, _| false,
        |at, row| {
            let mut changed = narrow(&[&row.id], &[showing[row.id.as_str()]]);
            put!(changed, faults, row);
            let cases = cases[at].each_ref().map(|car| (car, &buyer));
            appraised(&changed, &cases, 12)
        },
    );
    none(&found);
}

/// The faults that a repair cures by itself.
fn cured_by(repair: &RepairRow) -> Vec<&'static FaultRow> {
    let faults = tables().faults.iter();
    faults
        .filter(|fault| fault.repairs.contains(&repair.id))
        .collect()
}

/// The tables that this repair's figures ask for.
fn narrow_to(repair: &RepairRow) -> Tables {
    let faults: Vec<&str> = cured_by(repair).iter().map(|row| row.id.as_str()).collect();
    narrow(&faults, &[])
}

/// A car that has the fault which a repair cures, for certain.
fn in_need_of(repair: &RepairRow) -> CarRecord {
    let faults = cured_by(repair);
    let asks: Vec<&AppliesIf> = faults.iter().map(|row| &row.applies_if).collect();
    let mut car = car_for(&asks);
    for fault in faults {
        car.pins.insert(fault.id.clone(), Pin::Certain);
    }
    car
}

/// The same, taken to a garage.
fn at_a_garage(mut car: CarRecord) -> CarRecord {
    for fault in car.pins.keys().cloned().collect::<Vec<_>>() {
        car.routes.insert(fault, RouteWish::Garage);
    }
    car
}

#[test]
fn every_number_of_a_repair_changes_the_bill() {
    let all = tables();
    let (home, garage) = (does_it_all(), drives_only());
    let cars: Vec<CarRecord> = all.repairs.iter().map(in_need_of).collect();
    let mut new_only = does_it_all();
    new_only.uses_used_parts = false;
    let found = dead(
        "repairs",
        &all.repairs,
        |row| &row.id,
        // Nobody's skill counts where only a garage may do it.
        |row, dotted| dotted == ".skill" && row.garage_only,
        |at, row| {
            let mut changed = narrow_to(&row);
            put!(changed, repairs, row);
            let car = &cars[at];
            appraised(
                &changed,
                &[(car, &home), (car, &garage), (car, &new_only)],
                4,
            )
        },
    );
    none(&found);
}

#[test]
fn every_number_of_a_step_changes_hours_or_cash() {
    let all = tables();
    let (home, garage) = (does_it_all(), drives_only());
    let uses = |id: &String| {
        all.repairs
            .iter()
            .filter(|row| row.operations.contains(id) || row.follow_ups.contains(id))
            // A repair that may be done at home shows both routes.
            .min_by_key(|row| row.garage_only)
    };
    let users: Vec<&RepairRow> = all
        .operations
        .iter()
        .map(|row| uses(&row.id).unwrap_or_else(|| panic!("no repair uses {}", row.id)))
        .collect();
    let cars: Vec<CarRecord> = users.iter().map(|row| in_need_of(row)).collect();
    let sent: Vec<CarRecord> = cars.iter().cloned().map(at_a_garage).collect();
    let at_home: BTreeMap<&str, bool> = all
        .operations
        .iter()
        .zip(&users)
        .map(|(row, user)| (row.id.as_str(), !user.garage_only && !row.garage_machine))
        .collect();
    let found = dead(
        "operations",
        &all.operations,
        |row| &row.id,
        // A step that is only ever a garage's has no home hours.
        |row, dotted| dotted == ".home_factor" && !at_home[row.id.as_str()],
        |at, row| {
            let mut changed = narrow_to(users[at]);
            put!(changed, operations, row);
            appraised(&changed, &[(&cars[at], &home), (&sent[at], &garage)], 4)
        },
    );
    none(&found);
}

#[test]
fn every_price_of_a_tool_that_work_needs_changes_a_bill() {
    let all = tables();
    let mut buyer = does_it_all();
    buyer.tools.clear();
    // So dear a garage that the tool is bought or hired whatever it costs.
    buyer.garage_rate = Money::whole(100_000);
    let work = |id: &str| {
        all.repairs
            .iter()
            .filter(|row| !row.garage_only)
            .find(|row| {
                let steps = row.operations.iter().chain(&row.follow_ups);
                row.tools.iter().any(|tool| tool == id)
                    || steps.filter_map(|step| all.operation(step)).any(|step| {
                        step.needs.iter().any(|tool| tool == id) && !step.garage_machine
                    })
            })
    };
    let mut changed = silent();
    let found = dead(
        "tools",
        &all.tools,
        |row| &row.id,
        // A tool that only checks use costs nothing here; of hire and purchase the cheaper counts.
        |row, dotted| {
            let dearer = row.buy.zip(row.hire).is_some_and(|(buy, hire)| {
                if hire.likely() < buy.likely() {
                    dotted.starts_with(".buy")
                } else {
                    dotted.starts_with(".hire")
                }
            });
            dearer || work(&row.id).is_none()
        },
        |at, row| {
            let mut car = in_need_of(work(&row.id).unwrap());
            car.observations.clear();
            let mut buyer = buyer.clone();
            // Helpers and level ground cannot be bought: they are at hand.
            for tool in all.tools.iter().filter(|tool| tool.id != row.id) {
                buyer.tools.insert(tool.id.clone());
            }
            let was = std::mem::replace(&mut changed.tools[at], row);
            let print = appraised(&changed, &[(&car, &buyer)], 4);
            changed.tools[at] = was;
            print
        },
    );
    none(&found);
}

#[test]
fn every_number_of_a_part_to_sell_changes_floor_or_rules() {
    let all = tables();
    let racer = Buyer {
        purpose: "capped-race".to_owned(),
        ..does_it_all()
    };
    let mut changed = silent();
    let found = dead(
        "sellables",
        &all.sellables,
        |row| &row.id,
        // What the law restricts is shown and not counted; a part that brings less than its work stays on the shell.
        |row, _| row.restricted,
        |at, row| {
            let car = car_for(&[&row.applies_if]);
            let was = std::mem::replace(&mut changed.sellables[at], row);
            let print = appraised(&changed, &[(&car, &racer)], 12);
            changed.sellables[at] = was;
            print
        },
    );
    none(&found);
}

#[test]
fn every_number_of_a_purpose_changes_what_it_comes_to() {
    let all = tables();
    let mut changed = silent();
    let mut dear = plain();
    for like in &mut dear.worth.comparables {
        like.price = Money::whole(12_000);
    }
    // With parts that the buyer wants, and something that worsens left as it is.
    let mut car = plain();
    car.worth.own = Some(MoneyRange {
        low: Money::whole(2_000),
        likely: Money::whole(2_600),
        high: Money::whole(3_400),
        reading: RangeReading::OneInTen,
    });
    car.pins.insert("ENG12".to_owned(), Pin::Certain);
    car.routes.insert("ENG12".to_owned(), RouteWish::LiveWith);
    let found = dead(
        "purposes",
        &all.purposes,
        |row| &row.id,
        |row, dotted| {
            let ready = row.worth_means == "ready";
            // Hours of the fit-out are a cost where worth means the finished car; elsewhere they are the plan's.
            (dotted.starts_with(".fit_out") && dotted.ends_with(".hours") && !ready)
                // Horizon of a race is its hours; grade of tires is the event's scrutineer's.
                || (dotted == ".horizon_miles" && row.race_hours > 0.0)
                || dotted.ends_with("least_treadwear")
        },
        |at, row| {
            let buyer = Buyer {
                purpose: row.id.clone(),
                hour_value: None,
                ..does_it_all()
            };
            let was = std::mem::replace(&mut changed.purposes[at], row);
            let print = appraised(&changed, &[(&car, &buyer), (&dear, &buyer)], 40);
            changed.purposes[at] = was;
            print
        },
    );
    none(&found);
}

#[test]
fn an_overlay_and_a_changed_row_are_one() {
    // The tests above put a changed row in place; by an overlay of that one number it comes to the same tables.
    for (table, row, text) in [
        ("faults", "ENG01", r#"{"prior": 0.036}"#),
        ("signs", "p0171", r#"{"seconds": 10}"#),
        ("tools", "welder", r#"{"note": "mine"}"#),
    ] {
        let mut over: serde_json::Map<String, Value> = serde_json::from_str(text).unwrap();
        over.insert("id".to_owned(), row.into());
        over.insert("reason".to_owned(), "a test".into());
        let overlay = Overlay {
            table: table.to_owned(),
            place: "here".to_owned(),
            text: serde_json::to_string(&[&over]).unwrap(),
        };
        let laid = Tables::from_texts(&EMBEDDED, &[overlay]).unwrap();
        assert_ne!(&laid, tables(), "{table}");
        let mut back = laid.clone();
        let plain = tables();
        match table {
            "faults" => back.faults.clone_from(&plain.faults),
            "signs" => back.signs.clone_from(&plain.signs),
            _ => back.tools.clone_from(&plain.tools),
        }
        assert_eq!(&back, plain, "{table}: the overlay reaches beyond its row");
    }
}
