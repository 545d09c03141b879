//! Do by name, drawn: the word, then what it leaves, each with its key.

use super::Look;
use super::line::{Paint, Rows};
use super::window;
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Regions};
use crate::tui::overlay::palette::Palette;
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::Position;

pub fn draw(
    app: &App,
    palette: &Palette,
    look: &Look,
    regions: &Regions,
    buffer: &mut Sheet<'_>,
) -> Option<Position> {
    let found = palette.found(app);
    let foot = "Enter does it   Esc leaves";
    let inside = window::open(look, regions, "do by name", foot, (74, 24), buffer);
    let width = usize::from(inside.width);
    let (head, rest) = layout::split_top(inside, 1);
    Paint::new(look)
        .put(Meaning::Quiet, "do    ")
        .left(
            Meaning::Heading,
            palette.query.text(),
            width.saturating_sub(6),
        )
        .draw(buffer, head.x, head.y, head.width);
    let mut rows = Rows::default();
    if found.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "Nothing here has that word. Backspace widens, Esc leaves.",
            width,
        );
    }
    for (at, deed) in found.iter().enumerate() {
        let room = width.saturating_sub(12);
        rows.row(
            at,
            Paint::new(look)
                .left(Meaning::Plain, &say::clip(&deed.words, room), room)
                .gap(1)
                .put(Meaning::Heading, deed.key.clone()),
        );
    }
    window::draw_inside(look, &rows, rest, buffer, Some(palette.at));
    let (before, _) = palette.query.halves();
    let x = head.x + u16::try_from(6 + say::width(before)).ok()?;
    let place = Position::new(x, head.y);
    head.contains(place).then_some(place)
}
