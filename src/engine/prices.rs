//! What everything costs in the draws of a turn: bills, labour steps and tools, each looked up once for all of them, by luck with an
//! address.

use super::curve::Curve;
use super::jobs::{Jobs, ThingKind};
use super::luck::{LANES, Luck, StableId, lanes_of};

/// One value in each draw of a turn.
pub(super) type Lanes = [f64; LANES];

/// Which draws of the turn an amount is worked out for.
#[derive(Debug, Clone, Copy, Default)]
struct Known {
    /// The turn plus one: nothing is of turn zero by default.
    turn: u32,
    lanes: u16,
    bytes: [u8; LANES],
}

impl Known {
    /// Of the draws asked for, those not worked out yet; they count as worked out from now on.
    #[inline]
    fn missing(&mut self, wanted: u16, turn: u32, bytes: impl FnOnce() -> [u8; LANES]) -> u16 {
        if self.turn != turn {
            *self = Self {
                turn,
                lanes: 0,
                bytes: bytes(),
            };
        }
        let missing = wanted & !self.lanes;
        self.lanes |= wanted;
        missing
    }
}

/// A shared thing in the draws of a turn.
#[derive(Debug, Clone, Default)]
pub(super) struct ThingPrice {
    known: Known,
    /// Hours, or dollars for a tool.
    pub amount: Lanes,
    /// Dollars.
    pub cost: Lanes,
}

/// A repair's own bill in the draws of a turn.
#[derive(Debug, Clone, Default)]
struct Bill {
    known: Known,
    /// Dollars.
    bill: Lanes,
}

/// A repair in the draws of a turn, done alone.
#[derive(Debug, Clone, Default)]
struct Alone {
    turn: u32,
    lanes: u16,
    /// Bill and all it uses, dollars.
    cost: Lanes,
    /// Own hours.
    hours: Lanes,
}

/// Prices of the turn in hand.
pub(super) struct Prices<'a> {
    jobs: &'a Jobs,
    luck: Luck,
    /// The turn in hand plus one.
    turn: u32,
    price_factor: Lanes,
    pace_factor: Lanes,
    price_id: StableId,
    pace_id: StableId,
    things: Vec<ThingPrice>,
    bills: Vec<Bill>,
    alone: Vec<Alone>,
    /// What each job uses, as a list; what only it uses comes first.
    uses: Vec<Vec<usize>>,
    /// How many things only it uses.
    only_it: Vec<usize>,
}

impl<'a> Prices<'a> {
    pub(super) fn new(jobs: &'a Jobs, luck: Luck) -> Self {
        let mut users = vec![0_u32; jobs.things.len()];
        for job in &jobs.jobs {
            for thing in job.uses.iter() {
                users[thing] += 1;
            }
        }
        let uses: Vec<Vec<usize>> = (jobs.jobs.iter())
            .map(|job| {
                let mut uses: Vec<usize> = job.uses.iter().collect();
                uses.sort_by_key(|thing| users[*thing] > 1);
                uses
            })
            .collect();
        Self {
            jobs,
            luck,
            turn: 0,
            price_factor: [1.0; LANES],
            pace_factor: [1.0; LANES],
            price_id: StableId::of(&["factor", "local prices"]),
            pace_id: StableId::of(&["factor", "pace"]),
            things: vec![ThingPrice::default(); jobs.things.len()],
            bills: vec![Bill::default(); jobs.jobs.len()],
            alone: vec![Alone::default(); jobs.jobs.len()],
            only_it: (uses.iter())
                .map(|uses| uses.iter().filter(|thing| users[**thing] == 1).count())
                .collect(),
            uses,
        }
    }

    /// Goes to a turn, with the factors that all prices and all hours of a draw share.
    pub(super) fn start(&mut self, turn: u32) {
        self.turn = turn + 1;
        let by_luck = |curve: &Curve, id| self.luck.bytes(id, turn).map(|luck| curve.at(luck));
        let price_factor = by_luck(&self.jobs.price_factor, self.price_id);
        let pace_factor = by_luck(&self.jobs.pace_factor, self.pace_id);
        (self.price_factor, self.pace_factor) = (price_factor, pace_factor);
    }

    pub(super) fn price_factor(&self) -> &Lanes {
        &self.price_factor
    }

    /// Shared things of a job.
    #[inline]
    pub(super) fn uses(&self, job: usize) -> &[usize] {
        &self.uses[job]
    }

    /// A shared thing, worked out for the draws asked for at least.
    #[inline]
    pub(super) fn thing(&mut self, at: usize, wanted: u16) -> &ThingPrice {
        let (row, price) = (&self.jobs.things[at], &mut self.things[at]);
        let (luck, turn) = (self.luck, self.turn);
        let missing = (price.known).missing(wanted, turn, || luck.bytes(row.luck, turn - 1));
        for lane in lanes_of(missing) {
            let amount = row.curve.at(price.known.bytes[lane]);
            (price.amount[lane], price.cost[lane]) = match row.kind {
                ThingKind::AtHome => {
                    let hours = amount * self.pace_factor[lane];
                    (hours, hours * self.jobs.hour_value)
                }
                ThingKind::AtGarage => {
                    let rate = self.jobs.garage_rate * self.price_factor[lane];
                    (amount, amount * rate)
                }
                ThingKind::Tool => {
                    let price = amount * self.price_factor[lane];
                    (price, price)
                }
            };
        }
        price
    }

    /// The job's own bill, dollars, worked out for the draws asked for at least.
    #[inline]
    pub(super) fn bill(&mut self, at: usize, wanted: u16) -> &Lanes {
        let (row, bill) = (&self.jobs.jobs[at], &mut self.bills[at]);
        let (luck, turn) = (self.luck, self.turn);
        let missing = (bill.known).missing(wanted, turn, || luck.bytes(row.luck, turn - 1));
        for lane in lanes_of(missing) {
            let amount = row.bill.at(bill.known.bytes[lane]);
            bill.bill[lane] = amount * self.price_factor[lane];
        }
        &bill.bill
    }

    /// The least that the job's own bill can be in a draw, dollars: no luck need be looked up.
    #[inline]
    pub(super) fn least_bill(&self, job: usize, lane: usize) -> f64 {
        self.jobs.jobs[job].bill.ends().0 * self.price_factor[lane]
    }

    /// What the job costs whatever else is done: its bill and what no other job uses, dollars.
    pub(super) fn surely(&mut self, job: usize, wanted: u16) -> Lanes {
        let mut sure = *self.bill(job, wanted);
        for place in 0..self.only_it[job] {
            let thing = self.uses[job][place];
            let cost = &self.thing(thing, wanted).cost;
            for lane in lanes_of(wanted) {
                sure[lane] += cost[lane];
            }
        }
        sure
    }

    /// The job done alone, worked out for the draws asked for at least: bill and all it uses (dollars), own hours.
    #[inline]
    pub(super) fn alone(&mut self, at: usize, wanted: u16) -> (&Lanes, &Lanes) {
        let known = &mut self.alone[at];
        if known.turn != self.turn {
            (known.turn, known.lanes) = (self.turn, 0);
        }
        let missing = wanted & !known.lanes;
        if missing != 0 {
            known.lanes |= wanted;
            self.add_up(at, missing);
        }
        (&self.alone[at].cost, &self.alone[at].hours)
    }

    /// Its own bill, then as [`Prices::alone`].
    #[inline]
    pub(super) fn alone_and_bill(&mut self, at: usize, wanted: u16) -> (&Lanes, &Lanes, &Lanes) {
        self.bill(at, wanted);
        self.alone(at, wanted);
        let alone = &self.alone[at];
        (&self.bills[at].bill, &alone.cost, &alone.hours)
    }

    fn add_up(&mut self, at: usize, wanted: u16) {
        let (mut cost, mut hours) = (*self.bill(at, wanted), [0.0; LANES]);
        for place in 0..self.uses[at].len() {
            let number = self.uses[at][place];
            let home = self.jobs.things[number].kind == ThingKind::AtHome;
            let thing = self.thing(number, wanted);
            for lane in lanes_of(wanted) {
                cost[lane] += thing.cost[lane];
                hours[lane] += if home { thing.amount[lane] } else { 0.0 };
            }
        }
        let known = &mut self.alone[at];
        for lane in lanes_of(wanted) {
            (known.cost[lane], known.hours[lane]) = (cost[lane], hours[lane]);
        }
    }
}
