//! You: purpose, money, time, house rules, skill, tools, wishes. Every change reprices all cars.

use super::{Fns, Part, Screen, cars};
use crate::car::{RuleSet, System, WishKind};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::keys::Act;
use crate::tui::say;

/// What the car is for.
pub const PURPOSE: usize = 0;
/// Money.
pub const MONEY: usize = 1;
/// Time.
pub const TIME: usize = 2;
/// House rules.
pub const RULES: usize = 3;
/// Skill.
pub const SKILL: usize = 4;
/// Tools.
pub const TOOLS: usize = 5;
/// Must-haves, nice-to-haves, nevers.
pub const WISHES: usize = 6;

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why,
    first_focus,
};

/// The first part never set, else where the user left.
fn first_focus(app: &mut App) {
    let touched = &app.data.buyer.touched;
    let first = [
        (PURPOSE, "purpose"),
        (MONEY, "wallet"),
        (SKILL, "skill"),
        (TOOLS, "tools"),
    ]
    .into_iter()
    .find(|(_, field)| !touched.contains(*field));
    if let Some((part, _)) = first {
        app.views.cursor_mut(Screen::You).part = part;
    }
}

fn parts(app: &App) -> Vec<Part> {
    let buyer = &app.data.buyer;
    let purpose = app.data.tables.purpose(&buyer.purpose);
    let wallet = buyer.wallet.map_or_else(
        || "wallet not set".to_owned(),
        |wallet| format!("wallet {}", say::money(wallet)),
    );
    let rules = buyer.house_rules.as_ref().map_or_else(
        || "none".to_owned(),
        |rules| format!("cap {}", say::money(rules.cap)),
    );
    vec![
        Part::new(
            "Purpose",
            purpose.map_or_else(|| buyer.purpose.clone(), |row| row.name.clone()),
            2,
        ),
        Part::new("Money", wallet, 8),
        Part::new(
            "Time",
            format!("{} h a week", say::hours(buyer.hours_a_week)),
            3,
        ),
        Part::new("House rules", rules, 7),
        Part::new(
            "Skill",
            "1 never did, 5 teach it".to_owned(),
            System::ALL.len(),
        ),
        Part::new(
            "Tools",
            format!("{} of {}", owned(app), app.data.tables.tools.len()),
            app.data.tables.tools.len(),
        ),
        Part::new("Wishes", buyer.wishes.len().to_string(), buyer.wishes.len()),
    ]
}

/// Tools of the table that are at hand.
#[must_use]
pub fn owned(app: &App) -> usize {
    let tools = &app.data.tables.tools;
    tools
        .iter()
        .filter(|tool| app.data.buyer.tools.contains(&tool.id))
        .count()
}

fn at(app: &App) -> (usize, usize) {
    let cursor = app.views.cursor(Screen::You);
    (cursor.part, cursor.row())
}

/// True on a skill.
#[must_use]
pub fn on_skill(app: &App) -> bool {
    at(app).0 == SKILL
}

/// True on a tool or a wish.
#[must_use]
pub fn can_tick(app: &App) -> bool {
    match at(app) {
        (TOOLS, row) => row < app.data.tables.tools.len(),
        (WISHES, row) => row < app.data.buyer.wishes.len(),
        _ => false,
    }
}

/// True where `e` edits something.
#[must_use]
pub fn can_edit(app: &App) -> bool {
    match at(app) {
        (MONEY | TIME | RULES, _) => true,
        (WISHES, row) => row < app.data.buyer.wishes.len(),
        _ => false,
    }
}

/// Row of the rule set in the part of the purpose.
pub const LIMITS: usize = 1;

/// Whose limits readings are held against, in words.
#[must_use]
pub fn rule_set(app: &App) -> &'static str {
    app.data.buyer.rule_set.unwrap_or(RuleSet::Us).shown()
}

fn next_rule_set(app: &mut App) -> Vec<Effect> {
    let now = app.data.buyer.rule_set.unwrap_or(RuleSet::Us);
    let at = RuleSet::ALL.iter().position(|set| *set == now);
    let next = at.map_or(0, |at| (at + 1) % RuleSet::ALL.len());
    let next = RuleSet::ALL.get(next).copied().unwrap_or(now);
    app.edit_buyer(&format!("limits: {}", next.shown()), |buyer| {
        buyer.rule_set = Some(next);
        buyer.touched.insert("rule_set".to_owned());
    })
}

/// True with another purpose in the table.
#[must_use]
pub fn can_step_purpose(app: &App) -> bool {
    app.data.tables.purposes.len() > 1
}

/// True where `a` adds a wish.
#[must_use]
pub fn can_add(app: &App) -> bool {
    at(app).0 == WISHES
}

/// True where `d` removes something.
#[must_use]
pub fn can_remove(app: &App) -> bool {
    match at(app) {
        (RULES, _) => app.data.buyer.house_rules.is_some(),
        (WISHES, row) => row < app.data.buyer.wishes.len(),
        _ => false,
    }
}

fn why(app: &App) -> Option<String> {
    let figures = app.data.figures()?;
    let id = &figures.limit.trace_id;
    figures.trace.nodes.contains_key(id).then(|| id.clone())
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    let (part, row) = at(app);
    match act {
        Act::Digit(level @ 1..=5) => skill(app, row, level),
        Act::Cross if part == TOOLS => tool(app, row),
        Act::Cross => kind_of_wish(app, row),
        Act::Other if (part, row) == (PURPOSE, LIMITS) => next_rule_set(app),
        Act::Other => next_purpose(app),
        Act::Add => cars::form(app, Purpose::Wish(None)),
        Act::Edit => match part {
            MONEY => cars::form(app, Purpose::BuyerMoney),
            TIME => cars::form(app, Purpose::BuyerTime),
            RULES => cars::form(app, Purpose::HouseRules),
            WISHES => cars::form(app, Purpose::Wish(Some(row))),
            _ => Vec::new(),
        },
        Act::Remove if part == RULES => {
            app.edit_buyer("house rules removed", |buyer| buyer.house_rules = None)
        }
        Act::Remove => app.edit_buyer("wish removed", |buyer| {
            if row < buyer.wishes.len() {
                buyer.wishes.remove(row);
            }
        }),
        _ => Vec::new(),
    }
}

fn skill(app: &mut App, row: usize, level: u8) -> Vec<Effect> {
    let Some(system) = System::ALL.get(row).copied() else {
        return Vec::new();
    };
    let effects = app.edit_buyer(&format!("skill, {}: {level}", system.shown()), |buyer| {
        buyer.skill.insert(system, level);
        buyer.touched.insert("skill".to_owned());
    });
    let cursor = app.views.cursor_mut(Screen::You);
    cursor.set_row((row + 1).min(System::ALL.len() - 1));
    effects
}

fn tool(app: &mut App, row: usize) -> Vec<Effect> {
    let Some(tool) = app.data.tables.tools.get(row) else {
        return Vec::new();
    };
    let (id, name) = (tool.id.clone(), tool.name.clone());
    app.edit_buyer(&format!("tool: {name}"), |buyer| {
        if !buyer.tools.remove(&id) {
            buyer.tools.insert(id.clone());
        }
        buyer.touched.insert("tools".to_owned());
    })
}

fn kind_of_wish(app: &mut App, row: usize) -> Vec<Effect> {
    app.edit_buyer("kind of wish", |buyer| {
        if let Some(wish) = buyer.wishes.get_mut(row) {
            wish.kind = match wish.kind {
                WishKind::MustHave => WishKind::NiceToHave,
                WishKind::NiceToHave => WishKind::Never,
                WishKind::Never => WishKind::MustHave,
            };
        }
    })
}

/// The next purpose of the table, for all cars.
pub fn next_purpose(app: &mut App) -> Vec<Effect> {
    let purposes = &app.data.tables.purposes;
    let at = purposes
        .iter()
        .position(|row| row.id == app.data.buyer.purpose);
    let next = at.map_or(0, |at| (at + 1) % purposes.len().max(1));
    let Some((id, name)) = purposes
        .get(next)
        .map(|row| (row.id.clone(), row.name.clone()))
    else {
        return Vec::new();
    };
    app.edit_buyer(&format!("purpose: {name}"), |buyer| {
        buyer.purpose = id;
        buyer.touched.insert("purpose".to_owned());
    })
}
