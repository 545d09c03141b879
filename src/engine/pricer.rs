//! The price of one draw: the cheapest cover of its needed faults, each amount looked up once a turn for four draws together.

use super::bits::{FaultSet, MOST_THINGS};
use super::cover::{Candidate, Cover, Scratch, cheapest};
use super::draws::{Columns, DrawInputs};
use super::figures::Standing;
use super::jobs::ThingKind;
use super::luck::StableId;
use super::normal::factor_of_mean_one;

/// One value in each of the four draws of a turn.
type Four = [f64; 4];

/// What a shared thing comes to in a turn.
#[derive(Clone, Copy, Default)]
struct ThingTurn {
    turn: u32,
    /// Hours, or dollars for a tool.
    amount: Four,
    /// Dollars.
    cost: Four,
}

/// What a job comes to in a turn.
#[derive(Clone, Copy, Default)]
struct JobTurn {
    /// Turn of the bill.
    billed: u32,
    /// Its own bill, dollars.
    bill: Four,
    /// Turn of the rest: many a job is out of the running by its bill alone.
    turn: u32,
    /// Bill and all it uses, dollars.
    alone: Four,
    /// Own hours.
    hours: Four,
}

/// Prices draws one after another.
pub(super) struct Pricer<'a> {
    inputs: &'a DrawInputs<'a>,
    /// The turn in hand plus one, so that nothing is of turn zero by default.
    turn: u32,
    things: Vec<ThingTurn>,
    jobs: Vec<JobTurn>,
    /// What each job uses, as a list.
    uses: Vec<Vec<usize>>,
    price_factor: Four,
    pace_factor: Four,
    price_id: StableId,
    pace_id: StableId,
    needed: FaultSet,
    tied: Vec<bool>,
    exempt: Vec<bool>,
    renews: Vec<FaultSet>,
    power_kept: Vec<f64>,
    log_whole_all: f64,
    /// By fault: what its cheapest repair in the mean costs alone in this draw.
    by_itself: Vec<f64>,
    /// Jobs taken up so far in this draw.
    taken: Vec<usize>,
    candidates: Vec<Candidate>,
    prices: Vec<f64>,
    cover: Cover,
    scratch: Scratch,
    used: Vec<usize>,
}

impl<'a> Pricer<'a> {
    pub(super) fn new(inputs: &'a DrawInputs<'a>) -> Self {
        let (jobs, tables, faults) = (inputs.jobs, inputs.tables, &inputs.diagnosis.faults);
        let mut needed = FaultSet::EMPTY;
        for (at, is_needed) in jobs.needed.iter().enumerate() {
            if *is_needed {
                needed.insert(at);
            }
        }
        let renews = jobs.jobs.iter().map(|job| {
            let mut set = FaultSet::EMPTY;
            for id in &tables.repairs[job.row].renews {
                if let Some(at) = faults.iter().position(|fault| fault.id == *id) {
                    set.insert(at);
                }
            }
            set
        });
        Self {
            inputs,
            turn: 0,
            things: vec![ThingTurn::default(); jobs.things.len()],
            jobs: vec![JobTurn::default(); jobs.jobs.len()],
            uses: jobs
                .jobs
                .iter()
                .map(|job| job.uses.iter().collect())
                .collect(),
            price_factor: [1.0; 4],
            pace_factor: [1.0; 4],
            price_id: StableId::of(&["factor", "local prices"]),
            pace_id: StableId::of(&["factor", "pace"]),
            needed,
            tied: faults
                .iter()
                .map(|fault| fault.standing != Standing::Unseen)
                .collect(),
            exempt: jobs
                .jobs
                .iter()
                .map(|job| !tables.repairs[job.row].exempt_class.is_empty())
                .collect(),
            renews: renews.collect(),
            power_kept: faults
                .iter()
                .map(|fault| tables.faults[fault.row].power_kept)
                .collect(),
            log_whole_all: inputs.journey.log_whole_unknown.iter().sum(),
            by_itself: vec![0.0; faults.len()],
            taken: Vec::new(),
            candidates: Vec::new(),
            prices: vec![0.0; MOST_THINGS],
            cover: Cover::default(),
            scratch: Scratch::default(),
            used: Vec::new(),
        }
    }

    /// Begins a turn: the factors that all prices and all hours of a draw share.
    pub(super) fn start(&mut self, turn: u32) {
        self.turn = turn + 1;
        let costs = &self.inputs.tables.settings.costs;
        let luck = self.inputs.luck;
        self.price_factor = luck
            .turn(self.price_id, turn)
            .map(|u| factor_of_mean_one(costs.local_price_spread, u));
        self.pace_factor = luck
            .turn(self.pace_id, turn)
            .map(|u| factor_of_mean_one(costs.pace_spread, u));
    }

    fn thing(&mut self, at: usize) -> ThingTurn {
        if self.things[at].turn != self.turn {
            let row = &self.inputs.jobs.things[at];
            let mut amount = self
                .inputs
                .luck
                .turn(row.luck, self.turn - 1)
                .map(|u| row.curve.quantile(u));
            let mut cost = [0.0; 4];
            for lane in 0..4 {
                (amount[lane], cost[lane]) = match row.kind {
                    ThingKind::AtHome => {
                        let hours = amount[lane] * self.pace_factor[lane];
                        (hours, hours * self.inputs.jobs.hour_value)
                    }
                    ThingKind::AtGarage => (
                        amount[lane],
                        amount[lane] * self.inputs.jobs.garage_rate * self.price_factor[lane],
                    ),
                    ThingKind::Tool => {
                        let price = amount[lane] * self.price_factor[lane];
                        (price, price)
                    }
                };
            }
            self.things[at] = ThingTurn {
                turn: self.turn,
                amount,
                cost,
            };
        }
        self.things[at]
    }

    fn bill(&mut self, at: usize) -> Four {
        if self.jobs[at].billed != self.turn {
            let row = &self.inputs.jobs.jobs[at];
            let mut bill = self
                .inputs
                .luck
                .turn(row.luck, self.turn - 1)
                .map(|u| row.bill.quantile(u));
            for (lane, factor) in bill.iter_mut().zip(self.price_factor) {
                *lane *= factor;
            }
            self.jobs[at].billed = self.turn;
            self.jobs[at].bill = bill;
        }
        self.jobs[at].bill
    }

    fn job(&mut self, at: usize) -> &JobTurn {
        if self.jobs[at].turn != self.turn {
            let (mut alone, mut hours) = (self.bill(at), [0.0; 4]);
            let uses = std::mem::take(&mut self.uses[at]);
            for number in &uses {
                let thing = self.thing(*number);
                let home = self.inputs.jobs.things[*number].kind == ThingKind::AtHome;
                for lane in 0..4 {
                    alone[lane] += thing.cost[lane];
                    hours[lane] += if home { thing.amount[lane] } else { 0.0 };
                }
            }
            self.uses[at] = uses;
            let priced = &mut self.jobs[at];
            (priced.turn, priced.alone, priced.hours) = (self.turn, alone, hours);
        }
        &self.jobs[at]
    }

    /// The cheapest cover of the needed faults of this draw, left in `self.taken` as job numbers.
    ///
    /// A repair whose own bill alone is dearer than curing each of its faults by itself can be in no cheapest cover: it is left out first,
    /// which mostly leaves one repair a fault and nothing to search.
    fn choose(&mut self, needed: FaultSet, lane: usize, columns: &mut Columns) {
        let jobs = self.inputs.jobs;
        self.taken.clear();
        for fault in needed.iter() {
            if let Some(first) = jobs.by_fault[fault].first() {
                self.by_itself[fault] = self.job(*first).alone[lane];
                if !self.taken.contains(first) {
                    self.taken.push(*first);
                }
            }
        }
        let firsts = self.taken.len();
        for fault in needed.iter() {
            for job in jobs.by_fault[fault].iter().skip(1) {
                if self.taken.contains(job) {
                    continue;
                }
                let cured = jobs.jobs[*job].cures.intersection(needed);
                let each = cured
                    .iter()
                    .fold(0.0, |sum, cured| sum + self.by_itself[cured]);
                if self.bill(*job)[lane] < each {
                    self.taken.push(*job);
                }
            }
        }
        let single = |job: &usize| jobs.jobs[*job].cures.intersection(needed).len() == 1;
        if self.taken.len() == firsts && self.taken.iter().all(single) {
            return;
        }
        self.search(needed, lane);
        columns.cut_short += u32::from(!self.cover.exact);
    }

    fn search(&mut self, needed: FaultSet, lane: usize) {
        self.candidates.clear();
        for at in 0..self.taken.len() {
            let job = self.taken[at];
            let own = self.job(job).bill[lane];
            let row = &self.inputs.jobs.jobs[job];
            for thing in &self.uses[job] {
                self.prices[*thing] = self.things[*thing].cost[lane];
            }
            self.candidates.push(Candidate {
                cures: row.cures,
                uses: row.uses,
                own,
            });
        }
        let prices = &self.prices;
        cheapest(
            needed,
            &self.candidates,
            &|thing| prices[thing],
            &mut self.cover,
            &mut self.scratch,
        );
        let chosen: Vec<usize> = self.cover.chosen.iter().map(|at| self.taken[*at]).collect();
        self.taken = chosen;
    }

    /// Prices one draw and adds it to the columns.
    pub(super) fn draw(&mut self, present: FaultSet, lane: usize, columns: &mut Columns) {
        let needed = present.intersection(self.needed);
        self.choose(needed, lane, columns);
        let mut sums = DrawSums::default();
        let (mut cured, mut renewed) = (FaultSet::EMPTY, FaultSet::EMPTY);
        let taken = std::mem::take(&mut self.taken);
        self.used.clear();
        for job in &taken {
            let priced = *self.job(*job);
            let row = &self.inputs.jobs.jobs[*job];
            cured = cured.union(row.cures);
            renewed = renewed.union(self.renews[*job]);
            sums.cash += priced.bill[lane];
            sums.alone += priced.alone[lane];
            if !self.exempt[*job] {
                sums.counted += priced.bill[lane];
            }
            if let Some(fault) = self.lead(row.cures.intersection(needed)) {
                self.credit(
                    fault,
                    *job,
                    priced.alone[lane],
                    priced.hours[lane],
                    &mut sums,
                    columns,
                );
            }
            for thing in &self.uses[*job] {
                if !self.used.contains(thing) {
                    self.used.push(*thing);
                }
            }
        }
        self.taken = taken;
        self.add_things(lane, &mut sums, columns);
        columns.shared_saved += sums.alone - (sums.cash + sums.hours * self.inputs.jobs.hour_value);
        for fault in present.iter() {
            columns.by_fault[fault].present += 1;
            if !cured.contains(fault) {
                let drop = self.inputs.jobs.drop[fault];
                sums.drops += drop;
                columns.by_fault[fault].lived_with += drop;
                sums.unseen_cost += if self.tied[fault] { 0.0 } else { drop };
            }
        }
        self.push(
            present,
            cured,
            renewed.union(cured.intersection(present)),
            lane,
            &sums,
            columns,
        );
    }

    /// The fault a cure is credited to: one that is tied to a sign, else the first.
    fn lead(&self, cured: FaultSet) -> Option<usize> {
        cured
            .iter()
            .find(|fault| self.tied[*fault])
            .or_else(|| cured.iter().next())
    }

    fn credit(
        &self,
        fault: usize,
        job: usize,
        alone: f64,
        hours: f64,
        sums: &mut DrawSums,
        columns: &mut Columns,
    ) {
        let entry = &mut columns.by_fault[fault];
        entry.cured_cost += alone;
        match entry.jobs.iter_mut().find(|(number, _)| *number == job) {
            Some((_, times)) => *times += 1,
            None => entry.jobs.push((job, 1)),
        }
        if !self.tied[fault] {
            sums.unseen_cost += alone;
            sums.unseen_hours += hours;
            sums.unseen_cash += alone - hours * self.inputs.jobs.hour_value;
        }
    }

    /// Shared things, each once.
    fn add_things(&self, lane: usize, sums: &mut DrawSums, columns: &mut Columns) {
        for thing in &self.used {
            let priced = &self.things[*thing];
            match self.inputs.jobs.things[*thing].kind {
                ThingKind::AtHome => sums.hours += priced.amount[lane],
                ThingKind::AtGarage => {
                    sums.garage_hours += priced.amount[lane];
                    sums.cash += priced.cost[lane];
                    sums.counted += priced.cost[lane];
                }
                ThingKind::Tool => {
                    sums.cash += priced.cost[lane];
                    columns.tools += priced.cost[lane];
                }
            }
        }
    }

    fn push(
        &self,
        present: FaultSet,
        cured: FaultSet,
        renewed: FaultSet,
        lane: usize,
        sums: &DrawSums,
        columns: &mut Columns,
    ) {
        let journey = self.inputs.journey;
        let (mut log_before, mut log_after) = (self.log_whole_all, self.log_whole_all);
        let (mut power_before, mut power_after) = (1.0, 1.0);
        for fault in present.iter() {
            let change = journey.log_whole_unknown[fault] + journey.strands[fault];
            log_before -= change;
            power_before *= self.power_kept[fault];
            if !cured.contains(fault) {
                log_after -= change;
                power_after *= self.power_kept[fault];
            }
        }
        for fault in renewed.iter() {
            log_after += journey.log_whole_new[fault] - journey.log_whole_unknown[fault];
        }
        columns
            .cost
            .push(sums.cash + sums.hours * self.inputs.jobs.hour_value + sums.drops);
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

/// Sums of one draw.
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
