//! Folders of a user who has nothing else: a home, a notebook, the sample cars.

use super::terminal::{Start, Terminal};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use wrenchworth::car::CarRecord;
use wrenchworth::store::load_car;

/// The day the sample cars are looked at.
const TODAY: &str = "2026-11-25";

/// A home of one test.
pub struct Place {
    folder: TempDir,
}

impl Place {
    pub fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Where the program keeps what is the user's own.
    pub fn home(&self) -> PathBuf {
        self.path().join("kept")
    }

    /// A notebook of the user's with copies of the sample cars and their buyer in it.
    pub fn notebook(&self) -> PathBuf {
        let notebook = self.path().join("lane");
        fs::create_dir_all(&notebook).unwrap();
        for entry in fs::read_dir(samples()).unwrap().map(Result::unwrap) {
            let name = entry.file_name().into_string().unwrap();
            if name.ends_with(".car.json") || name == "buyer.json" {
                fs::copy(entry.path(), notebook.join(name)).unwrap();
            }
        }
        notebook
    }

    /// The program on the user's own notebook.
    pub fn start(&self) -> Start {
        self.start_on(TODAY)
    }

    /// The program on the user's own notebook on a day.
    pub fn start_on(&self, day: &str) -> Start {
        Start::program(env!("CARGO_BIN_EXE_wrenchworth"), self.path())
            .arg("--home")
            .arg(self.home())
            .arg("--today")
            .arg(day)
            .arg("--draws")
            .arg("400")
    }

    /// The program on a notebook, once all its figures are out.
    pub fn open(&self, notebook: &Path) -> Terminal {
        let terminal = self.start().arg(notebook).open();
        ready(&terminal);
        terminal
    }
}

/// The sample cars of the repository, which the program never changes.
pub fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-listings")
}

/// Waits until the list is there with the figures of the car in hand.
pub fn ready(terminal: &Terminal) -> String {
    terminal.wait_until("the list with its figures", |picture| {
        picture.contains("[Cars]") && settled(picture) && limit(picture).is_some()
    })
}

/// Nothing is being worked out.
pub fn settled(picture: &str) -> bool {
    !picture.contains("working")
}

/// The limit on the bottom line, as `1,475`: what stands after its name, or what it has just moved to.
pub fn limit(picture: &str) -> Option<String> {
    let line = picture.lines().rev().nth(1)?;
    let (_, after) = line.split_once("limit ")?;
    let mut words = after.split(' ');
    let first = words.next()?;
    let figure = match words.next() {
        Some("→") => words.next()?,
        _ => first,
    };
    figure
        .starts_with(|c: char| c.is_ascii_digit())
        .then(|| figure.to_owned())
}

/// Paths of the car files of a notebook.
pub fn car_files(notebook: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(notebook)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(".car.json"))
        .collect();
    files.sort();
    files
}

/// The cars of a notebook as they are on the disk.
pub fn cars(notebook: &Path) -> Vec<CarRecord> {
    let files = car_files(notebook);
    files
        .iter()
        .map(|file| load_car(file).unwrap().car)
        .collect()
}

/// A car file as plain JSON.
pub fn read_json(path: &Path) -> serde_json::Value {
    serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
}
