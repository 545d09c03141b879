//! Invented cars on the mini tables, any at all.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::missing_panics_doc
)]

use super::mini::{KNOWLEDGE, answered, buyer, car, run};
use jiff::civil::date;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use std::sync::LazyLock;
use wrenchworth::car::{
    Answer, Buyer, CarRecord, Claim, ClaimedSign, Known, Money, MoneyRange, Observation, Pin,
    RangeReading, RouteWish, Stamp,
};
use wrenchworth::engine::Appraisal;

/// Faults that a daily driver and a racer put right.
pub const NEEDED: [&str; 6] = ["BOD01", "BRA02", "COO03", "ELE01", "ENG01", "ENG03"];

/// Ids of all signs of the mini tables.
pub fn signs() -> Vec<&'static str> {
    let rows = &KNOWLEDGE.tables().signs;
    rows.iter().map(|row| row.id.as_str()).collect()
}

/// The answer to one sign: mostly none.
fn answer(id: &'static str, levels: usize) -> impl Strategy<Value = Option<Observation>> {
    let known = prop_oneof![
        Just(Known::Said),
        Just(Known::Paper),
        Just(Known::Seen),
        Just(Known::Measured)
    ];
    let answer = prop_oneof![
        5 => Just(None),
        4 => (0..levels).prop_map(|level| Some(Answer::Level(level))),
        1 => Just(Some(Answer::NotSeen)),
    ];
    (answer, known, any::<bool>()).prop_map(move |(answer, known, admitted)| {
        Some(Observation {
            known,
            admitted,
            ..answered(id, answer?)
        })
    })
}

fn observations() -> impl Strategy<Value = Vec<Observation>> {
    let rows = &KNOWLEDGE.tables().signs;
    let each: Vec<_> = rows
        .iter()
        .map(|row| answer(row.id.as_str(), row.levels.len()))
        .collect();
    each.prop_map(|all| all.into_iter().flatten().collect())
}

/// By fault id: one in ten pinned or with a wish.
fn by_fault<T: Clone + std::fmt::Debug + 'static>(
    of: Vec<T>,
) -> impl Strategy<Value = Vec<(String, T)>> {
    let ids: Vec<String> = KNOWLEDGE
        .tables()
        .faults
        .iter()
        .map(|row| row.id.clone())
        .collect();
    let one = prop_oneof![9 => Just(None), 1 => prop::sample::select(of).prop_map(Some)];
    prop::collection::vec(one, ids.len()).prop_map(move |each| {
        let named = ids.iter().cloned().zip(each);
        named.filter_map(|(id, one)| Some((id, one?))).collect()
    })
}

fn admission() -> impl Strategy<Value = Option<Claim>> {
    prop::option::weighted(
        0.3,
        prop::sample::select(signs()).prop_map(|id| claim(id, 1, false, None, Stamp::Open)),
    )
}

fn claim(id: &str, level: usize, pro: bool, proof: Option<Known>, stamp: Stamp) -> Claim {
    let id = id.to_owned();
    Claim {
        text: "as they say".to_owned(),
        pro,
        proof,
        stamp,
        replaced: None,
        sign: Some(ClaimedSign { id, level }),
    }
}

/// A word in the car's favor that nothing proves.
pub fn any_claim() -> impl Strategy<Value = Claim> {
    let unproven = prop_oneof![
        Just((None, Stamp::Open)),
        Just((None, Stamp::Proved)),
        Just((Some(Known::Said), Stamp::Open)),
        Just((Some(Known::Said), Stamp::Proved)),
        Just((Some(Known::Paper), Stamp::Open)),
        Just((Some(Known::Paper), Stamp::Contradicted)),
        Just((None, Stamp::Unseen)),
    ];
    let id = prop::sample::select(signs());
    (id, unproven).prop_map(|(id, (proof, stamp))| claim(id, 0, true, proof, stamp))
}

/// A car of 3 to 28 years with anything on file: answers, an admission, pins, wishes, a price, a worth.
pub fn any_car() -> impl Strategy<Value = CarRecord> {
    let facts = (
        1998_u16..2024,
        5_000.0_f64..290_000.0,
        200_i64..6_000,
        300_i64..7_000,
    );
    let manner = (any::<bool>(), any::<bool>(), any::<bool>(), 0_i8..60);
    let pins = by_fault(vec![Pin::Certain, Pin::RuledOut]);
    let wishes = by_fault(vec![
        RouteWish::Home,
        RouteWish::Garage,
        RouteWish::LiveWith,
        RouteWish::PutRight,
    ]);
    (facts, manner, observations(), pins, wishes, admission()).prop_map(
        |(facts, manner, observations, pins, wishes, admission)| {
            let mut car = car();
            car.particulars.year = Some(facts.0);
            car.particulars.odometer_miles = Some(facts.1);
            // Pace takes a third of the time of a weighing: known for one car in four.
            if facts.0 % 4 > 0 {
                car.particulars.power_hp = None;
            }
            car.listing.asking = Some(Money::whole(facts.2));
            car.worth.own = Some(MoneyRange {
                low: Money::whole(facts.3 * 8 / 10),
                likely: Money::whole(facts.3),
                high: Money::whole(facts.3 * 13 / 10),
                reading: RangeReading::OneInTen,
            });
            car.listing.whole_text_on_file = manner.0;
            car.listing.open_to_offers = manner.1;
            car.particulars.in_use_proven = manner.2;
            car.listing.listed_on = date(2026, 4, 1)
                .checked_add(jiff::Span::new().days(i64::from(manner.3)))
                .ok();
            car.observations = observations;
            car.pins = pins.into_iter().collect();
            car.routes = wishes.into_iter().collect();
            car.claims = admission.into_iter().collect();
            car
        },
    )
}

/// One invented case, weighed once for all tests of a file.
pub struct Case {
    pub car: CarRecord,
    pub buyer: Buyer,
    /// An unproven word in its favor.
    pub praise: Claim,
    pub out: Appraisal,
}

/// Cases: new ones in every run; a failure prints its car.
pub const CASES: usize = 1000;

pub static WEIGHED: LazyLock<Vec<Case>> = LazyLock::new(|| {
    let mut runner = TestRunner::default();
    let strategy = (any_car(), any_claim(), 0..3);
    (0..CASES)
        .map(|_| {
            let (car, praise, purpose) = strategy.new_tree(&mut runner).unwrap().current();
            let mut buyer = buyer();
            if purpose == 0 {
                "capped-race".clone_into(&mut buyer.purpose);
                // A wallet that the rules come before, fit-out and all.
                buyer.wallet = Some(Money::whole(9_000));
            }
            let out = weigh(&car, &buyer);
            Case {
                car,
                buyer,
                praise,
                out,
            }
        })
        .collect()
});

/// Holds a law against every case; the first that breaks it is printed whole.
pub fn for_every_case(law: impl Fn(usize, &Case) -> Result<(), String>) {
    for (at, case) in WEIGHED.iter().enumerate() {
        if let Err(broken) = law(at, case) {
            let car = serde_json::to_string_pretty(&case.car).unwrap();
            panic!("case {at}, {}: {broken}\n{car}", case.buyer.purpose);
        }
    }
}

/// An error in words unless it holds.
pub fn ensure(holds: bool, broken: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(broken()) }
}

/// The same bytes, else the place where they part.
pub fn same_bytes(one: &Appraisal, other: &Appraisal) -> Result<(), String> {
    let (one, other) = (bytes(one), bytes(other));
    if one == other {
        return Ok(());
    }
    let parts = one.bytes().zip(other.bytes()).position(|(a, b)| a != b);
    let at = parts.unwrap_or(one.len().min(other.len()));
    let near = |text: &str| {
        let from = at.saturating_sub(150);
        String::from_utf8_lossy(&text.as_bytes()[from..text.len().min(at + 50)]).into_owned()
    };
    Err(format!("bytes part\n  {}\n  {}", near(&one), near(&other)))
}

/// Weighs a car in 200 draws.
pub fn weigh(car: &CarRecord, buyer: &Buyer) -> Appraisal {
    KNOWLEDGE.appraise(car, buyer, &run(DRAWS))
}

/// Draws of every case.
pub const DRAWS: u32 = 200;

/// All of an appraisal as the bytes of its JSON.
pub fn bytes(appraisal: &Appraisal) -> String {
    serde_json::to_string(appraisal).unwrap()
}

/// Dollars of an exact amount.
pub fn dollars(amount: Money) -> f64 {
    wrenchworth::engine::amounts::dollars(amount)
}

/// Mean cost of the work: cash, and hours at the purpose's value.
pub fn work_cost(out: &Appraisal, buyer: &Buyer) -> f64 {
    out.repair.cash.mean + KNOWLEDGE.purpose(buyer).hour_value * out.repair.hours.mean
}
