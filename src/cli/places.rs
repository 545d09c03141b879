//! Where things are kept, and what is in force: paths, day, tables, buyer.

use super::args::Global;
use super::failure::{Failure, shown};
use crate::car::Buyer;
use crate::engine::{Knowledge, Run};
use crate::report::text::Style;
use crate::store;
use crate::trade::{Overlay, TableError, Tables};
use directories::ProjectDirs;
use jiff::ZonedDateTime;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The user's own notebook.
const OWN_NOTEBOOK: &str = "driveway";
/// The file of the buyer, beside the cars.
const BUYER_FILE: &str = "buyer.json";
/// Most bytes of one overlay.
const MOST_BYTES: u64 = 16 * 1024 * 1024;
/// The buyer when no file names one.
pub const PLAIN_BUYER: &str = "the built-in plain buyer";

/// The user's own notebook: `driveway` in the data directory.
///
/// # Errors
/// [`Failure::Data`] where the platform names no home folder.
pub fn own_notebook(global: &Global) -> Result<PathBuf, Failure> {
    if let Some(home) = &global.home {
        return Ok(home.join(OWN_NOTEBOOK));
    }
    project_dirs()
        .map(|dirs| dirs.data_dir().join(OWN_NOTEBOOK))
        .ok_or_else(no_home)
}

/// The user's own tables: `--tables`, else `tables` in the config directory; there may be none.
pub fn own_tables(global: &Global) -> Option<PathBuf> {
    global
        .tables
        .clone()
        .or_else(|| global.home.as_ref().map(|home| home.join("tables")))
        .or_else(|| project_dirs().map(|dirs| dirs.config_dir().join("tables")))
}

fn project_dirs() -> Option<ProjectDirs> {
    ProjectDirs::from("", "", "wrenchworth")
}

fn no_home() -> Failure {
    Failure::Data("no home folder is known here. Name one with --home DIR.".to_owned())
}

/// What an appraisal is run with.
pub fn run_of(global: &Global) -> Run {
    Run {
        today: global.today.unwrap_or_else(|| ZonedDateTime::now().date()),
        seed: global.seed,
        draws: global.draws,
    }
}

/// How text is written.
pub fn style_of(global: &Global) -> Style {
    Style {
        plain: global.plain,
        ascii: global.ascii,
    }
}

/// Overlays of a folder: every `<table>.json`, by name. A folder that was named must be there.
///
/// # Errors
/// [`Failure::Data`] says which file cannot be read.
pub fn overlays_in(dir: &Path, named: bool) -> Result<Vec<Overlay>, Failure> {
    let entries = match fs::read_dir(dir) {
        Ok(entries) => entries,
        Err(error) if error.kind() == ErrorKind::NotFound && !named => return Ok(Vec::new()),
        Err(error) => {
            return Err(Failure::file(
                dir,
                reason(&error),
                "Name a folder of table files.",
            ));
        }
    };
    let mut files: Vec<PathBuf> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .collect();
    files.sort();
    files.iter().map(|path| overlay(path)).collect()
}

fn overlay(path: &Path) -> Result<Overlay, Failure> {
    let remedy = "Mend the file, or move it out of the folder.";
    let too_big = fs::metadata(path).is_ok_and(|facts| facts.len() > MOST_BYTES);
    if too_big {
        return Err(Failure::file(path, "over 16 MB", remedy));
    }
    let text =
        fs::read_to_string(path).map_err(|error| Failure::file(path, reason(&error), remedy))?;
    Ok(Overlay {
        table: path
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned(),
        place: shown(path),
        text,
    })
}

/// A reason of the system's, without its number.
pub fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        ErrorKind::PermissionDenied => "you may not read it".to_owned(),
        ErrorKind::InvalidData => "it is not text in UTF-8".to_owned(),
        ErrorKind::IsADirectory => "it is a folder".to_owned(),
        ErrorKind::NotADirectory => "it is a file, not a folder".to_owned(),
        _ => error.to_string(),
    }
}

/// The tables in force.
///
/// # Errors
/// [`Failure::Data`] says which file, row and field.
pub fn tables_in_force(global: &Global) -> Result<Tables, Failure> {
    let overlays = match own_tables(global) {
        Some(dir) => overlays_in(&dir, global.tables.is_some())?,
        None => Vec::new(),
    };
    Tables::from_texts(&crate::trade::EMBEDDED, &overlays).map_err(|error| table_failure(&error))
}

/// A fault of a table as a failure.
pub fn table_failure(error: &TableError) -> Failure {
    Failure::Data(format!(
        "{}.",
        crate::report::words::clean(&error.to_string()).trim_end_matches('.')
    ))
}

/// The tables in force, made ready and free of faults.
///
/// # Errors
/// [`Failure::Data`] with the first thing wrong with them.
pub fn knowledge(global: &Global) -> Result<Knowledge, Failure> {
    let tables = tables_in_force(global)?;
    if let Some(first) = crate::trade::check(&tables).first() {
        return Err(Failure::Data(format!(
            "the tables do not hold together: {first}. Run “wrenchworth tables check” for the whole list."
        )));
    }
    Ok(Knowledge::new(tables))
}

/// The buyer of a car and the name under which the assumptions keep it.
///
/// # Errors
/// [`Failure::Data`] for a file that cannot be used or a purpose the tables do not know.
pub fn buyer_for(car: &Path, global: &Global, tables: &Tables) -> Result<(Buyer, String), Failure> {
    let beside = car
        .parent()
        .unwrap_or_else(|| Path::new(""))
        .join(BUYER_FILE);
    let (buyer, name) = match &global.buyer {
        Some(file) => (store::load_buyer(file)?, shown(file)),
        None if beside.exists() => (
            store::load_buyer(&beside)?,
            format!("{BUYER_FILE} beside the car"),
        ),
        None => return Ok((Buyer::default(), PLAIN_BUYER.to_owned())),
    };
    if tables.purpose(&buyer.purpose).is_none() {
        let known: Vec<&str> = tables.purposes.iter().map(|row| row.id.as_str()).collect();
        let file = global.buyer.as_deref().unwrap_or(&beside);
        return Err(Failure::file(
            file,
            format!("there is no purpose “{}”", buyer.purpose),
            &format!("Use one of: {}.", known.join(", ")),
        ));
    }
    Ok((buyer, name))
}

/// Slug of a car file: its name without `.car.json`.
pub fn slug_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let slug = name
        .strip_suffix(".car.json")
        .or_else(|| name.strip_suffix(".json"));
    crate::report::words::clean(slug.unwrap_or(&name))
}
