//! A notebook copied to a place of the user's own: how a sample becomes theirs.

use super::{BUYER_FILE, Notebook};
use crate::store::durable;
use crate::store::error::{StoreError, Trouble, shown};
use crate::store::file::bytes_at;
use crate::store::fs::Kind;
use crate::store::names::{CAR_SUFFIX, unique_slug};
use jiff::civil::DateTime;
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

impl Notebook {
    /// Copies all cars and the buyer to a folder, byte for byte, and opens that. Nothing there is written over:
    /// a car whose name is taken gets a number, and a buyer there stays. Waits for the disk.
    ///
    /// # Errors
    /// One sentence: what, where, what to do; what was copied before stays.
    pub fn copy_to(&self, to: &Path, now: DateTime) -> Result<Self, StoreError> {
        let fs = self.fs.as_ref();
        let making = |error| StoreError::io("make the notebook folder", to, &error);
        match fs.stat(to) {
            Ok(stat) if stat.kind == Kind::Folder => {}
            Ok(_) => {
                return Err(StoreError::new(
                    Trouble::NotAFolder,
                    &format!("{} is not a folder; name a folder to copy to.", shown(to)),
                ));
            }
            Err(_) => fs.make_folder(to).map_err(making)?,
        }
        if fs.resolve(to).map_err(making)? == self.folder {
            return Err(StoreError::new(
                Trouble::NotAFolder,
                &format!(
                    "{} is this notebook itself; name another folder to copy to.",
                    shown(to)
                ),
            ));
        }
        let listed = fs
            .list(to)
            .map_err(|error| StoreError::io("list the notebook", to, &error))?;
        let mut taken: BTreeSet<String> = listed
            .iter()
            .map(|name| name.to_string_lossy().to_lowercase())
            .collect();
        let buyer = self.folder.join(BUYER_FILE);
        if !taken.contains(BUYER_FILE) && fs.stat(&buyer).is_ok() {
            self.copy(&buyer, &to.join(BUYER_FILE))?;
        }
        taken = taken
            .iter()
            .filter_map(|name| name.strip_suffix(CAR_SUFFIX).map(str::to_owned))
            .collect();
        for entry in &self.cars {
            let slug = if taken.contains(&entry.slug.to_lowercase()) {
                unique_slug(&entry.slug, &taken)
            } else {
                entry.slug.clone()
            };
            let from = self.folder.join(format!("{}{CAR_SUFFIX}", entry.slug));
            if fs.stat(&from).is_ok_and(|stat| stat.kind == Kind::File) {
                self.copy(&from, &to.join(format!("{slug}{CAR_SUFFIX}")))?;
                taken.insert(slug.to_lowercase());
            }
        }
        Self::open_on(Arc::clone(&self.fs), to, now)
    }

    fn copy(&self, from: &Path, to: &Path) -> Result<(), StoreError> {
        let bytes = bytes_at(self.fs.as_ref(), from, "file", &shown(from))?;
        durable::write(self.fs.as_ref(), to, &bytes, &mut None, None)
    }
}
