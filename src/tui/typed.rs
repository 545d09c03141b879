//! Numbers typed into a field that must hold one: the readings of [`crate::car::entry`], where an empty field is asked for
//! again. The bounds come from the one table there, which the check of files uses too.

use crate::car::entry::{self, EntryError, Range};
use crate::car::{Money, MoneyRange};

fn needed<T>(read: Result<Option<T>, EntryError>, range: &Range) -> Result<T, String> {
    read.map_err(|error| error.to_string())?
        .ok_or_else(|| format!("{}: nothing typed yet.", range.what))
}

/// A plain number.
///
/// # Errors
/// One sentence.
pub fn number(range: &Range, typed: &str) -> Result<f64, String> {
    needed(entry::number(range, typed), range)
}

/// A whole number.
///
/// # Errors
/// One sentence.
pub fn whole(range: &Range, typed: &str) -> Result<u32, String> {
    needed(entry::whole(range, typed), range)
}

/// A share, typed in percent.
///
/// # Errors
/// One sentence.
pub fn percent(range: &Range, typed: &str) -> Result<f64, String> {
    needed(entry::percent(range, typed), range)
}

/// An amount of money of zero or more.
///
/// # Errors
/// One sentence.
pub fn money(range: &Range, typed: &str) -> Result<Money, String> {
    needed(entry::money(range, typed), range)
}

/// Low, likely, high.
///
/// # Errors
/// One sentence.
pub fn money_range(range: &Range, typed: &str) -> Result<MoneyRange, String> {
    needed(entry::money_range(range, typed), range)
}

/// Miles.
///
/// # Errors
/// One sentence.
pub fn miles(range: &Range, typed: &str) -> Result<f64, String> {
    needed(entry::miles(range, typed), range)
}

/// Hours.
///
/// # Errors
/// One sentence.
pub fn hours(range: &Range, typed: &str) -> Result<f64, String> {
    needed(entry::hours(range, typed), range)
}

/// A model year.
///
/// # Errors
/// One sentence.
pub fn year(typed: &str) -> Result<u16, String> {
    needed(entry::year(typed), &entry::YEAR)
}
