//! Buying it unseen, in words: the one message that asks a far-off seller for everything that can be shown from afar, and what came of it.
//!
//! It asks to be shown the car. It speaks of no money at all: nobody is told to send some for a car that they have not seen.

use super::words;
use crate::car::CarRecord;
use crate::engine::held_back::HeldBack;
use crate::engine::unseen::{By, RemoteItem, Standing};

/// Columns of the message.
const WIDTH: usize = 72;

/// What the user should know before buying unseen; it is for them and never in the message.
pub const CAUTION: &str = "Whoever asks for money before you or someone you trust has seen car, seller and title \
together may have none of them. What stays missing counts as not seen, and against how open the seller is.";

/// The message; empty where nothing is left to ask for. Only the signs named, where some are.
#[must_use]
pub fn message(car: &CarRecord, items: &[RemoteItem], only: Option<&[String]>) -> String {
    let wanted = |item: &&RemoteItem| {
        item.standing == Standing::Open && only.is_none_or(|only| only.contains(&item.sign))
    };
    let open: Vec<&RemoteItem> = items.iter().filter(wanted).collect();
    if open.is_empty() {
        return String::new();
    }
    let mut lines = vec![
        greeting(car),
        String::new(),
        opening(car),
        "Answer by number, in any order. What you would rather not show, say so; I count it as not known.".to_owned(),
    ];
    let mut number = 0;
    for by in [By::Words, By::Papers, By::Photo, By::Video, By::Reader] {
        let of: Vec<&&RemoteItem> = open.iter().filter(|item| item.by == by).collect();
        if of.is_empty() {
            continue;
        }
        lines.push(String::new());
        lines.push(heading(by).to_owned());
        let (codes, others): (Vec<&RemoteItem>, Vec<&RemoteItem>) =
            of.into_iter().copied().partition(|item| item.is_code);
        for item in others {
            number += 1;
            lines.push(format!("{number}. {}", item.question));
        }
        if !codes.is_empty() {
            number += 1;
            let names: Vec<&str> = codes.iter().map(|item| item.name.as_str()).collect();
            lines.push(format!(
                "{number}. Every code that is stored or pending; among them: {}",
                names.join("; ")
            ));
        }
    }
    lines.push(String::new());
    lines.push("Thank you.".to_owned());
    lines.iter().map(|line| wrapped(line)).collect()
}

/// A line made safe and wrapped; a number hangs before it.
fn wrapped(line: &str) -> String {
    let hanging = if line.starts_with(|c: char| c.is_ascii_digit()) {
        "   "
    } else {
        ""
    };
    let options = textwrap::Options::new(WIDTH).subsequent_indent(hanging);
    format!("{}\n", textwrap::fill(&words::clean(line), options))
}

fn greeting(car: &CarRecord) -> String {
    let seller = car.listing.seller.trim();
    if seller.is_empty() {
        "Hello,".to_owned()
    } else {
        format!("Hello {seller},")
    }
}

fn opening(car: &CarRecord) -> String {
    let name = if car.name.trim().is_empty() {
        "the car"
    } else {
        car.name.trim()
    };
    format!(
        "About {name}: I am too far away to come and look first, so I would like to see and hear it through you."
    )
}

fn heading(by: By) -> &'static str {
    match by {
        By::Words => "A line each:",
        By::Papers => "A photo of each paper:",
        By::Photo => "A photo each, in daylight; a line where no photo can show it:",
        By::Video => {
            "A recording with sound, from a stone-cold start, then after a drive; nothing that is not safe to do:"
        }
        By::Reader => "If a code reader is at hand, a photo of its screen (clear nothing):",
    }
}

/// How many came, are missing and are open, and what that says of the seller.
#[must_use]
pub fn standing(items: &[RemoteItem], held: &HeldBack) -> String {
    let count = |standing: Standing| {
        items
            .iter()
            .filter(|item| item.standing == standing)
            .count()
    };
    let mut words = format!(
        "{} known, {} missing, {} open of {} that can be shown from afar",
        count(Standing::Arrived),
        count(Standing::Missing),
        count(Standing::Open),
        items.len()
    );
    let told = held.words();
    if !told.is_empty() {
        words.push_str("; ");
        words.push_str(&told);
    }
    words
}
