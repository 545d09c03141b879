//! The floor against sums done by hand.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use wrenchworth::car::{SizeClass, ThreePoint};
use wrenchworth::engine::curve::Curve;
use wrenchworth::engine::floor::{FloorInputs, FloorLuck, FloorModel};
use wrenchworth::engine::pert::QuantileTable;
use wrenchworth::trade::settings::Settings;
use wrenchworth::trade::{AppliesIf, FaultRow, SellableRow, Tables};

fn fault(id: &str) -> FaultRow {
    serde_json::from_value(serde_json::json!({
        "id": id, "name": "fault", "system": "engine", "where": "under the hood", "prior": 0.1,
        "miles_exponent": 1.0, "age_exponent": 0.5, "owner_sees": 0.5, "repairs": [],
        "severities": ["strands"], "source": "invented for this test", "as_of": "2026-11"
    }))
    .unwrap()
}

fn part(id: &str, price: f64, hours: f64, spoiled_by: &[&str], restricted: bool) -> SellableRow {
    serde_json::from_value(serde_json::json!({
        "id": id, "name": id, "price": [price, price, price], "hours": hours, "spoiled_by": spoiled_by,
        "restricted": restricted, "source": "invented for this test", "as_of": "2026-11"
    }))
    .unwrap()
}

fn tables() -> Tables {
    let mut settings: Settings =
        serde_json::from_str(include_str!("../../assets/trade/settings.json")).unwrap();
    // The sums below are done by hand with these.
    settings.costs.parts_sell_share = 0.45;
    settings.costs.as_is_share = 0.6;
    Tables {
        faults: vec![fault("ENG01"), fault("ENG02"), fault("GEA01")],
        repairs: Vec::new(),
        operations: Vec::new(),
        signs: Vec::new(),
        codes: Vec::new(),
        weak_spots: Vec::new(),
        limits: Vec::new(),
        tools: Vec::new(),
        cautions: Vec::new(),
        sellables: vec![
            part("air-bag", 300.0, 0.5, &[], true),
            part("door", 100.0, 1.0, &[], false),
            part("engine", 800.0, 6.0, &["ENG01", "ENG02"], false),
            part("gearbox", 400.0, 5.0, &["GEA01"], false),
            part("wheel-arch-liner", 10.0, 1.0, &[], false),
        ],
        purposes: Vec::new(),
        settings,
    }
}

fn model(tables: &Tables, applies: f64, class: Option<SizeClass>) -> FloorModel {
    FloorModel::new(&FloorInputs {
        tables,
        applies: &|_: &AppliesIf| applies,
        size_class: class,
        price_index: 1.0,
        hour_value: 10.0,
        completeness: 1.0,
        quantiles: &QuantileTable::default(),
    })
}

const MIDDLE: FloorLuck = FloorLuck {
    scrap: 0.5,
    haulage: 0.5,
    prices: 1.0,
};

#[test]
fn scrap_parts_and_as_it_stands_are_the_sums_done_by_hand() {
    let (tables, quantiles) = (tables(), QuantileTable::default());
    let draw = model(&tables, 1.0, None).at([], MIDDLE, 3000.0, 1400.0);
    let middle = |range: ThreePoint| Curve::of(&[(range, 1.0)], &quantiles).quantile(0.5);
    let costs = &tables.settings.costs;
    let (steel, haulage) = (middle(costs.scrap_price), middle(costs.haulage));
    assert!((draw.scrap - (steel - haulage)).abs() < 1e-9);
    // Door, engine, gearbox at 45 % of 1,300; 12 hours at 10; the liner costs more work than it brings, the air bag may not be sold.
    let parts = 0.45 * 1300.0 - 120.0 + 0.7 * steel - haulage;
    assert!((draw.parts - parts).abs() < 1e-9);
    assert!((draw.as_is - 0.6 * 1600.0).abs() < 1e-9);
    assert!((draw.best - draw.as_is).abs() < 1e-9);
}

#[test]
fn a_spoiled_part_neither_brings_money_nor_takes_hours_and_counts_once() {
    let tables = tables();
    let model = model(&tables, 1.0, None);
    let sound = model.at([], MIDDLE, 0.0, 0.0);
    let once = model.at([0], MIDDLE, 0.0, 0.0);
    let twice = model.at([0, 1], MIDDLE, 0.0, 0.0);
    assert!((sound.parts - once.parts - (0.45 * 800.0 - 60.0)).abs() < 1e-9);
    assert!((once.parts - twice.parts).abs() < 1e-12);
    assert!((once.scrap - sound.scrap).abs() < 1e-12);
}

#[test]
fn a_wreck_with_every_part_spoiled_is_worth_its_steel() {
    let tables = tables();
    let draw = model(&tables, 0.0, None).at([0, 1, 2], MIDDLE, 1000.0, 5000.0);
    assert!((draw.best - draw.scrap).abs() < 1e-12);
    assert!(draw.parts < draw.scrap && draw.as_is.abs() < 1e-12);
}

#[test]
fn dear_classes_dear_prices_and_known_fits_bring_more_in_parts() {
    let tables = tables();
    let parts = |m: &FloorModel, luck| m.at([], luck, 0.0, 0.0).parts;
    let mid = model(&tables, 1.0, None);
    assert!(parts(&model(&tables, 1.0, Some(SizeClass::Premium)), MIDDLE) > parts(&mid, MIDDLE));
    assert!(
        parts(
            &mid,
            FloorLuck {
                prices: 1.2,
                ..MIDDLE
            }
        ) > parts(&mid, MIDDLE)
    );
    assert!(parts(&model(&tables, 0.5, None), MIDDLE) < parts(&mid, MIDDLE));
}

#[test]
fn twenty_thousand_floors_are_cheap() {
    let tables = tables();
    let model = model(&tables, 1.0, None);
    let start = std::time::Instant::now();
    let mut sum = 0.0;
    for k in 0..20_000u32 {
        let u = (f64::from(k) + 0.5) / 20_000.0;
        let luck = FloorLuck {
            scrap: u,
            haulage: 1.0 - u,
            prices: 1.0,
        };
        sum += model.at([0, 2], luck, 2000.0, 1000.0).best;
    }
    assert!(sum > 0.0);
    // A microsecond each is meant; ten times that still shows a slip, whatever else the machine does.
    assert!(start.elapsed().as_millis() < 200, "{:?}", start.elapsed());
}
