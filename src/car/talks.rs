//! The rounds of offers and answers.

use super::money::Money;
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};

/// Who spoke.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Who {
    /// The buyer.
    You,
    /// The seller.
    They,
}

/// One move in the talks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Move {
    /// Who.
    pub who: Who,
    /// The figure named; absent for a plain no.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Money>,
    /// What was said with it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime>,
}
