//! What can be taken back and done again, across cars, the buyer and the shelf.

use crate::car::history;
use crate::car::{Buyer, CarFile};
use crate::trade::OwnChange;
use crate::tui::app::{App, Effect};
use crate::tui::data::CarEntry;
use crate::tui::screens::{self, Screen};

/// One act of the user.
#[derive(Debug, Clone, PartialEq)]
pub enum Done {
    /// A step in a car's own file.
    Car {
        /// Car.
        slug: String,
        /// In words.
        label: String,
        /// Where.
        screen: Screen,
    },
    /// The buyer's numbers.
    Buyer {
        /// As they stood.
        before: Box<Buyer>,
        /// As they stand.
        after: Box<Buyer>,
        /// In words.
        label: String,
    },
    /// A change of the user's own in the tables.
    Own {
        /// As it stood.
        before: Box<OwnChange>,
        /// As it stands.
        after: Box<OwnChange>,
        /// In words.
        label: String,
    },
    /// A new car.
    Added {
        /// Car.
        slug: String,
        /// As it was put on the shelf.
        file: Box<CarFile>,
    },
    /// A car in the bin.
    Removed {
        /// Car.
        slug: String,
        /// As it was.
        file: Box<CarFile>,
    },
}

impl Done {
    fn label(&self) -> String {
        match self {
            Self::Car { label, .. } | Self::Buyer { label, .. } | Self::Own { label, .. } => {
                label.clone()
            }
            Self::Added { file, .. } => format!("new car {}", file.car.name),
            Self::Removed { file, .. } => format!("{} to the bin", file.car.name),
        }
    }
}

/// This sitting's acts, oldest first. Steps of earlier sittings lie in the car files.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Acts {
    done: Vec<Done>,
    undone: Vec<Done>,
}

impl Acts {
    /// A new act; what was undone before it cannot be done again.
    pub fn push(&mut self, done: Done) {
        self.done.push(done);
        self.undone.clear();
    }

    /// A change of the tables that was refused was not made.
    pub fn forget_last_own(&mut self) {
        if matches!(self.done.last(), Some(Done::Own { .. })) {
            self.done.pop();
        }
    }
}

impl App {
    /// Takes the last act back; if it was done elsewhere, goes there first and says so.
    pub fn undo(&mut self) -> Vec<Effect> {
        let act = self
            .acts
            .done
            .last()
            .cloned()
            .or_else(|| self.older_step(true));
        let Some(act) = act else {
            self.say("nothing to take back".to_owned());
            return Vec::new();
        };
        if let Some(effects) = self.go_to_act(&act, "u again takes back") {
            return effects;
        }
        if self.refused_for(&act) {
            return Vec::new();
        }
        self.acts.done.pop();
        let label = act.label();
        let effects = self.reverse(&act, true);
        self.acts.undone.push(act);
        self.say(format!("undone: {label}"));
        screens::clamp(self);
        effects
    }

    /// Does the last undone act again.
    pub fn redo(&mut self) -> Vec<Effect> {
        let act = self
            .acts
            .undone
            .last()
            .cloned()
            .or_else(|| self.older_step(false));
        let Some(act) = act else {
            self.say("nothing to do again".to_owned());
            return Vec::new();
        };
        if let Some(effects) = self.go_to_act(&act, "U again does") {
            return effects;
        }
        if self.refused_for(&act) {
            return Vec::new();
        }
        self.acts.undone.pop();
        let label = act.label();
        let effects = self.reverse(&act, false);
        self.acts.done.push(act);
        self.say(format!("done again: {label}"));
        screens::clamp(self);
        effects
    }

    /// A step of an earlier sitting, from the file of the car in hand.
    fn older_step(&self, back: bool) -> Option<Done> {
        let car = self.data.car()?;
        let steps = if back { &car.file.undo } else { &car.file.redo };
        let step = steps.last()?;
        Some(Done::Car {
            slug: car.slug.clone(),
            label: step.label.clone(),
            screen: Screen::of_word(&step.screen).unwrap_or(self.screen),
        })
    }

    fn go_to_act(&mut self, act: &Done, words: &str) -> Option<Vec<Effect>> {
        let (screen, slug) = match act {
            Done::Car { slug, screen, .. } => (*screen, Some(slug)),
            Done::Buyer { .. } => (Screen::You, None),
            Done::Own { .. } => (Screen::Look, None),
            Done::Added { .. } | Done::Removed { .. } => (Screen::Cars, None),
        };
        let here =
            self.screen == screen && slug.is_none_or(|slug| self.data.hand.as_ref() == Some(slug));
        if here || self.hidden {
            return None;
        }
        if let Some(slug) = slug {
            if screens::cars::shown(self)
                .iter()
                .all(|car| car.slug != *slug)
            {
                // A narrowed list would put another car into the hand.
                self.views.cars.narrow.clear();
            }
            self.data.hand = Some(slug.clone());
            screens::cars::stand_on_hand(self);
        }
        let effects = self.go(screen);
        self.say(format!("{words}: {}", act.label()));
        Some(effects)
    }

    fn refused_for(&mut self, act: &Done) -> bool {
        match act {
            Done::Car { .. } => self.refused(),
            // The user's own tables lie outside the notebook.
            Done::Own { .. } => false,
            _ => self.read_only(),
        }
    }

    fn reverse(&mut self, act: &Done, back: bool) -> Vec<Effect> {
        match act {
            Done::Car { slug, .. } => {
                self.data.remember_bottom_line();
                let Some(entry) = self.data.entry_mut(slug) else {
                    return Vec::new();
                };
                let before = entry.file.car.clone();
                if back {
                    history::undo(&mut entry.file);
                } else {
                    history::redo(&mut entry.file);
                }
                if self.screen == Screen::Walk {
                    screens::walk::stand_on_change(self, &before);
                }
                self.changed(slug)
            }
            Done::Buyer { before, after, .. } => {
                self.data.buyer = if back { before } else { after }.as_ref().clone();
                self.buyer_changed()
            }
            Done::Own { before, after, .. } => {
                let change = if back { before } else { after };
                vec![Effect::ChangeOwn(change.clone())]
            }
            Done::Added { slug, file } if !back => self.bring_back(slug, file),
            Done::Removed { slug, file } if back => self.bring_back(slug, file),
            Done::Added { slug, .. } | Done::Removed { slug, .. } => {
                self.data.take(slug);
                self.marks.retain(|marked| marked != slug);
                vec![Effect::Remove(slug.clone())]
            }
        }
    }

    fn bring_back(&mut self, slug: &str, file: &CarFile) -> Vec<Effect> {
        self.data.cars.retain(|car| car.slug != slug);
        self.data
            .cars
            .push(CarEntry::new(slug.to_owned(), file.clone()));
        self.data.hand = Some(slug.to_owned());
        let mut effects = vec![Effect::Restore(slug.to_owned())];
        effects.extend(self.data.ask_weighing(slug));
        screens::cars::stand_on_hand(self);
        effects
    }
}
