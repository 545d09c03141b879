//! Particulars in an advert, where its words can be read one way only. What contradicts itself is left for the user.

use super::{name, obvious_miles, obvious_year, only_one};
use crate::car::{Drive, Fuel, Gearbox, Particulars, TimingDrive};

/// Most words of a make and a model.
const MOST_TITLE: usize = 5;
/// Words that begin a sentence rather than the name of a car.
const NO_TITLE: [&str; 26] = [
    "for", "sale", "selling", "my", "our", "the", "a", "an", "old", "cheap", "nice", "great",
    "good", "clean", "reliable", "used", "car", "runs", "must", "moving", "needs", "price",
    "asking", "up", "this", "it",
];

/// All that is plain.
pub fn read(advert: &str) -> Particulars {
    let (make, model) = make_and_model(advert);
    let words = Words::of(advert);
    let (cylinders, banks) = words.cylinders();
    Particulars {
        make,
        model,
        year: obvious_year(advert),
        odometer_miles: obvious_miles(advert),
        fuel: words.fuel(),
        gearbox: words.gearbox(),
        drive: words.drive(),
        timing: words.timing(),
        turbo: words.has(&["turbo"]),
        hybrid: words.has(&["hybrid"]),
        air_conditioning: words.has(&["ac", "a/c", "aircon"]),
        sunroof: words.has(&["sunroof"]),
        cylinders,
        banks,
        ..Particulars::default()
    }
}

/// Make and model out of a first line that begins or ends with the year: `2008 Pudd Newt 1.4`. Both empty where the
/// line is a sentence.
fn make_and_model(advert: &str) -> (String, String) {
    let title = name(advert);
    let mut words: Vec<&str> = title.split_whitespace().collect();
    let is_year = |word: &&str| obvious_year(word).is_some();
    if words.first().is_some_and(is_year) {
        words.remove(0);
    } else if words.last().is_some_and(is_year) {
        words.pop();
    } else {
        return Default::default();
    }
    let named = |word: &&str| {
        let lower = word.to_lowercase();
        let first = word.chars().next();
        first.is_some_and(|c| c.is_uppercase() || c.is_ascii_digit())
            && !NO_TITLE.contains(&lower.as_str())
            && !word.contains(['$', '!', '?', ':'])
    };
    let letters = words
        .first()
        .is_some_and(|make| make.chars().all(|c| c.is_alphabetic() || c == '-'));
    if words.len() < 2 || words.len() > MOST_TITLE || !letters || !words.iter().all(named) {
        return Default::default();
    }
    let make = words.remove(0).to_owned();
    (make, words.join(" "))
}

/// The words of an advert in small letters, without the marks round them.
struct Words(Vec<String>);

impl Words {
    fn of(advert: &str) -> Self {
        let bare = |word: &str| {
            word.trim_matches(|c: char| !c.is_alphanumeric())
                .to_lowercase()
        };
        Self(
            advert
                .split_whitespace()
                .map(bare)
                .filter(|word| !word.is_empty())
                .collect(),
        )
    }

    fn at(&self, at: usize) -> &str {
        self.0.get(at).map_or("", String::as_str)
    }

    /// Places of a word that is neither denied before it nor about something else: `no sunroof`, `owner's manual`.
    fn places<'a>(
        &'a self,
        word: &'a str,
        not_before: &'a [&'a str],
        not_after: &'a [&'a str],
    ) -> impl Iterator<Item = usize> + 'a {
        const DENIED: [&str; 6] = ["no", "not", "non", "without", "isn't", "never"];
        self.0.iter().enumerate().filter_map(move |(at, known)| {
            let before = at.checked_sub(1).map_or("", |before| self.at(before));
            let after = self.at(at + 1);
            let two_before = at.checked_sub(2).map_or("", |two| self.at(two));
            let denied =
                DENIED.contains(&before) || (before == "a" && DENIED.contains(&two_before));
            let else_meant = not_before.contains(&before) || not_after.contains(&after);
            let said = known == word && !denied && !else_meant;
            said.then_some(at)
        })
    }

    fn said(&self, word: &str, not_before: &[&str], not_after: &[&str]) -> bool {
        self.places(word, not_before, not_after).next().is_some()
    }

    /// True where one of the words is said; not known where none is, or one is denied.
    fn has(&self, words: &[&str]) -> Option<bool> {
        let (mut said, mut all) = (0, 0);
        for word in words {
            said += self.places(word, &[], &[]).count();
            all += self.0.iter().filter(|known| known == word).count();
        }
        (said > 0 && said == all).then_some(true)
    }

    fn gearbox(&self) -> Option<Gearbox> {
        let books = [
            "owner's",
            "owners",
            "owner’s",
            "service",
            "shop",
            "workshop",
            "repair",
            "original",
        ];
        let fittings = [
            "windows", "locks", "seats", "book", "books", "included", "mirrors",
        ];
        let automatics = [
            "windows",
            "locks",
            "lights",
            "headlights",
            "climate",
            "parts",
            "wipers",
            "mirrors",
        ];
        let manual =
            self.said("manual", &books, &fittings) || self.said("stick", &[], &["to", "with"]);
        let automatic =
            self.said("automatic", &[], &automatics) || self.said("auto", &[], &automatics);
        let stepless = self.said("cvt", &[], &[]);
        let found = [
            (manual, Gearbox::Manual),
            (automatic && !stepless, Gearbox::Automatic),
            (stepless, Gearbox::Cvt),
        ];
        only_one(
            found
                .into_iter()
                .filter(|(said, _)| *said)
                .map(|(_, gearbox)| gearbox),
        )
    }

    fn fuel(&self) -> Option<Fuel> {
        let diesel = self.said("diesel", &[], &["prices", "mechanic"]);
        let petrol = self.said("petrol", &[], &[])
            || self.said("gasoline", &[], &[])
            || self
                .places("gas", &[], &[])
                .any(|at| self.at(at + 1) == "engine");
        let found = [(diesel, Fuel::Diesel), (petrol, Fuel::Petrol)];
        only_one(
            found
                .into_iter()
                .filter(|(said, _)| *said)
                .map(|(_, fuel)| fuel),
        )
    }

    fn drive(&self) -> Option<Drive> {
        let any = |words: &[&str]| words.iter().any(|word| self.said(word, &[], &[]));
        let found = [
            (any(&["awd", "4wd", "4x4"]), Drive::All),
            (any(&["fwd"]), Drive::Front),
            (any(&["rwd"]), Drive::Rear),
        ];
        only_one(
            found
                .into_iter()
                .filter(|(said, _)| *said)
                .map(|(_, drive)| drive),
        )
    }

    fn timing(&self) -> Option<TimingDrive> {
        let of = |word: &str| {
            self.places("timing", &[], &[])
                .any(|at| self.at(at + 1) == word)
        };
        let found = [
            (of("belt"), TimingDrive::Belt),
            (of("chain"), TimingDrive::Chain),
        ];
        only_one(
            found
                .into_iter()
                .filter(|(said, _)| *said)
                .map(|(_, timing)| timing),
        )
    }

    /// `V6`, `4-cyl`, `4 cylinder`: cylinders, and banks where they are said.
    fn cylinders(&self) -> (Option<u8>, Option<u8>) {
        let known = |count: u8| (2..=16).contains(&count).then_some(count);
        let vee = self
            .0
            .iter()
            .filter_map(|word| known(word.strip_prefix('v')?.parse().ok()?));
        if let Some(count) = only_one(vee) {
            return (Some(count), Some(2));
        }
        let counted = self.0.iter().enumerate().filter_map(|(at, word)| {
            let (count, unit) = word.split_once('-').unwrap_or((word, self.at(at + 1)));
            unit.starts_with("cyl")
                .then(|| count.parse().ok().and_then(known))?
        });
        (only_one(counted), None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn make_and_model_are_read_from_a_title_and_not_from_a_sentence() {
        let read = |text: &str| {
            let facts = read(text);
            (facts.make, facts.model)
        };
        let is = |make: &str, model: &str| (make.to_owned(), model.to_owned());
        assert_eq!(
            read("2008 Pudd Newt 1.4, 121k miles.\nRuns well."),
            is("Pudd", "Newt 1.4")
        );
        assert_eq!(
            read("Zorrel Dabchick 1.8 2009"),
            is("Zorrel", "Dabchick 1.8")
        );
        assert_eq!(
            read("2011 Marl 1.6 Estate. One owner"),
            is("Marl", "1.6 Estate")
        );
        for sentence in [
            "Selling my old car 2009",
            "2009 runs great",
            "2009 Dabchick",
            "Pudd Newt 1.4",
            "2009 For Sale Pudd Newt",
            "",
        ] {
            assert_eq!(read(sentence), is("", ""), "{sentence}");
        }
    }

    #[test]
    fn plain_words_fill_the_particulars() {
        let facts = read(
            "2008 Pudd Newt 1.4, 121k. 5-speed manual, petrol, FWD, cold AC, timing belt done, 4-cyl.",
        );
        assert_eq!(facts.gearbox, Some(Gearbox::Manual));
        assert_eq!(facts.fuel, Some(Fuel::Petrol));
        assert_eq!(facts.drive, Some(Drive::Front));
        assert_eq!(facts.timing, Some(TimingDrive::Belt));
        assert_eq!(facts.air_conditioning, Some(true));
        assert_eq!((facts.cylinders, facts.banks), (Some(4), None));
        let facts = read("2004 Vintry 3.0 V6, automatic, AWD, turbo diesel, sunroof");
        assert_eq!((facts.cylinders, facts.banks), (Some(6), Some(2)));
        assert_eq!(
            (facts.gearbox, facts.fuel),
            (Some(Gearbox::Automatic), Some(Fuel::Diesel))
        );
        assert_eq!((facts.turbo, facts.sunroof), (Some(true), Some(true)));
    }

    #[test]
    fn what_can_be_read_two_ways_is_left_alone() {
        let facts = read(
            "Owner's manual included, automatic windows, not a diesel, no sunroof, non turbo, gas mileage is good",
        );
        assert_eq!(facts, Particulars::default());
        assert_eq!(read("was automatic, now manual").gearbox, None);
        assert_eq!(read("timing belt or timing chain, no idea").timing, None);
    }
}
