//! What a check still to come speaks of: the cause of a sign on file, faults, how the car was kept, how open the seller is.
//!
//! It follows what the diagnosis would make of the answer: one act counts once, a cleared memory is silent on any car, and "no codes at all"
//! answers every powertrain code. Else the limits named beside the answers would not be those that come after them.

use crate::car::{Answer, CarRecord};
use crate::engine::evidence::{Heard, current, gather};
use crate::engine::scan::{ALL_CODES, is_silence_of_memory, memory};
use crate::engine::weighing::Weighing;
use crate::trade::derive::{FaultLink, SignLinks, TestLinks, sign_row};
use crate::trade::{SignKind, SignRow, Tables};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

/// What was heard of the car so far, as far as the next answers hang on it.
pub(super) struct OnFile {
    /// Every sign that counts, with its level.
    levels: BTreeMap<usize, usize>,
    /// Answered benign.
    benign: Vec<Heard>,
    /// Nothing stored counts for nothing: the memory was cleared.
    silent: bool,
    /// Powertrain codes that were not answered one by one.
    open_codes: Vec<usize>,
    /// A powertrain code is there.
    a_code: bool,
}

impl OnFile {
    pub(super) fn of(car: &CarRecord, tables: &Tables, weighing: &Weighing<'_>) -> Self {
        let today = weighing.run.today;
        let mut benign = gather(car, tables, Some(weighing.buyer), today).heard;
        let levels = benign.iter().map(|heard| (heard.sign, heard.level));
        let levels = levels.collect();
        benign.retain(|heard| heard.level == 0);
        let answered: BTreeSet<usize> = car
            .observations
            .iter()
            .filter(|seen| matches!(seen.answer, Answer::Level(_)))
            .filter_map(|seen| sign_row(tables, current(tables, &seen.sign)))
            .collect();
        let is_code = |row: &SignRow| row.kind == SignKind::Code && row.id.starts_with('p');
        let codes = (tables.signs.iter().enumerate()).filter(|(_, row)| is_code(row));
        let seen = weighing.diagnosis.signs.iter();
        Self {
            levels,
            benign,
            silent: memory(car, tables, today).says_nothing(),
            open_codes: codes
                .map(|(at, _)| at)
                .filter(|at| !answered.contains(at))
                .collect(),
            a_code: seen
                .flat_map(|seen| tables.signs.get(seen.row))
                .any(is_code),
        }
    }
}

/// What a check says of the draws.
pub(super) enum Says<'a> {
    /// One answer and no other: it is on file by word already, or the memory it would be read from was cleared. Its level.
    Again(usize),
    /// The cause of a sign on file (its place in the diagnosis).
    Cause(&'a TestLinks, usize),
    /// Faults.
    Faults(OfFaults<'a>),
    /// How the car was kept, or how open the seller is.
    Component(&'a SignRow),
}

/// A check of faults.
pub(super) struct OfFaults<'a> {
    pub links: Cow<'a, SignLinks>,
    /// Links of signs of the same act that were answered well, with how: what they would have shown, this one cannot show anew.
    pub before: Vec<(&'a SignLinks, &'a Heard)>,
    /// Where it tells them too, how the car was kept and how open the seller is.
    pub also: Option<&'a SignRow>,
}

impl<'a> Says<'a> {
    /// What a row of the signs table says; `None` where it says nothing that a draw could differ in.
    pub(super) fn of(weighing: &'a Weighing<'_>, on_file: &'a OnFile, row: usize) -> Option<Self> {
        let all = &weighing.knowledge.links().signs;
        let links = all.get(row)?;
        let sign = weighing.knowledge.tables().signs.get(row)?;
        let seen = &weighing.diagnosis.signs;
        let signs = &weighing.knowledge.tables().signs;
        let same = |other: usize| {
            let act = signs.get(other).map(|other| &other.act);
            other == row || (!sign.act.is_empty() && act == Some(&sign.act))
        };
        if let Some(heard) = seen.iter().find(|seen| same(seen.row)) {
            return Some(Self::Again(heard.level.min(sign.levels.len() - 1)));
        }
        if on_file.silent && is_silence_of_memory(sign.kind, &sign.id) {
            return Some(Self::Again(0));
        }
        if let Some(test) = &links.test {
            let target =
                (test.signs.iter()).find_map(|sign| seen.iter().position(|seen| seen.row == *sign));
            if let Some(target) = target {
                return Some(Self::Cause(test, target));
            }
        }
        if sign.id == ALL_CODES && on_file.a_code {
            return Some(Self::Again(1));
        }
        let tells = !sign.care.is_empty() || !sign.openness.is_empty();
        if !links.faults.is_empty() {
            let before = on_file.benign.iter().flat_map(|heard| {
                let clear = heard.clear.iter().filter(|row| same(**row));
                clear.filter_map(move |row| Some((all.get(*row)?, heard)))
            });
            return Some(Self::Faults(OfFaults {
                links: if sign.id == ALL_CODES {
                    Cow::Owned(no_code_at_all(all, &on_file.open_codes))
                } else {
                    Cow::Borrowed(links)
                },
                before: before.collect(),
                also: (tells && !on_file.levels.contains_key(&row)).then_some(sign),
            }));
        }
        // Of how it was kept a word tells all that a look does.
        let told = on_file.levels.get(&row);
        tells.then(|| told.map_or(Self::Component(sign), |level| Self::Again(*level)))
    }
}

/// None of the codes there, or one at least: as one sign of two levels.
fn no_code_at_all(all: &[SignLinks], codes: &[usize]) -> SignLinks {
    let mut leak = 1.0;
    let mut quiet: BTreeMap<usize, f64> = BTreeMap::new();
    for links in codes.iter().filter_map(|row| all.get(*row)) {
        leak *= links.leak.first().copied().unwrap_or(1.0);
        for link in &links.faults {
            *quiet.entry(link.fault).or_insert(1.0) *= link.levels.first().copied().unwrap_or(1.0);
        }
    }
    let faults = quiet.into_iter().map(|(fault, quiet)| FaultLink {
        fault,
        levels: vec![quiet, 1.0 - quiet],
    });
    SignLinks {
        leak: vec![leak, 1.0 - leak],
        faults: faults.collect(),
        scale: None,
        test: None,
    }
}

/// Chance of a level at a pair of care and openness, as far as the sign tells of them.
pub(super) fn of_component(sign: &SignRow, (care, openness): (usize, usize), level: usize) -> f64 {
    // The row of care runs from neglected to cherished, the settings the other way.
    let by_care = (sign.care.get(level)).and_then(|row| row.iter().rev().nth(care));
    let by_openness = sign.openness.get(level).and_then(|row| row.get(openness));
    by_care.copied().unwrap_or(1.0) * by_openness.copied().unwrap_or(1.0)
}
