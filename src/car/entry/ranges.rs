//! What a number may be: the least and the greatest that is taken as meant, and the sentence when it is not.
//!
//! The bounds catch slips of the finger, they do not judge cars: common practice, no source, unless a line says so.

use super::EntryError;
use crate::car::money::GREATEST_AMOUNT;

/// One kind of number. Both the forms and the check of files take their bounds from here, so that what is typed can be read again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// What it is, as its field is labeled.
    pub what: &'static str,
    /// Least.
    pub least: f64,
    /// Greatest.
    pub greatest: f64,
    /// Unit as shown; empty for a bare number. A share has `%`: its bounds are parts of one, its sentences speak of percent.
    pub unit: &'static str,
}

const fn range(what: &'static str, least: f64, greatest: f64, unit: &'static str) -> Range {
    Range {
        what,
        least,
        greatest,
        unit,
    }
}

#[allow(clippy::cast_precision_loss, reason = "ten million is exact")]
const MOST: f64 = GREATEST_AMOUNT as f64;

/// Odometer.
pub const ODOMETER: Range = range("odometer", 0.0, 2_000_000.0, "mi");
/// Model year.
pub const YEAR: Range = range("year", 1900.0, 2100.0, "");
/// Asking price.
pub const ASKING: Range = range("asking price", 0.0, MOST, "");
/// Worth.
pub const WORTH: Range = range("worth", 0.0, MOST, "");
/// An offer or an answer to one.
pub const OFFER: Range = range("offer", 0.0, MOST, "");
/// Price paid.
pub const PAID: Range = range("price paid", 0.0, MOST, "");
/// Price of a car like it.
pub const COMPARABLE: Range = range("price of a car like it", 0.0, MOST, "");
/// Any other sum of money.
pub const SUM: Range = range("sum", 0.0, MOST, "");
/// Money there is for the car.
pub const WALLET: Range = range("wallet", 0.0, MOST, "");
/// Fees.
pub const FEES: Range = range("fees", 0.0, MOST, "");
/// Garage rate.
pub const GARAGE_RATE: Range = range("garage rate", 0.0, 2_000.0, "an hour");
/// Value of an hour.
pub const HOUR_VALUE: Range = range("value of an hour", 0.0, 2_000.0, "an hour");
/// Cylinders.
pub const CYLINDERS: Range = range("cylinders", 1.0, 16.0, "");
/// Banks of cylinders.
pub const BANKS: Range = range("banks of cylinders", 1.0, 4.0, "");
/// Owners so far.
pub const OWNERS: Range = range("owners so far", 1.0, 50.0, "");
/// Peak power.
pub const POWER: Range = range("power", 1.0, 3_000.0, "hp");
/// Curb mass.
pub const MASS: Range = range("curb mass", 200.0, 20_000.0, "lb");
/// Way to the car; half of the way around the Earth is under 12,500 mi.
pub const AWAY: Range = range("miles away", 0.0, 12_500.0, "mi");
/// How alike a comparable is, a share.
pub const ALIKE: Range = range("how alike", 0.0, 1.0, "%");
/// Free hours a week.
pub const HOURS_A_WEEK: Range = range("hours a week", 0.0, 168.0, "h");
/// Hours a job took, or may take.
pub const HOURS: Range = range("hours", 0.0, 20_000.0, "h");
/// What one of several things weighs beside the others.
pub const WEIGHT: Range = range("weight", 0.0, 1_000.0, "");
/// A share of a whole.
pub const SHARE: Range = range("share", 0.0, 1.0, "%");
/// Chance of not being out of pocket, a share: under one in two there is no margin to speak of, and nobody is sure.
pub const CONFIDENCE: Range = range("be right", 0.5, 0.99, "%");
/// Tax on the price, a share.
pub const TAX: Range = range("tax on the price", 0.0, 1.0, "%");
/// What a garage adds to the price of parts, a share.
pub const MARKUP: Range = range("garage markup", 0.0, 10.0, "%");
/// Local prices over the tables' own.
pub const PRICES_HERE: Range = range("prices here", 0.05, 20.0, "");
/// Own hours over the tables' own.
pub const PACE: Range = range("own pace", 0.05, 20.0, "");
/// Penalty steps accepted.
pub const LAPS: Range = range("laps accepted", 0.0, 10_000.0, "");
/// Treadwear grade of a tire (49 CFR 575.104 grades it in hundreds; none is above a few).
pub const TREADWEAR: Range = range("least treadwear", 0.0, 2_000.0, "");
/// Skill.
pub const SKILL: Range = range("skill", 1.0, 5.0, "");
/// Miles on a receipt, a sticker or a sheet.
pub const RECEIPT: Range = range("miles on it", 0.0, 2_000_000.0, "mi");
/// Depth of tread.
pub const TREAD: Range = range("tread", 0.0, 2.0, "in");
/// Tire pressure.
pub const PRESSURE: Range = range("pressure", 0.0, 150.0, "psi");

impl Range {
    /// The same bounds under another label.
    #[must_use]
    pub const fn named(self, what: &'static str) -> Self {
        Self { what, ..self }
    }

    /// True for a finite number within the bounds.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        value.is_finite() && value >= self.least && value <= self.greatest
    }

    /// The number, if it is within the bounds.
    ///
    /// # Errors
    /// One sentence: what, where, what to do.
    pub fn check(&self, value: f64) -> Result<f64, EntryError> {
        if self.holds(value) {
            return Ok(value);
        }
        Err(EntryError(format!("{}; type it again.", self.fault(value))))
    }

    /// What is wrong with a number outside: `odometer: 3,000,000 mi is outside 0 to 2,000,000 mi`.
    #[must_use]
    pub fn fault(&self, value: f64) -> String {
        let unit = match self.unit {
            "" => String::new(),
            "%" => "%".to_owned(),
            unit => format!(" {unit}"),
        };
        let times = if self.unit == "%" { 100.0 } else { 1.0 };
        let in_words = |number: f64| {
            let words = shown(number * times);
            // A year carries no thousands comma.
            if self.what == YEAR.what {
                words.replace(',', "")
            } else {
                words
            }
        };
        let [shown, least, greatest] = [value, self.least, self.greatest].map(in_words);
        format!(
            "{}: {shown}{unit} is outside {least} to {greatest}{unit}",
            self.what
        )
    }
}

/// A number as shown in sentences: thousands commas, at most two digits after the point, scientific beyond 15 digits.
#[must_use]
pub fn shown(value: f64) -> String {
    if !value.is_finite() {
        return "not a number".to_owned();
    }
    if value.abs() >= 1e15 {
        return format!("{value:e}");
    }
    let rounded = format!("{value:.2}");
    let short = rounded.trim_end_matches('0').trim_end_matches('.');
    let (sign, digits) = match short.strip_prefix('-') {
        Some(digits) if digits != "0" => ("\u{2212}", digits),
        Some(digits) => ("", digits),
        None => ("", short),
    };
    let (whole, cents) = digits.split_once('.').unwrap_or((digits, ""));
    let point = if cents.is_empty() { "" } else { "." };
    format!("{sign}{}{point}{cents}", grouped(whole))
}

/// Digits with a comma before each group of three.
#[must_use]
pub fn grouped(digits: &str) -> String {
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, c) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}
