//! What the papers and plates say, as stated and seen. Nothing here is judged.

use super::in_file;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A number read off the car or a paper.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct VinRead {
    /// Where: `title`, `dash`, `door`, `module`.
    pub place: String,
    /// As read, right or wrong.
    pub text: String,
}

/// What the title or the seller says of the odometer (49 CFR 580.5).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OdometerStatement {
    /// The actual mileage.
    Actual,
    /// Over the mechanical limits.
    OverLimits,
    /// Not the actual mileage.
    NotActual,
    /// Exempt from disclosure.
    Exempt,
}

/// A receipt, sticker or sheet with a day or a mileage on it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Receipt {
    /// Its day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<Date>,
    /// Miles on it.
    #[serde(
        skip_serializing_if = "Option::is_none",
        deserialize_with = "in_file::miles"
    )]
    pub miles: Option<f64>,
    /// What for, in a few words.
    pub what: String,
}

/// All papers.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct PaperFacts {
    /// Numbers read in several places.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub vins: Vec<VinRead>,
    /// Built for North America, where it is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub north_american: Option<bool>,
    /// Day of the title.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title_on: Option<Date>,
    /// Brand words on it, such as `salvage`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub brands: String,
    /// Lender named on it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub lender: String,
    /// The lender's release is in hand.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub released: bool,
    /// The seller is the owner named on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seller_is_owner: Option<bool>,
    /// What is said of the odometer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub odometer: Option<OdometerStatement>,
    /// Owners so far, by what they say.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub owners: Option<u8>,
    /// Owned since this year, by what they say.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub owned_since: Option<u16>,
    /// Date codes of the tires.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tires: Vec<String>,
    /// Receipts, stickers, sheets.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub receipts: Vec<Receipt>,
}
