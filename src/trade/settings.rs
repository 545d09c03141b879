//! Every starting value of the engine, kept as data in `assets/trade/settings.json`.

use crate::car::ThreePoint;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Starting values of the diagnosis (design: care, openness, links).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DiagnosisSettings {
    /// Levels of care, multipliers of every hazard, neglected last.
    pub care_levels: [f64; 5],
    /// Prior weights of the levels of care.
    pub care_weights: [f64; 5],
    /// Levels of openness: chance that the seller tells what they see.
    pub openness_levels: [f64; 3],
    /// Prior weights of the levels of openness.
    pub openness_weights: [f64; 3],
    /// Reference car: age in years.
    pub reference_age_years: f64,
    /// Reference car: miles.
    pub reference_miles: f64,
    /// Hidden share where a fault row names none.
    pub hidden_share: f64,
    /// Greatest chance that a cause-weight sign shows at all when its faults are there.
    pub cause_ceiling: f64,
    /// Scale of cause weights, before the ceiling.
    pub cause_scale: f64,
    /// Leak as a share of the scale, list of causes open.
    pub leak_open: f64,
    /// Leak as a share of the scale, list of causes complete.
    pub leak_complete: f64,
    /// Greatest false alarm of a check.
    pub greatest_false_alarm: f64,
    /// In use, proven: share of each main severity that use would have shown: strands, unsafe, the rest.
    pub in_use_shows: [f64; 3],
    /// Rust-driven rows times this, for none, some, many salt winters.
    pub salt_factors: [f64; 3],
    /// A fact of the car that is not known: a row that asks for it counts at this share.
    pub unknown_fact_share: f64,
    /// Share of ordinary cars that have a value of a fact, by its word (`hybrid`, `cvt`, `chain`…), for facts that are not known.
    #[serde(default)]
    pub ordinary_shares: BTreeMap<String, f64>,
    /// Widest frontier computed exactly.
    pub greatest_width: usize,
    /// A model's weak spot may be this many times likelier at most.
    pub greatest_weak_spot: f64,
    /// What it says of a seller that things asked for were held back.
    #[serde(default)]
    pub held_back: HeldBackSettings,
    /// How much a good answer counts that is known by the seller's word alone: of sellers whose car has the fault, the others say the same.
    #[serde(default = "all_of_it")]
    pub word_counts: f64,
}

fn all_of_it() -> f64 {
    1.0
}

/// What it says of a seller that they hold back what they are asked for. The default says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeldBackSettings {
    /// Chance that one thing asked for is held back, at each level of openness.
    pub shares: [f64; 3],
    /// Many things asked of one person tell no more than so many apart would: who answers one answers the next.
    pub count_as_most: f64,
}

/// Starting values of costs and routes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CostSettings {
    /// Hours one level above own skill take this many times longer.
    pub above_skill_hours: f64,
    /// Standard deviation of the shared factor of local prices.
    pub local_price_spread: f64,
    /// Standard deviation of the shared factor of this buyer's pace.
    pub pace_spread: f64,
    /// Parts times this, by class of car: small, mid, large, truck, premium, exotic.
    pub parts_by_class: [f64; 6],
    /// Hours times this, by class of car.
    pub hours_by_class: [f64; 6],
    /// Scrap money for a complete car delivered, dollars.
    pub scrap_price: ThreePoint,
    /// Haulage to the scrapyard or home, dollars.
    pub haulage: ThreePoint,
    /// Share of parts listed that sell when a car is broken.
    pub parts_sell_share: f64,
    /// Sold as it stands, with faults told: share of (worth less likely repair cost).
    pub as_is_share: f64,
}

/// Starting values of worth from comparables.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WorthSettings {
    /// Change of log price a year, across years.
    pub log_price_per_year: f64,
    /// Change of log price per 1,000 miles, across years.
    pub log_price_per_1000_miles: f64,
    /// The same within one model year.
    pub log_price_per_1000_miles_same_year: f64,
    /// Prior spread of log price between alike cars.
    pub spread: f64,
    /// Weight of that prior, in comparables.
    pub spread_weight: f64,
    /// Asked is brought to sold by this share off.
    pub asked_discount: f64,
}

/// Starting values of the limit price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitSettings {
    /// Share of draws in which the wallet must hold.
    pub wallet_confidence: f64,
    /// Chance that a planned sale falls through.
    pub sale_falls_through: f64,
    /// Withhold the second limit while any grave shell, flood or title fault is above this.
    pub withhold_above: f64,
    /// Faults that withhold it.
    pub withhold_faults: Vec<String>,
}

/// Starting values of the belief about the seller and of the ladder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OfferSettings {
    /// Mean of the seller's lowest price as a share of asking, before cues.
    pub base_share: f64,
    /// Open to offers.
    pub open_to_offers: f64,
    /// Firm.
    pub firm: f64,
    /// Per day listed.
    pub per_day: f64,
    /// Most for days listed.
    pub most_for_days: f64,
    /// Per drop of the price.
    pub per_drop: f64,
    /// Non-runner.
    pub non_runner: f64,
    /// Certainty that the buyer brings.
    pub certainty: f64,
    /// Least and greatest share.
    pub share_bounds: [f64; 2],
    /// Concentration of the beta part.
    pub concentration: f64,
    /// Weight of the uniform part.
    pub uniform_weight: f64,
    /// Width of the acceptance logistic, share of asking.
    pub acceptance_width: f64,
    /// Most offers in a ladder.
    pub most_offers: usize,
    /// Least chance of a deal for a ladder.
    pub least_chance: f64,
    /// Least span of a ladder, share of asking.
    pub least_span: f64,
    /// One dated offer: limit less this share of (limit less floor).
    pub one_offer_share: f64,
    /// Lowest opening as a share of asking, without and with proven faults.
    pub lowest_opening: [f64; 2],
    /// Quit after a refusal: base, slope, pivot share of asking, greatest.
    pub quit: [f64; 4],
    /// Share of a finding's cost that its being seen by both is worth in the talks.
    pub proof_share: f64,
}

/// Starting values of pace and of the three chances.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PaceSettings {
    /// Driver, lb.
    pub driver_lb: f64,
    /// Share of peak power that reaches the wheels on average.
    pub useful_share: f64,
    /// Friction of the tires.
    pub friction: f64,
    /// Share of the weight on driven wheels: front, rear, all.
    pub driven_weight: [f64; 3],
    /// Drag area, square meters.
    pub drag_area_m2: f64,
    /// Rolling resistance.
    pub rolling: f64,
    /// Air density, kg per cubic meter.
    pub air_density: f64,
    /// Rotating mass factor.
    pub rotating: f64,
    /// Pause of a shift, seconds.
    pub shift_s: f64,
    /// Speeds of the shifts, m/s.
    pub shifts_m_per_s: Vec<f64>,
    /// Band of the result, seconds either way.
    pub band_s: f64,
    /// Ordinary cars, 0 to 60 mph: median and the 10-90 % ends, seconds.
    pub ordinary_zero_to_60_s: [f64; 3],
    /// Ordinary cars, quarter mile: median and the 10-90 % ends, seconds.
    pub ordinary_quarter_mile_s: [f64; 3],
    /// A corner of the triangle is offered from here.
    pub offered_from: f64,
    /// Fairly, from here.
    pub fairly_from: f64,
    /// A mile in a race counts as this many on the road.
    pub race_hazard: f64,
    /// Miles in an hour of racing.
    pub race_miles_an_hour: f64,
}

/// A finding that forbids something from a level on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// Sign.
    pub sign: String,
    /// First level (0 is benign) that forbids.
    pub from_level: usize,
}

/// Something dangerous after certain findings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gate {
    /// What must not be done: `no drive on the road`.
    pub reason: String,
    /// The findings.
    pub because: Vec<Block>,
}

/// One line of the rule on odometer disclosure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OdometerRule {
    /// Last model year it holds for.
    pub year_to: u16,
    /// Years after which a car is exempt.
    pub years: u16,
}

/// Every starting value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Diagnosis.
    pub diagnosis: DiagnosisSettings,
    /// Costs and routes.
    pub costs: CostSettings,
    /// Worth.
    pub worth: WorthSettings,
    /// Limit.
    pub limit: LimitSettings,
    /// Offer.
    pub offer: OfferSettings,
    /// Pace and the triangle.
    pub pace: PaceSettings,
    /// Rule sets of limits in force, the one that decides first named first: the user's own, the law of the place, handbooks.
    #[serde(default = "rule_sets")]
    pub rule_sets: Vec<String>,
    /// The same where the buyer chose whose limits come first, by the word of the choice; one that is not here takes `rule_sets`.
    #[serde(default)]
    pub rule_set_choices: BTreeMap<String, Vec<String>>,
    /// US odometer disclosure: for model years up to each `year_to`, exempt once so many years have passed from 1 January of the model
    /// year (49 CFR 580.17(a)(3), (4)).
    #[serde(default = "odometer_rules")]
    pub odometer_rules: Vec<OdometerRule>,
    /// Miles a car has gone at each age, 1 year first, driving the average of each year (NHTSA DOT HS 809 952, cars).
    #[serde(default = "ordinary_miles")]
    pub ordinary_miles: Vec<f64>,
    /// Dangers by name: what must not be done, and the findings that forbid it. A sign's `blocked_by` names them.
    #[serde(default)]
    pub gates: BTreeMap<String, Gate>,
    /// The quick list of the walk: on any one car 24 of these apply, about twenty minutes.
    #[serde(default)]
    pub quick_list: Vec<String>,
    /// What to say before a check that must be asked for, by sign, else by tool, else `default`.
    #[serde(default)]
    pub ask_first: BTreeMap<String, String>,
    /// Ids of rows that were renamed: old to new.
    pub aliases: BTreeMap<String, String>,
    /// Year and month of the values.
    pub as_of: String,
    /// Where the values come from.
    pub source: String,
}

fn rule_sets() -> Vec<String> {
    ["own", "us-49cfr570", "us-epa", "handbook"]
        .map(str::to_owned)
        .to_vec()
}

fn odometer_rules() -> Vec<OdometerRule> {
    [(2010, 10), (9999, 20)]
        .map(|(year_to, years)| OdometerRule { year_to, years })
        .to_vec()
}

fn ordinary_miles() -> Vec<f64> {
    Vec::new()
}
