//! The limit price: the least of what the car is worth to this buyer, what the wallet holds and what the house rules allow.

use super::draws::{mean, quantile};

/// What the limit is reckoned from; columns hold one value a draw.
#[derive(Debug, Clone, Copy)]
pub struct LimitInputs<'a> {
    /// Worth, once right.
    pub worth: &'a [f64],
    /// Cost: cash, hours at their value, drops, and fit-out where worth means a car ready to race.
    pub cost: &'a [f64],
    /// Cash of the work.
    pub cash: &'a [f64],
    /// Fit-out cash that the wallet must hold.
    pub fit_out_cash: &'a [f64],
    /// Floor: best of scrap, parts, as it stands.
    pub floor: &'a [f64],
    /// Ordinary unseen faults that the worth's price already carries.
    pub allowance: f64,
    /// Fees, transport, first service.
    pub fees: f64,
    /// Margin under the mean.
    pub margin: f64,
    /// What the buyer's met nice-to-haves are worth to them.
    pub wishes: f64,
    /// Chance of not being out of pocket.
    pub confidence: f64,
    /// Money left in the wallet.
    pub wallet: Option<f64>,
    /// Share of draws in which the wallet must hold.
    pub wallet_confidence: f64,
    /// House rules: hopeful and cautious price.
    pub rules: Option<(f64, f64)>,
    /// Tax on the price, share.
    pub tax: f64,
}

/// Lines and limit, dollars, before rounding.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitLine {
    /// Gain before the price, a draw each: max(worth - cost + allowance, floor) - fees.
    pub gain: Vec<f64>,
    /// Mean of the gain.
    pub mean_gain: f64,
    /// Mean of what the floor lifts: max(x, floor) - x.
    pub floor_lift: f64,
    /// Mean gain less margin, with wishes: the mean room.
    pub room: f64,
    /// Value line: the lesser of the room and the quantile of the gain, and never over `ceiling`.
    pub value: f64,
    /// The greater of mean worth and mean floor: no luck in the draws pays more than that.
    pub ceiling: f64,
    /// Wallet line.
    pub wallet: Option<f64>,
    /// The least line, tax still in.
    pub before_tax: f64,
    /// Never pay over this.
    pub price: f64,
    /// The line that binds.
    pub binds: &'static str,
    /// Share of draws in which putting it right leaves less than the floor.
    pub donor_chance: f64,
    /// True in draws where putting it right pays.
    pub worth_repairing: Vec<bool>,
}

/// The value line at a chance of not being out of pocket: min(mean - margin, quantile), with wishes.
fn value_line(gain: &[f64], room: f64, wishes: f64, confidence: f64) -> f64 {
    let mut sorted = gain.to_vec();
    (quantile(&mut sorted, 1.0 - confidence) + wishes).min(room)
}

/// The limit.
#[must_use]
pub fn limit(inputs: &LimitInputs<'_>) -> LimitLine {
    let put_right: Vec<f64> = inputs
        .worth
        .iter()
        .zip(inputs.cost)
        .map(|(worth, cost)| worth - cost + inputs.allowance)
        .collect();
    let worth_repairing: Vec<bool> = put_right
        .iter()
        .zip(inputs.floor)
        .map(|(x, floor)| x >= floor)
        .collect();
    let gain: Vec<f64> = put_right
        .iter()
        .zip(inputs.floor)
        .map(|(x, floor)| x.max(*floor) - inputs.fees)
        .collect();
    let lift: Vec<f64> = put_right
        .iter()
        .zip(inputs.floor)
        .map(|(x, floor)| (floor - x).max(0.0))
        .collect();
    let mean_gain = mean(&gain);
    let room = mean_gain - inputs.margin + inputs.wishes;
    let ceiling = mean(inputs.worth).max(mean(inputs.floor));
    let value = value_line(&gain, room, inputs.wishes, inputs.confidence).min(ceiling);
    let wallet = inputs
        .wallet
        .map(|wallet| wallet_line(inputs, wallet, &worth_repairing));
    let mut lines = vec![("value", value)];
    lines.extend(wallet.map(|line| ("wallet", line)));
    lines.extend(inputs.rules.map(|(_, cautious)| ("rules", cautious)));
    let (binds, before_tax) = lines
        .into_iter()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or(("value", value));
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let donor_chance = worth_repairing.iter().filter(|pays| !**pays).count() as f64
        / worth_repairing.len().max(1) as f64;
    LimitLine {
        floor_lift: mean(&lift),
        mean_gain,
        room,
        value,
        ceiling,
        wallet,
        before_tax,
        price: before_tax / (1.0 + inputs.tax.max(0.0)),
        binds,
        donor_chance,
        worth_repairing,
        gain,
    }
}

impl LimitLine {
    /// The same limit at another chance of not being out of pocket; wallet and rules hold as before.
    #[must_use]
    pub fn price_at(&self, inputs: &LimitInputs<'_>, confidence: f64) -> f64 {
        let value = value_line(&self.gain, self.room, inputs.wishes, confidence).min(self.ceiling);
        let least = [self.wallet, inputs.rules.map(|(_, cautious)| cautious)]
            .into_iter()
            .flatten()
            .fold(value, f64::min);
        least / (1.0 + inputs.tax.max(0.0))
    }
}

/// Highest price at which the wallet holds in the wanted share of the draws worth repairing.
///
/// Where no draw is worth repairing nothing is spent on repairs, and the wallet holds the price and the fees.
fn wallet_line(inputs: &LimitInputs<'_>, wallet: f64, worth_repairing: &[bool]) -> f64 {
    let mut left: Vec<f64> = inputs
        .cash
        .iter()
        .zip(inputs.fit_out_cash)
        .zip(worth_repairing)
        .filter(|(_, pays)| **pays)
        .map(|((cash, fit_out), _)| wallet - cash - fit_out - inputs.fees)
        .collect();
    if left.is_empty() {
        return wallet - inputs.fees;
    }
    quantile(&mut left, 1.0 - inputs.wallet_confidence)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inputs<'a>(
        worth: &'a [f64],
        cost: &'a [f64],
        floor: &'a [f64],
        none: &'a [f64],
    ) -> LimitInputs<'a> {
        LimitInputs {
            worth,
            cost,
            cash: cost,
            fit_out_cash: none,
            floor,
            allowance: 0.0,
            fees: 100.0,
            margin: 0.0,
            wishes: 0.0,
            confidence: 0.7,
            wallet: None,
            wallet_confidence: 0.6,
            rules: None,
            tax: 0.0,
        }
    }

    #[test]
    fn a_sure_car_is_worth_what_is_left_after_work_and_fees() {
        let (worth, cost, floor, none) = ([3000.0; 10], [1000.0; 10], [300.0; 10], [0.0; 10]);
        let line = limit(&inputs(&worth, &cost, &floor, &none));
        assert!((line.price - 1900.0).abs() < 1e-9);
        assert_eq!(line.binds, "value");
        let taxed = limit(&LimitInputs {
            tax: 0.06,
            ..inputs(&worth, &cost, &floor, &none)
        });
        assert!((taxed.price * 1.06 - 1900.0).abs() < 1e-9);
        let poor = limit(&LimitInputs {
            wallet: Some(2500.0),
            ..inputs(&worth, &cost, &floor, &none)
        });
        assert_eq!(poor.binds, "wallet");
        assert!((poor.price - 1400.0).abs() < 1e-9);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_limit_is_never_over_the_greater_of_mean_worth_and_mean_floor(
            rows in prop::collection::vec((0.0f64..6000.0, 0.0f64..5000.0, 0.0f64..900.0), 1..200),
            confidence in 0.5f64..0.95,
        ) {
            let worth: Vec<f64> = rows.iter().map(|row| row.0).collect();
            let cost: Vec<f64> = rows.iter().map(|row| row.1).collect();
            let floor: Vec<f64> = rows.iter().map(|row| row.2).collect();
            let none = vec![0.0; rows.len()];
            let line = limit(&LimitInputs { confidence, ..inputs(&worth, &cost, &floor, &none) });
            prop_assert!(line.price <= mean(&worth).max(mean(&floor)) + 1e-9);
            let surer = line.price_at(&LimitInputs { confidence, ..inputs(&worth, &cost, &floor, &none) }, 0.97);
            prop_assert!(surer <= line.price + 1e-9);
        }
    }
}
