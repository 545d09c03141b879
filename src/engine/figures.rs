//! The figures that come out of an appraisal. Names follow the JSON of `weigh`.

use crate::car::{Money, System};
use crate::trade::Severity;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// Key of a node in the [`Trace`], such as `limit`, `fault/ENG01`, `rung/unseen`.
pub type TraceId = String;

/// What an appraisal is run with, besides car, buyer and tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// The day it is reckoned on.
    pub today: Date,
    /// Seed of all draws.
    pub seed: u64,
    /// Number of draws, 1 or more.
    pub draws: u32,
}

/// An unsure figure, in dollars, hours or whatever its owner says.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Spread {
    /// Mean over the draws.
    pub mean: f64,
    /// Standard deviation over the draws.
    pub sd: f64,
    /// One draw in ten lies under this.
    pub p10: f64,
    /// Two in ten under.
    pub p20: f64,
    /// Three in ten under.
    pub p30: f64,
    /// Half under.
    pub p50: f64,
    /// Eight in ten under.
    pub p80: f64,
    /// Nine in ten under.
    pub p90: f64,
}

/// How a fault is put right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Route {
    /// At home.
    Home,
    /// At home, with a fixed fee to a garage or machine shop.
    Part,
    /// At a garage.
    Garage,
    /// Lived with.
    LivedWith,
}

/// How well a fault is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Seen, measured or pinned certain: a check that looks for the fault itself was bad.
    Seen,
    /// Tied to a sign above benign.
    Likely,
    /// Not looked for, or nothing found: age alone.
    Unseen,
    /// Ruled out by the user.
    RuledOut,
}

/// One reason for or against a fault.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    /// Sign id, or `age`, `miles`, `care`, `silence`, `in use`, `pin`.
    pub id: String,
    /// In words.
    pub words: String,
    /// Odds with it over odds without it; above 1 speaks for the fault.
    pub times: f64,
    /// For a symptom: chance that this fault is its cause, beside being present.
    pub is_the_cause: Option<f64>,
}

/// One way to put a fault right, priced on its own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Way {
    /// Repair id.
    pub repair: String,
    /// Name.
    pub name: String,
    /// Route.
    pub route: Route,
    /// Why this route, in words: `skill 3 of 5, yours 4`, `never at home by price alone: brakes`.
    pub why: String,
    /// Cash, low, likely, high.
    pub cash: [f64; 3],
    /// Own hours, low, likely, high.
    pub hours: [f64; 3],
    /// True for the way the engine takes most often.
    pub chosen: bool,
    /// Source of the row, and its date.
    pub source: String,
}

/// A fault of this car.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FaultFigure {
    /// Fault id.
    pub id: String,
    /// Name.
    pub name: String,
    /// System.
    pub system: System,
    /// Chance that it is present.
    pub chance: f64,
    /// The same in an ordinary car of this age and these miles.
    pub ordinary: f64,
    /// How it is known.
    pub standing: Standing,
    /// Ids of the signs above benign that speak for it.
    pub because_of: Vec<String>,
    /// Reasons, strongest first.
    pub reasons: Vec<Reason>,
    /// Put right for this purpose.
    pub needed: bool,
    /// How it is put right, mostly.
    pub route: Route,
    /// What it does, main one first.
    pub severities: Vec<Severity>,
    /// Cash when present, 10 %, 50 %, 90 %; zeros when lived with.
    pub cash: [f64; 3],
    /// Own hours when present, 10 %, 50 %, 90 %.
    pub hours: [f64; 3],
    /// What it takes off the room on average over all draws: repair on its own, or the drop.
    pub takes: f64,
    /// Ways to put it right.
    pub ways: Vec<Way>,
    /// Cautions, ids.
    pub cautions: Vec<String>,
    /// Trace.
    pub trace_id: TraceId,
}

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

/// The three chances; `None` is unknown, never zero.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct ThreeChances {
    /// Chance that everything paid stays inside the wallet.
    pub cheap: Option<f64>,
    /// Chance of covering the horizon without being stranded.
    pub reliable: Option<f64>,
    /// Share of ordinary cars it out-accelerates.
    pub fast: Option<f64>,
}

/// Place on the triangle, before and after the work.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Chances {
    /// As it stands.
    pub before: ThreeChances,
    /// With the work done.
    pub after: ThreeChances,
    /// Corners offered: `cheap`, `reliable`, `fast`.
    pub offers: Vec<String>,
    /// In words: `cheap and reliable, not fast`.
    pub words: String,
    /// Why a chance is unknown, in words.
    pub unknown_because: Vec<String>,
    /// Race only: expected share of the laps completed.
    pub laps_share: Option<f64>,
    /// Trace.
    pub trace_id: TraceId,
}

/// Straight-line pace, put right.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Pace {
    /// 0 to 60 mph, seconds.
    pub zero_to_60_mph_s: f64,
    /// Quarter mile, seconds.
    pub quarter_mile_s: f64,
    /// Speed at its end, mph.
    pub quarter_mile_mph: f64,
    /// Honest band either way, seconds.
    pub band_s: f64,
}

/// A finding that ends the deal unless waived.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    /// Sign or wish id.
    pub id: String,
    /// Sentence.
    pub sentence: String,
    /// Waived, in these words.
    pub waived: Option<String>,
    /// Trace.
    pub trace_id: TraceId,
}

/// A caution that this car's checks and repairs need.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CautionFigure {
    /// Id.
    pub id: String,
    /// Sentence.
    pub sentence: String,
    /// Source.
    pub source: String,
}

/// One thing that had to be assumed or is in force.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Assumption {
    /// Id.
    pub id: String,
    /// In words.
    pub words: String,
}

/// What the figures stand on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assumptions {
    /// Day.
    pub date: Date,
    /// Buyer file or `the built-in plain buyer`.
    pub buyer: String,
    /// Purpose id.
    pub purpose: String,
    /// Draws.
    pub draws: u32,
    /// Seed.
    pub seed: u64,
    /// Date of the tables.
    pub tables_as_of: String,
    /// What had to be assumed.
    pub assumed: Vec<Assumption>,
}

/// What stands behind a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TraceKind {
    /// The parts add up to it.
    Sum,
    /// The parts multiply to it, or weigh on it.
    Product,
    /// The least or greatest of the parts.
    Choice,
    /// An entry of the user's, with where it was made.
    Entry,
    /// A row of a table.
    Row,
    /// A setting or a buyer's number.
    Setting,
    /// A summary over the draws.
    Draws,
}

/// One node of the trace.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TraceNode {
    /// Label.
    pub label: String,
    /// Figure as shown, or empty.
    pub value: String,
    /// The same as a number where it is one, in the unit of the label.
    pub amount: Option<f64>,
    /// One sentence of meaning.
    pub sentence: String,
    /// Kind.
    pub kind: TraceKind,
    /// What it is made of.
    pub parts: Vec<TraceId>,
    /// Source of a row or setting, with its date; or where the entry was made.
    pub source: String,
}

/// From every figure to inputs, table rows and assumptions.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Trace {
    /// Nodes by id.
    pub nodes: BTreeMap<TraceId, TraceNode>,
}

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
    /// The check that would swap the order, once it is reckoned.
    pub swap: Option<String>,
    /// In words.
    pub words: Vec<String>,
}
