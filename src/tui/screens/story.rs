//! Story: what is said, what proves it, and what the car would be worth.

mod can;
mod change;
mod facts;
mod papers;

use super::{Cursor, Fns, Part, Screen, cars};
use crate::car::{Answer, Stamp};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::keys::Act;
use crate::tui::say;
pub use can::{
    can_add, can_cross, can_edit, can_number, can_prove, can_remove, can_stamp, has_car,
};
pub use facts::{Fact, particulars, seller};
pub use papers::{PaperRow, rows as paper_rows};

/// Parts, in order.
pub const PARTICULARS: usize = 0;
/// Asking price, seller, manner.
pub const SELLER: usize = 1;
/// Claims.
pub const CLAIMS: usize = 2;
/// Signs on file.
pub const SIGNS: usize = 3;
/// Own estimate and cars like it.
pub const WORTH: usize = 4;
/// The buyer's wishes, ticked for this car.
pub const WISHES: usize = 5;
/// The advert.
pub const ADVERT: usize = 6;
/// Notes.
pub const NOTES: usize = 7;
/// Papers, plates and receipts.
pub const PAPERS: usize = 8;

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why,
    first_focus,
};

fn parts(app: &App) -> Vec<Part> {
    let Some(car) = app.data.record() else {
        return Vec::new();
    };
    let made = car.claims.len();
    let count = |stamp: Stamp| {
        car.claims
            .iter()
            .filter(|claim| claim.stamp == stamp)
            .count()
    };
    let claims = format!(
        "{made} made, {} true, {} open",
        count(Stamp::Proved),
        count(Stamp::Open)
    );
    let worth = app
        .data
        .figures()
        .and_then(|figures| figures.worth.as_ref());
    let worth = worth.map_or_else(
        || "worth not known".to_owned(),
        |worth| format!("worth {}", say::about(worth.mean)),
    );
    let words = car.listing.advert.split_whitespace().count();
    vec![
        Part::new("Particulars", facts::summary(car), particulars(car).len()),
        Part::new(
            "Seller",
            car.listing.asking.map_or_else(
                || "asks not known".to_owned(),
                |asks| format!("asks {}", say::money(asks)),
            ),
            seller(car, app.data.now.date()).len(),
        ),
        Part::new("Claims", claims, made),
        Part::new(
            "Signs",
            format!("{} on file", car.observations.len()),
            car.observations.len(),
        ),
        Part::new("Worth", worth, 1 + car.worth.comparables.len()),
        Part::new(
            "Wishes",
            format!("{} of yours", app.data.buyer.wishes.len()),
            app.data.buyer.wishes.len(),
        ),
        Part::new(
            "Advert",
            if words == 0 {
                "none".to_owned()
            } else {
                format!("{words} words")
            },
            car.listing.advert.lines().count().max(words / 6),
        ),
        Part::new("Notes", car.notes.len().to_string(), car.notes.len()),
        Part::new("Papers", papers::summary(app), papers::rows(app).len()),
    ]
}

fn at(app: &App) -> (usize, usize) {
    let cursor = app.views.cursor(Screen::Story);
    (cursor.part, cursor.row())
}

/// Stands on the first thing without which there is no limit, else on the first open claim.
fn first_focus(app: &mut App) {
    let Some(car) = app.data.record() else {
        return;
    };
    let worth = car.worth.own.is_none() && car.worth.comparables.is_empty();
    let (part, row) = if worth {
        (WORTH, 0)
    } else if car.listing.asking.is_none() {
        (SELLER, 0)
    } else if car.particulars.odometer_miles.is_none() {
        let row = particulars(car)
            .iter()
            .position(|fact| fact.field == "miles");
        (PARTICULARS, row.unwrap_or(0))
    } else {
        let open = car
            .claims
            .iter()
            .position(|claim| claim.stamp == Stamp::Open);
        (CLAIMS, open.unwrap_or(0))
    };
    let mut cursor = Cursor {
        part,
        ..app.views.cursor(Screen::Story)
    };
    cursor.set_row(row);
    *app.views.cursor_mut(Screen::Story) = cursor;
}

fn why(app: &App) -> Option<String> {
    let figures = app.data.figures()?;
    let car = app.data.record()?;
    let (part, row) = at(app);
    let id = match part {
        WORTH => figures
            .ladder
            .iter()
            .find(|rung| rung.kind == crate::engine::RungKind::Worth)
            .map(|rung| rung.trace_id.clone())?,
        SIGNS => {
            let sign = &car.observations.get(row)?.sign;
            let fault = figures
                .faults
                .iter()
                .find(|fault| fault.because_of.contains(sign))?;
            fault.trace_id.clone()
        }
        SELLER => figures.offer.trace_id.clone(),
        _ => figures.limit.trace_id.clone(),
    };
    figures.trace.nodes.contains_key(&id).then_some(id)
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    match act {
        Act::Digit(digit) => change::stamp(app, digit),
        Act::Proof => change::prove(app),
        Act::Cross => change::cross(app),
        Act::Add => change::add(app),
        Act::Edit => change::edit(app),
        Act::Remove => change::remove(app),
        Act::Note => cars::form(app, Purpose::Note(None)),
        Act::Number => change::number(app),
        Act::Editor => app.edit_advert(),
        _ => Vec::new(),
    }
}

/// Words of an answer to a sign.
#[must_use]
pub fn answer_words(app: &App, sign: &str, answer: Answer) -> String {
    match answer {
        Answer::Level(level) => app
            .data
            .tables
            .sign(sign)
            .and_then(|row| row.levels.get(level))
            .cloned()
            .unwrap_or_else(|| format!("level {level}")),
        Answer::NotSeen => "not seen".to_owned(),
        Answer::NotFitted => "not fitted".to_owned(),
    }
}
