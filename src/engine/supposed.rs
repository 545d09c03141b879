//! A car as it would be on file with answers that are only supposed so far.

use super::walkaround::{Order, Plan, State, walk};
use crate::car::{Answer, CarRecord, Known, Observation};
use crate::trade::Tables;
use jiff::civil::Date;

/// The record with these answers, each a sign and its level, seen on the car; a check that was looked for and not to be seen gets its answer.
pub(crate) fn with_answers(car: &CarRecord, answers: &[(&str, usize)]) -> CarRecord {
    let mut car = car.clone();
    for (sign, level) in answers {
        car.observations.retain(|seen| seen.sign != *sign);
        car.observations.push(Observation {
            sign: (*sign).to_owned(),
            answer: Answer::Level(*level),
            known: Known::Seen,
            admitted: false,
            note: String::new(),
            at: None,
        });
    }
    car
}

/// Why a check cannot be asked for now; `None` where it still asks for an answer.
pub(crate) fn not_to_come(
    car: &CarRecord,
    tables: &Tables,
    sign: &str,
    today: Date,
) -> Option<String> {
    let checks = walk(car, tables, Plan::Full, Order::Walking, today);
    let Some(check) = checks.into_iter().find(|check| check.sign == sign) else {
        return Some(format!("“{sign}” is no check of the walk round this car."));
    };
    match check.state {
        State::ToCome | State::NotSeen => None,
        State::Answered(_) => Some(format!("“{sign}” is answered already.")),
        State::NotFitted => Some(format!("“{sign}”: the car has no such thing.")),
        State::Withdrawn(why) => Some(format!(
            "“{sign}”: {}, because {}.",
            why.reason, why.because
        )),
    }
}
