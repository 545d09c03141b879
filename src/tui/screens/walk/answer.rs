//! Answers: one key each, the cursor goes on by itself; a number in a field of its own.

use super::{checks, in_hand, keep_sign, plan, stand};
use crate::car::obd::ReaderText;
use crate::car::{Answer, Asked, Known};
use crate::engine::readings::{Yardstick, read_typed_for};
use crate::engine::scan;
use crate::engine::unseen;
use crate::engine::walkaround::{Plan, State, next_to_come};
use crate::report::readings as words;
use crate::trade::{SignKind, SignRow};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::overlay::{Overlay, StopNotice};
use crate::tui::say;
use crate::tui::screens::{Screen, cars};

/// What is said at the end.
pub const NOTHING_LEFT: &str =
    "Nothing left on this list. Write down the three worst alone, then g m.";

/// True where the check in hand has so many answers and can be answered.
#[must_use]
pub fn has_level(app: &App, level: usize) -> bool {
    in_hand(app).is_some_and(|(check, sign)| {
        level < sign.levels.len() && !matches!(check.state, State::Withdrawn(_))
    })
}

/// True where `x` crosses: not fitted, or a danger or a stop waived in words.
#[must_use]
pub fn can_cross(app: &App) -> bool {
    in_hand(app).is_some()
}

/// True where a number can be typed.
#[must_use]
pub fn can_number(app: &App) -> bool {
    in_hand(app).is_some_and(|(check, sign)| {
        sign.reading.is_some() && !matches!(check.state, State::Withdrawn(_))
    })
}

/// True where the check in hand is answered.
#[must_use]
pub fn answered(app: &App) -> bool {
    in_hand(app).is_some_and(|(check, _)| {
        let answered = matches!(
            check.state,
            State::Answered(_) | State::NotSeen | State::NotFitted
        );
        answered || check.said.is_some()
    })
}

/// How a sign is known when it is answered here.
fn known(sign: &SignRow) -> Known {
    match sign.kind {
        SignKind::Paper => Known::Paper,
        _ if sign.stage == "questions" => Known::Said,
        _ => Known::Seen,
    }
}

/// Puts an answer on file and goes on; a stop shows its notice.
pub(super) fn give(app: &mut App, answer: Answer) -> Vec<Effect> {
    let Some((check, sign)) = in_hand(app) else {
        return Vec::new();
    };
    let sign = sign.clone();
    if let State::Withdrawn(why) = &check.state
        && answer != Answer::NotSeen
    {
        app.say(format!(
            "{}: {}. x waives it in words",
            why.reason, why.because
        ));
        return Vec::new();
    }
    let afar = plan(app).0 == Plan::FromAfar;
    let how = if afar {
        unseen::known(&sign)
    } else {
        known(&sign)
    };
    let at = app.data.now;
    let arrived = afar && matches!(answer, Answer::Level(_));
    put(app, &sign, answer, |car, id| {
        if let Some(extras) = car.checks.get_mut(id) {
            // By eye after by gauge: the newer answer counts.
            extras.reading = None;
            // What they let one look at after all was not refused.
            extras.asked = extras.asked.filter(|asked| *asked != Asked::Refused);
        }
        if arrived {
            car.checks.entry(id.to_owned()).or_default().asked = Some(Asked::Arrived);
        }
        scan::set(car, id, answer, how, at);
    })
}

/// Where no eye can tell, the field of the number opens by itself.
pub(super) fn open_field(app: &mut App) -> Vec<Effect> {
    let wanted = in_hand(app).is_some_and(|(check, sign)| {
        check.state.is_to_come() && sign.reading.as_ref().is_some_and(|spec| spec.only_a_number)
    });
    if wanted && app.overlay.is_none() && plan(app).0 != Plan::FromAfar {
        number(app)
    } else {
        Vec::new()
    }
}

/// An edit that answers a check: one step, then on to the next, then the stop if it is one.
pub fn put(
    app: &mut App,
    sign: &SignRow,
    answer: Answer,
    change: impl FnOnce(&mut crate::car::CarRecord, &str),
) -> Vec<Effect> {
    let words = match answer {
        Answer::Level(level) => sign.levels.get(level).cloned().unwrap_or_default(),
        Answer::NotSeen => "not seen".to_owned(),
        Answer::NotFitted => "not fitted".to_owned(),
    };
    let before = limit(app);
    let label = format!("{}: {}", say::clip(&sign.name, 30), say::clip(&words, 24));
    let mut effects = app.edit(&label, |car| change(car, &sign.id));
    if app.data.access != crate::tui::ports::Access::Write {
        return effects;
    }
    app.views.walk.last = format!("{}: {words}", sign.name);
    if let (false, Some(before), Some(slug)) = (effects.is_empty(), before, app.data.hand.clone()) {
        app.views.walk.waiting = Some((slug, sign.id.clone(), before));
    }
    effects.extend(go_on(app));
    if let Some(notice) = stop(app, sign, answer, &words) {
        app.overlay = Some(Overlay::Stop(notice));
    } else {
        effects.extend(open_field(app));
    }
    effects
}

/// On to the next check that is to come, and nothing said at the end.
pub(super) fn go_on_quietly(app: &mut App) -> Vec<Effect> {
    let row = app.views.cursor(Screen::Walk).rows[super::CHECK];
    let checks = checks(app);
    if let Some(next) = next_to_come(&checks, (row + 1) % checks.len().max(1)) {
        stand(app, next);
    }
    keep_sign(app)
}

/// On to the next check that is to come; at the end it says so.
fn go_on(app: &mut App) -> Vec<Effect> {
    let row = app.views.cursor(Screen::Walk).rows[super::CHECK];
    let checks = checks(app);
    match next_to_come(&checks, (row + 1) % checks.len().max(1)) {
        Some(next) => stand(app, next),
        None => app.say(NOTHING_LEFT.to_owned()),
    }
    keep_sign(app)
}

fn limit(app: &App) -> Option<f64> {
    app.data.figures()?.limit.price.map(say::to_f64)
}

/// Figures came: the answer that waited for them learns what it did.
pub fn weighed(app: &mut App, slug: &str, rough: bool) {
    if rough
        || app
            .views
            .walk
            .waiting
            .as_ref()
            .is_none_or(|waiting| waiting.0 != slug)
    {
        return;
    }
    let now = app.data.entry(slug).and_then(|car| car.figures.as_deref());
    let now = now.and_then(|figures| figures.limit.price).map(say::to_f64);
    if let (Some((slug, sign, before)), Some(now)) = (app.views.walk.waiting.take(), now) {
        app.views.walk.moved.insert((slug, sign), now - before);
    }
}

/// The stop of an answer, if this purpose has stops of its group. While money is hidden nothing shouts: the banner comes with it.
fn stop(app: &App, sign: &SignRow, answer: Answer, words: &str) -> Option<StopNotice> {
    let stop = sign.stop.as_ref().filter(|_| !app.hidden)?;
    let Answer::Level(level) = answer else {
        return None;
    };
    let purpose = app.data.tables.purpose(&app.data.buyer.purpose)?;
    let waived = app
        .data
        .record()
        .is_some_and(|car| car.waivers.contains_key(&sign.id));
    (level >= stop.from_level && purpose.stops.contains(&stop.group) && !waived).then(|| {
        StopNotice {
            sign: sign.id.clone(),
            finding: format!("{}: {words}", sign.name),
            sentence: stop.sentence.clone(),
        }
    })
}

/// Not fitted; on a withdrawn check and on a stop the waiver in words.
pub(super) fn cross(app: &mut App) -> Vec<Effect> {
    let Some((check, sign)) = in_hand(app) else {
        return Vec::new();
    };
    let stops = sign.stop.as_ref().map(|stop| stop.from_level);
    match check.state {
        State::Withdrawn(why) => cars::form(app, Purpose::Waive(why.waiver)),
        State::Answered(level) if stops.is_some_and(|from| level >= from) => {
            cars::form(app, Purpose::Waive(check.sign))
        }
        _ => give(app, Answer::NotFitted),
    }
}

/// Opens the field of a number.
pub(super) fn number(app: &mut App) -> Vec<Effect> {
    match in_hand(app) {
        Some((check, _)) => cars::form(app, Purpose::Reading(check.sign)),
        None => Vec::new(),
    }
}

/// How a number typed for a sign is read and what the limits say of it; an error is one sentence.
///
/// # Errors
/// One sentence.
pub fn preview(app: &App, sign: &str, typed: &str) -> Result<String, String> {
    let (Some(row), Some(car)) = (app.data.tables.sign(sign), app.data.record()) else {
        return Ok(String::new());
    };
    if typed.trim().is_empty() {
        return Ok("not seen".to_owned());
    }
    let reading = read_typed_for(row, &app.data.tables, Some(&app.data.buyer), typed)?;
    let today = app.data.now.date();
    let yardstick = Yardstick::new(&app.data.tables, car, Some(&app.data.buyer), today);
    let Some(verdict) = yardstick.read(row, &reading) else {
        return Ok(String::new());
    };
    let numbers: Vec<String> = verdict.measured.iter().map(words::measured).collect();
    Ok(numbers.join("; "))
}

/// Steps how an answer is known: said, paper, seen, measured.
pub(super) fn proof(app: &mut App) -> Vec<Effect> {
    let Some((check, sign)) = in_hand(app) else {
        return Vec::new();
    };
    let name = sign.name.clone();
    let effects = app.edit(
        &format!("{}: how it is known", say::clip(&name, 30)),
        |car| {
            if let Some(seen) = car
                .observations
                .iter_mut()
                .find(|seen| seen.sign == check.sign)
            {
                seen.known = match seen.known {
                    Known::Said => Known::Paper,
                    Known::Paper => Known::Seen,
                    Known::Seen => Known::Measured,
                    Known::Measured => Known::Said,
                };
            }
        },
    );
    let known = app.data.record().and_then(|car| {
        let seen = car
            .observations
            .iter()
            .find(|seen| seen.sign == check.sign)?;
        Some(seen.known)
    });
    if let Some(known) = known {
        app.say(format!("{name}: {}", crate::report::words::known(known)));
    }
    effects
}

/// Puts what a code reader shows on file as one step, and says what is worth saying.
pub fn put_reader(app: &mut App, read: &ReaderText) -> Vec<Effect> {
    let at = app.data.now;
    let tables = std::sync::Arc::clone(&app.data.tables);
    let codes: Vec<&str> = read.codes.iter().map(|one| one.code.as_str()).collect();
    let label = if codes.is_empty() {
        "counters and readiness".to_owned()
    } else {
        say::clip(&codes.join(", "), 40)
    };
    let effects = app.edit(&label, |car| scan::put_on_file(car, &tables, read, at));
    if effects.is_empty() {
        return effects;
    }
    let odd = read
        .codes
        .iter()
        .find(|one| scan::sign_of(&tables, &one.code).is_none());
    let memory = app
        .data
        .record()
        .map(|car| scan::memory(car, &tables, at.date()));
    let words = match (odd, memory) {
        (Some(code), _) => format!("{}: {}", code.code, scan::code_words(&tables, &code.code)),
        (None, Some(memory)) if memory.says_nothing() => memory.words().to_owned(),
        _ => label,
    };
    app.say(words);
    effects
}
