//! `next CAR`: what to find out next.

use super::args::Global;
use super::failure::Failure;
use super::places::{buyer_for, knowledge, run_of, slug_of, style_of};
use super::weigh::write_json;
use crate::engine::find_out::FindOutWish;
use crate::report::{json, text};
use crate::store;
use std::io::Write;
use std::path::Path;

/// Writes the checks still to come, those most worth their minutes first.
///
/// # Errors
/// A file that cannot be used, or standard output gone.
pub fn run(
    path: &Path,
    wish: FindOutWish,
    global: &Global,
    out: &mut impl Write,
) -> Result<(), Failure> {
    let knowledge = knowledge(global)?;
    let record = store::load_car(path)?.car;
    let (buyer, _) = buyer_for(path, global, knowledge.tables())?;
    let found = knowledge.find_out(&record, &buyer, &run_of(global), wish);
    if global.json {
        write_json(out, &json::next(&slug_of(path), &found))
    } else {
        let words = text::next(&record.name, &found, style_of(global));
        Ok(out.write_all(words.as_bytes())?)
    }
}
