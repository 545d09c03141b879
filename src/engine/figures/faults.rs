//! A fault of this car as figures.

use super::basics::Spread;
use super::basics::TraceId;
use crate::car::System;
use crate::trade::Severity;
use serde::Serialize;

/// How a fault is put right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Route {
    /// At home.
    Home,
    /// At home, with a fixed fee to a garage or machine shop.
    Part,
    /// At a garage.
    Garage,
    /// Lived with.
    LivedWith,
}

/// How well a fault is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Seen, measured or pinned certain: a check that looks for the fault itself was bad.
    Seen,
    /// Tied to a sign above benign.
    Likely,
    /// Not looked for, or nothing found: age alone.
    Unseen,
    /// Ruled out by the user.
    RuledOut,
}

/// One reason for or against a fault.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    /// Sign id, or `age`, `miles`, `care`, `silence`, `in use`, `pin`.
    pub id: String,
    /// In words.
    pub words: String,
    /// Odds with it over odds without it; above 1 speaks for the fault.
    pub times: f64,
    /// For a symptom: chance that this fault is its cause, beside being present.
    pub is_the_cause: Option<f64>,
}

/// One way to put a fault right, priced on its own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Way {
    /// Repair id.
    pub repair: String,
    /// Name.
    pub name: String,
    /// Route.
    pub route: Route,
    /// Why this route, in words: `skill 3 of 5, yours 4`, `never at home by price alone: brakes`.
    pub why: String,
    /// Cash, low, likely, high.
    pub cash: [f64; 3],
    /// Own hours, low, likely, high.
    pub hours: [f64; 3],
    /// True for the way the engine takes most often.
    pub chosen: bool,
    /// Source of the row, and its date.
    pub source: String,
}

/// A fault of this car.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FaultFigure {
    /// Fault id.
    pub id: String,
    /// Name.
    pub name: String,
    /// System.
    pub system: System,
    /// Chance that it is present.
    pub chance: f64,
    /// The same in an ordinary car of this age and these miles.
    pub ordinary: f64,
    /// How it is known.
    pub standing: Standing,
    /// Ids of the signs above benign that speak for it.
    pub because_of: Vec<String>,
    /// Reasons, strongest first.
    pub reasons: Vec<Reason>,
    /// Put right for this purpose.
    pub needed: bool,
    /// How it is put right, mostly.
    pub route: Route,
    /// What it does, main one first.
    pub severities: Vec<Severity>,
    /// Cash of the way chosen, done alone, all its amounts moving together; nothing where it is lived with.
    pub cash: Spread,
    /// Own hours of the same.
    pub hours: Spread,
    /// What it takes off the room on average over all draws: repair on its own, or the drop.
    pub takes: f64,
    /// Ways to put it right.
    pub ways: Vec<Way>,
    /// Cautions, ids.
    pub cautions: Vec<String>,
    /// Trace.
    pub trace_id: TraceId,
}
