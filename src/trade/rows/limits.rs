//! Limits of measured readings by rule set, and how a sign takes its level from a reading.

use crate::car::Quantity;
use serde::{Deserialize, Serialize};

/// How grave it is to be outside a limit; later is graver.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Passes; worth watching.
    Watch,
    /// Passes; to be renewed or put right soon.
    Renew,
    /// Fails.
    Limit,
    /// Fails, and not to be driven.
    Danger,
}

/// One limit of one rule set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRow {
    /// Unique id in words.
    pub id: String,
    /// Rule set: `us-49cfr570`, `uk-mot`, `handbook`, `us-epa`, `own`.
    pub rule_set: String,
    /// What is measured: `tread`, `pad`, `battery-rest`…
    pub item: String,
    /// How grave it is to be outside.
    pub grade: Grade,
    /// Unit of the figures, as typed: `in`, `mm`, `V`, `psi`, `%`, `F`, `C`, `mi`, `years`, or empty for a count.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
    /// Least that is inside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<f64>,
    /// Greatest that is inside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub greatest: Option<f64>,
    /// A reading exactly on the figure is outside.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub on_it_is_outside: bool,
    /// Only where this word stands beside the reading: `box`, `joints`, `smart`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub when: String,
    /// From this diameter of the steering wheel, inches.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheel_from_in: Option<f64>,
    /// The figure holds for a wheel of this diameter, millimeters, and grows with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_wheel_mm: Option<f64>,
    /// First model year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year_from: Option<u16>,
    /// Last model year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year_to: Option<u16>,
    /// Kind of vehicle.
    pub vehicle: String,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note: what to mind.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// How several numbers of one reading are taken together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Pattern {
    /// Each against its own limit; the gravest decides.
    #[default]
    Each,
    /// One pressure a cylinder: the lowest against the highest, and whether two neighbors are low.
    Cylinders,
    /// Fuel trims, idle then 2,500 rpm: where they are high.
    Trims,
}

/// Which side of a limit a reading is out on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Either.
    #[default]
    Any,
    /// Under the least.
    Under,
    /// Over the greatest.
    Over,
}

/// A grade and the level of the sign that it means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Band {
    /// Grade of the limit that is broken.
    pub grade: Grade,
    /// Side it is broken on.
    #[serde(default)]
    pub side: Side,
    /// Level of the sign.
    pub level: usize,
}

/// One number of a reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingPart {
    /// Item of the limits table.
    pub item: String,
    /// What it measures.
    pub quantity: Quantity,
    /// What it is, in words: `at rest`.
    pub label: String,
    /// May be left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub optional: bool,
}

/// How a sign is measured. Its level follows from the limits in force.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingSpec {
    /// The numbers, in order.
    pub parts: Vec<ReadingPart>,
    /// How they are taken together.
    #[serde(default)]
    pub pattern: Pattern,
    /// From grade to level; a grade that is not named is level 0.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bands: Vec<Band>,
    /// Greatest count of numbers where there is one for each cylinder; 0: as many as there are parts.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub most: usize,
    /// Example, and the words that may stand beside it.
    pub hint: String,
    /// No eye can tell: the walk opens the field of the number by itself.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub only_a_number: bool,
}

fn is_zero(count: &usize) -> bool {
    *count == 0
}
