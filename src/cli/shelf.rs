//! The screens' ports over the real store and engine.

use super::places::overlays_in;
use super::{editor, look};
use crate::car::{Buyer, CarFile, CarRecord};
use crate::engine::find_out::{FindOut, FindOutWish, Mind};
use crate::engine::two_prices::{TwoPrices, two_prices_at};
use crate::engine::{Appraisal, Comparison, Knowledge, Run};
use crate::store::{self, Access as StoreAccess, Notebook, SaveStatus, StoreError};
use crate::trade::{EMBEDDED, Overlay, Own, OwnChange, Tables, own};
use crate::tui::ports::{Access, Engine, OwnTables, ReadIn, Shelf, Shelved, Standing};
use jiff::ZonedDateTime;
use jiff::civil::{Date, DateTime};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};
use std::time::Duration;

/// How long leaving waits for the last save.
const LAST_SAVE: Duration = Duration::from_secs(10);

/// The real engine.
pub struct RealEngine {
    knowledge: RwLock<Arc<Knowledge>>,
    buyer_name: String,
}

impl RealEngine {
    /// Over tables made ready, naming the buyer in every appraisal's assumptions.
    pub fn new(knowledge: Knowledge, buyer_name: String) -> Self {
        Self {
            knowledge: RwLock::new(Arc::new(knowledge)),
            buyer_name,
        }
    }

    /// What is known now; a change of the tables is another one.
    fn knowledge(&self) -> Arc<Knowledge> {
        Arc::clone(
            &self
                .knowledge
                .read()
                .unwrap_or_else(PoisonError::into_inner),
        )
    }

    fn named(&self, mut appraisal: Appraisal) -> Appraisal {
        appraisal.assumptions.buyer.clone_from(&self.buyer_name);
        appraisal
    }
}

impl Engine for RealEngine {
    fn appraise(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> Appraisal {
        let knowledge = self.knowledge();
        let mut appraisal = self.named(knowledge.appraise(car, buyer, run));
        knowledge.explain(&mut appraisal, car, run);
        appraisal
    }

    fn compare(&self, cars: &[(&CarRecord, &str)], buyer: &Buyer, run: &Run) -> Comparison {
        let cars: Vec<(&str, &CarRecord)> = cars.iter().map(|(car, slug)| (*slug, *car)).collect();
        self.knowledge().compare(&cars, buyer, run)
    }

    fn find_out(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> FindOut {
        self.knowledge()
            .find_out(car, buyer, run, FindOutWish::default())
    }

    fn two_prices(
        &self,
        car: &CarRecord,
        buyer: &Buyer,
        run: &Run,
        at: usize,
    ) -> Result<(TwoPrices, usize), String> {
        two_prices_at(&self.knowledge(), car, buyer, run, at)
    }

    fn change_my_mind(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> Mind {
        let knowledge = self.knowledge();
        let base = knowledge.appraise(car, buyer, run);
        knowledge.change_my_mind(car, buyer, run, &base)
    }

    fn tables(&self) -> Tables {
        self.knowledge().tables().clone()
    }

    fn take_tables(&self, tables: &Tables) {
        let now = Arc::new(Knowledge::new(tables.clone()));
        *self
            .knowledge
            .write()
            .unwrap_or_else(PoisonError::into_inner) = now;
    }
}

/// A notebook on disk. A sample is never written: its first change goes into a copy of the user's own.
pub struct DiskShelf {
    notebook: Notebook,
    /// The user's own notebook, where it is known.
    own: Option<PathBuf>,
    /// Buyer named on the command line, over the notebook's own.
    buyer: Option<Buyer>,
    samples: Option<PathBuf>,
    /// Day named on the command line, over the clock's.
    today: Option<Date>,
    /// Folder of the user's own tables, where it is known.
    tables: Option<PathBuf>,
    /// Why they are not in force.
    tables_trouble: Option<String>,
}

impl DiskShelf {
    /// Over an open notebook; `own` is the user's own notebook; `samples` is the folder that sample cars are taken
    /// from, where there is one; `today` stands in for the clock's day.
    pub fn new(
        notebook: Notebook,
        own: Option<PathBuf>,
        buyer: Option<Buyer>,
        samples: Option<PathBuf>,
        today: Option<Date>,
    ) -> Self {
        Self {
            notebook,
            own,
            buyer,
            samples,
            today,
            tables: None,
            tables_trouble: None,
        }
    }

    /// With a folder of the user's own tables; `trouble` says why those there are not in force.
    pub fn with_tables(mut self, folder: Option<PathBuf>, trouble: Option<String>) -> Self {
        self.tables = folder;
        self.tables_trouble = trouble;
        self
    }

    fn overlays(&self) -> Result<Vec<Overlay>, String> {
        let Some(folder) = &self.tables else {
            return Ok(Vec::new());
        };
        overlays_in(folder, false).map_err(|failure| {
            let words = failure.words().unwrap_or_default();
            words.trim_start_matches("wrenchworth: ").to_owned()
        })
    }

    fn is_sample(&self) -> bool {
        *self.notebook.access() == StoreAccess::Sample
    }

    /// Where the copy of a sample goes: the user's own notebook while that holds nothing, else a new folder beside it.
    fn place_of_copy(&self) -> Option<PathBuf> {
        let own = self.own.as_ref()?;
        if holds_nothing(own) {
            return Some(own.clone());
        }
        let name = self.notebook.folder().file_name()?.to_string_lossy();
        let name = store::names::slug(&name);
        let beside = |number: u32| match number {
            1 => own.with_file_name(&name),
            number => own.with_file_name(format!("{name}-{number}")),
        };
        (1..).map(beside).find(|place| !place.exists())
    }
}

/// A path as typed, `~` being the home folder.
fn from_home(path: &str) -> PathBuf {
    let home = || Some(directories::BaseDirs::new()?.home_dir().to_owned());
    match path.strip_prefix("~/") {
        Some(rest) => home().map_or_else(|| PathBuf::from(path), |home| home.join(rest)),
        None => PathBuf::from(path),
    }
}

/// True for a folder that is not there yet, or has neither cars nor a buyer.
fn holds_nothing(folder: &Path) -> bool {
    let Ok(entries) = fs::read_dir(folder) else {
        return !folder.exists();
    };
    entries.flatten().all(|entry| {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        !name.ends_with(store::names::CAR_SUFFIX) && !name.ends_with(".json")
    })
}

fn said<T>(result: Result<T, StoreError>) -> Result<T, String> {
    result.map_err(|error| error.to_string())
}

impl Shelf for DiskShelf {
    fn cars(&mut self) -> Vec<Shelved> {
        self.notebook
            .cars()
            .iter()
            .map(|entry| Shelved {
                slug: entry.slug.clone(),
                file: entry.file.clone(),
            })
            .collect()
    }

    fn save(&mut self, slug: &str, file: &CarFile) -> Result<(), String> {
        if let Some(failure) = self.notebook.failure(slug) {
            // What failed is said once more, and tried again with this change.
            said(self.notebook.save(slug, file))?;
            return Err(failure.to_string());
        }
        said(self.notebook.save(slug, file))
    }

    fn add(&mut self, name: &str, file: &CarFile) -> Result<String, String> {
        said(self.notebook.add(name, file.clone()))
    }

    fn remove(&mut self, slug: &str) -> Result<(), String> {
        said(self.notebook.remove(slug))
    }

    fn restore(&mut self, slug: &str, file: &CarFile) -> Result<(), String> {
        said(self.notebook.put_back(slug))?;
        said(self.notebook.save(slug, file))
    }

    fn add_samples(&mut self) -> Result<(), String> {
        let Some(folder) = &self.samples else {
            return Err(
                "There are no sample cars here: open them with wrenchworth sample-listings."
                    .to_owned(),
            );
        };
        let samples = said(Notebook::open(folder, self.now()))?;
        for entry in samples.cars() {
            if let Ok(file) = &entry.file {
                said(self.notebook.add(&file.car.name, file.clone()))?;
            }
        }
        Ok(())
    }

    fn read_in(&mut self, path: &str) -> Result<ReadIn, String> {
        let path = from_home(path);
        if path.extension().is_some_and(|ending| ending == "json") {
            return said(store::load_car(&path)).map(|file| ReadIn::Car(Box::new(file)));
        }
        said(store::read_text(&path)).map(ReadIn::Advert)
    }

    fn edit_text(&mut self, text: &str) -> Result<String, String> {
        editor::edit(&look::editor(), text)
    }

    fn write_text(&mut self, name: &str, text: &str) -> Result<String, String> {
        let folder = match (self.notebook.access(), &self.own) {
            (StoreAccess::ReadWrite, _) => self.notebook.folder().to_owned(),
            // What cannot be written to is left alone: beside the user's own notebook there is room.
            (_, Some(own)) => own.parent().unwrap_or(own).to_owned(),
            (_, None) => {
                return Err("No home folder is known here: name one with --home DIR.".to_owned());
            }
        };
        let path = folder.join(format!("{}.txt", store::names::slug(name)));
        said(store::write_private(&path, text.as_bytes()))?;
        Ok(crate::car::text::one_line(&path.to_string_lossy()))
    }

    fn copy_sample(&mut self) -> Result<String, String> {
        let Some(to) = self.place_of_copy() else {
            return Err("No home folder is known here: name one with --home DIR.".to_owned());
        };
        self.notebook = said(self.notebook.copy_to(&to, self.now()))?;
        Ok(crate::car::text::one_line(
            &self.notebook.folder().to_string_lossy(),
        ))
    }

    fn buyer(&mut self) -> Result<Buyer, String> {
        if let Some(buyer) = &self.buyer {
            return Ok(buyer.clone());
        }
        match self.notebook.buyer() {
            Ok(buyer) => Ok(buyer.cloned().unwrap_or_default()),
            Err(sentence) => Err(sentence.to_owned()),
        }
    }

    fn save_buyer(&mut self, buyer: &Buyer) -> Result<(), String> {
        if self.buyer.is_some() {
            self.buyer = Some(buyer.clone());
        }
        said(self.notebook.save_buyer(buyer))
    }

    fn own(&mut self) -> Vec<Own> {
        // What is not in force changes nothing.
        match (&self.tables_trouble, self.overlays()) {
            (None, Ok(overlays)) => own::own(&overlays),
            _ => Vec::new(),
        }
    }

    fn tables_trouble(&mut self) -> Option<String> {
        self.tables_trouble.clone()
    }

    fn change_own(&mut self, change: &OwnChange) -> Result<OwnTables, String> {
        let Some(folder) = self.tables.clone() else {
            return Err("No home folder is known here: name one with --home DIR.".to_owned());
        };
        let before = self.overlays()?;
        let place = crate::car::text::one_line(&folder.to_string_lossy());
        let (overlays, tables) = own::apply(&EMBEDDED, &before, &place, change)
            .map_err(|error| format!("{}.", error.to_string().trim_end_matches('.')))?;
        if let Some(first) = crate::trade::check(&tables).first() {
            return Err(format!("Nothing was changed: {first}."));
        }
        let mine = overlays.iter().rfind(|one| one.table == change.table);
        if let Some(mine) = mine {
            let path = folder.join(format!("{}.json", change.table));
            said(store::write_private(&path, mine.text.as_bytes()))?;
        }
        self.tables_trouble = None;
        Ok(OwnTables {
            own: own::own(&overlays),
            tables,
        })
    }

    fn status(&self) -> Standing {
        let folder = self.notebook.folder();
        let saved = match self.notebook.status() {
            SaveStatus::Saved if self.is_sample() => "a sample: a change offers a copy".to_owned(),
            SaveStatus::Saved => "saved".to_owned(),
            SaveStatus::Saving => "saving".to_owned(),
            SaveStatus::Failed(sentence) => sentence,
        };
        let name = folder.file_name().map_or_else(
            || "notebook".to_owned(),
            |name| name.to_string_lossy().into_owned(),
        );
        Standing {
            name: crate::car::text::one_line(&name),
            place: crate::car::text::one_line(&folder.to_string_lossy()),
            saved,
            samples: self.samples.is_some(),
        }
    }

    fn access(&self) -> Access {
        match self.notebook.access() {
            StoreAccess::ReadWrite => Access::Write,
            StoreAccess::Sample => match self.place_of_copy() {
                Some(to) => Access::Sample(crate::car::text::one_line(&to.to_string_lossy())),
                None => Access::ReadOnly(
                    "A sample is never changed; name a home for your copy with --home DIR."
                        .to_owned(),
                ),
            },
            StoreAccess::ReadOnly { why } => Access::ReadOnly(why.clone()),
        }
    }

    fn now(&self) -> DateTime {
        let now = ZonedDateTime::now().datetime();
        self.today.map_or(now, |day| day.to_datetime(now.time()))
    }
}

impl Drop for DiskShelf {
    fn drop(&mut self) {
        // Dropping the notebook waits for its last save too; asking here makes the order plain.
        let _ = self.notebook.flush(LAST_SAVE);
    }
}
