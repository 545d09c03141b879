//! `letter CAR`.

use super::args::{Global, KindWord, LetterArgs, ToneWord};
use super::failure::Failure;
use super::out_file;
use super::places::{buyer_for, knowledge, run_of, slug_of, style_of};
use super::weigh::write_json;
use crate::car::{Buyer, CarRecord};
use crate::engine::find_out::FindOutWish;
use crate::engine::findings::findings;
use crate::engine::two_prices::{TwoPrices, movers};
use crate::engine::{Knowledge, Run};
use crate::report::letter::{self, DeedKind, LetterWish, Statement, Tone, Written};
use crate::report::{WeighedCar, json, words};
use crate::store;
use jiff::ToSpan;
use serde_json::Value;
use std::io::Write;

/// Checks named to one who asks for two prices on a check that cannot carry them.
const NAMED: usize = 6;

/// What goes out: the text that may be sent, its grounds, and the same as JSON.
struct Paper {
    sent: String,
    grounds: String,
    json: Value,
    /// Why it is not there, or not whole.
    why_not: Option<String>,
}

/// Writes the counter-offer of a round, a notice, or a draft, then each statement with its ground. A file holds only what may be sent.
///
/// # Errors
/// A file that cannot be used, nothing to write of, or standard output gone.
pub fn run(wanted: &LetterArgs, global: &Global, out: &mut impl Write) -> Result<(), Failure> {
    if let Some(path) = &wanted.out {
        out_file::must_be_free(path)?;
    }
    let run = run_of(global);
    let wish = wish(wanted, &run)?;
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
    let two = match &wanted.two_price {
        Some(check) => Some(two_prices(
            &knowledge,
            &record,
            &buyer,
            &run,
            (check, wish.round),
        )?),
        None => None,
    };
    let paper = match wanted.kind {
        Some(KindWord::Receipt) => deed(&car, &knowledge, DeedKind::Receipt, &run)?,
        Some(KindWord::BillOfSale) => deed(&car, &knowledge, DeedKind::BillOfSale, &run)?,
        Some(KindWord::Notice) => notice(
            &slug,
            &letter::write(&car, &buyer, knowledge.tables(), &wish),
        ),
        Some(KindWord::Letter) | None => {
            let written = match &two {
                Some(two) => letter::write_two(&car, &buyer, knowledge.tables(), &wish, two),
                None => letter::write(&car, &buyer, knowledge.tables(), &wish),
            };
            offer(&slug, &written, &wish, two.as_ref())
        }
    };
    put(wanted, global, &paper, out)
}

fn wish(wanted: &LetterArgs, run: &Run) -> Result<LetterWish, Failure> {
    let week = run.today.saturating_add(letter::DAYS_OPEN.days());
    let until = wanted.until.unwrap_or(week);
    if until < run.today {
        return Err(Failure::Data(format!(
            "the offer would end on {until}, before today, {}. Name a later day with --until.",
            run.today
        )));
    }
    Ok(LetterWish {
        round: usize::from(wanted.round),
        tone: match wanted.tone {
            ToneWord::Plain => Tone::Plain,
            ToneWord::Warm => Tone::Warm,
            ToneWord::Brief => Tone::Brief,
        },
        until,
        until_is_own: wanted.until.is_some(),
    })
}

/// The two prices of a check, named by its id or by its name; where it cannot carry them, those that can are named.
fn two_prices(
    knowledge: &Knowledge,
    record: &CarRecord,
    buyer: &Buyer,
    run: &Run,
    (check, round): (&str, usize),
) -> Result<TwoPrices, Failure> {
    let tables = knowledge.tables();
    let named = |name: &str| name.eq_ignore_ascii_case(check);
    let sign = (tables.signs.iter()).find(|row| named(&row.id) || named(&row.name));
    let id = sign.map_or(check, |row| row.id.as_str());
    knowledge
        .two_prices(record, buyer, run, id, round)
        .map_err(|why| {
            let found = knowledge.find_out(record, buyer, run, FindOutWish::default());
            let some: Vec<&str> = (movers(&found, tables).iter().take(NAMED))
                .map(|one| one.id.as_str())
                .collect();
            let others = match some.as_slice() {
                [] => "No check that is left moves the limit enough.".to_owned(),
                some => format!("Checks that can carry them: {}.", some.join(", ")),
            };
            Failure::Data(words::clean(&format!("no two prices: {why} {others}")))
        })
}

fn deed(
    car: &WeighedCar<'_>,
    knowledge: &Knowledge,
    kind: DeedKind,
    run: &Run,
) -> Result<Paper, Failure> {
    let deed = letter::deed(car, knowledge.tables(), kind, run.today)
        .map_err(|why| Failure::Data(format!("no draft: {why}")))?;
    Ok(Paper {
        sent: letter::deed_text(&deed, letter::WIDTH),
        grounds: letter::grounds(deed.statements(), letter::WIDTH),
        json: json::deed(car.slug, &deed),
        why_not: None,
    })
}

fn notice(slug: &str, written: &Written) -> Paper {
    let sent = letter::notice_text(&written.notice, letter::WIDTH);
    let nothing = "no notice: nothing was seen on the car that makes it unsafe.";
    Paper {
        why_not: sent.is_empty().then(|| nothing.to_owned()),
        sent,
        grounds: letter::grounds(written.notice.iter(), letter::WIDTH),
        json: json::notice(slug, written),
    }
}

fn offer(slug: &str, written: &Written, wish: &LetterWish, two: Option<&TwoPrices>) -> Paper {
    let mut sent = written
        .letter
        .as_ref()
        .map_or_else(|_| String::new(), |one| letter::text(one, letter::WIDTH));
    let notice = letter::notice_text(&written.notice, letter::WIDTH);
    if !sent.is_empty() && !notice.is_empty() {
        sent.push('\n');
    }
    sent.push_str(&notice);
    let told: Vec<&Statement> = (written.letter.iter())
        .flat_map(letter::Letter::statements)
        .chain(&written.notice)
        .collect();
    Paper {
        grounds: letter::grounds(told.into_iter(), letter::WIDTH),
        json: json::letter(slug, written, wish.tone, two),
        why_not: written
            .letter
            .as_ref()
            .err()
            .map(|why| format!("no letter: {why}")),
        sent,
    }
}

fn put(
    wanted: &LetterArgs,
    global: &Global,
    paper: &Paper,
    out: &mut impl Write,
) -> Result<(), Failure> {
    let in_style = |text: &str| match style_of(global).ascii {
        true => words::ascii_twin(text),
        false => text.to_owned(),
    };
    let (sent, grounds) = (in_style(&paper.sent), in_style(&paper.grounds));
    if let (Some(path), false) = (&wanted.out, sent.is_empty()) {
        out_file::write(path, &sent)?;
    }
    if global.json {
        write_json(out, &paper.json)?;
    } else {
        match (&wanted.out, sent.is_empty()) {
            (_, true) => {}
            (Some(_), false) => out.write_all(grounds.as_bytes())?,
            (None, false) => out.write_all(format!("{sent}\n{grounds}").as_bytes())?,
        }
    }
    match &paper.why_not {
        None => Ok(()),
        Some(why) => Err(Failure::Data(why.clone())),
    }
}
