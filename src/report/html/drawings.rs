//! Rail, ladder and triangle as inline drawings: a fixed grid of units, no script.

use super::markup::Markup;
use crate::engine::{Appraisal, Rung, RungKind, ThreeChances};
use crate::report::{WeighedCar, words};

/// Units across a drawing.
const ACROSS: f64 = 600.0;

/// Floor, open, settle, limit, asks on one thread; nothing where fewer than two are known.
pub(super) fn rail(page: &mut Markup, car: &WeighedCar<'_>) {
    let (figures, mark) = (car.appraisal, words::currency_mark(&car.record.currency));
    let offer = &figures.offer;
    let exact = |sum: Option<crate::car::Money>| sum.map(words::units);
    let mut marks: Vec<(&str, f64)> = [
        ("floor", Some(figures.floor.best)),
        ("open", exact(offer.open)),
        ("settle", exact(offer.settle)),
        ("limit", exact(figures.limit.price)),
        ("asks", exact(car.record.listing.asking)),
    ]
    .into_iter()
    .filter_map(|(name, sum)| Some((name, sum.filter(|sum| sum.is_finite())?)))
    .collect();
    marks.sort_by(|one, other| one.1.total_cmp(&other.1));
    let ends = marks
        .first()
        .map(|mark| mark.1)
        .zip(marks.last().map(|mark| mark.1));
    let Some((least, span)) = ends.map(|(least, most)| (least, most - least)) else {
        return;
    };
    if span <= 0.0 {
        return;
    }
    page.start(
        "svg",
        "viewBox=\"-60 0 720 110\" role=\"img\" xmlns=\"http://www.w3.org/2000/svg\"",
    );
    page.element("title", "", "The rail: floor, open, settle, limit, asks");
    page.raw("<line x1=\"0\" y1=\"50\" x2=\"600\" y2=\"50\" stroke=\"currentColor\" stroke-width=\"3\"/>");
    for (at, (name, sum)) in marks.iter().enumerate() {
        let x = (sum - least) / span * ACROSS;
        // Labels stand by turns over and under the thread.
        let y = if at % 2 == 0 { 24 } else { 78 };
        page.raw(&format!(
            "<circle cx=\"{x:.1}\" cy=\"50\" r=\"6\" fill=\"currentColor\"/>"
        ));
        page.start(
            "text",
            &format!("x=\"{x:.1}\" y=\"{y}\" text-anchor=\"middle\" font-size=\"13\""),
        );
        page.text(&format!("{name} {}", words::money(*sum, &mark)));
        page.end();
    }
    page.end();
}

/// From worth to the limit: a bar a rung.
pub(super) fn ladder(page: &mut Markup, ladder: &[Rung], mark: &str) {
    let worth = ladder
        .iter()
        .map(|rung| words::units(rung.cash).abs())
        .fold(0.0, f64::max);
    if worth <= 0.0 {
        return;
    }
    let rows = u32::try_from(ladder.len()).map_or(0.0, f64::from);
    page.start(
        "svg",
        &format!(
            "viewBox=\"0 0 720 {:.0}\" role=\"img\" xmlns=\"http://www.w3.org/2000/svg\"",
            rows * 20.0 + 6.0
        ),
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
        let x = 330.0 + left / worth * 300.0;
        let wide = ((right - left) / worth * 300.0).clamp(1.0, 390.0);
        page.raw(&format!("<rect x=\"{x:.1}\" y=\"{:.0}\" width=\"{wide:.1}\" height=\"12\" fill=\"currentColor\"/>", y + 4.0));
        page.element(
            "text",
            &format!("x=\"0\" y=\"{:.0}\" font-size=\"13\"", y + 15.0),
            &rung.label,
        );
        page.start(
            "text",
            &format!(
                "x=\"320\" y=\"{:.0}\" font-size=\"13\" text-anchor=\"end\"",
                y + 15.0
            ),
        );
        page.text(&words::money(cash, mark));
        page.end();
    }
    page.end();
}

/// The place among cheap, reliable and fast, before and after the work; nothing where a chance is unknown.
pub(super) fn triangle(page: &mut Markup, figures: &Appraisal) {
    let after = spot(&figures.chances.after);
    let Some((x, y)) = after else {
        return;
    };
    page.start("svg", "viewBox=\"-60 -20 420 300\" role=\"img\" xmlns=\"http://www.w3.org/2000/svg\" class=\"small\"");
    page.element(
        "title",
        "",
        "Cheap, reliable, fast: the balance before and after the work",
    );
    page.raw("<path d=\"M0 240 L300 240 L150 0 Z\" fill=\"none\" stroke=\"currentColor\"/>");
    for (name, x, y) in [("cheap", 150, -6), ("reliable", 0, 258), ("fast", 300, 258)] {
        page.element(
            "text",
            &format!("x=\"{x}\" y=\"{y}\" text-anchor=\"middle\" font-size=\"13\""),
            name,
        );
    }
    if let Some((from_x, from_y)) = spot(&figures.chances.before) {
        page.raw(&format!("<line x1=\"{from_x:.1}\" y1=\"{from_y:.1}\" x2=\"{x:.1}\" y2=\"{y:.1}\" stroke=\"currentColor\"/><circle cx=\"{from_x:.1}\" cy=\"{from_y:.1}\" r=\"4\" fill=\"none\" stroke=\"currentColor\"/>"));
    }
    page.raw(&format!(
        "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"currentColor\"/>"
    ));
    page.end();
}

fn spot(three: &ThreeChances) -> Option<(f64, f64)> {
    let (cheap, reliable, fast) = (three.cheap?, three.reliable?, three.fast?);
    let all = cheap + reliable + fast;
    (all.is_finite() && all > 0.0).then(|| {
        (
            (150.0 * cheap + 300.0 * fast) / all,
            240.0 * (1.0 - cheap / all),
        )
    })
}
