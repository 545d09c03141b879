//! What was observed: one sign at one level, or a fault held certain or ruled out.

use super::claim::Known;
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};

/// The answer to one sign. No observation at all is "not seen".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Observation {
    /// Sign id; an id the tables do not know is kept, shown and not priced.
    pub sign: String,
    /// The answer.
    pub answer: Answer,
    /// How it is known.
    #[serde(default)]
    pub known: Known,
    /// Said by the seller before it was found: an admission.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub admitted: bool,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// When, by the user's clock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime>,
}

/// What was answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// One of the sign's levels, 0 benign.
    Level(usize),
    /// Looked for and not to be seen: no information, but no longer to come.
    NotSeen,
    /// The car has no such thing.
    NotFitted,
}

/// A fault that the user holds certain or ruled out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Pin {
    /// Certain.
    Certain,
    /// Ruled out.
    RuledOut,
}
