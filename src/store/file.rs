//! One file read with care: what it is, how long it is, whether it is JSON, of which format, and which field is
//! wrong. Nothing here writes: a file that cannot be read is left exactly as it is.

use super::error::{StoreError, Trouble, shown, shown_name};
use super::fs::{Content, Disk, Fs, Kind};
use super::kept::Kept;
use super::wording;
use crate::car::{Buyer, CarFile, SCHEMA, check, clean, json};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Longest file read or written, bytes. Parsed, it may take ten times as much memory.
pub const LONGEST_FILE: u64 = 16 << 20;

/// A kind of file of this program.
pub trait Document: Serialize + DeserializeOwned + PartialEq + Clone {
    /// What it is called in sentences.
    const WHAT: &'static str;
    /// A file without a format number is of the present format; otherwise it is none of ours.
    const NUMBER_MAY_MISS: bool;
    /// Sets the format number written.
    fn stamp(&mut self);
    /// Makes its texts safe to show.
    fn clean(&mut self);
    /// Numbers in it that no car and no person has.
    fn problems(&self) -> Vec<check::Problem>;
}

impl Document for CarFile {
    const WHAT: &'static str = "car file";
    const NUMBER_MAY_MISS: bool = false;
    fn stamp(&mut self) {
        self.schema = SCHEMA;
    }
    fn clean(&mut self) {
        clean::car_file(self);
    }
    fn problems(&self) -> Vec<check::Problem> {
        check::problems(self)
    }
}

impl Document for Buyer {
    const WHAT: &'static str = "buyer file";
    const NUMBER_MAY_MISS: bool = true;
    fn stamp(&mut self) {
        self.schema = SCHEMA;
    }
    fn clean(&mut self) {
        clean::buyer(self);
    }
    fn problems(&self) -> Vec<check::Problem> {
        check::buyer_problems(self)
    }
}

/// A file as read.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded<T> {
    /// What it says, safe to show.
    pub value: T,
    /// Fields of it that this version does not know.
    pub kept: Kept,
    /// The bytes it was read from.
    pub bytes: Vec<u8>,
}

/// Reads a car file, for the command line.
///
/// # Errors
/// One sentence: what, where, what to do.
pub fn load_car(path: &Path) -> Result<CarFile, StoreError> {
    Ok(load(&Disk, path, &shown(path))?.value)
}

/// Reads a buyer file, for the command line.
///
/// # Errors
/// One sentence: what, where, what to do.
pub fn load_buyer(path: &Path) -> Result<Buyer, StoreError> {
    Ok(load(&Disk, path, &shown(path))?.value)
}

/// Reads a file of any kind. Sentences call it `place`: its path, or its name alone where the folder is known.
///
/// # Errors
/// One sentence: what, where, what to do. Numbers that no car and no person has are refused too: reckoned with in
/// silence, they would give a limit that nobody should trust.
pub fn load<T: Document>(fs: &dyn Fs, path: &Path, place: &str) -> Result<Loaded<T>, StoreError> {
    let bytes = bytes_at(fs, path, T::WHAT, place)?;
    let remedy = remedy(fs, path);
    let (value, kept) = read::<T>(&bytes, place, &remedy)?;
    if let Some(first) = value.problems().first() {
        return Err(StoreError::new(
            Trouble::BadField,
            &format!("{place}: {}", first.sentence),
        ));
    }
    Ok(Loaded { value, kept, bytes })
}

/// The bytes of a regular file no longer than the cap.
pub(crate) fn bytes_at(
    fs: &dyn Fs,
    path: &Path,
    what: &str,
    place: &str,
) -> Result<Vec<u8>, StoreError> {
    let Content { stat, bytes } = fs
        .read(path, LONGEST_FILE)
        .map_err(|error| StoreError::io(&format!("read the {what}"), Path::new(place), &error))?;
    match (bytes, stat.kind) {
        (Some(bytes), _) => Ok(bytes),
        (None, Kind::File) => Err(StoreError::new(
            Trouble::TooBig,
            &format!(
                "{place} is too long for a {what} (over {} MB); check that it is one.",
                LONGEST_FILE >> 20
            ),
        )),
        (None, Kind::Folder) => Err(StoreError::new(
            Trouble::NotAFile,
            &format!("{place} is a folder, not a {what}; name a file in it."),
        )),
        (None, Kind::Other) => Err(StoreError::new(
            Trouble::NotAFile,
            &format!(
                "{place} is not a regular file, so it cannot be a {what}; name a regular file."
            ),
        )),
    }
}

/// Where the previous version of a file is kept.
pub(crate) fn previous(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// What to do about a broken file: put the previous version back, where there is one.
fn remedy(fs: &dyn Fs, path: &Path) -> String {
    let previous = previous(path);
    let there = fs
        .stat(&previous)
        .is_ok_and(|stat| stat.kind == Kind::File && stat.size > 0);
    if there {
        format!("correct it there or put {} back", shown_name(&previous))
    } else {
        "correct it there or put a copy of yours back".to_owned()
    }
}

/// What bytes say as a document, and what of them was not understood.
pub(crate) fn read<T: Document>(
    bytes: &[u8],
    place: &str,
    remedy: &str,
) -> Result<(T, Kept), StoreError> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if bytes.iter().all(u8::is_ascii_whitespace) {
        let sentence = format!("{place} is empty; {remedy}.");
        return Err(StoreError::new(Trouble::NotJson, &sentence));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = 1 + newlines(bytes.get(..error.valid_up_to()).unwrap_or_default());
        let sentence = format!("{place} is not UTF-8 text from line {line} on; {remedy}.");
        StoreError::new(Trouble::NotText, &sentence)
    })?;
    let mut raw: Value =
        serde_json::from_str(text).map_err(|error| refused::<T>(place, "", &error, remedy))?;
    let found = format_number::<T>(&raw, place, remedy)?;
    let mut value: T = if found == u64::from(SCHEMA) {
        typed(text, place, remedy)?
    } else {
        migrate(&mut raw, found);
        typed(&raw.to_string(), place, remedy)?
    };
    let understood = json::value_of(&value).unwrap_or_default();
    let kept = Kept::between(&raw, &understood);
    value.clean();
    Ok((value, kept))
}

fn newlines(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte == b'\n').count()
}

fn typed<T: Document>(text: &str, place: &str, remedy: &str) -> Result<T, StoreError> {
    json::read(text).map_err(|unread| refused::<T>(place, &unread.field, &unread.error, remedy))
}

/// The sentence for what the JSON reader refused.
fn refused<T: Document>(
    place: &str,
    field: &str,
    error: &serde_json::Error,
    remedy: &str,
) -> StoreError {
    use serde_json::error::Category;
    let (line, column) = (error.line(), error.column());
    let at = format!("line {line} column {column}");
    let full = error.to_string();
    let why = full.split(" at line ").next().unwrap_or_default();
    let why: String = wording::plain(why).chars().take(260).collect();
    let (trouble, what) = match error.classify() {
        Category::Eof => (Trouble::NotJson, format!("{place} is cut off at {at}")),
        Category::Syntax if why.contains("recursion limit") => (
            Trouble::NotJson,
            format!("{place} is nested too deep for a {} at {at}", T::WHAT),
        ),
        Category::Data => {
            let field = match field {
                "" | "." | "?" => String::new(),
                field => format!("{}, ", field.chars().take(120).collect::<String>()),
            };
            (Trouble::BadField, format!("{place}: {field}{at}: {why}"))
        }
        Category::Syntax | Category::Io => (
            Trouble::NotJson,
            format!("{place} is not JSON at {at}: {why}"),
        ),
    };
    StoreError::new(trouble, &format!("{what}; {remedy}."))
}

fn format_number<T: Document>(raw: &Value, place: &str, remedy: &str) -> Result<u64, StoreError> {
    let bad = |what: &str| {
        let sentence = format!("{place}: {what}, so it is no {}; {remedy}.", T::WHAT);
        StoreError::new(Trouble::BadField, &sentence)
    };
    let Value::Object(fields) = raw else {
        return Err(bad("it is not an object in braces"));
    };
    match fields.get("schema") {
        None if T::NUMBER_MAY_MISS => Ok(u64::from(SCHEMA)),
        None => Err(bad("schema: there is no format number")),
        Some(number) => match number.as_u64() {
            Some(newer) if newer > u64::from(SCHEMA) => Err(StoreError::new(
                Trouble::Newer,
                &format!(
                    "{place} was written by a newer version (format {newer}, this one knows up to {SCHEMA}) and is left untouched; open it with that version."
                ),
            )),
            Some(known) => Ok(known),
            None => Err(bad("schema: the format number is not a whole number")),
        },
    }
}

/// Brings an older format to the present one, in memory, one format at a time.
fn migrate(raw: &mut Value, from: u64) {
    // Each entry leads from the format of its place in the list to the next.
    const STEPS: [fn(&mut Value); SCHEMA as usize] = [numberless];
    let done = usize::try_from(from).unwrap_or(usize::MAX);
    for step in STEPS.iter().skip(done) {
        step(raw);
    }
    if let Value::Object(fields) = raw {
        fields.insert("schema".to_owned(), SCHEMA.into());
    }
}

/// Format 0 had the fields of format 1, before formats were numbered.
fn numberless(_: &mut Value) {}

/// The bytes of a document, proved to read back as the same.
///
/// # Errors
/// If they do not, or if the file could not be read again for its length.
pub fn bytes_of<T: Document>(
    document: &T,
    kept: &Kept,
    path: &Path,
) -> Result<Vec<u8>, StoreError> {
    let place = shown_name(path);
    let broken = |why: &str| {
        StoreError::new(
            Trouble::Unsaved,
            &format!(
                "{place} was not saved because {why}, and the old file was kept; undo the last change and save again."
            ),
        )
    };
    let mut document = document.clone();
    document.stamp();
    let written = if kept.is_empty() {
        json::text_of(&document)
    } else {
        json::value_of(&document).and_then(|mut value| {
            kept.put_back(&mut value);
            json::text_of(&value)
        })
    };
    let mut bytes = written.map_err(|_| broken("it has no JSON form"))?;
    bytes.push(b'\n');
    if u64::try_from(bytes.len()).map_or(true, |length| length > LONGEST_FILE) {
        return Err(broken(&format!("it is over {} MB", LONGEST_FILE >> 20)));
    }
    let again = std::str::from_utf8(&bytes).ok().map(json::read::<T>);
    match again {
        Some(Ok(again)) if again == document => Ok(bytes),
        _ => Err(broken("it would not read back as written")),
    }
}
