//! Small tables for the diagnosis tests, and a brute force to check it by.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::missing_panics_doc,
    clippy::needless_pass_by_value
)]

pub mod brute;

use jiff::civil::{Date, date};
use serde_json::{Value, json};
use wrenchworth::car::{Answer, CarRecord, Known, Observation};
use wrenchworth::engine::diagnosis::{Diagnosis, diagnose};
use wrenchworth::trade::settings::Settings;
use wrenchworth::trade::{FaultRow, SignRow, Tables, derive};

pub const TODAY: Date = date(2026, 6, 1);

/// The settings of the program.
pub fn settings() -> Settings {
    serde_json::from_str(include_str!("../../../assets/trade/settings.json")).unwrap()
}

/// The same with one level of care and one of openness: one component.
pub fn one_component() -> Settings {
    let mut settings = settings();
    settings.diagnosis.care_weights = [0.0, 0.0, 1.0, 0.0, 0.0];
    settings.diagnosis.openness_weights = [0.0, 1.0, 0.0];
    settings
}

/// A fault with this prior that everything can show and no owner sees; other fields as given.
pub fn fault(id: &str, prior: f64, more: Value) -> FaultRow {
    let mut row = json!({
        "id": id, "name": id, "system": "engine", "where": "engine", "prior": prior, "miles_exponent": 1.0,
        "age_exponent": 0.5, "owner_sees": 0.0, "hidden_share": 0.0, "repairs": [], "severities": ["annoys"],
        "source": "invented", "as_of": "2026-01"
    });
    row.as_object_mut()
        .unwrap()
        .extend(more.as_object().unwrap().clone());
    serde_json::from_value(row).unwrap()
}

/// A sign with so many levels; other fields as given.
pub fn sign(id: &str, levels: usize, more: Value) -> SignRow {
    let levels: Vec<String> = (0..levels).map(|level| format!("level {level}")).collect();
    let mut row = json!({
        "id": id, "kind": "check", "name": id, "stage": "outside", "order": 1, "question": "?", "levels": levels,
        "seconds": 10, "source": "invented", "as_of": "2026-01"
    });
    row.as_object_mut()
        .unwrap()
        .extend(more.as_object().unwrap().clone());
    serde_json::from_value(row).unwrap()
}

/// Tables of these rows, sorted.
pub fn tables(mut faults: Vec<FaultRow>, mut signs: Vec<SignRow>, settings: Settings) -> Tables {
    faults.sort_by(|one, other| one.id.cmp(&other.id));
    signs.sort_by(|one, other| one.id.cmp(&other.id));
    Tables {
        faults,
        repairs: vec![],
        operations: vec![],
        signs,
        codes: Vec::new(),
        weak_spots: Vec::new(),
        limits: Vec::new(),
        tools: vec![],
        cautions: vec![],
        sellables: vec![],
        purposes: vec![],
        settings,
    }
}

/// A car at the reference age and miles.
pub fn reference_car() -> CarRecord {
    let mut car = CarRecord::default();
    car.particulars.year = Some(2011);
    car.particulars.odometer_miles = Some(150_000.0);
    car
}

pub fn saw(id: &str, level: usize) -> Observation {
    Observation {
        sign: id.to_owned(),
        answer: Answer::Level(level),
        known: Known::Seen,
        admitted: false,
        note: String::new(),
        at: None,
    }
}

pub fn run(car: &CarRecord, tables: &Tables) -> Diagnosis {
    diagnose(car, tables, &derive::links(tables), TODAY)
}

pub fn chance(diagnosis: &Diagnosis, id: &str) -> f64 {
    diagnosis.fault(id).unwrap().chance
}

/// Numbers for inventing networks (SplitMix64; Steele, Lea & Flood 2014).
pub struct Dice(pub u64);

impl Dice {
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn below(&mut self, n: usize) -> usize {
        ((self.unit() * n as f64) as usize).min(n - 1)
    }

    pub fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// Shares of so many outcomes, each positive, summing to `sum`.
    pub fn shares(&mut self, n: usize, sum: f64) -> Vec<f64> {
        let raw: Vec<f64> = (0..n).map(|_| 0.05 + self.unit()).collect();
        let total: f64 = raw.iter().sum();
        raw.iter().map(|share| share / total * sum).collect()
    }
}
