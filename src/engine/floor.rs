//! The floor: what the car brings without being put right, delivered, net of haulage and hours: as scrap, in parts, or as it stands.
//! It is also the bottom of any sane seller's range.

use super::curve::Curve;
use super::pert::{CLASSIC_LAMBDA, Pert, QuantileTable};
use crate::car::SizeClass;
use crate::trade::settings::CostSettings;
use crate::trade::{AppliesIf, Tables};
use std::collections::BTreeMap;

/// Share of the scrap money that the shell still brings once the parts are off (common practice, no source).
const SHELL_SHARE: f64 = 0.7;
/// Words of 64 parts each: rows of sellables beyond them are left out.
const WORDS: usize = 8;

/// What the floor is reckoned from.
pub struct FloorInputs<'a> {
    /// Sellables, faults and cost settings.
    pub tables: &'a Tables,
    /// Share at which a row applies to this car: 1 applies, 0 does not, between where a fact is not known.
    pub applies: &'a dyn Fn(&AppliesIf) -> f64,
    /// Class of car; absent: mid-size.
    pub size_class: Option<SizeClass>,
    /// Local prices over the tables' own.
    pub price_index: f64,
    /// Value of an hour, dollars.
    pub hour_value: f64,
    /// How much of the car is there, 0 to 1.
    pub completeness: f64,
    /// Quantiles of three-point figures.
    pub quantiles: &'a QuantileTable,
}

/// One sellable part, dollars.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Part {
    /// Expected takings.
    takings: f64,
    /// Hours to take it off, at their value.
    work: f64,
}

/// Everything of the floor that no draw changes.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorModel {
    scrap: Curve,
    haulage: Curve,
    as_is_share: f64,
    parts: Vec<Part>,
    takings: f64,
    work: f64,
    /// By place of the fault in its table: which parts it makes worthless.
    spoils: Vec<[u64; WORDS]>,
    /// Words of them in use.
    words: usize,
}

/// What one draw is reckoned with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorLuck {
    /// Luck of the scrap price, 0 to 1.
    pub scrap: f64,
    /// Luck of the haulage, 0 to 1.
    pub haulage: f64,
    /// Shared factor of local prices in this draw, 1 for as expected.
    pub prices: f64,
}

/// The floor in one draw, dollars.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FloorDraw {
    /// As scrap, net of haulage: can be under zero.
    pub scrap: f64,
    /// In parts: takings less hours, and the shell as scrap, net of haulage.
    pub parts: f64,
    /// Sold as it stands with its faults told.
    pub as_is: f64,
    /// The best of them.
    pub best: f64,
}

impl FloorModel {
    /// Reckons what no draw changes. Parts that cost more work than they bring stay on the shell; parts whose sale the law restricts stay out.
    #[must_use]
    pub fn new(inputs: &FloorInputs<'_>) -> Self {
        let costs = &inputs.tables.settings.costs;
        let index = inputs.price_index.max(0.0);
        let complete = inputs.completeness.clamp(0.0, 1.0);
        let by_class = class_factor(costs, inputs.size_class) * index * complete;
        let place_of: BTreeMap<&str, usize> = inputs
            .tables
            .faults
            .iter()
            .enumerate()
            .map(|(at, row)| (row.id.as_str(), at))
            .collect();
        let mut model = Self {
            scrap: Curve::of(&[(costs.scrap_price, index * complete)], inputs.quantiles),
            haulage: Curve::of(&[(costs.haulage, index)], inputs.quantiles),
            as_is_share: costs.as_is_share,
            parts: Vec::new(),
            takings: 0.0,
            work: 0.0,
            spoils: vec![[0; WORDS]; inputs.tables.faults.len()],
            words: 0,
        };
        for row in &inputs.tables.sellables {
            let share = (inputs.applies)(&row.applies_if).clamp(0.0, 1.0);
            let likely = Pert::new(row.price, CLASSIC_LAMBDA).mean() * by_class;
            let part = Part {
                takings: share * costs.parts_sell_share * likely,
                work: share * row.hours.max(0.0) * inputs.hour_value.max(0.0),
            };
            let full = model.parts.len() == WORDS * 64;
            if row.restricted || part.takings <= part.work || full {
                continue;
            }
            let at = model.parts.len();
            for fault in &row.spoiled_by {
                let mask = place_of
                    .get(fault.as_str())
                    .and_then(|place| model.spoils.get_mut(*place));
                if let Some(mask) = mask {
                    mask[at / 64] |= 1 << (at % 64);
                }
            }
            model.takings += part.takings;
            model.work += part.work;
            model.parts.push(part);
        }
        model.words = model.parts.len().div_ceil(64);
        model
    }

    /// Whether a fault, by its place in the faults table, makes any part worthless.
    #[must_use]
    pub fn spoils(&self, fault: usize) -> bool {
        let mask = self.spoils.get(fault);
        mask.is_some_and(|mask| mask.iter().any(|word| *word != 0))
    }

    /// The floor in one draw: `present` gives the places, in the faults table, of the faults this draw has; `worth` once right and
    /// `likely_repair` what a buyer would reckon for putting it right, dollars.
    #[must_use]
    pub fn at(
        &self,
        present: impl IntoIterator<Item = usize>,
        luck: FloorLuck,
        worth: f64,
        likely_repair: f64,
    ) -> FloorDraw {
        let steel = self.scrap.quantile(luck.scrap);
        let haulage = self.haulage.quantile(luck.haulage);
        let (takings, work) = self.unspoiled(present);
        let scrap = steel - haulage;
        let parts = takings * luck.prices - work + SHELL_SHARE * steel - haulage;
        let as_is = self.as_is_share * (worth - likely_repair).max(0.0);
        FloorDraw {
            scrap,
            parts,
            as_is,
            best: scrap.max(parts).max(as_is),
        }
    }

    /// Takings and work of the parts that no present fault spoils.
    fn unspoiled(&self, present: impl IntoIterator<Item = usize>) -> (f64, f64) {
        let mut gone = [0u64; WORDS];
        for fault in present {
            if let Some(mask) = self.spoils.get(fault) {
                for (word, more) in gone.iter_mut().zip(mask).take(self.words) {
                    *word |= more;
                }
            }
        }
        let (mut takings, mut work) = (self.takings, self.work);
        for (at, word) in gone.iter().enumerate().take(self.words) {
            let mut left = *word;
            while left != 0 {
                let place = at * 64 + left.trailing_zeros() as usize;
                if let Some(part) = self.parts.get(place) {
                    takings -= part.takings;
                    work -= part.work;
                }
                left &= left - 1;
            }
        }
        // Sums taken apart again can end a rounding error under zero.
        (takings.max(0.0), work.max(0.0))
    }
}

fn class_factor(costs: &CostSettings, class: Option<SizeClass>) -> f64 {
    let class = class.unwrap_or(SizeClass::Mid);
    let place = SizeClass::ALL.iter().position(|known| *known == class);
    place
        .and_then(|at| costs.parts_by_class.get(at))
        .copied()
        .unwrap_or(1.0)
}
