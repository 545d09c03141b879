//! What in the log of the talks cannot be as meant: figures over the limit or under earlier ones, days out of order, words after the sale.
//! Nothing is refused here: what was said was said. It is told.

use super::amounts::said;
use crate::car::{CarRecord, Money, Move, Who};
use jiff::civil::Date;

/// A sentence for each line of the log that cannot be as meant, in the order of the log.
#[must_use]
pub fn doubts(car: &CarRecord, limit: Option<Money>, today: Date) -> Vec<String> {
    let mut found = Vec::new();
    let mut last_day: Option<Date> = None;
    let (mut mine, mut theirs) = (None, car.listing.asking);
    for (at, step) in car.talks.iter().enumerate() {
        let line = at + 1;
        let day = step.at.map(|at| at.date());
        if let Some(day) = day {
            if let Some(last) = last_day.filter(|last| day < *last) {
                found.push(format!("Line {line} is of {day}, before the line above it, {last}: the order of the lines counts."));
            }
            if day > today {
                found.push(format!("Line {line} is of {day}, after today, {today}."));
            }
            if let Some(bought) = car.bought_on.filter(|bought| day > *bought) {
                found.push(format!(
                    "Line {line} is of {day}, after it was bought on {bought}."
                ));
            }
            last_day = last_day.max(Some(day));
        }
        let Some(figure) = step.amount.filter(|amount| *amount > Money::ZERO) else {
            continue;
        };
        found.extend(figure_doubt(line, step, figure, limit, (mine, theirs)));
        match step.who {
            Who::You => mine = mine.max(Some(figure)),
            Who::They => theirs = Some(figure),
        }
    }
    found
}

fn figure_doubt(
    line: usize,
    step: &Move,
    figure: Money,
    limit: Option<Money>,
    (mine, theirs): (Option<Money>, Option<Money>),
) -> Option<String> {
    let sum = said(figure);
    if step.who == Who::They {
        let raised = theirs.filter(|before| figure > *before);
        let yes = mine.filter(|mine| figure < *mine);
        return match (yes, raised) {
            (Some(mine), _) => Some(format!(
                "Line {line}: their {sum} is under your {}, which makes it a yes at {sum}.",
                said(mine)
            )),
            (None, Some(before)) => Some(format!(
                "Line {line}: their {sum} is over their {} before it.",
                said(before)
            )),
            (None, None) => None,
        };
    }
    if let Some(limit) = limit.filter(|limit| figure > *limit) {
        let reason = if step.words.is_empty() {
            "no reason noted".to_owned()
        } else {
            format!("you noted “{}”", step.words)
        };
        return Some(format!(
            "Line {line}: your {sum} is over your limit of {}; {reason}.",
            said(limit)
        ));
    }
    let before = mine.filter(|before| figure < *before)?;
    Some(format!(
        "Line {line}: your {sum} is under your earlier {}, which they may hold you to.",
        said(before)
    ))
}
