//! One field of a form: a line with a reading, or a choice of words.

use super::{Entry, read};
use crate::car::entry::{self, Range};
use crate::tui::keys::Key;
use crate::tui::say;
use crate::tui::typed;

/// How a field is read, within which bounds.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// Words.
    Text,
    /// Money.
    Money(Range),
    /// Low, likely, high money.
    Spread(Range),
    /// Miles.
    Miles(Range),
    /// Hours.
    Hours(Range),
    /// A plain number.
    Number(Range),
    /// A whole number.
    Whole(Range),
    /// A share, typed in percent.
    Percent(Range),
    /// A day.
    Day,
    /// A model year.
    Year,
    /// Identification number.
    Vin,
    /// One of these words; 0 or Backspace takes the choice away.
    Choice(Vec<String>),
}

/// A field.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Id, unique in the form.
    pub id: &'static str,
    /// Label.
    pub label: &'static str,
    /// How it is read.
    pub kind: Kind,
    /// Text typed.
    pub entry: Entry,
    /// Choice made, counted from 0.
    pub picked: Option<usize>,
    /// An example, or what an answer changes.
    pub hint: &'static str,
    /// Why it cannot be kept.
    pub reason: Option<String>,
    /// How it is read, where that takes more than the field itself knows: shown in full under it.
    pub preview: Option<Result<String, String>>,
}

impl Field {
    /// A line.
    #[must_use]
    pub fn line(
        id: &'static str,
        label: &'static str,
        kind: Kind,
        text: &str,
        hint: &'static str,
    ) -> Self {
        Self {
            id,
            label,
            kind,
            entry: Entry::of(text),
            picked: None,
            hint,
            reason: None,
            preview: None,
        }
    }

    /// A choice of words.
    #[must_use]
    pub fn choice<S: Into<String>>(
        id: &'static str,
        label: &'static str,
        words: impl IntoIterator<Item = S>,
        picked: Option<usize>,
        hint: &'static str,
    ) -> Self {
        let words = words.into_iter().map(Into::into).collect();
        Self {
            picked,
            ..Self::line(id, label, Kind::Choice(words), "", hint)
        }
    }

    /// Yes or no; absent is not known.
    #[must_use]
    pub fn yes_no(
        id: &'static str,
        label: &'static str,
        value: Option<bool>,
        hint: &'static str,
    ) -> Self {
        Self::choice(
            id,
            label,
            ["yes", "no"],
            value.map(|yes| usize::from(!yes)),
            hint,
        )
    }

    /// True for a choice of words.
    #[must_use]
    pub fn is_choice(&self) -> bool {
        matches!(self.kind, Kind::Choice(_))
    }

    /// A key where text is taken. True if a choice was just made by its digit: then the next field is in hand.
    pub fn type_key(&mut self, key: Key) -> bool {
        self.reason = None;
        let Kind::Choice(words) = &self.kind else {
            self.entry.type_key(key);
            return false;
        };
        let count = words.len();
        match key {
            Key::Char(c) if c.is_ascii_digit() => {
                let digit = c.to_digit(10).and_then(|digit| usize::try_from(digit).ok());
                match digit {
                    Some(0) => self.picked = None,
                    Some(digit) if digit <= count => self.picked = Some(digit - 1),
                    _ => return false,
                }
                true
            }
            Key::Char(' ') | Key::Right => {
                self.picked = match self.picked {
                    Some(at) if at + 1 < count => Some(at + 1),
                    Some(_) => None,
                    None => Some(0),
                };
                false
            }
            Key::Left => {
                self.picked = match self.picked {
                    Some(0) => None,
                    Some(at) => Some(at - 1),
                    None => count.checked_sub(1),
                };
                false
            }
            Key::Backspace | Key::Delete => {
                self.picked = None;
                false
            }
            _ => false,
        }
    }

    /// How what is typed is read: shown after `=` while typing; an error is one sentence.
    ///
    /// # Errors
    /// One sentence.
    pub fn reading(&self) -> Result<String, String> {
        let text = crate::car::text::one_line(self.entry.text());
        if text.is_empty() {
            return Ok(String::new());
        }
        match &self.kind {
            Kind::Text | Kind::Choice(_) => Ok(String::new()),
            Kind::Money(range) => typed::money(range, &text).map(say::money),
            Kind::Spread(range) => typed::money_range(range, &text).map(|range| {
                format!(
                    "{} ({}–{})",
                    say::money(range.likely),
                    say::money(range.low),
                    say::money(range.high)
                )
            }),
            Kind::Miles(range) => {
                typed::miles(range, &text).map(|miles| format!("{} mi", say::whole(miles)))
            }
            Kind::Hours(range) => {
                typed::hours(range, &text).map(|hours| format!("{} h", say::hours(hours)))
            }
            Kind::Number(range) => typed::number(range, &text).map(entry::shown),
            Kind::Whole(range) => typed::whole(range, &text).map(|number| number.to_string()),
            Kind::Percent(range) => typed::percent(range, &text)
                .map(|share| format!("{}%", entry::shown(share * 100.0))),
            Kind::Day => read::day_typed(&text).map(read::day_and_year),
            Kind::Year => typed::year(&text).map(|year| year.to_string()),
            Kind::Vin => read::vin(&text).map(|vin| {
                if vin.check_digit_fits() {
                    "check digit fits".to_owned()
                } else {
                    "check digit does not fit: read it again, then suspect it".to_owned()
                }
            }),
        }
    }
}
