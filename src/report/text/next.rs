//! What to find out next, as text.

use super::Style;
use super::page::Page;
use crate::car::Money;
use crate::engine::find_out::{FindOut, FindOutFigure};
use crate::engine::held_back::HeldBack;
use crate::engine::unseen::{RemoteItem, Standing};
use crate::report::words;

/// Checks that are shown; the JSON has all.
const SHOWN: usize = 12;

/// The checks most worth their minutes, the best first.
#[must_use]
pub fn next(name: &str, found: &FindOut, style: Style) -> String {
    let mut page = Page::new(style);
    page.title(&format!("What to find out next: {name}"));
    if let Some(limit) = found.limit_now {
        page.labelled("limit as it stands", &money(limit));
    }
    if let Some(words) = &found.words {
        page.paragraph(words);
    }
    let open = found.checks.iter().filter(|one| one.blocked_by.is_none());
    let worth = |one: &&FindOutFigure| one.net > 0.0 || one.most >= 1.0;
    for one in open.filter(worth).take(SHOWN) {
        page.blank();
        check(&mut page, one);
    }
    let mut blocked = found.checks.iter().filter(|one| one.blocked_by.is_some());
    let first: Vec<&FindOutFigure> = blocked.by_ref().take(3).collect();
    if !first.is_empty() {
        page.blank();
        page.heading("Not to be done as things stand");
        for one in first {
            let why = one.blocked_by.as_deref().unwrap_or_default();
            page.item(&format!("{}: {why}", one.name));
        }
        let more = blocked.count();
        if more > 0 {
            page.under(&format!("and {more} more for the like reasons"));
        }
    }
    page.finish()
}

/// For the user alone: what came from afar, what is missing, and the caution that goes with buying unseen.
#[must_use]
pub fn unseen(items: &[RemoteItem], held: &HeldBack, style: Style) -> String {
    let mut page = Page::new(style);
    page.heading("From afar, for you alone");
    page.under(&crate::report::unseen::standing(items, held));
    let missing = items
        .iter()
        .filter(|item| item.standing == Standing::Missing);
    for item in missing {
        page.item(&format!("missing: {}", item.name));
    }
    page.under(crate::report::unseen::CAUTION);
    page.finish()
}

fn money(amount: Money) -> String {
    words::money(words::units(amount), "")
}

fn check(page: &mut Page, one: &FindOutFigure) {
    let minutes = if one.minutes < 1.0 {
        "under a minute".to_owned()
    } else {
        format!("{:.0} min", one.minutes.ceil())
    };
    page.heading(&format!("{}, {minutes}", one.name));
    page.under(&format!(
        "worth knowing about {:.0}, could move your limit by about {:.0} either way",
        one.value + one.proof,
        one.most
    ));
    page.under(&one.because);
    if let Some(ask) = &one.ask {
        page.under(&format!("Ask first: “{ask}”"));
    }
    for outcome in &one.outcomes {
        let stop = if outcome.stops { ", STOP" } else { "" };
        let limit = outcome.limit.map_or_else(String::new, |limit| {
            format!(", then the limit is {}", money(limit))
        });
        let chance = words::percent(outcome.chance);
        page.item(&format!("{}: {chance}{limit}{stop}", outcome.words));
    }
}
