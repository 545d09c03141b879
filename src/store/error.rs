//! What can go wrong with a file, in one sentence each: what, where, what to do.

use crate::car::text;
use std::fmt;
use std::io;
use std::path::Path;

/// What kind of trouble, for those who act on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// Nothing is there.
    Missing,
    /// A folder, a pipe, a device in the place of a file.
    NotAFile,
    /// A file in the place of a folder.
    NotAFolder,
    /// Larger than any file of this program.
    TooBig,
    /// Not UTF-8.
    NotText,
    /// Not JSON, or cut off.
    NotJson,
    /// JSON, but a field is not what it must be.
    BadField,
    /// Written by a newer version.
    Newer,
    /// Changed on disk by another program since it was read.
    Changed,
    /// This notebook cannot be written.
    ReadOnly,
    /// No car of that name here, or one that could not be read.
    NoSuchCar,
    /// It cannot be written as it is.
    Unsaved,
    /// Not written yet: the disk is slow.
    Slow,
    /// The disk or the system said no.
    Io,
}

/// One sentence, and its kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoreError {
    /// Kind.
    pub trouble: Trouble,
    sentence: String,
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentence)
    }
}

impl std::error::Error for StoreError {}

impl StoreError {
    /// A sentence of a kind. What it quotes from outside is made one safe line.
    pub(crate) fn new(trouble: Trouble, sentence: &str) -> Self {
        Self {
            trouble,
            sentence: text::one_line(sentence),
        }
    }

    /// The system refused something: `could not open X: …; what to do.`
    pub(crate) fn io(doing: &str, path: &Path, error: &io::Error) -> Self {
        use io::ErrorKind as Kind;
        let place = shown(path);
        let (trouble, why, remedy) = match error.kind() {
            Kind::NotFound => (
                Trouble::Missing,
                "it is not there",
                "check the name and the folder",
            ),
            Kind::StorageFull | Kind::QuotaExceeded => (
                Trouble::Io,
                "the disk is full",
                "free some space, then save again",
            ),
            Kind::ReadOnlyFilesystem => (
                Trouble::Io,
                "the disk can only be read",
                "copy the notebook to a place you may write",
            ),
            Kind::PermissionDenied => (
                Trouble::Io,
                "this user may not",
                "change its permissions, or use a place of your own",
            ),
            _ => (
                Trouble::Io,
                "",
                "try again, and if it stays, copy the notebook elsewhere",
            ),
        };
        let said = error.to_string();
        let why = if why.is_empty() { &said } else { why };
        Self::new(
            trouble,
            &format!("could not {doing} {place}: {why}; {remedy}."),
        )
    }
}

/// A path as shown in a sentence: safe, in one line, its end kept when it is long.
pub(crate) fn shown(path: &Path) -> String {
    let text = text::one_line(&path.to_string_lossy());
    let from = text.ceil_char_boundary(text.len().saturating_sub(160));
    match text.get(from..) {
        Some(end) if from > 0 => format!("…{end}"),
        _ => text,
    }
}

/// The name alone, as shown in a sentence.
pub(crate) fn shown_name(path: &Path) -> String {
    path.file_name()
        .map_or_else(|| shown(path), |name| shown(Path::new(name)))
}
