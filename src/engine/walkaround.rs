//! The walk round the car: which checks, in which order, and how each stands. Pure; the clock and the order of worth are arguments.

mod told;

use super::evidence::current;
use super::hazard::share_that_applies;
use super::readings::{Yardstick, answered};
use crate::car::{Answer, Asked, Buyer, CarRecord};
use crate::trade::{Invasive, SignKind, SignRow, Tables};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use told::{dangers, said};

/// The stages, in walking order.
pub const STAGES: [&str; 16] = [
    "questions",
    "paper",
    "from a distance",
    "outside",
    "tires, brakes",
    "rust",
    "hood up, cold",
    "fluids",
    "key on, lamps",
    "cold start",
    "cabin",
    "flood signs",
    "road test",
    "hot restart",
    "underneath",
    "afterwards",
];

/// How much of it is walked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Plan {
    /// The quick list: 24 checks, about twenty minutes.
    #[default]
    Quick,
    /// As much as fits these minutes, the quick list first.
    Minutes(u32),
    /// Everything that can be done on another's car.
    Full,
    /// Everything that a seller can answer or send from afar.
    FromAfar,
}

/// What order the checks come in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Order<'a> {
    /// Stage by stage, as one walks.
    #[default]
    Walking,
    /// As given, each with its figure; what is not named follows in walking order.
    Given(&'a [(String, f64)]),
}

/// Why a check is withdrawn: a finding that makes it dangerous.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Withdrawn {
    /// Key of the waiver that brings it back.
    pub waiver: String,
    /// What must not be done: `no drive on the road`.
    pub reason: String,
    /// The finding, in words: `brake pedal held: sinks while held`.
    pub because: String,
}

/// How a check stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum State {
    /// Not asked yet.
    ToCome,
    /// Answered at this level.
    Answered(usize),
    /// Looked for and not to be seen.
    NotSeen,
    /// The car has no such thing.
    NotFitted,
    /// Dangerous after what was found.
    Withdrawn(Withdrawn),
}

impl State {
    /// True if it still asks for an answer.
    #[must_use]
    pub fn is_to_come(&self) -> bool {
        *self == Self::ToCome
    }
}

/// One check of the walk.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Sign id.
    pub sign: String,
    /// Place of its stage in [`STAGES`].
    pub stage: usize,
    /// How it stands.
    pub state: State,
    /// Seconds it takes.
    pub seconds: u32,
    /// Figure that the given order goes by.
    pub figure: Option<f64>,
    /// The sentence to say first, where the owner must be asked.
    pub ask: Option<String>,
    /// What became of it where the seller was asked for it.
    pub asked: Option<Asked>,
    /// The level they told, where nobody has looked yet.
    pub said: Option<usize>,
}

/// Lists the checks of a plan with their states. A check that was answered, or is withdrawn, stays in the list it was in.
#[must_use]
pub fn walk(
    car: &CarRecord,
    tables: &Tables,
    plan: Plan,
    order: Order<'_>,
    today: Date,
) -> Vec<Check> {
    walk_for(car, None, tables, plan, order, today)
}

/// The same with readings held against the limits that a buyer goes by.
#[must_use]
pub fn walk_for(
    car: &CarRecord,
    buyer: Option<&Buyer>,
    tables: &Tables,
    plan: Plan,
    order: Order<'_>,
    today: Date,
) -> Vec<Check> {
    let fits = fitting(car, tables);
    let figures: BTreeMap<&str, (usize, f64)> = match order {
        Order::Walking => BTreeMap::new(),
        Order::Given(given) => given
            .iter()
            .enumerate()
            .map(|(at, (sign, figure))| (sign.as_str(), (at, *figure)))
            .collect(),
    };
    let chosen = chosen(&fits, tables, plan, &figures);
    let yardstick = Yardstick::new(tables, car, buyer, today);
    let answers = answers(car, tables, &yardstick);
    let dangers = dangers(car, tables, &answers);
    let said = match plan {
        Plan::FromAfar => BTreeMap::new(),
        _ => said(car, tables, &answers),
    };
    let mut checks: Vec<Check> = fits
        .iter()
        .filter(|row| chosen.contains(row.id.as_str()))
        .map(|row| Check {
            sign: row.id.clone(),
            stage: stage(row),
            state: match answers.get(row.id.as_str()) {
                Some(answer) if !said.contains_key(row.id.as_str()) => answered_state(*answer),
                _ => withdrawn(car, row, tables, &dangers).map_or(State::ToCome, State::Withdrawn),
            },
            seconds: row.seconds,
            figure: figures.get(row.id.as_str()).map(|(_, figure)| *figure),
            ask: ask(row, tables),
            asked: car.checks.get(&row.id).and_then(|check| check.asked),
            said: said.get(row.id.as_str()).copied(),
        })
        .collect();
    if let Order::Given(_) = order {
        let place = |check: &Check| {
            figures
                .get(check.sign.as_str())
                .map_or(usize::MAX, |one| one.0)
        };
        checks.sort_by_key(place);
    }
    checks
}

/// Signs that one walks up to on this car, in walking order: what only an owner or a garage may do never comes up, powertrain codes come
/// with the reader, and what a seller admits is heard, not looked for.
fn fitting<'a>(car: &CarRecord, tables: &'a Tables) -> Vec<&'a SignRow> {
    let settings = &tables.settings.diagnosis;
    let mut fits: Vec<&SignRow> = tables
        .signs
        .iter()
        .filter(|row| row.invasive != Invasive::OwnerOrGarage)
        .filter(|row| row.kind != SignKind::Admission)
        .filter(|row| row.kind != SignKind::Code || !row.id.starts_with('p'))
        .filter(|row| share_that_applies(&row.applies_if, &car.particulars, settings) > 0.0)
        .collect();
    fits.sort_by(|a, b| (stage(a), a.order, &a.id).cmp(&(stage(b), b.order, &b.id)));
    fits
}

fn stage(row: &SignRow) -> usize {
    let at = STAGES.iter().position(|stage| *stage == row.stage);
    at.unwrap_or(STAGES.len() - 1)
}

/// Ids of a plan. Under a budget: the quick list, then by the given order, else the ordinary visit before the rest, as long as it fits.
fn chosen<'a>(
    fits: &[&'a SignRow],
    tables: &'a Tables,
    plan: Plan,
    figures: &BTreeMap<&str, (usize, f64)>,
) -> BTreeSet<&'a str> {
    let quick: BTreeSet<&str> = tables
        .settings
        .quick_list
        .iter()
        .map(String::as_str)
        .collect();
    let is_quick = |row: &&&SignRow| quick.contains(row.id.as_str());
    match plan {
        Plan::Full => fits.iter().map(|row| row.id.as_str()).collect(),
        Plan::FromAfar => {
            let remote = fits.iter().filter(|row| row.remote_ok);
            remote.map(|row| row.id.as_str()).collect()
        }
        Plan::Quick => fits
            .iter()
            .filter(is_quick)
            .map(|row| row.id.as_str())
            .collect(),
        Plan::Minutes(minutes) => {
            let mut by_worth: Vec<&&SignRow> = fits.iter().collect();
            by_worth.sort_by_key(|row| {
                let given = figures.get(row.id.as_str()).map_or(usize::MAX, |one| one.0);
                (!quick.contains(row.id.as_str()), given, !row.ordinary_visit)
            });
            let mut left = minutes.saturating_mul(60);
            let mut taken = BTreeSet::new();
            for row in by_worth {
                if row.seconds <= left {
                    left -= row.seconds;
                    taken.insert(row.id.as_str());
                }
            }
            taken
        }
    }
}

/// The answer that counts of every sign on file, ids as the tables have them now.
fn answers<'a>(
    car: &'a CarRecord,
    tables: &'a Tables,
    yardstick: &Yardstick<'_>,
) -> BTreeMap<&'a str, Answer> {
    car.observations
        .iter()
        .map(|seen| {
            let answer = answered(car, tables, yardstick, &seen.sign, seen.answer);
            (current(tables, &seen.sign), answer)
        })
        .collect()
}

fn answered_state(answer: Answer) -> State {
    match answer {
        Answer::Level(level) => State::Answered(level),
        Answer::NotFitted => State::NotFitted,
        // What was not seen stays not seen; a danger found later is no reason to ask again.
        Answer::NotSeen => State::NotSeen,
    }
}

/// The first finding that makes a check dangerous and is not waived in words.
fn withdrawn(
    car: &CarRecord,
    row: &SignRow,
    tables: &Tables,
    dangers: &BTreeMap<&str, usize>,
) -> Option<Withdrawn> {
    row.blocked_by.iter().find_map(|name| {
        let gate = tables.settings.gates.get(name);
        let alone = [crate::trade::Block {
            sign: name.clone(),
            from_level: 1,
        }];
        let blocks = gate.map_or(alone.as_slice(), |gate| gate.because.as_slice());
        blocks.iter().find_map(|block| {
            if block.sign == row.id {
                return None;
            }
            let level = dangers.get(block.sign.as_str())?;
            let waiver = format!("gate/{name}/{}", block.sign);
            if *level < block.from_level || car.waivers.contains_key(&waiver) {
                return None;
            }
            let cause = tables.sign(&block.sign)?;
            let words = cause.levels.get(*level).map_or("", String::as_str);
            Some(Withdrawn {
                waiver,
                reason: gate.map_or_else(
                    || "not after what was found".to_owned(),
                    |gate| gate.reason.clone(),
                ),
                because: format!("{}: {words}", cause.name),
            })
        })
    })
}

/// The sentence to say to the owner before a check that must be asked for.
fn ask(row: &SignRow, tables: &Tables) -> Option<String> {
    if row.invasive != Invasive::AskFirst {
        return None;
    }
    let asks = &tables.settings.ask_first;
    let by_tool = row.tools.iter().find_map(|tool| asks.get(tool));
    let sentence = asks
        .get(&row.id)
        .or(by_tool)
        .or_else(|| asks.get("default"));
    Some(match sentence {
        Some(sentence) => sentence.replace("{name}", &row.name),
        None => format!("May I do this: {}?", row.name),
    })
}

/// A waived danger: what was brought back, and the words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaivedGate {
    /// Key of the waiver.
    pub waiver: String,
    /// What must not be done, and the finding.
    pub sentence: String,
    /// In the user's words.
    pub words: String,
}

/// Dangers that were waived in words, for every report.
#[must_use]
pub fn waived_gates(car: &CarRecord, tables: &Tables) -> Vec<WaivedGate> {
    car.waivers
        .iter()
        .filter_map(|(key, waiver)| {
            let (gate, sign) = key.strip_prefix("gate/")?.split_once('/')?;
            let reason = tables.settings.gates.get(gate);
            let reason = reason.map_or("a dangerous check", |gate| gate.reason.as_str());
            let cause = tables.sign(sign).map_or(sign, |row| row.name.as_str());
            Some(WaivedGate {
                waiver: key.clone(),
                sentence: format!("{reason}, after {cause}"),
                words: waiver.words.clone(),
            })
        })
        .collect()
}

/// Where to stand: the given check if it is still to come, else the next that is, round the end; none if nothing is left.
#[must_use]
pub fn next_to_come(checks: &[Check], from: usize) -> Option<usize> {
    let count = checks.len();
    (0..count).map(|step| (from + step) % count).find(|at| {
        checks
            .get(*at)
            .is_some_and(|check| check.state.is_to_come())
    })
}
