//! A notebook on a disk that refuses, as no test on a real one can where it runs as the superuser.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::error::Trouble;
use super::notebook::{Access, Notebook};
use super::saver::SaveStatus;
use super::sim::{Fault, SimFs};
use crate::car::CarFile;
use jiff::civil::{DateTime, date};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

const CAR: &[u8] = br#"{"schema":1,"car":{"name":"Pudd Newt"}}"#;
const SOON: Duration = Duration::from_secs(20);

fn now() -> DateTime {
    date(2026, 11, 14).at(9, 30, 0, 0)
}

fn disk() -> SimFs {
    let disk = SimFs::new();
    disk.put("/n/newt.car.json", CAR, 0o600);
    disk
}

fn open(disk: &SimFs) -> Result<Notebook, super::StoreError> {
    Notebook::open_on(Arc::new(disk.clone()), Path::new("/n"), now())
}

/// The number of the first call of a kind when a notebook is opened.
fn first(call: &str) -> usize {
    let disk = disk();
    disk.fault(Fault::None);
    drop(open(&disk).unwrap());
    let trace = disk.0.lock().unwrap().trace.clone();
    trace.iter().position(|name| name == call).unwrap() + 1
}

#[test]
fn a_folder_that_cannot_be_written_opens_to_be_looked_at() {
    for (errno, why) in [
        (
            30,
            "could not write to the notebook /n: the disk can only be read; copy the notebook to a place you may write.",
        ),
        (
            13,
            "could not write to the notebook /n: this user may not; change its permissions, or use a place of your own.",
        ),
    ] {
        let disk = disk();
        disk.fault(Fault::At(first("lock"), errno));
        let mut notebook = open(&disk).unwrap();
        assert_eq!(notebook.access(), &Access::ReadOnly { why: why.into() });
        assert_eq!(
            notebook.cars()[0].file.as_ref().unwrap().car.name,
            "Pudd Newt"
        );
        let refused = notebook.save("newt", &CarFile::default()).unwrap_err();
        assert_eq!(
            (refused.trouble, refused.to_string()),
            (Trouble::ReadOnly, why.into())
        );
        assert!(notebook.add("x", CarFile::default()).is_err() && notebook.remove("newt").is_err());
        assert_eq!(notebook.status(), SaveStatus::Saved);
        drop(notebook);
        assert_eq!(disk.bytes("/n/newt.car.json").unwrap(), CAR);
    }
}

#[test]
fn a_folder_that_cannot_be_listed_is_one_sentence() {
    let disk = disk();
    // The first listing sweeps and may fail in silence; the second lists the cars.
    let trace_call = {
        disk.fault(Fault::None);
        drop(open(&disk).unwrap());
        let trace = disk.0.lock().unwrap().trace.clone();
        trace.iter().rposition(|name| name == "list").unwrap() + 1
    };
    disk.fault(Fault::At(trace_call, 13));
    assert_eq!(
        open(&disk).err().unwrap().to_string(),
        "could not list the notebook /n: this user may not; change its permissions, or use a place of your own."
    );
}

#[test]
fn a_full_disk_fails_with_a_sentence_and_saves_once_there_is_room() {
    let disk = disk();
    let mut notebook = open(&disk).unwrap();
    let mut file = notebook.cars()[0].file.clone().unwrap();
    file.car.name = "Zorrel Dabchick".into();
    // Calls of a save: resolve, read, create, write.
    disk.fault(Fault::At(4, 28));
    notebook.save("newt", &file).unwrap();
    let told =
        "could not save /n/newt.car.json: the disk is full; free some space, then save again.";
    while notebook.status() == SaveStatus::Saving {
        std::thread::sleep(Duration::from_millis(5));
    }
    assert_eq!(notebook.status(), SaveStatus::Failed(told.into()));
    assert_eq!(notebook.failure("newt").unwrap().to_string(), told);
    assert_eq!(disk.bytes("/n/newt.car.json").unwrap(), CAR);
    disk.fault(Fault::None);
    notebook.flush(SOON).unwrap();
    assert_eq!(notebook.status(), SaveStatus::Saved);
    let there = String::from_utf8(disk.bytes("/n/newt.car.json").unwrap()).unwrap();
    assert!(there.contains("Zorrel Dabchick"));
}

/// Whatever call fails while a car is saved, added or removed: what `Saved` or `Ok` promised is there.
#[test]
fn no_failing_call_breaks_a_promise_of_the_notebook() {
    for act in ["save", "add", "remove"] {
        let mut n = 0;
        loop {
            n += 1;
            let disk = disk();
            let mut notebook = open(&disk).unwrap();
            let mut file = notebook.cars()[0].file.clone().unwrap();
            file.car.name = "Zorrel Dabchick".into();
            disk.fault(Fault::At(n, 5));
            let done = match act {
                "save" => notebook.save("newt", &file),
                "add" => notebook.add("dabchick", file.clone()).map(drop),
                _ => notebook.remove("newt"),
            };
            while notebook.status() == SaveStatus::Saving {
                std::thread::sleep(Duration::from_millis(2));
            }
            let calls = disk.calls();
            let promised = done.is_ok() && notebook.status() == SaveStatus::Saved;
            let name = |path: &str| {
                let bytes = disk.bytes(path)?;
                let read: CarFile =
                    crate::car::json::read(std::str::from_utf8(&bytes).unwrap()).unwrap();
                Some(read.car.name)
            };
            let newt = name("/n/newt.car.json");
            match act {
                "save" if promised => assert_eq!(newt.unwrap(), "Zorrel Dabchick", "call {n}"),
                "save" => assert!(newt.is_some(), "call {n}"),
                "add" => {
                    assert_eq!(newt.unwrap(), "Pudd Newt");
                    if promised {
                        assert_eq!(name("/n/dabchick.car.json").unwrap(), "Zorrel Dabchick");
                    }
                }
                _ => {
                    let trashed = name("/n/.trash/newt.car.json");
                    assert!(newt.is_some() != trashed.is_some(), "call {n}");
                    assert!(!promised || trashed.is_some(), "call {n}");
                }
            }
            disk.fault(Fault::None);
            drop(notebook);
            if n > calls {
                break;
            }
        }
        assert!(n > 4, "{act} made only {n} calls");
    }
}
