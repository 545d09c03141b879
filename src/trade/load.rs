//! From texts to [`Tables`]: the embedded tables, and the user's overlays laid over them.

use super::rows::{
    CautionRow, CodeRow, FaultRow, LimitRow, OperationRow, PurposeRow, RepairRow, SellableRow,
    SignRow, ToolRow, WeakSpot,
};
use super::settings::Settings;
use super::tables::Tables;
use crate::car::json;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

/// The texts of all tables, as JSON.
#[derive(Debug, Clone, Copy)]
pub struct TableTexts<'a> {
    /// Faults.
    pub faults: &'a str,
    /// Repairs.
    pub repairs: &'a str,
    /// Operations.
    pub operations: &'a str,
    /// Signs.
    pub signs: &'a str,
    /// Trouble codes.
    pub codes: &'a str,
    /// Limits.
    pub limits: &'a str,
    /// Tools.
    pub tools: &'a str,
    /// Cautions.
    pub cautions: &'a str,
    /// Sellables.
    pub sellables: &'a str,
    /// Purposes, one text each.
    pub purposes: &'a [&'a str],
    /// Settings.
    pub settings: &'a str,
}

/// The tables that come with the program.
pub const EMBEDDED: TableTexts<'static> = TableTexts {
    faults: include_str!("../../assets/trade/faults.json"),
    repairs: include_str!("../../assets/trade/repairs.json"),
    operations: include_str!("../../assets/trade/operations.json"),
    signs: include_str!("../../assets/trade/signs.json"),
    codes: include_str!("../../assets/trade/codes.json"),
    limits: include_str!("../../assets/trade/limits.json"),
    tools: include_str!("../../assets/trade/tools.json"),
    cautions: include_str!("../../assets/trade/cautions.json"),
    sellables: include_str!("../../assets/trade/sellables.json"),
    purposes: &[
        include_str!("../../assets/purposes/capped-race.json"),
        include_str!("../../assets/purposes/daily.json"),
        include_str!("../../assets/purposes/donor.json"),
        include_str!("../../assets/purposes/project.json"),
        include_str!("../../assets/purposes/resale.json"),
        include_str!("../../assets/purposes/track.json"),
    ],
    settings: include_str!("../../assets/trade/settings.json"),
};

/// One overlay text and the table it goes over: `faults`, `repairs`, `operations`, `signs`, `limits`, `codes`, `tools`, `cautions`, `sellables`,
/// `purposes` (arrays of partial rows by id) or `settings` (a partial object). What changes a row must say why in `reason`.
/// `weak-spots` is the user's own list of [`WeakSpot`] rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Overlay {
    /// Table.
    pub table: String,
    /// Where it was read, for messages.
    pub place: String,
    /// JSON.
    pub text: String,
}

/// Why tables or an overlay cannot be used: one sentence with place and remedy.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{place}: {what}. {remedy}")]
pub struct TableError {
    /// File or table, row, field.
    pub place: String,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl Tables {
    /// The tables that come with the program.
    ///
    /// # Errors
    /// [`TableError`] if an embedded text is broken, which the tests rule out.
    pub fn embedded() -> Result<Self, TableError> {
        Self::from_texts(&EMBEDDED, &[])
    }

    /// Tables from texts, with overlays over them in the order given.
    ///
    /// # Errors
    /// [`TableError`] says which file, row and field, and what to do.
    pub fn from_texts(texts: &TableTexts<'_>, overlays: &[Overlay]) -> Result<Self, TableError> {
        for overlay in overlays {
            if !TABLE_NAMES.contains(&overlay.table.as_str()) {
                return Err(TableError {
                    place: overlay.place.clone(),
                    what: format!("there is no table named “{}”", overlay.table),
                    remedy: format!("Name the file after one of: {}", TABLE_NAMES.join(", ")),
                });
            }
        }
        let purposes = format!("[{}]", texts.purposes.join(","));
        Ok(Self {
            faults: table::<FaultRow>("faults", texts.faults, overlays, |row| &row.id)?,
            repairs: table::<RepairRow>("repairs", texts.repairs, overlays, |row| &row.id)?,
            operations: table::<OperationRow>("operations", texts.operations, overlays, |row| {
                &row.id
            })?,
            signs: table::<SignRow>("signs", texts.signs, overlays, |row| &row.id)?,
            codes: table::<CodeRow>("codes", texts.codes, overlays, |row| &row.id)?,
            limits: table::<LimitRow>("limits", texts.limits, overlays, |row| &row.id)?,
            tools: table::<ToolRow>("tools", texts.tools, overlays, |row| &row.id)?,
            cautions: table::<CautionRow>("cautions", texts.cautions, overlays, |row| &row.id)?,
            sellables: table::<SellableRow>("sellables", texts.sellables, overlays, |row| &row.id)?,
            purposes: table::<PurposeRow>("purposes", &purposes, overlays, |row| &row.id)?,
            weak_spots: weak_spots(overlays)?,
            settings: settings(texts.settings, overlays)?,
        })
    }
}

const TABLE_NAMES: &[&str] = &[
    "cautions",
    "codes",
    "faults",
    "limits",
    "operations",
    "purposes",
    "repairs",
    "sellables",
    "settings",
    "signs",
    "tools",
    WEAK_SPOTS,
];

/// The user's own list of what breaks on which model.
const WEAK_SPOTS: &str = "weak-spots";

/// One table: parsed straight where nothing lies over it, by way of values where something does.
fn table<Row: DeserializeOwned>(
    name: &str,
    text: &str,
    overlays: &[Overlay],
    id: impl Fn(&Row) -> &String,
) -> Result<Vec<Row>, TableError> {
    let mine: Vec<&Overlay> = overlays
        .iter()
        .filter(|overlay| overlay.table == name)
        .collect();
    let mut rows: Vec<Row> = if mine.is_empty() {
        parse(name, text)?
    } else {
        let mut values: Vec<Map<String, Value>> = parse(name, text)?;
        for overlay in &mine {
            lay_over(&mut values, overlay)?;
        }
        let mut rows = Vec::with_capacity(values.len());
        for value in values {
            let row_id = value
                .get("id")
                .and_then(Value::as_str)
                .unwrap_or("?")
                .to_owned();
            rows.push(from_value(&mine, name, &row_id, &Value::Object(value))?);
        }
        rows
    };
    rows.sort_by(|a, b| id(a).cmp(id(b)));
    Ok(rows)
}

fn parse<T: DeserializeOwned>(place: &str, text: &str) -> Result<T, TableError> {
    json::read(text).map_err(|unread| TableError {
        place: format!("{place}, {}", unread.field),
        what: unread.error.to_string(),
        remedy: "Mend that place".to_owned(),
    })
}

fn from_value<Row: DeserializeOwned>(
    overlays: &[&Overlay],
    table: &str,
    row_id: &str,
    value: &Value,
) -> Result<Row, TableError> {
    json::of_value(value).map_err(|unread| {
        let place = overlays
            .iter()
            .rev()
            .find(|overlay| overlay.text.contains(row_id))
            .map_or_else(|| table.to_owned(), |overlay| overlay.place.clone());
        TableError {
            place: format!("{place}, row {row_id}, {}", unread.field),
            what: unread.why(),
            remedy: "Mend that field, or take the row out".to_owned(),
        }
    })
}

/// Partial rows by id over the rows they name; a whole row with a new id is added.
fn lay_over(rows: &mut Vec<Map<String, Value>>, overlay: &Overlay) -> Result<(), TableError> {
    let partial: Vec<Map<String, Value>> = parse(&overlay.place, &overlay.text)?;
    for mut row in partial {
        let Some(id) = row.get("id").and_then(Value::as_str).map(str::to_owned) else {
            return Err(TableError {
                place: overlay.place.clone(),
                what: "a row has no id".to_owned(),
                remedy: "Give it the id of the row it goes over".to_owned(),
            });
        };
        let old = rows
            .iter_mut()
            .find(|old| old.get("id").and_then(Value::as_str) == Some(id.as_str()));
        // The user's own reason is for people; rows have a note for that.
        let reason = row.remove("reason").filter(says_something);
        if old.is_some() && reason.is_none() {
            return Err(no_reason(format!("{}, row {id}", overlay.place)));
        }
        row.extend(reason.map(|reason| ("note".to_owned(), reason)));
        match old {
            Some(old) => {
                for (field, value) in row {
                    old.insert(field, value);
                }
            }
            None => rows.push(row),
        }
    }
    Ok(())
}

fn says_something(reason: &Value) -> bool {
    reason
        .as_str()
        .is_some_and(|words| !words.trim().is_empty())
}

fn no_reason(place: String) -> TableError {
    TableError {
        place,
        what: "no reason is given for the change".to_owned(),
        remedy: "Add a “reason” in words".to_owned(),
    }
}

/// The user's weak spots, in the order of the files.
fn weak_spots(overlays: &[Overlay]) -> Result<Vec<WeakSpot>, TableError> {
    let mut found: Vec<WeakSpot> = Vec::new();
    for overlay in overlays.iter().filter(|one| one.table == WEAK_SPOTS) {
        let rows: Vec<WeakSpot> = parse(&overlay.place, &overlay.text)?;
        for (at, row) in rows.iter().enumerate() {
            let place = || format!("{}, row {}, {}", overlay.place, at + 1, row.fault);
            if row.reason.trim().is_empty() {
                return Err(no_reason(place()));
            }
            if row.model.trim().is_empty() {
                return Err(TableError {
                    place: place(),
                    what: "no make or model is named".to_owned(),
                    remedy: "Add words of it as “model”".to_owned(),
                });
            }
        }
        found.extend(rows);
    }
    Ok(found)
}

fn settings(text: &str, overlays: &[Overlay]) -> Result<Settings, TableError> {
    let mine: Vec<&Overlay> = overlays
        .iter()
        .filter(|overlay| overlay.table == "settings")
        .collect();
    if mine.is_empty() {
        return parse("settings", text);
    }
    let mut value: Value = parse("settings", text)?;
    for overlay in &mine {
        let mut over: Value = parse(&overlay.place, &overlay.text)?;
        let reason = over
            .as_object_mut()
            .and_then(|fields| fields.remove("reason"));
        if !reason.is_some_and(|reason| says_something(&reason)) {
            return Err(no_reason(overlay.place.clone()));
        }
        merge(&mut value, over);
    }
    from_value(&mine, "settings", "settings", &value)
}

fn merge(under: &mut Value, over: Value) {
    match (under, over) {
        (Value::Object(under), Value::Object(over)) => {
            for (field, value) in over {
                merge(under.entry(field).or_insert(Value::Null), value);
            }
        }
        (under, over) => *under = over,
    }
}
