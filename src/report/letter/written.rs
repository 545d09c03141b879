//! A letter as text; its grounds apart, for they are the user's own.

use super::{Letter, Part, Statement};
use crate::report::words;

/// Columns of a letter as it is sent.
pub const WIDTH: usize = 72;

/// The letter as it may be sent: its paragraphs, wrapped to so many columns.
#[must_use]
pub fn text(letter: &Letter, width: usize) -> String {
    let paragraphs: Vec<String> = letter
        .paragraphs
        .iter()
        .map(|one| joined(one, width))
        .collect();
    format!("{}\n", paragraphs.join("\n\n"))
}

/// The notice as it may be sent; empty where there is none.
#[must_use]
pub fn notice_text(notice: &[Statement], width: usize) -> String {
    notice
        .iter()
        .map(|one| format!("{}\n", joined(std::slice::from_ref(one), width)))
        .collect()
}

fn joined(statements: &[Statement], width: usize) -> String {
    let words: Vec<&str> = statements.iter().map(|one| one.words.as_str()).collect();
    textwrap::fill(&words::clean(&words.join(" ")), width)
}

/// Each statement and its ground, for the user's eyes: a line a statement.
#[must_use]
pub fn grounds<'a>(statements: impl Iterator<Item = &'a Statement>, width: usize) -> String {
    let head = "Each statement and its ground, for you alone";
    let mut text = format!("{}\n", textwrap::fill(head, width));
    let mut names_the_seller = false;
    for one in statements {
        names_the_seller |= one.part == Part::Price;
        let line = format!(
            "{}: {} ({})",
            label(one.part),
            one.ground.words,
            one.ground.id
        );
        let options = textwrap::Options::new(width)
            .initial_indent("  ")
            .subsequent_indent("    ");
        text.push_str(&textwrap::fill(&words::clean(&line), options));
        text.push('\n');
    }
    if !names_the_seller {
        text.push_str("  the seller: not spoken of\n");
    }
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
        Part::Price => "price",
        Part::Car => "car",
        Part::Known => "known to both",
        Part::Law => "note",
    }
}
