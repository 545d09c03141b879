//! temporary
use super::figures::{Offer, OfferKind};
use crate::car::{Listing, Money, Move};
use crate::trade::settings::OfferSettings;
use jiff::civil::Date;
/// temporary
pub struct OfferInputs<'a> {
    pub asking: Money,
    pub limit: Money,
    pub floor: Money,
    pub best_alternative: Money,
    pub proven_faults: bool,
    pub listing: &'a Listing,
    pub non_runner: bool,
    pub today: Date,
    pub talks: &'a [Move],
    pub settings: &'a OfferSettings,
}
/// temporary
pub fn plan(_i: &OfferInputs<'_>) -> Offer { no_offer("tmp") }
/// No offer, and why.
#[must_use]
pub fn no_offer(words: &str) -> Offer {
    Offer { kind: OfferKind::Leave, open: None, steps: Vec::new(), settle: None, limit: None, take_it_at: None, chance_of_deal: None, midpoint: None, words: words.to_owned(), would_take: Vec::new(), belief: Vec::new(), belief_from: 0.0, belief_to: 0.0, trace_id: "offer".to_owned() }
}
