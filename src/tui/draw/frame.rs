//! What stands round every screen: title, rule, stop banner, status rule, key line.

use super::Look;
use super::bottom;
use super::line::Paint;
use crate::tui::app::{App, Target};
use crate::tui::data::Figures;
use crate::tui::draw::sheet::Sheet;
use crate::tui::forms::Entry;
use crate::tui::keys::{self, Key};
use crate::tui::layout::{self, Regions, Width};
use crate::tui::say;
use crate::tui::screens::{self, Screen};
use crate::tui::theme::Meaning;
use ratatui::layout::{Position, Rect};

pub fn draw(app: &App, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    title(app, look, regions.title, buffer);
    if !regions.rule.is_empty() {
        let width = usize::from(regions.rule.width);
        Paint::new(look)
            .put(Meaning::Plain, "─".repeat(width))
            .draw(buffer, regions.rule.x, regions.rule.y, regions.rule.width);
    }
    banner(app, look, regions.banner, buffer);
    status(app, look, regions, buffer);
    bottom::draw(app, look, regions.bottom, buffer);
    buffer.hit(regions.bottom, Target::Hide);
    key_line(app, look, regions.keys, buffer);
}

/// The left margin: one cell from 60 columns up.
fn margin(area: Rect) -> u16 {
    u16::from(layout::width_class(area.width) > Width::Narrow)
}

fn name(app: &App) -> String {
    let cars = app.data.cars.len();
    match app.screen {
        Screen::Cars => {
            let notebook = &app.data.standing.name;
            match cars {
                0 => format!("{notebook}, no cars"),
                1 => format!("{notebook}, 1 car"),
                _ => format!("{notebook}, {cars} cars"),
            }
        }
        Screen::You => "your numbers".to_owned(),
        Screen::Look => {
            let own = if app.data.own.is_empty() {
                ""
            } else {
                ", yours over ours"
            };
            format!("tables of {}{own}", app.data.tables.settings.as_of)
        }
        Screen::Side => {
            let purpose = app.data.tables.purpose(&app.data.buyer.purpose);
            purpose.map_or_else(|| app.data.buyer.purpose.clone(), |row| row.name.clone())
        }
        _ => app.data.car().map_or_else(String::new, |car| {
            let bought = if car.car().bought_at.is_some() {
                ", bought"
            } else {
                ""
            };
            format!("{}{bought}", car.name())
        }),
    }
}

fn title(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let names = layout::screen_names(app);
    let first = names.first().map_or(area.width, |(_, _, x)| *x);
    let room = usize::from(first.saturating_sub(margin(area) + 1));
    Paint::new(look)
        .put(Meaning::Heading, say::clip(&name(app), room))
        .draw(buffer, area.x + margin(area), area.y, area.width);
    let mut end = area.x;
    for (screen, name, x) in names {
        let meaning = if screen == app.screen {
            Meaning::Heading
        } else {
            Meaning::Plain
        };
        if screen == Screen::Side && layout::width_class(area.width) > Width::Narrow {
            Paint::new(look).put(Meaning::Plain, "│").draw(
                buffer,
                area.x + x.saturating_sub(2),
                area.y,
                1,
            );
        }
        let place = Rect {
            x: area.x + x,
            width: u16::try_from(say::width(&name)).unwrap_or(0),
            ..area
        };
        buffer.hit(place.intersection(area), Target::Screen(screen));
        end = x + u16::try_from(say::width(&name)).unwrap_or(0);
        Paint::new(look).put(meaning, name).draw(
            buffer,
            area.x + x,
            area.y,
            area.width.saturating_sub(x),
        );
    }
    if end + 1 < area.width {
        Paint::new(look)
            .put(Meaning::Quiet, "g")
            .draw(buffer, area.x + end + 1, area.y, 1);
    }
}

/// The stop of the car in hand: its sentence, and whether it is waived in which words.
pub fn banner_words(app: &App) -> Option<(String, bool)> {
    if !app.screen.is_of_a_car() {
        return None;
    }
    let stops = &app.data.figures()?.stops;
    if let Some(stop) = stops.iter().find(|stop| stop.waived.is_none()) {
        let more = stops.iter().filter(|stop| stop.waived.is_none()).count() - 1;
        let more = if more > 0 {
            format!(", and {more} more")
        } else {
            String::new()
        };
        return Some((format!("■ STOP  {}{more}", stop.sentence), true));
    }
    let waived = stops.iter().find_map(|stop| stop.waived.as_deref())?;
    Some((format!("■ waived “{waived}”"), false))
}

fn banner(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    if area.is_empty() {
        return;
    }
    let Some((words, stops)) = banner_words(app) else {
        return;
    };
    let meaning = if stops { Meaning::Stop } else { Meaning::Plain };
    let text = say::left(
        &format!("{}{words}", " ".repeat(usize::from(margin(area)))),
        usize::from(area.width),
    );
    Paint::new(look)
        .put(meaning, text)
        .draw(buffer, area.x, area.y, area.width);
}

/// Most rows that one sentence takes from the body until the next key.
const MOST_SAID: usize = 7;

/// A sentence that is too long for the status rule stands over the last rows of the body: what to do is at its end.
fn said_at_length(message: &str, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let width = usize::from(regions.body.width);
    let room = usize::from(regions.body.height).min(MOST_SAID);
    let mut lines = say::wrap(message, width.saturating_sub(2));
    if lines.len() > room {
        lines.truncate(room);
        if let Some(last) = lines.last_mut() {
            last.push('…');
        }
    }
    let count = u16::try_from(lines.len()).unwrap_or(0);
    let top = regions.body.bottom().saturating_sub(count);
    for (y, line) in (top..).zip(&lines) {
        Paint::new(look)
            .put(Meaning::Heading, say::left(&format!(" {line}"), width))
            .draw(buffer, regions.body.x, y, regions.body.width);
    }
}

/// Left: what was said or how it is saved. Right: where you are.
fn status(app: &App, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let area = regions.status;
    let width = usize::from(area.width);
    let saved = app.data.standing.saved.as_str();
    let working = app
        .data
        .car()
        .is_some_and(|car| car.error.is_none() && car.state != Figures::Settled);
    let left = match (&app.said.message, &app.data.access) {
        _ if app.hidden => saved.to_owned(),
        (Some(message), _) if say::width(message) + 4 > width && !regions.body.is_empty() => {
            said_at_length(message, look, regions, buffer);
            saved.to_owned()
        }
        (Some(message), _) => message.clone(),
        (None, crate::tui::ports::Access::ReadOnly(why)) => why.clone(),
        (None, _) if working && saved.is_empty() => "working".to_owned(),
        (None, _) if working => format!("{saved} · working"),
        (None, _) => saved.to_owned(),
    };
    let left = say::clip(&left, width.saturating_sub(4));
    let right = if app.hidden {
        String::new()
    } else {
        place(app)
    };
    // Where it does not fit whole, the first half of it may.
    let shorter = right.split([':', '·']).next().unwrap_or_default().trim();
    let used = if left.is_empty() {
        1
    } else {
        say::width(&left) + 3
    };
    let right = if used + say::width(&right) + 4 <= width {
        right.as_str()
    } else {
        shorter
    };
    let mut paint = Paint::new(look).put(Meaning::Plain, "─");
    if !left.is_empty() {
        paint = paint.put(Meaning::Plain, format!(" {left} "));
    }
    let room = width.saturating_sub(paint.cells());
    let fits = !right.is_empty() && say::width(right) + 4 <= room;
    let tail = if fits { say::width(right) + 3 } else { 0 };
    paint = paint.put(Meaning::Plain, "─".repeat(room.saturating_sub(tail)));
    if fits {
        paint = paint.put(Meaning::Plain, format!(" {right} ─"));
    }
    paint.draw(buffer, area.x, area.y, area.width);
}

/// Where you are: the part, the row of how many, the order.
fn place(app: &App) -> String {
    let parts = screens::parts(app);
    let cursor = screens::cursor(app);
    let Some(part) = parts.get(cursor.part) else {
        return String::new();
    };
    let rows = match part.rows {
        0 => part.name.to_lowercase(),
        rows => format!(
            "{} {} of {rows}",
            part.name.to_lowercase(),
            cursor.row() + 1
        ),
    };
    match app.screen {
        Screen::Cars if !app.views.cars.narrow.is_empty() => {
            format!(
                "narrowed to “{}” · {} of {}",
                app.views.cars.narrow,
                part.rows,
                app.data.cars.len()
            )
        }
        Screen::Cars => format!("by {}", app.views.cars.order.words()),
        Screen::Faults if !app.views.faults.narrow.is_empty() => {
            format!("narrowed to “{}” · {rows}", app.views.faults.narrow)
        }
        Screen::Faults => format!("{rows} · by {}", app.views.faults.order.words()),
        Screen::Walk => super::walk::status(app),
        Screen::Side => match app.data.compared.as_deref() {
            Some(_) => "same luck for all".to_owned(),
            None if app.marks.len() > 1 => "working".to_owned(),
            None => String::new(),
        },
        _ => rows,
    }
}

/// The keys that work here, as many as fit; help always keeps its place. Each word can be tapped.
fn key_line(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let width = usize::from(area.width.saturating_sub(margin(area)));
    let mut words: Vec<(Key, String)> = keys::key_line(app)
        .into_iter()
        .map(|(key, words)| (key, key_words(key, words)))
        .collect();
    let help = words.iter().position(|(key, _)| *key == Key::Char('?'));
    let help = help.map(|at| words.remove(at)).map(|(key, word)| {
        let word = if width >= 70 { word } else { key.label() };
        (key, word)
    });
    let tail = help.as_ref().map_or(0, |(_, help)| say::width(help) + 2);
    let mut shown: Vec<(Key, String)> = Vec::new();
    let mut cells = 0;
    for (key, word) in words {
        let more = say::width(&word) + if shown.is_empty() { 0 } else { 2 };
        if cells + more + tail <= width {
            cells += more;
            shown.push((key, word));
        }
    }
    let mut x = area.x + margin(area);
    for (key, word) in shown.into_iter().chain(help) {
        let wide = u16::try_from(say::width(&word)).unwrap_or(0);
        Paint::new(look).put(Meaning::Plain, word).draw(
            buffer,
            x,
            area.y,
            area.right().saturating_sub(x),
        );
        let place = Rect {
            x,
            width: wide,
            ..area
        };
        buffer.hit(place, Target::Key(key));
        x = x.saturating_add(wide + 2);
    }
}

/// A key and its words; `-5 skill` after `1` reads `1-5 skill`.
fn key_words(key: Key, words: &str) -> String {
    let key = key.label();
    match words.strip_prefix('-') {
        Some(rest) => format!("{key}-{rest}"),
        None => format!("{key} {}", words.trim()).trim_end().to_owned(),
    }
}

/// Where to go, over the key line; at 40 over the rows above it too.
pub fn go(app: &App, look: &Look, regions: &Regions, buffer: &mut Sheet<'_>) {
    let words: Vec<String> = keys::key_line(app)
        .into_iter()
        .map(|(key, words)| key_words(key, words))
        .collect();
    let width = usize::from(regions.keys.width);
    let lines = say::wrap(
        &format!("go  {}", words.join("  "))
            .replace(' ', "\u{a0}")
            .replace("\u{a0}\u{a0}", "  "),
        width,
    );
    let count = u16::try_from(lines.len()).unwrap_or(1);
    for (at, line) in lines.iter().enumerate() {
        let up = count - 1 - u16::try_from(at).unwrap_or(0);
        let y = regions.keys.y.saturating_sub(up);
        let text = say::left(&line.replace('\u{a0}', " "), width);
        Paint::new(look).put(Meaning::Heading, text).draw(
            buffer,
            regions.keys.x,
            y,
            regions.keys.width,
        );
    }
}

/// The word that narrows the list, in the status rule; gives the place of the cursor.
pub fn narrow(
    entry: &Entry,
    look: &Look,
    regions: &Regions,
    area: Rect,
    buffer: &mut Sheet<'_>,
) -> Position {
    let (before, after) = entry.halves();
    let row = regions.status;
    let blank = " ".repeat(usize::from(row.width));
    Paint::new(look)
        .put(Meaning::Plain, blank)
        .draw(buffer, row.x, row.y, row.width);
    let paint = Paint::new(look)
        .put(Meaning::Heading, "narrow to  ")
        .put(Meaning::Plain, before.to_owned());
    let cells = u16::try_from(paint.cells()).unwrap_or(u16::MAX);
    paint
        .put(Meaning::Plain, after.to_owned())
        .draw(buffer, row.x, row.y, row.width);
    Position::new(
        row.x
            .saturating_add(cells)
            .min(area.right().saturating_sub(1)),
        row.y,
    )
}
