//! Readings against limits: each limit on it, a step inside and a step outside, in both units, through the functions that the
//! walk-around and `weigh` call. Figures: `tests/reference/limits.csv`, transcribed from the law and the handbooks named in its last
//! column, apart from the program's own table.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini::{answered, saw};
use jiff::civil::date;
use wrenchworth::car::{
    Answer, Buyer, CarRecord, CheckExtras, HouseRules, Money, Quantity, Reading,
};
use wrenchworth::engine::findings::findings;
use wrenchworth::engine::readings::{ReadingVerdict, Yardstick, read_typed};
use wrenchworth::engine::{Knowledge, Run};
use wrenchworth::trade::limits::least_treadwear_grade;
use wrenchworth::trade::{Grade, Overlay, TableTexts, Tables, check};

const TODAY: jiff::civil::Date = date(2026, 11, 25);

fn tables(rule_sets: &[&str]) -> Tables {
    let mut tables = Tables::embedded().unwrap();
    tables.settings.rule_sets = rule_sets.iter().map(|set| (*set).to_owned()).collect();
    tables
}

fn typed(tables: &Tables, sign: &str, text: &str) -> Reading {
    let row = tables.sign(sign).unwrap();
    read_typed(row, tables, text).unwrap_or_else(|why| panic!("{sign} {text}: {why}"))
}

fn judged(tables: &Tables, sign: &str, text: &str) -> ReadingVerdict {
    let car = CarRecord::default();
    let reading = typed(tables, sign, text);
    let yardstick = Yardstick::new(tables, &car, None, TODAY);
    yardstick
        .read(tables.sign(sign).unwrap(), &reading)
        .unwrap()
}

fn lines(csv: &str) -> Vec<Vec<String>> {
    csv.lines()
        .skip(1)
        .map(|line| {
            let (mut fields, mut quoted) = (vec![String::new()], false);
            for c in line.chars() {
                match c {
                    '"' => quoted = !quoted,
                    ',' if !quoted => fields.push(String::new()),
                    c => fields.last_mut().unwrap().push(c),
                }
            }
            fields
        })
        .collect()
}

#[test]
fn every_limit_holds_on_it_and_a_step_to_each_side_in_both_units() {
    let rows = lines(include_str!("../reference/limits.csv"));
    assert!(rows.len() > 30);
    for row in rows {
        let [sign, set, item, grade, on_is_outside, rest @ ..] = row.as_slice() else {
            panic!("{row:?}");
        };
        let tables = tables(&[set]);
        let grade = match grade.as_str() {
            "watch" => Grade::Watch,
            "renew" => Grade::Renew,
            "limit" => Grade::Limit,
            "danger" => Grade::Danger,
            other => panic!("{other}"),
        };
        let outside = |text: &str| {
            let found = judged(&tables, sign, text);
            let worst = found
                .measured
                .iter()
                .filter(|one| one.item == *item)
                .filter_map(|one| one.grade)
                .max();
            worst >= Some(grade)
        };
        for texts in rest[..6].chunks(3).filter(|texts| !texts[0].is_empty()) {
            assert_eq!(outside(&texts[0]), on_is_outside == "yes", "on: {row:?}");
            assert!(!outside(&texts[1]), "inside: {row:?}");
            assert!(outside(&texts[2]), "outside: {row:?}");
        }
    }
}

#[test]
fn every_row_of_the_limits_table_is_held_against_the_reference() {
    let rows = lines(include_str!("../reference/limits.csv"));
    // Tested below, as they are no plain figure: ages, spreads, counts by model year, and "none to be felt".
    let apart = [
        "tire-age",
        "compression-spread",
        "compression-lowest",
        "monitors-not-ready",
        "battery-cranking",
        "oil-pressure-3000",
    ];
    for limit in Tables::embedded().unwrap().limits {
        let zero = limit.greatest == Some(0.0);
        let known = rows
            .iter()
            .any(|row| row[1] == limit.rule_set && row[2] == limit.item);
        assert!(
            known || zero || apart.contains(&limit.item.as_str()),
            "{} is tested nowhere",
            limit.id
        );
    }
}

#[test]
fn one_cylinder_under_three_quarters_and_two_neighbors_are_told_apart() {
    // Lowest at least 75 % of highest, two adjacent low: a vehicle maker's workshop information of 2012.
    let tables = tables(&["handbook"]);
    let level = |text: &str| judged(&tables, "compression-test", text).level;
    assert_eq!(level("180 175 170 178"), 0);
    assert_eq!(level("200 150 200 200"), 0, "on 75 %");
    assert_eq!(level("200 149 200 200"), 2);
    assert_eq!(level("200 120 125 200"), 3);
    assert_eq!(
        level("120 200 200 125"),
        2,
        "the first and the last are no neighbors"
    );
    assert_eq!(level("95 92 90 94"), 1);
    assert_eq!(level("13.8bar 10.3bar 13.8bar 13.8bar"), 2);
}

#[test]
fn trims_tell_a_leak_at_idle_from_fuel_that_runs_short() {
    let tables = tables(&["handbook"]);
    let level = |text: &str| judged(&tables, "fuel-trims", text).level;
    assert_eq!(level("4 6"), 0);
    assert_eq!(level("18 3"), 1);
    assert_eq!(level("15 14"), 2);
    assert_eq!(level("5 17"), 3);
    assert_eq!(level("12 20"), 3);
    assert_eq!(level("-14 -6"), 4);
}

#[test]
fn second_numbers_count_where_they_are_given() {
    let tables = tables(&["handbook"]);
    assert_eq!(judged(&tables, "battery-volts", "12.6 10.4").level, 0);
    assert_eq!(judged(&tables, "battery-volts", "12.6 9.8").level, 1);
    assert_eq!(judged(&tables, "battery-volts", "12.6 9.5").level, 2);
    assert_eq!(judged(&tables, "oil-pressure-gauge", "12 30").level, 0);
    assert_eq!(judged(&tables, "oil-pressure-gauge", "12 29").level, 2);
}

#[test]
fn a_tire_ages_from_its_date_code_to_today() {
    // Six years: a vehicle maker. Ten: British Rubber Manufacturers Association, 2001.
    let tables = tables(&["us-49cfr570", "handbook"]);
    let level = |code: &str| judged(&tables, "tire-dates", code).level;
    assert_eq!(level("0121"), 0);
    assert_eq!(level("4920"), 0);
    assert_eq!(level("4620"), 1);
    assert_eq!(level("4916"), 1);
    assert_eq!(level("4616"), 2);
    assert_eq!(level("317"), 2, "three digits are from before July 2000");
}

#[test]
fn monitors_not_ready_go_by_the_model_year() {
    // US EPA: two unset for 1996 to 2000, one from 2001 on.
    let tables = tables(&["us-epa"]);
    let mut car = CarRecord::default();
    let mut level = |year: u16, count: &str| {
        car.particulars.year = Some(year);
        let reading = typed(&tables, "readiness-monitors", count);
        let yardstick = Yardstick::new(&tables, &car, None, TODAY);
        let row = tables.sign("readiness-monitors").unwrap();
        yardstick.read(row, &reading).unwrap().level
    };
    assert_eq!([level(1999, "2"), level(1999, "3")], [1, 2]);
    assert_eq!([level(2001, "1"), level(2001, "2")], [1, 2]);
    assert_eq!(level(2009, "0"), 0);
}

#[test]
fn a_load_controlled_charger_is_not_called_faulty_for_reading_low() {
    let tables = tables(&["handbook"]);
    assert_eq!(judged(&tables, "running-volts", "12.8").level, 2);
    let smart = judged(&tables, "running-volts", "12.8 smart");
    assert_eq!(smart.level, 0);
    let row = smart.measured[0].row.as_ref().unwrap();
    assert!(row.note.contains("load-controlled"), "{}", row.note);
}

#[test]
fn a_figure_of_the_users_own_takes_the_place_of_the_laws() {
    let own = r#"[{"id": "own-tread", "rule_set": "own", "item": "tread", "grade": "limit", "unit": "mm", "least": 3.0,
        "vehicle": "mine", "source": "my club", "as_of": "2026-11"}]"#;
    let overlay = Overlay {
        table: "limits".to_owned(),
        place: "limits.json".to_owned(),
        text: own.to_owned(),
    };
    let texts: TableTexts<'_> = wrenchworth::trade::EMBEDDED;
    let tables = Tables::from_texts(&texts, &[overlay]).unwrap();
    assert_eq!(check(&tables), []);
    let found = judged(&tables, "tread-depth", "2.9mm");
    assert_eq!(found.level, 2);
    assert_eq!(found.measured[0].row.as_ref().unwrap().source, "my club");
    assert_eq!(judged(&tables, "tread-depth", "3mm").level, 1);
}

#[test]
fn grades_are_multiples_of_twenty_so_190_and_200_admit_the_same_tires() {
    assert_eq!(least_treadwear_grade(190), 200);
    assert_eq!(least_treadwear_grade(200), 200);
    assert_eq!(least_treadwear_grade(180), 180);
    let tables = Tables::embedded().unwrap();
    let mut car = CarRecord::default();
    car.observations.push(saw("tire-grade", 0));
    let mut admitted = |least: u32, grade: &str| {
        let reading = typed(&tables, "tire-grade", grade);
        let extras = CheckExtras {
            reading: Some(reading),
            ..CheckExtras::default()
        };
        car.checks.insert("tire-grade".to_owned(), extras);
        let buyer = Buyer {
            purpose: "capped-race".to_owned(),
            house_rules: Some(HouseRules {
                cap: Money::whole(500),
                penalty_step: Money::whole(10),
                accepted_steps: 0,
                started_steps_count: true,
                exempt_classes: std::collections::BTreeSet::new(),
                sales_count_back: false,
                least_treadwear: Some(least),
            }),
            ..Buyer::default()
        };
        let found = findings(&car, &tables, &buyer, TODAY);
        let weighed = Knowledge::new(tables.clone()).appraise(
            &car,
            &buyer,
            &Run {
                today: TODAY,
                seed: 1,
                draws: 10,
            },
        );
        let stopped = weighed.stops.iter().any(|stop| stop.id == "tire-grade");
        assert_eq!(found.readings[0].verdict.level == 1, stopped);
        !stopped
    };
    for grade in ["180", "200", "220"] {
        assert_eq!(admitted(190, grade), admitted(200, grade), "{grade}");
    }
    assert!(!admitted(190, "180") && admitted(190, "200") && admitted(180, "180"));
}

#[test]
fn a_reading_moves_the_figures_as_its_level_does_and_an_unseen_answer_hides_it() {
    let tables = Tables::embedded().unwrap();
    let knowledge = Knowledge::new(tables.clone());
    let chance = |level: usize, reading: Option<&str>, seen: bool| {
        let mut car = crate::mini::car();
        car.observations.push(if seen {
            saw("pads-seen", level)
        } else {
            answered("pads-seen", Answer::NotSeen)
        });
        if let Some(text) = reading {
            let extras = CheckExtras {
                reading: Some(typed(&tables, "pads-seen", text)),
                ..CheckExtras::default()
            };
            car.checks.insert("pads-seen".to_owned(), extras);
        }
        let run = Run {
            today: TODAY,
            seed: 1,
            draws: 50,
        };
        let weighed = knowledge.appraise(&car, &Buyer::default(), &run);
        let fault = weighed.faults.iter().find(|fault| fault.id == "BRA01");
        fault.unwrap().chance.to_bits()
    };
    assert_eq!(chance(0, Some("2mm"), true), chance(2, None, true));
    assert_eq!(chance(0, Some("3mm"), true), chance(1, None, true));
    assert_ne!(chance(0, Some("2mm"), true), chance(0, None, true));
    assert_eq!(chance(0, Some("2mm"), false), chance(0, None, false));
}

#[test]
fn no_number_is_never_a_level() {
    let tables = Tables::embedded().unwrap();
    let car = CarRecord::default();
    let yardstick = Yardstick::new(&tables, &car, None, TODAY);
    let row = tables.sign("tread-depth").unwrap();
    for values in [vec![], vec![f64::NAN], vec![f64::INFINITY]] {
        let reading = Reading {
            values,
            ..Reading::default()
        };
        assert_eq!(yardstick.read(row, &reading), None);
    }
    assert!(Quantity::Tread.neutral(1.0, "psi", false).is_none());
}

/// A figure of a limit.
type Figure = fn(&mut wrenchworth::trade::LimitRow) -> Option<&mut f64>;

/// What is said of many readings of a sign, as levels and grades: never the figures of the limits themselves.
fn said(tables: &Tables, sign: &str) -> Vec<String> {
    let row = tables.sign(sign).unwrap();
    let mut said = Vec::new();
    let mut hold = |text: String| {
        let Ok(reading) = read_typed(row, tables, &text) else {
            return;
        };
        for year in [1999, 2005] {
            let mut car = CarRecord::default();
            car.particulars.year = Some(year);
            let found = Yardstick::new(tables, &car, None, TODAY).read(row, &reading);
            let grades = found.map(|found| {
                let graded = found.measured.iter().map(|one| one.grade);
                (found.level, graded.collect::<Vec<_>>())
            });
            said.push(format!("{text}, {year}: {grades:?}"));
        }
    };
    for step in 0..=180 {
        let value = 0.01 * 10_f64.powf(f64::from(step) / 30.0);
        hold(format!("{value:.3}"));
        hold(format!("{value:.0}"));
        hold(format!("-{value:.1} -{value:.1}"));
        hold(format!("12.6 {value:.3}"));
        hold(format!("{value:.1} 12.6"));
        hold(format!("100 {value:.0} 100 100"));
        for word in ["smart", "box", "joints"] {
            hold(format!("{value:.3} {word}"));
            for wheel in [10, 15, 17, 19, 20, 22, 38] {
                hold(format!("{value:.3}in @ {wheel}in {word}"));
                hold(format!("{value:.3}in @ {wheel}in"));
            }
        }
    }
    for years_back in 0..27 {
        hold(format!("01{:02}", 26 - years_back));
    }
    said
}

#[test]
fn every_number_of_a_limit_changes_a_verdict() {
    let all = Tables::embedded().unwrap();
    let mut dead = Vec::new();
    for (at, limit) in all.limits.iter().enumerate() {
        let measures = |sign: &&wrenchworth::trade::SignRow| {
            let spec = sign.reading.as_ref();
            spec.is_some_and(|spec| {
                spec.parts
                    .iter()
                    .any(|part| limit.item.starts_with(&part.item))
            })
        };
        let signs: Vec<&str> = (all.signs.iter().filter(measures))
            .map(|sign| sign.id.as_str())
            .collect();
        assert!(!signs.is_empty(), "nothing measures {}", limit.id);
        let answers = |tables: &Tables| -> Vec<Vec<String>> {
            signs.iter().map(|sign| said(tables, sign)).collect()
        };
        let before = answers(&tables(&[&limit.rule_set]));
        let numbers: [(&str, Figure); 4] = [
            ("least", |row| row.least.as_mut()),
            ("greatest", |row| row.greatest.as_mut()),
            ("wheel_from_in", |row| row.wheel_from_in.as_mut()),
            ("per_wheel_mm", |row| row.per_wheel_mm.as_mut()),
        ];
        for (name, number) in numbers {
            let alive = [2.0, 0.5].into_iter().any(|times| {
                let mut tables = tables(&[&limit.rule_set]);
                let Some(figure) = number(&mut tables.limits[at]) else {
                    return true;
                };
                // None to be felt is no figure to double: one is.
                *figure = if *figure == 0.0 { 1.0 } else { *figure * times };
                answers(&tables) != before
            });
            if !alive {
                dead.push(format!("{}, {name}", limit.id));
            }
        }
    }
    assert!(
        dead.is_empty(),
        "{} figures change no verdict:\n{}",
        dead.len(),
        dead.join("\n")
    );
}
