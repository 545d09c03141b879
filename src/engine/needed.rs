//! What this car may need done: which faults name which repair, which are put right for this purpose, and the user's own wish.

use super::bits::FaultSet;
use super::jobs::Context;
use super::shared_tools::Listed;
use crate::car::RouteWish;
use crate::trade::{RepairRow, Severity};
use std::collections::BTreeMap;

/// Which faults of this car name which repair.
pub(super) struct Named<'a> {
    /// By repair id: places of the faults that name it.
    by_repair: BTreeMap<&'a str, FaultSet>,
    /// By fault id: its place.
    places: BTreeMap<&'a str, usize>,
}

impl<'a> Named<'a> {
    pub(super) fn of(context: &Context<'a>) -> Self {
        let mut out = Self {
            by_repair: BTreeMap::new(),
            places: BTreeMap::new(),
        };
        for (at, row) in context.faults.iter().enumerate() {
            let fault = &context.tables.faults[*row];
            out.places.insert(&fault.id, at);
            for repair in &fault.repairs {
                out.by_repair.entry(repair).or_default().insert(at);
            }
        }
        out
    }

    /// The work this car may need, each with the chance of the needed faults that name it first.
    pub(super) fn list(&self, context: &Context<'a>) -> Vec<Listed<'a>> {
        let mut spared = vec![1.0; context.tables.repairs.len()];
        let rows: BTreeMap<&str, usize> = (context.tables.repairs.iter().enumerate())
            .map(|(row, repair)| (repair.id.as_str(), row))
            .collect();
        for (row, chance) in context.faults.iter().zip(context.chances) {
            let first = context.tables.faults[*row].repairs.first();
            let repair = first.and_then(|id| rows.get(id.as_str()));
            if let Some(repair) = repair.filter(|_| is_needed(context, *row)) {
                spared[*repair] *= 1.0 - chance;
            }
        }
        (context.tables.repairs.iter().enumerate().zip(spared))
            .filter_map(|((row, repair), spared)| {
                let cures = self.cured_by(repair);
                (!cures.is_empty()).then(|| Listed {
                    row,
                    repair,
                    wish: wish_of(context, cures),
                    chance: 1.0 - spared,
                })
            })
            .collect()
    }

    /// Places of the faults a repair cures: those that name it, and what else it cures if one of them does.
    pub(super) fn cured_by(&self, repair: &RepairRow) -> FaultSet {
        let named = self.by_repair.get(repair.id.as_str());
        let mut cures = named.copied().unwrap_or_default();
        if named.is_some() {
            for id in &repair.also_cures {
                if let Some(at) = self.places.get(id.as_str()) {
                    cures.insert(*at);
                }
            }
        }
        cures
    }
}

/// Home or garage, as the user has it for one of the faults.
pub(super) fn wish_of(context: &Context<'_>, cures: FaultSet) -> Option<RouteWish> {
    cures.iter().find_map(|at| {
        let id = &context.tables.faults[context.faults[at]].id;
        let wish = context.car.routes.get(id).copied();
        wish.filter(|wish| matches!(wish, RouteWish::Home | RouteWish::Garage))
    })
}

/// Put right for this purpose, or because the user wants it so.
pub(super) fn is_needed(context: &Context<'_>, row: usize) -> bool {
    let fault = &context.tables.faults[row];
    match context.car.routes.get(&fault.id) {
        Some(RouteWish::LiveWith) => return false,
        Some(RouteWish::PutRight) => return true,
        _ => {}
    }
    let (Some(main), Some(purpose)) = (
        fault.severities.first(),
        context.tables.purpose(&context.buyer.purpose),
    ) else {
        return false;
    };
    purpose.must_right.contains(main)
        || (*main == Severity::Worsens && purpose.worsens_in.contains(&fault.system))
}
