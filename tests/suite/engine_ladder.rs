//! Beliefs and ladders against textbook bargaining.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use wrenchworth::engine::belief::{Acceptance, Belief};
use wrenchworth::engine::ladder::{Ladder, OfferGrid, best_ladder};
use wrenchworth::engine::normal::share_below as normal_cdf;

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
