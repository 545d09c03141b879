//! Figures that must add up, sides that must not matter: trace, ladder and comparison of a thousand invented cars.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "common/mini.rs"]
mod mini;
#[path = "support/strategies.rs"]
mod strategies;

use mini::{KNOWLEDGE, buyer, run};
use proptest::prelude::*;
use strategies::{any_car, bytes, config, dollars, weigh};
use wrenchworth::car::{CarRecord, Money};
use wrenchworth::engine::{Appraisal, Comparison, RungKind, TraceKind};

/// Ids of nodes that figures name.
fn named(out: &Appraisal) -> Vec<&str> {
    let mut ids = vec![
        out.repair.trace_id.as_str(),
        &out.unseen.trace_id,
        &out.limit.trace_id,
        &out.offer.trace_id,
        &out.chances.trace_id,
        "worth",
        "allowance",
        "floor",
        "fit_out",
    ];
    ids.extend(out.faults.iter().map(|fault| fault.trace_id.as_str()));
    ids.extend(out.ladder.iter().map(|rung| rung.trace_id.as_str()));
    ids.extend(out.stops.iter().map(|stop| stop.trace_id.as_str()));
    ids
}

fn both(one: &CarRecord, other: &CarRecord) -> Comparison {
    KNOWLEDGE.compare(&[("one", one), ("other", other)], &buyer(), &run(256))
}

proptest! {
    #![proptest_config(config(1000))]

    #[test]
    fn every_sum_of_the_trace_adds_up_to_the_cent_and_every_part_is_there(car in any_car()) {
        let out = weigh(&car);
        for id in named(&out) {
            prop_assert!(out.trace.nodes.contains_key(id), "{id} has no node");
        }
        let mut sums = 0;
        for (id, node) in &out.trace.nodes {
            for part in &node.parts {
                prop_assert!(out.trace.nodes.contains_key(part), "{id}: part {part} is missing");
            }
            if node.kind == TraceKind::Sum {
                sums += 1;
                let parts: Option<Vec<f64>> = node.parts.iter().map(|part| out.trace.nodes[part].amount).collect();
                let total: f64 = parts.expect("a part of a sum has no amount").iter().sum();
                prop_assert!((total - node.amount.unwrap()).abs() < 0.001, "{id}: {total} for {:?}", node.amount);
            }
        }
        prop_assert!(sums >= 2, "no sums: room and limit at least");
    }

    #[test]
    fn a_trace_never_leads_back_to_where_it_came_from(car in any_car()) {
        let out = weigh(&car);
        // Depth first from every figure; longer than there are nodes is a ring.
        let mut open: Vec<(&str, usize)> = named(&out).into_iter().map(|id| (id, 0)).collect();
        while let Some((id, depth)) = open.pop() {
            prop_assert!(depth < 12, "{id} lies {depth} deep");
            open.extend(out.trace.nodes[id].parts.iter().map(|part| (part.as_str(), depth + 1)));
        }
    }

    #[test]
    fn rungs_add_up_to_the_room_and_end_on_the_limit(car in any_car()) {
        let out = weigh(&car);
        let room = out.ladder.iter().position(|rung| rung.kind == RungKind::Room).unwrap();
        let above: Money = out.ladder[..room].iter().map(|rung| rung.cash).sum();
        prop_assert_eq!(above, out.ladder[room].cash);
        let last = out.ladder.last().unwrap();
        prop_assert_eq!(last.kind, RungKind::Limit);
        prop_assert_eq!(Some(last.cash), out.limit.price);
        let below: Money = out.ladder[room + 1..out.ladder.len() - 1].iter().map(|rung| rung.cash).sum();
        prop_assert_eq!(above + below, last.cash);
        prop_assert!(out.ladder.iter().all(|rung| rung.cash == rung.cash.to_the_cent()));
    }

    #[test]
    fn two_copies_of_one_car_tie_in_every_draw(car in any_car()) {
        let out = both(&car, &car);
        for row in 0..2 {
            for column in 0..2 {
                let wins = out.wins[row][column];
                // Two stopped cars tie too.
                prop_assert!((wins - 0.5).abs() < 1e-9, "{wins}");
            }
        }
        prop_assert!((out.first_in[0] - out.first_in[1]).abs() < 1e-12);
        prop_assert!((out.first_in[0] * 2.0 + out.none_of_these - 1.0).abs() < 1e-9);
        prop_assert!((out.regret[0] - out.regret[1]).abs() < 1e-12);
        prop_assert_eq!(bytes(&out.cars[0].appraisal), bytes(&out.cars[1].appraisal));
    }

    #[test]
    fn the_order_of_the_cars_changes_no_figure(one in any_car(), other in any_car()) {
        let (there, back) = (both(&one, &other), both(&other, &one));
        for row in 0..2 {
            for column in 0..2 {
                prop_assert!((there.wins[row][column] - back.wins[1 - row][1 - column]).abs() < 1e-12);
            }
            prop_assert!((there.first_in[row] - back.first_in[1 - row]).abs() < 1e-12);
            prop_assert!((there.regret[row] - back.regret[1 - row]).abs() < 1e-9);
            prop_assert_eq!(bytes(&there.cars[row].appraisal), bytes(&back.cars[1 - row].appraisal));
            let flipped: Vec<usize> = back.dominates[1 - row].iter().map(|car| 1 - car).collect();
            prop_assert_eq!(&there.dominates[row], &flipped);
        }
        prop_assert!((there.none_of_these - back.none_of_these).abs() < 1e-12);
        // One of two equals may come first either way.
        if (there.regret[0] - there.regret[1]).abs() > 1e-9 {
            prop_assert_eq!(there.best, back.best.map(|car| 1 - car));
        }
        prop_assert!((there.wins[0][1] + there.wins[1][0] - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_car_in_company_has_the_figures_it_has_alone(one in any_car(), other in any_car()) {
        let company = both(&one, &other);
        let alone = KNOWLEDGE.appraise(&one, &buyer(), &run(256));
        prop_assert_eq!(bytes(&company.cars[0].appraisal), bytes(&alone));
        prop_assert!(dollars(alone.limit.price.unwrap()) >= 0.0);
    }
}
