//! Exact money, rounded only by named rules.

use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Neg, Sub};

/// An amount in the car's currency. Kept as a string in files, exact to the last digit given.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Money(#[serde(with = "rust_decimal::serde::str")] Decimal);

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
