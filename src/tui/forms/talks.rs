//! An offer or an answer; bought at a price.

use super::{Field, Form, Kind, Lead, Purpose, Wrong};
use crate::car::entry;
use crate::car::{Money, Move, Who};
use crate::tui::app::{App, Effect};
use crate::tui::keys::Key;
use crate::tui::say;

pub fn offer(app: &App) -> Form {
    let rounds = app.data.record().map_or(0, |car| {
        car.talks.iter().filter(|said| said.who == Who::You).count()
    });
    let fields = vec![
        Field::choice(
            "who",
            "who",
            ["you", "they"],
            None,
            "1 you, 2 they; then the sum",
        ),
        Field::line(
            "sum",
            "sum",
            Kind::Money(entry::OFFER),
            "",
            "empty for a plain no",
        ),
        Field::line("words", "words", Kind::Text, "", "what was said with it"),
    ];
    Form::new(
        Purpose::Offer,
        format!("offer or answer, round {}", rounds.max(1)),
        fields,
    )
}

/// Who, as one digit; or a sum typed at once, where a digit is the first of the sum. True if the key was taken.
///
/// A digit that names nobody, or a sign of money, starts the sum. A digit that names someone may start it too: then
/// [`doubt`] speaks before anything is kept.
pub fn type_key(form: &mut Form, key: Key) -> bool {
    let here = form.field().map(|field| field.id);
    match (here, key, form.lead) {
        (Some("who"), Key::Char(c @ ('1' | '2')), _) => {
            if form.text("sum").is_empty() {
                form.lead = Lead::Digit(c);
            }
            false
        }
        (Some("who"), Key::Char(c @ ('0' | '3'..='9' | '$' | '.')), _) => {
            form.stand_on("sum");
            if let Some(sum) = form.fields.get_mut(form.at) {
                sum.entry.clear();
                sum.type_key(Key::Char(c));
            }
            true
        }
        (Some("sum"), Key::Char(_), Lead::Asked) => {
            // Not what was meant: who said it is open again.
            form.lead = Lead::None;
            for field in &mut form.fields {
                match field.id {
                    "who" => field.picked = None,
                    "sum" => field.entry.clear(),
                    _ => {}
                }
            }
            false
        }
        _ => false,
    }
}

/// The sentence for a sum that can be read two ways: `1700` is you and 700, or 1,700 and nobody yet. What is typed is
/// taken as it stands where only that can be meant: the whole would be over what they ask.
fn doubt(form: &Form, app: &App) -> Option<String> {
    let Lead::Digit(digit) = form.lead else {
        return None;
    };
    let rest = form.text("sum");
    let range = &entry::OFFER;
    let whole = entry::money(range, &format!("{digit}{rest}"))
        .ok()
        .flatten()?;
    let most = most_asked(app);
    if rest.is_empty() || most.is_some_and(|most| whole > most) {
        return None;
    }
    let who = if digit == '1' { "you" } else { "they" };
    let shown = entry::money(range, &rest).ok().flatten();
    Some(match shown {
        Some(sum) => format!(
            "{who} said {}, or a sum of {}? Enter keeps {who}, {}. For the other, type it once more.",
            say::money(sum),
            say::money(whole),
            say::money(sum)
        ),
        None => format!(
            "{}: who said it? Type the sum once more, then 1 you or 2 they.",
            say::money(whole)
        ),
    })
}

/// The most that was ever asked for the car, or else its worth: no sum of the talks is above it.
fn most_asked(app: &App) -> Option<Money> {
    let car = app.data.record()?;
    let before = car.listing.asked_before.iter().map(|price| price.amount);
    let asked = before.chain(car.listing.asking).max();
    asked.or_else(|| car.worth.own.map(|own| own.high))
}

/// Says a doubt once, before anything is kept; true if it was said.
pub fn ask(form: &mut Form, app: &App) -> bool {
    let Some(why) = doubt(form, app) else {
        return false;
    };
    form.refuse(&Wrong::at("sum", why));
    form.lead = Lead::Asked;
    true
}

pub fn keep_offer(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let Some(who) = form.choice("who") else {
        return Err(Wrong::at("who", "who said it? 1 you, 2 they."));
    };
    let amount = form.money("sum")?;
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
        Kind::Money(entry::PAID),
        &price.map_or_else(String::new, |price| price.to_string()),
        "empty: not bought after all",
    )];
    Form::new(Purpose::Bought, "bought, at the price agreed", fields)
}

pub fn keep_bought(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let price = form.money("price")?;
    let today = app.data.now.date();
    Ok(app.edit("bought", |car| {
        car.bought_at = price;
        car.bought_on = price.map(|_| car.bought_on.unwrap_or(today));
    }))
}
