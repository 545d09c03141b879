//! What is left out of a report unless it is asked for: who sells, where, and the end of every identification number.

use crate::report::WeighedCar;
use crate::report::words::clean;

/// Parts of a name shorter than this are too common to be left out by themselves.
const LEAST_PART: usize = 4;
/// From so many digits on a run of them in the user's own words is a telephone number.
const DIGITS: usize = 7;

/// What is left out, and what stands in its place.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Secrets {
    whole: Vec<(String, String)>,
    parts: Vec<(String, String)>,
    in_force: bool,
}

impl Secrets {
    /// Those of some cars; none with names.
    #[must_use]
    pub fn of(cars: &[WeighedCar<'_>], with_names: bool) -> Self {
        let mut out = Self {
            in_force: !with_names,
            ..Self::default()
        };
        if with_names {
            return out;
        }
        for car in cars {
            let listing = &car.record.listing;
            for (told, instead) in [
                (&listing.seller, "the seller"),
                (&listing.place, "(place left out)"),
            ] {
                let told = clean(told);
                let words = told.split(|c: char| !c.is_alphanumeric());
                out.parts.extend(
                    words
                        .filter(|word| {
                            word.chars().count() >= LEAST_PART
                                && word.chars().next().is_some_and(char::is_uppercase)
                        })
                        .map(|word| (word.to_owned(), instead.to_owned())),
                );
                out.whole.push((told, instead.to_owned()));
            }
            let vins = car.record.papers.vins.iter().map(|read| read.text.clone());
            let own = car.record.particulars.vin.as_ref().map(ToString::to_string);
            for vin in vins.chain(own).map(|vin| clean(&vin)) {
                let split = vin.chars().count().saturating_sub(6);
                let last: String = vin.chars().skip(split).collect();
                let first: String = vin.chars().take(split).collect();
                out.whole.push((last, "······".to_owned()));
                out.whole.push((vin, format!("{first}······")));
            }
        }
        out.whole.retain(|(secret, _)| !secret.trim().is_empty());
        // A secret within another one comes after it.
        out.whole
            .sort_by_key(|(secret, _)| std::cmp::Reverse(secret.len()));
        out
    }

    /// A text without them, cleaned.
    #[must_use]
    pub fn hide(&self, text: &str) -> String {
        let mut text = clean(text);
        for (secret, instead) in &self.whole {
            text = blot(&text, secret, instead);
        }
        text
    }

    /// The user's own words without them, without parts of the names and without telephone numbers.
    #[must_use]
    pub fn hide_in_own_words(&self, text: &str) -> String {
        let mut text = self.hide(text);
        if !self.in_force {
            return text;
        }
        for (secret, instead) in &self.parts {
            text = blot(&text, secret, instead);
        }
        without_numbers(&text)
    }
}

/// A text with a secret replaced wherever it stands as words of its own, in capitals or not.
fn blot(text: &str, secret: &str, instead: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((at, length)) = find(rest, secret) {
        let (before, from) = rest.split_at(at);
        let (found, after) = from.split_at(length);
        let joined = before
            .chars()
            .next_back()
            .is_some_and(char::is_alphanumeric)
            || after.chars().next().is_some_and(char::is_alphanumeric);
        out.push_str(before);
        out.push_str(if joined { found } else { instead });
        rest = after;
    }
    out.push_str(rest);
    out
}

/// Where a secret begins, letters being alike in either case, and how many bytes it takes there.
fn find(text: &str, secret: &str) -> Option<(usize, usize)> {
    let alike =
        |one: char, other: char| one == other || one.to_lowercase().eq(other.to_lowercase());
    text.char_indices().find_map(|(at, _)| {
        let mut there = text.get(at..)?.char_indices();
        let mut length = 0;
        for wanted in secret.chars() {
            let (place, found) = there.next()?;
            if !alike(found, wanted) {
                return None;
            }
            length = place + found.len_utf8();
        }
        (length > 0).then_some((at, length))
    })
}

/// Runs of digits and what stands between the digits of a telephone number, left out; a day as 2026-11-14 stays.
fn without_numbers(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut run = String::new();
    for c in text.chars() {
        let first = run.is_empty();
        let fits = c.is_ascii_digit() || (c == '+' && first) || (!first && " -./()".contains(c));
        if fits {
            run.push(c);
            continue;
        }
        put_run(&mut out, &run);
        run.clear();
        if c == '(' {
            run.push(c);
        } else {
            out.push(c);
        }
    }
    put_run(&mut out, &run);
    out
}

fn put_run(out: &mut String, run: &str) {
    let digits = run.chars().filter(char::is_ascii_digit).count();
    let number = run.trim_end_matches(|c: char| !c.is_ascii_digit());
    if digits < DIGITS || is_day(number) {
        out.push_str(run);
        return;
    }
    out.push_str("(number left out)");
    out.push_str(run.get(number.len()..).unwrap_or_default());
}

fn is_day(text: &str) -> bool {
    let parts: Vec<usize> = text.split('-').map(str::len).collect();
    parts == [4, 2, 2]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hiding(secrets: &[(&str, &str)], parts: &[(&str, &str)]) -> Secrets {
        let owned = |all: &[(&str, &str)]| {
            all.iter()
                .map(|(secret, instead)| ((*secret).to_owned(), (*instead).to_owned()))
                .collect()
        };
        Secrets {
            whole: owned(secrets),
            parts: owned(parts),
            in_force: true,
        }
    }

    #[test]
    fn a_name_is_left_out_in_any_case_but_not_inside_another_word() {
        let secrets = hiding(
            &[("Mrs Pennifold", "the seller")],
            &[("Pennifold", "the seller")],
        );
        assert_eq!(secrets.hide("so MRS PENNIFOLD says"), "so the seller says");
        assert_eq!(secrets.hide("Mrs Pennifoldson"), "Mrs Pennifoldson");
        assert_eq!(secrets.hide("Pennifold"), "Pennifold");
        assert_eq!(secrets.hide_in_own_words("ask Pennifold"), "ask the seller");
    }

    #[test]
    fn a_telephone_number_is_left_out_of_own_words_and_miles_sums_and_days_stay() {
        let secrets = hiding(&[], &[]);
        for number in [
            "555-014-2299",
            "+44 1632 960961",
            "(555) 014 2299",
            "5550142299",
        ] {
            let told = format!("call {number}, evenings");
            assert_eq!(
                secrets.hide_in_own_words(&told),
                "call (number left out), evenings",
                "{number}"
            );
        }
        for fine in [
            "146,200 mi on 2026-11-14",
            "1,850 then 1,750",
            "P0171 at 60 mph",
        ] {
            assert_eq!(secrets.hide_in_own_words(fine), fine);
        }
    }
}
