//! How long the engine takes, on an invented car with 25 observations.
//!
//! Machines differ and are noisy: the cases take turns, round by round, and each is also given as the median of its ratio to a fixed
//! piece of arithmetic in the same round. Compare ratios, not milliseconds. `cargo bench` runs all rounds, `cargo bench -- --quick` three.
#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    clippy::panic,
    reason = "a program for the terminal: what is missing should stop it"
)]

use jiff::civil::{Date, date};
use std::hint::black_box;
use std::time::Instant;
use wrenchworth::car::{
    Answer, Buyer, CarRecord, Drive, Fuel, Gearbox, Known, Money, MoneyRange, Move, Observation,
    RangeReading, Steering, TimingDrive, Who,
};
use wrenchworth::engine::compare::Entrant;
use wrenchworth::engine::diagnosis::{Diagnosis, diagnose};
use wrenchworth::engine::luck::{DRAWS_A_TURN, Luck};
use wrenchworth::engine::offer::{OfferInputs, plan};
use wrenchworth::engine::preference::EVEN;
use wrenchworth::engine::replan::replan;
use wrenchworth::engine::{Knowledge, Run};
use wrenchworth::report::full::{Compared, ReportWish, report};
use wrenchworth::report::{WeighedCar, html};
use wrenchworth::trade::Tables;

const TODAY: Date = date(2026, 6, 1);
const SEED: u64 = 7;
const FEW: u32 = 2_000;
const MANY: u32 = 20_000;
const ROUNDS: usize = 11;
const QUICK_ROUNDS: usize = 3;

/// Signs answered bad, with the level.
const BAD: [(&str, usize); 8] = [
    ("engine-lamp-on", 1),
    ("idle-hunts", 1),
    ("weak-pull", 1),
    ("oil-level", 1),
    ("rattle-small-bumps", 1),
    ("squeal-front-belt", 1),
    ("slow-to-warm", 1),
    ("tire-wear-pattern", 1),
];

/// Signs answered good.
const GOOD: [&str; 17] = [
    "ground-under-car",
    "panel-gaps",
    "doors-hang",
    "tread-depth",
    "pads-seen",
    "sills-tapped",
    "strut-towers-seen",
    "coolant-cold",
    "under-oil-cap",
    "key-lamp-test",
    "crank-speed",
    "rattle-cold-start",
    "clutch-bite",
    "carpet-lifted",
    "shake-only-braking",
    "hot-restart",
    "title-words",
];

fn answered(sign: &str, level: usize) -> Observation {
    Observation {
        sign: sign.to_owned(),
        answer: Answer::Level(level),
        known: Known::Seen,
        admitted: false,
        note: String::new(),
        at: None,
    }
}

/// An invented car: 25 observations, of which so many are bad.
fn car(name: &str, miles: f64, bad: usize) -> CarRecord {
    let mut car = CarRecord {
        name: name.to_owned(),
        ..CarRecord::default()
    };
    let facts = &mut car.particulars;
    facts.year = Some(2010);
    facts.odometer_miles = Some(miles);
    facts.fuel = Some(Fuel::Petrol);
    facts.gearbox = Some(Gearbox::Manual);
    facts.drive = Some(Drive::Front);
    facts.timing = Some(TimingDrive::Belt);
    facts.steering = Some(Steering::Hydraulic);
    facts.turbo = Some(false);
    facts.hybrid = Some(false);
    facts.power_hp = Some(132.0);
    facts.curb_mass_lb = Some(2_750.0);
    car.listing.asking = Some(Money::whole(2_400));
    car.worth.own = Some(MoneyRange {
        low: Money::whole(2_900),
        likely: Money::whole(3_600),
        high: Money::whole(4_300),
        reading: RangeReading::default(),
    });
    for (at, (sign, level)) in BAD.into_iter().enumerate() {
        car.observations
            .push(answered(sign, if at < bad { level } else { 0 }));
    }
    for sign in GOOD {
        car.observations.push(answered(sign, 0));
    }
    car
}

/// What is timed against: twenty million steps of a fixed generator (SplitMix64; Steele, Lea & Flood 2014).
fn yardstick() -> u64 {
    let (mut state, mut sum) = (black_box(SEED), 0_u64);
    for _ in 0..20_000_000 {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        sum = sum.wrapping_add(z ^ (z >> 31));
    }
    sum
}

fn sample(diagnosis: &Diagnosis, draws: u32) -> usize {
    let (mut sampler, luck) = (diagnosis.sampler(), Luck::new(SEED));
    let mut present = Vec::new();
    let mut faults = 0;
    for turn in 0..draws.div_ceil(DRAWS_A_TURN) {
        sampler.draw_present(luck, turn, &mut present);
        faults += present
            .iter()
            .map(|lanes| lanes.count_ones() as usize)
            .sum::<usize>();
    }
    faults
}

/// Keeps a result from being optimized away.
fn keep<T>(value: T) {
    black_box(value);
}

/// A name and something to time.
type Case<'a> = (&'static str, Box<dyn Fn() + 'a>);

fn timed(what: &dyn Fn()) -> f64 {
    let start = Instant::now();
    what();
    start.elapsed().as_secs_f64() * 1000.0
}

/// What `report A B C D --html` does once the files are read: every car on a thread of its own, then the page.
fn page_of_four(knowledge: &Knowledge, cars: &[&CarRecord; 4], buyer: &Buyer, run: &Run) -> String {
    let entrants: Vec<Entrant> = std::thread::scope(|scope| {
        let started: Vec<_> = cars
            .iter()
            .map(|car| {
                scope.spawn(move || {
                    let mut entrant = knowledge.entrant((&car.name, car), buyer, run);
                    knowledge.explain(&mut entrant.car.appraisal, car, run);
                    entrant
                })
            })
            .collect();
        let ended = started.into_iter();
        ended
            .map(|thread| thread.join().expect("a car weighed"))
            .collect()
    });
    let comparison = knowledge.side_by_side(entrants, cars, buyer, run);
    let preference = comparison.preferred(EVEN);
    let weighed: Vec<WeighedCar<'_>> = cars
        .iter()
        .zip(&comparison.cars)
        .map(|(record, car)| WeighedCar {
            slug: &car.slug,
            name: &record.name,
            record,
            appraisal: &car.appraisal,
            findings: None,
        })
        .collect();
    let compared = Compared {
        comparison: &comparison,
        preference: &preference,
    };
    let wish = ReportWish::default();
    html::page(&report(&weighed, Some(compared), knowledge.tables(), wish))
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let upper = sorted.len() / 2;
    0.5 * (sorted[upper] + sorted[(sorted.len() - 1) / 2])
}

/// Milliseconds by case, then by round. The first round only warms up and is not kept.
fn all_rounds(cases: &[Case<'_>], rounds: usize) -> Vec<Vec<f64>> {
    let mut times = vec![Vec::with_capacity(rounds); cases.len()];
    for round in 0..=rounds {
        for (case, kept) in cases.iter().zip(&mut times) {
            let took = timed(case.1.as_ref());
            if round > 0 {
                kept.push(took);
            }
        }
    }
    times
}

fn print(cases: &[Case<'_>], times: &[Vec<f64>]) {
    println!(
        "{:<36}{:>10}{:>10}{:>10}{:>12}",
        "", "median ms", "min", "max", "x yardstick"
    );
    let yardstick = times.first().expect("a yardstick");
    for ((name, _), mine) in cases.iter().zip(times) {
        let ratios: Vec<f64> = mine
            .iter()
            .zip(yardstick)
            .map(|(mine, yardstick)| mine / yardstick)
            .collect();
        let (least, most) = mine.iter().fold((f64::MAX, 0.0_f64), |(least, most), t| {
            (least.min(*t), most.max(*t))
        });
        println!(
            "{name:<36}{:>10.2}{least:>10.2}{most:>10.2}{:>12.3}",
            median(mine),
            median(&ratios)
        );
    }
}

fn main() {
    let quick = std::env::args().any(|word| word == "--quick" || word == "--test");
    let rounds = if quick { QUICK_ROUNDS } else { ROUNDS };
    let knowledge = Knowledge::new(Tables::embedded().expect("the embedded tables"));
    let buyer = Buyer {
        wallet: Some(Money::whole(3_500)),
        ..Buyer::default()
    };
    let cars = [
        car("Zorrel Dabchick", 142_000.0, BAD.len()),
        car("Pudd Newt", 118_000.0, 4),
        car("Ombrel Siskin", 171_000.0, 2),
    ];
    let run = |draws| Run {
        today: TODAY,
        seed: SEED,
        draws,
    };
    let diagnosed = diagnose(&cars[0], knowledge.tables(), knowledge.links(), TODAY);
    assert!(
        diagnosed.not_in_tables.is_empty(),
        "renamed signs: {:?}",
        diagnosed.not_in_tables
    );
    println!(
        "{} observations, {} above benign; at most {} open at once; {} faults; {rounds} rounds",
        cars[0].observations.len(),
        diagnosed.signs.len(),
        diagnosed.width,
        diagnosed.faults.len(),
    );
    let inputs = OfferInputs {
        asking: Money::whole(2_400),
        limit: Money::whole(1_900),
        floor: 300.0,
        best_alternative: 0.0,
        proven_faults: true,
        listing: &cars[0].listing,
        non_runner: false,
        today: TODAY,
        talks: &[],
        settings: &knowledge.tables().settings.offer,
    };
    assert!(
        !plan(&inputs).steps.is_empty(),
        "the plan that is timed has a ladder"
    );
    let three = [
        ("dabchick", &cars[0]),
        ("newt", &cars[1]),
        ("siskin", &cars[2]),
    ];
    let fourth = car("Vintry Oriole", 155_000.0, 6);
    let four = [&cars[0], &cars[1], &cars[2], &fourth];
    let appraise = |draws| keep(knowledge.appraise(black_box(&cars[0]), &buyer, &run(draws)));
    let compare = |draws| keep(knowledge.compare(black_box(&three), &buyer, &run(draws)));
    let diagnose = || {
        keep(diagnose(
            black_box(&cars[0]),
            knowledge.tables(),
            knowledge.links(),
            TODAY,
        ));
    };
    let talked = CarRecord {
        talks: [(Who::You, 1_300), (Who::They, 2_100)]
            .map(|(who, sum)| Move {
                who,
                amount: Some(Money::whole(sum)),
                words: String::new(),
                at: None,
            })
            .to_vec(),
        ..cars[0].clone()
    };
    let weighed = knowledge.appraise(&cars[0], &buyer, &run(FEW));
    let replanned = || {
        let tables = knowledge.tables();
        keep(replan(black_box(&weighed), &talked, &buyer, tables, TODAY));
    };
    let cases: Vec<Case<'_>> = vec![
        ("yardstick", Box::new(|| keep(yardstick()))),
        ("diagnosis", Box::new(diagnose)),
        (
            "sampling, 20,000 draws",
            Box::new(|| keep(sample(&diagnosed, MANY))),
        ),
        ("appraisal, 2,000 draws", Box::new(|| appraise(FEW))),
        ("appraisal, 20,000 draws", Box::new(|| appraise(MANY))),
        (
            "plan of offers",
            Box::new(|| keep(plan(black_box(&inputs)))),
        ),
        ("replan after a typed figure", Box::new(replanned)),
        ("compare of three, 2,000 draws", Box::new(|| compare(FEW))),
        ("compare of three, 20,000 draws", Box::new(|| compare(MANY))),
        (
            "page of four side by side, threads",
            Box::new(|| keep(page_of_four(&knowledge, &four, &buyer, &run(MANY)))),
        ),
    ];
    print(&cases, &all_rounds(&cases, rounds));
}
