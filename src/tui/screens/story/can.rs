//! What can be done with the row in hand.

use super::{
    ADVERT, CLAIMS, NOTES, PAPERS, PARTICULARS, SELLER, SIGNS, WISHES, WORTH, at, facts, papers,
};
use crate::tui::app::App;

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
    matches!(at(app).0, CLAIMS | SIGNS | WORTH | WISHES | NOTES | PAPERS)
}

/// True where `e` edits something.
#[must_use]
pub fn can_edit(app: &App) -> bool {
    let Some(car) = app.data.record() else {
        return false;
    };
    let (part, row) = at(app);
    match part {
        PARTICULARS | SELLER | WORTH | PAPERS => true,
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
        PAPERS => papers::receipt_at(app, row).is_some(),
        NOTES => row < car.notes.len(),
        _ => false,
    }
}

/// True on a row that holds a number.
#[must_use]
pub fn can_number(app: &App) -> bool {
    let Some(car) = app.data.record() else {
        return false;
    };
    const NUMBERS: [&str; 9] = [
        "year",
        "miles",
        "cylinders",
        "banks",
        "power",
        "mass",
        "asks",
        "away",
        "fees",
    ];
    let (part, row) = at(app);
    let field = match part {
        PARTICULARS => facts::particulars(car).get(row).map(|fact| fact.field),
        SELLER => facts::seller(car, app.data.now.date())
            .get(row)
            .map(|fact| fact.field),
        WORTH => return true,
        CLAIMS => return row < car.claims.len(),
        _ => None,
    };
    field.is_some_and(|field| NUMBERS.contains(&field))
}

/// True with a car in hand that can be read.
#[must_use]
pub fn has_car(app: &App) -> bool {
    app.data.car().is_some_and(|car| car.error.is_none())
}
