//! Rail, ladder and triangle as inline drawings: a fixed grid of units, no script.

use super::markup::Markup;
use crate::engine::triangle::Shares;
use crate::engine::{Rung, RungKind};
use crate::report::full::Drawing;
use crate::report::words;

/// Units across a drawing.
const ACROSS: f64 = 600.0;
/// Size of letters.
const LETTERS: f64 = 13.0;
const OPEN: &str = "role=\"img\" xmlns=\"http://www.w3.org/2000/svg\"";

/// Draws it.
pub(super) fn draw(page: &mut Markup<'_>, drawing: &Drawing) {
    match drawing {
        Drawing::Rail {
            marks,
            range,
            ink,
            belief,
            mark,
        } => rail(page, marks, *range, *ink, belief, mark),
        Drawing::Ladder(rungs, mark) => ladder(page, rungs, mark),
        Drawing::Triangle(cars, weights) => triangle(page, cars, *weights),
    }
}

/// Wide enough for these letters.
fn wide(text: &str) -> f64 {
    u32::try_from(text.chars().count()).map_or(0.0, f64::from) * LETTERS * 0.56
}

/// Floor, open, settle, limit, asks on one thread; hills of belief over it, the limit's range and the words under it.
fn rail(
    page: &mut Markup<'_>,
    marks: &[(&'static str, f64)],
    range: Option<(f64, f64)>,
    ink: Option<(f64, f64)>,
    (from, to, belief): &(f64, f64, Vec<f64>),
    mark: &str,
) {
    let (Some(first), Some(last)) = (marks.first(), marks.last()) else {
        return;
    };
    let (least, span) = (first.1, last.1 - first.1);
    let x = |sum: f64| ((sum - least) / span * ACROSS).clamp(0.0, ACROSS);
    // Words go to the first row in which they touch nothing.
    let mut rows: Vec<f64> = Vec::new();
    let placed: Vec<(f64, usize, String)> = marks
        .iter()
        .map(|(name, sum)| {
            let text = format!("{name} {}", words::money(*sum, mark));
            let (at, half) = (x(*sum), wide(&text) / 2.0);
            let row = rows.iter().position(|end| at - half > end + 8.0);
            let row = row.unwrap_or(rows.len());
            if row == rows.len() {
                rows.push(0.0);
            }
            if let Some(end) = rows.get_mut(row) {
                *end = at + half;
            }
            (at, row, text)
        })
        .collect();
    let deep = 88.0 + 18.0 * u32::try_from(rows.len()).map_or(1.0, f64::from);
    page.start("svg", &format!("viewBox=\"-70 0 740 {deep:.0}\" {OPEN}"));
    page.element("title", "", "The rail: floor, open, settle, limit, asks");
    let steps = u32::try_from(belief.len().saturating_sub(1)).map_or(0.0, f64::from);
    if steps > 0.0 && to > from {
        let mut path = String::new();
        for (at, height) in (0_u32..).zip(belief) {
            let sum = from + (to - from) * f64::from(at) / steps;
            if (least..=last.1).contains(&sum) {
                let pen = if path.is_empty() { 'M' } else { 'L' };
                let y = 56.0 - 44.0 * height.clamp(0.0, 1.0);
                path.push_str(&format!("{pen}{:.1} {y:.1} ", x(sum)));
            }
        }
        page.raw(&format!(
            "<path d=\"{}\" fill=\"none\" stroke=\"var(--theirs)\" stroke-width=\"2\"/>",
            path.trim_end()
        ));
    }
    page.raw("<line x1=\"0\" y1=\"60\" x2=\"600\" y2=\"60\" stroke=\"currentColor\" stroke-width=\"1.5\"/>");
    if let Some((low, high)) = ink {
        page.raw(&format!("<line x1=\"{:.1}\" y1=\"60\" x2=\"{:.1}\" y2=\"60\" stroke=\"var(--mine)\" stroke-width=\"6\"/>", x(low), x(high)));
    }
    if let Some((low, high)) = range {
        let (low, high) = (x(low), x(high));
        page.raw(&format!("<path d=\"M{low:.1} 66 V74 M{low:.1} 70 H{high:.1} M{high:.1} 66 V74\" stroke=\"var(--soft)\" stroke-width=\"1.5\" fill=\"none\"/>"));
    }
    for (at, row, text) in placed {
        let y = 96.0 + 18.0 * u32::try_from(row).map_or(0.0, f64::from);
        page.raw(&format!("<path d=\"M{at:.1} 60 V{:.0}\" stroke=\"var(--line)\" stroke-width=\"1\"/><circle cx=\"{at:.1}\" cy=\"60\" r=\"5\" fill=\"currentColor\"/>", y - 13.0));
        let weight = if text.starts_with("limit") { 700 } else { 400 };
        page.start("text", &format!("x=\"{at:.1}\" y=\"{y:.0}\" text-anchor=\"middle\" font-size=\"{LETTERS}\" font-weight=\"{weight}\""));
        page.text(&text);
        page.end();
    }
    page.end();
}

/// From worth to the limit: a bar a rung, each hanging where the last one ended.
fn ladder(page: &mut Markup<'_>, ladder: &[Rung], mark: &str) {
    let totals = ladder.iter().map(|rung| words::units(rung.cash).abs());
    let worth = totals.fold(0.0, f64::max);
    if worth <= 0.0 {
        return;
    }
    let rows = u32::try_from(ladder.len()).map_or(0.0, f64::from);
    page.start(
        "svg",
        &format!("viewBox=\"0 0 720 {:.0}\" {OPEN}", rows * 20.0 + 6.0),
    );
    page.element("title", "", "The ladder from worth to the limit");
    let mut total = 0.0;
    for (at, rung) in (0_u32..).zip(ladder) {
        let cash = words::units(rung.cash);
        let is_total = matches!(
            rung.kind,
            RungKind::Worth | RungKind::Room | RungKind::Limit
        );
        let (from, to) = if is_total {
            (0.0, cash)
        } else {
            (total, total + cash)
        };
        total = to;
        let (left, right) = (from.min(to).max(0.0), from.max(to).max(0.0));
        let y = f64::from(at) * 20.0;
        let x = 420.0 + left / worth * 300.0;
        let wide = ((right - left) / worth * 300.0).clamp(1.0, 300.0);
        let ink = match (is_total, cash < 0.0) {
            (true, _) => "var(--mine)",
            (false, true) => "var(--takes)",
            (false, false) => "var(--soft)",
        };
        page.raw(&format!(
            "<rect x=\"{x:.1}\" y=\"{:.0}\" width=\"{wide:.1}\" height=\"12\" fill=\"{ink}\"/>",
            y + 4.0
        ));
        let weight = if is_total { 700 } else { 400 };
        let line = y + 15.0;
        page.element(
            "text",
            &format!("x=\"0\" y=\"{line:.0}\" font-size=\"{LETTERS}\" font-weight=\"{weight}\""),
            &cut(&rung.label),
        );
        page.start(
            "text",
            &format!("x=\"405\" y=\"{line:.0}\" font-size=\"{LETTERS}\" font-weight=\"{weight}\" text-anchor=\"end\""),
        );
        page.text(&words::money(cash, mark));
        page.end();
    }
    page.end();
}

/// A label cut to the room before its figure.
fn cut(label: &str) -> String {
    const MOST: usize = 46;
    if label.chars().count() <= MOST {
        return label.to_owned();
    }
    let kept: String = label.chars().take(MOST - 1).collect();
    format!("{}…", kept.trim_end())
}

/// Places among cheap, reliable and fast, reliable at the top: hollow as the car stands, full once it is put right.
fn triangle(
    page: &mut Markup<'_>,
    cars: &[(String, Option<Shares>, Option<Shares>)],
    weights: Option<Shares>,
) {
    page.start(
        "svg",
        &format!("viewBox=\"-60 -24 420 320\" class=\"small\" {OPEN}"),
    );
    page.element(
        "title",
        "",
        "Cheap, reliable, fast: the balance before and after the work",
    );
    page.raw("<path d=\"M0 260 L300 260 L150 0.2 Z\" fill=\"none\" stroke=\"currentColor\"/>");
    for (name, x, y) in [("reliable", 150, -8), ("cheap", 0, 280), ("fast", 300, 280)] {
        page.element(
            "text",
            &format!("x=\"{x}\" y=\"{y}\" text-anchor=\"middle\" font-size=\"{LETTERS}\""),
            name,
        );
    }
    if let Some(weights) = weights {
        let (x, y) = spot(weights);
        page.raw(&format!("<path d=\"M{:.1} {y:.1} H{:.1} M{x:.1} {:.1} V{:.1}\" stroke=\"var(--mine)\" stroke-width=\"2\"/>", x - 7.0, x + 7.0, y - 7.0, y + 7.0));
    }
    // Letters keep off every dot and off each other.
    let mut taken: Vec<(f64, f64)> = cars
        .iter()
        .flat_map(|(_, before, after)| [*before, *after])
        .flatten()
        .map(spot)
        .collect();
    for (letter, before, after) in cars {
        let Some((x, y)) = after.map(spot) else {
            continue;
        };
        if let Some((from_x, from_y)) = before.map(spot) {
            page.raw(&format!("<line x1=\"{from_x:.1}\" y1=\"{from_y:.1}\" x2=\"{x:.1}\" y2=\"{y:.1}\" stroke=\"currentColor\" stroke-dasharray=\"2 4\"/><circle cx=\"{from_x:.1}\" cy=\"{from_y:.1}\" r=\"4\" fill=\"var(--page)\" stroke=\"currentColor\"/>"));
            put_letter(page, (from_x, from_y), &letter.to_lowercase(), &mut taken);
        }
        page.raw(&format!(
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"currentColor\"/>"
        ));
        put_letter(page, (x, y), letter, &mut taken);
    }
    page.end();
}

/// A letter beside its dot: right, left, over, under, whichever is free first.
fn put_letter(
    page: &mut Markup<'_>,
    (x, y): (f64, f64),
    letter: &str,
    taken: &mut Vec<(f64, f64)>,
) {
    if letter.is_empty() {
        return;
    }
    let places = [(13.0, 0.0), (-13.0, 0.0), (0.0, -14.0), (0.0, 14.0)];
    let free = |(right, down): &(f64, f64)| {
        let (x, y) = (x + right, y + down);
        taken
            .iter()
            .all(|other| (other.0 - x).abs() > 11.0 || (other.1 - y).abs() > 11.0)
    };
    let (right, down) = places.into_iter().find(free).unwrap_or((13.0, 0.0));
    let (x, y) = (x + right, y + down);
    taken.push((x, y));
    page.start(
        "text",
        &format!(
            "x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"{LETTERS}\" font-weight=\"700\"",
            y + 4.5
        ),
    );
    page.text(letter);
    page.end();
}

fn spot(shares: Shares) -> (f64, f64) {
    let place = shares.place();
    (300.0 * place.x, 260.0 - 300.0 * place.y)
}
