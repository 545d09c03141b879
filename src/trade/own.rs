//! Figures of the user's own over those of the tables: which can be changed, which are, why, and the text of the overlay that says so.
//!
//! Each change is a partial row of its own, `{"id", one field, "reason"}`, so that one can be taken back without the others.

use super::load::{Overlay, TableError, TableTexts};
use super::tables::Tables;
use crate::car::json::value_of;
use serde_json::{Map, Value, json};

/// How a figure is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FigureKind {
    /// A share from 0 to 1, typed in percent.
    Share,
    /// Money at three points.
    Money,
    /// Hours at three points.
    Hours,
    /// A number.
    Number,
    /// A whole number.
    Whole,
}

/// A figure of a row that can be changed.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnFigure {
    /// Field, with its place inside it after slashes: `prior`, `parts/0/new`.
    pub field: String,
    /// In words.
    pub label: String,
    /// As it is in force.
    pub value: Value,
    /// How it is written.
    pub kind: FigureKind,
}

/// A change that is in force.
#[derive(Debug, Clone, PartialEq)]
pub struct Own {
    /// Table.
    pub table: String,
    /// Row.
    pub id: String,
    /// Field, without places inside it.
    pub field: String,
    /// What it says.
    pub value: Value,
    /// Why, in the user's words.
    pub reason: String,
}

/// A change to make, or to take back.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnChange {
    /// Table.
    pub table: String,
    /// Row.
    pub id: String,
    /// Field, with its place inside it after slashes.
    pub field: String,
    /// What it is to say, and why; `None`: as the table has it.
    pub to: Option<(Value, String)>,
}

/// The row as the tables have it now.
fn row(tables: &Tables, table: &str, id: &str) -> Option<Value> {
    let row = match table {
        "faults" => tables.fault(id).map(value_of),
        "repairs" => tables.repair(id).map(value_of),
        "operations" => tables.operation(id).map(value_of),
        "signs" => tables.sign(id).map(value_of),
        "limits" => tables.limit(id).map(value_of),
        "tools" => tables.tool(id).map(value_of),
        _ => None,
    };
    row?.ok()
}

/// The figures of a row that can be changed, those that are there.
#[must_use]
pub fn figures(tables: &Tables, table: &str, id: &str) -> Vec<OwnFigure> {
    let Some(row) = row(tables, table, id) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let mut put = |field: &str, label: &str, kind: FigureKind| {
        let value = row.pointer(&format!("/{field}"));
        if let Some(value) = value.filter(|value| !value.is_null()) {
            out.push(OwnFigure {
                field: field.to_owned(),
                label: label.to_owned(),
                value: value.clone(),
                kind,
            });
        }
    };
    match table {
        "faults" => {
            put("prior", "ordinary chance", FigureKind::Share);
            put("owner_sees", "an owner sees it", FigureKind::Share);
            put("hidden_share", "hidden share", FigureKind::Share);
        }
        "repairs" => {
            let parts = row.get("parts").and_then(Value::as_array);
            for (at, part) in parts.into_iter().flatten().enumerate() {
                let name = part.get("name").and_then(Value::as_str).unwrap_or("part");
                put(
                    &format!("parts/{at}/new"),
                    &format!("{name}, new"),
                    FigureKind::Money,
                );
                put(
                    &format!("parts/{at}/used"),
                    &format!("{name}, used"),
                    FigureKind::Money,
                );
            }
            put("consumables", "consumables", FigureKind::Money);
            put("outside_fee", "outside fee", FigureKind::Money);
            put("skill", "skill", FigureKind::Whole);
        }
        "operations" => {
            put("hours", "garage hours", FigureKind::Hours);
            put("home_factor", "times longer at home", FigureKind::Number);
        }
        "signs" => put("seconds", "seconds", FigureKind::Whole),
        "limits" => {
            put("least", "least", FigureKind::Number);
            put("greatest", "greatest", FigureKind::Number);
        }
        "tools" => {
            put("buy", "buy", FigureKind::Money);
            put("hire", "hire", FigureKind::Money);
        }
        _ => {}
    }
    out
}

/// The field without its place inside.
#[must_use]
pub fn top(field: &str) -> &str {
    field.split('/').next().unwrap_or(field)
}

/// The changes that overlays hold, in their order. Whole rows of the user's own are changes of each of their fields.
#[must_use]
pub fn own(overlays: &[Overlay]) -> Vec<Own> {
    let mut out = Vec::new();
    for overlay in overlays {
        for row in rows_of(&overlay.text).unwrap_or_default() {
            let word = |field: &str| row.get(field).and_then(Value::as_str).unwrap_or_default();
            for (field, value) in row.iter().filter(|(field, _)| is_figure(field)) {
                out.push(Own {
                    table: overlay.table.clone(),
                    id: word("id").to_owned(),
                    field: field.clone(),
                    value: value.clone(),
                    reason: word("reason").to_owned(),
                });
            }
        }
    }
    out
}

fn is_figure(field: &str) -> bool {
    !matches!(field, "id" | "reason" | "note" | "source" | "as_of")
}

fn rows_of(text: &str) -> Option<Vec<Map<String, Value>>> {
    serde_json::from_str(text).ok()
}

/// The overlays after a change, with the tables over which they lie; `folder` names the place of an overlay that is not there yet.
///
/// # Errors
/// [`TableError`] where an overlay cannot be read, the change has no reason or is not there to take back, or the tables refuse it; then
/// nothing is to be written.
pub fn apply(
    texts: &TableTexts<'_>,
    overlays: &[Overlay],
    folder: &str,
    change: &OwnChange,
) -> Result<(Vec<Overlay>, Tables), TableError> {
    let before = Tables::from_texts(texts, overlays)?;
    let mut overlays = overlays.to_vec();
    let at = overlays
        .iter()
        .rposition(|overlay| overlay.table == change.table)
        .unwrap_or_else(|| {
            overlays.push(Overlay {
                table: change.table.clone(),
                place: format!("{folder}/{}.json", change.table),
                text: "[]".to_owned(),
            });
            overlays.len() - 1
        });
    if let Some(overlay) = overlays.get_mut(at) {
        let wrong = |what: &str, remedy: &str| TableError {
            place: format!("{}, row {}", overlay.place, change.id),
            what: what.to_owned(),
            remedy: remedy.to_owned(),
        };
        let mut rows = rows_of(&overlay.text)
            .ok_or_else(|| wrong("it is not a list of rows", "Mend the file"))?;
        match &change.to {
            Some((_, reason)) if reason.trim().is_empty() => {
                return Err(wrong(
                    "no reason is given for the change",
                    "Say why in words",
                ));
            }
            Some((value, reason)) => {
                let there = row(&before, &change.table, &change.id);
                let whole = there
                    .and_then(|row| put_in(row, &change.field, value))
                    .ok_or_else(|| wrong("there is no such figure", "Look the row up again"))?;
                take_out(&mut rows, change);
                let id = Value::String(change.id.clone());
                let mut row = Map::new();
                row.insert("id".to_owned(), id);
                row.insert(top(&change.field).to_owned(), whole);
                row.insert("reason".to_owned(), json!(reason.trim()));
                rows.push(row);
            }
            None if !take_out(&mut rows, change) => {
                return Err(wrong(
                    "nothing of yours is there",
                    "It is as the table has it",
                ));
            }
            None => {}
        }
        let text = serde_json::to_string_pretty(&rows)
            .map_err(|error| wrong(&error.to_string(), "Nothing was written"))?;
        overlay.text = format!("{text}\n");
    }
    let tables = Tables::from_texts(texts, &overlays)?;
    Ok((overlays, tables))
}

/// The whole field of a row, with one place in it changed.
fn put_in(mut row: Value, field: &str, value: &Value) -> Option<Value> {
    let place = row.pointer_mut(&format!("/{field}"))?;
    *place = value.clone();
    row.get(top(field)).cloned()
}

/// Takes a field out of every partial row of an id; rows that say nothing else go. True if it was there.
fn take_out(rows: &mut Vec<Map<String, Value>>, change: &OwnChange) -> bool {
    let mut found = false;
    let field = top(&change.field);
    for row in rows.iter_mut() {
        if row.get("id").and_then(Value::as_str) == Some(change.id.as_str()) {
            found |= row.remove(field).is_some();
        }
    }
    rows.retain(|row| row.keys().any(|field| is_figure(field)));
    found
}
