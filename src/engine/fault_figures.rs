//! The faults of a car as figures: chance, cash and hours, route, what each takes off the price.

use super::curve::{Curve, spread_of};
use super::diagnosis::Diagnosis;
use super::draws::Columns;
use super::figures::{FaultFigure, Route, Spread, Standing, Way};
use super::jobs::{Jobs, ThingKind};
use crate::car::{CarRecord, Pin};
use crate::trade::{CodeRow, Tables};

/// The three places at which a bill is shown: one in ten below, the middle, one in ten above.
const SHOWN_AT: [f64; 3] = [0.1, 0.5, 0.9];

/// One figure a fault, those that take most first.
#[must_use]
pub fn fault_figures(
    car: &CarRecord,
    tables: &Tables,
    diagnosis: &Diagnosis,
    jobs: &Jobs,
    columns: &Columns,
) -> Vec<FaultFigure> {
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let draws = columns.cost.len().max(1) as f64;
    let mut out: Vec<FaultFigure> = diagnosis
        .faults
        .iter()
        .enumerate()
        .map(|(at, fault)| {
            let row = &tables.faults[fault.row];
            let sums = &columns.by_fault[at];
            let chosen = chosen_job(jobs, at, &sums.jobs);
            let needed = jobs.needed[at];
            let shown = chosen.filter(|_| needed);
            let standing = match car.pins.get(&fault.id) {
                Some(Pin::RuledOut) => Standing::RuledOut,
                Some(Pin::Certain) => Standing::Seen,
                None => fault.standing,
            };
            FaultFigure {
                id: fault.id.clone(),
                name: with_places(&row.name, car, tables, &fault.because_of),
                system: row.system,
                chance: fault.chance,
                ordinary: fault.ordinary,
                standing,
                because_of: fault.because_of.clone(),
                reasons: fault.reasons.clone(),
                needed,
                route: shown.map_or(Route::LivedWith, |job| jobs.jobs[job].route),
                severities: row.severities.clone(),
                cash: shown.map_or_else(Spread::default, |job| spread_of(&jobs.cash(job))),
                hours: shown.map_or_else(Spread::default, |job| spread_of(&jobs.hours(job))),
                takes: (sums.cured_cost + sums.lived_with) / draws,
                ways: ways(tables, jobs, at, chosen),
                cautions: row.cautions.clone(),
                trace_id: format!("fault/{}", fault.id),
            }
        })
        .collect();
    out.sort_by(|a, b| b.takes.total_cmp(&a.takes).then_with(|| a.id.cmp(&b.id)));
    out
}

/// The name of a fault with the cylinders or banks that codes on file name for it: `ignition coil failing (cylinder 3)`.
fn with_places(name: &str, car: &CarRecord, tables: &Tables, because_of: &[String]) -> String {
    let codes = car
        .codes
        .iter()
        .filter_map(|read| tables.code_named(&read.code));
    let mut places: Vec<String> = codes
        .filter(|code| because_of.contains(&code.sign))
        .filter_map(CodeRow::place)
        .collect();
    places.sort();
    places.dedup();
    if places.is_empty() {
        name.to_owned()
    } else {
        format!("{name} ({})", places.join(", "))
    }
}

/// The job most draws chose; where none did, the cheapest in the mean.
fn chosen_job(jobs: &Jobs, fault: usize, credited: &[(usize, u32)]) -> Option<usize> {
    let most = credited
        .iter()
        .filter(|(job, _)| jobs.jobs[*job].cures.contains(fault))
        .max_by_key(|(job, times)| (*times, usize::MAX - *job));
    most.map(|(job, _)| *job).or_else(|| {
        jobs.by_fault[fault]
            .iter()
            .copied()
            .min_by(|a, b| jobs.mean_cost(*a).total_cmp(&jobs.mean_cost(*b)))
    })
}

fn ways(tables: &Tables, jobs: &Jobs, fault: usize, chosen: Option<usize>) -> Vec<Way> {
    jobs.by_fault[fault]
        .iter()
        .map(|job| {
            let row = &tables.repairs[jobs.jobs[*job].row];
            Way {
                repair: row.id.clone(),
                name: row.name.clone(),
                route: jobs.jobs[*job].route,
                why: jobs.jobs[*job].why.clone(),
                cash: shown(&jobs.cash(*job)),
                hours: shown(&jobs.hours(*job)),
                chosen: chosen == Some(*job),
                source: format!("repairs, row {}, {}, {}", row.id, row.source, row.as_of),
            }
        })
        .collect()
}

/// A sum of amounts that move together, at the places shown.
fn shown(parts: &[(&Curve, f64)]) -> [f64; 3] {
    SHOWN_AT.map(|share| {
        // Starting from zero: an empty sum of floats is minus zero.
        (parts.iter()).fold(0.0, |sum, (curve, times)| {
            sum + curve.quantile(share) * times
        })
    })
}

impl Jobs {
    /// Cash of a job alone: bill, garage labour, tools, each with what it is to be multiplied by.
    fn cash(&self, job: usize) -> Vec<(&Curve, f64)> {
        let row = &self.jobs[job];
        let things = row.uses.iter().map(|thing| &self.things[thing]);
        let in_cash = things.filter_map(|thing| match thing.kind {
            ThingKind::AtHome => None,
            ThingKind::AtGarage => Some((&thing.curve, self.garage_rate)),
            ThingKind::Tool => Some((&thing.curve, 1.0)),
        });
        std::iter::once((&row.bill, 1.0)).chain(in_cash).collect()
    }

    /// Own hours of a job alone.
    fn hours(&self, job: usize) -> Vec<(&Curve, f64)> {
        let things = self.jobs[job].uses.iter().map(|thing| &self.things[thing]);
        things
            .filter(|thing| thing.kind == ThingKind::AtHome)
            .map(|thing| (&thing.curve, 1.0))
            .collect()
    }

    /// Mean cost of a job alone, hours at their value.
    #[must_use]
    pub fn mean_cost(&self, job: usize) -> f64 {
        let row = &self.jobs[job];
        let things = row.uses.iter().map(|thing| {
            let thing = &self.things[thing];
            let rate = match thing.kind {
                ThingKind::AtHome => self.hour_value,
                ThingKind::AtGarage => self.garage_rate,
                ThingKind::Tool => 1.0,
            };
            thing.curve.mean() * rate
        });
        things.fold(row.bill.mean(), |sum, more| sum + more)
    }
}
