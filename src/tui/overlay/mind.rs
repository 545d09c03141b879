//! What would change the mind about the car in hand: a few sentences, scrolled and copied.

use super::letter::{room, scrolled};
use crate::report::{mind, words};
use crate::tui::app::{App, Effect};
use crate::tui::copy::Copied;
use crate::tui::keys::Act;
use crate::tui::overlay::Overlay;
use crate::tui::say;
use crate::tui::screens::asked;

/// The sentences; `None` while they are worked out.
#[must_use]
pub fn sentences(app: &App) -> Option<Vec<String>> {
    let record = app.data.record()?;
    let mark = words::currency_mark(&record.currency);
    asked::mind(app).map(|found| mind::lines(found, &mark))
}

/// The lines as shown in so many cells.
#[must_use]
pub fn lines(app: &App, cells: usize) -> Vec<String> {
    let waits = || vec!["It is being worked out.".to_owned()];
    let sentences = sentences(app).unwrap_or_else(waits);
    sentences
        .iter()
        .flat_map(|one| say::wrap(one, cells))
        .collect()
}

/// An act over it.
pub fn perform(app: &mut App, top: usize, act: Act) -> Vec<Effect> {
    if act == Act::Copy {
        app.overlay = Some(Overlay::Mind(top));
        return app.copy();
    }
    let (cells, height) = room(app);
    match scrolled(top, act, lines(app, cells).len(), height) {
        Some(top) => app.open(Overlay::Mind(top)),
        None => Vec::new(),
    }
}

/// The sentences for the clipboard or a file.
#[must_use]
pub fn copied(app: &App, slug: &str) -> Option<Copied> {
    let text: String = sentences(app)?
        .iter()
        .map(|one| format!("{one}\n"))
        .collect();
    Some(Copied {
        name: format!("{slug}-mind"),
        text,
    })
}
