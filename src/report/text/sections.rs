//! The parts of the report of one car, in reading order.

use super::page::Page;
use crate::car::{CarRecord, Money, Who};
use crate::engine::{
    Appraisal, OfferKind, Rung, RungKind, Spread, ThreeChances, UnseenFigures, Verdict,
};
use crate::report::{WeighedCar, words};

/// Mark of the car's currency.
pub(super) fn mark(record: &CarRecord) -> String {
    words::currency_mark(&record.currency)
}

fn exact(amount: Money, mark: &str) -> String {
    words::money(words::units(amount), mark)
}

fn ten_to_ninety(spread: &Spread, mark: &str) -> String {
    format!(
        "{}; {}, one in ten is outside each end",
        words::money(words::as_said(spread.mean), mark),
        words::money_range(words::as_said(spread.p10), words::as_said(spread.p90), mark)
    )
}

/// Name, what it is, where it stands.
pub(super) fn title(page: &mut Page, car: &WeighedCar<'_>) {
    let name = if car.name.is_empty() {
        car.slug
    } else {
        car.name
    };
    page.title(name);
    let particulars = &car.record.particulars;
    let mut said: Vec<String> = Vec::new();
    if let Some(year) = particulars.year {
        said.push(year.to_string());
    }
    if let Some(miles) = particulars.odometer_miles {
        said.push(format!("{} mi", words::whole(miles)));
    }
    said.extend(
        particulars
            .gearbox
            .map(|gearbox| gearbox.shown().to_owned()),
    );
    said.extend(particulars.fuel.map(|fuel| fuel.shown().to_owned()));
    if !car.record.listing.place.is_empty() {
        said.push(car.record.listing.place.clone());
    }
    if particulars.non_runner {
        said.push("does not run".to_owned());
    }
    if !said.is_empty() {
        page.paragraph(&said.join(", "));
        page.blank();
    }
}

/// What ends the deal, before anything else.
pub(super) fn stops(page: &mut Page, car: &WeighedCar<'_>) {
    for stop in &car.appraisal.stops {
        match &stop.waived {
            None => page.paragraph(&format!("STOP: {}", stop.sentence)),
            Some(in_words) => {
                page.paragraph(&format!(
                    "Waived, in your words “{in_words}”: {}",
                    stop.sentence
                ));
            }
        }
    }
    if !car.appraisal.stops.is_empty() {
        page.blank();
    }
}

/// Asks, limit, offer, verdict.
pub(super) fn figures(page: &mut Page, car: &WeighedCar<'_>) {
    let (appraisal, mark) = (car.appraisal, mark(car.record));
    let asks = match (car.record.bought_at, car.record.listing.asking) {
        (Some(paid), _) => format!("bought at {}", exact(paid, &mark)),
        (None, Some(asking)) => exact(asking, &mark),
        (None, None) => "no price on file".to_owned(),
    };
    page.labelled("they ask", &asks);
    short_figures(page, appraisal, &mark);
    let limit = &appraisal.limit;
    if let Some(blind) = limit.blind {
        page.labelled("bought blind", &exact(blind, &mark));
    }
    match (limit.if_nothing_new, limit.withheld_because.as_slice()) {
        (Some(price), _) => page.labelled("if nothing new is found", &exact(price, &mark)),
        (None, []) => {}
        (None, because) => page.labelled(
            "if nothing new is found",
            &format!(
                "withheld; settle first: {}",
                fault_names(appraisal, because).join("; ")
            ),
        ),
    }
    if let (Some(reply), None) = (&appraisal.offer.reply, car.record.bought_at) {
        let mut theirs = car.record.talks.iter().filter(|said| said.who == Who::They);
        let named = theirs.any(|said| said.amount.is_some());
        page.labelled("to their figure", &words::reply(reply, named));
    }
    if let Some(pay) = &appraisal.all_you_pay {
        page.labelled("all you pay", &ten_to_ninety(pay, &mark));
    }
    if let Some(up) = &appraisal.you_are_up {
        page.labelled("better off by, likely", &ten_to_ninety(up, &mark));
    }
    page.blank();
    for doubt in &appraisal.offer.doubts {
        page.item(doubt);
    }
    page.paragraph(&limit.words);
    if appraisal.offer.words != limit.words {
        page.paragraph(&appraisal.offer.words);
    }
    page.blank();
}

fn fault_names(appraisal: &Appraisal, ids: &[String]) -> Vec<String> {
    ids.iter()
        .map(|id| {
            let named = appraisal.faults.iter().find(|fault| fault.id == *id);
            named.map_or_else(|| id.clone(), |fault| fault.name.clone())
        })
        .collect()
}

/// Limit, verdict, offer and work in short: for one car and for cars side by side.
pub(super) fn short_figures(page: &mut Page, appraisal: &Appraisal, mark: &str) {
    let limit = &appraisal.limit;
    match limit.price {
        Some(price) => {
            let ends = match (limit.low, limit.high) {
                (Some(low), Some(high)) => format!(
                    "; right nine times in ten at {}, five at {}",
                    exact(low, mark),
                    exact(high, mark)
                ),
                _ => String::new(),
            };
            page.labelled("never pay over", &format!("{}{ends}", exact(price, mark)));
        }
        None => {
            let why = appraisal
                .worth_missing
                .as_deref()
                .unwrap_or("its worth is not known");
            page.labelled("never pay over", &format!("no limit: {why}"));
        }
    }
    page.labelled("verdict", verdict(limit.verdict));
    let offer = &appraisal.offer;
    if let Some(open) = offer.open {
        let label = if offer.kind == OfferKind::One {
            "one written offer"
        } else {
            "open at"
        };
        page.labelled(label, &exact(open, mark));
    }
    let later: Vec<String> = offer
        .steps
        .iter()
        .skip(1)
        .map(|step| exact(*step, mark))
        .collect();
    page.labelled("then", &words::list(&later));
    if let Some(settle) = offer.settle {
        page.labelled("glad to settle at", &exact(settle, mark));
    }
    if let Some(take) = offer.take_it_at {
        page.labelled("take their figure up to", &exact(take, mark));
    }
    if let Some(chance) = offer.chance_of_deal {
        page.labelled("chance of a deal", &words::percent(chance));
    }
    let repair = &appraisal.repair;
    let cash = words::money_range(
        words::as_said(repair.cash.p10),
        words::as_said(repair.cash.p90),
        mark,
    );
    page.labelled(
        "the work",
        &format!(
            "{} in cash ({cash}), {} of your own ({})",
            words::money(words::as_said(repair.cash.mean), mark),
            words::hours(repair.hours.mean),
            words::hours_range(repair.hours.p10, repair.hours.p90),
        ),
    );
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Buy => "buy, at the limit or under",
        Verdict::Leave => "leave it",
        Verdict::Donor => "a donor: worth more in parts than put right",
        Verdict::Scrap => "scrap: not worth fixing at any price",
    }
}

/// From worth to the limit, rung by rung.
pub(super) fn ladder(page: &mut Page, car: &WeighedCar<'_>) {
    let mark = mark(car.record);
    if car.appraisal.ladder.is_empty() {
        return;
    }
    page.heading("Why this limit");
    for (rung, shown) in car
        .appraisal
        .ladder
        .iter()
        .zip(rungs_to_five(&car.appraisal.ladder))
    {
        let total = is_total(rung.kind);
        let amount = match shown {
            shown if total || shown <= 0.0 => words::money(shown, &mark),
            shown => format!("+{}", words::money(shown, &mark)),
        };
        let size = words::money(shown.abs(), &mark);
        let aloud = match (total, shown < 0.0) {
            (true, _) => words::money(shown, &mark),
            (false, true) => format!("takes {size}"),
            (false, false) => format!("adds {size}"),
        };
        page.rung(&rung.label, &amount, &aloud);
    }
    page.blank();
}

fn is_total(kind: RungKind) -> bool {
    matches!(kind, RungKind::Worth | RungKind::Room | RungKind::Limit)
}

/// Rungs in fives: running totals are rounded and their steps shown, so what is shown still adds up.
fn rungs_to_five(ladder: &[Rung]) -> Vec<f64> {
    let five = |amount: f64| libm::round(amount / 5.0) * 5.0;
    let mut total = 0.0;
    ladder
        .iter()
        .map(|rung| {
            let cash = words::units(rung.cash);
            if is_total(rung.kind) {
                total = cash;
                return five(cash);
            }
            let before = five(total);
            total += cash;
            five(total) - before
        })
        .collect()
}

/// What was not seen, and what it holds back.
pub(super) fn unseen(page: &mut Page, car: &WeighedCar<'_>) {
    let UnseenFigures {
        cash,
        hours,
        checks_not_seen,
        faults,
        ..
    } = &car.appraisal.unseen;
    let mark = mark(car.record);
    page.heading("Not seen, priced at its chance");
    page.under(&format!(
        "{} of an ordinary visit not answered, {} held at their chance.",
        words::count(*checks_not_seen, "check", "checks"),
        words::count(*faults, "fault", "faults"),
    ));
    page.under(&format!(
        "They hold back {} in cash ({}) and {} ({}).",
        words::money(words::as_said(cash.mean), &mark),
        words::money_range(words::as_said(cash.p10), words::as_said(cash.p90), &mark),
        words::hours(hours.mean),
        words::hours_range(hours.p10, hours.p90),
    ));
    for sign in &car.appraisal.not_in_tables {
        page.item(&format!("{sign}: on file, not in these tables, not priced"));
    }
    page.blank();
}

/// Three chances and pace, in words.
pub(super) fn chances(page: &mut Page, car: &WeighedCar<'_>) {
    let chances = &car.appraisal.chances;
    page.heading("What it offers");
    if !chances.words.is_empty() {
        page.under(&chances.words);
    }
    type Corner = fn(&ThreeChances) -> Option<f64>;
    let corners: [(&str, Corner, &str); 3] = [
        (
            "cheap",
            |three| three.cheap,
            "chance all you pay stays in the wallet, at what they ask",
        ),
        (
            "reliable",
            |three| three.reliable,
            "chance of getting there without a tow",
        ),
        (
            "fast",
            |three| three.fast,
            "share of ordinary cars it outruns",
        ),
    ];
    for (label, corner, meaning) in corners {
        let (before, after) = (corner(&chances.before), corner(&chances.after));
        let figure = match (before, after) {
            (None, None) => words::UNKNOWN.to_owned(),
            (before, after) => format!(
                "{} as it stands, {} put right",
                chance(before),
                chance(after)
            ),
        };
        page.labelled(label, &format!("{figure}: {meaning}"));
    }
    for why in &chances.unknown_because {
        page.item(&format!("unknown because {why}"));
    }
    if let Some(share) = chances.laps_share {
        page.labelled(
            "laps completed",
            &format!("{} of them, expected", words::percent(share)),
        );
    }
    if let Some(pace) = &car.appraisal.pace {
        page.labelled(
            "pace, put right",
            &format!(
                "0 to 60 mph in about {}, quarter mile in about {} at {} mph, each within {}",
                words::seconds(pace.zero_to_60_mph_s),
                words::seconds(pace.quarter_mile_s),
                words::whole(pace.quarter_mile_mph),
                words::seconds(pace.band_s),
            ),
        );
    }
    page.blank();
}

fn chance(chance: Option<f64>) -> String {
    chance.map_or_else(|| words::UNKNOWN.to_owned(), words::percent)
}

/// Cautions, each with its source.
pub(super) fn cautions(page: &mut Page, car: &WeighedCar<'_>) {
    if !car.appraisal.cautions.is_empty() {
        page.heading("Cautions");
        for caution in &car.appraisal.cautions {
            page.item(&format!(
                "Caution: {} ({})",
                caution.sentence, caution.source
            ));
        }
    }
    page.paragraph(
        "The maker's manual, the law where you live and licensed people come before anything said here.",
    );
    page.blank();
}

/// What the figures stand on.
pub(super) fn assumptions(page: &mut Page, car: &WeighedCar<'_>) {
    let stands_on = &car.appraisal.assumptions;
    page.heading("What these estimates stand on");
    page.labelled("day", &words::date_with_year(stands_on.date));
    page.labelled("buyer", &stands_on.buyer);
    page.labelled("purpose", &stands_on.purpose);
    page.labelled(
        "draws",
        &format!(
            "{}, seed {}",
            words::whole(f64::from(stands_on.draws)),
            stands_on.seed
        ),
    );
    page.labelled("tables of", &stands_on.tables_as_of);
    for assumed in &stands_on.assumed {
        page.item(&format!("Assumed: {}", assumed.words));
    }
}
