//! What the seller told and nobody has looked at yet: dangers it makes, and answers that still want a look.

use super::STAGES;
use crate::car::{Answer, CarRecord, Known, Stamp};
use crate::engine::evidence::current;
use crate::trade::Tables;
use std::collections::{BTreeMap, BTreeSet};

/// Levels that can forbid a check: what was answered, and what the seller admits and nobody has looked at yet. A brake they say goes to the
/// floor is not tried out on the road.
pub(super) fn dangers<'a>(
    car: &'a CarRecord,
    tables: &'a Tables,
    answers: &BTreeMap<&'a str, Answer>,
) -> BTreeMap<&'a str, usize> {
    let admitted = car.claims.iter().filter(|claim| !claim.pro);
    let mut levels: BTreeMap<&str, usize> = admitted
        .filter(|claim| claim.stamp != Stamp::Contradicted)
        .filter_map(|claim| claim.sign.as_ref())
        .map(|named| (current(tables, &named.id), named.level))
        .collect();
    for (sign, answer) in answers {
        match answer {
            Answer::Level(level) => levels.insert(sign, *level),
            Answer::NotFitted => levels.remove(sign),
            Answer::NotSeen => None,
        };
    }
    levels
}

/// What is known by the seller's word alone, with its level: standing before the car one still looks. A question is answered by a word.
pub(super) fn said<'a>(
    car: &'a CarRecord,
    tables: &'a Tables,
    answers: &BTreeMap<&'a str, Answer>,
) -> BTreeMap<&'a str, usize> {
    let mut looked = BTreeSet::new();
    let mut said = BTreeMap::new();
    for seen in &car.observations {
        let id = current(tables, &seen.sign);
        let asked = tables.sign(id).is_none_or(|row| row.stage == STAGES[0]);
        match answers.get(id) {
            Some(Answer::Level(level)) if seen.known == Known::Said && !asked => {
                said.insert(id, *level);
            }
            _ => {
                looked.insert(id);
            }
        }
    }
    said.retain(|id, _| !looked.contains(id));
    said
}
