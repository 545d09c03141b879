//! The plan of offers.

use super::basics::TraceId;
use crate::car::Money;
use serde::Serialize;

/// Kind of plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OfferKind {
    /// Rising offers.
    Ladder,
    /// One dated written offer.
    One,
    /// Leave.
    Leave,
}

/// What to do with the figure halfway between the two last figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Midpoint {
    /// Take it.
    Take,
    /// Refuse it once, then take it if nothing better comes.
    RefuseOnce,
    /// Over the limit: never.
    Never,
}

/// What to do with the figure of theirs that stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ReplyKind {
    /// Take it.
    Take,
    /// Say an own figure.
    Say,
    /// Leave.
    Leave,
}

/// What to answer to what they ask or have named.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reply {
    /// Their figure: what they ask, or the last one they named.
    pub theirs: Money,
    /// What to do.
    pub what: ReplyKind,
    /// The figure to say.
    pub say: Option<Money>,
    /// Why, in words.
    pub because: String,
}

/// Something that moves what we believe of their lowest price.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cue {
    /// Id: `start`, `days_listed`, `drops`, `open_to_offers`, `firm`, `non_runner`, `certainty`, `bounds`, `answer/1` and on.
    pub id: String,
    /// What it is, in words.
    pub words: String,
    /// By how much it moves the mean of their lowest price, dollars; absent for the start, which moves nothing.
    pub moves: Option<f64>,
    /// The mean of their lowest price with it, dollars: of a cue with all cues, of an answer after it.
    pub mean: f64,
}

/// The plan of offers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Offer {
    /// Kind.
    pub kind: OfferKind,
    /// First figure.
    pub open: Option<Money>,
    /// All figures, rising, the first among them.
    pub steps: Vec<Money>,
    /// Glad to settle at.
    pub settle: Option<Money>,
    /// Never over.
    pub limit: Option<Money>,
    /// Take any figure of theirs up to this.
    pub take_it_at: Option<Money>,
    /// Chance that the plan ends in a deal.
    pub chance_of_deal: Option<f64>,
    /// The middle between the next figure and theirs, and what to do with it.
    pub midpoint: Option<(Money, Midpoint)>,
    /// What to answer to their figure; absent where nothing is asked.
    pub reply: Option<Reply>,
    /// How the seller is read: where the belief starts, and each cue and answer with its effect.
    pub cues: Vec<Cue>,
    /// What in the log of the talks cannot be as meant, a sentence each.
    pub doubts: Vec<String>,
    /// Why, in words.
    pub words: String,
    /// Chance that they would take each of: limit, settle, open.
    pub would_take: Vec<(Money, f64)>,
    /// Density of the belief over their lowest price, at even steps of `belief_from`..`belief_to`, greatest 1.
    pub belief: Vec<f64>,
    /// First price of the belief.
    pub belief_from: f64,
    /// Last price of the belief.
    pub belief_to: f64,
    /// Trace.
    pub trace_id: TraceId,
}
