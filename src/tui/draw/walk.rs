//! Walk-around: the check in hand, the list with what each answer did, the stages and the clock.

mod page;

use super::Look;
use super::line::{Paint, Rows};
use super::tiles;
use crate::engine::walkaround::{Check, STAGES, State};
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::layout::{self, Width};
use crate::tui::say;
use crate::tui::screens::Screen;
use crate::tui::screens::walk::{self, CHECK, FOUND, LIST};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let checks = walk::checks(app);
    if checks.is_empty() {
        let mut rows = Rows::default();
        let words =
            "Nothing to look at: say at least what engine and gearbox it has. Story, then back.";
        rows.words(
            look,
            Meaning::Plain,
            words,
            usize::from(area.width).saturating_sub(1),
        );
        rows.draw(look, area, buffer, None, false);
        return;
    }
    let cursor = app.views.cursor(Screen::Walk);
    let lists = |part: usize, area: Rect, buffer: &mut Sheet<'_>| {
        let width = usize::from(area.width).saturating_sub(1);
        let rows = match part {
            FOUND => found(app, look, width).of(FOUND),
            _ => list(app, look, &checks, width).of(LIST),
        };
        rows.draw(
            look,
            area,
            buffer,
            Some(cursor.rows[part]),
            // The check in hand is the row in hand of the list beside it.
            cursor.part == part || (part == LIST && cursor.part == CHECK),
        );
    };
    match layout::width_class(area.width) {
        Width::Narrow if cursor.part == CHECK => page::draw(app, look, &checks, area, buffer),
        Width::Narrow => lists(cursor.part, area, buffer),
        Width::Medium => {
            let rects = layout::columns(area, &[2, 3]);
            if let [left, right] = rects.as_slice() {
                lists(
                    if cursor.part == FOUND { FOUND } else { LIST },
                    *left,
                    buffer,
                );
                tiles::bar(look, *right, buffer);
                page::draw(app, look, &checks, *right, buffer);
            }
        }
        class => {
            let shares: &[u16] = if class == Width::Wide {
                &[5, 11, 11]
            } else {
                &[7, 10, 12]
            };
            let rects = layout::columns(area, shares);
            if let [first, middle, right] = rects.as_slice() {
                stages(app, look, &checks, *first, buffer);
                tiles::bar(look, *middle, buffer);
                for (part, area) in middle_parts(app, cursor.part, *middle) {
                    lists(part, area, buffer);
                }
                tiles::bar(look, *right, buffer);
                page::draw(app, look, &checks, *right, buffer);
            }
        }
    }
}

/// The list, and under it what was found where there is room; without room the one in hand.
fn middle_parts(app: &App, part: usize, area: Rect) -> Vec<(usize, Rect)> {
    let room = u16::try_from((walk::found(app).len() + 1).min(9)).unwrap_or(0);
    if area.height <= 24 {
        return vec![(if part == FOUND { FOUND } else { LIST }, area)];
    }
    let (above, below) = layout::split_top(area, area.height - room);
    vec![(LIST, above), (FOUND, below)]
}

/// The mark of a check: what its answer did to the limit.
pub(super) fn mark(app: &App, check: &Check) -> &'static str {
    let row = app.data.tables.sign(&check.sign);
    let stop = row
        .and_then(|row| row.stop.as_ref())
        .map(|stop| stop.from_level);
    match check.state {
        State::ToCome | State::NotFitted => "·",
        State::NotSeen => "○",
        State::Withdrawn(_) => "!",
        State::Answered(_) if app.hidden => "─",
        State::Answered(level) if stop.is_some_and(|from| level >= from) => "■",
        State::Answered(level) => match moved(app, &check.sign) {
            Some(by) if by.round() < -100.0 => "▼",
            Some(by) if by.round() < 0.0 => "╲",
            Some(by) if by.round() > 0.0 => "╱",
            Some(_) => "─",
            None if level == 0 => "─",
            None => "╲",
        },
    }
}

/// How much the answer moved the limit, where this sitting saw it.
fn moved(app: &App, sign: &str) -> Option<f64> {
    let slug = app.data.hand.clone()?;
    app.views.walk.moved.get(&(slug, sign.to_owned())).copied()
}

fn moved_words(app: &App, sign: &str) -> String {
    if app.hidden {
        return String::new();
    }
    moved(app, sign)
        .filter(|by| by.round().abs() >= 1.0)
        .map_or_else(String::new, say::moved)
}

/// The checks, stage by stage where they are walked so.
fn list(app: &App, look: &Look, checks: &[Check], width: usize) -> Rows {
    let mut rows = Rows::default();
    let by_worth = checks.iter().any(|check| check.figure.is_some());
    let mut stage = usize::MAX;
    for (at, check) in checks.iter().enumerate() {
        if !by_worth && check.stage != stage {
            stage = check.stage;
            let here = checks.iter().filter(|other| other.stage == stage);
            let done = here
                .clone()
                .filter(|other| !other.state.is_to_come())
                .count();
            let tail = format!("{done} of {}", here.count());
            let name = STAGES
                .get(stage)
                .copied()
                .unwrap_or_default()
                .to_uppercase();
            rows.text(
                Paint::new(look)
                    .left(Meaning::Heading, &name, width.saturating_sub(9))
                    .right(Meaning::Quiet, &tail, 9),
            );
        }
        let name = app
            .data
            .tables
            .sign(&check.sign)
            .map_or("", |row| row.name.as_str());
        let figure = match check.figure {
            Some(figure) if !app.hidden && check.state.is_to_come() => say::about(figure),
            _ => moved_words(app, &check.sign),
        };
        let meaning = match &check.state {
            State::Answered(level) if *level > 0 => Meaning::Plain,
            State::ToCome | State::Answered(_) => Meaning::Plain,
            _ => Meaning::Unseen,
        };
        rows.row(
            at,
            Paint::new(look)
                .put(Meaning::Plain, mark(app, check))
                .gap(1)
                .left(meaning, name, width.saturating_sub(9))
                .right(Meaning::Takes, &figure, 7),
        );
    }
    rows
}

/// What was found above benign.
fn found(app: &App, look: &Look, width: usize) -> Rows {
    let mut rows = Rows::default();
    rows.text(Paint::new(look).put(Meaning::Heading, say::clip("FOUND", width)));
    let found = walk::found(app);
    if found.is_empty() {
        rows.words(look, Meaning::Plain, "Nothing yet.", width);
    }
    for (at, (sign, level)) in found.iter().enumerate() {
        let Some(row) = app.data.tables.sign(sign) else {
            continue;
        };
        let words = row.levels.get(*level).map_or("", String::as_str);
        let check = Check {
            sign: sign.clone(),
            stage: 0,
            state: State::Answered(*level),
            seconds: 0,
            figure: None,
            ask: None,
            asked: None,
            said: None,
        };
        rows.row(
            at,
            Paint::new(look)
                .put(Meaning::Plain, mark(app, &check))
                .gap(1)
                .left(
                    Meaning::Plain,
                    &format!("{}: {words}", row.name),
                    width.saturating_sub(9),
                )
                .right(Meaning::Takes, &moved_words(app, sign), 7),
        );
    }
    rows
}

/// Stages with their counts, what is left, the clock.
fn stages(app: &App, look: &Look, checks: &[Check], area: Rect, buffer: &mut Sheet<'_>) {
    let width = usize::from(area.width).saturating_sub(1);
    let mut rows = Rows::default();
    let words = if app.hidden {
        "CHECKS".to_owned()
    } else {
        walk::order_words(app).to_uppercase()
    };
    rows.text(Paint::new(look).put(Meaning::Heading, say::clip(&words, width)));
    rows.text(Paint::new(look).put(Meaning::Quiet, walk::plan(app).1.to_owned()));
    let here = walk::in_hand(app).map(|(check, _)| check.stage);
    for (at, name) in STAGES.iter().enumerate() {
        let of: Vec<&Check> = checks.iter().filter(|check| check.stage == at).collect();
        if of.is_empty() {
            continue;
        }
        let done = of.iter().filter(|check| !check.state.is_to_come()).count();
        let unseen = of.iter().any(|check| check.state == State::NotSeen);
        let tail = format!("{}{done}/{}", if unseen { "○ " } else { "" }, of.len());
        let (mark, meaning) = if here == Some(at) {
            ("▾", Meaning::Heading)
        } else {
            (" ", Meaning::Plain)
        };
        rows.text(
            Paint::new(look)
                .put(Meaning::Heading, mark)
                .left(meaning, name, width.saturating_sub(8))
                .right(Meaning::Plain, &tail, 7),
        );
    }
    counts(app, look, checks, width, &mut rows);
    rows.draw(look, area, buffer, None, false);
}

/// How many are seen and to come, the clock, and the keys that choose.
fn counts(app: &App, look: &Look, checks: &[Check], width: usize, rows: &mut Rows) {
    rows.text(Paint::new(look));
    let count =
        |wanted: fn(&State) -> bool| checks.iter().filter(|check| wanted(&check.state)).count();
    let counts = [
        ("seen", count(|state| matches!(state, State::Answered(_)))),
        ("not seen", count(|state| *state == State::NotSeen)),
        (
            "withdrawn",
            count(|state| matches!(state, State::Withdrawn(_))),
        ),
        ("to come", count(State::is_to_come)),
    ];
    for (name, count) in counts {
        rows.text(
            Paint::new(look)
                .gap(1)
                .left(Meaning::Plain, name, width.saturating_sub(8))
                .right(Meaning::Plain, &count.to_string(), 7),
        );
    }
    rows.text(Paint::new(look));
    rows.text(
        Paint::new(look)
            .gap(1)
            .put(Meaning::Plain, clock(app, checks)),
    );
    rows.text(Paint::new(look));
    for (key, words) in [("t", "quick 60 all afar"), ("s", "order")] {
        let line = format!(" {key}  {words}");
        rows.text(Paint::new(look).put(Meaning::Quiet, say::clip(&line, width)));
    }
}

/// Minutes walked of the minutes of the plan.
pub(super) fn clock(app: &App, checks: &[Check]) -> String {
    let whole = checks
        .iter()
        .map(|check| check.seconds)
        .sum::<u32>()
        .div_ceil(60);
    format!("{} of {whole} min", walk::minutes(app))
}

/// Where you are, for the status rule.
pub(super) fn status(app: &App) -> String {
    let checks = walk::checks(app);
    let seen = checks
        .iter()
        .filter(|check| matches!(check.state, State::Answered(_) | State::NotFitted))
        .count();
    format!(
        "{seen} of {} seen · {} · {}",
        checks.len(),
        clock(app, &checks),
        walk::order_words(app)
    )
}
