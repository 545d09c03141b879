//! The parts of the page of one car, in reading order.

use super::Audience;
use super::drawings;
use super::markup::Markup;
use crate::engine::{Appraisal, FaultFigure, Route, Standing, Verdict};
use crate::report::proven::proven;
use crate::report::{WeighedCar, words};
use crate::trade::Tables;

/// Faults told one by one.
const TOLD: usize = 20;

/// All that the reader may see.
pub(super) fn car(page: &mut Markup, car: &WeighedCar<'_>, tables: &Tables, audience: Audience) {
    let name = if car.name.is_empty() {
        car.slug
    } else {
        car.name
    };
    page.element("h1", "", name);
    stops(page, car, audience);
    if audience == Audience::Me {
        verdict(page, car);
    }
    found(page, car, tables);
    if audience != Audience::Seller {
        faults(page, car);
        unseen(page, car);
    }
    if audience == Audience::Me {
        plan(page, car);
    }
    if audience != Audience::Seller {
        cautions(page, car.appraisal);
        sources(page, car.appraisal);
    }
    assumptions(page, car.appraisal, audience);
}

fn section(page: &mut Markup, heading: &str) {
    page.start("section", "");
    page.element("h2", "", heading);
}

/// Stops, and waivers in the user's words. The seller sees neither: a stop may hang on what was only said.
fn stops(page: &mut Markup, car: &WeighedCar<'_>, audience: Audience) {
    if audience == Audience::Seller {
        return;
    }
    for stop in &car.appraisal.stops {
        let words = match &stop.waived {
            None => format!("STOP: {}", stop.sentence),
            Some(words) => format!("Waived, in the words “{words}”: {}", stop.sentence),
        };
        page.element("p", "class=\"stop\"", &words);
    }
    for waived in car.findings.map_or(&[][..], |found| &found.waived) {
        let words = format!(
            "Waived, in the words “{}”: {}",
            waived.words, waived.sentence
        );
        page.element("p", "class=\"stop\"", &words);
    }
}

fn verdict(page: &mut Markup, car: &WeighedCar<'_>) {
    let (figures, mark) = (car.appraisal, words::currency_mark(&car.record.currency));
    section(page, "Verdict");
    let says = match figures.limit.verdict {
        Verdict::Buy => "buy, at the limit or under",
        Verdict::Leave => "leave it",
        Verdict::Donor => "a donor: worth more in parts than put right",
        Verdict::Scrap => "scrap: not worth fixing at any price",
    };
    page.element("p", "", says);
    page.element("p", "", &figures.limit.words);
    drawings::rail(page, car);
    page.start("table", "");
    let sum = |sum: Option<crate::car::Money>| {
        sum.map_or_else(
            || words::UNKNOWN.to_owned(),
            |sum| words::money(words::units(sum), &mark),
        )
    };
    page.row(&["they ask", &sum(car.record.listing.asking)]);
    page.row(&["never pay over", &sum(figures.limit.price)]);
    page.row(&["bought blind", &sum(figures.limit.blind)]);
    let chance =
        |chance: Option<f64>| chance.map_or_else(|| words::UNKNOWN.to_owned(), words::percent);
    let (before, after) = (&figures.chances.before, &figures.chances.after);
    for (name, before, after) in [
        ("cheap", before.cheap, after.cheap),
        ("reliable", before.reliable, after.reliable),
        ("fast", before.fast, after.fast),
    ] {
        let both = format!(
            "{} as it stands, {} put right",
            chance(before),
            chance(after)
        );
        page.row(&[name, &both]);
    }
    page.end();
    drawings::triangle(page, figures);
    page.element("h3", "", "Why this limit");
    drawings::ladder(page, &figures.ladder, &mark);
    page.end();
}

/// What a check of the user's own found.
fn found(page: &mut Markup, car: &WeighedCar<'_>, tables: &Tables) {
    section(page, "Found on the car");
    let proven = proven(car, tables);
    if proven.is_empty() {
        page.element("p", "", "No check has proven a fault.");
    }
    page.start("table", "");
    for one in &proven {
        let mut words = one.when.clone();
        for number in &one.measured {
            words.push_str(&format!("; {number}"));
        }
        if one.is_unsafe() {
            words.push_str(". Unsafe: not to be driven before a licensed garage has looked at it.");
        }
        page.row(&[&one.found, &cost(one.fault, car), &words]);
    }
    page.end();
    page.end();
}

fn cost(fault: &FaultFigure, car: &WeighedCar<'_>) -> String {
    let mark = words::currency_mark(&car.record.currency);
    let [low, high] = [fault.cash.p10, fault.cash.p90].map(words::about);
    let cash = words::money_range(low, high, &mark);
    let hours = words::hours_range(fault.hours.p10, fault.hours.p90);
    match fault.route {
        Route::LivedWith => "lived with".to_owned(),
        Route::Home => format!("about {cash} and {hours}, at home"),
        Route::Part => format!("about {cash} and {hours}, part of it at a garage"),
        Route::Garage => format!("about {cash}, at a garage"),
    }
}

/// Faults with chances and reasons.
fn faults(page: &mut Markup, car: &WeighedCar<'_>) {
    section(page, "Faults, those that take most first");
    page.start("table", "");
    for (at, fault) in car.appraisal.faults.iter().enumerate() {
        if at >= TOLD && fault.standing != Standing::Seen {
            continue;
        }
        let standing = match fault.standing {
            Standing::Seen => "seen",
            Standing::Likely => "likely, not proved",
            Standing::Unseen => "not seen",
            Standing::RuledOut => "ruled out",
        };
        let reasons: Vec<&str> = fault
            .reasons
            .iter()
            .filter(|one| one.times > 1.0)
            .map(|one| one.words.as_str())
            .collect();
        let chance = format!(
            "{}, {standing} ({} in an ordinary car like this)",
            words::percent(fault.chance),
            words::percent(fault.ordinary)
        );
        page.row(&[&fault.name, &chance, &cost(fault, car), &reasons.join("; ")]);
    }
    page.end();
    page.end();
}

fn unseen(page: &mut Markup, car: &WeighedCar<'_>) {
    let unseen = &car.appraisal.unseen;
    section(page, "Not seen, priced at its chance");
    let mark = words::currency_mark(&car.record.currency);
    page.element(
        "p",
        "",
        &format!(
            "{} of an ordinary visit not answered, {} held at their chance: about {} and {}.",
            words::count(unseen.checks_not_seen, "check", "checks"),
            words::count(unseen.faults, "fault", "faults"),
            words::money(words::as_said(unseen.cash.mean), &mark),
            words::hours(unseen.hours.mean),
        ),
    );
    page.end();
}

fn plan(page: &mut Markup, car: &WeighedCar<'_>) {
    let offer = &car.appraisal.offer;
    let mark = words::currency_mark(&car.record.currency);
    section(page, "Plan of offers");
    page.element("p", "", &offer.words);
    page.start("table", "");
    for (at, step) in offer.steps.iter().enumerate() {
        page.row(&[
            &format!("offer {}", at + 1),
            &words::money(words::units(*step), &mark),
        ]);
    }
    if let Some(chance) = offer.chance_of_deal {
        page.row(&["chance of a deal", &words::percent(chance)]);
    }
    page.end();
    page.end();
}

fn cautions(page: &mut Markup, figures: &Appraisal) {
    section(page, "Cautions");
    page.start("ul", "");
    for caution in &figures.cautions {
        page.element(
            "li",
            "",
            &format!("{} ({})", caution.sentence, caution.source),
        );
    }
    page.element("li", "", "The maker's manual, the law where you live and licensed people come before anything said here.");
    page.end();
    page.end();
}

fn sources(page: &mut Markup, figures: &Appraisal) {
    let ways = figures
        .faults
        .iter()
        .take(TOLD)
        .flat_map(|fault| &fault.ways);
    let mut rows: Vec<&str> = ways
        .filter(|way| way.chosen)
        .map(|way| way.source.as_str())
        .collect();
    rows.sort_unstable();
    rows.dedup();
    section(page, "Sources of the costs");
    page.start("ul", "");
    for row in rows {
        page.element("li", "", row);
    }
    if figures.faults.is_empty() {
        page.element("li", "", "no fault is priced");
    }
    page.end();
    page.end();
}

fn assumptions(page: &mut Markup, figures: &Appraisal, audience: Audience) {
    let on = &figures.assumptions;
    section(page, "What these estimates stand on");
    let day = words::date_with_year(on.date);
    page.element(
        "p",
        "",
        &format!(
            "Estimates of {day}, by tables of {}; no workshop has confirmed them.",
            on.tables_as_of
        ),
    );
    // What was assumed tells of the buyer.
    if audience != Audience::Seller {
        page.start("ul", "");
        let draws = words::whole(f64::from(on.draws));
        page.element(
            "li",
            "",
            &format!(
                "Buyer: {}, purpose {}; {draws} draws, seed {}.",
                on.buyer, on.purpose, on.seed
            ),
        );
        for assumed in &on.assumed {
            page.element("li", "", &assumed.words);
        }
        page.end();
    }
    page.end();
}
