//! A figure of the user's own over that of the tables, with the reason for it.

use super::{Field, Form, Kind, Purpose, Wrong};
use crate::trade::own::figures;
use crate::trade::{FigureKind, OwnChange, OwnFigure};
use crate::tui::app::{App, Effect};
use crate::tui::screens::look::{change_own, value_words};
use serde_json::{Value, json};

fn figure(app: &App, table: &str, id: &str, field: &str) -> Option<OwnFigure> {
    let all = figures(&app.data.tables, table, id);
    all.into_iter().find(|figure| figure.field == field)
}

/// Value and reason.
pub fn own(app: &App, table: &str, id: &str, field: &str) -> Form {
    let figure = figure(app, table, id, field);
    let label = figure
        .as_ref()
        .map_or("figure", |figure| figure.label.as_str());
    let title = format!("yours: {label} of {id}");
    let (now, hint) = figure.as_ref().map_or_else(
        || (String::new(), ""),
        |figure| (as_typed(figure), hint(figure.kind)),
    );
    Form::new(
        Purpose::Own {
            table: table.to_owned(),
            id: id.to_owned(),
            field: field.to_owned(),
        },
        title,
        vec![
            Field::line("value", "figure", Kind::Text, &now, hint),
            Field::line(
                "reason",
                "because",
                Kind::Text,
                "",
                "in your words; it is shown with the figure",
            ),
        ],
    )
    .with_note("Kept in your own tables, over ours. All cars are priced anew.")
}

fn hint(kind: FigureKind) -> &'static str {
    match kind {
        FigureKind::Share => "percent",
        FigureKind::Money => "low likely high, as 80 100 140; or one sum",
        FigureKind::Hours => "low likely high in hours, as 1.5 2 3; or one number",
        FigureKind::Number => "a number",
        FigureKind::Whole => "a whole number",
    }
}

fn as_typed(figure: &OwnFigure) -> String {
    let three: Option<[f64; 3]> = serde_json::from_value(figure.value.clone()).ok();
    match (three, figure.kind) {
        (Some([low, likely, high]), _) => format!("{low} {likely} {high}"),
        (None, FigureKind::Share) => value_words(figure.kind, &figure.value)
            .trim_end_matches('%')
            .to_owned(),
        (None, _) => value_words(figure.kind, &figure.value),
    }
}

/// Reads what was typed.
fn read(kind: FigureKind, text: &str) -> Result<Value, String> {
    let bare = text.replace([',', '$', '£', '€', '%'], "");
    let numbers: Option<Vec<f64>> = bare
        .split_whitespace()
        .filter(|word| !matches!(*word, "h" | "hours" | "to"))
        .map(|word| word.parse::<f64>().ok().filter(|number| number.is_finite()))
        .collect();
    let numbers =
        numbers.ok_or_else(|| format!("“{text}” is not read as numbers; write {}.", hint(kind)))?;
    match (kind, numbers.as_slice()) {
        (FigureKind::Share, [percent]) if (0.0..=100.0).contains(percent) => {
            Ok(json!(percent / 100.0))
        }
        (FigureKind::Share, _) => Err("A share is one number from 0 to 100.".to_owned()),
        (FigureKind::Money | FigureKind::Hours, [one]) if *one >= 0.0 => Ok(json!([one, one, one])),
        (FigureKind::Money | FigureKind::Hours, [low, likely, high])
            if 0.0 <= *low && low <= likely && likely <= high =>
        {
            Ok(json!([low, likely, high]))
        }
        (FigureKind::Money | FigureKind::Hours, _) => Err(format!(
            "Write {}, the low one first and none under nought.",
            hint(kind)
        )),
        (FigureKind::Whole, [one]) if one.fract().abs() < 1e-9 && (0.0..1e6).contains(one) => {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "whole and small"
            )]
            let whole = *one as u32;
            Ok(json!(whole))
        }
        (FigureKind::Whole, _) => Err("Write a whole number.".to_owned()),
        (FigureKind::Number, [one]) => Ok(json!(one)),
        (FigureKind::Number, _) => Err("Write one number.".to_owned()),
    }
}

/// Keeps it; the reason is asked for.
pub fn keep_own(
    form: &Form,
    app: &mut App,
    table: &str,
    id: &str,
    field: &str,
) -> Result<Vec<Effect>, Wrong> {
    let Some(figure) = figure(app, table, id, field) else {
        return Err(Wrong::at(
            "value",
            "The figure is not in the tables any more.",
        ));
    };
    let value = read(figure.kind, &form.text("value")).map_err(|why| Wrong::at("value", why))?;
    let reason = form.text("reason");
    if reason.is_empty() {
        return Err(Wrong::at(
            "reason",
            "Say why: without a reason no figure is changed.",
        ));
    }
    let label = format!(
        "yours: {} of {id} {}",
        figure.label,
        value_words(figure.kind, &value)
    );
    let change = OwnChange {
        table: table.to_owned(),
        id: id.to_owned(),
        field: field.to_owned(),
        to: Some((value, reason)),
    };
    Ok(change_own(app, change, label))
}
