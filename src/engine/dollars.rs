//! Between exact money and the floating dollars in which draws are reckoned.

use crate::car::Money;
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

/// An amount as floating dollars; nearest representable number.
#[must_use]
pub fn dollars(amount: Money) -> f64 {
    amount.decimal().to_f64().unwrap_or(0.0)
}

/// Floating dollars as an amount, rounded to the cent; a number that is not finite, or beyond all money, counts as nothing.
#[must_use]
pub fn money(amount: f64) -> Money {
    Decimal::from_f64(amount).map_or(Money::ZERO, |exact| {
        Money::from_decimal(exact).to_the_cent()
    })
}
