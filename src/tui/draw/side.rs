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
use crate::tui::screens::side::{self, BEATS, FIGURES, TRIANGLE};
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
            BEATS => {
                let rows = beats(app, look, usize::from(area.width) - 1);
                rows.draw(look, area, buffer, None, false);
            }
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
    if below.height > 1 {
        let (head, rest) = layout::split_top(below, 1);
        tiles::heading(
            look,
            head,
            buffer,
            "who beats whom",
            "in shared draws",
            cursor.part == BEATS,
        );
        beats(app, look, width - 1).draw(look, rest, buffer, None, false);
    }
    tiles::bar(look, *right, buffer);
    triangle_and_words(app, look, *right, buffer);
}

fn narrow_figures(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let width = usize::from(area.width);
    let mut rows = figures(app, look, width);
    rows.0.extend(summary(app, look, width - 1).0);
    rows.draw(look, area, buffer, None, false);
}

fn triangle_and_words(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let (head, rest) = layout::split_top(area, 1);
    let active = screens::cursor(app).part == TRIANGLE;
    tiles::heading(
        look,
        head,
        buffer,
        "cheap, reliable, fast",
        "a before, A after",
        active,
    );
    let fits = triangle::draw(look, &side::on_triangle(app), rest, buffer);
    let taken = if fits {
        u16::try_from(triangle::rows_taken(usize::from(rest.width)).min(usize::from(rest.height)))
            .unwrap_or(0)
    } else {
        0
    };
    let (_, below) = layout::split_top(rest, taken);
    let width = usize::from(below.width).saturating_sub(1);
    let mut rows = Rows::default();
    for car in side::marked(app) {
        let Some(figures) = side::figures(app, car) else {
            continue;
        };
        let mark = cars::mark(app, &car.slug).unwrap_or(' ');
        rows.words(
            look,
            Meaning::Plain,
            &format!("{mark}  {}", figures.chances.words),
            width,
        );
    }
    rows.0.extend(summary(app, look, width).0);
    rows.draw(look, below, buffer, None, false);
}

/// What would swap them, and what to say.
fn summary(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(compared) = app.data.compared.as_deref() else {
        return rows;
    };
    if let Some(swap) = &compared.swap {
        rows.words(look, Meaning::Heading, swap, width.min(60));
    }
    for words in &compared.words {
        rows.words(look, Meaning::Plain, words, width.min(60));
    }
    rows
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

/// A over B, as a bar with its middle marked.
fn beats(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(compared) = app.data.compared.as_deref() else {
        rows.words(look, Meaning::Plain, "··  being worked out", width);
        return rows;
    };
    let letter = |at: usize| {
        let slug = compared.cars.get(at).map(|car| car.slug.as_str());
        slug.and_then(|slug| cars::mark(app, slug)).unwrap_or('?')
    };
    let count = compared.cars.len();
    for row in 0..count {
        for column in row + 1..count {
            let share = compared
                .wins
                .get(row)
                .and_then(|wins| wins.get(column))
                .copied();
            let other = compared
                .wins
                .get(column)
                .and_then(|wins| wins.get(row))
                .copied();
            let (Some(share), Some(other)) = (share, other) else {
                continue;
            };
            let (over, under, share) = if share >= other {
                (row, column, share)
            } else {
                (column, row, other)
            };
            let close = if share < 0.575 { "  close" } else { "" };
            rows.text(Paint::new(look).gap(1).put(
                Meaning::Plain,
                format!(
                    "{} over {}  {:>3}  {}{close}",
                    letter(over),
                    letter(under),
                    say::whole(share * 100.0),
                    chance_bar(share, Some(0.5), 18)
                ),
            ));
        }
    }
    rows
}
