//! `next CAR`: what to find out next.

use super::args::Global;
use super::failure::Failure;
use super::out_file;
use super::places::{buyer_for, knowledge, run_of, slug_of, style_of};
use super::weigh::write_json;
use crate::engine::find_out::FindOutWish;
use crate::engine::held_back::held_back;
use crate::engine::unseen::items;
use crate::report::{json, text, unseen};
use crate::store;
use std::io::Write;
use std::path::Path;

/// Writes the checks still to come, those most worth their minutes first; or (`message`, with a file for it) the message that asks a
/// far-off seller for them. A file holds only what may be sent.
///
/// # Errors
/// A file that cannot be used, or standard output gone.
pub fn run(
    path: &Path,
    wish: FindOutWish,
    (message, file): (bool, Option<&Path>),
    global: &Global,
    out: &mut impl Write,
) -> Result<(), Failure> {
    if let Some(file) = file {
        out_file::must_be_free(file)?;
    }
    let knowledge = knowledge(global)?;
    let tables = knowledge.tables();
    let record = store::load_car(path)?.car;
    let (buyer, _) = buyer_for(path, global, tables)?;
    let run = run_of(global);
    let found = knowledge.find_out(&record, &buyer, &run, wish);
    let style = style_of(global);
    let mut value = global.json.then(|| json::next(&slug_of(path), &found));
    let mut words = if message {
        String::new()
    } else {
        text::next(&record.name, &found, style)
    };
    if wish.remote {
        let items = items(&record, tables, run.today);
        let held = held_back(&record, tables);
        let chosen: Option<Vec<String>> = wish
            .minutes
            .map(|_| found.checks.iter().map(|one| one.id.clone()).collect());
        let sent = unseen::message(&record, &items, chosen.as_deref());
        if let (Some(file), false) = (file, sent.is_empty()) {
            out_file::write(file, &sent)?;
        }
        if message {
            words.push_str(&sent);
            words.push('\n');
        }
        words.push_str(&text::unseen(&items, &held, style));
        if let Some(value) = &mut value {
            value["unseen"] = json::unseen(&items, &held, &sent);
        }
    }
    match value {
        Some(value) => write_json(out, &value),
        None => Ok(out.write_all(words.as_bytes())?),
    }
}
