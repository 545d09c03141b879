//! Money: rail, ladder, plan, talks, and what it comes to.

use super::line::{Paint, Rows};
use super::{Look, cars, ladder, rail, seller, talks, tiles};
use crate::car::Who;
use crate::engine::two_prices::TwoPrices;
use crate::engine::{Appraisal, Midpoint, OfferKind, Reply};
use crate::report::words;
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::money::{self, LADDER, PLAN, SELLER, SETTLE, TALKS};
use crate::tui::screens::{self, asked};
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
        Width::Narrow => {
            let last = if screens::cursor(app).part == SELLER {
                SELLER
            } else {
                SETTLE
            };
            let parts = [PLAN, LADDER, TALKS, last];
            tiles::draw(app, look, area, buffer, &[&parts], &[1], narrow);
        }
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
        &[&[LADDER], &[PLAN, SETTLE, TALKS, SELLER]],
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
    beside(app, look, *right, buffer);
}

/// The plan, and under it the seller as read, both open.
fn beside(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let (parts, cursor) = (screens::parts(app), screens::cursor(app));
    let width = usize::from(area.width).saturating_sub(1);
    let lists = [PLAN, SELLER].map(|part| (part, listing(app, look, part, width).of(part)));
    let wanted = u16::try_from(lists[1].1.len() + 1).unwrap_or(u16::MAX);
    let least = area.height.saturating_sub(wanted).max(area.height / 2);
    let plan = u16::try_from(lists[0].1.len() + 1)
        .unwrap_or(u16::MAX)
        .min(least);
    let (top, rest) = layout::split_top(area, plan);
    for ((part, rows), area) in lists.iter().zip([top, rest]) {
        if let Some(named) = parts.get(*part) {
            let row = cursor.rows.get(*part).copied();
            tiles::draw_one(look, area, buffer, named, rows, row, cursor.part == *part);
        }
    }
}

/// Parts under each other, all open.
fn stack(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>, parts: &[usize]) {
    tiles::draw(app, look, area, buffer, &[parts], &[1], listing);
}

fn listing(app: &App, look: &Look, part: usize, width: usize) -> Rows {
    match part {
        PLAN => plan(app, look, width),
        LADDER => ladder::rows(app, look, width),
        TALKS => talks::rows(app, look, width),
        SELLER => seller::rows(app, look, width),
        _ => settle(app, look, width),
    }
}

fn plan(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(figures) = app.data.figures() else {
        return rows;
    };
    // Where rows are few the first figure of the plan says as much.
    let few = layout::width_class(app.size.0) == Width::Narrow;
    let said_below = |reply: &&Reply| few && reply.say.is_some() && reply.say == figures.offer.open;
    if let Some(reply) = figures.offer.reply.as_ref().filter(|one| !said_below(one)) {
        let words = words::reply_in_short(reply, named(app));
        rows.text(Paint::new(look).put(Meaning::Heading, say::clip(&words, width)));
    }
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
    if let Some((two, of)) = asked::two(app) {
        two_prices(two, *of, look, width, &mut rows);
    }
    let because = figures.offer.reply.as_ref();
    let because = because.map(|reply| format!("Because {}", reply.because));
    for words in because.into_iter().chain(sentences(figures)) {
        rows.words(look, Meaning::Plain, &words, width.min(60));
    }
    rows
}

/// They named a figure of their own.
fn named(app: &App) -> bool {
    app.data.record().is_some_and(|car| {
        let mut theirs = car.talks.iter().filter(|said| said.who == Who::They);
        theirs.any(|said| said.amount.is_some())
    })
}

/// Two prices and the check that they hang on.
fn two_prices(two: &TwoPrices, of: usize, look: &Look, width: usize, rows: &mut Rows) {
    let more = if of > 1 {
        format!("two prices, o one of {of} checks")
    } else {
        "two prices".to_owned()
    };
    rows.text(Paint::new(look).put(Meaning::Heading, say::clip(&more, width)));
    let good = format!("if {}: {}", two.name, two.good.words);
    for (price, words) in [(two.good.price, good.as_str()), (two.bad.price, "if not")] {
        let mut lines = say::wrap(words, width.saturating_sub(9)).into_iter();
        let paint = Paint::new(look)
            .right(Meaning::Mine, &say::money(price), 7)
            .gap(2);
        rows.text(paint.put(Meaning::Plain, lines.next().unwrap_or_default()));
        for line in lines {
            rows.text(Paint::new(look).gap(9).put(Meaning::Plain, line));
        }
    }
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
