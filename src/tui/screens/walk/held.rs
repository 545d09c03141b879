//! What the seller holds back, and the text that the copy key takes off the walk: the message that asks for it all, or the check in hand.

use super::{CHECK, FOUND, found, in_hand, plan, stand};
use crate::car::{Answer, Asked, Known};
use crate::engine::held_back::held_back;
use crate::engine::scan;
use crate::engine::unseen::items;
use crate::engine::walkaround::{Plan, State};
use crate::report::unseen;
use crate::tui::app::{App, Effect};
use crate::tui::say;
use crate::tui::screens::Screen;

/// `m`: the seller holds it back (from afar it never came, on the spot it is refused); again takes that back.
pub(super) fn toggle(app: &mut App) -> Vec<Effect> {
    let Some((check, sign)) = in_hand(app) else {
        return Vec::new();
    };
    let (name, id, at) = (sign.name.clone(), check.sign.clone(), app.data.now);
    if check.asked.is_some_and(Asked::held_back) {
        let effects = app.edit(&format!("{}: not held back", say::clip(&name, 30)), |car| {
            if let Some(extras) = car.checks.get_mut(&id) {
                extras.asked = None;
            }
            car.checks
                .retain(|_, extras| *extras != crate::car::CheckExtras::default());
            let not_seen = |answer: Answer| answer == Answer::NotSeen;
            (car.observations).retain(|seen| seen.sign != id || !not_seen(seen.answer));
        });
        app.say(format!("{name}: to come again"));
        return effects;
    }
    let (asked, words) = match plan(app).0 {
        Plan::FromAfar => (Asked::Missing, "never came"),
        _ => (Asked::Refused, "refused"),
    };
    let row = app.views.cursor(Screen::Walk).rows[CHECK];
    let label = format!("{}: {words}", say::clip(&name, 30));
    let mut effects = app.edit(&label, |car| {
        car.checks.entry(id.clone()).or_default().asked = Some(asked);
        if !car.observations.iter().any(|seen| seen.sign == id) {
            scan::set(car, &id, Answer::NotSeen, Known::Seen, at);
        }
    });
    if effects.is_empty() {
        return effects;
    }
    app.views.walk.last = format!("{name}: {words}");
    let told = app
        .data
        .record()
        .map(|car| held_back(car, &app.data.tables).words());
    app.say(told.unwrap_or_default());
    stand(app, row);
    effects.extend(super::answer::go_on_quietly(app));
    effects
}

/// The text of what is in hand: from afar the whole message, else the check, or what was found.
#[must_use]
pub fn lines(app: &App) -> Vec<String> {
    let Some(car) = app.data.record() else {
        return Vec::new();
    };
    if plan(app).0 == Plan::FromAfar {
        let items = items(car, &app.data.tables, app.data.now.date());
        let message = unseen::message(car, &items, None);
        return message.lines().map(str::to_owned).collect();
    }
    if app.views.cursor(Screen::Walk).part == FOUND {
        let words = |(sign, level): (String, usize)| {
            let row = app.data.tables.sign(&sign)?;
            Some(format!("{}: {}", row.name, row.levels.get(level)?))
        };
        return found(app).into_iter().filter_map(words).collect();
    }
    let Some((check, sign)) = in_hand(app) else {
        return Vec::new();
    };
    let mut lines = vec![sign.question.clone()];
    lines.extend((!sign.how.is_empty()).then(|| sign.how.clone()));
    let answer = match (&check.state, check.said) {
        (State::Answered(level), _) => sign.levels.get(*level).cloned(),
        (State::NotSeen, _) => Some("not seen".to_owned()),
        (State::NotFitted, _) => Some("not fitted".to_owned()),
        (_, Some(level)) => (sign.levels.get(level)).map(|words| format!("{words}, they say")),
        _ => None,
    };
    lines.extend(answer.map(|words| format!("answer: {words}")));
    let extras = car.checks.get(&check.sign);
    let typed = extras.and_then(|extras| extras.reading.as_ref());
    lines.extend(typed.map(|reading| format!("measured: {}", reading.typed)));
    let note = extras.map(|extras| extras.note.clone()).unwrap_or_default();
    lines.extend((!note.is_empty()).then(|| format!("note: {note}")));
    lines
}
