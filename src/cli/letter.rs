//! `letter CAR`.

use super::args::{Global, LetterArgs, ToneWord};
use super::failure::Failure;
use super::out_file;
use super::places::{buyer_for, knowledge, run_of, slug_of, style_of};
use super::weigh::write_json;
use crate::engine::findings::findings;
use crate::report::letter::{self, LetterWish, Tone};
use crate::report::{WeighedCar, json, words};
use crate::store;
use jiff::ToSpan;
use std::io::Write;

/// Days that an offer stands where the user names none.
const DAYS: i64 = 7;

/// Writes the counter-offer of a round, then each statement with its ground. A file holds only what may be sent.
///
/// # Errors
/// A file that cannot be used, no figure to write of, or standard output gone.
pub fn run(wanted: &LetterArgs, global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    if let Some(path) = &wanted.out {
        out_file::must_be_free(path)?;
    }
    let run = run_of(global);
    let week = run.today.saturating_add(DAYS.days());
    let until = wanted.until.unwrap_or(week);
    if until < run.today {
        return Err(Failure::Data(format!(
            "the offer would end on {until}, before today, {}. Name a later day with --until.",
            run.today
        )));
    }
    let knowledge = knowledge(global)?;
    let record = store::load_car(&wanted.car)?.car;
    let (buyer, _) = buyer_for(&wanted.car, global, knowledge.tables())?;
    let appraisal = knowledge.appraise(&record, &buyer, &run);
    let found = findings(&record, knowledge.tables(), &buyer, run.today);
    let slug = slug_of(&wanted.car);
    let car = WeighedCar {
        slug: &slug,
        name: &record.name,
        record: &record,
        appraisal: &appraisal,
        findings: Some(&found),
    };
    let tone = match wanted.tone {
        ToneWord::Plain => Tone::Plain,
        ToneWord::Warm => Tone::Warm,
        ToneWord::Brief => Tone::Brief,
    };
    let wish = LetterWish {
        round: usize::from(wanted.round),
        tone,
        until,
        until_is_own: wanted.until.is_some(),
    };
    let written = letter::write(&car, &buyer, knowledge.tables(), &wish);
    let in_style = |text: String| match style_of(global).ascii {
        true => words::ascii_twin(&text),
        false => text,
    };
    let mut sent = written
        .letter
        .as_ref()
        .map_or_else(|_| String::new(), letter::text);
    let notice = letter::notice_text(&written.notice);
    if !sent.is_empty() && !notice.is_empty() {
        sent.push('\n');
    }
    let sent = in_style(format!("{sent}{notice}"));
    if let (Some(path), false) = (&wanted.out, sent.is_empty()) {
        out_file::write(path, &sent)?;
    }
    if global.json {
        write_json(out, &json::letter(&slug, &written, tone))?;
    } else {
        let told = written.letter.iter().flat_map(letter::Letter::statements);
        let grounds = in_style(letter::grounds(told.chain(&written.notice)));
        match (&wanted.out, sent.is_empty()) {
            (_, true) => {}
            (Some(_), false) => out.write_all(grounds.as_bytes())?,
            (None, false) => out.write_all(format!("{sent}\n{grounds}").as_bytes())?,
        }
    }
    match written.letter {
        Ok(_) => Ok(()),
        Err(why) => Err(Failure::Data(format!("no letter: {why}"))),
    }
}
