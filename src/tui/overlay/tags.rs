//! A letter before every figure that has a why; the letter opens it.

use crate::tui::app::App;
use crate::tui::screens;

/// A figure: part, row, trace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tag {
    /// Part of the screen.
    pub part: usize,
    /// Row of the part.
    pub row: usize,
    /// Trace.
    pub id: String,
}

/// The figures of a screen, 26 with letters at a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tags {
    /// Figures, the part in hand first.
    pub list: Vec<Tag>,
    /// First one that has a letter.
    pub from: usize,
}

/// Letters at a time.
const LETTERS: usize = 26;

impl Tags {
    /// Every figure of the screen in sight; none: no tags.
    #[must_use]
    pub fn here(app: &mut App) -> Option<Self> {
        let before = screens::cursor(app);
        let parts = screens::parts(app);
        let others = (0..parts.len()).filter(|part| *part != before.part);
        let order: Vec<usize> = std::iter::once(before.part).chain(others).collect();
        let mut list = Vec::new();
        for part in order {
            for row in 0..parts.get(part).map_or(0, |part| part.rows) {
                let cursor = app.views.cursor_mut(app.screen);
                cursor.part = part;
                cursor.set_row(row);
                if let Some(id) = (screens::of(app.screen).why)(app) {
                    list.push(Tag { part, row, id });
                }
            }
            *app.views.cursor_mut(app.screen) = before;
        }
        (!list.is_empty()).then_some(Self { list, from: 0 })
    }

    /// The letter of a row.
    #[must_use]
    pub fn letter(&self, part: usize, row: usize) -> Option<char> {
        let at = self
            .list
            .iter()
            .skip(self.from)
            .take(LETTERS)
            .position(|tag| (tag.part, tag.row) == (part, row))?;
        char::from_u32(u32::from('a') + u32::try_from(at).ok()?)
    }

    /// The figure of a letter.
    #[must_use]
    pub fn figure(&self, letter: char) -> Option<&Tag> {
        let at = u32::from(letter).checked_sub(u32::from('a'))?;
        let at = usize::try_from(at).ok().filter(|at| *at < LETTERS)?;
        self.list.get(self.from + at)
    }

    /// The next 26, round the end.
    pub fn turn(&mut self) {
        self.from += LETTERS;
        if self.from >= self.list.len() {
            self.from = 0;
        }
    }
}
