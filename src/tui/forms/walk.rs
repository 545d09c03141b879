//! Fields of the walk-around: a number with its unit, a note and the file name of a photo.

use super::{Field, Form, Kind, Purpose, Wrong};
use crate::car::Answer;
use crate::engine::readings::{Yardstick, read_typed_for};
use crate::engine::scan;
use crate::tui::app::{App, Effect};
use crate::tui::say;
use crate::tui::screens::walk;

pub fn reading(app: &App, sign: String) -> Form {
    let row = app.data.tables.sign(&sign);
    let hint = row
        .and_then(|row| row.reading.as_ref())
        .map_or_else(String::new, |spec| spec.hint.clone());
    let name = row.map_or_else(|| sign.clone(), |row| row.name.clone());
    let kept = app
        .data
        .record()
        .and_then(|car| car.checks.get(&sign)?.reading.as_ref())
        .map_or_else(String::new, |reading| reading.typed.clone());
    let field = Field::line("number", "number", Kind::Text, &kept, "");
    let title = if hint.is_empty() {
        name
    } else {
        format!("{name}: {hint}")
    };
    let mut form = Form::new(Purpose::Reading(sign), title, vec![field]).with_note(
        "Enter keeps; Enter alone is not seen. The limit and its source stand on the page.",
    );
    refresh(&mut form, app);
    form
}

/// Shows how the number is read while it is typed.
pub fn refresh(form: &mut Form, app: &App) {
    let Purpose::Reading(sign) = form.purpose.clone() else {
        return;
    };
    let text = form.text("number");
    if let Some(field) = form.fields.first_mut() {
        field.preview = Some(walk::preview(app, &sign, &text));
    }
}

pub fn keep_reading(form: &Form, app: &mut App, sign: &str) -> Result<Vec<Effect>, Wrong> {
    let Some(row) = app.data.tables.sign(sign).cloned() else {
        return Ok(Vec::new());
    };
    let text = form.text("number");
    let at = app.data.now;
    if text.is_empty() {
        let known = crate::car::Known::Seen;
        return Ok(walk::put(app, &row, Answer::NotSeen, |car, id| {
            if let Some(extras) = car.checks.get_mut(id) {
                extras.reading = None;
            }
            scan::set(car, id, Answer::NotSeen, known, at);
        }));
    }
    let reading = read_typed_for(&row, &app.data.tables, Some(&app.data.buyer), &text)
        .map_err(|why| Wrong::at("number", why))?;
    let tables = std::sync::Arc::clone(&app.data.tables);
    let level = app.data.record().and_then(|car| {
        let yardstick = Yardstick::new(&tables, car, Some(&app.data.buyer), at.date());
        Some(yardstick.read(&row, &reading)?.level)
    });
    let answer = Answer::Level(level.unwrap_or(0));
    Ok(walk::put(app, &row, answer, |car, id| {
        scan::measure(car, &tables, id, reading, at);
    }))
}

pub fn check_note(app: &App, sign: String) -> Form {
    let extras = app
        .data
        .record()
        .and_then(|car| car.checks.get(&sign).cloned())
        .unwrap_or_default();
    let name = app
        .data
        .tables
        .sign(&sign)
        .map_or_else(|| sign.clone(), |row| row.name.clone());
    let fields = vec![
        Field::line(
            "note",
            "note",
            Kind::Text,
            &extras.note,
            "it moves no figure",
        ),
        Field::line(
            "photo",
            "photo",
            Kind::Text,
            &extras.photo,
            "file name, such as IMG_0412.jpg; the photo itself stays where it is",
        ),
    ];
    Form::new(Purpose::CheckNote(sign), format!("note: {name}"), fields)
}

pub fn keep_check_note(form: &Form, app: &mut App, sign: &str) -> Result<Vec<Effect>, Wrong> {
    let (note, photo) = (form.text("note"), form.text("photo"));
    if note.is_empty() && photo.is_empty() && !noted(app, sign) {
        return Err(Wrong::at("note", "a word, or the name of a photo."));
    }
    let label = format!("note “{}”", say::clip(&note, 24));
    Ok(app.edit(&label, |car| {
        let extras = car.checks.entry(sign.to_owned()).or_default();
        extras.note = note;
        extras.photo = photo;
        if *extras == crate::car::CheckExtras::default() {
            car.checks.remove(sign);
        }
    }))
}

fn noted(app: &App, sign: &str) -> bool {
    let extras = app.data.record().and_then(|car| car.checks.get(sign));
    extras.is_some_and(|extras| !extras.note.is_empty() || !extras.photo.is_empty())
}
