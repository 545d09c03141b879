//! From one row of the tables to the others that it speaks of.

use super::Kind;
use crate::trade::{SignRow, Tables};
use std::collections::BTreeSet;

/// Another row, and how it is bound to this one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// How.
    pub label: &'static str,
    /// Kind of the other row.
    pub kind: Kind,
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
}

/// The rows that a row speaks of, each once, in reading order.
#[must_use]
pub fn links(tables: &Tables, kind: Kind, id: &str) -> Vec<Link> {
    let mut wanted: Vec<(&'static str, Kind, String)> = Vec::new();
    match kind {
        Kind::Code => {
            if let Some(code) = tables.code(id) {
                wanted.push(("weighed as", Kind::Sign, code.sign.clone()));
                wanted.extend(tables.sign(&code.sign).into_iter().flat_map(of_sign));
            }
        }
        Kind::Sign => {
            wanted.extend(tables.sign(id).into_iter().flat_map(of_sign));
            let codes = tables.codes.iter().filter(|code| code.sign == id);
            wanted.extend(codes.map(|code| ("code", Kind::Code, code.id.clone())));
            let measures = |item: &str| tables.sign(id).is_some_and(|sign| is_measured(sign, item));
            let limits = tables.limits.iter().filter(|limit| measures(&limit.item));
            wanted.extend(limits.map(|limit| ("limit", Kind::Limit, limit.id.clone())));
        }
        Kind::Fault => of_fault(tables, id, &mut wanted),
        Kind::Repair => of_repair(tables, id, &mut wanted),
        Kind::Operation => {
            let with = tables.repairs.iter().filter(|repair| {
                repair
                    .operations
                    .iter()
                    .chain(&repair.follow_ups)
                    .any(|step| step == id)
            });
            wanted.extend(with.map(|repair| ("part of", Kind::Repair, repair.id.clone())));
            if let Some(step) = tables.operation(id) {
                wanted.extend(
                    step.needs
                        .iter()
                        .map(|id| ("needs", Kind::Tool, id.clone())),
                );
                wanted.extend(cautions(&step.cautions));
            }
        }
        Kind::Limit => {
            let item = tables.limit(id).map_or("", |limit| limit.item.as_str());
            let signs = tables.signs.iter().filter(|sign| is_measured(sign, item));
            wanted.extend(signs.map(|sign| ("measured by", Kind::Sign, sign.id.clone())));
        }
        Kind::Caution => {
            let has = |ids: &[String]| ids.iter().any(|known| known == id);
            let signs = tables.signs.iter().filter(|row| has(&row.cautions));
            wanted.extend(signs.map(|row| ("goes with", Kind::Sign, row.id.clone())));
            let repairs = tables.repairs.iter().filter(|row| has(&row.cautions));
            wanted.extend(repairs.map(|row| ("goes with", Kind::Repair, row.id.clone())));
        }
        Kind::Tool => {
            let repairs = tables.repairs.iter();
            let with = repairs.filter(|repair| repair.tools.iter().any(|tool| tool == id));
            wanted.extend(with.map(|repair| ("used for", Kind::Repair, repair.id.clone())));
        }
    }
    let mut seen = BTreeSet::new();
    wanted
        .into_iter()
        .filter(|(_, kind, id)| seen.insert((*kind, id.clone())))
        .filter_map(|(label, kind, id)| {
            let name = name(tables, kind, &id)?;
            Some(Link {
                label,
                kind,
                id,
                name,
            })
        })
        .collect()
}

/// True if an answer of the sign comes from a reading of this item.
fn is_measured(sign: &SignRow, item: &str) -> bool {
    let parts = sign.reading.iter().flat_map(|reading| &reading.parts);
    parts.into_iter().any(|part| part.item == item)
}

type Wanted = (&'static str, Kind, String);

fn cautions(ids: &[String]) -> impl Iterator<Item = Wanted> {
    ids.iter().map(|id| ("caution", Kind::Caution, id.clone()))
}

fn of_sign(sign: &SignRow) -> Vec<Wanted> {
    let mut faults: Vec<(f64, &String)> = Vec::new();
    if let Some(causes) = &sign.causes {
        faults.extend(causes.weights.iter().map(|(id, weight)| (*weight, id)));
    }
    if let Some(hits) = &sign.hits {
        let rates = hits.rates.iter();
        faults.extend(rates.map(|(id, rates)| (rates.iter().sum::<f64>(), id)));
    }
    faults.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    let points = faults
        .into_iter()
        .map(|(_, id)| ("points to", Kind::Fault, id.clone()));
    points.chain(cautions(&sign.cautions)).collect()
}

fn of_fault(tables: &Tables, id: &str, wanted: &mut Vec<Wanted>) {
    let Some(fault) = tables.fault(id) else {
        return;
    };
    wanted.extend(
        fault
            .repairs
            .iter()
            .map(|id| ("repair", Kind::Repair, id.clone())),
    );
    let shows = |sign: &&SignRow| {
        of_sign(sign)
            .iter()
            .any(|(_, kind, fault)| *kind == Kind::Fault && fault == id)
    };
    let signs = tables.signs.iter().filter(shows);
    wanted.extend(signs.map(|sign| ("shown by", Kind::Sign, sign.id.clone())));
    wanted.extend(cautions(&fault.cautions));
}

fn of_repair(tables: &Tables, id: &str, wanted: &mut Vec<Wanted>) {
    let Some(repair) = tables.repair(id) else {
        return;
    };
    let cured = tables.faults.iter().filter(|fault| {
        fault.repairs.iter().any(|repair| repair == id) || repair.also_cures.contains(&fault.id)
    });
    wanted.extend(cured.map(|fault| ("cures", Kind::Fault, fault.id.clone())));
    let steps = repair.operations.iter().chain(&repair.follow_ups);
    wanted.extend(steps.map(|id| ("step", Kind::Operation, id.clone())));
    wanted.extend(
        repair
            .tools
            .iter()
            .map(|id| ("tool", Kind::Tool, id.clone())),
    );
    wanted.push(("proof of cure", Kind::Sign, repair.proof_of_cure.clone()));
    wanted.extend(cautions(&repair.cautions));
}

fn name(tables: &Tables, kind: Kind, id: &str) -> Option<String> {
    Some(match kind {
        Kind::Code => tables.code(id)?.meaning.clone(),
        Kind::Sign => tables.sign(id)?.name.clone(),
        Kind::Fault => tables.fault(id)?.name.clone(),
        Kind::Repair => tables.repair(id)?.name.clone(),
        Kind::Operation => tables.operation(id)?.name.clone(),
        Kind::Limit => {
            let limit = tables.limit(id)?;
            format!("{}, {}", limit.item, limit.rule_set)
        }
        Kind::Caution => tables.caution(id)?.name.clone(),
        Kind::Tool => tables.tool(id)?.name.clone(),
    })
}
