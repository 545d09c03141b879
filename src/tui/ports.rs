//! What the screens need from outside: the engine and the shelf with the car files. The composition root implements both.

use crate::car::{Buyer, CarFile, CarRecord};
use crate::engine::find_out::{FindOut, Mind};
use crate::engine::two_prices::TwoPrices;
use crate::engine::{Appraisal, Comparison, Run, Verdict};
use crate::trade::{Own, OwnChange, Tables};
use jiff::civil::DateTime;

/// The engine as the screens see it. Calls may take a second; they are made on another thread.
pub trait Engine: Send + Sync {
    /// Weighs one car.
    fn appraise(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> Appraisal;
    /// Weighs several cars, each with its slug, in shared luck.
    fn compare(&self, cars: &[(&CarRecord, &str)], buyer: &Buyer, run: &Run) -> Comparison;
    /// What is most worth finding out about a car.
    fn find_out(&self, _car: &CarRecord, _buyer: &Buyer, _run: &Run) -> FindOut {
        FindOut::default()
    }
    /// Two prices tied to a check, for the one so many places on among those that can carry them; with how many there are.
    ///
    /// # Errors
    /// One sentence where none can.
    fn two_prices(
        &self,
        _car: &CarRecord,
        _buyer: &Buyer,
        _run: &Run,
        _at: usize,
    ) -> Result<(TwoPrices, usize), String> {
        Err("No two prices here.".to_owned())
    }
    /// What would change the mind about a car.
    fn change_my_mind(&self, _car: &CarRecord, _buyer: &Buyer, _run: &Run) -> Mind {
        Mind {
            now: Verdict::Leave,
            to_buy: true,
            sets: Vec::new(),
            words: "Nothing is known here.".to_owned(),
        }
    }
    /// The tables in force.
    fn tables(&self) -> Tables;
    /// Other tables are in force from now on.
    fn take_tables(&self, _tables: &Tables) {}
}

/// Tables in force, with the user's own changes in them.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnTables {
    /// Tables.
    pub tables: Tables,
    /// Changes.
    pub own: Vec<Own>,
}

/// One car file as it stands on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelved {
    /// Short name of the file.
    pub slug: String,
    /// What was read, or one sentence on why it cannot be read; such a file is left as it is.
    pub file: Result<CarFile, String>,
}

/// A file read in.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadIn {
    /// A car file.
    Car(Box<CarFile>),
    /// Any other text: taken as an advert.
    Advert(String),
}

/// Whether the notebook can be written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Access {
    /// Yes.
    #[default]
    Write,
    /// No, and why, in words such as `read only, open elsewhere since 10:02`.
    ReadOnly(String),
    /// A sample: it is never changed itself. The first change offers a copy at this place of the user's own.
    Sample(String),
}

/// What is said about the notebook.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Standing {
    /// Name of the notebook, such as `driveway`.
    pub name: String,
    /// Where it is kept, as shown to the user.
    pub place: String,
    /// How it is saved: `saved 10:42`, or what went wrong.
    pub saved: String,
    /// Sample cars can be put on the shelf.
    pub samples: bool,
}

/// The notebook: car files and the buyer. Every error is one sentence: what, where, what to do.
pub trait Shelf {
    /// All cars.
    fn cars(&mut self) -> Vec<Shelved>;
    /// Writes a car durably.
    ///
    /// # Errors
    /// One sentence; the old file is left whole.
    fn save(&mut self, slug: &str, file: &CarFile) -> Result<(), String>;
    /// Puts a new car on the shelf under a name and gives its slug.
    ///
    /// # Errors
    /// One sentence.
    fn add(&mut self, name: &str, file: &CarFile) -> Result<String, String>;
    /// Moves a car to the bin.
    ///
    /// # Errors
    /// One sentence.
    fn remove(&mut self, slug: &str) -> Result<(), String>;
    /// Brings a car back under its old slug.
    ///
    /// # Errors
    /// One sentence.
    fn restore(&mut self, slug: &str, file: &CarFile) -> Result<(), String>;
    /// Puts the sample cars on the shelf.
    ///
    /// # Errors
    /// One sentence.
    fn add_samples(&mut self) -> Result<(), String> {
        Err("There are no sample cars here.".to_owned())
    }
    /// Copies a sample, cars and buyer, to the user's own place, opens that in its stead and gives the place.
    ///
    /// # Errors
    /// One sentence; nothing was changed in the sample.
    fn copy_sample(&mut self) -> Result<String, String> {
        Err("This is no sample.".to_owned())
    }
    /// Reads a car file or an advert from anywhere.
    ///
    /// # Errors
    /// One sentence.
    fn read_in(&mut self, path: &str) -> Result<ReadIn, String> {
        Err(format!("{path} cannot be read here."))
    }
    /// Opens a text in the user's own editor and waits until it is left.
    ///
    /// # Errors
    /// One sentence; the text is then as it was.
    fn edit_text(&mut self, text: &str) -> Result<String, String> {
        Err(format!(
            "no editor is known here; the text of {} letters is as it was.",
            text.len()
        ))
    }
    /// Writes a text beside the cars, for the user alone, and gives its place.
    ///
    /// # Errors
    /// One sentence.
    fn write_text(&mut self, name: &str, text: &str) -> Result<String, String> {
        Err(format!(
            "{name} ({} letters) cannot be written here.",
            text.len()
        ))
    }
    /// The buyer, or the built-in plain one.
    ///
    /// # Errors
    /// One sentence; the plain buyer is used and the file left as it is.
    fn buyer(&mut self) -> Result<Buyer, String>;
    /// Writes the buyer durably.
    ///
    /// # Errors
    /// One sentence.
    fn save_buyer(&mut self, buyer: &Buyer) -> Result<(), String>;
    /// The user's own changes of the tables.
    fn own(&mut self) -> Vec<Own> {
        Vec::new()
    }
    /// Why the user's own tables are not in force, if they are not; then the built-in ones are.
    fn tables_trouble(&mut self) -> Option<String> {
        None
    }
    /// Makes a change of the user's own, or takes one back, durably, and gives the tables after it.
    ///
    /// # Errors
    /// One sentence; nothing was written.
    fn change_own(&mut self, change: &OwnChange) -> Result<OwnTables, String> {
        Err(format!("{} cannot be changed here.", change.id))
    }
    /// What to say about the notebook now.
    fn status(&self) -> Standing;
    /// Whether it can be written.
    fn access(&self) -> Access;
    /// The user's clock.
    fn now(&self) -> DateTime;
}
