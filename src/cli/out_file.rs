//! A result written to a file that the user names.

use super::failure::{Failure, shown};
use crate::store;
use std::path::Path;

/// Refuses a name that is taken: what stands there may be a car.
///
/// # Errors
/// [`Failure::Data`] where something stands there.
pub fn must_be_free(path: &Path) -> Result<(), Failure> {
    if path.symlink_metadata().is_ok() {
        return Err(Failure::Data(format!(
            "{} is there already and was left as it is. Name another file, or move that one away.",
            shown(path)
        )));
    }
    Ok(())
}

/// Writes a new file for this user alone, whole or not at all, and says so on standard error.
///
/// # Errors
/// [`Failure::Data`] for a name that is taken or cannot be written to.
pub fn write(path: &Path, text: &str) -> Result<(), Failure> {
    must_be_free(path)?;
    // A bare name lies in the folder in hand.
    store::write_private(&Path::new(".").join(path), text.as_bytes())?;
    super::message(&format!("wrenchworth: written to {}.", shown(path)));
    Ok(())
}

/// A result where it is wished: in the file named, else on standard output.
///
/// # Errors
/// [`Failure::Data`] for a name that is taken or cannot be written to; standard output gone.
pub fn put(path: Option<&Path>, text: &str, out: &mut impl std::io::Write) -> Result<(), Failure> {
    match path {
        Some(path) => write(path, text),
        None => Ok(out.write_all(text.as_bytes())?),
    }
}
