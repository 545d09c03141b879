//! The ordinary visit: about an hour, all answers good. It prices what a comparable's price carries already, and what a car would be
//! worth if the walk-around found nothing new.

use super::draws::mean;
use super::figures::Run;
use super::hazard::share_that_applies;
use super::weighing::Weighing;
use crate::car::{Answer, CarRecord, Known, Listing, Observation};
use crate::trade::{SignKind, SignRow, Tables};
use std::collections::BTreeSet;

/// Most draws of a side run, and its share of the whole run's: side runs give means only.
const SIDE_DRAWS: u32 = 1_000;
const SIDE_SHARE: u32 = 4;

/// What a side run is run with.
pub(crate) fn side_run(run: &Run) -> Run {
    Run {
        draws: (run.draws / SIDE_SHARE).clamp(1, SIDE_DRAWS),
        ..*run
    }
}

/// Signs of an ordinary visit that make sense on this car and were not answered.
fn unanswered<'a>(car: &'a CarRecord, tables: &'a Tables) -> impl Iterator<Item = &'a SignRow> {
    let answered: BTreeSet<&str> = car
        .observations
        .iter()
        .map(|observation| observation.sign.as_str())
        .collect();
    tables.signs.iter().filter(move |sign| {
        sign.ordinary_visit
            && !matches!(sign.kind, SignKind::Admission)
            && !answered.contains(sign.id.as_str())
            && share_that_applies(
                &sign.applies_if,
                &car.particulars,
                &tables.settings.diagnosis,
            ) > 0.0
    })
}

/// Checks of an ordinary visit that are still to come, or were not to be seen, in the order of the table.
pub(crate) fn not_seen<'a>(car: &'a CarRecord, tables: &'a Tables) -> Vec<&'a SignRow> {
    let with = |not_seen: bool| -> BTreeSet<&str> {
        let answers = car
            .observations
            .iter()
            .filter(|one| (one.answer == Answer::NotSeen) == not_seen);
        answers.map(|one| one.sign.as_str()).collect()
    };
    let hidden: BTreeSet<&str> = with(true).difference(&with(false)).copied().collect();
    let open: BTreeSet<&str> = unanswered(car, tables)
        .map(|sign| sign.id.as_str())
        .collect();
    let ordinary = |sign: &&SignRow| {
        let id = sign.id.as_str();
        open.contains(id) || (sign.ordinary_visit && hidden.contains(id))
    };
    tables.signs.iter().filter(ordinary).collect()
}

/// How many checks of an ordinary visit are still to come, or were not to be seen.
pub(crate) fn checks_not_seen(car: &CarRecord, tables: &Tables) -> usize {
    not_seen(car, tables).len()
}

fn benign(sign: &SignRow) -> Observation {
    Observation {
        sign: sign.id.clone(),
        answer: Answer::Level(0),
        known: Known::Seen,
        admitted: false,
        note: String::new(),
        at: None,
    }
}

/// Mean cost of this kind of car after an ordinary visit with all answers good, nothing else known: B of the design.
pub(crate) fn allowance_base(weighing: &Weighing<'_>) -> f64 {
    let (car, run) = (weighing.car, weighing.run);
    let mut plain = CarRecord {
        particulars: car.particulars.clone(),
        worth: car.worth.clone(),
        routes: car.routes.clone(),
        listing: Listing::default(),
        ..CarRecord::default()
    };
    plain.particulars.non_runner = false;
    plain.particulars.in_use_proven = false;
    plain.observations = unanswered(&plain, weighing.knowledge.tables())
        .map(benign)
        .collect();
    let side = side_run(run);
    mean(&weighing.again(&plain, &side).columns.cost)
}

/// This car as it would stand if every check of an ordinary visit that no found sign speaks to came out good; `None` if none is left.
pub(crate) fn if_nothing_new(weighing: &Weighing<'_>) -> Option<CarRecord> {
    let tables = weighing.knowledge.tables();
    let tied: BTreeSet<&str> = weighing
        .diagnosis
        .faults
        .iter()
        .filter(|fault| fault.tied)
        .map(|fault| fault.id.as_str())
        .collect();
    let speaks_of_tied = |sign: &SignRow| {
        let causes = sign.causes.iter().flat_map(|causes| causes.weights.keys());
        let hits = sign.hits.iter().flat_map(|hits| hits.rates.keys());
        let tests = sign.test_of.iter().flat_map(|test| test.rows.keys());
        causes
            .chain(hits)
            .chain(tests)
            .any(|fault| tied.contains(fault.as_str()))
    };
    let more: Vec<Observation> = unanswered(weighing.car, tables)
        .filter(|sign| !speaks_of_tied(sign))
        .map(benign)
        .collect();
    if more.is_empty() {
        return None;
    }
    let mut car = weighing.car.clone();
    car.observations.extend(more);
    Some(car)
}
