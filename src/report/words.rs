//! Helpers shared by every report: money, hours, chances, ranges and dates in words, and their ASCII twins.

use crate::car::Money;
use crate::car::text::is_banned;
use crate::engine::amounts::dollars;
use crate::engine::{Reply, ReplyKind};
use jiff::civil::Date;

/// A figure that is not known, in words.
pub const UNKNOWN: &str = "unknown";

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// An exact amount as a plain number, for words and JSON.
#[must_use]
pub fn units(amount: Money) -> f64 {
    dollars(amount)
}

/// Sign or code that stands before an amount: `$` for `USD` and for an empty code.
#[must_use]
pub fn currency_mark(code: &str) -> String {
    match code {
        "" | "USD" => "$".to_owned(),
        "GBP" => "£".to_owned(),
        "EUR" => "€".to_owned(),
        other => format!("{} ", clean(other)),
    }
}

/// A whole number with thousands commas and a true minus: `1,350`, `−120`.
#[must_use]
pub fn whole(number: f64) -> String {
    if !number.is_finite() {
        return UNKNOWN.to_owned();
    }
    let digits = format!("{:.0}", number.abs());
    let minus = if number < 0.0 && digits != "0" {
        "−"
    } else {
        ""
    };
    format!("{minus}{}", with_commas(&digits))
}

fn with_commas(digits: &str) -> String {
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// An amount to the whole unit, the mark after the minus: `$1,350`, `−$120`.
#[must_use]
pub fn money(amount: f64, mark: &str) -> String {
    let plain = whole(amount);
    match plain.strip_prefix('−') {
        Some(rest) => format!("−{mark}{rest}"),
        None if plain == UNKNOWN => plain,
        None => format!("{mark}{plain}"),
    }
}

/// What to answer to a figure of theirs, and why; `named` where it is not what they ask in the advert.
#[must_use]
pub fn reply(answer: &Reply, named: bool) -> String {
    format!(
        "{}, because {}",
        reply_in_short(answer, named),
        answer.because
    )
}

/// What to answer to a figure of theirs: `They ask 1,850: say 1,075`.
#[must_use]
pub fn reply_in_short(reply: &Reply, named: bool) -> String {
    let they = if named { "They say" } else { "They ask" };
    let theirs = whole(units(reply.theirs));
    let what = match (reply.what, reply.say) {
        (ReplyKind::Take, _) => "take it".to_owned(),
        (ReplyKind::Say, Some(figure)) => format!("say {}", whole(units(figure))),
        (ReplyKind::Say | ReplyKind::Leave, _) => "leave".to_owned(),
    };
    format!("{they} {theirs}: {what}")
}

/// Two amounts as a range without blanks: `$40–120`; one amount where both show alike.
#[must_use]
pub fn money_range(low: f64, high: f64, mark: &str) -> String {
    let (first, second) = (money(low, mark), money(high, mark));
    if first == second {
        return first;
    }
    let second = if low >= 0.0 { whole(high) } else { second };
    format!("{first}–{second}")
}

/// The step to which people round an amount when they say it: 25 under 2,500, 50 under 10,000, then 100.
#[must_use]
pub fn as_said(amount: f64) -> f64 {
    let step = match amount.abs() {
        small if small < 2_500.0 => 25.0,
        middling if middling < 10_000.0 => 50.0,
        _ => 100.0,
    };
    libm::round(amount / step) * step
}

/// An amount as an estimate is said: in fives under 250, then in the steps of [`as_said`].
#[must_use]
pub fn about(amount: f64) -> f64 {
    if amount.abs() < 250.0 {
        libm::round(amount / 5.0) * 5.0
    } else {
        as_said(amount)
    }
}

/// Hours: minutes in fives under one hour, halves under ten, whole above: `35 min`, `3.5 h`, `17 h`.
#[must_use]
pub fn hours(number: f64) -> String {
    if !number.is_finite() {
        return UNKNOWN.to_owned();
    }
    let minutes = libm::round(number * 12.0) * 5.0;
    if number > 0.0 && minutes < 60.0 {
        return format!("{:.0} min", minutes.max(5.0));
    }
    format!("{} h", hours_number(number))
}

/// Two figures of hours as a range: `11–26 h`, `10–25 min`.
#[must_use]
pub fn hours_range(low: f64, high: f64) -> String {
    let (first, second) = (hours(low), hours(high));
    if first == second {
        return first;
    }
    if let (Some(first), true) = (first.strip_suffix(" min"), second.ends_with(" min")) {
        return format!("{first}–{second}");
    }
    format!("{}–{}", hours_number(low), second)
}

fn hours_number(hours: f64) -> String {
    if hours.abs() >= 9.75 {
        return whole(hours);
    }
    let halves = libm::round(hours * 2.0) / 2.0;
    if (halves - libm::round(halves)).abs() > 0.1 {
        format!("{halves:.1}")
    } else {
        whole(halves)
    }
}

/// A chance in percent, never a false certainty: `62%`, `<1%`, `>99%`.
#[must_use]
pub fn percent(chance: f64) -> String {
    if !chance.is_finite() {
        return UNKNOWN.to_owned();
    }
    if chance > 0.0 && chance < 0.01 {
        return "<1%".to_owned();
    }
    if chance > 0.99 && chance < 1.0 {
        return ">99%".to_owned();
    }
    format!("{:.0}%", chance.clamp(0.0, 1.0) * 100.0)
}

/// Seconds to a tenth: `9.4 s`.
#[must_use]
pub fn seconds(seconds: f64) -> String {
    if seconds.is_finite() {
        format!("{seconds:.1} s")
    } else {
        UNKNOWN.to_owned()
    }
}

/// A day within the year: `14 Nov`.
#[must_use]
pub fn date(day: Date) -> String {
    let month = usize::from(day.month().unsigned_abs()).saturating_sub(1);
    format!(
        "{} {}",
        day.day(),
        MONTHS.get(month).copied().unwrap_or("?")
    )
}

/// A day with its year: `14 Nov 2026`.
#[must_use]
pub fn date_with_year(day: Date) -> String {
    format!("{} {}", date(day), day.year())
}

/// A count with its noun: `1 check`, `44 checks`.
#[must_use]
pub fn count(number: usize, one: &str, more: &str) -> String {
    let noun = if number == 1 { one } else { more };
    format!("{} {noun}", with_commas(&number.to_string()))
}

/// Words joined as a sentence joins them: `cheap, reliable and fast`.
#[must_use]
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Text from outside made safe to show on one line: control and direction characters dropped, line ends and tabs as blanks.
#[must_use]
pub fn clean(text: &str) -> String {
    text.chars()
        .filter_map(|c| match c {
            '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' => Some(' '),
            c if is_banned(c) => None,
            c => Some(c),
        })
        .collect()
}

/// The program's own signs in ASCII; letters of the user's own words stay as they are.
#[must_use]
pub fn ascii_twin(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '−' | '–' | '—' => out.push('-'),
            '→' => out.push('>'),
            '“' | '”' => out.push('"'),
            '‘' | '’' => out.push('\''),
            '…' => out.push('~'),
            '×' => out.push('x'),
            '·' => out.push('.'),
            '■' => out.push('#'),
            '£' => out.push_str("GBP "),
            '€' => out.push_str("EUR "),
            '\u{A0}' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// How something is known.
#[must_use]
pub fn known(known: crate::car::Known) -> &'static str {
    match known {
        crate::car::Known::Said => "said",
        crate::car::Known::Paper => "paper",
        crate::car::Known::Seen => "seen",
        crate::car::Known::Measured => "measured",
    }
}

/// How a trouble code stands.
#[must_use]
pub fn code_state(state: crate::car::CodeState) -> &'static str {
    match state {
        crate::car::CodeState::Pending => "pending",
        crate::car::CodeState::Stored => "stored",
        crate::car::CodeState::Permanent => "permanent",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date as day;

    #[test]
    fn money_has_commas_a_true_minus_and_no_minus_zero() {
        assert_eq!(money(1350.4, "$"), "$1,350");
        assert_eq!(money(-1_234_567.0, "$"), "−$1,234,567");
        assert_eq!(money(-0.3, "$"), "$0");
        assert_eq!(money(f64::NAN, "$"), "unknown");
        assert_eq!(money_range(40.0, 120.0, "$"), "$40–120");
        assert_eq!(money_range(-120.0, -40.0, "$"), "−$120–−$40");
        assert_eq!(money_range(40.1, 39.9, "$"), "$40");
    }

    #[test]
    fn hours_are_said_as_people_say_them() {
        assert_eq!(hours(0.6), "35 min");
        assert_eq!(hours(0.01), "5 min");
        assert_eq!(hours(3.4), "3.5 h");
        assert_eq!(hours(0.99), "1 h");
        assert_eq!(hours(17.2), "17 h");
        assert_eq!(hours(0.0), "0 h");
        assert_eq!(hours_range(11.0, 26.3), "11–26 h");
        assert_eq!(hours_range(0.2, 0.5), "10–30 min");
        assert_eq!(hours_range(0.5, 2.0), "0.5–2 h");
    }

    #[test]
    fn a_chance_short_of_certain_is_never_said_as_certain() {
        assert_eq!(percent(0.004), "<1%");
        assert_eq!(percent(0.996), ">99%");
        assert_eq!(percent(0.0), "0%");
        assert_eq!(percent(1.0), "100%");
        assert_eq!(percent(0.616), "62%");
    }

    #[test]
    fn days_are_said_without_leading_noughts() {
        assert_eq!(date(day(2026, 11, 4)), "4 Nov");
        assert_eq!(date_with_year(day(2026, 1, 31)), "31 Jan 2026");
    }

    #[test]
    fn no_text_can_command_the_terminal() {
        assert_eq!(
            clean("a\u{1b}]0;x\u{7}b\u{202E}c\nd\u{9b}2J"),
            "a]0;xbc d2J"
        );
    }

    #[test]
    fn the_twin_of_every_sign_is_ascii() {
        assert!(ascii_twin("−–—→“”‘’…×·■£€\u{a0}").is_ascii());
    }

    #[test]
    fn amounts_are_said_in_steps_of_25_then_50_then_100() {
        assert!((as_said(1_362.0) - 1_350.0).abs() < 1e-9);
        assert!((as_said(4_330.0) - 4_350.0).abs() < 1e-9);
        assert!((as_said(12_349.0) - 12_300.0).abs() < 1e-9);
        assert!((about(141.0) - 140.0).abs() < 1e-9);
        assert!((about(-658.0) + 650.0).abs() < 1e-9);
    }
}
