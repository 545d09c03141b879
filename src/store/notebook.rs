//! A notebook: a folder of car files, the buyer, a lock.

mod changes;
mod copying;

use super::durable::{self, Fingerprint};
use super::error::{StoreError, Trouble, shown, shown_name};
use super::file::{LONGEST_FILE, Loaded, load};
use super::fs::{Disk, Fs, Kind, Lock};
use super::kept::Kept;
use super::names::CAR_SUFFIX;
use super::saver::{Job, SaveStatus, Saver, Writer};
use crate::car::{Buyer, CarFile, text};
use jiff::civil::DateTime;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

/// Name of the buyer's file.
pub const BUYER_FILE: &str = "buyer.json";
/// Name of the notebook's own file.
const NOTEBOOK_FILE: &str = "notebook.json";
/// Name of the lock.
const LOCK_FILE: &str = ".wrenchworth.lock";
/// Folder of removed cars.
const TRASH: &str = ".trash";
/// Folder of dated copies.
const COPIES: &str = ".backups";

/// Whether the notebook may be changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Access {
    /// Yes.
    ReadWrite,
    /// No, and why, in one sentence.
    ReadOnly {
        /// One sentence: what, where, what to do.
        why: String,
    },
    /// A sample: it opens as it is and is never written; [`Notebook::copy_to`] makes it the user's own.
    Sample,
}

/// One car of the notebook.
#[derive(Debug, Clone, PartialEq)]
pub struct CarEntry {
    /// Name of its file without the ending; safe to show.
    pub slug: String,
    /// The file, or why it could not be read: one sentence. Such a file is left as it is.
    pub file: Result<CarFile, String>,
}

/// An open notebook.
pub struct Notebook {
    fs: Arc<dyn Fs>,
    folder: PathBuf,
    access: Access,
    cars: Vec<CarEntry>,
    buyer: Result<Option<Buyer>, String>,
    /// Fields not understood, by file name.
    kept: BTreeMap<String, Arc<Kept>>,
    /// Cars removed since the opening, with the place of their file in the trash.
    removed: Vec<(CarEntry, String)>,
    /// Only where the notebook may be changed.
    saver: Option<Saver>,
}

impl Notebook {
    /// Opens a folder. Cars that cannot be read are listed with their sentence, the others open.
    ///
    /// A second opening, a sample and a folder that cannot be written open to be looked at; see [`Self::access`].
    /// `now` is the user's clock: it names the lock and the dated copies.
    ///
    /// # Errors
    /// One sentence: what, where, what to do.
    pub fn open(path: &Path, now: DateTime) -> Result<Self, StoreError> {
        Self::open_on(Arc::new(Disk), path, now)
    }

    /// Opens a folder, and makes it first if it is not there, for this user only.
    ///
    /// # Errors
    /// One sentence: what, where, what to do.
    pub fn open_or_make(path: &Path, now: DateTime) -> Result<Self, StoreError> {
        let fs = Arc::new(Disk);
        if fs.stat(path).is_err() {
            fs.make_folder(path)
                .map_err(|error| StoreError::io("make the notebook folder", path, &error))?;
        }
        Self::open_on(fs, path, now)
    }

    pub(crate) fn open_on(fs: Arc<dyn Fs>, path: &Path, now: DateTime) -> Result<Self, StoreError> {
        let opening = |error| StoreError::io("open the notebook", path, &error);
        let stat = fs.stat(path).map_err(opening)?;
        if stat.kind != Kind::Folder {
            return Err(StoreError::new(
                Trouble::NotAFolder,
                &format!(
                    "{} is not a notebook folder; name the folder that its cars are in.",
                    shown(path)
                ),
            ));
        }
        let folder = fs.resolve(path).map_err(opening)?;
        let (access, lock) = access(fs.as_ref(), &folder, now);
        if lock.is_some() {
            durable::sweep(fs.as_ref(), &folder);
        }
        let mut notebook = Self {
            fs,
            folder,
            access,
            cars: Vec::new(),
            buyer: Ok(None),
            kept: BTreeMap::new(),
            removed: Vec::new(),
            saver: None,
        };
        let on_disk = notebook.read_all()?;
        if let Some(lock) = lock {
            let writer = Writer {
                fs: Arc::clone(&notebook.fs),
                folder: notebook.folder.clone(),
                copies: notebook.folder.join(COPIES),
                stamp: now.strftime("%Y-%m-%dT%H-%M-%S").to_string(),
                on_disk,
                dated: BTreeSet::new(),
            };
            notebook.saver = Some(Saver::start(writer, lock)?);
        }
        Ok(notebook)
    }

    /// Reads all files of the folder; what each held, by name.
    fn read_all(&mut self) -> Result<BTreeMap<String, Fingerprint>, StoreError> {
        let mut on_disk = BTreeMap::new();
        let listed = self.fs.list(&self.folder);
        let mut names =
            listed.map_err(|error| StoreError::io("list the notebook", &self.folder, &error))?;
        names.sort();
        for name in names {
            let lossy = name.to_string_lossy().into_owned();
            if lossy.starts_with('.') || !lossy.ends_with(CAR_SUFFIX) {
                continue;
            }
            let slug = text::one_line(lossy.strip_suffix(CAR_SUFFIX).unwrap_or(&lossy));
            let plain = name.to_str() == Some(&format!("{slug}{CAR_SUFFIX}"));
            let file = if plain {
                self.read_car(&lossy, &mut on_disk)
            } else {
                Err(format!(
                    "{} has a name that cannot be shown as it is; rename it to plain letters.",
                    shown_name(Path::new(&name))
                ))
            };
            self.cars.push(CarEntry { slug, file });
        }
        self.cars.sort_by(|a, b| a.slug.cmp(&b.slug));
        let buyer = self.folder.join(BUYER_FILE);
        if self.fs.stat(&buyer).is_ok() || self.fs.is_link(&buyer) {
            self.buyer = match load::<Buyer>(self.fs.as_ref(), &buyer, BUYER_FILE) {
                Ok(loaded) => {
                    let value = self.take_in(BUYER_FILE, loaded, &mut on_disk);
                    Ok(Some(value))
                }
                Err(error) => Err(error.to_string()),
            };
        }
        Ok(on_disk)
    }

    fn read_car(
        &mut self,
        name: &str,
        on_disk: &mut BTreeMap<String, Fingerprint>,
    ) -> Result<CarFile, String> {
        let path = self.folder.join(name);
        let loaded = load::<CarFile>(self.fs.as_ref(), &path, &shown_name(&path))
            .map_err(|error| error.to_string())?;
        Ok(self.take_in(name, loaded, on_disk))
    }

    fn take_in<T>(
        &mut self,
        name: &str,
        loaded: Loaded<T>,
        on_disk: &mut BTreeMap<String, Fingerprint>,
    ) -> T {
        on_disk.insert(name.to_owned(), Fingerprint::of(&loaded.bytes));
        self.kept.insert(name.to_owned(), Arc::new(loaded.kept));
        loaded.value
    }

    /// The folder, links followed.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The cars by file name, those that could not be read among them.
    #[must_use]
    pub fn cars(&self) -> &[CarEntry] {
        &self.cars
    }

    /// The buyer of this notebook; `None` if there is no file yet.
    ///
    /// # Errors
    /// The sentence why the file could not be read; it is then left as it is.
    pub fn buyer(&self) -> Result<Option<&Buyer>, &str> {
        match &self.buyer {
            Ok(buyer) => Ok(buyer.as_ref()),
            Err(sentence) => Err(sentence),
        }
    }

    /// Whether it may be changed.
    #[must_use]
    pub fn access(&self) -> &Access {
        &self.access
    }

    /// How saving stands.
    #[must_use]
    pub fn status(&self) -> SaveStatus {
        self.saver.as_ref().map_or(SaveStatus::Saved, Saver::status)
    }

    /// Passes each change of the status on, such as into the channel that the screens wait on. The listener is
    /// called from the saving thread or from [`Self::save`]; it must not ask the notebook anything.
    pub fn listen(&self, listener: impl Fn(SaveStatus) + Send + 'static) {
        if let Some(saver) = &self.saver {
            saver.listen(Box::new(listener));
        }
    }

    /// Writes everything now, what failed before once more, and waits until it is on the disk.
    ///
    /// # Errors
    /// The first failure, or that the time was not enough.
    pub fn flush(&self, timeout: Duration) -> Result<(), StoreError> {
        self.saver
            .as_ref()
            .map_or(Ok(()), |saver| saver.flush(timeout))
    }

    /// The saver, or why there is none.
    fn writable(&self) -> Result<&Saver, StoreError> {
        let why = match (&self.access, &self.saver) {
            (Access::ReadWrite, Some(saver)) => return Ok(saver),
            (Access::ReadOnly { why }, _) => why.clone(),
            _ => format!(
                "{} is a sample and is never changed; copy it to a place of your own.",
                shown(&self.folder)
            ),
        };
        Err(StoreError::new(Trouble::ReadOnly, &why))
    }

    fn entry(&mut self, slug: &str) -> Result<&mut CarEntry, StoreError> {
        let folder = shown(&self.folder);
        self.cars
            .iter_mut()
            .find(|entry| entry.slug == slug)
            .ok_or_else(|| {
                StoreError::new(
                    Trouble::NoSuchCar,
                    &format!("there is no car {slug} in {folder}; pick one of the list."),
                )
            })
    }

    fn car_job(&self, name: &str, file: &CarFile) -> Job {
        let kept = self.kept.get(name).cloned().unwrap_or_default();
        Job::Car(Box::new(file.clone()), kept)
    }
}

/// Whether a folder may be changed, and its lock if so.
fn access(fs: &dyn Fs, folder: &Path, now: DateTime) -> (Access, Option<Box<dyn Send + Sync>>) {
    let read_only = |why: String| {
        let why = text::one_line(&why);
        (Access::ReadOnly { why }, None)
    };
    match is_sample(fs, folder) {
        Ok(true) => return (Access::Sample, None),
        Ok(false) => {}
        Err(why) => return read_only(why),
    }
    let place = shown(folder);
    let words = format!(
        "since {}, pid {} on {}",
        now.strftime("%Y-%m-%d %H:%M"),
        std::process::id(),
        host(fs)
    );
    match fs.lock(&folder.join(LOCK_FILE), &words) {
        Ok(Lock::Held(lock)) => (Access::ReadWrite, Some(lock)),
        Ok(Lock::Busy(holder)) => {
            let holder = match text::line(&holder).text {
                holder if holder.is_empty() => "just now".to_owned(),
                holder => holder,
            };
            read_only(format!(
                "Open in another window {holder}; leave that one first to make changes in {place}."
            ))
        }
        Err(error) => {
            read_only(StoreError::io("write to the notebook", folder, &error).to_string())
        }
    }
}

/// Whether the notebook calls itself a sample; the sentence if its own file cannot be read.
fn is_sample(fs: &dyn Fs, folder: &Path) -> Result<bool, String> {
    #[derive(serde::Deserialize)]
    struct About {
        #[serde(default)]
        sample: bool,
    }
    let path = folder.join(NOTEBOOK_FILE);
    let found = match fs.read(&path, LONGEST_FILE) {
        Ok(found) => found,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(false),
        Err(error) => return Err(StoreError::io("read", &path, &error).to_string()),
    };
    let about: Option<About> = found
        .bytes
        .and_then(|bytes| serde_json::from_slice(&bytes).ok());
    about.map(|about| about.sample).ok_or_else(|| {
        format!(
            "{} cannot be read, so nothing is changed here; correct it or remove it.",
            shown(&path)
        )
    })
}

/// The name of this machine, for the lock.
fn host(fs: &dyn Fs) -> String {
    ["/proc/sys/kernel/hostname", "/etc/hostname"]
        .iter()
        .find_map(|path| fs.read(Path::new(path), 4096).ok()?.bytes)
        .map(|bytes| text::line(&String::from_utf8_lossy(&bytes)).text)
        .filter(|name| !name.is_empty())
        .unwrap_or_else(|| "this machine".to_owned())
}
