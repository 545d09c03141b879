//! The cheapest set of repairs that cures every needed fault, work shared between them paid once.
//!
//! A minimum over covers: more needed faults can never make it cheaper, which "the big job cancels the small ones" could not promise.

use super::bits::Bits;

/// A repair as the cover sees it, at the prices of one draw. Faults and things are numbered by the caller, in so many words of 64.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate<const FAULTS: usize, const THINGS: usize> {
    /// Faults it cures.
    pub cures: Bits<FAULTS>,
    /// Shared things it uses: labour steps and tools.
    pub uses: Bits<THINGS>,
    /// What only this repair costs.
    pub own: f64,
}

/// The cheapest cover found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cover {
    /// Candidates chosen, by their place in the list.
    pub chosen: Vec<usize>,
    /// What they cost together, shared things once.
    pub total: f64,
    /// False if the search was cut short: the cover is then a good one, perhaps not the cheapest.
    pub exact: bool,
}

/// Nodes searched before the best so far is taken.
pub const SEARCH_LIMIT: usize = 20_000;

/// The cheapest cover of `needed` by `candidates`, where a shared thing `n` costs `shared(n)` once.
///
/// A needed fault that no candidate cures is left out: the caller has none such. Costs must be zero or more.
pub fn cheapest<const FAULTS: usize, const THINGS: usize>(
    needed: Bits<FAULTS>,
    candidates: &[Candidate<FAULTS, THINGS>],
    shared: &impl Fn(usize) -> f64,
    best: &mut Cover,
    scratch: &mut Scratch<FAULTS>,
) {
    scratch.start(needed, candidates);
    best.chosen.clear();
    best.total = f64::INFINITY;
    best.exact = true;
    let forced = scratch.force(candidates);
    let mut state = State {
        open: needed,
        used: Bits::EMPTY,
        cost: 0.0,
    };
    for at in forced.iter().copied() {
        state = state.with(&candidates[at], shared);
        scratch.path.push(at);
    }
    state.open = state.open.intersection(scratch.curable);
    let mut nodes = 0;
    search(state, candidates, shared, best, scratch, &mut nodes);
    scratch.forced = forced;
}

/// Room to work in, kept between draws so that nothing is allocated in the loop.
#[derive(Debug, Default)]
pub struct Scratch<const FAULTS: usize> {
    path: Vec<usize>,
    forced: Vec<usize>,
    curable: Bits<FAULTS>,
    /// For each fault number: candidates that cure it.
    by_fault: Vec<Vec<usize>>,
    /// For each fault number: the least that curing it can add to a cover's own costs.
    least: Vec<f64>,
}

impl<const FAULTS: usize> Scratch<FAULTS> {
    fn start<const THINGS: usize>(
        &mut self,
        needed: Bits<FAULTS>,
        candidates: &[Candidate<FAULTS, THINGS>],
    ) {
        self.path.clear();
        self.curable = Bits::EMPTY;
        for fault in needed.iter() {
            if let Some(list) = self.by_fault.get_mut(fault) {
                list.clear();
            }
        }
        for (at, candidate) in candidates.iter().enumerate() {
            for fault in candidate.cures.intersection(needed).iter() {
                if self.by_fault.len() <= fault {
                    self.by_fault.resize_with(fault + 1, Vec::new);
                }
                self.by_fault[fault].push(at);
                self.curable.insert(fault);
            }
        }
        // A candidate's own cost split evenly over the needed faults it cures: the shares of any cover add up to its own costs, so the
        // least shares of the open faults are a sure lower bound for what is still to come.
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let share = |at: &usize| {
            candidates[*at].own / candidates[*at].cures.intersection(needed).len().max(1) as f64
        };
        if self.least.len() < self.by_fault.len() {
            self.least.resize(self.by_fault.len(), f64::INFINITY);
        }
        for fault in self.curable.iter() {
            let shares = self.by_fault[fault].iter().map(share);
            self.least[fault] = shares.fold(f64::INFINITY, f64::min);
        }
    }

    /// Candidates that are the only cure of a needed fault.
    fn force<const THINGS: usize>(
        &mut self,
        candidates: &[Candidate<FAULTS, THINGS>],
    ) -> Vec<usize> {
        let mut forced = std::mem::take(&mut self.forced);
        forced.clear();
        let mut covered = Bits::<FAULTS>::EMPTY;
        for fault in self.curable.iter() {
            if let [only] = self.by_fault[fault].as_slice()
                && !forced.contains(only)
            {
                forced.push(*only);
                covered = covered.union(candidates[*only].cures);
            }
        }
        forced
    }
}

#[derive(Clone, Copy)]
struct State<const FAULTS: usize, const THINGS: usize> {
    open: Bits<FAULTS>,
    used: Bits<THINGS>,
    cost: f64,
}

impl<const FAULTS: usize, const THINGS: usize> State<FAULTS, THINGS> {
    #[inline]
    fn with(self, candidate: &Candidate<FAULTS, THINGS>, shared: &impl Fn(usize) -> f64) -> Self {
        let new = candidate.uses.without(self.used);
        let extra: f64 = new.iter().map(shared).sum();
        Self {
            open: self.open.without(candidate.cures),
            used: self.used.union(candidate.uses),
            cost: self.cost + candidate.own + extra,
        }
    }
}

/// Depth first, the open fault with the fewest cures next; a branch that already costs as much as the best is dropped.
fn search<const FAULTS: usize, const THINGS: usize>(
    state: State<FAULTS, THINGS>,
    candidates: &[Candidate<FAULTS, THINGS>],
    shared: &impl Fn(usize) -> f64,
    best: &mut Cover,
    scratch: &mut Scratch<FAULTS>,
    nodes: &mut usize,
) {
    let to_come: f64 = state
        .open
        .iter()
        .filter_map(|fault| scratch.least.get(fault))
        .sum();
    if state.cost + to_come >= best.total {
        return;
    }
    let fewest = state
        .open
        .iter()
        .min_by_key(|fault| scratch.by_fault.get(*fault).map_or(usize::MAX, Vec::len));
    let Some(fault) = fewest else {
        best.total = state.cost;
        best.chosen.clear();
        best.chosen.extend_from_slice(&scratch.path);
        return;
    };
    *nodes += 1;
    if *nodes > SEARCH_LIMIT {
        best.exact = false;
        if best.total.is_finite() {
            return;
        }
    }
    let count = scratch.by_fault.get(fault).map_or(0, Vec::len);
    for choice in 0..count {
        let at = scratch.by_fault[fault][choice];
        scratch.path.push(at);
        search(
            state.with(&candidates[at], shared),
            candidates,
            shared,
            best,
            scratch,
            nodes,
        );
        scratch.path.pop();
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::engine::bits::{FaultSet, ThingSet};

    type Candidate = super::Candidate<4, 8>;
    use proptest::prelude::*;

    fn bits<const W: usize>(numbers: &[usize]) -> Bits<W> {
        let mut set = Bits::EMPTY;
        for number in numbers {
            set.insert(*number);
        }
        set
    }

    fn by_force(needed: FaultSet, candidates: &[Candidate], shared: &[f64]) -> f64 {
        let mut best = f64::INFINITY;
        for set in 0u32..1 << candidates.len() {
            let mut cured = FaultSet::EMPTY;
            let mut used = ThingSet::EMPTY;
            let mut cost = 0.0;
            for (at, candidate) in candidates.iter().enumerate() {
                if set >> at & 1 == 1 {
                    cured = cured.union(candidate.cures);
                    used = used.union(candidate.uses);
                    cost += candidate.own;
                }
            }
            if needed.without(cured).is_empty() {
                cost += used.iter().map(|thing| shared[thing]).sum::<f64>();
                best = best.min(cost);
            }
        }
        best
    }

    fn run(needed: FaultSet, candidates: &[Candidate], shared: &[f64]) -> Cover {
        let mut best = Cover::default();
        cheapest(
            needed,
            candidates,
            &|thing| shared[thing],
            &mut best,
            &mut Scratch::default(),
        );
        best
    }

    #[test]
    fn one_big_job_beats_three_small_ones_when_it_is_cheaper() {
        let candidates = [
            Candidate {
                cures: bits(&[0]),
                uses: ThingSet::EMPTY,
                own: 300.0,
            },
            Candidate {
                cures: bits(&[1]),
                uses: ThingSet::EMPTY,
                own: 400.0,
            },
            Candidate {
                cures: bits(&[0, 1, 2]),
                uses: ThingSet::EMPTY,
                own: 650.0,
            },
            Candidate {
                cures: bits(&[2]),
                uses: ThingSet::EMPTY,
                own: 50.0,
            },
        ];
        assert_eq!(run(bits(&[0, 1, 2]), &candidates, &[]).chosen, [2]);
        assert_eq!(run(bits(&[0, 2]), &candidates, &[]).chosen, [0, 3]);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_cover_is_the_cheapest_of_all_sets(
            raw in prop::collection::vec((1u8..64, 0u8..64, 0.0f64..500.0), 6..10),
            shared in prop::collection::vec(0.0f64..200.0, 6),
        ) {
            let mut candidates: Vec<Candidate> = raw.iter().map(|(cures, uses, own)| Candidate {
                cures: bits(&(0..6).filter(|n| cures >> n & 1 == 1).collect::<Vec<_>>()),
                uses: bits(&(0..6).filter(|n| uses >> n & 1 == 1).collect::<Vec<_>>()),
                own: *own,
            }).collect();
            candidates.extend((0..6).map(|n| Candidate { cures: bits(&[n]), uses: ThingSet::EMPTY, own: 450.0 }));
            let candidates = &candidates[..candidates.len().min(14)];
            let curable = candidates.iter().fold(FaultSet::EMPTY, |all, c| all.union(c.cures));
            let cover = run(curable, candidates, &shared);
            prop_assert!((cover.total - by_force(curable, candidates, &shared)).abs() < 1e-9);
            prop_assert!(cover.exact);
        }

        #[test]
        fn a_larger_set_of_needed_faults_is_never_cheaper(
            raw in prop::collection::vec((1u8..64, 0u8..64, 0.0f64..500.0), 8),
            shared in prop::collection::vec(0.0f64..200.0, 6),
            more in 0usize..6,
        ) {
            let candidates: Vec<Candidate> = raw.iter().map(|(cures, uses, own)| Candidate {
                cures: bits(&(0..6).filter(|n| cures >> n & 1 == 1).collect::<Vec<_>>()),
                uses: bits(&(0..6).filter(|n| uses >> n & 1 == 1).collect::<Vec<_>>()),
                own: *own,
            }).collect();
            let curable = candidates.iter().fold(FaultSet::EMPTY, |all, c| all.union(c.cures));
            let fewer = curable.without(bits(&[more]));
            prop_assert!(run(fewer, &candidates, &shared).total <= run(curable, &candidates, &shared).total + 1e-9);
        }
    }
}
