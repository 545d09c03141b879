//! An offer or an answer; bought at a price.

use super::{Entry, Field, Form, Kind, Lead, Purpose, Wrong, read};
use crate::car::entry;
use crate::car::{Money, Move, Who};
use crate::tui::app::{App, Effect};
use crate::tui::keys::Key;
use crate::tui::say;
use jiff::civil::DateTime;

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
        Field::line("day", "day", Kind::Day, "", "2026-11-14; empty for now"),
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
/// [`doubt`] speaks before anything is kept, and one digit more says who named the whole sum.
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
        (Some("sum"), Key::Char(c @ ('1' | '2')), Lead::Asked(first)) => {
            let whole = format!("{first}{}", form.text("sum"));
            form.lead = Lead::Whole;
            for field in &mut form.fields {
                field.reason = None;
                match field.id {
                    "who" => field.picked = Some(usize::from(c == '2')),
                    "sum" => field.entry = Entry::of(&whole),
                    _ => {}
                }
            }
            true
        }
        (Some("sum"), Key::Char(_), Lead::Asked(_)) => {
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
        (Some("sum"), Key::Char(_), Lead::Whole) => {
            // Typed once more in whole: the digit that said who was its first.
            let who = form.choice("who");
            form.lead = Lead::Digit(if who == Some(1) { '2' } else { '1' });
            if let Some(sum) = form.fields.get_mut(form.at) {
                sum.entry.clear();
            }
            false
        }
        (_, _, Lead::Warned) => {
            form.lead = Lead::None;
            false
        }
        _ => false,
    }
}

/// The sentence for a sum that can be read two ways: `1700` is you and 700, or 1,700 and nobody yet. What is typed is
/// taken as it stands where only that can be meant: the whole would be over what they ask.
fn doubt(form: &Form, app: &App) -> Option<(char, String)> {
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
    let whole = say::money(whole);
    let words = match shown.map(say::money) {
        Some(sum) => {
            format!("{whole}, said by whom? 1 you, 2 they. Or {who} said {sum}: Enter keeps that.")
        }
        None => format!("{whole}: who said it? 1 you, 2 they."),
    };
    Some((digit, words))
}

/// The most that was ever asked for the car, or else its worth: no sum of the talks is above it.
fn most_asked(app: &App) -> Option<Money> {
    let car = app.data.record()?;
    let before = car.listing.asked_before.iter().map(|price| price.amount);
    let asked = before.chain(car.listing.asking).max();
    asked.or_else(|| car.worth.own.map(|own| own.high))
}

/// What is odd about a move against the log so far, said once before it is kept: a figure of theirs under an own offer is a yes, an own
/// offer under an earlier one goes backwards.
fn odd(form: &Form, app: &App) -> Option<String> {
    let car = app.data.record()?;
    let figure = form.money("sum").ok().flatten()?;
    let mine = car.talks.iter().filter(|said| said.who == Who::You);
    let mine = mine.filter_map(|said| said.amount).max()?;
    if figure >= mine {
        return None;
    }
    let (figure, mine) = (say::money(figure), say::money(mine));
    Some(match form.choice("who")? {
        0 => format!(
            "{figure} is under your earlier {mine}, which they may hold you to. Enter once more keeps it."
        ),
        _ => {
            format!("{figure} is under your {mine}: a yes, at {figure}? Enter once more keeps it.")
        }
    })
}

/// Says a doubt once, before anything is kept; true if it was said.
pub fn ask(form: &mut Form, app: &App) -> bool {
    if let Some((digit, why)) = doubt(form, app) {
        form.refuse(&Wrong::at("sum", why));
        form.lead = Lead::Asked(digit);
        return true;
    }
    let warned = form.lead == Lead::Warned;
    let Some(why) = odd(form, app).filter(|_| !warned && !is_over(app)) else {
        return false;
    };
    form.refuse(&Wrong::at("sum", why));
    form.lead = Lead::Warned;
    true
}

/// The car in hand is bought.
fn is_over(app: &App) -> bool {
    app.data.record().is_some_and(|car| car.bought_at.is_some())
}

/// When it was said: now, or noon of the day given. The log runs in order.
fn said_at(form: &Form, app: &App) -> Result<DateTime, Wrong> {
    let now = app.data.now;
    let Some(day) = form.value("day", read::day_typed)? else {
        return Ok(now);
    };
    if day > now.date() {
        let today = read::day_and_year(now.date());
        return Err(Wrong::at(
            "day",
            format!("{} is after today, {today}.", read::day_and_year(day)),
        ));
    }
    let talks = app.data.record().map_or(&[][..], |car| &car.talks);
    let last = talks.iter().rev().find_map(|said| said.at);
    if let Some(last) = last.filter(|last| day < last.date()) {
        return Err(Wrong::at(
            "day",
            format!(
                "{} is before the last line of the talks, {}. They run in order; d takes lines out.",
                read::day_and_year(day),
                read::day_and_year(last.date())
            ),
        ));
    }
    let noon = day.at(12, 0, 0, 0);
    Ok(if day == now.date() {
        now
    } else {
        noon.max(last.unwrap_or(noon))
    })
}

/// An offer over the limit is no offer of the plan. One that was made all the same is put on file with its reason.
fn over_the_limit(who: usize, amount: Option<Money>, words: &str, app: &App) -> Option<Wrong> {
    let limit = app.data.figures().and_then(|figures| figures.limit.price)?;
    let amount = amount.filter(|amount| who == 0 && *amount > limit)?;
    words.is_empty().then(|| {
        Wrong::at(
            "sum",
            format!(
                "{} is over your limit of {}. The limit moves for findings, not for talk. If it is said already, put why in words: then it is kept.",
                say::money(amount),
                say::money(limit)
            ),
        )
    })
}

pub fn keep_offer(form: &Form, app: &mut App) -> Result<Vec<Effect>, Wrong> {
    let Some(who) = form.choice("who") else {
        return Err(Wrong::at("who", "who said it? 1 you, 2 they."));
    };
    if let Some(paid) = app.data.record().and_then(|car| car.bought_at) {
        let words = format!(
            "bought at {}: the talks are over. b takes that back.",
            say::money(paid)
        );
        return Err(Wrong::at("who", words));
    }
    let amount = form.money("sum")?;
    let words = form.text("words");
    if let Some(wrong) = over_the_limit(who, amount, &words, app) {
        return Err(wrong);
    }
    if who == 0 && amount.is_none() {
        return Err(Wrong::at("sum", "an offer needs a sum."));
    }
    let at = said_at(form, app)?;
    let (who, label) = if who == 0 {
        (Who::You, "your offer")
    } else {
        (Who::They, "their answer")
    };
    let effects = app.edit(label, |car| {
        car.talks.push(Move {
            who,
            amount,
            words,
            at: Some(at),
        });
    });
    app.replan();
    Ok(effects)
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
