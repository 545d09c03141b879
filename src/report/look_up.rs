//! Rows of the tables in words, for looking up.

mod find;
mod links;
mod steps;

use super::words;
use crate::car::json::value_of;
use crate::trade::{CodeRow, FaultRow, Severity, SignRow, Tables};
pub use find::{find, is_named, not_ours};
pub use links::{Link, links};
use serde_json::{Map, Value, json};

/// What kind of row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A trouble code.
    Code,
    /// A sign.
    Sign,
    /// A fault.
    Fault,
    /// A repair.
    Repair,
    /// A labor step.
    Operation,
    /// A limit of a reading.
    Limit,
    /// A caution.
    Caution,
    /// A tool.
    Tool,
}

impl Kind {
    /// All kinds, in the order shown.
    pub const ALL: [Self; 8] = [
        Self::Code,
        Self::Sign,
        Self::Fault,
        Self::Repair,
        Self::Operation,
        Self::Limit,
        Self::Caution,
        Self::Tool,
    ];

    /// Its table, as overlays name it.
    #[must_use]
    pub fn table(self) -> &'static str {
        match self {
            Self::Code => "codes",
            Self::Sign => "signs",
            Self::Fault => "faults",
            Self::Repair => "repairs",
            Self::Operation => "operations",
            Self::Limit => "limits",
            Self::Caution => "cautions",
            Self::Tool => "tools",
        }
    }

    /// The word shown and kept in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Code => "code",
            Self::Sign => "sign",
            Self::Fault => "fault",
            Self::Repair => "repair",
            Self::Operation => "operation",
            Self::Limit => "limit",
            Self::Caution => "caution",
            Self::Tool => "tool",
        }
    }
}

/// A row that can be found.
#[derive(Debug, Clone)]
pub struct Entry<'a> {
    /// Kind.
    pub kind: Kind,
    /// Id.
    pub id: &'a str,
    /// Name as shown.
    pub name: &'a str,
    /// Other words by which it is found.
    pub also_called: &'a [String],
}

/// Every row that can be found, codes first.
#[must_use]
pub fn entries(tables: &Tables) -> Vec<Entry<'_>> {
    let plain = |kind, id, name| Entry {
        kind,
        id,
        name,
        also_called: &[],
    };
    let codes = tables
        .codes
        .iter()
        .map(|row| plain(Kind::Code, row.id.as_str(), row.meaning.as_str()));
    let signs = tables.signs.iter().map(|row| Entry {
        kind: Kind::Sign,
        id: &row.id,
        name: &row.name,
        also_called: &row.also_called,
    });
    let mut found: Vec<Entry<'_>> = codes
        .chain(signs)
        .chain(
            tables
                .faults
                .iter()
                .map(|row| plain(Kind::Fault, row.id.as_str(), row.name.as_str())),
        )
        .chain(
            tables
                .repairs
                .iter()
                .map(|row| plain(Kind::Repair, row.id.as_str(), row.name.as_str())),
        )
        .chain(
            tables
                .operations
                .iter()
                .map(|row| plain(Kind::Operation, row.id.as_str(), row.name.as_str())),
        )
        .chain(
            tables
                .limits
                .iter()
                .map(|row| plain(Kind::Limit, row.id.as_str(), row.item.as_str())),
        )
        .chain(
            tables
                .cautions
                .iter()
                .map(|row| plain(Kind::Caution, row.id.as_str(), row.name.as_str())),
        )
        .chain(
            tables
                .tools
                .iter()
                .map(|row| plain(Kind::Tool, row.id.as_str(), row.name.as_str())),
        )
        .collect();
    found.sort_by(|a, b| (a.kind, a.id).cmp(&(b.kind, b.id)));
    found
}

/// Everything the tables say of a row: label and words, in reading order, the source last.
#[must_use]
pub fn details(tables: &Tables, kind: Kind, id: &str) -> Vec<(&'static str, String)> {
    let mut told = match kind {
        Kind::Code => tables.code(id).map(|row| code(tables, row)),
        Kind::Sign => tables.sign(id).map(|row| sign(tables, row)),
        Kind::Fault => tables.fault(id).map(|row| fault(tables, row)),
        Kind::Repair => tables.repair(id).map(|row| steps::repair(tables, row)),
        Kind::Operation => tables
            .operation(id)
            .map(|row| steps::operation(tables, row)),
        Kind::Limit => tables.limit(id).map(steps::limit),
        Kind::Caution => tables.caution(id).map(steps::caution),
        Kind::Tool => tables.tool(id).map(steps::tool),
    }
    .unwrap_or_default();
    told.retain(|(_, words)| !words.is_empty());
    told
}

/// A row as JSON: its own fields, under their names in the tables.
#[must_use]
pub fn json(tables: &Tables, entry: &Entry<'_>) -> Value {
    let row = match entry.kind {
        Kind::Code => tables.code(entry.id).map(value_of),
        Kind::Sign => tables.sign(entry.id).map(value_of),
        Kind::Fault => tables.fault(entry.id).map(value_of),
        Kind::Repair => tables.repair(entry.id).map(value_of),
        Kind::Operation => tables.operation(entry.id).map(value_of),
        Kind::Limit => tables.limit(entry.id).map(value_of),
        Kind::Caution => tables.caution(entry.id).map(value_of),
        Kind::Tool => tables.tool(entry.id).map(value_of),
    };
    let mut fields = Map::new();
    fields.insert("kind".to_owned(), json!(entry.kind.word()));
    fields.insert("id".to_owned(), json!(entry.id));
    fields.insert("name".to_owned(), json!(entry.name));
    fields.insert(
        "row".to_owned(),
        row.and_then(Result::ok).unwrap_or(Value::Null),
    );
    Value::Object(fields)
}

fn fault_name(tables: &Tables, id: &str) -> String {
    tables
        .fault(id)
        .map_or_else(|| id.to_owned(), |row| row.name.clone())
}

fn caution_words(tables: &Tables, ids: &[String]) -> String {
    let told: Vec<String> = ids
        .iter()
        .filter_map(|id| tables.caution(id))
        .map(|row| format!("{} ({})", row.sentence, row.source))
        .collect();
    told.join(" ")
}

fn sourced(source: &str, as_of: &str) -> String {
    format!("{source}, {as_of}")
}

/// A code: what it says, where it points, and all that is known of its sign.
fn code(tables: &Tables, row: &CodeRow) -> Vec<(&'static str, String)> {
    let mut told = vec![
        ("says", row.meaning.clone()),
        ("place", row.place().unwrap_or_default()),
        ("system", row.system.shown().to_owned()),
        ("note", row.note.clone()),
        ("source of the code", sourced(&row.source, &row.as_of)),
    ];
    if let Some(weighed) = tables.sign(&row.sign) {
        told.push(("weighed as", weighed.name.clone()));
        told.extend(sign(tables, weighed));
    }
    told
}

fn sign(tables: &Tables, row: &SignRow) -> Vec<(&'static str, String)> {
    let mut points_to: Vec<(f64, String)> = Vec::new();
    let mut how_known = "";
    if let Some(causes) = &row.causes {
        how_known = "is the cause, in an ordinary car";
        points_to.extend(
            causes
                .weights
                .iter()
                .map(|(id, weight)| (*weight, fault_name(tables, id))),
        );
    } else if let Some(hits) = &row.hits {
        how_known = "shows it, where it is there";
        points_to.extend(
            hits.rates
                .iter()
                .map(|(id, rates)| (rates.iter().sum::<f64>(), fault_name(tables, id))),
        );
    }
    points_to.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let mut told = vec![
        ("question", row.question.clone()),
        ("where", row.stage.clone()),
        ("answers", row.levels.join("; ")),
        ("how", row.how.clone()),
        ("fools you", row.fools_you.clone()),
        ("takes", format!("{} s", row.seconds)),
    ];
    for (share, name) in points_to {
        told.push((
            "points to",
            format!("{name}, {} ({how_known})", words::percent(share)),
        ));
    }
    if let Some(stop) = &row.stop {
        told.push(("stop", stop.sentence.clone()));
    }
    told.push(("caution", caution_words(tables, &row.cautions)));
    told.push(("also called", row.also_called.join(", ")));
    told.push(("note", row.note.clone()));
    told.push(("source", sourced(&row.source, &row.as_of)));
    told
}

fn fault(tables: &Tables, row: &FaultRow) -> Vec<(&'static str, String)> {
    let severities: Vec<&str> = row
        .severities
        .iter()
        .map(|severity| severity_word(*severity))
        .collect();
    let repairs: Vec<String> = row
        .repairs
        .iter()
        .map(|id| {
            tables
                .repair(id)
                .map_or_else(|| id.clone(), |repair| repair.name.clone())
        })
        .collect();
    let shows = |sign: &&SignRow| {
        let causes = sign
            .causes
            .as_ref()
            .is_some_and(|causes| causes.weights.contains_key(&row.id));
        causes
            || sign
                .hits
                .as_ref()
                .is_some_and(|hits| hits.rates.contains_key(&row.id))
    };
    let signs: Vec<String> = tables
        .signs
        .iter()
        .filter(shows)
        .map(|sign| sign.name.clone())
        .collect();
    vec![
        ("system", row.system.shown().to_owned()),
        ("where", row.place.clone()),
        (
            "ordinary",
            format!(
                "{} at 15 years and 150,000 mi, not mentioned",
                words::percent(row.prior)
            ),
        ),
        ("severity", severities.join(", ")),
        ("repairs", repairs.join("; ")),
        ("signs", signs.join("; ")),
        ("caution", caution_words(tables, &row.cautions)),
        ("note", row.note.clone()),
        ("source", sourced(&row.source, &row.as_of)),
    ]
}

fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Unsafe => "unsafe",
        Severity::Strands => "strands",
        Severity::Worsens => "worsens",
        Severity::Annoys => "annoys",
        Severity::Looks => "looks",
    }
}
