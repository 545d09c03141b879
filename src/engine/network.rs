//! The network of one car: the faults it can have, the signs seen above benign, and what every benign answer takes off a fault.

use super::evidence::{Evidence, Heard, current};
use super::hazard::{Situation, priors};
use super::held_back::{factors, held_back};
use super::replaced::known_parts;
use crate::car::{CarRecord, Known, Pin};
use crate::trade::derive::{DerivedLinks, SignLinks, fault_row};
use crate::trade::settings::DiagnosisSettings;
use crate::trade::{Severity, Tables};
use jiff::civil::Date;
use std::collections::BTreeSet;

/// A fault that this car can have.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NetFault {
    /// Row in the faults table.
    pub row: usize,
    /// Chance at each level of care, before anything was looked at.
    pub chances: [f64; 5],
    pub pin: Option<Pin>,
    /// Odds times this: benign answers within the hidden share, and signs above benign at a level it cannot reach.
    pub benign: f64,
    /// Chance that this fault would have left every benign answer so far as it was, were it not hidden.
    pub clear: f64,
    /// How much of it no check can show.
    pub hidden: f64,
    /// Odds times this at each level of openness: the seller did not mention it.
    pub silence: [f64; 3],
}

impl NetFault {
    /// Unnormalised weights of absent and present in a component.
    pub(crate) fn weights(&self, care: usize, openness: usize) -> (f64, f64) {
        let chance = self.chances.get(care).copied().unwrap_or(0.0);
        let silence = self.silence.get(openness).copied().unwrap_or(1.0);
        match self.pin {
            None => (1.0 - chance, chance * self.benign * silence),
            // Conditioned on, like a check that cannot err: a certain fault makes a neglected car likelier.
            Some(Pin::Certain) => (0.0, chance.max(f64::MIN_POSITIVE) * self.benign * silence),
            Some(Pin::RuledOut) => (1.0 - chance, 0.0),
        }
    }
}

/// How a fault reaches an observed level: `q` stays under it, `r` reaches it (times the tests of this cause).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reach {
    /// Index in [`Network::faults`].
    pub fault: usize,
    pub q: f64,
    pub r: f64,
}

/// A sign seen above benign that faults of this car can explain.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Node {
    /// Row in the signs table.
    pub sign: usize,
    pub level: usize,
    pub known: Known,
    /// The check looks for the fault itself (hit rates, no cause weights).
    pub looks_for_it: bool,
    /// Leak under and at the level.
    pub leak: (f64, f64),
    /// Rising by fault, each with `r > 0`.
    pub links: Vec<Reach>,
    /// Tests of its cause: row in the signs table and outcome.
    pub tests: Vec<(usize, usize)>,
}

/// The network of one car.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Network {
    pub faults: Vec<NetFault>,
    pub nodes: Vec<Node>,
    /// Chance of the signs of care at each level of care.
    pub care: [f64; 5],
    /// Chance of the signs of openness at each level of openness.
    pub openness: [f64; 3],
    pub admissions: i32,
    /// Log of the factors that are the same in every component.
    pub log_constant: f64,
    pub not_in_tables: BTreeSet<String>,
    pub notes: Vec<String>,
}

/// Builds the network of a car from what was observed on it.
pub(crate) fn build(
    car: &CarRecord,
    evidence: &Evidence,
    tables: &Tables,
    links: &DerivedLinks,
    today: Date,
) -> Network {
    let settings = &tables.settings.diagnosis;
    let mut situation = Situation::of(evidence.facts.clone(), settings, today);
    if let Some(odometer) = car.particulars.odometer_miles {
        let known = known_parts(car, tables).into_iter();
        situation.known_age = known.map(|part| (part.row, part.times(odometer))).collect();
    }
    let mut notes = situation.assumed.clone();
    let priors = priors(&situation, tables, links, &mut notes);
    notes.extend(evidence.notes.iter().cloned());
    let mut network = Network {
        faults: priors
            .into_iter()
            .map(|(row, chances)| NetFault {
                row,
                chances,
                pin: None,
                benign: 1.0,
                clear: 1.0,
                hidden: 0.0,
                silence: [1.0; 3],
            })
            .collect(),
        nodes: Vec::new(),
        care: [1.0; 5],
        openness: [1.0; 3],
        admissions: 0,
        log_constant: 0.0,
        not_in_tables: evidence.not_in_tables.clone(),
        notes,
    };
    pins(car, tables, &mut network);
    hear(evidence, tables, links, &mut network);
    in_use_and_hidden(car, evidence, tables, links, &mut network);
    let held = held_back(car, tables);
    for (openness, factor) in (network.openness.iter_mut()).zip(factors(&held, settings)) {
        *openness *= factor;
    }
    if held.held() > 0 {
        network.notes.push(held.words());
    }
    let admitted = evidence.heard.iter().filter(|heard| heard.admitted);
    network.admissions = i32::try_from(admitted.count()).unwrap_or(i32::MAX);
    if car.listing.whole_text_on_file {
        silence(evidence, tables, links, &mut network);
    }
    network
}

fn pins(car: &CarRecord, tables: &Tables, network: &mut Network) {
    for (id, pin) in &car.pins {
        let Some(row) = fault_row(tables, current(tables, id)) else {
            network.not_in_tables.insert(id.clone());
            continue;
        };
        match network.faults.binary_search_by_key(&row, |fault| fault.row) {
            Ok(at) => network.faults[at].pin = Some(*pin),
            Err(_) => network
                .notes
                .push(format!("{id} cannot be on this car: pin left out")),
        }
    }
}

/// Index in the network of a row of the faults table.
fn place(network: &Network, row: usize) -> Option<usize> {
    network
        .faults
        .binary_search_by_key(&row, |fault| fault.row)
        .ok()
}

/// Signs above benign become nodes, tests of them attach, signs of care weigh the components. Benign answers are for later.
fn hear(evidence: &Evidence, tables: &Tables, links: &DerivedLinks, network: &mut Network) {
    let targets = targets(&evidence.heard, links);
    for (at, heard) in evidence.heard.iter().enumerate() {
        let (Some(row), Some(sign)) = (tables.signs.get(heard.sign), links.signs.get(heard.sign))
        else {
            continue;
        };
        if let Some(care) = row.care.get(heard.level) {
            // The row runs from neglected to cherished, the settings the other way.
            for (factor, chance) in network.care.iter_mut().zip(care.iter().rev()) {
                *factor *= chance;
            }
        }
        if let Some(openness) = row.openness.get(heard.level) {
            for (factor, chance) in network.openness.iter_mut().zip(openness) {
                *factor *= chance;
            }
        }
        if heard.level == 0 || targets[at].is_some() || sign_is_empty(sign) {
            continue;
        }
        let tests: Vec<(usize, usize)> = evidence
            .heard
            .iter()
            .zip(&targets)
            .filter(|(_, target)| **target == Some(at))
            .map(|(test, _)| (test.sign, test.level))
            .collect();
        let looks_for_it = row.hits.is_some() && row.causes.is_none();
        add_node(heard, looks_for_it, sign, tests, tables, links, network);
    }
}

fn sign_is_empty(sign: &SignLinks) -> bool {
    sign.faults.is_empty() && sign.leak.iter().skip(1).all(|chance| *chance <= 0.0)
}

/// For each observation, the observation above benign whose cause it tells, if any. A sign that itself acts as a test is no symptom.
fn targets(heard: &[Heard], links: &DerivedLinks) -> Vec<Option<usize>> {
    fn target(
        at: usize,
        heard: &[Heard],
        links: &DerivedLinks,
        path: &mut Vec<usize>,
    ) -> Option<usize> {
        let test = links.signs.get(heard.get(at)?.sign)?.test.as_ref()?;
        path.push(at);
        let found = test.signs.iter().find_map(|sign| {
            let symptom = heard
                .iter()
                .position(|one| one.level > 0 && one.stands_for.contains(sign))?;
            let own = links.signs.get(heard.get(symptom)?.sign)?;
            let fit = !path.contains(&symptom)
                && !sign_is_empty(own)
                && target(symptom, heard, links, path).is_none();
            fit.then_some(symptom)
        });
        path.pop();
        found
    }
    (0..heard.len())
        .map(|at| target(at, heard, links, &mut Vec::new()))
        .collect()
}

/// What can bring an observed level about: a fault of the network or (`None`) the leak, with q and r.
type Source = (Option<usize>, f64, f64);

fn alive(source: &Source, network: &Network) -> bool {
    let possible = |fault: usize| {
        network.faults[fault]
            .chances
            .iter()
            .any(|chance| *chance > 0.0)
    };
    source.2 > 0.0 && source.0.is_none_or(possible)
}

/// Multiplies what each test says of each cause into its reach; a test that no cause can have given is left out.
fn attach(
    tests: &mut Vec<(usize, usize)>,
    sources: &mut Vec<Source>,
    name: &str,
    tables: &Tables,
    links: &DerivedLinks,
    network: &mut Network,
) {
    tests.retain(|(test, outcome)| {
        let Some(rows) = links.signs.get(*test).and_then(|sign| sign.test.as_ref()) else {
            return false;
        };
        let tested: Vec<Source> = sources
            .iter()
            .map(|(fault, q, r)| {
                let row = fault.map(|fault| network.faults[fault].row);
                (*fault, *q, r * rows.chance(row, *outcome))
            })
            .collect();
        let fits = tested.iter().any(|source| alive(source, network));
        if fits {
            *sources = tested;
        } else {
            network.notes.push(format!(
                "{}: no cause of {name} gives this outcome, left out",
                tables.signs.get(*test).map_or("", |row| &row.name)
            ));
        }
        fits
    });
}

fn add_node(
    heard: &Heard,
    looks_for_it: bool,
    sign: &SignLinks,
    mut tests: Vec<(usize, usize)>,
    tables: &Tables,
    links: &DerivedLinks,
    network: &mut Network,
) {
    let name = tables.signs.get(heard.sign).map_or("", |row| &row.name);
    let under = |levels: &[f64]| levels.iter().take(heard.level).sum::<f64>();
    let at = |levels: &[f64]| levels.get(heard.level).copied().unwrap_or(0.0);
    let mut sources = vec![(None, under(&sign.leak), at(&sign.leak))];
    for link in &sign.faults {
        let Some(fault) = place(network, link.fault) else {
            continue;
        };
        if network.faults[fault].pin == Some(Pin::RuledOut) {
            continue;
        }
        let (q, r) = (under(&link.levels), at(&link.levels));
        if r > 0.0 {
            sources.push((Some(fault), q, r));
        } else {
            network.faults[fault].benign *= q;
        }
    }
    if !sources.iter().any(|source| alive(source, network)) {
        network.notes.push(format!(
            "{name}: nothing this car can have explains it, left out"
        ));
        return;
    }
    attach(&mut tests, &mut sources, name, tables, links, network);
    let leak = (sources[0].1, sources[0].2);
    let links = sources
        .iter()
        .filter_map(|(fault, q, r)| Some(((*fault)?, *q, *r)))
        .filter_map(|(fault, q, r)| {
            if r > 0.0 {
                return Some(Reach { fault, q, r });
            }
            network.faults[fault].benign *= q;
            None
        })
        .collect();
    network.nodes.push(Node {
        sign: heard.sign,
        level: heard.level,
        known: heard.known,
        looks_for_it,
        leak,
        links,
        tests,
    });
}

/// Benign answers: odds x (u + (1 - u) x product of (1 - c)), one product a fault. Use that is proven is one benign sign more.
fn in_use_and_hidden(
    car: &CarRecord,
    evidence: &Evidence,
    tables: &Tables,
    links: &DerivedLinks,
    network: &mut Network,
) {
    let settings = &tables.settings.diagnosis;
    let targets = targets(&evidence.heard, links);
    let mut clear = vec![1.0; network.faults.len()];
    for (heard, target) in evidence.heard.iter().zip(targets) {
        let Some(sign) = links.signs.get(heard.sign) else {
            continue;
        };
        if heard.level > 0 || target.is_some() {
            continue;
        }
        network.log_constant += libm::log(sign.leak[0].max(f64::MIN_POSITIVE));
        let mut act = vec![1.0_f64; clear.len()];
        let signs = heard.clear.iter().filter_map(|sign| links.signs.get(*sign));
        for link in signs.flat_map(|sign| &sign.faults) {
            if let Some(fault) = place(network, link.fault) {
                act[fault] = act[fault].min(heard.quiet(link.levels[0], settings));
            }
        }
        for (clear, act) in clear.iter_mut().zip(act) {
            *clear *= act;
        }
    }
    for (fault, clear) in network.faults.iter_mut().zip(clear) {
        let Some(row) = tables.faults.get(fault.row) else {
            continue;
        };
        let mut clear = clear;
        if car.particulars.in_use_proven {
            clear *= 1.0 - use_shows(row.severities.first().copied(), settings);
        }
        let hidden = row.hidden_share.unwrap_or(settings.hidden_share);
        (fault.clear, fault.hidden) = (clear, hidden);
        fault.benign *= hidden + (1.0 - hidden) * clear;
        if fault.pin == Some(Pin::Certain) && fault.benign <= 0.0 {
            fault.benign = 1.0;
            network
                .notes
                .push(format!("{}: held certain against what was seen", row.name));
        }
    }
}

fn use_shows(main: Option<Severity>, settings: &DiagnosisSettings) -> f64 {
    match main {
        Some(Severity::Strands) => settings.in_use_shows[0],
        Some(Severity::Unsafe) => settings.in_use_shows[1],
        _ => settings.in_use_shows[2],
    }
}

/// Every fault that the seller did not mention: odds x (1 - d v) / (1 - E\[d\] v).
fn silence(evidence: &Evidence, tables: &Tables, links: &DerivedLinks, network: &mut Network) {
    let settings = &tables.settings.diagnosis;
    let total: f64 = settings.openness_weights.iter().sum();
    let mean: f64 = settings
        .openness_levels
        .iter()
        .zip(settings.openness_weights)
        .map(|(level, weight)| level * weight / total)
        .sum();
    let mentioned: BTreeSet<usize> = evidence
        .told
        .iter()
        .filter_map(|sign| links.signs.get(*sign))
        .flat_map(|sign| sign.faults.iter().map(|link| link.fault))
        .collect();
    for fault in &mut network.faults {
        let Some(row) = tables.faults.get(fault.row) else {
            continue;
        };
        if !mentioned.contains(&fault.row) {
            let sees = row.owner_sees.clamp(0.0, 1.0);
            fault.silence = settings
                .openness_levels
                .map(|level| (1.0 - level * sees) / (1.0 - mean * sees).max(f64::MIN_POSITIVE));
        }
    }
}
