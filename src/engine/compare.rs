//! Up to four cars side by side, draw by draw in shared luck: who beats whom, and whether none of them is the better choice.

use super::appraise::appraise_with_column;
use super::figures::{Appraisal, ComparedCar, Comparison, OfferKind, Run, ThreeChances};
use super::knowledge::Knowledge;
use crate::car::{Buyer, CarRecord};

/// Weighs the cars for one buyer and sets them side by side. The order given changes no figure.
#[must_use]
pub fn compare(
    knowledge: &Knowledge,
    cars: &[(&str, &CarRecord)],
    buyer: &Buyer,
    run: &Run,
) -> Comparison {
    let mut compared = Vec::new();
    let mut ups: Vec<Option<Vec<f64>>> = Vec::new();
    for (slug, car) in cars {
        let (appraisal, up) = appraise_with_column(knowledge, car, buyer, run);
        let stopped = appraisal.stops.iter().any(|stop| stop.waived.is_none());
        ups.push(up.filter(|_| !stopped));
        compared.push(ComparedCar {
            slug: (*slug).to_owned(),
            name: car.name.clone(),
            appraisal,
        });
    }
    let tally = Tally::of(&ups, run.draws.max(1) as usize);
    let best = best(&ups, &tally);
    let words = words(&compared, &ups, &tally, best);
    Comparison {
        dominates: dominates(&compared),
        cars: compared,
        wins: tally.wins,
        first_in: tally.first_in,
        none_of_these: tally.none,
        regret: tally.regret,
        best,
        swap: None,
        words,
    }
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
            let greatest = up.iter().copied().fold(0.0, f64::max);
            let firsts: Vec<usize> = (0..count)
                .filter(|car| up[*car] > 0.0 && up[*car] >= greatest)
                .collect();
            #[expect(clippy::cast_precision_loss, reason = "at most four cars")]
            let each = share / firsts.len().max(1) as f64;
            for car in &firsts {
                out.first_in[*car] += each;
            }
            out.none += if firsts.is_empty() { share } else { 0.0 };
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
}

/// 1 for a win, a half for a tie. Two stopped cars tie.
fn beats(mine: f64, theirs: f64) -> f64 {
    match mine.partial_cmp(&theirs) {
        Some(std::cmp::Ordering::Greater) => 1.0,
        Some(std::cmp::Ordering::Equal) => 0.5,
        _ => 0.0,
    }
}

/// Best in the mean, if it leaves the buyer better off at all.
fn best(ups: &[Option<Vec<f64>>], tally: &Tally) -> Option<usize> {
    (0..ups.len())
        .filter(|car| {
            ups[*car]
                .as_ref()
                .is_some_and(|column| super::draws::mean(column) > 0.0)
        })
        .min_by(|a, b| tally.regret[*a].total_cmp(&tally.regret[*b]))
}

fn after(car: &Appraisal) -> [Option<f64>; 3] {
    let ThreeChances {
        cheap,
        reliable,
        fast,
    } = car.chances.after;
    [cheap, reliable, fast]
}

/// For each car the others it dominates: at least as good in all three chances, better in one. Unknown chances dominate nothing.
fn dominates(cars: &[ComparedCar]) -> Vec<Vec<usize>> {
    let beats = |a: [Option<f64>; 3], b: [Option<f64>; 3]| {
        let pairs: Option<Vec<(f64, f64)>> =
            a.iter().zip(b).map(|(a, b)| Some(((*a)?, b?))).collect();
        pairs.is_some_and(|pairs| {
            pairs.iter().all(|(a, b)| a >= b) && pairs.iter().any(|(a, b)| a > b)
        })
    };
    cars.iter()
        .map(|car| {
            (0..cars.len())
                .filter(|other| beats(after(&car.appraisal), after(&cars[*other].appraisal)))
                .collect()
        })
        .collect()
}

fn words(
    cars: &[ComparedCar],
    ups: &[Option<Vec<f64>>],
    tally: &Tally,
    best: Option<usize>,
) -> Vec<String> {
    let mut out = Vec::new();
    match best {
        Some(car) => out.push(format!(
            "{} comes first in {:.0} of 100 shared draws; none of these is better in {:.0}.",
            cars[car].name,
            tally.first_in[car] * 100.0,
            tally.none * 100.0
        )),
        None => out.push("None of these: leave them all.".to_owned()),
    }
    for (car, up) in cars.iter().zip(ups) {
        if let Some(stop) = car
            .appraisal
            .stops
            .iter()
            .find(|stop| stop.waived.is_none())
        {
            out.push(format!("{}: stop: {}", car.name, stop.sentence));
        } else if up.is_none() {
            out.push(format!(
                "{}: no worth, so it cannot be set against the others.",
                car.name
            ));
        }
    }
    for (car, up) in cars.iter().zip(ups) {
        let ladder = car.appraisal.offer.kind == OfferKind::Ladder;
        if up.is_some() && !ladder {
            out.push(format!(
                "{}: no deal in sight at your price, so it stands here at what they ask.",
                car.name
            ));
        }
    }
    for row in 0..cars.len() {
        for column in row + 1..cars.len() {
            if ups[row].is_some()
                && ups[column].is_some()
                && (tally.wins[row][column] - 0.5).abs() < 0.08
            {
                out.push(format!(
                    "{} and {} are close.",
                    cars[row].name, cars[column].name
                ));
            }
        }
    }
    out
}
