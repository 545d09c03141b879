//! The log of the talks: who, when, how much, with which words, what cannot be as meant, and the gap.

use super::Look;
use super::line::{Paint, Rows};
use crate::car::{CarRecord, Who};
use crate::tui::app::App;
use crate::tui::forms::read;
use crate::tui::say;
use crate::tui::theme::Meaning;

pub fn rows(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(car) = app.data.record() else {
        return rows;
    };
    if car.talks.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "None yet. a puts in what you offered or they said.",
            width,
        );
    }
    let mut round = 0;
    for (at, said) in car.talks.iter().enumerate() {
        let (who, meaning) = match said.who {
            Who::You => {
                round += 1;
                ("you", Meaning::Mine)
            }
            Who::They => ("they", Meaning::Theirs),
        };
        let day = said.at.map_or_else(String::new, |at| read::day(at.date()));
        let amount = said.amount.map_or_else(|| "no".to_owned(), say::money);
        let paint = Paint::new(look)
            .left(Meaning::Quiet, &round.to_string(), 3)
            .left(Meaning::Quiet, &day, 8)
            .left(Meaning::Plain, who, 5)
            .right(meaning, &amount, 7)
            .gap(2);
        let room = width.saturating_sub(paint.cells());
        rows.row(at, paint.put(Meaning::Plain, say::clip(&said.words, room)));
    }
    let doubts = app.data.figures().map(|figures| &figures.offer.doubts);
    for doubt in doubts.into_iter().flatten() {
        rows.words(look, Meaning::Heading, doubt, width);
    }
    if let Some(paid) = car.bought_at {
        let over = format!("Bought at {}: the talks are over.", say::money(paid));
        rows.words(look, Meaning::Plain, &over, width);
    }
    let gap = gap_words(car);
    if !gap.is_empty() {
        rows.words(look, Meaning::Plain, &gap, width);
    }
    rows
}

/// `the gap was 775, is 625`.
fn gap_words(car: &CarRecord) -> String {
    let of = |who: Who| -> Vec<f64> {
        car.talks
            .iter()
            .filter(|said| said.who == who)
            .filter_map(|said| said.amount.map(say::to_f64))
            .collect()
    };
    let (yours, theirs) = (of(Who::You), of(Who::They));
    let asks = car.listing.asking.map(say::to_f64);
    let (Some(first), Some(last)) = (yours.first(), yours.last()) else {
        return String::new();
    };
    match (asks, theirs.last()) {
        (Some(asks), Some(answer)) => format!(
            "the gap was {}, is {}",
            say::whole(asks - first),
            say::whole(answer - last)
        ),
        (Some(asks), None) => format!("the gap is {}", say::whole(asks - last)),
        _ => String::new(),
    }
}
