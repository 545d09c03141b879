//! Findings that end the deal, wishes kept and broken, and the cautions that go with this car.

use super::figures::{CautionFigure, FaultFigure, Stop};
use super::readings::{Yardstick, answered};
use crate::car::{Answer, Buyer, CarRecord, WishKind};
use crate::trade::{PurposeRow, Tables};
use jiff::civil::{Date, DateTime};
use std::collections::BTreeMap;

/// Stops of this car for this purpose, waived ones too.
#[must_use]
pub fn stops(car: &CarRecord, buyer: &Buyer, purpose: &PurposeRow, tables: &Tables) -> Vec<Stop> {
    let mut found: BTreeMap<String, Stop> = BTreeMap::new();
    for observation in &car.observations {
        let id = tables
            .settings
            .aliases
            .get(&observation.sign)
            .unwrap_or(&observation.sign);
        let Some(sign) = tables.sign(id) else {
            continue;
        };
        // No stop hangs on an age, so the day of the answer does as well as today.
        let day = observation.at.map_or(Date::ZERO, DateTime::date);
        let yardstick = Yardstick::new(tables, car, Some(buyer), day);
        let answer = answered(
            car,
            tables,
            &yardstick,
            &observation.sign,
            observation.answer,
        );
        let (Some(stop), Answer::Level(level)) = (&sign.stop, answer) else {
            continue;
        };
        if level >= stop.from_level && purpose.stops.contains(&stop.group) {
            let sentence = stop.sentence.clone();
            found.insert(
                id.clone(),
                Stop {
                    id: id.clone(),
                    sentence,
                    waived: None,
                    trace_id: format!("stop/{id}"),
                },
            );
        }
    }
    for wish in &buyer.wishes {
        let broken = match (wish.kind, car.wishes_met.get(&wish.id)) {
            (WishKind::MustHave, Some(false)) => format!("a must-have is missing: {}", wish.words),
            (WishKind::Never, Some(true)) => format!("one of your nevers: {}", wish.words),
            _ => continue,
        };
        let id = format!("wish/{}", wish.id);
        found.insert(
            id.clone(),
            Stop {
                trace_id: format!("stop/{id}"),
                id,
                sentence: broken,
                waived: None,
            },
        );
    }
    for (id, waiver) in &car.waivers {
        if let Some(stop) = found.get_mut(id) {
            stop.waived = Some(waiver.words.clone());
        }
    }
    found.into_values().collect()
}

/// What the met nice-to-haves are worth to the buyer, dollars.
#[must_use]
pub fn wishes_worth(car: &CarRecord, buyer: &Buyer) -> f64 {
    buyer
        .wishes
        .iter()
        .filter(|wish| {
            wish.kind == WishKind::NiceToHave && car.wishes_met.get(&wish.id) == Some(&true)
        })
        .filter_map(|wish| wish.amount)
        .map(super::amounts::dollars)
        .sum()
}

/// Cautions of the checks answered and of the faults that matter here (tied to a sign, or likely), once each.
#[must_use]
pub fn cautions(car: &CarRecord, faults: &[FaultFigure], tables: &Tables) -> Vec<CautionFigure> {
    let mut ids: Vec<&str> = Vec::new();
    for observation in &car.observations {
        if let Some(sign) = tables.sign(&observation.sign) {
            ids.extend(sign.cautions.iter().map(String::as_str));
        }
    }
    for fault in faults
        .iter()
        .filter(|fault| !fault.because_of.is_empty() || fault.chance >= 0.2)
    {
        ids.extend(fault.cautions.iter().map(String::as_str));
        for way in fault.ways.iter().filter(|way| way.chosen) {
            if let Some(repair) = tables.repair(&way.repair) {
                ids.extend(repair.cautions.iter().map(String::as_str));
            }
        }
    }
    ids.sort_unstable();
    ids.dedup();
    ids.iter()
        .filter_map(|id| tables.caution(id))
        .map(|row| CautionFigure {
            id: row.id.clone(),
            sentence: row.sentence.clone(),
            source: row.source.clone(),
        })
        .collect()
}
