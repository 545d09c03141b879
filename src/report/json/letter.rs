//! A letter and its grounds, as JSON.

use super::SCHEMA;
use super::figures::amount_or_null;
use crate::report::letter::{self, Letter, Statement, Tone, Written};
use serde_json::{Value, json};

/// Everything: `letter` is `null` with `none_because` where none can be written.
#[must_use]
pub fn letter(slug: &str, written: &Written, tone: Tone) -> Value {
    let tone = match tone {
        Tone::Plain => "plain",
        Tone::Warm => "warm",
        Tone::Brief => "brief",
    };
    json!({
        "schema": SCHEMA,
        "car": slug,
        "tone": tone,
        "letter": written.letter.as_ref().ok().map(one),
        "none_because": written.letter.as_ref().err(),
        "notice": written.notice.iter().map(statement).collect::<Vec<_>>(),
    })
}

fn one(written: &Letter) -> Value {
    json!({
        "round": written.round,
        "figure": amount_or_null(Some(written.figure)),
        "words": written.words(),
        "text": letter::text(written),
        "statements": written.statements().map(statement).collect::<Vec<_>>(),
    })
}

fn statement(one: &Statement) -> Value {
    json!({
        "part": letter::label(one.part),
        "words": one.words,
        "ground": { "id": one.ground.id, "words": one.ground.words },
    })
}
