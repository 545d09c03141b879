//! Parts as tiles in columns: a heading each, the part in hand opened first, the others with what is left.

use super::Look;
use super::line::{Paint, Rows};
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::{self, Part};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

/// What a screen draws in a part of a width.
pub type Listing = fn(&App, &Look, usize, usize) -> Rows;

/// Draws columns of parts.
pub fn draw(
    app: &App,
    look: &Look,
    area: Rect,
    buffer: &mut Sheet<'_>,
    columns: &[&[usize]],
    shares: &[u16],
    listing: Listing,
) {
    let parts = screens::parts(app);
    let cursor = screens::cursor(app);
    let rects = layout::columns(area, shares);
    for (at, (column, rect)) in columns.iter().zip(&rects).enumerate() {
        if at > 0 {
            bar(look, *rect, buffer);
        }
        let known: Vec<usize> = column
            .iter()
            .copied()
            .filter(|part| *part < parts.len())
            .collect();
        let fold = columns.len() == 1 && known.len() > 1 && rect.width < 60;
        let lists: Vec<Rows> = known
            .iter()
            .map(|part| {
                listing(app, look, *part, usize::from(rect.width).saturating_sub(1)).of(*part)
            })
            .collect();
        let wants: Vec<usize> = lists.iter().map(Rows::len).collect();
        let active = known.iter().position(|part| *part == cursor.part);
        let heights = share(&wants, active, usize::from(rect.height), fold);
        let mut y = rect.y;
        for ((part, rows), height) in known.iter().zip(&lists).zip(heights) {
            let Ok(height) = u16::try_from(height) else {
                continue;
            };
            let tile = Rect { y, height, ..*rect }.intersection(*rect);
            y = y.saturating_add(height);
            if let Some(named) = parts.get(*part) {
                let opened = cursor.part == *part;
                draw_one(
                    look,
                    tile,
                    buffer,
                    named,
                    rows,
                    cursor.rows.get(*part).copied(),
                    opened,
                );
            }
        }
    }
}

/// One part: heading and rows.
pub fn draw_one(
    look: &Look,
    area: Rect,
    buffer: &mut Sheet<'_>,
    part: &Part,
    rows: &Rows,
    in_hand: Option<usize>,
    active: bool,
) {
    if area.is_empty() {
        return;
    }
    let (top, rest) = layout::split_top(area, 1);
    heading(look, top, buffer, part.name, &part.note, active);
    rows.draw(look, rest, buffer, in_hand, active);
}

/// The heading of a part: `▾Claims     6 made, 2 true`; narrow words leave whole.
pub fn heading(
    look: &Look,
    area: Rect,
    buffer: &mut Sheet<'_>,
    name: &str,
    note: &str,
    active: bool,
) {
    let width = usize::from(area.width);
    let meaning = if active {
        Meaning::Heading
    } else {
        Meaning::Plain
    };
    let mark = if active { "▾" } else { "─" };
    let mut paint = Paint::new(look).put(meaning, format!("{mark} {name} "));
    let room = width.saturating_sub(paint.cells());
    let note = if say::width(note) + 3 <= room {
        note
    } else {
        ""
    };
    let tail = if note.is_empty() {
        0
    } else {
        say::width(note) + 3
    };
    paint = paint.put(Meaning::Plain, "─".repeat(room.saturating_sub(tail)));
    if !note.is_empty() {
        paint = paint.put(Meaning::Plain, format!(" {note} ─"));
    }
    paint.draw(buffer, area.x, area.y, area.width);
}

/// The bar left of a column.
pub fn bar(look: &Look, column: Rect, buffer: &mut Sheet<'_>) {
    for y in column.top()..column.bottom() {
        if column.x >= 2 {
            Paint::new(look)
                .put(Meaning::Plain, "│")
                .draw(buffer, column.x - 2, y, 1);
        }
    }
}

/// Heights of tiles with one row of heading each: the part in hand first, then the others in order.
///
/// Where not even the headings fit, the part in hand stands alone.
fn share(wants: &[usize], active: Option<usize>, height: usize, fold: bool) -> Vec<usize> {
    let count = wants.len();
    if count + 2 > height
        && let Some(active) = active
    {
        return (0..count)
            .map(|at| if at == active { height } else { 0 })
            .collect();
    }
    let mut heights = vec![1_usize; count];
    let mut left = height.saturating_sub(count);
    let order = active
        .into_iter()
        .chain((0..count).filter(|at| Some(*at) != active));
    for at in order {
        if fold && active.is_some() && Some(at) != active {
            continue;
        }
        let (Some(height), Some(want)) = (heights.get_mut(at), wants.get(at)) else {
            continue;
        };
        // One blank row under the rows, where there is room for it.
        let want = (*want + usize::from(!fold)).min(left);
        *height += want;
        left -= want;
    }
    if let Some(height) = active.and_then(|at| heights.get_mut(at)).filter(|_| fold) {
        *height += left;
    }
    heights
}

/// Columns of parts for a class of width: one list of columns each for narrow, medium and wide.
pub fn for_width<'a>(
    area: Rect,
    narrow: &'a [&'a [usize]],
    medium: &'a [&'a [usize]],
    wide: &'a [&'a [usize]],
) -> &'a [&'a [usize]] {
    match layout::width_class(area.width) {
        Width::Narrow => narrow,
        Width::Medium => medium,
        Width::Wide | Width::Broad => wide,
    }
}

#[cfg(test)]
mod tests {
    use super::share;

    #[test]
    fn tiles_never_take_more_rows_than_there_are() {
        for height in 0..40 {
            for active in [None, Some(0), Some(2)] {
                for fold in [false, true] {
                    let heights = share(&[24, 3, 7, 1], active, height, fold);
                    assert!(active.is_none() || heights.iter().sum::<usize>() <= height.max(4));
                }
            }
        }
        assert_eq!(share(&[24, 3, 7, 1], Some(2), 14, true), [1, 1, 11, 1]);
    }
}
