//! Boxes over a screen: clamped to the body; at narrow widths they take the whole of it.

use super::Look;
use super::line::{Paint, Rows};
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Regions, Width};
use crate::tui::overlay::{StopNotice, Sure};
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;
use ratatui::widgets::{Clear, Widget};

/// A box with a title and a foot in its border; gives the inside. Narrow: the title row and the body, without a border.
pub fn open(
    look: &Look,
    regions: &Regions,
    title: &str,
    foot: &str,
    want: (u16, u16),
    buffer: &mut Sheet<'_>,
) -> Rect {
    let whole = Rect {
        y: regions.title.y,
        height: regions.body.bottom().saturating_sub(regions.title.y),
        ..regions.title
    };
    if layout::width_class(whole.width) == Width::Narrow {
        Clear.render(whole, buffer);
        let room = usize::from(whole.width).saturating_sub(4);
        Paint::new(look)
            .left(Meaning::Heading, title, room)
            .put(Meaning::Quiet, " Esc")
            .draw(buffer, whole.x, whole.y, whole.width);
        let (_, inside) = layout::split_top(whole, 1);
        // The first column is the gutter of the lists.
        return Rect {
            x: inside.x + 1,
            width: inside.width.saturating_sub(1),
            ..inside
        };
    }
    let body = regions.body;
    let width = want.0.min(body.width.saturating_sub(2));
    let height = want.1.saturating_add(2).min(body.height);
    let area = Rect {
        x: body.x + (body.width - width) / 2,
        y: body.y + (body.height - height) / 2,
        width,
        height,
    };
    Clear.render(area, buffer);
    border(look, area, title, foot, buffer);
    Rect {
        x: area.x + 2,
        y: area.y + 1,
        width: width.saturating_sub(4),
        height: height.saturating_sub(2),
    }
}

fn border(look: &Look, area: Rect, title: &str, foot: &str, buffer: &mut Sheet<'_>) {
    let inner = usize::from(area.width).saturating_sub(2);
    let edge = |left: &str, words: &str, right: &str| {
        let words = if words.is_empty() {
            String::new()
        } else {
            format!(" {} ", say::clip(words, inner.saturating_sub(4)))
        };
        let line = "─".repeat(inner.saturating_sub(1 + say::width(&words)));
        (format!("{left}─"), words, format!("{line}{right}"))
    };
    for (y, (left, words, right)) in [
        (area.top(), edge("┌", title, "┐")),
        (area.bottom().saturating_sub(1), edge("└", foot, "┘")),
    ] {
        Paint::new(look)
            .put(Meaning::Plain, left)
            .put(Meaning::Heading, words)
            .put(Meaning::Plain, right)
            .draw(buffer, area.x, y, area.width);
    }
    for y in area.top() + 1..area.bottom().saturating_sub(1) {
        for x in [area.left(), area.right().saturating_sub(1)] {
            Paint::new(look)
                .put(Meaning::Plain, "│")
                .draw(buffer, x, y, 1);
        }
    }
}

pub fn stop(notice: &StopNotice, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let inside = open(
        look,
        regions,
        "stop",
        "Enter look on   x waive in words   u take back",
        (62, 8),
        buffer,
    );
    let width = usize::from(inside.width);
    let mut rows = Rows::default();
    for line in say::wrap(&format!("■ STOP  {}", notice.finding), width) {
        rows.text(Paint::new(look).put(Meaning::Stop, line));
    }
    rows.text(Paint::new(look));
    rows.words(look, Meaning::Plain, &notice.sentence, width);
    rows.words(
        look,
        Meaning::Plain,
        "The deal ends here unless you waive it in words that stay on the file.",
        width,
    );
    draw_inside(look, &rows, inside, buffer, None);
}

pub fn sure(sure: &Sure, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let inside = open(
        look,
        regions,
        sure.title,
        "Enter yes   Esc no",
        (64, 7),
        buffer,
    );
    let mut rows = Rows::default();
    rows.words(
        look,
        Meaning::Heading,
        &sure.question,
        usize::from(inside.width),
    );
    rows.words(look, Meaning::Plain, &sure.more, usize::from(inside.width));
    draw_inside(look, &rows, inside, buffer, None);
}

/// Rows inside a box; the list's gutter lies on the blank beside the border.
pub fn draw_inside(
    look: &Look,
    rows: &Rows,
    inside: Rect,
    buffer: &mut Sheet<'_>,
    in_hand: Option<usize>,
) {
    let area = Rect {
        x: inside.x.saturating_sub(1).max(buffer.area.x),
        width: inside.width.saturating_add(1),
        ..inside
    };
    rows.draw(
        look,
        area.intersection(buffer.area),
        buffer,
        in_hand,
        in_hand.is_some(),
    );
}
