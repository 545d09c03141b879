//! One offer at two prices, tied to a named check: the figure in hand moved by as much as the limit moves with each answer.
//!
//! Each limit is the one that the whole weighing gives with that answer on file, so that what was offered still stands once the check is
//! done; a price never passes its own limit, nor what they ask.

use super::amounts::said;
use super::figures::{Appraisal, Run};
use super::find_out::{FindOut, FindOutFigure, FindOutWish};
use super::knowledge::Knowledge;
use super::supposed::{not_to_come, with_answers};
use crate::car::{Buyer, CarRecord, Money, SellerKind};
use crate::trade::{SignKind, Tables};

/// Least difference between the two limits that is worth a price of its own, whole units.
const LEAST_MOVE: i64 = 25;

/// A price that hangs on an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceIf {
    /// Level of the answer, 0 benign; of the other answers the one that the price is made for.
    pub level: usize,
    /// The answer in words.
    pub words: String,
    /// The limit with it.
    pub limit: Money,
    /// What to offer then.
    pub price: Money,
}

/// An offer at two prices.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TwoPrices {
    /// Sign of the check.
    pub sign: String,
    /// Its name.
    pub name: String,
    /// The figure of the plan that both start from.
    pub now: Money,
    /// The limit as it stands.
    pub limit_now: Money,
    /// If the check comes out as it should.
    pub good: PriceIf,
    /// If not: from the least limit among the other answers that do not end the deal.
    pub bad: PriceIf,
    /// Some answer to it ends the deal.
    pub may_stop: bool,
}

/// Checks that can carry two prices, the one that moves the limit most first: done on the car with the seller beside it, looking for faults
/// and not for habits, to come, not withdrawn.
#[must_use]
pub fn movers<'a>(found: &'a FindOut, tables: &Tables) -> Vec<&'a FindOutFigure> {
    let of_faults = |one: &FindOutFigure| {
        tables.sign(&one.id).is_some_and(|sign| {
            let on_the_car = matches!(
                sign.kind,
                SignKind::Check | SignKind::Test | SignKind::Symptom
            );
            on_the_car && !sign.remote_ok && sign.care.is_empty() && sign.openness.is_empty()
        })
    };
    let moves = |one: &&FindOutFigure| {
        let limits = |good: bool| {
            one.outcomes
                .iter()
                .filter(move |answer| (answer.level == 0) == good && !answer.stops)
                .filter_map(|answer| answer.limit)
        };
        let (good, bad) = (limits(true).max(), limits(false).min());
        one.blocked_by.is_none()
            && of_faults(one)
            && good.zip(bad).is_some_and(|(good, bad)| {
                good - bad >= Money::whole(LEAST_MOVE) && bad > Money::ZERO
            })
    };
    let mut checks: Vec<&FindOutFigure> = found.checks.iter().filter(moves).collect();
    checks.sort_by(|a, b| b.most.total_cmp(&a.most).then_with(|| a.id.cmp(&b.id)));
    checks
}

/// Two prices for the check at a place among the [`movers`], round the end; with how many there are.
///
/// # Errors
/// One sentence where no check can carry them.
pub fn two_prices_at(
    knowledge: &Knowledge,
    car: &CarRecord,
    buyer: &Buyer,
    run: &Run,
    at: usize,
) -> Result<(TwoPrices, usize), String> {
    let found = knowledge.find_out(car, buyer, run, FindOutWish::default());
    let signs: Vec<String> = (movers(&found, knowledge.tables()).iter())
        .map(|one| one.id.clone())
        .collect();
    let none = || match &found.words {
        Some(words) => format!("No check to tie two prices to: {words}"),
        None => "No check that is left moves the limit enough for two prices.".to_owned(),
    };
    let sign = signs.get(at % signs.len().max(1)).ok_or_else(none)?;
    Ok((
        two_prices(knowledge, car, buyer, run, sign, 1)?,
        signs.len(),
    ))
}

/// Two prices for a named check, from the figure of a round of the plan, counted from 1.
///
/// # Errors
/// One sentence: no figure to start from, a check that cannot be asked for, or one that would move nothing.
pub fn two_prices(
    knowledge: &Knowledge,
    car: &CarRecord,
    buyer: &Buyer,
    run: &Run,
    sign: &str,
    round: usize,
) -> Result<TwoPrices, String> {
    let tables = knowledge.tables();
    if let Some(why) = not_to_come(car, tables, sign, run.today) {
        return Err(why);
    }
    let row = tables
        .sign(sign)
        .ok_or_else(|| format!("“{sign}” is not in the tables."))?;
    let base = knowledge.appraise(car, buyer, run);
    let (now, limit_now) = start(car, &base, round)?;
    let theirs = base.offer.reply.as_ref().map(|reply| reply.theirs);
    let mut prices: Vec<PriceIf> = Vec::new();
    let mut may_stop = false;
    for (level, words) in row.levels.iter().enumerate() {
        let then = knowledge.appraise(&with_answers(car, &[(sign, level)]), buyer, run);
        if then.stops.iter().any(|stop| stop.waived.is_none()) {
            may_stop = true;
            continue;
        }
        let Some(limit) = then.limit.price else {
            continue;
        };
        let moved = (now + (limit - limit_now)).min(limit);
        let price = theirs.map_or(moved, |theirs| moved.min(theirs));
        prices.push(PriceIf {
            level,
            words: words.clone(),
            limit,
            price: down(price, car.listing.seller_kind),
        });
    }
    let name = row.name.clone();
    let ends_it = || {
        format!("“{name}”: any answer but the good one ends the deal, so there is no second price.")
    };
    let good = prices.iter().find(|one| one.level == 0).cloned();
    let bad = prices
        .iter()
        .filter(|one| one.level > 0)
        .min_by_key(|one| (one.limit, one.level));
    let (good, bad) = good.zip(bad.cloned()).ok_or_else(ends_it)?;
    if good.limit - bad.limit < Money::whole(LEAST_MOVE) || good.price <= bad.price {
        return Err(format!(
            "“{name}” would not move your limit enough for two prices."
        ));
    }
    if bad.price <= Money::ZERO {
        return Err(format!(
            "“{name}”: with “{}” nothing is left to offer; the limit is {} then.",
            bad.words,
            said(bad.limit)
        ));
    }
    Ok(TwoPrices {
        sign: sign.to_owned(),
        name,
        now,
        limit_now,
        good,
        bad,
        may_stop,
    })
}

/// The figure of a round, and the limit as it stands.
fn start(car: &CarRecord, base: &Appraisal, round: usize) -> Result<(Money, Money), String> {
    if car.bought_at.is_some() {
        return Err("It is bought already: there is nothing left to offer.".to_owned());
    }
    if let Some(stop) = base.stops.iter().find(|stop| stop.waived.is_none()) {
        return Err(format!("STOP: {}", stop.sentence));
    }
    let limit = base
        .limit
        .price
        .ok_or("There is no limit: worth is not known.")?;
    let at = round.saturating_sub(1);
    let figure = base.offer.steps.get(at).copied();
    let figure = figure.filter(|figure| *figure <= limit);
    figure
        .map(|figure| (figure, limit))
        .ok_or_else(|| format!("There is no figure to start from: {}", base.offer.words))
}

/// Down to 5; with dealers to 25.
fn down(price: Money, seller: SellerKind) -> Money {
    price.down_to(Money::whole(match seller {
        SellerKind::Dealer => 25,
        SellerKind::Private | SellerKind::Auction => 5,
    }))
}
