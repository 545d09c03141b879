//! Cars side by side in words: what would swap their order, and what their order is by cheap, reliable and fast.

use super::words::{count, list, percent, whole};
use crate::engine::preference::{Corner, Flip, Preference};
use crate::engine::triangle::Shares;
use crate::engine::{Comparison, SwapCheck, SwapOutcome};

/// Answers rarer than this are not told.
const TOLD: f64 = 0.005;

/// A car's name, or its letter, by place.
pub type Name<'a> = &'a dyn Fn(usize) -> String;

fn of_100(share: f64) -> String {
    whole(share * 100.0)
}

/// The check that would swap the order, with the order after each answer.
#[must_use]
pub fn swap_check(check: &SwapCheck, name: Name<'_>) -> Vec<String> {
    let minutes = match check.minutes {
        short if short < 1.0 => "under a minute".to_owned(),
        long => format!("{} min", whole(long)),
    };
    let mut out = vec![format!(
        "{}: {}, {minutes}, may swap the order.",
        name(check.car),
        check.name
    )];
    let told = check.outcomes.iter().filter(|one| one.chance >= TOLD);
    out.extend(told.map(|one| outcome(one, name)));
    out
}

fn outcome(one: &SwapOutcome, name: Name<'_>) -> String {
    let first = match one.best {
        Some(car) => format!(
            "{} first, in {} of 100",
            name(car),
            of_100(one.first_in.get(car).copied().unwrap_or(0.0))
        ),
        None => format!("none of these, in {} of 100", of_100(one.none_of_these)),
    };
    format!("{} ({}): {first}.", one.words, percent(one.chance))
}

/// Weights in words: `cheap 33, reliable 33, fast 33 of 100`.
#[must_use]
pub fn weights(weights: Shares, corners: &[Corner]) -> String {
    let of = |corner: &Corner| format!("{} {}", corner.word(), of_100(weight_of(weights, *corner)));
    let parts: Vec<String> = corners.iter().map(of).collect();
    format!("{} of 100", parts.join(", "))
}

fn weight_of(weights: Shares, corner: Corner) -> f64 {
    match corner {
        Corner::Cheap => weights.cheap,
        Corner::Reliable => weights.reliable,
        Corner::Fast => weights.fast,
    }
}

/// The order by these weights, how sure it is over all weights, and the weight that would swap it.
#[must_use]
pub fn preference(preference: &Preference, name: Name<'_>) -> Vec<String> {
    let mut out = Vec::new();
    let Some(first) = preference.order.first() else {
        out.push("No car can be put in order by its chances.".to_owned());
        return out;
    };
    let missing: Vec<String> = (Corner::ALL.into_iter())
        .filter(|corner| !preference.corners.contains(corner))
        .map(|corner| corner.word().to_owned())
        .collect();
    if !missing.is_empty() {
        out.push(format!(
            "Not known for every car, so that it counts for nothing here: {}.",
            list(&missing)
        ));
    }
    if preference.corners.is_empty() {
        return out;
    }
    let order: Vec<String> = preference.order.iter().map(|car| name(*car)).collect();
    out.push(format!(
        "By your weights, {}: {}.",
        weights(preference.weights, &preference.corners),
        order.join(", then ")
    ));
    if order.len() > 1 {
        out.push(match preference.flip {
            Some(flip) => self::flip(&flip, name),
            None => format!(
                "No weight of one corner alone puts another car before {}.",
                name(*first)
            ),
        });
    }
    out
}

/// The weight that would swap the order.
#[must_use]
pub fn flip(flip: &Flip, name: Name<'_>) -> String {
    let (word, now) = (flip.corner.word(), of_100(flip.from));
    let (to, side) = if flip.to > flip.from {
        (whole(libm::ceil(flip.to * 100.0)), "or more")
    } else {
        (whole(libm::floor(flip.to * 100.0)), "or less")
    };
    format!(
        "{} comes first once {word} weighs {to} of 100 {side}, not {now}.",
        name(flip.then)
    )
}

/// How often a car takes each rank over all weights: `1st 42, 2nd 30, 3rd 28 of 100 weightings`.
#[must_use]
pub fn ranks(shares: &[f64]) -> String {
    if shares.is_empty() {
        return String::new();
    }
    let parts: Vec<String> = shares
        .iter()
        .enumerate()
        .map(|(at, share)| format!("{} {}", nth(at), of_100(*share)))
        .collect();
    format!("{} of 100 weightings", parts.join(", "))
}

/// `1st`, `2nd`, `3rd`, `4th`, by place counted from 0.
#[must_use]
pub fn nth(at: usize) -> &'static str {
    ["1st", "2nd", "3rd", "4th"]
        .get(at)
        .copied()
        .unwrap_or("later")
}

/// Which cars are at least as good as which others in all three chances.
#[must_use]
pub fn dominance(comparison: &Comparison, name: Name<'_>) -> Vec<String> {
    let mut out = Vec::new();
    for (car, beaten) in comparison.dominates.iter().enumerate() {
        if beaten.is_empty() {
            continue;
        }
        let others: Vec<String> = beaten.iter().map(|other| name(*other)).collect();
        out.push(format!(
            "{} is at least as good as {} in all three chances, and better in one.",
            name(car),
            list(&others)
        ));
    }
    out
}

/// What the draws were: `same luck for all three cars, 20,000 draws each`.
#[must_use]
pub fn luck(comparison: &Comparison) -> String {
    let draws = comparison
        .cars
        .first()
        .map_or(0, |car| car.appraisal.assumptions.draws);
    format!(
        "same luck for all {}, {} draws each",
        count(comparison.cars.len(), "car", "cars"),
        whole(f64::from(draws))
    )
}
