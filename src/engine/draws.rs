//! Every draw is one simulated version of this car: which faults are there, the cheapest cover, what it costs in cash and hours.

use super::bits::FaultSet;
use super::diagnosis::Diagnosis;
use super::figures::Spread;
use super::jobs::Jobs;
use super::journey::Journey;
use super::luck::{DRAWS_A_TURN, Luck};
use super::pricer::Pricer;
use crate::trade::Tables;

/// What all draws came to, a column a quantity.
#[derive(Debug, Clone, Default)]
pub struct Columns {
    /// Cost of the cover and of what is lived with: cash, tools, hours at their value, drops.
    pub cost: Vec<f64>,
    /// Cash: parts, oil, fees, garage labour, tools.
    pub cash: Vec<f64>,
    /// Own hours.
    pub hours: Vec<f64>,
    /// Garage hours.
    pub garage_hours: Vec<f64>,
    /// Part of `cost` for faults not tied to a sign above benign.
    pub unseen_cost: Vec<f64>,
    /// Cash of the same.
    pub unseen_cash: Vec<f64>,
    /// Hours of the same.
    pub unseen_hours: Vec<f64>,
    /// Cash counted by house rules.
    pub counted_cash: Vec<f64>,
    /// Share of engine power left as it stands, and with the work done.
    pub power_before: Vec<f64>,
    /// With the work done.
    pub power_after: Vec<f64>,
    /// Chance of covering the horizon unstranded as it stands.
    pub whole_before: Vec<f64>,
    /// With the work done.
    pub whole_after: Vec<f64>,
    /// Local price factor of the draw.
    pub price_factor: Vec<f64>,
    /// Faults present, by place.
    pub present: Vec<FaultSet>,
    /// Sums over the draws, by fault.
    pub by_fault: Vec<FaultSums>,
    /// Sum of what sharing work saved.
    pub shared_saved: f64,
    /// Sum of tools' cost.
    pub tools: f64,
    /// Draws in which the cover's search was cut short.
    pub cut_short: u32,
}

/// Sums over the draws for one fault.
#[derive(Debug, Clone, Default)]
pub struct FaultSums {
    /// Draws in which it was present.
    pub present: u32,
    /// What its cure took, each draw's cure paid alone, credited to one of the faults that it cured.
    pub cured_cost: f64,
    /// What living with it took.
    pub lived_with: f64,
    /// How often each job of the list was credited to it: (job, times).
    pub jobs: Vec<(usize, u32)>,
}

/// What the draws need.
#[derive(Debug, Clone, Copy)]
pub struct DrawInputs<'a> {
    /// Tables.
    pub tables: &'a Tables,
    /// Chances.
    pub diagnosis: &'a Diagnosis,
    /// Repairs.
    pub jobs: &'a Jobs,
    /// Journey.
    pub journey: &'a Journey,
    /// Luck.
    pub luck: Luck,
    /// How many.
    pub draws: u32,
}

/// Runs all draws.
#[must_use]
pub fn run(inputs: &DrawInputs<'_>) -> Columns {
    let mut columns = Columns {
        by_fault: vec![FaultSums::default(); inputs.diagnosis.faults.len()],
        ..Columns::default()
    };
    let mut sampler = inputs.diagnosis.sampler();
    let mut present = vec![[false; 4]; inputs.diagnosis.faults.len()];
    let mut causes = vec![[0; 4]; inputs.diagnosis.signs.len()];
    let mut pricer = Pricer::new(inputs);
    for turn in 0..inputs.draws.div_ceil(DRAWS_A_TURN) {
        sampler.draw(inputs.luck, turn, &mut present, &mut causes);
        pricer.start(turn);
        for lane in 0..DRAWS_A_TURN.min(inputs.draws - turn * DRAWS_A_TURN) as usize {
            let mut set = FaultSet::EMPTY;
            for (at, lanes) in present.iter().enumerate() {
                if lanes[lane] {
                    set.insert(at);
                }
            }
            pricer.draw(set, lane, &mut columns);
        }
    }
    columns
}

/// Mean of a column; nothing is zero.
#[must_use]
pub fn mean(column: &[f64]) -> f64 {
    if column.is_empty() {
        return 0.0;
    }
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let count = column.len() as f64;
    column.iter().sum::<f64>() / count
}

/// A quantile of a column: the value under which the share of the draws lies. The column is put in partial order.
#[must_use]
pub fn quantile(column: &mut [f64], share: f64) -> f64 {
    if column.is_empty() {
        return 0.0;
    }
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let last = (column.len() - 1) as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the column"
    )]
    let at = (share.clamp(0.0, 1.0) * last).round() as usize;
    *column.select_nth_unstable_by(at, f64::total_cmp).1
}

/// All that is said of an unsure figure.
#[must_use]
pub fn spread(column: &[f64]) -> Spread {
    let mean_value = mean(column);
    let variance = mean(
        &column
            .iter()
            .map(|value| (value - mean_value).powi(2))
            .collect::<Vec<_>>(),
    );
    let mut sorted = column.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| {
        #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
        let last = sorted.len().saturating_sub(1) as f64;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "inside the column"
        )]
        let place = (share * last).round() as usize;
        sorted.get(place).copied().unwrap_or(0.0)
    };
    Spread {
        mean: mean_value,
        sd: variance.sqrt(),
        p10: at(0.1),
        p20: at(0.2),
        p30: at(0.3),
        p50: at(0.5),
        p80: at(0.8),
        p90: at(0.9),
    }
}
