//! Side by side: up to four cars for one purpose, in shared luck, with "none of these" as an entrant.

use super::{Fns, Part, Screen, cars, you};
use crate::engine::Appraisal;
use crate::tui::app::{App, Effect};
use crate::tui::data::CarEntry;
use crate::tui::geometry::triangle::TriangleCar;
use crate::tui::keys::Act;

/// Figures; the row in hand is the car in hand.
pub const FIGURES: usize = 0;
/// Triangle.
pub const TRIANGLE: usize = 1;
/// Who beats whom.
pub const BEATS: usize = 2;

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why,
    first_focus,
};

fn first_focus(app: &mut App) {
    let hand = app.data.hand.as_ref();
    let at = app.marks.iter().position(|slug| Some(slug) == hand);
    let cursor = app.views.cursor_mut(Screen::Side);
    cursor.part = FIGURES;
    cursor.rows[FIGURES] = at.unwrap_or(0);
    if let Some(slug) = in_hand(app) {
        app.data.hand = Some(slug);
    }
}

fn parts(app: &App) -> Vec<Part> {
    let marked = app.marks.len();
    vec![
        Part::new("figures", String::new(), marked),
        Part::new("triangle", String::new(), 0),
        Part::new("who beats whom", String::new(), 0),
    ]
}

/// The marked cars in order.
#[must_use]
pub fn marked(app: &App) -> Vec<&CarEntry> {
    app.marks
        .iter()
        .filter_map(|slug| app.data.entry(slug))
        .collect()
}

/// Figures of a marked car: out of the shared luck if they came, else its own.
#[must_use]
pub fn figures<'a>(app: &'a App, car: &'a CarEntry) -> Option<&'a Appraisal> {
    let shared = app.data.compared.as_deref().and_then(|compared| {
        compared
            .cars
            .iter()
            .find(|compared| compared.slug == car.slug)
            .map(|compared| &compared.appraisal)
    });
    shared.or(car.figures.as_deref())
}

/// The marked cars for the triangle; unknown chances have no place.
#[must_use]
pub fn on_triangle(app: &App) -> Vec<TriangleCar> {
    marked(app)
        .into_iter()
        .filter_map(|car| {
            let chances = &figures(app, car)?.chances;
            let all = |three: &crate::engine::ThreeChances| {
                Some([three.cheap?, three.reliable?, three.fast?])
            };
            Some(TriangleCar {
                letter: cars::mark(app, &car.slug)?,
                before: all(&chances.before),
                after: all(&chances.after),
            })
        })
        .collect()
}

/// True with a marked car.
#[must_use]
pub fn has_one(app: &App) -> bool {
    !app.marks.is_empty()
}

/// True with two or more.
#[must_use]
pub fn has_two(app: &App) -> bool {
    app.marks.len() > 1
}

/// The marked car in hand.
#[must_use]
pub fn in_hand(app: &App) -> Option<String> {
    let at = app.views.cursor(Screen::Side).rows[FIGURES];
    app.marks.get(at).cloned()
}

fn why(app: &App) -> Option<String> {
    let slug = in_hand(app)?;
    // The why walks the trace of the car in hand: it opens where the marked car is that car.
    (app.data.hand.as_ref() == Some(&slug)).then_some(())?;
    let figures = app.data.figures()?;
    let id = &figures.limit.trace_id;
    figures.trace.nodes.contains_key(id).then(|| id.clone())
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    let count = app.marks.len();
    match act {
        Act::Left | Act::Right if count > 0 => {
            let cursor = app.views.cursor_mut(Screen::Side);
            let at = cursor.rows[FIGURES];
            cursor.rows[FIGURES] = if act == Act::Right {
                (at + 1) % count
            } else {
                (at + count - 1) % count
            };
            let slug = in_hand(app);
            app.data.hand = slug.or_else(|| app.data.hand.clone());
            Vec::new()
        }
        Act::Open => {
            if let Some(slug) = in_hand(app) {
                app.data.hand = Some(slug);
                return app.go(Screen::Money);
            }
            Vec::new()
        }
        Act::Cross => {
            if let Some(slug) = in_hand(app) {
                app.marks.retain(|marked| *marked != slug);
            }
            app.data.ask_comparison(&app.marks).into_iter().collect()
        }
        Act::Order => order(app),
        Act::Other => you::next_purpose(app),
        _ => Vec::new(),
    }
}

/// Orders the marked cars; their letters follow.
fn order(app: &mut App) -> Vec<Effect> {
    let order = app
        .views
        .side
        .map_or_else(cars::Order::default, cars::Order::next);
    app.views.side = Some(order);
    let mut marked = marked(app);
    order.sort(&mut marked);
    app.marks = marked.iter().map(|car| car.slug.clone()).collect();
    app.say(format!("ordered by {}, lettered anew", order.words()));
    let hand = app.data.hand.as_ref();
    let at = app.marks.iter().position(|slug| Some(slug) == hand);
    app.views.cursor_mut(Screen::Side).rows[FIGURES] = at.unwrap_or(0);
    app.data.ask_comparison(&app.marks).into_iter().collect()
}
