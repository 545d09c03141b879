//! Side by side: figures in columns, the triangle, who beats whom, what to say.

use super::line::{Paint, Rows};
use super::{Look, tiles, triangle};
use crate::engine::Appraisal;
use crate::tui::app::App;
use crate::tui::data::CarEntry;
use crate::tui::draw::sheet::Sheet;
use crate::tui::geometry::chance_bar::chance_bar;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::side::{self, BEATS, FIGURES, SETTLE, TRIANGLE};
use crate::tui::screens::{self, cars};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    if app.marks.len() < 2 {
        let mut rows = Rows::default();
        rows.words(
            look,
            Meaning::Plain,
            "Mark two or more on Cars with x.",
            usize::from(area.width).saturating_sub(2),
        );
        rows.draw(look, area, buffer, None, false);
        return;
    }
    let cursor = screens::cursor(app);
    if layout::width_class(area.width) == Width::Narrow {
        match cursor.part {
            TRIANGLE => triangle_and_words(app, look, area, buffer),
            BEATS | SETTLE => tile(app, look, area, buffer, cursor.part),
            _ => narrow_figures(app, look, area, buffer),
        }
        return;
    }
    let shares: &[u16] = if layout::width_class(area.width) == Width::Medium {
        &[9, 5]
    } else {
        &[7, 5]
    };
    let rects = layout::columns(area, shares);
    let [left, right] = rects.as_slice() else {
        return;
    };
    let width = usize::from(left.width);
    let rows = figures(app, look, width);
    let height = u16::try_from(rows.len())
        .unwrap_or(u16::MAX)
        .min(left.height.saturating_sub(3).max(left.height / 2));
    let (top, below) = layout::split_top(*left, height);
    rows.draw(look, Rect { x: top.x, ..top }, buffer, None, false);
    let pairs = u16::try_from(side::pairs(app).len() + 1).unwrap_or(u16::MAX);
    if cursor.part == BEATS {
        tile(app, look, below, buffer, BEATS);
    } else if below.height >= pairs + 6 {
        let (beats, settle) = layout::split_top(below, pairs);
        tile(app, look, beats, buffer, BEATS);
        tile(app, look, settle, buffer, SETTLE);
    } else {
        tile(app, look, below, buffer, SETTLE);
    }
    tiles::bar(look, *right, buffer);
    triangle_and_words(app, look, *right, buffer);
}

/// A part under its heading.
fn tile(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>, part: usize) {
    if area.height < 2 {
        return;
    }
    let cursor = screens::cursor(app);
    let active = cursor.part == part;
    let (head, rest) = layout::split_top(area, 1);
    let width = usize::from(area.width).saturating_sub(2);
    let (name, note, rows) = if part == BEATS {
        let rows = beats(app, look, width);
        ("who beats whom", "in 100 shared draws".to_owned(), rows)
    } else {
        let pairs: Vec<String> = (side::pairs(app).iter())
            .map(|pair| {
                let share = say::whole(pair.share * 100.0);
                format!("{} over {} {share}", pair.over, pair.under)
            })
            .collect();
        let rows = sentences(look, &side::settle(app), width);
        let name = "what would settle it";
        let note = pairs.join("  ");
        let fits = say::width(name) + say::width(&note) + 8 <= usize::from(area.width);
        (name, if fits { note } else { String::new() }, rows)
    };
    tiles::heading(look, head, buffer, name, &note, active);
    let row = active.then(|| cursor.row());
    rows.of(part).draw(look, rest, buffer, row, active);
}

/// Sentences as rows, each as many lines as it needs.
fn sentences(look: &Look, told: &[String], width: usize) -> Rows {
    let mut rows = Rows::default();
    for (at, sentence) in told.iter().enumerate() {
        for line in say::wrap(sentence, width.min(60)) {
            rows.row(at, Paint::new(look).put(Meaning::Plain, line));
        }
    }
    rows
}

fn narrow_figures(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let width = usize::from(area.width);
    let mut rows = figures(app, look, width);
    rows.0
        .extend(sentences(look, &side::settle(app), width.saturating_sub(2)).0);
    rows.draw(look, area, buffer, None, false);
}

fn triangle_and_words(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let (head, rest) = layout::split_top(area, 1);
    let cursor = screens::cursor(app);
    let active = cursor.part == TRIANGLE;
    let note = if area.width >= 62 {
        "a before, A after, + your weights"
    } else {
        "+ your weights"
    };
    tiles::heading(look, head, buffer, "cheap, reliable, fast", note, active);
    let told = side::balance(app);
    let width = usize::from(rest.width).saturating_sub(2);
    let rows = sentences(look, &told, width);
    // Words need some room too: a smaller triangle where they would have none.
    let room = rest.height.saturating_sub(if active { 5 } else { 3 });
    let taken = triangle::rows_that_fit(usize::from(rest.width), usize::from(room));
    let (top, below) = layout::split_top(rest, u16::try_from(taken).unwrap_or(0));
    let weights = side::has_two(app).then_some(app.views.side.weights);
    triangle::draw(look, &side::on_triangle(app), weights, top, buffer);
    let row = active.then(|| cursor.row());
    rows.of(TRIANGLE).draw(look, below, buffer, row, active);
}

type Cell = fn(&App, &CarEntry, &Appraisal) -> (Meaning, String);

fn spread(spread: Option<&crate::engine::Spread>) -> (Meaning, String) {
    (
        Meaning::Plain,
        spread.map_or_else(|| "··".to_owned(), |spread| say::about(spread.p50)),
    )
}

fn ends(spread: Option<&crate::engine::Spread>) -> (Meaning, String) {
    let text = spread.map_or_else(String::new, |spread| {
        say::range(say::fives(spread.p10), say::fives(spread.p90))
    });
    (Meaning::Plain, text)
}

fn sum(meaning: Meaning, value: Option<crate::car::Money>) -> (Meaning, String) {
    (meaning, value.map_or_else(|| "··".to_owned(), say::money))
}

/// Rows in the order they have everywhere.
const ROWS: [(&str, Cell); 17] = [
    ("miles", |_, car, _| {
        let miles = car.car().particulars.odometer_miles;
        (
            Meaning::Plain,
            miles.map_or_else(|| "··".to_owned(), say::whole),
        )
    }),
    ("asks", |_, car, _| {
        sum(Meaning::Theirs, car.car().listing.asking)
    }),
    ("limit", |_, _, figures| {
        sum(Meaning::Limit, figures.limit.price)
    }),
    (" low–high", |_, _, figures| {
        let both = figures.limit.low.zip(figures.limit.high);
        let text = both.map_or_else(String::new, |(low, high)| {
            say::range(say::to_f64(low), say::to_f64(high))
        });
        (Meaning::Plain, text)
    }),
    ("open", |_, _, figures| {
        sum(Meaning::Mine, figures.offer.open)
    }),
    ("settle", |_, _, figures| {
        sum(Meaning::Mine, figures.offer.settle)
    }),
    ("all you pay", |_, _, figures| {
        spread(figures.all_you_pay.as_ref())
    }),
    (" low–high", |_, _, figures| {
        ends(figures.all_you_pay.as_ref())
    }),
    ("you are up", |_, _, figures| {
        spread(figures.you_are_up.as_ref())
    }),
    (" low–high", |_, _, figures| {
        ends(figures.you_are_up.as_ref())
    }),
    ("hours", |_, _, figures| {
        (Meaning::Plain, say::hours(figures.repair.hours.p50))
    }),
    ("cheap", |_, _, figures| {
        (
            Meaning::Plain,
            say::before_after(None, figures.chances.after.cheap),
        )
    }),
    ("reliable", |_, _, figures| {
        let chances = &figures.chances;
        (
            Meaning::Plain,
            say::before_after(chances.before.reliable, chances.after.reliable),
        )
    }),
    ("fast", |_, _, figures| {
        (
            Meaning::Plain,
            say::before_after(None, figures.chances.after.fast),
        )
    }),
    ("0 to 60", |_, _, figures| {
        let pace = figures
            .pace
            .map(|pace| format!("{:.1} s", pace.zero_to_60_mph_s));
        (Meaning::Plain, pace.unwrap_or_else(|| "··".to_owned()))
    }),
    ("stops", |_, _, figures| {
        let count = figures
            .stops
            .iter()
            .filter(|stop| stop.waived.is_none())
            .count();
        if count == 0 {
            (Meaning::Plain, "none".to_owned())
        } else {
            (Meaning::Stop, "■ STOP".to_owned())
        }
    }),
    ("not seen", |_, _, figures| {
        let unseen = &figures.unseen;
        (
            Meaning::Plain,
            format!("{} · {}", unseen.checks_not_seen, say::held_back(figures)),
        )
    }),
];

fn figures(app: &App, look: &Look, width: usize) -> Rows {
    let marked = side::marked(app);
    let in_hand = screens::cursor(app).rows[FIGURES];
    let label = 13;
    let cell = ((width.saturating_sub(label + 1)) / marked.len().max(1)).clamp(6, 18);
    let fits = ((width.saturating_sub(label + 1)) / cell).max(1);
    // From the third car on at 40 the columns move with the car in hand.
    let first = (in_hand + 1).saturating_sub(fits);
    let cars: Vec<(usize, &CarEntry)> = marked
        .iter()
        .copied()
        .enumerate()
        .skip(first)
        .take(fits)
        .collect();
    let mut rows = Rows::default();
    let mut names = Paint::new(look).gap(label);
    for (at, car) in &cars {
        let mark = cars::mark(app, &car.slug).unwrap_or(' ');
        let hand = if *at == in_hand { "▸" } else { "" };
        let room = cell.saturating_sub(say::width(hand) + 2);
        let name = format!("{hand}{mark} {}", car.name_in(room));
        let meaning = if *at == in_hand {
            Meaning::InHand
        } else {
            Meaning::Heading
        };
        names = names.right(meaning, &say::clip(&name, cell), cell);
    }
    rows.text(names);
    for (name, value) in ROWS {
        if width < 50 && matches!(name, " low–high" | "miles" | "open" | "0 to 60") {
            continue;
        }
        let mut paint = Paint::new(look).left(Meaning::Quiet, name, label);
        for (_, car) in &cars {
            let (meaning, text) = side::figures(app, car).map_or_else(
                || (Meaning::Plain, "··".to_owned()),
                |figures| value(app, car, figures),
            );
            let text = if width < 50 {
                text.replace(" · ", "·")
            } else {
                text
            };
            paint = paint.right(meaning, &text, cell);
        }
        rows.text(paint);
    }
    first_in(app, look, label, cell, first, fits, &mut rows);
    rows
}

fn first_in(
    app: &App,
    look: &Look,
    label: usize,
    cell: usize,
    first: usize,
    fits: usize,
    rows: &mut Rows,
) {
    let Some(compared) = app.data.compared.as_deref() else {
        return;
    };
    let mut paint = Paint::new(look).left(Meaning::Quiet, "first in 100", label);
    for slug in app.marks.iter().skip(first).take(fits) {
        let at = compared.cars.iter().position(|car| car.slug == *slug);
        let share = at.and_then(|at| compared.first_in.get(at));
        let text = share.map_or_else(|| "··".to_owned(), |share| say::whole(share * 100.0));
        paint = paint.right(Meaning::Plain, &text, cell);
    }
    rows.text(paint);
    if cell >= 12 {
        let mut paint = Paint::new(look).left(Meaning::Quiet, "regret", label);
        for slug in app.marks.iter().skip(first).take(fits) {
            let at = compared.cars.iter().position(|car| car.slug == *slug);
            let set = at.filter(|at| compared.cars[*at].appraisal.worth.is_some());
            let loss = set.and_then(|at| compared.regret.get(at));
            let text = loss.map_or_else(|| "··".to_owned(), |loss| say::whole(*loss));
            paint = paint.right(Meaning::Plain, &text, cell);
        }
        rows.text(paint);
        let mut paint = Paint::new(look).left(Meaning::Quiet, "weighed at", label);
        for slug in app.marks.iter().skip(first).take(fits) {
            let car = compared.cars.iter().find(|car| car.slug == *slug);
            let text = car.map_or("··", |car| car.stands_at.word());
            paint = paint.right(Meaning::Plain, text, cell);
        }
        rows.text(paint);
    }
    rows.text(
        Paint::new(look)
            .left(Meaning::Quiet, "none of these", label)
            .right(
                Meaning::Plain,
                &say::whole(compared.none_of_these * 100.0),
                cell,
            ),
    );
}

/// A over B, as a bar with its middle marked; then regret and dominance.
fn beats(app: &App, look: &Look, width: usize) -> Rows {
    let pairs = side::pairs(app);
    let mut rows = Rows::default();
    if app.data.compared.is_none() {
        rows.words(look, Meaning::Plain, "··  being worked out", width);
        return rows;
    }
    for (at, pair) in pairs.iter().enumerate() {
        let close = if pair.share < 0.575 { "  close" } else { "" };
        let line = format!(
            "{} over {}  {:>3}  {}{close}",
            pair.over,
            pair.under,
            say::whole(pair.share * 100.0),
            chance_bar(pair.share, Some(0.5), 18)
        );
        rows.row(at, Paint::new(look).put(Meaning::Plain, line));
    }
    for (at, sentence) in side::beaten(app).iter().enumerate() {
        for line in say::wrap(sentence, width.min(60)) {
            rows.row(pairs.len() + at, Paint::new(look).put(Meaning::Plain, line));
        }
    }
    rows
}
