//! A form, drawn: label, what is typed, how it is read; the reason under the field that is wrong.

use super::Look;
use super::line::{Paint, Rows};
use super::window;
use crate::tui::draw::sheet::Sheet;
use crate::tui::forms::{Field, Form, Kind};
use crate::tui::layout::{self, Regions};
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::{Position, Rect};

const LABEL: usize = 15;

pub fn draw(
    form: &Form,
    look: &Look,
    regions: &Regions,
    buffer: &mut Sheet<'_>,
) -> Option<Position> {
    let want = u16::try_from(form.fields.len() + 6).unwrap_or(40);
    let foot = if form.stepwise {
        "Enter next   Esc leaves"
    } else {
        "Enter keeps   Tab next   Esc leaves"
    };
    let inside = window::open(look, regions, &form.title, foot, (70, want), buffer);
    let width = usize::from(inside.width);
    let mut rows = Rows::default();
    let mut typed_at = 0;
    for (at, field) in form.fields.iter().enumerate() {
        let here = at == form.at;
        if here {
            typed_at = rows.len();
        }
        rows.row(at, line(look, field, here, width));
        if let Some(Ok(words) | Err(words)) = &field.preview {
            for words in say::wrap(words, width.saturating_sub(2)) {
                rows.text(Paint::new(look).gap(2).put(Meaning::Plain, words));
            }
        }
        if let Some(reason) = &field.reason {
            for words in say::wrap(reason, width.saturating_sub(2)) {
                rows.text(Paint::new(look).gap(2).put(Meaning::Heading, words));
            }
        } else if here && !field.hint.is_empty() {
            for words in say::wrap(field.hint, width.saturating_sub(2)) {
                rows.text(Paint::new(look).gap(2).put(Meaning::Quiet, words));
            }
        }
    }
    if !form.note.is_empty() {
        rows.text(Paint::new(look));
        rows.words(look, Meaning::Plain, form.note, width.min(60));
    }
    let top = layout::scroll_top(typed_at, usize::from(inside.height), rows.len());
    draw_rows(look, &rows, inside, buffer, form.at);
    let field = form.field()?;
    if field.is_choice() {
        return None;
    }
    let y = inside.y + u16::try_from(typed_at.checked_sub(top)?).ok()?;
    let (before, _) = field.entry.halves();
    let room = width.saturating_sub(LABEL + 1);
    let x = inside.x + u16::try_from(LABEL + say::width(before).min(room)).ok()?;
    let place = Position::new(x, y);
    inside.contains(place).then_some(place)
}

/// The field in hand has its mark; it is not reversed, so that the text cursor is seen.
fn draw_rows(look: &Look, rows: &Rows, inside: Rect, buffer: &mut Sheet<'_>, at: usize) {
    let area = Rect {
        x: inside.x.saturating_sub(1).max(buffer.area.x),
        width: inside.width.saturating_add(1),
        ..inside
    }
    .intersection(buffer.area);
    rows.draw(look, area, buffer, Some(at), false);
    let first = rows
        .0
        .iter()
        .position(|row| row.row == Some(at))
        .unwrap_or(0);
    let top = layout::scroll_top(first, usize::from(area.height), rows.len());
    if let Ok(down) = u16::try_from(first.saturating_sub(top))
        && down < area.height
    {
        Paint::new(look)
            .put(Meaning::Heading, "▸")
            .draw(buffer, area.x, area.y + down, 1);
    }
}

fn line<'a>(look: &'a Look, field: &Field, here: bool, width: usize) -> Paint<'a> {
    let label = if here {
        Meaning::Heading
    } else {
        Meaning::Quiet
    };
    let paint = Paint::new(look).left(label, field.label, LABEL);
    let room = width.saturating_sub(LABEL);
    if let Kind::Choice(words) = &field.kind {
        return choice(paint, words, field.picked, here, room);
    }
    let text = field.entry.text();
    let reading = match field.reading() {
        Ok(reading) if reading.is_empty() => String::new(),
        Ok(reading) => format!("= {reading}"),
        Err(why) if here => why,
        Err(_) => "not read".to_owned(),
    };
    let keep = if reading.is_empty() {
        room
    } else {
        room.saturating_sub(say::width(&reading) + 2).max(room / 3)
    };
    // A long line shows its end, where the cursor mostly is.
    let shown = tail(text, keep.saturating_sub(1));
    let paint = paint.left(Meaning::Plain, &shown, keep);
    let left = width.saturating_sub(paint.cells() + 1);
    paint.gap(1).put(Meaning::Quiet, say::clip(&reading, left))
}

fn choice<'a>(
    mut paint: Paint<'a>,
    words: &[String],
    picked: Option<usize>,
    here: bool,
    room: usize,
) -> Paint<'a> {
    let all: Vec<String> = words
        .iter()
        .enumerate()
        .map(|(at, word)| format!("{} {word}", at + 1))
        .collect();
    let cells: usize = all.iter().map(|word| say::width(word) + 2).sum();
    if !here || cells > room {
        let word = picked
            .and_then(|at| words.get(at))
            .map_or("not known", String::as_str);
        let which = picked.map_or_else(String::new, |at| format!("{} ", at + 1));
        let more = if here {
            format!("  (1–{}, Space steps)", words.len())
        } else {
            String::new()
        };
        return paint.put(
            Meaning::Plain,
            say::clip(&format!("{which}{word}{more}"), room),
        );
    }
    for (at, word) in all.into_iter().enumerate() {
        let meaning = if picked == Some(at) {
            Meaning::InHand
        } else {
            Meaning::Plain
        };
        paint = paint.put(meaning, word).gap(2);
    }
    paint
}

/// The end of a text that is too long for its cells.
fn tail(text: &str, cells: usize) -> String {
    if say::width(text) <= cells {
        return text.to_owned();
    }
    let mut out: Vec<char> = Vec::new();
    let mut used = 1;
    for c in text.chars().rev() {
        let wide = unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
        if used + wide > cells {
            break;
        }
        used += wide;
        out.push(c);
    }
    let end: String = out.into_iter().rev().collect();
    format!("…{end}")
}
