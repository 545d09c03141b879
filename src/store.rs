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
