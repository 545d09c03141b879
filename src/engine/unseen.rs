//! Buying it unseen: what a seller can answer or send from afar, what came of each, and the car as one knows it without a visit.

use super::walkaround::{Check, Order, Plan, State, walk};
use crate::car::{Answer, Asked, CarRecord, Known, Observation};
use crate::trade::{SignKind, SignRow, Tables};
use jiff::civil::Date;

/// How a seller can show it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// In a line.
    Words,
    /// A photo of a paper.
    Papers,
    /// A photo.
    Photo,
    /// A recording with sound.
    Video,
    /// A photo of a code reader's screen.
    Reader,
}

/// Where something to be asked for stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Neither here nor given up.
    Open,
    /// It came, or is known otherwise.
    Arrived,
    /// It never came.
    Missing,
}

/// One thing to ask for from afar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RemoteItem {
    /// Sign id.
    pub sign: String,
    /// Name.
    pub name: String,
    /// The question.
    pub question: String,
    /// How it can be shown.
    pub by: By,
    /// Where it stands.
    pub standing: Standing,
    /// A code that the reader shows with all others, on one screen.
    pub is_code: bool,
}

/// Everything that can be asked for from afar on this car, by the way it is shown, then in walking order. What a finding has made dangerous
/// is left out: nobody is asked to do it either.
#[must_use]
pub fn items(car: &CarRecord, tables: &Tables, today: Date) -> Vec<RemoteItem> {
    let checks = walk(car, tables, Plan::FromAfar, Order::Walking, today);
    let mut items: Vec<RemoteItem> = checks
        .into_iter()
        .filter_map(|check| item(&check, tables.sign(&check.sign)?))
        .collect();
    items.sort_by_key(|item| item.by);
    items
}

fn item(check: &Check, row: &SignRow) -> Option<RemoteItem> {
    let standing = match (check.asked, &check.state) {
        (_, State::Withdrawn(_)) => return None,
        (Some(asked), _) if asked.held_back() => Standing::Missing,
        (_, State::ToCome) => Standing::Open,
        _ => Standing::Arrived,
    };
    Some(RemoteItem {
        sign: row.id.clone(),
        name: row.name.clone(),
        question: if row.to_seller.is_empty() {
            row.question.clone()
        } else {
            row.to_seller.clone()
        },
        by: by(row),
        standing,
        is_code: row.kind == SignKind::Code,
    })
}

fn by(row: &SignRow) -> By {
    let reader = |tool: &String| tool == "code-reader" || tool == "live-data-reader";
    if row.kind == SignKind::Code || row.tools.iter().any(reader) {
        return By::Reader;
    }
    match row.stage.as_str() {
        "questions" | "afterwards" => By::Words,
        "paper" => By::Papers,
        "cold start" | "hot restart" | "road test" => By::Video,
        _ => By::Photo,
    }
}

/// How an answer from afar is known: a paper by its photo, all else by their word.
#[must_use]
pub fn known(row: &SignRow) -> Known {
    match row.kind {
        SignKind::Paper => Known::Paper,
        _ => Known::Said,
    }
}

/// The car as it is known without a visit; `None` where nothing on file needed one.
#[must_use]
pub(super) fn from_afar(car: &CarRecord) -> Option<CarRecord> {
    let came = |seen: &&Observation| {
        let check = car.checks.get(&seen.sign);
        // What could not be seen, or is not fitted, needed no look at the car.
        !matches!(seen.answer, Answer::Level(_))
            || seen.known <= Known::Paper
            || check.is_some_and(|check| check.asked == Some(Asked::Arrived))
    };
    let kept: Vec<Observation> = car.observations.iter().filter(came).cloned().collect();
    (kept.len() < car.observations.len()).then(|| CarRecord {
        observations: kept,
        ..car.clone()
    })
}
