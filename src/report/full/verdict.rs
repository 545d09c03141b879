//! The verdict of one car: limit, chances, and the drawings of both.

use super::sections::{fact, facts, heading};
use super::{Block, Drawing, Table, spot};
use crate::engine::{Appraisal, Rung, Verdict};
use crate::report::{WeighedCar, words};

/// A verdict in words.
fn verdict_words(figures: &Appraisal) -> &'static str {
    match figures.limit.verdict {
        Verdict::Buy => "buy, at the limit or under",
        Verdict::Leave => "leave it",
        Verdict::Donor => "a donor: worth more in parts than put right",
        Verdict::Scrap => "scrap: not worth fixing at any price",
    }
}

/// A chance in words, unknown said as unknown.
pub(super) fn chance(chance: Option<f64>) -> String {
    chance.map_or_else(|| words::UNKNOWN.to_owned(), words::percent)
}

/// Verdict, limit, chances, drawings.
pub(super) fn put(out: &mut Vec<Block>, car: &WeighedCar<'_>) {
    let (figures, mark) = (car.appraisal, words::currency_mark(&car.record.currency));
    heading(out, "Verdict");
    out.push(Block::Words(format!(
        "Verdict: {}.",
        verdict_words(figures)
    )));
    out.push(Block::Words(figures.limit.words.clone()));
    out.extend(rail(car, &mark).map(|rail| Block::Drawing(Box::new(rail), None)));
    let sum = |sum: Option<crate::car::Money>| {
        sum.map_or_else(
            || words::UNKNOWN.to_owned(),
            |sum| words::money(words::units(sum), &mark),
        )
    };
    let mut rows = vec![
        fact("they ask", sum(car.record.listing.asking)),
        fact("never pay over", sum(figures.limit.price)),
        fact("bought blind", sum(figures.limit.blind)),
    ];
    if let Some(range) = figures.limit.low.zip(figures.limit.high) {
        let (low, high) = (words::units(range.0), words::units(range.1));
        let range = words::money_range(low, high, &mark);
        rows.push(fact("right 9 and 5 times in 10", range));
    }
    if let Some(nothing_new) = figures.limit.if_nothing_new {
        rows.push(fact("if nothing new is found", sum(Some(nothing_new))));
    }
    if !figures.limit.withheld_because.is_empty() {
        let withheld = "withheld: settle the grave question first";
        rows.push(fact("if nothing new is found", withheld));
    }
    let floor = words::money(words::as_said(figures.floor.best), &mark);
    rows.push(fact("worth that in parts", floor));
    let (before, after) = (&figures.chances.before, &figures.chances.after);
    for (name, before, after) in [
        ("cheap", before.cheap, after.cheap),
        ("reliable", before.reliable, after.reliable),
        ("fast", before.fast, after.fast),
    ] {
        let both = format!(
            "{} as it stands, {} put right",
            chance(before),
            chance(after)
        );
        rows.push(fact(name, both));
    }
    out.push(facts(rows));
    if !figures.chances.words.is_empty() {
        out.push(Block::Words(format!(
            "It offers: {}.",
            figures.chances.words
        )));
    }
    let (before, after) = (spot(figures, false), spot(figures, true));
    if after.is_some() {
        let drawn = Drawing::Triangle(vec![(String::new(), before, after)], None);
        out.push(Block::Drawing(Box::new(drawn), None));
    }
    out.push(Block::Heading(3, "Why this limit".to_owned()));
    out.push(ladder(&figures.ladder, &mark));
}

fn ladder(rungs: &[Rung], mark: &str) -> Block {
    let row = |rung: &Rung| fact(&rung.label, words::money(words::units(rung.cash), mark));
    let instead = Table {
        rows: rungs.iter().map(row).collect(),
        figures: true,
        ..Table::default()
    };
    let drawn = Drawing::Ladder(rungs.to_vec(), mark.to_owned());
    Block::Drawing(Box::new(drawn), Some(instead))
}

/// The rail; nothing where fewer than two marks are known.
fn rail(car: &WeighedCar<'_>, mark: &str) -> Option<Drawing> {
    let figures = car.appraisal;
    let offer = &figures.offer;
    let exact = |sum: Option<crate::car::Money>| sum.map(words::units);
    let mut marks: Vec<(&'static str, f64)> = [
        ("floor", Some(figures.floor.best)),
        ("open", exact(offer.open)),
        ("settle", exact(offer.settle)),
        ("limit", exact(figures.limit.price)),
        ("asks", exact(car.record.listing.asking)),
    ]
    .into_iter()
    .filter_map(|(name, sum)| Some((name, sum.filter(|sum| sum.is_finite())?)))
    .collect();
    marks.sort_by(|one, other| one.1.total_cmp(&other.1));
    let of = |name: &str| marks.iter().find(|mark| mark.0 == name).map(|mark| mark.1);
    let up_to = of("limit").map(|limit| of("asks").map_or(limit, |asks| limit.min(asks)));
    let ink = of("floor").zip(up_to).filter(|(from, to)| to > from);
    let span = marks.last()?.1 - marks.first()?.1;
    (span > 0.0).then(|| Drawing::Rail {
        range: exact(figures.limit.low).zip(exact(figures.limit.high)),
        ink,
        belief: (offer.belief_from, offer.belief_to, offer.belief.clone()),
        mark: mark.to_owned(),
        marks,
    })
}
