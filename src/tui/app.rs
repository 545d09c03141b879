//! All state of the screens, and the one way it changes: `update(action)` gives the effects that are still to be performed.

mod action;
mod edits;
mod outside;
mod sample;

use crate::tui::acts::Acts;
use crate::tui::copy::Copied;
use crate::tui::data::Data;
use crate::tui::forms::Form;
use crate::tui::keys::{self, Act, Context, Key};
use crate::tui::overlay::palette::Palette;
use crate::tui::overlay::{self, Overlay};
use crate::tui::ports::Access;
use crate::tui::screens::{self, Screen, Views};
pub use action::{Action, Effect, Target};
pub use sample::Pending;

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
    /// What was copied with the last key: the same key again writes it to a file.
    pub copied: Option<Copied>,
    /// A change of a sample that waits for its copy.
    pub pending: Option<Box<Pending>>,
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
            copied: None,
            pending: None,
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
            // The walk goes on while money is hidden: it shows none.
            None if self.hidden && self.screen != Screen::Walk => Context::Hidden,
            None => Context::Screen(self.screen),
        }
    }

    /// Changes the state and says what is still to be done.
    pub fn update(&mut self, action: Action) -> Vec<Effect> {
        match &self.data.access {
            Access::Sample(place) if self.pending.is_none() => {
                let place = place.clone();
                self.update_sample(action, &place)
            }
            _ => self.apply(action),
        }
    }

    /// [`Self::update`] below the question that a sample asks.
    pub(in crate::tui) fn apply(&mut self, action: Action) -> Vec<Effect> {
        match action {
            Action::Act(act) => {
                self.said = Said::default();
                if act != Act::Copy {
                    self.copied = None;
                }
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
            Action::Tap(target) => self.tap(&target),
            Action::Size(columns, rows) => {
                self.size = (columns, rows);
                // Fewer rows may join rungs: the row in hand stays one that is there.
                screens::clamp(self);
                Vec::new()
            }
            Action::Weighed {
                slug,
                ticket,
                rough,
                appraisal,
            } => {
                self.weighed(&slug, ticket, rough, appraisal);
                screens::walk::refresh(self, &slug, rough)
            }
            Action::FoundOut { slug, found } => screens::walk::found_out(self, &slug, &found),
            Action::TwoPriced { about, at, came } => {
                screens::asked::two_came(self, &about, at, *came);
                Vec::new()
            }
            Action::Minded { about, mind } => {
                screens::asked::mind_came(self, &about, mind);
                Vec::new()
            }
            Action::Compared { ticket, comparison } => {
                self.data.compared_came(ticket, comparison);
                Vec::new()
            }
            Action::Added(result) => self.added(result),
            Action::Copied(result) => self.copied(result),
            Action::Loaded(cars) => self.loaded(cars),
            Action::Said(words) => {
                self.say(words);
                Vec::new()
            }
            Action::Edited(result) => self.edited(result),
            Action::ReadIn(result) => self.came_in(result),
            Action::OwnTables(result) => screens::look::changed(self, result),
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

    fn tap(&mut self, target: &Target) -> Vec<Effect> {
        match target {
            Target::Hide => self.apply(Action::Act(Act::Hide)),
            Target::Key(key) => self.apply(keys::action(self, *key)),
            _ if self.overlay.is_some() => Vec::new(),
            Target::Weigh { cheap, reliable } => {
                self.said = Said::default();
                screens::side::weigh(self, action::shares(*cheap, *reliable));
                Vec::new()
            }
            Target::Screen(screen) => {
                self.said = Said::default();
                self.go(*screen)
            }
            Target::Row { part, row } => {
                let cursor = self.views.cursor_mut(self.screen);
                if cursor.part == *part && cursor.row() == *row {
                    return self.apply(keys::action(self, Key::Enter));
                }
                self.said = Said::default();
                cursor.part = *part;
                cursor.set_row(*row);
                screens::came_to(self);
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
                // Hidden lists are whole and by name; shown ones may be narrowed.
                screens::clamp(self);
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
            Act::Tags => overlay::open_tags(self),
            Act::FindOut if self.screen == Screen::Side => screens::side::find_out(self),
            Act::FindOut => screens::walk::find_out(self),
            Act::Quit => vec![Effect::Quit],
            Act::Palette => self.open(Overlay::Palette(Palette::default())),
            Act::Copy => self.copy(),
            Act::Skip if self.screen != Screen::Walk => {
                screens::walk(self, Act::PageDown);
                Vec::new()
            }
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
        let broken = self.data.car().and_then(|car| car.error.clone());
        if let (Some(why), true) = (broken, screen.is_of_a_car()) {
            // Its screens would show nothing, or what is not so.
            self.say(why);
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
}
