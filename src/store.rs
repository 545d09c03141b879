//! The notebook on disk: a folder of car files, read with care and written so that no crash, full disk, second
//! window or other program ever destroys what was there.
//!
//! - [`notebook`]: a folder of cars; lock, list, add, remove, copy.
//! - [`file`](mod@file): one file read, with caps, and the sentences when it cannot be.
//! - [`durable`]: the one way a file is written.
//! - [`saver`]: the thread that writes, so that no screen waits for a disk.
//! - [`fs`]: the calls made to the disk, so that tests can let each of them fail.

pub mod durable;
pub mod error;
pub mod file;
pub mod fs;
pub mod kept;
pub mod names;
pub mod notebook;
pub mod saver;
mod wording;

#[cfg(test)]
mod fault_tests;
#[cfg(test)]
mod notebook_tests;
#[cfg(test)]
mod sim;

pub use error::{StoreError, Trouble};
pub use file::{load_buyer, load_car};
pub use notebook::{Access, CarEntry, Notebook};
pub use saver::SaveStatus;

/// The text of a regular file, such as an advert kept as one, made safe to show.
///
/// # Errors
/// One sentence: what, where, what to do.
pub fn read_text(path: &std::path::Path) -> Result<String, StoreError> {
    let place = error::shown(path);
    let bytes = file::bytes_at(&fs::Disk, path, "text", &place)?;
    let text = String::from_utf8(bytes).map_err(|_| {
        StoreError::new(
            Trouble::NotText,
            &format!("{place} is not UTF-8 text; save it as plain text in UTF-8, or paste it."),
        )
    })?;
    Ok(crate::car::text::sanitise(&text))
}

/// Writes a small file of the program's own: see [`durable::write_private`].
///
/// # Errors
/// One sentence; the old file is whole.
pub fn write_private(path: &std::path::Path, bytes: &[u8]) -> Result<(), StoreError> {
    durable::write_private(&fs::Disk, path, bytes)
}
