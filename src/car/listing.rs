//! The listing, the seller's manner, and cars like it.

use super::in_file;
use super::money::Money;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What kind of seller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SellerKind {
    /// A private person.
    #[default]
    Private,
    /// A dealer.
    Dealer,
    /// An auction.
    Auction,
}

/// An asking price and since when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct AskedPrice {
    /// Amount.
    pub amount: Money,
    /// Since when.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<Date>,
}

/// The advert and the seller.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Listing {
    /// What they ask now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asking: Option<Money>,
    /// What they asked before, oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub asked_before: Vec<AskedPrice>,
    /// First day it was up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub listed_on: Option<Date>,
    /// Kind of seller.
    pub seller_kind: SellerKind,
    /// Seller, in the user's words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub seller: String,
    /// Where the car stands.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// Miles to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub miles_away: Option<f64>,
    /// They say they are open to offers.
    pub open_to_offers: bool,
    /// They say the price is firm.
    pub firm: bool,
    /// The user brings certainty: paid in full at the handover, own transport on a named day.
    pub certainty: bool,
    /// The advert's words, sanitised.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub advert: String,
    /// The whole of what the seller says is on file: the advert, or an answer to "anything else wrong with it?".
    pub whole_text_on_file: bool,
}

/// Whether a comparable's price was asked or paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PriceKind {
    /// Asked.
    #[default]
    Asked,
    /// Sold at.
    Sold,
}

/// A car like it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Comparable {
    /// What it was, in the user's words.
    pub name: String,
    /// Price.
    pub price: Money,
    /// Asked or sold.
    #[serde(default)]
    pub kind: PriceKind,
    /// Model year, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year: Option<u16>,
    /// Miles, if known.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        deserialize_with = "in_file::miles"
    )]
    pub miles: Option<f64>,
    /// How alike, 0 to 1.
    #[serde(default = "alike")]
    pub alike: f64,
}

fn alike() -> f64 {
    1.0
}
