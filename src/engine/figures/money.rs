//! Work, ladder, floor and limit.

use super::basics::{Spread, TraceId};
use crate::car::Money;
use serde::Serialize;

/// Totals of the work.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct RepairFigures {
    /// Cash of parts and garages.
    pub cash: Spread,
    /// Own hours.
    pub hours: Spread,
    /// Hours at a garage.
    pub garage_hours: Spread,
    /// Mean saved because repairs share work, dollars (cash and hours).
    pub shared_labour_saved: f64,
    /// Tools to buy or hire, mean dollars.
    pub tools: f64,
    /// Trace.
    pub trace_id: TraceId,
}

/// What was not seen.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct UnseenFigures {
    /// Cash it holds back.
    pub cash: Spread,
    /// Hours it holds back.
    pub hours: Spread,
    /// Number of ordinary checks not answered.
    pub checks_not_seen: usize,
    /// Number of faults held at their chance.
    pub faults: usize,
    /// Trace.
    pub trace_id: TraceId,
}

/// Where a rung of the ladder comes from: its stroke.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RungKind {
    /// Worth, the top.
    Worth,
    /// Seen.
    Seen,
    /// Likely.
    Likely,
    /// Unseen.
    Unseen,
    /// By rule: fees, margin, wishes, lived with.
    Rule,
    /// Lifts: work shared, allowance, floor.
    Lift,
    /// The mean room; from here on the lines are not means.
    Room,
    /// Being right so many times in ten, tax, rounding.
    Right,
    /// The limit.
    Limit,
}

/// One rung of the ladder from worth to the limit. Means up to the room add up to the cent.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rung {
    /// Id, such as `worth`, `fault/BRA02`, `unseen`, `margin`, `room`, `right`, `limit`.
    pub id: String,
    /// Label as shown.
    pub label: String,
    /// Amount, signed: what it adds or takes (the running total for `room` and `limit`).
    pub cash: Money,
    /// Stroke.
    pub kind: RungKind,
    /// Trace.
    pub trace_id: TraceId,
}

/// What the car brings without being put right, delivered, net; means.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Floor {
    /// As scrap.
    pub scrap: f64,
    /// In parts.
    pub parts: f64,
    /// Sold as it stands.
    pub as_is: f64,
    /// The better of scrap and parts: mean over draws.
    pub best: f64,
}

/// The lines under which the limit lies; `None` where a line does not apply.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct LimitLines {
    /// Value to this buyer.
    pub value: Option<f64>,
    /// Wallet.
    pub wallet: Option<f64>,
    /// House rules, hopeful.
    pub rules_hopeful: Option<f64>,
    /// House rules, cautious.
    pub rules_cautious: Option<f64>,
}

/// What to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Buy, at the limit or under.
    Buy,
    /// Leave it.
    Leave,
    /// Worth more in parts than put right.
    Donor,
    /// Not worth putting right at any price; scrap only.
    Scrap,
}

/// The limit price and what holds it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitFigures {
    /// Never pay over this; `None` without a worth.
    pub price: Option<Money>,
    /// The limit that is right nine times in ten.
    pub low: Option<Money>,
    /// The limit that is right five times in ten.
    pub high: Option<Money>,
    /// The lines.
    pub lines: LimitLines,
    /// The line that binds: `value`, `wallet`, `rules`, `floor`, `hours`, or empty.
    pub binds: String,
    /// Bought blind.
    pub blind: Option<Money>,
    /// If the walk-around finds nothing new.
    pub if_nothing_new: Option<Money>,
    /// Why the second limit is withheld: fault ids.
    pub withheld_because: Vec<String>,
    /// What to do.
    pub verdict: Verdict,
    /// In words.
    pub words: String,
    /// Chance that worth less cost stands under the floor.
    pub donor_chance: f64,
    /// Trace.
    pub trace_id: TraceId,
}
