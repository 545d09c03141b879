//! What can be shown to the seller: faults that a check of the user's own looked for and found, each with the answer it stands on.

use super::WeighedCar;
use crate::car::{Answer, Known, Observation};
use crate::engine::evidence::current;
use crate::engine::readings::Measured;
use crate::engine::{FaultFigure, Standing};
use crate::report::{readings, words};
use crate::trade::{Grade, Severity, SignKind, SignRow, Tables};

/// A fault with the check that shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Proven<'a> {
    /// The fault.
    pub fault: &'a FaultFigure,
    /// Id of the sign as the tables have it now.
    pub sign: String,
    /// What was found, in words: `brake pads: 2 mm (3/32 in) or less`.
    pub found: String,
    /// Numbers read, in words; empty where none was.
    pub measured: Vec<String>,
    /// Seen or measured.
    pub known: Known,
    /// Found so bad that it ends a deal, breaks a limit, or cannot be worse.
    pub grave: bool,
    /// When, in words: `seen 14 Nov 10:19`.
    pub when: String,
}

impl Proven<'_> {
    /// Id of the evidence.
    #[must_use]
    pub fn id(&self) -> String {
        format!("sign/{}", self.sign)
    }

    /// True where it makes the car unsafe as it was found; what is merely worn is not.
    #[must_use]
    pub fn is_unsafe(&self) -> bool {
        self.grave && self.fault.severities.first() == Some(&Severity::Unsafe)
    }
}

/// Faults that are seen, those that take most first, each under a check of its own. What was only said, what is likely, what
/// is held certain without a check, and what a symptom alone points at are left out.
#[must_use]
pub fn proven<'a>(car: &WeighedCar<'a>, tables: &Tables) -> Vec<Proven<'a>> {
    let mut found: Vec<Proven<'a>> = Vec::new();
    for fault in &car.appraisal.faults {
        if fault.standing != Standing::Seen {
            continue;
        }
        let checks = car.record.observations.iter().filter_map(|seen| {
            let sign = tables.sign(current(tables, &seen.sign))?;
            let own = fault.because_of.contains(&sign.id) && shows(sign, &fault.id);
            let fresh = !found.iter().any(|other| other.sign == sign.id);
            (own && fresh)
                .then(|| shown(car, seen, sign, fault))
                .flatten()
        });
        if let Some(best) = checks.max_by_key(|one| one.known) {
            found.push(best);
        }
    }
    found
}

/// True for a check that looks for the fault itself, done on the car.
fn shows(sign: &SignRow, fault: &str) -> bool {
    let on_the_car = matches!(sign.kind, SignKind::Check | SignKind::Test);
    let hits = sign.hits.as_ref();
    on_the_car && sign.causes.is_none() && hits.is_some_and(|hits| hits.rates.contains_key(fault))
}

fn shown<'a>(
    car: &WeighedCar<'_>,
    seen: &Observation,
    sign: &SignRow,
    fault: &'a FaultFigure,
) -> Option<Proven<'a>> {
    let reading = car
        .findings
        .and_then(|found| found.readings.iter().find(|one| one.sign == sign.id));
    let level = match (reading, seen.answer) {
        (Some(reading), Answer::Level(_)) => reading.verdict.level,
        (None, Answer::Level(level)) => level,
        (_, Answer::NotSeen | Answer::NotFitted) => return None,
    };
    let in_words = sign.levels.get(level)?;
    if seen.known < Known::Seen || level == 0 {
        return None;
    }
    let numbers: Vec<&Measured> =
        reading.map_or_else(Vec::new, |one| one.verdict.measured.iter().collect());
    let measured: Vec<String> = numbers
        .iter()
        .filter(|one| one.grade.is_some())
        .map(|one| readings::measured(one))
        .collect();
    let outside = numbers
        .iter()
        .any(|one| matches!(one.grade, Some(Grade::Limit | Grade::Danger)));
    let ends_it = sign
        .stop
        .as_ref()
        .is_some_and(|stop| level >= stop.from_level);
    let worst = numbers.is_empty() && level + 1 == sign.levels.len();
    let known = if numbers.is_empty() {
        seen.known
    } else {
        Known::Measured
    };
    let when = seen.at.map_or_else(
        || format!("{}, no day noted", words::known(known)),
        |at| {
            format!(
                "{} {} {:02}:{:02}",
                words::known(known),
                words::date(at.date()),
                at.hour(),
                at.minute()
            )
        },
    );
    Some(Proven {
        fault,
        sign: sign.id.clone(),
        found: words::clean(&format!("{}: {in_words}", sign.name)),
        measured,
        known,
        grave: outside || ends_it || worst,
        when,
    })
}
