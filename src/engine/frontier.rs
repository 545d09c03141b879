//! The order in which the recursion takes faults, and what it opens and closes on the way.
//!
//! A sign opens at its first fault and closes after its last. The open signs are the frontier; its states are the subsets of open
//! signs explained so far, so the width of the frontier decides the cost, not the number of signs.

use super::network::Network;

/// A fault's reach to an open sign.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct StepLink {
    /// Bit of the state, after opening.
    pub axis: usize,
    /// Index in [`Plan::signs`].
    pub sign: usize,
    pub q: f64,
    pub r: f64,
}

/// One fault's turn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Step {
    /// Index in the network.
    pub fault: usize,
    /// Signs (index in [`Plan::signs`]) that open, in order, as the highest bits.
    pub opens: Vec<usize>,
    pub links: Vec<StepLink>,
    /// Bits that close afterwards, highest first.
    pub closes: Vec<usize>,
    /// Open signs before it.
    pub before: usize,
    /// Open signs while it has its turn.
    pub open: usize,
}

/// How one cluster of signs and faults is worked through.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plan {
    /// Indices of network nodes.
    pub signs: Vec<usize>,
    pub steps: Vec<Step>,
    /// Faults (index in the network) that are held present and absent in turn, since the frontier would be too wide with them.
    pub held: Vec<usize>,
    /// Greatest number of open signs.
    pub width: usize,
    /// Sum of the states before each step, with the last.
    pub states: usize,
}

/// Most faults that are held in turn: each doubles the work.
pub(crate) const MOST_HELD: usize = 3;

/// Plans a cluster; `None` if it stays wider than `greatest` even with [`MOST_HELD`] faults held.
pub(crate) fn plan(
    network: &Network,
    signs: &[usize],
    faults: &[usize],
    greatest: usize,
) -> Option<Plan> {
    let mut held = Vec::new();
    loop {
        let plan = in_order(network, signs, faults, &held);
        if plan.width <= greatest {
            return Some(plan);
        }
        if held.len() == MOST_HELD {
            return None;
        }
        let joins = |fault: usize| {
            let mut touched = signs.iter().filter_map(|sign| network.nodes.get(*sign));
            touched.by_ref().filter(|node| reaches(node, fault)).count()
        };
        let free = faults.iter().copied().filter(|fault| !held.contains(fault));
        held.push(free.max_by_key(|fault| (joins(*fault), std::cmp::Reverse(*fault)))?);
    }
}

fn reaches(node: &super::network::Node, fault: usize) -> bool {
    node.links
        .binary_search_by_key(&fault, |link| link.fault)
        .is_ok()
}

/// Greedy: the fault with the fewest signs open after it, then with the fewest faults left on its signs, then that completes most, then
/// the first.
fn in_order(network: &Network, signs: &[usize], faults: &[usize], held: &[usize]) -> Plan {
    let mut free: Vec<usize> = faults
        .iter()
        .copied()
        .filter(|fault| !held.contains(fault))
        .collect();
    // Links by fault: index in `signs`, q, r.
    let of_fault = |fault: usize| -> Vec<(usize, f64, f64)> {
        signs
            .iter()
            .enumerate()
            .filter_map(|(sign, node)| {
                let links = &network.nodes.get(*node)?.links;
                let at = links.binary_search_by_key(&fault, |link| link.fault).ok()?;
                Some((sign, links[at].q, links[at].r))
            })
            .collect()
    };
    let mut links: Vec<Vec<(usize, f64, f64)>> = free.iter().map(|at| of_fault(*at)).collect();
    let mut left = vec![0_usize; signs.len()];
    for link in links.iter().flatten() {
        left[link.0] += 1;
    }
    let mut open: Vec<usize> = Vec::new();
    let mut plan = Plan {
        signs: signs.to_vec(),
        steps: Vec::with_capacity(free.len()),
        held: held.to_vec(),
        width: 0,
        states: 1,
    };
    while !free.is_empty() {
        let cost = |at: usize| {
            let own = &links[at];
            let new = own.iter().filter(|link| !open.contains(&link.0)).count();
            let done = own.iter().filter(|link| left[link.0] == 1).count();
            let rest: usize = own.iter().map(|link| left[link.0]).sum();
            (open.len() + new - done, rest, usize::MAX - done, free[at])
        };
        let Some(next) = (0..free.len()).min_by_key(|at| cost(*at)) else {
            break;
        };
        let step = one_step(free.remove(next), &links.remove(next), &mut left, &mut open);
        plan.width = plan.width.max(step.open);
        plan.states += 1 << step.before.min(60);
        plan.steps.push(step);
    }
    plan
}

fn one_step(
    fault: usize,
    links: &[(usize, f64, f64)],
    left: &mut [usize],
    open: &mut Vec<usize>,
) -> Step {
    let before = open.len();
    let opens: Vec<usize> = links
        .iter()
        .map(|link| link.0)
        .filter(|sign| !open.contains(sign))
        .collect();
    open.extend(&opens);
    let links: Vec<StepLink> = links
        .iter()
        .filter_map(|(sign, q, r)| {
            Some(StepLink {
                axis: open.iter().position(|other| other == sign)?,
                sign: *sign,
                q: *q,
                r: *r,
            })
        })
        .collect();
    let width = open.len();
    let mut closes = Vec::new();
    for link in &links {
        left[link.sign] -= 1;
        if left[link.sign] == 0 {
            closes.push(link.axis);
        }
    }
    closes.sort_unstable_by(|one, other| other.cmp(one));
    for axis in &closes {
        open.remove(*axis);
    }
    Step {
        fault,
        opens,
        links,
        closes,
        before,
        open: width,
    }
}
