//! The counter-offer in words: at most 120 of them, each sentence with its ground.
//!
//! A letter holds one figure, never over the limit; at most two findings that were seen or measured, with what putting them right
//! costs; the wallet where the user stated one and it speaks for the figure; and what the offer hangs on. What is only said or only
//! likely, the limit, the seller and any rival are not spoken of. What makes the car unsafe is a notice of its own, deal or no deal.

mod deed;
mod notice;
mod sentences;
mod written;

pub use deed::{Deed, DeedKind, deed, deed_text};
pub use written::{WIDTH, grounds, label, notice_text, text};

use super::WeighedCar;
use super::proven::proven;
use super::words;
use crate::car::{Buyer, Money};
use crate::engine::OfferKind;
use crate::engine::two_prices::{PriceIf, TwoPrices};
use crate::trade::Tables;
use jiff::civil::Date;

/// Most words of a letter.
pub const MOST_WORDS: usize = 120;
/// Most findings in a letter.
pub const MOST_FINDINGS: usize = 2;

/// Days that an offer stands where the user names none.
pub const DAYS_OPEN: i64 = 7;

/// How it is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tone {
    /// Short and even.
    #[default]
    Plain,
    /// With a kind word.
    Warm,
    /// Three lines to say on the phone.
    Brief,
}

/// What is wished of a letter.
#[derive(Debug, Clone, Copy)]
pub struct LetterWish {
    /// Which of the offers still to make, from 1.
    pub round: usize,
    /// Tone.
    pub tone: Tone,
    /// Last day of the offer.
    pub until: Date,
    /// The user named that day.
    pub until_is_own: bool,
}

/// What a sentence does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Part {
    /// Thanks.
    Thanks,
    /// The figure.
    Figure,
    /// A finding and its cost.
    Finding,
    /// A limit that the user stated.
    Wallet,
    /// What certainty the user brings.
    Certainty,
    /// What the offer hangs on.
    Conditions,
    /// How long it stands.
    Until,
    /// The easy way out.
    Exit,
    /// What makes the car unsafe.
    Notice,
    /// The price agreed.
    Price,
    /// Which car it is.
    Car,
    /// What both know of it at the sale.
    Known,
    /// What law and care ask for.
    Law,
}

/// What a sentence stands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ground {
    /// Id of the evidence: `sign/…`, `check/…`, `offer/…`, `listing/…`, `buyer/…`, `entry/…`,
    /// `talks/…`, `car/…`, `papers/…`, `law/…`.
    pub id: String,
    /// In words.
    pub words: String,
}

/// One sentence with its ground.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statement {
    /// What it does.
    pub part: Part,
    /// The sentence.
    pub words: String,
    /// Its ground.
    pub ground: Ground,
}

/// A letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letter {
    /// The figure offered; of two prices the one if the check comes out well.
    pub figure: Money,
    /// Of two prices the one if it does not.
    pub if_not: Option<Money>,
    /// Round, from 1.
    pub round: usize,
    /// Paragraphs, or the lines of a phone script.
    pub paragraphs: Vec<Vec<Statement>>,
}

impl Letter {
    /// All its sentences, in order.
    pub fn statements(&self) -> impl Iterator<Item = &Statement> {
        self.paragraphs.iter().flatten()
    }

    /// Number of words, as blanks part them.
    #[must_use]
    pub fn words(&self) -> usize {
        self.statements()
            .map(|statement| statement.words.split_whitespace().count())
            .sum()
    }
}

/// A letter, or why there is none, and the notice that goes either way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// The letter; else one sentence that says why not.
    pub letter: Result<Letter, String>,
    /// What makes the car unsafe, for the seller to know; empty where nothing was seen.
    pub notice: Vec<Statement>,
}

/// Writes it.
#[must_use]
pub fn write(car: &WeighedCar<'_>, buyer: &Buyer, tables: &Tables, wish: &LetterWish) -> Written {
    let proven = proven(car, tables);
    let notice = notice::notice(&proven);
    let letter = figure(car, wish.round).map(|figure| {
        sentences::Parts {
            car,
            buyer,
            tables,
            wish,
            figure,
            two: None,
            proven: &proven,
        }
        .letter()
    });
    Written { letter, notice }
}

/// Writes an offer at two prices; both have been reckoned for this car, buyer and round.
#[must_use]
pub fn write_two(
    car: &WeighedCar<'_>,
    buyer: &Buyer,
    tables: &Tables,
    wish: &LetterWish,
    two: &TwoPrices,
) -> Written {
    let proven = proven(car, tables);
    let notice = notice::notice(&proven);
    let over = |one: &PriceIf| one.price > one.limit || one.price <= Money::ZERO;
    let letter = figure(car, wish.round).and_then(|_| {
        if over(&two.good) || over(&two.bad) {
            return Err("A figure of the two is over its limit.".to_owned());
        }
        let parts = sentences::Parts {
            car,
            buyer,
            tables,
            wish,
            figure: two.good.price,
            two: Some(two),
            proven: &proven,
        };
        Ok(parts.letter())
    });
    Written { letter, notice }
}

/// The figure of a round, or why there is none to write of.
fn figure(car: &WeighedCar<'_>, round: usize) -> Result<Money, String> {
    let offer = &car.appraisal.offer;
    if car.record.bought_at.is_some() {
        return Err("It is bought already: there is nothing left to offer.".to_owned());
    }
    if let Some(stop) = car.appraisal.stops.iter().find(|one| one.waived.is_none()) {
        return Err(format!(
            "STOP: {}. Waive it in words or leave it; no letter goes over a stop.",
            words::clean(stop.sentence.trim_end_matches('.'))
        ));
    }
    let Some(limit) = car.appraisal.limit.price else {
        return Err("There is no limit: worth is not known. Put in cars like it, or what it would be worth once right.".to_owned());
    };
    if offer.kind == OfferKind::Leave || offer.steps.is_empty() {
        return Err(words::clean(&offer.words));
    }
    let Some(figure) = round
        .checked_sub(1)
        .and_then(|at| offer.steps.get(at).copied())
    else {
        return Err(format!(
            "The plan has {} left; there is no round {round}.",
            words::count(offer.steps.len(), "offer", "offers")
        ));
    };
    let mark = words::currency_mark(&car.record.currency);
    if figure > limit || figure <= Money::ZERO {
        return Err(format!(
            "{} is over your limit of {}. The limit moves for findings, not for talk.",
            words::money(words::units(figure), &mark),
            words::money(words::units(limit), &mark)
        ));
    }
    Ok(figure)
}
