//! The cheapest cover of the needed faults of each draw of a turn.
//!
//! Mostly each fault is cured by the repair that is cheapest for it in the mean, and no other repair can do better: such draws are settled
//! for the whole turn at once. The rest are searched, draw by draw.

use super::bits::{Bits, FaultSet, MOST_THINGS};
use super::cover::{Candidate, Cover, Scratch, cheapest};
use super::jobs::{Job, Jobs};
use super::luck::{LANES, lanes_of};
use super::prices::{Lanes, Prices};

/// A repair that cures a fault.
#[derive(Debug, Clone, Copy, Default)]
struct Cure {
    job: usize,
    /// It cures other faults of this car too.
    cures_more: bool,
}

/// A repair that may do better than the first choices.
#[derive(Debug, Clone, Copy)]
struct Rival {
    job: usize,
    /// Draws of the turn in which it may.
    lanes: u16,
}

/// Chooses repairs, turn by turn.
pub(super) struct Choice<'a> {
    jobs: &'a [Job],
    /// By fault: its cheapest repair in the mean.
    firsts: Vec<Cure>,
    /// By fault: the other repairs that cure it.
    others: Vec<Vec<Cure>>,
    /// By job: faults it cures, as a list.
    cures: Vec<Vec<usize>>,
    /// By job: turn (plus one) in which it was a first choice, and the draws in which it was.
    first_in: Vec<(u32, u16)>,
    /// By job: turn (plus one) in which it was compared with the first choices.
    compared_in: Vec<u32>,
    rivals: Vec<Rival>,
    /// Number of the draw searched, rising from one.
    stamp: u32,
    /// By job: draw in which it was taken up.
    taken_in: Vec<u32>,
    /// By thing: draw in which it was paid or numbered, and its number.
    numbers: Vec<(u32, u32)>,
    /// By fault: draw in which it was numbered, and its number.
    fault_numbers: Vec<(u32, u32)>,
    taken: Vec<usize>,
    /// Of each job taken up: the needed faults it cures, numbered.
    masks: Vec<u64>,
    chosen: Vec<usize>,
    small: Problem<1, 1>,
    large: Problem<4, 8>,
    /// Searches cut short so far.
    pub cut_short: u32,
}

/// A search among a few candidates, faults and things numbered from zero.
#[derive(Debug, Default)]
struct Problem<const FAULTS: usize, const THINGS: usize> {
    candidates: Vec<Candidate<FAULTS, THINGS>>,
    jobs: Vec<usize>,
    costs: Vec<f64>,
    cover: Cover,
    scratch: Scratch<FAULTS>,
}

impl<const FAULTS: usize, const THINGS: usize> Problem<FAULTS, THINGS> {
    fn clear(&mut self) {
        self.candidates.clear();
        self.jobs.clear();
        self.costs.clear();
    }

    /// Solves it; the chosen jobs are added to a list.
    fn solve(&mut self, open: Bits<FAULTS>, chosen: &mut Vec<usize>) {
        let costs = &self.costs;
        let cost_of = |thing: usize| costs.get(thing).copied().unwrap_or_default();
        cheapest(
            open,
            &self.candidates,
            &cost_of,
            &mut self.cover,
            &mut self.scratch,
        );
        chosen.extend(self.cover.chosen.iter().map(|at| self.jobs[*at]));
    }
}

/// A thing that is paid already has no number.
const PAID: u32 = u32::MAX;

impl<'a> Choice<'a> {
    pub(super) fn new(jobs: &'a Jobs) -> Self {
        let cure = |job: &usize| Cure {
            job: *job,
            cures_more: jobs.jobs[*job].cures.len() > 1,
        };
        Self {
            jobs: &jobs.jobs,
            firsts: (jobs.by_fault.iter())
                .map(|all| all.first().map_or_else(Cure::default, cure))
                .collect(),
            others: (jobs.by_fault.iter())
                .map(|all| all.iter().skip(1).map(cure).collect())
                .collect(),
            cures: (jobs.jobs.iter())
                .map(|job| job.cures.iter().collect())
                .collect(),
            first_in: vec![(0, 0); jobs.jobs.len()],
            compared_in: vec![0; jobs.jobs.len()],
            rivals: Vec::new(),
            stamp: 0,
            taken_in: vec![0; jobs.jobs.len()],
            numbers: vec![(0, 0); jobs.things.len()],
            fault_numbers: vec![(0, 0); jobs.by_fault.len()],
            taken: Vec::new(),
            masks: Vec::new(),
            chosen: Vec::new(),
            small: Problem::default(),
            large: Problem::default(),
            cut_short: 0,
        }
    }

    /// The repair that is a fault's cheapest in the mean.
    #[inline]
    pub(super) fn first(&self, fault: usize) -> usize {
        self.firsts[fault].job
    }

    /// Faults that a job cures.
    #[inline]
    pub(super) fn cures(&self, job: usize) -> &[usize] {
        &self.cures[job]
    }

    /// Draws of a turn in which the first choices may not be the cheapest cover. `needed` lists the faults that any draw needs cured,
    /// `wanted` has by fault the draws it is needed in.
    pub(super) fn contested(
        &mut self,
        turn: u32,
        needed: &[usize],
        wanted: &[u16],
        prices: &mut Prices<'_>,
    ) -> u16 {
        let mut contested = 0;
        for fault in needed {
            let (first, lanes) = (self.firsts[*fault], wanted[*fault]);
            let seen = &mut self.first_in[first.job];
            if seen.0 == turn + 1 {
                contested |= seen.1 & lanes;
                seen.1 |= lanes;
            } else {
                *seen = (turn + 1, lanes);
            }
            if first.cures_more {
                // It may make another fault's own first choice needless.
                for other in self.cures[first.job].iter().filter(|other| *other != fault) {
                    contested |= lanes & wanted[*other];
                }
            }
        }
        self.rivals.clear();
        for fault in needed {
            for at in 0..self.others[*fault].len() {
                let other = self.others[*fault][at];
                if self.compared_in[other.job] == turn + 1 {
                    continue;
                }
                self.compared_in[other.job] = turn + 1;
                let lanes = if other.cures_more {
                    self.beats_several(other.job, wanted, prices)
                } else {
                    let lanes = wanted[*fault];
                    let each = *prices.alone(self.firsts[*fault].job, lanes).0;
                    beats(other.job, lanes, &each, prices)
                };
                if lanes != 0 {
                    contested |= lanes;
                    self.rivals.push(Rival {
                        job: other.job,
                        lanes,
                    });
                }
            }
        }
        contested
    }

    /// Draws in which a job may cost less than the first choices of all the faults it cures.
    fn beats_several(&self, job: usize, wanted: &[u16], prices: &mut Prices<'_>) -> u16 {
        let (mut each, mut lanes) = ([0.0; LANES], 0);
        for fault in &self.cures[job] {
            let here = wanted[*fault];
            if here != 0 {
                let alone = prices.alone(self.firsts[*fault].job, here).0;
                for lane in lanes_of(here) {
                    each[lane] += alone[lane];
                }
                lanes |= here;
            }
        }
        beats(job, lanes, &each, prices)
    }

    /// The cheapest cover of one draw, as job numbers: among the first choices of its faults and the rivals of this turn.
    pub(super) fn search(
        &mut self,
        needed: FaultSet,
        lane: usize,
        prices: &mut Prices<'_>,
    ) -> &[usize] {
        self.stamp += 1;
        self.taken.clear();
        let mut count = 0;
        for fault in needed.iter() {
            self.fault_numbers[fault] = (self.stamp, count);
            count += 1;
            self.take_up(self.firsts[fault].job);
        }
        for at in 0..self.rivals.len() {
            if self.rivals[at].lanes >> lane & 1 == 1 {
                self.take_up(self.rivals[at].job);
            }
        }
        self.chosen.clear();
        if count > 64 || !self.number(lane, prices) {
            self.chosen.clear();
            self.widely(needed, lane, prices);
        }
        &self.chosen
    }

    fn take_up(&mut self, job: usize) {
        if self.taken_in[job] != self.stamp {
            self.taken_in[job] = self.stamp;
            self.taken.push(job);
        }
    }

    /// Needed faults that a job cures, numbered.
    fn cured_numbers(&self, job: usize) -> u64 {
        self.cures[job].iter().fold(0, |mask, fault| {
            let (stamp, number) = self.fault_numbers[*fault];
            if stamp == self.stamp {
                mask | 1 << number
            } else {
                mask
            }
        })
    }

    /// Jobs that alone cure a needed fault are in any cover: they are chosen first, what they use is paid. The rest is searched as a small
    /// problem, open faults and unpaid things numbered from zero. False if there are too many things for one word.
    fn number(&mut self, lane: usize, prices: &mut Prices<'_>) -> bool {
        self.masks.clear();
        let (mut once, mut twice) = (0_u64, 0_u64);
        for job in &self.taken {
            let mask = self.cured_numbers(*job);
            self.masks.push(mask);
            twice |= once & mask;
            once |= mask;
        }
        let (mut open, sole) = (once, once & !twice);
        for (job, mask) in self.taken.iter().zip(&self.masks) {
            if mask & sole != 0 {
                self.chosen.push(*job);
                open &= !mask;
                for thing in prices.uses(*job) {
                    self.numbers[*thing] = (self.stamp, PAID);
                }
            }
        }
        if open == 0 {
            return true;
        }
        self.small.clear();
        for (job, mask) in self.taken.iter().zip(&self.masks) {
            if mask & open == 0 {
                continue;
            }
            let mut candidate = Candidate {
                cures: Bits::of_word(mask & open),
                uses: Bits::EMPTY,
                own: prices.bill(*job, 1 << lane)[lane],
            };
            for place in 0..prices.uses(*job).len() {
                let thing = prices.uses(*job)[place];
                let known = &mut self.numbers[thing];
                if known.0 != self.stamp {
                    let next = self.small.costs.len();
                    *known = (self.stamp, u32::try_from(next).unwrap_or(PAID));
                    let cost = prices.thing(thing, 1 << lane).cost[lane];
                    self.small.costs.push(cost);
                }
                if known.1 != PAID && !candidate.uses.insert(known.1 as usize) {
                    return false;
                }
            }
            self.small.candidates.push(candidate);
            self.small.jobs.push(*job);
        }
        self.small.solve(Bits::of_word(open), &mut self.chosen);
        self.cut_short += u32::from(!self.small.cover.exact);
        true
    }

    /// The same without numbering, for a draw with very many jobs.
    fn widely(&mut self, needed: FaultSet, lane: usize, prices: &mut Prices<'_>) {
        self.large.clear();
        self.large.costs.resize(MOST_THINGS, 0.0);
        for job in &self.taken {
            let row = &self.jobs[*job];
            for thing in row.uses.iter() {
                self.large.costs[thing] = prices.thing(thing, 1 << lane).cost[lane];
            }
            self.large.candidates.push(Candidate {
                cures: row.cures.intersection(needed),
                uses: row.uses,
                own: prices.bill(*job, 1 << lane)[lane],
            });
            self.large.jobs.push(*job);
        }
        self.large.solve(needed, &mut self.chosen);
        self.cut_short += u32::from(!self.large.cover.exact);
    }
}

/// Draws, of some, in which a job's bill and what only it uses cost less than a sum.
///
/// A repair that costs more than curing each of its faults by itself can be in no cheapest cover.
fn beats(job: usize, lanes: u16, each: &Lanes, prices: &mut Prices<'_>) -> u16 {
    let cheap = lanes_of(lanes).fold(0, |mask, lane| {
        mask | u16::from(prices.least_bill(job, lane) < each[lane]) << lane
    });
    if cheap == 0 {
        return 0;
    }
    let sure = prices.surely(job, cheap);
    lanes_of(cheap).fold(0, |mask, lane| {
        mask | u16::from(sure[lane] < each[lane]) << lane
    })
}
