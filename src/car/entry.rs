//! Numbers as people type them, with their units. Nothing is guessed: what could mean two things is asked.
//!
//! An empty field is "not known" and reads as `None`. Every error is one sentence: what, where, what to do.

mod money;
mod ranges;
mod units;

pub use money::{money, money_range};
pub use ranges::*;
pub use units::{KM_PER_MILE, Length, hours, inches, miles, number, percent, psi, whole, year};

use super::text;
use rust_decimal::Decimal;

/// Why a typed number is none: one sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct EntryError(pub(crate) String);

/// A number and what stood behind it, as typed and lowered.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Figure {
    value: Decimal,
    /// Written with `k`.
    thousands: bool,
    /// The rest: a unit, or nothing.
    unit: String,
}

/// How a field takes three digits after the point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Points {
    /// As a fraction.
    Fraction,
    /// Not at all: `1.234` may be a thousand.
    Asked,
}

/// What was typed, made one clean line in small letters; `None` if nothing was.
fn cleaned(typed: &str) -> Option<String> {
    let line = text::one_line(typed)
        .replace('\u{2212}', "-")
        .to_lowercase();
    (!line.is_empty()).then_some(line)
}

/// As typed, short enough for a sentence.
fn quoted(typed: &str) -> String {
    let short: String = typed.chars().take(24).collect();
    if short.len() < typed.len() {
        format!("{short}…")
    } else {
        short
    }
}

fn not_a_number(range: &Range, typed: &str) -> EntryError {
    let like = match range.unit {
        "mi" => "146k, 146000 or 235000km",
        "h" => "1.5h or 90min",
        _ => "1285, 1,285 or 1.2k",
    };
    EntryError(format!(
        "{}: “{}” is not a number; type it like {like}.",
        range.what,
        quoted(typed)
    ))
}

/// Reads one number and its unit from a [`cleaned`] line.
fn figure(range: &Range, line: &str, points: Points) -> Result<Figure, EntryError> {
    let bare = line.trim_matches(|c: char| matches!(c, '$' | '£' | '€' | ' ' | '+'));
    if bare.starts_with('-') || bare.starts_with('(') {
        return Err(EntryError(format!(
            "{}: {} is below zero; type it without the minus.",
            range.what,
            quoted(line)
        )));
    }
    let end = bare
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, ',' | '.')))
        .unwrap_or(bare.len());
    let (digits, rest) = bare.split_at(end);
    let rest = rest.trim();
    let (thousands, unit) = match rest.strip_prefix('k') {
        Some(after) if !after.starts_with('m') || after.starts_with("mi") => (true, after.trim()),
        _ => (false, rest),
    };
    let plain = plain_digits(range, digits, line, thousands, points)?;
    let value = Decimal::from_str_exact(&plain).map_err(|_| {
        EntryError(format!(
            "{}: {} has too many digits; type it again.",
            range.what,
            quoted(line)
        ))
    })?;
    let value = if thousands {
        value.saturating_mul(Decimal::ONE_THOUSAND)
    } else {
        value
    };
    Ok(Figure {
        value,
        thousands,
        unit: unit.to_owned(),
    })
}

/// The digits without their commas, or why commas and points cannot be read one way only.
fn plain_digits(
    range: &Range,
    digits: &str,
    line: &str,
    thousands: bool,
    points: Points,
) -> Result<String, EntryError> {
    if !digits.contains(|c: char| c.is_ascii_digit()) {
        return Err(not_a_number(range, line));
    }
    let (whole, fraction) = match digits.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (digits, None),
    };
    if let Some(fraction) = fraction
        && fraction.contains(['.', ','])
    {
        let bare: String = digits.chars().filter(char::is_ascii_digit).collect();
        return Err(EntryError(format!(
            "{}: {} has points where thousands end; type it like {} or leave them out.",
            range.what,
            quoted(digits),
            grouped(&bare)
        )));
    }
    let mut groups = whole.split(',');
    let first = groups.next().unwrap_or_default();
    let mut followed = false;
    let good = groups.all(|group| {
        followed = true;
        group.len() == 3
    });
    if followed && (!good || first.is_empty() || first.len() > 3) {
        return Err(EntryError(format!(
            "{}: {} has a comma where no thousands end; type a point before fractions, or leave the comma out.",
            range.what,
            quoted(digits)
        )));
    }
    let whole: String = whole.chars().filter(|c| *c != ',').collect();
    let fraction = fraction.unwrap_or_default();
    let leads = !followed && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    if points == Points::Asked && !thousands && leads && fraction.len() == 3 {
        let short = format!("{whole}.{}", fraction.get(..2).unwrap_or_default());
        let short = short.trim_end_matches('0').trim_end_matches('.');
        return Err(EntryError(format!(
            "{digits}: {whole},{fraction} or {short}? Leave the point out."
        )));
    }
    let whole = if whole.is_empty() { "0" } else { &whole };
    Ok(match fraction {
        "" => whole.to_owned(),
        fraction => format!("{whole}.{fraction}"),
    })
}

/// The nearest binary number; a decimal of 28 digits always has one.
fn to_f64(value: Decimal) -> f64 {
    value.to_string().parse().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests;
