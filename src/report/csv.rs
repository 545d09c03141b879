//! Cars side by side as a table for a spreadsheet (RFC 4180): a row a car, amounts and chances as plain numbers.
//!
//! A text that a spreadsheet would take for a formula has an apostrophe before it, so that it stays a text.

use crate::car::{CarRecord, Money};
use crate::engine::preference::Preference;
use crate::engine::{ComparedCar, Comparison, Spread};
use crate::report::words::{clean, units};

const HEAD: [&str; 27] = [
    "car",
    "name",
    "currency",
    "asking",
    "limit_price",
    "limit_low",
    "limit_high",
    "open",
    "settle",
    "all_you_pay_p50",
    "you_are_up_mean",
    "hours_p50",
    "cheap",
    "reliable_before",
    "reliable",
    "fast",
    "stops",
    "checks_not_seen",
    "stands_at",
    "first_in",
    "regret",
    "score",
    "rank_1",
    "rank_2",
    "rank_3",
    "rank_4",
    "none_of_these",
];

/// The table, with a line of names first; lines end as the standard says.
#[must_use]
pub fn compare(comparison: &Comparison, records: &[&CarRecord], preference: &Preference) -> String {
    let mut out = String::new();
    line(&mut out, HEAD.iter().map(|name| (*name).to_owned()));
    for (at, car) in comparison.cars.iter().enumerate() {
        line(
            &mut out,
            cells(comparison, preference, at, car, records).into_iter(),
        );
    }
    out
}

fn line(out: &mut String, cells: impl Iterator<Item = String>) {
    out.push_str(&cells.collect::<Vec<_>>().join(","));
    out.push_str("\r\n");
}

fn cells(
    comparison: &Comparison,
    preference: &Preference,
    at: usize,
    car: &ComparedCar,
    records: &[&CarRecord],
) -> Vec<String> {
    let figures = &car.appraisal;
    let record = records.get(at);
    let currency = record.map_or("", |record| record.currency.as_str());
    let of = |list: &[f64]| list.get(at).copied();
    let (before, after) = (&figures.chances.before, &figures.chances.after);
    let stops = figures.stops.iter().filter(|stop| stop.waived.is_none());
    let preferred = preference.cars.get(at);
    let stands_at = match car.stands_at {
        crate::engine::StandsAt::Settle => "settle",
        crate::engine::StandsAt::Asking => "asking",
        crate::engine::StandsAt::Paid => "paid",
        crate::engine::StandsAt::Limit => "limit",
    };
    let mut out = vec![
        text(&car.slug),
        text(&car.name),
        text(if currency.is_empty() { "USD" } else { currency }),
        sum(record.and_then(|record| record.listing.asking)),
        sum(figures.limit.price),
        sum(figures.limit.low),
        sum(figures.limit.high),
        sum(figures.offer.open),
        sum(figures.offer.settle),
        cents(
            figures
                .all_you_pay
                .as_ref()
                .map(|spread: &Spread| spread.p50),
        ),
        cents(figures.you_are_up.as_ref().map(|spread| spread.mean)),
        cents(Some(figures.repair.hours.p50)),
        share(after.cheap),
        share(before.reliable),
        share(after.reliable),
        share(after.fast),
        stops.count().to_string(),
        figures.unseen.checks_not_seen.to_string(),
        stands_at.to_owned(),
        share(of(&comparison.first_in)),
        cents(of(&comparison.regret).filter(|_| figures.worth.is_some())),
        share(preferred.and_then(|car| car.score)),
    ];
    let ranks = preferred.map_or(&[][..], |car| &car.ranks);
    out.extend((0..4).map(|rank| share(ranks.get(rank).copied())));
    out.push(share(Some(comparison.none_of_these)));
    out
}

fn sum(sum: Option<Money>) -> String {
    cents(sum.map(units))
}

fn number(number: Option<f64>, digits: usize) -> String {
    let number = number.filter(|number| number.is_finite());
    number.map_or_else(String::new, |number| {
        let text = format!("{number:.digits$}");
        let short = text.trim_end_matches('0').trim_end_matches('.');
        if short == "-0" {
            "0".to_owned()
        } else {
            short.to_owned()
        }
    })
}

fn cents(amount: Option<f64>) -> String {
    number(amount, 2)
}

fn share(chance: Option<f64>) -> String {
    number(chance, 6)
}

/// Words as a cell: quoted, marks doubled, and no formula.
fn text(words: &str) -> String {
    let words = clean(words);
    let formula = words.trim_start().starts_with([
        '=', '+', '-', '@', '\t', '\r', '|', '%', '＝', '＋', '－', '＠',
    ]);
    let guard = if formula { "'" } else { "" };
    format!("\"{guard}{}\"", words.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_would_be_a_formula_is_a_text() {
        for hostile in [
            "=1+1",
            "+1",
            "-1",
            "@SUM(A1)",
            " =1",
            "=HYPERLINK(\"x\")",
            "−=1\u{7}",
        ] {
            let cell = text(hostile);
            let inside = cell.trim_matches('"');
            assert!(
                !inside.trim_start().starts_with(['=', '+', '-', '@']),
                "{cell}"
            );
        }
        assert_eq!(text("Newt 1.2, \"red\""), "\"Newt 1.2, \"\"red\"\"\"");
        assert_eq!(text("=1"), "\"'=1\"");
    }

    #[test]
    fn numbers_have_no_mark_and_no_needless_digits() {
        assert_eq!(cents(Some(1350.0)), "1350");
        assert_eq!(cents(Some(-75.5)), "-75.5");
        assert_eq!(cents(None), "");
        assert_eq!(share(Some(f64::NAN)), "");
        assert_eq!(cents(Some(-0.001)), "0");
    }
}
