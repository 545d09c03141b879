//! A letter as text; its grounds apart, for they are the user's own.

use super::{Letter, Part, Statement};
use crate::report::words;

/// Columns of a letter.
const WIDTH: usize = 72;

/// The letter as it may be sent: its paragraphs, wrapped.
#[must_use]
pub fn text(letter: &Letter) -> String {
    let paragraphs: Vec<String> = letter.paragraphs.iter().map(|one| joined(one)).collect();
    format!("{}\n", paragraphs.join("\n\n"))
}

/// The notice as it may be sent; empty where there is none.
#[must_use]
pub fn notice_text(notice: &[Statement]) -> String {
    notice
        .iter()
        .map(|one| format!("{}\n", joined(std::slice::from_ref(one))))
        .collect()
}

fn joined(statements: &[Statement]) -> String {
    let words: Vec<&str> = statements.iter().map(|one| one.words.as_str()).collect();
    textwrap::fill(&words::clean(&words.join(" ")), WIDTH)
}

/// Each statement and its ground, for the user's eyes: a line a statement.
#[must_use]
pub fn grounds<'a>(statements: impl Iterator<Item = &'a Statement>) -> String {
    let mut text = "Each statement and its ground, for you alone\n".to_owned();
    for one in statements {
        let line = format!(
            "{}: {} ({})",
            label(one.part),
            one.ground.words,
            one.ground.id
        );
        let options = textwrap::Options::new(WIDTH)
            .initial_indent("  ")
            .subsequent_indent("    ");
        text.push_str(&textwrap::fill(&words::clean(&line), options));
        text.push('\n');
    }
    text.push_str("  the seller: not spoken of\n");
    text
}

/// Word for what a sentence does.
#[must_use]
pub fn label(part: Part) -> &'static str {
    match part {
        Part::Thanks => "thanks",
        Part::Figure => "figure",
        Part::Finding => "finding",
        Part::Wallet => "wallet",
        Part::Certainty => "certainty",
        Part::Conditions => "conditions",
        Part::Until => "valid until",
        Part::Exit => "way out",
        Part::Notice => "notice",
    }
}
