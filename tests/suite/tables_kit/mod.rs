//! Cars, buyers and answers for tests on the program's own tables.
#![allow(dead_code, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use jiff::civil::{Date, date};
use std::sync::LazyLock;
use wrenchworth::car::{
    Answer, Buyer, CarRecord, Comparable, Drive, Fuel, Gearbox, Known, Money, Observation,
    Particulars, PriceKind, SaltWinters, SizeClass, Steering, System, TimingDrive,
};
use wrenchworth::engine::{Knowledge, Run};
use wrenchworth::trade::{AppliesIf, SignRow, Tables};

pub const TODAY: Date = date(2026, 6, 1);

/// The program's own tables, made ready.
pub static TRADE: LazyLock<Knowledge> =
    LazyLock::new(|| Knowledge::new(Tables::embedded().unwrap()));

pub fn tables() -> &'static Tables {
    TRADE.tables()
}

pub fn run(draws: u32) -> Run {
    Run {
        today: TODAY,
        seed: 7,
        draws,
    }
}

/// A plain car of 15 years and 150,000 miles, every fact known, three ordinary cars like it sold.
pub fn plain() -> CarRecord {
    let mut car = CarRecord {
        name: "Zorrel Dabchick 2011".to_owned(),
        ..CarRecord::default()
    };
    let facts = &mut car.particulars;
    facts.make = "Zorrel".to_owned();
    facts.model = "Dabchick".to_owned();
    facts.year = Some(2011);
    facts.odometer_miles = Some(150_000.0);
    facts.fuel = Some(Fuel::Petrol);
    facts.gearbox = Some(Gearbox::Manual);
    facts.drive = Some(Drive::Front);
    facts.timing = Some(TimingDrive::Belt);
    facts.steering = Some(Steering::Hydraulic);
    facts.turbo = Some(false);
    facts.hybrid = Some(false);
    facts.air_conditioning = Some(true);
    facts.sunroof = Some(false);
    facts.cylinders = Some(4);
    facts.banks = Some(1);
    facts.power_hp = Some(130.0);
    facts.curb_mass_lb = Some(2_900.0);
    facts.size_class = Some(SizeClass::Mid);
    facts.salt_winters = Some(SaltWinters::Some);
    car.worth.comparables = [3_000, 3_300, 3_600]
        .map(|price| Comparable {
            name: "Zorrel Dabchick".to_owned(),
            price: Money::whole(price),
            kind: PriceKind::Sold,
            year: Some(2011),
            miles: Some(150_000.0),
            alike: 1.0,
        })
        .to_vec();
    car
}

/// The first of a list, where a row asks for one.
fn first<T: Copy + PartialEq>(list: &[T], fact: &mut Option<T>) {
    if let Some(first) = list.first()
        && fact.is_none_or(|fact| !list.contains(&fact))
    {
        *fact = Some(*first);
    }
}

/// Makes a car one that a row is about.
pub fn fit(facts: &mut Particulars, asks: &AppliesIf) {
    first(&asks.fuel, &mut facts.fuel);
    first(&asks.gearbox, &mut facts.gearbox);
    first(&asks.drive, &mut facts.drive);
    first(&asks.timing, &mut facts.timing);
    first(&asks.steering, &mut facts.steering);
    first(&asks.size_class, &mut facts.size_class);
    for (asked, fact) in [
        (asks.turbo, &mut facts.turbo),
        (asks.hybrid, &mut facts.hybrid),
        (asks.air_conditioning, &mut facts.air_conditioning),
        (asks.sunroof, &mut facts.sunroof),
    ] {
        if asked.is_some() {
            *fact = asked;
        }
    }
    let year = facts.year.unwrap_or(2011);
    let year = asks.year_from.map_or(year, |from| year.max(from));
    facts.year = Some(asks.year_to.map_or(year, |to| year.min(to)));
}

/// A plain car that all these rows are about, the first of them first.
pub fn car_for(asked: &[&AppliesIf]) -> CarRecord {
    let mut car = plain();
    for asks in asked.iter().rev() {
        fit(&mut car.particulars, asks);
    }
    car
}

/// A car that this fault can be on.
pub fn car_with(fault: &str) -> CarRecord {
    car_for(&[&tables().fault(fault).unwrap().applies_if])
}

/// A sign that names a fault in any way.
pub fn speaks_of(sign: &SignRow, fault: &str) -> bool {
    sign.causes
        .iter()
        .any(|causes| causes.weights.contains_key(fault))
        || sign.hits.iter().any(|hits| hits.rates.contains_key(fault))
        || sign
            .test_of
            .iter()
            .any(|test| test.rows.contains_key(fault))
}

pub fn saw(sign: &str, level: usize) -> Observation {
    Observation {
        sign: sign.to_owned(),
        answer: Answer::Level(level),
        known: Known::Seen,
        admitted: false,
        note: String::new(),
        at: None,
    }
}

/// Somebody who keeps a daily driver going in the driveway: brakes, steering and springs too, with a second pair of hands.
pub fn works_at_home() -> Buyer {
    let mut buyer = Buyer::default();
    for skill in buyer.skill.values_mut() {
        *skill = (*skill + 1).min(4);
    }
    for tool in ["helper", "ball-joint-splitter", "brake-bleeder"] {
        buyer.tools.insert(tool.to_owned());
    }
    for class in ["brakes", "steering", "springs", "fuel"] {
        buyer.takes_home.insert(class.to_owned());
    }
    buyer
}

/// Somebody who does all that may be done at home, and pays hours nothing, so that the price sends nothing out.
pub fn does_it_all() -> Buyer {
    let mut buyer = Buyer {
        skill: System::ALL.iter().map(|system| (*system, 5)).collect(),
        hour_value: Some(Money::whole(1)),
        wallet: Some(Money::whole(4_000)),
        ..Buyer::default()
    };
    buyer.tools = tables().tools.iter().map(|tool| tool.id.clone()).collect();
    for class in [
        "brakes",
        "steering",
        "restraints",
        "fuel",
        "structure",
        "refrigerant",
        "high_voltage",
        "springs",
    ] {
        buyer.takes_home.insert(class.to_owned());
    }
    buyer
}

/// Everything to a garage.
pub fn drives_only() -> Buyer {
    Buyer {
        skill: System::ALL.iter().map(|system| (*system, 1)).collect(),
        hour_value: Some(Money::whole(500)),
        wallet: Some(Money::whole(9_000)),
        ..Buyer::default()
    }
}

/// Even numbers from a counter (SplitMix64 of Steele, Lea and Flood 2014).
pub struct Dice(pub u64);

impl Dice {
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        #[allow(clippy::cast_precision_loss)]
        let share = ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64;
        share
    }

    /// A place drawn from shares that sum to 1.
    pub fn place(&mut self, shares: &[f64]) -> usize {
        let mut left = self.unit();
        for (at, share) in shares.iter().enumerate() {
            if left < *share {
                return at;
            }
            left -= share;
        }
        0
    }
}
