//! A weighed car, and up to four of them side by side.

use super::basics::Spread;
use super::faults::FaultFigure;
use super::grounds::{Assumptions, CautionFigure, Stop, Trace};
use super::money::{Floor, LimitFigures, RepairFigures, Rung, UnseenFigures};
use super::offers::Offer;
use super::places::{Chances, Pace};
use crate::engine::preference::Preference;
use serde::Serialize;

/// A weighed car.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Appraisal {
    /// What it stands on.
    pub assumptions: Assumptions,
    /// Faults, those that take most first.
    pub faults: Vec<FaultFigure>,
    /// Posterior weights of the levels of care, cherished first as in the settings.
    pub care: Vec<f64>,
    /// Posterior weights of the levels of openness.
    pub openness: Vec<f64>,
    /// The work.
    pub repair: RepairFigures,
    /// What was not seen.
    pub unseen: UnseenFigures,
    /// Wear still to come; `None` until it is reckoned.
    pub wear: Option<Spread>,
    /// What the purpose needs on the car.
    pub fit_out: Spread,
    /// Fees, transport, first service.
    pub fees: f64,
    /// Ordinary unseen faults that a comparable's price already carries.
    pub allowance: f64,
    /// The ladder.
    pub ladder: Vec<Rung>,
    /// Worth, once right.
    pub worth: Option<Spread>,
    /// Why there is none.
    pub worth_missing: Option<String>,
    /// Floor.
    pub floor: Floor,
    /// Limit.
    pub limit: LimitFigures,
    /// Offer.
    pub offer: Offer,
    /// All that is paid if bought at settle (or limit): cash with price.
    pub all_you_pay: Option<Spread>,
    /// Better off by, if bought at settle (or limit).
    pub you_are_up: Option<Spread>,
    /// Chances.
    pub chances: Chances,
    /// Pace, or why not in `chances.unknown_because`.
    pub pace: Option<Pace>,
    /// Stops.
    pub stops: Vec<Stop>,
    /// Cautions.
    pub cautions: Vec<CautionFigure>,
    /// Signs on file that these tables do not know.
    pub not_in_tables: Vec<String>,
    /// Trace.
    pub trace: Trace,
}

/// One car of a comparison.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ComparedCar {
    /// Slug of its file.
    pub slug: String,
    /// Name.
    pub name: String,
    /// Appraisal, for the same buyer and purpose.
    pub appraisal: Appraisal,
    /// The price at which it is set against the others.
    pub stands_at: StandsAt,
}

/// The price at which a car is set against others: one that can be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StandsAt {
    /// The settling price of the ladder of offers.
    #[default]
    Settle,
    /// What they ask: without a ladder a lower figure will not be had.
    Asking,
    /// What was paid.
    Paid,
    /// The limit, where nothing is asked.
    Limit,
}

impl StandsAt {
    /// In one word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Settle => "settle",
            Self::Asking => "asks",
            Self::Paid => "paid",
            Self::Limit => "limit",
        }
    }

    /// After "at".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Settle => "what you would settle at",
            Self::Asking => "what they ask",
            Self::Paid => "what you paid",
            Self::Limit => "your limit",
        }
    }
}

/// Up to four cars side by side, in shared luck.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Cars, in the order given.
    pub cars: Vec<ComparedCar>,
    /// Share of draws in which the row's car leaves the buyer better off than the column's; half of the ties.
    pub wins: Vec<Vec<f64>>,
    /// Share of draws in which each car is the best and better than none.
    pub first_in: Vec<f64>,
    /// Share of draws in which none of them leaves the buyer better off.
    pub none_of_these: f64,
    /// Mean loss against the best of the draw, dollars.
    pub regret: Vec<f64>,
    /// Best in the mean, by place; `None`: none of these.
    pub best: Option<usize>,
    /// For each car: which others it is at least as good as in all three chances, and better in one.
    pub dominates: Vec<Vec<usize>>,
    /// The one check most worth its minutes among those that would swap the order.
    pub swap: Option<SwapCheck>,
    /// Order by cheap, reliable and fast, at even weights.
    pub preference: Preference,
    /// In words.
    pub words: Vec<String>,
}

/// A check of one of the cars, an answer of which puts another one first, or none of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwapCheck {
    /// The car it is done on.
    pub car: usize,
    /// Sign.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Minutes it takes.
    pub minutes: f64,
    /// What knowing gains the choice on average, dollars.
    pub value: f64,
    /// Answers.
    pub outcomes: Vec<SwapOutcome>,
}

/// What the order is after one answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwapOutcome {
    /// Level, 0 benign.
    pub level: usize,
    /// In words.
    pub words: String,
    /// Chance of it.
    pub chance: f64,
    /// Best in the mean after it; `None`: none of these.
    pub best: Option<usize>,
    /// Share of draws in which each car is then the best and better than none.
    pub first_in: Vec<f64>,
    /// Share of draws in which none is.
    pub none_of_these: f64,
}
