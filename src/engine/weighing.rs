//! A car on the scales: diagnosis, repairs and draws first, then columns of money that limit and chances stand on.

use super::amounts::dollars;
use super::bits::FaultSet;
use super::curve::{Curve, middle};
use super::diagnosis::{Diagnosis, diagnose};
use super::draws::{Columns, DrawInputs, mean, run};
use super::figures::Run;
use super::fit_out::FitOut;
use super::floor::{FloorDraw, FloorInputs, FloorLuck, FloorModel};
use super::hazard::share_that_applies;
use super::jobs::{Context, Jobs};
use super::journey::Journey;
use super::knowledge::Knowledge;
use super::limit::LimitInputs;
use super::luck::{DRAWS_A_TURN, Luck, StableId};
use super::stops::wishes_worth;
use super::worth::Worth;
use crate::car::{Buyer, CarRecord, HouseRules, WorthMeans};
use crate::trade::PurposeRow;
use std::rc::Rc;

/// Everything of a car that comes before the draws' money.
pub(crate) struct Weighing<'a> {
    pub knowledge: &'a Knowledge,
    pub car: &'a CarRecord,
    pub buyer: &'a Buyer,
    pub run: &'a Run,
    pub purpose: &'a PurposeRow,
    pub diagnosis: Diagnosis,
    pub jobs: Rc<Jobs>,
    pub columns: Columns,
    pub journey: Journey,
}

impl<'a> Weighing<'a> {
    /// Diagnosis, repairs and draws of a car.
    pub(crate) fn of(
        knowledge: &'a Knowledge,
        car: &'a CarRecord,
        buyer: &'a Buyer,
        run_with: &'a Run,
    ) -> Self {
        Self::with_jobs(knowledge, car, buyer, run_with, None, false)
    }

    /// The same, with the cause of every sign in every draw.
    pub(crate) fn with_causes(
        knowledge: &'a Knowledge,
        car: &'a CarRecord,
        buyer: &'a Buyer,
        run_with: &'a Run,
    ) -> Self {
        Self::with_jobs(knowledge, car, buyer, run_with, None, true)
    }

    /// The same kind of car and buyer with other answers, for its costs only: the repairs open to them are the same.
    pub(crate) fn again<'b>(&self, car: &'b CarRecord, run_with: &'b Run) -> Weighing<'b>
    where
        'a: 'b,
    {
        Weighing::with_jobs(self.knowledge, car, self.buyer, run_with, Some(self), false)
    }

    fn with_jobs(
        knowledge: &'a Knowledge,
        car: &'a CarRecord,
        buyer: &'a Buyer,
        run_with: &'a Run,
        first: Option<&Weighing<'_>>,
        causes: bool,
    ) -> Self {
        let tables = knowledge.tables();
        let purpose = knowledge.purpose(buyer);
        let diagnosis = diagnose(car, tables, knowledge.links(), run_with.today);
        let faults: Vec<usize> = diagnosis.faults.iter().map(|fault| fault.row).collect();
        let chances: Vec<f64> = diagnosis.faults.iter().map(|fault| fault.chance).collect();
        let same = |first: &&Weighing<'_>| {
            first
                .diagnosis
                .faults
                .iter()
                .map(|fault| fault.row)
                .eq(faults.iter().copied())
        };
        let jobs = first.filter(same).map_or_else(
            || {
                Rc::new(Jobs::of(&Context {
                    car,
                    buyer,
                    tables,
                    quantiles: knowledge.quantiles(),
                    faults: &faults,
                    chances: &chances,
                }))
            },
            |first| Rc::clone(&first.jobs),
        );
        let journey = if first.is_none() {
            Journey::of(car, purpose, tables, &faults)
        } else {
            Journey::costs_of(car, purpose, tables, &faults)
        };
        let luck = Luck::new(run_with.seed);
        let columns = run(&DrawInputs {
            tables,
            diagnosis: &diagnosis,
            jobs: &jobs,
            journey: &journey,
            luck,
            draws: run_with.draws,
            causes,
        });
        Self {
            knowledge,
            car,
            buyer,
            run: run_with,
            purpose,
            diagnosis,
            jobs,
            columns,
            journey,
        }
    }

    /// What worth means for this car and purpose.
    pub(crate) fn means(&self) -> WorthMeans {
        self.car
            .worth
            .means
            .unwrap_or(match self.purpose.worth_means.as_str() {
                "sorted" => WorthMeans::Sorted,
                "ready" => WorthMeans::Ready,
                "parts" => WorthMeans::Parts,
                _ => WorthMeans::Ordinary,
            })
    }

    /// Eight bits of luck a draw.
    fn lucky(&self, name: &str) -> impl Iterator<Item = u8> {
        let (luck, id) = (Luck::new(self.run.seed), StableId::of(&[name]));
        let turns = 0..self.run.draws.div_ceil(DRAWS_A_TURN);
        turns
            .flat_map(move |turn| luck.bytes(id, turn))
            .take(self.run.draws as usize)
    }

    /// Worth once right, a draw each.
    pub(crate) fn worth_column(&self, worth: &Worth) -> Vec<f64> {
        let steps = Curve::from_quantiles(|luck| worth.value(luck));
        self.lucky("worth").map(|luck| steps.at(luck)).collect()
    }

    /// Floor, a draw each.
    pub(crate) fn floor_column(&self, worth: &[f64]) -> Vec<FloorDraw> {
        let tables = self.knowledge.tables();
        let facts = &self.car.particulars;
        let settings = &tables.settings.diagnosis;
        let model = FloorModel::new(&FloorInputs {
            tables,
            applies: &|asks| share_that_applies(asks, facts, settings),
            size_class: facts.size_class,
            price_index: self.buyer.price_index,
            hour_value: self.jobs.hour_value,
            completeness: 1.0,
            quantiles: self.knowledge.quantiles(),
        });
        let rows = self.diagnosis.faults.iter().map(|fault| fault.row);
        let mut spoiling = FaultSet::EMPTY;
        for (at, row) in rows.enumerate() {
            if model.spoils(row) {
                spoiling.insert(at);
            }
        }
        self.lucky("scrap price")
            .zip(self.lucky("haulage"))
            .zip(worth)
            .enumerate()
            .map(|(at, ((scrap, haulage), worth))| {
                let present = self.columns.present[at]
                    .intersection(spoiling)
                    .iter()
                    .map(|fault| self.diagnosis.faults[fault].row);
                let luck = FloorLuck {
                    scrap: middle(usize::from(scrap)),
                    haulage: middle(usize::from(haulage)),
                    prices: self.columns.price_factor[at],
                };
                model.at(present, luck, *worth, self.columns.cost[at])
            })
            .collect()
    }

    /// Margin under the mean: the purpose's share of the worth, or its least.
    pub(crate) fn margin(&self, mean_worth: f64) -> f64 {
        (self.purpose.margin.share_of_worth * mean_worth).max(self.purpose.margin.least)
    }

    pub(crate) fn confidence(&self) -> f64 {
        self.buyer
            .confidence
            .unwrap_or(self.purpose.confidence)
            .clamp(0.01, 0.99)
    }

    /// Money left in the wallet.
    pub(crate) fn wallet(&self) -> Option<f64> {
        self.buyer
            .wallet
            .map(|wallet| dollars(wallet - self.buyer.spent))
    }

    pub(crate) fn fees(&self, fit_out: &FitOut) -> f64 {
        dollars(self.car.fees.unwrap_or(self.buyer.fees)) + fit_out.in_fees
    }

    /// House rules in force: the buyer's own, else the purpose's.
    pub(crate) fn house_rules(&self) -> Option<&HouseRules> {
        self.purpose
            .house_rules
            .as_ref()
            .map(|plain| self.buyer.house_rules.as_ref().unwrap_or(plain))
    }

    fn fit_out(&self) -> FitOut {
        let rules = self.house_rules();
        let exempt = |class: &str| rules.is_some_and(|rules| rules.exempt_classes.contains(class));
        FitOut::of(
            self.purpose,
            self.buyer,
            &exempt,
            self.knowledge.quantiles(),
        )
    }
}

/// Columns of money that the limit and the chances stand on.
pub(crate) struct MoneyColumns {
    pub worth: Vec<f64>,
    pub cost: Vec<f64>,
    pub floor: Vec<FloorDraw>,
    pub floor_best: Vec<f64>,
    pub fit_out_cash: Vec<f64>,
    pub fit_out_in_cost: f64,
    pub fit_out: FitOut,
}

impl MoneyColumns {
    pub(crate) fn of(weighing: &Weighing<'_>, worth: &Worth) -> Self {
        let worth = weighing.worth_column(worth);
        let floor = weighing.floor_column(&worth);
        let fit_out = weighing.fit_out();
        let ready = weighing.means() == WorthMeans::Ready;
        let hours_cost = fit_out.hours * weighing.jobs.hour_value;
        let in_cost: Vec<f64> = weighing
            .lucky("fit-out")
            .map(|luck| {
                if ready {
                    fit_out.car.at(luck) + hours_cost
                } else {
                    0.0
                }
            })
            .collect();
        Self {
            fit_out_cash: weighing
                .lucky("fit-out")
                .map(|luck| fit_out.wallet.at(luck))
                .collect(),
            fit_out_in_cost: mean(&in_cost),
            cost: weighing
                .columns
                .cost
                .iter()
                .zip(&in_cost)
                .map(|(cost, more)| cost + more)
                .collect(),
            floor_best: floor.iter().map(|draw| draw.best).collect(),
            worth,
            floor,
            fit_out,
        }
    }

    /// The limit's inputs at an allowance.
    pub(crate) fn limit_inputs<'b>(
        &'b self,
        weighing: &'b Weighing<'_>,
        allowance: f64,
        rules: Option<(f64, f64)>,
    ) -> LimitInputs<'b> {
        LimitInputs {
            worth: &self.worth,
            cost: &self.cost,
            cash: &weighing.columns.cash,
            fit_out_cash: &self.fit_out_cash,
            floor: &self.floor_best,
            allowance,
            fees: weighing.fees(&self.fit_out),
            margin: weighing.margin(mean(&self.worth)),
            wishes: wishes_worth(weighing.car, weighing.buyer),
            confidence: weighing.confidence(),
            wallet: weighing.wallet(),
            wallet_confidence: weighing.knowledge.tables().settings.limit.wallet_confidence,
            rules,
            tax: weighing.buyer.tax_on_price,
        }
    }
}
