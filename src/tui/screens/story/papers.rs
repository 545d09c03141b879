//! The rows of the papers: what follows from them, what cannot all be true, and the receipts.

use crate::engine::papers::papers;
use crate::report;
use crate::tui::app::App;

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PaperRow {
    /// A fact: label and words.
    Fact(String, String),
    /// A contradiction.
    Clash(String),
    /// A receipt, by its place.
    Receipt(usize, String),
}

/// Every row; contradictions first, as they are what to ask about.
#[must_use]
pub fn rows(app: &App) -> Vec<PaperRow> {
    let Some(car) = app.data.record() else {
        return Vec::new();
    };
    let found = papers(car, &app.data.tables, app.data.now.date());
    let mut rows: Vec<PaperRow> = found
        .contradictions
        .iter()
        .map(|clash| PaperRow::Clash(clash.sentence.clone()))
        .collect();
    let facts = report::papers::facts(&found).into_iter();
    rows.extend(facts.map(|(label, words)| PaperRow::Fact(label, words)));
    rows.extend(car.papers.receipts.iter().enumerate().map(|(at, receipt)| {
        let day = receipt.on.map_or_else(String::new, |on| format!("{on}"));
        let miles = receipt.miles.map_or_else(String::new, |miles| {
            format!("{} mi", crate::tui::say::whole(miles))
        });
        let parts = [receipt.what.clone(), day, miles];
        let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        PaperRow::Receipt(at, parts.join(", "))
    }));
    rows
}

/// Place of the receipt in a row.
#[must_use]
pub fn receipt_at(app: &App, row: usize) -> Option<usize> {
    match rows(app).get(row)? {
        PaperRow::Receipt(at, _) => Some(*at),
        _ => None,
    }
}

/// In one line, for the heading.
#[must_use]
pub fn summary(app: &App) -> String {
    let rows = rows(app);
    let clashes = rows
        .iter()
        .filter(|row| matches!(row, PaperRow::Clash(_)))
        .count();
    match (clashes, rows.is_empty()) {
        (0, true) => "none on file".to_owned(),
        (0, false) => "nothing contradicts".to_owned(),
        (1, _) => "1 contradiction".to_owned(),
        (many, _) => format!("{many} contradictions"),
    }
}
