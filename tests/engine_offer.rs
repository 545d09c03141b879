//! Offers against textbook bargaining, published figures and their own promises.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use jiff::civil::date;
use proptest::prelude::*;
use std::sync::LazyLock;
use wrenchworth::car::{AskedPrice, Listing, Money, Move, SellerKind, Who};
use wrenchworth::engine::belief::{Acceptance, Belief};
use wrenchworth::engine::beta::normal_cdf;
use wrenchworth::engine::dollars::dollars;
use wrenchworth::engine::ladder::{Ladder, OfferGrid, best_ladder};
use wrenchworth::engine::offer::{OfferInputs, plan};
use wrenchworth::engine::{Midpoint, Offer, OfferKind};
use wrenchworth::trade::settings::{OfferSettings, Settings};

static SETTINGS: LazyLock<OfferSettings> = LazyLock::new(|| {
    let all: Settings =
        serde_json::from_str(include_str!("../assets/trade/settings.json")).unwrap();
    all.offer
});

fn one_offer(belief: &Belief, value: f64, from: f64, to: f64) -> Ladder {
    let grid = OfferGrid {
        from,
        to,
        points: 201,
        finest: 0.01,
    };
    best_ladder(belief, Acceptance::SHARP, &|_| 0.0, value, &grid, 1)
}

fn uniform(a: f64, b: f64, cells: usize) -> Belief {
    Belief::from_cdf(a, b, cells, |price| price)
}

#[test]
fn one_offer_to_a_uniform_seller_is_half_way_up_from_their_least() {
    // Take it or leave it, R uniform on [a, b]: p = min((v + a)/2, b) (textbook; first-order condition p + F/f = v).
    for (v, a, b, price, chance, gain) in [
        (10_000.0, 7000.0, 9500.0, 8500.0, 0.60, 900.0),
        (10_000.0, 8000.0, 12_000.0, 9000.0, 0.25, 250.0),
        (9000.0, 6000.0, 9000.0, 7500.0, 0.50, 750.0),
        (8200.0, 7000.0, 9000.0, 7600.0, 0.30, 180.0),
        (12_000.0, 7000.0, 9000.0, 9000.0, 1.0, 3000.0),
    ] {
        let best = one_offer(&uniform(a, b, 1000), v, a, v);
        assert!(
            (best.offers[0] - price).abs() < 0.1,
            "{v}: {:?}",
            best.offers
        );
        assert!((best.chance - chance).abs() < 1e-4 && (best.gain - gain).abs() < 1e-3);
    }
}

#[test]
fn one_offer_to_normal_lognormal_and_triangular_sellers_solves_the_first_order_condition() {
    // Solved with scipy 1.17: price, chance, gain.
    let normal = |mean: f64, sd: f64| {
        Belief::from_cdf(mean - 7.0 * sd, mean + 7.0 * sd, 4000, move |x| {
            normal_cdf((x - mean) / sd)
        })
    };
    let lognormal = Belief::from_cdf(5000.0, 15_000.0, 4000, |x| {
        normal_cdf((x / 9000.0).ln() / 0.08)
    });
    // Least 7,000, likely 8,800, most 10,000: squares of the distances from the ends over the width times the side.
    let triangular = Belief::from_cdf(7000.0, 10_000.0, 3000, |x: f64| {
        if x < 8800.0 {
            (x - 7000.0).powi(2) / (3000.0 * 1800.0)
        } else {
            1.0 - (10_000.0 - x).powi(2) / (3000.0 * 1200.0)
        }
    });
    for (belief, v, price, chance, gain) in [
        (normal(9000.0, 700.0), 10_000.0, 9059.67, 0.533_97, 502.10),
        (normal(9500.0, 700.0), 10_000.0, 9295.12, 0.384_88, 271.30),
        (normal(9000.0, 500.0), 9000.0, 8624.10, 0.226_09, 84.99),
        (normal(9000.0, 700.0), 12_000.0, 9674.91, 0.832_52, 1935.68),
        (lognormal, 10_000.0, 9045.53, 0.525_15, 501.24),
        (triangular, 10_000.0, 8904.55, 0.666_67, 730.30),
    ] {
        let best = one_offer(&belief, v, 5000.0, v);
        assert!(
            (best.offers[0] - price).abs() < 1.5,
            "{price}: {:?}",
            best.offers
        );
        assert!(
            (best.chance - chance).abs() < 1.5e-3,
            "{price}: {}",
            best.chance
        );
        assert!((best.gain - gain).abs() < 0.02, "{price}: {}", best.gain);
    }
}

#[test]
fn several_offers_to_an_honest_seller_rise_in_even_steps() {
    // R uniform on [0, 1], value 1: offers i/(N + 1), gain N/(2(N + 1)) (algebra).
    let belief = uniform(0.0, 1.0, 1000);
    let grid = OfferGrid {
        from: 0.0,
        to: 1.0,
        points: 121,
        finest: 1e-5,
    };
    for (count, gain) in [(1u32, 0.25), (2, 1.0 / 3.0), (3, 0.375), (5, 5.0 / 12.0)] {
        let ladder = best_ladder(
            &belief,
            Acceptance::SHARP,
            &|_| 0.0,
            1.0,
            &grid,
            count as usize,
        );
        assert_eq!(ladder.offers.len(), count as usize);
        for (offer, step) in ladder.offers.iter().zip(1u32..) {
            let even = f64::from(step) / f64::from(count + 1);
            assert!((offer - even).abs() < 0.004, "{count}: {:?}", ladder.offers);
        }
        assert!(
            (ladder.gain - gain).abs() < 2e-4,
            "{count}: {}",
            ladder.gain
        );
    }
}

#[test]
fn a_seller_who_may_walk_is_opened_higher() {
    // Two offers, the seller leaves after a refusal with chance w: p1 = (1 - (1 - w)/2)/(2 - (1 - w)/2) (algebra).
    let belief = uniform(0.0, 1.0, 1000);
    let grid = OfferGrid {
        from: 0.0,
        to: 1.0,
        points: 121,
        finest: 1e-5,
    };
    for (w, first, gain) in [
        (0.0, 0.333_33, 0.333_33),
        (0.2, 0.375, 0.3125),
        (0.38, 0.408_28, 0.295_86),
        (0.5, 0.428_57, 0.285_71),
        (0.62, 0.447_51, 0.276_24),
    ] {
        let ladder = best_ladder(&belief, Acceptance::SHARP, &|_| w, 1.0, &grid, 2);
        assert!(
            (ladder.offers[0] - first).abs() < 0.003,
            "{w}: {:?}",
            ladder.offers
        );
        assert!((ladder.gain - gain).abs() < 1e-4, "{w}: {}", ladder.gain);
    }
}

fn mean_and_sd(belief: &Belief) -> (f64, f64) {
    let mean: f64 = belief.cells().map(|(price, chance)| price * chance).sum();
    let square: f64 = belief
        .cells()
        .map(|(price, chance)| chance * (price - mean).powi(2))
        .sum();
    (mean, square.sqrt())
}

#[test]
fn answers_move_the_belief_by_bayes_rule() {
    // Recomputed with scipy 1.17. Uniform 7,000 to 9,500 that refused 7,800, then named 9,000.
    let refused = uniform(7000.0, 9500.0, 2500).refused(7800.0, Acceptance::SHARP);
    assert!((mean_and_sd(&refused).0 - 8650.0).abs() < 0.01);
    let next = one_offer(&refused, 10_000.0, 7000.0, 10_000.0);
    assert!((next.offers[0] - 8900.0).abs() < 0.1 && (next.chance - 0.647_059).abs() < 1e-4);
    assert!((mean_and_sd(&refused.named(9000.0, f64::INFINITY, 0.0)).0 - 8400.0).abs() < 0.01);
    // Normal 9,000 by 700, cut by sharp answers.
    let normal = Belief::from_cdf(5000.0, 13_000.0, 8000, |x| normal_cdf((x - 9000.0) / 700.0));
    for (offer, named, mean, sd) in [
        (8500.0, f64::INFINITY, 9283.79, 517.27),
        (8500.0, 9600.0, 9040.53, 304.53),
        (9000.0, 9600.0, 9282.12, 170.54),
    ] {
        let cut = normal
            .refused(offer, Acceptance::SHARP)
            .named(named, f64::INFINITY, 0.0);
        let found = mean_and_sd(&cut);
        assert!(
            (found.0 - mean).abs() < 0.05 && (found.1 - sd).abs() < 0.05,
            "{found:?}"
        );
    }
    // A soft refusal of 8,500, width 150: chance of it 0.747650, then mean 9,279.07, sd 538.47.
    let soft = Acceptance {
        width: 150.0,
        certain_from: f64::INFINITY,
    };
    assert!((1.0 - normal.takes(8500.0, soft) - 0.747_650).abs() < 1e-5);
    let found = mean_and_sd(&normal.refused(8500.0, soft));
    assert!(
        (found.0 - 9279.07).abs() < 0.05 && (found.1 - 538.47).abs() < 0.05,
        "{found:?}"
    );
    // They name 9,600, at most a tenth over their lowest: mean 9,136.99, sd 244.66.
    let found = mean_and_sd(&normal.named(9600.0, 0.1, 0.0));
    assert!(
        (found.0 - 9136.99).abs() < 0.1 && (found.1 - 244.66).abs() < 0.1,
        "{found:?}"
    );
}

#[test]
fn an_answer_held_impossible_leaves_the_belief_as_it_was() {
    let belief = uniform(7000.0, 9000.0, 200);
    assert_eq!(belief.refused(9500.0, Acceptance::SHARP), belief);
}

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
