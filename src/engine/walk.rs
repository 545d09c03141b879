//! One walk forward through a cluster: leaks, presence and reach, each drawn given all the evidence still to come.

use super::components::{Cluster, Component, fault_weights, held_links, join, leaks};
use super::frontier::{Plan, Step};
use super::luck::{Luck, StableId};
use super::network::Network;
use super::recursion::{Messages, Record, Weights};
use super::sampler::{Causes, Present};

/// Addresses of a cluster's luck.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Addresses {
    /// By step of the plan.
    present: Vec<StableId>,
    /// By held fault.
    held: Vec<StableId>,
    /// By sign of the plan.
    leak: Vec<StableId>,
    /// By step of the plan: which signs it reaches, one number for all of them.
    reach: Vec<StableId>,
    /// By held fault, the same.
    held_reach: Vec<StableId>,
}

impl Addresses {
    pub(crate) fn of(plan: &Plan, faults: &[String], signs: &[String]) -> Self {
        let present = |fault: usize| StableId::of(&["fault", &faults[fault], "present"]);
        let reach = |fault: usize| StableId::of(&["fault", &faults[fault], "reaches"]);
        Self {
            reach: plan.steps.iter().map(|step| reach(step.fault)).collect(),
            held_reach: plan.held.iter().map(|fault| reach(*fault)).collect(),
            present: plan.steps.iter().map(|step| present(step.fault)).collect(),
            held: plan.held.iter().map(|fault| present(*fault)).collect(),
            leak: plan
                .signs
                .iter()
                .map(|sign| StableId::of(&["sign", &signs[*sign], "leak"]))
                .collect(),
        }
    }
}

/// What a walk in one component, with one pattern of held faults, goes by.
#[derive(Debug, Clone)]
pub(crate) struct Walk {
    record: Record,
    messages: Messages,
    pattern: usize,
}

impl Walk {
    pub(crate) fn new(
        network: &Network,
        plan: &Plan,
        component: &Component,
        pattern: usize,
    ) -> Self {
        let faults = fault_weights(network, component);
        let leak = leaks(network, plan, pattern);
        let weights = Weights {
            faults: &faults,
            leak: &leak,
        };
        let mut walk = Self {
            record: Record::default(),
            messages: Messages::default(),
            pattern,
        };
        walk.messages.run(plan, weights, Some(&mut walk.record));
        walk
    }
}

/// What the draws of one turn in one cluster need.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ground<'a> {
    pub network: &'a Network,
    pub cluster: &'a Cluster,
    pub addresses: &'a Addresses,
    pub luck: Luck,
    pub turn: u32,
}

impl Ground<'_> {
    /// Pattern of held faults in each lane; a lane names its run.
    pub(crate) fn patterns(&self, runs: [usize; 4]) -> [usize; 4] {
        let mut patterns = [0; 4];
        for (bit, id) in self.addresses.held.iter().enumerate() {
            let luck = self.luck.turn(*id, self.turn);
            for lane in 0..4 {
                let weights = &self.cluster.runs[runs[lane]].patterns;
                let (mut all, mut with) = (0.0, 0.0);
                for (pattern, weight) in weights.iter().enumerate() {
                    // Only patterns that agree on the bits drawn so far.
                    if (pattern ^ patterns[lane]) & ((1 << bit) - 1) == 0 {
                        all += weight;
                        with += if pattern >> bit & 1 == 1 {
                            *weight
                        } else {
                            0.0
                        };
                    }
                }
                if luck[lane] * all < with {
                    patterns[lane] |= 1 << bit;
                }
            }
        }
        patterns
    }

    /// Draws the lanes that have a walk. `sums` is room to work in.
    pub(crate) fn draw(
        &self,
        walks: [Option<&Walk>; 4],
        present: &mut Present,
        causes: &mut Causes,
        sums: &mut Vec<f64>,
    ) {
        let plan = &self.cluster.plan;
        let mut state = [0_usize; 4];
        for (at, step) in plan.steps.iter().enumerate() {
            for (place, sign) in step.opens.iter().enumerate() {
                let luck = self.luck.turn(self.addresses.leak[*sign], self.turn);
                for lane in 0..4 {
                    let Some(walk) = walks[lane] else { continue };
                    let chance = walk.record.leak[at][place][state[lane]];
                    if luck[lane] < f64::from(chance) {
                        state[lane] |= 1 << (step.before + place);
                        self.held_causes(*sign, lane, walk.pattern, causes);
                    }
                }
            }
            let luck = self.luck.turn(self.addresses.present[at], self.turn);
            let mut there = [false; 4];
            for lane in 0..4 {
                let Some(walk) = walks[lane] else { continue };
                there[lane] = luck[lane] < f64::from(walk.record.present[at][state[lane]]);
            }
            if there.contains(&true) {
                let luck = self.luck.turn(self.addresses.reach[at], self.turn);
                for lane in 0..4 {
                    if let Some(walk) = walks[lane].filter(|_| there[lane]) {
                        present[step.fault][lane] = true;
                        let after = walk.messages.before(at + 1);
                        self.reach(
                            step,
                            after,
                            (lane, luck[lane]),
                            &mut state[lane],
                            causes,
                            sums,
                        );
                    }
                }
            }
            for axis in &step.closes {
                state = state.map(|state| without_bit(state, *axis));
            }
        }
        self.draw_held(walks, present, causes);
    }

    /// Held faults of each lane's pattern, and the causes of signs that only they and the leak can explain.
    fn draw_held(&self, walks: [Option<&Walk>; 4], present: &mut Present, causes: &mut Causes) {
        let plan = &self.cluster.plan;
        if plan.held.is_empty() {
            return;
        }
        let opened = |sign: usize| plan.steps.iter().any(|step| step.opens.contains(&sign));
        let only_held: Vec<usize> = (0..plan.signs.len())
            .filter(|sign| !opened(*sign))
            .collect();
        for lane in 0..4 {
            let Some(walk) = walks[lane] else { continue };
            for (bit, fault) in plan.held.iter().enumerate() {
                present[*fault][lane] |= walk.pattern >> bit & 1 == 1;
            }
            for sign in &only_held {
                self.held_causes(*sign, lane, walk.pattern, causes);
            }
        }
    }

    /// Which open signs a present fault reaches, given all that is still to come. One number decides link after link: what is left of
    /// it after one decision is as good as new for the next.
    fn reach(
        &self,
        step: &Step,
        after: &[f64],
        (lane, mut luck): (usize, f64),
        state: &mut usize,
        causes: &mut Causes,
        sums: &mut Vec<f64>,
    ) {
        let before = *state;
        let free = || (step.links.iter()).filter(move |link| before >> link.axis & 1 == 0);
        let count = free().count();
        // A heap of sums: entry 2^i + m sums over all choices of links i.., those before it chosen as in m.
        sums.clear();
        sums.resize(2 << count, 0.0);
        for choice in 0..1_usize << count {
            let mut end = before;
            for (bit, link) in free().enumerate() {
                end |= (choice >> bit & 1) << link.axis;
            }
            sums[(1 << count) + choice] = to_come(step, after, end);
        }
        for bit in (0..count).rev() {
            let size = 1 << bit;
            let Some(link) = free().nth(bit) else {
                continue;
            };
            for choice in 0..size {
                let not = sums[2 * size + choice];
                let yes = sums[3 * size + choice];
                sums[size + choice] = link.q * not + link.r * yes;
            }
        }
        let mut choice = 0;
        for (bit, link) in free().enumerate() {
            let size = 1 << bit;
            let yes = link.r * sums[3 * size + choice];
            if decide(&mut luck, yes / sums[size + choice]) {
                choice |= size;
                *state |= 1 << link.axis;
                self.caused(link.sign, lane, step.fault, causes);
            }
        }
        for link in step
            .links
            .iter()
            .filter(|link| before >> link.axis & 1 == 1)
        {
            if decide(&mut luck, link.r / (link.q + link.r)) {
                self.caused(link.sign, lane, step.fault, causes);
            }
        }
    }

    /// A fault of the tables is named before the leak, and the first in the table before the others.
    fn caused(&self, sign: usize, lane: usize, fault: usize, causes: &mut Causes) {
        let cause = &mut causes[self.cluster.plan.signs[sign]][lane];
        *cause = (*cause).min(u16::try_from(fault).unwrap_or(u16::MAX));
    }

    /// The composite leak of a sign came true: which of the held faults reached it, given that at least one source did.
    fn held_causes(&self, sign: usize, lane: usize, pattern: usize, causes: &mut Causes) {
        if pattern == 0 {
            return;
        }
        let plan = &self.cluster.plan;
        let node_at = plan.signs[sign];
        let node = &self.network.nodes[node_at];
        let sources: Vec<(usize, f64, f64)> = held_links(node, plan, pattern).collect();
        let mut reached = false;
        for (at, (fault, q, r)) in sources.iter().enumerate() {
            // The rest, the leak last: at least one of them reaches, or anything.
            let rest = || sources.iter().skip(at + 1).map(|one| (one.1, one.2));
            let (_, some) = rest().fold(node.leak, join);
            let any =
                (node.leak.0 + node.leak.1) * rest().map(|one| one.0 + one.1).product::<f64>();
            let chance = if reached {
                r / (q + r)
            } else {
                r * any / (r * any + q * some)
            };
            let held = plan.held.iter().position(|held| held == fault);
            let Some(id) = held.and_then(|held| self.addresses.held_reach.get(held)) else {
                continue;
            };
            // Each sign its own number: the fault's, moved by the sign's.
            let own = self.luck.turn(*id, self.turn)[lane];
            let moved = self.luck.turn(self.addresses.leak[sign], self.turn)[lane];
            if (own + moved * 1_048_576.0).fract() < chance {
                reached = true;
                self.caused(sign, lane, *fault, causes);
            }
        }
    }
}

/// Decides by a number that is even over (0, 1), and leaves in it one that is even again.
fn decide(luck: &mut f64, chance: f64) -> bool {
    let yes = *luck < chance;
    *luck = if yes {
        *luck / chance
    } else {
        (*luck - chance) / (1.0 - chance)
    };
    yes
}

/// Likelihood of all that comes after a step that ends in this state.
fn to_come(step: &Step, after: &[f64], mut state: usize) -> f64 {
    for axis in &step.closes {
        if state >> axis & 1 == 0 {
            return 0.0;
        }
        state = without_bit(state, *axis);
    }
    after.get(state).copied().unwrap_or(0.0)
}

fn without_bit(state: usize, axis: usize) -> usize {
    let low = (1 << axis) - 1;
    (state & low) | (state >> 1 & !low)
}
