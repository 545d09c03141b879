//! What the purpose itself needs on the car: a race car's cage, a daily driver's first service.

use super::curve::Curve;
use super::pert::QuantileTable;
use crate::car::{Buyer, ThreePoint};
use crate::trade::{FitOutItem, PurposeRow};

/// The fit-out still to be bought, as bills that move together.
#[derive(Debug, Clone)]
pub struct FitOut {
    /// All that the wallet must hold and the fees do not have: for the car and for the driver.
    pub wallet: Curve,
    /// For this car only: part of its cost where worth means a car ready to race.
    pub car: Curve,
    /// What any buyer of any car pays, counted with the fees, mean dollars.
    pub in_fees: f64,
    /// Cash for this car that house rules count (no exempt class).
    pub counted: Curve,
    /// Own hours.
    pub hours: f64,
    /// Ids of the items still to be bought.
    pub items: Vec<String>,
}

impl FitOut {
    /// The fit-out of a purpose less what the buyer owns.
    #[must_use]
    pub fn of(
        purpose: &PurposeRow,
        buyer: &Buyer,
        exempt: &dyn Fn(&str) -> bool,
        table: &QuantileTable,
    ) -> Self {
        let wanted: Vec<&FitOutItem> = purpose
            .fit_out
            .iter()
            .filter(|item| !buyer.owned_fit_out.contains(&item.id))
            .collect();
        let index = buyer.price_index.max(0.0);
        let bill = |keep: &dyn Fn(&FitOutItem) -> bool| {
            let lines: Vec<(ThreePoint, f64)> = wanted
                .iter()
                .filter(|item| keep(item))
                .map(|item| (item.cash, index))
                .collect();
            Curve::of(&lines, table)
        };
        Self {
            wallet: bill(&|item| !item.in_fees),
            car: bill(&|item| !item.in_fees && !item.per_driver),
            in_fees: bill(&|item| item.in_fees).mean(),
            counted: bill(&|item| !item.in_fees && !item.per_driver && !exempt(&item.exempt_class)),
            hours: wanted.iter().map(|item| item.hours).sum::<f64>() * buyer.pace.max(0.0),
            items: wanted.iter().map(|item| item.id.clone()).collect(),
        }
    }
}
