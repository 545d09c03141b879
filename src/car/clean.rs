//! Words read from a file made safe: a file may come from anyone. Fields that this version does not know are
//! left as they are, as they are never shown.

use super::buyer::Buyer;
use super::file::{CarFile, Change, Step};
use super::record::CarRecord;
use super::text::{one_line, sanitise};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Makes every text of a car file safe to show.
pub fn car_file(file: &mut CarFile) {
    record(&mut file.car);
    if let Some(walk) = &mut file.walk {
        line(&mut walk.sign);
        keys(&mut walk.timers);
    }
    for step in file.undo.iter_mut().chain(&mut file.redo) {
        clean_step(step);
    }
}

/// Makes every text of a buyer file safe to show.
pub fn buyer(buyer: &mut Buyer) {
    line(&mut buyer.purpose);
    for set in [
        &mut buyer.tools,
        &mut buyer.takes_home,
        &mut buyer.owned_fit_out,
        &mut buyer.touched,
    ] {
        lines(set);
    }
    if let Some(rules) = &mut buyer.house_rules {
        lines(&mut rules.exempt_classes);
    }
    for wish in &mut buyer.wishes {
        line(&mut wish.id);
        line(&mut wish.words);
    }
}

fn record(car: &mut CarRecord) {
    let particulars = &mut car.particulars;
    let listing = &mut car.listing;
    for text in [
        &mut car.name,
        &mut car.currency,
        &mut particulars.make,
        &mut particulars.model,
        &mut listing.seller,
        &mut listing.place,
    ] {
        line(text);
    }
    many(&mut listing.advert);
    for claim in &mut car.claims {
        many(&mut claim.text);
        if let Some(sign) = &mut claim.sign {
            line(&mut sign.id);
        }
        if let Some(new) = &mut claim.replaced {
            line(&mut new.part);
        }
    }
    for seen in &mut car.observations {
        line(&mut seen.sign);
        many(&mut seen.note);
    }
    for like in &mut car.worth.comparables {
        line(&mut like.name);
    }
    papers_and_checks(car);
    keys(&mut car.pins);
    keys(&mut car.routes);
    keys(&mut car.waivers);
    keys(&mut car.wishes_met);
    for waiver in car.waivers.values_mut() {
        many(&mut waiver.words);
    }
    for turn in &mut car.talks {
        many(&mut turn.words);
    }
    car.notes.iter_mut().for_each(many);
}

fn papers_and_checks(car: &mut CarRecord) {
    for read in &mut car.codes {
        line(&mut read.code);
    }
    let papers = &mut car.papers;
    line(&mut papers.brands);
    line(&mut papers.lender);
    papers.tires.iter_mut().for_each(line);
    for read in &mut papers.vins {
        line(&mut read.place);
        line(&mut read.text);
    }
    for receipt in &mut papers.receipts {
        line(&mut receipt.what);
    }
    keys(&mut car.checks);
    for check in car.checks.values_mut() {
        many(&mut check.note);
        line(&mut check.photo);
        if let Some(reading) = &mut check.reading {
            line(&mut reading.typed);
            reading.words.iter_mut().for_each(line);
        }
    }
}

fn clean_step(step: &mut Step) {
    line(&mut step.label);
    line(&mut step.screen);
    for Change {
        path,
        before,
        after,
    } in &mut step.changes
    {
        line(path);
        for value in [before, after].into_iter().flatten() {
            deep(value);
        }
    }
}

/// Any value of a step: at most 127 levels deep, or the file would not have been read.
fn deep(value: &mut Value) {
    match value {
        Value::String(text) => many(text),
        Value::Array(items) => items.iter_mut().for_each(deep),
        Value::Object(fields) => fields.values_mut().for_each(deep),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// Lines keep their blanks as they are; only what is unsafe goes.
fn line(text: &mut String) {
    let safe = sanitise(text);
    *text = if safe.contains('\n') {
        one_line(&safe)
    } else {
        safe
    };
}

fn many(text: &mut String) {
    *text = sanitise(text);
}

fn lines(set: &mut BTreeSet<String>) {
    *set = std::mem::take(set)
        .into_iter()
        .map(|mut text| {
            line(&mut text);
            text
        })
        .collect();
}

fn keys<V>(map: &mut BTreeMap<String, V>) {
    *map = std::mem::take(map)
        .into_iter()
        .map(|(mut key, value)| {
            line(&mut key);
            (key, value)
        })
        .collect();
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::car::text::is_banned;

    #[test]
    fn no_text_of_a_hostile_file_keeps_a_command() {
        let bad = "x\u{1b}[2J\u{202e}";
        let text = serde_json::json!({
            "schema": 1,
            "car": {
                "name": bad, "currency": bad,
                "particulars": { "make": bad, "model": bad },
                "listing": { "seller": bad, "place": bad, "advert": bad },
                "claims": [{ "text": bad, "sign": { "id": bad, "level": 1 } }],
                "observations": [{ "sign": bad, "answer": "not_seen", "note": bad }],
                "worth": { "comparables": [{ "name": bad, "price": "1" }] },
                "pins": { bad: "certain" }, "routes": { bad: "home" },
                "waivers": { bad: { "words": bad, "on": "2026-11-14" } },
                "talks": [{ "who": "they", "words": bad }],
                "notes": [bad], "wishes_met": { bad: true }
            },
            "undo": [{ "label": bad, "screen": bad, "changes": [
                { "path": format!("/pins/{bad}"), "before": { "a": [bad] }, "after": bad }
            ] }]
        });
        let mut file: CarFile = crate::car::json::of_value(&text).unwrap();
        car_file(&mut file);
        let shown = crate::car::json::value_of(&file).unwrap();
        fn all_safe(value: &Value) -> bool {
            match value {
                Value::String(text) => !text.chars().any(is_banned),
                Value::Array(items) => items.iter().all(all_safe),
                Value::Object(fields) => fields
                    .iter()
                    .all(|(key, value)| !key.chars().any(is_banned) && all_safe(value)),
                _ => true,
            }
        }
        assert!(all_safe(&shown), "{shown:#}");
        assert_eq!(file.car.listing.advert, "x[2J");
    }
}
