//! Every draw is one simulated version of this car: which faults are there, the cheapest cover, what it costs in cash and hours.

use super::bits::FaultSet;
use super::diagnosis::Diagnosis;
use super::figures::Spread;
use super::jobs::Jobs;
use super::journey::Journey;
use super::luck::{DRAWS_A_TURN, LANES, Luck, lanes_of};
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
    /// Part of `cost` for parts of known age, over or under those of unknown history.
    pub wear: Vec<f64>,
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
    /// Levels of care and openness, a turn of draws each.
    pub components: Vec<(usize, usize)>,
    /// Where asked for: cause of each sign above benign (place of a fault, or none of the tables), by sign, then by draw.
    pub causes: Vec<Vec<u16>>,
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

impl FaultSums {
    /// Adds cures by a job in so many draws, each paid alone; `alone` is their sum.
    #[inline]
    pub(crate) fn credit(&mut self, job: usize, alone: f64, draws: u32) {
        self.cured_cost += alone;
        match self.jobs.iter_mut().find(|(number, _)| *number == job) {
            Some((_, times)) => *times += draws,
            None => self.jobs.push((job, draws)),
        }
    }
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
    /// Keep the causes of the signs above benign.
    pub causes: bool,
}

/// Runs all draws.
#[must_use]
pub fn run(inputs: &DrawInputs<'_>) -> Columns {
    let mut columns = Columns {
        by_fault: vec![FaultSums::default(); inputs.diagnosis.faults.len()],
        ..Columns::default()
    };
    let mut sampler = inputs.diagnosis.sampler();
    let (mut present, mut causes) = (Vec::new(), Vec::new());
    if inputs.causes {
        columns.causes = vec![Vec::new(); inputs.diagnosis.signs.len()];
    }
    let mut pricer = Pricer::new(inputs);
    for turn in 0..inputs.draws.div_ceil(DRAWS_A_TURN) {
        if inputs.causes {
            sampler.draw(inputs.luck, turn, &mut present, &mut causes);
            for (kept, turn) in columns.causes.iter_mut().zip(&causes) {
                kept.extend_from_slice(turn);
            }
        } else {
            sampler.draw_present(inputs.luck, turn, &mut present);
        }
        columns.components.push(sampler.component());
        let lanes = DRAWS_A_TURN.min(inputs.draws - turn * DRAWS_A_TURN);
        let live = u16::MAX >> (DRAWS_A_TURN - lanes);
        let sets = by_lane(&present);
        pricer.turn(turn, live, (&present, &sets), &mut columns);
    }
    columns.cut_short = pricer.cut_short();
    columns
}

/// The faults present in each draw of a turn.
pub(crate) fn by_lane(present: &[u16]) -> [FaultSet; LANES] {
    let mut sets = [FaultSet::EMPTY; LANES];
    for (at, mask) in present.iter().enumerate() {
        for lane in lanes_of(*mask) {
            sets[lane].insert(at);
        }
    }
    sets
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
    let at = place(share, column.len());
    *column.select_nth_unstable_by(at, f64::total_cmp).1
}

/// All that is said of an unsure figure.
#[must_use]
pub fn spread(column: &[f64]) -> Spread {
    let center = mean(column);
    let squares = column
        .iter()
        .fold(0.0, |sum, value| sum + (value - center).powi(2));
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let sd = (squares / column.len().max(1) as f64).sqrt();
    let mut rest = column.to_vec();
    let [p10, p20, p30, p50, p80, p90] = quantiles(&mut rest, [0.1, 0.2, 0.3, 0.5, 0.8, 0.9]);
    Spread {
        mean: center,
        sd,
        p10,
        p20,
        p30,
        p50,
        p80,
        p90,
    }
}

/// Several quantiles of a column, shares rising, as [`quantile`] gives them one by one. The column is put in partial order.
#[must_use]
pub fn quantiles<const N: usize>(column: &mut [f64], shares: [f64; N]) -> [f64; N] {
    let mut found = [0.0; N];
    let places = shares.map(|share| place(share, column.len()));
    select(column, 0, &places, &mut found);
    found
}

/// Finds the values at rising places (counted from `start`, where the column begins), the middle one first, the others on its sides.
fn select(column: &mut [f64], start: usize, places: &[usize], found: &mut [f64]) {
    let half = places.len() / 2;
    let (Some(middle), false) = (places.get(half), column.is_empty()) else {
        return;
    };
    let (below, value, above) = column.select_nth_unstable_by(middle - start, f64::total_cmp);
    let value = *value;
    let lower = places.iter().take_while(|place| *place < middle).count();
    let upper = places.iter().take_while(|place| *place <= middle).count();
    select(below, start, &places[..lower], &mut found[..lower]);
    select(above, middle + 1, &places[upper..], &mut found[upper..]);
    found[lower..upper].fill(value);
}

/// The place of a quantile in a column of so many values.
#[expect(clippy::cast_precision_loss, reason = "a count of draws")]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the column"
)]
fn place(share: f64, count: usize) -> usize {
    (share.clamp(0.0, 1.0) * count.saturating_sub(1) as f64).round() as usize
}
