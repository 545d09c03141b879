//! The buffer that is drawn on, with what a tap on its cells means and the letters that stand before figures.

use crate::tui::app::Target;
use crate::tui::overlay::tags::Tags;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use std::ops::{Deref, DerefMut};

/// What a tap on an area means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// Cells.
    pub area: Rect,
    /// Meaning.
    pub target: Target,
}

/// What came of drawing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Drawn {
    /// Place of the text cursor, if a field is in hand.
    pub cursor: Option<Position>,
    /// What a tap means, the topmost last.
    pub hits: Vec<Hit>,
}

impl Drawn {
    /// The meaning of a tap on a cell.
    #[must_use]
    pub fn at(&self, column: u16, row: u16) -> Option<Target> {
        let place = Position::new(column, row);
        let hit = self
            .hits
            .iter()
            .rev()
            .find(|hit| hit.area.contains(place))?;
        Some(hit.target.clone())
    }
}

/// A buffer, hits and letters.
pub struct Sheet<'a> {
    buffer: &'a mut Buffer,
    tags: Option<&'a Tags>,
    /// What a tap means.
    pub hits: Vec<Hit>,
}

impl<'a> Sheet<'a> {
    pub fn new(buffer: &'a mut Buffer, tags: Option<&'a Tags>) -> Self {
        Self {
            buffer,
            tags,
            hits: Vec::new(),
        }
    }

    /// A tap on the area means this.
    pub fn hit(&mut self, area: Rect, target: Target) {
        self.hits.push(Hit { area, target });
    }

    /// The letter before the figure of a row.
    pub fn letter(&self, part: usize, row: usize) -> Option<char> {
        self.tags?.letter(part, row)
    }
}

impl Deref for Sheet<'_> {
    type Target = Buffer;
    fn deref(&self) -> &Buffer {
        self.buffer
    }
}

impl DerefMut for Sheet<'_> {
    fn deref_mut(&mut self) -> &mut Buffer {
        self.buffer
    }
}
