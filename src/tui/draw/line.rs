//! A line put together of pieces with a meaning each, and lists of such lines.

use super::Look;
use crate::tui::app::Target;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout;
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

/// A line under construction.
#[derive(Debug, Clone)]
pub struct Paint<'a> {
    look: &'a Look,
    spans: Vec<Span<'static>>,
    cells: usize,
}

impl<'a> Paint<'a> {
    pub fn new(look: &'a Look) -> Self {
        Self {
            look,
            spans: Vec::new(),
            cells: 0,
        }
    }

    /// Adds a piece as it is.
    pub fn put(mut self, meaning: Meaning, text: impl Into<String>) -> Self {
        let text = text.into();
        self.cells += say::width(&text);
        self.spans
            .push(Span::styled(text, self.look.theme.style(meaning)));
        self
    }

    /// Adds words cut or padded to a width.
    pub fn left(self, meaning: Meaning, text: &str, cells: usize) -> Self {
        self.put(meaning, say::left(text, cells))
    }

    /// Adds a figure aligned on its right in a width; the blanks before it carry no ink.
    pub fn right(self, meaning: Meaning, text: &str, cells: usize) -> Self {
        let shown = say::right(text, cells);
        let bare = shown.trim_start().to_owned();
        let blanks = say::width(&shown) - say::width(&bare);
        self.gap(blanks).put(meaning, bare)
    }

    /// Adds blanks.
    pub fn gap(self, cells: usize) -> Self {
        if cells == 0 {
            return self;
        }
        self.put(Meaning::Plain, " ".repeat(cells))
    }

    /// Adds blanks up to a column.
    pub fn to(self, column: usize) -> Self {
        let cells = column.saturating_sub(self.cells);
        self.gap(cells)
    }

    /// Cells so far.
    pub fn cells(&self) -> usize {
        self.cells
    }

    /// The finished line.
    pub fn line(self) -> Line<'static> {
        Line::from(self.spans)
    }

    /// Draws it.
    pub fn draw(self, buffer: &mut Sheet<'_>, x: u16, y: u16, width: u16) {
        put_line(buffer, x, y, width, &self.line());
    }
}

/// Draws a line, clipped to a width and to the buffer.
pub fn put_line(buffer: &mut Sheet<'_>, x: u16, y: u16, width: u16, line: &Line<'_>) {
    let area = buffer.area;
    if y < area.y || y >= area.bottom() || x < area.x || x >= area.right() {
        return;
    }
    buffer.set_line(x, y, line, width.min(area.right() - x));
}

/// One line of a list; the row it belongs to, if it can be stood on.
#[derive(Debug, Clone)]
pub struct Row {
    pub line: Line<'static>,
    pub row: Option<usize>,
}

/// A list of lines.
#[derive(Debug, Clone, Default)]
pub struct Rows(pub Vec<Row>, pub Option<usize>);

impl Rows {
    /// The rows of a part: they can be tapped, and their figures have letters.
    pub fn of(mut self, part: usize) -> Self {
        self.1 = Some(part);
        self
    }

    pub fn text(&mut self, paint: Paint<'_>) {
        self.0.push(Row {
            line: paint.line(),
            row: None,
        });
    }

    pub fn row(&mut self, row: usize, paint: Paint<'_>) {
        self.0.push(Row {
            line: paint.line(),
            row: Some(row),
        });
    }

    /// Wrapped words.
    pub fn words(&mut self, look: &Look, meaning: Meaning, text: &str, cells: usize) {
        for line in say::wrap(text, cells) {
            self.text(Paint::new(look).put(meaning, line));
        }
    }

    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Draws the list so that the row in hand is in sight; the row in hand has its mark, and is reversed if its part is in hand.
    pub fn draw(
        &self,
        look: &Look,
        area: Rect,
        buffer: &mut Sheet<'_>,
        in_hand: Option<usize>,
        active: bool,
    ) {
        if area.is_empty() {
            return;
        }
        let height = usize::from(area.height);
        let first = in_hand.and_then(|row| self.0.iter().position(|line| line.row == Some(row)));
        let stands = self.0.iter().any(|line| line.row.is_some());
        // A part without rows scrolls by lines.
        let line = first.unwrap_or(if stands { 0 } else { in_hand.unwrap_or(0) });
        let top = if stands {
            layout::scroll_top(line, height, self.len())
        } else {
            line.min(self.len().saturating_sub(height))
        };
        for (at, row) in self.0.iter().skip(top).take(height).enumerate() {
            let y = area.y + u16::try_from(at).unwrap_or(0);
            let here = active && row.row.is_some() && row.row == in_hand;
            let marked = here && first == Some(top + at);
            put_line(buffer, area.x + 1, y, area.width - 1, &row.line);
            if here {
                let band = Rect {
                    y,
                    height: 1,
                    ..area
                };
                buffer.set_style(band, look.theme.style(Meaning::InHand));
            }
            if let (Some(part), Some(number)) = (self.1, row.row) {
                let band = Rect {
                    y,
                    height: 1,
                    ..area
                };
                buffer.hit(band, Target::Row { part, row: number });
                let first_line =
                    at == 0 || self.0.get(top + at - 1).and_then(|row| row.row) != row.row;
                if let Some(letter) = buffer.letter(part, number).filter(|_| first_line) {
                    let tag = Paint::new(look).put(Meaning::Heading, letter.to_string());
                    put_line(buffer, area.x, y, 1, &tag.line());
                    continue;
                }
            }
            if marked {
                let mark = Paint::new(look).put(Meaning::InHand, "▸").line();
                put_line(buffer, area.x, y, 1, &mark);
            }
        }
    }
}
