//! Rows found in the tables, as text.

use super::{Style, page::Page};
use crate::report::look_up::{Entry, details};
use crate::trade::Tables;

/// Rows found: each on a line, and everything of the first where `whole` asks for it.
#[must_use]
pub fn look_up(tables: &Tables, found: &[Entry<'_>], whole: bool, style: Style) -> String {
    let mut page = Page::new(style);
    let mut rest = found;
    if let (true, Some((first, others))) = (whole, found.split_first()) {
        page.heading(&format!(
            "{}, {} {}",
            first.name,
            first.kind.word(),
            first.id
        ));
        for (label, words) in details(tables, first.kind, first.id) {
            page.labelled(label, &words);
        }
        if !others.is_empty() {
            page.blank();
            page.heading("Also found");
        }
        rest = others;
    }
    for entry in rest {
        page.item(&format!(
            "{}, {} {}",
            entry.name,
            entry.kind.word(),
            entry.id
        ));
    }
    page.finish()
}
