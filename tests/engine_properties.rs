//! What must hold for any car: a thousand invented ones each, on the mini tables, through the engine's front door.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "common/mini.rs"]
mod mini;
#[path = "support/strategies.rs"]
mod strategies;

use mini::{KNOWLEDGE, answered, buyer, run};
use proptest::prelude::*;
use std::collections::BTreeSet;
use strategies::{NEEDED, any_car, any_claim, bytes, config, dollars, signs, weigh, work_cost};
use wrenchworth::car::{
    Answer, Claim, ClaimedSign, Known, Money, Pin, RouteWish, Stamp, Waiver, Wish, WishKind,
};
use wrenchworth::engine::{OfferKind, Verdict};

proptest! {
    #![proptest_config(config(1000))]

    #[test]
    fn the_limit_is_never_over_the_greater_of_worth_and_floor(car in any_car()) {
        let out = weigh(&car);
        let most = out.worth.unwrap().mean.max(out.floor.best);
        let limit = dollars(out.limit.price.unwrap());
        prop_assert!(limit <= most + 1e-6, "{limit} over {most}");
        prop_assert!(out.limit.low.unwrap() <= out.limit.price.unwrap().max(out.limit.high.unwrap()));
    }

    #[test]
    fn the_same_input_gives_the_same_bytes_on_any_thread(car in any_car()) {
        let here = bytes(&weigh(&car));
        let there = std::thread::scope(|scope| scope.spawn(|| bytes(&weigh(&car))).join().unwrap());
        prop_assert_eq!(here, there);
    }

    #[test]
    fn the_same_sign_twice_counts_once(car in any_car(), which in any::<prop::sample::Index>()) {
        prop_assume!(!car.observations.is_empty());
        let mut twice = car.clone();
        let again = which.get(&car.observations).clone();
        twice.observations.push(again);
        prop_assert_eq!(bytes(&weigh(&car)), bytes(&weigh(&twice)));
    }

    #[test]
    fn the_order_of_entry_does_not_matter(
        (car, shuffled) in any_car().prop_flat_map(|car| {
            let order = Just(car.observations.clone()).prop_shuffle();
            (Just(car), order)
        }),
    ) {
        let mut other = car.clone();
        other.observations = shuffled;
        other.claims.reverse();
        prop_assert_eq!(bytes(&weigh(&car)), bytes(&weigh(&other)));
    }

    #[test]
    fn a_sign_not_seen_counts_as_one_never_opened(car in any_car(), which in any::<prop::sample::Index>()) {
        // "Not seen" is no information, but it is no longer to come. So what holds: no figure changes but the limit "if nothing new",
        // which no longer counts on that check; what is told of the answer itself (its trace node, its cautions) is there.
        let unanswered: Vec<&str> = signs()
            .into_iter()
            .filter(|id| car.observations.iter().all(|one| one.sign != *id))
            .collect();
        prop_assume!(!unanswered.is_empty());
        let id = *which.get(&unanswered);
        let mut looked = car.clone();
        looked.observations.push(answered(id, Answer::NotSeen));
        let never = weigh(&car);
        let mut looked = weigh(&looked);
        prop_assert_eq!(never.unseen.checks_not_seen, looked.unseen.checks_not_seen);
        for node in [format!("sign/{id}"), format!("row/sign/{id}")] {
            looked.trace.nodes.remove(&node);
        }
        looked.cautions.clone_from(&never.cautions);
        looked.limit.if_nothing_new = never.limit.if_nothing_new;
        prop_assert_eq!(bytes(&never), bytes(&looked));
    }

    #[test]
    fn an_unproven_word_in_its_favor_changes_no_byte(car in any_car(), claim in any_claim()) {
        let mut praised = car.clone();
        praised.claims.push(claim);
        prop_assert_eq!(bytes(&weigh(&car)), bytes(&weigh(&praised)));
    }

    #[test]
    fn offers_rise_from_opening_to_settling_and_never_over_the_limit(car in any_car()) {
        let out = weigh(&car);
        let limit = out.limit.price.unwrap();
        if out.offer.kind == OfferKind::Ladder {
            let (open, settle) = (out.offer.open.unwrap(), out.offer.settle.unwrap());
            prop_assert!(open <= settle && settle <= limit, "{open} {settle} {limit}");
            prop_assert_eq!(out.offer.steps.first(), Some(&open));
            prop_assert_eq!(out.offer.steps.last(), Some(&settle));
            prop_assert!(out.offer.steps.windows(2).all(|pair| pair[0] < pair[1]));
        }
        for figure in [out.offer.open, out.offer.settle, out.offer.take_it_at].into_iter().flatten() {
            prop_assert!(figure <= limit.max(Money::ZERO), "{figure} over {limit}");
        }
    }

    #[test]
    fn a_broken_must_have_ends_the_deal_until_it_is_waived(car in any_car(), never in any::<bool>()) {
        let mut buyer = buyer();
        let kind = if never { WishKind::Never } else { WishKind::MustHave };
        buyer.wishes = vec![Wish { id: "tow-bar".to_owned(), words: "a tow bar".to_owned(), kind, amount: None }];
        let mut broken = car.clone();
        broken.wishes_met.insert("tow-bar".to_owned(), never);
        let out = KNOWLEDGE.appraise(&broken, &buyer, &run(200));
        prop_assert_eq!(out.limit.verdict, Verdict::Leave);
        prop_assert_eq!(out.offer.kind, OfferKind::Leave);
        prop_assert!(out.stops.iter().any(|stop| stop.id == "wish/tow-bar" && stop.waived.is_none()));
        let waiver = Waiver { words: "I can fit one".to_owned(), on: mini::TODAY };
        broken.waivers.insert("wish/tow-bar".to_owned(), waiver);
        let waived = KNOWLEDGE.appraise(&broken, &buyer, &run(200));
        let plain = KNOWLEDGE.appraise(&car, &buyer, &run(200));
        prop_assert_eq!(waived.limit.verdict, plain.limit.verdict);
        prop_assert_eq!(waived.limit.price, plain.limit.price);
        let words: BTreeSet<_> = waived.stops.iter().filter_map(|stop| stop.waived.clone()).collect();
        prop_assert!(words.contains("I can fit one"));
    }

    #[test]
    fn a_pin_never_makes_the_work_cheaper_while_nothing_bad_was_seen(car in any_car(), which in 0..NEEDED.len()) {
        // Without a sign above benign every fault stands alone, and a pin can only make the care worse: in every draw the needed faults
        // are a superset. With one, explaining away may lower others (Pearl 1988), so it is not promised.
        let mut car = car;
        for one in &mut car.observations {
            if matches!(one.answer, Answer::Level(_)) {
                one.answer = Answer::Level(0);
            }
        }
        car.claims.clear();
        let id = NEEDED[which];
        prop_assume!(!car.pins.contains_key(id) && !car.routes.contains_key(id));
        let mut pinned = car.clone();
        pinned.pins.insert(id.to_owned(), Pin::Certain);
        let (before, after) = (work_cost(&weigh(&car)), work_cost(&weigh(&pinned)));
        prop_assert!(after >= before - 1e-6, "{id}: {before} to {after}");
    }

    #[test]
    fn one_fault_less_to_put_right_never_costs_more(car in any_car(), which in 0..NEEDED.len()) {
        // The cheapest cover of a larger set is never cheaper (minimum over covers), whatever was seen: living with a fault changes no
        // chance. Route wishes of other faults stay as they are.
        let id = NEEDED[which];
        let mut lived = car.clone();
        lived.routes.insert(id.to_owned(), RouteWish::LiveWith);
        let mut right = car;
        right.routes.remove(id);
        let (fewer, more) = (work_cost(&weigh(&lived)), work_cost(&weigh(&right)));
        prop_assert!(fewer <= more + 1e-6, "{id}: {fewer} over {more}");
    }
}

#[test]
fn a_proved_word_in_its_favor_does_count() {
    // So that "changes no byte" above is about the proof and not about the claim.
    let car = mini::car();
    let mut proved = car.clone();
    proved.claims.push(Claim {
        text: "new battery".to_owned(),
        pro: true,
        proof: Some(Known::Paper),
        stamp: Stamp::Proved,
        sign: Some(ClaimedSign {
            id: "battery-volts".to_owned(),
            level: 0,
        }),
    });
    let chance = |out: &wrenchworth::engine::Appraisal| {
        out.faults
            .iter()
            .find(|fault| fault.id == "ELE01")
            .unwrap()
            .chance
    };
    assert!(chance(&weigh(&proved)) < 0.5 * chance(&weigh(&car)));
}
