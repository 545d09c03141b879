//! Figures that must add up, sides that must not matter: trace, ladder and comparison of a thousand invented cars.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::mini;
use crate::strategies;

use mini::{KNOWLEDGE, run};
use std::collections::BTreeSet;
use strategies::{Case, DRAWS, WEIGHED, ensure, for_every_case, same_bytes};
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

#[test]
fn every_figure_has_a_node_and_every_part_of_a_node_is_there() {
    for_every_case(|_, case| {
        let nodes = &case.out.trace.nodes;
        let parts = nodes
            .iter()
            .flat_map(|(id, node)| node.parts.iter().map(move |part| (id.as_str(), part)));
        let missing = parts
            .into_iter()
            .find(|(_, part)| !nodes.contains_key(*part));
        ensure(missing.is_none(), || format!("no node: {missing:?}"))?;
        let missing = named(&case.out)
            .into_iter()
            .find(|id| !nodes.contains_key(*id));
        ensure(missing.is_none(), || format!("no node: {missing:?}"))
    });
}

#[test]
fn every_sum_of_the_trace_adds_up_to_the_cent() {
    for_every_case(|_, case| {
        let nodes = &case.out.trace.nodes;
        let sums = nodes.iter().filter(|(_, node)| node.kind == TraceKind::Sum);
        let mut seen = BTreeSet::new();
        for (id, node) in sums {
            seen.insert(id.as_str());
            let amounts: Option<Vec<f64>> =
                node.parts.iter().map(|part| nodes[part].amount).collect();
            let total = amounts.map(|amounts| amounts.iter().sum::<f64>());
            let apart = total
                .zip(node.amount)
                .map(|(total, amount)| (total - amount).abs());
            ensure(apart.is_some_and(|apart| apart < 0.001), || {
                format!("{id}: {total:?} for {:?}", node.amount)
            })?;
        }
        ensure(
            seen.contains("rung/room") && seen.contains("rung/limit"),
            || format!("sums are {seen:?}"),
        )
    });
}

/// Follows the parts of a node; a node met again on its own path is a ring.
fn ring<'a>(out: &'a Appraisal, id: &'a str, path: &mut Vec<&'a str>) -> Option<String> {
    if path.contains(&id) {
        return Some(format!("{} > {id}", path.join(" > ")));
    }
    path.push(id);
    let found = out.trace.nodes[id]
        .parts
        .iter()
        .find_map(|part| ring(out, part, path));
    path.pop();
    found
}

#[test]
fn no_figure_stands_on_itself() {
    for_every_case(|_, case| {
        let found = named(&case.out)
            .into_iter()
            .find_map(|id| ring(&case.out, id, &mut Vec::new()));
        ensure(found.is_none(), || found.unwrap_or_default())
    });
}

#[test]
fn rungs_add_up_to_the_room_and_end_on_the_limit() {
    let binding = std::cell::RefCell::new(BTreeSet::new());
    for_every_case(|_, case| {
        let out = &case.out;
        binding.borrow_mut().insert(out.limit.binds.clone());
        let room = out
            .ladder
            .iter()
            .position(|rung| rung.kind == RungKind::Room);
        let (above, from_room) = out.ladder.split_at(room.ok_or("no room")?);
        let sum: Money = above.iter().map(|rung| rung.cash).sum();
        ensure(sum == from_room[0].cash, || {
            format!("{sum} for {:?}", from_room[0])
        })?;
        let (last, below) = from_room[1..].split_last().ok_or("no limit")?;
        ensure(
            last.kind == RungKind::Limit && Some(last.cash) == out.limit.price,
            || format!("{last:?}"),
        )?;
        let sum = sum + below.iter().map(|rung| rung.cash).sum();
        ensure(sum == last.cash, || format!("{sum} for {last:?}"))?;
        let broken = out
            .ladder
            .iter()
            .find(|rung| rung.cash != rung.cash.to_the_cent());
        ensure(broken.is_none(), || format!("{broken:?}"))
    });
    let binding = binding.into_inner();
    assert!(
        binding.contains("value") && binding.contains("wallet") && binding.contains("rules"),
        "only {binding:?} ever bound"
    );
}

fn both(case: &Case, one: &CarRecord, other: &CarRecord) -> Comparison {
    let cars = [("one", one), ("other", other)];
    KNOWLEDGE.compare(&cars, &case.buyer, &run(DRAWS))
}

#[test]
fn two_copies_of_one_car_tie_in_every_draw() {
    for_every_case(|_, case| {
        let out = both(case, &case.car, &case.car);
        // Two stopped cars tie too.
        let tie = out
            .wins
            .iter()
            .flatten()
            .all(|wins| (wins - 0.5).abs() < 1e-9);
        ensure(tie, || format!("{:?}", out.wins))?;
        let firsts = (out.first_in[0] - out.first_in[1]).abs() < 1e-12;
        let all = (out.first_in[0] * 2.0 + out.none_of_these - 1.0).abs() < 1e-9;
        ensure(firsts && all, || {
            format!("{:?}, none {}", out.first_in, out.none_of_these)
        })?;
        ensure((out.regret[0] - out.regret[1]).abs() < 1e-12, || {
            format!("{:?}", out.regret)
        })?;
        same_bytes(&out.cars[0].appraisal, &out.cars[1].appraisal)
    });
}

#[test]
fn neither_order_nor_company_changes_a_figure_of_a_car() {
    // Five hundred pairs of the thousand, both ways round.
    for_every_case(|at, case| {
        if at % 2 == 1 {
            return Ok(());
        }
        let other = &WEIGHED[at + 1].car;
        let (there, back) = (both(case, &case.car, other), both(case, other, &case.car));
        same_bytes(&there.cars[0].appraisal, &case.out)?;
        let close = |one: f64, other: f64| (one - other).abs() < 1e-9;
        for row in 0..2 {
            same_bytes(&there.cars[row].appraisal, &back.cars[1 - row].appraisal)?;
            let alike = (0..2)
                .all(|column| close(there.wins[row][column], back.wins[1 - row][1 - column]))
                && close(there.first_in[row], back.first_in[1 - row])
                && close(there.regret[row], back.regret[1 - row]);
            let flipped: Vec<usize> = back.dominates[1 - row].iter().map(|car| 1 - car).collect();
            ensure(alike && there.dominates[row] == flipped, || {
                format!("{there:?}\n{back:?}")
            })?;
        }
        let best = back.best.map(|car| 1 - car);
        // Of two equals either may be named.
        let same_best = there.best == best || close(there.regret[0], there.regret[1]);
        let whole = close(there.wins[0][1] + there.wins[1][0], 1.0)
            && close(there.none_of_these, back.none_of_these);
        ensure(same_best && whole, || {
            format!("best {:?} and {best:?}", there.best)
        })
    });
}
