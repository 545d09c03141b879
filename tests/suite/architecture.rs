//! The shape of the house: which layer may name which, what no layer may do, how long a file may be.
//!
//! The compiler cannot say this inside one crate, so these tests read the source text: comments, strings and `#[cfg(test)]` items
//! are taken out first.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::architecture_source as source;

use source::{first_names, has_word, production_code, rust_files};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// A layer and what it keeps to.
struct Layer {
    name: &'static str,
    /// Other layers that it may name.
    may_name: &'static [&'static str],
    /// Modules of the standard library that it may not name.
    no_std: &'static [&'static str],
    /// Whole words that may not occur in its code.
    no_words: &'static [&'static str],
}

const PURE_STD: &[&str] = &["env", "fs", "io", "net", "os", "process", "thread", "time"];

const PURE_WORDS: &[&str] = &[
    "HashMap",
    "HashSet",
    "Instant",
    "LazyLock",
    "Mutex",
    "OnceLock",
    "RwLock",
    "SystemTime",
    "TimeZone",
    "Timestamp::now",
    "ZonedDateTime",
    "anyhow",
    "clap",
    "crossterm",
    "dbg!",
    "directories",
    "eprint!",
    "eprintln!",
    "print!",
    "println!",
    "ratatui",
    "rustix",
    "signal_hook",
    "static mut",
    "tempfile",
    "thread::spawn",
    "thread_local!",
];

/// Lowest first.
const LAYERS: &[Layer] = &[
    Layer {
        name: "car",
        may_name: &[],
        no_std: PURE_STD,
        no_words: PURE_WORDS,
    },
    Layer {
        name: "trade",
        may_name: &["car"],
        no_std: PURE_STD,
        no_words: PURE_WORDS,
    },
    Layer {
        name: "engine",
        may_name: &["car", "trade"],
        no_std: PURE_STD,
        no_words: PURE_WORDS,
    },
    Layer {
        name: "report",
        may_name: &["car", "trade", "engine"],
        no_std: &["env", "fs", "net", "process", "thread", "time"],
        no_words: &[
            "Instant",
            "SystemTime",
            "Timestamp::now",
            "ZonedDateTime::now",
            "clap",
            "crossterm",
            "dbg!",
            "eprint!",
            "eprintln!",
            "print!",
            "println!",
            "ratatui",
            "static mut",
            "tempfile",
            "thread::spawn",
            "thread_local!",
        ],
    },
    Layer {
        name: "store",
        may_name: &["car"],
        no_std: &["env", "net"],
        // `SystemTime::now` tells the age of a file, and nothing else here.
        no_words: &[
            "Timestamp::now",
            "ZonedDateTime::now",
            "clap",
            "crossterm",
            "dbg!",
            "directories",
            "eprint!",
            "eprintln!",
            "print!",
            "println!",
            "ratatui",
            "static mut",
            "thread_local!",
        ],
    },
    Layer {
        name: "tui",
        may_name: &["car", "trade", "engine", "report", "store"],
        no_std: &["env", "fs", "net", "process"],
        no_words: &[
            "SystemTime",
            "Timestamp::now",
            "ZonedDateTime::now",
            "clap",
            "dbg!",
            "directories",
            "eprint!",
            "eprintln!",
            "print!",
            "println!",
            "static mut",
            "tempfile",
            "thread_local!",
        ],
    },
    Layer {
        name: "cli",
        may_name: &["car", "trade", "engine", "report", "store", "tui"],
        no_std: &["net"],
        no_words: &["dbg!", "ratatui", "static mut", "thread_local!"],
    },
];

/// A production file may not reach this many lines; 400 is the wish.
const FEWER_LINES_THAN: usize = 500;

/// What ends a program instead of giving an error.
const PANICS: &[&str] = &[
    ".unwrap()",
    ".unwrap_err()",
    ".expect(",
    ".expect_err(",
    "::unwrap)",
    "panic!",
    "todo!",
    "unimplemented!",
];

fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

fn layer_files(layer: &str) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let (file, folder) = (src().join(layer).with_extension("rs"), src().join(layer));
    if file.is_file() {
        files.push(file);
    }
    files.extend(rust_files(&folder));
    files
}

fn shown(file: &Path) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    file.strip_prefix(root)
        .unwrap_or(file)
        .display()
        .to_string()
}

/// What this production code of a layer does that the layer may not do.
fn wrongs(layer: &Layer, code: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut named = first_names(code, "crate");
    named.extend(first_names(code, "super"));
    named.extend(first_names(code, "wrenchworth"));
    for other in LAYERS.iter().map(|other| other.name) {
        if named.contains(other) && other != layer.name && !layer.may_name.contains(&other) {
            wrong.push(format!("{} must not name {other}", layer.name));
        }
    }
    let std = first_names(code, "std");
    for module in layer.no_std {
        if std.contains(*module) {
            wrong.push(format!("{} must not use std::{module}", layer.name));
        }
    }
    for word in layer.no_words {
        if has_word(code, word) {
            wrong.push(format!("{} must not use {word}", layer.name));
        }
    }
    wrong
}

#[test]
fn layers_name_only_what_lies_below_them_and_keep_off_what_is_not_theirs() {
    // While the house goes up, a layer above the engine may be missing; with a top on it, none may.
    let has_a_top = ["tui", "cli"]
        .iter()
        .all(|layer| !layer_files(layer).is_empty());
    let mut wrong = Vec::new();
    for layer in LAYERS {
        let files = layer_files(layer.name);
        let may_be_missing = !has_a_top && !["car", "trade", "engine"].contains(&layer.name);
        assert!(
            may_be_missing || !files.is_empty(),
            "no files for layer {}: renamed without this test?",
            layer.name
        );
        for (file, code) in production_code(&files) {
            let found = wrongs(layer, &code);
            wrong.extend(found.iter().map(|what| format!("{}: {what}", shown(&file))));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn every_file_stands_in_a_layer() {
    let known: BTreeSet<&str> = LAYERS.iter().map(|layer| layer.name).collect();
    for entry in fs::read_dir(src()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap();
        let is_root = path.extension().is_some() && ["lib", "main"].contains(&name);
        assert!(
            is_root || known.contains(name),
            "{} belongs to no layer: say in this test what it may name",
            shown(&path)
        );
        if path.is_dir() {
            assert!(
                path.with_extension("rs").is_file(),
                "{} has no {name}.rs beside it",
                shown(&path)
            );
        }
    }
}

#[test]
fn screens_reach_the_notebook_through_one_file() {
    let wrong: Vec<String> = production_code(&layer_files("tui"))
        .into_iter()
        .filter(|(file, _)| !shown(file).starts_with("src/tui/perform"))
        .filter(|(_, code)| first_names(code, "crate").contains("store"))
        .map(|(file, _)| format!("{} names store; only tui/perform may", shown(&file)))
        .collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn every_production_file_is_short() {
    let long: Vec<String> = rust_files(&src())
        .into_iter()
        .map(|file| (fs::read_to_string(&file).unwrap().lines().count(), file))
        .filter(|(lines, _)| *lines >= FEWER_LINES_THAN)
        .map(|(lines, file)| format!("{}: {lines} lines", shown(&file)))
        .collect();
    assert!(
        long.is_empty(),
        "split these by what they are about, to 400 lines or so\n{}",
        long.join("\n")
    );
}

#[test]
fn nothing_in_production_code_ends_the_program_instead_of_giving_an_error() {
    let mut wrong = Vec::new();
    for (file, code) in production_code(&rust_files(&src())) {
        for (at, line) in code.lines().enumerate() {
            for word in PANICS.iter().filter(|word| line.contains(**word)) {
                wrong.push(format!("{}:{}: {word}", shown(&file), at + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn the_pure_layers_deny_what_clippy_is_told_to_disallow() {
    for layer in ["car", "trade", "engine"] {
        let file = src().join(layer).with_extension("rs");
        let code = fs::read_to_string(&file).unwrap();
        let denied = code
            .split("#![deny(")
            .skip(1)
            .filter_map(|tail| tail.split(")]").next())
            .collect::<String>();
        for lint in ["macros", "methods", "types"] {
            assert!(
                denied.contains(&format!("clippy::disallowed_{lint}")),
                "{} does not deny clippy::disallowed_{lint}",
                shown(&file)
            );
        }
    }
}

#[test]
fn the_map_for_contributors_names_every_file() {
    let map = fs::read_to_string(src().with_file_name("DEVELOPERS.md")).unwrap();
    let missing: Vec<String> = rust_files(&src())
        .into_iter()
        .map(|file| (shown(&file), fs::read_to_string(&file).unwrap()))
        .filter(|(name, _)| !map.contains(&format!("`{name}`")))
        .map(|(name, text)| {
            let says = text.lines().next().unwrap_or_default();
            format!("| `{name}` | {} |", says.trim_start_matches("//!").trim())
        })
        .collect();
    assert!(
        missing.is_empty(),
        "lines for the map in DEVELOPERS.md:\n{}",
        missing.join("\n")
    );
    let there = |layer: &&Layer| !layer_files(layer.name).is_empty();
    let layers: Vec<&Layer> = LAYERS.iter().filter(there).collect();
    let of_a_layer = |path: &str| {
        let mut words = path.trim_end_matches(".rs").split('/').skip(1);
        words
            .next()
            .is_some_and(|name| layers.iter().any(|layer| layer.name == name))
    };
    let gone: Vec<&str> = map
        .split('`')
        .filter(|name| name.starts_with("src/") && name.ends_with(".rs") && !name.contains('<'))
        .filter(|name| of_a_layer(name) && !src().with_file_name(name).is_file())
        .collect();
    assert!(
        gone.is_empty(),
        "DEVELOPERS.md names what is gone: {gone:?}"
    );
}

#[test]
fn a_wrong_file_would_be_found_out() {
    let engine = LAYERS.iter().find(|layer| layer.name == "engine").unwrap();
    let faulty = [
        ("use crate::store::Notebook;", "engine must not name store"),
        (
            "use crate::{car::{Money, Buyer}, tui};",
            "engine must not name tui",
        ),
        (
            "fn f() { super::super::report::words(); }",
            "engine must not name report",
        ),
        ("use std::fs;", "engine must not use std::fs"),
        (
            "use std::{collections::BTreeMap, env::var};",
            "engine must not use std::env",
        ),
        (
            "static mut SEED: u64 = 0;",
            "engine must not use static mut",
        ),
        (
            "fn f() { println!(\"{}\", 1); }",
            "engine must not use println!",
        ),
    ];
    for (code, what) in faulty {
        assert_eq!(wrongs(engine, code), [what], "{code}");
    }
    let sound = "use crate::{car::Money, trade::Tables};\nuse super::figures::Run;\nfn instantly() { store(1) }";
    assert_eq!(wrongs(engine, sound), Vec::<String>::new());
}
