//! Faults: the list by what they take; the reasons and the ways of the fault in hand.

use super::Look;
use super::line::{Paint, Rows};
use super::tiles;
use crate::car::Pin;
use crate::engine::{FaultFigure, Route, Standing};
use crate::trade::Severity;
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::geometry::chance_bar::chance_bar;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::faults::{self, LIST, REASONS};
use crate::tui::screens::{self};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let class = layout::width_class(area.width);
    let width = usize::from(area.width).saturating_sub(1);
    let cursor = screens::cursor(app);
    if class == Width::Narrow || area.height < 14 {
        let rows = if cursor.part == LIST {
            list(app, look, width).of(LIST)
        } else {
            reasons(app, look, width)
        };
        rows.draw(look, area, buffer, Some(cursor.row()), true);
        return;
    }
    let rows = list(app, look, width).of(LIST);
    let wanted = u16::try_from(rows.len() + 1).unwrap_or(u16::MAX);
    let least = area.height / 3;
    let top = wanted.min(area.height - least);
    let (head, rest) = layout::split_top(area, top);
    let (title, listed) = layout::split_top(head, 1);
    heading(look, title, buffer, class);
    rows.draw(
        look,
        listed,
        buffer,
        Some(cursor.rows[LIST]),
        cursor.part == LIST,
    );
    below(app, look, rest, buffer, class);
}

/// Reasons and ways, beside each other from 100 columns.
fn below(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>, class: Width) {
    let Some(fault) = faults::in_hand(app) else {
        return;
    };
    let active = screens::cursor(app).part == REASONS;
    let scroll = Some(screens::cursor(app).rows[REASONS]);
    let note = format!(
        "{}, an ordinary one {}",
        chance_words(fault),
        say::percent(fault.ordinary)
    );
    if class == Width::Medium {
        let (head, rest) = layout::split_top(area, 1);
        tiles::heading(look, head, buffer, &fault.name, &note, active);
        let rows = reasons(app, look, usize::from(rest.width) - 1);
        rows.draw(look, rest, buffer, scroll, active);
        return;
    }
    let rects = layout::columns(area, &[1, 1]);
    if let [left, right] = rects.as_slice() {
        let (head, rest) = layout::split_top(*left, 1);
        tiles::heading(look, head, buffer, &fault.name, &note, active);
        let mut rows = Rows::default();
        why(look, fault, usize::from(rest.width) - 1, &mut rows);
        rows.draw(look, rest, buffer, scroll, active);
        tiles::bar(look, *right, buffer);
        let (head, rest) = layout::split_top(*right, 1);
        tiles::heading(look, head, buffer, "repair", "o other ways", false);
        let mut rows = Rows::default();
        ways(look, fault, usize::from(rest.width) - 1, &mut rows);
        rows.draw(look, rest, buffer, scroll, active);
    }
}

fn heading(look: &Look, area: Rect, buffer: &mut Sheet<'_>, class: Width) {
    let text = if class == Width::Medium {
        "  fault                  chance, | ordinary      cash   h route     USWAL takes"
    } else {
        "   fault                      chance, | ordinary car          cash       hours  route      USWAL  from         takes"
    };
    Paint::new(look)
        .put(Meaning::Quiet, text)
        .draw(buffer, area.x, area.y, area.width);
}

/// Five fixed slots: unsafe, strands, worsens, annoys, looks.
pub fn severities(fault: &FaultFigure) -> String {
    [
        (Severity::Unsafe, 'U'),
        (Severity::Strands, 'S'),
        (Severity::Worsens, 'W'),
        (Severity::Annoys, 'A'),
        (Severity::Looks, 'L'),
    ]
    .into_iter()
    .map(|(severity, letter)| {
        if fault.severities.contains(&severity) {
            letter
        } else {
            '·'
        }
    })
    .collect()
}

fn severity_words(fault: &FaultFigure) -> String {
    let words: Vec<&str> = fault
        .severities
        .iter()
        .map(|severity| match severity {
            Severity::Unsafe => "unsafe",
            Severity::Strands => "strands",
            Severity::Worsens => "worsens",
            Severity::Annoys => "annoys",
            Severity::Looks => "looks",
        })
        .collect();
    words.join(", ")
}

/// `58%`, `sure` or `out`.
pub fn chance_words(fault: &FaultFigure) -> String {
    match fault.standing {
        Standing::RuledOut => "out".to_owned(),
        Standing::Seen if fault.chance > 0.985 => "sure".to_owned(),
        _ => say::percent(fault.chance),
    }
}

fn bar(fault: &FaultFigure, cells: usize) -> String {
    match fault.standing {
        Standing::RuledOut => chance_bar(0.0, None, cells),
        Standing::Seen if fault.chance > 0.985 => chance_bar(1.0, None, cells),
        _ => chance_bar(fault.chance, Some(fault.ordinary), cells),
    }
}

pub fn route(route: Route) -> &'static str {
    match route {
        Route::Home => "home",
        Route::Part => "home, fee",
        Route::Garage => "garage",
        Route::LivedWith => "live with",
    }
}

fn from(app: &App, fault: &FaultFigure) -> &'static str {
    let pin = app.data.record().and_then(|car| car.pins.get(&fault.id));
    match (pin, fault.standing) {
        (Some(Pin::Certain | Pin::RuledOut), _) => "pinned",
        (None, Standing::Seen) => "seen",
        (None, Standing::Likely) => "signs",
        (None, Standing::RuledOut) => "ruled out",
        (None, Standing::Unseen) => "age alone",
    }
}

fn cash(fault: &FaultFigure) -> String {
    if fault.route == Route::LivedWith || fault.cash.p90 < 0.5 {
        return "–".to_owned();
    }
    say::range(say::fives(fault.cash.p10), say::fives(fault.cash.p90))
}

fn hours(fault: &FaultFigure, wide: bool) -> String {
    if fault.route == Route::LivedWith {
        return "–".to_owned();
    }
    if wide && fault.hours.p90 >= 0.5 {
        return format!(
            "{} ({}–{})",
            say::hours(fault.hours.p50),
            say::hours(fault.hours.p10),
            say::hours(fault.hours.p90)
        );
    }
    say::hours(fault.hours.p50)
}

fn list(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(figures) = app.data.figures() else {
        rows.words(
            look,
            Meaning::Plain,
            "··  the figures are being worked out",
            width,
        );
        return rows;
    };
    let (listed, others) = faults::listed(app);
    if figures
        .faults
        .iter()
        .all(|fault| fault.standing == Standing::Unseen)
        && app.views.faults.narrow.is_empty()
    {
        let words = format!(
            "No signs yet: {} ordinary faults hold {}. a adds what you know.",
            figures.faults.len(),
            say::held_back(figures)
        );
        rows.words(look, Meaning::Plain, &words, width);
    }
    for (at, fault) in listed.iter().enumerate() {
        match width {
            0..59 => narrow(look, at, fault, width, &mut rows),
            59..99 => rows.row(at, medium(look, fault)),
            _ => rows.row(at, wide(app, look, fault)),
        }
    }
    if !others.is_empty() || app.views.faults.all {
        let takes: f64 = others.iter().map(|fault| fault.takes).sum();
        let words = if app.views.faults.all {
            "Enter: the likely ones only".to_owned()
        } else {
            match others.len() {
                1 => "1 other, not looked for ".to_owned(),
                many => format!("{many} others, not looked for "),
            }
        };
        // Under the last column of the rows above.
        let room = match width {
            0..59 => width,
            59..99 => 78.min(width),
            _ => 116,
        }
        .saturating_sub(8);
        let dots = "┄".repeat(room.saturating_sub(say::width(&words)).min(16));
        let paint = Paint::new(look).left(Meaning::Unseen, &format!("{words}{dots}"), room);
        let shown = if others.is_empty() {
            String::new()
        } else {
            say::about(-takes)
        };
        rows.row(listed.len(), paint.right(Meaning::Takes, &shown, 8));
    }
    rows
}

fn narrow(look: &Look, at: usize, fault: &FaultFigure, width: usize, rows: &mut Rows) {
    rows.row(
        at,
        Paint::new(look)
            .left(Meaning::Plain, &fault.name, width.saturating_sub(8))
            .right(Meaning::Takes, &say::about(-fault.takes), 8),
    );
    let paint = Paint::new(look)
        .put(Meaning::Plain, bar(fault, 10))
        .right(Meaning::Plain, &chance_words(fault), 6)
        .right(Meaning::Plain, &cash(fault), 9);
    let hours = format!("{} h", hours(fault, false));
    rows.row(
        at,
        paint
            .right(Meaning::Plain, &hours, 6)
            .gap(1)
            .put(Meaning::Plain, severities(fault)),
    );
}

fn medium<'a>(look: &'a Look, fault: &FaultFigure) -> Paint<'a> {
    Paint::new(look)
        .gap(1)
        .left(Meaning::Plain, &fault.name, 22)
        .gap(1)
        .put(Meaning::Plain, bar(fault, 10))
        .right(Meaning::Plain, &chance_words(fault), 5)
        .right(Meaning::Plain, &cash(fault), 13)
        .right(Meaning::Plain, &hours(fault, false), 4)
        .gap(1)
        .left(Meaning::Plain, route(fault.route), 10)
        .put(Meaning::Plain, severities(fault))
        .right(Meaning::Takes, &say::about(-fault.takes), 6)
}

fn wide<'a>(app: &App, look: &'a Look, fault: &FaultFigure) -> Paint<'a> {
    Paint::new(look)
        .gap(1)
        .left(Meaning::Plain, &fault.name, 26)
        .gap(1)
        .put(Meaning::Plain, bar(fault, 18))
        .right(Meaning::Plain, &chance_words(fault), 6)
        .right(Meaning::Plain, &cash(fault), 14)
        .right(Meaning::Plain, &hours(fault, true), 12)
        .gap(2)
        .left(Meaning::Plain, route(fault.route), 11)
        .put(Meaning::Plain, severities(fault))
        .gap(2)
        .left(Meaning::Quiet, from(app, fault), 10)
        .right(Meaning::Takes, &say::about(-fault.takes), 8)
}

/// Reasons, then ways.
fn reasons(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    let Some(fault) = faults::in_hand(app) else {
        rows.words(look, Meaning::Plain, "No fault in hand.", width);
        return rows;
    };
    if width < 59 {
        rows.words(
            look,
            Meaning::Heading,
            &format!("{}  {}", fault.name, chance_words(fault)),
            width,
        );
    }
    why(look, fault, width, &mut rows);
    ways(look, fault, width, &mut rows);
    rows
}

fn why(look: &Look, fault: &FaultFigure, width: usize, rows: &mut Rows) {
    let reason = |words: &str, figure: String| {
        Paint::new(look)
            .gap(1)
            .left(Meaning::Plain, words, width.saturating_sub(9))
            .right(Meaning::Plain, &figure, 7)
    };
    for (heading, speaks) in [("for", true), ("against", false)] {
        let found: Vec<_> = fault
            .reasons
            .iter()
            .filter(|reason| (reason.times >= 1.0) == speaks)
            .collect();
        if found.is_empty() && speaks {
            continue;
        }
        rows.text(Paint::new(look).put(Meaning::Quiet, heading));
        if found.is_empty() {
            rows.text(
                Paint::new(look)
                    .gap(1)
                    .put(Meaning::Plain, "nothing seen yet"),
            );
        }
        for given in found {
            rows.text(reason(&given.words, say::times(given.times)));
            if let Some(cause) = given.is_the_cause {
                rows.text(Paint::new(look).gap(3).put(
                    Meaning::Quiet,
                    format!("its cause in {}", say::in_hundred(cause)),
                ));
            }
        }
    }
    let words = format!("{} · {}", fault.system.shown(), severity_words(fault));
    rows.words(look, Meaning::Quiet, &words, width);
}

fn ways(look: &Look, fault: &FaultFigure, width: usize, rows: &mut Rows) {
    for way in &fault.ways {
        let mark = if way.chosen { "▸" } else { " " };
        let name = width.saturating_sub(24);
        rows.text(
            Paint::new(look)
                .put(Meaning::Heading, mark)
                .left(Meaning::Plain, &way.name, name)
                .right(
                    Meaning::Plain,
                    &say::range(say::fives(way.cash[0]), say::fives(way.cash[2])),
                    12,
                )
                .right(
                    Meaning::Plain,
                    &format!("{} h", say::hours(way.hours[1])),
                    8,
                ),
        );
        let words = format!("{}: {}", route(way.route), way.why);
        rows.words(look, Meaning::Quiet, &words, width);
        rows.words(look, Meaning::Quiet, &format!("from {}", way.source), width);
    }
}
