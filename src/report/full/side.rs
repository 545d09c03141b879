//! The page of cars side by side: the same figures in the same order as on the screen, the triangle, who beats whom, what would swap them.

use super::sections::{assumptions, fact, facts, heading, name};
use super::verdict::chance;
use super::{Audience, Block, Compared, Drawing, Secrets, Table, spot};
use crate::car::Money;
use crate::engine::{Appraisal, Comparison, Spread, Verdict};
use crate::report::{WeighedCar, side as told, words};

/// Letter of a car by its place.
pub(super) fn letter(at: usize) -> String {
    ["A", "B", "C", "D"]
        .get(at)
        .copied()
        .unwrap_or("?")
        .to_owned()
}

/// Everything about the cars together.
pub(super) fn side(
    cars: &[WeighedCar<'_>],
    compared: Compared<'_>,
    secrets: &Secrets,
) -> Vec<Block> {
    let (comparison, preference) = (compared.comparison, compared.preference);
    let mut out = vec![Block::Heading(1, "Side by side".to_owned())];
    out.extend(
        (comparison.words.iter()).map(|words| Block::Words(secrets.hide_in_own_words(words))),
    );
    out.push(figures(cars, comparison, secrets));
    let spots: Vec<_> = (comparison.cars.iter().enumerate())
        .map(|(at, car)| {
            let (before, after) = (spot(&car.appraisal, false), spot(&car.appraisal, true));
            (letter(at), before, after)
        })
        .collect();
    if spots.iter().any(|(_, _, after)| after.is_some()) {
        let drawn = Drawing::Triangle(spots, Some(preference.weights));
        out.push(Block::Drawing(Box::new(drawn), None));
        out.push(Block::Words(
            "Small letter as it stands, capital put right, + your weights: the nearer a corner, the more of it."
                .to_owned(),
        ));
    }
    heading(&mut out, "Who beats whom");
    out.push(beats(comparison));
    heading(&mut out, "What would settle it");
    let mut points = match &comparison.swap {
        Some(check) => told::swap_check(check, &letter),
        None => vec!["No one check is worth its minutes and would swap the order.".to_owned()],
    };
    points.extend(told::preference(preference, &letter));
    points.extend(told::dominance(comparison, &letter));
    out.push(Block::List(points));
    out.extend(ranks(compared));
    if let Some(first) = comparison.cars.first() {
        assumptions(&mut out, &first.appraisal, Audience::Me);
    }
    out
}

/// One row of figures: label and cell.
type Cell = fn(&WeighedCar<'_>, &Appraisal, &str) -> String;

fn exact(sum: Option<Money>, mark: &str) -> String {
    or(sum, mark, words::UNKNOWN)
}

fn or(sum: Option<Money>, mark: &str, none: &str) -> String {
    sum.map_or_else(
        || none.to_owned(),
        |sum| words::money(words::units(sum), mark),
    )
}

fn middle(spread: Option<&Spread>, mark: &str) -> String {
    spread.map_or_else(
        || words::UNKNOWN.to_owned(),
        |spread| words::money(words::as_said(spread.p50), mark),
    )
}

fn ends(spread: Option<&Spread>, mark: &str) -> String {
    spread.map_or_else(String::new, |spread| {
        let [low, high] = [spread.p10, spread.p90].map(words::as_said);
        words::money_range(low, high, mark)
    })
}

fn verdict_word(figures: &Appraisal) -> &'static str {
    match figures.limit.verdict {
        Verdict::Buy => "buy",
        Verdict::Leave => "leave it",
        Verdict::Donor => "donor",
        Verdict::Scrap => "scrap",
    }
}

const ROWS: [(&str, Cell); 15] = [
    ("miles", |car, _, _| {
        let miles = car.record.particulars.odometer_miles;
        miles.map_or_else(|| words::UNKNOWN.to_owned(), words::whole)
    }),
    ("asks", |car, _, mark| {
        exact(car.record.listing.asking, mark)
    }),
    ("limit", |_, figures, mark| exact(figures.limit.price, mark)),
    ("right 9 and 5 in 10", |_, figures, mark| {
        let both = figures.limit.low.zip(figures.limit.high);
        both.map_or_else(String::new, |(low, high)| {
            words::money_range(words::units(low), words::units(high), mark)
        })
    }),
    ("open", |_, figures, mark| {
        or(figures.offer.open, mark, "none")
    }),
    ("settle", |_, figures, mark| {
        or(figures.offer.settle, mark, "none")
    }),
    ("all paid, if so", |_, figures, mark| {
        middle(figures.all_you_pay.as_ref(), mark)
    }),
    ("1 in 10 outside", |_, figures, mark| {
        ends(figures.all_you_pay.as_ref(), mark)
    }),
    ("up, if you settle", |_, figures, mark| {
        middle(figures.you_are_up.as_ref(), mark)
    }),
    ("hours", |_, figures, _| {
        words::hours(figures.repair.hours.p50)
    }),
    ("cheap", |_, figures, _| chance(figures.chances.after.cheap)),
    ("reliable", |_, figures, _| {
        let (before, after) = (&figures.chances.before, &figures.chances.after);
        format!("{}→{}", chance(before.reliable), chance(after.reliable))
    }),
    ("fast", |_, figures, _| chance(figures.chances.after.fast)),
    ("stops", |_, figures, _| {
        let stops = figures.stops.iter().filter(|stop| stop.waived.is_none());
        match stops.count() {
            0 => "none".to_owned(),
            _ => "STOP".to_owned(),
        }
    }),
    ("checks not seen", |_, figures, _| {
        words::count(figures.unseen.checks_not_seen, "check", "checks")
    }),
];

fn figures(cars: &[WeighedCar<'_>], comparison: &Comparison, secrets: &Secrets) -> Block {
    let mut head = vec![String::new()];
    head.extend(
        cars.iter()
            .enumerate()
            .map(|(at, car)| format!("{} {}", letter(at), name(car, secrets))),
    );
    let marks: Vec<String> = cars
        .iter()
        .map(|car| words::currency_mark(&car.record.currency))
        .collect();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (label, cell) in ROWS {
        let cells = cars.iter().zip(&comparison.cars).zip(&marks);
        let mut row = vec![label.to_owned()];
        row.extend(cells.map(|((car, compared), mark)| cell(car, &compared.appraisal, mark)));
        rows.push(row);
    }
    let more = |label: &str, cell: &dyn Fn(usize) -> String| {
        let mut row = vec![label.to_owned()];
        row.extend((0..cars.len()).map(cell));
        row
    };
    rows.push(more("verdict", &|at| {
        let car = comparison.cars.get(at);
        car.map_or("", |car| verdict_word(&car.appraisal))
            .to_owned()
    }));
    rows.push(more("stands here at", &|at| {
        let car = comparison.cars.get(at);
        car.map_or("", |car| car.stands_at.word()).to_owned()
    }));
    rows.push(more("first in", &|at| {
        let share = comparison.first_in.get(at).copied().unwrap_or_default();
        format!("{} of 100", words::whole(share * 100.0))
    }));
    rows.push(more("regret", &|at| {
        let set = comparison
            .cars
            .get(at)
            .filter(|car| car.appraisal.worth.is_some());
        let loss = set.and_then(|_| comparison.regret.get(at));
        let mark = marks.get(at).map_or("", String::as_str);
        loss.map_or_else(
            || words::UNKNOWN.to_owned(),
            |loss| words::money(*loss, mark),
        )
    }));
    Block::Table(Table {
        head,
        rows,
        figures: true,
    })
}

fn beats(comparison: &Comparison) -> Block {
    let mut rows = Vec::new();
    let share = |row: usize, column: usize| {
        let wins = comparison.wins.get(row).and_then(|wins| wins.get(column));
        wins.copied().unwrap_or_default()
    };
    for row in 0..comparison.wins.len() {
        for column in row + 1..comparison.wins.len() {
            let (over, under) = if share(row, column) >= share(column, row) {
                (row, column)
            } else {
                (column, row)
            };
            let label = format!("{} over {}", letter(over), letter(under));
            let wins = words::whole(share(over, under) * 100.0);
            rows.push(fact(&label, format!("{wins} of 100 shared draws")));
        }
    }
    let none = words::whole(comparison.none_of_these * 100.0);
    rows.push(fact("none of these", format!("best in {none} of 100")));
    facts(rows)
}

/// How often each car takes each rank over all weights.
fn ranks(compared: Compared<'_>) -> Vec<Block> {
    let ranked: Vec<(usize, &[f64])> = (compared.preference.cars.iter().enumerate())
        .map(|(at, car)| (at, car.ranks.as_slice()))
        .filter(|(_, ranks)| ranks.len() > 1)
        .collect();
    let Some((_, first)) = ranked.first() else {
        return Vec::new();
    };
    let mut head = vec![String::new()];
    head.extend((0..first.len()).map(|at| told::nth(at).to_owned()));
    let rows = ranked.iter().map(|(at, ranks)| {
        let mut row = vec![letter(*at)];
        row.extend(ranks.iter().map(|share| words::whole(share * 100.0)));
        row
    });
    let table = Table {
        head,
        rows: rows.collect(),
        figures: true,
    };
    vec![
        Block::Heading(
            2,
            "Ranks over all weights of cheap, reliable and fast, of 100".to_owned(),
        ),
        Block::Table(table),
    ]
}
