//! Finds signs by words: letters may be left out, words may stand in any order, one slip a word is forgiven.

use crate::trade::SignRow;
use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};

/// Most rows given.
const MOST: usize = 200;

/// Ids of signs, best first; without words all of them in walking order.
pub fn signs<'a>(signs: impl Iterator<Item = &'a SignRow>, words: &str) -> Vec<String> {
    let mut rows: Vec<&SignRow> = signs.collect();
    if words.trim().is_empty() {
        rows.sort_by(|a, b| (&a.stage, a.order, &a.id).cmp(&(&b.stage, b.order, &b.id)));
        return rows.iter().take(MOST).map(|row| row.id.clone()).collect();
    }
    let pattern = Pattern::parse(words.trim(), CaseMatching::Ignore, Normalization::Smart);
    let mut matcher = Matcher::new(Config::DEFAULT);
    let mut scored: Vec<(u32, &SignRow)> = rows
        .iter()
        .filter_map(|row| Some((score(&pattern, &mut matcher, row, words)?, *row)))
        .collect();
    if scored.is_empty() {
        scored = rows
            .iter()
            .filter(|row| forgives(&haystack(row), words))
            .map(|row| (0, *row))
            .collect();
    }
    scored.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.id.cmp(&b.1.id)));
    scored
        .into_iter()
        .take(MOST)
        .map(|(_, row)| row.id.clone())
        .collect()
}

fn haystack(row: &SignRow) -> String {
    format!("{} {} {}", row.name, row.also_called.join(" "), row.id).to_lowercase()
}

/// Score of a row: its name and its code weigh more than what else it is called or its question.
fn score(pattern: &Pattern, matcher: &mut Matcher, row: &SignRow, words: &str) -> Option<u32> {
    let mut buffer = Vec::new();
    let mut of = |text: &str| pattern.score(Utf32Str::new(text, &mut buffer), matcher);
    if row.id.eq_ignore_ascii_case(words.trim()) {
        return Some(u32::MAX);
    }
    let name = of(&row.name).map(|score| score.saturating_mul(2));
    let called = row.also_called.iter().filter_map(|called| of(called)).max();
    let whole = of(&haystack(row)).map(|score| score / 2);
    name.into_iter().chain(called).chain(whole).max()
}

/// True if every word typed starts some word of the row but for one slip.
fn forgives(haystack: &str, words: &str) -> bool {
    let words = words.to_lowercase();
    words.split_whitespace().all(|typed| {
        haystack
            .split(|c: char| !c.is_alphanumeric())
            .any(|known| typed.chars().count() > 2 && within_one_slip(typed, known))
    })
}

/// True if `typed` becomes `known`, or a start of it, by one letter left out, put in, changed or swapped.
fn within_one_slip(typed: &str, known: &str) -> bool {
    let typed: Vec<char> = typed.chars().collect();
    let known: Vec<char> = known.chars().collect();
    let same = typed.iter().zip(&known).take_while(|(a, b)| a == b).count();
    let tail = |list: &[char], skip: usize| list.get(same + skip..).unwrap_or(&[]).to_vec();
    let starts = |rest: &[char], of: &[char]| of.starts_with(rest);
    let (typed_rest, known_rest) = (tail(&typed, 0), tail(&known, 0));
    let swapped = typed_rest.len() >= 2
        && known_rest.len() >= 2
        && typed_rest[0] == known_rest[1]
        && typed_rest[1] == known_rest[0]
        && starts(&tail(&typed, 2), &tail(&known, 2));
    starts(&typed_rest, &known_rest)
        || starts(&tail(&typed, 1), &known_rest)
        || starts(&typed_rest, &tail(&known, 1))
        || starts(&tail(&typed, 1), &tail(&known, 1))
        || swapped
}

#[cfg(test)]
mod tests {
    use super::within_one_slip;

    #[test]
    fn one_slip_a_word_is_forgiven_and_two_are_not() {
        for typed in ["ratle", "rattel", "rattlle", "rottle", "ratt"] {
            assert!(within_one_slip(typed, "rattle"), "{typed}");
        }
        assert!(!within_one_slip("wubble", "rattle"));
        assert!(!within_one_slip("rotlte", "rattle"));
    }
}
