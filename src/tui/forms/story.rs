//! Forms of the Story: seller, claim, worth, cars like it, notes, a stop waived in words.

use super::{Field, Form, Kind, Purpose, Wrong, read};
use crate::car::entry;
use crate::car::{AskedPrice, CarRecord, Claim, Comparable, PriceKind, SellerKind, Waiver};
use crate::tui::app::{App, Effect};
use crate::tui::say;
use crate::tui::screens::Screen;
use crate::tui::screens::story::CLAIMS;

pub fn seller(app: &App) -> Form {
    let empty = CarRecord::default();
    let car = app.data.record().unwrap_or(&empty);
    let listing = &car.listing;
    let text = |value: Option<String>| value.unwrap_or_default();
    let kind = match listing.seller_kind {
        SellerKind::Private => 0,
        SellerKind::Dealer => 1,
        SellerKind::Auction => 2,
    };
    let manner = match (listing.open_to_offers, listing.firm) {
        (true, _) => Some(0),
        (_, true) => Some(1),
        _ => None,
    };
    let fields = vec![
        Field::line(
            "asks",
            "asks",
            Kind::Money(entry::ASKING),
            &text(listing.asking.map(|asks| asks.to_string())),
            "a lower price keeps the old one as a drop",
        ),
        Field::line(
            "listed",
            "up since",
            Kind::Day,
            &text(listing.listed_on.map(|on| on.to_string())),
            "2026-11-14; long up leans low",
        ),
        Field::choice(
            "kind",
            "seller",
            ["private", "dealer", "auction"],
            Some(kind),
            "",
        ),
        Field::line("seller", "name", Kind::Text, &listing.seller, ""),
        Field::line("place", "where", Kind::Text, &listing.place, ""),
        Field::line(
            "away",
            "miles away",
            Kind::Miles(entry::AWAY),
            &text(listing.miles_away.map(|miles| miles.to_string())),
            "",
        ),
        Field::choice(
            "manner",
            "offers",
            ["open to offers", "firm"],
            manner,
            "in their words",
        ),
        Field::yes_no(
            "certainty",
            "you bring cash",
            Some(listing.certainty),
            "paid in full, own transport, named day",
        ),
        Field::yes_no(
            "whole",
            "all said on file",
            Some(listing.whole_text_on_file),
            "then silence counts too",
        ),
        Field::line(
            "fees",
            "fees, fetching",
            Kind::Money(entry::FEES),
            &text(car.fees.map(|fees| fees.to_string())),
            "for this car; empty: yours",
        ),
    ];
    Form::new(Purpose::Seller, "they, as you read it", fields)
}

pub fn keep_seller(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let asks = form.money("asks")?;
    let listed_on = form.value("listed", read::day_typed)?;
    let away = form.miles("away")?;
    let fees = form.money("fees")?;
    let kind = match form.choice("kind") {
        Some(1) => SellerKind::Dealer,
        Some(2) => SellerKind::Auction,
        _ => SellerKind::Private,
    };
    let today = app.data.now.date();
    let (name, place) = (form.text("seller"), form.text("place"));
    Ok(app.edit("seller and asking price", |car| {
        let listing = &mut car.listing;
        if let (Some(before), Some(now)) = (listing.asking, asks)
            && now < before
        {
            listing.asked_before.push(AskedPrice {
                amount: before,
                on: Some(today),
            });
        }
        listing.asking = asks;
        listing.listed_on = listed_on;
        listing.seller_kind = kind;
        listing.seller = name;
        listing.place = place;
        listing.miles_away = away;
        listing.open_to_offers = form.choice("manner") == Some(0);
        listing.firm = form.choice("manner") == Some(1);
        listing.certainty = form.choice("certainty") == Some(0);
        listing.whole_text_on_file = form.choice("whole") == Some(0);
        car.fees = fees;
    }))
}

pub fn claim(app: &App, at: Option<usize>) -> Form {
    let known = at.and_then(|at| app.claims().get(at));
    let side = known.map(|claim| usize::from(!claim.pro));
    let fields = vec![
        Field::line(
            "text",
            "they say",
            Kind::Text,
            known.map_or("", |claim| &claim.text),
            "in their words",
        ),
        Field::choice(
            "side",
            "it is",
            ["in its favor", "against it"],
            side,
            "1 or 2 keeps it",
        ),
    ];
    Form::new(Purpose::Claim(at), "claim", fields)
        .stepwise()
        .with_note(
            "In its favor it changes no figure without proof. Against it, it counts as said.",
        )
}

pub fn keep_claim(form: &Form, app: &mut App, at: Option<usize>) -> Result<Vec<Effect>, Wrong> {
    let text = form.text("text");
    if text.is_empty() {
        return Err(Wrong::at("text", "what do they say?"));
    }
    let Some(side) = form.choice("side") else {
        return Err(Wrong::at("side", "1 in its favor, 2 against it."));
    };
    let pro = side == 0;
    let label = format!("claim “{}”", say::clip(&text, 28));
    let effects = app.edit(&label, |car| {
        match at.and_then(|at| car.claims.get_mut(at)) {
            Some(claim) => {
                claim.text = text;
                claim.pro = pro;
            }
            None => car.claims.push(Claim {
                text,
                pro,
                proof: Some(crate::car::Known::Said),
                ..Claim::default()
            }),
        }
    });
    if at.is_none() && !effects.is_empty() {
        // The new claim is in hand: proof and stamp are the next keys.
        let last = app.claims().len().saturating_sub(1);
        let cursor = app.views.cursor_mut(Screen::Story);
        cursor.part = CLAIMS;
        cursor.rows[CLAIMS] = last;
    }
    if pro {
        app.say("without proof it changes no figure".to_owned());
    }
    Ok(effects)
}

pub fn worth(app: &App) -> Form {
    let own = app.data.record().and_then(|car| car.worth.own);
    let text = own.map_or_else(String::new, |own| {
        format!("{} {} {}", own.low, own.likely, own.high)
    });
    let fields = vec![Field::line(
        "worth",
        "worth, right",
        Kind::Spread(entry::WORTH),
        &text,
        "low likely high: 2800 3250 3700",
    )];
    Form::new(Purpose::Worth, "worth, once right", fields).with_note(
        "One in ten lies outside each end. Two or three cars like it do as well: a adds one.",
    )
}

pub fn keep_worth(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let own = form.money_range("worth")?;
    Ok(app.edit("worth, your own estimate", |car| car.worth.own = own))
}

pub fn comparable(app: &App, at: Option<usize>) -> Form {
    let known = at.and_then(|at| app.data.record()?.worth.comparables.get(at));
    let text = |value: Option<String>| value.unwrap_or_default();
    let fields = vec![
        Field::line(
            "name",
            "car",
            Kind::Text,
            known.map_or("", |like| &like.name),
            "Dabchick 1.8, Port Quill",
        ),
        Field::line(
            "price",
            "price",
            Kind::Money(entry::COMPARABLE),
            &text(known.map(|like| like.price.to_string())),
            "3800",
        ),
        Field::choice(
            "kind",
            "price was",
            ["asked", "sold"],
            Some(known.map_or(0, |like| usize::from(like.kind == PriceKind::Sold))),
            "",
        ),
        Field::line(
            "year",
            "year",
            Kind::Year,
            &text(
                known
                    .and_then(|like| like.year)
                    .map(|year| year.to_string()),
            ),
            "2009",
        ),
        Field::line(
            "miles",
            "miles",
            Kind::Miles(entry::ODOMETER),
            &text(
                known
                    .and_then(|like| like.miles)
                    .map(|miles| miles.to_string()),
            ),
            "131k",
        ),
        Field::line(
            "alike",
            "how alike",
            Kind::Percent(entry::ALIKE),
            &known.map_or_else(|| "100".to_owned(), |like| entry::shown(like.alike * 100.0)),
            "percent: 100 is the same car",
        ),
    ];
    Form::new(Purpose::Comparable(at), "a car like it", fields)
}

pub fn keep_comparable(
    form: &Form,
    app: &mut App,
    at: Option<usize>,
) -> Result<Vec<Effect>, Wrong> {
    let Some(price) = form.money("price")? else {
        return Err(Wrong::at("price", "a price, asked or sold."));
    };
    let like = Comparable {
        name: form.text("name"),
        price,
        kind: if form.choice("kind") == Some(1) {
            PriceKind::Sold
        } else {
            PriceKind::Asked
        },
        year: form.year("year")?,
        miles: form.miles("miles")?,
        alike: form.percent("alike")?.unwrap_or(1.0),
    };
    Ok(app.edit("a car like it", |car| {
        match at.and_then(|at| car.worth.comparables.get_mut(at)) {
            Some(known) => *known = like,
            None => car.worth.comparables.push(like),
        }
    }))
}

pub fn note(app: &App, at: Option<usize>) -> Form {
    let known = at.and_then(|at| app.data.record()?.notes.get(at));
    let fields = vec![Field::line(
        "text",
        "note",
        Kind::Text,
        known.map_or("", String::as_str),
        "it moves no figure",
    )];
    Form::new(Purpose::Note(at), "note", fields)
}

pub fn keep_note(form: &Form, app: &mut App, at: Option<usize>) -> Result<Vec<Effect>, Wrong> {
    let text = form.text("text");
    if text.is_empty() {
        return Err(Wrong::at("text", "a word at least."));
    }
    Ok(app.edit("note", |car| {
        match at.and_then(|at| car.notes.get_mut(at)) {
            Some(known) => *known = text,
            None => car.notes.push(text),
        }
    }))
}

pub fn waive(app: &App, sign: String) -> Form {
    let words = app
        .data
        .record()
        .and_then(|car| car.waivers.get(&sign))
        .map_or("", |waiver| &waiver.words);
    let fields = vec![Field::line(
        "words",
        "your words",
        Kind::Text,
        words,
        "such as: seen the executor’s letter",
    )];
    Form::new(Purpose::Waive(sign), "waive the stop, in words", fields)
        .with_note("They stay on the file and in every report.")
}

pub fn keep_waiver(form: &Form, app: &mut App, sign: &str) -> Result<Vec<Effect>, Wrong> {
    let words = form.text("words");
    if words.is_empty() {
        return Err(Wrong::at("words", "in words: why does this not stop you?"));
    }
    let on = app.data.now.date();
    Ok(app.edit("stop waived in words", |car| {
        car.waivers.insert(sign.to_owned(), Waiver { words, on });
    }))
}
