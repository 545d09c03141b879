//! The facts of one car: what was stated and what was seen, never what was computed.

use super::claim::Claim;
use super::facts::{Drive, Fuel, Gearbox, SaltWinters, SizeClass, Steering, TimingDrive};
use super::in_file;
use super::listing::{Comparable, Listing};
use super::money::{Money, MoneyRange};
use super::obd::CodeRead;
use super::observation::{Observation, Pin};
use super::papers::PaperFacts;
use super::reading::Reading;
use super::talks::Move;
use super::vin::Vin;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// Particulars of the car. What is not known is absent, and the engine says what it assumed.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Particulars {
    /// Make, in the user's words.
    pub make: String,
    /// Model, in the user's words.
    pub model: String,
    /// Model year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub year: Option<u16>,
    /// Odometer, miles.
    #[serde(
        skip_serializing_if = "Option::is_none",
        deserialize_with = "in_file::miles"
    )]
    pub odometer_miles: Option<f64>,
    /// Fuel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fuel: Option<Fuel>,
    /// Gearbox.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gearbox: Option<Gearbox>,
    /// Driven wheels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drive: Option<Drive>,
    /// Belt or chain.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub timing: Option<TimingDrive>,
    /// Power steering.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steering: Option<Steering>,
    /// Turbocharged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turbo: Option<bool>,
    /// Hybrid.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hybrid: Option<bool>,
    /// Air conditioning fitted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_conditioning: Option<bool>,
    /// Sunroof fitted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sunroof: Option<bool>,
    /// Cylinders.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cylinders: Option<u8>,
    /// Banks of cylinders: 1 in line, 2 in a V or flat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub banks: Option<u8>,
    /// Peak power at the crank, SAE net hp.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub power_hp: Option<f64>,
    /// Curb mass, lb, without driver.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub curb_mass_lb: Option<f64>,
    /// Class of car for prices and hours.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_class: Option<SizeClass>,
    /// Winters on salted roads.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub salt_winters: Option<SaltWinters>,
    /// Identification number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vin: Option<Vin>,
    /// Does not run or cannot be driven.
    pub non_runner: bool,
    /// In use, proven: receipt miles against the odometer, or it was driven to you.
    pub in_use_proven: bool,
    /// Fields of this schema that this version does not know.
    #[serde(flatten)]
    pub unknown_fields: Map<String, Value>,
}

/// What worth is meant to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WorthMeans {
    /// An ordinary sound car as sold, with ordinary unseen faults in its price.
    #[default]
    Ordinary,
    /// A car sorted through and through.
    Sorted,
    /// A car ready to race.
    Ready,
    /// The parts the buyer wants.
    Parts,
}

/// What the user says it would be worth, and by what cars they know.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct WorthBasis {
    /// The user's own low, likely, high.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub own: Option<MoneyRange>,
    /// Cars like it.
    pub comparables: Vec<Comparable>,
    /// What worth means; absent: the purpose's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub means: Option<WorthMeans>,
    /// Worth is for the car as it looks: what is in plain view is in it already.
    pub as_it_looks: bool,
}

/// How the user wants one fault put right, over what the engine would choose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RouteWish {
    /// At home.
    Home,
    /// At a garage.
    Garage,
    /// Live with it.
    LiveWith,
    /// Put it right though the purpose does not ask for it.
    PutRight,
}

/// A stop waived, in the user's own words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Waiver {
    /// The words.
    pub words: String,
    /// When.
    pub on: Date,
}

/// What is kept of one check besides its answer.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct CheckExtras {
    /// What was measured. The level follows from it under the limits in force; the answer beside it is the level as it was shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reading: Option<Reading>,
    /// Free note.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// File name of a photo.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub photo: String,
    /// What became of it where the seller was asked for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<Asked>,
}

/// What became of something the seller was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Asked {
    /// It came, from afar: a line, a photo, a recording.
    Arrived,
    /// Asked for from afar, and it never came.
    Missing,
    /// Asked for on the spot, and refused.
    Refused,
}

impl Asked {
    /// True where the seller held it back.
    #[must_use]
    pub fn held_back(self) -> bool {
        self != Self::Arrived
    }
}

/// All that is recorded of one car.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct CarRecord {
    /// Name as shown, such as `Dabchick 1.8 2009`.
    pub name: String,
    /// Currency code; `USD` if empty.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub currency: String,
    /// Particulars.
    pub particulars: Particulars,
    /// Listing and seller.
    pub listing: Listing,
    /// What the seller says.
    pub claims: Vec<Claim>,
    /// What was observed, by sign.
    pub observations: Vec<Observation>,
    /// Readings, notes and photos of checks, by sign id.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub checks: BTreeMap<String, CheckExtras>,
    /// Trouble codes read off the car.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub codes: Vec<CodeRead>,
    /// Papers and plates.
    #[serde(skip_serializing_if = "no_papers")]
    pub papers: PaperFacts,
    /// Worth.
    pub worth: WorthBasis,
    /// Faults the user holds certain or ruled out, by fault id.
    pub pins: BTreeMap<String, Pin>,
    /// Wishes by fault id.
    pub routes: BTreeMap<String, RouteWish>,
    /// Waived stops by sign id.
    pub waivers: BTreeMap<String, Waiver>,
    /// Offers and answers, in order.
    pub talks: Vec<Move>,
    /// Fees, transport, first service: what buying costs besides the price.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fees: Option<Money>,
    /// Price paid, once bought.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bought_at: Option<Money>,
    /// Day bought.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bought_on: Option<Date>,
    /// Free notes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// Ids of the buyer's must-haves that this car breaks or keeps: the user's own tick, by wish id.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub wishes_met: BTreeMap<String, bool>,
    /// Fields of this schema that this version does not know.
    #[serde(flatten)]
    pub unknown_fields: Map<String, Value>,
}

fn no_papers(papers: &PaperFacts) -> bool {
    *papers == PaperFacts::default()
}
