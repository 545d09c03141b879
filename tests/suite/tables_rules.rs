//! Rules that a table made up in a hurry would break.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::tables_kit;

use std::collections::{BTreeMap, BTreeSet};
use tables_kit::*;
use wrenchworth::car::{CarRecord, Money, Pin};
use wrenchworth::engine::{FaultFigure, Route};
use wrenchworth::trade::{FaultRow, RepairRow, SafetyClass};

/// The fifty-three defects on the back of the US Buyers Guide (16 CFR 455, figure 2; text of 2016), each with the check that looks for it
/// and the fault it stands for.
const BUYERS_GUIDE: &str = include_str!("../reference/buyers_guide.csv");

/// Strengths of every sign and test for one fault: sign id, chance of each level.
fn strengths(fault: usize) -> Vec<(String, Vec<String>)> {
    let mut found = Vec::new();
    let id = &tables().faults[fault].id;
    for (row, links) in tables().signs.iter().zip(&TRADE.links().signs) {
        let told = |levels: &[f64]| levels.iter().map(|level| format!("{level:.6}")).collect();
        if let Some(link) = links.faults.iter().find(|link| link.fault == fault) {
            found.push((row.id.clone(), told(&link.levels)));
        }
        if let Some(outcomes) = row.test_of.as_ref().and_then(|test| test.rows.get(id)) {
            found.push((format!("{} as a test", row.id), told(outcomes)));
        }
    }
    found
}

#[test]
fn no_two_faults_show_in_the_same_way() {
    let mut seen: BTreeMap<Vec<(String, Vec<String>)>, &str> = BTreeMap::new();
    for (at, row) in tables().faults.iter().enumerate() {
        if let Some(twin) = seen.insert(strengths(at), &row.id) {
            panic!("{twin} and {} show alike in every sign", row.id);
        }
    }
}

#[test]
fn no_two_repairs_have_the_same_parts_hours_and_steps() {
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    for row in &tables().repairs {
        let mut steps: Vec<&String> = row.operations.iter().chain(&row.follow_ups).collect();
        steps.sort();
        let hours: f64 = steps
            .iter()
            .map(|id| tables().operation(id).unwrap().hours.likely())
            .sum();
        let key = format!("{:?} {hours:.3} {steps:?}", row.parts);
        if let Some(twin) = seen.insert(key, &row.id) {
            panic!("{twin} and {} are one repair", row.id);
        }
    }
}

/// The fault as it stands on a car that has it for certain, with a buyer who does nothing at home.
fn at_a_garage(row: &FaultRow) -> FaultFigure {
    let mut car = car_for(&[&row.applies_if]);
    car.pins.insert(row.id.clone(), Pin::Certain);
    let out = TRADE.appraise(&car, &drives_only(), &run(8));
    out.faults
        .into_iter()
        .find(|fault| fault.id == row.id)
        .unwrap_or_else(|| panic!("{} is not on a car it applies to", row.id))
}

/// Chance of each level with this fault alone against the same with none: the greatest ratio over the levels above benign.
fn greatest_ratio(sign: usize, fault: usize) -> Option<f64> {
    let links = &TRADE.links().signs[sign];
    let levels = &links.faults.iter().find(|link| link.fault == fault)?.levels;
    let chance = |level: usize| -> f64 {
        let up_to = |shares: &[f64], level: usize| shares[..=level].iter().sum::<f64>();
        let both = |level: usize| up_to(&links.leak, level) * up_to(levels, level);
        both(level) - if level == 0 { 0.0 } else { both(level - 1) }
    };
    (1..levels.len())
        .map(|level| chance(level) / links.leak[level].max(1e-9))
        .max_by(f64::total_cmp)
}

#[test]
fn what_costs_over_300_shows_in_two_signs_and_clearly_in_one() {
    let mut wrong = Vec::new();
    for (at, row) in tables().faults.iter().enumerate() {
        let figure = at_a_garage(row);
        let cost = figure
            .ways
            .iter()
            .map(|way| way.cash[1])
            .fold(f64::INFINITY, f64::min);
        if cost <= 300.0 {
            continue;
        }
        let ratios: Vec<f64> = (0..tables().signs.len())
            .filter_map(|sign| greatest_ratio(sign, at))
            .collect();
        if ratios.len() < 2 || !ratios.iter().any(|ratio| *ratio >= 4.0) {
            wrong.push(format!("{} at {cost:.0}: {ratios:?}", row.id));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_repair_names_a_proof_that_speaks_of_what_it_cures() {
    let mut wrong = Vec::new();
    for row in &tables().repairs {
        let proof = tables().sign(&row.proof_of_cure).unwrap();
        let cures = tables()
            .faults
            .iter()
            .filter(|fault| fault.repairs.contains(&row.id) || row.also_cures.contains(&fault.id));
        if !cures.clone().any(|fault| speaks_of(proof, &fault.id)) {
            wrong.push(format!("{}: {}", row.id, proof.id));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_defect_of_the_buyers_guide_points_to_its_fault() {
    let lines: Vec<Vec<&str>> = BUYERS_GUIDE
        .lines()
        .skip(1)
        .map(|line| {
            // The defect may hold commas inside quotes; sign and fault come last.
            line.rsplitn(4, ',').collect()
        })
        .collect();
    assert_eq!(lines.len(), 53);
    let mut wrong = Vec::new();
    for line in lines {
        let (fault, sign, defect) = (line[0], line[1], line[3]);
        let row = tables()
            .sign(sign)
            .unwrap_or_else(|| panic!("no sign {sign}"));
        let asks = &tables()
            .fault(fault)
            .unwrap_or_else(|| panic!("no fault {fault}"))
            .applies_if;
        let mut car: CarRecord = car_for(&[asks, &row.applies_if]);
        car.observations = vec![saw(sign, row.levels.len() - 1)];
        let out = TRADE.appraise(&car, &works_at_home(), &run(8));
        let found = out.faults.iter().find(|found| found.id == fault).unwrap();
        if found.chance < 3.0 * found.ordinary {
            wrong.push(format!(
                "{defect}: {sign} lifts {fault} only from {:.3} to {:.3}",
                found.ordinary, found.chance
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Cautions of which safety work of a class carries one.
fn cautions_of(class: SafetyClass) -> &'static [&'static str] {
    match class {
        SafetyClass::Brakes => &["brakes-not-for-learners"],
        SafetyClass::Steering => &["steering-not-for-learners"],
        SafetyClass::Restraints => &["air-bags", "belt-pretensioner"],
        SafetyClass::Fuel => &["fuel-vapor", "diesel-injection"],
        // A subframe is bolted, a windshield glued: neither is welded.
        SafetyClass::Structure => &["structural-welding", "sharp-rust", "eye-protection"],
        SafetyClass::Refrigerant => &["refrigerant"],
        SafetyClass::HighVoltage => &["high-voltage"],
        SafetyClass::Springs => &["springs-under-load"],
    }
}

#[test]
fn safety_work_carries_its_own_caution() {
    for row in &tables().repairs {
        let Some(class) = row.safety else { continue };
        let wanted = cautions_of(class);
        assert!(
            wanted
                .iter()
                .any(|id| row.cautions.iter().any(|has| has == id)),
            "{} lacks a caution of {wanted:?}",
            row.id
        );
    }
}

/// Work that looks dangerous by what it cures or carries and is not.
const HARMLESS: &[(&str, &str)] = &[
    ("wheel-speed-sensor", "nothing that brakes is opened"),
    ("four-wheel-alignment", "a garage's machine does it"),
    (
        "struts-assembled",
        "the spring stays shut in under its mount",
    ),
    ("rebuild-engine", "valve springs are held by their own tool"),
    ("valve-job", "valve springs are held by their own tool"),
    (
        "valve-stem-seals",
        "valve springs are held by their own tool",
    ),
    ("arch-panel-welded", "an outer panel that carries nothing"),
    (
        "seat-swapped",
        "only a seat without a bag; its note says so",
    ),
];

/// Work that is dangerous by what it touches, whatever the row says of itself.
fn dangerous(row: &RepairRow) -> bool {
    let cured: BTreeSet<&str> = tables()
        .faults
        .iter()
        .filter(|fault| fault.repairs.contains(&row.id))
        .map(|fault| fault.id.as_str())
        .collect();
    let of = |wanted: &[&str]| {
        cured
            .iter()
            .any(|id| wanted.iter().any(|start| id.starts_with(start)))
    };
    let carries = |wanted: &[&str]| row.cautions.iter().any(|id| wanted.contains(&id.as_str()));
    if HARMLESS.iter().any(|(id, _)| *id == row.id) {
        return false;
    }
    of(&[
        "BRA", "STE", "SRS", "HYB", "FUE01", "FUE03", "FUE04", "FUE05", "FUE07", "FUE08",
    ]) || of(&[
        "BOD01", "BOD02", "BOD03", "BOD09", "BOD14", "SUS02", "SUS09", "SUS11", "INT03",
    ]) || carries(&[
        "structural-welding",
        "springs-under-load",
        "belt-pretensioner",
    ])
}

#[test]
fn dangerous_work_is_marked_and_never_goes_home_by_price_alone() {
    let mut buyer = does_it_all();
    buyer.takes_home.clear();
    buyer.garage_rate = Money::whole(10_000);
    let mut checked = 0;
    let mut wrong = Vec::new();
    for fault in &tables().faults {
        let repairs: Vec<&RepairRow> = fault
            .repairs
            .iter()
            .map(|id| tables().repair(id).unwrap())
            .collect();
        for row in &repairs {
            if dangerous(row) && row.safety.is_none() {
                wrong.push(format!("{} has no class of safety", row.id));
            }
        }
        if repairs.iter().all(|row| row.safety.is_none()) {
            continue;
        }
        let mut car = car_for(&[&fault.applies_if]);
        car.pins.insert(fault.id.clone(), Pin::Certain);
        let out = TRADE.appraise(&car, &buyer, &run(4));
        let figure = out.faults.iter().find(|one| one.id == fault.id).unwrap();
        for way in &figure.ways {
            let row = tables().repair(&way.repair).unwrap();
            if row.safety.is_some() {
                checked += 1;
                assert_eq!(way.route, Route::Garage, "{}: {}", row.id, way.why);
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(checked > 60, "{checked}");
}
