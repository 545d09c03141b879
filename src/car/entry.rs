//! Numbers as a person types them.

use super::money::{GREATEST_AMOUNT, Money, MoneyRange, RangeReading};
use rust_decimal::Decimal;
use std::str::FromStr;

/// A plain number, with `k` for thousands and commas between thousands.
///
/// # Errors
/// One sentence that says what is wrong.
pub fn number(typed: &str) -> Result<f64, String> {
    let exact = decimal(typed)?;
    let value = f64::from_str(&exact.to_string()).map_err(|_| not_a_number(typed))?;
    if value.is_finite() {
        Ok(value)
    } else {
        Err(not_a_number(typed))
    }
}

/// An amount of money of zero or more: `1285`, `1,285`, `$1285`, `1.2k`.
///
/// # Errors
/// One sentence that says what is wrong.
pub fn money(typed: &str) -> Result<Money, String> {
    let bare = typed.trim().trim_start_matches('$');
    if let Some((_, cents)) = bare.split_once('.')
        && cents.len() == 3
        && cents.chars().all(|c| c.is_ascii_digit())
    {
        return Err(format!(
            "{bare}: {} or {}? Leave the point out.",
            bare.replacen('.', ",", 1),
            &bare[..bare.len() - 1]
        ));
    }
    let amount = decimal(bare)?;
    if amount.is_sign_negative() {
        return Err(format!("{typed}: an amount is zero or more."));
    }
    if amount > Decimal::from(GREATEST_AMOUNT) {
        return Err(format!("{typed}: over {GREATEST_AMOUNT}, a slip?"));
    }
    Ok(Money::from_decimal(amount))
}

/// Miles: `146k`, `146,200`, `235000km`.
///
/// # Errors
/// One sentence that says what is wrong.
pub fn miles(typed: &str) -> Result<f64, String> {
    let text = typed.trim().to_lowercase();
    let (bare, factor) = match text.strip_suffix("km") {
        Some(bare) => (bare, 1.0 / 1.609_344),
        None => (
            text.trim_end_matches("miles")
                .trim_end_matches("mi")
                .trim_end(),
            1.0,
        ),
    };
    let value = number(bare)? * factor;
    if (0.0..=2_000_000.0).contains(&value) {
        Ok(value.round())
    } else {
        Err(format!("{typed}: miles run from 0 to 2,000,000."))
    }
}

/// Hours: `1.5`, `1.5h`, `90min`.
///
/// # Errors
/// One sentence that says what is wrong.
pub fn hours(typed: &str) -> Result<f64, String> {
    let text = typed.trim().to_lowercase();
    let value = match text.strip_suffix("min") {
        Some(minutes) => number(minutes)? / 60.0,
        None => number(text.trim_end_matches('h'))?,
    };
    if (0.0..=10_000.0).contains(&value) {
        Ok(value)
    } else {
        Err(format!("{typed}: hours run from 0 to 10,000."))
    }
}

/// Low, likely, high: `2800 3250 3700`, or `2800-3700` with the likely one in the middle, or one figure for all three.
///
/// # Errors
/// One sentence that says what is wrong.
pub fn money_range(typed: &str) -> Result<MoneyRange, String> {
    let parts: Vec<&str> = typed.split_whitespace().collect();
    let ends = match parts.as_slice() {
        [one] => match one.split_once(['-', '–']) {
            Some((low, high)) => {
                let (low, high) = (money(low)?, money(high)?);
                let middle =
                    Money::from_decimal((low.decimal() + high.decimal()) / Decimal::from(2));
                [low, middle.to_the_cent(), high]
            }
            None => [money(one)?; 3],
        },
        [low, likely, high] => [money(low)?, money(likely)?, money(high)?],
        _ => {
            return Err(format!(
                "“{typed}”: low, likely, high, such as 2800 3250 3700."
            ));
        }
    };
    if ends[0] > ends[1] || ends[1] > ends[2] {
        return Err(format!("“{typed}” does not rise: low, likely, high."));
    }
    Ok(MoneyRange {
        low: ends[0],
        likely: ends[1],
        high: ends[2],
        reading: RangeReading::OneInTen,
    })
}

fn decimal(typed: &str) -> Result<Decimal, String> {
    let text = typed.trim().to_lowercase();
    let (bare, thousands) = match text.strip_suffix('k') {
        Some(bare) => (bare, true),
        None => (text.as_str(), false),
    };
    let plain: String = bare.chars().filter(|c| *c != ',').collect();
    let value = Decimal::from_str(plain.trim()).map_err(|_| not_a_number(typed))?;
    if thousands {
        value
            .checked_mul(Decimal::from(1000))
            .ok_or_else(|| not_a_number(typed))
    } else {
        Ok(value)
    }
}

fn not_a_number(typed: &str) -> String {
    format!("“{}” is not a number.", typed.trim())
}
