//! The parts of the report of one car, in reading order.

use super::{Audience, Block, Secrets, Table, verdict};
use crate::engine::{Appraisal, FaultFigure, Route, Standing};
use crate::report::proven::proven;
use crate::report::{WeighedCar, papers as paper_words, readings, words};
use crate::trade::Tables;

/// Faults told one by one.
const TOLD: usize = 20;
/// Checks not seen that are named.
const NAMED: usize = 40;

/// All that the reader may see.
pub(super) fn car(
    car: &WeighedCar<'_>,
    tables: &Tables,
    audience: Audience,
    secrets: &Secrets,
) -> Vec<Block> {
    let mut out = vec![Block::Heading(1, name(car, secrets))];
    if audience != Audience::Seller {
        stops(&mut out, car, secrets);
    }
    if audience == Audience::Me {
        verdict::put(&mut out, car);
    }
    found(&mut out, car, tables);
    if audience != Audience::Seller {
        faults(&mut out, car);
        measured(&mut out, car);
        papers(&mut out, car);
        unseen(&mut out, car);
    }
    if audience == Audience::Me {
        plan(&mut out, car);
    }
    if audience != Audience::Seller {
        cautions(&mut out, car.appraisal);
        sources(&mut out, car.appraisal);
    }
    assumptions(&mut out, car.appraisal, audience);
    out
}

/// Its name, in the user's words; else the name of its file.
pub(super) fn name(car: &WeighedCar<'_>, secrets: &Secrets) -> String {
    let name = if car.name.is_empty() {
        car.slug
    } else {
        car.name
    };
    secrets.hide_in_own_words(name)
}

pub(super) fn heading(out: &mut Vec<Block>, words: &str) {
    out.push(Block::Heading(2, words.to_owned()));
}

pub(super) fn facts(rows: Vec<Vec<String>>) -> Block {
    Block::Table(Table {
        rows,
        ..Table::default()
    })
}

/// A row of two cells.
pub(super) fn fact(label: &str, value: impl Into<String>) -> Vec<String> {
    vec![label.to_owned(), value.into()]
}

/// Stops, and waivers in the user's words. The seller sees neither: a stop may hang on what was only said.
fn stops(out: &mut Vec<Block>, car: &WeighedCar<'_>, secrets: &Secrets) {
    let waived = |words: &str, sentence: &str| {
        let words = secrets.hide_in_own_words(words);
        Block::Stop(format!("Waived, in the words “{words}”: {sentence}"))
    };
    for stop in &car.appraisal.stops {
        out.push(match &stop.waived {
            None => Block::Stop(format!("STOP: {}", stop.sentence)),
            Some(words) => waived(words, &stop.sentence),
        });
    }
    for one in car.findings.map_or(&[][..], |found| &found.waived) {
        out.push(waived(&one.words, &one.sentence));
    }
}

/// What a check of the user's own found.
fn found(out: &mut Vec<Block>, car: &WeighedCar<'_>, tables: &Tables) {
    heading(out, "Found on the car");
    let proven = proven(car, tables);
    if proven.is_empty() {
        out.push(Block::Words("No check has proven a fault.".to_owned()));
        return;
    }
    let rows = proven.iter().map(|one| {
        let mut words = one.when.clone();
        for number in &one.measured {
            words.push_str(&format!("; {number}"));
        }
        if one.is_unsafe() {
            words.push_str(". Unsafe: not to be driven before a licensed garage has looked at it.");
        }
        vec![one.found.clone(), cost(one.fault, car), words]
    });
    out.push(facts(rows.collect()));
}

fn cost(fault: &FaultFigure, car: &WeighedCar<'_>) -> String {
    let mark = words::currency_mark(&car.record.currency);
    let [low, high] = [fault.cash.p10, fault.cash.p90].map(words::about);
    let cash = words::money_range(low, high, &mark);
    let hours = words::hours_range(fault.hours.p10, fault.hours.p90);
    match fault.route {
        Route::LivedWith => "lived with".to_owned(),
        Route::Home => format!("about {cash} and {hours}, at home"),
        Route::Part => format!("about {cash} and {hours}, part of it at a garage"),
        Route::Garage => format!("about {cash}, at a garage"),
    }
}

/// Faults with chances and reasons.
fn faults(out: &mut Vec<Block>, car: &WeighedCar<'_>) {
    heading(out, "Faults, those that take most first");
    let told = car.appraisal.faults.iter().enumerate();
    let told = told.filter(|(at, fault)| *at < TOLD || fault.standing == Standing::Seen);
    let rows: Vec<Vec<String>> = told
        .map(|(_, fault)| {
            let standing = match fault.standing {
                Standing::Seen => "seen",
                Standing::Likely => "likely, not proved",
                Standing::Unseen => "not seen",
                Standing::RuledOut => "ruled out",
            };
            let reasons: Vec<&str> = fault
                .reasons
                .iter()
                .filter(|one| one.times > 1.0)
                .map(|one| one.words.as_str())
                .collect();
            let chance = format!(
                "{}, {standing} ({} in an ordinary car like this)",
                words::percent(fault.chance),
                words::percent(fault.ordinary)
            );
            vec![
                fault.name.clone(),
                chance,
                cost(fault, car),
                reasons.join("; "),
            ]
        })
        .collect();
    let rest = car.appraisal.faults.len().saturating_sub(rows.len());
    out.push(facts(rows));
    if rest > 0 {
        let words = words::count(rest, "fault", "faults");
        out.push(Block::Words(format!("{words} more at their chance.")));
    }
}

/// What was measured, and the limits it was held against.
fn measured(out: &mut Vec<Block>, car: &WeighedCar<'_>) {
    let Some(found) = car.findings.filter(|found| !found.readings.is_empty()) else {
        return;
    };
    heading(out, "Measured, against limits");
    let row = |one: &crate::engine::readings::ReadingFinding| {
        let numbers: Vec<String> = one
            .verdict
            .measured
            .iter()
            .map(readings::measured)
            .collect();
        let sources = readings::sources(&one.verdict);
        vec![
            one.name.clone(),
            format!("{} ({})", one.level_words, numbers.join("; ")),
            sources.join("; "),
        ]
    };
    out.push(facts(found.readings.iter().map(row).collect()));
}

/// Papers and plates, and what cannot all be true.
fn papers(out: &mut Vec<Block>, car: &WeighedCar<'_>) {
    let Some(found) = car.findings.filter(|found| !found.papers.is_empty()) else {
        return;
    };
    heading(out, "Papers");
    let told = paper_words::facts(&found.papers);
    out.push(facts(
        told.into_iter()
            .map(|(label, words)| vec![label, words])
            .collect(),
    ));
    let clashes: Vec<String> = (found.papers.contradictions.iter())
        .map(|clash| format!("Contradiction: {}", clash.sentence))
        .collect();
    if !clashes.is_empty() {
        out.push(Block::List(clashes));
    }
}

fn unseen(out: &mut Vec<Block>, car: &WeighedCar<'_>) {
    let unseen = &car.appraisal.unseen;
    heading(out, "Not seen, priced at its chance");
    let mark = words::currency_mark(&car.record.currency);
    out.push(Block::Words(format!(
        "{} of an ordinary visit not answered, {} held at their chance: about {} and {}.",
        words::count(unseen.checks_not_seen, "check", "checks"),
        words::count(unseen.faults, "fault", "faults"),
        words::money(words::as_said(unseen.cash.mean), &mark),
        words::hours(unseen.hours.mean),
    )));
    let names = car.findings.map_or(&[][..], |found| &found.not_seen);
    if !names.is_empty() {
        let mut told = names
            .iter()
            .take(NAMED)
            .cloned()
            .collect::<Vec<_>>()
            .join("; ");
        if let Some(more) = names.len().checked_sub(NAMED).filter(|more| *more > 0) {
            told.push_str(&format!("; and {more} more"));
        }
        out.push(Block::Words(format!("Not seen: {told}.")));
    }
    for sign in &car.appraisal.not_in_tables {
        out.push(Block::Words(format!(
            "{sign}: on file, not in these tables, not priced."
        )));
    }
}

fn plan(out: &mut Vec<Block>, car: &WeighedCar<'_>) {
    let offer = &car.appraisal.offer;
    let mark = words::currency_mark(&car.record.currency);
    heading(out, "Plan of offers");
    out.push(Block::Words(offer.words.clone()));
    let mut rows = Vec::new();
    for (at, step) in offer.steps.iter().enumerate() {
        let sum = words::money(words::units(*step), &mark);
        rows.push(fact(&format!("offer {}", at + 1), sum));
    }
    if let Some(chance) = offer.chance_of_deal {
        rows.push(fact("chance of a deal", words::percent(chance)));
    }
    if !rows.is_empty() {
        out.push(facts(rows));
    }
}

fn cautions(out: &mut Vec<Block>, figures: &Appraisal) {
    heading(out, "Cautions");
    let mut points: Vec<String> = (figures.cautions.iter())
        .map(|caution| format!("{} ({})", caution.sentence, caution.source))
        .collect();
    points.push(
        "The maker's manual, the law where you live and licensed people come before anything said here."
            .to_owned(),
    );
    out.push(Block::List(points));
}

fn sources(out: &mut Vec<Block>, figures: &Appraisal) {
    let ways = figures
        .faults
        .iter()
        .take(TOLD)
        .flat_map(|fault| &fault.ways);
    let mut rows: Vec<String> = ways
        .filter(|way| way.chosen)
        .map(|way| way.source.clone())
        .collect();
    rows.sort_unstable();
    rows.dedup();
    if figures.faults.is_empty() {
        rows.push("no fault is priced".to_owned());
    }
    heading(out, "Sources of the costs");
    out.push(Block::List(rows));
}

pub(super) fn assumptions(out: &mut Vec<Block>, figures: &Appraisal, audience: Audience) {
    let on = &figures.assumptions;
    heading(out, "What these estimates stand on");
    let day = words::date_with_year(on.date);
    out.push(Block::Words(format!(
        "Estimates of {day}, by tables of {}; no workshop has confirmed them.",
        on.tables_as_of
    )));
    // What was assumed tells of the buyer.
    if audience != Audience::Seller {
        let draws = words::whole(f64::from(on.draws));
        let mut points = vec![format!(
            "Buyer: {}, purpose {}; {draws} draws, seed {}.",
            on.buyer, on.purpose, on.seed
        )];
        points.extend(on.assumed.iter().map(|assumed| assumed.words.clone()));
        out.push(Block::List(points));
    }
}
