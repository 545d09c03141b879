//! The plan of offers: what we believe of the seller, where to open, how to rise, where to settle, what to do with the middle.
//!
//! Level and structure are starting values (settings, from memory); the structure of two or three rising offers, halves that tend to be
//! taken and talks that end after flat refusals follows Backus, Blake, Larsen & Tadelis 2020 (QJE 135:1319-1361). The one-shot offer is
//! the textbook one: p + F(p)/f(p) = value.

use super::amounts::{dollars, money};
use super::belief::{Acceptance, Belief};
use super::figures::{Midpoint, Offer, OfferKind};
use super::ladder::{Ladder, OfferGrid, best_ladder, outcome};
use super::reply::reply;
use super::seller::Talks;
use crate::car::{Money, SellerKind, Who};

pub use super::seller::OfferInputs;

/// Prices tried at first.
const POINTS: usize = 64;
/// The plan. Figures never pass the limit or what they ask now; a floor or an alternative that is no number counts as nothing.
#[must_use]
pub fn plan(inputs: &OfferInputs<'_>) -> Offer {
    let finite = |sum: f64| if sum.is_finite() { sum } else { 0.0 };
    let inputs = &OfferInputs {
        floor: finite(inputs.floor),
        best_alternative: finite(inputs.best_alternative).max(0.0),
        ..*inputs
    };
    let asking = dollars(inputs.asking);
    if asking <= 0.0 {
        return told(
            inputs,
            None,
            OfferKind::Leave,
            "Nothing is asked: there is nothing to plan.",
        );
    }
    let talks = Talks::read(inputs);
    let mut offer = planned(inputs, &talks);
    offer.reply = Some(reply(inputs, &talks, &offer));
    offer.cues = inputs.cues();
    offer.cues.extend(talks.answers);
    offer
}

/// The figures of the plan, as the talks stand.
fn planned(inputs: &OfferInputs<'_>, talks: &Talks) -> Offer {
    let limit = dollars(inputs.limit);
    if let Some(agreed) = talks.agreed {
        let figure = agreed.price;
        let words = match (agreed.by, figure > inputs.limit) {
            (Who::They, true) => "They took your figure, which is over your limit now.",
            (Who::They, false) => "They took your figure.",
            (Who::You, true) => "You took their figure, which is over your limit now.",
            (Who::You, false) => "You took their figure.",
        };
        let mut offer = told(inputs, Some(talks), OfferKind::One, words);
        offer.open = Some(figure);
        offer.steps = vec![figure];
        offer.settle = Some(figure);
        offer.chance_of_deal = Some(1.0);
        return offer;
    }
    if limit <= inputs.floor || limit <= 0.0 {
        let words = "Your limit lies under what it brings in parts or as scrap: leave it.";
        return told(inputs, Some(talks), OfferKind::Leave, words);
    }
    if limit - inputs.best_alternative <= inputs.floor {
        let words = "The other car promises more than this one can: leave it.";
        return told(inputs, Some(talks), OfferKind::Leave, words);
    }
    let room = Room::new(inputs, talks);
    let ladder = room.ladder();
    let [first, last] = [ladder.offers.first(), ladder.offers.last()]
        .map(|offer| offer.copied().unwrap_or_default());
    let least_span = inputs.settings.least_span * dollars(inputs.asking);
    let narrow = talks.mine.is_none() && last - first < least_span;
    let steps = room.rounded(&ladder.offers);
    if steps.is_empty() || ladder.chance < inputs.settings.least_chance || narrow {
        return room.one_offer(inputs, talks, &ladder);
    }
    let words = if limit >= talks.theirs {
        "Pay what they ask, or less."
    } else {
        "Open, rise if they say no, and stop at the last figure."
    };
    room.offer(inputs, talks, OfferKind::Ladder, steps, words)
}

/// An offer without figures of its own.
fn told(inputs: &OfferInputs<'_>, talks: Option<&Talks>, kind: OfferKind, words: &str) -> Offer {
    let (belief_from, belief_to, belief) =
        talks.map_or((0.0, 0.0, Vec::new()), |talks| talks.belief.hill());
    Offer {
        kind,
        open: None,
        steps: Vec::new(),
        settle: None,
        limit: Some(inputs.limit),
        take_it_at: None,
        chance_of_deal: None,
        midpoint: None,
        reply: None,
        cues: Vec::new(),
        doubts: Vec::new(),
        words: words.to_owned(),
        would_take: Vec::new(),
        belief,
        belief_from,
        belief_to,
        trace_id: "offer".to_owned(),
    }
}

/// The prices between which a figure can lie, and the answers to be reckoned with.
struct Room<'a> {
    belief: &'a Belief,
    acceptance: Acceptance,
    quit: Box<dyn Fn(f64) -> f64 + 'a>,
    value: f64,
    grid: OfferGrid,
    left: usize,
    mine: Option<f64>,
    seller: SellerKind,
}

impl<'a> Room<'a> {
    fn new(inputs: &'a OfferInputs<'a>, talks: &'a Talks) -> Self {
        let asking = dollars(inputs.asking);
        let limit = dollars(inputs.limit);
        let to = limit.min(talks.theirs);
        let [plain, proven] = inputs.settings.lowest_opening;
        let lowest = if inputs.proven_faults { proven } else { plain } * asking;
        let bottom = if inputs.floor < to {
            lowest.max(inputs.floor)
        } else {
            lowest
        };
        // Rounding goes down by less than this, and a next figure must still rise.
        let rise = match inputs.listing.seller_kind {
            SellerKind::Dealer => 25.0,
            SellerKind::Private | SellerKind::Auction => 10.0,
        };
        let next = talks.mine.map_or(0.0, |mine| mine + rise);
        Self {
            belief: &talks.belief,
            acceptance: Acceptance {
                width: inputs.width(),
                certain_from: talks.theirs,
            },
            quit: Box::new(|offer| inputs.quit(offer)),
            value: limit - inputs.best_alternative,
            grid: OfferGrid {
                from: bottom.max(next),
                to,
                points: POINTS,
                finest: (0.001 * asking).max(1.0),
            },
            left: inputs
                .settings
                .most_offers
                .saturating_sub(talks.made)
                .max(1),
            mine: talks.mine,
            seller: inputs.listing.seller_kind,
        }
    }

    fn ladder(&self) -> Ladder {
        let quit = &*self.quit;
        best_ladder(
            self.belief,
            self.acceptance,
            quit,
            self.value,
            &self.grid,
            self.left,
        )
    }

    fn outcome(&self, steps: &[Money]) -> Ladder {
        let offers: Vec<f64> = steps.iter().map(|step| dollars(*step)).collect();
        outcome(
            self.belief,
            self.acceptance,
            &*self.quit,
            self.value,
            &offers,
        )
    }

    /// Rounded figures, still rising and over own last figure; their own figure stays as they named it.
    fn rounded(&self, offers: &[f64]) -> Vec<Money> {
        let mut steps: Vec<Money> = Vec::new();
        for offer in offers {
            let step = if *offer >= self.acceptance.certain_from {
                money(self.acceptance.certain_from)
            } else {
                rounded(*offer, self.seller)
            };
            let over_mine = self.mine.is_none_or(|mine| dollars(step) > mine);
            if step > Money::ZERO && over_mine && steps.last().is_none_or(|last| step > *last) {
                steps.push(step);
            }
        }
        steps
    }

    /// No ladder: one dated offer in writing, or none where own last figure already says all.
    fn one_offer(&self, inputs: &OfferInputs<'_>, talks: &Talks, ladder: &Ladder) -> Offer {
        let limit = dollars(inputs.limit);
        let over_floor = self.value - inputs.floor.max(0.0);
        let figure = self.value - inputs.settings.one_offer_share * over_floor;
        let steps = self.rounded(&[figure.min(self.grid.to)]);
        let unlikely = ladder.offers.is_empty() || ladder.chance < inputs.settings.least_chance;
        let words = match (steps.is_empty(), unlikely) {
            (true, _) => "Your last figure says it all: let it stand, with a date, or leave it.",
            (false, true) => {
                "They are unlikely to come down so far: one dated offer in writing, or leave it."
            }
            (false, false) => "There is little room to rise in: one dated offer in writing.",
        };
        let steps = if steps.is_empty() {
            self.mine
                .map(|mine| money(mine.min(limit)))
                .into_iter()
                .collect()
        } else {
            steps
        };
        if steps.is_empty() {
            return told(
                inputs,
                Some(talks),
                OfferKind::Leave,
                "There is nothing to offer: leave it.",
            );
        }
        self.offer(inputs, talks, OfferKind::One, steps, words)
    }

    fn offer(
        &self,
        inputs: &OfferInputs<'_>,
        talks: &Talks,
        kind: OfferKind,
        steps: Vec<Money>,
        words: &str,
    ) -> Offer {
        let result = self.outcome(&steps);
        let take_it_at = money(self.value - result.gain.max(0.0))
            .down_to(Money::whole(1))
            .min(inputs.limit);
        let would_take = [
            Some(inputs.limit),
            steps.last().copied(),
            steps.first().copied(),
        ]
        .into_iter()
        .flatten()
        .map(|figure| (figure, self.belief.takes(dollars(figure), self.acceptance)))
        .collect();
        let from = self.mine.or(steps.first().map(|open| dollars(*open)));
        Offer {
            open: steps.first().copied(),
            settle: steps.last().copied(),
            take_it_at: Some(take_it_at),
            chance_of_deal: Some(result.chance),
            midpoint: from.map(|from| middle(from, talks.theirs, take_it_at, inputs.limit)),
            would_take,
            steps,
            ..told(inputs, Some(talks), kind, words)
        }
    }
}

/// The middle of two figures, in whole dollars, and what to do with it.
fn middle(mine: f64, theirs: f64, take_it_at: Money, limit: Money) -> (Money, Midpoint) {
    let middle = money(0.5 * (mine + theirs)).down_to(Money::whole(1));
    let answer = if middle <= take_it_at {
        Midpoint::Take
    } else if middle <= limit {
        Midpoint::RefuseOnce
    } else {
        Midpoint::Never
    };
    (middle, answer)
}

/// Down to 5 and off the 50s, for a figure that was reckoned and not picked; with dealers, down to 25. Figures too small for that go down to 1.
fn rounded(figure: f64, seller: SellerKind) -> Money {
    let exact = money(figure);
    let fine = exact.down_to(Money::whole(5));
    let step = match seller {
        SellerKind::Dealer => exact.down_to(Money::whole(25)),
        SellerKind::Private | SellerKind::Auction if fine == fine.down_to(Money::whole(50)) => {
            fine - Money::whole(5)
        }
        SellerKind::Private | SellerKind::Auction => fine,
    };
    if step > Money::ZERO {
        step
    } else {
        exact.down_to(Money::whole(1))
    }
}
