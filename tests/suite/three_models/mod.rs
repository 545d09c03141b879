//! Ninety used cars of three models, and worth reckoned from some of them.
#![allow(dead_code, reason = "each test file uses its part")]

use std::sync::LazyLock;
use wrenchworth::car::{
    Comparable, Money, MoneyRange, Particulars, PriceKind, WorthBasis, WorthMeans,
};
use wrenchworth::engine::pert::QuantileTable;
use wrenchworth::engine::worth::{Worth, WorthInputs, worth};
use wrenchworth::trade::settings::{Settings, WorthSettings};

pub static TABLE: LazyLock<QuantileTable> = LazyLock::new(QuantileTable::default);

pub fn settings() -> WorthSettings {
    let all: Settings =
        serde_json::from_str(include_str!("../../../assets/trade/settings.json")).unwrap();
    all.worth
}

#[derive(Debug, Clone)]
pub struct Car {
    pub model: String,
    pub age: f64,
    /// Dollars.
    pub price: f64,
    /// Thousands of miles.
    pub miles: f64,
}

/// Cannon et al., STAT2: data set ThreeCars2017 (see the head of the file).
pub fn cars() -> Vec<Car> {
    include_str!("../../reference/three_models_2017.csv")
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("row"))
        .map(|line| {
            let field: Vec<&str> = line.split(',').collect();
            Car {
                model: field[1].to_owned(),
                age: field[2].parse().unwrap(),
                price: field[3].parse::<f64>().unwrap() * 1000.0,
                miles: field[4].parse().unwrap(),
            }
        })
        .collect()
}

pub fn particulars(car: &Car) -> Particulars {
    Particulars {
        year: Some((2017.0 - car.age) as u16),
        odometer_miles: Some(car.miles * 1000.0),
        ..Particulars::default()
    }
}

pub fn comparable(car: &Car) -> Comparable {
    Comparable {
        name: car.model.clone(),
        price: Money::whole(car.price.round() as i64),
        kind: PriceKind::Sold,
        year: Some((2017.0 - car.age) as u16),
        miles: Some(car.miles * 1000.0),
        alike: 1.0,
    }
}

pub fn reckon(
    this: &Particulars,
    comparables: Vec<Comparable>,
    own: Option<MoneyRange>,
) -> Result<Worth, String> {
    let basis = WorthBasis {
        own,
        comparables,
        ..WorthBasis::default()
    };
    worth(&WorthInputs {
        particulars: this,
        basis: &basis,
        means: WorthMeans::Ordinary,
        settings: &settings(),
        table: &TABLE,
    })
}
