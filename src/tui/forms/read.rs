//! Readings that only forms need, and days as they are shown.

use crate::car::Vin;
use crate::tui::typed as entry;
use jiff::civil::Date;

/// A share typed as percent.
///
/// # Errors
/// One sentence.
pub fn percent(typed: &str) -> Result<f64, String> {
    let value = entry::number(typed.trim().trim_end_matches('%'))?;
    if (0.0..=100.0).contains(&value) {
        Ok(value / 100.0)
    } else {
        Err(format!("{typed}: percent run from 0 to 100."))
    }
}

/// A model year.
///
/// # Errors
/// One sentence.
pub fn year(typed: &str) -> Result<u16, String> {
    match typed.trim().parse::<u16>() {
        Ok(year) if (1900..=2100).contains(&year) => Ok(year),
        _ => Err(format!(
            "“{typed}”: a model year has four digits, such as 2009."
        )),
    }
}

/// A small whole number.
///
/// # Errors
/// One sentence.
pub fn count(typed: &str) -> Result<u8, String> {
    match typed.trim().parse::<u8>() {
        Ok(count) if (1..=16).contains(&count) => Ok(count),
        _ => Err(format!("“{typed}”: a number from 1 to 16.")),
    }
}

/// A number over nothing, within a bound.
///
/// # Errors
/// One sentence.
pub fn within(typed: &str, least: f64, most: f64) -> Result<f64, String> {
    let value = entry::number(typed)?;
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(format!("{typed}: runs from {least} to {most}."))
    }
}

/// An identification number.
///
/// # Errors
/// One sentence.
pub fn vin(typed: &str) -> Result<Vin, String> {
    Vin::parse(typed).map_err(|error| error.to_string())
}

/// A day as in files: 2026-11-14.
///
/// # Errors
/// One sentence.
pub fn day_typed(typed: &str) -> Result<Date, String> {
    typed
        .trim()
        .parse::<Date>()
        .map_err(|_| format!("“{typed}”: a day such as 2026-11-14."))
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

fn month(date: Date) -> &'static str {
    let at = usize::try_from(date.month() - 1).unwrap_or(0);
    MONTHS.get(at).copied().unwrap_or("")
}

/// A day as shown: 14 Nov.
#[must_use]
pub fn day(date: Date) -> String {
    format!("{:02} {}", date.day(), month(date))
}

/// A day with its year: 14 Nov 2026.
#[must_use]
pub fn day_and_year(date: Date) -> String {
    format!("{:02} {} {}", date.day(), month(date), date.year())
}

/// A weekday and day: Sat 14 Nov.
#[must_use]
pub fn weekday(date: Date) -> String {
    let name = match date.weekday() {
        jiff::civil::Weekday::Monday => "Mon",
        jiff::civil::Weekday::Tuesday => "Tue",
        jiff::civil::Weekday::Wednesday => "Wed",
        jiff::civil::Weekday::Thursday => "Thu",
        jiff::civil::Weekday::Friday => "Fri",
        jiff::civil::Weekday::Saturday => "Sat",
        jiff::civil::Weekday::Sunday => "Sun",
    };
    format!("{name} {}", day(date))
}
