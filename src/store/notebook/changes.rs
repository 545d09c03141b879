//! What changes a notebook: save, add, remove, put back, and what to do when another program was there first.

use super::{BUYER_FILE, CarEntry, Notebook, TRASH};
use crate::car::{Buyer, CarFile};
use crate::store::durable::{Fingerprint, copies};
use crate::store::error::{StoreError, Trouble, shown, shown_name};
use crate::store::file::{Loaded, bytes_at, load, previous, read};
use crate::store::fs::Kind;
use crate::store::names::{CAR_SUFFIX, unique_slug};
use crate::store::saver::Job;
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn file_name(slug: &str) -> String {
    format!("{slug}{CAR_SUFFIX}")
}

impl Notebook {
    /// Queues a car to be written; only [`crate::store::SaveStatus::Saved`] promises that it is on the disk.
    ///
    /// # Errors
    /// If the notebook may not be changed, or its file could not be read (it is never written over).
    pub fn save(&mut self, slug: &str, file: &CarFile) -> Result<(), StoreError> {
        self.writable()?;
        let entry = self.entry(slug)?;
        if let Err(why) = &entry.file {
            return Err(StoreError::new(Trouble::NoSuchCar, why));
        }
        entry.file = Ok(file.clone());
        let name = file_name(slug);
        self.writable()?.queue(&name, self.car_job(&name, file));
        Ok(())
    }

    /// Adds a car under a file name made from `name`, and queues it. Gives the file name without its ending.
    ///
    /// # Errors
    /// If the notebook may not be changed or listed.
    pub fn add(&mut self, name: &str, file: CarFile) -> Result<String, StoreError> {
        self.writable()?;
        let slug = unique_slug(name, &self.taken()?);
        let name = file_name(&slug);
        self.kept.remove(&name);
        let saver = self.writable()?;
        saver.queue(&name, self.car_job(&name, &file));
        self.insert(CarEntry {
            slug: slug.clone(),
            file: Ok(file),
        });
        Ok(slug)
    }

    /// Names in use, in small letters, those on disk and those only queued.
    fn taken(&self) -> Result<BTreeSet<String>, StoreError> {
        let listed = self.fs.list(&self.folder);
        let on_disk =
            listed.map_err(|error| StoreError::io("list the notebook", &self.folder, &error))?;
        let mut taken: BTreeSet<String> = on_disk
            .iter()
            .filter_map(|name| {
                let name = name.to_string_lossy().to_lowercase();
                name.strip_suffix(CAR_SUFFIX).map(str::to_owned)
            })
            .collect();
        taken.extend(self.cars.iter().map(|entry| entry.slug.to_lowercase()));
        Ok(taken)
    }

    fn insert(&mut self, entry: CarEntry) {
        let at = self.cars.partition_point(|car| car.slug < entry.slug);
        self.cars.insert(at, entry);
    }

    /// Moves a car's file to the trash of the notebook. Waits for the disk.
    ///
    /// # Errors
    /// If its last changes cannot be written first, or the file cannot be moved: the car then stays. If only the
    /// last sync fails, it is gone from the list, but a power cut may bring it back.
    pub fn remove(&mut self, slug: &str) -> Result<(), StoreError> {
        self.writable()?;
        let readable = self.entry(slug)?.file.is_ok();
        let name = file_name(slug);
        let trash = self.folder.join(TRASH);
        let saver = self.writable()?;
        if readable {
            saver.settle(&name)?;
        }
        let from = self.folder.join(&name);
        let moving = |error| StoreError::io("move to the trash", &from, &error);
        self.fs.make_folder(&trash).map_err(moving)?;
        let place = (1u64..)
            .map(|number| match number {
                1 => name.clone(),
                number => format!("{slug}.{number}{CAR_SUFFIX}"),
            })
            .find(|place| {
                let there = trash.join(place);
                self.fs.stat(&there).is_err() && !self.fs.is_link(&there)
            })
            .unwrap_or_else(|| name.clone());
        match self.fs.rename(&from, &trash.join(&place)) {
            // Another program removed it: nothing is left to move.
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            moved => moved.map_err(moving)?,
        }
        // The previous version goes along where it can.
        let _ = self
            .fs
            .rename(&previous(&from), &previous(&trash.join(&place)));
        saver.writer().on_disk.remove(&name);
        let synced = self
            .fs
            .sync_folder(&trash)
            .and_then(|()| self.fs.sync_folder(&self.folder));
        if let Some(at) = self.cars.iter().position(|entry| entry.slug == slug) {
            self.removed.push((self.cars.remove(at), place));
        }
        synced.map_err(moving)
    }

    /// Puts a car back that was removed since the opening. Waits for the disk.
    ///
    /// # Errors
    /// If it is not in the trash any more, or its name was given to another car.
    pub fn put_back(&mut self, slug: &str) -> Result<(), StoreError> {
        let saver = self.writable()?;
        let found = self.removed.iter().rposition(|(car, _)| car.slug == slug);
        let Some((at, (_, place))) = found.map(|at| (at, &self.removed[at])) else {
            return Err(StoreError::new(
                Trouble::NoSuchCar,
                &format!(
                    "{slug} was not removed since the notebook was opened; look in its trash folder."
                ),
            ));
        };
        let name = file_name(slug);
        let to = self.folder.join(&name);
        if self.fs.stat(&to).is_ok() || self.fs.is_link(&to) {
            return Err(StoreError::new(
                Trouble::Changed,
                &format!(
                    "{} is another car now; remove or rename that one first.",
                    shown(&to)
                ),
            ));
        }
        let from = self.folder.join(TRASH).join(place);
        let moving = |error| StoreError::io("put back from the trash", &from, &error);
        self.fs.rename(&from, &to).map_err(moving)?;
        let _ = self.fs.rename(&previous(&from), &previous(&to));
        let synced = self.fs.sync_folder(&self.folder);
        if let Ok(bytes) = bytes_at(self.fs.as_ref(), &to, "car file", &name) {
            let print = Fingerprint::of(&bytes);
            saver.writer().on_disk.insert(name, print);
        }
        let (entry, _) = self.removed.remove(at);
        self.insert(entry);
        synced.map_err(moving)
    }

    /// Queues the buyer to be written.
    ///
    /// # Errors
    /// If the notebook may not be changed, or the buyer's file could not be read (it is never written over).
    pub fn save_buyer(&mut self, buyer: &Buyer) -> Result<(), StoreError> {
        let saver = self.writable()?;
        if let Err(why) = &self.buyer {
            return Err(StoreError::new(Trouble::BadField, why));
        }
        let kept = self.kept.get(BUYER_FILE).cloned().unwrap_or_default();
        saver.queue(BUYER_FILE, Job::Buyer(Box::new(buyer.clone()), kept));
        self.buyer = Ok(Some(buyer.clone()));
        Ok(())
    }

    /// Why the last save of a car failed, if it did; after [`Trouble::Changed`], [`Self::reload`] takes what
    /// another program wrote, and [`Self::keep_mine`] writes over it.
    #[must_use]
    pub fn failure(&self, slug: &str) -> Option<StoreError> {
        self.saver.as_ref()?.failure(&file_name(slug))
    }

    /// Reads a car again as it is on the disk; what was not saved of it is dropped.
    ///
    /// # Errors
    /// If it cannot be read; the car is then left as it was.
    pub fn reload(&mut self, slug: &str) -> Result<(), StoreError> {
        self.entry(slug)?;
        let name = file_name(slug);
        let loaded = load::<CarFile>(self.fs.as_ref(), &self.folder.join(&name), &name)?;
        self.replace(slug, loaded)
    }

    fn replace(&mut self, slug: &str, loaded: Loaded<CarFile>) -> Result<(), StoreError> {
        let name = file_name(slug);
        if let Some(saver) = &self.saver {
            saver.forget(&name);
            let print = Fingerprint::of(&loaded.bytes);
            saver.writer().on_disk.insert(name.clone(), print);
        }
        self.kept.insert(name, Arc::new(loaded.kept));
        self.entry(slug)?.file = Ok(loaded.value);
        Ok(())
    }

    /// Queues a car over what another program wrote; what that was stays as the previous version.
    ///
    /// # Errors
    /// As [`Self::save`], and if what is there cannot be read as a file at all.
    pub fn keep_mine(&mut self, slug: &str, file: &CarFile) -> Result<(), StoreError> {
        self.entry(slug)?;
        let name = file_name(slug);
        let saver = self.writable()?;
        saver.forget(&name);
        let there = bytes_at(
            self.fs.as_ref(),
            &self.folder.join(&name),
            "car file",
            &name,
        );
        {
            let mut writer = saver.writer();
            match there {
                Ok(bytes) => {
                    writer.on_disk.insert(name.clone(), Fingerprint::of(&bytes));
                    // A copy of the other version is kept by date as well.
                    writer.dated.remove(&name);
                }
                Err(error) if error.trouble == Trouble::Missing => {
                    writer.on_disk.remove(&name);
                }
                Err(error) => return Err(error),
            }
        }
        self.save(slug, file)
    }

    /// The newest copy of a car that can be read, for a car that cannot: the previous version, or a dated one.
    #[must_use]
    pub fn newest_good_copy(&self, slug: &str) -> Option<PathBuf> {
        let name = file_name(slug);
        let folder = self.folder.join(super::COPIES);
        let dated = copies(self.fs.as_ref(), &folder, &name).unwrap_or_default();
        let dated = dated.iter().rev().map(|copy| folder.join(copy));
        std::iter::once(previous(&self.folder.join(&name)))
            .chain(dated)
            .find(|path| load::<CarFile>(self.fs.as_ref(), path, &name).is_ok())
    }

    /// Opens the newest good copy in the place of a car file that cannot be read. The broken file goes to the
    /// trash, whole; dated copies stay where they are. Waits for the disk.
    ///
    /// # Errors
    /// If there is no good copy, or the disk refuses; the broken file is then still there or in the trash.
    pub fn restore(&mut self, slug: &str) -> Result<(), StoreError> {
        self.writable()?;
        if self.entry(slug)?.file.is_ok() {
            return Ok(());
        }
        let Some(copy) = self.newest_good_copy(slug) else {
            return Err(StoreError::new(
                Trouble::Missing,
                &format!(
                    "there is no good copy of {} to put back; correct the file by hand.",
                    shown_name(Path::new(&file_name(slug)))
                ),
            ));
        };
        let bytes = bytes_at(self.fs.as_ref(), &copy, "car file", &shown_name(&copy))?;
        let (mut value, kept) = read::<CarFile>(&bytes, &shown_name(&copy), "pick another copy")?;
        value.schema = crate::car::SCHEMA;
        self.remove(slug)?;
        let name = file_name(slug);
        self.kept.insert(name.clone(), Arc::new(kept));
        let saver = self.writable()?;
        saver.queue(&name, self.car_job(&name, &value));
        let settled = saver.settle(&name);
        self.insert(CarEntry {
            slug: slug.to_owned(),
            file: Ok(value),
        });
        settled
    }

    /// Number of files in the trash.
    #[must_use]
    pub fn in_trash(&self) -> usize {
        self.trash_files().len()
    }

    fn trash_files(&self) -> Vec<PathBuf> {
        let trash = self.folder.join(TRASH);
        let names = self.fs.list(&trash).unwrap_or_default();
        names.iter().map(|name| trash.join(name)).collect()
    }

    /// Removes the files in the trash for good; cars removed since the opening cannot be put back any more.
    ///
    /// # Errors
    /// At the first file that cannot be removed.
    pub fn empty_trash(&mut self) -> Result<(), StoreError> {
        self.writable()?;
        for path in self.trash_files() {
            let file = self
                .fs
                .stat(&path)
                .map_or(true, |stat| stat.kind == Kind::File);
            if file {
                self.fs
                    .remove(&path)
                    .map_err(|error| StoreError::io("remove for good", &path, &error))?;
            }
        }
        self.removed.clear();
        Ok(())
    }
}
