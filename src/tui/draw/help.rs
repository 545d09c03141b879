//! Help, drawn: this screen's keys, those of everywhere, the marks.

use super::Look;
use super::line::{Paint, Rows};
use super::window;
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::keys::Group;
use crate::tui::layout::Regions;
use crate::tui::overlay::help::{self, Help};
use crate::tui::say;
use crate::tui::theme::Meaning;

/// Strokes and slots, told apart without hue.
const MARKS: [(&str, &str); 6] = [
    ("━ ╍ ┄ ─", "seen, likely, unseen, by rule"),
    ("USWAL", "unsafe, strands, worsens, annoys, looks"),
    ("┿ ┼", "an ordinary car of this age"),
    ("■", "stop"),
    ("··  ~", "no value yet; from a first short run"),
    ("+ −", "a claim for it, against it"),
];

pub fn draw(app: &App, help: &Help, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let rows_of = help::rows(app);
    let want = u16::try_from(rows_of.len() + MARKS.len() + 6).unwrap_or(60);
    let inside = window::open(
        look,
        regions,
        "keys",
        "Enter does it   Space page   Esc closes",
        (74, want),
        buffer,
    );
    let width = usize::from(inside.width);
    let mut rows = Rows::default();
    let mut group = None;
    for (at, row) in rows_of.iter().enumerate() {
        if group != Some(row.group) {
            if group.is_some() {
                rows.text(Paint::new(look));
            }
            group = Some(row.group);
            let heading = match row.group {
                Group::Here => format!("Here, in {}", app.screen.name()),
                _ => "Everywhere".to_owned(),
            };
            rows.text(Paint::new(look).put(Meaning::Heading, heading));
        }
        let (keys, words) = help::words(row);
        let paint = Paint::new(look).left(Meaning::Plain, &keys, 12).gap(1);
        let room = width.saturating_sub(13);
        let mut lines = say::wrap(words, room).into_iter();
        rows.row(
            at,
            paint.put(Meaning::Plain, lines.next().unwrap_or_default()),
        );
        for line in lines {
            rows.text(Paint::new(look).gap(13).put(Meaning::Plain, line));
        }
    }
    rows.text(Paint::new(look));
    rows.text(Paint::new(look).put(Meaning::Heading, "Marks"));
    for (mark, words) in MARKS {
        rows.text(
            Paint::new(look)
                .left(Meaning::Plain, mark, 13)
                .put(Meaning::Plain, say::clip(words, width.saturating_sub(13))),
        );
    }
    let first = if help.at == 0 { None } else { Some(help.at) };
    // On the first row the list starts at its heading.
    window::draw_inside(look, &rows, inside, buffer, first.or(Some(0)));
}
