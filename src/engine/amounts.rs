//! The one place where exact money and simulated numbers meet.

use crate::car::Money;
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

/// An exact amount as a number to simulate with.
#[must_use]
pub fn dollars(amount: Money) -> f64 {
    amount.decimal().to_f64().unwrap_or(0.0)
}

/// A simulated number as exact money, to the cent; what is not finite is nothing.
#[must_use]
pub fn money(number: f64) -> Money {
    Decimal::from_f64(number)
        .map_or(Money::ZERO, Money::from_decimal)
        .to_the_cent()
}

/// A simulated number to the whole unit, for words: `1,350`, `−120`.
#[must_use]
pub fn with_commas(number: f64) -> String {
    if !number.is_finite() {
        return "unknown".to_owned();
    }
    let digits = format!("{:.0}", number.abs());
    let sign = if number < 0.0 && digits != "0" {
        "−"
    } else {
        ""
    };
    grouped(sign, &digits)
}

/// Digits with a comma between thousands.
fn grouped(sign: &str, digits: &str) -> String {
    let mut out = sign.to_owned();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// Simulated parts as exact cents that add up to the exact cents of their sum.
///
/// Largest remainders: each part is rounded down to the cent, and the cents still missing go to the parts that lost most.
#[must_use]
pub fn to_money_adding_up(parts: &[f64]) -> Vec<Money> {
    let cents: Vec<f64> = parts
        .iter()
        .map(|part| if part.is_finite() { part * 100.0 } else { 0.0 })
        .collect();
    let total = cents.iter().sum::<f64>().round();
    let mut floors: Vec<f64> = cents.iter().map(|cent| cent.floor()).collect();
    let mut missing = total - floors.iter().sum::<f64>();
    let mut order: Vec<usize> = (0..cents.len()).collect();
    order.sort_by(|a, b| {
        (cents[*b] - floors[*b])
            .total_cmp(&(cents[*a] - floors[*a]))
            .then(a.cmp(b))
    });
    for at in order {
        if missing < 0.5 {
            break;
        }
        floors[at] += 1.0;
        missing -= 1.0;
    }
    floors.into_iter().map(|cent| money(cent / 100.0)).collect()
}

/// A total in exact cents, split among parts in their proportion as simulated: the cents add up to the total whatever was rounded before.
#[must_use]
pub fn split(total: Money, parts: &[f64]) -> Vec<Money> {
    let mut out = to_money_adding_up(parts);
    let cent = Money::from_decimal(Decimal::new(1, 2));
    let mut order: Vec<usize> = (0..out.len()).collect();
    order.sort_by(|a, b| parts[*b].abs().total_cmp(&parts[*a].abs()).then(a.cmp(b)));
    let mut missing = total - out.iter().copied().sum();
    for at in order.iter().cycle().take(order.len() * 4) {
        if missing == Money::ZERO {
            break;
        }
        let step = if missing.is_negative() { -cent } else { cent };
        out[*at] = out[*at] + step;
        missing = missing - step;
    }
    out
}

/// The step a person rounds a price to: 25 under 2,500, 50 under 10,000, then 100.
#[must_use]
pub fn price_step(price: f64) -> Money {
    Money::whole(match price {
        p if p < 2_500.0 => 25,
        p if p < 10_000.0 => 50,
        _ => 100,
    })
}

/// An amount as said in a sentence: whole units, with commas between thousands.
#[must_use]
pub fn said(amount: Money) -> String {
    let whole = amount.down_to(Money::whole(1)).to_string();
    let (sign, digits) = whole
        .strip_prefix('-')
        .map_or(("", whole.as_str()), |digits| ("−", digits));
    grouped(sign, digits)
}

/// A limit rounded down to what people say.
#[must_use]
pub fn round_limit(price: f64) -> Money {
    money(price).down_to(price_step(price))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_amount_is_said_with_commas() {
        assert_eq!(said(Money::whole(1600)), "1,600");
        assert_eq!(said(Money::whole(-1_234_567)), "−1,234,567");
        assert_eq!(said(Money::whole(75)), "75");
    }

    #[test]
    fn a_limit_is_rounded_down_never_up() {
        assert_eq!(round_limit(1374.99), Money::whole(1350));
        assert_eq!(round_limit(2549.0), Money::whole(2500));
        assert_eq!(round_limit(-10.0), Money::whole(-25));
    }

    proptest! {
        #[test]
        fn parts_in_cents_add_up_to_their_sum_in_cents(parts in prop::collection::vec(-5000.0f64..5000.0, 1..30)) {
            let exact = to_money_adding_up(&parts);
            let sum: Money = exact.iter().copied().sum();
            prop_assert_eq!(sum, money((parts.iter().sum::<f64>() * 100.0).round() / 100.0));
            for (cents, part) in exact.iter().zip(&parts) {
                prop_assert!((dollars(*cents) - part).abs() < 0.011);
            }
        }
    }
}
