//! Walk-around: one check in hand, answered with one key; the list beside it says what each did.

mod answer;
mod clock;
mod held;
mod worth;

use super::{Fns, Part, Screen, cars};
use crate::car::{Answer, CarRecord, WalkPlace};
use crate::engine::walkaround::{self, Check, Order, Plan, State};
use crate::trade::SignRow;
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::keys::Act;
use crate::tui::overlay;
pub use answer::{answered, can_cross, can_number, has_level, preview, put, put_reader, weighed};
pub use clock::{has_timer, minutes, remaining, ticks};
pub use held::lines;
use std::collections::BTreeMap;
pub use worth::{Waits, find_out, found_out, go_to, refresh};

/// The check in hand.
pub const CHECK: usize = 0;
/// The list.
pub const LIST: usize = 1;
/// What was found above benign.
pub const FOUND: usize = 2;

/// Plans that the time key steps through, with their words.
pub const PLANS: [(Plan, &str); 4] = [
    (Plan::Quick, "quick list"),
    (Plan::Minutes(60), "60 min"),
    (Plan::Full, "all"),
    (Plan::FromAfar, "from afar"),
];

/// What this sitting adds to the walk.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WalkView {
    /// The last answer, in words.
    pub last: String,
    /// How much each answer of this sitting moved the limit, by car and sign.
    pub moved: BTreeMap<(String, String), f64>,
    /// The answer whose movement is still being worked out: car, sign, limit before.
    pub waiting: Option<(String, String, f64)>,
    /// When the clock was last looked at on this screen.
    pub since: Option<jiff::civil::DateTime>,
    /// Orders of worth, best first, each check with its figure, by car. Empty until they are reckoned.
    pub worth: BTreeMap<String, Vec<(String, f64)>>,
    /// The car whose order is waited for, and what for.
    pub waits: Option<(String, Waits)>,
    /// What each check tells of, by car and sign, as reckoned with the order.
    pub because: BTreeMap<(String, String), String>,
}

/// Place of the full list in [`PLANS`].
const FULL: u8 = 2;

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why,
    first_focus,
};

/// Where the walk of the car in hand stands.
#[must_use]
pub fn place(app: &App) -> WalkPlace {
    let walk = app.data.car().and_then(|car| car.file.walk.clone());
    walk.unwrap_or_default()
}

/// Plan and its words.
#[must_use]
pub fn plan(app: &App) -> (Plan, &'static str) {
    PLANS
        .get(usize::from(place(app).plan))
        .copied()
        .unwrap_or(PLANS[0])
}

/// The order of worth of the car in hand, if it is reckoned and asked for.
fn worth_order(app: &App) -> Option<&Vec<(String, f64)>> {
    let hand = app.data.hand.as_ref()?;
    let order = app.views.walk.worth.get(hand)?;
    (place(app).by_worth && !order.is_empty()).then_some(order)
}

/// The order in words.
#[must_use]
pub fn order_words(app: &App) -> &'static str {
    if worth_order(app).is_some() {
        "most worth knowing"
    } else {
        "walking order"
    }
}

/// The checks of the plan, in order, with their states.
#[must_use]
pub fn checks(app: &App) -> Vec<Check> {
    let Some(car) = app.data.record() else {
        return Vec::new();
    };
    let order = worth_order(app).map_or(Order::Walking, |order| Order::Given(order));
    walkaround::walk_for(
        car,
        Some(&app.data.buyer),
        &app.data.tables,
        plan(app).0,
        order,
        app.data.now.date(),
    )
}

/// The check in hand and its row of the signs table.
#[must_use]
pub fn in_hand(app: &App) -> Option<(Check, &SignRow)> {
    let row = app.views.cursor(Screen::Walk).rows[CHECK];
    let check = checks(app).into_iter().nth(row)?;
    let sign = app.data.tables.sign(&check.sign)?;
    Some((check, sign))
}

/// Signs above benign, in the order of the walk.
#[must_use]
pub fn found(app: &App) -> Vec<(String, usize)> {
    let above = checks(app)
        .into_iter()
        .filter_map(|check| match check.state {
            State::Answered(level) if level > 0 => Some((check.sign, level)),
            // Told and not looked at yet.
            _ => check
                .said
                .filter(|level| *level > 0)
                .map(|level| (check.sign, level)),
        });
    above.collect()
}

fn parts(app: &App) -> Vec<Part> {
    let checks = checks(app);
    let left = checks
        .iter()
        .filter(|check| check.state.is_to_come())
        .count();
    let found = checks
        .iter()
        .filter(|check| {
            matches!(check.state, State::Answered(level) if level > 0)
                || check.said.is_some_and(|level| level > 0)
        })
        .count();
    vec![
        Part::new("Check", String::new(), checks.len()),
        Part::new("List", format!("{left} to come"), checks.len()),
        Part::new("Found", found.to_string(), found),
    ]
}

/// Stands where it was left, else on the first check to come.
fn first_focus(app: &mut App) {
    let checks = checks(app);
    let kept = place(app).sign;
    let left = checks.iter().position(|check| check.sign == kept);
    let row = left.or_else(|| walkaround::next_to_come(&checks, 0));
    stand(app, row.unwrap_or(0));
    app.views.cursor_mut(Screen::Walk).part = CHECK;
    clock::resume(app);
}

/// What the check in hand tells of, where the order of worth was reckoned.
#[must_use]
pub fn because<'a>(app: &'a App, sign: &str) -> Option<&'a str> {
    let hand = app.data.hand.clone()?;
    let key = (hand, sign.to_owned());
    app.views.walk.because.get(&key).map(String::as_str)
}

/// Stands on a check: the check and the list are one row.
pub(super) fn stand(app: &mut App, row: usize) {
    let cursor = app.views.cursor_mut(Screen::Walk);
    cursor.rows[CHECK] = row;
    cursor.rows[LIST] = row;
}

/// After the cursor was moved in one part, the others follow; a finding leads to its check.
pub fn came_to(app: &mut App) {
    let cursor = app.views.cursor(Screen::Walk);
    if cursor.part == FOUND {
        let sign = found(app).get(cursor.row()).map(|(sign, _)| sign.clone());
        let at = sign.and_then(|sign| checks(app).iter().position(|check| check.sign == sign));
        if let Some(at) = at {
            stand(app, at);
        }
    } else {
        stand(app, cursor.row());
    }
}

/// After an act was taken back or done again: stands on the check whose answer changed.
pub fn stand_on_change(app: &mut App, before: &CarRecord) {
    let Some(after) = app.data.record() else {
        return;
    };
    let answer = |car: &CarRecord, sign: &str| {
        let seen = car.observations.iter().find(|seen| seen.sign == sign);
        (seen.cloned(), car.checks.get(sign).cloned())
    };
    let both = before.observations.iter().chain(&after.observations);
    let signs: Vec<String> = both.map(|seen| seen.sign.clone()).collect();
    let changed = signs
        .into_iter()
        .find(|sign| answer(before, sign) != answer(after, sign));
    let checks = checks(app);
    let at = changed.and_then(|sign| checks.iter().position(|check| check.sign == sign));
    if let Some(at) = at {
        stand(app, at);
    }
}

/// Keeps where the walk stands in the car's file: no step of its own, so that taking back goes by answers.
pub(super) fn keep_place(app: &mut App, change: impl FnOnce(&mut WalkPlace)) -> Vec<Effect> {
    if app.read_only() {
        return Vec::new();
    }
    let Some(slug) = app.data.hand.clone() else {
        return Vec::new();
    };
    let Some(entry) = app.data.entry_mut(&slug) else {
        return Vec::new();
    };
    if entry.error.is_some() {
        return Vec::new();
    }
    let mut place = entry.file.walk.clone().unwrap_or_default();
    change(&mut place);
    if entry.file.walk.as_ref() == Some(&place) {
        return Vec::new();
    }
    entry.file.walk = Some(place);
    vec![Effect::Save(slug)]
}

/// Keeps the check in hand as the place to come back to.
pub(super) fn keep_sign(app: &mut App) -> Vec<Effect> {
    let sign = in_hand(app)
        .map(|(check, _)| check.sign)
        .unwrap_or_default();
    keep_place(app, |place| place.sign = sign)
}

fn why(app: &App) -> Option<String> {
    if app.hidden {
        return None;
    }
    let figures = app.data.figures()?;
    let sign = in_hand(app)?.0.sign;
    let fault = figures
        .faults
        .iter()
        .find(|fault| fault.because_of.contains(&sign));
    let id = fault.map_or(&figures.unseen.trace_id, |fault| &fault.trace_id);
    figures.trace.nodes.contains_key(id).then(|| id.clone())
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    let mut effects = clock::tick(app);
    effects.extend(match act {
        Act::Digit(0) => answer::give(app, Answer::NotSeen),
        Act::Digit(digit) => answer::give(app, Answer::Level(usize::from(digit) - 1)),
        Act::Cross => answer::cross(app),
        Act::Skip => step(app, true),
        Act::CheckBefore => step(app, false),
        Act::Number => answer::number(app),
        Act::Open => clock::start(app),
        Act::TimePlan => time_plan(app),
        Act::Order => worth::order(app),
        Act::Proof => answer::proof(app),
        Act::HeldBack => held::toggle(app),
        Act::Add => overlay::open_picker(app, None),
        Act::Note => match in_hand(app) {
            Some((check, _)) => cars::form(app, Purpose::CheckNote(check.sign)),
            None => Vec::new(),
        },
        _ => Vec::new(),
    });
    effects
}

/// The next check that is still to come, or the one before in the list.
fn step(app: &mut App, on: bool) -> Vec<Effect> {
    let row = app.views.cursor(Screen::Walk).rows[CHECK];
    let next = if on {
        let checks = checks(app);
        let next = walkaround::next_to_come(&checks, (row + 1) % checks.len().max(1));
        next.unwrap_or(row)
    } else {
        row.saturating_sub(1)
    };
    stand(app, next);
    let mut effects = keep_sign(app);
    if on {
        effects.extend(answer::open_field(app));
    }
    effects
}

fn time_plan(app: &mut App) -> Vec<Effect> {
    let hand = in_hand(app).map(|(check, _)| check.sign);
    let effects = keep_place(app, |place| {
        let count = u8::try_from(PLANS.len()).unwrap_or(1);
        place.plan = (place.plan + 1) % count;
    });
    stand_again(app, hand.as_deref());
    let checks = checks(app);
    let minutes = checks
        .iter()
        .map(|check| check.seconds)
        .sum::<u32>()
        .div_ceil(60);
    app.say(format!(
        "{}: {} checks, about {minutes} minutes",
        plan(app).1,
        checks.len()
    ));
    effects
}

/// Stands on the same check in another list, else on the first to come.
fn stand_again(app: &mut App, sign: Option<&str>) {
    let checks = checks(app);
    let same = checks
        .iter()
        .position(|check| Some(check.sign.as_str()) == sign);
    let row = same.or_else(|| walkaround::next_to_come(&checks, 0));
    stand(app, row.unwrap_or(0));
}
