//! The triangle of cheap, reliable and fast: place, order, words. Scales are the chances themselves, never taken from the cars at hand.
//!
//! Corners: cheap (0, 0), fast (1, 0), reliable (½, √3/2). A place is the three chances as shares of their sum, so it shows balance.

use super::figures::ThreeChances;
use crate::trade::settings::PaceSettings;
use serde::Serialize;

/// Height of the reliable corner.
const TOP: f64 = 0.866_025_403_784_438_6;

/// Place in the plane of the triangle, base 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// From the cheap corner towards the fast one.
    pub x: f64,
    /// From the base towards the reliable corner.
    pub y: f64,
}

/// Shares of cheap, fast and reliable, in the order of the corners; they add up to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shares {
    /// Of the corner (0, 0).
    pub cheap: f64,
    /// Of the corner (1, 0).
    pub fast: f64,
    /// Of the corner (½, √3/2).
    pub reliable: f64,
}

impl Shares {
    /// Where these shares stand (barycentric coordinates).
    #[must_use]
    pub fn place(self) -> Place {
        Place {
            x: self.fast + 0.5 * self.reliable,
            y: TOP * self.reliable,
        }
    }

    /// The shares of a place; under zero outside the triangle.
    #[must_use]
    pub fn at(place: Place) -> Self {
        let reliable = place.y / TOP;
        let fast = place.x - 0.5 * reliable;
        Self {
            cheap: 1.0 - fast - reliable,
            fast,
            reliable,
        }
    }

    /// The nearest shares (in share space) that are not under zero and add up to 1: sort, find the shift that leaves a sum of 1, cut at
    /// zero (Duchi, Shalev-Shwartz, Singer & Chandra 2008, ICML).
    #[must_use]
    pub fn brought_inside(self) -> Self {
        let mut falling = [self.cheap, self.fast, self.reliable];
        falling.sort_by(|a, b| b.total_cmp(a));
        let mut sum = 0.0;
        let mut shift = 0.0;
        for (share, count) in falling.into_iter().zip([1.0, 2.0, 3.0]) {
            sum += share;
            let tried = (sum - 1.0) / count;
            if share - tried > 0.0 {
                shift = tried;
            }
        }
        let cut = |share: f64| (share - shift).max(0.0);
        Self {
            cheap: cut(self.cheap),
            fast: cut(self.fast),
            reliable: cut(self.reliable),
        }
    }
}

/// Where a car stands; `None` while a chance is unknown, or when all three are nought and there is no balance to show.
#[must_use]
pub fn place(chances: &ThreeChances) -> Option<Place> {
    let (cheap, fast, reliable) = (chances.cheap?, chances.fast?, chances.reliable?);
    let sum = cheap + fast + reliable;
    let sound = sum > 1e-9 && sum.is_finite();
    sound.then(|| {
        let shares = Shares {
            cheap: cheap / sum,
            fast: fast / sum,
            reliable: reliable / sum,
        };
        shares.brought_inside().place()
    })
}

/// True if the first car is at least as good in every chance and better in one. An unknown chance compares with nothing.
#[must_use]
pub fn dominates(first: &ThreeChances, second: &ThreeChances) -> bool {
    let pairs = [
        (first.cheap, second.cheap),
        (first.reliable, second.reliable),
        (first.fast, second.fast),
    ];
    let mut better = false;
    for (ours, theirs) in pairs {
        let (Some(ours), Some(theirs)) = (ours, theirs) else {
            return false;
        };
        if ours < theirs {
            return false;
        }
        better |= ours > theirs;
    }
    better
}

/// The three chances with their words, in the order spoken.
fn named(chances: &ThreeChances) -> [(&'static str, Option<f64>); 3] {
    [
        ("cheap", chances.cheap),
        ("reliable", chances.reliable),
        ("fast", chances.fast),
    ]
}

/// Corners the car offers: chance at or over the settings' mark.
#[must_use]
pub fn offers(chances: &ThreeChances, settings: &PaceSettings) -> Vec<String> {
    named(chances)
        .into_iter()
        .filter(|(_, chance)| chance.is_some_and(|c| c >= settings.offered_from))
        .map(|(word, _)| word.to_owned())
        .collect()
}

/// In words: `cheap and reliable, not fast`, `cheap, fairly reliable, fast not known`.
#[must_use]
pub fn words(chances: &ThreeChances, settings: &PaceSettings) -> String {
    let mut offered = Vec::new();
    let mut fairly = Vec::new();
    let mut not = Vec::new();
    let mut unknown = Vec::new();
    for (word, chance) in named(chances) {
        match chance {
            None => unknown.push(word),
            Some(c) if c >= settings.offered_from => offered.push(word),
            Some(c) if c >= settings.fairly_from => fairly.push(word),
            Some(_) => not.push(word),
        }
    }
    let mut parts = Vec::new();
    if !offered.is_empty() {
        parts.push(listed(&offered, " and "));
    }
    if !fairly.is_empty() {
        parts.push(format!("fairly {}", listed(&fairly, " and ")));
    }
    match (parts.is_empty(), not.as_slice()) {
        (_, []) => {}
        (true, [one]) => parts.push(format!("not {one}")),
        (true, [one, two]) => parts.push(format!("neither {one} nor {two}")),
        (true, several) => parts.push(format!("neither {}", listed(several, " nor "))),
        (false, several) => parts.push(format!("not {}", listed(several, " or "))),
    }
    if !unknown.is_empty() {
        parts.push(format!("{} not known", listed(&unknown, " and ")));
    }
    parts.join(", ")
}

/// `a`, `a and b`, `a, b and c`.
fn listed(words: &[&str], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., end] => format!("{}{last}{end}", first.join(", ")),
    }
}
