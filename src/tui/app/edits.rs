//! Edits of cars and buyer, new and removed cars, figures that come.

use super::{App, Effect, Moved, Said};
use crate::car::{Buyer, CarFile, CarRecord, Claim};
use crate::engine::Appraisal;
use crate::engine::replan::replan;
use crate::tui::acts::Done;
use crate::tui::data::{CarEntry, Figures};
use crate::tui::overlay::{self, Overlay};
use crate::tui::ports::{Access, Shelved};
use crate::tui::screens::{self, Screen};
use crate::tui::{advert, say};
use std::sync::Arc;

impl App {
    /// True if nothing may be written at all; says why.
    pub fn read_only(&mut self) -> bool {
        if let Access::ReadOnly(why) = &self.data.access {
            let why = why.clone();
            self.say(why);
            return true;
        }
        false
    }

    /// True if nothing may be changed on the car in hand; says why.
    pub fn refused(&mut self) -> bool {
        if self.read_only() {
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

    /// The plan of offers of the car in hand at once, from the figures in sight; the whole weighing that follows gives the same plan.
    pub fn replan(&mut self) {
        let today = self.data.now.date();
        let (tables, buyer) = (Arc::clone(&self.data.tables), self.data.buyer.clone());
        let Some(slug) = self.data.hand.clone() else {
            return;
        };
        if let Some(entry) = self.data.entry_mut(&slug)
            && let Some(figures) = &mut entry.figures
        {
            let offer = replan(figures, &entry.file.car, &buyer, &tables, today);
            Arc::make_mut(figures).offer = offer;
        }
    }

    /// Edits the buyer as one step.
    pub fn edit_buyer(&mut self, label: &str, change: impl FnOnce(&mut Buyer)) -> Vec<Effect> {
        if self.read_only() {
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
    pub(in crate::tui) fn buyer_changed(&mut self) -> Vec<Effect> {
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
    pub(in crate::tui) fn changed(&mut self, slug: &str) -> Vec<Effect> {
        let mut effects = vec![Effect::Save(slug.to_owned())];
        effects.extend(self.data.ask_weighing(slug));
        if self.screen == Screen::Side {
            effects.extend(self.data.ask_comparison(&self.marks));
        }
        effects
    }

    pub(in crate::tui) fn weigh_all(&mut self) -> Vec<Effect> {
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

    pub(super) fn weighed(
        &mut self,
        slug: &str,
        ticket: u64,
        rough: bool,
        appraisal: Arc<Appraisal>,
    ) {
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
        // A short run against a whole one moves by noise alone: only the whole run says so.
        if in_hand && !rough && moved.is_some() {
            self.said.moved = moved;
        }
        screens::walk::weighed(self, slug, rough);
        screens::clamp(self);
    }

    pub(super) fn paste(&mut self, text: &str) -> Vec<Effect> {
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
        self.add_car(advert::car(text))
    }

    /// Puts a new car on the shelf.
    pub fn add_car(&mut self, car: CarRecord) -> Vec<Effect> {
        if self.read_only() {
            return Vec::new();
        }
        let file = CarFile {
            schema: crate::car::SCHEMA,
            car,
            ..CarFile::default()
        };
        vec![Effect::Add(Box::new(file))]
    }

    pub(super) fn added(&mut self, result: Result<(String, Box<CarFile>), String>) -> Vec<Effect> {
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

    pub(super) fn loaded(&mut self, cars: Vec<Shelved>) -> Vec<Effect> {
        self.data.load(cars);
        self.marks
            .retain(|slug| self.data.cars.iter().any(|car| car.slug == *slug));
        let effects = self.weigh_all();
        screens::clamp(self);
        effects
    }

    /// Removes the car in hand: to the bin.
    pub fn remove_car(&mut self, slug: &str) -> Vec<Effect> {
        if self.read_only() {
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
