//! Why a fault is as likely as it is: each observation is left out in turn and the odds compared.

use super::diagnosis::{Diagnosis, diagnose_from};
use super::evidence::{Evidence, Heard, gather};
use super::figures::Reason;
use super::hazard::{FACTS, Situation, weak_spots};
use super::replaced::known_parts;
use crate::car::entry::shown;
use crate::car::{Buyer, CarRecord, Pin};
use crate::trade::{DerivedLinks, Tables};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A reason that moves the odds by less than this (log) is not worth a line.
const LEAST: f64 = 0.02;

/// Reasons for or against one fault, strongest first; empty for a fault that this car cannot have.
#[must_use]
pub fn reasons(
    car: &CarRecord,
    tables: &Tables,
    links: &DerivedLinks,
    today: Date,
    fault_id: &str,
) -> Vec<Reason> {
    reasons_of(car, tables, links, today, &[fault_id])
        .remove(fault_id)
        .unwrap_or_default()
}

/// Reasons for several faults at once: one diagnosis for each observation, shared by all of them, and one for each fault.
#[must_use]
pub fn reasons_of(
    car: &CarRecord,
    tables: &Tables,
    links: &DerivedLinks,
    today: Date,
    fault_ids: &[&str],
) -> BTreeMap<String, Vec<Reason>> {
    reasons_for(car, None, tables, links, today, fault_ids)
}

/// The same with readings held against the limits that a buyer goes by.
pub(crate) fn reasons_for(
    car: &CarRecord,
    buyer: Option<&Buyer>,
    tables: &Tables,
    links: &DerivedLinks,
    today: Date,
    fault_ids: &[&str],
) -> BTreeMap<String, Vec<Reason>> {
    let evidence = gather(car, tables, buyer, today);
    let run = |car: &CarRecord, evidence: &Evidence, asked: Option<&str>| {
        diagnose_from(car, evidence, tables, links, today, asked)
    };
    let base = run(car, &evidence, None).0;
    let mut found: BTreeMap<String, Vec<Reason>> = BTreeMap::new();
    for id in fault_ids.iter().filter(|id| base.fault(id).is_some()) {
        found.insert(
            (*id).to_owned(),
            prior_reasons(id, car, &evidence, &base, tables, links, today),
        );
    }
    for (at, heard) in evidence.heard.iter().enumerate() {
        let without = run(car, &leave_out(&evidence, at), None).0;
        let (id, words) = sign_words(heard, tables);
        compare(&mut found, &base, &without, &id, &words);
    }
    for (without, id, words) in other_cars(car, tables) {
        let without = run(&without, &evidence, None).0;
        compare(&mut found, &base, &without, id, &words);
    }
    for (fault, reasons) in &mut found {
        name_causes(
            reasons,
            &run(car, &evidence, Some(fault)).1,
            &evidence,
            tables,
        );
        reasons.retain(|reason| {
            reason.is_the_cause.is_some() || libm::log(reason.times).abs() >= LEAST
        });
        reasons.sort_by(|one, other| {
            let size = |reason: &Reason| libm::log(reason.times).abs();
            size(other)
                .total_cmp(&size(one))
                .then(one.id.cmp(&other.id))
        });
    }
    found
}

fn leave_out(evidence: &Evidence, at: usize) -> Evidence {
    let mut without = evidence.clone();
    let heard = without.heard.remove(at);
    without
        .told
        .retain(|sign| *sign != heard.sign && !heard.stands_for.contains(sign));
    without
}

fn sign_words(heard: &Heard, tables: &Tables) -> (String, String) {
    tables
        .signs
        .get(heard.sign)
        .map_or_else(Default::default, |row| {
            let level = row.levels.get(heard.level).map_or("", String::as_str);
            (row.id.clone(), format!("{}: {level}", row.name))
        })
}

/// The car as it would be without one thing on file that is no observation.
fn other_cars(car: &CarRecord, tables: &Tables) -> Vec<(CarRecord, &'static str, String)> {
    let mut cars = Vec::new();
    if car.listing.whole_text_on_file {
        let mut without = car.clone();
        without.listing.whole_text_on_file = false;
        cars.push((
            without,
            "silence",
            "what the seller leaves unsaid".to_owned(),
        ));
    }
    if car.particulars.in_use_proven {
        let mut without = car.clone();
        without.particulars.in_use_proven = false;
        cars.push((without, "in use", "in use, proven".to_owned()));
    }
    for (id, pin) in &car.pins {
        let mut without = car.clone();
        without.pins.remove(id);
        let name = tables.fault(id).map_or(id.as_str(), |row| &row.name);
        let words = match pin {
            Pin::Certain => format!("you hold it certain: {name}"),
            Pin::RuledOut => format!("you ruled it out: {name}"),
        };
        cars.push((without, "pin", words));
    }
    cars
}

fn compare(
    found: &mut BTreeMap<String, Vec<Reason>>,
    base: &Diagnosis,
    without: &Diagnosis,
    id: &str,
    words: &str,
) {
    for (fault, reasons) in found {
        let chance = |diagnosis: &Diagnosis| diagnosis.fault(fault).map(|one| one.chance);
        let (Some(with), Some(without)) = (chance(base), chance(without)) else {
            continue;
        };
        reasons.push(Reason {
            id: id.to_owned(),
            words: words.to_owned(),
            times: odds(with) / odds(without),
            is_the_cause: None,
        });
    }
}

/// Odds, kept finite so that a pin has a figure too.
fn odds(chance: f64) -> f64 {
    let chance = chance.clamp(1e-9, 1.0 - 1e-9);
    chance / (1.0 - chance)
}

/// Age and miles against the reference car, and care as far as the rest of the car shows it.
fn prior_reasons(
    id: &str,
    car: &CarRecord,
    evidence: &Evidence,
    base: &Diagnosis,
    tables: &Tables,
    links: &DerivedLinks,
    today: Date,
) -> Vec<Reason> {
    let settings = &tables.settings.diagnosis;
    let situation = Situation::of(evidence.facts.clone(), settings, today);
    let row = base.fault(id).map_or(usize::MAX, |fault| fault.row);
    let (Some(fault), Some(hazard)) = (tables.faults.get(row), links.hazards.get(row)) else {
        return Vec::new();
    };
    let mean = |situation: &Situation, weights: &[f64; 5]| {
        let total: f64 = weights.iter().sum();
        let chances = situation.chances(fault, *hazard, settings, &mut [false; FACTS.len()]);
        let chances = chances.unwrap_or_default();
        odds(
            chances
                .iter()
                .zip(weights)
                .map(|(chance, weight)| chance * weight / total)
                .sum(),
        )
    };
    let plain = mean(&situation, &settings.care_weights);
    let young = Situation {
        age: 1.0,
        ..situation.clone()
    };
    let fresh = Situation {
        miles: 1.0,
        ..situation.clone()
    };
    let reference = settings.reference_age_years;
    let mut reasons = Vec::new();
    let mut push = |id: &str, words: String, times: f64| {
        reasons.push(Reason {
            id: id.to_owned(),
            words,
            times,
            is_the_cause: None,
        });
    };
    if car.particulars.year.is_some() {
        let words = format!("{:.0} years old", situation.age * reference);
        push("age", words, plain / mean(&young, &settings.care_weights));
    }
    if car.particulars.odometer_miles.is_some() {
        let miles = (situation.miles * settings.reference_miles).round();
        let words = format!("{} miles", shown(miles));
        push("miles", words, plain / mean(&fresh, &settings.care_weights));
    }
    let times = mean(&situation, &base.care) / plain;
    let words = if times > 1.0 {
        "the rest of the car looks badly kept"
    } else {
        "the rest of the car looks well kept"
    };
    push("care", words.to_owned(), times);
    let odometer = car.particulars.odometer_miles.unwrap_or_default();
    if let Some(part) = known_parts(car, tables).iter().find(|part| part.row == row) {
        let words = format!("this part has {} miles on it", shown(part.miles));
        push("known_age", words, part.times(odometer));
    }
    let (times, told) = weak_spots(fault, &evidence.facts, tables);
    if !told.is_empty() {
        push("weak_spot", "your own list of weak spots".to_owned(), times);
    }
    reasons
}

/// Sets the chance of being a cause beside each symptom that tells nothing but its symptom.
fn name_causes(
    reasons: &mut [Reason],
    reach: &[(String, f64)],
    evidence: &Evidence,
    tables: &Tables,
) {
    for reason in reasons {
        let symptom = evidence.heard.iter().any(|heard| {
            let row = tables.signs.get(heard.sign);
            row.is_some_and(|row| row.id == reason.id && row.causes.is_some())
        });
        if symptom {
            let part = reach.iter().find(|known| known.0 == reason.id);
            reason.is_the_cause = part.map(|known| known.1.clamp(0.0, 1.0));
        }
    }
}
