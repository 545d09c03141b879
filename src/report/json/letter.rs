//! A letter and its grounds, a notice, a draft, as JSON.

use super::SCHEMA;
use super::figures::amount_or_null;
use crate::engine::two_prices::{PriceIf, TwoPrices};
use crate::report::letter::{self, Deed, DeedKind, Letter, Statement, Tone, WIDTH, Written};
use serde_json::{Value, json};

/// Everything: `letter` is `null` with `none_because` where none can be written.
#[must_use]
pub fn letter(slug: &str, written: &Written, tone: Tone, two: Option<&TwoPrices>) -> Value {
    let tone = match tone {
        Tone::Plain => "plain",
        Tone::Warm => "warm",
        Tone::Brief => "brief",
    };
    json!({
        "schema": SCHEMA,
        "car": slug,
        "kind": "letter",
        "tone": tone,
        "letter": written.letter.as_ref().ok().map(one),
        "none_because": written.letter.as_ref().err(),
        "two_prices": two.map(two_prices),
        "notice": written.notice.iter().map(statement).collect::<Vec<_>>(),
    })
}

/// The notice alone.
#[must_use]
pub fn notice(slug: &str, written: &Written) -> Value {
    json!({
        "schema": SCHEMA,
        "car": slug,
        "kind": "notice",
        "text": letter::notice_text(&written.notice, WIDTH),
        "notice": written.notice.iter().map(statement).collect::<Vec<_>>(),
    })
}

/// A draft.
#[must_use]
pub fn deed(slug: &str, deed: &Deed) -> Value {
    json!({
        "schema": SCHEMA,
        "car": slug,
        "kind": match deed.kind {
            DeedKind::Receipt => "receipt",
            DeedKind::BillOfSale => "bill-of-sale",
        },
        "price": amount_or_null(Some(deed.price)),
        "text": letter::deed_text(deed, WIDTH),
        "statements": deed.statements().map(statement).collect::<Vec<_>>(),
    })
}

fn two_prices(two: &TwoPrices) -> Value {
    let price = |one: &PriceIf| {
        json!({
            "level": one.level,
            "answer": one.words,
            "price": amount_or_null(Some(one.price)),
            "limit": amount_or_null(Some(one.limit)),
        })
    };
    json!({
        "check": two.sign,
        "name": two.name,
        "from": amount_or_null(Some(two.now)),
        "limit_now": amount_or_null(Some(two.limit_now)),
        "if_good": price(&two.good),
        "if_not": price(&two.bad),
        "may_stop": two.may_stop,
    })
}

fn one(written: &Letter) -> Value {
    json!({
        "round": written.round,
        "figure": amount_or_null(Some(written.figure)),
        "if_not": amount_or_null(written.if_not),
        "words": written.words(),
        "text": letter::text(written, WIDTH),
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
