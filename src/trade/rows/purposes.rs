//! Purposes: what the car is for, and what that asks of it.

use super::faults::Severity;
use crate::car::{HouseRules, System, ThreePoint};
use serde::{Deserialize, Serialize};

/// One thing a purpose itself needs on the car.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FitOutItem {
    /// Id in words, unique in the list.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Bought per driver (moves to the next car) or for this car.
    pub per_driver: bool,
    /// Cash.
    pub cash: ThreePoint,
    /// Home hours.
    pub hours: f64,
    /// Any buyer of any car pays it (first service, an advert): counted with the fees.
    #[serde(default)]
    pub in_fees: bool,
    /// Must be done or signed off by a licensed or certified person.
    #[serde(default)]
    pub licensed: bool,
    /// Class under the house rules: `safety`, `tires`, `brakes`, or empty for counted.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub exempt_class: String,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// How a fault that is not put right lowers the worth, as a share of its garage cost.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drops {
    /// For faults that worsen.
    pub worsens: f64,
    /// For faults that annoy.
    pub annoys: f64,
    /// For faults that only spoil the looks.
    pub looks: f64,
}

/// The margin asked under the mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Margin {
    /// Share of the mean worth.
    pub share_of_worth: f64,
    /// Least margin, dollars: the greater of the two is used.
    pub least: f64,
}

/// What the car is for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PurposeRow {
    /// Unique id in words: `daily`, `project`, `track`, `capped-race`, `resale`, `donor`.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Main severities that must be put right whatever the system.
    pub must_right: Vec<Severity>,
    /// Systems in which faults that worsen must be put right too (all, if `must_right` has `worsens`).
    #[serde(default)]
    pub worsens_in: Vec<System>,
    /// Horizon, miles.
    pub horizon_miles: f64,
    /// Drops for faults lived with.
    pub drops: Drops,
    /// Margin on the mean.
    pub margin: Margin,
    /// Chance of not being out of pocket, 0 to 1.
    pub confidence: f64,
    /// Value of an hour, dollars, unless the buyer says otherwise.
    pub hour_value: f64,
    /// Stop groups that end the deal.
    pub stops: Vec<String>,
    /// Race hours over the event; 0 where it is no race.
    #[serde(default)]
    pub race_hours: f64,
    /// What worth means by default: `ordinary`, `sorted`, `ready`, `parts`.
    pub worth_means: String,
    /// What the purpose needs on the car.
    #[serde(default)]
    pub fit_out: Vec<FitOutItem>,
    /// House rules of a capped event, to be replaced by the event's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub house_rules: Option<HouseRules>,
    /// What it ignores, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ignores: String,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}
