//! The car file as a whole: format number, the record, and the steps that undo and redo walk.

use super::record::CarRecord;
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// Format of car files that this version writes.
pub const SCHEMA: u32 = 1;

/// One place of the record that a step changed: a JSON pointer and what stood there before and after.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// JSON pointer into the record.
    pub path: String,
    /// Value before; absent if nothing stood there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<Value>,
    /// Value after; absent if it was removed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Value>,
}

/// One act of the user, as one step back or forward.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// What it was, in words: `brake pedal: sinks while held`.
    pub label: String,
    /// Screen on which it was done, a word of the screens' list.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub screen: String,
    /// Places changed.
    pub changes: Vec<Change>,
}

/// Where the walk round the car stands, to come back to exactly there. No fact of the car, so no step of its own.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct WalkPlace {
    /// The check in hand, by sign id.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub sign: String,
    /// Place in the list of plans: 0 the quick list.
    pub plan: u8,
    /// Most worth knowing first.
    pub by_worth: bool,
    /// Seconds walked.
    pub seconds: u32,
    /// Timers started, by sign id, by the user's clock.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub timers: BTreeMap<String, DateTime>,
}

/// A car file: `<slug>.car.json`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct CarFile {
    /// Format.
    pub schema: u32,
    /// The record.
    pub car: CarRecord,
    /// Where the walk stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub walk: Option<WalkPlace>,
    /// Steps that can be undone, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub undo: Vec<Step>,
    /// Steps that can be done again, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub redo: Vec<Step>,
    /// Fields of this schema that this version does not know.
    #[serde(flatten)]
    pub unknown_fields: Map<String, Value>,
}
