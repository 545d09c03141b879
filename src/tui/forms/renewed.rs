//! When a wearing part was last made new, as a claim says it.

use super::{Field, Form, Kind, Purpose, Wrong};
use crate::car::{Replaced, entry};
use crate::trade::FaultRow;
use crate::tui::app::{App, Effect};

/// Names shown where a word fits several parts.
const SHOWN: usize = 4;

pub fn renewed(app: &App, at: usize) -> Form {
    let claim = app.claims().get(at);
    let known = claim.and_then(|claim| claim.replaced.as_ref());
    let part = known.map_or_else(String::new, |new| {
        let row = app.data.tables.fault(&new.part);
        row.map_or_else(|| new.part.clone(), |row| row.name.clone())
    });
    let miles = known.map_or_else(String::new, |new| format!("{:.0}", new.at_miles));
    let fields = vec![
        Field::line(
            "part",
            "part",
            Kind::Text,
            &part,
            "timing belt, battery, brake pads; empty takes it away",
        ),
        Field::line(
            "miles",
            "new at",
            Kind::Miles(entry::RECEIPT),
            &miles,
            "odometer then, 120k; 0 where it is the first one",
        ),
    ];
    Form::new(Purpose::Renewed(at), "part made new", fields).with_note(
        "A part proved new lifts the limit, one known to be old lowers it. In its favor it needs a paper: p.",
    )
}

pub fn keep_renewed(form: &Form, app: &mut App, at: usize) -> Result<Vec<Effect>, Wrong> {
    let typed = form.text("part");
    let replaced = if typed.is_empty() {
        None
    } else {
        let Some(at_miles) = form.miles("miles")? else {
            return Err(Wrong::at("miles", "the odometer when it was new, or 0."));
        };
        let odometer = app
            .data
            .record()
            .and_then(|car| car.particulars.odometer_miles);
        if odometer.is_some_and(|now| at_miles > now) {
            return Err(Wrong::at("miles", "that is more than the car has now."));
        }
        Some(Replaced {
            part: part_of(app, &typed)?,
            at_miles,
        })
    };
    let Some(claim) = app.claims().get(at) else {
        return Ok(Vec::new());
    };
    let unproved = claim.pro
        && claim
            .proof
            .is_none_or(|proof| proof < crate::car::Known::Paper);
    let says_so = replaced.is_some() && unproved;
    let effects = app.edit("part made new", |car| {
        if let Some(claim) = car.claims.get_mut(at) {
            claim.replaced = replaced;
        }
    });
    if says_so {
        app.say("without a paper it changes no figure: p".to_owned());
    }
    Ok(effects)
}

/// The wearing part that is meant: all its words typed, in any order; the shortest name where one begins all.
fn part_of(app: &App, typed: &str) -> Result<String, Wrong> {
    let words: Vec<String> = typed
        .to_lowercase()
        .split_whitespace()
        .map(str::to_owned)
        .collect();
    let fits = |row: &&FaultRow| {
        let name = row.name.to_lowercase();
        row.life.is_some() && words.iter().all(|word| name.contains(word.as_str()))
    };
    let exact = |row: &&FaultRow| row.id.eq_ignore_ascii_case(typed) || row.name == typed;
    let tables = &app.data.tables;
    if let Some(row) = tables
        .faults
        .iter()
        .find(exact)
        .filter(|row| row.life.is_some())
    {
        return Ok(row.id.clone());
    }
    let found: Vec<&FaultRow> = tables.faults.iter().filter(fits).collect();
    match found.as_slice() {
        [] => Err(Wrong::at(
            "part",
            "no part that wears has these words: say timing belt, battery, brake pads.",
        )),
        [one] => Ok(one.id.clone()),
        several => {
            let names: Vec<&str> = several
                .iter()
                .take(SHOWN)
                .map(|row| row.name.as_str())
                .collect();
            Err(Wrong::at(
                "part",
                format!("which of: {}?", names.join("; ")),
            ))
        }
    }
}
