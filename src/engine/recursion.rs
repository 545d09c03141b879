//! The frontier recursion over a noisy-MAX network: exact evidence and exact chances.
//!
//! State: which of the open signs are explained so far. Taking a fault splits every state into "absent" and "present", and present it
//! stays under each observed level (q) or reaches it (r). All terms are positive, so nothing cancels; each step is divided by its
//! greatest entry and the logarithm kept.

use super::frontier::{Plan, Step};
use super::luck::Threshold;

/// Absent and present weights by fault of the network, and the leak (under, at) by sign of the plan.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Weights<'a> {
    pub faults: &'a [(f64, f64)],
    pub leak: &'a [(f64, f64)],
}

impl Weights<'_> {
    fn fault(&self, step: &Step) -> (f64, f64) {
        self.faults.get(step.fault).copied().unwrap_or((1.0, 0.0))
    }

    fn leak(&self, sign: usize) -> (f64, f64) {
        self.leak.get(sign).copied().unwrap_or((1.0, 0.0))
    }
}

/// Where the backward pass leaves what a sampler needs.
#[derive(Debug, Clone, Default)]
pub(crate) struct Record {
    /// By step in order: chance of being present, by state after opening.
    pub present: Vec<Vec<Threshold>>,
    /// By step in order: the greatest of these.
    pub greatest: Vec<Threshold>,
    /// By step in order, by opened sign in order: chance that the leak explains it, by state before it opens.
    pub leak: Vec<Vec<Vec<Threshold>>>,
}

/// Likelihood of all that is still to come, by state before each step, each scaled on its own.
#[derive(Debug, Clone, Default)]
pub(crate) struct Messages {
    values: Vec<f64>,
    starts: Vec<usize>,
    scratch: [Vec<f64>; 2],
}

impl Messages {
    /// The message before a step; after the last it is `[1]`.
    pub(crate) fn before(&self, step: usize) -> &[f64] {
        let start = self.starts.get(step).copied().unwrap_or(0);
        let end = self
            .starts
            .get(step + 1)
            .copied()
            .unwrap_or(self.values.len());
        self.values.get(start..end).unwrap_or(&[])
    }

    /// Runs backward. False where the evidence is impossible.
    pub(crate) fn run(
        &mut self,
        plan: &Plan,
        weights: Weights,
        mut record: Option<&mut Record>,
    ) -> bool {
        self.starts.clear();
        let mut total = 0;
        for step in &plan.steps {
            self.starts.push(total);
            total += 1 << step.before;
        }
        self.starts.push(total);
        self.values.clear();
        self.values.resize(total + 1, 0.0);
        self.values[total] = 1.0;
        let [mut after, mut present] = std::mem::take(&mut self.scratch);
        let mut possible = true;
        for (at, step) in plan.steps.iter().enumerate().rev() {
            after.clear();
            after.extend_from_slice(self.before(at + 1));
            for axis in step.closes.iter().rev() {
                expand(&mut after, *axis);
            }
            present.clear();
            present.extend_from_slice(&after);
            for link in &step.links {
                reach_backward(&mut present, link.axis, link.q, link.r);
            }
            let (absent, there) = weights.fault(step);
            match record.as_deref_mut() {
                Some(record) => record
                    .present
                    .push(mix(&mut after, &present, absent, there)),
                None => add(&mut after, &present, absent, there),
            }
            let mut leaks = Vec::new();
            for sign in step.opens.iter().rev() {
                let leak = weights.leak(*sign);
                if record.is_some() {
                    leaks.push(leak_chance(&after, leak));
                }
                open_backward(&mut after, leak);
            }
            if let Some(record) = record.as_deref_mut() {
                leaks.reverse();
                record.leak.push(leaks);
            }
            if scale(&mut after) <= 0.0 {
                possible = false;
                break;
            }
            let start = self.starts[at];
            self.values[start..start + after.len()].copy_from_slice(&after);
        }
        if let Some(record) = record {
            record.present.reverse();
            record.leak.reverse();
            let greatest = |chances: &Vec<Threshold>| chances.iter().copied().max();
            record.greatest = (record.present.iter())
                .map(|chances| greatest(chances).unwrap_or_default())
                .collect();
        }
        self.scratch = [after, present];
        possible
    }
}

/// What the forward pass finds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Solved {
    /// Log of the evidence; minus infinity where it is impossible.
    pub log_evidence: f64,
    /// Chance of each step's fault.
    pub chances: Vec<f64>,
    /// For the fault asked for: chance that it is present and reaches the level, by sign of the plan.
    pub reach: Vec<(usize, f64)>,
}

/// Evidence and chances in one component. `asked` is a fault of the network whose reach of each sign is wanted.
pub(crate) fn solve(
    plan: &Plan,
    weights: Weights,
    messages: &mut Messages,
    asked: Option<usize>,
) -> Solved {
    let mut solved = Solved {
        log_evidence: f64::NEG_INFINITY,
        chances: vec![0.0; plan.steps.len()],
        reach: Vec::new(),
    };
    if !messages.run(plan, weights, None) {
        return solved;
    }
    let mut state = vec![1.0];
    let mut present = Vec::new();
    let mut log = 0.0;
    for (at, step) in plan.steps.iter().enumerate() {
        for sign in &step.opens {
            open_forward(&mut state, weights.leak(*sign));
        }
        let (absent, there) = weights.fault(step);
        present.clear();
        present.extend_from_slice(&state);
        for link in &step.links {
            reach_forward(&mut present, link.axis, link.q, link.r);
        }
        let after = messages.before(at + 1);
        let reached = if asked == Some(step.fault) {
            reached(step, &state, after)
        } else {
            Vec::new()
        };
        for axis in &step.closes {
            compress(&mut present, *axis);
            compress(&mut state, *axis);
        }
        let with = there * dot(&present, after);
        add(&mut state, &present, absent, there);
        let all = dot(&state, after);
        if all <= 0.0 {
            return solved;
        }
        solved.chances[at] = (with / all).min(1.0);
        solved
            .reach
            .extend(reached.iter().map(|(sign, sum)| (*sign, there * sum / all)));
        log += libm::log(scale(&mut state));
    }
    solved.log_evidence = log + libm::log(state.first().copied().unwrap_or(0.0));
    solved
}

/// For each link of a step: the sum over states in which this fault reaches that sign.
fn reached(step: &Step, state: &[f64], after: &[f64]) -> Vec<(usize, f64)> {
    step.links
        .iter()
        .map(|one| {
            let mut v = state.to_vec();
            for link in &step.links {
                let q = if link.sign == one.sign { 0.0 } else { link.q };
                reach_forward(&mut v, link.axis, q, link.r);
            }
            for axis in &step.closes {
                compress(&mut v, *axis);
            }
            (one.sign, dot(&v, after))
        })
        .collect()
}

/// (v0, v1) <- (v0 q, v1 (q + r) + v0 r) along one bit.
fn reach_forward(v: &mut [f64], axis: usize, q: f64, r: f64) {
    let stride = 1 << axis;
    for block in v.chunks_exact_mut(2 * stride) {
        let (open, done) = block.split_at_mut(stride);
        for (open, done) in open.iter_mut().zip(done) {
            *done = *done * (q + r) + *open * r;
            *open *= q;
        }
    }
}

/// The transpose: (v0, v1) <- (v0 q + v1 r, v1 (q + r)).
fn reach_backward(v: &mut [f64], axis: usize, q: f64, r: f64) {
    let stride = 1 << axis;
    for block in v.chunks_exact_mut(2 * stride) {
        let (open, done) = block.split_at_mut(stride);
        for (open, done) in open.iter_mut().zip(done) {
            *open = *open * q + *done * r;
            *done *= q + r;
        }
    }
}

/// A sign opens as the highest bit: not explained, or explained by the leak.
fn open_forward(v: &mut Vec<f64>, leak: (f64, f64)) {
    let size = v.len();
    v.resize(2 * size, 0.0);
    let (open, done) = v.split_at_mut(size);
    for (open, done) in open.iter_mut().zip(done) {
        *done = *open * leak.1;
        *open *= leak.0;
    }
}

fn open_backward(v: &mut Vec<f64>, leak: (f64, f64)) {
    let size = v.len() / 2;
    let (open, done) = v.split_at_mut(size);
    for (open, done) in open.iter_mut().zip(done) {
        *open = *open * leak.0 + *done * leak.1;
    }
    v.truncate(size);
}

/// A sign closes: only states in which it is explained go on, without its bit.
fn compress(v: &mut Vec<f64>, axis: usize) {
    let stride = 1 << axis;
    let mut to = 0;
    let mut from = stride;
    while from < v.len() {
        v.copy_within(from..from + stride, to);
        to += stride;
        from += 2 * stride;
    }
    v.truncate(to);
}

fn expand(v: &mut Vec<f64>, axis: usize) {
    let stride = 1 << axis;
    let size = v.len();
    v.resize(2 * size, 0.0);
    for block in (0..size / stride).rev() {
        v.copy_within(
            block * stride..(block + 1) * stride,
            (2 * block + 1) * stride,
        );
        v[2 * block * stride..(2 * block + 1) * stride].fill(0.0);
    }
}

/// v <- absent v + there w.
fn add(v: &mut [f64], w: &[f64], absent: f64, there: f64) {
    for (v, w) in v.iter_mut().zip(w) {
        *v = absent * *v + there * w;
    }
}

/// The same, giving the share of the second term in each state.
fn mix(v: &mut [f64], w: &[f64], absent: f64, there: f64) -> Vec<Threshold> {
    v.iter_mut()
        .zip(w)
        .map(|(v, w)| {
            let with = there * w;
            *v = absent * *v + with;
            Threshold::of(if *v > 0.0 { with / *v } else { 0.0 })
        })
        .collect()
}

/// Chance that the leak explains the sign of the highest bit.
fn leak_chance(v: &[f64], leak: (f64, f64)) -> Vec<Threshold> {
    let (open, done) = v.split_at(v.len() / 2);
    open.iter()
        .zip(done)
        .map(|(open, done)| {
            let (open, done) = (open * leak.0, done * leak.1);
            let all = open + done;
            Threshold::of(if all > 0.0 { done / all } else { 0.0 })
        })
        .collect()
}

/// Eight running sums, so that the additions need not wait for one another.
fn dot(v: &[f64], w: &[f64]) -> f64 {
    let mut sums = [0.0; 8];
    let (v_blocks, w_blocks) = (v.chunks_exact(8), w.chunks_exact(8));
    let rest = v_blocks.remainder().iter().zip(w_blocks.remainder());
    let rest: f64 = rest.map(|(v, w)| v * w).sum();
    for (v, w) in v_blocks.zip(w_blocks) {
        for ((sum, v), w) in sums.iter_mut().zip(v).zip(w) {
            *sum += v * w;
        }
    }
    rest + sums.iter().sum::<f64>()
}

/// Divides by the greatest entry and returns it.
fn scale(v: &mut [f64]) -> f64 {
    let mut tops = [0.0_f64; 8];
    for block in v.chunks(8) {
        for (top, value) in tops.iter_mut().zip(block) {
            *top = if *value > *top { *value } else { *top };
        }
    }
    let greatest = tops.into_iter().fold(0.0, f64::max);
    if greatest > 0.0 {
        let times = 1.0 / greatest;
        if times.is_finite() {
            v.iter_mut().for_each(|value| *value *= times);
        } else {
            v.iter_mut().for_each(|value| *value /= greatest);
        }
    }
    greatest
}
