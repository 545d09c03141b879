//! The shape of every table: one struct a row, unknown fields refused.
//!
//! A figure written `[low, likely, high]` is a [`ThreePoint`]; money in tables is US dollars of the row's `as_of` year for an
//! ordinary mid-size car. Hours are garage hours. Chances are shares, 0 to 1.

use crate::car::{Drive, Fuel, Gearbox, HouseRules, Steering, System, ThreePoint, TimingDrive};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Id of a row in the faults table.
pub type FaultId = String;
/// Id of a row in the repairs table.
pub type RepairId = String;
/// Id of a row in the signs table.
pub type SignId = String;
/// Id of a row in the operations table.
pub type OperationId = String;

/// Which cars a row is about. An empty list means "any"; several lists must all hold.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct AppliesIf {
    /// Fuels.
    pub fuel: Vec<Fuel>,
    /// Gearboxes.
    pub gearbox: Vec<Gearbox>,
    /// Driven wheels.
    pub drive: Vec<Drive>,
    /// What drives the camshafts.
    pub timing: Vec<TimingDrive>,
    /// Power steering.
    pub steering: Vec<Steering>,
    /// Turbocharged or not.
    pub turbo: Option<bool>,
    /// Hybrid drive or not.
    pub hybrid: Option<bool>,
    /// Air conditioning fitted or not.
    pub air_conditioning: Option<bool>,
    /// Sunroof fitted or not.
    pub sunroof: Option<bool>,
    /// First model year.
    pub year_from: Option<u16>,
    /// Last model year.
    pub year_to: Option<u16>,
}

/// What a fault does to the owner. The first in a row's list is the main one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// It can hurt somebody.
    Unsafe,
    /// It leaves you at the roadside.
    Strands,
    /// It breaks other parts if left.
    Worsens,
    /// It spoils the use of the car.
    Annoys,
    /// It spoils the sight of the car.
    Looks,
}

/// Weibull life of a part that wears.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Life {
    /// Scale, miles.
    pub eta_miles: f64,
    /// Shape; above 1 wears out.
    pub beta: f64,
}

/// A root-cause defect that a repair removes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaultRow {
    /// Unique id, such as `ENG01`.
    pub id: FaultId,
    /// Name as shown, lower case.
    pub name: String,
    /// System of the car; skill is held by system.
    pub system: System,
    /// Where on the car.
    #[serde(rename = "where")]
    pub place: String,
    /// Cars that can have it.
    #[serde(default)]
    pub applies_if: AppliesIf,
    /// Chance that it is present and not mentioned, on a running car of 15 years and 150,000 miles.
    pub prior: f64,
    /// Exponent of miles / 150,000 in the hazard.
    pub miles_exponent: f64,
    /// Exponent of age / 15 in the hazard.
    pub age_exponent: f64,
    /// Driven by rust: road salt multiplies it.
    #[serde(default)]
    pub salt: bool,
    /// How visible it is to the owner, 0 to 1.
    pub owner_sees: f64,
    /// Share that no driveway check can show; omitted: the default.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hidden_share: Option<f64>,
    /// Can be seen without tools on the parked car: a price "as it looks" already has it.
    #[serde(default)]
    pub in_plain_view: bool,
    /// Repairs that cure it, any one of them.
    pub repairs: Vec<RepairId>,
    /// What it does, main one first.
    pub severities: Vec<Severity>,
    /// Share of failures that strand the car.
    #[serde(default)]
    pub strand_share: f64,
    /// If left: strandings per 1,000 miles.
    #[serde(default)]
    pub strands_per_1000_miles: f64,
    /// Share of engine power left while it is present.
    #[serde(default = "one")]
    pub power_kept: f64,
    /// Life, where the part wears.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub life: Option<Life>,
    /// Dollars off the worth when lived with; omitted: the purpose's share of the garage cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop_if_lived_with: Option<f64>,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation, `common practice, no source` or `from memory`.
    pub source: String,
    /// Year and month of the figures.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

fn one() -> f64 {
    1.0
}

/// How many of a part a car needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// One for the job.
    Each,
    /// One per cylinder.
    Cylinder,
    /// One per wheel.
    Wheel,
    /// Two: one axle.
    Axle,
    /// One per bank of cylinders.
    Bank,
    /// One per panel.
    Panel,
}

/// One part on the bill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartLine {
    /// Name as shown.
    pub name: String,
    /// How many.
    pub per: Per,
    /// Price new, each.
    pub new: ThreePoint,
    /// Price used, each; absent where used is not to be had or not safe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub used: Option<ThreePoint>,
}

/// Kinds of work that never go home by price alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SafetyClass {
    /// Brakes.
    Brakes,
    /// Steering and its joints.
    Steering,
    /// Air bags and belts.
    Restraints,
    /// Fuel under pressure.
    Fuel,
    /// Welded or bolted structure.
    Structure,
    /// Air-conditioning gas.
    Refrigerant,
    /// Hybrid and electric drive.
    HighVoltage,
    /// Springs under load.
    Springs,
}

/// Parts and operations that remove faults.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RepairRow {
    /// Unique id in words, such as `head-gasket`.
    pub id: RepairId,
    /// Name as shown.
    pub name: String,
    /// Parts bill.
    #[serde(default)]
    pub parts: Vec<PartLine>,
    /// Oil, coolant, sealant, cleaner: for the whole job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub consumables: Option<ThreePoint>,
    /// Labour steps, shared by identity between repairs.
    pub operations: Vec<OperationId>,
    /// Faults it cures besides those that name it.
    #[serde(default)]
    pub also_cures: Vec<FaultId>,
    /// Never done at home.
    #[serde(default)]
    pub garage_only: bool,
    /// Kind of safety work, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub safety: Option<SafetyClass>,
    /// System whose skill counts.
    pub system: System,
    /// Skill asked, 1 to 5.
    pub skill: u8,
    /// Tools from the tools table.
    #[serde(default)]
    pub tools: Vec<String>,
    /// Fixed fee of a garage or machine shop that a home job still needs (alignment, coding, gas, skimming).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outside_fee: Option<ThreePoint>,
    /// Operations done once at the end (bleed, alignment, coding).
    #[serde(default)]
    pub follow_ups: Vec<OperationId>,
    /// Faults of wearing parts that are new afterwards.
    #[serde(default)]
    pub renews: Vec<FaultId>,
    /// Class under the house rules: `safety`, `tires`, `brakes`, or empty for counted.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub exempt_class: String,
    /// The sign that must be gone afterwards.
    pub proof_of_cure: SignId,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation, `common practice, no source` or `from memory`.
    pub source: String,
    /// Year and month of the figures.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A labour step.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OperationRow {
    /// Unique id in words, such as `gearbox-out`.
    pub id: OperationId,
    /// Name as shown.
    pub name: String,
    /// Garage hours.
    pub hours: ThreePoint,
    /// Home hours are this many times the garage's.
    pub home_factor: f64,
    /// Done on a garage's machine even when the rest is done at home: paid by the repair's outside fee, or by the garage hour.
    #[serde(default)]
    pub garage_machine: bool,
    /// Tools table ids for places and hands: `lift-or-pit`, `helper`, `welder`.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation.
    pub source: String,
    /// Year and month of the figures.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What sort of thing a sign is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SignKind {
    /// Felt, heard, smelt or seen in use: usually asked or driven.
    Symptom,
    /// A trouble code.
    Code,
    /// A look at the car in the walk-around.
    Check,
    /// A test with or without tools that tells causes apart.
    Test,
    /// Something a seller admits that is no symptom of its own.
    Admission,
    /// A fact in the papers.
    Paper,
}

/// Who may do a check on somebody else's car.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Invasive {
    /// Anyone may look.
    #[default]
    No,
    /// Ask the seller first.
    AskFirst,
    /// Only on your own car or in a garage.
    OwnerOrGarage,
}

/// A level that ends the deal unless waived in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StopLevel {
    /// First level (0 is benign) that stops.
    pub from_level: usize,
    /// The group a purpose can ignore: `paper`, `flood`, `structure`, `restraint`, `brakes`, `fuel`, `engine`.
    pub group: String,
    /// What to say.
    pub sentence: String,
}

/// Knowledge of the form "when this symptom is there, what is the cause".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Causes {
    /// Share of cases in which each fault is the cause; sums to 1 or less.
    pub weights: BTreeMap<FaultId, f64>,
    /// True where nothing else causes it.
    #[serde(default)]
    pub complete: bool,
    /// How the cases spread over levels 1, 2, …; sums to 1. Omitted: all at level 1 (two-level signs).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub level_shares: Vec<f64>,
}

/// Knowledge of the form "this check finds that fault so often".
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hits {
    /// For each fault: chance of levels 1, 2, … when only it is present; the rest is level 0.
    pub rates: BTreeMap<FaultId, Vec<f64>>,
    /// Chance of levels 1, 2, … with no fault at all.
    pub false_alarm: Vec<f64>,
}

/// A test that acts on the cause of another sign.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TestOf {
    /// The signs whose cause it tells (any that is seen; the first seen in this order is used).
    pub signs: Vec<SignId>,
    /// Chance of every level (from 0) given that this fault is the cause; each row sums to 1.
    pub rows: BTreeMap<FaultId, Vec<f64>>,
    /// The same for any cause not named.
    pub other: Vec<f64>,
}

/// A sign: anything observable about a car, its papers or its seller's words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SignRow {
    /// Unique id in words, such as `idle-hunts`, or the code for codes, such as `p0171`.
    pub id: SignId,
    /// Kind.
    pub kind: SignKind,
    /// Short name as shown.
    pub name: String,
    /// Stage of the walk-around: `paper`, `from a distance`, `outside`, `tires, brakes`, `rust`, `hood up, cold`, `fluids`,
    /// `key on, lamps`, `cold start`, `cabin`, `flood signs`, `road test`, `hot restart`, `underneath`, `afterwards`, `questions`.
    pub stage: String,
    /// Order within the stage.
    pub order: u32,
    /// The question in plain words.
    pub question: String,
    /// What to do.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub how: String,
    /// How it fools you.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub fools_you: String,
    /// Answers in words, benign first; at least two.
    pub levels: Vec<String>,
    /// Cars it makes sense on.
    #[serde(default)]
    pub applies_if: AppliesIf,
    /// Cause weights, where knowledge comes that way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub causes: Option<Causes>,
    /// Hit rates and false alarms, where knowledge comes that way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hits: Option<Hits>,
    /// A test of another sign's cause.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub test_of: Option<TestOf>,
    /// Chance of each level (rows) at each of the five levels of care, neglected first (columns).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub care: Vec<[f64; 5]>,
    /// Signs that, once seen above benign, say the same more exactly.
    #[serde(default)]
    pub subsumed_by: Vec<SignId>,
    /// One act, one node: signs of the same act share this word and count once, the most direct report.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub act: String,
    /// Other words a person may type to find it.
    #[serde(default)]
    pub also_called: Vec<String>,
    /// Seconds it takes.
    pub seconds: u32,
    /// Tools from the tools table.
    #[serde(default)]
    pub tools: Vec<String>,
    /// Who may do it.
    #[serde(default)]
    pub invasive: Invasive,
    /// Signs that, above benign, forbid this check.
    #[serde(default)]
    pub blocked_by: Vec<SignId>,
    /// Can be answered from afar by photo or question.
    #[serde(default)]
    pub remote_ok: bool,
    /// Part of an ordinary visit of about an hour.
    #[serde(default)]
    pub ordinary_visit: bool,
    /// Stop, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop: Option<StopLevel>,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A tool, place or pair of hands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToolRow {
    /// Unique id in words.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Price to buy; absent where it is not bought (a helper).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buy: Option<ThreePoint>,
    /// Price to hire or borrow for a job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hire: Option<ThreePoint>,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A warning with its official source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionRow {
    /// Unique id in words.
    pub id: String,
    /// The danger in a word or two.
    pub name: String,
    /// The sentence shown.
    pub sentence: String,
    /// Law and section, or body and report.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A part that may be sold off the car.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SellableRow {
    /// Unique id in words.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Likely price in a private sale.
    pub price: ThreePoint,
    /// Hours to remove, at home.
    pub hours: f64,
    /// Cars that have it.
    #[serde(default)]
    pub applies_if: AppliesIf,
    /// Faults that make it worthless.
    #[serde(default)]
    pub spoiled_by: Vec<FaultId>,
    /// Law restricts its sale.
    #[serde(default)]
    pub restricted: bool,
    /// The car may not use the road without it.
    #[serde(default)]
    pub needed_on_road: bool,
    /// Safety item it belongs to (`restraint`, `seat`, `brakes`), or empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tied_to: String,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// One thing a purpose itself needs on the car.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FitOutItem {
    /// Id in words, unique in the list.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Bought per driver (moves to the next car) or for this car.
    pub per_driver: bool,
    /// Cash.
    pub cash: ThreePoint,
    /// Home hours.
    pub hours: f64,
    /// Any buyer of any car pays it (first service, an advert): counted with the fees.
    #[serde(default)]
    pub in_fees: bool,
    /// Must be done or signed off by a licensed or certified person.
    #[serde(default)]
    pub licensed: bool,
    /// Class under the house rules: `safety`, `tires`, `brakes`, or empty for counted.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub exempt_class: String,
    /// Cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// How a fault that is not put right lowers the worth, as a share of its garage cost.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drops {
    /// For faults that worsen.
    pub worsens: f64,
    /// For faults that annoy.
    pub annoys: f64,
    /// For faults that only spoil the looks.
    pub looks: f64,
}

/// The margin asked under the mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Margin {
    /// Share of the mean worth.
    pub share_of_worth: f64,
    /// Least margin, dollars: the greater of the two is used.
    pub least: f64,
}

/// What the car is for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PurposeRow {
    /// Unique id in words: `daily`, `project`, `track`, `capped-race`, `resale`, `donor`.
    pub id: String,
    /// Name as shown.
    pub name: String,
    /// Main severities that must be put right whatever the system.
    pub must_right: Vec<Severity>,
    /// Systems in which faults that worsen must be put right too (all, if `must_right` has `worsens`).
    #[serde(default)]
    pub worsens_in: Vec<System>,
    /// Horizon, miles.
    pub horizon_miles: f64,
    /// Drops for faults lived with.
    pub drops: Drops,
    /// Margin on the mean.
    pub margin: Margin,
    /// Chance of not being out of pocket, 0 to 1.
    pub confidence: f64,
    /// Value of an hour, dollars, unless the buyer says otherwise.
    pub hour_value: f64,
    /// Stop groups that end the deal.
    pub stops: Vec<String>,
    /// Race hours over the event; 0 where it is no race.
    #[serde(default)]
    pub race_hours: f64,
    /// What worth means by default: `ordinary`, `sorted`, `ready`, `parts`.
    pub worth_means: String,
    /// What the purpose needs on the car.
    #[serde(default)]
    pub fit_out: Vec<FitOutItem>,
    /// House rules of a capped event, to be replaced by the event's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub house_rules: Option<HouseRules>,
    /// What it ignores, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ignores: String,
    /// Citation.
    pub source: String,
    /// Year and month.
    pub as_of: String,
    /// Free note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}
