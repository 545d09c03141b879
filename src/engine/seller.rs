//! The seller as we read them: where their lowest price lies before any answer, when talks end, and what their answers tell.

use super::amounts::dollars;
use super::belief::{Acceptance, Belief};
use super::beta::beta_cdf;
use crate::car::{Listing, Money, Move, Who};
use crate::trade::settings::OfferSettings;
use jiff::civil::Date;

/// Cells of the belief.
const CELLS: usize = 128;
/// Bottom of the greater part of the belief and of the even part, shares of asking; a floor above the first lifts it.
const BOTTOMS: [f64; 2] = [0.4, 0.3];

/// What an offer is planned from.
#[derive(Debug, Clone, Copy)]
pub struct OfferInputs<'a> {
    /// What they ask in the advert.
    pub asking: Money,
    /// Never pay over this.
    pub limit: Money,
    /// What the car brings as scrap, in parts or as it stands, net, dollars.
    pub floor: f64,
    /// Gain that the best other car promises, dollars; 0 where there is none.
    pub best_alternative: f64,
    /// Faults that both have seen: a lower opening can be shown reasons for.
    pub proven_faults: bool,
    /// Advert and seller.
    pub listing: &'a Listing,
    /// Does not run.
    pub non_runner: bool,
    /// The day.
    pub today: Date,
    /// Offers and answers so far, in order.
    pub talks: &'a [Move],
    /// Starting values.
    pub settings: &'a OfferSettings,
}

impl OfferInputs<'_> {
    /// Chance that talks end after they refuse an offer.
    pub(crate) fn quit(&self, offer: f64) -> f64 {
        let [base, slope, pivot, most] = self.settings.quit;
        let short = (pivot - offer / dollars(self.asking)).max(0.0) / pivot;
        (base + slope * short).clamp(0.0, most)
    }

    /// Mean of their lowest price as a share of asking, from the cues.
    fn mean_share(&self) -> f64 {
        let s = self.settings;
        let when = |cue: bool, by: f64| if cue { by } else { 0.0 };
        let days = self.listing.listed_on.map_or(0, |listed| {
            self.today.since(listed).map_or(0, |span| span.get_days())
        });
        let for_days = (s.per_day * f64::from(days.max(0))).max(-s.most_for_days);
        let [least, most] = s.share_bounds;
        (s.base_share
            + when(self.listing.open_to_offers, s.open_to_offers)
            + when(self.listing.firm, s.firm)
            + for_days
            + s.per_drop * self.drops()
            + when(self.non_runner, s.non_runner)
            + when(self.listing.certainty, s.certainty))
        .max(least)
        .min(most)
    }

    /// Number of times they lowered what they ask.
    fn drops(&self) -> f64 {
        let asked: Vec<Money> = self
            .listing
            .asked_before
            .iter()
            .map(|asked| asked.amount)
            .chain([self.asking])
            .collect();
        asked
            .windows(2)
            .map(|pair| if pair[1] < pair[0] { 1.0 } else { 0.0 })
            .sum()
    }

    /// Belief before any answer: the greater part a beta about the mean share, the rest even.
    fn first_belief(&self) -> Belief {
        let s = self.settings;
        let asking = dollars(self.asking);
        // A seller who asks less than the floor does not know it: the belief needs room under what they ask.
        let floor = self.floor.clamp(0.0, 0.9 * asking);
        let bottom = floor.max(BOTTOMS[0] * asking);
        let even_bottom = floor.min(BOTTOMS[1] * asking);
        let width = asking - bottom;
        let mean = ((self.mean_share() * asking - bottom) / width).clamp(0.05, 0.97);
        let (alpha, beta) = (s.concentration * mean, s.concentration * (1.0 - mean));
        Belief::from_cdf(even_bottom, asking, CELLS, |price| {
            let even = ((price - even_bottom) / (asking - even_bottom)).clamp(0.0, 1.0);
            (1.0 - s.uniform_weight) * beta_cdf((price - bottom) / width, alpha, beta)
                + s.uniform_weight * even
        })
    }

    pub(crate) fn width(&self) -> f64 {
        self.settings.acceptance_width * dollars(self.asking)
    }
}

/// Where the talks stand.
pub(crate) struct Talks {
    pub(crate) belief: Belief,
    /// Own greatest offer so far.
    pub(crate) mine: Option<f64>,
    /// Own offers made.
    pub(crate) made: usize,
    /// Their figure now.
    pub(crate) theirs: f64,
    /// They took an offer.
    pub(crate) agreed: Option<Money>,
}

impl Talks {
    pub(crate) fn read(inputs: &OfferInputs<'_>) -> Self {
        let asking = dollars(inputs.asking);
        let width = inputs.width();
        let soft = Acceptance {
            width,
            certain_from: f64::INFINITY,
        };
        let mut talks = Self {
            belief: inputs.first_belief(),
            mine: None,
            made: 0,
            theirs: asking,
            agreed: None,
        };
        // An offer that they have not answered yet says nothing.
        let mut open: Option<f64> = None;
        for step in inputs.talks {
            let figure = step.amount.map(dollars).filter(|f| *f > 0.0);
            match (step.who, figure) {
                (Who::You, Some(offer)) => {
                    talks.mine = Some(talks.mine.map_or(offer, |mine| mine.max(offer)));
                    talks.made += 1;
                    open = Some(offer);
                }
                (Who::You, None) => {}
                (Who::They, named) => {
                    let offer = open.take();
                    if let (Some(offer), Some(named)) = (offer, named)
                        && named <= offer
                    {
                        talks.agreed = step.amount;
                        talks.theirs = named;
                        continue;
                    }
                    talks.agreed = None;
                    if let Some(offer) = offer {
                        talks.belief = talks.belief.refused(offer, soft);
                    }
                    if let Some(named) = named {
                        talks.theirs = named;
                        // Any markup is as likely, up to the one that the bottom of the belief stands for.
                        let markup = 1.0 / BOTTOMS[0] - 1.0;
                        if named < asking {
                            talks.belief = talks.belief.named(named, markup, width);
                        }
                    }
                }
            }
        }
        talks
    }
}
