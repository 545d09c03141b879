//! The walk: lists, budgets, states, dangers that withdraw a check. The tables are the program's own; no figure of money is checked here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini::{self, answered, saw};
use jiff::civil::{Date, date};
use std::collections::BTreeSet;
use wrenchworth::car::{Answer, CarRecord, Drive, Fuel, Gearbox, Steering, TimingDrive, Waiver};
use wrenchworth::engine::walkaround::{
    Check, Order, Plan, STAGES, State, next_to_come, waived_gates, walk,
};
use wrenchworth::trade::{Invasive, SignKind, Tables};

const TODAY: Date = date(2026, 11, 25);

fn tables() -> Tables {
    Tables::embedded().unwrap()
}

fn listed(car: &CarRecord, plan: Plan) -> Vec<Check> {
    walk(car, &tables(), plan, Order::Walking, TODAY)
}

fn of<'a>(checks: &'a [Check], sign: &str) -> &'a State {
    &checks
        .iter()
        .find(|check| check.sign == sign)
        .unwrap_or_else(|| panic!("{sign}"))
        .state
}

fn withdrawn(checks: &[Check], sign: &str) -> bool {
    matches!(of(checks, sign), State::Withdrawn(_))
}

#[test]
fn at_least_150_checks_over_16_stages_in_walking_order() {
    let checks = listed(&mini::car(), Plan::Full);
    assert!(checks.len() >= 150, "{}", checks.len());
    let stages: BTreeSet<usize> = checks.iter().map(|check| check.stage).collect();
    assert_eq!(stages.len(), 16);
    assert!(checks.windows(2).all(|pair| pair[0].stage <= pair[1].stage));
    for row in tables().signs {
        assert!(
            STAGES.contains(&row.stage.as_str()),
            "{}: {}",
            row.id,
            row.stage
        );
    }
}

#[test]
fn the_quick_list_is_24_checks_in_about_twenty_minutes_with_any_gearbox() {
    for gearbox in [Gearbox::Manual, Gearbox::Automatic, Gearbox::Cvt] {
        for fuel in [Fuel::Petrol, Fuel::Diesel] {
            let mut car = mini::car();
            car.particulars.gearbox = Some(gearbox);
            car.particulars.fuel = Some(fuel);
            car.particulars.timing = Some(TimingDrive::Belt);
            car.particulars.steering = Some(Steering::Hydraulic);
            car.particulars.drive = Some(Drive::Front);
            let checks = listed(&car, Plan::Quick);
            let minutes = f64::from(checks.iter().map(|check| check.seconds).sum::<u32>()) / 60.0;
            assert_eq!(checks.len(), 24, "{gearbox:?} {fuel:?}");
            assert!((17.0..=23.0).contains(&minutes), "{minutes}");
        }
    }
}

#[test]
fn a_budget_holds_and_a_longer_one_never_drops_the_quick_list() {
    let car = mini::car();
    let quick: BTreeSet<String> = listed(&car, Plan::Quick)
        .into_iter()
        .map(|check| check.sign)
        .collect();
    let mut before = 0;
    for minutes in [5, 15, 30, 60, 120, 600] {
        let checks = listed(&car, Plan::Minutes(minutes));
        let seconds: u32 = checks.iter().map(|check| check.seconds).sum();
        assert!(seconds <= minutes * 60);
        assert!(checks.len() >= before);
        before = checks.len();
        if minutes >= 30 {
            let ids: BTreeSet<String> = checks.into_iter().map(|check| check.sign).collect();
            assert!(ids.is_superset(&quick), "{minutes}");
        }
    }
}

#[test]
fn what_only_an_owner_or_a_garage_may_do_never_comes_up_and_asking_has_a_sentence() {
    let tables = tables();
    for check in listed(&mini::car(), Plan::Full) {
        let row = tables.sign(&check.sign).unwrap();
        assert_ne!(row.invasive, Invasive::OwnerOrGarage, "{}", row.id);
        assert_ne!(row.kind, SignKind::Admission);
        assert_eq!(
            check.ask.is_some(),
            row.invasive == Invasive::AskFirst,
            "{}",
            row.id
        );
        if let Some(ask) = check.ask {
            assert!(ask.ends_with('?') || ask.ends_with('.'), "{ask}");
            assert!(!ask.contains('{'));
        }
    }
}

#[test]
fn every_danger_withdraws_its_checks_and_no_benign_answer_does() {
    // Each finding, the level that forbids, and a check that must then not be done.
    let dangers = [
        ("pedal-held", 3, "hard-stop"),
        ("lines-seen", 3, "weak-pull"),
        ("wheel-rims-nuts", 2, "swerve-test"),
        ("tread-depth", 3, "pulls-to-one-side"),
        ("tire-sidewalls", 2, "shake-at-speed"),
        ("fuel-smell", 1, "oil-lamp-out"),
        ("fuel-smell", 1, "hot-restart"),
        ("oil-lamp-hot-idle", 1, "weak-pull"),
        ("knock-deep", 1, "clutch-load-test"),
        ("engine-stone-cold", 1, "coolant-cold"),
        ("level-ground", 1, "leaks-from-below"),
        ("road-leave", 1, "grinds-braking"),
    ];
    for (finding, level, check) in dangers {
        let mut car = mini::car();
        car.observations.push(saw(finding, level - 1));
        assert!(
            !withdrawn(&listed(&car, Plan::Full), check),
            "{finding} {}",
            level - 1
        );
        car.observations[0].answer = Answer::Level(level);
        let checks = listed(&car, Plan::Full);
        assert!(withdrawn(&checks, check), "{finding} {level} {check}");
        car.observations[0] = answered(finding, Answer::NotSeen);
        assert!(!withdrawn(&listed(&car, Plan::Full), check));
    }
}

#[test]
fn every_check_of_the_road_and_of_the_running_engine_knows_its_dangers() {
    for row in tables().signs {
        if row.id == "road-leave" || row.invasive == Invasive::OwnerOrGarage {
            continue;
        }
        match row.stage.as_str() {
            "road test" => assert!(row.blocked_by.contains(&"road".to_owned()), "{}", row.id),
            "cold start" | "hot restart" => assert!(
                row.blocked_by
                    .iter()
                    .any(|gate| gate == "start" || gate == "road"),
                "{}",
                row.id
            ),
            "underneath" if row.id != "level-ground" => {
                assert!(row.blocked_by.contains(&"under".to_owned()), "{}", row.id);
            }
            _ => {}
        }
    }
}

#[test]
fn only_words_bring_a_withdrawn_check_back_and_only_against_that_finding() {
    let mut car = mini::car();
    car.observations.push(saw("pedal-held", 3));
    let checks = listed(&car, Plan::Full);
    let State::Withdrawn(why) = of(&checks, "hard-stop").clone() else {
        panic!("not withdrawn");
    };
    assert_eq!(why.reason, "no drive on the road");
    assert!(why.because.ends_with("sinks while held"), "{}", why.because);
    let waiver = Waiver {
        words: "on a closed yard, walking pace".to_owned(),
        on: TODAY,
    };
    car.waivers.insert(why.waiver, waiver);
    assert_eq!(of(&listed(&car, Plan::Full), "hard-stop"), &State::ToCome);
    let told = waived_gates(&car, &tables());
    assert_eq!(told.len(), 1);
    assert!(told[0].sentence.starts_with("no drive on the road"));
    assert_eq!(told[0].words, "on a closed yard, walking pace");
    // Another danger withdraws it again.
    car.observations.push(saw("lines-seen", 3));
    assert!(withdrawn(&listed(&car, Plan::Full), "hard-stop"));
}

#[test]
fn no_order_of_worth_brings_a_withdrawn_check_back() {
    let mut car = mini::car();
    car.observations.push(saw("fuel-smell", 2));
    let given = [
        ("oil-lamp-out".to_owned(), 900.0),
        ("tread-depth".to_owned(), 40.0),
    ];
    let checks = walk(&car, &tables(), Plan::Full, Order::Given(&given), TODAY);
    assert_eq!(
        (checks[0].sign.as_str(), checks[0].figure),
        ("oil-lamp-out", Some(900.0))
    );
    assert!(matches!(checks[0].state, State::Withdrawn(_)));
    assert_eq!(checks[1].sign, "tread-depth");
    assert_eq!(next_to_come(&checks, 0), Some(1));
    assert_eq!(checks.len(), listed(&car, Plan::Full).len());
}

#[test]
fn answers_stand_and_the_next_to_come_goes_round_the_end() {
    let mut car = mini::car();
    car.observations
        .push(answered("stance-level", Answer::NotSeen));
    car.observations
        .push(answered("oil-level", Answer::NotFitted));
    car.observations.push(saw("fuel-smell", 1));
    let checks = listed(&car, Plan::Quick);
    assert_eq!(of(&checks, "stance-level"), &State::NotSeen);
    assert_eq!(of(&checks, "oil-level"), &State::NotFitted);
    assert_eq!(of(&checks, "fuel-smell"), &State::Answered(1));
    let last = checks.len() - 1;
    let next = next_to_come(&checks, last).unwrap();
    assert!(checks[next].state.is_to_come());
    assert_eq!(next_to_come(&[], 0), None);
}
