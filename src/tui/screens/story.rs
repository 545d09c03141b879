//! Story: what is said, what proves it, and what the car would be worth.

mod facts;

use super::{Cursor, Fns, Part, Screen, cars};
use crate::car::{Answer, CarRecord, Known, PriceKind, Stamp, WishKind};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::keys::Act;
use crate::tui::overlay::{self, Overlay};
use crate::tui::say;
pub use facts::{Fact, particulars, seller};

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
        |worth| format!("worth {}", say::about(worth.p50)),
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

/// True on a claim or a wish.
#[must_use]
pub fn can_stamp(app: &App) -> bool {
    match at(app) {
        (CLAIMS, row) => row < app.claims().len(),
        (WISHES, row) => row < app.data.buyer.wishes.len(),
        _ => false,
    }
}

/// True on a claim or a sign.
#[must_use]
pub fn can_prove(app: &App) -> bool {
    let signs = app.data.record().map_or(0, |car| car.observations.len());
    match at(app) {
        (CLAIMS, row) => row < app.claims().len(),
        (SIGNS, row) => row < signs,
        _ => false,
    }
}

/// True where `x` has something to cross.
#[must_use]
pub fn can_cross(app: &App) -> bool {
    can_prove(app) || at(app).0 == WORTH
}

/// True where `a` adds something.
#[must_use]
pub fn can_add(app: &App) -> bool {
    matches!(at(app).0, CLAIMS | SIGNS | WORTH | WISHES | NOTES)
}

/// True where `e` edits something.
#[must_use]
pub fn can_edit(app: &App) -> bool {
    let Some(car) = app.data.record() else {
        return false;
    };
    let (part, row) = at(app);
    match part {
        PARTICULARS | SELLER | WORTH => true,
        CLAIMS => row < car.claims.len(),
        SIGNS => car
            .observations
            .get(row)
            .is_some_and(|seen| app.data.tables.sign(&seen.sign).is_some()),
        NOTES => row < car.notes.len(),
        _ => false,
    }
}

/// True where `d` removes something.
#[must_use]
pub fn can_remove(app: &App) -> bool {
    let Some(car) = app.data.record() else {
        return false;
    };
    let (part, row) = at(app);
    match part {
        CLAIMS => row < car.claims.len(),
        SIGNS => row < car.observations.len(),
        WORTH => row > 0 || car.worth.own.is_some(),
        ADVERT => !car.listing.advert.is_empty(),
        NOTES => row < car.notes.len(),
        _ => false,
    }
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
        Act::Digit(digit) => stamp(app, digit),
        Act::Proof => prove(app),
        Act::Cross => cross(app),
        Act::Add => add(app),
        Act::Edit => edit(app),
        Act::Remove => remove(app),
        Act::Note => cars::form(app, Purpose::Note(None)),
        _ => Vec::new(),
    }
}

fn stamp(app: &mut App, digit: u8) -> Vec<Effect> {
    let (part, row) = at(app);
    if part == WISHES {
        return tick_wish(app, row, digit);
    }
    let (stamp, word) = match digit {
        1 => (Stamp::Proved, "true"),
        2 => (Stamp::Contradicted, "false"),
        0 => (Stamp::Unseen, "could not tell"),
        _ => return Vec::new(),
    };
    let label = claim_label(app, row, word);
    let effects = app.edit(&label, |car| {
        if let Some(claim) = car.claims.get_mut(row) {
            claim.stamp = if claim.stamp == stamp {
                Stamp::Open
            } else {
                stamp
            };
        }
    });
    say_moves_nothing(app, row);
    effects
}

fn claim_label(app: &App, row: usize, word: &str) -> String {
    let text = app.claims().get(row).map_or("", |claim| &claim.text);
    format!("“{}”: {word}", say::clip(text, 28))
}

/// Without proof a claim in its favor changes no figure: said at once.
fn say_moves_nothing(app: &mut App, row: usize) {
    let bare = app.claims().get(row).is_some_and(|claim| {
        claim.pro
            && matches!(claim.proof, None | Some(Known::Said))
            && claim.stamp != Stamp::Contradicted
    });
    if bare && app.said.message.is_none() {
        app.say("without proof it changes no figure".to_owned());
    }
}

fn tick_wish(app: &mut App, row: usize, digit: u8) -> Vec<Effect> {
    let Some(wish) = app.data.buyer.wishes.get(row).cloned() else {
        return Vec::new();
    };
    let (met, word) = match digit {
        1 => (Some(true), "met"),
        2 => (Some(false), "not met"),
        _ => (None, "not told"),
    };
    let effects = app.edit(
        &format!("“{}”: {word}", say::clip(&wish.words, 28)),
        |car| {
            match met {
                Some(met) => car.wishes_met.insert(wish.id.clone(), met),
                None => car.wishes_met.remove(&wish.id),
            };
        },
    );
    let ends = match wish.kind {
        WishKind::MustHave => met == Some(false),
        WishKind::Never => met == Some(true),
        WishKind::NiceToHave => false,
    };
    if ends && !effects.is_empty() {
        app.say("no deal for you: this is a stop until you change the wish".to_owned());
    }
    effects
}

/// The next proof: none, said, paper, seen, and round again.
fn next_proof(proof: Option<Known>) -> Option<Known> {
    match proof {
        None => Some(Known::Said),
        Some(Known::Said) => Some(Known::Paper),
        Some(Known::Paper) => Some(Known::Seen),
        Some(Known::Seen | Known::Measured) => None,
    }
}

fn prove(app: &mut App) -> Vec<Effect> {
    let (part, row) = at(app);
    if part == SIGNS {
        return app.edit("how a sign is known", |car| {
            if let Some(seen) = car.observations.get_mut(row) {
                seen.known = match seen.known {
                    Known::Said => Known::Paper,
                    Known::Paper => Known::Seen,
                    Known::Seen => Known::Measured,
                    Known::Measured => Known::Said,
                };
            }
        });
    }
    let label = claim_label(app, row, "proof");
    let effects = app.edit(&label, |car| {
        if let Some(claim) = car.claims.get_mut(row) {
            claim.proof = next_proof(claim.proof);
        }
    });
    say_moves_nothing(app, row);
    effects
}

fn cross(app: &mut App) -> Vec<Effect> {
    let (part, row) = at(app);
    match part {
        CLAIMS => {
            let label = claim_label(app, row, "for or against");
            app.edit(&label, |car| {
                if let Some(claim) = car.claims.get_mut(row) {
                    claim.pro = !claim.pro;
                }
            })
        }
        SIGNS => cross_sign(app, row),
        WORTH if row == 0 => app.edit("worth as it looks", |car| {
            car.worth.as_it_looks = !car.worth.as_it_looks;
        }),
        WORTH => app.edit("asked or sold", |car| {
            if let Some(like) = car.worth.comparables.get_mut(row - 1) {
                like.kind = match like.kind {
                    PriceKind::Asked => PriceKind::Sold,
                    PriceKind::Sold => PriceKind::Asked,
                };
            }
        }),
        _ => Vec::new(),
    }
}

/// A sign at a level that stops is waived in words; any other is crossed as said by them first, or not.
fn cross_sign(app: &mut App, row: usize) -> Vec<Effect> {
    let seen = app.data.record().and_then(|car| car.observations.get(row));
    let Some(seen) = seen.cloned() else {
        return Vec::new();
    };
    let stops = app
        .data
        .figures()
        .is_some_and(|figures| figures.stops.iter().any(|stop| stop.id == seen.sign));
    if stops {
        return cars::form(app, Purpose::Waive(seen.sign));
    }
    app.edit("said by them first", |car| {
        if let Some(seen) = car.observations.get_mut(row) {
            seen.admitted = !seen.admitted;
        }
    })
}

fn add(app: &mut App) -> Vec<Effect> {
    match at(app).0 {
        CLAIMS => cars::form(app, Purpose::Claim(None)),
        SIGNS => overlay::open_picker(app, None),
        WORTH => cars::form(app, Purpose::Comparable(None)),
        WISHES => cars::form(app, Purpose::Wish(None)),
        NOTES => cars::form(app, Purpose::Note(None)),
        _ => Vec::new(),
    }
}

fn edit(app: &mut App) -> Vec<Effect> {
    let (part, row) = at(app);
    let Some(car) = app.data.record() else {
        return Vec::new();
    };
    match part {
        PARTICULARS => {
            let field = particulars(car).get(row).map(|fact| fact.field);
            edit_at(app, Purpose::Particulars, field)
        }
        SELLER => {
            let field = seller(car, app.data.now.date())
                .get(row)
                .map(|fact| fact.field);
            edit_at(app, Purpose::Seller, field)
        }
        CLAIMS => cars::form(app, Purpose::Claim(Some(row))),
        SIGNS => {
            let sign = car.observations.get(row).map(|seen| seen.sign.clone());
            overlay::open_picker(app, sign)
        }
        WORTH if row == 0 => cars::form(app, Purpose::Worth),
        WORTH => cars::form(app, Purpose::Comparable(Some(row - 1))),
        NOTES => cars::form(app, Purpose::Note(Some(row))),
        _ => Vec::new(),
    }
}

/// Opens a form standing on the field of the row in hand.
fn edit_at(app: &mut App, purpose: Purpose, field: Option<&'static str>) -> Vec<Effect> {
    let effects = cars::form(app, purpose);
    if let (Some(Overlay::Form(form)), Some(field)) = (&mut app.overlay, field) {
        form.stand_on(field);
    }
    effects
}

fn remove(app: &mut App) -> Vec<Effect> {
    let (part, row) = at(app);
    let take = |label: &str, app: &mut App, change: &dyn Fn(&mut CarRecord)| {
        app.edit(label, |car| change(car))
    };
    match part {
        CLAIMS => {
            let label = claim_label(app, row, "removed");
            take(&label, app, &|car| remove_at(&mut car.claims, row))
        }
        SIGNS => take("sign removed", app, &|car| {
            remove_at(&mut car.observations, row)
        }),
        WORTH if row == 0 => take("own estimate removed", app, &|car| car.worth.own = None),
        WORTH => take("car like it removed", app, &|car| {
            remove_at(&mut car.worth.comparables, row - 1)
        }),
        ADVERT => take("advert removed", app, &|car| car.listing.advert.clear()),
        NOTES => take("note removed", app, &|car| remove_at(&mut car.notes, row)),
        _ => Vec::new(),
    }
}

fn remove_at<T>(list: &mut Vec<T>, at: usize) {
    if at < list.len() {
        list.remove(at);
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
