//! The engine's front door: tables made ready once, then any number of cars.

use super::appraise::appraise;
use super::compare::{Entrant, compare, side_by_side};
use super::diagnosis::{reasons, reasons_of};
use super::figures::{Appraisal, Comparison, Reason, Run};
use super::find_out::{FindOut, FindOutWish, Mind, change_my_mind, find_out};
use super::pert::QuantileTable;
use super::two_prices::{TwoPrices, two_prices};
use crate::car::{Buyer, CarRecord};
use crate::trade::derive::{DerivedLinks, links};
use crate::trade::{PurposeRow, Tables};

/// Tables with what is derived from them once: link strengths and quantiles.
#[derive(Debug, Clone)]
pub struct Knowledge {
    tables: Tables,
    links: DerivedLinks,
    quantiles: QuantileTable,
    plain: PurposeRow,
}

/// Faults whose reasons are worked out with an appraisal; the others on asking.
const EXPLAINED: usize = 12;

impl Knowledge {
    /// Makes tables ready.
    #[must_use]
    pub fn new(tables: Tables) -> Self {
        Self {
            links: links(&tables),
            quantiles: QuantileTable::default(),
            plain: no_purpose(),
            tables,
        }
    }

    /// The tables.
    #[must_use]
    pub fn tables(&self) -> &Tables {
        &self.tables
    }

    /// Link strengths.
    #[must_use]
    pub fn links(&self) -> &DerivedLinks {
        &self.links
    }

    /// Quantiles of three-point figures.
    #[must_use]
    pub fn quantiles(&self) -> &QuantileTable {
        &self.quantiles
    }

    /// The buyer's purpose; an unknown one counts as a daily driver, and without that as a purpose that asks for nothing.
    #[must_use]
    pub fn purpose(&self, buyer: &Buyer) -> &PurposeRow {
        self.tables
            .purpose(&buyer.purpose)
            .or_else(|| self.tables.purpose("daily"))
            .unwrap_or(&self.plain)
    }

    /// Weighs a car.
    #[must_use]
    pub fn appraise(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> Appraisal {
        appraise(self, car, buyer, run)
    }

    /// Weighs up to four cars in shared luck: slug and record of each.
    #[must_use]
    pub fn compare(&self, cars: &[(&str, &CarRecord)], buyer: &Buyer, run: &Run) -> Comparison {
        compare(self, cars, buyer, run)
    }

    /// Weighs one car to be set beside others, so that several can be weighed at the same time.
    #[must_use]
    pub fn entrant(&self, car: (&str, &CarRecord), buyer: &Buyer, run: &Run) -> Entrant {
        Entrant::weigh(self, car, buyer, run)
    }

    /// Sets cars side by side that were weighed for this buyer and run; records in the order of the cars.
    #[must_use]
    pub fn side_by_side(
        &self,
        entrants: Vec<Entrant>,
        records: &[&CarRecord],
        buyer: &Buyer,
        run: &Run,
    ) -> Comparison {
        side_by_side(self, entrants, records, buyer, run)
    }

    /// What to find out next about a car.
    #[must_use]
    pub fn find_out(
        &self,
        car: &CarRecord,
        buyer: &Buyer,
        run: &Run,
        wish: FindOutWish,
    ) -> FindOut {
        find_out(self, car, buyer, run, wish)
    }

    /// What would change the mind about a car, from its appraisal.
    #[must_use]
    pub fn change_my_mind(
        &self,
        car: &CarRecord,
        buyer: &Buyer,
        run: &Run,
        base: &Appraisal,
    ) -> Mind {
        change_my_mind(self, car, buyer, run, base)
    }

    /// An offer at two prices, tied to a check, from the figure of a round of the plan, counted from 1.
    ///
    /// # Errors
    /// One sentence where the check cannot carry them.
    pub fn two_prices(
        &self,
        car: &CarRecord,
        buyer: &Buyer,
        run: &Run,
        sign: &str,
        round: usize,
    ) -> Result<TwoPrices, String> {
        two_prices(self, car, buyer, run, sign, round)
    }

    /// Why one fault stands where it stands: one diagnosis more for each observation.
    #[must_use]
    pub fn reasons(&self, car: &CarRecord, run: &Run, fault: &str) -> Vec<Reason> {
        reasons(car, &self.tables, &self.links, run.today, fault)
    }

    /// Fills in the reasons of the faults that take most.
    pub fn explain(&self, appraisal: &mut Appraisal, car: &CarRecord, run: &Run) {
        let asked: Vec<String> = appraisal
            .faults
            .iter()
            .filter(|fault| !fault.because_of.is_empty())
            .take(EXPLAINED)
            .map(|fault| fault.id.clone())
            .collect();
        let ids: Vec<&str> = asked.iter().map(String::as_str).collect();
        let mut told = reasons_of(car, &self.tables, &self.links, run.today, &ids);
        for fault in &mut appraisal.faults {
            if let Some(reasons) = told.remove(&fault.id) {
                fault.reasons = reasons;
            }
        }
    }
}

/// A purpose that asks for nothing, for tables that have none at all.
fn no_purpose() -> PurposeRow {
    PurposeRow {
        id: String::new(),
        name: "no purpose".to_owned(),
        must_right: Vec::new(),
        worsens_in: Vec::new(),
        horizon_miles: 0.0,
        drops: crate::trade::Drops {
            worsens: 0.0,
            annoys: 0.0,
            looks: 0.0,
        },
        margin: crate::trade::Margin {
            share_of_worth: 0.0,
            least: 0.0,
        },
        confidence: 0.7,
        hour_value: 0.0,
        stops: Vec::new(),
        race_hours: 0.0,
        worth_means: "ordinary".to_owned(),
        fit_out: Vec::new(),
        house_rules: None,
        ignores: String::new(),
        source: String::new(),
        as_of: String::new(),
        note: String::new(),
    }
}
