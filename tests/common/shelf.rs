//! A shelf in memory, and a window on what was written to it.

use jiff::civil::{DateTime, date};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use wrenchworth::car::{Buyer, CarFile};
use wrenchworth::trade::{Overlay, Own, OwnChange, TableTexts, Tables, own};
use wrenchworth::tui::ports::{Access, OwnTables, ReadIn, Shelf, Shelved, Standing};

#[derive(Default)]
pub struct Inside {
    pub cars: BTreeMap<String, CarFile>,
    pub bin: BTreeMap<String, CarFile>,
    pub buyer: Buyer,
    pub saves: usize,
    pub fail: Option<String>,
    pub access: Access,
    /// Files beside the cars and elsewhere.
    pub files: BTreeMap<String, String>,
    /// How often the sample was copied.
    pub copies: usize,
    pub clock: Option<DateTime>,
    /// Tables that the user's own lie over.
    pub tables: Option<Tables>,
    /// The user's own.
    pub overlays: Vec<Overlay>,
}

pub type Peek = Rc<RefCell<Inside>>;

pub struct MemoryShelf(Peek);

impl MemoryShelf {
    pub fn new(cars: Vec<(String, CarFile)>) -> (Self, Peek) {
        let inside = Inside {
            cars: cars.into_iter().collect(),
            buyer: super::cars::buyer(),
            ..Inside::default()
        };
        let peek = Rc::new(RefCell::new(inside));
        (Self(Rc::clone(&peek)), peek)
    }

    fn write(&self, write: impl FnOnce(&mut Inside)) -> Result<(), String> {
        let mut inside = self.0.borrow_mut();
        if let Some(why) = inside.fail.clone() {
            return Err(why);
        }
        inside.saves += 1;
        write(&mut inside);
        Ok(())
    }
}

impl Shelf for MemoryShelf {
    fn cars(&mut self) -> Vec<Shelved> {
        let inside = self.0.borrow();
        let shelved = inside.cars.iter().map(|(slug, file)| Shelved {
            slug: slug.clone(),
            file: Ok(file.clone()),
        });
        shelved.collect()
    }

    fn save(&mut self, slug: &str, file: &CarFile) -> Result<(), String> {
        self.write(|inside| {
            inside.cars.insert(slug.to_owned(), file.clone());
        })
    }

    fn add(&mut self, name: &str, file: &CarFile) -> Result<String, String> {
        let base: String = name
            .to_lowercase()
            .chars()
            .map(|c| if c.is_alphanumeric() { c } else { '-' })
            .collect();
        let used = |slug: &String| {
            let inside = self.0.borrow();
            inside.cars.contains_key(slug) || inside.bin.contains_key(slug)
        };
        let slug = (0..)
            .map(|at| format!("{base}-{at}"))
            .find(|slug| !used(slug))
            .expect("a free slug");
        self.write(|inside| {
            inside.cars.insert(slug.clone(), file.clone());
        })?;
        Ok(slug)
    }

    fn remove(&mut self, slug: &str) -> Result<(), String> {
        self.write(|inside| {
            if let Some(file) = inside.cars.remove(slug) {
                inside.bin.insert(slug.to_owned(), file);
            }
        })
    }

    fn restore(&mut self, slug: &str, file: &CarFile) -> Result<(), String> {
        self.write(|inside| {
            inside.bin.remove(slug);
            inside.cars.insert(slug.to_owned(), file.clone());
        })
    }

    fn add_samples(&mut self) -> Result<(), String> {
        self.write(|inside| {
            inside
                .cars
                .extend(super::cars::driveway().into_iter().take(3));
        })
    }

    fn read_in(&mut self, path: &str) -> Result<ReadIn, String> {
        match self.0.borrow().files.get(path) {
            Some(text) => Ok(ReadIn::Advert(text.clone())),
            None => Err(format!(
                "could not read the text {path}: it is not there; check the name and the folder."
            )),
        }
    }

    fn write_text(&mut self, name: &str, text: &str) -> Result<String, String> {
        let place = format!("~/driveway/{name}.txt");
        self.write(|inside| {
            inside.files.insert(place.clone(), text.to_owned());
        })?;
        Ok(place)
    }

    fn copy_sample(&mut self) -> Result<String, String> {
        self.write(|inside| {
            inside.access = Access::Write;
            inside.copies += 1;
        })?;
        Ok("~/driveway".to_owned())
    }

    fn buyer(&mut self) -> Result<Buyer, String> {
        Ok(self.0.borrow().buyer.clone())
    }

    fn save_buyer(&mut self, buyer: &Buyer) -> Result<(), String> {
        self.write(|inside| inside.buyer = buyer.clone())
    }

    fn own(&mut self) -> Vec<Own> {
        own::own(&self.0.borrow().overlays)
    }

    fn change_own(&mut self, change: &OwnChange) -> Result<OwnTables, String> {
        let (base, before) = {
            let inside = self.0.borrow();
            (
                inside.tables.clone().expect("tables"),
                inside.overlays.clone(),
            )
        };
        let (overlays, tables) = with_texts(&base, |texts| {
            own::apply(texts, &before, "~/tables", change)
        })
        .map_err(|error| error.to_string())?;
        self.write(|inside| inside.overlays.clone_from(&overlays))?;
        Ok(OwnTables {
            own: own::own(&overlays),
            tables,
        })
    }

    fn status(&self) -> Standing {
        Standing {
            name: "driveway".to_owned(),
            place: "~/driveway".to_owned(),
            saved: "saved 10:58".to_owned(),
            samples: true,
        }
    }

    fn access(&self) -> Access {
        self.0.borrow().access.clone()
    }

    fn now(&self) -> DateTime {
        let clock = self.0.borrow().clock;
        clock.unwrap_or_else(|| date(2026, 11, 14).at(10, 58, 0, 0))
    }
}

/// The tables as the texts they could have been read from.
fn with_texts<T>(tables: &Tables, then: impl FnOnce(&TableTexts<'_>) -> T) -> T {
    fn text<R: serde::Serialize>(rows: &R) -> String {
        serde_json::to_string(rows).expect("rows as text")
    }
    let purposes: Vec<String> = tables.purposes.iter().map(text).collect();
    let purposes: Vec<&str> = purposes.iter().map(String::as_str).collect();
    then(&TableTexts {
        faults: &text(&tables.faults),
        repairs: &text(&tables.repairs),
        operations: &text(&tables.operations),
        signs: &text(&tables.signs),
        codes: &text(&tables.codes),
        limits: &text(&tables.limits),
        tools: &text(&tables.tools),
        cautions: &text(&tables.cautions),
        sellables: &text(&tables.sellables),
        purposes: &purposes,
        settings: &text(&tables.settings),
    })
}
