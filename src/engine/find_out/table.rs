//! The draws in the order of what they leave, and the chance of every answer of a check in each of them, a block at a time.

use super::says::{OfFaults, Says, of_component};
use crate::engine::diagnosis::LEAK;
use crate::engine::luck::LANES;
use crate::engine::weighing::Weighing;
use crate::trade::SignRow;
use crate::trade::derive::{FaultLink, TestLinks};

/// Draws worked through together: a few columns of them stay in the fastest memory.
pub(super) const BLOCK: usize = 512;

/// The draws, those that leave least first.
pub(super) struct DrawTable {
    /// Number of each draw.
    pub order: Vec<usize>,
    /// What each draw leaves before the price, rising.
    pub values: Vec<f64>,
    /// By fault of the diagnosis: places of the draws that have it, rising.
    by_fault: Vec<Vec<u32>>,
    /// By row of the faults table: place in the diagnosis.
    places: Vec<Option<usize>>,
    /// Care and openness, by draw.
    components: Vec<(usize, usize)>,
    /// Cause of each sign above benign, by sign, then by draw.
    causes: Vec<Vec<u16>>,
}

/// Chances of the answers in some draws: a column a level.
pub(super) struct Block<'a> {
    /// First draw.
    pub from: usize,
    /// How many draws.
    pub len: usize,
    /// Chance of each level; only the first `len` count.
    pub columns: &'a mut [[f64; BLOCK]],
}

impl DrawTable {
    /// `values`: what each draw leaves before the price.
    pub(super) fn of(weighing: &Weighing<'_>, values: &[f64]) -> Self {
        let columns = &weighing.columns;
        let mut order: Vec<usize> = (0..values.len()).collect();
        order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
        let mut by_fault = vec![Vec::new(); weighing.diagnosis.faults.len()];
        for (place, draw) in (0_u32..).zip(&order) {
            for fault in columns.present[*draw].iter() {
                by_fault[fault].push(place);
            }
        }
        let mut places = vec![None; weighing.knowledge.tables().faults.len()];
        for (at, fault) in weighing.diagnosis.faults.iter().enumerate() {
            places[fault.row] = Some(at);
        }
        let component = |draw: &usize| {
            let turn = columns.components.get(draw / LANES);
            turn.copied().unwrap_or((0, 0))
        };
        let causes = columns.causes.iter();
        Self {
            values: order.iter().map(|draw| values[*draw]).collect(),
            by_fault,
            places,
            components: order.iter().map(component).collect(),
            causes: causes
                .map(|causes| order.iter().map(|draw| causes[*draw]).collect())
                .collect(),
            order,
        }
    }

    /// Place in the diagnosis of a row of the faults table.
    pub(super) fn place(&self, row: usize) -> Option<usize> {
        self.places.get(row).copied().flatten()
    }

    /// Goes through the draws block by block; false where the check says nothing that any draw has.
    pub(super) fn blocks(
        &self,
        weighing: &Weighing<'_>,
        says: &Says<'_>,
        levels: usize,
        mut each: impl FnMut(Block<'_>),
    ) -> bool {
        let mut columns = vec![[0.0; BLOCK]; levels];
        let links = match says {
            Says::Faults(of) => self.linked(weighing, of, levels),
            _ => Vec::new(),
        };
        if matches!(says, Says::Faults(_)) && links.iter().all(|link| link.draws.is_empty()) {
            return false;
        }
        let mut next = vec![0; links.len()];
        for from in (0..self.values.len()).step_by(BLOCK) {
            let len = BLOCK.min(self.values.len() - from);
            match says {
                Says::Again(level) => {
                    for (at, column) in columns.iter_mut().enumerate() {
                        column.fill(if at == *level { 1.0 } else { 0.0 });
                    }
                }
                Says::Cause(test, target) => {
                    self.of_cause(weighing, test, *target, from, len, &mut columns);
                }
                Says::Faults(of) => {
                    of_faults(of, &links, &mut next, from, &mut columns);
                    if let Some(sign) = of.also {
                        self.times_component(sign, from, len, &mut columns);
                    }
                }
                Says::Component(sign) => {
                    columns.iter_mut().for_each(|column| column.fill(1.0));
                    self.times_component(sign, from, len, &mut columns);
                }
            }
            each(Block {
                from,
                len,
                columns: &mut columns,
            });
        }
        true
    }

    /// Chance of each answer of a check (by its row) in every draw, in this table's order; `None` where it says nothing of any.
    pub(super) fn columns(
        &self,
        weighing: &Weighing<'_>,
        says: &Says<'_>,
        row: usize,
    ) -> Option<Vec<Vec<f64>>> {
        let levels = weighing.knowledge.tables().signs.get(row)?.levels.len();
        let mut columns = vec![Vec::with_capacity(self.values.len()); levels];
        let told = self.blocks(weighing, says, levels, |block| {
            for (all, here) in columns.iter_mut().zip(block.columns.iter()) {
                all.extend_from_slice(&here[..block.len]);
            }
        });
        told.then_some(columns)
    }

    fn of_cause(
        &self,
        weighing: &Weighing<'_>,
        test: &TestLinks,
        target: usize,
        from: usize,
        len: usize,
        columns: &mut [[f64; BLOCK]],
    ) {
        let faults = &weighing.diagnosis.faults;
        let causes = &self.causes[target][from..from + len];
        for (level, column) in columns.iter_mut().enumerate() {
            for (chance, cause) in column.iter_mut().zip(causes) {
                let row = (*cause != LEAK).then(|| faults[usize::from(*cause)].row);
                *chance = test.chance(row, level);
            }
        }
    }

    /// The links of a check with the draws that have their fault, and by level the chance that it stays at most there.
    fn linked(&self, weighing: &Weighing<'_>, of: &OfFaults<'_>, levels: usize) -> Vec<Link<'_>> {
        let make = |link: &FaultLink| {
            let fault = self.place(link.fault)?;
            let settings = &weighing.knowledge.tables().settings.diagnosis;
            let before = of.before.iter().flat_map(|(links, heard)| {
                let same = links.faults.iter().filter(|one| one.fault == link.fault);
                same.map(|one| heard.quiet(one.levels[0], settings))
            });
            let quiet = before.fold(1.0, f64::min);
            let least = anew(link.levels[0], quiet);
            let shows = weighing.diagnosis.shows_anew(fault, least);
            let factors = (0..levels.saturating_sub(1)).map(|level| {
                // The levels above benign keep their proportion.
                let worse = 1.0 - anew(up_to(&link.levels, level), quiet);
                1.0 - shows * worse / (1.0 - least).max(f64::MIN_POSITIVE)
            });
            Some(Link {
                draws: &self.by_fault[fault],
                factors: factors.collect(),
            })
        };
        of.links.faults.iter().filter_map(make).collect()
    }

    /// Times what the sign tells of care and openness; the answers of a draw come to one again.
    fn times_component(
        &self,
        sign: &SignRow,
        from: usize,
        len: usize,
        columns: &mut [[f64; BLOCK]],
    ) {
        for at in 0..len {
            let component = self.components[from + at];
            let mut all = 0.0;
            for (level, column) in columns.iter_mut().enumerate() {
                column[at] *= of_component(sign, component, level);
                all += column[at];
            }
            for column in columns.iter_mut().filter(|_| all > 0.0) {
                column[at] /= all;
            }
        }
    }
}

/// A fault that a check can show.
struct Link<'a> {
    draws: &'a [u32],
    /// Chance that it leaves the answer at most at each level but the last.
    factors: Vec<f64>,
}

fn up_to(shares: &[f64], level: usize) -> f64 {
    shares.iter().take(level + 1).sum()
}

/// Chance of an answer at most so bad after one of the same act was good with chance `quiet`: only what that could not show is left to show.
fn anew(at_most: f64, quiet: f64) -> f64 {
    if quiet > 0.0 {
        at_most.min(quiet) / quiet
    } else {
        1.0
    }
}

/// Noisy-MAX: the answer is at most a level where every present fault and the leak leave it so. `next` is how far each link has come.
fn of_faults(
    of: &OfFaults<'_>,
    links: &[Link<'_>],
    next: &mut [usize],
    from: usize,
    columns: &mut [[f64; BLOCK]],
) {
    let last = columns.len() - 1;
    let before = of.before.iter().map(|(links, _)| links.leak[0]);
    let quiet = before.fold(1.0, f64::min);
    for (level, column) in columns.iter_mut().enumerate() {
        let leak = if level < last {
            anew(up_to(&of.links.leak, level), quiet)
        } else {
            1.0
        };
        column.fill(leak);
    }
    for (link, next) in links.iter().zip(next) {
        let here = &link.draws[*next..];
        let count = here.partition_point(|draw| (*draw as usize) < from + BLOCK);
        let here = &here[..count];
        *next += count;
        for (column, factor) in columns.iter_mut().zip(&link.factors) {
            for draw in here {
                column[*draw as usize - from] *= factor;
            }
        }
    }
    // From chances of at most each level to chances of each.
    for level in (1..columns.len()).rev() {
        let (lower, upper) = columns.split_at_mut(level);
        for (upper, lower) in upper[0].iter_mut().zip(&lower[level - 1]) {
            *upper -= lower;
        }
    }
}
