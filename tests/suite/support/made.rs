//! Rows made in a test, tables of them, and a buyer and a car to whom nothing else happens.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::missing_panics_doc
)]

use jiff::civil::{Date, date};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use wrenchworth::car::{
    Buyer, CarRecord, Money, MoneyRange, Pin, RangeReading, RouteWish, SizeClass, System,
};
use wrenchworth::engine::{Appraisal, Knowledge, Run};
use wrenchworth::trade::settings::Settings;
use wrenchworth::trade::{FaultRow, OperationRow, PurposeRow, RepairRow, Tables, ToolRow};

pub const TODAY: Date = date(2026, 6, 1);

/// A base row with some fields more, or others.
pub fn row<Row: DeserializeOwned>(mut base: Value, more: Value) -> Row {
    let Value::Object(more) = more else {
        panic!("fields wanted")
    };
    base.as_object_mut().unwrap().extend(more);
    base["source"] = json!("invented");
    base["as_of"] = json!("2026-01");
    serde_json::from_value(base).unwrap()
}

/// A fault that strands, of this chance on the reference car.
pub fn fault(id: &str, prior: f64, repairs: &[&str], more: Value) -> FaultRow {
    row(
        json!({"id": id, "name": id, "system": "engine", "where": "engine", "prior": prior, "miles_exponent": 1.0,
            "age_exponent": 0.5, "owner_sees": 0.0, "hidden_share": 0.0, "repairs": repairs, "severities": ["strands"]}),
        more,
    )
}

/// A repair of one part at this price, by these labour steps.
pub fn repair(id: &str, price: [f64; 3], operations: &[&str], more: Value) -> RepairRow {
    row(
        json!({"id": id, "name": id, "parts": [{"name": "part", "per": "each", "new": price}], "operations": operations,
            "system": "engine", "skill": 1, "proof_of_cure": "none"}),
        more,
    )
}

/// A labour step of exactly so many hours, at home as in a garage.
pub fn operation(id: &str, hours: f64, more: Value) -> OperationRow {
    row(
        json!({"id": id, "name": id, "hours": [hours, hours, hours], "home_factor": 1.0}),
        more,
    )
}

/// A tool to buy at exactly this price.
pub fn tool(id: &str, price: f64, more: Value) -> ToolRow {
    row(
        json!({"id": id, "name": id, "buy": [price, price, price]}),
        more,
    )
}

/// A purpose that puts right what strands or is unsafe, without margin, drop or value of an hour.
pub fn purpose() -> PurposeRow {
    row(
        json!({"id": "daily", "name": "daily", "must_right": ["strands", "unsafe"], "horizon_miles": 0.0,
            "drops": {"worsens": 0.0, "annoys": 0.0, "looks": 0.0}, "margin": {"share_of_worth": 0.0, "least": 0.0},
            "confidence": 0.7, "hour_value": 0.0, "stops": [], "worth_means": "sorted"}),
        json!({}),
    )
}

/// The settings of the program with one level of care, one of openness, and nothing unsure of prices and pace.
pub fn plain_settings() -> Settings {
    let mut settings: Settings =
        serde_json::from_str(include_str!("../../tables/settings.json")).unwrap();
    settings.diagnosis.care_weights = [0.0, 0.0, 1.0, 0.0, 0.0];
    settings.diagnosis.openness_weights = [0.0, 1.0, 0.0];
    settings.costs.local_price_spread = 0.0;
    settings.costs.pace_spread = 0.0;
    settings.limit.withhold_faults = Vec::new();
    settings
}

/// Tables without any sign.
pub fn tables(
    mut faults: Vec<FaultRow>,
    mut repairs: Vec<RepairRow>,
    mut operations: Vec<OperationRow>,
    settings: Settings,
) -> Tables {
    faults.sort_by(|one, other| one.id.cmp(&other.id));
    repairs.sort_by(|one, other| one.id.cmp(&other.id));
    operations.sort_by(|one, other| one.id.cmp(&other.id));
    Tables {
        faults,
        repairs,
        operations,
        signs: Vec::new(),
        codes: Vec::new(),
        weak_spots: Vec::new(),
        limits: Vec::new(),
        tools: Vec::new(),
        cautions: Vec::new(),
        sellables: Vec::new(),
        purposes: vec![purpose()],
        settings,
    }
}

/// Faults pinned certain; every other fault of the tables is ruled out.
pub fn pinned(tables: &Tables, certain: &[&str]) -> CarRecord {
    let mut car = car();
    for fault in &tables.faults {
        let pin = if certain.contains(&fault.id.as_str()) {
            Pin::Certain
        } else {
            Pin::RuledOut
        };
        car.pins.insert(fault.id.clone(), pin);
    }
    car
}

/// A car at the reference age and miles, mid-size, worth 1,000,000 for certain, so that it is always worth putting right.
pub fn car() -> CarRecord {
    let mut car = CarRecord::default();
    car.particulars.year = Some(2011);
    car.particulars.odometer_miles = Some(150_000.0);
    car.particulars.size_class = Some(SizeClass::Mid);
    let worth = Money::whole(1_000_000);
    car.worth.own = Some(MoneyRange {
        low: worth,
        likely: worth,
        high: worth,
        reading: RangeReading::Limits,
    });
    car.listing.asking = Some(Money::ZERO);
    car
}

/// A buyer who can do everything at home, pays no fees and sets no value on an hour.
pub fn buyer() -> Buyer {
    Buyer {
        skill: System::ALL.iter().map(|system| (*system, 5)).collect(),
        fees: Money::ZERO,
        hour_value: Some(Money::ZERO),
        tools: std::collections::BTreeSet::new(),
        ..Buyer::default()
    }
}

/// The same wish for every fault of the tables.
pub fn all_by(tables: &Tables, car: &CarRecord, wish: RouteWish) -> CarRecord {
    let mut car = car.clone();
    for fault in &tables.faults {
        car.routes.insert(fault.id.clone(), wish);
    }
    car
}

/// Weighs a car by the engine's front door.
pub fn weigh(tables: &Tables, car: &CarRecord, buyer: &Buyer, draws: u32) -> Appraisal {
    let run = Run {
        today: TODAY,
        seed: 20_260_601,
        draws,
    };
    Knowledge::new(tables.clone()).appraise(car, buyer, &run)
}

/// Share of the draws in which the work costs this much cash or less, as the chance that it stays inside such a wallet.
pub fn share_within(tables: &Tables, car: &CarRecord, buyer: &Buyer, draws: u32, cash: i64) -> f64 {
    let buyer = Buyer {
        wallet: Some(Money::whole(cash)),
        ..buyer.clone()
    };
    weigh(tables, car, &buyer, draws)
        .chances
        .after
        .cheap
        .unwrap()
}
