//! Every contradiction between facts that carry a date or a count.

use super::{Contradiction, Disclosure, disclosure};
use crate::car::{Answer, CarRecord, OdometerStatement, Receipt, TireDate, Vin};
use crate::engine::readings::{Yardstick, answered};
use crate::trade::Tables;
use jiff::civil::Date;

/// Fewest and most miles a year that want no reason: common practice, no source.
const MILES_A_YEAR: (f64, f64) = (3_000.0, 25_000.0);
/// Most miles that one set of tires goes: common practice, no source.
const MILES_OF_A_SET: f64 = 80_000.0;
/// Days over which miles a year are reckoned: shorter spans say nothing.
const LEAST_DAYS: i32 = 180;
/// A counter and a receipt this near say the same, miles.
const SAME_MILES: f64 = 30.0;

pub(super) fn all(car: &CarRecord, tables: &Tables, today: Date) -> Vec<Contradiction> {
    let mut found = Vec::new();
    numbers(car, &mut found);
    receipts(car, today, &mut found);
    counters(car, &mut found);
    tires(car, today, &mut found);
    owners(car, today, &mut found);
    answers(car, tables, today, &mut found);
    odometer(car, tables, today, &mut found);
    found
}

fn say(found: &mut Vec<Contradiction>, id: &'static str, sentence: String) {
    found.push(Contradiction { id, sentence });
}

fn miles(value: f64) -> String {
    let digits = format!("{:.0}", value.max(0.0));
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// Numbers that differ, and a number of another year than the car's.
fn numbers(car: &CarRecord, found: &mut Vec<Contradiction>) {
    let own = car.particulars.vin.clone();
    let own = own.map(|vin| ("particulars".to_owned(), vin));
    let read = car.papers.vins.iter();
    let read = read.filter_map(|read| Some((read.place.clone(), Vin::parse(&read.text).ok()?)));
    let all: Vec<(String, Vin)> = own.into_iter().chain(read).collect();
    if let Some((place, first)) = all.first() {
        for (other, vin) in all.iter().skip(1) {
            let places: Vec<String> = first.differs(vin).iter().map(ToString::to_string).collect();
            if !places.is_empty() {
                let word = if places.len() == 1 { "place" } else { "places" };
                say(
                    found,
                    "vins-differ",
                    format!(
                        "The VIN of the {place} and of the {other} differ in {word} {}.",
                        places.join(", ")
                    ),
                );
            }
        }
    }
    let (Some(year), Some((place, vin))) = (car.particulars.year, all.first()) else {
        return;
    };
    let years = vin.model_years();
    if !years.is_empty() && !years.contains(&year) && vin.check_digit_fits() {
        let years: Vec<String> = years.iter().map(ToString::to_string).collect();
        say(
            found,
            "vin-year",
            format!(
                "The VIN of the {place} is of model year {}, the car is said to be of {year}.",
                years.join(" or ")
            ),
        );
    }
}

fn name(receipt: &Receipt) -> String {
    let what = if receipt.what.is_empty() {
        "receipt"
    } else {
        &receipt.what
    };
    match receipt.on {
        Some(on) => format!("“{what}” of {on}"),
        None => format!("“{what}”"),
    }
}

/// Papers from the future, from before the car, over the odometer; then the miles between them.
fn receipts(car: &CarRecord, today: Date, found: &mut Vec<Contradiction>) {
    let receipts = &car.papers.receipts;
    for receipt in receipts {
        if receipt.on.is_some_and(|on| on > today) {
            say(
                found,
                "receipt-in-the-future",
                format!("{} has not come yet.", name(receipt)),
            );
        }
        if let (Some(on), Some(year)) = (receipt.on, car.particulars.year)
            && i32::from(on.year()) < i32::from(year) - 1
        {
            say(
                found,
                "receipt-before-the-car",
                format!("{} is from before the car, of {year}.", name(receipt)),
            );
        }
        if let (Some(at), Some(now)) = (receipt.miles, car.particulars.odometer_miles)
            && at > now
        {
            say(
                found,
                "receipt-over-odometer",
                format!(
                    "{} has {} mi, the odometer {} mi.",
                    name(receipt),
                    miles(at),
                    miles(now)
                ),
            );
        }
    }
    between(car, today, found);
}

/// Miles between two papers, in the order of their days, and up to the odometer today.
fn between(car: &CarRecord, today: Date, found: &mut Vec<Contradiction>) {
    let receipts = &car.papers.receipts;
    let mut dated: Vec<(Date, f64, String)> = receipts
        .iter()
        .filter_map(|receipt| Some((receipt.on?, receipt.miles?, name(receipt))))
        .collect();
    dated.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    if let Some(now) = car.particulars.odometer_miles {
        dated.push((today, now, "the odometer today".to_owned()));
    }
    for pair in dated.windows(2) {
        let [(from, before, first), (to, after, second)] = pair else {
            continue;
        };
        let days = (*to - *from).get_days();
        if after < before && second != "the odometer today" {
            say(
                found,
                "miles-fall",
                format!(
                    "{second} has {} mi, but {first} already {} mi.",
                    miles(*after),
                    miles(*before)
                ),
            );
        } else if days >= LEAST_DAYS && after >= before {
            let a_year = (after - before) / f64::from(days) * 365.25;
            if a_year < MILES_A_YEAR.0 || a_year > MILES_A_YEAR.1 {
                say(
                    found,
                    "miles-a-year",
                    format!(
                        "Between {first} and {second} it went {} mi a year: ask why.",
                        miles(a_year)
                    ),
                );
            }
        }
    }
}

/// Distance since clearing against the odometer and against the papers that are said to explain it.
fn counters(car: &CarRecord, found: &mut Vec<Contradiction>) {
    let reading = |sign: &str| car.checks.get(sign)?.reading.as_ref();
    let cleared = reading("since-cleared").and_then(|reading| reading.values.first().copied());
    let (Some(cleared), Some(now)) = (cleared, car.particulars.odometer_miles) else {
        return;
    };
    if cleared > now {
        say(
            found,
            "cleared-before-the-odometer",
            format!(
                "The computer counts {} mi since it was cleared, the odometer {} mi in all.",
                miles(cleared),
                miles(now)
            ),
        );
    }
    let battery = |receipt: &&Receipt| receipt.what.to_lowercase().contains("battery");
    for receipt in car.papers.receipts.iter().filter(battery) {
        let Some(since) = receipt
            .miles
            .map(|at| now - at)
            .filter(|since| *since >= 0.0)
        else {
            continue;
        };
        if cleared + SAME_MILES < since {
            say(
                found,
                "cleared-after-the-battery",
                format!(
                    "{} is {} mi ago, the codes were cleared {} mi ago: two different events.",
                    name(receipt),
                    miles(since),
                    miles(cleared)
                ),
            );
        }
    }
}

/// Tires from the future, older than the car, or as old as it at miles that no set goes.
fn tires(car: &CarRecord, today: Date, found: &mut Vec<Contradiction>) {
    let codes: Vec<(&String, TireDate)> = car
        .papers
        .tires
        .iter()
        .filter_map(|code| Some((code, TireDate::parse(code).ok()?)))
        .collect();
    for (code, date) in &codes {
        if date.age_years(today) < 0.0 {
            say(
                found,
                "tire-in-the-future",
                format!("A tire of {code} has not been made yet."),
            );
        }
        if let Some(year) = car.particulars.year
            && date.year + 1 < year
        {
            say(
                found,
                "tire-before-the-car",
                format!(
                    "A tire of {code} is older than the car, of {year}: they came off another."
                ),
            );
        }
    }
    let (Some(year), Some(now)) = (car.particulars.year, car.particulars.odometer_miles) else {
        return;
    };
    let first_set = |date: &TireDate| date.year >= year.saturating_sub(1) && date.year <= year;
    if now > MILES_OF_A_SET
        && let Some((code, _)) = codes.iter().find(|(_, date)| first_set(date))
    {
        say(
            found,
            "tire-against-miles",
            format!(
                "A tire of {code} is the car's first set, and the odometer shows {} mi: no set goes so far.",
                miles(now)
            ),
        );
    }
    for receipt in &car.papers.receipts {
        let Some(on) = receipt
            .on
            .filter(|_| receipt.what.to_lowercase().contains("tire"))
        else {
            continue;
        };
        let made_after = |date: &TireDate| !date.decade_unknown && date.latest() > year_of(on);
        if let Some((code, _)) = codes.iter().find(|(_, date)| made_after(date)) {
            say(
                found,
                "tire-after-its-receipt",
                format!("A tire of {code} was made after {}.", name(receipt)),
            );
        }
    }
}

fn year_of(on: Date) -> f64 {
    f64::from(on.year()) + f64::from(on.day_of_year()) / 365.25
}

/// "One owner" and "since" against the day of the title.
fn owners(car: &CarRecord, today: Date, found: &mut Vec<Contradiction>) {
    let papers = &car.papers;
    let Some(title) = papers.title_on else {
        return;
    };
    if title > today {
        say(
            found,
            "title-in-the-future",
            format!("The title is of {title}, which has not come yet."),
        );
    }
    let text = car.listing.advert.to_lowercase();
    let claims = car.claims.iter().map(|claim| claim.text.to_lowercase());
    let one_owner = papers.owners == Some(1)
        || claims.chain([text]).any(|text| {
            ["one owner", "one-owner", "single owner", "1 owner"]
                .iter()
                .any(|words| text.contains(words))
        });
    if let Some(year) = car.particulars.year
        && one_owner
        && i32::from(title.year()) > i32::from(year) + 1
    {
        say(
            found,
            "one-owner-against-title",
            format!(
                "Said to have had one owner since {year}, the title is of {title}: a later owner, or a duplicate."
            ),
        );
    }
    if let Some(since) = papers.owned_since
        && i32::from(title.year()) > i32::from(since) + 1
    {
        say(
            found,
            "owned-since-against-title",
            format!("Said to be theirs since {since}, the title is of {title}."),
        );
    }
}

/// Answers of the walk-around against what the papers say.
fn answers(car: &CarRecord, tables: &Tables, today: Date, found: &mut Vec<Contradiction>) {
    let yardstick = Yardstick::new(tables, car, None, today);
    let benign = |sign: &str| {
        let seen = car.observations.iter().find(|seen| seen.sign == sign);
        seen.is_some_and(|seen| {
            answered(car, tables, &yardstick, sign, seen.answer) == Answer::Level(0)
        })
    };
    let papers = &car.papers;
    if benign("title-words") && !papers.brands.is_empty() {
        say(
            found,
            "brand-against-answer",
            format!(
                "The check says no brand, the papers say “{}”.",
                papers.brands
            ),
        );
    }
    if benign("lien-line") && !papers.lender.is_empty() && !papers.released {
        say(
            found,
            "lender-against-answer",
            format!(
                "The check says no lender, the papers name {}.",
                papers.lender
            ),
        );
    }
    if benign("title-in-sellers-name") && papers.seller_is_owner == Some(false) {
        say(
            found,
            "owner-against-answer",
            "The check says the title is in the seller's name, the papers say they are not the owner.".to_owned(),
        );
    }
    if benign("engine-lamp-on")
        && car.checks.get("lamp-distance").is_some_and(|check| {
            check
                .reading
                .as_ref()
                .is_some_and(|reading| reading.values.first().is_some_and(|miles| *miles > 0.0))
        })
    {
        say(
            found,
            "lamp-distance-against-lamp",
            "The lamp is off, and the computer counts miles driven with it on.".to_owned(),
        );
    }
}

/// "Exempt" where the law has no exemption yet.
fn odometer(car: &CarRecord, tables: &Tables, today: Date, found: &mut Vec<Contradiction>) {
    let Some(year) = car.particulars.year else {
        return;
    };
    let sold_in = car.bought_on.unwrap_or(today).year();
    let rule = disclosure(&tables.settings.odometer_rules, year, sold_in);
    if car.papers.odometer == Some(OdometerStatement::Exempt) && rule == Some(Disclosure::Required)
    {
        say(
            found,
            "exempt-against-law",
            format!(
                "The odometer is said to be exempt, but a light car of model year {year} sold in {sold_in} is not (49 CFR 580.17)."
            ),
        );
    }
}
