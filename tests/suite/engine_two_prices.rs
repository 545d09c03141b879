//! Two prices tied to a check, and what would change the mind: both against the whole weighing with the answers on file.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini::{KNOWLEDGE, TODAY, buyer, car, run, saw};
use crate::strategies::any_car;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use wrenchworth::car::{Answer, Buyer, CarRecord, Known, Money, MoneyRange, Observation, Waiver};
use wrenchworth::engine::amounts::dollars;
use wrenchworth::engine::find_out::{FindOutWish, Mind};
use wrenchworth::engine::two_prices::movers;
use wrenchworth::engine::{Appraisal, Verdict};

fn weighed(car: &CarRecord, buyer: &Buyer, draws: u32) -> Appraisal {
    KNOWLEDGE.appraise(car, buyer, &run(draws))
}

fn with_answer(car: &CarRecord, sign: &str, level: usize) -> CarRecord {
    let mut car = car.clone();
    car.observations.push(Observation {
        known: Known::Seen,
        ..saw(sign, level)
    });
    car
}

#[test]
fn two_prices_move_with_the_limit_that_each_answer_gives_and_never_pass_it() {
    let (mut car, buyer) = (car(), buyer());
    car.observations.push(saw("runs-hot", 1));
    car.listing.asking = Some(Money::whole(2_600));
    let run = run(4_000);
    let base = KNOWLEDGE.appraise(&car, &buyer, &run);
    let found = KNOWLEDGE.find_out(&car, &buyer, &run, FindOutWish::default());
    let signs: Vec<&str> = movers(&found, KNOWLEDGE.tables())
        .iter()
        .map(|one| one.id.as_str())
        .collect();
    assert!(!signs.is_empty());
    let mut made = 0;
    for sign in &signs {
        let Ok(two) = KNOWLEDGE.two_prices(&car, &buyer, &run, sign, 1) else {
            continue;
        };
        made += 1;
        assert_eq!(
            (two.now, two.limit_now),
            (base.offer.open.unwrap(), base.limit.price.unwrap())
        );
        for one in [&two.good, &two.bad] {
            let then = KNOWLEDGE.appraise(&with_answer(&car, sign, one.level), &buyer, &run);
            assert_eq!(then.limit.price, Some(one.limit), "{sign} at {}", one.level);
            assert!(one.price <= one.limit && one.price > Money::ZERO, "{two:?}");
            let moved = two.now + (one.limit - two.limit_now);
            assert!(
                one.price <= moved && moved - one.price < Money::whole(5)
                    || one.price >= Money::whole(2_595),
                "{two:?}"
            );
            // The order of the checks goes by draws weighed with the answer: near the whole weighing with it on file.
            let weighed = found.checks.iter().find(|check| check.id == *sign).unwrap();
            let weighed = weighed.outcomes[one.level].limit.unwrap();
            let apart = (dollars(weighed) - dollars(one.limit)).abs();
            assert!(
                apart <= 0.08 * 2_800.0,
                "{sign} at {}: {weighed} by weighing, {} on file",
                one.level,
                one.limit
            );
        }
        assert!(two.good.price > two.bad.price);
    }
    assert!(made > 0, "{signs:?}");
}

#[test]
fn what_cannot_carry_two_prices_is_told_why() {
    let (car, buyer, run) = (car(), buyer(), run(400));
    let why = |car: &CarRecord, sign: &str, round: usize| {
        KNOWLEDGE
            .two_prices(car, &buyer, &run, sign, round)
            .unwrap_err()
    };
    assert!(why(&car, "no-such-check", 1).contains("is no check of the walk"));
    assert!(
        why(&with_answer(&car, "coolant-level", 0), "coolant-level", 1)
            .contains("answered already")
    );
    assert!(why(&car, "coolant-level", 9).starts_with("There is no figure to start from"));
    let mut bought = car.clone();
    bought.bought_at = Some(Money::whole(900));
    assert!(why(&bought, "coolant-level", 1).starts_with("It is bought already"));
    let stopped = with_answer(&car, "brake-discs-seen", 2);
    assert!(why(&stopped, "coolant-level", 1).starts_with("STOP: "));
    let mut open = car;
    open.worth = Default::default();
    assert!(why(&open, "coolant-level", 1).starts_with("There is no limit"));
}

/// Every set turns the verdict with its answers on file, and with any one of them left out it does not.
fn proved(car: &CarRecord, buyer: &Buyer, draws: u32, mind: &Mind) {
    let verdict = |facts: &[(&str, usize)]| {
        let mut car = car.clone();
        for (sign, level) in facts {
            car.observations.retain(|seen| seen.sign != *sign);
            car.observations.push(saw(sign, *level));
        }
        weighed(&car, buyer, draws).limit.verdict
    };
    assert_eq!(verdict(&[]), mind.now);
    for set in &mind.sets {
        let facts: Vec<(&str, usize)> = set
            .facts
            .iter()
            .map(|fact| (fact.sign.as_str(), fact.level))
            .collect();
        assert_eq!(verdict(&facts), set.verdict, "{set:?}");
        assert_eq!(verdict(&facts) == Verdict::Buy, mind.to_buy, "{set:?}");
        for left_out in 0..facts.len() {
            let mut fewer = facts.clone();
            fewer.remove(left_out);
            assert_eq!(
                verdict(&fewer) == Verdict::Buy,
                mind.now == Verdict::Buy,
                "{set:?}"
            );
        }
        assert!(set.chance > 0.0 && set.chance <= 1.0);
    }
}

#[test]
fn what_would_change_the_mind_does_and_nothing_less_does() {
    let mut runner = TestRunner::deterministic();
    let buyer = Buyer {
        wallet: None,
        ..buyer()
    };
    let (mut told, mut joint) = (0, 0);
    for _ in 0..150 {
        let mut car = any_car().new_tree(&mut runner).unwrap().current();
        for id in ["brake-discs-seen", "sills-tapped"] {
            let waiver = Waiver {
                words: "seen worse".to_owned(),
                on: TODAY,
            };
            car.waivers.insert(id.to_owned(), waiver);
        }
        let base = weighed(&car, &buyer, 200);
        let mind = KNOWLEDGE.change_my_mind(&car, &buyer, &run(200), &base);
        proved(&car, &buyer, 200, &mind);
        told += mind.sets.len();
        joint += mind.sets.iter().filter(|set| set.facts.len() > 1).count();
        assert!(!mind.sets.is_empty() || !mind.words.is_empty());
    }
    // The law is held against something.
    assert!(told > 5 && joint > 0, "{told}, {joint}");
}

#[test]
fn a_car_not_worth_having_is_turned_into_a_buy_by_good_answers_on_what_is_feared() {
    let buyer = Buyer {
        wallet: None,
        ..buyer()
    };
    let (mut left, mut turned) = (0, 0);
    for worth in (700..2_600).step_by(100) {
        let mut car = car();
        car.observations.push(saw("runs-hot", 2));
        car.worth.own = car.worth.own.map(|own| MoneyRange {
            low: Money::whole(worth - 100),
            likely: Money::whole(worth),
            high: Money::whole(worth + 100),
            ..own
        });
        let base = weighed(&car, &buyer, 1_000);
        if base.limit.verdict == Verdict::Buy {
            continue;
        }
        left += 1;
        let mind = KNOWLEDGE.change_my_mind(&car, &buyer, &run(1_000), &base);
        assert!(mind.to_buy);
        proved(&car, &buyer, 1_000, &mind);
        turned += usize::from(!mind.sets.is_empty());
    }
    assert!(left > 0 && turned > 0, "{left} left, {turned} turned");
}

#[test]
fn a_stop_still_to_be_found_changes_the_mind_and_one_that_stands_can_only_be_waived() {
    let (car, buyer) = (car(), buyer());
    let mind_of = |car: &CarRecord| {
        let base = weighed(car, &buyer, 400);
        KNOWLEDGE.change_my_mind(car, &buyer, &run(400), &base)
    };
    let mind = mind_of(&car);
    assert_eq!(mind.now, Verdict::Buy);
    let ends: Vec<&str> = (mind.sets.iter().filter(|set| set.stops))
        .map(|set| set.facts[0].sign.as_str())
        .collect();
    assert!(
        ends.contains(&"brake-discs-seen") && ends.contains(&"sills-tapped"),
        "{mind:?}"
    );
    let stopped = mind_of(&with_answer(&car, "sills-tapped", 2));
    assert!(
        stopped.sets.is_empty() && stopped.words.contains("The sill is holed. Only a waiver"),
        "{stopped:?}"
    );
    let mut seen = car.clone();
    seen.observations.push(Observation {
        answer: Answer::NotSeen,
        ..saw("sills-tapped", 0)
    });
    assert_eq!(mind_of(&seen).now, Verdict::Buy);
    let mut bought = car;
    bought.bought_at = Some(Money::whole(900));
    assert!(mind_of(&bought).words.starts_with("It is bought"));
}
