//! Every draw is one simulated version of this car: which faults are there, the cheapest cover, what it costs in cash and hours.

use super::bits::Bits;
use super::cover::{Candidate, Cover, Scratch, cheapest};
use super::diagnosis::Diagnosis;
use super::figures::{Spread, Standing};
use super::journey::Journey;
use super::jobs::{Jobs, ThingKind};
use super::luck::{DRAWS_A_TURN, Luck, StableId};
use super::normal::factor_of_mean_one;
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
    pub present: Vec<Bits>,
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
    let mut columns = Columns { by_fault: vec![FaultSums::default(); inputs.diagnosis.faults.len()], ..Columns::default() };
    let mut sampler = inputs.diagnosis.sampler();
    let mut present = vec![[false; 4]; inputs.diagnosis.faults.len()];
    let mut causes = vec![[0; 4]; inputs.diagnosis.signs.len()];
    let mut pricer = Pricer::new(inputs);
    for turn in 0..inputs.draws.div_ceil(DRAWS_A_TURN) {
        sampler.draw(inputs.luck, turn, &mut present, &mut causes);
        pricer.start(turn);
        for lane in 0..DRAWS_A_TURN.min(inputs.draws - turn * DRAWS_A_TURN) as usize {
            let mut set = Bits::EMPTY;
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

/// Prices of one turn, looked up when first needed.
struct Pricer<'a> {
    inputs: &'a DrawInputs<'a>,
    turn: u32,
    bills: Vec<Option<[f64; 4]>>,
    things: Vec<Option<[f64; 4]>>,
    touched_bills: Vec<usize>,
    touched_things: Vec<usize>,
    price_factor: [f64; 4],
    pace_factor: [f64; 4],
    price_id: StableId,
    pace_id: StableId,
    needed: Bits,
    tied: Vec<bool>,
    exempt: Vec<bool>,
    renews: Vec<Bits>,
    power_kept: Vec<f64>,
    log_whole_all: f64,
    candidates: Vec<Candidate>,
    candidate_jobs: Vec<usize>,
    cover: Cover,
    scratch: Scratch,
}

impl<'a> Pricer<'a> {
    fn new(inputs: &'a DrawInputs<'a>) -> Self {
        let (jobs, tables, faults) = (inputs.jobs, inputs.tables, &inputs.diagnosis.faults);
        let mut needed = Bits::EMPTY;
        for (at, is_needed) in jobs.needed.iter().enumerate() {
            if *is_needed {
                needed.insert(at);
            }
        }
        let renews = jobs
            .jobs
            .iter()
            .map(|job| {
                let mut set = Bits::EMPTY;
                for id in &tables.repairs[job.row].renews {
                    if let Some(at) = faults.iter().position(|fault| fault.id == *id) {
                        set.insert(at);
                    }
                }
                set
            })
            .collect();
        Self {
            inputs,
            turn: 0,
            bills: vec![None; jobs.jobs.len()],
            things: vec![None; jobs.things.len()],
            touched_bills: Vec::new(),
            touched_things: Vec::new(),
            price_factor: [1.0; 4],
            pace_factor: [1.0; 4],
            price_id: StableId::of(&["factor", "local prices"]),
            pace_id: StableId::of(&["factor", "pace"]),
            needed,
            tied: faults.iter().map(|fault| fault.standing != Standing::Unseen).collect(),
            exempt: jobs.jobs.iter().map(|job| !tables.repairs[job.row].exempt_class.is_empty()).collect(),
            renews,
            power_kept: faults.iter().map(|fault| tables.faults[fault.row].power_kept).collect(),
            log_whole_all: inputs.journey.log_whole_unknown.iter().sum(),
            candidates: Vec::new(),
            candidate_jobs: Vec::new(),
            cover: Cover::default(),
            scratch: Scratch::default(),
        }
    }

    fn start(&mut self, turn: u32) {
        self.turn = turn;
        for at in self.touched_bills.drain(..) {
            self.bills[at] = None;
        }
        for at in self.touched_things.drain(..) {
            self.things[at] = None;
        }
        let costs = &self.inputs.tables.settings.costs;
        let luck = self.inputs.luck;
        self.price_factor = luck.turn(self.price_id, turn).map(|u| factor_of_mean_one(costs.local_price_spread, u));
        self.pace_factor = luck.turn(self.pace_id, turn).map(|u| factor_of_mean_one(costs.pace_spread, u));
    }

    /// Cash of a job's own bill in a lane.
    fn bill(&mut self, job: usize, lane: usize) -> f64 {
        let lanes = if let Some(lanes) = self.bills[job] {
            lanes
        } else {
            let row = &self.inputs.jobs.jobs[job];
            let lanes = self.inputs.luck.turn(row.luck, self.turn).map(|u| row.bill.quantile(u));
            self.bills[job] = Some(lanes);
            self.touched_bills.push(job);
            lanes
        };
        lanes[lane] * self.price_factor[lane]
    }

    /// Hours (steps) or cash (tools) of a shared thing in a lane.
    fn thing(&mut self, thing: usize, lane: usize) -> f64 {
        let row = &self.inputs.jobs.things[thing];
        let lanes = if let Some(lanes) = self.things[thing] {
            lanes
        } else {
            let lanes = self.inputs.luck.turn(row.luck, self.turn).map(|u| row.curve.quantile(u));
            self.things[thing] = Some(lanes);
            self.touched_things.push(thing);
            lanes
        };
        match row.kind {
            ThingKind::AtHome => lanes[lane] * self.pace_factor[lane],
            ThingKind::AtGarage => lanes[lane],
            ThingKind::Tool => lanes[lane] * self.price_factor[lane],
        }
    }

    /// What a unit of a thing costs, dollars.
    fn rate(&self, thing: usize, lane: usize) -> f64 {
        match self.inputs.jobs.things[thing].kind {
            ThingKind::AtHome => self.inputs.jobs.hour_value,
            ThingKind::AtGarage => self.inputs.jobs.garage_rate * self.price_factor[lane],
            ThingKind::Tool => 1.0,
        }
    }

    /// The cheapest cover of the needed faults of this draw, left in `self.cover.chosen` as job numbers.
    fn choose(&mut self, needed: Bits, lane: usize, columns: &mut Columns) {
        self.candidates.clear();
        self.candidate_jobs.clear();
        let jobs = self.inputs.jobs;
        let mut plain = true;
        for fault in needed.iter() {
            plain &= jobs.by_fault[fault].len() == 1;
            for job in &jobs.by_fault[fault] {
                if !self.candidate_jobs.contains(job) {
                    self.candidate_jobs.push(*job);
                }
            }
        }
        if plain {
            self.cover.chosen.clear();
            self.cover.chosen.extend_from_slice(&self.candidate_jobs);
            return;
        }
        let mut prices = [0.0; super::bits::CAPACITY];
        let mut all = Bits::EMPTY;
        for at in 0..self.candidate_jobs.len() {
            let job = self.candidate_jobs[at];
            let own = self.bill(job, lane);
            let row = &jobs.jobs[job];
            all = all.union(row.uses);
            self.candidates.push(Candidate { cures: row.cures, uses: row.uses, own });
        }
        for thing in all.iter() {
            prices[thing] = self.thing(thing, lane) * self.rate(thing, lane);
        }
        cheapest(needed, &self.candidates, &|thing| prices[thing], &mut self.cover, &mut self.scratch);
        columns.cut_short += u32::from(!self.cover.exact);
        for at in &mut self.cover.chosen {
            *at = self.candidate_jobs[*at];
        }
    }

    fn draw(&mut self, present: Bits, lane: usize, columns: &mut Columns) {
        let needed = present.intersection(self.needed);
        self.choose(needed, lane, columns);
        let mut sums = DrawSums::default();
        let mut used = Bits::EMPTY;
        let chosen = std::mem::take(&mut self.cover.chosen);
        let mut cured = Bits::EMPTY;
        let mut renewed = Bits::EMPTY;
        for job in &chosen {
            let own = self.bill(*job, lane);
            let row = &self.inputs.jobs.jobs[*job];
            cured = cured.union(row.cures);
            renewed = renewed.union(self.renews[*job]);
            let alone = own + self.cost_of(row.uses, lane).0;
            let lead = self.lead(row.cures.intersection(needed));
            self.credit(lead, *job, alone, own, row.uses, lane, &mut sums, columns);
            sums.cash += own;
            sums.alone += alone;
            if !self.exempt[*job] {
                sums.counted += own;
            }
            used = used.union(row.uses);
        }
        self.cover.chosen = chosen;
        self.add_things(used, lane, &mut sums, columns);
        columns.shared_saved += sums.alone - (sums.cash + sums.hours * self.inputs.jobs.hour_value);
        for fault in present.without(cured).iter() {
            let drop = self.inputs.jobs.drop[fault];
            sums.drops += drop;
            columns.by_fault[fault].lived_with += drop;
            if !self.tied[fault] {
                sums.unseen_cost += drop;
            }
        }
        for fault in present.iter() {
            columns.by_fault[fault].present += 1;
        }
        self.push(present, cured, renewed.union(cured.intersection(present)), lane, &sums, columns);
    }

    /// The fault a cure is credited to: one that is tied to a sign, else the first.
    fn lead(&self, cured: Bits) -> Option<usize> {
        cured.iter().find(|fault| self.tied[*fault]).or_else(|| cured.iter().next())
    }

    /// Cost and own hours of a set of shared things.
    fn cost_of(&mut self, uses: Bits, lane: usize) -> (f64, f64) {
        let mut cost = 0.0;
        let mut hours = 0.0;
        for thing in uses.iter() {
            let amount = self.thing(thing, lane);
            cost += amount * self.rate(thing, lane);
            if self.inputs.jobs.things[thing].kind == ThingKind::AtHome {
                hours += amount;
            }
        }
        (cost, hours)
    }

    #[expect(clippy::too_many_arguments, reason = "one credit is one row of a ledger")]
    fn credit(
        &mut self,
        lead: Option<usize>,
        job: usize,
        alone: f64,
        own: f64,
        uses: Bits,
        lane: usize,
        sums: &mut DrawSums,
        columns: &mut Columns,
    ) {
        let Some(fault) = lead else { return };
        let entry = &mut columns.by_fault[fault];
        entry.cured_cost += alone;
        match entry.jobs.iter_mut().find(|(number, _)| *number == job) {
            Some((_, times)) => *times += 1,
            None => entry.jobs.push((job, 1)),
        }
        if !self.tied[fault] {
            let hours = self.cost_of(uses, lane).1;
            sums.unseen_cost += alone;
            sums.unseen_hours += hours;
            sums.unseen_cash += alone - hours * self.inputs.jobs.hour_value;
        }
        let _ = own;
    }

    /// Shared things, each once.
    fn add_things(&mut self, used: Bits, lane: usize, sums: &mut DrawSums, columns: &mut Columns) {
        for thing in used.iter() {
            let amount = self.thing(thing, lane);
            let cost = amount * self.rate(thing, lane);
            match self.inputs.jobs.things[thing].kind {
                ThingKind::AtHome => sums.hours += amount,
                ThingKind::AtGarage => {
                    sums.garage_hours += amount;
                    sums.cash += cost;
                    sums.counted += cost;
                }
                ThingKind::Tool => {
                    sums.cash += cost;
                    columns.tools += cost;
                }
            }
        }
    }

    fn push(&self, present: Bits, cured: Bits, renewed: Bits, lane: usize, sums: &DrawSums, columns: &mut Columns) {
        let journey = self.inputs.journey;
        let (mut log_before, mut log_after) = (self.log_whole_all, self.log_whole_all);
        let (mut power_before, mut power_after) = (1.0, 1.0);
        for fault in present.iter() {
            log_before -= journey.log_whole_unknown[fault] + journey.strands[fault];
            power_before *= self.power_kept[fault];
            if !cured.contains(fault) {
                log_after -= journey.log_whole_unknown[fault] + journey.strands[fault];
                power_after *= self.power_kept[fault];
            }
        }
        for fault in renewed.iter() {
            log_after += journey.log_whole_new[fault] - journey.log_whole_unknown[fault];
        }
        columns.cost.push(sums.cash + sums.hours * self.inputs.jobs.hour_value + sums.drops);
        columns.cash.push(sums.cash);
        columns.hours.push(sums.hours);
        columns.garage_hours.push(sums.garage_hours);
        columns.unseen_cost.push(sums.unseen_cost);
        columns.unseen_cash.push(sums.unseen_cash);
        columns.unseen_hours.push(sums.unseen_hours);
        columns.counted_cash.push(sums.counted);
        columns.power_before.push(power_before);
        columns.power_after.push(power_after);
        columns.whole_before.push(libm::exp(log_before));
        columns.whole_after.push(libm::exp(log_after));
        columns.price_factor.push(self.price_factor[lane]);
        columns.present.push(present);
    }
}

#[derive(Debug, Default)]
struct DrawSums {
    cash: f64,
    hours: f64,
    garage_hours: f64,
    alone: f64,
    drops: f64,
    counted: f64,
    unseen_cost: f64,
    unseen_cash: f64,
    unseen_hours: f64,
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
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the column")]
    let at = (share.clamp(0.0, 1.0) * last).round() as usize;
    *column.select_nth_unstable_by(at, f64::total_cmp).1
}

/// All that is said of an unsure figure.
#[must_use]
pub fn spread(column: &[f64]) -> Spread {
    let mean_value = mean(column);
    let variance = mean(&column.iter().map(|value| (value - mean_value).powi(2)).collect::<Vec<_>>());
    let mut sorted = column.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| {
        #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
        let last = sorted.len().saturating_sub(1) as f64;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "inside the column")]
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
