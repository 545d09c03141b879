//! Numbers typed into a field that must hold one: the readings of [`crate::car::entry`], where an empty field is asked for again.

use crate::car::entry::{self, EntryError, Range};
use crate::car::{Money, MoneyRange};

/// A plain number of any size that the file can hold.
const NUMBER: Range = entry::SUM.named("number");

fn needed<T>(read: Result<Option<T>, EntryError>, what: &str) -> Result<T, String> {
    read.map_err(|error| error.to_string())?
        .ok_or_else(|| format!("{what}: nothing typed yet."))
}

/// A plain number of zero or more.
///
/// # Errors
/// One sentence.
pub fn number(typed: &str) -> Result<f64, String> {
    needed(entry::number(&NUMBER, typed), "number")
}

/// An amount of money of zero or more.
///
/// # Errors
/// One sentence.
pub fn money(typed: &str) -> Result<Money, String> {
    needed(entry::money(&entry::SUM, typed), "sum")
}

/// Low, likely, high.
///
/// # Errors
/// One sentence.
pub fn money_range(typed: &str) -> Result<MoneyRange, String> {
    needed(entry::money_range(&entry::WORTH, typed), "worth")
}

/// Miles on an odometer.
///
/// # Errors
/// One sentence.
pub fn miles(typed: &str) -> Result<f64, String> {
    needed(entry::miles(&entry::ODOMETER, typed), "odometer")
}

/// Hours.
///
/// # Errors
/// One sentence.
pub fn hours(typed: &str) -> Result<f64, String> {
    needed(entry::hours(&entry::HOURS, typed), "hours")
}
