//! A frozen table of eight faults, and cars to weigh with it. Invented and never changed with the program's own tables, so that figures
//! and pictures checked against it stay as they are.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::missing_panics_doc
)]

use jiff::civil::{Date, date};
use std::sync::LazyLock;
use wrenchworth::car::{
    Answer, Buyer, CarRecord, Drive, Fuel, Gearbox, Known, Money, MoneyRange, Observation,
    RangeReading, SizeClass, System,
};
use wrenchworth::engine::{Knowledge, Run};
use wrenchworth::trade::{TableTexts, Tables};

/// The day of all tests on these tables.
pub const TODAY: Date = date(2026, 6, 1);

/// The texts of the mini tables.
pub const TEXTS: TableTexts<'static> = TableTexts {
    faults: include_str!("../tables/faults.json"),
    repairs: include_str!("../tables/repairs.json"),
    operations: include_str!("../tables/operations.json"),
    signs: include_str!("../tables/signs.json"),
    codes: "[]",
    limits: include_str!("../tables/limits.json"),
    tools: include_str!("../tables/tools.json"),
    cautions: include_str!("../tables/cautions.json"),
    sellables: include_str!("../tables/sellables.json"),
    purposes: &[
        include_str!("../tables/capped-race.json"),
        include_str!("../tables/daily.json"),
    ],
    settings: include_str!("../tables/settings.json"),
};

/// The mini tables.
pub fn tables() -> Tables {
    Tables::from_texts(&TEXTS, &[]).unwrap()
}

/// The mini tables made ready, once for all tests of a file.
pub static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::new(tables()));

/// So many draws on that day.
pub fn run(draws: u32) -> Run {
    Run {
        today: TODAY,
        seed: 7,
        draws,
    }
}

/// A plain invented car of eleven years with nothing looked at.
pub fn car() -> CarRecord {
    let mut car = CarRecord {
        name: "Zorrel Dabchick 2015".to_owned(),
        ..CarRecord::default()
    };
    car.particulars.make = "Zorrel".to_owned();
    car.particulars.model = "Dabchick".to_owned();
    car.particulars.year = Some(2015);
    car.particulars.odometer_miles = Some(128_000.0);
    car.particulars.fuel = Some(Fuel::Petrol);
    car.particulars.gearbox = Some(Gearbox::Manual);
    car.particulars.drive = Some(Drive::Front);
    car.particulars.size_class = Some(SizeClass::Small);
    car.particulars.cylinders = Some(4);
    car.particulars.power_hp = Some(118.0);
    car.particulars.curb_mass_lb = Some(2640.0);
    car.worth.own = Some(MoneyRange {
        low: Money::whole(2300),
        likely: Money::whole(2800),
        high: Money::whole(3400),
        reading: RangeReading::OneInTen,
    });
    car.listing.asking = Some(Money::whole(1900));
    car.listing.seller = "Mrs Pennifold".to_owned();
    car
}

/// The built-in plain buyer, with engine work one level up and a wallet.
pub fn buyer() -> Buyer {
    let mut buyer = Buyer {
        wallet: Some(Money::whole(3200)),
        ..Buyer::default()
    };
    buyer.skill.insert(System::Engine, 4);
    buyer
}

/// A sign seen by the user at a level.
pub fn saw(id: &str, level: usize) -> Observation {
    answered(id, Answer::Level(level))
}

/// A sign with any answer.
pub fn answered(id: &str, answer: Answer) -> Observation {
    Observation {
        sign: id.to_owned(),
        answer,
        known: Known::Seen,
        admitted: false,
        note: String::new(),
        at: None,
    }
}
