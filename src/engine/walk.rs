//! One walk forward through a cluster: leaks, presence and reach, each drawn given all the evidence still to come.

use super::components::{Cluster, Component, fault_weights, held_links, join, leaks};
use super::frontier::{Plan, Step, StepLink};
use super::luck::{LANES, Luck, StableId, Threshold, candidates, lanes_of};
use super::network::Network;
use super::recursion::{Messages, Record, Weights};
use super::sampler::Causes;

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
    /// By step, by state before it: what a present fault may reach. Worked out when first asked for.
    outcomes: Vec<Vec<Option<Box<[Outcome]>>>>,
}

/// Signs that a present fault reaches.
#[derive(Debug, Clone, Copy, Default)]
struct Outcome {
    /// Running sum of the chances up to this one.
    upto: Threshold,
    /// Signs explained after it.
    state: usize,
}

impl Walk {
    pub(crate) fn new(
        network: &Network,
        plan: &Plan,
        component: Option<&Component>,
        pattern: usize,
    ) -> Self {
        let faults = component.map_or_else(Vec::new, |one| fault_weights(network, one));
        let leak = leaks(network, plan, pattern);
        let weights = Weights {
            faults: &faults,
            leak: &leak,
        };
        let mut walk = Self {
            record: Record::default(),
            messages: Messages::default(),
            pattern,
            outcomes: vec![Vec::new(); plan.steps.len()],
        };
        walk.messages.run(plan, weights, Some(&mut walk.record));
        walk
    }

    /// What the fault of a step may reach from a state, given all that is still to come.
    fn outcomes(&mut self, step: &Step, at: usize, before: usize) -> &[Outcome] {
        let known = &mut self.outcomes[at];
        if known.len() <= before {
            known.resize(before + 1, None);
        }
        let messages = &self.messages;
        known[before].get_or_insert_with(|| outcomes(step, messages.before(at + 1), before))
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

/// Where draws are put: presence by fault, a bit a lane; causes by sign if wanted.
pub(crate) struct Into<'a> {
    pub present: &'a mut [u16],
    pub causes: Option<&'a mut Causes>,
}

impl Ground<'_> {
    /// Pattern of held faults in each lane; all lanes are of one run.
    pub(crate) fn patterns(&self, run: usize) -> [usize; LANES] {
        let mut patterns = [0; LANES];
        let weights = &self.cluster.runs[run].patterns;
        for (bit, id) in self.addresses.held.iter().enumerate() {
            for (lane, drawn) in patterns.iter_mut().enumerate() {
                let (mut all, mut with) = (0.0, 0.0);
                for (pattern, weight) in weights.iter().enumerate() {
                    // Only patterns that agree on the bits drawn so far.
                    if (pattern ^ *drawn) & ((1 << bit) - 1) == 0 {
                        all += weight;
                        with += if pattern >> bit & 1 == 1 {
                            *weight
                        } else {
                            0.0
                        };
                    }
                }
                if self.luck.fraction(*id, self.turn, lane) * all < with {
                    *drawn |= 1 << bit;
                }
            }
        }
        patterns
    }

    /// Draws the lanes of a mask, all in one walk.
    pub(crate) fn draw(&self, walk: &mut Walk, lanes: u16, into: &mut Into<'_>) {
        let plan = &self.cluster.plan;
        let mut state = [0_usize; LANES];
        for (at, step) in plan.steps.iter().enumerate() {
            for (place, sign) in step.opens.iter().enumerate() {
                let id = self.addresses.leak[*sign];
                let bytes = self.luck.bytes(id, self.turn);
                let chances = &walk.record.leak[at][place];
                for lane in lanes_of(lanes) {
                    let chance = chances[state[lane]];
                    let address = (id, self.turn, lane);
                    if self.luck.lies_under(bytes[lane], chance, address) {
                        state[lane] |= 1 << (step.before + place);
                        self.held_causes(*sign, lane, walk.pattern, into);
                    }
                }
            }
            let there = self.present(walk, at, &state) & lanes;
            if there != 0 {
                into.present[step.fault] |= there;
                self.reach_all(walk, at, there, &mut state, into);
            }
            for axis in &step.closes {
                for state in &mut state {
                    *state = without_bit(*state, *axis);
                }
            }
        }
        self.draw_held(walk, lanes, into);
    }

    /// Lanes in which a step's fault is present.
    #[inline]
    fn present(&self, walk: &Walk, at: usize, state: &[usize; LANES]) -> u16 {
        let id = self.addresses.present[at];
        let bytes = self.luck.bytes(id, self.turn);
        let chances = &walk.record.present[at];
        let mut there = 0;
        // Few are present in any state: one look at the greatest chance mostly settles all lanes.
        for lane in lanes_of(candidates(&bytes, walk.record.greatest[at])) {
            let chance = chances[state[lane]];
            let under = self
                .luck
                .lies_under(bytes[lane], chance, (id, self.turn, lane));
            there |= u16::from(under) << lane;
        }
        there
    }

    /// Held faults of the pattern, and the causes of signs that only they and the leak can explain.
    fn draw_held(&self, walk: &Walk, lanes: u16, into: &mut Into<'_>) {
        let plan = &self.cluster.plan;
        if plan.held.is_empty() {
            return;
        }
        for (bit, fault) in plan.held.iter().enumerate() {
            if walk.pattern >> bit & 1 == 1 {
                into.present[*fault] |= lanes;
            }
        }
        let opened = |sign: usize| plan.steps.iter().any(|step| step.opens.contains(&sign));
        for sign in (0..plan.signs.len()).filter(|sign| !opened(*sign)) {
            for lane in lanes_of(lanes) {
                self.held_causes(sign, lane, walk.pattern, into);
            }
        }
    }

    /// Which open signs a present fault reaches in each of some lanes, given all that is still to come. One number decides; where the
    /// causes are asked, a fraction of its own decides for the signs explained already.
    fn reach_all(
        &self,
        walk: &mut Walk,
        at: usize,
        there: u16,
        state: &mut [usize; LANES],
        into: &mut Into<'_>,
    ) {
        let step = &self.cluster.plan.steps[at];
        let all = (step.links.iter()).fold(0, |all, link| all | 1 << link.axis);
        let id = self.addresses.reach[at];
        let mut bytes = None;
        for lane in lanes_of(there) {
            let before = state[lane];
            if before & all != all {
                let bytes = bytes.get_or_insert_with(|| self.luck.bytes(id, self.turn));
                let outcomes = walk.outcomes(step, at, before);
                let mut lies = outcomes.iter().filter(|outcome| {
                    let address = (id, self.turn, lane);
                    self.luck.lies_under(bytes[lane], outcome.upto, address)
                });
                if let Some(outcome) = lies.next().or(outcomes.last()) {
                    state[lane] = outcome.state;
                }
            }
            if into.causes.is_some() {
                self.reached(step, id, lane, (before, state[lane]), into);
            }
        }
    }

    /// Notes a present fault as a cause of the signs it reaches.
    fn reached(
        &self,
        step: &Step,
        id: StableId,
        lane: usize,
        (before, after): (usize, usize),
        into: &mut Into<'_>,
    ) {
        let mut luck = self.luck.fraction(id, self.turn, lane);
        for link in &step.links {
            let explained = before >> link.axis & 1 == 1;
            let reached = if explained {
                decide(&mut luck, link.r / (link.q + link.r))
            } else {
                after >> link.axis & 1 == 1
            };
            if reached {
                self.caused(link.sign, lane, step.fault, into);
            }
        }
    }

    /// A fault of the tables is named before the leak, and the first in the table before the others.
    fn caused(&self, sign: usize, lane: usize, fault: usize, into: &mut Into<'_>) {
        if let Some(causes) = into.causes.as_deref_mut() {
            let cause = &mut causes[self.cluster.plan.signs[sign]][lane];
            *cause = (*cause).min(u16::try_from(fault).unwrap_or(u16::MAX));
        }
    }

    /// The composite leak of a sign came true: which of the held faults reached it, given that at least one source did.
    fn held_causes(&self, sign: usize, lane: usize, pattern: usize, into: &mut Into<'_>) {
        if pattern == 0 || into.causes.is_none() {
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
            let own = self.luck.fraction(*id, self.turn, lane);
            let moved = self
                .luck
                .fraction(self.addresses.leak[sign], self.turn, lane);
            if (own + moved * 1_048_576.0).fract() < chance {
                reached = true;
                self.caused(sign, lane, *fault, into);
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

/// All that a present fault may reach from a state, with running chances; signs in the order of the step, reached before not reached.
fn outcomes(step: &Step, after: &[f64], before: usize) -> Box<[Outcome]> {
    let free: Vec<&StepLink> = (step.links.iter())
        .filter(|link| before >> link.axis & 1 == 0)
        .collect();
    let count = free.len();
    let mut found: Vec<(f64, usize)> = (0..1_usize << count)
        .map(|choice| {
            let (mut state, mut chance) = (before, 1.0);
            for (bit, link) in free.iter().enumerate() {
                let reached = choice >> (count - 1 - bit) & 1 == 0;
                chance *= if reached { link.r } else { link.q };
                state |= usize::from(reached) << link.axis;
            }
            (chance * to_come(step, after, state), state)
        })
        .collect();
    found.retain(|(chance, _)| *chance > 0.0);
    let all: f64 = found.iter().map(|(chance, _)| chance).sum();
    let mut sum = 0.0;
    let outcome = |(chance, state): &(f64, usize)| {
        sum += chance;
        Outcome {
            upto: Threshold::of(sum / all),
            state: *state,
        }
    };
    found.iter().map(outcome).collect()
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
