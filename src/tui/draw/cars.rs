//! Cars: the list, the rail of the car in hand, from 100 columns the triangle of the marked.

mod first_run;

use super::line::{Paint, Rows};
use super::{Look, rail, tiles, triangle};
use crate::engine::Appraisal;
use crate::tui::app::App;
use crate::tui::data::CarEntry;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::{self, cars, side};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    if app.data.cars.is_empty() {
        first_run::draw(app, look, area, buffer);
        return;
    }
    let class = layout::width_class(area.width);
    let width = usize::from(area.width).saturating_sub(1);
    let listed = cars::shown(app);
    let mut rows = Rows::default();
    if listed.is_empty() {
        rows.words(
            look,
            Meaning::Plain,
            "No car has that word. Esc shows all.",
            width,
        );
    }
    for (at, car) in listed.iter().enumerate() {
        match class {
            Width::Narrow => two_rows(app, look, at, car, width, &mut rows),
            Width::Medium => rows.row(at, medium(app, look, car, width)),
            Width::Wide | Width::Broad => rows.row(at, wide(app, look, car, width)),
        }
    }
    let in_hand = Some(screens::cursor(app).row());
    let (head, rest) = layout::split_top(area, 1);
    heading(look, head, buffer, class);
    // The list keeps at least half; what is left shows the car in hand.
    let below = match class {
        Width::Narrow => 0,
        _ => rest
            .height
            .saturating_sub(u16::try_from(rows.len() + 1).unwrap_or(u16::MAX))
            .max(rest.height / 2)
            .min(rest.height),
    };
    let below = if rest.height < 10 { 0 } else { below };
    let (list, foot) = layout::split_top(rest, rest.height - below);
    rows.of(0).draw(look, list, buffer, in_hand, true);
    details(app, look, foot, buffer, class);
}

fn heading(look: &Look, area: Rect, buffer: &mut Sheet<'_>, class: Width) {
    let text = match class {
        Width::Narrow => "     asks   limit hours cheap rely  fast".to_owned(),
        Width::Medium => format!("   car{}", &medium_heading()),
        _ => wide_heading(),
    };
    Paint::new(look)
        .put(Meaning::Quiet, text)
        .draw(buffer, area.x, area.y, area.width);
}

fn medium_heading() -> String {
    "               miles   asks  limit     low–high   h cheap rely fast state".to_owned()
}

fn wide_heading() -> String {
    "   car                 year   miles    asks   limit     low–high    room       hours  cheap  reliable  fast  state".to_owned()
}

fn mark(app: &App, car: &CarEntry) -> String {
    cars::mark(app, &car.slug).map_or_else(|| " ".to_owned(), |mark| mark.to_string())
}

fn chance(value: Option<f64>) -> String {
    value.map_or_else(|| "··".to_owned(), say::percent)
}

/// What is wrong with a file, without its name, which stands beside it already.
fn broken(car: &CarEntry) -> Option<&str> {
    let why = car.error.as_deref()?;
    let name = format!("{}{}", car.slug, crate::tui::data::CAR_SUFFIX);
    let rest = why.strip_prefix(name.as_str()).unwrap_or(why);
    Some(rest.trim_start_matches([':', ' ']))
}

/// Figures of a row; `··` where there is none yet.
struct Shown {
    asks: String,
    limit: String,
    range: String,
    room: String,
    hours: String,
    hours_spread: String,
    cheap: String,
    rely: String,
    both: String,
    fast: String,
}

fn shown(car: &CarEntry) -> Shown {
    let none = || "··".to_owned();
    let figures: Option<&Appraisal> = car.figures.as_deref();
    let limit = figures
        .and_then(|figures| figures.limit.price)
        .map(say::to_f64);
    let asks = cars::asks(car);
    let range = figures.and_then(|figures| {
        let (low, high) = (figures.limit.low?, figures.limit.high?);
        Some(say::range(say::to_f64(low), say::to_f64(high)))
    });
    let after = figures.map(|figures| figures.chances.after);
    let before = figures.map(|figures| figures.chances.before);
    Shown {
        asks: asks.map_or_else(none, say::whole),
        limit: limit.map_or_else(none, say::whole),
        range: range.unwrap_or_else(none),
        room: limit
            .zip(asks)
            .map_or_else(none, |(limit, asks)| say::moved(limit - asks)),
        hours: figures.map_or_else(none, |figures| say::hours(figures.repair.hours.p50)),
        hours_spread: figures.map_or_else(none, |figures| say::hours_spread(&figures.repair.hours)),
        cheap: chance(after.and_then(|after| after.cheap)),
        rely: chance(after.and_then(|after| after.reliable)),
        both: say::before_after(
            before.and_then(|before| before.reliable),
            after.and_then(|after| after.reliable),
        ),
        fast: chance(after.and_then(|after| after.fast)),
    }
}

fn two_rows(app: &App, look: &Look, at: usize, car: &CarEntry, width: usize, rows: &mut Rows) {
    let state = cars::state(car);
    let room = width.saturating_sub(3 + say::width(&state));
    let stop = if cars::stopped(car) {
        Meaning::Stop
    } else {
        Meaning::Plain
    };
    rows.row(
        at,
        Paint::new(look)
            .put(Meaning::Heading, mark(app, car))
            .gap(1)
            .left(Meaning::Plain, &car.name_in(room), room)
            .gap(1)
            .put(stop, state),
    );
    if let Some(why) = broken(car) {
        let words = say::clip(why, width.saturating_sub(4));
        rows.row(at, Paint::new(look).gap(3).put(Meaning::Plain, words));
        return;
    }
    let figures = shown(car);
    rows.row(
        at,
        Paint::new(look)
            .right(Meaning::Theirs, &figures.asks, 8)
            .right(Meaning::Limit, &figures.limit, 8)
            .right(Meaning::Plain, &format!("{} h", figures.hours), 7)
            .right(Meaning::Plain, &figures.cheap, 6)
            .right(Meaning::Plain, &figures.rely, 5)
            .right(Meaning::Plain, &figures.fast, 5),
    );
}

fn miles(car: &CarEntry) -> String {
    let miles = car.car().particulars.odometer_miles;
    miles.map_or_else(
        || "··".to_owned(),
        |miles| format!("{}k", say::whole(miles / 1000.0)),
    )
}

/// A row of a file that cannot be read: its name, then why.
fn broken_row<'a>(look: &'a Look, car: &CarEntry, name: usize, width: usize) -> Option<Paint<'a>> {
    let why = broken(car)?;
    let paint = Paint::new(look)
        .gap(2)
        .left(Meaning::Plain, &car.name_in(name), name)
        .gap(1)
        .put(Meaning::Heading, "cannot be read: ");
    let room = width.saturating_sub(paint.cells());
    Some(paint.put(Meaning::Plain, say::clip(why, room)))
}

fn medium<'a>(app: &App, look: &'a Look, car: &CarEntry, width: usize) -> Paint<'a> {
    if let Some(broken) = broken_row(look, car, 18, width) {
        return broken;
    }
    let figures = shown(car);
    let stop = if cars::stopped(car) {
        Meaning::Stop
    } else {
        Meaning::Plain
    };
    let paint = Paint::new(look)
        .put(Meaning::Heading, mark(app, car))
        .gap(1)
        .left(Meaning::Plain, &car.name_in(18), 18)
        .right(Meaning::Plain, &miles(car), 5)
        .right(Meaning::Theirs, &figures.asks, 7)
        .right(Meaning::Limit, &figures.limit, 7)
        .right(Meaning::Plain, &figures.range, 13)
        .right(Meaning::Plain, &figures.hours, 4)
        .right(Meaning::Plain, &figures.cheap, 6)
        .right(Meaning::Plain, &figures.rely, 5)
        .right(Meaning::Plain, &figures.fast, 5)
        .gap(1);
    let room = width.saturating_sub(paint.cells());
    paint.put(stop, say::clip(&cars::short_state(car), room))
}

fn wide<'a>(app: &App, look: &'a Look, car: &CarEntry, width: usize) -> Paint<'a> {
    if let Some(broken) = broken_row(look, car, 19, width) {
        return broken;
    }
    let figures = shown(car);
    let stop = if cars::stopped(car) {
        Meaning::Stop
    } else {
        Meaning::Plain
    };
    let year = car
        .car()
        .particulars
        .year
        .map_or_else(|| "··".to_owned(), |year| year.to_string());
    let paint = Paint::new(look)
        .put(Meaning::Heading, mark(app, car))
        .gap(1)
        .left(Meaning::Plain, &car.name_in(19), 19)
        .right(Meaning::Plain, &year, 5)
        .right(Meaning::Plain, &miles(car), 8)
        .right(Meaning::Theirs, &figures.asks, 8)
        .right(Meaning::Limit, &figures.limit, 8)
        .right(Meaning::Plain, &figures.range, 13)
        .right(Meaning::Plain, &figures.room, 8)
        .right(Meaning::Plain, &figures.hours_spread, 12)
        .right(Meaning::Plain, &figures.cheap, 7)
        .right(Meaning::Plain, &figures.both, 10)
        .right(Meaning::Plain, &figures.fast, 6)
        .gap(2);
    let room = width.saturating_sub(paint.cells());
    paint.put(stop, say::clip(&cars::state(car), room))
}

/// The car in hand under the list.
fn details(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>, class: Width) {
    let Some(car) = app.data.car() else {
        return;
    };
    if area.height < 4 {
        return;
    }
    let marked = class >= Width::Wide && app.marks.len() > 1;
    let shares: &[u16] = if marked { &[7, 4] } else { &[1] };
    let rects = layout::columns(area, shares);
    let Some(left) = rects.first() else {
        return;
    };
    let (head, rest) = layout::split_top(*left, 1);
    let place = place(car);
    tiles::heading(look, head, buffer, car.name(), &place, false);
    let width = usize::from(rest.width);
    let take = if class == Width::Medium { 22 } else { 0 };
    let rail_width = width.saturating_sub(take + 3).min(100);
    let mut rows = rail::rows(look, car, rail_width);
    if take == 0 {
        rows.text(Paint::new(look));
        would_take_line(look, car, &mut rows);
    }
    not_seen(look, car, rail_width.min(60), &mut rows);
    rows.draw(look, rest, buffer, None, false);
    if take > 0 {
        let side = Rect {
            x: rest.x + rest.width.saturating_sub(22),
            width: 22,
            ..rest
        };
        would_take(look, car).draw(look, side, buffer, None, false);
    }
    if let (true, Some(right)) = (marked, rects.get(1)) {
        tiles::bar(look, *right, buffer);
        let (head, rest) = layout::split_top(*right, 1);
        tiles::heading(
            look,
            head,
            buffer,
            "cheap, reliable, fast",
            "small = before",
            false,
        );
        triangle::draw(look, &side::on_triangle(app), None, rest, buffer);
    }
}

fn place(car: &CarEntry) -> String {
    let listing = &car.car().listing;
    let away = listing
        .miles_away
        .map(|miles| format!("{} mi", say::whole(miles)));
    let parts: Vec<String> = [
        (!listing.place.is_empty()).then(|| listing.place.clone()),
        away,
    ]
    .into_iter()
    .flatten()
    .collect();
    parts.join(", ")
}

/// They would take: a row a figure.
pub fn would_take(look: &Look, car: &CarEntry) -> Rows {
    let mut rows = Rows::default();
    let Some(figures) = car.figures.as_deref() else {
        return rows;
    };
    if figures.offer.would_take.is_empty() {
        return rows;
    }
    rows.text(Paint::new(look).put(Meaning::Quiet, "they would take"));
    for (amount, chance) in &figures.offer.would_take {
        rows.text(
            Paint::new(look)
                .right(Meaning::Mine, &say::money(*amount), 6)
                .put(Meaning::Plain, " or less")
                .right(Meaning::Plain, &say::percent(*chance), 5),
        );
    }
    rows
}

fn would_take_line(look: &Look, car: &CarEntry, rows: &mut Rows) {
    let Some(figures) = car.figures.as_deref() else {
        return;
    };
    if figures.offer.would_take.is_empty() {
        return;
    }
    let mut paint = Paint::new(look).put(Meaning::Quiet, "they would take");
    for (amount, chance) in &figures.offer.would_take {
        paint = paint.gap(2).put(Meaning::Mine, say::money(*amount)).put(
            Meaning::Plain,
            format!(" or less {}", say::percent(*chance)),
        );
    }
    rows.text(paint);
    if let Some(up) = &figures.you_are_up {
        rows.text(
            Paint::new(look)
                .put(Meaning::Quiet, "if you settle")
                .gap(4)
                .put(
                    Meaning::Plain,
                    format!(
                        "you are up {} ({})",
                        say::about(up.p50),
                        say::range(say::fives(up.p10), say::fives(up.p90))
                    ),
                ),
        );
    }
}

fn not_seen(look: &Look, car: &CarEntry, width: usize, rows: &mut Rows) {
    let Some(figures) = car.figures.as_deref() else {
        return;
    };
    rows.text(Paint::new(look));
    let unseen = &figures.unseen;
    let words = format!(
        "{} checks not seen hold back {}. {}",
        unseen.checks_not_seen,
        say::held_back(figures),
        figures.limit.words
    );
    rows.words(look, Meaning::Plain, &words, width);
    if let Some(missing) = &figures.worth_missing {
        rows.words(look, Meaning::Plain, missing, width);
    }
}
