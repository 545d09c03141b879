//! What is read from a pasted advert here: only what is obvious. Its words are kept whole.

mod facts;

use super::{say, typed};
use crate::car::{CarRecord, Money, entry, text};

/// Longest name made of a first line, cells.
const LONGEST_NAME: usize = 32;

/// A car with what is obvious in its advert.
#[must_use]
pub fn car(advert: &str) -> CarRecord {
    let mut car = CarRecord {
        name: name(advert),
        particulars: facts::read(advert),
        ..CarRecord::default()
    };
    car.listing.asking = obvious_price(advert);
    advert.clone_into(&mut car.listing.advert);
    car.listing.whole_text_on_file = true;
    car
}

/// What was read, in a sentence, so that it can be corrected: `Pudd, Newt 1.4, 2008, 121,000 mi, manual, asks 1,400`.
#[must_use]
pub fn in_words(car: &CarRecord) -> String {
    let facts = &car.particulars;
    let words = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    let yes = |value: Option<bool>, word: &str| (value == Some(true)).then(|| word.to_owned());
    let read: Vec<String> = [
        words(&facts.make),
        words(&facts.model),
        facts.year.map(|year| year.to_string()),
        facts
            .odometer_miles
            .map(|miles| format!("{} mi", say::whole(miles))),
        facts.fuel.map(|fuel| fuel.shown().to_owned()),
        facts.gearbox.map(|gearbox| gearbox.shown().to_owned()),
        facts.drive.map(|drive| drive.shown().to_owned()),
        facts
            .timing
            .map(|timing| format!("timing {}", timing.shown())),
        facts.cylinders.map(|count| format!("{count} cylinders")),
        yes(facts.turbo, "turbo"),
        yes(facts.hybrid, "hybrid"),
        yes(facts.air_conditioning, "AC"),
        yes(facts.sunroof, "sunroof"),
        car.listing
            .asking
            .map(|asks| format!("asks {}", say::money(asks))),
    ]
    .into_iter()
    .flatten()
    .collect();
    if read.is_empty() {
        "Nothing in it is plain enough to fill in; Story has the fields.".to_owned()
    } else {
        format!("Read: {}. Correct it in Story.", read.join(", "))
    }
}

/// A name for the car: the first line with words, cut at a comma or full stop.
#[must_use]
pub fn name(advert: &str) -> String {
    let line = advert
        .lines()
        .map(text::one_line)
        .find(|line| !line.is_empty())
        .unwrap_or_default();
    let phrase = line
        .split([',', ';'])
        .next()
        .unwrap_or_default()
        .split(". ")
        .next()
        .unwrap_or_default()
        .trim_end_matches('.');
    let mut name = String::new();
    for word in phrase.split_whitespace() {
        if say::width(&name) + say::width(word) + 1 > LONGEST_NAME {
            break;
        }
        if !name.is_empty() {
            name.push(' ');
        }
        name.push_str(word);
    }
    if name.is_empty() {
        "car from an advert".to_owned()
    } else {
        name
    }
}

/// The one amount written with a dollar sign; `None` with none or several different ones.
#[must_use]
pub fn obvious_price(advert: &str) -> Option<Money> {
    let found = advert.split_whitespace().filter_map(|word| {
        let bare = word
            .trim_matches(|c: char| !c.is_ascii_alphanumeric() && c != '$')
            .strip_prefix('$')?;
        typed::money(&entry::ASKING, bare).ok()
    });
    only_one(found)
}

/// The one figure of miles: `146k miles`, `146,200 mi`, `146k`.
#[must_use]
pub fn obvious_miles(advert: &str) -> Option<f64> {
    let words: Vec<&str> = advert
        .split_whitespace()
        .map(|word| word.trim_matches(|c: char| !c.is_ascii_alphanumeric() && c != '$'))
        .collect();
    let found = words.iter().enumerate().filter_map(|(at, word)| {
        let word = word.to_lowercase();
        let unit = words.get(at + 1).map(|next| next.to_lowercase());
        let with_unit = matches!(unit.as_deref(), Some("mi" | "miles" | "mile"));
        let own_unit = word.ends_with('k') || word.ends_with("mi") || word.ends_with("miles");
        if !word.starts_with(|c: char| c.is_ascii_digit()) || !(with_unit || own_unit) {
            return None;
        }
        typed::miles(&entry::ODOMETER, &word)
            .ok()
            .filter(|miles| *miles >= 1_000.0)
    });
    let miles: Vec<f64> = found.collect();
    match miles.as_slice() {
        [first, rest @ ..] if rest.iter().all(|other| (other - first).abs() < 0.5) => Some(*first),
        _ => None,
    }
}

/// The one model year from 1950 to 2049.
#[must_use]
pub fn obvious_year(advert: &str) -> Option<u16> {
    let found = advert.split_whitespace().filter_map(|word| {
        let bare = word.trim_matches(|c: char| !c.is_ascii_alphanumeric() && c != '$');
        let year: u16 = (bare.len() == 4).then(|| bare.parse().ok()).flatten()?;
        (1950..2050).contains(&year).then_some(year)
    });
    only_one(found)
}

fn only_one<T: PartialEq>(mut found: impl Iterator<Item = T>) -> Option<T> {
    let first = found.next()?;
    found.all(|other| other == first).then_some(first)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ADVERT: &str = "2009 Zorrel Dabchick 1.8, 146k. Runs and drives great, just needs a tune-up.\n$1,850, no low offers.";

    #[test]
    fn the_obvious_is_read_from_an_advert() {
        assert_eq!(name(ADVERT), "2009 Zorrel Dabchick 1.8");
        assert_eq!(obvious_price(ADVERT), Some(Money::whole(1850)));
        assert_eq!(obvious_miles(ADVERT), Some(146_000.0));
        assert_eq!(obvious_year(ADVERT), Some(2009));
    }

    #[test]
    fn two_prices_are_not_obvious() {
        assert_eq!(obvious_price("$1,850 or $1,700 today"), None);
        assert_eq!(obvious_miles("90k since the belt, 146k in all"), None);
        assert_eq!(name("  \n"), "car from an advert");
    }
}
