//! The recursion against a sum over every set of faults, on invented networks, entering through `diagnose`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

use crate::diagnosis_kit;

use diagnosis_kit::brute::brute;
use diagnosis_kit::*;
use serde_json::{Map, json};
use wrenchworth::car::{CarRecord, Pin};
use wrenchworth::trade::settings::Settings;
use wrenchworth::trade::{FaultRow, SignKind, SignRow, Tables};

/// An invented network with observations of every sort.
fn invent(
    dice: &mut Dice,
    most_faults: usize,
    signs: usize,
    settings: &Settings,
) -> (Tables, CarRecord) {
    let count = 2 + dice.below(most_faults - 1);
    let faults: Vec<_> = (0..count)
        .map(|f| {
            let prior = 0.005 + 0.4 * dice.unit() * dice.unit();
            let hidden = if dice.chance(0.5) {
                0.0
            } else {
                0.5 * dice.unit()
            };
            let sees = dice.unit();
            fault(
                &format!("F{f:02}"),
                prior,
                json!({"hidden_share": hidden, "owner_sees": sees}),
            )
        })
        .collect();
    let mut rows = Vec::new();
    let mut car = reference_car();
    for s in 0..1 + dice.below(signs) {
        let id = format!("s{s:02}");
        let levels = 2 + dice.below(3);
        let mut rates = Map::new();
        for row in &faults {
            if dice.chance(0.35) {
                let sum = 0.98 * dice.unit();
                rates.insert(row.id.clone(), json!(dice.shares(levels - 1, sum)));
            }
        }
        let alarm = if dice.chance(0.4) && !rates.is_empty() {
            0.0
        } else {
            0.1 * dice.unit()
        };
        let alarms: Vec<f64> = dice.shares(levels - 1, alarm);
        let mut more = json!({"hits": {"rates": rates, "false_alarm": alarms}});
        if dice.chance(0.15) {
            let care: Vec<[f64; 5]> = (0..levels)
                .map(|_| [0; 5].map(|_| 0.05 + dice.unit()))
                .collect();
            more["care"] = json!(care);
        }
        rows.push(sign(&id, levels, more));
        let level = if dice.chance(0.7) {
            1 + dice.below(levels - 1)
        } else {
            0
        };
        let mut observation = saw(&id, level);
        observation.admitted = level > 0 && dice.chance(0.2);
        car.observations.push(observation);
        if dice.chance(0.3) {
            rows.push(invent_test(dice, &id, s, &faults));
            car.observations
                .push(saw(&format!("t{s:02}"), dice.below(3)));
        }
    }
    for row in &faults {
        if dice.chance(0.06) {
            let pin = if dice.chance(0.5) {
                Pin::Certain
            } else {
                Pin::RuledOut
            };
            car.pins.insert(row.id.clone(), pin);
        }
    }
    car.listing.whole_text_on_file = dice.chance(0.5);
    (tables(faults, rows, settings.clone()), car)
}

/// A test of a symptom; half of them are also an ordinary sign when the symptom is not there.
fn invent_test(dice: &mut Dice, tested: &str, s: usize, faults: &[FaultRow]) -> SignRow {
    let mut by_fault = Map::new();
    let mut rates = Map::new();
    for row in faults {
        if dice.chance(0.5) {
            by_fault.insert(row.id.clone(), json!(dice.shares(3, 1.0)));
            rates.insert(row.id.clone(), json!(dice.shares(2, 0.7)));
        }
    }
    let mut more = json!({
        "kind": SignKind::Test,
        "test_of": {"signs": [tested], "rows": by_fault, "other": dice.shares(3, 1.0)},
    });
    if dice.chance(0.5) {
        more["hits"] = json!({"rates": rates, "false_alarm": [0.02, 0.01]});
    }
    sign(&format!("t{s:02}"), 3, more)
}

/// Greatest distance between the recursion and the sum, or none where the observations exclude one another.
fn distance(car: &CarRecord, tables: &Tables) -> Option<f64> {
    let sum = brute(car, tables);
    if sum.evidence <= 0.0 {
        return None;
    }
    let found = run(car, tables);
    if found.notes.iter().any(|note| note.contains("left out")) {
        return None;
    }
    let pairs = (found
        .faults
        .iter()
        .map(|fault| fault.chance)
        .zip(sum.chances))
    .chain(found.care.into_iter().zip(sum.care))
    .chain(found.openness.into_iter().zip(sum.openness));
    let chances = pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    Some(chances.max((found.log_evidence - sum.evidence.ln()).abs()))
}

fn check(
    networks: usize,
    least_used: usize,
    most: usize,
    signs: usize,
    settings: &Settings,
    seed: u64,
) {
    let mut dice = Dice(seed);
    let (mut used, mut worst) = (0, 0.0_f64);
    for _ in 0..networks {
        let (tables, car) = invent(&mut dice, most, signs, settings);
        if let Some(distance) = distance(&car, &tables) {
            used += 1;
            worst = worst.max(distance);
            assert!(distance < 1e-12, "network {used}: off by {distance:e}");
        }
    }
    assert!(used >= least_used, "only {used} networks could be observed");
    println!("{used} networks, worst {worst:e}");
}

#[test]
fn small_networks_agree_with_the_sum_over_all_sets_of_faults() {
    check(1_100, 900, 9, 8, &one_component(), 1);
}

#[test]
fn networks_of_fifteen_faults_and_fourteen_signs_agree_too() {
    check(130, 100, 15, 14, &one_component(), 2);
}

#[test]
fn the_mixture_of_fifteen_components_agrees_with_the_sum_over_components() {
    check(350, 250, 8, 7, &settings(), 3);
}

#[test]
fn nine_faults_needed_at_once_are_found_at_once() {
    // Nine signs without leak, each with a cause of its own beside a shared one that cannot reach the ninth.
    let faults: Vec<_> = (0..9)
        .map(|f| fault(&format!("F{f}"), 0.03, json!({})))
        .collect();
    let signs: Vec<_> = (0..9)
        .map(|s| {
            let next = format!("F{}", (s + 1) % 9);
            let rates = json!({format!("F{s}"): [0.6, 0.0], next: [0.0, 0.3]});
            let mut row = sign(
                &format!("s{s}"),
                3,
                json!({"hits": {"rates": rates, "false_alarm": [0.0, 0.0]}}),
            );
            row.name = format!("sign {s}");
            row
        })
        .collect();
    let mut car = reference_car();
    car.observations = (0..9).map(|s| saw(&format!("s{s}"), 1)).collect();
    let tables = tables(faults, signs, one_component());
    assert!(distance(&car, &tables).unwrap() < 1e-12);
    for fault in &run(&car, &tables).faults {
        assert!((fault.chance - 1.0).abs() < 1e-12, "{} is needed", fault.id);
    }
}

#[test]
fn a_frontier_too_wide_is_split_over_held_faults_and_stays_exact() {
    let mut dice = Dice(4);
    let mut held = 0;
    for width in [2, 3] {
        let mut settings = one_component();
        settings.diagnosis.greatest_width = width;
        for _ in 0..250 {
            let (tables, car) = invent(&mut dice, 9, 9, &settings);
            let found = run(&car, &tables);
            assert!(found.width <= width);
            held += usize::from(found.notes.iter().any(|note| note.contains("in turn")));
            if let Some(distance) = distance(&car, &tables) {
                assert!(distance < 1e-12, "off by {distance:e}");
            }
        }
    }
    assert!(held > 100, "only {held} networks were split");
}
