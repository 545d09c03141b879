//! An offer or an answer; bought at a price.

use super::{Field, Form, Kind, Purpose, Wrong};
use crate::car::{Move, Who};
use crate::tui::app::{App, Effect};
use crate::tui::say;
use crate::tui::typed as entry;

pub fn offer(app: &App) -> Form {
    let rounds = app.data.record().map_or(0, |car| {
        car.talks.iter().filter(|said| said.who == Who::You).count()
    });
    let fields = vec![
        Field::choice("who", "who", ["you", "they"], None, "1 you, 2 they"),
        Field::line("sum", "sum", Kind::Money, "", "empty for a plain no"),
        Field::line("words", "words", Kind::Text, "", "what was said with it"),
    ];
    Form::new(
        Purpose::Offer,
        format!("offer or answer, round {}", rounds.max(1)),
        fields,
    )
}

pub fn keep_offer(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let Some(who) = form.choice("who") else {
        return Err(Wrong::at("who", "who said it? 1 you, 2 they."));
    };
    let amount = form.value("sum", entry::money)?;
    let limit = app.data.figures().and_then(|figures| figures.limit.price);
    if let (0, Some(amount), Some(limit)) = (who, amount, limit)
        && amount > limit
    {
        return Err(Wrong::at(
            "sum",
            format!(
                "{} is over your limit of {}. The limit moves for findings, not for talk.",
                say::money(amount),
                say::money(limit)
            ),
        ));
    }
    if who == 0 && amount.is_none() {
        return Err(Wrong::at("sum", "an offer needs a sum."));
    }
    let (who, label) = if who == 0 {
        (Who::You, "your offer")
    } else {
        (Who::They, "their answer")
    };
    let words = form.text("words");
    let at = app.data.now;
    Ok(app.edit(label, |car| {
        car.talks.push(Move {
            who,
            amount,
            words,
            at: Some(at),
        });
    }))
}

pub fn bought(app: &App) -> Form {
    let car = app.data.record();
    let price = car.and_then(|car| {
        car.bought_at.or_else(|| {
            let last = car.talks.iter().rev().find_map(|said| said.amount);
            last.or(car.listing.asking)
        })
    });
    let fields = vec![Field::line(
        "price",
        "price paid",
        Kind::Money,
        &price.map_or_else(String::new, |price| price.to_string()),
        "empty: not bought after all",
    )];
    Form::new(Purpose::Bought, "bought, at the price agreed", fields)
}

pub fn keep_bought(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let price = form.value("price", entry::money)?;
    let today = app.data.now.date();
    Ok(app.edit("bought", |car| {
        car.bought_at = price;
        car.bought_on = price.map(|_| car.bought_on.unwrap_or(today));
    }))
}
