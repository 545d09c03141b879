//! What is asked of the next checks, and the figures that come out.

use crate::car::Money;

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FindOutWish {
    /// Time for checks, minutes: the best set that fits, rather than the best one by one.
    pub minutes: Option<u32>,
    /// Only what can be answered from afar.
    pub remote: bool,
}

/// One answer of a check.
#[derive(Debug, Clone, PartialEq)]
pub struct OutcomeFigure {
    /// Level, 0 benign.
    pub level: usize,
    /// In words.
    pub words: String,
    /// Chance of it.
    pub chance: f64,
    /// The limit after it.
    pub limit: Option<Money>,
    /// The answer ends the deal unless waived.
    pub stops: bool,
}

/// One check worth thinking about.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FindOutFigure {
    /// Sign id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Minutes it takes.
    pub minutes: f64,
    /// Worth of knowing at the price they may take, dollars.
    pub value: f64,
    /// The most it could be worth: half the mean move of the limit either way.
    pub most: f64,
    /// Strength in the talks, for checks that the seller sees.
    pub proof: f64,
    /// Value and proof less the minutes.
    pub net: f64,
    /// Answers.
    pub outcomes: Vec<OutcomeFigure>,
    /// What it tells of, in words: why it stands where it stands.
    pub because: String,
    /// The sentence to say first, where the owner must be asked.
    pub ask: Option<String>,
    /// The sign on file that it settles, or leads to, by id.
    pub group: Option<String>,
    /// Why it must not be done now.
    pub blocked_by: Option<String>,
}

/// What to find out next, the best first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FindOut {
    /// Checks.
    pub checks: Vec<FindOutFigure>,
    /// Mean value of the deal before its price, less the margin, dollars.
    pub value_now: f64,
    /// The limit as it stands.
    pub limit_now: Option<Money>,
    /// Value of knowing everything that the draws differ in, dollars.
    pub know_all: f64,
    /// In words, where nothing is worth the time or nothing can be reckoned.
    pub words: Option<String>,
}
