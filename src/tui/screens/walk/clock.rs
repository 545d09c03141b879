//! The clock of the walk and the timers of single checks. Time comes from outside; nothing here reads a clock.

use super::{in_hand, keep_place, place};
use crate::tui::app::{App, Effect};
use crate::tui::screens::Screen;
use jiff::civil::DateTime;

/// Longest pause between two acts that still counts as walking, seconds: after it the phone was in a pocket.
const LONGEST_PAUSE: i64 = 900;

fn seconds_between(from: DateTime, to: DateTime) -> i64 {
    to.duration_since(from).as_secs()
}

/// Coming to the screen starts the clock again.
pub(super) fn resume(app: &mut App) {
    app.views.walk.since = Some(app.data.now);
}

/// Counts the time since the last act, once something was answered.
pub(super) fn tick(app: &mut App) -> Vec<Effect> {
    let now = app.data.now;
    let since = app.views.walk.since.replace(now);
    let started = app
        .data
        .record()
        .is_some_and(|car| !car.observations.is_empty());
    let passed = since.map_or(0, |since| seconds_between(since, now));
    if !started || passed <= 0 {
        return Vec::new();
    }
    let passed = u32::try_from(passed.min(LONGEST_PAUSE)).unwrap_or(0);
    keep_place(app, |place| {
        place.seconds = place.seconds.saturating_add(passed);
    })
}

/// Whole minutes walked.
#[must_use]
pub fn minutes(app: &App) -> u32 {
    place(app).seconds / 60
}

/// True where the check in hand has a timer.
#[must_use]
pub fn has_timer(app: &App) -> bool {
    in_hand(app).is_some_and(|(_, sign)| sign.timer_seconds > 0)
}

/// Starts the timer of the check in hand; running, it starts again.
pub(super) fn start(app: &mut App) -> Vec<Effect> {
    let Some((check, sign)) = in_hand(app) else {
        return Vec::new();
    };
    let seconds = sign.timer_seconds;
    let now = app.data.now;
    let effects = keep_place(app, |place| {
        place.timers.insert(check.sign, now);
    });
    app.say(format!("{} from now", spell(i64::from(seconds))));
    effects
}

/// Seconds left of a check's timer; `None` where none was started or it ran out long ago.
#[must_use]
pub fn remaining(app: &App, sign: &str) -> Option<i64> {
    let started = *place(app).timers.get(sign)?;
    let whole = i64::from(app.data.tables.sign(sign)?.timer_seconds);
    let gone = seconds_between(started, app.data.now);
    (gone < whole + LONGEST_PAUSE).then_some(whole - gone)
}

/// Seconds as `0:42` or `10 min`.
#[must_use]
pub fn spell(seconds: i64) -> String {
    if seconds >= 600 && seconds % 60 == 0 {
        return format!("{} min", seconds / 60);
    }
    format!("{}:{:02}", seconds.max(0) / 60, seconds.max(0) % 60)
}

/// True while a timer runs in sight: then the screen is drawn every second.
#[must_use]
pub fn ticks(app: &App) -> bool {
    app.screen == Screen::Walk
        && place(app)
            .timers
            .keys()
            .any(|sign| remaining(app, sign).is_some_and(|left| left >= 0))
}
