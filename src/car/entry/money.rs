//! Sums of money, and low to high.

use super::{EntryError, Figure, Points, Range, cleaned, figure, not_a_number, quoted, to_f64};
use crate::car::money::{Money, MoneyRange, RangeReading};
use rust_decimal::Decimal;

/// One sum: `1285`, `1,285`, `$1285`, `1.2k`.
///
/// # Errors
/// One sentence; `1.234` is asked, not guessed, and a minus is refused.
pub fn money(range: &Range, typed: &str) -> Result<Option<Money>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    sum(range, &line).map(|figure| Some(Money::from_decimal(figure.value)))
}

fn sum(range: &Range, line: &str) -> Result<Figure, EntryError> {
    let mut figure = figure(range, line, Points::Asked)?;
    if !figure.unit.is_empty() {
        return Err(not_a_number(range, line));
    }
    figure.value = figure.value.normalize();
    if figure.value.scale() > 2 {
        return Err(EntryError(format!(
            "{}: {} has more than two digits after the point; type cents with two.",
            range.what,
            quoted(line)
        )));
    }
    range.check(to_f64(figure.value))?;
    Ok(figure)
}

/// Low, likely, high: `80-120` (likely in the middle), `80 100 120`, or one sum for all three.
///
/// # Errors
/// One sentence; out of order is refused, and so is `80-120k`, where the first may be thousands or not.
pub fn money_range(range: &Range, typed: &str) -> Result<Option<MoneyRange>, EntryError> {
    let Some(line) = cleaned(typed) else {
        return Ok(None);
    };
    let line = line.replace(['$', '£', '€'], "");
    let (parts, dashed) = parts(&line);
    let figures = parts
        .iter()
        .map(|part| sum(range, part))
        .collect::<Result<Vec<_>, _>>()?;
    let mixed = figures.last().is_some_and(|last| last.thousands)
        && figures
            .iter()
            .any(|f| !f.thousands && f.value < Decimal::ONE_THOUSAND && !f.value.is_zero());
    if mixed {
        let first = parts.first().map_or("", String::as_str);
        return Err(EntryError(format!(
            "{}: {}: {first} or {first}k? Write the k on each.",
            range.what,
            quoted(&line)
        )));
    }
    let values: Vec<Decimal> = figures.iter().map(|f| f.value).collect();
    let [low, likely, high] = match values[..] {
        [one] => [one; 3],
        [low, high] if dashed => [low, (low + high) / Decimal::TWO, high],
        [low, likely, high] => [low, likely, high],
        _ => {
            return Err(EntryError(format!(
                "{}: “{}” is not a range; type low-high like 80-120, or low, likely and high like 80 100 120.",
                range.what,
                quoted(&line)
            )));
        }
    };
    if low > likely || likely > high {
        return Err(EntryError(format!(
            "{}: {} does not run from low to high; type the lowest first.",
            range.what,
            quoted(&line)
        )));
    }
    let [low, likely, high] = [low, likely, high].map(|d| Money::from_decimal(d.normalize()));
    Ok(Some(MoneyRange {
        low,
        likely: likely.to_the_cent(),
        high,
        reading: RangeReading::default(),
    }))
}

/// The sums of a range, and whether a dash stood between them. A minus at the very start stays with its number, so that it is refused as one.
fn parts(line: &str) -> (Vec<String>, bool) {
    let dashed = line
        .replace(['\u{2013}', '\u{2014}'], "-")
        .replace(" to ", "-");
    let (sign, body) = match dashed.strip_prefix('-') {
        Some(body) => ("-", body),
        None => ("", dashed.as_str()),
    };
    let between = body.contains('-');
    let pieces: Vec<&str> = if between {
        body.split('-').map(str::trim).collect()
    } else {
        body.split_whitespace().collect()
    };
    let mut parts: Vec<String> = Vec::new();
    for piece in pieces {
        // `1.2 k` is one number.
        match parts.last_mut() {
            Some(last) if piece == "k" => last.push('k'),
            _ => parts.push(piece.to_owned()),
        }
    }
    if let Some(first) = parts.first_mut() {
        first.insert_str(0, sign);
    }
    (parts, between)
}
