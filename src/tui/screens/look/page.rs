//! The page of one row: what the tables say of it, the figures that can be changed, the rows it speaks of.

use super::{RowId, own_of, row};
use crate::report::look_up::{Link, details, links};
use crate::report::words;
use crate::trade::own::figures;
use crate::trade::{FigureKind, OwnFigure};
use crate::tui::app::App;
use serde_json::Value;

/// One row of a page.
#[derive(Debug, Clone, PartialEq)]
pub enum PageRow {
    /// Label and words.
    Words(&'static str, String),
    /// A figure that can be changed.
    Figure(OwnFigure),
    /// Another row.
    Link(Link),
}

/// The rows of the page that is open.
#[must_use]
pub fn page(app: &App) -> Vec<PageRow> {
    let Some((kind, id)): Option<RowId> = row(app) else {
        return Vec::new();
    };
    let tables = &app.data.tables;
    let told = details(tables, kind, &id);
    let mut out: Vec<PageRow> = told
        .into_iter()
        .map(|(label, words)| PageRow::Words(label, words))
        .collect();
    out.extend(
        figures(tables, kind.table(), &id)
            .into_iter()
            .map(PageRow::Figure),
    );
    out.extend(links(tables, kind, &id).into_iter().map(PageRow::Link));
    out
}

/// A value as it is shown.
#[must_use]
pub fn value_words(kind: FigureKind, value: &Value) -> String {
    let three = || -> Option<[f64; 3]> { serde_json::from_value(value.clone()).ok() };
    let plain = |number: f64| {
        let text = format!("{number:.2}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    let spread = |unit: &str| {
        three().map(|[low, likely, high]| {
            format!("{}{unit} ({}–{})", plain(likely), plain(low), plain(high))
        })
    };
    let told = match kind {
        FigureKind::Share => value.as_f64().map(|share| {
            let percent = format!("{:.2}", share * 100.0);
            format!("{}%", percent.trim_end_matches('0').trim_end_matches('.'))
        }),
        FigureKind::Money => three().map(|[low, likely, high]| {
            let range = words::money_range(low, high, "");
            format!("{} ({range})", words::whole(likely))
        }),
        FigureKind::Hours => spread(" h"),
        FigureKind::Number | FigureKind::Whole => value.as_f64().map(plain),
    };
    told.unwrap_or_else(|| value.to_string())
}

/// A figure with what is known of it: `4.5%`, and whose it is where it is the user's own.
#[must_use]
pub fn figure_words(app: &App, figure: &OwnFigure) -> String {
    let shown = value_words(figure.kind, &figure.value);
    let own = row(app).and_then(|(kind, id)| own_of(app, kind, &id, figure).cloned());
    match own {
        Some(own) => format!("{shown}, yours: “{}”", own.reason),
        None => shown,
    }
}
