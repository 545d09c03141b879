//! Readings against limits, in words: the number, the limit it was held against, and where that limit stands.

use crate::car::Quantity;
use crate::engine::readings::{Measured, ReadingVerdict};
use crate::trade::{Grade, LimitRow, Side};

/// One number of a reading with its verdict: `least tread 5/32 in: inside 4/32 in or more`.
#[must_use]
pub fn measured(one: &Measured) -> String {
    let unit = one.row.as_ref().map_or("", |row| row.unit.as_str());
    let value = figure(one.quantity, one.value, unit);
    let Some(row) = &one.row else {
        return format!("{} {value}: no rule set in force has a figure", one.label);
    };
    format!("{} {value}: {}", one.label, against(one, row))
}

/// What the limit says: `inside`, `under`, `over`, with the figure.
#[must_use]
pub fn against(one: &Measured, row: &LimitRow) -> String {
    let shown = |bound: Option<f64>| bound.map(|bound| figure(one.quantity, bound, &row.unit));
    let (least, greatest) = (shown(one.bounds.0), shown(one.bounds.1));
    let grade = match one.grade {
        None => "inside",
        Some(Grade::Watch) => "passes, watch it",
        Some(Grade::Renew) => "passes, renew it soon",
        Some(Grade::Limit) => "outside",
        Some(Grade::Danger) => "outside, not to be driven",
    };
    let limit = match (one.side, least, greatest) {
        (Side::Under, Some(least), _) if row.on_it_is_outside => format!("{least} or under"),
        (Side::Under, Some(least), _) => format!("under {least}"),
        (Side::Over, _, Some(greatest)) if row.on_it_is_outside => format!("{greatest} or over"),
        (Side::Over, _, Some(greatest)) => format!("over {greatest}"),
        (_, Some(least), Some(greatest)) => format!("{least} to {greatest}"),
        (_, Some(least), None) => format!("least {least}"),
        (_, None, Some(greatest)) => format!("greatest {greatest}"),
        (_, None, None) => "no figure".to_owned(),
    };
    format!("{grade}: {limit}")
}

/// The sources of a reading's limits and what to mind, once each.
#[must_use]
pub fn sources(verdict: &ReadingVerdict) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for row in verdict.measured.iter().filter_map(|one| one.row.as_ref()) {
        let note = if row.note.is_empty() {
            String::new()
        } else {
            format!(" {}", row.note)
        };
        let words = format!("{}: {}.{note}", rule_set(&row.rule_set), row.source);
        if !found.contains(&words) {
            found.push(words);
        }
    }
    found
}

/// Name of a rule set.
#[must_use]
pub fn rule_set(id: &str) -> &str {
    match id {
        "us-49cfr570" => "US 49 CFR 570",
        "us-epa" => "US EPA",
        "uk-mot" => "UK MOT",
        "handbook" => "handbook",
        "own" => "your own limit",
        "house" => "house rules",
        other => other,
    }
}

/// A number with its unit: in the limit's own where that is metric, tread in thirty-seconds.
#[must_use]
pub fn figure(quantity: Quantity, value: f64, unit: &str) -> String {
    let metric = unit.eq_ignore_ascii_case("mm");
    match quantity {
        Quantity::Tread if !metric => format!("{}/32 in", short(value * 32.0)),
        Quantity::Tread | Quantity::Length if metric => format!("{} mm", short(value * 25.4)),
        Quantity::Tread | Quantity::Length => format!("{} in", thousandths(value)),
        Quantity::Volts => format!("{} V", short(value)),
        Quantity::Pressure => format!("{} psi", short(value)),
        Quantity::Percent => format!("{}%", short(value)),
        Quantity::Temperature => format!("{} F", short(value)),
        Quantity::Count | Quantity::Grade => short(value),
        Quantity::Miles => format!("{} mi", short(value)),
        Quantity::Milliamperes => format!("{} mA", short(value)),
        Quantity::TireDate => format!("{} years", short(value)),
    }
}

fn short(value: f64) -> String {
    trimmed(format!("{value:.1}"))
}

fn thousandths(value: f64) -> String {
    trimmed(format!("{value:.3}"))
}

/// Without the zeros behind the point, and with a true minus.
fn trimmed(figure: String) -> String {
    let figure = if figure.contains('.') {
        figure
            .trim_end_matches('0')
            .trim_end_matches('.')
            .to_owned()
    } else {
        figure
    };
    match figure.strip_prefix('-') {
        Some("0") => "0".to_owned(),
        Some(rest) => format!("−{rest}"),
        None => figure,
    }
}
