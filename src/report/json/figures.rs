//! The figures of a weighed car, each as its own object.

use crate::car::Money;
use crate::engine::{
    Appraisal, Chances, FaultFigure, LimitFigures, Offer, RepairFigures, Rung, Spread, Stop, Trace,
    UnseenFigures, Way,
};
use crate::report::words;
use serde_json::{Map, Value, json};

/// A number to the hundredth; `null` if it is none. A whole number carries no point.
fn hundredths(number: f64) -> Value {
    if !number.is_finite() {
        return Value::Null;
    }
    let rounded = libm::round(number * 100.0) / 100.0;
    // Under 2^53 every whole number is exact, and minus zero becomes zero.
    if (rounded - libm::trunc(rounded)).abs() < f64::EPSILON
        && rounded.abs() < 9_007_199_254_740_992.0
    {
        #[expect(clippy::cast_possible_truncation, reason = "whole and under 2^53")]
        return json!(rounded as i64);
    }
    json!(rounded)
}

/// Money to the cent.
pub(super) fn amount(number: f64) -> Value {
    hundredths(number)
}

/// Hours to the hundredth.
fn hours(number: f64) -> Value {
    hundredths(number)
}

/// Exact money, or `null`.
pub(super) fn amount_or_null(money: Option<Money>) -> Value {
    money.map_or(Value::Null, |money| {
        amount(words::units(money.to_the_cent()))
    })
}

fn spread(spread: &Spread, number: impl Fn(f64) -> Value) -> Map<String, Value> {
    [
        ("mean", spread.mean),
        ("sd", spread.sd),
        ("p10", spread.p10),
        ("p20", spread.p20),
        ("p30", spread.p30),
        ("p50", spread.p50),
        ("p80", spread.p80),
        ("p90", spread.p90),
    ]
    .into_iter()
    .map(|(field, value)| (field.to_owned(), number(value)))
    .collect()
}

/// An unsure amount, with the trace it opens.
pub(super) fn spread_of_money(figure: &Spread, trace_id: Value) -> Value {
    let mut fields = spread(figure, amount);
    fields.insert("trace_id".to_owned(), trace_id);
    Value::Object(fields)
}

/// Unsure hours, with the trace they open.
pub(super) fn spread_of_hours(figure: &Spread, trace_id: Value) -> Value {
    let mut fields = spread(figure, hours);
    fields.insert("trace_id".to_owned(), trace_id);
    Value::Object(fields)
}

/// The trace a figure without an id of its own opens: a node of that name, else the rung of that name, else none.
pub(super) fn trace_of(appraisal: &Appraisal, id: &str) -> Value {
    let spaced = id.replace('_', "-");
    let names = [id, spaced.as_str()];
    if let Some(node) = names
        .iter()
        .find(|name| appraisal.trace.nodes.contains_key(**name))
    {
        return json!(node);
    }
    appraisal
        .ladder
        .iter()
        .find(|rung| names.contains(&rung.id.as_str()))
        .map_or(Value::Null, |rung| json!(rung.trace_id))
}

/// Traces of the figures that are plain numbers.
pub(super) fn trace_ids(appraisal: &Appraisal) -> Value {
    let mut ids: Map<String, Value> = [
        "fees",
        "allowance",
        "worth",
        "wear",
        "fit_out",
        "floor",
        "pace",
        "care",
        "openness",
        "all_you_pay",
        "you_are_up",
    ]
    .into_iter()
    .map(|id| (id.to_owned(), trace_of(appraisal, id)))
    .collect();
    for field in [
        "limit_price",
        "limit_lines",
        "limit_blind",
        "limit_if_nothing_new",
        "verdict",
    ] {
        ids.insert(field.to_owned(), json!(appraisal.limit.trace_id));
    }
    Value::Object(ids)
}

/// One fault.
pub(super) fn fault(fault: &FaultFigure) -> Value {
    json!({
        "id": fault.id,
        "name": fault.name,
        "system": fault.system,
        "chance": fault.chance,
        "ordinary": fault.ordinary,
        "standing": fault.standing,
        "because_of": fault.because_of,
        "reasons": fault.reasons,
        "needed": fault.needed,
        "route": fault.route,
        "severities": fault.severities,
        "cash": spread(&fault.cash, amount),
        "hours": spread(&fault.hours, hours),
        "takes": amount(fault.takes),
        "ways": fault.ways.iter().map(way).collect::<Vec<_>>(),
        "cautions": fault.cautions,
        "trace_id": fault.trace_id,
    })
}

fn way(way: &Way) -> Value {
    let [cash_low, cash_likely, cash_high] = way.cash.map(amount);
    let [hours_low, hours_likely, hours_high] = way.hours.map(hours);
    json!({
        "repair": way.repair,
        "name": way.name,
        "route": way.route,
        "why": way.why,
        "cash": { "low": cash_low, "likely": cash_likely, "high": cash_high },
        "hours": { "low": hours_low, "likely": hours_likely, "high": hours_high },
        "chosen": way.chosen,
        "source": way.source,
    })
}

/// Totals of the work.
pub(super) fn repair(repair: &RepairFigures) -> Value {
    let trace_id = json!(repair.trace_id);
    json!({
        "cash": spread_of_money(&repair.cash, trace_id.clone()),
        "hours": spread_of_hours(&repair.hours, trace_id.clone()),
        "garage_hours": spread_of_hours(&repair.garage_hours, trace_id.clone()),
        "shared_labour_saved": amount(repair.shared_labour_saved),
        "tools": amount(repair.tools),
        "trace_id": trace_id,
    })
}

/// What was not seen.
pub(super) fn unseen(unseen: &UnseenFigures) -> Value {
    let trace_id = json!(unseen.trace_id);
    json!({
        "cash": spread_of_money(&unseen.cash, trace_id.clone()),
        "hours": spread_of_hours(&unseen.hours, trace_id.clone()),
        "checks_not_seen": unseen.checks_not_seen,
        "faults": unseen.faults,
        "trace_id": trace_id,
    })
}

/// One rung, its amount exact to the cent.
pub(super) fn rung(rung: &Rung) -> Value {
    json!({
        "id": rung.id,
        "label": rung.label,
        "cash": amount_or_null(Some(rung.cash)),
        "kind": rung.kind,
        "trace_id": rung.trace_id,
    })
}

/// What the car brings without being put right.
pub(super) fn floor(appraisal: &Appraisal) -> Value {
    let floor = &appraisal.floor;
    json!({
        "scrap": amount(floor.scrap),
        "parts": amount(floor.parts),
        "as_is": amount(floor.as_is),
        "best": amount(floor.best),
        "trace_id": trace_of(appraisal, "floor"),
    })
}

/// The limit and its lines.
pub(super) fn limit(put: &mut impl FnMut(&str, Value), limit: &LimitFigures) {
    let line = |line: Option<f64>| line.map_or(Value::Null, amount);
    put("limit_price", amount_or_null(limit.price));
    put("limit_low", amount_or_null(limit.low));
    put("limit_high", amount_or_null(limit.high));
    put(
        "limit_lines",
        json!({
            "value": line(limit.lines.value),
            "wallet": line(limit.lines.wallet),
            "rules_hopeful": line(limit.lines.rules_hopeful),
            "rules_cautious": line(limit.lines.rules_cautious),
            "trace_id": limit.trace_id,
        }),
    );
    put("limit_binds", json!(limit.binds));
    put("limit_blind", amount_or_null(limit.blind));
    put("limit_if_nothing_new", amount_or_null(limit.if_nothing_new));
    put("withheld_because", json!(limit.withheld_because));
    put("verdict", json!(limit.verdict));
    put("verdict_words", json!(limit.words));
    put("donor_chance", json!(limit.donor_chance));
}

/// The plan of offers.
pub(super) fn offer(offer: &Offer) -> Value {
    let steps: Vec<Value> = offer
        .steps
        .iter()
        .map(|step| amount_or_null(Some(*step)))
        .collect();
    let would_take: Vec<Value> = offer
        .would_take
        .iter()
        .map(|(price, chance)| json!({ "price": amount_or_null(Some(*price)), "chance": chance }))
        .collect();
    let midpoint = offer
        .midpoint
        .as_ref()
        .map(|(price, answer)| json!({ "price": amount_or_null(Some(*price)), "answer": answer }));
    json!({
        "kind": offer.kind,
        "open": amount_or_null(offer.open),
        "steps": steps,
        "settle": amount_or_null(offer.settle),
        "limit": amount_or_null(offer.limit),
        "take_it_at": amount_or_null(offer.take_it_at),
        "chance_of_deal": offer.chance_of_deal,
        "midpoint": midpoint,
        "would_take": would_take,
        "belief": {
            "from": amount(offer.belief_from),
            "to": amount(offer.belief_to),
            "density": offer.belief,
        },
        "reply": offer.reply.as_ref().map(|reply| json!({
            "theirs": amount_or_null(Some(reply.theirs)),
            "what": reply.what,
            "say": amount_or_null(reply.say),
            "because": reply.because,
        })),
        "cues": offer.cues.iter().map(|cue| json!({
            "id": cue.id,
            "words": cue.words,
            "moves": cue.moves.map_or(Value::Null, amount),
            "mean": amount(cue.mean),
            "trace_id": format!("cue/{}", cue.id),
        })).collect::<Vec<_>>(),
        "doubts": offer.doubts,
        "words": offer.words,
        "trace_id": offer.trace_id,
    })
}

/// The three chances.
pub(super) fn chances(chances: &Chances) -> Value {
    json!({
        "before": chances.before,
        "after": chances.after,
        "offers": chances.offers,
        "words": chances.words,
        "unknown_because": chances.unknown_because,
        "laps_share": chances.laps_share,
        "trace_id": chances.trace_id,
    })
}

/// Straight-line pace, or `null`.
pub(super) fn pace(appraisal: &Appraisal) -> Value {
    appraisal.pace.map_or(Value::Null, |pace| {
        json!({
            "zero_to_60_mph_s": hundredths(pace.zero_to_60_mph_s),
            "quarter_mile_s": hundredths(pace.quarter_mile_s),
            "quarter_mile_mph": hundredths(pace.quarter_mile_mph),
            "band_s": hundredths(pace.band_s),
            "trace_id": trace_of(appraisal, "pace"),
        })
    })
}

/// Why there is no pace; `null` where there is one.
pub(super) fn pace_missing(appraisal: &Appraisal) -> Value {
    if appraisal.pace.is_some() {
        return Value::Null;
    }
    let reasons = &appraisal.chances.unknown_because;
    if reasons.is_empty() {
        return json!("power or mass of the car is not known");
    }
    json!(reasons.join("; "))
}

/// One stop.
pub(super) fn stop(stop: &Stop) -> Value {
    json!({
        "id": stop.id,
        "sentence": stop.sentence,
        "waived": stop.waived,
        "trace_id": stop.trace_id,
    })
}

/// What stands behind the figures, by id.
pub(super) fn trace(trace: &Trace) -> Value {
    trace
        .nodes
        .iter()
        .map(|(id, node)| {
            let fields = json!({
                "label": node.label,
                "value": node.value,
                "amount": node.amount.map_or(Value::Null, |amount| json!(amount)),
                "sentence": node.sentence,
                "kind": node.kind,
                "parts": node.parts,
                "source": node.source,
            });
            (id.clone(), fields)
        })
        .collect::<Map<String, Value>>()
        .into()
}
