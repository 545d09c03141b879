//! The one way in from JSON and the one way out.
//!
//! A reader is compiled anew for each kind of input it takes from, and the records are large: a second way in would
//! double a good part of the program.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Why a text is not the value wanted, and at which field.
#[derive(Debug, thiserror::Error)]
#[error("{field}: {error}")]
pub struct Unread {
    /// Path of the field, as `listing.asking`; `.` at the top, empty after the end.
    pub field: String,
    /// What the reader said, with line and column.
    pub error: serde_json::Error,
}

impl Unread {
    /// What is wrong, without line and column.
    pub fn why(&self) -> String {
        let full = self.error.to_string();
        full.split(" at line ")
            .next()
            .unwrap_or_default()
            .to_owned()
    }
}

/// Reads one value that fills the whole text.
///
/// # Errors
/// [`Unread`] if it is no JSON, lacks a field, has a wrong one, or goes on after its end.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, Unread> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = serde_path_to_error::deserialize(&mut reader).map_err(|error| Unread {
        field: error.path().to_string(),
        error: error.into_inner(),
    })?;
    reader.end().map_err(|error| Unread {
        field: String::new(),
        error,
    })?;
    Ok(value)
}

/// Reads from a value.
///
/// # Errors
/// As [`read`]; line and column mean nothing here.
pub fn of_value<T: DeserializeOwned>(value: &Value) -> Result<T, Unread> {
    read(&value.to_string())
}

/// Text as it stands in a file, without the last newline.
///
/// # Errors
/// If something has no JSON form: a map whose keys are no text.
pub fn text_of<T: Serialize>(value: &T) -> serde_json::Result<Vec<u8>> {
    serde_json::to_vec_pretty(value)
}

/// As a value that can be walked.
///
/// # Errors
/// As [`text_of`].
pub fn value_of<T: Serialize>(value: &T) -> serde_json::Result<Value> {
    serde_json::from_slice(&text_of(value)?)
}
