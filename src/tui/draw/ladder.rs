//! The cost ladder as lines: strokes from the left where it is narrow, hanging where it is wide, on the rail from 120 columns.

use super::Look;
use super::line::{Paint, Rows};
use super::rail as rail_lines;
use crate::engine::RungKind;
use crate::tui::app::App;
use crate::tui::geometry::ladder::{self, Step};
use crate::tui::geometry::rail;
use crate::tui::say;
use crate::tui::screens::money;
use crate::tui::theme::Meaning;

fn meaning(step: &Step) -> Meaning {
    match step.kind {
        RungKind::Worth => Meaning::Plain,
        RungKind::Limit => Meaning::Limit,
        RungKind::Unseen if step.amount < 0.0 => Meaning::Takes,
        _ if step.amount > 0.0 => Meaning::Gives,
        _ => Meaning::Takes,
    }
}

fn amount(step: &Step) -> String {
    match step.kind {
        RungKind::Worth | RungKind::Limit => say::whole(step.amount),
        _ => say::moved(step.amount),
    }
}

/// The rungs on a width; `None` of the strokes where there is no room for them.
pub fn rows(app: &App, look: &Look, width: usize) -> Rows {
    let steps = money::steps(app);
    let mut rows = Rows::default();
    if steps.is_empty() {
        rows.words(look, Meaning::Plain, "No rungs yet.", width);
        return rows;
    }
    let (label, figure) = label_widths(width);
    let strokes = width.saturating_sub(label + figure + 2);
    let hangs = strokes >= 14
        && steps
            .first()
            .is_some_and(|step| step.kind == RungKind::Worth);
    if hangs {
        let (least, greatest) = ends(&steps);
        let hung = ladder::hang(&steps, least, greatest, strokes);
        for (at, (step, stroke)) in steps.iter().zip(hung).enumerate() {
            let paint = words(look, step, label, figure).gap(1).gap(stroke.at);
            rows.row(at, draw_stroke(paint, step, stroke.cells));
        }
        return rows;
    }
    let per_cell = ladder::per_cell(&steps);
    for (at, step) in steps.iter().enumerate() {
        let mut paint = words(look, step, label, figure).gap(1);
        if !matches!(step.kind, RungKind::Worth | RungKind::Limit) {
            let cells = ladder::flat(step, per_cell, strokes);
            paint = draw_stroke(paint, step, cells);
        }
        rows.row(at, paint);
    }
    rows
}

fn label_widths(width: usize) -> (usize, usize) {
    let figure = 7;
    let label = match width {
        0..30 => width.saturating_sub(figure + 2),
        30..40 => 22,
        40..70 => 24,
        _ => 26,
    };
    (label, figure)
}

fn words<'a>(look: &'a Look, step: &Step, label: usize, figure: usize) -> Paint<'a> {
    let name = if step.kind == RungKind::Limit {
        "LIMIT"
    } else {
        &step.label
    };
    let ink = if step.kind == RungKind::Limit {
        Meaning::Limit
    } else {
        Meaning::Plain
    };
    Paint::new(look)
        .left(ink, &say::clip_head(name, label), label)
        .right(meaning(step), &amount(step), figure)
}

fn draw_stroke<'a>(paint: Paint<'a>, step: &Step, cells: usize) -> Paint<'a> {
    let glyph = money::stroke(step.kind);
    let cells = if matches!(step.kind, RungKind::Worth | RungKind::Limit) {
        1
    } else {
        cells
    };
    paint.put(meaning(step), glyph.to_string().repeat(cells))
}

fn ends(steps: &[Step]) -> (f64, f64) {
    let totals = || steps.iter().map(|step| step.to);
    (
        totals().fold(f64::INFINITY, f64::min),
        totals().fold(f64::NEG_INFINITY, f64::max),
    )
}

/// The ladder standing on the rail: one scale, the last rung ends above the `L`. `None` where either is missing.
pub fn on_rail(app: &App, look: &Look, width: usize) -> Option<(Rows, Rows)> {
    let steps = money::steps(app);
    let car = app.data.car()?;
    let figures = car.figures.as_deref()?;
    let (label, figure) = (26, 7);
    let cells = width.checked_sub(label + figure + 3)?;
    let worth = steps
        .first()
        .filter(|step| step.kind == RungKind::Worth)?
        .to;
    steps.last().filter(|step| step.kind == RungKind::Limit)?;
    let mut values = rail_lines::values(car, figures);
    values.worth = Some(worth);
    let rail = rail::lay(values, cells)?;
    // Rungs above the worth or under every mark keep to the ends of the scale.
    let mut hung = ladder::hang(&steps, rail.least, rail.greatest, cells);
    if let (Some(limit), [.., last, _]) = (rail.mark('L'), hung.as_mut_slice()) {
        let end = last.at + last.cells;
        last.at = limit;
        last.cells = end.saturating_sub(limit).max(1);
    }
    let mut ladder_rows = Rows::default();
    for (at, (step, stroke)) in steps.iter().zip(hung).enumerate() {
        let mut paint = words(look, step, label, figure).gap(2);
        paint = match step.kind {
            RungKind::Limit => continue,
            RungKind::Worth => paint
                .gap(rail.mark('w').unwrap_or(stroke.at))
                .put(Meaning::Plain, "w"),
            _ => draw_stroke(paint.gap(stroke.at), step, stroke.cells),
        };
        ladder_rows.row(at, paint);
    }
    Some((
        ladder_rows,
        feet(look, &steps, &rail, figures, label + figure + 2),
    ))
}

/// The rail under the ladder: belief, thread with the limit's rung before it, range, words.
fn feet(
    look: &Look,
    steps: &[Step],
    rail: &rail::Rail,
    figures: &crate::engine::Appraisal,
    indent: usize,
) -> Rows {
    let mut rows = Rows::default();
    let before = |text: &str| say::left(text, indent);
    // The pieces of the rail come as finished lines; words before them keep the ladder's columns.
    let lines = |paint: Paint<'_>| paint.line();
    let belief = lines(rail_lines::belief(look, rail, figures));
    rows.0.push(prefixed(
        look,
        Meaning::Quiet,
        &before("they would take, we believe"),
        belief,
    ));
    let limit = steps.last().map_or_else(String::new, amount);
    let named = format!("{}{}", say::left("LIMIT", 26), say::right(&limit, 7));
    let mut thread = prefixed(
        look,
        Meaning::Limit,
        &before(&named),
        lines(rail_lines::thread(look, rail)),
    );
    thread.row = steps.len().checked_sub(1);
    rows.0.push(thread);
    if let Some(range) = rail_lines::range(look, rail, figures) {
        rows.0.push(prefixed(
            look,
            Meaning::Quiet,
            &before("right 9, 7, 5 times in 10"),
            lines(range),
        ));
    }
    let mut words = Rows::default();
    rail_lines::words(look, rail, true, &mut words);
    for row in words.0 {
        rows.0
            .push(prefixed(look, Meaning::Plain, &before(""), row.line));
    }
    rows
}

fn prefixed(
    look: &Look,
    meaning: Meaning,
    before: &str,
    line: ratatui::text::Line<'static>,
) -> super::line::Row {
    let mut paint = Paint::new(look).put(meaning, before.to_owned()).line();
    paint.spans.extend(line.spans);
    super::line::Row {
        line: paint,
        row: None,
    }
}
