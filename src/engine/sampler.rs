//! Draws from the diagnosis: which faults are present together, and what causes each sign.
//!
//! Luck is addressed by fault and sign, so a new sign moves only what depends on it: a fault tied to no sign above benign takes the
//! same luck whatever is found elsewhere. The sixteen draws of a turn are of one component; components are spread evenly over the turns.

use super::components::Model;
use super::luck::{LANES, Luck, StableId, Threshold};
use super::walk::{Addresses, Ground, Into, Walk};

/// By fault, in the order of the diagnosis: bit i says whether it is present in the i-th draw of the turn.
pub type Present = Vec<u16>;

/// By sign above benign, in the order of the diagnosis: the cause (place of a fault, or [`LEAK`]) in each draw of a turn.
pub type Causes = Vec<[u16; LANES]>;

/// The cause is no fault of the tables.
pub const LEAK: u16 = u16::MAX;

/// Most states, over all components, for which a cluster's walks are kept; a wider cluster goes through one component after another.
const MOST_STATES: usize = 2 << 20;

/// Turns that a wide cluster draws at once.
const BLOCK: u32 = 512;

/// A cluster with what its draws go by.
#[derive(Debug, Clone)]
struct Ready {
    addresses: Addresses,
    /// By run and pattern of held faults, made when first met; empty in a wide cluster.
    walks: Vec<Option<Walk>>,
    /// Draws of a wide cluster.
    drawn: Option<Drawn>,
}

#[derive(Debug, Clone)]
struct Drawn {
    luck: Luck,
    block: u32,
    /// By turn of the block.
    turns: Vec<(Present, Causes)>,
}

/// A fault of no cluster.
#[derive(Debug, Clone)]
struct Alone {
    fault: usize,
    id: StableId,
    /// By component.
    chances: Vec<Threshold>,
}

/// Draws from one diagnosis.
#[derive(Debug, Clone)]
pub struct Sampler<'a> {
    model: &'a Model,
    faults: &'a [String],
    signs: &'a [String],
    id: StableId,
    /// Running sum of the components' weights.
    upto: Vec<f64>,
    alone: Vec<Alone>,
    clusters: Vec<Ready>,
    /// Component of the turn last drawn.
    component: usize,
}

impl<'a> Sampler<'a> {
    /// `faults` are ids by index in the network, `signs` by index of node.
    pub(crate) fn new(model: &'a Model, faults: &'a [String], signs: &'a [String]) -> Self {
        let mut sum = 0.0;
        let mut upto: Vec<f64> = (model.components.iter())
            .map(|component| {
                sum += component.weight;
                sum
            })
            .collect();
        // Rounding must not leave luck over the last sum.
        if let Some(last) = model.components.iter().rposition(|one| one.weight > 0.0) {
            upto[last..].fill(f64::INFINITY);
        }
        let alone = model.alone.iter().map(|fault| {
            let chances = model.components.iter().map(|component| {
                let row = &model.network.faults[*fault];
                let (absent, present) = row.weights(component.care, component.openness);
                Threshold::of(if present > 0.0 {
                    present / (absent + present)
                } else {
                    0.0
                })
            });
            Alone {
                fault: *fault,
                id: StableId::of(&["fault", &faults[*fault], "present"]),
                chances: chances.collect(),
            }
        });
        let clusters = (0..model.clusters.len()).map(|at| ready(model, at, faults, signs));
        Self {
            model,
            faults,
            signs,
            id: StableId::of(&["component"]),
            upto,
            alone: alone.collect(),
            clusters: clusters.collect(),
            component: 0,
        }
    }

    /// Levels of care and of openness (places in the settings) of the turn last drawn.
    #[must_use]
    pub fn component(&self) -> (usize, usize) {
        let component = self.model.components.get(self.component);
        component.map_or((0, 0), |one| (one.care, one.openness))
    }

    /// Fills presence and causes of the draws of a turn; both are resized to fit.
    pub fn draw(&mut self, luck: Luck, turn: u32, present: &mut Present, causes: &mut Causes) {
        causes.clear();
        causes.resize(self.signs.len(), [LEAK; LANES]);
        self.fill(luck, turn, present, Some(causes));
    }

    /// The same without the causes.
    pub fn draw_present(&mut self, luck: Luck, turn: u32, present: &mut Present) {
        self.fill(luck, turn, present, None);
    }

    fn fill(
        &mut self,
        luck: Luck,
        turn: u32,
        present: &mut Present,
        mut causes: Option<&mut Causes>,
    ) {
        present.clear();
        present.resize(self.faults.len(), 0);
        self.component = self.component_of(luck, turn);
        for one in &self.alone {
            present[one.fault] = luck.under(one.id, turn, one.chances[self.component]);
        }
        let run = self.model.components[self.component].run;
        for at in 0..self.clusters.len() {
            if self.clusters[at].walks.is_empty() {
                self.draw_wide(at, luck, turn, present, causes.as_deref_mut());
                continue;
            }
            let mut walks = std::mem::take(&mut self.clusters[at].walks);
            let ground = self.ground(at, luck, turn);
            let held = self.model.clusters[at].plan.held.len();
            let mut into = Into {
                present,
                causes: causes.as_deref_mut(),
            };
            for (pattern, lanes) in by_pattern(&ground.patterns(run)) {
                if let Some(slot) = walks.get_mut((run << held) + pattern) {
                    let walk = slot.get_or_insert_with(|| self.walk(at, run, pattern));
                    ground.draw(walk, lanes, &mut into);
                }
            }
            self.clusters[at].walks = walks;
        }
    }

    fn component_of(&self, luck: Luck, turn: u32) -> usize {
        let place = luck.even(self.id, turn);
        let at = self.upto.partition_point(|upto| *upto <= place);
        at.min(self.upto.len().saturating_sub(1))
    }

    /// The walk of a run, with a pattern of held faults.
    fn walk(&self, cluster: usize, run: usize, pattern: usize) -> Walk {
        let plan = &self.model.clusters[cluster].plan;
        let mut components = self.model.components.iter();
        let component = components.find(|one| one.run == run);
        Walk::new(&self.model.network, plan, component, pattern)
    }

    fn ground(&self, cluster: usize, luck: Luck, turn: u32) -> Ground<'_> {
        Ground {
            network: &self.model.network,
            cluster: &self.model.clusters[cluster],
            addresses: &self.clusters[cluster].addresses,
            luck,
            turn,
        }
    }

    /// A wide cluster: a block of turns is drawn at once, one component's walk after another, and kept.
    fn draw_wide(
        &mut self,
        at: usize,
        luck: Luck,
        turn: u32,
        present: &mut Present,
        causes: Option<&mut Causes>,
    ) {
        let block = turn / BLOCK;
        let fresh = (self.clusters[at].drawn.as_ref())
            .is_some_and(|drawn| drawn.block == block && drawn.luck == luck);
        if !fresh {
            let turns = self.wide_block(at, luck, block);
            self.clusters[at].drawn = Some(Drawn { luck, block, turns });
        }
        let turns = self.clusters[at].drawn.as_ref().map(|drawn| &drawn.turns);
        let Some((there, because)) = turns.and_then(|turns| turns.get((turn % BLOCK) as usize))
        else {
            return;
        };
        let plan = &self.model.clusters[at].plan;
        let faults = plan.steps.iter().map(|step| step.fault);
        for (from, fault) in there.iter().zip(faults.chain(plan.held.iter().copied())) {
            present[fault] = *from;
        }
        if let Some(causes) = causes {
            for (from, sign) in because.iter().zip(&plan.signs) {
                causes[*sign] = *from;
            }
        }
    }

    fn wide_block(&self, at: usize, luck: Luck, block: u32) -> Vec<(Present, Causes)> {
        let cluster = &self.model.clusters[at];
        let plan = &cluster.plan;
        let first = block * BLOCK;
        let room = (
            vec![0; self.faults.len()],
            vec![[LEAK; LANES]; self.signs.len()],
        );
        let kinds_of: Vec<(usize, Vec<(usize, u16)>)> = (first..first + BLOCK)
            .map(|turn| {
                let run = self.model.components[self.component_of(luck, turn)].run;
                let patterns = self.ground(at, luck, turn).patterns(run);
                (run, by_pattern(&patterns).collect())
            })
            .collect();
        let mut kinds: Vec<(usize, usize)> = kinds_of
            .iter()
            .flat_map(|(run, masks)| masks.iter().map(|(pattern, _)| (*run, *pattern)))
            .collect();
        kinds.sort_unstable();
        kinds.dedup();
        let mut turns = vec![room; BLOCK as usize];
        for (run, pattern) in kinds {
            let mut walk = self.walk(at, run, pattern);
            for ((turn, kinds), (present, causes)) in (first..).zip(&kinds_of).zip(&mut turns) {
                let wanted = |one: &&(usize, u16)| kinds.0 == run && one.0 == pattern;
                if let Some((_, lanes)) = kinds.1.iter().find(wanted) {
                    let mut into = Into {
                        present,
                        causes: Some(causes),
                    };
                    let ground = self.ground(at, luck, turn);
                    ground.draw(&mut walk, *lanes, &mut into);
                }
            }
        }
        let faults = || {
            let steps = plan.steps.iter().map(|step| step.fault);
            steps.chain(plan.held.iter().copied())
        };
        turns
            .into_iter()
            .map(|(present, causes)| {
                let present = faults().map(|fault| present[fault]).collect();
                let causes = plan.signs.iter().map(|sign| causes[*sign]).collect();
                (present, causes)
            })
            .collect()
    }
}

/// Each pattern that occurs, rising, with the lanes it occurs in.
fn by_pattern(patterns: &[usize; LANES]) -> impl Iterator<Item = (usize, u16)> {
    let greatest = patterns.iter().copied().max().unwrap_or(0);
    (0..=greatest).filter_map(|pattern| {
        let lanes = patterns.iter().enumerate().fold(0, |mask, (lane, one)| {
            mask | u16::from(*one == pattern) << lane
        });
        (lanes != 0).then_some((pattern, lanes))
    })
}

fn ready(model: &Model, at: usize, faults: &[String], signs: &[String]) -> Ready {
    let cluster = &model.clusters[at];
    let plan = &cluster.plan;
    let patterns = 1_usize << plan.held.len();
    let kinds = patterns * cluster.runs.len();
    let walks = if plan.states * kinds <= MOST_STATES {
        vec![None; kinds]
    } else {
        Vec::new()
    };
    Ready {
        addresses: Addresses::of(plan, faults, signs),
        walks,
        drawn: None,
    }
}
