//! What a car of a given value is worth as a deal: the best offer against what we believe of the seller.

use crate::engine::amounts::dollars;
use crate::engine::belief::Acceptance;
use crate::engine::offer::OfferInputs;
use crate::engine::seller::Talks;

/// Offers tried.
const OFFERS: u32 = 96;

/// Expected gain of the best offer by value: the greatest of (value - offer) x chance that it is taken, or nothing. Convex in the value.
pub(super) struct Gain {
    /// Offers with the chance that each is taken.
    offers: Vec<(f64, f64)>,
}

impl Gain {
    /// Against the seller as read; without a figure asked the whole value counts, as if the car were given away.
    pub(super) fn of(inputs: Option<&OfferInputs<'_>>) -> Self {
        let Some(inputs) = inputs.filter(|inputs| dollars(inputs.asking) > 0.0) else {
            return Self {
                offers: vec![(0.0, 1.0)],
            };
        };
        let talks = Talks::read(inputs);
        if let Some(agreed) = talks.agreed {
            return Self {
                offers: vec![(dollars(agreed.price), 1.0)],
            };
        }
        let acceptance = Acceptance {
            width: inputs.width(),
            certain_from: talks.theirs,
        };
        let least = talks.mine.unwrap_or(0.2 * talks.theirs).min(talks.theirs);
        let step = (talks.theirs - least) / f64::from(OFFERS);
        let offers = (0..=OFFERS)
            .map(|at| least + step * f64::from(at))
            .map(|offer| (offer, talks.belief.takes(offer, acceptance)));
        Self {
            offers: offers.collect(),
        }
    }

    /// Dollars.
    pub(super) fn at(&self, value: f64) -> f64 {
        (self.offers.iter())
            .map(|(offer, taken)| (value - offer) * taken)
            .fold(0.0, f64::max)
    }
}
