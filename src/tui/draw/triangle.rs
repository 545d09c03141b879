//! The triangle in a region: as large as it fits, words at its corners.

use super::Look;
use super::line::Paint;
use crate::tui::draw::sheet::Sheet;
use crate::tui::geometry::triangle::{self, TriangleCar};
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

/// Draws it in the upper left of the region, centered; `false` where there is no room.
pub fn draw(look: &Look, cars: &[TriangleCar], area: Rect, buffer: &mut Sheet<'_>) -> bool {
    let (room, rows) = (usize::from(area.width), usize::from(area.height));
    let fits = |width: &usize| *width <= room && triangle::rows_for(*width) + 2 <= rows;
    let Some(width) = [48, 40, 32, 26, 20, 16].into_iter().find(fits) else {
        return false;
    };
    let drawn = triangle::triangle(cars, width, look.glyphs.is_ascii());
    let indent = (room - width) / 2;
    let line = |at: usize, paint: Paint<'_>, buffer: &mut Sheet<'_>| {
        let y = area.y + u16::try_from(at).unwrap_or(0);
        paint.draw(buffer, area.x, y, area.width);
    };
    let top = "reliable";
    line(
        0,
        Paint::new(look)
            .gap(indent + (width - say::width(top)) / 2)
            .put(Meaning::Quiet, top),
        buffer,
    );
    for (at, row) in drawn.rows.iter().enumerate() {
        let mut paint = Paint::new(look).gap(indent);
        for (column, cell) in row.chars().enumerate() {
            let letter = drawn
                .letters
                .iter()
                .any(|letter| (letter.column, letter.row) == (column, at));
            let meaning = if letter && cell.is_ascii_uppercase() {
                Meaning::Limit
            } else {
                Meaning::Plain
            };
            paint = paint.put(meaning, cell.to_string());
        }
        line(at + 1, paint, buffer);
    }
    let last = Paint::new(look)
        .gap(indent)
        .put(Meaning::Quiet, "cheap")
        .to(indent + width - 4)
        .put(Meaning::Quiet, "fast");
    line(drawn.rows.len() + 1, last, buffer);
    true
}

/// Rows that it takes on a width of cells, with its words.
pub fn rows_taken(room: usize) -> usize {
    let width = [48, 40, 32, 26, 20, 16]
        .into_iter()
        .find(|width| *width <= room);
    width.map_or(0, |width| triangle::rows_for(width) + 2)
}
