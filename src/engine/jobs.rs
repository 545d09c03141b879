//! The repairs open to this car and buyer: route, bill, hours and tools of each, ready for a million draws.

use super::bits::{FaultSet, ThingSet};
use super::curve::Curve;
use super::figures::Route;
use super::luck::StableId;
use super::needed::{Named, is_needed, wish_of};
use super::normal::factor_of_mean_one;
use super::pert::QuantileTable;
use super::routes::{self, Workshop};
use super::shared_tools::SharedTools;
use crate::car::{Buyer, CarRecord, RouteWish};
use crate::trade::{Per, RepairRow, Severity, Tables};
use std::collections::BTreeMap;

/// One repair on one route.
#[derive(Debug, Clone)]
pub struct Job {
    /// Row in the repairs table.
    pub row: usize,
    /// Route.
    pub route: Route,
    /// Why this route.
    pub why: String,
    /// Faults it cures, by place in the list of faults.
    pub cures: FaultSet,
    /// Shared things it uses, by place in [`Jobs::things`].
    pub uses: ThingSet,
    /// Cash of its own: parts, oil, outside fee.
    pub bill: Curve,
    /// Luck of the bill.
    pub luck: StableId,
}

/// What a shared thing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ThingKind {
    /// A labour step at home: costs hours.
    AtHome,
    /// A labour step at a garage: costs cash.
    AtGarage,
    /// A tool bought or hired: costs cash.
    Tool,
}

/// A labour step or tool that several repairs can share.
#[derive(Debug, Clone)]
pub struct Thing {
    /// Kind.
    pub kind: ThingKind,
    /// Row id in the operations or tools table.
    pub id: String,
    /// Hours (steps) or dollars (tools) by luck, before the shared factors.
    pub curve: Curve,
    /// Luck.
    pub luck: StableId,
}

/// All repairs open to this car and buyer.
#[derive(Debug, Clone)]
pub struct Jobs {
    /// Repairs.
    pub jobs: Vec<Job>,
    /// Shared things.
    pub things: Vec<Thing>,
    /// For each fault, the jobs that cure it.
    pub by_fault: Vec<Vec<usize>>,
    /// For each fault: put right for this purpose.
    pub needed: Vec<bool>,
    /// For each fault: dollars off the worth when lived with.
    pub drop: Vec<f64>,
    /// Value of an own hour, dollars.
    pub hour_value: f64,
    /// Garage rate, dollars an hour.
    pub garage_rate: f64,
    /// Factor of mean 1 that all prices of a draw share.
    pub price_factor: Curve,
    /// Factor of mean 1 that all own hours of a draw share.
    pub pace_factor: Curve,
    /// Words on what could not be done as wished.
    pub notes: Vec<String>,
}

/// Everything about the asking side that routes and bills depend on.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// Car.
    pub car: &'a CarRecord,
    /// Buyer.
    pub buyer: &'a Buyer,
    /// Tables.
    pub tables: &'a Tables,
    /// Quantiles.
    pub quantiles: &'a QuantileTable,
    /// Rows of the faults table that can be on this car, in order.
    pub faults: &'a [usize],
    /// Chance of each of them.
    pub chances: &'a [f64],
}

impl Jobs {
    /// The repairs open to this car and buyer.
    #[must_use]
    pub fn of(context: &Context<'_>) -> Self {
        let workshop = Workshop::of(context);
        let mut out = Self {
            jobs: Vec::new(),
            things: Vec::new(),
            by_fault: vec![Vec::new(); context.faults.len()],
            needed: Vec::new(),
            drop: Vec::new(),
            hour_value: workshop.hour_value,
            garage_rate: workshop.garage_rate,
            price_factor: factor(context.tables.settings.costs.local_price_spread),
            pace_factor: factor(context.tables.settings.costs.pace_spread),
            notes: Vec::new(),
        };
        let mut numbers = BTreeMap::new();
        let named = Named::of(context);
        let tools = SharedTools::of(&workshop, &named.list(context));
        for (row, repair) in context.tables.repairs.iter().enumerate() {
            let cures = named.cured_by(repair);
            if !cures.is_empty() {
                let wish = wish_of(context, cures);
                let share = |tool: &str| tools.share(row, tool);
                let choice = routes::choose(&workshop, repair, wish, &share);
                let job = out.job(
                    context,
                    &workshop,
                    (row, repair),
                    choice,
                    cures,
                    &mut numbers,
                );
                for fault in cures.iter() {
                    out.by_fault[fault].push(out.jobs.len());
                }
                out.jobs.push(job);
            }
        }
        out.drop_dominated();
        for (at, row) in context.faults.iter().enumerate() {
            out.needed
                .push(is_needed(context, *row) && !out.by_fault[at].is_empty());
            out.drop.push(out.drop_of(context, &workshop, at, *row));
        }
        out
    }

    /// Leaves out of each fault's list what another repair does at any prices: it cures as much, uses no more, and its dearest bill is
    /// under the other's cheapest. The rest stand cheapest first.
    fn drop_dominated(&mut self) {
        let dominated = |worse: &usize, all: &[usize]| {
            let loser = &self.jobs[*worse];
            all.iter().any(|better| {
                let winner = &self.jobs[*better];
                better != worse
                    && loser.cures.without(winner.cures).is_empty()
                    && winner.uses.without(loser.uses).is_empty()
                    && winner.bill.ends().1 < loser.bill.ends().0
            })
        };
        let lists: Vec<Vec<usize>> = self
            .by_fault
            .iter()
            .map(|all| {
                let mut kept: Vec<usize> = all
                    .iter()
                    .copied()
                    .filter(|job| !dominated(job, all))
                    .collect();
                kept.sort_by(|a, b| {
                    self.mean_cost(*a)
                        .total_cmp(&self.mean_cost(*b))
                        .then(a.cmp(b))
                });
                kept
            })
            .collect();
        self.by_fault = lists;
    }

    fn job(
        &mut self,
        context: &Context<'_>,
        workshop: &Workshop<'_>,
        (row, repair): (usize, &RepairRow),
        choice: routes::Choice,
        cures: FaultSet,
        numbers: &mut BTreeMap<(ThingKind, String), usize>,
    ) -> Job {
        self.notes.extend(choice.note.clone());
        let mut uses = ThingSet::EMPTY;
        let steps = repair.operations.iter().chain(&repair.follow_ups);
        for id in steps {
            let Some(step) = context.tables.operation(id) else {
                continue;
            };
            // The outside fee of a home job pays for the garage's machine.
            if choice.at_home && step.garage_machine && repair.outside_fee.is_some() {
                continue;
            }
            let kind = if choice.at_home && !step.garage_machine {
                ThingKind::AtHome
            } else {
                ThingKind::AtGarage
            };
            let hours = workshop.hours(step, kind == ThingKind::AtHome, choice.slower);
            let number = *numbers.entry((kind, id.clone())).or_insert_with(|| {
                self.things.push(Thing {
                    kind,
                    id: id.clone(),
                    curve: Curve::of(&[(step.hours, hours)], context.quantiles),
                    luck: StableId::of(&["operation", id]),
                });
                self.things.len() - 1
            });
            uses.insert(number);
        }
        for id in &choice.missing_tools {
            let Some(price) = context.tables.tool(id).and_then(routes::cheapest_use) else {
                continue;
            };
            let number = *numbers
                .entry((ThingKind::Tool, id.clone()))
                .or_insert_with(|| {
                    self.things.push(Thing {
                        kind: ThingKind::Tool,
                        id: id.clone(),
                        curve: Curve::of(&[(price, workshop.price_index)], context.quantiles),
                        luck: StableId::of(&["tool", id]),
                    });
                    self.things.len() - 1
                });
            uses.insert(number);
        }
        Job {
            row,
            route: choice.route,
            why: choice.why,
            cures,
            uses,
            bill: Curve::of(&workshop.bill(repair, choice.at_home), context.quantiles),
            luck: StableId::of(&["repair", &repair.id]),
        }
    }

    /// What a fault takes off the worth when lived with: the row's own figure, or the purpose's share of the cheapest garage bill.
    fn drop_of(
        &self,
        context: &Context<'_>,
        workshop: &Workshop<'_>,
        at: usize,
        row: usize,
    ) -> f64 {
        let fault = &context.tables.faults[row];
        let Some(purpose) = context.tables.purpose(&context.buyer.purpose) else {
            return 0.0;
        };
        if fault.in_plain_view && context.car.worth.as_it_looks {
            return 0.0;
        }
        let share = match fault.severities.first() {
            Some(Severity::Worsens) => purpose.drops.worsens,
            Some(Severity::Annoys) => purpose.drops.annoys,
            Some(Severity::Looks) => purpose.drops.looks,
            // Left on purpose though it strands or is unsafe: the worth is short by the whole of putting it right.
            _ if context.car.routes.get(&fault.id) == Some(&RouteWish::LiveWith) => 1.0,
            _ => purpose.drops.worsens,
        };
        if share <= 0.0 {
            return 0.0;
        }
        if let Some(dollars) = fault.drop_if_lived_with {
            // Set by hand for a daily driver; other purposes keep the same proportion.
            let daily = context.tables.purpose("daily").map_or(share, |daily| {
                match fault.severities.first() {
                    Some(Severity::Annoys) => daily.drops.annoys,
                    Some(Severity::Looks) => daily.drops.looks,
                    _ => daily.drops.worsens,
                }
            });
            return dollars * workshop.price_index * if daily > 0.0 { share / daily } else { 1.0 };
        }
        let cheapest = self.by_fault[at]
            .iter()
            .map(|job| workshop.garage_cost(&context.tables.repairs[self.jobs[*job].row]))
            .fold(f64::INFINITY, f64::min);
        if cheapest.is_finite() {
            share * cheapest
        } else {
            0.0
        }
    }
}

/// A factor of mean 1 and so much spread.
fn factor(spread: f64) -> Curve {
    Curve::from_quantiles(|luck| factor_of_mean_one(spread, luck)).with_mean(1.0)
}

/// How many of a part this car needs.
#[must_use]
pub fn quantity(per: Per, car: &CarRecord) -> f64 {
    match per {
        Per::Each | Per::Panel => 1.0,
        Per::Cylinder => f64::from(car.particulars.cylinders.unwrap_or(4)),
        Per::Wheel => 4.0,
        Per::Axle => 2.0,
        Per::Bank => f64::from(car.particulars.banks.unwrap_or(1)),
    }
}
