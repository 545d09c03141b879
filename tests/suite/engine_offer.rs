//! Plans of offers against their own promises; the bargaining under them is checked in `engine_ladder.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use jiff::civil::date;
use proptest::prelude::*;
use std::sync::LazyLock;
use wrenchworth::car::{AskedPrice, Listing, Money, Move, SellerKind, Who};
use wrenchworth::engine::amounts::dollars;
use wrenchworth::engine::offer::{OfferInputs, plan};
use wrenchworth::engine::{Midpoint, Offer, OfferKind};
use wrenchworth::trade::settings::{OfferSettings, Settings};

static SETTINGS: LazyLock<OfferSettings> = LazyLock::new(|| {
    let all: Settings =
        serde_json::from_str(include_str!("../../assets/trade/settings.json")).unwrap();
    all.offer
});

fn inputs<'a>(
    asking: i64,
    limit: i64,
    floor: f64,
    listing: &'a Listing,
    talks: &'a [Move],
) -> OfferInputs<'a> {
    OfferInputs {
        asking: Money::whole(asking),
        limit: Money::whole(limit),
        floor,
        best_alternative: 0.0,
        proven_faults: true,
        listing,
        non_runner: false,
        today: date(2026, 11, 14),
        talks,
        settings: &SETTINGS,
    }
}

fn said(who: Who, amount: Option<i64>) -> Move {
    Move {
        who,
        amount: amount.map(Money::whole),
        words: String::new(),
        at: None,
    }
}

fn figures(offer: &Offer) -> Vec<f64> {
    offer.steps.iter().map(|step| dollars(*step)).collect()
}

#[test]
fn a_plan_under_what_they_ask_opens_low_rises_and_stays_off_the_fifties() {
    let listing = Listing {
        open_to_offers: true,
        listed_on: Some(date(2026, 10, 22)),
        asked_before: vec![
            AskedPrice {
                amount: Money::whole(2100),
                on: None,
            },
            AskedPrice {
                amount: Money::whole(1950),
                on: None,
            },
        ],
        ..Listing::default()
    };
    let offer = plan(&inputs(1850, 1350, 390.0, &listing, &[]));
    assert_eq!(offer.kind, OfferKind::Ladder);
    let steps = figures(&offer);
    assert!((2..=3).contains(&steps.len()), "{steps:?}");
    assert!(steps.windows(2).all(|pair| pair[0] < pair[1]), "{steps:?}");
    assert!(steps[0] > 0.4 * 1850.0 && steps[0] < 1250.0, "{steps:?}");
    assert!(
        steps
            .iter()
            .all(|step| step % 5.0 == 0.0 && step % 50.0 != 0.0),
        "{steps:?}"
    );
    let (_, at_limit) = offer.would_take[0];
    let (_, at_settle) = offer.would_take[1];
    assert!(at_settle < at_limit && offer.chance_of_deal.unwrap() > SETTINGS.least_chance);
    assert!(offer.take_it_at.unwrap() <= Money::whole(1350) && offer.take_it_at >= offer.settle);
    assert!(offer.belief.iter().all(|h| (0.0..=1.0).contains(h)) && offer.belief.len() > 100);
}

#[test]
fn a_limit_over_what_they_ask_still_opens_under_it() {
    let listing = Listing::default();
    let offer = plan(&inputs(1200, 1700, 390.0, &listing, &[]));
    assert_eq!(offer.words, "Pay what they ask, or less.");
    assert!(
        offer.open.unwrap() < Money::whole(1200) && offer.settle.unwrap() <= Money::whole(1200)
    );
    // The figure they named themselves is surely taken.
    assert!((offer.would_take[0].1 - 1.0).abs() < 1e-12);
}

#[test]
fn their_answer_moves_the_plan_and_only_a_rising_figure_follows() {
    let listing = Listing::default();
    let first = plan(&inputs(1850, 1350, 390.0, &listing, &[]));
    let talks = [said(Who::You, Some(1075)), said(Who::They, Some(1600))];
    let next = plan(&inputs(1850, 1350, 390.0, &listing, &talks));
    assert!(next.open.unwrap() > Money::whole(1075));
    assert!(next.steps.len() <= 2);
    // They came down by 250: likelier than before to take the limit. A flat no: less likely.
    let flat = [said(Who::You, Some(1075)), said(Who::They, None)];
    let refused = plan(&inputs(1850, 1350, 390.0, &listing, &flat));
    assert!(next.would_take[0].1 > refused.would_take[0].1);
    assert!(refused.would_take[0].1 < first.would_take[0].1);
    // The middle of 1,075 and 1,600 is 1,337 in whole dollars.
    let (middle, answer) = next.midpoint.unwrap();
    assert_eq!(middle, Money::whole(1337));
    assert_ne!(answer, Midpoint::Never);
    let far = [said(Who::You, Some(1075)), said(Who::They, Some(1700))];
    let over = plan(&inputs(1850, 1350, 390.0, &listing, &far))
        .midpoint
        .unwrap();
    assert_eq!(over, (Money::whole(1387), Midpoint::Never));
}

#[test]
fn a_taken_offer_ends_the_plan() {
    let talks = [said(Who::You, Some(1075)), said(Who::They, Some(1075))];
    let listing = Listing::default();
    let offer = plan(&inputs(1850, 1350, 390.0, &listing, &talks));
    assert_eq!(offer.settle, Some(Money::whole(1075)));
    assert_eq!(offer.chance_of_deal, Some(1.0));
}

#[test]
fn a_seller_out_of_reach_gets_one_dated_offer_and_a_limit_under_the_floor_none() {
    let listing = Listing {
        firm: true,
        ..Listing::default()
    };
    let far = plan(&inputs(4000, 1600, 400.0, &listing, &[]));
    assert_eq!(far.kind, OfferKind::One);
    // limit less 0.3 of (limit less floor) = 1,240.
    assert_eq!(far.steps, [Money::whole(1240)]);
    let donor = plan(&inputs(700, 410, 455.0, &listing, &[]));
    assert_eq!(donor.kind, OfferKind::Leave);
    assert!(donor.steps.is_empty() && donor.open.is_none());
}

#[test]
fn a_better_car_elsewhere_lowers_every_figure_or_ends_the_plan() {
    let listing = Listing::default();
    let alone = plan(&inputs(1850, 1500, 390.0, &listing, &[]));
    let with = |best_alternative| {
        plan(&OfferInputs {
            best_alternative,
            ..inputs(1850, 1500, 390.0, &listing, &[])
        })
    };
    assert!(with(200.0).settle < alone.settle && with(200.0).take_it_at < alone.take_it_at);
    assert_eq!(with(1200.0).kind, OfferKind::Leave);
    assert_eq!(with(f64::NAN), alone);
}

#[test]
fn dealers_are_offered_quarters_of_a_hundred() {
    let listing = Listing {
        seller_kind: SellerKind::Dealer,
        ..Listing::default()
    };
    let offer = plan(&inputs(2990, 2600, 500.0, &listing, &[]));
    assert!(!offer.steps.is_empty() && figures(&offer).iter().all(|step| step % 25.0 == 0.0));
}

#[test]
fn cues_that_lean_low_make_the_same_limit_likelier_to_be_taken() {
    let plain = Listing::default();
    let chance = |listing: &Listing, non_runner: bool| {
        let inputs = OfferInputs {
            non_runner,
            ..inputs(2000, 1500, 300.0, listing, &[])
        };
        plan(&inputs).would_take[0].1
    };
    let base = chance(&plain, false);
    for lean in [
        Listing {
            open_to_offers: true,
            ..Listing::default()
        },
        Listing {
            certainty: true,
            ..Listing::default()
        },
        Listing {
            listed_on: Some(date(2026, 9, 1)),
            ..Listing::default()
        },
        Listing {
            asked_before: vec![AskedPrice {
                amount: Money::whole(2400),
                on: None,
            }],
            ..Listing::default()
        },
    ] {
        assert!(chance(&lean, false) > base);
    }
    assert!(chance(&plain, true) > base);
    assert!(
        chance(
            &Listing {
                firm: true,
                ..Listing::default()
            },
            false
        ) < base
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn figures_rise_and_never_pass_the_limit_or_what_they_ask(
        asking in 100i64..12_000, limit_share in 0.05..2.0f64, floor_share in 0.0..1.2f64, other in 0.0..400.0f64,
        firm: bool, dealer: bool, counter in 0.5..1.0f64, first in 0.3..0.8f64, moves in 0usize..4,
    ) {
        let whole = |share: f64| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
            let units = (asking as f64 * share) as i64;
            units.max(1)
        };
        let listing = Listing {
            firm,
            seller_kind: if dealer { SellerKind::Dealer } else { SellerKind::Private },
            ..Listing::default()
        };
        let limit = whole(limit_share);
        let floor = dollars(Money::whole(whole(floor_share)));
        let mine = whole(first).min(limit);
        let theirs = whole(counter).max(mine + 1);
        let talks = [
            said(Who::You, Some(mine)), said(Who::They, Some(theirs)), said(Who::They, None), said(Who::You, Some(mine)),
        ];
        let inputs = OfferInputs { best_alternative: other, ..inputs(asking, limit, floor, &listing, &talks[..moves]) };
        let offer = plan(&inputs);
        for pair in offer.steps.windows(2) {
            prop_assert!(pair[0] < pair[1]);
        }
        for step in &offer.steps {
            prop_assert!(*step <= Money::whole(limit) && *step <= Money::whole(asking) && *step > Money::ZERO);
            prop_assert!(moves == 0 || *step >= Money::whole(mine));
        }
        prop_assert_eq!(offer.open, offer.steps.first().copied());
        prop_assert_eq!(offer.settle, offer.steps.last().copied());
        prop_assert!(offer.take_it_at.is_none_or(|take| take <= Money::whole(limit)));
        // Taking what is offered anyway is never refused, unless own last figure already passed what going on is worth.
        prop_assert!(moves > 0 || offer.take_it_at >= offer.open);
        prop_assert!(offer.chance_of_deal.is_none_or(|chance| (0.0..=1.0 + 1e-9).contains(&chance)));
        prop_assert_eq!(offer.kind == OfferKind::Leave, offer.steps.is_empty());
    }

    #[test]
    fn more_limit_never_lowers_the_settling_price_by_more_than_the_rounding(
        asking in 500i64..9000, share in 0.5..1.2f64, more in 1i64..400,
    ) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
        let limit = (asking as f64 * share) as i64;
        let listing = Listing::default();
        let settle = |limit: i64| {
            let offer = plan(&inputs(asking, limit, 0.0, &listing, &[]));
            (offer.kind, offer.settle.map(dollars))
        };
        let (low, high) = (settle(limit), settle(limit + more));
        if low.0 == OfferKind::Ladder && high.0 == OfferKind::Ladder {
            prop_assert!(high.1.unwrap() >= low.1.unwrap() - 15.0, "{:?} {:?}", low, high);
        }
    }
}
