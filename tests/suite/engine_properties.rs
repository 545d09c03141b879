//! What must hold for any car: a thousand invented ones, on the mini tables, through the engine's front door.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;
use crate::strategies;

use mini::{answered, buyer};
use strategies::{
    NEEDED, bytes, dollars, ensure, for_every_case, same_bytes, signs, weigh, work_cost,
};
use wrenchworth::car::{
    Answer, Claim, ClaimedSign, Known, Money, Pin, RouteWish, Stamp, Waiver, Wish, WishKind,
};
use wrenchworth::engine::{Appraisal, OfferKind, Verdict};

#[test]
fn the_limit_is_never_over_the_greater_of_worth_and_floor() {
    for_every_case(|_, case| {
        let limit = &case.out.limit;
        let most = case.out.worth.unwrap().mean.max(case.out.floor.best);
        let (low, price, high) = (
            limit.low.unwrap(),
            limit.price.unwrap(),
            limit.high.unwrap(),
        );
        ensure(dollars(price) <= most + 1e-6, || {
            format!("{price} over {most}")
        })?;
        ensure(low <= high, || format!("{low} to {high}"))
    });
}

#[test]
fn the_same_input_gives_the_same_bytes_on_any_thread() {
    for_every_case(|_, case| {
        let again = std::thread::scope(|scope| {
            let other = scope.spawn(|| bytes(&weigh(&case.car, &case.buyer)));
            other.join().unwrap()
        });
        ensure(again == bytes(&case.out), || "other bytes".to_owned())
    });
}

#[test]
fn the_same_sign_twice_counts_once() {
    for_every_case(|at, case| {
        let count = case.car.observations.len();
        if count == 0 {
            return Ok(());
        }
        let mut twice = case.car.clone();
        twice
            .observations
            .push(case.car.observations[at % count].clone());
        same_bytes(&case.out, &weigh(&twice, &case.buyer))
    });
}

#[test]
fn the_order_of_entry_does_not_matter() {
    for_every_case(|at, case| {
        let mut other = case.car.clone();
        other.observations.reverse();
        let count = other.observations.len().max(1);
        other.observations.rotate_left(at % count);
        same_bytes(&case.out, &weigh(&other, &case.buyer))
    });
}

#[test]
fn a_sign_not_seen_counts_as_one_never_opened() {
    // A sign that was opened and left without an answer leaves nothing on file, so it is the same record. "Not seen" is on file: no
    // information, but no longer to come. So what holds of it: no figure changes but the limit "if nothing new", which no longer counts
    // on that check; what is told of the answer itself (its trace nodes, the cautions of the check) is there besides.
    for_every_case(|at, case| {
        let spoken = |id: &str| {
            let claimed = case
                .car
                .claims
                .iter()
                .filter_map(|claim| claim.sign.as_ref());
            case.car.observations.iter().any(|one| one.sign == id)
                || claimed.into_iter().any(|sign| sign.id == id)
        };
        let unanswered: Vec<&str> = signs().into_iter().filter(|id| !spoken(id)).collect();
        let Some(id) = unanswered.get(at % unanswered.len().max(1)) else {
            return Ok(());
        };
        let mut car = case.car.clone();
        car.observations.push(answered(id, Answer::NotSeen));
        let mut looked = weigh(&car, &case.buyer);
        for node in [format!("sign/{id}"), format!("row/sign/{id}")] {
            looked.trace.nodes.remove(&node);
        }
        looked.cautions.clone_from(&case.out.cautions);
        looked.limit.if_nothing_new = case.out.limit.if_nothing_new;
        same_bytes(&case.out, &looked)
    });
}

#[test]
fn an_unproven_word_in_its_favor_changes_no_byte() {
    for_every_case(|_, case| {
        let mut praised = case.car.clone();
        praised.claims.push(case.praise.clone());
        same_bytes(&case.out, &weigh(&praised, &case.buyer))
    });
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
        replaced: None,
        sign: Some(ClaimedSign {
            id: "battery-volts".to_owned(),
            level: 0,
        }),
    });
    let chance = |out: &Appraisal| {
        let battery = out.faults.iter().find(|fault| fault.id == "ELE01");
        battery.unwrap().chance
    };
    assert!(chance(&weigh(&proved, &buyer())) < 0.5 * chance(&weigh(&car, &buyer())));
}

#[test]
fn offers_rise_from_opening_to_settling_and_never_over_the_limit() {
    let ladders = std::cell::Cell::new(0);
    for_every_case(|_, case| {
        let (offer, limit) = (&case.out.offer, case.out.limit.price.unwrap());
        if offer.kind == OfferKind::Ladder {
            ladders.set(ladders.get() + 1);
            let (open, settle) = (offer.open.unwrap(), offer.settle.unwrap());
            ensure(open <= settle && settle <= limit, || {
                format!("{open} {settle} {limit}")
            })?;
            let ends = offer.steps.first() == Some(&open) && offer.steps.last() == Some(&settle);
            ensure(ends, || {
                format!("{:?} from {open} to {settle}", offer.steps)
            })?;
            ensure(offer.steps.windows(2).all(|pair| pair[0] < pair[1]), || {
                format!("{:?}", offer.steps)
            })?;
        }
        let figures = [offer.open, offer.settle, offer.take_it_at];
        let over = figures
            .into_iter()
            .flatten()
            .find(|figure| *figure > limit.max(Money::ZERO));
        ensure(over.is_none(), || format!("{over:?} over {limit}"))
    });
    assert!(ladders.get() > 50, "only {} ladders", ladders.get());
}

#[test]
fn a_broken_must_have_ends_the_deal_until_it_is_waived() {
    for_every_case(|at, case| {
        let never = at % 2 == 0;
        let kind = if never {
            WishKind::Never
        } else {
            WishKind::MustHave
        };
        let mut buyer = case.buyer.clone();
        buyer.wishes = vec![Wish {
            id: "tow-bar".to_owned(),
            words: "a tow bar".to_owned(),
            kind,
            amount: None,
        }];
        let mut broken = case.car.clone();
        broken.wishes_met.insert("tow-bar".to_owned(), never);
        let out = weigh(&broken, &buyer);
        let stopped = out
            .stops
            .iter()
            .any(|stop| stop.id == "wish/tow-bar" && stop.waived.is_none());
        let left = out.limit.verdict == Verdict::Leave && out.offer.kind == OfferKind::Leave;
        ensure(stopped && left, || {
            format!("{:?}, {:?}", out.limit.verdict, out.stops)
        })?;
        let waiver = Waiver {
            words: "I can fit one".to_owned(),
            on: mini::TODAY,
        };
        broken.waivers.insert("wish/tow-bar".to_owned(), waiver);
        let waived = weigh(&broken, &buyer);
        let told = waived
            .stops
            .iter()
            .any(|stop| stop.waived.as_deref() == Some("I can fit one"));
        ensure(told && waived.limit == case.out.limit, || {
            format!("{:?}", waived.limit)
        })
    });
}

#[test]
fn a_pin_never_makes_the_work_cheaper_while_nothing_bad_was_seen() {
    // Without a sign above benign every fault stands alone, and a pin can only make the care worse: in every draw the needed faults are
    // a superset. With one, explaining away may lower others (Pearl 1988), so there it is not promised.
    for_every_case(|at, case| {
        let mut car = case.car.clone();
        for one in &mut car.observations {
            if matches!(one.answer, Answer::Level(_)) {
                one.answer = Answer::Level(0);
            }
        }
        car.claims.clear();
        let id = NEEDED[at % NEEDED.len()];
        if car.pins.contains_key(id) || car.routes.contains_key(id) {
            return Ok(());
        }
        let before = work_cost(&weigh(&car, &case.buyer), &case.buyer);
        car.pins.insert(id.to_owned(), Pin::Certain);
        let after = work_cost(&weigh(&car, &case.buyer), &case.buyer);
        ensure(after >= before - 1e-6, || {
            format!("{id}: {before} to {after}")
        })
    });
}

#[test]
fn one_fault_less_to_put_right_never_costs_more() {
    // The cheapest cover of a larger set is never cheaper (a minimum over covers), whatever was seen: a wish to live with a fault changes
    // no chance.
    for_every_case(|at, case| {
        let id = NEEDED[at % NEEDED.len()];
        if case.car.routes.contains_key(id) {
            return Ok(());
        }
        let mut lived = case.car.clone();
        lived.routes.insert(id.to_owned(), RouteWish::LiveWith);
        let fewer = work_cost(&weigh(&lived, &case.buyer), &case.buyer);
        let more = work_cost(&case.out, &case.buyer);
        ensure(fewer <= more + 1e-6, || {
            format!("{id}: {fewer} over {more}")
        })
    });
}
