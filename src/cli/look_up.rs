//! `lookup WORD`: fuzzy search over the tables.

use super::args::Global;
use super::failure::Failure;
use super::places::{style_of, tables_in_force};
use super::weigh::write_json;
use crate::report::look_up::{entries, find, is_named, json as entry_json, not_ours};
use crate::report::{text, words};
use serde_json::json;
use std::io::Write;

/// Most rows told.
const MOST: usize = 20;

/// Finds rows and writes them, best first.
///
/// # Errors
/// [`Failure::Data`] where nothing is like the word.
pub fn run(word: &str, global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    let tables = tables_in_force(global)?;
    let all = entries(&tables);
    let found = find(&all, word, MOST);
    if let Some(why) = not_ours(&tables, word) {
        return Err(Failure::Data(why));
    }
    if found.is_empty() {
        return Err(Failure::Data(format!(
            "nothing in the tables is like “{}”. Try a shorter word, a code such as P0171, or an id.",
            words::clean(word)
        )));
    }
    if global.json {
        let rows: Vec<_> = found
            .iter()
            .map(|entry| entry_json(&tables, entry))
            .collect();
        return write_json(out, &json!({ "schema": 1, "word": word, "found": rows }));
    }
    let whole = found.len() == 1 || found.first().is_some_and(|first| is_named(first, word));
    Ok(out.write_all(text::look_up(&tables, &found, whole, style_of(global)).as_bytes())?)
}
