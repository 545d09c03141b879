//! All state of the screens, and the one way it changes: `update(action)` gives the effects that are still to be performed.

use crate::car::{Buyer, CarFile, CarRecord, Claim};
use crate::engine::{Appraisal, Comparison};
use crate::tui::acts::{Acts, Done};
use crate::tui::data::{CarEntry, Data, Figures};
use crate::tui::forms::Form;
use crate::tui::keys::{Act, Context, Key};
use crate::tui::overlay::{self, Overlay};
use crate::tui::ports::{Access, Shelved, Standing};
use crate::tui::screens::{self, Screen, Views};
use crate::tui::{advert, say};
use jiff::civil::DateTime;
use std::sync::Arc;

/// Most cars that can be marked.
pub const MOST_MARKS: usize = 4;

/// What the screens are started with and never change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Setup {
    /// Start with all money hidden.
    pub hidden: bool,
    /// Mouse taps are on.
    pub mouse: bool,
}

/// What was just said to the user; gone at the next key.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Said {
    /// A message in the status rule.
    pub message: Option<String>,
    /// How the last act moved the bottom line: limit before and after, opening before and after.
    pub moved: Option<Moved>,
}

/// A movement of the bottom line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// Limit before and after, as shown.
    pub limit: (String, String, String),
    /// Opening before and after, as shown; absent where it stayed or was not there.
    pub open: Option<(String, String)>,
}

/// All state.
#[derive(Debug, Clone, PartialEq)]
pub struct App {
    /// Screen in sight.
    pub screen: Screen,
    /// The one before it.
    pub before: Screen,
    /// What lies over it.
    pub overlay: Option<Overlay>,
    /// Cars, buyer, figures.
    pub data: Data,
    /// Where each screen stands.
    pub views: Views,
    /// Marked cars, A to D.
    pub marks: Vec<String>,
    /// All money is hidden.
    pub hidden: bool,
    /// What was just said.
    pub said: Said,
    /// What can be taken back.
    pub acts: Acts,
    /// Columns and rows of the terminal.
    pub size: (u16, u16),
    /// A form left with Esc.
    pub draft: Option<Form>,
    /// Start options.
    pub setup: Setup,
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// A key with a meaning.
    Act(Act),
    /// A key typed where text is taken.
    Type(Key),
    /// A key that means nothing here.
    Nothing(Key),
    /// A paste, as one insertion.
    Paste(String),
    /// A tap on a cell: column, row.
    Tap(u16, u16),
    /// The terminal has a new size.
    Size(u16, u16),
    /// Figures of a car came.
    Weighed {
        /// Car.
        slug: String,
        /// Which request they answer.
        ticket: u64,
        /// From a first short run.
        rough: bool,
        /// The figures.
        appraisal: Arc<Appraisal>,
    },
    /// A comparison came.
    Compared {
        /// Which request it answers.
        ticket: u64,
        /// The comparison.
        comparison: Arc<Comparison>,
    },
    /// A new car is on the shelf, or why not.
    Added(Result<(String, Box<CarFile>), String>),
    /// The shelf was read anew.
    Loaded(Vec<Shelved>),
    /// Something was written, or why not.
    Wrote(Result<(), String>),
    /// The clock and the notebook's standing.
    Standing(Standing, Access, DateTime),
}

/// What is to be done outside.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Write a car.
    Save(String),
    /// Write the buyer.
    SaveBuyer,
    /// Put a new car on the shelf.
    Add(Box<CarFile>),
    /// Move a car to the bin.
    Remove(String),
    /// Bring a car back.
    Restore(String),
    /// Put the samples on the shelf.
    Samples,
    /// Weigh a car.
    Weigh {
        /// Car.
        slug: String,
        /// Number of the request.
        ticket: u64,
    },
    /// Weigh the marked cars side by side.
    Compare {
        /// Number of the request.
        ticket: u64,
    },
    /// Leave.
    Quit,
    /// Suspend to the shell.
    Suspend,
    /// Draw everything anew.
    Redraw,
}

impl App {
    /// The first state, and what is to be done at once.
    #[must_use]
    pub fn new(setup: Setup, mut data: Data) -> (Self, Vec<Effect>) {
        let hand = data.hand.clone().or_else(|| {
            let first = data.cars.iter().find(|car| car.error.is_none());
            first.map(|car| car.slug.clone())
        });
        data.hand = hand;
        let mut app = Self {
            screen: Screen::Cars,
            before: Screen::Cars,
            overlay: None,
            data,
            views: Views::default(),
            marks: Vec::new(),
            hidden: setup.hidden,
            said: Said::default(),
            acts: Acts::default(),
            size: (80, 24),
            draft: None,
            setup,
        };
        let effects = app.weigh_all();
        screens::cars::stand_on_hand(&mut app);
        (app, effects)
    }

    /// Where a key is looked up.
    #[must_use]
    pub fn context(&self) -> Context {
        if self.size.0 < 30 || self.size.1 < 10 {
            return Context::TooSmall;
        }
        match &self.overlay {
            Some(overlay) => overlay.context(),
            None if self.hidden => Context::Hidden,
            None => Context::Screen(self.screen),
        }
    }

    /// Changes the state and says what is still to be done.
    pub fn update(&mut self, action: Action) -> Vec<Effect> {
        match action {
            Action::Act(act) => {
                self.said = Said::default();
                self.act(act)
            }
            Action::Type(key) => {
                self.said = Said::default();
                overlay::type_key(self, key)
            }
            Action::Nothing(key) => {
                self.say(format!("{} means nothing here", key.label()));
                Vec::new()
            }
            Action::Paste(text) => self.paste(&text),
            Action::Tap(column, row) => screens::tap(self, column, row),
            Action::Size(columns, rows) => {
                self.size = (columns, rows);
                Vec::new()
            }
            Action::Weighed {
                slug,
                ticket,
                rough,
                appraisal,
            } => {
                self.weighed(&slug, ticket, rough, appraisal);
                Vec::new()
            }
            Action::Compared { ticket, comparison } => {
                self.data.compared_came(ticket, comparison);
                Vec::new()
            }
            Action::Added(result) => self.added(result),
            Action::Loaded(cars) => self.loaded(cars),
            Action::Wrote(result) => {
                if let Err(why) = result {
                    self.say(why);
                }
                Vec::new()
            }
            Action::Standing(standing, access, now) => {
                self.data.standing = standing;
                self.data.access = access;
                self.data.now = now;
                Vec::new()
            }
        }
    }

    fn act(&mut self, act: Act) -> Vec<Effect> {
        match act {
            Act::End => return vec![Effect::Quit],
            Act::Suspend => return vec![Effect::Suspend],
            Act::Redraw => return vec![Effect::Redraw],
            Act::Hide => {
                self.hidden = !self.hidden;
                self.overlay = None;
                return Vec::new();
            }
            _ => {}
        }
        if self.overlay.is_some() {
            return overlay::act(self, act);
        }
        match act {
            Act::Go(screen) => self.go(screen),
            Act::GoMenu => self.open(Overlay::Go),
            Act::ScreenBefore => self.go(self.screen.step(-1)),
            Act::ScreenAfter => self.go(self.screen.step(1)),
            Act::Undo => self.undo(),
            Act::Redo => self.redo(),
            Act::Help => self.open(overlay::help_here(self)),
            Act::Why => overlay::open_why(self),
            Act::Quit => vec![Effect::Quit],
            Act::Down
            | Act::Up
            | Act::PageDown
            | Act::PageUp
            | Act::First
            | Act::Last
            | Act::NextPart
            | Act::PartBefore => {
                screens::walk(self, act);
                Vec::new()
            }
            _ => screens::act(self, act),
        }
    }

    /// Puts something over the screen.
    pub fn open(&mut self, overlay: Overlay) -> Vec<Effect> {
        self.overlay = Some(overlay);
        Vec::new()
    }

    /// Goes to a screen; without a car, the screens of a car stay closed.
    pub fn go(&mut self, screen: Screen) -> Vec<Effect> {
        if screen.is_of_a_car() && self.data.car().is_none() {
            self.say("no car in hand: a makes one".to_owned());
            return Vec::new();
        }
        if screen != self.screen {
            self.before = self.screen;
            self.screen = screen;
            screens::first_focus(self);
        }
        if screen == Screen::Side {
            return self.data.ask_comparison(&self.marks).into_iter().collect();
        }
        Vec::new()
    }

    /// Says something in the status rule.
    pub fn say(&mut self, words: String) {
        self.said.message = Some(words);
    }

    /// True if nothing may be changed; says why.
    pub fn refused(&mut self) -> bool {
        if let Access::ReadOnly(why) = &self.data.access {
            self.say(why.clone());
            return true;
        }
        if self.data.car().is_some_and(|car| car.error.is_some()) {
            let why = self.data.car().and_then(|car| car.error.clone());
            self.say(why.unwrap_or_default());
            return true;
        }
        false
    }

    /// Edits the car in hand as one step.
    pub fn edit(&mut self, label: &str, change: impl FnOnce(&mut CarRecord)) -> Vec<Effect> {
        if self.refused() {
            return Vec::new();
        }
        let screen = self.screen;
        let Some(slug) = self.data.edit(label, screen.word(), change) else {
            return Vec::new();
        };
        self.acts.push(Done::Car {
            slug: slug.clone(),
            label: label.to_owned(),
            screen,
        });
        self.changed(&slug)
    }

    /// Edits the buyer as one step.
    pub fn edit_buyer(&mut self, label: &str, change: impl FnOnce(&mut Buyer)) -> Vec<Effect> {
        if let Access::ReadOnly(why) = &self.data.access {
            let why = why.clone();
            self.say(why);
            return Vec::new();
        }
        let before = self.data.buyer.clone();
        change(&mut self.data.buyer);
        if self.data.buyer == before {
            return Vec::new();
        }
        self.acts.push(Done::Buyer {
            before: Box::new(before),
            after: Box::new(self.data.buyer.clone()),
            label: label.to_owned(),
        });
        self.buyer_changed()
    }

    /// Saves and weighs the buyer's new numbers on every car.
    pub(super) fn buyer_changed(&mut self) -> Vec<Effect> {
        let cars = self.data.cars.len();
        self.say(format!(
            "reprices {cars} {}",
            if cars == 1 { "car" } else { "cars" }
        ));
        self.data.remember_bottom_line();
        let mut effects = vec![Effect::SaveBuyer];
        effects.extend(self.weigh_all());
        effects
    }

    /// Saves and weighs a car that was changed.
    pub(super) fn changed(&mut self, slug: &str) -> Vec<Effect> {
        let mut effects = vec![Effect::Save(slug.to_owned())];
        effects.extend(self.data.ask_weighing(slug));
        if self.screen == Screen::Side {
            effects.extend(self.data.ask_comparison(&self.marks));
        }
        effects
    }

    fn weigh_all(&mut self) -> Vec<Effect> {
        let mut slugs: Vec<String> = self.data.cars.iter().map(|car| car.slug.clone()).collect();
        slugs.sort_by_key(|slug| self.data.hand.as_ref() != Some(slug));
        let mut effects: Vec<Effect> = slugs
            .iter()
            .filter_map(|slug| self.data.ask_weighing(slug))
            .collect();
        if self.screen == Screen::Side {
            effects.extend(self.data.ask_comparison(&self.marks));
        }
        effects
    }

    fn weighed(&mut self, slug: &str, ticket: u64, rough: bool, appraisal: Arc<Appraisal>) {
        let in_hand = self.data.hand.as_deref() == Some(slug);
        let Some(entry) = self.data.entry_mut(slug) else {
            return;
        };
        if ticket != entry.ticket {
            return;
        }
        let moved = entry
            .before_edit
            .as_ref()
            .and_then(|before| moved(before, &appraisal));
        if !rough {
            entry.before_edit = None;
        }
        entry.figures = Some(appraisal);
        entry.state = if rough {
            Figures::Rough
        } else {
            Figures::Settled
        };
        if in_hand && moved.is_some() {
            self.said.moved = moved;
        }
        screens::clamp(self);
    }

    fn paste(&mut self, text: &str) -> Vec<Effect> {
        self.said = Said::default();
        if let Some(context) = self.overlay.as_ref().map(Overlay::context) {
            if context.takes_text() {
                overlay::paste(self, text);
            }
            return Vec::new();
        }
        if self.hidden {
            return Vec::new();
        }
        match overlay::Sure::of_paste(text, self.screen) {
            Some(sure) => self.open(Overlay::Sure(sure)),
            None => Vec::new(),
        }
    }

    /// Makes a car of an advert.
    pub fn car_of_advert(&mut self, text: &str) -> Vec<Effect> {
        let mut car = CarRecord {
            name: advert::name(text),
            ..CarRecord::default()
        };
        car.listing.asking = advert::obvious_price(text);
        car.particulars.odometer_miles = advert::obvious_miles(text);
        car.particulars.year = advert::obvious_year(text);
        text.clone_into(&mut car.listing.advert);
        car.listing.whole_text_on_file = true;
        self.add_car(car)
    }

    /// Puts a new car on the shelf.
    pub fn add_car(&mut self, car: CarRecord) -> Vec<Effect> {
        if let Access::ReadOnly(why) = &self.data.access {
            let why = why.clone();
            self.say(why);
            return Vec::new();
        }
        let file = CarFile {
            schema: crate::car::SCHEMA,
            car,
            ..CarFile::default()
        };
        vec![Effect::Add(Box::new(file))]
    }

    fn added(&mut self, result: Result<(String, Box<CarFile>), String>) -> Vec<Effect> {
        match result {
            Err(why) => {
                self.say(why);
                Vec::new()
            }
            Ok((slug, file)) => {
                self.acts.push(Done::Added {
                    slug: slug.clone(),
                    file: file.clone(),
                });
                self.data.cars.push(CarEntry::new(slug.clone(), *file));
                self.data.hand = Some(slug.clone());
                let mut effects: Vec<Effect> = self.data.ask_weighing(&slug).into_iter().collect();
                effects.extend(self.go(Screen::Story));
                screens::first_focus(self);
                let worthless = self.data.car().is_some_and(|car| {
                    car.file.car.worth.own.is_none() && car.file.car.worth.comparables.is_empty()
                });
                if worthless {
                    let form = crate::tui::forms::open(crate::tui::forms::Purpose::Worth, self);
                    effects.extend(self.open(Overlay::Form(form)));
                }
                effects
            }
        }
    }

    fn loaded(&mut self, cars: Vec<Shelved>) -> Vec<Effect> {
        self.data.load(cars);
        self.marks
            .retain(|slug| self.data.cars.iter().any(|car| car.slug == *slug));
        let effects = self.weigh_all();
        screens::clamp(self);
        effects
    }

    /// Removes the car in hand: to the bin.
    pub fn remove_car(&mut self, slug: &str) -> Vec<Effect> {
        if let Access::ReadOnly(why) = &self.data.access {
            let why = why.clone();
            self.say(why);
            return Vec::new();
        }
        let Some(entry) = self.data.take(slug) else {
            return Vec::new();
        };
        self.marks.retain(|marked| marked != slug);
        self.say(format!(
            "{} is in the bin, u brings it back",
            entry.file.car.name
        ));
        self.acts.push(Done::Removed {
            slug: slug.to_owned(),
            file: Box::new(entry.file),
        });
        screens::clamp(self);
        vec![Effect::Remove(slug.to_owned())]
    }

    /// The claims of the car in hand.
    #[must_use]
    pub fn claims(&self) -> &[Claim] {
        self.data.car().map_or(&[], |car| &car.file.car.claims)
    }
}

/// The movement between two bottom lines, if any.
fn moved(before: &(Option<f64>, Option<f64>), now: &Appraisal) -> Option<Moved> {
    let limit = now.limit.price.map(say::to_f64);
    let open = now.offer.open.map(say::to_f64);
    let shown = |value: Option<f64>| value.map_or_else(|| "··".to_owned(), say::whole);
    if before.0.map(f64::to_bits) == limit.map(f64::to_bits) {
        return None;
    }
    let by = match (before.0, limit) {
        (Some(before), Some(limit)) => say::moved(limit - before),
        _ => String::new(),
    };
    let open = (before.1.map(f64::to_bits) != open.map(f64::to_bits))
        .then(|| (shown(before.1), shown(open)));
    Some(Moved {
        limit: (shown(before.0), shown(limit), by),
        open,
    })
}
