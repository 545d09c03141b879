//! Cars side by side, as JSON.

use super::figures::amount;
use super::{SCHEMA, weighed};
use crate::car::CarRecord;
use crate::engine::preference::Preference;
use crate::engine::triangle::Shares;
use crate::engine::{Comparison, SwapCheck};
use serde_json::{Value, json};

/// Cars side by side; `records` in the order of the comparison's cars. `preference` is the order by the weights in force.
#[must_use]
pub fn compare(comparison: &Comparison, records: &[&CarRecord], preference: &Preference) -> Value {
    let cars: Vec<Value> = comparison
        .cars
        .iter()
        .enumerate()
        .map(|(at, car)| {
            let record = records.get(at).copied();
            weighed(&car.slug, &car.name, record, &car.appraisal)
        })
        .collect();
    let slug = |at: &usize| comparison.cars.get(*at).map(|car| car.slug.clone());
    let dominates: Vec<Vec<String>> = comparison
        .dominates
        .iter()
        .map(|beaten| beaten.iter().filter_map(slug).collect())
        .collect();
    let stands_at: Vec<Value> = (comparison.cars.iter())
        .map(|car| json!(car.stands_at))
        .collect();
    json!({
        "schema": SCHEMA,
        "cars": cars,
        "stands_at": stands_at,
        "wins": comparison.wins,
        "first_in": comparison.first_in,
        "none_of_these": comparison.none_of_these,
        "regret": comparison.regret.iter().map(|loss| amount(*loss)).collect::<Vec<_>>(),
        "best": comparison.best.as_ref().and_then(slug).unwrap_or_else(|| "none".to_owned()),
        "dominates": dominates,
        "swap": swap(comparison, preference),
        "preference": preferred(comparison, preference),
        "words": comparison.words,
    })
}

/// The check and the weight that would swap the order; `null` where neither does.
fn swap(comparison: &Comparison, preference: &Preference) -> Value {
    let slug = |at: usize| comparison.cars.get(at).map(|car| car.slug.clone());
    let weight = preference.flip.map(|flip| {
        json!({
            "corner": flip.corner,
            "from": flip.from,
            "to": flip.to,
            "first": slug(flip.first),
            "then": slug(flip.then),
        })
    });
    match (&comparison.swap, weight) {
        (None, None) => Value::Null,
        (None, Some(weight)) => json!({ "check": null, "weight": weight }),
        (Some(check), weight) => json!({
            "check": check.id,
            "car": slug(check.car),
            "name": check.name,
            "minutes": check.minutes,
            "value": amount(check.value),
            "outcomes": outcomes(check, &slug),
            "weight": weight,
        }),
    }
}

fn outcomes(check: &SwapCheck, slug: &dyn Fn(usize) -> Option<String>) -> Vec<Value> {
    let best = |at: Option<usize>| at.and_then(slug).unwrap_or_else(|| "none".to_owned());
    check
        .outcomes
        .iter()
        .map(|one| {
            json!({
                "level": one.level,
                "words": one.words,
                "chance": one.chance,
                "best": best(one.best),
                "first_in": one.first_in,
                "none_of_these": one.none_of_these,
            })
        })
        .collect()
}

/// Shares in the order spoken; a corner out of play is `null`.
fn shares(shares: Shares, preference: &Preference) -> Value {
    use crate::engine::preference::Corner;
    let part = |corner: Corner, share: f64| {
        let there = preference.corners.contains(&corner);
        there.then_some(share)
    };
    json!({
        "cheap": part(Corner::Cheap, shares.cheap),
        "reliable": part(Corner::Reliable, shares.reliable),
        "fast": part(Corner::Fast, shares.fast),
    })
}

fn preferred(comparison: &Comparison, preference: &Preference) -> Value {
    let slug = |at: &usize| comparison.cars.get(*at).map(|car| car.slug.clone());
    let cars: Vec<Value> = (preference.cars.iter().enumerate())
        .map(|(at, car)| {
            json!({
                "car": slug(&at),
                "score": car.score,
                "ranks": car.ranks,
                "central_weights": car.central.map(|center| shares(center, preference)),
            })
        })
        .collect();
    json!({
        "weights": shares(preference.weights, preference),
        "order": preference.order.iter().filter_map(slug).collect::<Vec<_>>(),
        "cars": cars,
    })
}
