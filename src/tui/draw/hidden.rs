//! The page that is harmless to read aloud: no figure of money, no chance, no rail, no stop.

use super::Look;
use super::line::{Paint, Rows};
use super::story;
use crate::tui::app::App;
use crate::tui::draw::sheet::Sheet;
use crate::tui::say;
use crate::tui::screens::story::Fact;
use crate::tui::screens::{Screen, cars, story as facts};
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let width = usize::from(area.width).saturating_sub(1);
    let mut rows = Rows::default();
    let mut in_hand = None;
    match app.screen {
        Screen::Cars => {
            for (at, car) in cars::shown(app).iter().enumerate() {
                let year = car
                    .car()
                    .particulars
                    .year
                    .map_or_else(String::new, |year| year.to_string());
                rows.row(
                    at,
                    Paint::new(look)
                        .left(Meaning::Plain, car.name(), width.saturating_sub(6))
                        .right(Meaning::Plain, &year, 5),
                );
            }
            in_hand = Some(app.views.cursor(Screen::Cars).row());
        }
        Screen::Look => rows.words(
            look,
            Meaning::Plain,
            "Tables of faults, signs and repairs.",
            width,
        ),
        Screen::You => rows.words(
            look,
            Meaning::Plain,
            "Units: US. Words: hood, tire, gas.",
            width,
        ),
        Screen::Story => {
            if let Some(car) = app.data.record() {
                let shown: Vec<Fact> = facts::particulars(car)
                    .into_iter()
                    .filter(|fact| !fact.money)
                    .collect();
                story::facts(look, &shown, width, &mut rows);
            }
            if app.views.cursor(Screen::Story).part == facts::PARTICULARS {
                in_hand = Some(app.views.cursor(Screen::Story).row());
            }
        }
        _ => page(app, look, width, &mut rows),
    }
    if in_hand.is_some() {
        rows = rows.of(0);
    }
    rows.draw(look, area, buffer, in_hand, in_hand.is_some());
}

/// What is left to look at, what was seen together.
fn page(app: &App, look: &Look, width: usize, rows: &mut Rows) {
    let Some(car) = app.data.car() else {
        return;
    };
    let record = car.car();
    rows.text(Paint::new(look).put(Meaning::Heading, say::clip(car.name(), width)));
    let facts = &record.particulars;
    let parts: Vec<String> = [
        facts
            .odometer_miles
            .map(|miles| format!("{} mi", say::whole(miles))),
        facts.gearbox.map(|gearbox| gearbox.shown().to_owned()),
        facts.drive.map(|drive| drive.shown().to_owned()),
    ]
    .into_iter()
    .flatten()
    .collect();
    rows.words(look, Meaning::Plain, &parts.join(", "), width);
    rows.text(Paint::new(look));
    rows.text(Paint::new(look).put(Meaning::Heading, "Still to look at"));
    let seen = |id: &str| record.observations.iter().any(|seen| seen.sign == id);
    let mut left: Vec<_> = app
        .data
        .tables
        .signs
        .iter()
        .filter(|sign| sign.ordinary_visit && !seen(&sign.id))
        .collect();
    left.sort_by_key(|sign| sign.order);
    for sign in left.iter().take(6) {
        rows.text(Paint::new(look).gap(2).put(
            Meaning::Plain,
            say::clip(&sign.name, width.saturating_sub(2)),
        ));
    }
    rows.text(Paint::new(look));
    rows.text(Paint::new(look).put(Meaning::Heading, "Seen together"));
    for seen in record.observations.iter().take(8) {
        if let Some(sign) = app.data.tables.sign(&seen.sign) {
            rows.text(Paint::new(look).gap(2).put(
                Meaning::Plain,
                say::clip(&sign.name, width.saturating_sub(2)),
            ));
        }
    }
}
