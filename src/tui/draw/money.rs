//! Money: rail, ladder, plan, talks, and what it comes to.

use super::line::{Paint, Rows};
use super::{Look, cars, ladder, rail, tiles};
use crate::car::Who;
use crate::engine::{Appraisal, Midpoint, OfferKind};
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::forms::read;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::money::{self, LADDER, PLAN, SETTLE, TALKS};
use crate::tui::screens::{self};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    if app.data.figures().is_none() {
        Paint::new(look)
            .put(Meaning::Plain, "··  the figures are being worked out")
            .draw(buffer, area.x + 1, area.y, area.width.saturating_sub(1));
        return;
    }
    match layout::width_class(area.width) {
        Width::Narrow => tiles::draw(
            app,
            look,
            area,
            buffer,
            &[&[PLAN, LADDER, TALKS, SETTLE]],
            &[1],
            narrow,
        ),
        Width::Medium => medium(app, look, area, buffer),
        Width::Wide | Width::Broad => wide(app, look, area, buffer),
    }
}

fn narrow(app: &App, look: &Look, part: usize, width: usize) -> Rows {
    if part != PLAN {
        return listing(app, look, part, width);
    }
    let mut rows = app
        .data
        .car()
        .map_or_else(Rows::default, |car| rail::rows(look, car, width));
    rows.0.extend(plan(app, look, width).0);
    rows
}

fn medium(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let Some(car) = app.data.car() else {
        return;
    };
    let room = usize::from(area.width).saturating_sub(24);
    let lines = rail::rows(look, car, room.min(100));
    let tall = area.height >= 16;
    let height = if tall {
        u16::try_from(lines.len()).unwrap_or(5)
    } else {
        0
    };
    let (top, rest) = layout::split_top(area, height);
    lines.draw(look, top, buffer, None, false);
    let side = Rect {
        x: top.x + top.width.saturating_sub(22),
        width: 22.min(top.width),
        ..top
    };
    cars::would_take(look, car).draw(look, side, buffer, None, false);
    tiles::draw(
        app,
        look,
        rest,
        buffer,
        &[&[LADDER], &[PLAN, SETTLE, TALKS]],
        &[5, 3],
        listing,
    );
}

fn wide(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let rects = layout::columns(area, &[2, 1]);
    let [left, right] = rects.as_slice() else {
        return;
    };
    let parts = screens::parts(app);
    let cursor = screens::cursor(app);
    let width = usize::from(left.width).saturating_sub(1);
    let mut below = *left;
    if let (Some(part), Some((rungs, feet))) =
        (parts.get(LADDER), ladder::on_rail(app, look, width))
    {
        let mut all = rungs;
        all.0.extend(feet.0);
        all = all.of(LADDER);
        let rows = u16::try_from(all.len() + 1)
            .unwrap_or(u16::MAX)
            .min(left.height.saturating_sub(4));
        let (top, rest) = layout::split_top(*left, rows);
        tiles::draw_one(
            look,
            top,
            buffer,
            part,
            &all,
            Some(cursor.rows[LADDER]),
            cursor.part == LADDER,
        );
        below = rest;
        stack(app, look, below, buffer, &[TALKS, SETTLE]);
    } else {
        stack(app, look, below, buffer, &[LADDER, TALKS, SETTLE]);
    }
    tiles::bar(look, *right, buffer);
    stack(app, look, *right, buffer, &[PLAN]);
}

/// Parts under each other, all open.
fn stack(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>, parts: &[usize]) {
    tiles::draw(app, look, area, buffer, &[parts], &[1], listing);
}

fn listing(app: &App, look: &Look, part: usize, width: usize) -> Rows {
    match part {
        PLAN => plan(app, look, width),
        LADDER => ladder::rows(app, look, width),
        TALKS => talks(app, look, width),
        _ => settle(app, look, width),
    }
}

fn plan(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(figures) = app.data.figures() else {
        return rows;
    };
    for (at, planned) in money::plan(figures).iter().enumerate() {
        let meaning = if planned.label == "never over" {
            Meaning::Limit
        } else {
            Meaning::Mine
        };
        let paint = Paint::new(look)
            .left(Meaning::Plain, planned.label, 14)
            .right(meaning, &say::whole(planned.amount), 8);
        let room = width.saturating_sub(paint.cells());
        let words = planned.chance.and_then(|chance| {
            let chance = say::percent(chance);
            [
                format!("  they would take it {chance}"),
                format!("  {chance} take it"),
                format!("  {chance}"),
            ]
            .into_iter()
            .find(|words| say::width(words) <= room)
        });
        rows.row(at, paint.put(Meaning::Plain, words.unwrap_or_default()));
    }
    for words in sentences(figures) {
        rows.words(look, Meaning::Plain, &words, width.min(60));
    }
    rows
}

/// What to say beside the figures: no limit, donor, the middle, why.
fn sentences(figures: &Appraisal) -> Vec<String> {
    let mut said = Vec::new();
    if figures.limit.price.is_none() {
        said.push("No limit: worth not known. g s".to_owned());
    }
    if let Some((middle, what)) = &figures.offer.midpoint {
        let what = match what {
            Midpoint::Take => "take it",
            Midpoint::RefuseOnce => "refuse it once, kindly; take it if nothing better comes",
            Midpoint::Never => "over your limit: refuse it, kindly",
        };
        said.push(format!("The middle is {}: {what}.", say::money(*middle)));
    }
    match figures.offer.kind {
        OfferKind::One => said.push("One dated offer in writing, no ladder.".to_owned()),
        OfferKind::Leave => said.push("No plan: leave, and find another.".to_owned()),
        OfferKind::Ladder => {}
    }
    said.extend(
        [figures.offer.words.clone(), figures.limit.words.clone()]
            .into_iter()
            .filter(|words| !words.is_empty()),
    );
    if let Some(chance) = figures.offer.chance_of_deal {
        said.push(format!("It ends in a deal in {}.", say::in_hundred(chance)));
    }
    said
}

fn talks(app: &App, look: &Look, width: usize) -> Rows {
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
    let gap = gap_words(car);
    if !gap.is_empty() {
        rows.words(look, Meaning::Plain, &gap, width);
    }
    rows
}

/// `the gap was 775, is 625`.
fn gap_words(car: &crate::car::CarRecord) -> String {
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

fn settle(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(figures) = app.data.figures() else {
        return rows;
    };
    let wide = width >= 50;
    let mut line = |at: usize, label: &str, figure: String, range: String, more: String| {
        let mut paint = Paint::new(look)
            .left(Meaning::Quiet, label, 12)
            .right(Meaning::Plain, &figure, 7)
            .gap(1);
        for words in [range, more] {
            if !words.is_empty() && paint.cells() + say::width(&words) < width {
                paint = paint.put(Meaning::Plain, words).gap(2);
            }
        }
        rows.row(at, paint);
    };
    let spread = |spread: &Option<crate::engine::Spread>| match spread {
        Some(spread) => (
            say::about(spread.p50),
            format!(
                "({})",
                say::range(say::fives(spread.p10), say::fives(spread.p90))
            ),
        ),
        None => ("··".to_owned(), String::new()),
    };
    let (pay, pay_range) = spread(&figures.all_you_pay);
    let wallet = app.data.buyer.wallet.map_or_else(
        || "wallet not set".to_owned(),
        |wallet| format!("wallet {}", say::money(wallet)),
    );
    line(
        0,
        "all you pay",
        pay,
        pay_range,
        if wide { wallet } else { String::new() },
    );
    let (up, up_range) = spread(&figures.you_are_up);
    line(1, "you are up", up, up_range, String::new());
    let hours = &figures.repair.hours;
    line(
        2,
        "hours",
        say::hours(hours.p50),
        format!("({}–{})", say::hours(hours.p10), say::hours(hours.p90)),
        if wide {
            tally(app, hours.p10, hours.p90)
        } else {
            String::new()
        },
    );
    let cheap = figures
        .chances
        .after
        .cheap
        .map_or_else(|| "··".to_owned(), say::percent);
    line(
        3,
        "cheap",
        cheap,
        say::too_dear(figures)
            .unwrap_or("if you pay what they ask")
            .to_owned(),
        String::new(),
    );
    rows
}

/// Hours in fives, sure and may be; weekends in words.
fn tally(app: &App, sure: f64, most: f64) -> String {
    let (sure, most) = (sure.round().clamp(0.0, 30.0), most.round().clamp(0.0, 30.0));
    let mut out = String::new();
    let mut at = 0.0;
    while at < most {
        if at > 0.0 && at % 5.0 < 0.5 {
            out.push(' ');
        }
        out.push(if at < sure { '╵' } else { '·' });
        at += 1.0;
    }
    let week = app.data.buyer.hours_a_week;
    if week > 0.0 {
        out.push_str(&format!(
            "  {} weeks at {} h",
            say::whole((most / week).ceil()),
            say::hours(week)
        ));
    }
    out
}
