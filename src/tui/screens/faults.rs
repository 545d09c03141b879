//! Faults: what they take is the working order; the top row is what the deal turns on.

use super::{Fns, Part, Screen, cars};
use crate::car::{Pin, RouteWish};
use crate::engine::{FaultFigure, Standing};
use crate::tui::app::{App, Effect};
use crate::tui::forms::Purpose;
use crate::tui::keys::Act;
use crate::tui::overlay::{self, Overlay};

/// What the list is ordered by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// What they take off the price.
    #[default]
    Takes,
    /// Chance.
    Chance,
    /// Own hours.
    Hours,
    /// Severity.
    Severity,
    /// System of the car.
    System,
}

impl Order {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Takes => "what they take",
            Self::Chance => "chance",
            Self::Hours => "hours",
            Self::Severity => "severity",
            Self::System => "system",
        }
    }

    fn next(self) -> Self {
        match self {
            Self::Takes => Self::Chance,
            Self::Chance => Self::Hours,
            Self::Hours => Self::Severity,
            Self::Severity => Self::System,
            Self::System => Self::Takes,
        }
    }
}

/// Order and narrowing of the list.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FaultsView {
    /// Order.
    pub order: Order,
    /// Word that narrows the list; with it, the others are listed too.
    pub narrow: String,
    /// The others are listed.
    pub all: bool,
}

/// The list.
pub const LIST: usize = 0;
/// Reasons and ways of the fault in hand.
pub const REASONS: usize = 1;

/// Least that an unlooked-for fault must take to stand in the list.
const LEAST_TAKEN: f64 = 20.0;
/// Most unlooked-for faults in the list.
const MOST_UNSEEN: usize = 6;

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why,
    first_focus,
};

fn first_focus(app: &mut App) {
    let cursor = app.views.cursor_mut(Screen::Faults);
    cursor.part = LIST;
}

fn parts(app: &App) -> Vec<Part> {
    let (listed, others) = listed(app);
    let rows = listed.len() + usize::from(!others.is_empty() || app.views.faults.all);
    let reasons = in_hand(app).map_or(0, |fault| fault.reasons.len() + fault.ways.len() + 6);
    vec![
        Part::new(
            "faults",
            format!("by {}", app.views.faults.order.words()),
            rows,
        ),
        Part::new("why, and ways", String::new(), reasons),
    ]
}

/// The faults in the list, and the others that are one dotted row.
#[must_use]
pub fn listed(app: &App) -> (Vec<&FaultFigure>, Vec<&FaultFigure>) {
    let Some(figures) = app.data.figures() else {
        return (Vec::new(), Vec::new());
    };
    let view = &app.views.faults;
    let word = view.narrow.to_lowercase();
    let mut faults: Vec<&FaultFigure> = figures.faults.iter().collect();
    faults.sort_by(|a, b| b.takes.total_cmp(&a.takes));
    let mut unseen = 0;
    let (mut listed, others): (Vec<_>, Vec<_>) = faults.into_iter().partition(|fault| {
        let counts = match fault.standing {
            Standing::Unseen if fault.takes >= LEAST_TAKEN && unseen < MOST_UNSEEN => {
                unseen += 1;
                true
            }
            Standing::Unseen => view.all,
            _ => true,
        };
        if word.is_empty() {
            counts
        } else {
            fault.name.to_lowercase().contains(&word)
        }
    });
    listed.sort_by(|a, b| order(a, b, view.order).then_with(|| a.id.cmp(&b.id)));
    (listed, others)
}

fn order(a: &FaultFigure, b: &FaultFigure, by: Order) -> std::cmp::Ordering {
    match by {
        Order::Takes => b.takes.total_cmp(&a.takes),
        Order::Chance => b.chance.total_cmp(&a.chance),
        Order::Hours => b.hours.p50.total_cmp(&a.hours.p50),
        Order::Severity => a.severities.cmp(&b.severities),
        Order::System => a.system.cmp(&b.system),
    }
}

/// The fault in hand.
#[must_use]
pub fn in_hand(app: &App) -> Option<&FaultFigure> {
    let row = app.views.cursor(Screen::Faults).rows[LIST];
    listed(app).0.get(row).copied()
}

/// True with a fault in hand.
#[must_use]
pub fn has_fault(app: &App) -> bool {
    in_hand(app).is_some()
}

/// True on the row of the others.
#[must_use]
pub fn on_others(app: &App) -> bool {
    let cursor = app.views.cursor(Screen::Faults);
    cursor.part == LIST && in_hand(app).is_none() && app.data.figures().is_some()
}

fn why(app: &App) -> Option<String> {
    let figures = app.data.figures()?;
    let id = in_hand(app).map_or(&figures.unseen.trace_id, |fault| &fault.trace_id);
    figures.trace.nodes.contains_key(id).then(|| id.clone())
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    match act {
        Act::Digit(digit) => pin(app, digit),
        Act::Cross => wish(app),
        Act::Add => overlay::open_picker(app, None),
        Act::Other => {
            let cursor = app.views.cursor_mut(Screen::Faults);
            cursor.part = if cursor.part == LIST { REASONS } else { LIST };
            Vec::new()
        }
        Act::Open => {
            app.views.faults.all = !app.views.faults.all;
            Vec::new()
        }
        Act::Order => {
            app.views.faults.order = app.views.faults.order.next();
            app.say(format!("ordered by {}", app.views.faults.order.words()));
            Vec::new()
        }
        Act::Narrow => app.open(Overlay::narrow(&app.views.faults.narrow)),
        Act::Remove => unset(app),
        Act::Note => cars::form(app, Purpose::Note(None)),
        _ => Vec::new(),
    }
}

/// True where the user set something for the fault in hand.
#[must_use]
pub fn is_set(app: &App) -> bool {
    let set = |car: &crate::car::CarRecord, id: &str| {
        car.pins.contains_key(id) || car.routes.contains_key(id)
    };
    in_hand(app)
        .zip(app.data.record())
        .is_some_and(|(fault, car)| set(car, &fault.id))
}

fn unset(app: &mut App) -> Vec<Effect> {
    let Some((id, name)) = in_hand(app).map(|fault| (fault.id.clone(), fault.name.clone())) else {
        return Vec::new();
    };
    let words = format!("{name}: as seen, as is best");
    let effects = app.edit(&words, |car| {
        car.pins.remove(&id);
        car.routes.remove(&id);
    });
    if !effects.is_empty() {
        app.say(words);
    }
    effects
}

fn pin(app: &mut App, digit: u8) -> Vec<Effect> {
    let Some((id, name)) = in_hand(app).map(|fault| (fault.id.clone(), fault.name.clone())) else {
        return Vec::new();
    };
    let (pin, word) = match digit {
        2 => (Some(Pin::Certain), "certain"),
        3 => (Some(Pin::RuledOut), "ruled out"),
        _ => (None, "as seen"),
    };
    let effects = app.edit(&format!("{name}: {word}"), |car| {
        match pin {
            Some(pin) => car.pins.insert(id.clone(), pin),
            None => car.pins.remove(&id),
        };
    });
    if !effects.is_empty() {
        app.say(format!("{name}: {word}"));
    }
    effects
}

/// The wish after this one: none, put right or live with, at home, at a garage, none.
fn next_wish(wish: Option<RouteWish>) -> Option<RouteWish> {
    match wish {
        None => Some(RouteWish::PutRight),
        Some(RouteWish::PutRight) => Some(RouteWish::LiveWith),
        Some(RouteWish::LiveWith) => Some(RouteWish::Home),
        Some(RouteWish::Home) => Some(RouteWish::Garage),
        Some(RouteWish::Garage) => None,
    }
}

/// A wish in words.
#[must_use]
pub fn wish_words(wish: Option<RouteWish>) -> &'static str {
    match wish {
        None => "as is best",
        Some(RouteWish::PutRight) => "put right anyway",
        Some(RouteWish::LiveWith) => "live with it",
        Some(RouteWish::Home) => "at home",
        Some(RouteWish::Garage) => "at a garage",
    }
}

fn wish(app: &mut App) -> Vec<Effect> {
    let Some((id, name)) = in_hand(app).map(|fault| (fault.id.clone(), fault.name.clone())) else {
        return Vec::new();
    };
    let now = app
        .data
        .record()
        .and_then(|car| car.routes.get(&id).copied());
    let next = next_wish(now);
    let words = format!("{name}: {}", wish_words(next));
    let effects = app.edit(&words, |car| {
        match next {
            Some(wish) => car.routes.insert(id.clone(), wish),
            None => car.routes.remove(&id),
        };
    });
    if !effects.is_empty() {
        app.say(words);
    }
    effects
}
