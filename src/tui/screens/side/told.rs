//! What is said of the marked cars, sentence by sentence: each can be stood on.

use super::{SETTLE, figures, marked, preferred};
use crate::report::side as words;
use crate::tui::app::App;
use crate::tui::say;
use crate::tui::screens::{Screen, cars};

/// Letter of a compared car.
fn letter(app: &App, at: usize) -> String {
    let compared = app.data.compared.as_deref();
    let slug = compared.and_then(|compared| compared.cars.get(at));
    let mark = slug.and_then(|car| cars::mark(app, &car.slug));
    mark.unwrap_or('?').to_string()
}

/// What would settle it: the check that would swap the order, the weight that would, and what to say.
#[must_use]
pub fn settle(app: &App) -> Vec<String> {
    let Some(compared) = app.data.compared.as_deref() else {
        return Vec::new();
    };
    let name = |at: usize| letter(app, at);
    let mut out = match &compared.swap {
        Some(check) => words::swap_check(check, &name),
        None => vec!["No one check is worth its minutes and would swap the order.".to_owned()],
    };
    out.extend(compared.words.iter().cloned());
    out
}

/// True on what is said of the check that would swap the order.
pub fn on_swap(app: &App) -> bool {
    let cursor = app.views.cursor(Screen::Side);
    let compared = app.data.compared.as_deref();
    let swap = compared.and_then(|compared| compared.swap.as_ref());
    let name = |at: usize| letter(app, at);
    let lines = swap.map_or(0, |check| words::swap_check(check, &name).len());
    cursor.part == SETTLE && cursor.row() < lines
}

/// What each car offers, the order by the weights in hand, how often each takes each rank over all weights.
#[must_use]
pub fn balance(app: &App) -> Vec<String> {
    let mut out: Vec<String> = marked(app)
        .into_iter()
        .filter_map(|car| {
            let mark = cars::mark(app, &car.slug)?;
            Some(format!("{mark}  {}", figures(app, car)?.chances.words))
        })
        .collect();
    let Some(preferred) = preferred(app) else {
        return out;
    };
    let name = |at: usize| letter(app, at);
    out.extend(words::preference(&preferred, &name));
    if preferred.order.len() > 1 && !preferred.corners.is_empty() {
        for (at, car) in preferred.cars.iter().enumerate() {
            if !car.ranks.is_empty() {
                out.push(format!("{}  {}", name(at), words::ranks(&car.ranks)));
            }
        }
        out.push("+ is your weights: the nearer a corner, the more it weighs.".to_owned());
    }
    out
}

/// The order by the weights in hand, in one sentence.
pub fn order(app: &App) -> Option<String> {
    let preferred = preferred(app)?;
    let order: Vec<String> = preferred.order.iter().map(|at| letter(app, *at)).collect();
    let weights = words::weights(preferred.weights, &preferred.corners);
    (!order.is_empty()).then(|| format!("{weights}: {}", order.join(", then ")))
}

/// One car over another: letters, and the share of shared draws.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Letter of the car that is ahead.
    pub over: String,
    /// Letter of the other.
    pub under: String,
    /// Share of draws.
    pub share: f64,
}

/// Who beats whom, each pair once.
#[must_use]
pub fn pairs(app: &App) -> Vec<Pair> {
    let Some(compared) = app.data.compared.as_deref() else {
        return Vec::new();
    };
    let count = compared.cars.len();
    let share = |row: usize, column: usize| {
        let wins = compared.wins.get(row).and_then(|wins| wins.get(column));
        wins.copied()
    };
    let mut out = Vec::new();
    for row in 0..count {
        for column in row + 1..count {
            let (Some(ahead), Some(back)) = (share(row, column), share(column, row)) else {
                continue;
            };
            let (over, under, share) = if ahead >= back {
                (row, column, ahead)
            } else {
                (column, row, back)
            };
            out.push(Pair {
                over: letter(app, over),
                under: letter(app, under),
                share,
            });
        }
    }
    out
}

/// What else is said of who beats whom: regret and dominance.
#[must_use]
pub fn beaten(app: &App) -> Vec<String> {
    let Some(compared) = app.data.compared.as_deref() else {
        return Vec::new();
    };
    let name = |at: usize| letter(app, at);
    let regrets: Vec<String> = (compared.regret.iter().enumerate())
        .filter(|(at, _)| {
            let car = compared.cars.get(*at);
            car.is_some_and(|car| car.appraisal.worth.is_some())
        })
        .map(|(at, loss)| format!("{} {}", name(at), say::whole(*loss)))
        .collect();
    let mut out = Vec::new();
    if !regrets.is_empty() {
        out.push(format!(
            "Taken blindly, each costs against the best of each draw: {}.",
            regrets.join(", ")
        ));
    }
    out.extend(words::dominance(compared, &name));
    out
}
