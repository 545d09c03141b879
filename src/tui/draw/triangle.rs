//! The triangle in a region: as large as it fits, words at its corners.

use super::Look;
use super::line::Paint;
use crate::engine::triangle::Shares;
use crate::tui::app::Target;
use crate::tui::draw::sheet::Sheet;
use crate::tui::geometry::triangle::{self, TriangleCar};
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

/// Widths drawn, in cells.
const WIDTHS: [usize; 6] = [48, 40, 32, 26, 20, 16];

/// Draws it in the upper left of the region, centered; `false` where there is no room. Where there are weights, a tap or a drag moves them.
pub fn draw(
    look: &Look,
    cars: &[TriangleCar],
    weights: Option<Shares>,
    area: Rect,
    buffer: &mut Sheet<'_>,
) -> bool {
    let (room, rows) = (usize::from(area.width), usize::from(area.height));
    let fits = |width: &usize| *width <= room && triangle::rows_for(*width) + 2 <= rows;
    let Some(width) = WIDTHS.into_iter().find(fits) else {
        return false;
    };
    let drawn = triangle::triangle(cars, weights, width, look.glyphs.is_ascii());
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
            let meaning = if letter && !cell.is_ascii_lowercase() {
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
    if weights.is_some() {
        let left = area.x + u16::try_from(indent).unwrap_or(0);
        for row in 0..drawn.rows.len() {
            for column in 0..width {
                if let Some(there) = triangle::weights_at(column, row, width) {
                    let (x, y) = (u16::try_from(column), u16::try_from(row + 1));
                    let (x, y) = (left + x.unwrap_or(0), area.y + y.unwrap_or(0));
                    buffer.hit(Rect::new(x, y, 1, 1), target(there));
                }
            }
        }
    }
    true
}

fn target(weights: Shares) -> Target {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "thousandths of a share"
    )]
    let thousandths = |share: f64| (share * 1000.0).round().clamp(0.0, 1000.0) as u16;
    Target::Weigh {
        cheap: thousandths(weights.cheap),
        reliable: thousandths(weights.reliable),
    }
}

/// Rows that the largest one takes that fits a region, with its words; nothing where none fits.
pub fn rows_that_fit(room: usize, rows: usize) -> usize {
    let fits = |width: &usize| *width <= room && triangle::rows_for(*width) + 2 <= rows;
    let width = WIDTHS.into_iter().find(fits);
    width.map_or(0, |width| triangle::rows_for(width) + 2)
}
