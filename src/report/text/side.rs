//! Cars side by side, as text.

use super::page::Page;
use super::{Style, sections};
use crate::engine::Comparison;
use crate::engine::preference::Preference;
use crate::report::{side, words};

/// Cars side by side; `marks` of their currency in the order of the cars, `preference` by the weights in force.
#[must_use]
pub fn compare(
    comparison: &Comparison,
    marks: &[String],
    preference: &Preference,
    style: Style,
) -> String {
    let mut page = Page::new(style);
    page.title("Side by side");
    whole(&mut page, comparison, preference);
    for at in 0..comparison.cars.len() {
        page.blank();
        let mark = marks.get(at).map_or("$", String::as_str);
        one(&mut page, comparison, preference, at, mark);
    }
    page.finish()
}

fn name(comparison: &Comparison, at: usize) -> String {
    let car = comparison.cars.get(at);
    car.map_or_else(|| "?".to_owned(), |car| car.name.clone())
}

/// What is to be said of all of them.
pub(super) fn whole(page: &mut Page, comparison: &Comparison, preference: &Preference) {
    let name = |at: usize| name(comparison, at);
    for words in &comparison.words {
        page.paragraph(words);
    }
    match comparison.best {
        Some(best) => page.labelled("best of these", &name(best)),
        None => page.labelled("best of these", "none of these: leave them all"),
    }
    page.labelled(
        "none of these",
        &format!(
            "best in {} of draws",
            words::percent(comparison.none_of_these)
        ),
    );
    page.blank();
    page.heading("What would settle it");
    match &comparison.swap {
        Some(check) => {
            for sentence in side::swap_check(check, &name) {
                page.item(&sentence);
            }
        }
        None => page.item("No single check is worth its minutes and would swap the order."),
    }
    for sentence in side::preference(preference, &name) {
        page.item(&sentence);
    }
    for sentence in side::dominance(comparison, &name) {
        page.item(&sentence);
    }
}

fn one(page: &mut Page, comparison: &Comparison, preference: &Preference, at: usize, mark: &str) {
    let Some(car) = comparison.cars.get(at) else {
        return;
    };
    page.heading(&car.name);
    sections::short_figures(page, &car.appraisal, mark);
    page.labelled("stands here at", car.stands_at.words());
    if let Some(first) = comparison.first_in.get(at) {
        page.labelled("first in", &format!("{} of draws", words::percent(*first)));
    }
    for (other, share) in comparison.wins.get(at).into_iter().flatten().enumerate() {
        if other != at {
            let beaten = format!("{} in {}", name(comparison, other), words::percent(*share));
            page.labelled("beats", &beaten);
        }
    }
    if let Some(regret) = comparison.regret.get(at) {
        let loss = format!(
            "{} on average, against the best of each draw",
            words::money(*regret, mark)
        );
        page.labelled("regret", &loss);
    }
    if let Some(preferred) = preference.cars.get(at) {
        page.labelled("over all weights", &side::ranks(&preferred.ranks));
        if let Some(center) = preferred.central {
            page.labelled(
                "first for one who has",
                &side::weights(center, &preference.corners),
            );
        }
    }
}
