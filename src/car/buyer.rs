//! The buyer: skill, tools, time, money, purpose, rules and wishes.

use super::facts::System;
use super::money::Money;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};

/// House rules of a capped event, all data.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HouseRules {
    /// Most that may be counted.
    pub cap: Money,
    /// Dollars over the cap for each penalty step.
    pub penalty_step: Money,
    /// Penalty steps (laps) the buyer accepts.
    #[serde(default)]
    pub accepted_steps: u32,
    /// A started step counts whole; otherwise only full steps count.
    #[serde(default)]
    pub started_steps_count: bool,
    /// Classes of cost that do not count, such as `safety`, `tires`, `brakes`.
    #[serde(default)]
    pub exempt_classes: BTreeSet<String>,
    /// Money from parts sold off lowers the counted sum.
    #[serde(default)]
    pub sales_count_back: bool,
    /// Least treadwear grade of the tires.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_treadwear: Option<u32>,
}

/// Whose limits a reading is held against first. What that one has no figure for the next of the tables' order decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RuleSet {
    /// US federal: 49 CFR 570.
    Us,
    /// UK MOT.
    Uk,
    /// Handbooks and common practice before the law.
    Handbook,
    /// The user's own before all, then handbooks.
    Own,
}

impl RuleSet {
    /// All, in the order in which they are stepped through.
    pub const ALL: [Self; 4] = [Self::Us, Self::Uk, Self::Handbook, Self::Own];

    /// As in files, and in the settings' order of rule sets.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Uk => "uk",
            Self::Handbook => "handbook",
            Self::Own => "own",
        }
    }

    /// As shown.
    #[must_use]
    pub fn shown(self) -> &'static str {
        match self {
            Self::Us => "US, 49 CFR 570",
            Self::Uk => "UK MOT",
            Self::Handbook => "handbook first",
            Self::Own => "your own first",
        }
    }
}

/// How much a wish weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WishKind {
    /// Broken: no deal.
    MustHave,
    /// Met: a rung of its own, "because you want it".
    NiceToHave,
    /// Met: no deal.
    Never,
}

/// Something the buyer wants or will not have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Wish {
    /// Id, unique among the wishes.
    pub id: String,
    /// In words.
    pub words: String,
    /// Kind.
    pub kind: WishKind,
    /// What a nice-to-have is worth to this buyer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Money>,
}

/// The user.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Buyer {
    /// Format of the file.
    pub schema: u32,
    /// Purpose id.
    pub purpose: String,
    /// Skill by system, 1 never did it … 5 could teach it.
    pub skill: BTreeMap<System, u8>,
    /// Tools table ids at hand.
    pub tools: BTreeSet<String>,
    /// All the money there is for the car, once in the driveway and right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wallet: Option<Money>,
    /// Free hours a week.
    pub hours_a_week: f64,
    /// Most hours the buyer will put in before the car must be ready.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_hours: Option<f64>,
    /// Value of an hour; absent: the purpose's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hour_value: Option<Money>,
    /// Garage rate, an hour.
    pub garage_rate: Money,
    /// Garages add this share to the price of parts.
    pub garage_parts_markup: f64,
    /// Local prices over the tables' own, 1 for the same.
    pub price_index: f64,
    /// Own hours over the tables' home hours, 1 for the same.
    pub pace: f64,
    /// Chance of not being out of pocket; absent: the purpose's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub confidence: Option<f64>,
    /// Tax on the price, share.
    pub tax_on_price: f64,
    /// Title and registration fees, fetching, first service.
    pub fees: Money,
    /// May take safety work home though above own skill: classes named in words by the user.
    pub takes_home: BTreeSet<String>,
    /// Uses parts from other cars where that is safe.
    pub uses_used_parts: bool,
    /// House rules, if the purpose has them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub house_rules: Option<HouseRules>,
    /// Whose limits readings are held against; absent: the tables' own order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule_set: Option<RuleSet>,
    /// Wishes.
    pub wishes: Vec<Wish>,
    /// Fit-out items already owned, by id.
    pub owned_fit_out: BTreeSet<String>,
    /// Money already spent on this project out of the wallet.
    pub spent: Money,
    /// Fields the user has set: all others are "ours".
    pub touched: BTreeSet<String>,
    /// Fields of this schema that this version does not know.
    #[serde(flatten)]
    pub unknown_fields: Map<String, Value>,
}

impl Default for Buyer {
    /// The built-in plain buyer: an ordinary home mechanic with hand tools.
    fn default() -> Self {
        Self {
            schema: 1,
            purpose: "daily".to_owned(),
            skill: System::ALL
                .iter()
                .map(|system| {
                    let level = match system {
                        System::Gearbox | System::Electrics | System::Heating => 2,
                        System::Body => 1,
                        _ => 3,
                    };
                    (*system, level)
                })
                .collect(),
            tools: [
                "jack-and-stands",
                "socket-set",
                "torque-wrench",
                "breaker-bar",
                "code-reader",
                "multimeter",
                "torch",
                "mirror",
                "plug-socket",
                "torx-hex-bits",
                "trim-tools",
                "oil-drain-kit",
                "tread-gauge",
                "wheel-chocks",
                "line-wrenches",
                "level-ground",
                "drill",
                "spring-clamp-pliers",
                "test-lamp",
            ]
            .map(str::to_owned)
            .into(),
            wallet: None,
            hours_a_week: 6.0,
            most_hours: None,
            hour_value: None,
            garage_rate: Money::whole(110),
            garage_parts_markup: 0.2,
            price_index: 1.0,
            pace: 1.0,
            confidence: None,
            tax_on_price: 0.0,
            fees: Money::whole(200),
            takes_home: BTreeSet::new(),
            uses_used_parts: true,
            house_rules: None,
            rule_set: None,
            wishes: Vec::new(),
            owned_fit_out: BTreeSet::new(),
            spent: Money::ZERO,
            touched: BTreeSet::new(),
            unknown_fields: Map::new(),
        }
    }
}
