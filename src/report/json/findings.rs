//! Findings by law and arithmetic, as additions to a weighed car.

use crate::engine::findings::Findings;
use crate::engine::readings::{Measured, ReadingFinding};
use crate::report::readings as words;
use serde_json::{Map, Value, json};

pub(super) fn put(fields: &mut Map<String, Value>, found: &Findings) {
    let readings: Vec<Value> = found.readings.iter().map(reading).collect();
    fields.insert("readings".to_owned(), json!(readings));
}

fn reading(one: &ReadingFinding) -> Value {
    let measured: Vec<Value> = one.verdict.measured.iter().map(measured).collect();
    json!({
        "sign": one.sign,
        "name": one.name,
        "typed": one.reading.typed,
        "level": one.verdict.level,
        "measured": measured,
    })
}

fn measured(one: &Measured) -> Value {
    let row = one.row.as_ref();
    json!({
        "item": one.item,
        "label": one.label,
        "value": if one.value.is_finite() { json!(one.value) } else { Value::Null },
        "grade": one.grade,
        "words": words::measured(one),
        "limit": row.map(|row| &row.id),
        "rule_set": row.map(|row| &row.rule_set),
        "source": row.map(|row| &row.source),
        "note": row.map(|row| &row.note),
    })
}
