//! A folder for one test, and what the tests of the notebook share.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#![allow(dead_code, reason = "each test file uses a part of it")]

use jiff::civil::{DateTime, date};
use serde_json::Value;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;
use std::time::Duration;
use wrenchworth::car::CarFile;
use wrenchworth::store::Notebook;

pub const SOON: Duration = Duration::from_secs(30);

pub fn now() -> DateTime {
    date(2026, 11, 14).at(9, 30, 0, 0)
}

pub fn car(name: &str) -> CarFile {
    let mut file = CarFile {
        schema: 1,
        ..CarFile::default()
    };
    file.car.name = name.to_owned();
    file
}

pub struct Place(pub tempfile::TempDir);

impl Place {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }
    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    pub fn open(&self) -> Notebook {
        Notebook::open(self.0.path(), now()).unwrap()
    }
    pub fn put(&self, name: &str, value: &Value) {
        fs::write(
            self.path(name),
            serde_json::to_string_pretty(value).unwrap(),
        )
        .unwrap();
    }
    pub fn mode(&self, name: &str) -> u32 {
        fs::metadata(self.path(name)).unwrap().permissions().mode() & 0o777
    }
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.0.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}
