//! The recursion against a sum over every set of faults, on invented networks, entering through `diagnose`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod diagnosis_kit;

use diagnosis_kit::*;
use serde_json::{Map, json};
use wrenchworth::car::{CarRecord, Pin};
use wrenchworth::trade::settings::DiagnosisSettings;
use wrenchworth::trade::settings::Settings;
use wrenchworth::trade::{FaultRow, SignKind, SignRow, Tables};

/// What is present, summed over every set of faults in every component, straight from the formulas and the rows of the tables.
struct Brute {
    evidence: f64,
    chances: Vec<f64>,
    care: [f64; 5],
    openness: [f64; 3],
}

/// Observed levels by sign row.
fn observed(car: &CarRecord, tables: &Tables) -> Vec<(usize, usize)> {
    car.observations
        .iter()
        .map(|one| {
            let wrenchworth::car::Answer::Level(level) = one.answer else {
                panic!("levels only")
            };
            let at = tables.signs.iter().position(|row| row.id == one.sign);
            (at.unwrap(), level)
        })
        .collect()
}

/// Chance of a level and of all under it, from a row of chances above benign.
fn under_at(rates: &[f64], level: usize) -> (f64, f64) {
    let benign = 1.0 - rates.iter().sum::<f64>();
    let at = |k: usize| {
        if k == 0 {
            benign
        } else {
            rates.get(k - 1).copied().unwrap_or(0.0)
        }
    };
    ((0..level).map(at).sum(), at(level))
}

fn test_factor(row: &SignRow, fault: Option<&str>, outcome: usize) -> f64 {
    let test = row.test_of.as_ref().unwrap();
    fault
        .and_then(|id| test.rows.get(id))
        .unwrap_or(&test.other)[outcome]
}

fn brute(car: &CarRecord, tables: &Tables) -> Brute {
    let settings = &tables.settings.diagnosis;
    let seen = observed(car, tables);
    let count = tables.faults.len();
    let admissions = car.observations.iter().filter(|one| one.admitted).count();
    let mean_openness: f64 = (settings
        .openness_levels
        .iter()
        .zip(settings.openness_weights))
    .map(|(level, weight)| level * weight)
    .sum();
    let is_test = |row: &SignRow| is_test_of_seen(row, &seen, tables);
    let mut found = Brute {
        evidence: 0.0,
        chances: vec![0.0; count],
        care: [0.0; 5],
        openness: [0.0; 3],
    };
    let nodes: Vec<Vec<(Option<usize>, f64, f64)>> = (seen.iter())
        .filter(|(at, level)| *level > 0 && !is_test(&tables.signs[*at]))
        .filter_map(|(at, level)| sources(&tables.signs[*at], *level, &seen, tables))
        .collect();
    let benign: f64 = (seen.iter())
        .filter(|(at, level)| *level == 0 && !is_test(&tables.signs[*at]))
        .filter_map(|(at, _)| tables.signs[*at].hits.as_ref())
        .map(|hits| under_at(&hits.false_alarm, 0).1)
        .product();
    for (n, care_weight) in settings.care_weights.iter().enumerate() {
        for (d, openness_weight) in settings.openness_weights.iter().enumerate() {
            let openness = settings.openness_levels[d];
            let mut component = care_weight * openness_weight * openness.powi(admissions as i32);
            if component == 0.0 {
                continue;
            }
            for (at, level) in &seen {
                if let Some(care) = tables.signs[*at].care.get(*level) {
                    component *= care[4 - n];
                }
            }
            let weights: Vec<(f64, f64)> = (tables.faults.iter())
                .map(|row| {
                    let p = chance_at(row.prior, settings.care_levels[n], settings);
                    let mut there = p * clear_of(row, &seen, tables);
                    if car.listing.whole_text_on_file && !told(row, car, tables) {
                        let v = row.owner_sees;
                        there *= (1.0 - openness * v) / (1.0 - mean_openness * v);
                    }
                    match car.pins.get(&row.id) {
                        Some(Pin::Certain) => (0.0, there),
                        Some(Pin::RuledOut) => (1.0 - p, 0.0),
                        None => (1.0 - p, there),
                    }
                })
                .collect();
            for set in 0..1_u32 << count {
                let present = |f: usize| set >> f & 1 == 1;
                let mut term = component * benign;
                for (f, (absent, there)) in weights.iter().enumerate() {
                    term *= if present(f) { there } else { absent };
                }
                if term == 0.0 {
                    continue;
                }
                for node in &nodes {
                    let (mut none, mut some) = (1.0, 0.0);
                    for (f, q, r) in node {
                        if f.is_none_or(present) {
                            some = some * (q + r) + none * r;
                            none *= q;
                        }
                    }
                    term *= some;
                }
                found.evidence += term;
                found.care[n] += term;
                found.openness[d] += term;
                for (f, chance) in found.chances.iter_mut().enumerate() {
                    *chance += if present(f) { term } else { 0.0 };
                }
            }
        }
    }
    let total = found.evidence;
    found.chances.iter_mut().for_each(|chance| *chance /= total);
    found.care.iter_mut().for_each(|share| *share /= total);
    found.openness.iter_mut().for_each(|share| *share /= total);
    found
}

fn is_test_of_seen(row: &SignRow, seen: &[(usize, usize)], tables: &Tables) -> bool {
    row.test_of.as_ref().is_some_and(|test| {
        let target = &test.signs[0];
        (seen.iter()).any(|(at, level)| *level > 0 && tables.signs[*at].id == *target)
    })
}

/// Leak (no fault) and faults of a sign at a level above benign: under it and at it, times the tests of each cause.
fn sources(
    sign: &SignRow,
    level: usize,
    seen: &[(usize, usize)],
    tables: &Tables,
) -> Option<Vec<(Option<usize>, f64, f64)>> {
    let hits = sign.hits.as_ref()?;
    let tests = |fault: Option<&str>| -> f64 {
        (seen.iter())
            .map(|(test, outcome)| (&tables.signs[*test], *outcome))
            .filter(|(test, _)| {
                test.test_of
                    .as_ref()
                    .is_some_and(|of| of.signs[0] == sign.id)
            })
            .map(|(test, outcome)| test_factor(test, fault, outcome))
            .product()
    };
    let (q, r) = under_at(&hits.false_alarm, level);
    let mut found = vec![(None, q, r * tests(None))];
    for (id, rates) in &hits.rates {
        let f = tables.faults.iter().position(|row| row.id == *id)?;
        let (q, r) = under_at(rates, level);
        found.push((Some(f), q, r * tests(Some(id))));
    }
    Some(found)
}

/// Benign answers within the hidden share.
fn clear_of(row: &FaultRow, seen: &[(usize, usize)], tables: &Tables) -> f64 {
    let mut clear = 1.0;
    for (at, level) in seen {
        let sign = &tables.signs[*at];
        if *level == 0 && !is_test_of_seen(sign, seen, tables) {
            let rates = sign.hits.as_ref().and_then(|hits| hits.rates.get(&row.id));
            clear *= 1.0 - rates.map_or(0.0, |rates| rates.iter().sum());
        }
    }
    let u = row.hidden_share.unwrap();
    u + (1.0 - u) * clear
}

/// The seller told a sign that this fault shows in.
fn told(row: &FaultRow, car: &CarRecord, tables: &Tables) -> bool {
    car.observations
        .iter()
        .filter(|one| one.admitted)
        .any(|one| {
            let sign = tables.signs.iter().find(|row| row.id == one.sign).unwrap();
            sign.hits.as_ref().unwrap().rates.contains_key(&row.id)
        })
}

/// Chance at a level of care: the hazard is found by bisection here, so that the two ways share nothing.
fn chance_at(prior: f64, level: f64, settings: &DiagnosisSettings) -> f64 {
    let mean = |h: f64| -> f64 {
        (settings.care_levels.iter().zip(settings.care_weights))
            .map(|(n, w)| -w * (-h * n).exp_m1())
            .sum()
    };
    let (mut low, mut high) = (0.0, 64.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if mean(middle) < prior {
            low = middle
        } else {
            high = middle
        }
    }
    -(-low * level).exp_m1()
}

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
    if !(sum.evidence > 0.0) {
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
