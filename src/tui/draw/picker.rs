//! The sign picker, drawn: words, kinds, rows, and the levels of the sign in hand.

use super::Look;
use super::line::{Paint, Rows};
use super::window;
use crate::trade::{SignKind, SignRow};
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Regions};
use crate::tui::overlay::picker::{KINDS, Picker, WAYS};
use crate::tui::say;
use crate::tui::theme::Meaning;
use ratatui::layout::Position;

fn kind(kind: SignKind) -> &'static str {
    match kind {
        SignKind::Symptom => "symptom",
        SignKind::Code => "code",
        SignKind::Check => "check",
        SignKind::Test => "test",
        SignKind::Admission => "admitted",
        SignKind::Paper => "paper",
    }
}

pub fn draw(
    app: &App,
    picker: &Picker,
    look: &Look,
    regions: &Regions,
    buffer: &mut Sheet<'_>,
) -> Option<Position> {
    let name = app.data.car().map_or("", |car| car.name());
    let title = format!("add a sign to {name}");
    let foot = if picker.level.is_some() {
        "a digit answers   Tab how it is known   Esc back"
    } else {
        "Enter take it   Tab kind   Esc leave it"
    };
    let inside = window::open(look, regions, &title, foot, (74, 24), buffer);
    let width = usize::from(inside.width);
    let (head, rest) = layout::split_top(inside, 2);
    let mut top = Rows::default();
    let count = format!("{} of {}", picker.found.len(), app.data.tables.signs.len());
    let room = width.saturating_sub(6 + say::width(&count) + 1);
    top.text(
        Paint::new(look)
            .put(Meaning::Quiet, "find  ")
            .left(Meaning::Heading, picker.query.text(), room)
            .gap(1)
            .put(Meaning::Quiet, count),
    );
    let mut kinds = Paint::new(look).put(Meaning::Quiet, "in    ");
    for (at, (word, _)) in KINDS.iter().enumerate() {
        if kinds.cells() + word.len() > width {
            break;
        }
        let meaning = if at == picker.kind {
            Meaning::InHand
        } else {
            Meaning::Plain
        };
        kinds = kinds.put(meaning, *word).gap(1);
    }
    top.text(kinds);
    window::draw_inside(look, &top, head, buffer, None);
    let sign = picker.in_hand(app);
    let below = sign.map(|sign| level_rows(picker, look, sign, width));
    let wanted = below.as_ref().map_or(3, Rows::len);
    let list_rows = if picker.level.is_some() {
        0
    } else {
        let room = usize::from(rest.height).saturating_sub(wanted);
        room.clamp(3, 12).min(picker.found.len().max(1))
    };
    let (list, foot) = layout::split_top(rest, u16::try_from(list_rows).unwrap_or(3));
    let rows = found(app, picker, look, width);
    window::draw_inside(look, &rows, list, buffer, Some(picker.at));
    match below {
        Some(rows) => window::draw_inside(look, &rows, foot, buffer, None),
        None => nothing(picker, look, width).draw(look, foot, buffer, None, false),
    }
    let (before, _) = picker.query.halves();
    let x = head.x + 6 + u16::try_from(say::width(before).min(room)).unwrap_or(0);
    picker
        .level
        .is_none()
        .then(|| Position::new(x.min(buffer.area.right().saturating_sub(1)), head.y))
}

fn found(app: &App, picker: &Picker, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    for (at, id) in picker.found.iter().enumerate() {
        let Some(sign) = app.data.tables.sign(id) else {
            continue;
        };
        let word = kind(sign.kind);
        let room = width.saturating_sub(10);
        rows.row(
            at,
            Paint::new(look)
                .left(Meaning::Plain, &name(sign), room)
                .gap(1)
                .left(Meaning::Quiet, word, 8),
        );
    }
    rows
}

/// A code is shown before its name.
fn name(sign: &SignRow) -> String {
    if sign.kind == SignKind::Code {
        format!("{}  {}", sign.id.to_uppercase(), sign.name)
    } else {
        sign.name.clone()
    }
}

fn nothing(picker: &Picker, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let words = format!(
        "Nothing like “{}”. Enter keeps it as a note on the car; it moves no figure.",
        picker.query.text()
    );
    rows.words(look, Meaning::Plain, &words, width);
    rows
}

fn level_rows(picker: &Picker, look: &Look, sign: &SignRow, width: usize) -> Rows {
    let mut rows = Rows::default();
    let asked = picker.level.is_some();
    if asked {
        rows.words(look, Meaning::Heading, &name(sign), width);
    } else {
        rows.text(Paint::new(look));
    }
    rows.words(look, Meaning::Plain, &sign.question, width);
    for (at, words) in sign.levels.iter().enumerate().take(9) {
        let stops = sign.stop.as_ref().is_some_and(|stop| at >= stop.from_level);
        let mut paint = Paint::new(look)
            .gap(2)
            .put(
                if asked {
                    Meaning::Heading
                } else {
                    Meaning::Plain
                },
                (at + 1).to_string(),
            )
            .gap(2);
        if stops {
            paint = paint.put(Meaning::Stop, "■").gap(1);
        }
        let room = width.saturating_sub(paint.cells());
        rows.text(paint.put(Meaning::Plain, say::clip(words, room)));
    }
    rows.text(
        Paint::new(look)
            .gap(2)
            .put(Meaning::Plain, "0  not seen   x  not fitted"),
    );
    if let Some(level) = &picker.level {
        let (way, _, _) = WAYS.get(level.way).copied().unwrap_or(WAYS[0]);
        rows.text(
            Paint::new(look)
                .put(Meaning::Quiet, "known  ")
                .put(Meaning::Heading, way)
                .put(Meaning::Quiet, "   Tab: another way"),
        );
        if !sign.how.is_empty() {
            rows.words(
                look,
                Meaning::Quiet,
                &format!("How to tell it  {}", sign.how),
                width,
            );
        }
        if !sign.fools_you.is_empty() {
            rows.words(
                look,
                Meaning::Quiet,
                &format!("How it fools you  {}", sign.fools_you),
                width,
            );
        }
    }
    rows
}
