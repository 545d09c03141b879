//! The seller as we read them: where their lowest price lies before any answer, when talks end, and what their answers tell.

use super::amounts::{dollars, said};
use super::belief::{Acceptance, Belief};
use super::beta::beta_cdf;
use super::figures::Cue;
use crate::car::{Agreement, Listing, Money, Move, Who, agreement};
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

    /// What leans their lowest price up or down: id, words, share of asking. Only what is there.
    fn leanings(&self) -> Vec<(&'static str, String, f64)> {
        let (s, listing) = (self.settings, self.listing);
        let days = listing.listed_on.map_or(0, |listed| {
            self.today.since(listed).map_or(0, |span| span.get_days())
        });
        let drops = self.drops();
        let plural = |count: u32| if count == 1 { "" } else { "s" };
        let when = |cue: bool, id, words: &str, by: f64| cue.then(|| (id, words.to_owned(), by));
        let counted =
            |count: u32, id, words: String, by: f64| (count > 0).then_some((id, words, by));
        let days = u32::try_from(days).unwrap_or(0);
        [
            when(
                listing.open_to_offers,
                "open_to_offers",
                "open to offers, they say",
                s.open_to_offers,
            ),
            when(listing.firm, "firm", "firm, they say", s.firm),
            counted(
                days,
                "days_listed",
                format!("up {days} day{}", plural(days)),
                (s.per_day * f64::from(days)).max(-s.most_for_days),
            ),
            counted(
                drops,
                "drops",
                format!("{drops} drop{} of the price", plural(drops)),
                s.per_drop * f64::from(drops),
            ),
            when(
                self.non_runner,
                "non_runner",
                "it does not run",
                s.non_runner,
            ),
            when(
                listing.certainty,
                "certainty",
                "you pay in full, own transport, named day",
                s.certainty,
            ),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// Mean of their lowest price as a share of asking, with these leanings.
    fn share_with(&self, leanings: f64) -> f64 {
        let [least, most] = self.settings.share_bounds;
        (self.settings.base_share + leanings).max(least).min(most)
    }

    /// Number of times they lowered what they ask.
    fn drops(&self) -> u32 {
        let asked: Vec<Money> = self
            .listing
            .asked_before
            .iter()
            .map(|asked| asked.amount)
            .chain([self.asking])
            .collect();
        asked
            .windows(2)
            .map(|pair| u32::from(pair[1] < pair[0]))
            .sum()
    }

    /// Belief before any answer: the greater part a beta about the mean share, the rest even.
    fn first_belief(&self, share: f64) -> Belief {
        let s = self.settings;
        let asking = dollars(self.asking);
        // A seller who asks less than the floor does not know it: the belief needs room under what they ask.
        let floor = self.floor.clamp(0.0, 0.9 * asking);
        let bottom = floor.max(BOTTOMS[0] * asking);
        let even_bottom = floor.min(BOTTOMS[1] * asking);
        let width = asking - bottom;
        let mean = ((share * asking - bottom) / width).clamp(0.05, 0.97);
        let (alpha, beta) = (s.concentration * mean, s.concentration * (1.0 - mean));
        Belief::from_cdf(even_bottom, asking, CELLS, |price| {
            let even = ((price - even_bottom) / (asking - even_bottom)).clamp(0.0, 1.0);
            (1.0 - s.uniform_weight) * beta_cdf((price - bottom) / width, alpha, beta)
                + s.uniform_weight * even
        })
    }

    /// Where the belief starts, and by how much each cue moves its mean: with all cues less without that one.
    pub(crate) fn cues(&self) -> Vec<Cue> {
        let leanings = self.leanings();
        let all: f64 = leanings.iter().map(|(_, _, share)| share).sum();
        let mean = |leanings: f64| self.first_belief(self.share_with(leanings)).mean();
        let (start, with_all) = (mean(0.0), mean(all));
        let base = 100.0 * self.settings.base_share;
        let mut cues = vec![Cue {
            id: "start".to_owned(),
            words: format!("a seller like any: takes about {base:.0}% of what they ask"),
            moves: None,
            mean: start,
        }];
        cues.extend(leanings.into_iter().map(|(id, words, share)| Cue {
            id: id.to_owned(),
            words,
            moves: Some(with_all - mean(all - share)),
            mean: with_all,
        }));
        cues
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
    /// A price that both said yes to.
    pub(crate) agreed: Option<Agreement>,
    /// What their answers did to the belief.
    pub(crate) answers: Vec<Cue>,
}

impl Talks {
    pub(crate) fn read(inputs: &OfferInputs<'_>) -> Self {
        let asking = dollars(inputs.asking);
        let leanings = inputs.leanings().iter().map(|(_, _, share)| share).sum();
        let mut talks = Self {
            belief: inputs.first_belief(inputs.share_with(leanings)),
            mine: None,
            made: 0,
            theirs: asking,
            agreed: agreement(inputs.talks, Some(inputs.asking)),
            answers: Vec::new(),
        };
        // An offer that they have not answered yet says nothing.
        let mut open: Option<Money> = None;
        for step in inputs.talks {
            let figure = step.amount.filter(|amount| *amount > Money::ZERO);
            match (step.who, figure) {
                (Who::You, Some(offer)) => {
                    let sum = dollars(offer);
                    talks.mine = Some(talks.mine.map_or(sum, |mine| mine.max(sum)));
                    talks.made += 1;
                    open = Some(offer);
                }
                (Who::You, None) => {}
                (Who::They, named) => talks.answered(inputs, open.take(), named),
            }
        }
        talks
    }

    /// Their answer to an offer, or a figure that they named of themselves, leans the belief.
    fn answered(&mut self, inputs: &OfferInputs<'_>, offer: Option<Money>, named: Option<Money>) {
        let (before, asking, width) = (self.belief.mean(), dollars(inputs.asking), inputs.width());
        let soft = Acceptance {
            width,
            certain_from: f64::INFINITY,
        };
        if let Some(price) = named {
            self.theirs = dollars(price);
            // A figure not over an own offer is a yes: it refuses nothing.
            if self.mine.is_some_and(|mine| self.theirs <= mine) {
                return;
            }
        }
        if let Some(offer) = offer {
            self.belief = self.belief.refused(dollars(offer), soft);
        }
        if named.is_some() && self.theirs < asking {
            // Any markup is as likely, up to the one that the bottom of the belief stands for.
            let markup = 1.0 / BOTTOMS[0] - 1.0;
            self.belief = self.belief.named(self.theirs, markup, width);
        }
        let words = match (offer, named) {
            (Some(offer), Some(named)) => format!("{}, after your {}", said(named), said(offer)),
            (Some(offer), None) => format!("a no to your {}", said(offer)),
            (None, Some(named)) => format!("{}, named by them", said(named)),
            (None, None) => "a no to nothing offered".to_owned(),
        };
        let mean = self.belief.mean();
        self.answers.push(Cue {
            id: format!("answer/{}", self.answers.len() + 1),
            words,
            moves: Some(mean - before),
            mean,
        });
    }
}
