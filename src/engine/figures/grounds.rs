//! What figures stand on: stops, cautions, assumptions, the trace.

use super::basics::TraceId;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// A finding that ends the deal unless waived.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    /// Sign or wish id.
    pub id: String,
    /// Sentence.
    pub sentence: String,
    /// Waived, in these words.
    pub waived: Option<String>,
    /// Trace.
    pub trace_id: TraceId,
}

/// A caution that this car's checks and repairs need.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CautionFigure {
    /// Id.
    pub id: String,
    /// Sentence.
    pub sentence: String,
    /// Source.
    pub source: String,
}

/// One thing that had to be assumed or is in force.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Assumption {
    /// Id.
    pub id: String,
    /// In words.
    pub words: String,
}

/// What the figures stand on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assumptions {
    /// Day.
    pub date: Date,
    /// Buyer file or `the built-in plain buyer`.
    pub buyer: String,
    /// Purpose id.
    pub purpose: String,
    /// Draws.
    pub draws: u32,
    /// Seed.
    pub seed: u64,
    /// Date of the tables.
    pub tables_as_of: String,
    /// What had to be assumed.
    pub assumed: Vec<Assumption>,
}

/// What stands behind a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TraceKind {
    /// The parts add up to it.
    Sum,
    /// The parts multiply to it, or weigh on it.
    Product,
    /// The least or greatest of the parts.
    Choice,
    /// An entry of the user's, with where it was made.
    Entry,
    /// A row of a table.
    Row,
    /// A setting or a buyer's number.
    Setting,
    /// A summary over the draws.
    Draws,
}

/// One node of the trace.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TraceNode {
    /// Label.
    pub label: String,
    /// Figure as shown, or empty.
    pub value: String,
    /// The same as a number where it is one, in the unit of the label.
    pub amount: Option<f64>,
    /// One sentence of meaning.
    pub sentence: String,
    /// Kind.
    pub kind: TraceKind,
    /// What it is made of.
    pub parts: Vec<TraceId>,
    /// Source of a row or setting, with its date; or where the entry was made.
    pub source: String,
}

/// From every figure to inputs, table rows and assumptions.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Trace {
    /// Nodes by id.
    pub nodes: BTreeMap<TraceId, TraceNode>,
}
