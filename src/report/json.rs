//! JSON for scripts. Field names are a promise: additions are welcome, renames are not.
//!
//! Money is a number in the car's currency, to the cent; hours to the hundredth; a chance is a plain number from 0 to 1, as
//! reckoned. What is not known is `null`, with a reason beside it. Same input, same bytes.

mod derived;
mod figures;
mod findings;
mod letter;
mod mind;
mod next;
mod side;

use super::WeighedCar;
use crate::car::CarRecord;
use crate::car::json::value_of;
use crate::engine::Appraisal;
use crate::engine::find_out::Mind;
pub use derived::derived;
use figures::{amount, amount_or_null, spread_of_money, trace_of};
pub use letter::{deed, letter, notice};
pub use next::next;
use serde_json::{Map, Value, json};
pub use side::compare;

/// Format of the JSON.
pub const SCHEMA: u32 = 1;

/// Weighed cars, in the order given.
#[must_use]
pub fn weigh(cars: &[WeighedCar<'_>]) -> Value {
    weigh_with_minds(cars, &[])
}

/// Weighed cars, each with what would change the mind about it, as far as that was reckoned.
#[must_use]
pub fn weigh_with_minds(cars: &[WeighedCar<'_>], minds: &[Mind]) -> Value {
    let cars: Vec<Value> = cars
        .iter()
        .enumerate()
        .map(|(at, car)| {
            let mut one = weighed(car.slug, car.name, Some(car.record), car.appraisal);
            if let (Some(found), Value::Object(fields)) = (car.findings, &mut one) {
                findings::put(fields, found);
            }
            if let (Some(mind), Value::Object(fields)) = (minds.get(at), &mut one) {
                fields.insert("change_my_mind".to_owned(), mind::mind(mind));
            }
            one
        })
        .collect();
    json!({ "schema": SCHEMA, "cars": cars })
}

/// One car as an object, part by part.
fn weighed(slug: &str, name: &str, record: Option<&CarRecord>, appraisal: &Appraisal) -> Value {
    let mut fields = Map::new();
    let mut put = |field: &str, value: Value| {
        fields.insert(field.to_owned(), value);
    };
    put("car", car(slug, name, record));
    put("assumptions", assumptions(appraisal));
    put(
        "faults",
        appraisal.faults.iter().map(figures::fault).collect(),
    );
    put("care", json!(appraisal.care));
    put("openness", json!(appraisal.openness));
    put("repair", figures::repair(&appraisal.repair));
    put("unseen", figures::unseen(&appraisal.unseen));
    put(
        "wear",
        appraisal.wear.as_ref().map_or(Value::Null, |wear| {
            spread_of_money(wear, trace_of(appraisal, "wear"))
        }),
    );
    put(
        "fit_out",
        spread_of_money(&appraisal.fit_out, trace_of(appraisal, "fit_out")),
    );
    put("fees", amount(appraisal.fees));
    put("allowance", amount(appraisal.allowance));
    put(
        "ladder",
        appraisal.ladder.iter().map(figures::rung).collect(),
    );
    put(
        "worth",
        appraisal.worth.as_ref().map_or(Value::Null, |worth| {
            spread_of_money(worth, trace_of(appraisal, "worth"))
        }),
    );
    put("worth_missing", json!(appraisal.worth_missing));
    put("floor", figures::floor(appraisal));
    figures::limit(&mut put, &appraisal.limit);
    put("offer", figures::offer(&appraisal.offer));
    let maybe = |spread: Option<&crate::engine::Spread>, id: &str| {
        spread.map_or(Value::Null, |spread| {
            spread_of_money(spread, trace_of(appraisal, id))
        })
    };
    put(
        "all_you_pay",
        maybe(appraisal.all_you_pay.as_ref(), "all_you_pay"),
    );
    put(
        "you_are_up",
        maybe(appraisal.you_are_up.as_ref(), "you_are_up"),
    );
    put("chances", figures::chances(&appraisal.chances));
    put("pace", figures::pace(appraisal));
    put("pace_missing", figures::pace_missing(appraisal));
    put("stops", appraisal.stops.iter().map(figures::stop).collect());
    put("cautions", json!(appraisal.cautions));
    put("not_in_tables", json!(appraisal.not_in_tables));
    put("trace_ids", figures::trace_ids(appraisal));
    put("trace", figures::trace(&appraisal.trace));
    Value::Object(fields)
}

/// What car it is and what is asked for it.
fn car(slug: &str, name: &str, record: Option<&CarRecord>) -> Value {
    let mut fields = Map::new();
    fields.insert("slug".to_owned(), json!(slug));
    fields.insert("name".to_owned(), json!(name));
    let Some(record) = record else {
        return Value::Object(fields);
    };
    let currency = if record.currency.is_empty() {
        "USD"
    } else {
        &record.currency
    };
    fields.insert("currency".to_owned(), json!(currency));
    fields.insert(
        "particulars".to_owned(),
        value_of(&record.particulars).unwrap_or(Value::Null),
    );
    fields.insert("asking".to_owned(), amount_or_null(record.listing.asking));
    fields.insert("listed_on".to_owned(), json!(record.listing.listed_on));
    fields.insert("bought_at".to_owned(), amount_or_null(record.bought_at));
    fields.insert("bought_on".to_owned(), json!(record.bought_on));
    fields.insert("observations".to_owned(), json!(record.observations.len()));
    Value::Object(fields)
}

fn assumptions(appraisal: &Appraisal) -> Value {
    let stands_on = &appraisal.assumptions;
    json!({
        "date": stands_on.date,
        "buyer": stands_on.buyer,
        "purpose": stands_on.purpose,
        "draws": stands_on.draws,
        "seed": stands_on.seed,
        "tables_as_of": stands_on.tables_as_of,
        "assumed": stands_on.assumed,
    })
}
