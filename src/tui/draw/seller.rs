//! The seller as read: where the belief over their lowest price starts, and what each cue and answer did to it.

use super::Look;
use super::line::{Paint, Rows};
use crate::tui::app::App;
use crate::tui::say;
use crate::tui::theme::Meaning;

/// Cells of a figure with the way it leans.
const FIGURE: usize = 8;
/// Cells of the words for the way.
const LEANS: usize = 11;

pub fn rows(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(figures) = app.data.figures() else {
        return rows;
    };
    let cues = &figures.offer.cues;
    if cues.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "Not read: what they ask is not known. g s holds it.",
            width,
        );
    }
    for (at, cue) in cues.iter().enumerate() {
        let (figure, leans) = match cue.moves {
            None => (say::about(cue.mean), ""),
            Some(moves) if moves <= -0.5 => (say::moved(moves), "  leans low"),
            Some(moves) if moves >= 0.5 => (say::moved(moves), " leans high"),
            Some(_) => ("0".to_owned(), " as it was"),
        };
        let leans = if width >= 40 { leans } else { "" };
        let tail = FIGURE + if leans.is_empty() { 0 } else { LEANS };
        let room = width.saturating_sub(tail);
        let mut lines = say::wrap(&cue.words, room).into_iter();
        let first = lines.next().unwrap_or_default();
        let paint = Paint::new(look)
            .left(Meaning::Plain, &first, room)
            .right(Meaning::Theirs, &figure, FIGURE)
            .put(Meaning::Quiet, leans);
        rows.row(at, paint);
        for line in lines {
            rows.row(at, Paint::new(look).put(Meaning::Plain, line));
        }
    }
    if let Some(last) = cues.last() {
        let words = format!(
            "Their lowest price is about {} now, as we believe it.",
            say::about(last.mean)
        );
        rows.words(look, Meaning::Plain, &words, width);
    }
    rows
}
