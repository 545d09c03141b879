//! What would change the mind, as JSON.

use super::figures::amount_or_null;
use crate::engine::find_out::Mind;
use serde_json::{Value, json};

/// Verdict, the one it would turn to, and the smallest sets of answers that turn it.
#[must_use]
pub(super) fn mind(mind: &Mind) -> Value {
    let sets: Vec<Value> = mind
        .sets
        .iter()
        .map(|set| {
            let facts: Vec<Value> = set
                .facts
                .iter()
                .map(|fact| {
                    json!({
                        "sign": fact.sign,
                        "name": fact.name,
                        "level": fact.level,
                        "answer": fact.words,
                    })
                })
                .collect();
            json!({
                "facts": facts,
                "chance": set.chance,
                "ends_it": set.stops,
                "verdict": set.verdict,
                "limit": amount_or_null(set.limit),
            })
        })
        .collect();
    json!({
        "now": mind.now,
        "to": if mind.to_buy { "buy" } else { "leave" },
        "sets": sets,
        "words": mind.words,
    })
}
