//! What is to be said of cars side by side.

use super::{Tally, is_stopped};
use crate::engine::amounts::with_commas;
use crate::engine::draws::mean;
use crate::engine::figures::{ComparedCar, StandsAt};

/// Wins nearer to a half than this are close.
const CLOSE: f64 = 0.08;

pub(super) fn words(
    cars: &[ComparedCar],
    ups: &[Option<Vec<f64>>],
    tally: &Tally,
    best: Option<usize>,
) -> Vec<String> {
    let mut out = vec![match best {
        Some(car) => format!(
            "{} comes first in {:.0} of 100 shared draws; none of these is better in {:.0}.",
            cars[car].name,
            tally.first_in[car] * 100.0,
            tally.none * 100.0
        ),
        None if cars.iter().all(is_stopped) => "None of these, and each says why.".to_owned(),
        None => "None of these: leave them all.".to_owned(),
    }];
    for (car, up) in cars.iter().zip(ups) {
        let stops = &car.appraisal.stops;
        if let Some(stop) = stops.iter().find(|stop| stop.waived.is_none()) {
            out.push(format!("{}: stop: {}", car.name, stop.sentence));
            continue;
        }
        let Some(up) = up else {
            out.push(format!(
                "{}: no worth, so it cannot be set against the others.",
                car.name
            ));
            continue;
        };
        let mean = mean(up);
        if mean <= 0.0 {
            out.push(format!(
                "{}: at {} it leaves you {} worse off on average than none of these.",
                car.name,
                car.stands_at.words(),
                with_commas(-mean)
            ));
        } else if car.stands_at == StandsAt::Asking {
            out.push(format!(
                "{}: no deal in sight at your price, so it stands here at what they ask.",
                car.name
            ));
        }
    }
    for row in 0..cars.len() {
        for column in row + 1..cars.len() {
            let both = ups[row].is_some() && ups[column].is_some();
            if both && (tally.wins[row][column] - 0.5).abs() < CLOSE {
                out.push(format!(
                    "{} and {} are close.",
                    cars[row].name, cars[column].name
                ));
            }
        }
    }
    out
}
