//! A measured reading as typed: its values in neutral units, and what was said beside them. Nothing is judged here.
//!
//! Neutral units: inches, volts, psi, percent, degrees Fahrenheit, miles, milliamperes, plain counts; a tire's date is the year with its
//! weeks as a fraction.

use super::text;
use super::tire::TireDate;
use serde::{Deserialize, Serialize};

/// What a number of a reading measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Tread: a bare number is thirty-seconds of an inch, or millimeters where those are the custom.
    Tread,
    /// A small length: a bare number is inches, or millimeters where those are the custom.
    Length,
    /// Volts.
    Volts,
    /// Pressure, psi.
    Pressure,
    /// Percent, also below zero.
    Percent,
    /// Temperature: a bare number is Fahrenheit, or Celsius where millimeters are the custom.
    Temperature,
    /// A count.
    Count,
    /// Distance: a bare number is miles.
    Miles,
    /// Milliamperes.
    Milliamperes,
    /// A treadwear grade, as molded on the tire.
    Grade,
    /// The date code of a tire: `3623`.
    TireDate,
}

impl Quantity {
    /// Units that can be typed, for the sentence that asks.
    #[must_use]
    pub fn units(self) -> &'static str {
        match self {
            Self::Tread => "32nds, in or mm",
            Self::Length => "in or mm",
            Self::Volts => "V",
            Self::Pressure => "psi or bar",
            Self::Percent => "%",
            Self::Temperature => "F or C",
            Self::Count => "a plain number",
            Self::Miles => "mi or km",
            Self::Milliamperes => "mA",
            Self::Grade => "a plain number, such as 200",
            Self::TireDate => "four digits, week and year",
        }
    }

    /// Least and greatest that are taken as meant; they catch slips of the finger.
    fn bounds(self) -> (f64, f64) {
        match self {
            Self::Tread => (0.0, 1.0),
            Self::Length => (0.0, 12.0),
            Self::Volts => (0.0, 30.0),
            Self::Pressure => (0.0, 1_000.0),
            Self::Percent => (-100.0, 100.0),
            Self::Temperature => (-60.0, 500.0),
            Self::Count => (0.0, 1_000.0),
            Self::Miles => (0.0, 2_000_000.0),
            Self::Milliamperes => (0.0, 100_000.0),
            Self::Grade => (20.0, 2_000.0),
            Self::TireDate => (1900.0, 2200.0),
        }
    }

    /// The neutral value of a number in a unit, small letters; `None` for a unit that does not measure this.
    #[must_use]
    pub fn neutral(self, value: f64, unit: &str, metric: bool) -> Option<f64> {
        let neutral = match (self, unit) {
            (Self::Tread, "/32" | "32nds" | "32nd") => value / 32.0,
            (Self::Tread, "") if !metric => value / 32.0,
            (Self::Tread | Self::Length, "in" | "inch" | "inches" | "\"") => value,
            (Self::Length, "") if !metric => value,
            (Self::Tread | Self::Length, "mm" | "") => value / MM_PER_INCH,
            (Self::Tread | Self::Length, "cm") => value * 10.0 / MM_PER_INCH,
            (Self::Volts, "" | "v" | "volt" | "volts") => value,
            (Self::Pressure, "" | "psi") => value,
            (Self::Pressure, "bar") => value * PSI_PER_BAR,
            (Self::Pressure, "kpa") => value / 100.0 * PSI_PER_BAR,
            (Self::Percent, "" | "%" | "percent") => value,
            (Self::Temperature, "f" | "°f") => value,
            (Self::Temperature, "") if !metric => value,
            (Self::Temperature, "c" | "°c" | "") => value * 1.8 + 32.0,
            (Self::Count | Self::Grade, "") => value,
            (Self::Miles, "" | "mi" | "mile" | "miles") => value,
            (Self::Miles, "km" | "kms") => value / KM_PER_MILE,
            (Self::Milliamperes, "" | "ma") => value,
            (Self::Milliamperes, "a") => value * 1_000.0,
            _ => return None,
        };
        Some(neutral)
    }
}

/// Kilometers in a mile and millimeters in an inch, exact: the international yard and pound agreement of 1959.
const KM_PER_MILE: f64 = 1.609_344;
const MM_PER_INCH: f64 = 25.4;
/// Pounds-force on a square inch in a bar: 1 psi = 6,894.757 Pa (NIST SP 811, appendix B.8).
const PSI_PER_BAR: f64 = 100_000.0 / 6_894.757;

/// A measured reading.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Reading {
    /// Values in neutral units, in the order asked for.
    pub values: Vec<f64>,
    /// Diameter of the steering wheel, inches, where it was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wheel_in: Option<f64>,
    /// Words beside the numbers that choose another limit, such as `box` or `smart`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub words: Vec<String>,
    /// As typed.
    pub typed: String,
}

/// What is asked for, place by place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked<'a> {
    /// What each number measures; the last one may stand for several more.
    pub quantities: &'a [Quantity],
    /// Least count of numbers.
    pub least: usize,
    /// Greatest count of numbers.
    pub greatest: usize,
    /// Words that may stand beside them.
    pub words: &'a [&'a str],
    /// Bare lengths are millimeters and bare temperatures Celsius.
    pub metric: bool,
}

/// Reads numbers with their units: `4mm`, `5/32in`, `12.4 9.8`, `1.5in @ 15in`, `40mm box`.
///
/// # Errors
/// One sentence: what was not understood, and what can be typed.
pub fn read(asked: &Asked<'_>, typed: &str) -> Result<Reading, String> {
    let line = text::one_line(typed).replace('\u{2212}', "-");
    let mut found = Reading {
        typed: line.clone(),
        ..Reading::default()
    };
    let mut wheel = false;
    for part in parts(&line.to_lowercase()) {
        match part {
            Part::Wheel => wheel = true,
            Part::Word(word) => {
                let known = asked.words.iter().find(|known| **known == word);
                let Some(known) = known else {
                    return Err(unit_asked(asked, found.values.len(), &line, &word));
                };
                found.words.push((*known).to_owned());
            }
            Part::Number { digits, unit } if wheel => {
                let value = number(&digits)
                    .and_then(|value| Quantity::Length.neutral(value, &unit, asked.metric));
                found.wheel_in = Some(
                    value
                        .filter(|inches| (8.0..=30.0).contains(inches))
                        .ok_or_else(|| format!("“{digits}{unit}”: a steering wheel is 8 to 30 in across; type it like @15in."))?,
                );
                wheel = false;
            }
            Part::Number { digits, unit } => {
                let value = one(asked, found.values.len(), &digits, &unit, &line)?;
                found.values.push(value);
            }
        }
    }
    if !(asked.least..=asked.greatest).contains(&found.values.len()) {
        return Err(count_asked(asked, found.values.len()));
    }
    Ok(found)
}

/// One number of the reading, in neutral units.
fn one(asked: &Asked<'_>, at: usize, digits: &str, unit: &str, line: &str) -> Result<f64, String> {
    let quantity = quantity(asked, at);
    if quantity == Quantity::TireDate {
        return match TireDate::parse(digits) {
            Ok(date) => Ok(date.latest()),
            Err(why) => Err(why.to_string()),
        };
    }
    let Some(value) = number(digits) else {
        return Err(format!(
            "“{digits}” is not a number; type it like 4 or 0.375."
        ));
    };
    // A fraction is of an inch, also where the field's own bare unit is another.
    let unit = if unit.is_empty() && digits.contains('/') {
        "in"
    } else {
        unit
    };
    let Some(value) = quantity.neutral(value, unit, asked.metric) else {
        return Err(unit_asked(asked, at, line, unit));
    };
    let (least, greatest) = quantity.bounds();
    if !(least..=greatest).contains(&value) {
        return Err(format!(
            "“{digits}{unit}” is outside what can be meant here; type it in {}.",
            quantity.units()
        ));
    }
    Ok(value)
}

fn quantity(asked: &Asked<'_>, at: usize) -> Quantity {
    let given = asked.quantities.get(at).or(asked.quantities.last());
    given.copied().unwrap_or(Quantity::Count)
}

fn unit_asked(asked: &Asked<'_>, at: usize, line: &str, unit: &str) -> String {
    let short: String = line.chars().take(24).collect();
    let what = if unit.is_empty() { "what" } else { "of what" };
    format!("“{short}”: {what}? {}.", quantity(asked, at).units())
}

fn count_asked(asked: &Asked<'_>, given: usize) -> String {
    if asked.least == asked.greatest {
        let numbers = if asked.least == 1 {
            "number"
        } else {
            "numbers"
        };
        return format!("{} {numbers} asked for, {given} typed.", asked.least);
    }
    format!(
        "{} to {} numbers asked for, {given} typed.",
        asked.least, asked.greatest
    )
}

/// A decimal or a fraction: `3`, `.5`, `3/8`, `1 1/2`.
fn number(digits: &str) -> Option<f64> {
    let (sign, bare) = match digits.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, digits.trim_start_matches('+')),
    };
    let (whole, rest) = match bare.split_once(' ') {
        Some((whole, rest)) => (whole.parse::<u16>().ok()?, rest),
        None => (0, bare),
    };
    let value = match rest.split_once('/') {
        Some((above, below)) => {
            let below = below.parse::<u16>().ok().filter(|below| *below > 0)?;
            f64::from(whole) + f64::from(above.parse::<u16>().ok()?) / f64::from(below)
        }
        None => rest.parse::<f64>().ok().filter(|value| value.is_finite())?,
    };
    Some(sign * value)
}

enum Part {
    /// What follows is the steering wheel.
    Wheel,
    Number {
        digits: String,
        unit: String,
    },
    Word(String),
}

/// Numbers with their units, and the words between them.
fn parts(line: &str) -> Vec<Part> {
    let spaced = line.replace('@', " @ ");
    let mut found: Vec<Part> = Vec::new();
    for token in spaced.split([' ', ';']).filter(|token| !token.is_empty()) {
        if matches!(token, "@" | "on" | "wheel") {
            found.push(Part::Wheel);
            continue;
        }
        let end = token
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | '-' | '+' | ',')))
            .unwrap_or(token.len());
        let (digits, unit) = token.split_at(end);
        let digits = digits.replace(',', "");
        // `32nds` after a number is its unit, though it begins with digits.
        let numeric = digits.contains(|c: char| c.is_ascii_digit()) && !token.starts_with("32nd");
        match found.last_mut() {
            // `1 1/2in`, `4 mm`.
            Some(Part::Number {
                digits: before,
                unit: none,
            }) if none.is_empty() && whole(before) && digits.contains('/') => {
                *before = format!("{before} {digits}");
                unit.clone_into(none);
            }
            Some(Part::Number { unit: none, .. })
                if none.is_empty() && !numeric && is_unit(token) =>
            {
                token.clone_into(none);
            }
            _ if numeric => found.push(Part::Number {
                digits,
                unit: unit.to_owned(),
            }),
            _ => found.push(Part::Word(token.to_owned())),
        }
    }
    found
}

fn whole(digits: &str) -> bool {
    digits.chars().all(|c| c.is_ascii_digit())
}

fn is_unit(token: &str) -> bool {
    const UNITS: &[&str] = &[
        "in", "inch", "inches", "mm", "cm", "32nds", "v", "volt", "volts", "psi", "bar", "kpa",
        "%", "percent", "f", "c", "°f", "°c", "mi", "mile", "miles", "km", "ma", "a",
    ];
    UNITS.contains(&token)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn asked(quantities: &[Quantity]) -> Asked<'_> {
        Asked {
            quantities,
            least: quantities.len(),
            greatest: quantities.len(),
            words: &["box"],
            metric: false,
        }
    }

    #[test]
    fn tread_reads_in_thirty_seconds_inches_and_millimeters() {
        let tread = asked(&[Quantity::Tread]);
        for typed in ["5", "5/32", "5/32in", "0.15625in", "5 32nds"] {
            let value = read(&tread, typed).unwrap().values[0];
            assert!((value - 5.0 / 32.0).abs() < 1e-12, "{typed}: {value}");
        }
        let value = read(&tread, "4 mm").unwrap().values[0];
        assert!((value - 4.0 / 25.4).abs() < 1e-12);
    }

    #[test]
    fn an_unknown_unit_is_asked_for() {
        let tread = asked(&[Quantity::Tread]);
        assert_eq!(
            read(&tread, "4mn").unwrap_err(),
            "“4mn”: of what? 32nds, in or mm."
        );
        assert_eq!(
            read(&tread, "4 5").unwrap_err(),
            "1 number asked for, 2 typed."
        );
    }

    #[test]
    fn a_steering_wheel_and_a_word_stand_beside_the_number() {
        let play = asked(&[Quantity::Length]);
        let found = read(&play, "1 1/2in @ 15in").unwrap();
        assert!((found.values[0] - 1.5).abs() < 1e-12);
        assert_eq!(found.wheel_in, Some(15.0));
        let found = read(&play, "40mm box on 380mm").unwrap();
        assert_eq!(found.words, ["box"]);
        assert!((found.wheel_in.unwrap() - 380.0 / 25.4).abs() < 1e-12);
    }

    #[test]
    fn trims_may_lie_below_zero() {
        let trims = asked(&[Quantity::Percent, Quantity::Percent]);
        assert_eq!(read(&trims, "-12 −3%").unwrap().values, [-12.0, -3.0]);
    }
}
