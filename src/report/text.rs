//! Plain linear text for people: 72 columns, no drawing, no color, labels before values; read well aloud.

mod derived;
mod faults;
mod findings;
mod look_up;
mod next;
mod page;
mod sections;

use super::{WeighedCar, words};
use crate::engine::Comparison;
pub use derived::derived;
pub use look_up::look_up;
pub use next::{next, unseen};
use page::Page;

/// How a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// No columns: every figure follows its label.
    pub plain: bool,
    /// Signs in ASCII.
    pub ascii: bool,
}

/// Weighed cars, one after another.
#[must_use]
pub fn weigh(cars: &[WeighedCar<'_>], style: Style) -> String {
    let mut page = Page::new(style);
    for (at, car) in cars.iter().enumerate() {
        if at > 0 {
            page.blank();
            page.blank();
        }
        one_car(&mut page, car);
    }
    page.finish()
}

fn one_car(page: &mut Page, car: &WeighedCar<'_>) {
    sections::title(page, car);
    sections::stops(page, car);
    findings::waived(page, car);
    sections::figures(page, car);
    sections::ladder(page, car);
    faults::section(page, car);
    findings::readings(page, car);
    findings::papers(page, car);
    findings::scan(page, car);
    sections::unseen(page, car);
    sections::chances(page, car);
    sections::cautions(page, car);
    sections::assumptions(page, car);
}

/// Cars side by side.
#[must_use]
pub fn compare(comparison: &Comparison, marks: &[String], style: Style) -> String {
    let mut page = Page::new(style);
    page.title("Side by side");
    for words in &comparison.words {
        page.paragraph(words);
    }
    let name = |at: usize| {
        comparison
            .cars
            .get(at)
            .map_or_else(|| "?".to_owned(), |car| car.name.clone())
    };
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
    if let Some(swap) = &comparison.swap {
        page.labelled("would swap the order", swap);
    }
    for (at, car) in comparison.cars.iter().enumerate() {
        page.blank();
        page.heading(&car.name);
        let mark = marks.get(at).map_or("$", String::as_str);
        sections::short_figures(&mut page, &car.appraisal, mark);
        if let Some(first) = comparison.first_in.get(at) {
            page.labelled("first in", &format!("{} of draws", words::percent(*first)));
        }
        if let Some(row) = comparison.wins.get(at) {
            for (other, share) in row.iter().enumerate().filter(|(other, _)| *other != at) {
                page.labelled(
                    "beats",
                    &format!("{} in {}", name(other), words::percent(*share)),
                );
            }
        }
        if let Some(regret) = comparison.regret.get(at) {
            let loss = format!(
                "{} on average, against the best of each draw",
                words::money(*regret, mark)
            );
            page.labelled("regret", &loss);
        }
        for beaten in comparison.dominates.get(at).into_iter().flatten() {
            let sentence = format!("{}, in all three chances", name(*beaten));
            page.labelled("at least as good as", &sentence);
        }
    }
    page.finish()
}
