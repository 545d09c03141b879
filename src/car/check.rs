//! Whether a loaded record can be meant: numbers that no car has are named, not used in silence.

use super::buyer::Buyer;
use super::entry::{self, Range};
use super::file::CarFile;
use super::money::{Money, MoneyRange};
use super::record::CarRecord;
use serde_json::{Map, Value};

/// One thing in a file that cannot be meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where in the file, as `car.particulars.year`.
    pub place: String,
    /// One sentence: what, where, what to do.
    pub sentence: String,
}

/// Collects what is out of bounds.
#[derive(Default)]
struct Look(Vec<Problem>);

impl Look {
    fn say(&mut self, place: &str, what: &str) {
        self.0.push(Problem {
            place: place.to_owned(),
            sentence: format!("{what} ({place}); correct it there."),
        });
    }

    fn number(&mut self, place: &str, range: &Range, value: impl Into<Option<f64>>) {
        if let Some(value) = value.into()
            && !range.holds(value)
        {
            self.say(place, &range.fault(value));
        }
    }

    fn money(&mut self, place: &str, range: &Range, amount: impl Into<Option<Money>>) {
        let amount = amount
            .into()
            .map(|m| m.to_string().parse().unwrap_or(f64::NAN));
        self.number(place, range, amount);
    }

    fn money_range(&mut self, place: &str, range: &Range, own: Option<&MoneyRange>) {
        let Some(own) = own else { return };
        for amount in [own.low, own.likely, own.high] {
            self.money(place, range, amount);
        }
        if own.low > own.likely || own.likely > own.high {
            let (low, likely, high) = (own.low, own.likely, own.high);
            self.say(
                place,
                &format!(
                    "{}: {low}, {likely}, {high} does not run low, likely, high",
                    range.what
                ),
            );
        }
    }
}

/// What in a car file cannot be meant, in the order of the file. Empty for a sound one.
#[must_use]
pub fn problems(file: &CarFile) -> Vec<Problem> {
    let mut look = Look::default();
    let car = &file.car;
    particulars(&mut look, car);
    claims(&mut look, car);
    prices(&mut look, car);
    if let (Some(day), None) = (car.bought_on, car.bought_at) {
        look.say(
            "car.bought_at",
            &format!("price paid: the car was bought on {day} but no price is on file"),
        );
    }
    let papers = &car.papers;
    let owners = papers.owners.map(f64::from);
    look.number("car.papers.owners", &entry::OWNERS, owners);
    let since = papers.owned_since.map(f64::from);
    look.number("car.papers.owned_since", &entry::YEAR, since);
    for (n, receipt) in papers.receipts.iter().enumerate() {
        let place = format!("car.papers.receipts[{n}].miles");
        look.number(&place, &entry::ODOMETER, receipt.miles);
    }
    kilometers(&mut look, "car", &car.unknown_fields);
    kilometers(
        &mut look,
        "car.particulars",
        &car.particulars.unknown_fields,
    );
    look.0
}

/// A distance in kilometers under a name of its own would be passed over in silence.
fn kilometers(look: &mut Look, at: &str, fields: &Map<String, Value>) {
    for (name, value) in fields {
        let name = name.to_lowercase();
        let km = name.ends_with("_km") || name == "km" || name.contains("kilomet");
        if !km {
            continue;
        }
        let written = match value {
            Value::String(text) => text.parse::<f64>().ok(),
            other => other.as_f64(),
        };
        let miles = written.map_or_else(String::new, |km| {
            format!(", {:.0} for this one", km / entry::KM_PER_MILE)
        });
        look.say(
            &format!("{at}.{name}"),
            &format!("kilometers are not read; write odometer_miles in miles{miles}"),
        );
    }
}

fn claims(look: &mut Look, car: &CarRecord) {
    for (n, claim) in car.claims.iter().enumerate() {
        if let Some(new) = &claim.replaced {
            let place = format!("car.claims[{n}].replaced.at_miles");
            look.number(&place, &entry::RECEIPT, new.at_miles);
        }
    }
}

fn particulars(look: &mut Look, car: &CarRecord) {
    let p = &car.particulars;
    let at = |field: &str| format!("car.particulars.{field}");
    look.number(&at("year"), &entry::YEAR, p.year.map(f64::from));
    look.number(&at("odometer_miles"), &entry::ODOMETER, p.odometer_miles);
    look.number(
        &at("cylinders"),
        &entry::CYLINDERS,
        p.cylinders.map(f64::from),
    );
    look.number(&at("banks"), &entry::BANKS, p.banks.map(f64::from));
    if let (Some(cylinders), Some(banks)) = (p.cylinders, p.banks)
        && banks > cylinders
    {
        look.say(
            &at("banks"),
            &format!("banks of cylinders: {banks} banks for {cylinders} cylinders"),
        );
    }
    look.number(&at("power_hp"), &entry::POWER, p.power_hp);
    look.number(&at("curb_mass_lb"), &entry::MASS, p.curb_mass_lb);
}

fn prices(look: &mut Look, car: &CarRecord) {
    let listing = &car.listing;
    look.money("car.listing.asking", &entry::ASKING, listing.asking);
    for (n, before) in listing.asked_before.iter().enumerate() {
        let place = format!("car.listing.asked_before[{n}].amount");
        look.money(&place, &entry::ASKING, before.amount);
    }
    look.number("car.listing.miles_away", &entry::AWAY, listing.miles_away);
    look.money_range("car.worth.own", &entry::WORTH, car.worth.own.as_ref());
    for (n, like) in car.worth.comparables.iter().enumerate() {
        let at = |field: &str| format!("car.worth.comparables[{n}].{field}");
        look.money(&at("price"), &entry::COMPARABLE, like.price);
        look.number(&at("year"), &entry::YEAR, like.year.map(f64::from));
        look.number(&at("miles"), &entry::ODOMETER, like.miles);
        look.number(&at("alike"), &entry::ALIKE, like.alike);
    }
    for (n, turn) in car.talks.iter().enumerate() {
        look.money(
            &format!("car.talks[{n}].amount"),
            &entry::OFFER,
            turn.amount,
        );
    }
    look.money("car.fees", &entry::FEES, car.fees);
    look.money("car.bought_at", &entry::PAID, car.bought_at);
}

/// What in a buyer file cannot be meant.
#[must_use]
pub fn buyer_problems(buyer: &Buyer) -> Vec<Problem> {
    let mut look = Look::default();
    for (system, level) in &buyer.skill {
        let place = format!("skill.{}", system.word());
        look.number(&place, &entry::SKILL, f64::from(*level));
    }
    look.money("wallet", &entry::WALLET, buyer.wallet);
    look.number("hours_a_week", &entry::HOURS_A_WEEK, buyer.hours_a_week);
    look.number("most_hours", &entry::HOURS, buyer.most_hours);
    look.money("hour_value", &entry::HOUR_VALUE, buyer.hour_value);
    look.money("garage_rate", &entry::GARAGE_RATE, buyer.garage_rate);
    look.number(
        "garage_parts_markup",
        &entry::MARKUP,
        buyer.garage_parts_markup,
    );
    look.number("confidence", &entry::CONFIDENCE, buyer.confidence);
    look.number("tax_on_price", &entry::TAX, buyer.tax_on_price);
    look.number("price_index", &entry::PRICES_HERE, buyer.price_index);
    look.number("pace", &entry::PACE, buyer.pace);
    look.money("fees", &entry::FEES, buyer.fees);
    look.money("spent", &entry::SUM.named("spent"), buyer.spent);
    if let Some(rules) = &buyer.house_rules {
        look.money(
            "house_rules.cap",
            &entry::SUM.named("cap of the rules"),
            rules.cap,
        );
        let step = entry::SUM.named("penalty step");
        look.money("house_rules.penalty_step", &step, rules.penalty_step);
        let laps = f64::from(rules.accepted_steps);
        look.number("house_rules.accepted_steps", &entry::LAPS, laps);
        let least = rules.least_treadwear.map(f64::from);
        look.number("house_rules.least_treadwear", &entry::TREADWEAR, least);
    }
    for (n, wish) in buyer.wishes.iter().enumerate() {
        let range = entry::SUM.named("worth of a wish");
        look.money(&format!("wishes[{n}].amount"), &range, wish.amount);
    }
    look.0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::car::{Comparable, PriceKind, RangeReading};

    #[test]
    fn a_new_car_and_the_plain_buyer_have_no_problems() {
        assert_eq!(problems(&CarFile::default()), []);
        assert_eq!(buyer_problems(&Buyer::default()), []);
    }

    #[test]
    fn every_absurd_number_is_named_with_its_place() {
        let mut file = CarFile::default();
        let p = &mut file.car.particulars;
        p.year = Some(1066);
        p.odometer_miles = Some(-1.0);
        p.cylinders = Some(24);
        p.banks = Some(0);
        p.power_hp = Some(f64::NAN);
        p.curb_mass_lb = Some(f64::INFINITY);
        file.car.listing.asking = Some(Money::whole(-5));
        file.car.listing.miles_away = Some(1e9);
        file.car.worth.own = Some(MoneyRange {
            low: Money::whole(200),
            likely: Money::whole(100),
            high: Money::whole(300),
            reading: RangeReading::OneInTen,
        });
        file.car.worth.comparables.push(Comparable {
            name: "Pudd Newt".into(),
            price: Money::whole(900),
            kind: PriceKind::Asked,
            year: None,
            miles: None,
            alike: 1.5,
        });
        let places: Vec<String> = problems(&file).into_iter().map(|p| p.place).collect();
        assert_eq!(
            places,
            [
                "car.particulars.year",
                "car.particulars.odometer_miles",
                "car.particulars.cylinders",
                "car.particulars.banks",
                "car.particulars.power_hp",
                "car.particulars.curb_mass_lb",
                "car.listing.asking",
                "car.listing.miles_away",
                "car.worth.own",
                "car.worth.comparables[0].alike",
            ]
        );
        assert_eq!(
            problems(&file)[1].sentence,
            "odometer: −1 mi is outside 0 to 2,000,000 mi (car.particulars.odometer_miles); correct it there."
        );
    }

    #[test]
    fn a_buyer_with_absurd_numbers_is_named_too() {
        let mut buyer = Buyer {
            hours_a_week: 200.0,
            pace: 0.0,
            tax_on_price: 7.0,
            ..Buyer::default()
        };
        buyer.skill.insert(crate::car::System::Body, 9);
        let places: Vec<String> = buyer_problems(&buyer)
            .into_iter()
            .map(|p| p.place)
            .collect();
        assert_eq!(
            places,
            ["skill.body", "hours_a_week", "tax_on_price", "pace"]
        );
    }
}
