//! Rows found by a word: letters may be left out, and what is named so stands first.

use super::Entry;
use crate::trade::Tables;
use crate::trade::code::{Owner, Structure};
use nucleo_matcher::pattern::{AtomKind, CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};

/// A row worse than this share of the best is noise: letters strewn over a long name.
const LEAST_SHARE: f64 = 0.6;

/// A trouble code that the tables do not hold: whose it is, so that nobody takes a row that is spelled like it for its meaning.
#[must_use]
pub fn not_ours(tables: &Tables, word: &str) -> Option<String> {
    let code = Structure::of(word)?;
    if tables.code_named(word).is_some() {
        return None;
    }
    let written = code.written();
    Some(match code.owner {
        Owner::Maker => format!(
            "{written} is in a range that every maker fills as they like. Look in the maker's manual for what it means."
        ),
        Owner::Standard | Owner::Reserved => format!(
            "{written} is not in these tables. Look in the maker's manual, and enter what the car does as a sign."
        ),
    })
}

/// True if it is called that, by its id or any of its names.
#[must_use]
pub fn is_named(entry: &Entry<'_>, word: &str) -> bool {
    let same = |other: &str| other.to_lowercase() == word.trim().to_lowercase();
    same(entry.id) || same(entry.name) || entry.also_called.iter().any(|other| same(other))
}

/// Rows like the word: those that are named so first, then by likeness, then by kind and id.
#[must_use]
pub fn find<'a>(all: &[Entry<'a>], word: &str, most: usize) -> Vec<Entry<'a>> {
    let pattern = Pattern::new(
        word,
        CaseMatching::Ignore,
        Normalization::Smart,
        AtomKind::Fuzzy,
    );
    if pattern.atoms.is_empty() {
        return Vec::new();
    }
    let mut matcher = Matcher::new(Config::DEFAULT);
    let mut letters = Vec::new();
    let mut scored: Vec<(bool, u32, &Entry<'a>)> = Vec::new();
    for entry in all {
        let names = [entry.id, entry.name]
            .into_iter()
            .chain(entry.also_called.iter().map(String::as_str));
        let best = names
            .filter_map(|name| pattern.score(Utf32Str::new(name, &mut letters), &mut matcher))
            .max();
        if let Some(score) = best {
            scored.push((is_named(entry, word), score, entry));
        }
    }
    let best = scored.iter().map(|(_, score, _)| *score).max().unwrap_or(0);
    scored.retain(|(_, score, _)| f64::from(*score) >= LEAST_SHARE * f64::from(best));
    // The sort is stable, and entries come by kind and id.
    scored.sort_by_key(|(named, score, _)| (std::cmp::Reverse(*named), std::cmp::Reverse(*score)));
    scored
        .into_iter()
        .take(most)
        .map(|(_, _, entry)| entry.clone())
        .collect()
}
