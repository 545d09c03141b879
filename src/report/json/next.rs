//! What to find out next, as JSON.

use super::SCHEMA;
use super::figures::{amount, amount_or_null};
use crate::engine::find_out::{FindOut, FindOutFigure, OutcomeFigure};
use crate::engine::held_back::HeldBack;
use crate::engine::unseen::{RemoteItem, Standing};
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

/// What can be asked for from afar: every item with its standing, what that says of the seller, and the message that asks for what is open.
#[must_use]
pub fn unseen(items: &[RemoteItem], held: &HeldBack, message: &str) -> Value {
    let standing = |item: &RemoteItem| match item.standing {
        Standing::Open => "open",
        Standing::Arrived => "arrived",
        Standing::Missing => "missing",
    };
    let each = items.iter().map(|item| {
        json!({
            "id": item.sign,
            "name": item.name,
            "question": item.question,
            "standing": standing(item),
        })
    });
    json!({
        "items": each.collect::<Vec<_>>(),
        "held_back": held.held(),
        "tells_before": held.tells.0,
        "tells": held.tells.1,
        "message": message,
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
        "because": check.because,
        "ask": check.ask,
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
