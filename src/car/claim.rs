//! What the seller says, pro or con, and what proves it.

use serde::{Deserialize, Serialize};

/// How a claim or an observation is known.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// The seller says so.
    #[default]
    Said,
    /// A paper says so.
    Paper,
    /// The user saw it.
    Seen,
    /// The user measured it.
    Measured,
}

/// How a claim ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stamp {
    /// Not settled.
    #[default]
    Open,
    /// True.
    Proved,
    /// False.
    Contradicted,
    /// Could not tell.
    Unseen,
}

/// One thing the seller says.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Claim {
    /// In the seller's words.
    pub text: String,
    /// In the car's favor.
    pub pro: bool,
    /// What proves it; absent: nothing, not even a plain statement.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub proof: Option<Known>,
    /// How it ended.
    pub stamp: Stamp,
    /// When a wearing part was last made new. In the car's favor it needs a paper.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub replaced: Option<Replaced>,
    /// The sign it speaks of, and the level claimed. Without proof a pro moves no figure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sign: Option<ClaimedSign>,
}

/// A wearing part whose last renewal a claim gives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Replaced {
    /// Fault id of the part worn out, such as `ENG06`.
    pub part: String,
    /// Odometer when it was new, miles; 0: it is the first one.
    pub at_miles: f64,
}

/// A sign that a claim speaks of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClaimedSign {
    /// Sign id.
    pub id: String,
    /// Level claimed, 0 benign.
    pub level: usize,
}
