//! How likely each answer of a check is, in every draw, and what the draws are worth after it.

use crate::engine::diagnosis::LEAK;
use crate::engine::luck::LANES;
use crate::engine::weighing::Weighing;
use crate::trade::derive::{SignLinks, TestLinks};

/// Answers of one check over all draws.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outcomes {
    /// Mean of the values as they stand.
    pub mean_now: f64,
    /// Chance of each level.
    pub chances: Vec<f64>,
    /// Mean of the values after each level.
    pub means: Vec<f64>,
}

/// Which draws have which fault.
pub(in crate::engine) struct DrawTable {
    draws: usize,
    /// By fault of the diagnosis: draws that have it, rising.
    by_fault: Vec<Vec<u32>>,
    /// By row of the faults table: place in the diagnosis.
    places: Vec<Option<usize>>,
}

/// What a check says of the draws.
enum Says<'a> {
    /// The cause of a sign on file (its place in the diagnosis).
    Cause(&'a TestLinks, usize),
    /// Faults.
    Faults(&'a SignLinks),
    /// How the car was kept, or how open the seller is: chance of each level, by draw's component.
    Component(&'a crate::trade::SignRow),
}

impl DrawTable {
    pub(in crate::engine) fn of(weighing: &Weighing<'_>) -> Self {
        let mut by_fault = vec![Vec::new(); weighing.diagnosis.faults.len()];
        for (draw, present) in (0_u32..).zip(&weighing.columns.present) {
            for fault in present.iter() {
                by_fault[fault].push(draw);
            }
        }
        let rows = weighing.knowledge.tables().faults.len();
        let mut places = vec![None; rows];
        for (at, fault) in weighing.diagnosis.faults.iter().enumerate() {
            places[fault.row] = Some(at);
        }
        Self {
            draws: weighing.columns.present.len(),
            by_fault,
            places,
        }
    }

    fn says<'a>(weighing: &'a Weighing<'_>, row: usize) -> Option<Says<'a>> {
        let links = weighing.knowledge.links().signs.get(row)?;
        let sign = weighing.knowledge.tables().signs.get(row)?;
        if let Some(test) = &links.test {
            let seen = &weighing.diagnosis.signs;
            let target =
                (test.signs.iter()).find_map(|sign| seen.iter().position(|seen| seen.row == *sign));
            if let Some(target) = target {
                return Some(Says::Cause(test, target));
            }
        }
        if !links.faults.is_empty() {
            return Some(Says::Faults(links));
        }
        let tells = !sign.care.is_empty() || !sign.openness.is_empty();
        tells.then_some(Says::Component(sign))
    }

    /// Chance of each level in every draw: rows of levels, by draw; `None` where the check says nothing of any draw.
    pub(in crate::engine) fn chances(
        &self,
        weighing: &Weighing<'_>,
        row: usize,
    ) -> Option<Vec<Vec<f64>>> {
        let levels = weighing.knowledge.tables().signs.get(row)?.levels.len();
        match Self::says(weighing, row)? {
            Says::Cause(test, target) => Some(self.of_cause(weighing, test, target, levels)),
            Says::Faults(links) => self.of_faults(weighing, links, levels),
            Says::Component(sign) => Some(self.of_component(weighing, sign, levels)),
        }
    }

    fn of_cause(
        &self,
        weighing: &Weighing<'_>,
        test: &TestLinks,
        target: usize,
        levels: usize,
    ) -> Vec<Vec<f64>> {
        let faults = &weighing.diagnosis.faults;
        let causes = &weighing.columns.causes[target];
        (0..levels)
            .map(|level| {
                let by_cause = |cause: &u16| {
                    let row = (*cause != LEAK).then(|| faults[usize::from(*cause)].row);
                    test.chance(row, level)
                };
                causes.iter().take(self.draws).map(by_cause).collect()
            })
            .collect()
    }

    /// Noisy-MAX: the answer is at most a level where every present fault and the leak leave it so.
    fn of_faults(
        &self,
        weighing: &Weighing<'_>,
        links: &SignLinks,
        levels: usize,
    ) -> Option<Vec<Vec<f64>>> {
        let up_to = |shares: &[f64], level: usize| shares.iter().take(level + 1).sum::<f64>();
        let mut at_most: Vec<Vec<f64>> = (0..levels - 1)
            .map(|level| vec![up_to(&links.leak, level); self.draws])
            .collect();
        let mut any = false;
        for link in &links.faults {
            let Some(fault) = self.places.get(link.fault).copied().flatten() else {
                continue;
            };
            let draws = &self.by_fault[fault];
            any |= !draws.is_empty();
            let shows = weighing.diagnosis.shows_anew(fault, link.levels[0]);
            for (level, column) in at_most.iter_mut().enumerate() {
                // The levels above benign keep their proportion.
                let worse = 1.0 - up_to(&link.levels, level);
                let share = worse / (1.0 - link.levels[0]).max(f64::MIN_POSITIVE);
                let factor = 1.0 - shows * share;
                for draw in draws {
                    column[*draw as usize] *= factor;
                }
            }
        }
        any.then(|| differences(at_most, self.draws))
    }

    fn of_component(
        &self,
        weighing: &Weighing<'_>,
        sign: &crate::trade::SignRow,
        levels: usize,
    ) -> Vec<Vec<f64>> {
        let of = |(care, openness): (usize, usize), level: usize| {
            // The row of care runs from neglected to cherished, the settings the other way.
            let by_care = sign
                .care
                .get(level)
                .and_then(|row| row.iter().rev().nth(care));
            let by_openness = sign.openness.get(level).and_then(|row| row.get(openness));
            by_care.copied().unwrap_or(1.0) * by_openness.copied().unwrap_or(1.0)
        };
        let components = &weighing.columns.components;
        let mut rows: Vec<Vec<f64>> = (0..levels)
            .map(|level| {
                (0..self.draws)
                    .map(|draw| {
                        of(
                            components.get(draw / LANES).copied().unwrap_or((0, 0)),
                            level,
                        )
                    })
                    .collect()
            })
            .collect();
        for draw in 0..self.draws {
            let all: f64 = rows.iter().map(|row| row[draw]).sum();
            for row in rows.iter_mut().filter(|_| all > 0.0) {
                row[draw] /= all;
            }
        }
        rows
    }

    /// Chances and means of every answer, draws weighed evenly or as given.
    pub(super) fn outcomes(
        &self,
        weighing: &Weighing<'_>,
        row: usize,
        values: &[f64],
        weights: Option<&[f64]>,
    ) -> Option<Outcomes> {
        let chances = self.chances(weighing, row)?;
        let weight = |draw: usize| weights.map_or(1.0, |weights| weights[draw]);
        let (mut all, mut sum) = (0.0, 0.0);
        for (draw, value) in values.iter().enumerate() {
            all += weight(draw);
            sum += weight(draw) * value;
        }
        let mut out = Outcomes {
            mean_now: sum / all,
            chances: Vec::with_capacity(chances.len()),
            means: Vec::with_capacity(chances.len()),
        };
        for row in &chances {
            let (mut share, mut part) = (0.0, 0.0);
            for (draw, (chance, value)) in row.iter().zip(values).enumerate() {
                let chance = chance * weight(draw);
                share += chance;
                part += chance * value;
            }
            out.chances.push(share / all);
            out.means.push(if share > 0.0 {
                part / share
            } else {
                out.mean_now
            });
        }
        Some(out)
    }

    /// Weights of the draws after an answer.
    pub(super) fn weights(&self, weighing: &Weighing<'_>, row: usize, level: usize) -> Vec<f64> {
        let chances = self.chances(weighing, row);
        let row =
            chances.and_then(|mut rows| (level < rows.len()).then(|| rows.swap_remove(level)));
        row.unwrap_or_else(|| vec![1.0; self.draws])
    }

    /// Weighs the draws as if the check had come out well.
    pub(super) fn answer_well(&self, weighing: &Weighing<'_>, row: usize, weights: &mut [f64]) {
        for (weight, chance) in weights.iter_mut().zip(self.weights(weighing, row, 0)) {
            *weight *= chance;
        }
    }
}

/// From chances of at most each level to chances of each.
fn differences(mut at_most: Vec<Vec<f64>>, draws: usize) -> Vec<Vec<f64>> {
    at_most.push(vec![1.0; draws]);
    for level in (1..at_most.len()).rev() {
        let (lower, upper) = at_most.split_at_mut(level);
        for (upper, lower) in upper[0].iter_mut().zip(&lower[level - 1]) {
            *upper -= lower;
        }
    }
    at_most
}
