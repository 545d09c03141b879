//! From what is on file to what was observed: one act, one node; the most direct report counts.

use super::hazard::not_fitted;
use super::readings::{Yardstick, answered};
use super::scan::{ALL_CODES, is_silence_of_memory, memory};
use crate::car::{Answer, Buyer, CarRecord, Known, Particulars, Stamp};
use crate::trade::derive::sign_row;
use crate::trade::settings::DiagnosisSettings;
use crate::trade::{SignKind, SignRow, Tables};
use jiff::civil::{Date, DateTime};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// One observation that counts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Heard {
    /// Row in the signs table.
    pub sign: usize,
    pub level: usize,
    pub known: Known,
    /// Said by the seller before it was found, here or for another sign of the same act.
    pub admitted: bool,
    /// Signs above benign that this one stands for, itself among them.
    pub stands_for: BTreeSet<usize>,
    /// Where it is benign: signs of the same act that are, itself among them. Of one act each fault is cleared by the one answer that
    /// clears it most, so that a second benign answer never takes away what the first gave.
    pub clear: BTreeSet<usize>,
}

impl Heard {
    /// Chance that a fault which would leave the answer benign with chance `quiet` leaves it as it was heard: a word is cheaper than a look.
    pub(crate) fn quiet(&self, quiet: f64, settings: &DiagnosisSettings) -> f64 {
        if self.known == Known::Said {
            1.0 - settings.word_counts * (1.0 - quiet)
        } else {
            quiet
        }
    }
}

/// Everything on file, sorted out. No part depends on the order of entry, save that of two equal reports of one sign the later counts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Evidence {
    /// In the order of the signs table.
    pub heard: Vec<Heard>,
    /// Signs above benign that the seller told.
    pub told: BTreeSet<usize>,
    /// Particulars, with what "not fitted" settles.
    pub facts: Particulars,
    pub not_in_tables: BTreeSet<String>,
    pub notes: Vec<String>,
}

#[derive(Debug, Clone, Copy)]
struct Report {
    sign: usize,
    level: usize,
    known: Known,
    admitted: bool,
    at: Option<DateTime>,
    /// Place in the file; claims come before observations.
    place: usize,
}

/// Id as the tables have it now.
pub(crate) fn current<'a>(tables: &'a Tables, id: &'a str) -> &'a str {
    tables.settings.aliases.get(id).map_or(id, String::as_str)
}

/// Sorts out what is on file; `today` gives the age of what has a date, the buyer whose limits readings are held against.
pub(crate) fn gather(
    car: &CarRecord,
    tables: &Tables,
    buyer: Option<&Buyer>,
    today: Date,
) -> Evidence {
    let mut found = Evidence {
        heard: Vec::new(),
        told: BTreeSet::new(),
        facts: car.particulars.clone(),
        not_in_tables: BTreeSet::new(),
        notes: Vec::new(),
    };
    let mut reports = claimed(car, tables, &mut found);
    let yardstick = Yardstick::new(tables, car, buyer, today);
    observed(car, tables, &yardstick, &mut found, &mut reports);
    if memory(car, tables, today).says_nothing() {
        forget_silence(tables, &mut found, &mut reports);
    } else {
        no_codes_at_all(tables, &mut reports);
    }
    let groups = by_act(&reports, tables);
    found.told = reports
        .iter()
        .filter(|report| report.admitted)
        .map(|report| report.sign)
        .collect();
    let heard: Vec<Heard> = groups
        .values()
        .filter_map(|group| one_node(group))
        .collect();
    found.heard = without_generic(&heard, tables);
    found.heard.sort_by_key(|heard| heard.sign);
    found
}

/// A claim in the car's favor counts once proved, at what proves it. A claim against it that names a sign is an admission. Nothing else counts.
fn claimed(car: &CarRecord, tables: &Tables, found: &mut Evidence) -> Vec<Report> {
    let mut reports = Vec::new();
    for (place, claim) in car.claims.iter().enumerate() {
        let Some(named) = &claim.sign else { continue };
        let proof = claim.proof.filter(|proof| *proof >= Known::Paper);
        let counts = if claim.pro {
            claim.stamp == Stamp::Proved && proof.is_some()
        } else {
            claim.stamp != Stamp::Contradicted && named.level > 0
        };
        if !counts {
            continue;
        }
        if let Some(sign) = known_sign(tables, &named.id, named.level, found) {
            reports.push(Report {
                sign,
                level: named.level,
                known: proof.unwrap_or(Known::Said),
                admitted: !claim.pro,
                at: None,
                place,
            });
        }
    }
    reports
}

fn observed(
    car: &CarRecord,
    tables: &Tables,
    yardstick: &Yardstick<'_>,
    found: &mut Evidence,
    reports: &mut Vec<Report>,
) {
    for (place, observation) in car.observations.iter().enumerate() {
        let answer = answered(
            car,
            tables,
            yardstick,
            &observation.sign,
            observation.answer,
        );
        let level = match answer {
            Answer::Level(level) => level,
            Answer::NotSeen => continue,
            Answer::NotFitted => {
                if let Some(row) = tables.sign(current(tables, &observation.sign)) {
                    not_fitted(&row.applies_if, &mut found.facts);
                }
                continue;
            }
        };
        let Some(sign) = known_sign(tables, &observation.sign, level, found) else {
            continue;
        };
        let admission = tables
            .signs
            .get(sign)
            .is_some_and(|row| row.kind == SignKind::Admission)
            && observation.known <= Known::Paper;
        reports.push(Report {
            sign,
            level,
            known: observation.known,
            admitted: level > 0 && (observation.admitted || admission),
            at: observation.at,
            place: car.claims.len() + place,
        });
    }
}

/// A cleared memory is silent on any car: "not there" and a lamp that is out are no evidence.
fn forget_silence(tables: &Tables, found: &mut Evidence, reports: &mut Vec<Report>) {
    let before = reports.len();
    reports.retain(|report| {
        let row = tables.signs.get(report.sign);
        let silent = row.is_some_and(|row| is_silence_of_memory(row.kind, &row.id));
        report.level > 0 || !silent
    });
    if reports.len() < before {
        found.notes.push(
            "the codes were probably cleared or are not ready: none found counts as not looked for"
                .to_owned(),
        );
    }
}

/// "None stored or pending" answers every powertrain code that was not answered by itself.
fn no_codes_at_all(tables: &Tables, reports: &mut Vec<Report>) {
    let all = |report: &Report| {
        let row = tables.signs.get(report.sign);
        row.is_some_and(|row| row.id == ALL_CODES) && report.level == 0
    };
    let Some(said) = reports.iter().copied().find(all) else {
        return;
    };
    let known: BTreeSet<usize> = reports.iter().map(|report| report.sign).collect();
    reports.retain(|report| !all(report));
    for (sign, row) in tables.signs.iter().enumerate() {
        if row.kind == SignKind::Code && row.id.starts_with('p') && !known.contains(&sign) {
            reports.push(Report {
                sign,
                admitted: false,
                ..said
            });
        }
    }
}

/// Row of a sign that the tables know at this level; what they do not know is put on record.
fn known_sign(tables: &Tables, id: &str, level: usize, found: &mut Evidence) -> Option<usize> {
    let sign = sign_row(tables, current(tables, id));
    let Some((at, row)) = sign.and_then(|at| Some((at, tables.signs.get(at)?))) else {
        found.not_in_tables.insert(id.to_owned());
        return None;
    };
    if level >= row.levels.len() {
        let note = format!(
            "{}: answer {level} is not in these tables, left out",
            row.name
        );
        if !found.notes.contains(&note) {
            found.notes.push(note);
        }
        return None;
    }
    Some(at)
}

/// Reports by act (a sign without a word for its act is an act of its own), best report of each sign.
fn by_act(reports: &[Report], tables: &Tables) -> BTreeMap<(String, usize), Vec<Report>> {
    let mut best: BTreeMap<usize, Report> = BTreeMap::new();
    for report in reports {
        let admitted = best.get(&report.sign).is_some_and(|old| old.admitted) || report.admitted;
        let slot = best.entry(report.sign).or_insert(*report);
        if (report.known, report.at, report.place) >= (slot.known, slot.at, slot.place) {
            *slot = *report;
        }
        slot.admitted = admitted;
    }
    let mut groups: BTreeMap<(String, usize), Vec<Report>> = BTreeMap::new();
    for report in best.into_values() {
        let act = tables.signs.get(report.sign).map_or("", |row| &row.act);
        let key = if act.is_empty() {
            (String::new(), report.sign)
        } else {
            (act.to_owned(), 0)
        };
        groups.entry(key).or_default().push(report);
    }
    groups
}

/// Of several signs of one act the most direct counts; of equals one above benign, then the later, then the first by id.
fn one_node(group: &[Report]) -> Option<Heard> {
    let admitted = group.iter().any(|report| report.admitted);
    let best = group.iter().max_by_key(|report| {
        (
            report.known,
            report.level > 0,
            report.at,
            Reverse(report.sign),
        )
    })?;
    let alike = |above: bool| -> BTreeSet<usize> {
        let alike = group.iter().filter(|report| (report.level > 0) == above);
        alike.map(|report| report.sign).collect()
    };
    let above = best.level > 0;
    Some(Heard {
        sign: best.sign,
        level: best.level,
        known: best.known,
        admitted,
        stands_for: if above { alike(true) } else { BTreeSet::new() },
        clear: if above { BTreeSet::new() } else { alike(false) },
    })
}

/// A sign above benign gives way to one, also above benign, that says the same more exactly: the two are one piece of knowledge.
fn without_generic(heard: &[Heard], tables: &Tables) -> Vec<Heard> {
    let row = |at: usize| -> Option<&SignRow> { tables.signs.get(heard.get(at)?.sign) };
    let gives_way_to = |at: usize| -> Option<usize> {
        row(at)?.subsumed_by.iter().find_map(|id| {
            let specific = sign_row(tables, id)?;
            heard.iter().enumerate().position(|(other, candidate)| {
                other != at && candidate.stands_for.contains(&specific)
            })
        })
    };
    let next: Vec<Option<usize>> = (0..heard.len())
        .map(|at| {
            let above = heard.get(at).is_some_and(|one| one.level > 0);
            above.then(|| gives_way_to(at)).flatten()
        })
        .collect();
    // Follow the chain to its end; in a ring of signs the first one stays.
    let root = |start: usize| -> usize {
        let (mut at, mut seen) = (start, vec![start]);
        while let Some(on) = next.get(at).copied().flatten() {
            if let Some(from) = seen.iter().position(|old| *old == on) {
                return seen.iter().skip(from).copied().min().unwrap_or(start);
            }
            seen.push(on);
            at = on;
        }
        at
    };
    let mut kept = heard.to_vec();
    for (at, one) in heard.iter().enumerate() {
        let end = root(at);
        if end != at {
            kept[end].stands_for.extend(one.stands_for.iter().copied());
            kept[end].admitted |= one.admitted;
        }
    }
    (0..heard.len())
        .filter(|at| root(*at) == *at)
        .map(|at| kept[at].clone())
        .collect()
}
