//! The faults of one car in words.

use super::page::Page;
use super::sections::mark;
use crate::engine::{FaultFigure, Route, Standing};
use crate::report::{WeighedCar, words};
use std::collections::BTreeMap;

/// Faults told one by one; the rest are summed.
const TOLD: usize = 12;

/// Faults, those that take most first: chance, cash, hours, route, why.
pub(super) fn section(page: &mut Page, car: &WeighedCar<'_>) {
    let mark = mark(car.record);
    let (out, held): (Vec<&FaultFigure>, Vec<&FaultFigure>) = car
        .appraisal
        .faults
        .iter()
        .partition(|fault| fault.standing == Standing::RuledOut);
    // What was seen is always told; the rest only while it is among the first.
    let (told, rest): (Vec<_>, Vec<_>) = held
        .into_iter()
        .enumerate()
        .partition(|(at, fault)| fault.standing == Standing::Seen || *at < TOLD);
    page.heading("Faults, those that take most first");
    if told.is_empty() {
        page.under("None on file.");
    }
    // A sign worked out for one fault has its words for all.
    let signs: BTreeMap<&str, &str> = car
        .appraisal
        .faults
        .iter()
        .flat_map(|fault| &fault.reasons)
        .map(|reason| (reason.id.as_str(), reason.words.as_str()))
        .collect();
    for (_, fault) in &told {
        one(page, fault, &signs, &mark);
    }
    if !rest.is_empty() {
        let takes: f64 = rest.iter().map(|(_, fault)| fault.takes).sum();
        page.item(&format!(
            "{} more at their chance take {} together.",
            words::count(rest.len(), "fault", "faults"),
            words::money(words::as_said(takes), &mark),
        ));
    }
    if !out.is_empty() {
        let names: Vec<String> = out.iter().map(|fault| fault.name.clone()).collect();
        page.item(&format!("Ruled out by you: {}.", words::list(&names)));
    }
    page.blank();
}

fn one(page: &mut Page, fault: &FaultFigure, signs: &BTreeMap<&str, &str>, mark: &str) {
    let standing = match fault.standing {
        Standing::Seen => "seen",
        Standing::Likely => "likely, not proved",
        Standing::Unseen => "not seen",
        Standing::RuledOut => "ruled out",
    };
    page.item(&format!(
        "{}: {}, {standing} ({} in an ordinary car like this)",
        fault.name,
        words::percent(fault.chance),
        words::percent(fault.ordinary),
    ));
    page.under(&cost(fault, mark));
    let because: Vec<&str> = fault
        .because_of
        .iter()
        .map(|id| signs.get(id.as_str()).copied().unwrap_or(id))
        .collect();
    if !because.is_empty() {
        page.under(&format!("Because of: {}.", because.join("; ")));
    }
}

fn cost(fault: &FaultFigure, mark: &str) -> String {
    let (cash_low, cash_high) = (fault.cash.p10, fault.cash.p90);
    let (hours_low, hours_high) = (fault.hours.p10, fault.hours.p90);
    let takes = words::money(words::about(fault.takes), mark);
    let cash = words::money_range(words::about(cash_low), words::about(cash_high), mark);
    let hours = words::hours_range(hours_low, hours_high);
    match fault.route {
        Route::LivedWith => format!("Lived with; takes {takes} off the price."),
        Route::Home => {
            format!("If there: {cash} and {hours}, done at home; takes {takes} off the price.")
        }
        Route::Part => format!(
            "If there: {cash} and {hours}, at home with a garage for part of it; takes {takes} off the price."
        ),
        Route::Garage => format!("If there: {cash} at a garage; takes {takes} off the price."),
    }
}
