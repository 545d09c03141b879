//! Tools, cautions, and parts that may be sold off.

use super::ids::{AppliesIf, FaultId};
use crate::car::ThreePoint;
use serde::{Deserialize, Serialize};

/// A tool, place or pair of hands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToolRow {
    /// Unique id in words.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Price to buy; absent where it is not bought (a helper).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buy: Option<ThreePoint>,
    /// Price to hire or borrow for a job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hire: Option<ThreePoint>,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A warning with its official source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionRow {
    /// Unique id in words.
    pub id: String,
    /// The danger in a word or two.
    pub name: String,
    /// The sentence shown.
    pub sentence: String,
    /// Law and section, or body and report.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A part that may be sold off the car.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SellableRow {
    /// Unique id in words.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Likely price in a private sale.
    pub price: ThreePoint,
    /// Hours to remove, at home.
    pub hours: f64,
    /// Cars that have it.
    #[serde(default)]
    pub applies_if: AppliesIf,
    /// Faults that make it worthless.
    #[serde(default)]
    pub spoiled_by: Vec<FaultId>,
    /// Law restricts its sale.
    #[serde(default)]
    pub restricted: bool,
    /// The car may not use the road without it.
    #[serde(default)]
    pub needed_on_road: bool,
    /// Safety item it belongs to (`restraint`, `seat`, `brakes`), or empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tied_to: String,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}
