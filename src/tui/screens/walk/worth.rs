//! What is most worth finding out: asked for by `f` and by the order of the list, worked out on another thread.

use super::{in_hand, keep_place, stand_again};
use crate::engine::find_out::FindOut;
use crate::tui::app::{App, Effect};
use crate::tui::screens::Screen;

/// What waits for the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Waits {
    /// The list is to be put in this order.
    Order,
    /// The best check is to be gone to.
    Check,
}

/// Asks what is most worth finding out about the car in hand.
fn ask(app: &mut App, waits: Waits) -> Vec<Effect> {
    let Some(slug) = app.data.hand.clone() else {
        app.say("no car in hand: a makes one".to_owned());
        return Vec::new();
    };
    app.views.walk.waits = Some((slug.clone(), waits));
    app.say("working out what is most worth knowing".to_owned());
    vec![Effect::FindOut { slug }]
}

/// `f`: goes to the check most worth its minutes.
pub fn find_out(app: &mut App) -> Vec<Effect> {
    let broken = app.data.car().is_some_and(|car| car.error.is_some());
    if broken {
        return app.go(Screen::Walk);
    }
    ask(app, Waits::Check)
}

/// Goes to a check of the car in hand.
pub fn go_to(app: &mut App, sign: &str) -> Vec<Effect> {
    let mut effects = app.go(Screen::Walk);
    effects.extend(keep_place(app, |place| place.plan = super::FULL));
    stand_again(app, Some(sign));
    effects
}

/// The order of worth, or back to walking order.
pub(super) fn order(app: &mut App) -> Vec<Effect> {
    if super::place(app).by_worth {
        let hand = in_hand(app).map(|(check, _)| check.sign);
        let effects = keep_place(app, |place| place.by_worth = false);
        stand_again(app, hand.as_deref());
        app.say("walking order".to_owned());
        return effects;
    }
    ask(app, Waits::Order)
}

/// Figures settled: an order by worth is worked out anew.
pub fn refresh(app: &App, slug: &str, rough: bool) -> Vec<Effect> {
    let wanted = !rough
        && app.data.hand.as_deref() == Some(slug)
        && super::place(app).by_worth
        && app.screen == Screen::Walk;
    if wanted {
        vec![Effect::FindOut {
            slug: slug.to_owned(),
        }]
    } else {
        Vec::new()
    }
}

/// The answer came.
pub fn found_out(app: &mut App, slug: &str, found: &FindOut) -> Vec<Effect> {
    let open = found.checks.iter().filter(|one| one.blocked_by.is_none());
    let order: Vec<(String, f64)> = open.map(|one| (one.id.clone(), one.net)).collect();
    let best = order.first().map(|(sign, _)| sign.clone());
    let nothing = best.is_none().then(|| {
        let words = found.words.clone();
        words.unwrap_or_else(|| "nothing is left to find out".to_owned())
    });
    let tired = found.words.clone();
    for one in &found.checks {
        let key = (slug.to_owned(), one.id.clone());
        app.views.walk.because.insert(key, one.because.clone());
    }
    app.views.walk.worth.insert(slug.to_owned(), order);
    if app.data.hand.as_deref() != Some(slug) {
        return Vec::new();
    }
    let waits = app.views.walk.waits.take();
    let waits = waits.filter(|(wanted, _)| wanted == slug);
    let Some((_, waits)) = waits else {
        let hand = in_hand(app).map(|(check, _)| check.sign);
        stand_again(app, hand.as_deref());
        return Vec::new();
    };
    if let Some(why) = nothing {
        app.say(why);
        return Vec::new();
    }
    let mut effects = Vec::new();
    if waits == Waits::Check {
        effects.extend(app.go(Screen::Walk));
        effects.extend(keep_place(app, |place| place.plan = super::FULL));
    }
    effects.extend(keep_place(app, |place| place.by_worth = true));
    let hand = match waits {
        Waits::Check => best,
        Waits::Order => in_hand(app).map(|(check, _)| check.sign),
    };
    stand_again(app, hand.as_deref());
    let why = match waits {
        Waits::Check => in_hand(app)
            .and_then(|(check, _)| super::because(app, &check.sign).filter(|why| !why.is_empty())),
        Waits::Order => None,
    };
    let first = why.map_or_else(
        || "most worth knowing first".to_owned(),
        |why| format!("most worth knowing: it {why}"),
    );
    app.say(tired.unwrap_or(first));
    effects
}
