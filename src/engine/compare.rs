//! Up to four cars side by side, draw by draw in shared luck: who beats whom, and whether none of them is the better choice.

mod swap;
mod words;

use super::appraise::appraise_with_column;
use super::figures::{ComparedCar, Comparison, OfferKind, Run, StandsAt, ThreeChances};
use super::knowledge::Knowledge;
use super::preference::{EVEN, Preference, preference};
use super::triangle::{self, Shares};
use crate::car::{Buyer, CarRecord};

/// A car weighed to be set beside others.
#[derive(Debug, Clone, PartialEq)]
pub struct Entrant {
    /// With its figures.
    pub car: ComparedCar,
    /// What each draw leaves the buyer better off by; absent for a car without worth, and for one that is stopped.
    up: Option<Vec<f64>>,
}

impl Entrant {
    /// Weighs one car: slug and record.
    #[must_use]
    pub fn weigh(
        knowledge: &Knowledge,
        (slug, car): (&str, &CarRecord),
        buyer: &Buyer,
        run: &Run,
    ) -> Self {
        let (appraisal, up) = appraise_with_column(knowledge, car, buyer, run);
        let car = ComparedCar {
            slug: slug.to_owned(),
            name: car.name.clone(),
            stands_at: match (car.bought_at, appraisal.offer.kind, car.listing.asking) {
                (Some(_), _, _) => StandsAt::Paid,
                (None, OfferKind::Ladder, _) => StandsAt::Settle,
                (None, _, Some(_)) => StandsAt::Asking,
                (None, _, None) => StandsAt::Limit,
            },
            appraisal,
        };
        Self {
            up: up.filter(|_| !is_stopped(&car)),
            car,
        }
    }
}

fn is_stopped(car: &ComparedCar) -> bool {
    (car.appraisal.stops.iter()).any(|stop| stop.waived.is_none())
}

/// Weighs the cars for one buyer and sets them side by side. The order given changes no figure.
#[must_use]
pub fn compare(
    knowledge: &Knowledge,
    cars: &[(&str, &CarRecord)],
    buyer: &Buyer,
    run: &Run,
) -> Comparison {
    let entrants = cars
        .iter()
        .map(|car| Entrant::weigh(knowledge, *car, buyer, run))
        .collect();
    let records: Vec<&CarRecord> = cars.iter().map(|(_, record)| *record).collect();
    side_by_side(knowledge, entrants, &records, buyer, run)
}

/// Sets cars side by side that were weighed for this buyer and run; records in the order of the cars.
#[must_use]
pub fn side_by_side(
    knowledge: &Knowledge,
    entrants: Vec<Entrant>,
    records: &[&CarRecord],
    buyer: &Buyer,
    run: &Run,
) -> Comparison {
    let (compared, ups): (Vec<ComparedCar>, Vec<Option<Vec<f64>>>) = entrants
        .into_iter()
        .map(|entrant| (entrant.car, entrant.up))
        .unzip();
    let tally = Tally::of(&ups, run.draws.max(1) as usize);
    let means = means(&ups);
    let best = best_of(&means);
    let words = words::words(&compared, &ups, &tally, best);
    Comparison {
        dominates: dominates(&compared),
        swap: swap::swap(knowledge, records, &ups, &means, buyer, run),
        preference: preference(&ranked(&compared), EVEN),
        cars: compared,
        wins: tally.wins,
        first_in: tally.first_in,
        none_of_these: tally.none,
        regret: tally.regret,
        best,
        words,
    }
}

impl Comparison {
    /// The order under other weights; no figure of money moves.
    #[must_use]
    pub fn preferred(&self, weights: Shares) -> Preference {
        preference(&ranked(&self.cars), weights)
    }
}

/// Chances after the work of the cars that are not stopped.
fn ranked(cars: &[ComparedCar]) -> Vec<Option<ThreeChances>> {
    cars.iter()
        .map(|car| (!is_stopped(car)).then_some(car.appraisal.chances.after))
        .collect()
}

struct Tally {
    wins: Vec<Vec<f64>>,
    first_in: Vec<f64>,
    none: f64,
    regret: Vec<f64>,
}

impl Tally {
    fn of(ups: &[Option<Vec<f64>>], draws: usize) -> Self {
        let count = ups.len();
        #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
        let share = 1.0 / draws as f64;
        let mut out = Self {
            wins: vec![vec![0.0; count]; count],
            first_in: vec![0.0; count],
            none: 0.0,
            regret: vec![0.0; count],
        };
        for draw in 0..draws {
            // A car that is stopped or has no worth loses to leaving them all.
            let up: Vec<f64> = ups
                .iter()
                .map(|column| {
                    column
                        .as_ref()
                        .map_or(f64::NEG_INFINITY, |column| column[draw])
                })
                .collect();
            let greatest = shared(&up, share, &mut out.first_in, &mut out.none);
            for row in 0..count {
                if up[row].is_finite() {
                    out.regret[row] += share * (greatest - up[row]);
                }
                for column in 0..count {
                    out.wins[row][column] += share * beats(up[row], up[column]);
                }
            }
        }
        out
    }

    /// How often each car is first, and none of them, in draws of these weights.
    fn firsts(ups: &[Option<&[f64]>], weights: &[f64]) -> (Vec<f64>, f64) {
        let (mut first_in, mut none) = (vec![0.0; ups.len()], 0.0);
        let sum: f64 = weights.iter().sum();
        for (draw, weight) in weights.iter().enumerate() {
            let up: Vec<f64> = ups
                .iter()
                .map(|column| {
                    column
                        .and_then(|column| column.get(draw))
                        .map_or(f64::NEG_INFINITY, |up| *up)
                })
                .collect();
            let share = if sum > 0.0 { weight / sum } else { 0.0 };
            shared(&up, share, &mut first_in, &mut none);
        }
        (first_in, none)
    }
}

/// Shares a draw out among the cars that are the best of it and better than none; gives the best.
fn shared(up: &[f64], share: f64, first_in: &mut [f64], none: &mut f64) -> f64 {
    let greatest = up.iter().copied().fold(0.0, f64::max);
    let first = |up: &f64| *up > 0.0 && *up >= greatest;
    #[expect(clippy::cast_precision_loss, reason = "at most four cars")]
    let firsts = up.iter().filter(|up| first(up)).count() as f64;
    if firsts > 0.0 {
        for (sum, _) in first_in.iter_mut().zip(up).filter(|(_, up)| first(up)) {
            *sum += share / firsts;
        }
    } else {
        *none += share;
    }
    greatest
}

/// 1 for a win, a half for a tie. Two stopped cars tie.
fn beats(mine: f64, theirs: f64) -> f64 {
    match mine.partial_cmp(&theirs) {
        Some(std::cmp::Ordering::Greater) => 1.0,
        Some(std::cmp::Ordering::Equal) => 0.5,
        _ => 0.0,
    }
}

/// Mean of what each car leaves the buyer better off by; a car that is not set beside the others loses to all.
fn means(ups: &[Option<Vec<f64>>]) -> Vec<f64> {
    let mean = |column: &Option<Vec<f64>>| {
        let column = column.as_deref();
        column.map_or(f64::NEG_INFINITY, super::draws::mean)
    };
    ups.iter().map(mean).collect()
}

/// Best in the mean, if it leaves the buyer better off at all.
fn best_of(means: &[f64]) -> Option<usize> {
    (0..means.len())
        .filter(|car| means[*car] > 0.0)
        .max_by(|a, b| means[*a].total_cmp(&means[*b]).then(b.cmp(a)))
}

/// For each car the others it dominates: at least as good in all three chances, better in one. Unknown chances dominate nothing.
fn dominates(cars: &[ComparedCar]) -> Vec<Vec<usize>> {
    let after = |car: &ComparedCar| car.appraisal.chances.after;
    cars.iter()
        .map(|car| {
            (0..cars.len())
                .filter(|other| triangle::dominates(&after(car), &after(&cars[*other])))
                .collect()
        })
        .collect()
}
