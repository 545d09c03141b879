//! Distances, hours, years, shares, lengths, pressures, plain numbers.

use super::{EntryError, Figure, PRESSURE, Points, Range, YEAR, cleaned, figure, quoted, to_f64};

/// Kilometers in a mile, exact: the international yard and pound agreement of 1959, 1 mi = 1.609344 km.
pub const KM_PER_MILE: f64 = 1.609_344;
/// Millimeters in an inch, exact by the same agreement.
const MM_PER_INCH: f64 = 25.4;
/// Pounds-force on a square inch in a bar: 1 psi = 6,894.757 Pa (NIST SP 811, appendix B.8), 1 bar = 100,000 Pa.
const PSI_PER_BAR: f64 = 100_000.0 / 6_894.757;

fn unknown_unit(range: &Range, line: &str, good: &str) -> EntryError {
    EntryError(format!(
        "{}: the unit of “{}” is not known here; type {good}.",
        range.what,
        quoted(line)
    ))
}

/// Miles: `146k`, `146,000`, `235000km`.
///
/// # Errors
/// One sentence; `146.000` is asked, not guessed.
pub fn miles(range: &Range, typed: &str) -> Result<Option<f64>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let Figure { value, unit, .. } = figure(range, &line, Points::Asked)?;
    let miles = match unit.as_str() {
        "" | "mi" | "mile" | "miles" | "m" => to_f64(value),
        "km" | "kms" | "kilometers" | "kilometres" => to_f64(value) / KM_PER_MILE,
        _ => return Err(unknown_unit(range, &line, "miles, or kilometers with km")),
    };
    range.check(miles).map(Some)
}

/// Hours: `1.5`, `1.5h`, `90min`, `1h30`, `1:30`.
///
/// # Errors
/// One sentence.
pub fn hours(range: &Range, typed: &str) -> Result<Option<f64>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let (line, clock) = match line.split_once(':') {
        Some((hours, minutes)) => (format!("{hours}h{minutes}"), true),
        None => (line, false),
    };
    let Figure { value, unit, .. } = figure(range, &line, Points::Fraction)?;
    let value = to_f64(value);
    let letters: String = unit.chars().take_while(|c| c.is_alphabetic()).collect();
    let rest = unit.get(letters.len()..).unwrap_or_default().trim();
    let hours = match letters.as_str() {
        "min" | "mins" | "minute" | "minutes" | "m" if rest.is_empty() => value / 60.0,
        "" | "h" | "hr" | "hrs" | "hour" | "hours" => {
            if rest.is_empty() && !clock {
                value
            } else {
                value + sixtieths(range, &line, rest)?
            }
        }
        _ => {
            return Err(unknown_unit(
                range,
                &line,
                "hours like 1.5h or minutes like 90min",
            ));
        }
    };
    range.check(hours).map(Some)
}

/// The minutes behind `1h`, as part of an hour.
fn sixtieths(range: &Range, line: &str, rest: &str) -> Result<f64, EntryError> {
    let digits = rest.trim_end_matches(char::is_alphabetic).trim();
    match digits.parse::<u8>() {
        Ok(minutes) if minutes < 60 => Ok(f64::from(minutes) / 60.0),
        _ => Err(EntryError(format!(
            "{}: the minutes of “{}” are not 0 to 59; type it like 1h30 or 1.5h.",
            range.what,
            quoted(line)
        ))),
    }
}

/// A model year in four digits.
///
/// # Errors
/// One sentence.
pub fn year(typed: &str) -> Result<Option<u16>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let digits = line.chars().all(|c| c.is_ascii_digit());
    match line.parse::<u16>() {
        Ok(year) if digits && line.len() == 4 => {
            YEAR.check(f64::from(year))?;
            Ok(Some(year))
        }
        _ => Err(EntryError(format!(
            "year: “{}” is not a year; type four digits like 2009.",
            quoted(&line)
        ))),
    }
}

/// A share, typed in percent: `12` and `12%` are 0.12.
///
/// # Errors
/// One sentence.
pub fn percent(range: &Range, typed: &str) -> Result<Option<f64>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let Figure {
        value,
        unit,
        thousands,
    } = figure(range, &line, Points::Fraction)?;
    if thousands || !matches!(unit.as_str(), "" | "%" | "percent") {
        return Err(unknown_unit(range, &line, "percent like 12%"));
    }
    range.check(to_f64(value) / 100.0).map(Some)
}

/// A plain number in the range's own unit, with or without it behind.
///
/// # Errors
/// One sentence.
pub fn number(range: &Range, typed: &str) -> Result<Option<f64>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let Figure { value, unit, .. } = figure(range, &line, Points::Fraction)?;
    if !unit.is_empty() && unit != range.unit.to_lowercase() {
        let own = match range.unit {
            "" => "a bare number".to_owned(),
            own => format!("it in {own}"),
        };
        return Err(unknown_unit(range, &line, &own));
    }
    range.check(to_f64(value)).map(Some)
}

/// A whole number.
///
/// # Errors
/// One sentence.
pub fn whole(range: &Range, typed: &str) -> Result<Option<u32>, EntryError> {
    let Some(value) = number(range, typed)? else {
        return Ok(None);
    };
    if value.fract() > 0.0 || value > f64::from(u32::MAX) {
        return Err(EntryError(format!(
            "{}: {} is not whole; type a whole number.",
            range.what,
            super::shown(value)
        )));
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole, not negative, in range"
    )]
    Ok(Some(value as u32))
}

/// What a bare number in a field of length means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Length {
    /// Inches.
    Inches,
    /// Thirty-seconds of an inch, as tread is given in the US.
    ThirtySeconds,
    /// Millimeters.
    Millimeters,
}

/// A length in inches: `5` (as the field's bare unit says), `4mm`, `3/8`, `0.375in`.
///
/// # Errors
/// One sentence.
pub fn inches(range: &Range, typed: &str, bare: Length) -> Result<Option<f64>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let line = line.replace('"', "in");
    let value = match line.split_once('/') {
        Some((above, below)) => fraction(range, &line, above, below)?,
        None => {
            let Figure { value, unit, .. } = figure(range, &line, Points::Fraction)?;
            let value = to_f64(value);
            match (unit.as_str(), bare) {
                ("in" | "inch" | "inches", _) | ("", Length::Inches) => value,
                ("", Length::ThirtySeconds) => value / 32.0,
                ("mm", _) | ("", Length::Millimeters) => value / MM_PER_INCH,
                ("cm", _) => value * 10.0 / MM_PER_INCH,
                _ => return Err(unknown_unit(range, &line, "4mm, 3/8 or 0.375in")),
            }
        }
    };
    range.check(value).map(Some)
}

fn fraction(range: &Range, line: &str, above: &str, below: &str) -> Result<f64, EntryError> {
    let below = below.trim().trim_end_matches("in").trim();
    match (above.trim().parse::<u16>(), below.parse::<u16>()) {
        (Ok(above), Ok(below)) if below > 0 => Ok(f64::from(above) / f64::from(below)),
        _ => Err(EntryError(format!(
            "{}: “{}” is not a fraction; type it like 3/8 or 0.375in.",
            range.what,
            quoted(line)
        ))),
    }
}

/// A pressure in psi: `32`, `32psi`, `2.2bar`, `220kpa`.
///
/// # Errors
/// One sentence.
pub fn psi(typed: &str) -> Result<Option<f64>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let line = line.replace("kpa", " hundredths");
    let Figure { value, unit, .. } = figure(&PRESSURE, &line, Points::Fraction)?;
    let value = to_f64(value);
    let psi = match unit.as_str() {
        "" | "psi" => value,
        "bar" => value * PSI_PER_BAR,
        "hundredths" => value / 100.0 * PSI_PER_BAR,
        _ => return Err(unknown_unit(&PRESSURE, &line, "psi or bar")),
    };
    PRESSURE.check(psi).map(Some)
}
