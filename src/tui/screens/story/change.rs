//! What is done with the row in hand.

use super::{
    ADVERT, CLAIMS, NOTES, PAPERS, PARTICULARS, SELLER, SIGNS, WISHES, WORTH, at, facts, papers,
};
use crate::car::{CarRecord, Known, PriceKind, Stamp, WishKind};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::overlay::{self, Overlay};
use crate::tui::say;
use crate::tui::screens::cars;

pub(super) fn stamp(app: &mut App, digit: u8) -> Vec<Effect> {
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

pub(super) fn prove(app: &mut App) -> Vec<Effect> {
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

pub(super) fn cross(app: &mut App) -> Vec<Effect> {
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

pub(super) fn add(app: &mut App) -> Vec<Effect> {
    match at(app).0 {
        CLAIMS => cars::form(app, Purpose::Claim(None)),
        SIGNS => overlay::open_picker(app, None),
        WORTH => cars::form(app, Purpose::Comparable(None)),
        WISHES => cars::form(app, Purpose::Wish(None)),
        NOTES => cars::form(app, Purpose::Note(None)),
        PAPERS => cars::form(app, Purpose::Receipt(None)),
        _ => Vec::new(),
    }
}

/// The number of the row in hand: of a claim, when its part was made new.
pub(super) fn number(app: &mut App) -> Vec<Effect> {
    let (part, row) = at(app);
    if part == CLAIMS && row < app.claims().len() {
        return cars::form(app, Purpose::Renewed(row));
    }
    edit(app)
}

pub(super) fn edit(app: &mut App) -> Vec<Effect> {
    let (part, row) = at(app);
    let Some(car) = app.data.record() else {
        return Vec::new();
    };
    match part {
        PARTICULARS => {
            let field = facts::particulars(car).get(row).map(|fact| fact.field);
            edit_at(app, Purpose::Particulars, field)
        }
        SELLER => {
            let field = facts::seller(car, app.data.now.date())
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
        PAPERS => match papers::receipt_at(app, row) {
            Some(at) => cars::form(app, Purpose::Receipt(Some(at))),
            None => cars::form(app, Purpose::Papers),
        },
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

pub(super) fn remove(app: &mut App) -> Vec<Effect> {
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
            remove_at(&mut car.observations, row);
        }),
        WORTH if row == 0 => take("own estimate removed", app, &|car| car.worth.own = None),
        WORTH => take("car like it removed", app, &|car| {
            remove_at(&mut car.worth.comparables, row - 1);
        }),
        ADVERT => take("advert removed", app, &|car| car.listing.advert.clear()),
        NOTES => take("note removed", app, &|car| remove_at(&mut car.notes, row)),
        PAPERS => match papers::receipt_at(app, row) {
            Some(at) => take("receipt removed", app, &|car| {
                remove_at(&mut car.papers.receipts, at);
            }),
            None => Vec::new(),
        },
        _ => Vec::new(),
    }
}

fn remove_at<T>(list: &mut Vec<T>, at: usize) {
    if at < list.len() {
        list.remove(at);
    }
}
