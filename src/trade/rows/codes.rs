//! Trouble codes and the user's weak spots of a model.

use super::ids::{FaultId, SignId};
use crate::car::System;
use serde::{Deserialize, Serialize};

/// A trouble code: what it says, and the sign under which it is weighed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeRow {
    /// The code, such as `P0303`.
    pub id: String,
    /// What it says, in plain words.
    pub meaning: String,
    /// System of the car.
    pub system: System,
    /// The sign that it is: several codes of one meaning share a sign.
    pub sign: SignId,
    /// Cylinder that it names, counted as the maker counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<u8>,
    /// Bank of cylinders that it names: bank 1 has cylinder 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bank: Option<u8>,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl CodeRow {
    /// Where on the engine it points, such as `cylinder 3`; `None` where it names no place.
    #[must_use]
    pub fn place(&self) -> Option<String> {
        match (self.cylinder, self.bank) {
            (Some(cylinder), _) => Some(format!("cylinder {cylinder}")),
            (None, Some(bank)) => Some(format!("bank {bank}")),
            (None, None) => None,
        }
    }
}

/// What the user knows of one model: a fault that is likelier on it, or rarer. It changes how likely, never what it costs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeakSpot {
    /// Words of make and model, in any order, all of which the car's make or model must have.
    pub model: String,
    /// First model year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year_from: Option<u16>,
    /// Last model year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year_to: Option<u16>,
    /// The fault.
    pub fault: FaultId,
    /// So many times likelier; under 1, rarer.
    pub times: f64,
    /// Why.
    pub reason: String,
    /// Where it was heard.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub heard: String,
}
