//! Exact money, rounded only by named rules.

use super::entry;
use rust_decimal::{Decimal, RoundingStrategy};
use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Neg, Sub};

/// An amount in the car's currency. Kept as a string in files, exact to the last digit given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Money(Decimal);

/// The greatest amount taken as meant: a slip of the finger is likelier than a car above it.
pub const GREATEST_AMOUNT: i64 = 10_000_000;

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// A whole number of currency units.
    #[must_use]
    pub fn whole(units: i64) -> Self {
        Self(Decimal::from(units))
    }

    /// An exact decimal amount.
    #[must_use]
    pub fn from_decimal(amount: Decimal) -> Self {
        Self(amount)
    }

    /// The exact amount.
    #[must_use]
    pub fn decimal(self) -> Decimal {
        self.0
    }

    /// Rounded to the cent, halves away from zero, as a till does.
    #[must_use]
    pub fn to_the_cent(self) -> Self {
        Self(
            self.0
                .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero),
        )
    }

    /// Rounded down (towards minus infinity) to a multiple of a step above zero; a step of zero or less changes nothing.
    #[must_use]
    pub fn down_to(self, step: Self) -> Self {
        if step.0 <= Decimal::ZERO {
            return self;
        }
        match self.0.checked_div(step.0) {
            Some(steps) => Self(steps.floor() * step.0),
            None => self,
        }
    }

    /// True under zero.
    #[must_use]
    pub fn is_negative(self) -> bool {
        self.0.is_sign_negative() && !self.0.is_zero()
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Add::add)
    }
}

impl Serialize for Money {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Money {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(InFile)
    }
}

/// Reads an amount of a file: digits in quotes, a point before fractions, nothing else. What could be meant otherwise is
/// refused with what to write instead, never guessed.
struct InFile;

impl Visitor<'_> for InFile {
    type Value = Money;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an amount in quotes, such as \"1850\"")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Money, E> {
        let bare = text.strip_prefix('-').unwrap_or(text);
        let plain = bare.starts_with(|c: char| c.is_ascii_digit())
            && bare.chars().all(|c| c.is_ascii_digit() || c == '.');
        let amount = plain.then(|| Decimal::from_str_exact(text).ok()).flatten();
        amount.map(Money).ok_or_else(|| E::custom(not_plain(text)))
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Money, E> {
        Err(E::custom(unquoted(&number.to_string())))
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Money, E> {
        Err(E::custom(unquoted(&number.to_string())))
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Money, E> {
        Err(E::custom(unquoted(&number.to_string())))
    }
}

fn unquoted(number: &str) -> String {
    format!("the amount {number} has no quotes, write \"{number}\"")
}

/// What is wrong with a text that is no plain amount, and what to write instead where that is plain.
fn not_plain(text: &str) -> String {
    let short: String = text.chars().take(24).collect();
    let meant = entry::money(&entry::SUM, text).ok().flatten();
    let instead = meant.map_or_else(|| "1850 or 1850.50".to_owned(), |meant| meant.to_string());
    let instead = instead.replace(" or ", "\" or \"");
    let has = if text.contains(|c: char| !c.is_ascii_digit() && !"-.,".contains(c)) {
        "is not digits alone"
    } else if text.contains(',') || text.matches('.').count() > 1 {
        "has commas, or more points than one"
    } else if text.chars().any(|c| c.is_ascii_digit()) {
        "has too many digits, or a sign in the wrong place"
    } else {
        "is none"
    };
    format!("the amount “{short}” {has}, write it like \"{instead}\"")
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// How the two ends of a user's own range are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RangeReading {
    /// One in ten lies outside each end: what people mean by low and high.
    #[default]
    OneInTen,
    /// Nothing lies outside.
    Limits,
}

/// A user's low, likely and high amounts, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct MoneyRange {
    /// Low.
    pub low: Money,
    /// Likely.
    pub likely: Money,
    /// High.
    pub high: Money,
    /// What the ends mean.
    #[serde(default)]
    pub reading: RangeReading,
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn an_amount_comes_back_from_a_file_to_the_last_digit() {
        for text in ["1850", "1850.50", "0", "-12.345", "0.10"] {
            let quoted = format!("\"{text}\"");
            let money: Money = serde_json::from_str(&quoted).unwrap();
            assert_eq!(serde_json::to_string(&money).unwrap(), quoted);
        }
    }

    #[test]
    fn an_amount_that_is_not_plain_is_refused_with_what_to_write() {
        for (json, wanted) in [
            (
                r#""$1,850""#,
                "the amount “$1,850” is not digits alone, write it like \"1850\"",
            ),
            (
                r#""1,850""#,
                "the amount “1,850” has commas, or more points than one, write it like \"1850\"",
            ),
            (
                r#""1.850,00""#,
                "the amount “1.850,00” has commas, or more points than one, write it like \"1850\" or \"1850.50\"",
            ),
            (
                r#""1.2k""#,
                "the amount “1.2k” is not digits alone, write it like \"1200\"",
            ),
            (
                r#""""#,
                "the amount “” is none, write it like \"1850\" or \"1850.50\"",
            ),
            ("1850", "the amount 1850 has no quotes, write \"1850\""),
            (
                "1850.5",
                "the amount 1850.5 has no quotes, write \"1850.5\"",
            ),
        ] {
            let error = serde_json::from_str::<Money>(json).unwrap_err().to_string();
            assert!(error.starts_with(wanted), "{error}");
        }
    }
}
