//! What to find out next, as JSON.

use super::SCHEMA;
use super::figures::{amount, amount_or_null};
use crate::engine::find_out::{FindOut, FindOutFigure, OutcomeFigure};
use serde_json::{Value, json};

/// Checks still to come, the best first. A limit is `null` where it was not worked out; `blocked_by` where nothing forbids the check.
#[must_use]
pub fn next(slug: &str, found: &FindOut) -> Value {
    json!({
        "schema": SCHEMA,
        "car": slug,
        "limit_now": amount_or_null(found.limit_now),
        "value_now": amount(found.value_now),
        "know_all": amount(found.know_all),
        "words": found.words,
        "checks": found.checks.iter().map(check).collect::<Vec<_>>(),
    })
}

fn check(check: &FindOutFigure) -> Value {
    json!({
        "id": check.id,
        "name": check.name,
        "minutes": amount(check.minutes),
        "value": amount(check.value),
        "most": amount(check.most),
        "proof": amount(check.proof),
        "net": amount(check.net),
        "outcomes": check.outcomes.iter().map(outcome).collect::<Vec<_>>(),
        "group": check.group,
        "blocked_by": check.blocked_by,
    })
}

fn outcome(outcome: &OutcomeFigure) -> Value {
    json!({
        "level": outcome.level,
        "words": outcome.words,
        "chance": outcome.chance,
        "limit": amount_or_null(outcome.limit),
        "stops": outcome.stops,
    })
}
