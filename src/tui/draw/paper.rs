//! A letter, a notice or a draft over the screen, drawn: its text, then what each statement stands on.

use super::Look;
use super::line::{Paint, Rows};
use super::window;
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::Regions;
use crate::tui::overlay::letter::{self, Paper, WIDTH};
use crate::tui::overlay::mind;
use crate::tui::theme::Meaning;

pub fn draw(app: &App, paper: &Paper, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let (cells, _) = letter::room(app);
    let shown = letter::shown(app, paper, cells);
    let lines = letter::lines(&shown, cells);
    let want = u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let foot = "1-7 or Tab kind   c copy   j k scroll   l closes";
    let inside = window::open(look, regions, &shown.title, foot, (WIDTH, want), buffer);
    let mut rows = Rows::default();
    for (meaning, line) in lines {
        rows.text(Paint::new(look).put(meaning, line));
    }
    window::draw_inside(look, &rows, inside, buffer, Some(paper.top));
}

/// What would change the mind, drawn.
pub fn mind(app: &App, top: usize, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let (cells, _) = letter::room(app);
    let lines = mind::lines(app, cells);
    let want = u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let title = "what would change my mind";
    let foot = "c copy   M or Esc close";
    let inside = window::open(look, regions, title, foot, (WIDTH, want), buffer);
    let mut rows = Rows::default();
    for line in lines {
        rows.text(Paint::new(look).put(Meaning::Plain, line));
    }
    window::draw_inside(look, &rows, inside, buffer, Some(top));
}
