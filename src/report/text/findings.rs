//! Findings by law and arithmetic: readings against their limits, papers, codes.

use super::page::Page;
use crate::report::{WeighedCar, papers as paper_words, readings as words};

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

/// Papers and plates, and what cannot all be true.
pub(super) fn papers(page: &mut Page, car: &WeighedCar<'_>) {
    let Some(found) = car.findings.filter(|found| !found.papers.is_empty()) else {
        return;
    };
    page.heading("Papers");
    for (label, words) in paper_words::facts(&found.papers) {
        page.labelled(&label, &words);
    }
    for clash in &found.papers.contradictions {
        page.item(&format!("Contradiction: {}", clash.sentence));
    }
    page.blank();
}

/// Dangers that the user waived in words.
pub(super) fn waived(page: &mut Page, car: &WeighedCar<'_>) {
    let waived = car.findings.map_or(&[][..], |found| &found.waived);
    for one in waived {
        page.paragraph(&format!(
            "Waived, in your words “{}”: {}.",
            one.words, one.sentence
        ));
    }
    if !waived.is_empty() {
        page.blank();
    }
}

/// Codes, and what "no codes" is worth.
pub(super) fn scan(page: &mut Page, car: &WeighedCar<'_>) {
    let Some(found) = car.findings.map(|found| &found.scan) else {
        return;
    };
    if found.codes.is_empty() && found.memory.words().is_empty() {
        return;
    }
    page.heading("Codes");
    if !found.memory.words().is_empty() {
        page.labelled("memory", found.memory.words());
    }
    for code in &found.codes {
        page.item(&format!(
            "{}, {}: {}",
            code.code,
            crate::report::words::code_state(code.state),
            code.words
        ));
    }
    page.blank();
}
