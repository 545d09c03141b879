//! Findings by law and arithmetic, as additions to a weighed car.

use crate::engine::findings::Findings;
use crate::engine::papers::{Disclosure, Papers};
use crate::engine::readings::{Measured, ReadingFinding};
use crate::engine::scan::Scan;
use crate::report::readings as words;
use serde_json::{Map, Value, json};

pub(super) fn put(fields: &mut Map<String, Value>, found: &Findings) {
    let readings: Vec<Value> = found.readings.iter().map(reading).collect();
    fields.insert("readings".to_owned(), json!(readings));
    fields.insert("papers".to_owned(), papers(&found.papers));
    fields.insert("scan".to_owned(), scan(&found.scan));
    let waived: Vec<Value> = found
        .waived
        .iter()
        .map(|one| json!({ "id": one.waiver, "sentence": one.sentence, "words": one.words }))
        .collect();
    fields.insert("waived_dangers".to_owned(), json!(waived));
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

fn papers(found: &Papers) -> Value {
    let vins: Vec<Value> = found
        .vins
        .iter()
        .map(|vin| {
            json!({
                "place": vin.place,
                "text": vin.text,
                "words": vin.words(),
                "model_years": vin.years,
                "would_pass": vin.corrections.iter().map(|one| one.vin.as_str()).collect::<Vec<_>>(),
            })
        })
        .collect();
    let tires: Vec<Value> = found
        .tires
        .iter()
        .map(|tire| {
            let date = tire.date.as_ref().ok();
            json!({
                "code": tire.code,
                "week": date.map(|date| date.week),
                "years": date.map(|date| date.years()),
                "age_years": tire.age_years,
                "error": tire.date.as_ref().err(),
            })
        })
        .collect();
    let clashes: Vec<Value> = found
        .contradictions
        .iter()
        .map(|clash| json!({ "id": clash.id, "sentence": clash.sentence }))
        .collect();
    json!({
        "vins": vins,
        "title": found.title,
        "odometer": found.odometer,
        "odometer_disclosure": match found.disclosure {
            None => Value::Null,
            Some(Disclosure::Required) => json!("required"),
            Some(Disclosure::ExemptSince(_)) => json!("exempt"),
        },
        "ordinary_miles": found.ordinary_miles,
        "tires": tires,
        "contradictions": clashes,
    })
}

fn scan(found: &Scan) -> Value {
    let codes: Vec<Value> = found
        .codes
        .iter()
        .map(|code| {
            json!({
                "code": code.code,
                "state": code.state,
                "sign": code.sign,
                "words": code.words,
            })
        })
        .collect();
    json!({ "memory": found.memory.words(), "codes": codes })
}
