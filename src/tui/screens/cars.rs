//! Cars: the notebook. Order is by room, limit less asks; stops sink under the rest, bought cars last.

use super::{Cursor, Fns, Part, Screen};
use crate::tui::app::{App, Effect, MOST_MARKS};
use crate::tui::data::CarEntry;
use crate::tui::forms::{self, Purpose};
use crate::tui::keys::Act;
use crate::tui::overlay::Overlay;
use crate::tui::say;

/// What the list is ordered by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// Limit less what they ask.
    #[default]
    Room,
    /// What they ask.
    Asks,
    /// Limit.
    Limit,
    /// Own hours.
    Hours,
    /// Name.
    Name,
}

impl Order {
    /// Puts the cars of a list in this order, greatest first.
    pub fn sort(self, cars: &mut [&CarEntry]) {
        cars.sort_by(|a, b| {
            key(b, self)
                .total_cmp(&key(a, self))
                .then_with(|| a.name().cmp(b.name()))
        });
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Room => "room: limit less asks",
            Self::Asks => "asks",
            Self::Limit => "limit",
            Self::Hours => "hours",
            Self::Name => "name",
        }
    }

    /// The one after it, round the end.
    #[must_use]
    pub fn next(self) -> Self {
        match self {
            Self::Room => Self::Asks,
            Self::Asks => Self::Limit,
            Self::Limit => Self::Hours,
            Self::Hours => Self::Name,
            Self::Name => Self::Room,
        }
    }
}

/// Order and narrowing of the list.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CarsView {
    /// Order.
    pub order: Order,
    /// Word that narrows the list.
    pub narrow: String,
}

/// The functions of this screen.
pub const FNS: Fns = Fns {
    parts,
    act,
    why,
    first_focus: stand_on_hand,
};

fn parts(app: &App) -> Vec<Part> {
    vec![Part::new("cars", String::new(), shown(app).len())]
}

/// Cars as listed: narrowed and ordered. Hidden: by name, so that no order tells anything.
#[must_use]
pub fn shown(app: &App) -> Vec<&CarEntry> {
    let word = app.views.cars.narrow.to_lowercase();
    let mut cars: Vec<&CarEntry> = app
        .data
        .cars
        .iter()
        .filter(|car| {
            app.hidden
                || word.is_empty()
                || car.name().to_lowercase().contains(&word)
                || state(car).to_lowercase().contains(&word)
        })
        .collect();
    let order = if app.hidden {
        Order::Name
    } else {
        app.views.cars.order
    };
    cars.sort_by(|a, b| {
        let sinks =
            |car: &CarEntry| u8::from(car.car().bought_at.is_some()) * 2 + u8::from(stopped(car));
        let sunk = match order {
            Order::Room => sinks(a).cmp(&sinks(b)),
            _ => std::cmp::Ordering::Equal,
        };
        sunk.then_with(|| key(b, order).total_cmp(&key(a, order)))
            .then_with(|| a.name().cmp(b.name()))
            .then_with(|| a.slug.cmp(&b.slug))
    });
    cars
}

/// Greater comes first.
fn key(car: &CarEntry, order: Order) -> f64 {
    let figures = car.figures.as_deref();
    let asks = asks(car);
    let limit = figures
        .and_then(|figures| figures.limit.price)
        .map(say::to_f64);
    let value = match order {
        Order::Room => limit.zip(asks).map(|(limit, asks)| limit - asks),
        Order::Asks => asks.map(|asks| -asks),
        Order::Limit => limit,
        Order::Hours => figures.map(|figures| -figures.repair.hours.p50),
        Order::Name => Some(0.0),
    };
    value.unwrap_or(f64::NEG_INFINITY)
}

/// What they ask, as a plain number.
#[must_use]
pub fn asks(car: &CarEntry) -> Option<f64> {
    car.car().listing.asking.map(say::to_f64)
}

/// True with a stop that is not waived.
#[must_use]
pub fn stopped(car: &CarEntry) -> bool {
    car.figures
        .as_deref()
        .is_some_and(|figures| figures.stops.iter().any(|stop| stop.waived.is_none()))
}

/// State in a word or two.
#[must_use]
pub fn state(car: &CarEntry) -> String {
    let record = car.car();
    if car.error.is_some() {
        return "cannot be read".to_owned();
    }
    if let Some(day) = record.bought_on {
        return format!("bought {}", forms::read::day(day));
    }
    if record.bought_at.is_some() {
        return "bought".to_owned();
    }
    if stopped(car) {
        return "■ STOP".to_owned();
    }
    if let Some(figures) = car.figures.as_deref() {
        match figures.limit.verdict {
            crate::engine::Verdict::Donor => return "donor trade".to_owned(),
            crate::engine::Verdict::Scrap => return "scrap only".to_owned(),
            _ => {}
        }
    }
    let rounds = record
        .talks
        .iter()
        .filter(|said| said.who == crate::car::Who::You)
        .count();
    if rounds > 0 {
        return format!("talks rd {rounds}");
    }
    if !record.observations.is_empty() {
        return format!("{} signs", record.observations.len());
    }
    if record.listing.advert.is_empty() {
        "typed in".to_owned()
    } else {
        "advert read".to_owned()
    }
}

/// State in six cells or less.
#[must_use]
pub fn short_state(car: &CarEntry) -> String {
    let words = state(car);
    let first = words.split(' ').next().unwrap_or_default();
    match first {
        "talks" => words.replace("talks rd ", "talk "),
        "cannot" => "broken".to_owned(),
        "■" | "scrap" => say::clip(&words, 6),
        _ if words.ends_with("signs") => words.replace(" signs", " sig"),
        _ => first.to_owned(),
    }
}

/// Mark of a car, A to D.
#[must_use]
pub fn mark(app: &App, slug: &str) -> Option<char> {
    let at = app.marks.iter().position(|marked| marked == slug)?;
    ['A', 'B', 'C', 'D'].get(at).copied()
}

/// The row of the car in hand becomes the row in hand; if it is not listed, the car of the row comes to hand.
pub fn stand_on_hand(app: &mut App) {
    let at = shown(app)
        .iter()
        .position(|car| Some(&car.slug) == app.data.hand.as_ref());
    if let Some(at) = at {
        *app.views.cursor_mut(Screen::Cars) = Cursor {
            part: 0,
            rows: [at, 0, 0, 0, 0, 0, 0, 0, 0],
        };
    } else {
        take_in_hand(app);
    }
}

/// The car of the row in hand comes to hand.
pub fn take_in_hand(app: &mut App) {
    let row = app.views.cursor(Screen::Cars).row();
    let slug = shown(app).get(row).map(|car| car.slug.clone());
    if let Some(slug) = slug {
        app.data.hand = Some(slug);
    }
}

fn why(app: &App) -> Option<String> {
    let figures = app.data.figures()?;
    let id = &figures.limit.trace_id;
    figures.trace.nodes.contains_key(id).then(|| id.clone())
}

fn act(app: &mut App, act: Act) -> Vec<Effect> {
    match act {
        Act::Open => open(app),
        Act::Add | Act::Digit(2) => form(app, Purpose::NewCar),
        Act::Digit(1) => {
            app.say("paste the advert here: nothing in it is run, nothing is sent".to_owned());
            Vec::new()
        }
        Act::Digit(3) => vec![Effect::Samples],
        Act::Digit(4) => app.go(Screen::You),
        Act::Cross => {
            cross(app);
            Vec::new()
        }
        Act::Order => {
            app.views.cars.order = app.views.cars.order.next();
            app.say(format!("ordered by {}", app.views.cars.order.words()));
            stand_on_hand(app);
            Vec::new()
        }
        Act::Narrow => app.open(Overlay::narrow(&app.views.cars.narrow)),
        Act::Remove => match app.data.hand.clone() {
            Some(slug) => app.remove_car(&slug),
            None => Vec::new(),
        },
        Act::Note => form(app, Purpose::Note(None)),
        Act::Edit => form(app, Purpose::Particulars),
        Act::ReadIn => form(app, Purpose::ReadIn),
        _ => Vec::new(),
    }
}

/// Opens a form over the screen, unless nothing may be written.
pub fn form(app: &mut App, purpose: Purpose) -> Vec<Effect> {
    let of_the_buyer = matches!(
        purpose,
        Purpose::NewCar
            | Purpose::ReadIn
            | Purpose::BuyerMoney
            | Purpose::BuyerTime
            | Purpose::HouseRules
            | Purpose::Wish(_)
    );
    if of_the_buyer {
        if app.read_only() {
            return Vec::new();
        }
    } else if app.refused() {
        return Vec::new();
    }
    let form = forms::open(purpose, app);
    app.open(Overlay::Form(form))
}

fn open(app: &mut App) -> Vec<Effect> {
    if let Some(why) = app.data.car().and_then(|car| car.error.clone()) {
        let place = &app.data.standing.place;
        app.say(format!("{why} The file is left as it is, in {place}"));
        return Vec::new();
    }
    let screen = if app.before.is_of_a_car() {
        app.before
    } else {
        Screen::Story
    };
    app.go(screen)
}

fn cross(app: &mut App) {
    let Some(slug) = app.data.hand.clone() else {
        return;
    };
    if let Some(at) = app.marks.iter().position(|marked| *marked == slug) {
        app.marks.remove(at);
    } else if app.marks.len() < MOST_MARKS {
        app.marks.push(slug);
    } else {
        app.say("four cars are marked: x on one of them lets it go".to_owned());
    }
}
