//! Faults: what breaks, how often, what it does.

use super::ids::{AppliesIf, FaultId, RepairId};
use crate::car::System;
use serde::{Deserialize, Serialize};

/// What a fault does to the owner. The first in a row's list is the main one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// It can hurt somebody.
    Unsafe,
    /// It leaves you at the roadside.
    Strands,
    /// It breaks other parts if left.
    Worsens,
    /// It spoils the use of the car.
    Annoys,
    /// It spoils the sight of the car.
    Looks,
}

/// Weibull life of a part that wears.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Life {
    /// Scale, miles.
    pub eta_miles: f64,
    /// Shape; above 1 wears out.
    pub beta: f64,
}

/// A root-cause defect that a repair removes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaultRow {
    /// Unique id, such as `ENG01`.
    pub id: FaultId,
    /// Name as shown, lower case.
    pub name: String,
    /// System of the car; skill is held by system.
    pub system: System,
    /// Where on the car.
    #[serde(rename = "where")]
    pub place: String,
    /// Cars that can have it.
    #[serde(default)]
    pub applies_if: AppliesIf,
    /// Chance that it is present and not mentioned, on a running car of 15 years and 150,000 miles.
    pub prior: f64,
    /// Exponent of miles / 150,000 in the hazard.
    pub miles_exponent: f64,
    /// Exponent of age / 15 in the hazard.
    pub age_exponent: f64,
    /// Driven by rust: road salt multiplies it.
    #[serde(default)]
    pub salt: bool,
    /// How visible it is to the owner, 0 to 1.
    pub owner_sees: f64,
    /// Share that no driveway check can show; omitted: the default.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hidden_share: Option<f64>,
    /// Can be seen without tools on the parked car: a price "as it looks" already has it.
    #[serde(default)]
    pub in_plain_view: bool,
    /// Repairs that cure it, any one of them.
    pub repairs: Vec<RepairId>,
    /// What it does, main one first.
    pub severities: Vec<Severity>,
    /// Share of failures that strand the car.
    #[serde(default)]
    pub strand_share: f64,
    /// If left: strandings per 1,000 miles.
    #[serde(default)]
    pub strands_per_1000_miles: f64,
    /// Share of engine power left while it is present.
    #[serde(default = "one")]
    pub power_kept: f64,
    /// Life, where the part wears.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub life: Option<Life>,
    /// Dollars off the worth when lived with; omitted: the purpose's share of the garage cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop_if_lived_with: Option<f64>,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation, `common practice, no source` or `from memory`.
    pub source: String,
    /// Year and month of the figures.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

fn one() -> f64 {
    1.0
}
