//! Signs: anything observable, and what it says of the faults.

use super::ids::{AppliesIf, FaultId, SignId};
use super::limits::ReadingSpec;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What sort of thing a sign is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SignKind {
    /// Felt, heard, smelt or seen in use: usually asked or driven.
    Symptom,
    /// A trouble code.
    Code,
    /// A look at the car in the walk-around.
    Check,
    /// A test with or without tools that tells causes apart.
    Test,
    /// Something a seller admits that is no symptom of its own.
    Admission,
    /// A fact in the papers.
    Paper,
}

/// Who may do a check on somebody else's car.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Invasive {
    /// Anyone may look.
    #[default]
    No,
    /// Ask the seller first.
    AskFirst,
    /// Only on your own car or in a garage.
    OwnerOrGarage,
}

/// A level that ends the deal unless waived in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StopLevel {
    /// First level (0 is benign) that stops.
    pub from_level: usize,
    /// The group a purpose can ignore: `paper`, `flood`, `structure`, `restraint`, `brakes`, `fuel`, `engine`.
    pub group: String,
    /// What to say.
    pub sentence: String,
}

/// Knowledge of the form "when this symptom is there, what is the cause".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Causes {
    /// Share of cases in which each fault is the cause; sums to 1 or less.
    pub weights: BTreeMap<FaultId, f64>,
    /// True where nothing else causes it.
    #[serde(default)]
    pub complete: bool,
    /// Share of ordinary cars that show it, where it is rarer than the scale of the settings has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seen_in: Option<f64>,
    /// How the cases spread over levels 1, 2, …; sums to 1. Omitted: all at level 1 (two-level signs).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub level_shares: Vec<f64>,
}

/// Knowledge of the form "this check finds that fault so often".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hits {
    /// For each fault: chance of levels 1, 2, … when only it is present; the rest is level 0.
    pub rates: BTreeMap<FaultId, Vec<f64>>,
    /// Chance of levels 1, 2, … with no fault at all.
    pub false_alarm: Vec<f64>,
}

/// A test that acts on the cause of another sign.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TestOf {
    /// The signs whose cause it tells (any that is seen; the first seen in this order is used).
    pub signs: Vec<SignId>,
    /// Chance of every level (from 0) given that this fault is the cause; each row sums to 1.
    pub rows: BTreeMap<FaultId, Vec<f64>>,
    /// The same for any cause not named.
    pub other: Vec<f64>,
}

/// A sign: anything observable about a car, its papers or its seller's words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SignRow {
    /// Unique id in words, such as `idle-hunts`, or the code for codes, such as `p0171`.
    pub id: SignId,
    /// Kind.
    pub kind: SignKind,
    /// Short name as shown.
    pub name: String,
    /// Stage of the walk-around: `paper`, `from a distance`, `outside`, `tires, brakes`, `rust`, `hood up, cold`, `fluids`,
    /// `key on, lamps`, `cold start`, `cabin`, `flood signs`, `road test`, `hot restart`, `underneath`, `afterwards`, `questions`.
    pub stage: String,
    /// Order within the stage.
    pub order: u32,
    /// The question in plain words.
    pub question: String,
    /// The same as one puts it to the seller, where that needs other words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub to_seller: String,
    /// What to do.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub how: String,
    /// How it fools you.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub fools_you: String,
    /// Answers in words, benign first; at least two.
    pub levels: Vec<String>,
    /// Cars it makes sense on.
    #[serde(default)]
    pub applies_if: AppliesIf,
    /// Cause weights, where knowledge comes that way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub causes: Option<Causes>,
    /// Hit rates and false alarms, where knowledge comes that way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hits: Option<Hits>,
    /// A test of another sign's cause.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub test_of: Option<TestOf>,
    /// Chance of each level (rows) at each of the five levels of care, neglected first (columns).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub care: Vec<[f64; 5]>,
    /// Chance of each level (rows) at each of the three levels of openness, closed first as in the settings (columns).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub openness: Vec<[f64; 3]>,
    /// Signs that, once seen above benign, say the same more exactly.
    #[serde(default)]
    pub subsumed_by: Vec<SignId>,
    /// One act, one node: signs of the same act share this word and count once, the most direct report.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub act: String,
    /// Other words a person may type to find it.
    #[serde(default)]
    pub also_called: Vec<String>,
    /// Seconds it takes.
    pub seconds: u32,
    /// Seconds of a timer that belongs to it: a pedal held, a car left to stand; 0 for none.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub timer_seconds: u32,
    /// Tools from the tools table.
    #[serde(default)]
    pub tools: Vec<String>,
    /// Who may do it.
    #[serde(default)]
    pub invasive: Invasive,
    /// Dangers that forbid this check: gates of the settings, or signs that do so from level 1 on.
    #[serde(default)]
    pub blocked_by: Vec<SignId>,
    /// Checks to do before this one: without them its answer means little.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub first: Vec<SignId>,
    /// Can be answered from afar by photo or question.
    #[serde(default)]
    pub remote_ok: bool,
    /// Part of an ordinary visit of about an hour.
    #[serde(default)]
    pub ordinary_visit: bool,
    /// How it is measured, where a gauge can.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reading: Option<ReadingSpec>,
    /// Stop, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop: Option<StopLevel>,
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

fn is_zero(seconds: &u32) -> bool {
    *seconds == 0
}
