//! The cars, the buyer and the figures that came for them.

use crate::car::{Buyer, CarFile, CarRecord, history};
use crate::engine::{Appraisal, Comparison};
use crate::trade::{Own, Tables};
use crate::tui::app::Effect;
use crate::tui::ports::{Access, Shelved, Standing};
use crate::tui::say;
use jiff::civil::DateTime;
use std::sync::Arc;

/// How the file of a car ends, as its sentences name it.
pub const CAR_SUFFIX: &str = ".car.json";

/// How far the figures of a car are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Figures {
    /// Asked for; those in sight, if any, are old.
    #[default]
    Waiting,
    /// From a first short run.
    Rough,
    /// From the whole run.
    Settled,
}

/// One car of the notebook.
#[derive(Debug, Clone, PartialEq)]
pub struct CarEntry {
    /// Short name of its file.
    pub slug: String,
    /// The file.
    pub file: CarFile,
    /// Why it cannot be read; then the file is left as it is.
    pub error: Option<String>,
    /// Newest figures.
    pub figures: Option<Arc<Appraisal>>,
    /// How far they are.
    pub state: Figures,
    /// Newest request.
    pub ticket: u64,
    /// Limit and opening before the edits that the figures are not yet out for.
    pub before_edit: Option<(Option<f64>, Option<f64>)>,
}

impl CarEntry {
    /// A car that was just read or made.
    #[must_use]
    pub fn new(slug: String, file: CarFile) -> Self {
        Self {
            slug,
            file,
            error: None,
            figures: None,
            state: Figures::Waiting,
            ticket: 0,
            before_edit: None,
        }
    }

    fn of_shelf(shelved: Shelved) -> Self {
        match shelved.file {
            Ok(file) => Self::new(shelved.slug, file),
            Err(why) => {
                let mut entry = Self::new(shelved.slug.clone(), CarFile::default());
                entry.file.car.name = shelved.slug;
                entry.error = Some(why);
                entry
            }
        }
    }

    /// Name as shown.
    #[must_use]
    pub fn name(&self) -> &str {
        if self.file.car.name.is_empty() {
            &self.slug
        } else {
            &self.file.car.name
        }
    }

    /// The name where it fits, else model and year, else the model, else what fits of it.
    #[must_use]
    pub fn name_in(&self, cells: usize) -> String {
        let facts = &self.file.car.particulars;
        let year = facts
            .year
            .map_or_else(String::new, |year| format!(" {year}"));
        let first = facts.model.split(' ').next().unwrap_or_default();
        [
            self.name().to_owned(),
            format!("{}{year}", facts.model),
            facts.model.clone(),
            first.to_owned(),
        ]
        .into_iter()
        .filter(|name| !facts.model.is_empty() || name == self.name())
        .find(|name| say::width(name) <= cells)
        .unwrap_or_else(|| say::clip(if first.is_empty() { self.name() } else { first }, cells))
    }

    /// The record.
    #[must_use]
    pub fn car(&self) -> &CarRecord {
        &self.file.car
    }
}

/// What is known: cars, buyer, tables, figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Data {
    /// Cars.
    pub cars: Vec<CarEntry>,
    /// Slug of the car in hand.
    pub hand: Option<String>,
    /// The buyer.
    pub buyer: Buyer,
    /// Tables in force.
    pub tables: Arc<Tables>,
    /// The user's own changes in them.
    pub own: Vec<Own>,
    /// Why the user's own tables are not in force.
    pub tables_trouble: Option<String>,
    /// Why the buyer's file cannot be used.
    pub buyer_trouble: Option<String>,
    /// Newest comparison.
    pub compared: Option<Arc<Comparison>>,
    /// Newest request for one.
    pub compare_ticket: u64,
    /// About the notebook.
    pub standing: Standing,
    /// Whether it can be written.
    pub access: Access,
    /// The user's clock.
    pub now: DateTime,
    /// Requests given out so far.
    pub tickets: u64,
}

impl Data {
    /// Data of a notebook as it was read.
    #[must_use]
    pub fn new(cars: Vec<Shelved>, buyer: Buyer, tables: Arc<Tables>, now: DateTime) -> Self {
        Self {
            cars: cars.into_iter().map(CarEntry::of_shelf).collect(),
            hand: None,
            buyer,
            tables,
            own: Vec::new(),
            tables_trouble: None,
            buyer_trouble: None,
            compared: None,
            compare_ticket: 0,
            standing: Standing::default(),
            access: Access::Write,
            now,
            tickets: 0,
        }
    }

    /// Reads the shelf anew; cars already here keep their edits.
    pub fn load(&mut self, cars: Vec<Shelved>) {
        for shelved in cars {
            if self.cars.iter().all(|car| car.slug != shelved.slug) {
                self.cars.push(CarEntry::of_shelf(shelved));
            }
        }
        if self.car().is_none() {
            self.hand = self.cars.first().map(|car| car.slug.clone());
        }
    }

    /// The car in hand.
    #[must_use]
    pub fn car(&self) -> Option<&CarEntry> {
        self.entry(self.hand.as_deref()?)
    }

    /// The record of the car in hand.
    #[must_use]
    pub fn record(&self) -> Option<&CarRecord> {
        self.car().map(CarEntry::car)
    }

    /// The figures of the car in hand.
    #[must_use]
    pub fn figures(&self) -> Option<&Appraisal> {
        self.car()?.figures.as_deref()
    }

    /// A car by slug.
    #[must_use]
    pub fn entry(&self, slug: &str) -> Option<&CarEntry> {
        self.cars.iter().find(|car| car.slug == slug)
    }

    /// A car by slug, to change.
    pub fn entry_mut(&mut self, slug: &str) -> Option<&mut CarEntry> {
        self.cars.iter_mut().find(|car| car.slug == slug)
    }

    /// Takes a car out; another one comes to hand.
    pub fn take(&mut self, slug: &str) -> Option<CarEntry> {
        let at = self.cars.iter().position(|car| car.slug == slug)?;
        let entry = self.cars.remove(at);
        if self.hand.as_deref() == Some(slug) {
            let next = self.cars.get(at).or_else(|| self.cars.last());
            self.hand = next.map(|car| car.slug.clone());
        }
        Some(entry)
    }

    /// Edits the car in hand; its slug if something changed.
    pub fn edit(
        &mut self,
        label: &str,
        screen: &str,
        change: impl FnOnce(&mut CarRecord),
    ) -> Option<String> {
        self.remember_bottom_line();
        let slug = self.hand.clone()?;
        let entry = self.entry_mut(&slug)?;
        history::apply(&mut entry.file, label, screen, change).then_some(slug)
    }

    /// Keeps the bottom lines as they stand, to show how an act moves them.
    pub fn remember_bottom_line(&mut self) {
        for entry in &mut self.cars {
            if let (None, Some(figures)) = (&entry.before_edit, &entry.figures) {
                entry.before_edit = Some((
                    figures.limit.price.map(say::to_f64),
                    figures.offer.open.map(say::to_f64),
                ));
            }
        }
    }

    /// A new request for the figures of a car.
    pub fn ask_weighing(&mut self, slug: &str) -> Option<Effect> {
        self.tickets += 1;
        let ticket = self.tickets;
        let entry = self.entry_mut(slug)?;
        if entry.error.is_some() {
            return None;
        }
        entry.ticket = ticket;
        entry.state = Figures::Waiting;
        Some(Effect::Weigh {
            slug: slug.to_owned(),
            ticket,
        })
    }

    /// A new request for the comparison of the marked cars.
    pub fn ask_comparison(&mut self, marks: &[String]) -> Option<Effect> {
        if marks.len() < 2 {
            self.compared = None;
            return None;
        }
        self.tickets += 1;
        self.compare_ticket = self.tickets;
        Some(Effect::Compare {
            ticket: self.compare_ticket,
        })
    }

    /// Figures that answer the same requests and came meanwhile.
    pub fn take_newer_figures(&mut self, other: &Self) {
        for entry in &mut self.cars {
            let came = other.entry(&entry.slug);
            if let Some(came) = came.filter(|came| came.ticket == entry.ticket) {
                entry.figures.clone_from(&came.figures);
                entry.state = came.state;
            }
        }
        if self.compare_ticket == other.compare_ticket {
            self.compared.clone_from(&other.compared);
        }
    }

    /// A comparison came; an older one than asked for is dropped.
    pub fn compared_came(&mut self, ticket: u64, comparison: Arc<Comparison>) {
        if ticket == self.compare_ticket {
            self.compared = Some(comparison);
        }
    }
}
