//! Readings that only forms need, and days as they are shown.

use crate::car::Vin;
use jiff::civil::Date;

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
