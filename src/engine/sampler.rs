//! Draws from the diagnosis: which faults are present together, and what causes each sign.
//!
//! Luck is addressed by fault and sign, so a new sign moves only what depends on it: a fault tied to no sign above benign takes the
//! same luck whatever is found elsewhere.

use super::components::Model;
use super::luck::{Luck, StableId};
use super::walk::{Addresses, Ground, Walk};

/// By fault, in the order of the diagnosis: present or not in each of the four draws of a turn.
pub type Present = Vec<[bool; 4]>;

/// By sign above benign, in the order of the diagnosis: the cause (place of a fault, or [`LEAK`]) in each of the four draws of a turn.
pub type Causes = Vec<[u16; 4]>;

/// The cause is no fault of the tables.
pub const LEAK: u16 = u16::MAX;

/// Most states, over all components, for which a cluster's walks are kept; a wider cluster goes through one component after another.
const MOST_STATES: usize = 2 << 20;

/// Turns that a wide cluster draws at once.
const BLOCK: u32 = 2048;

/// A cluster with what its draws go by.
#[derive(Debug, Clone)]
struct Ready {
    addresses: Addresses,
    /// By run and pattern of held faults; empty in a wide cluster.
    walks: Vec<Walk>,
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

/// Draws from one diagnosis.
#[derive(Debug, Clone)]
pub struct Sampler<'a> {
    model: &'a Model,
    faults: &'a [String],
    signs: &'a [String],
    component: StableId,
    /// Running sum of the components' weights.
    upto: Vec<f64>,
    /// Faults of no cluster: place, address, chance by component.
    alone: Vec<(usize, StableId, Vec<f64>)>,
    clusters: Vec<Ready>,
    lanes: [usize; 4],
    /// Room to work in.
    sums: Vec<f64>,
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
                if present > 0.0 {
                    present / (absent + present)
                } else {
                    0.0
                }
            });
            let id = StableId::of(&["fault", &faults[*fault], "present"]);
            (*fault, id, chances.collect())
        });
        let clusters = (0..model.clusters.len()).map(|at| ready(model, at, faults, signs));
        Self {
            model,
            faults,
            signs,
            component: StableId::of(&["component"]),
            upto,
            alone: alone.collect(),
            clusters: clusters.collect(),
            lanes: [0; 4],
            sums: Vec::new(),
        }
    }

    /// Levels of care and of openness (places in the settings) of the draws last drawn.
    #[must_use]
    pub fn components(&self) -> [(usize, usize); 4] {
        self.lanes.map(|lane| {
            let component = self.model.components.get(lane);
            component.map_or((0, 0), |one| (one.care, one.openness))
        })
    }

    /// Fills presence and causes of the draws `4 * turn .. 4 * turn + 4`; both are resized to fit.
    pub fn draw(&mut self, luck: Luck, turn: u32, present: &mut Present, causes: &mut Causes) {
        present.clear();
        present.resize(self.faults.len(), [false; 4]);
        causes.clear();
        causes.resize(self.signs.len(), [LEAK; 4]);
        self.lanes = self.components_of(luck, turn);
        for (fault, id, chances) in &self.alone {
            let luck = luck.turn(*id, turn);
            for ((slot, luck), lane) in present[*fault].iter_mut().zip(luck).zip(self.lanes) {
                *slot = luck < chances[lane];
            }
        }
        for at in 0..self.clusters.len() {
            if self.clusters[at].walks.is_empty() {
                self.draw_wide(at, luck, turn, present, causes);
                continue;
            }
            let mut sums = std::mem::take(&mut self.sums);
            let ground = self.ground(at, luck, turn);
            let runs = self.lanes.map(|lane| self.model.components[lane].run);
            let patterns = ground.patterns(runs);
            let held = self.model.clusters[at].plan.held.len();
            let walks = &self.clusters[at].walks;
            let lanes = [0, 1, 2, 3].map(|lane| walks.get((runs[lane] << held) + patterns[lane]));
            ground.draw(lanes, present, causes, &mut sums);
            self.sums = sums;
        }
    }

    fn components_of(&self, luck: Luck, turn: u32) -> [usize; 4] {
        luck.turn(self.component, turn).map(|luck| {
            let at = self.upto.partition_point(|upto| *upto <= luck);
            at.min(self.upto.len().saturating_sub(1))
        })
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
        causes: &mut Causes,
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
        for (from, sign) in because.iter().zip(&plan.signs) {
            causes[*sign] = *from;
        }
    }

    fn wide_block(&self, at: usize, luck: Luck, block: u32) -> Vec<(Present, Causes)> {
        let cluster = &self.model.clusters[at];
        let plan = &cluster.plan;
        let first = block * BLOCK;
        let room = (
            vec![[false; 4]; self.faults.len()],
            vec![[LEAK; 4]; self.signs.len()],
        );
        let lanes: Vec<[(usize, usize); 4]> = (first..first + BLOCK)
            .map(|turn| {
                let runs = self
                    .components_of(luck, turn)
                    .map(|lane| self.model.components[lane].run);
                let patterns = self.ground(at, luck, turn).patterns(runs);
                [0, 1, 2, 3].map(|lane| (runs[lane], patterns[lane]))
            })
            .collect();
        let mut kinds: Vec<(usize, usize)> = lanes.iter().flatten().copied().collect();
        kinds.sort_unstable();
        kinds.dedup();
        let mut turns = vec![room; BLOCK as usize];
        let mut sums = Vec::new();
        for kind in kinds {
            let component = (self.model.components.iter()).find(|one| one.run == kind.0);
            let Some(component) = component else { continue };
            let walk = Walk::new(&self.model.network, plan, component, kind.1);
            for ((turn, lanes), (present, causes)) in (first..).zip(&lanes).zip(&mut turns) {
                if lanes.contains(&kind) {
                    let walks = lanes.map(|lane| (lane == kind).then_some(&walk));
                    let ground = self.ground(at, luck, turn);
                    ground.draw(walks, present, causes, &mut sums);
                }
            }
        }
        let faults = || {
            plan.steps
                .iter()
                .map(|step| step.fault)
                .chain(plan.held.iter().copied())
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

fn ready(model: &Model, at: usize, faults: &[String], signs: &[String]) -> Ready {
    let cluster = &model.clusters[at];
    let plan = &cluster.plan;
    let patterns = 1_usize << plan.held.len();
    let mut walks = Vec::new();
    if plan.states * patterns * cluster.runs.len() <= MOST_STATES {
        for run in 0..cluster.runs.len() {
            let component = model.components.iter().find(|one| one.run == run);
            let Some(component) = component else { continue };
            let made =
                (0..patterns).map(|pattern| Walk::new(&model.network, plan, component, pattern));
            walks.extend(made);
        }
    }
    Ready {
        addresses: Addresses::of(plan, faults, signs),
        walks,
        drawn: None,
    }
}
