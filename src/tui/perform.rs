//! The one impure file besides the terminal: performs effects on the shelf and the engine.

mod worker;

use crate::car::CarRecord;
use crate::engine::Run;
use crate::tui::app::{Action, App, Effect, Setup};
use crate::tui::copy::Copied;
use crate::tui::data::Data;
use crate::tui::ports::{Engine, Shelf};
use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::mpsc::Sender;
pub use worker::{Job, Worker};

/// Draws of a first short run.
pub const ROUGH_DRAWS: u32 = 2_000;

/// Seed and draws of every appraisal; the day is the shelf's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Luck {
    /// Seed.
    pub seed: u64,
    /// Draws of the whole run.
    pub draws: u32,
}

impl Default for Luck {
    fn default() -> Self {
        Self {
            seed: 1,
            draws: 20_000,
        }
    }
}

/// Where figures are worked out.
enum Place {
    /// On another thread; results come as actions.
    Worker(Worker),
    /// At once, for tests and for plain runs.
    Here(Arc<dyn Engine>),
}

/// Performs effects.
pub struct Performer {
    shelf: Box<dyn Shelf>,
    engine: Arc<dyn Engine>,
    place: Place,
    luck: Luck,
    unsaved: Unsaved,
}

/// What could not be written and is tried again with the next save, and before leaving.
#[derive(Default)]
struct Unsaved {
    cars: BTreeSet<String>,
    buyer: bool,
}

impl Performer {
    /// Figures are worked out on another thread and sent as actions.
    #[must_use]
    pub fn with_worker(
        shelf: Box<dyn Shelf>,
        engine: Arc<dyn Engine>,
        luck: Luck,
        send: Sender<Action>,
    ) -> Self {
        Self {
            shelf,
            engine: Arc::clone(&engine),
            place: Place::Worker(Worker::start(engine, send)),
            luck,
            unsaved: Unsaved::default(),
        }
    }

    /// Figures are worked out at once.
    #[must_use]
    pub fn at_once(shelf: Box<dyn Shelf>, engine: Arc<dyn Engine>, luck: Luck) -> Self {
        Self {
            shelf,
            engine: Arc::clone(&engine),
            place: Place::Here(engine),
            luck,
            unsaved: Unsaved::default(),
        }
    }

    /// Reads the notebook and makes the first state.
    pub fn open(&mut self, setup: Setup, tables: Arc<crate::trade::Tables>) -> (App, Vec<Effect>) {
        let cars = self.shelf.cars();
        let (buyer, trouble) = match self.shelf.buyer() {
            Ok(buyer) => (buyer, None),
            Err(why) => (crate::car::Buyer::default(), Some(why)),
        };
        let mut data = Data::new(cars, buyer, tables, self.shelf.now());
        data.standing = self.shelf.status();
        data.access = self.shelf.access();
        data.own = self.shelf.own();
        data.tables_trouble = self.shelf.tables_trouble();
        data.buyer_trouble.clone_from(&trouble);
        let trouble = trouble.or_else(|| data.tables_trouble.clone());
        let (mut app, effects) = App::new(setup, data);
        app.said.message = trouble;
        (app, effects)
    }

    /// The clock and the notebook's standing, as an action.
    #[must_use]
    pub fn standing(&self) -> Action {
        Action::Standing(self.shelf.status(), self.shelf.access(), self.shelf.now())
    }

    /// Performs an effect and gives what came of it. `Copy` (where it has a clipboard), `Editor`, `Quit`,
    /// `Suspend` and `Redraw` are the terminal's.
    pub fn perform(&mut self, app: &App, effect: Effect) -> Vec<Action> {
        let wrote = match effect {
            Effect::Save(slug) => {
                self.unsaved.cars.insert(slug);
                self.flush(app)
            }
            Effect::SaveBuyer => {
                self.unsaved.buyer = true;
                self.flush(app)
            }
            Effect::Remove(slug) => self.shelf.remove(&slug),
            Effect::Restore(slug) => match app.data.entry(&slug) {
                Some(entry) => self.shelf.restore(&slug, &entry.file),
                None => return Vec::new(),
            },
            Effect::Add(file) => {
                let name = file.car.name.clone();
                let added = self.shelf.add(&name, &file).map(|slug| (slug, file));
                return vec![Action::Added(added), self.standing()];
            }
            Effect::Samples => {
                let added = self.shelf.add_samples();
                let cars = self.shelf.cars();
                return vec![Action::Loaded(cars), Action::Wrote(added), self.standing()];
            }
            Effect::CopySample => {
                let copied = self.shelf.copy_sample();
                return vec![Action::Copied(copied), self.standing()];
            }
            Effect::Weigh { slug, ticket } => return self.weigh(app, &slug, ticket),
            Effect::FindOut { slug } => return self.find_out(app, &slug),
            Effect::TwoPrices { about, at } => {
                return self.asked(app, &about.slug.clone(), |car| Job::TwoPrices {
                    about,
                    at,
                    car,
                });
            }
            Effect::Mind { about } => {
                return self.asked(app, &about.slug.clone(), |car| Job::Mind { about, car });
            }
            Effect::Compare { ticket } => return self.compare(app, ticket),
            Effect::WriteText(made) | Effect::Copy(made) => {
                return vec![Action::Said(self.write_text(&made))];
            }
            Effect::ReadIn(path) => return vec![Action::ReadIn(self.shelf.read_in(&path))],
            Effect::ChangeOwn(change) => {
                let now = self.shelf.change_own(&change);
                if let Ok(now) = &now {
                    self.engine.take_tables(&now.tables);
                }
                return vec![Action::OwnTables(now.map(Box::new))];
            }
            Effect::Editor(_) | Effect::Quit | Effect::Suspend | Effect::Redraw => {
                return Vec::new();
            }
        };
        vec![Action::Wrote(wrote), self.standing()]
    }

    /// A text through the user's own editor; the terminal is given back for it before.
    ///
    /// # Errors
    /// One sentence; the text is then as it was.
    pub fn edit_text(&mut self, text: &str) -> Result<String, String> {
        self.shelf.edit_text(text)
    }

    /// Writes a text beside the cars; the sentence says where, or why not. Also where there is no clipboard.
    fn write_text(&mut self, made: &Copied) -> String {
        match self.shelf.write_text(&made.name, &made.text) {
            Ok(place) => format!("written to {place}"),
            Err(why) => why,
        }
    }

    /// Writes what is not yet written; what fails is kept for the next time.
    ///
    /// # Errors
    /// The first sentence of what went wrong.
    pub fn flush(&mut self, app: &App) -> Result<(), String> {
        let mut result = Ok(());
        for slug in std::mem::take(&mut self.unsaved.cars) {
            let Some(entry) = app.data.entry(&slug) else {
                continue;
            };
            if let Err(why) = self.shelf.save(&slug, &entry.file) {
                self.unsaved.cars.insert(slug);
                result = result.and(Err(why));
            }
        }
        if self.unsaved.buyer {
            match self.shelf.save_buyer(&app.data.buyer) {
                Ok(()) => self.unsaved.buyer = false,
                Err(why) => result = result.and(Err(why)),
            }
        }
        result
    }

    fn run(&self, draws: u32) -> Run {
        Run {
            today: self.shelf.now().date(),
            seed: self.luck.seed,
            draws,
        }
    }

    fn weigh(&mut self, app: &App, slug: &str, ticket: u64) -> Vec<Action> {
        let Some(entry) = app.data.entry(slug) else {
            return Vec::new();
        };
        let run = self.run(self.luck.draws);
        let job = Job::Weigh {
            slug: slug.to_owned(),
            ticket,
            car: Box::new(entry.file.car.clone()),
        };
        self.work(job, app, run)
    }

    fn find_out(&mut self, app: &App, slug: &str) -> Vec<Action> {
        self.asked(app, slug, |car| Job::FindOut {
            slug: slug.to_owned(),
            car,
        })
    }

    /// A job on a car as it stands.
    fn asked(
        &mut self,
        app: &App,
        slug: &str,
        job: impl FnOnce(Box<CarRecord>) -> Job,
    ) -> Vec<Action> {
        let Some(entry) = app.data.entry(slug) else {
            return Vec::new();
        };
        let run = self.run(self.luck.draws);
        let job = job(Box::new(entry.file.car.clone()));
        self.work(job, app, run)
    }

    fn compare(&mut self, app: &App, ticket: u64) -> Vec<Action> {
        let cars = app
            .marks
            .iter()
            .filter_map(|slug| app.data.entry(slug))
            .map(|entry| (entry.slug.clone(), entry.file.car.clone()))
            .collect();
        let run = self.run(self.luck.draws);
        self.work(Job::Compare { ticket, cars }, app, run)
    }

    fn work(&mut self, job: Job, app: &App, run: Run) -> Vec<Action> {
        let buyer = Arc::new(app.data.buyer.clone());
        match &self.place {
            Place::Worker(worker) => {
                worker.ask(job, buyer, run);
                Vec::new()
            }
            Place::Here(engine) => vec![job.work(engine.as_ref(), &buyer, &run, false)],
        }
    }
}
