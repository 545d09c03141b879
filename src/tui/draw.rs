//! Draws the state into a buffer. Pure; nothing here decides or changes anything.

mod bottom;
mod cars;
mod faults;
mod form;
mod frame;
mod help;
mod hidden;
mod ladder;
mod line;
mod look;
mod money;
mod palette;
mod paper;
mod picker;
mod rail;
mod seller;
mod sheet;
mod side;
mod story;
mod talks;
mod tiles;
mod triangle;
mod walk;
mod why;
mod window;
mod you;

use crate::tui::app::App;
use crate::tui::glyphs::{self, GlyphSet};
use crate::tui::layout::{self, Regions};
use crate::tui::overlay::Overlay;
use crate::tui::screens::Screen;
use crate::tui::theme::{Meaning, Theme};
use line::Paint;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use sheet::Sheet;
pub use sheet::{Drawn, Hit};

/// How things look: glyphs and palette.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Look {
    /// Glyphs.
    pub glyphs: GlyphSet,
    /// Palette.
    pub theme: Theme,
}

/// Draws everything.
pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Buffer) -> Drawn {
    let area = area.intersection(buffer.area);
    if area.is_empty() {
        return Drawn::default();
    }
    let tags = match &app.overlay {
        Some(Overlay::Tags(tags)) => Some(tags),
        _ => None,
    };
    let mut sheet = Sheet::new(buffer, tags);
    let cursor = on_sheet(app, look, area, &mut sheet);
    let hits = sheet.hits;
    glyphs::sweep(buffer);
    glyphs::replace_by_twins(buffer, look.glyphs);
    Drawn { cursor, hits }
}

fn on_sheet(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) -> Option<Position> {
    if layout::is_too_small(area) {
        too_small(app, look, area, buffer);
        return None;
    }
    let banner = !app.hidden && frame::banner_words(app).is_some();
    let regions = layout::regions(area, banner);
    body(app, look, &regions, buffer);
    if app.overlay.is_some() {
        // What lies under an overlay cannot be tapped.
        buffer.hits.clear();
    }
    frame::draw(app, look, &regions, buffer);
    overlay(app, look, &regions, area, buffer)
}

fn body(app: &App, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let area = regions.body;
    if app.hidden && app.screen != Screen::Walk {
        hidden::draw(app, look, area, buffer);
        return;
    }
    match app.screen {
        Screen::Cars => cars::draw(app, look, area, buffer),
        Screen::Story => story::draw(app, look, area, buffer),
        Screen::Walk => walk::draw(app, look, area, buffer),
        Screen::Faults => faults::draw(app, look, area, buffer),
        Screen::Money => money::draw(app, look, area, buffer),
        Screen::Side => side::draw(app, look, area, buffer),
        Screen::You => you::draw(app, look, area, buffer),
        Screen::Look => look::draw(app, look, area, buffer),
    }
}

fn overlay(
    app: &App,
    look: &Look,
    regions: &Regions,
    area: Rect,
    buffer: &mut Sheet<'_>,
) -> Option<Position> {
    match app.overlay.as_ref()? {
        Overlay::Tags(_) => None,
        Overlay::Go => {
            frame::go(app, look, regions, buffer);
            None
        }
        Overlay::Why(why) => {
            why::draw(app, why, look, regions, buffer);
            None
        }
        Overlay::Help(help) => {
            help::draw(app, help, look, regions, buffer);
            None
        }
        Overlay::Mind(top) => {
            paper::mind(app, *top, look, regions, buffer);
            None
        }
        Overlay::Letter(paper) => {
            paper::draw(app, paper, look, regions, buffer);
            None
        }
        Overlay::Form(form) => form::draw(form, look, regions, buffer),
        Overlay::Picker(picker) => picker::draw(app, picker, look, regions, buffer),
        Overlay::Palette(open) => palette::draw(app, open, look, regions, buffer),
        Overlay::Stop(notice) => {
            window::stop(notice, look, regions, buffer);
            None
        }
        Overlay::Sure(sure) => {
            window::sure(sure, look, regions, buffer);
            None
        }
        Overlay::Narrow(entry) => Some(frame::narrow(entry, look, regions, area, buffer)),
    }
}

/// The sentence of a terminal that is too small; its keys work.
fn too_small(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let saved = if app.data.standing.saved.is_empty() {
        "q quits"
    } else {
        "All saved. q quits"
    };
    let sentence = format!(
        "Too small: {} by {}. 30 by 10 will do. {saved}, h hides, u undoes.",
        area.width, area.height
    );
    for (at, line) in crate::tui::say::wrap(&sentence, usize::from(area.width))
        .iter()
        .take(usize::from(area.height))
        .enumerate()
    {
        let y = area.y + u16::try_from(at).unwrap_or(0);
        Paint::new(look)
            .put(Meaning::Plain, line)
            .draw(buffer, area.x, y, area.width);
    }
}
