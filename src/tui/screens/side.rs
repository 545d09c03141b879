//! Side by side: up to four cars for one purpose, in shared luck, with "none of these" as an entrant.

mod told;

use super::{Fns, Part, Screen, cars, walk, you};
use crate::engine::Appraisal;
use crate::engine::preference::{Corner, EVEN, Preference};
use crate::engine::triangle::Shares;
use crate::tui::app::{App, Effect};
use crate::tui::data::CarEntry;
use crate::tui::forms::{self, Purpose};
use crate::tui::geometry::triangle::TriangleCar;
use crate::tui::keys::Act;
use crate::tui::overlay::Overlay;
pub use told::{Pair, balance, beaten, pairs, settle};

/// Figures; the row in hand is the car in hand.
pub const FIGURES: usize = 0;
/// What would settle it, and what to say.
pub const SETTLE: usize = 1;
/// Triangle, weights, ranks.
pub const TRIANGLE: usize = 2;
/// Who beats whom.
pub const BEATS: usize = 3;

/// What one key adds to a weight.
const STEP: f64 = 0.05;

/// What this sitting adds to the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideView {
    /// What the marked cars were ordered by last, if by anything.
    pub order: Option<cars::Order>,
    /// What matters to the user.
    pub weights: Shares,
}

impl Default for SideView {
    fn default() -> Self {
        Self {
            order: None,
            weights: EVEN,
        }
    }
}

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
        Part::new("what would settle it", String::new(), settle(app).len()),
        Part::new("triangle", String::new(), balance(app).len()),
        Part::new(
            "who beats whom",
            String::new(),
            pairs(app).len() + beaten(app).len(),
        ),
    ]
}

/// The order of the marked cars by the weights in hand, out of the comparison that came.
#[must_use]
pub fn preferred(app: &App) -> Option<Preference> {
    let compared = app.data.compared.as_deref()?;
    Some(compared.preferred(app.views.side.weights))
}

/// True where other weights than even ones are in hand.
#[must_use]
pub fn is_weighed(app: &App) -> bool {
    has_two(app) && app.views.side.weights != EVEN
}

/// True while a corner can weigh more.
#[must_use]
pub fn can_weigh(app: &App, corner: Corner) -> bool {
    has_two(app) && weight(app.views.side.weights, corner) < 1.0
}

fn weight(weights: Shares, corner: Corner) -> f64 {
    match corner {
        Corner::Cheap => weights.cheap,
        Corner::Reliable => weights.reliable,
        Corner::Fast => weights.fast,
    }
}

/// Takes weights in hand and says what the order is by them.
pub fn weigh(app: &mut App, weights: Shares) {
    app.views.side.weights = weights.brought_inside();
    app.views.cursor_mut(Screen::Side).part = TRIANGLE;
    if let Some(words) = told::order(app) {
        app.say(words);
    }
}

/// One corner weighs a step more, the other two keep their proportion.
fn weigh_more(app: &mut App, corner: Corner) {
    let now = app.views.side.weights;
    let own = weight(now, corner);
    let next = (((own + STEP) / STEP).floor() * STEP).min(1.0);
    let keep = |other: Corner| {
        let rest = 1.0 - own;
        if other == corner {
            next
        } else if rest > 1e-9 {
            weight(now, other) * (1.0 - next) / rest
        } else {
            (1.0 - next) / 2.0
        }
    };
    weigh(
        app,
        Shares {
            cheap: keep(Corner::Cheap),
            fast: keep(Corner::Fast),
            reliable: keep(Corner::Reliable),
        },
    );
}

/// `f`: goes to the check that would swap the order; without one, to the check most worth its minutes on the car in hand.
pub fn find_out(app: &mut App) -> Vec<Effect> {
    let swap = app.data.compared.as_deref().and_then(|compared| {
        let check = compared.swap.as_ref()?;
        Some((compared.cars.get(check.car)?.slug.clone(), check.id.clone()))
    });
    let there = swap.filter(|(slug, _)| app.marks.contains(slug));
    let Some((slug, sign)) = there else {
        return walk::find_out(app);
    };
    app.data.hand = Some(slug);
    walk::go_to(app, &sign)
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
            if told::on_swap(app) {
                return find_out(app);
            }
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
        Act::Digit(0) => {
            weigh(app, EVEN);
            Vec::new()
        }
        Act::Digit(digit) => {
            let corner = Corner::ALL.get(usize::from(digit).saturating_sub(1));
            if let Some(corner) = corner {
                weigh_more(app, *corner);
            }
            Vec::new()
        }
        Act::Number => {
            let form = forms::open(Purpose::Weights, app);
            app.open(Overlay::Form(form))
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
        .order
        .map_or_else(cars::Order::default, cars::Order::next);
    app.views.side.order = Some(order);
    let mut marked = marked(app);
    order.sort(&mut marked);
    app.marks = marked.iter().map(|car| car.slug.clone()).collect();
    app.say(format!("ordered by {}, lettered anew", order.words()));
    let hand = app.data.hand.as_ref();
    let at = app.marks.iter().position(|slug| Some(slug) == hand);
    app.views.cursor_mut(Screen::Side).rows[FIGURES] = at.unwrap_or(0);
    app.data.ask_comparison(&app.marks).into_iter().collect()
}
