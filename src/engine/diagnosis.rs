//! The chance of every fault of a car, exactly, with the draws that go with it.

use super::components::{Model, work_through};
use super::evidence::{Evidence, gather};
use super::figures::{Reason, Standing};
use super::network::{Network, Node, build};
use super::sampler::Sampler;
use crate::car::{Buyer, CarRecord, Known, Pin};
use crate::trade::{DerivedLinks, Tables};
use jiff::civil::Date;

pub use super::reasons::{reasons, reasons_of};
pub use super::sampler::{Causes, LEAK, Present};

/// A check that looks for the fault itself makes it "seen" from this chance on; under it the fault is only likely.
const SEEN_FROM: f64 = 0.5;

/// What is known of one fault of this car.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultChance {
    /// Fault id.
    pub id: String,
    /// Row in the faults table.
    pub row: usize,
    /// Chance that it is present, 0 to 1.
    pub chance: f64,
    /// The same for this car with nothing observed.
    pub ordinary: f64,
    /// How it is known.
    pub standing: Standing,
    /// Signs above benign that speak for it: those it can cause, then tests that point to it.
    pub because_of: Vec<String>,
    /// Reasons, strongest first. Empty until asked for with [`reasons`] or [`reasons_of`], which diagnose once for each observation.
    pub reasons: Vec<Reason>,
    /// Tied to a sign above benign that it can cause, or held certain or ruled out.
    pub tied: bool,
}

/// A sign above benign that counts, as the draws name their causes.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenSign {
    /// Sign id.
    pub id: String,
    /// Row in the signs table.
    pub row: usize,
    /// Level, above benign.
    pub level: usize,
    /// Tests of its cause that were answered: row in the signs table and level.
    pub tests: Vec<(usize, usize)>,
}

/// The diagnosis of one car.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// Faults that this car can have, in the order of the table.
    pub faults: Vec<FaultChance>,
    /// Signs above benign that count, in the order of the table.
    pub signs: Vec<SeenSign>,
    /// Weights of the levels of care, in the order of the settings.
    pub care: [f64; 5],
    /// Weights of the levels of openness, in the order of the settings.
    pub openness: [f64; 3],
    /// Natural log of the chance of everything observed.
    pub log_evidence: f64,
    /// Greatest number of signs open at once.
    pub width: usize,
    /// Ids on file that these tables do not know: kept, not counted.
    pub not_in_tables: Vec<String>,
    /// What was assumed, left out or done in another way, in words.
    pub notes: Vec<String>,
    model: Model,
    fault_ids: Vec<String>,
    sign_ids: Vec<String>,
}

/// The chance of every fault of a car, given all that is on file.
///
/// Noisy-MAX over two layers (Henrion 1989; Díez 1993), mixed over care and openness; exact, with no draws. `today` gives the age.
#[must_use]
pub fn diagnose(car: &CarRecord, tables: &Tables, links: &DerivedLinks, today: Date) -> Diagnosis {
    diagnose_for(car, None, tables, links, today)
}

/// The same with readings held against the limits that a buyer goes by.
#[must_use]
pub fn diagnose_for(
    car: &CarRecord,
    buyer: Option<&Buyer>,
    tables: &Tables,
    links: &DerivedLinks,
    today: Date,
) -> Diagnosis {
    let evidence = gather(car, tables, buyer, today);
    diagnose_from(car, &evidence, tables, links, today, None).0
}

/// The same from evidence sorted out before; for the fault (by id) asked for also the chance that it is a cause of each sign, by sign id.
pub(crate) fn diagnose_from(
    car: &CarRecord,
    evidence: &Evidence,
    tables: &Tables,
    links: &DerivedLinks,
    today: Date,
    asked: Option<&str>,
) -> (Diagnosis, Vec<(String, f64)>) {
    let network = build(car, evidence, tables, links, today);
    let asked = asked.and_then(|id| {
        let mut faults = network.faults.iter();
        faults.position(|fault| tables.faults.get(fault.row).is_some_and(|row| row.id == id))
    });
    let model = work_through(network, tables, asked);
    let chances = model.chances();
    let sign_id = |row: usize| tables.signs.get(row).map_or("", |row| &row.id).to_owned();
    let signs: Vec<SeenSign> = model
        .network
        .nodes
        .iter()
        .map(|node| SeenSign {
            id: sign_id(node.sign),
            row: node.sign,
            level: node.level,
            tests: node.tests.clone(),
        })
        .collect();
    let faults: Vec<FaultChance> = chances
        .into_iter()
        .enumerate()
        .map(|(at, chance)| one_fault(at, chance, &model.network, tables, links))
        .collect();
    let (mut care, mut openness) = ([0.0; 5], [0.0; 3]);
    for component in &model.components {
        care[component.care] += component.weight;
        openness[component.openness] += component.weight;
    }
    let reach = model
        .reach()
        .into_iter()
        .filter_map(|(node, chance)| Some((signs.get(node)?.id.clone(), chance)))
        .collect();
    let diagnosis = Diagnosis {
        care,
        openness,
        log_evidence: model.log_evidence,
        width: model.width,
        not_in_tables: model.network.not_in_tables.iter().cloned().collect(),
        notes: model.network.notes.clone(),
        fault_ids: faults.iter().map(|fault| fault.id.clone()).collect(),
        sign_ids: signs.iter().map(|sign| sign.id.clone()).collect(),
        faults,
        signs,
        model,
    };
    (diagnosis, reach)
}

fn one_fault(
    at: usize,
    chance: f64,
    network: &Network,
    tables: &Tables,
    links: &DerivedLinks,
) -> FaultChance {
    let fault = &network.faults[at];
    let causing: Vec<&Node> = network
        .nodes
        .iter()
        .filter(|node| {
            node.links
                .binary_search_by_key(&at, |link| link.fault)
                .is_ok()
        })
        .collect();
    let sign_id = |row: usize| tables.signs.get(row).map(|row| row.id.clone());
    let pointing = causing
        .iter()
        .flat_map(|node| &node.tests)
        .filter(|(test, outcome)| {
            let test = links.signs.get(*test).and_then(|sign| sign.test.as_ref());
            test.is_some_and(|test| {
                test.chance(Some(fault.row), *outcome) > test.chance(None, *outcome)
            })
        });
    let mut because_of: Vec<String> = causing
        .iter()
        .filter_map(|node| sign_id(node.sign))
        .collect();
    because_of.extend(pointing.filter_map(|(test, _)| sign_id(*test)));
    let seen = causing
        .iter()
        .any(|node| node.looks_for_it && node.known >= Known::Seen && chance >= SEEN_FROM);
    let standing = match fault.pin {
        Some(Pin::RuledOut) => Standing::RuledOut,
        Some(Pin::Certain) => Standing::Seen,
        None if seen => Standing::Seen,
        None if !causing.is_empty() => Standing::Likely,
        None => Standing::Unseen,
    };
    let settings = &tables.settings.diagnosis;
    let total: f64 = settings.care_weights.iter().sum();
    let ordinary = (fault.chances.iter().zip(settings.care_weights))
        .map(|(chance, weight)| chance * weight / total)
        .sum();
    FaultChance {
        id: tables
            .faults
            .get(fault.row)
            .map_or_else(String::new, |row| row.id.clone()),
        row: fault.row,
        chance,
        ordinary,
        standing,
        tied: !causing.is_empty() || fault.pin.is_some(),
        because_of,
        reasons: Vec::new(),
    }
}

impl Diagnosis {
    /// Draws of faults and causes from this diagnosis.
    #[must_use]
    pub fn sampler(&self) -> Sampler<'_> {
        Sampler::new(&self.model, &self.fault_ids, &self.sign_ids)
    }

    /// Chance that a fault that is there, and this check alone would leave benign with chance `quiet`, shows in it after all the benign
    /// answers so far: what no check can show has not shown yet.
    pub(crate) fn shows_anew(&self, fault: usize, quiet: f64) -> f64 {
        let Some(fault) = self.model.network.faults.get(fault) else {
            return 0.0;
        };
        let open = (1.0 - fault.hidden) * fault.clear;
        let all = fault.hidden + open;
        if all > 0.0 {
            open * (1.0 - quiet) / all
        } else {
            0.0
        }
    }

    /// A fault by id.
    #[must_use]
    pub fn fault(&self, id: &str) -> Option<&FaultChance> {
        self.faults.iter().find(|fault| fault.id == id)
    }
}
