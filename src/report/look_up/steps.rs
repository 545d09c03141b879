//! Labor steps and limits in words.

use super::{caution_words, sourced};
use crate::report::{readings, words};
use crate::trade::{Grade, LimitRow, OperationRow, Tables};

/// A labor step: hours, what it needs, which repairs share it.
pub(super) fn operation(tables: &Tables, row: &OperationRow) -> Vec<(&'static str, String)> {
    let needs: Vec<String> = row
        .needs
        .iter()
        .map(|id| {
            let tool = tables.tool(id);
            tool.map_or_else(|| id.clone(), |tool| tool.name.clone())
        })
        .collect();
    let repairs: Vec<&str> = tables
        .repairs
        .iter()
        .filter(|repair| repair.operations.contains(&row.id) || repair.follow_ups.contains(&row.id))
        .map(|repair| repair.name.as_str())
        .collect();
    let machine = if row.garage_machine {
        "on a garage's machine, even when the rest is done at home"
    } else {
        ""
    };
    vec![
        (
            "hours",
            format!(
                "{} at a garage, ×{} at home",
                words::hours_range(row.hours.low(), row.hours.high()),
                row.home_factor
            ),
        ),
        ("where done", machine.to_owned()),
        ("needs", needs.join("; ")),
        ("part of", repairs.join("; ")),
        ("caution", caution_words(tables, &row.cautions)),
        ("note", row.note.clone()),
        ("source", sourced(&row.source, &row.as_of)),
    ]
}

/// A limit of a reading: figures, rule set, what it means to be outside.
pub(super) fn limit(row: &LimitRow) -> Vec<(&'static str, String)> {
    let figure = |figure: Option<f64>| {
        figure.map_or_else(String::new, |figure| {
            format!("{figure} {}", row.unit).trim().to_owned()
        })
    };
    let outside = match row.grade {
        Grade::Watch => "passes; worth watching",
        Grade::Renew => "passes; to be renewed or put right soon",
        Grade::Limit => "fails",
        Grade::Danger => "fails, and is not to be driven",
    };
    let years = match (row.year_from, row.year_to) {
        (None, None) => String::new(),
        (Some(from), None) => format!("model years from {from}"),
        (None, Some(to)) => format!("model years up to {to}"),
        (Some(from), Some(to)) => format!("model years {from} to {to}"),
    };
    vec![
        ("rule set", readings::rule_set(&row.rule_set).to_owned()),
        ("least", figure(row.least)),
        ("greatest", figure(row.greatest)),
        ("outside it", outside.to_owned()),
        ("only where", row.when.clone()),
        ("years", years),
        ("vehicle", row.vehicle.clone()),
        ("note", row.note.clone()),
        ("source", sourced(&row.source, &row.as_of)),
    ]
}
