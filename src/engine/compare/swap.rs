//! The one check that would swap the order: its answers run on the difference of the best two, with leaving them all as one of the choices.
//!
//! The value of knowing is the mean gain of choosing after the answer instead of before it (Raiffa & Schlaifer 1961), never under zero.

use super::{Tally, best_of};
use crate::car::{Buyer, CarRecord};
use crate::engine::draws::mean;
use crate::engine::figures::{Run, SwapCheck, SwapOutcome};
use crate::engine::find_out::Answers;
use crate::engine::knowledge::Knowledge;
use crate::engine::walkaround::{Check, Order, Plan, State, walk};
use crate::engine::weighing::Weighing;
use crate::trade::SignRow;

/// Draws that checks are tried on: the first ones of the whole run, with the same luck.
const DRAWS: u32 = 4_000;
/// An answer rarer than this swaps nothing.
const LEAST_CHANCE: f64 = 0.005;
/// Under this a check's value counts as none, dollars.
const LEAST: f64 = 2.0;

/// The check most worth its minutes among those with an answer that puts another one first.
pub(super) fn swap(
    knowledge: &Knowledge,
    records: &[&CarRecord],
    ups: &[Option<Vec<f64>>],
    means: &[f64],
    buyer: &Buyer,
    run: &Run,
) -> Option<SwapCheck> {
    let run = Run {
        draws: run.draws.clamp(1, DRAWS),
        ..*run
    };
    let draws = run.draws as usize;
    let ups: Vec<Option<&[f64]>> = ups
        .iter()
        .map(|column| column.as_deref().and_then(|column| column.get(..draws)))
        .collect();
    let mut rivals: Vec<usize> = (0..ups.len()).filter(|car| ups[*car].is_some()).collect();
    rivals.sort_by(|a, b| means[*b].total_cmp(&means[*a]).then(a.cmp(b)));
    let mut best: Option<(f64, SwapCheck)> = None;
    for car in rivals.into_iter().take(2) {
        let record = records.get(car)?;
        let weighing = Weighing::with_causes(knowledge, record, buyer, &run);
        let desk = Desk {
            car,
            means,
            ups: &ups,
            answers: Answers::of(&weighing),
            weighing: &weighing,
        };
        for (net, check) in desk.checks() {
            if best.as_ref().is_none_or(|(known, _)| net > *known) {
                best = Some((net, check));
            }
        }
    }
    best.filter(|(net, check)| *net > 0.0 && check.value >= LEAST)
        .map(|(_, check)| check)
}

/// One car's open checks against the other cars.
struct Desk<'a> {
    car: usize,
    means: &'a [f64],
    ups: &'a [Option<&'a [f64]>],
    answers: Answers<'a>,
    weighing: &'a Weighing<'a>,
}

impl Desk<'_> {
    fn checks(&self) -> impl Iterator<Item = (f64, SwapCheck)> + '_ {
        let tables = self.weighing.knowledge.tables();
        let today = self.weighing.run.today;
        let open = walk(self.weighing.car, tables, Plan::Full, Order::Walking, today);
        open.into_iter()
            .filter(|check| check.state == State::ToCome)
            .filter_map(|check| self.tried(&check))
    }

    /// Worth and answers of a check that can swap the order; the draws of the other cars go by the same luck.
    fn tried(&self, check: &Check) -> Option<(f64, SwapCheck)> {
        let tables = self.weighing.knowledge.tables();
        let row = tables.signs.iter().position(|row| row.id == check.sign)?;
        let sign = tables.signs.get(row)?;
        let own = self.ups[self.car]?;
        let levels = self.answers.chances(row)?;
        let now = best_of(self.means);
        let value_of = |best: Option<usize>, means: &[f64]| best.map_or(0.0, |car| means[car]);
        let mut value = -value_of(now, self.means);
        let mut swaps = false;
        let mut after = Vec::with_capacity(levels.len());
        for (level, shares) in levels.iter().enumerate() {
            let chance = mean(shares);
            let mut means = self.means.to_vec();
            means[self.car] += moved_by(own, shares, chance);
            if ends_it(sign, level) {
                means[self.car] = f64::NEG_INFINITY;
            }
            let best = best_of(&means);
            swaps |= best != now && chance >= LEAST_CHANCE;
            value += chance * value_of(best, &means);
            after.push((chance, best));
        }
        let value = value.max(0.0);
        let minutes = f64::from(check.seconds) / 60.0;
        let net = value - minutes * self.weighing.jobs.hour_value / 60.0;
        if !swaps || net <= 0.0 {
            return None;
        }
        let outcomes = (after.into_iter().zip(&levels).enumerate())
            .map(|(level, ((chance, best), shares))| {
                self.outcome(sign, level, chance, best, shares)
            })
            .collect();
        Some((
            net,
            SwapCheck {
                car: self.car,
                id: sign.id.clone(),
                name: sign.name.clone(),
                minutes,
                value,
                outcomes,
            },
        ))
    }

    fn outcome(
        &self,
        sign: &SignRow,
        level: usize,
        chance: f64,
        best: Option<usize>,
        shares: &[f64],
    ) -> SwapOutcome {
        let mut ups = self.ups.to_vec();
        if ends_it(sign, level) {
            ups[self.car] = None;
        }
        let tally = Tally::firsts(&ups, shares);
        SwapOutcome {
            level,
            words: sign.levels.get(level).cloned().unwrap_or_default(),
            chance,
            best,
            first_in: tally.0,
            none_of_these: tally.1,
        }
    }
}

/// The answer ends the deal unless it is waived.
fn ends_it(sign: &SignRow, level: usize) -> bool {
    let stop = sign.stop.as_ref();
    stop.is_some_and(|stop| level >= stop.from_level)
}

/// What an answer does to the mean of the draws; nothing where it never comes.
fn moved_by(values: &[f64], shares: &[f64], chance: f64) -> f64 {
    if chance <= 0.0 {
        return 0.0;
    }
    let weighed: Vec<f64> = values.iter().zip(shares).map(|(v, s)| v * s).collect();
    mean(&weighed) / chance - mean(values)
}
