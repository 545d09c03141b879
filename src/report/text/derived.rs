//! Links worked out from the tables, as text.

use super::{Style, page::Page};
use crate::report::words;
use crate::trade::{DerivedLinks, SignRow, Tables};

/// Every sign with its faults: how often each is the cause as the table has it, and how often it shows where it is there.
#[must_use]
pub fn derived(tables: &Tables, links: &DerivedLinks, style: Style) -> String {
    let mut page = Page::new(style);
    for (row, sign) in tables.signs.iter().zip(&links.signs) {
        if sign.faults.is_empty() {
            continue;
        }
        page.blank();
        let scale = sign
            .scale
            .map_or_else(String::new, |scale| format!(", scale {scale:.4}"));
        let leak = 1.0 - sign.leak.first().copied().unwrap_or(1.0);
        page.heading(&format!(
            "{} ({}){scale}, with no fault {}",
            row.name,
            row.id,
            share(leak)
        ));
        for link in &sign.faults {
            let Some(fault) = tables.faults.get(link.fault) else {
                continue;
            };
            let shows = 1.0 - link.levels.first().copied().unwrap_or(1.0);
            page.item(&format!(
                "{}, {}: {}shows in {} where it is there",
                fault.name,
                fault.id,
                weight(row, &fault.id),
                share(shows)
            ));
        }
    }
    page.finish()
}

fn weight(row: &SignRow, fault: &str) -> String {
    let weight = row
        .causes
        .as_ref()
        .and_then(|causes| causes.weights.get(fault));
    weight.map_or_else(String::new, |weight| {
        format!("the cause in {}, ", words::percent(*weight))
    })
}

/// Small shares matter here: a tenth of a percent.
fn share(chance: f64) -> String {
    format!("{:.1}%", chance.clamp(0.0, 1.0) * 100.0)
}
