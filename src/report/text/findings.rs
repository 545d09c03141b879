//! Findings by law and arithmetic: readings against their limits.

use super::page::Page;
use crate::report::{WeighedCar, readings as words};

/// What was measured, the limit it was held against, and its source.
pub(super) fn readings(page: &mut Page, car: &WeighedCar<'_>) {
    let Some(found) = car.findings.filter(|found| !found.readings.is_empty()) else {
        return;
    };
    page.heading("Measured, against limits");
    for one in &found.readings {
        let numbers: Vec<String> = one.verdict.measured.iter().map(words::measured).collect();
        page.labelled(
            &one.name,
            &format!("{} ({})", one.level_words, numbers.join("; ")),
        );
        for source in words::sources(&one.verdict) {
            page.item(&source);
        }
    }
    page.blank();
}
