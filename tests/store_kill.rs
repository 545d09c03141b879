//! A program killed while it saves: the file always opens, and holds what was last promised or something newer.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

use jiff::civil::date;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use wrenchworth::store::{Access, Notebook, load_car};

const FOLDER: &str = "WRENCHWORTH_KILL_TEST_FOLDER";
const KILLS: u64 = 40;

/// Saves one generation after the other and says each once it is promised, until it is killed. Only runs as the
/// child of the test below.
fn save_for_ever(folder: &Path) {
    let now = date(2026, 11, 14).at(9, 30, 0, 0);
    let mut notebook = Notebook::open(folder, now).unwrap();
    assert_eq!(
        notebook.access(),
        &Access::ReadWrite,
        "the lock of a killed program is free"
    );
    let mut file = notebook.cars()[0].file.clone().unwrap();
    let first: u64 = file.car.name.parse().unwrap();
    for generation in first + 1.. {
        file.car.name = generation.to_string();
        file.car.notes = vec![format!("generation {generation} {}", "x".repeat(200)); 100];
        notebook.save("newt", &file).unwrap();
        notebook.flush(Duration::from_secs(60)).unwrap();
        println!("\npromised {generation}");
    }
}

#[test]
fn a_killed_program_loses_nothing_that_was_promised() {
    if let Some(folder) = std::env::var_os(FOLDER) {
        return save_for_ever(Path::new(&folder));
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("newt.car.json");
    std::fs::write(&path, r#"{"schema": 1, "car": {"name": "0"}}"#).unwrap();
    let mut newest = 0;
    for kill in 0..KILLS {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args([
                "--exact",
                "a_killed_program_loses_nothing_that_was_promised",
                "--nocapture",
            ])
            .env(FOLDER, folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        // Killed at another moment each time, once it is at work.
        let mut promised = 0;
        let number = |line: &str| line.strip_prefix("promised ")?.parse::<u64>().ok();
        for line in lines.by_ref().map_while(Result::ok) {
            if let Some(generation) = number(&line) {
                promised = generation;
                break;
            }
        }
        assert!(promised > 0, "the child saved nothing");
        std::thread::sleep(Duration::from_micros(kill * 379 % 9_000));
        child.kill().unwrap();
        child.wait().unwrap();
        promised = lines
            .map_while(Result::ok)
            .filter_map(|line| number(&line))
            .last()
            .unwrap_or(promised);
        let found: u64 = load_car(&path).unwrap().car.name.parse().unwrap();
        assert!(found >= promised, "promised {promised}, found {found}");
        assert!(found > newest, "no progress");
        newest = found;
        for entry in std::fs::read_dir(folder.path()).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            if name.ends_with(".bak") {
                assert!(load_car(&folder.path().join(name)).is_ok());
            }
        }
    }
}
