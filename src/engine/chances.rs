//! The three chances: cheap, reliable, fast, before and after the work.

use super::draws::mean;
use super::figures::{Chances, Pace, ThreeChances};
use super::limit::limit;
use super::weighing::{MoneyColumns, Weighing};

/// What the chances are reckoned from.
pub(crate) struct ChanceInputs<'a> {
    pub weighing: &'a Weighing<'a>,
    pub money: Option<&'a MoneyColumns>,
    /// The price in hand, dollars.
    pub price: Option<f64>,
    pub allowance: f64,
}

/// Chances and pace.
pub(crate) struct Made {
    pub chances: Chances,
    pub pace: Option<Pace>,
}

/// The three chances of a car.
pub(crate) fn chances(inputs: &ChanceInputs<'_>) -> Made {
    let columns = &inputs.weighing.columns;
    let mut unknown = Vec::new();
    let cheap = cheap(inputs, &mut unknown);
    let travels = inputs.weighing.journey.miles > 0.0;
    let reliable = |column: &[f64]| travels.then(|| mean(column));
    Made {
        chances: Chances {
            before: ThreeChances { cheap, reliable: reliable(&columns.whole_before), fast: None },
            after: ThreeChances { cheap, reliable: reliable(&columns.whole_after), fast: None },
            unknown_because: unknown,
            trace_id: "chances".to_owned(),
            ..Chances::default()
        },
        pace: None,
    }
}

/// Chance that everything paid stays inside the wallet, given that one stops when repairing stops paying.
fn cheap(inputs: &ChanceInputs<'_>, unknown: &mut Vec<String>) -> Option<f64> {
    let Some(wallet) = inputs.weighing.wallet() else {
        unknown.push("cheap: the wallet is not set".to_owned());
        return None;
    };
    let (Some(money), Some(price)) = (inputs.money, inputs.price) else {
        unknown.push("cheap: worth or price not known".to_owned());
        return None;
    };
    let limits = money.limit_inputs(inputs.weighing, inputs.allowance, None);
    let line = limit(&limits);
    let inside: Vec<f64> = (0..money.worth.len())
        .map(|at| {
            let work =
                if line.worth_repairing[at] { inputs.weighing.columns.cash[at] + money.fit_out_cash[at] } else { 0.0 };
            let paid = price * (1.0 + limits.tax) + limits.fees + work;
            f64::from(u8::from(paid <= wallet))
        })
        .collect();
    Some(mean(&inside))
}
