//! Lives, running costs and failures of inspection against published figures. All through the functions the program itself calls.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::cast_precision_loss
)]

use crate::tables_kit;

use std::collections::BTreeMap;
use tables_kit::*;
use wrenchworth::car::{CarRecord, Pin};
use wrenchworth::engine::diagnosis::diagnose;
use wrenchworth::engine::wear::{fails_ahead, survival};
use wrenchworth::trade::{FaultRow, Life, Severity, Tables, derive};

fn life(id: &str) -> Life {
    tables().fault(id).unwrap().life.unwrap()
}

/// Miles by which half of them have failed.
fn median_miles(life: Life) -> f64 {
    life.eta_miles * std::f64::consts::LN_2.powf(1.0 / life.beta)
}

/// NIST/SEMATECH e-Handbook 8.1.6.2 (from memory): shape 1.5, scale 5,000, at 1,000: .085559. Bloch & Geitner, Improving Machinery
/// Reliability, p. 308: shape 2, scale 75,000, at 51,470: .3756.
#[test]
fn survival_agrees_with_worked_examples() {
    for (beta, eta_miles, at, fails) in [
        (1.5, 5_000.0, 1_000.0, 0.085_559),
        (2.0, 75_000.0, 51_470.0, 0.3756),
    ] {
        let got = 1.0 - survival(Life { eta_miles, beta }, at);
        assert!((got - fails).abs() < 2e-4, "{got} for {fails}");
    }
}

/// Cox, Renewal Theory: a life with two exponential stages of rate l (Erlang-2) fails in a window h after t with chance
/// 1 - e^(-lh) (1 + lh (1 + e^(-2lt)) / 2); mean 60,000, t = 100,000, h = 12,000: .195445. A Weibull of shape 1.5 is its nearest relation:
/// same mean, and within a tenth of it.
#[test]
fn the_renewal_of_a_life_lies_by_the_closed_form_of_its_nearest_relation() {
    // Mean of a Weibull is eta times Gamma(1 + 1/beta); for shape 1.5 that is .902745.
    let eta_miles = 60_000.0 / 0.902_745;
    let got = fails_ahead(
        Life {
            eta_miles,
            beta: 1.5,
        },
        100_000.0,
        12_000.0,
    );
    assert!((got / 0.195_445 - 1.0).abs() < 0.1, "{got}");
}

/// Renewal function of the Weibull (Smith & Leadbetter 1963, Technometrics 5:393-396; two independent methods agree): m(1) and m(2) in
/// units of the scale. Far past the scale the chance of a failure in a short window is that window over the mean life (Cox), and m rises
/// by it; near the scale it is the slope of m.
#[test]
fn failures_ahead_follow_the_published_renewal_function() {
    for (beta, m) in [
        // m(.75), m(1), m(1.25)
        (1.5, [0.576_746, 0.841_578, 1.114_639]),
        (2.0, [0.474_186, 0.753_691, 1.042_693]),
        (3.0, [0.352_285, 0.672_329, 0.984_578]),
    ] {
        let life = Life {
            eta_miles: 100_000.0,
            beta,
        };
        for (from, window) in [(75_000.0, [m[0], m[1]]), (100_000.0, [m[1], m[2]])] {
            // Expected failures are at least the chance of one, and little more in a quarter of a life.
            let expected = window[1] - window[0];
            let chance = fails_ahead(life, from, 25_000.0);
            assert!(
                chance <= expected + 2e-3 && chance > 0.86 * expected,
                "shape {beta} from {from}: {chance} for {expected}"
            );
        }
    }
}

/// Shock absorbers (O'Connor 1985, in Meeker & Escobar 1998, p. 630): shape 3.16, scale 27,719 km in a harsh trial, the shortest life one
/// would state. Car batteries (Walpole et al., forty lives): scale 3.69 years, shape 5.67, at 10,000 to 13,000 miles a year.
#[test]
fn lives_stated_lie_in_the_band_of_published_fits() {
    let shock = life("SUS01");
    assert!((2.0..=4.5).contains(&shock.beta), "{}", shock.beta);
    // A trial on bad roads is the floor; ordinary use is up to eight times as kind.
    let harsh = 27_719.0 / 1.609_344;
    assert!(
        (harsh..=8.0 * harsh).contains(&shock.eta_miles),
        "{}",
        shock.eta_miles
    );
    let battery = life("ELE01");
    assert!((2.0..=6.5).contains(&battery.beta), "{}", battery.beta);
    // 3.69 years in a hot place at 10,000 miles; up to twice the years elsewhere at 13,000.
    assert!(
        (0.9 * 3.69 * 10_000.0..=2.0 * 3.69 * 13_000.0).contains(&battery.eta_miles),
        "{}",
        battery.eta_miles
    );
    // Friction, fatigue and old age wear out (3 to 6), turning parts less (1.1 to 2.5): Barringer's list of typical shapes, from memory.
    for row in &tables().faults {
        if let Some(life) = row.life {
            assert!((1.0..=6.0).contains(&life.beta), "{}", row.id);
            assert!(
                (20_000.0..=500_000.0).contains(&median_miles(life)),
                "{}: {}",
                row.id,
                median_miles(life)
            );
        }
    }
}

/// Repair price index (US CPI, CUUR0000SETD): 2019 and 2020 averages 296.000 and 305.990; August 2026 465.136.
const PRICES_SINCE_2019_20: f64 = 465.136 / (0.5 * (296.000 + 305.990));

/// Miles driven by an age and in the year after it (Lu 2006, NHTSA DOT HS 809 952, passenger cars).
const MILES_BY_AGE: [(u16, f64); 3] = [(5, 68_246.0), (10, 127_981.0), (14, 168_853.0)];

/// What a garage asks for each fault that must be put right, in the middle.
fn garage_bills() -> BTreeMap<String, f64> {
    let mut bills = BTreeMap::new();
    for row in &tables().faults {
        let mut car = car_with(&row.id);
        car.pins.insert(row.id.clone(), Pin::Certain);
        let out = TRADE.appraise(&car, &drives_only(), &run(4));
        let figure = out.faults.iter().find(|one| one.id == row.id).unwrap();
        let cheapest = figure
            .ways
            .iter()
            .map(|way| way.cash[1])
            .fold(f64::INFINITY, f64::min);
        if figure.needed && cheapest.is_finite() {
            bills.insert(row.id.clone(), cheapest);
        }
    }
    bills
}

/// What is planned work, not repair: changed by miles or date before it fails (Argonne counts it as maintenance).
const MAINTENANCE: &[&str] = &[
    "BRA11", "COO07", "ENG06", "FUE02", "HVA06", "IGN01", "STE06", "STE08", "TRA20", "TYR01",
    "TYR04", "BRA01",
];

/// Burnham et al. 2021 (Argonne ANL/ESD-21/4): maintenance and repair a mile less the maintenance of a new car, compact gasoline:
/// .0435, .0597 and .0814 dollars of 2019-20 at ages 5, 10 and 14. Ours: parts of unknown history that fail in the next 12,000 miles, and
/// of the rest the growth of its chance over them, each at a garage's price. Within a factor two.
#[test]
fn unscheduled_repairs_of_a_year_cost_what_is_published() {
    let bills = garage_bills();
    let chances = |year: u16, miles: f64| -> BTreeMap<String, f64> {
        let mut car = plain();
        car.particulars.year = Some(year);
        car.particulars.odometer_miles = Some(miles);
        diagnose(&car, tables(), TRADE.links(), TODAY)
            .faults
            .iter()
            .map(|fault| (fault.id.clone(), fault.chance))
            .collect()
    };
    let mut told = Vec::new();
    let mut wrong = false;
    for ((age, miles), published) in MILES_BY_AGE.into_iter().zip([0.0435, 0.0597, 0.0814]) {
        let wanted = 12_000.0 * published * PRICES_SINCE_2019_20;
        let (now, then) = (
            chances(2026 - age, miles),
            chances(2026 - age - 1, miles + 12_000.0),
        );
        let year: f64 = bills
            .iter()
            .filter(|(id, _)| !MAINTENANCE.contains(&id.as_str()))
            .filter_map(|(id, bill)| {
                let row = tables().fault(id)?;
                let before = now.get(id)?;
                let failing = row.life.map_or_else(
                    || (then[id] - before).max(0.0),
                    |life| fails_ahead(life, miles, 12_000.0),
                );
                Some(bill * failing)
            })
            .sum();
        told.push(format!("age {age}: {year:.0}, published {wanted:.0}"));
        wrong |= !(0.5 * wanted..=2.0 * wanted).contains(&year);
    }
    println!("{}", told.join("; "));
    assert!(!wrong, "{}", told.join("; "));
}

/// Faults for which the UK inspection fails a car, by its own headings (DVSA data set dvsa-mot-03, cars and light vans, July to September
/// 2019), with the share of tests failing on each, and the share of our faults bad enough to fail: a crack or a hole always is, while most of what
/// a buyer would put right the inspector lets pass with a word of advice (common practice, no source).
const INSPECTION: &[(&str, f64, f64, &[&str])] = &[
    (
        "lamps, reflectors, electrical",
        0.139,
        SOME,
        &["ELE10", "ELE09", "ELE19"],
    ),
    (
        "suspension",
        0.097,
        SOME,
        &[
            "SUS02", "SUS03", "SUS04", "SUS05", "SUS08", "SUS06", "SUS07", "SUS01",
        ],
    ),
    (
        "brakes",
        0.081,
        SOME,
        &[
            "BRA01", "BRA02", "BRA03", "BRA04", "BRA05", "BRA06", "BRA07", "BRA10", "BRA12",
        ],
    ),
    ("tires", 0.068, SOME, &["TYR01"]),
    ("visibility", 0.053, 1.0, &["BOD06", "ELE13"]),
    (
        "body, chassis, structure",
        0.043,
        1.0,
        &["BOD01", "BOD02", "BOD03", "SUS09"],
    ),
    (
        "noise, emissions, leaks",
        0.036,
        SOME,
        &["EXH01", "EMI01", "EMI02"],
    ),
    (
        "steering",
        0.020,
        SOME,
        &["STE02", "STE03", "STE04", "STE07"],
    ),
    (
        "belts and restraints",
        0.013,
        SOME,
        &["INT03", "SRS01", "SRS02"],
    ),
    ("road wheels", 0.003, SOME, &["TYR02"]),
];

/// At twelve years about 40 in 100 fail (DVSA 2020), against 31.7 over all ages: the headings' shares rise with it.
const OLDER: f64 = 0.40 / 0.317;

/// Bad enough to fail, of faults that come in degrees.
const SOME: f64 = 0.35;

fn chance_of_any(car: &CarRecord, fails: f64, faults: &[&str]) -> f64 {
    let found = diagnose(car, tables(), TRADE.links(), TODAY);
    1.0 - faults
        .iter()
        .filter_map(|id| found.fault(id))
        .map(|fault| 1.0 - fails * fault.chance)
        .product::<f64>()
}

#[test]
fn inspection_failures_by_system_lie_within_a_factor_of_three() {
    let mut car = plain();
    car.particulars.year = Some(2014);
    car.particulars.odometer_miles = Some(110_000.0);
    let mut told = Vec::new();
    let mut wrong = false;
    for (heading, share, fails, faults) in INSPECTION {
        let wanted = OLDER * share;
        let got = chance_of_any(&car, *fails, faults);
        told.push(format!("{heading}: {got:.3}, published {wanted:.3}"));
        wrong |= !(wanted / 3.0..=3.0 * wanted).contains(&got);
    }
    assert!(!wrong, "{}", told.join("\n"));
}

/// Share of cars on the road by age, and their miles (Lu 2006): survival times the new cars of a steady year.
const FLEET: [(f64, f64, f64); 20] = [
    (3.0, 0.9731, 41_861.0),
    (4.0, 0.9593, 55_218.0),
    (5.0, 0.9413, 68_246.0),
    (6.0, 0.9188, 80_929.0),
    (7.0, 0.8918, 93_254.0),
    (8.0, 0.8604, 105_210.0),
    (9.0, 0.8252, 116_788.0),
    (10.0, 0.7866, 127_981.0),
    (11.0, 0.7170, 138_785.0),
    (12.0, 0.6125, 149_198.0),
    (13.0, 0.5094, 159_220.0),
    (14.0, 0.4142, 168_853.0),
    (15.0, 0.3308, 178_102.0),
    (16.0, 0.2604, 186_973.0),
    (17.0, 0.2028, 195_475.0),
    (18.0, 0.1565, 203_619.0),
    (19.0, 0.1200, 211_418.0),
    (20.0, 0.0916, 218_887.0),
    (21.0, 0.0696, 226_044.0),
    (22.0, 0.0527, 232_910.0),
];

/// Tables whose faults are the headings themselves, each with the prior given; hazards rise with age and miles as a part that wears does.
fn headings(priors: &[f64]) -> Tables {
    let mut found = tables().clone();
    found.signs.clear();
    found.codes.clear();
    let pattern = tables().fault("ENG09").unwrap().clone();
    found.faults = priors
        .iter()
        .enumerate()
        .map(|(at, prior)| FaultRow {
            id: format!("MOT{at:02}"),
            prior: *prior,
            miles_exponent: 0.7,
            age_exponent: 0.7,
            severities: vec![Severity::Unsafe],
            ..pattern.clone()
        })
        .collect();
    found
}

/// Chance of each heading, and of any, over the fleet: with its care, or with everybody's care alike.
fn over_the_fleet(tables: &Tables, with_care: bool) -> (Vec<f64>, f64) {
    let mut tables = tables.clone();
    let mut cares = vec![(1.0, 2)];
    if with_care {
        let settings = &tables.settings.diagnosis;
        cares = (0..5)
            .map(|care| (settings.care_weights[care], care))
            .collect();
    }
    let total: f64 = FLEET.iter().map(|row| row.1).sum();
    let mut each = vec![0.0; tables.faults.len()];
    let mut any = 0.0;
    for (weight, care) in cares {
        // One level of care at a time: the production function mixes them, so it is asked for one.
        let links = derive::links(&tables);
        let mut one = tables.clone();
        one.settings.diagnosis.care_levels = [tables.settings.diagnosis.care_levels[care]; 5];
        for (age, alive, miles) in FLEET {
            let mut car = plain();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let year = 2026 - age as u16;
            car.particulars.year = Some(year);
            car.particulars.odometer_miles = Some(miles);
            let found = diagnose(&car, &one, &links, TODAY);
            let share = weight * alive / total;
            let mut none = 1.0;
            for (sum, fault) in each.iter_mut().zip(&found.faults) {
                *sum += share * fault.chance;
                none *= 1.0 - fault.chance;
            }
            any += share * (1.0 - none);
        }
    }
    tables.faults.clear();
    (each, any)
}

/// Priors at the reference car that give the published shares over the fleet.
fn fitted(with_care: bool) -> (Vec<f64>, f64) {
    let wanted: Vec<f64> = INSPECTION.iter().map(|row| row.1).collect();
    let mut priors = wanted.clone();
    for _ in 0..40 {
        let (each, _) = over_the_fleet(&headings(&priors), with_care);
        for ((prior, got), share) in priors.iter_mut().zip(each).zip(&wanted) {
            *prior = (*prior * share / got).clamp(1e-6, 0.9);
        }
    }
    over_the_fleet(&headings(&priors), with_care)
}

/// The headings' shares sum to far more than the share of cars that fail: faults come together in the same cars. If the headings were
/// independent, 44.2 % would fail; ages alone bring it down a little, ages with care further. The rest of the way to the published 31.7 %
/// (cars kept for the test, one defect under two headings, owners who mend all before it) is not in the model.
#[test]
fn faults_gather_in_neglected_cars() {
    let independent = 1.0 - INSPECTION.iter().map(|row| 1.0 - row.1).product::<f64>();
    let (each, ages) = fitted(false);
    for (got, row) in each.iter().zip(INSPECTION) {
        assert!((got / row.1 - 1.0).abs() < 0.01, "{}: {got}", row.0);
    }
    let (_, care) = fitted(true);
    assert!(
        care < ages && ages < independent,
        "{independent} {ages} {care}"
    );
    assert!((0.36..=0.41).contains(&care), "{independent} {ages} {care}");
}
