//! The price of the draws of a turn: the cheapest cover of the needed faults of each, and what it comes to in cash and hours.

use super::bits::FaultSet;
use super::choice::Choice;
use super::draws::{Columns, DrawInputs};
use super::figures::Standing;
use super::jobs::ThingKind;
use super::luck::{LANES, lanes_of};
use super::prices::{Lanes, Prices};
use std::collections::BTreeMap;

/// What a present fault does besides costing money.
#[derive(Debug, Clone, Copy, Default)]
struct Effect {
    /// Factor on the chance of covering the horizon.
    whole: f64,
    /// The same of its part made new.
    renewed: f64,
    /// Factor on the power.
    power: f64,
    /// Dollars off the worth when lived with.
    drop: f64,
    needed: bool,
    tied: bool,
    /// It can leave the car at the roadside, or takes power.
    slows: bool,
}

/// What a job does besides curing.
#[derive(Debug, Clone, Default)]
struct Mark {
    /// Its parts are of a class that house rules do not count.
    exempt: bool,
    /// Faults whose parts it makes new, of those whose life matters.
    renews: Vec<usize>,
}

/// Prices turns one after another.
pub(super) struct Pricer<'a> {
    inputs: &'a DrawInputs<'a>,
    prices: Prices<'a>,
    choice: Choice<'a>,
    effects: Vec<Effect>,
    marks: Vec<Mark>,
    whole_all: f64,
    /// Needed faults of the turn in hand.
    needed: Vec<usize>,
    /// By fault: draws of the turn in which it is cured, and in which its part is made new.
    cured: Vec<u16>,
    renewed: Vec<u16>,
    /// By thing: draws of the turn in which it is used; and the things used.
    used: Vec<u16>,
    touched: Vec<usize>,
    /// Jobs of one searched draw.
    chosen: Vec<usize>,
    /// Jobs of the turn; and by job the turn (plus one) and place of its last pick.
    picks: Vec<Pick>,
    picked: Vec<(u32, usize)>,
}

/// A job done in some draws of the turn, credited to a fault.
#[derive(Debug, Clone, Copy)]
struct Pick {
    job: usize,
    fault: usize,
    lanes: u16,
}

impl<'a> Pricer<'a> {
    pub(super) fn new(inputs: &'a DrawInputs<'a>) -> Self {
        let (jobs, tables, faults) = (inputs.jobs, inputs.tables, &inputs.diagnosis.faults);
        let journey = inputs.journey;
        let effects: Vec<Effect> = (faults.iter().enumerate())
            .map(|(at, fault)| {
                let whole = libm::exp(-(journey.log_whole_as_is[at] + journey.strands[at]));
                let power = tables.faults[fault.row].power_kept;
                Effect {
                    whole,
                    renewed: libm::exp(journey.log_whole_new[at] - journey.log_whole_as_is[at]),
                    power,
                    drop: jobs.drop[at],
                    needed: jobs.needed[at],
                    tied: fault.standing != Standing::Unseen,
                    slows: (whole - 1.0).abs() > 0.0 || power < 1.0,
                }
            })
            .collect();
        let place_of: BTreeMap<&str, usize> = (faults.iter().enumerate())
            .map(|(at, fault)| (fault.id.as_str(), at))
            .collect();
        let matters = |at: &usize| (effects[*at].renewed - 1.0).abs() > 0.0;
        let marks = (jobs.jobs.iter())
            .map(|job| {
                let row = &tables.repairs[job.row];
                let renews = row.renews.iter();
                let places = renews.filter_map(|id| place_of.get(id.as_str()).copied());
                Mark {
                    exempt: !row.exempt_class.is_empty(),
                    renews: places.filter(matters).collect(),
                }
            })
            .collect();
        Self {
            inputs,
            prices: Prices::new(jobs, inputs.luck),
            choice: Choice::new(jobs),
            marks,
            whole_all: libm::exp(journey.log_whole_as_is.iter().sum()),
            needed: Vec::new(),
            cured: vec![0; effects.len()],
            renewed: vec![0; effects.len()],
            effects,
            used: vec![0; jobs.things.len()],
            touched: Vec::new(),
            chosen: Vec::new(),
            picks: Vec::new(),
            picked: vec![(0, 0); jobs.jobs.len()],
        }
    }

    /// Prices the draws of a turn (`live` has a bit for each wanted) and adds them to the columns: `present` by fault, `sets` by draw.
    pub(super) fn turn(
        &mut self,
        turn: u32,
        live: u16,
        (present, sets): (&[u16], &[FaultSet; LANES]),
        columns: &mut Columns,
    ) {
        self.prices.start(turn);
        self.needed.clear();
        let mut needed_set = FaultSet::EMPTY;
        for (fault, lanes) in present.iter().enumerate() {
            if *lanes != 0 && self.effects[fault].needed {
                self.needed.push(fault);
                needed_set.insert(fault);
            }
        }
        let contested =
            (self.choice).contested(turn, &self.needed, present, &mut self.prices) & live;
        self.picks.clear();
        for at in 0..self.needed.len() {
            let fault = self.needed[at];
            let lanes = present[fault] & live & !contested;
            if lanes != 0 {
                self.pick(turn, self.choice.first(fault), fault, lanes);
            }
        }
        for lane in lanes_of(contested) {
            self.pick_searched(turn, sets[lane].intersection(needed_set), lane);
        }
        let mut sums = Sums::default();
        for at in 0..self.picks.len() {
            self.take(self.picks[at], &mut sums, columns);
        }
        self.add_things(&mut sums, columns);
        self.add_known_age(present, live, &mut sums);
        self.add_present(present, live, &mut sums, columns);
        self.push(live, sets, &sums, columns);
    }

    /// Draws whose search was cut short.
    pub(super) fn cut_short(&self) -> u32 {
        self.choice.cut_short
    }

    fn pick_searched(&mut self, turn: u32, needed: FaultSet, lane: usize) {
        let mut chosen = std::mem::take(&mut self.chosen);
        chosen.clear();
        chosen.extend_from_slice(self.choice.search(needed, lane, &mut self.prices));
        for job in &chosen {
            let cures = self.inputs.jobs.jobs[*job].cures.intersection(needed);
            // Credited to a fault that is tied to a sign, else to the first.
            let tied = cures.iter().find(|fault| self.effects[*fault].tied);
            if let Some(fault) = tied.or_else(|| cures.first()) {
                self.pick(turn, *job, fault, 1 << lane);
            }
        }
        self.chosen = chosen;
    }

    /// Notes a job for some draws, credited to a fault.
    fn pick(&mut self, turn: u32, job: usize, fault: usize, lanes: u16) {
        let (seen, at) = self.picked[job];
        if seen == turn + 1 && self.picks[at].fault == fault {
            self.picks[at].lanes |= lanes;
            return;
        }
        self.picked[job] = (turn + 1, self.picks.len());
        self.picks.push(Pick { job, fault, lanes });
    }

    /// Does a job in the draws noted.
    fn take(&mut self, pick: Pick, sums: &mut Sums, columns: &mut Columns) {
        let Pick { job, fault, lanes } = pick;
        let (tied, mark) = (self.effects[fault].tied, &self.marks[job]);
        let (bill, alone, hours) = self.prices.alone_and_bill(job, lanes);
        let mut credit = 0.0;
        for lane in lanes_of(lanes) {
            sums.cash[lane] += bill[lane];
            sums.alone[lane] += alone[lane];
            if !mark.exempt {
                sums.counted[lane] += bill[lane];
            }
            if !tied {
                sums.unseen_work[lane] += alone[lane];
                sums.unseen_hours[lane] += hours[lane];
            }
            credit += alone[lane];
        }
        columns.by_fault[fault].credit(job, credit, lanes.count_ones());
        for cured in self.choice.cures(job) {
            self.cured[*cured] |= lanes;
        }
        for renewed in &mark.renews {
            self.renewed[*renewed] |= lanes;
        }
        for thing in self.prices.uses(job) {
            if self.used[*thing] == 0 {
                self.touched.push(*thing);
            }
            self.used[*thing] |= lanes;
        }
    }

    /// Shared things, each once.
    fn add_things(&mut self, sums: &mut Sums, columns: &mut Columns) {
        for at in 0..self.touched.len() {
            let thing = self.touched[at];
            let lanes = std::mem::take(&mut self.used[thing]);
            let kind = self.inputs.jobs.things[thing].kind;
            let priced = self.prices.thing(thing, lanes);
            for lane in lanes_of(lanes) {
                match kind {
                    ThingKind::AtHome => sums.hours[lane] += priced.amount[lane],
                    ThingKind::AtGarage => {
                        sums.garage_hours[lane] += priced.amount[lane];
                        sums.cash[lane] += priced.cost[lane];
                        sums.counted[lane] += priced.cost[lane];
                    }
                    ThingKind::Tool => {
                        sums.cash[lane] += priced.cost[lane];
                        columns.tools += priced.cost[lane];
                    }
                }
            }
        }
        self.touched.clear();
    }

    /// Parts of known age: what they may cost on the way, more or less than parts of unknown history. One that is bad already is a fault.
    fn add_known_age(&mut self, present: &[u16], live: u16, sums: &mut Sums) {
        for (fault, more) in &self.inputs.journey.known_age {
            if self.inputs.jobs.by_fault[*fault].is_empty() {
                continue;
            }
            let lanes = live & !present[*fault];
            let alone = self.prices.alone(self.choice.first(*fault), lanes).0;
            for lane in lanes_of(lanes) {
                sums.wear[lane] += more * alone[lane];
            }
        }
    }

    /// What the present faults do to the journey and the power, and what those lived with take off the worth.
    fn add_present(&mut self, present: &[u16], live: u16, sums: &mut Sums, columns: &mut Columns) {
        sums.whole_before = [self.whole_all; LANES];
        sums.whole_after = [self.whole_all; LANES];
        let marks = self.cured.iter_mut().zip(&mut self.renewed);
        for (fault, (lanes, (cured, renewed))) in present.iter().zip(marks).enumerate() {
            let (lanes, cured) = (lanes & live, std::mem::take(cured));
            let renewed = std::mem::take(renewed);
            if lanes | renewed == 0 {
                continue;
            }
            let effect = &self.effects[fault];
            let left = lanes & !cured;
            if effect.slows {
                for lane in lanes_of(lanes) {
                    sums.whole_before[lane] *= effect.whole;
                    sums.power_before[lane] *= effect.power;
                }
                for lane in lanes_of(left) {
                    sums.whole_after[lane] *= effect.whole;
                    sums.power_after[lane] *= effect.power;
                }
            }
            let unseen = if effect.tied { 0.0 } else { effect.drop };
            for lane in lanes_of(if effect.drop > 0.0 { left } else { 0 }) {
                sums.drops[lane] += effect.drop;
                sums.unseen_drops[lane] += unseen;
            }
            columns.by_fault[fault].present += lanes.count_ones();
            columns.by_fault[fault].lived_with += effect.drop * f64::from(left.count_ones());
            if (effect.renewed - 1.0).abs() > 0.0 {
                for lane in lanes_of(renewed | (lanes & cured)) {
                    sums.whole_after[lane] *= effect.renewed;
                }
            }
        }
    }

    fn push(&self, live: u16, sets: &[FaultSet; LANES], sums: &Sums, columns: &mut Columns) {
        let (lanes, hour_value) = (live.count_ones() as usize, self.inputs.jobs.hour_value);
        for lane in 0..lanes {
            let work = sums.cash[lane] + sums.hours[lane] * hour_value;
            columns.cost.push(work + sums.drops[lane] + sums.wear[lane]);
            columns.shared_saved += sums.alone[lane] - work;
            let unseen = sums.unseen_work[lane];
            columns.unseen_cost.push(unseen + sums.unseen_drops[lane]);
            columns
                .unseen_cash
                .push(unseen - sums.unseen_hours[lane] * hour_value);
        }
        columns.wear.extend_from_slice(&sums.wear[..lanes]);
        columns.cash.extend_from_slice(&sums.cash[..lanes]);
        columns.hours.extend_from_slice(&sums.hours[..lanes]);
        columns
            .garage_hours
            .extend_from_slice(&sums.garage_hours[..lanes]);
        columns
            .unseen_hours
            .extend_from_slice(&sums.unseen_hours[..lanes]);
        columns
            .counted_cash
            .extend_from_slice(&sums.counted[..lanes]);
        columns
            .power_before
            .extend_from_slice(&sums.power_before[..lanes]);
        columns
            .power_after
            .extend_from_slice(&sums.power_after[..lanes]);
        columns
            .whole_before
            .extend_from_slice(&sums.whole_before[..lanes]);
        columns
            .whole_after
            .extend_from_slice(&sums.whole_after[..lanes]);
        let factors = self.prices.price_factor();
        columns.price_factor.extend_from_slice(&factors[..lanes]);
        columns.present.extend_from_slice(&sets[..lanes]);
    }
}

/// Sums of the draws of a turn.
#[derive(Debug)]
struct Sums {
    cash: Lanes,
    hours: Lanes,
    garage_hours: Lanes,
    alone: Lanes,
    drops: Lanes,
    wear: Lanes,
    counted: Lanes,
    unseen_work: Lanes,
    unseen_drops: Lanes,
    unseen_hours: Lanes,
    whole_before: Lanes,
    whole_after: Lanes,
    power_before: Lanes,
    power_after: Lanes,
}

impl Default for Sums {
    fn default() -> Self {
        let (none, whole) = ([0.0; LANES], [1.0; LANES]);
        Self {
            cash: none,
            hours: none,
            garage_hours: none,
            alone: none,
            drops: none,
            wear: none,
            counted: none,
            unseen_work: none,
            unseen_drops: none,
            unseen_hours: none,
            whole_before: whole,
            whole_after: whole,
            power_before: whole,
            power_after: whole,
        }
    }
}
