//! Look up, drawn: the word and what it finds, the page of the row in hand, the figures of the user's own.

use super::Look;
use super::line::{Paint, Rows};
use super::tiles;
use crate::report::look_up::{Kind, entries};
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::look::{self, FOUND, OWN, PAGE, PageRow};
use crate::tui::screens::{self};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let cursor = screens::cursor(app);
    if layout::width_class(area.width) == Width::Narrow {
        match cursor.part {
            PAGE => page(app, look, area, buffer),
            OWN => own(app, look, area, buffer),
            _ => found(app, look, area, buffer),
        }
        return;
    }
    let rects = layout::columns(area, &[6, 7]);
    let [left, right] = rects.as_slice() else {
        return;
    };
    if cursor.part == OWN {
        own(app, look, *left, buffer);
    } else {
        found(app, look, *left, buffer);
    }
    tiles::bar(look, *right, buffer);
    page(app, look, *right, buffer);
}

fn found(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let view = &app.views.look;
    let cursor = screens::cursor(app);
    let width = usize::from(area.width).saturating_sub(1);
    let mut head = Rows::default();
    let count = view.found.len().to_string();
    let word = if view.word.is_empty() {
        "/ types a word"
    } else {
        &view.word
    };
    let room = width.saturating_sub(say::width(&count) + 7);
    head.text(
        Paint::new(look)
            .left(Meaning::Quiet, "find", 6)
            .left(Meaning::Plain, &say::clip(word, room), room)
            .put(Meaning::Plain, format!(" {count}")),
    );
    let kind = view.kind.checked_sub(1).and_then(|at| Kind::ALL.get(at));
    let kind = kind.map_or("all", |kind| kind.table());
    head.text(
        Paint::new(look)
            .left(Meaning::Quiet, "in", 6)
            .put(Meaning::Plain, format!("{kind}, o another")),
    );
    for trouble in app
        .data
        .tables_trouble
        .iter()
        .cloned()
        .chain(look::nothing(app))
    {
        head.words(look, Meaning::Heading, &trouble, width);
    }
    let high = u16::try_from(head.len()).unwrap_or(u16::MAX);
    let (top, rest) = layout::split_top(area, high);
    head.draw(look, top, buffer, None, false);
    let tables = &app.data.tables;
    let names = entries(tables);
    let mut rows = Rows::default();
    for (at, (kind, id)) in view.found.iter().enumerate() {
        let at_entry =
            names.binary_search_by(|entry| (entry.kind, entry.id).cmp(&(*kind, id.as_str())));
        let name = at_entry
            .ok()
            .and_then(|at| names.get(at))
            .map_or("", |entry| entry.name);
        let named = match kind {
            Kind::Code | Kind::Limit => format!("{id}  {name}"),
            _ => name.to_owned(),
        };
        let word = kind.word();
        let room = width.saturating_sub(say::width(word) + 2);
        let own = app
            .data
            .own
            .iter()
            .any(|own| own.table == kind.table() && own.id == *id);
        let meaning = if own { Meaning::Mine } else { Meaning::Plain };
        rows.row(
            at,
            Paint::new(look)
                .left(meaning, &say::clip(&named, room), room)
                .gap(1)
                .put(Meaning::Quiet, word),
        );
    }
    let active = cursor.part == FOUND;
    rows.of(FOUND)
        .draw(look, rest, buffer, Some(cursor.rows[FOUND]), active);
}

fn page(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let cursor = screens::cursor(app);
    let active = cursor.part == PAGE;
    let (head, rest) = layout::split_top(area, 1);
    let title = look::row(app).map_or_else(
        || "nothing in hand".to_owned(),
        |(kind, id)| format!("{id}, {}", kind.word()),
    );
    tiles::heading(look, head, buffer, &title, "", active);
    let width = usize::from(area.width).saturating_sub(2);
    let label = if width < 44 { 11 } else { 14 };
    let mut rows = Rows::default();
    for (at, row) in look::page(app).iter().enumerate() {
        let (name, words, meaning) = match row {
            PageRow::Words(name, words) => ((*name).to_owned(), words.clone(), Meaning::Plain),
            PageRow::Figure(figure) => (
                figure.label.clone(),
                format!("{}  e changes it", look::figure_words(app, figure)),
                Meaning::Mine,
            ),
            PageRow::Link(link) => (
                link.label.to_owned(),
                format!("→ {}", link.name),
                Meaning::Plain,
            ),
        };
        let name_lines = say::wrap(&name, label - 1);
        let room = width.saturating_sub(label);
        let told = say::wrap(&words, room);
        for line in 0..told.len().max(name_lines.len()) {
            let name = name_lines.get(line).map_or("", String::as_str);
            let words = told.get(line).map_or("", String::as_str);
            rows.row(
                at,
                Paint::new(look)
                    .left(Meaning::Quiet, name, label)
                    .put(meaning, words),
            );
        }
    }
    let row = active.then_some(cursor.rows[PAGE]);
    rows.of(PAGE).draw(look, rest, buffer, row, active);
}

fn own(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let cursor = screens::cursor(app);
    let active = cursor.part == OWN;
    let (head, rest) = layout::split_top(area, 1);
    tiles::heading(look, head, buffer, "yours, over ours", "", active);
    let width = usize::from(area.width).saturating_sub(2);
    let mut rows = Rows::default();
    for (at, own) in app.data.own.iter().enumerate() {
        let value = say::clip(&own.value.to_string(), 24);
        let first = format!("{} {}: {} {value}", own.table, own.id, own.field);
        for line in say::wrap(&first, width) {
            rows.row(at, Paint::new(look).put(Meaning::Mine, line));
        }
        for line in say::wrap(&format!("“{}”", own.reason), width.saturating_sub(2)) {
            rows.row(at, Paint::new(look).gap(2).put(Meaning::Plain, line));
        }
    }
    rows.of(OWN)
        .draw(look, rest, buffer, Some(cursor.rows[OWN]), active);
}
