//! The program as a script meets it: arguments in, standard output, standard error and exit code out.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

pub fn sample(slug: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-listings");
    folder
        .join(format!("{slug}.car.json"))
        .to_string_lossy()
        .into_owned()
}

/// The program with a home of its own: nothing of the machine's user can matter.
fn program(home: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wrenchworth"));
    command
        .env_clear()
        .env("HOME", home)
        .current_dir(home)
        .arg("--home")
        .arg(home)
        .args(["--today", "2026-11-14", "--draws", "200", "--seed", "3"]);
    command
}

pub fn ran(home: &Path, args: &[&str]) -> Output {
    program(home).args(args).output().unwrap()
}

pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

pub fn file(home: &TempDir, name: &str, text: &str) -> PathBuf {
    let path = home.path().join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, text).unwrap();
    path
}

/// Arguments, exit code, what standard output holds, what standard error holds; an empty text means that nothing stands there.
type Row<'a> = (&'a [&'a str], i32, &'a str, &'a str);

#[test]
fn each_command_line_ends_with_its_code_and_its_words_in_their_places() {
    let home = TempDir::new().unwrap();
    file(&home, "folder/inside.txt", "x");
    file(&home, "prose.car.json", "once upon a time");
    file(&home, "list.car.json", "[]");
    file(&home, "newer.car.json", r#"{"schema": 99, "car": {}}"#);
    file(&home, "odd/car.car.json", r#"{"schema": 1, "car": {}}"#);
    file(
        &home,
        "odd/buyer.json",
        r#"{"schema": 1, "purpose": "yachting"}"#,
    );
    let dabchick = sample("dabchick-2009");
    let rows: &[Row<'_>] = &[
        (&["--version"], 0, "wrenchworth 0.", ""),
        (&["--help"], 0, "weigh", ""),
        (&["help", "weigh"], 0, "CAR", ""),
        (&["weigh", &dabchick], 0, "never pay over", ""),
        (
            &["weigh", &dabchick, "--plain", "--ascii"],
            0,
            "never pay over: ",
            "",
        ),
        (&["compare", &dabchick, &dabchick], 0, "best of these", ""),
        (&["lookup", "P0171"], 0, "points to", ""),
        (&["lookup", "head", "gasket"], 0, "ENG01", ""),
        (&["lookup", "torqe", "wrench"], 0, "torque wrench, tool", ""),
        (&["lookup", "BRAKE-DUST"], 0, "29 CFR 1910.1001", ""),
        (&["tables", "check"], 0, "The tables hold together", ""),
        (
            &["tables", "check", "--derived"],
            0,
            "P0171: too lean, bank 1",
            "",
        ),
        (&["completions", "bash"], 0, "_wrenchworth", ""),
        (&["completions", "fish"], 0, "complete -c wrenchworth", ""),
        (&["man"], 0, ".TH wrenchworth", ""),
        (&["weigh", "gone.car.json"], 1, "", "gone.car.json"),
        (&["weigh", "folder"], 1, "", "folder"),
        (&["weigh", "prose.car.json"], 1, "", "prose.car.json"),
        (&["weigh", "list.car.json"], 1, "", "list.car.json"),
        (&["weigh", "newer.car.json"], 1, "", "newer"),
        (
            &["weigh", "odd/car.car.json"],
            1,
            "",
            "there is no purpose “yachting”",
        ),
        (
            &["weigh", &dabchick, "--buyer", "nobody.json"],
            1,
            "",
            "nobody.json",
        ),
        (
            &["weigh", &dabchick, "--tables", "nowhere"],
            1,
            "",
            "nowhere: ",
        ),
        (
            &["lookup", "qqqqzzzz"],
            1,
            "",
            "nothing in the tables is like “qqqqzzzz”",
        ),
        (&["tables", "check", "nowhere"], 1, "", "nowhere: "),
        (&["wiegh", "x.car.json"], 2, "", "Did you mean “weigh”?"),
        (&["lokup"], 2, "", "Did you mean “lookup”?"),
        (
            &["no-such-folder-at-all"],
            2,
            "",
            "neither a command nor a notebook",
        ),
        (&["prose.car.json"], 2, "", "a file, not a notebook"),
        (&["weigh"], 2, "", "CAR"),
        (&["compare", &dabchick], 2, "", "2"),
        (&["weigh", &dabchick, "--draws", "0"], 2, "", "--draws"),
        (
            &["weigh", &dabchick, "--color", "sometimes"],
            2,
            "",
            "--color",
        ),
        (&["weigh", &dabchick, "--sed", "4"], 2, "", "--seed"),
        (&["completions", "abacus"], 2, "", "SHELL"),
        (&["tables"], 2, "", "check"),
    ];
    for (args, code, on_out, on_err) in rows {
        let output = ran(home.path(), args);
        let (out, err) = (out(&output), err(&output));
        assert_eq!(output.status.code(), Some(*code), "{args:?}\n{out}\n{err}");
        for (text, wanted) in [(&out, on_out), (&err, on_err)] {
            assert!(text.contains(wanted), "{args:?}: no {wanted:?} in {text:?}");
            assert_eq!(text.is_empty(), wanted.is_empty(), "{args:?}: {text:?}");
        }
        if *code == 1 {
            assert_eq!(err.lines().count(), 1, "one sentence: {err}");
            assert!(
                err.starts_with("wrenchworth: ") && err.trim_end().ends_with('.'),
                "{err}"
            );
        }
    }
}

#[test]
fn a_day_that_is_no_day_is_refused_with_the_way_to_write_one() {
    let output = Command::new(env!("CARGO_BIN_EXE_wrenchworth"))
        .args(["--today", "nonsense", "weigh", "x"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("2026-11-14"), "{}", err(&output));
}

#[test]
fn a_file_name_cannot_command_the_terminal() {
    let home = TempDir::new().unwrap();
    for args in [
        ["weigh", "a\u{1b}]0;x\u{7}b.car.json"],
        ["lookup", "\u{1b}[2J qqzzqq"],
    ] {
        let output = ran(home.path(), &args);
        assert_eq!(output.status.code(), Some(1));
        assert!(
            err(&output).chars().all(|c| c == '\n' || !c.is_control()),
            "{:?}",
            err(&output)
        );
    }
    let output = ran(home.path(), &["b\u{1b}[2J"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(!err(&output).contains('\u{1b}'));
}

#[test]
fn the_buyer_is_the_one_named_else_the_one_beside_the_car_else_the_plain_one() {
    let home = TempDir::new().unwrap();
    let alone = file(
        &home,
        "alone/newt.car.json",
        r#"{"schema":1,"car":{"name":"Pudd Newt"}}"#,
    );
    let racer = file(&home, "racer.json", r#"{"schema":1,"purpose":"track"}"#);
    let buyer = |args: &[&str]| {
        let json: Value = serde_json::from_str(&out(&ran(home.path(), args))).unwrap();
        let assumptions = &json["cars"][0]["assumptions"];
        let word = |field: &str| assumptions[field].as_str().unwrap().to_owned();
        (word("buyer"), word("purpose"))
    };
    let alone = alone.to_string_lossy();
    let (name, purpose) = buyer(&["--json", "weigh", &alone]);
    assert_eq!(
        (name.as_str(), purpose.as_str()),
        ("the built-in plain buyer", "daily")
    );
    let (name, _) = buyer(&["--json", "weigh", &sample("lamprey-2007")]);
    assert_eq!(name, "buyer.json beside the car");
    let racer = racer.to_string_lossy();
    let (name, purpose) = buyer(&["--json", "weigh", &alone, "--buyer", &racer]);
    assert!(name.ends_with("racer.json"), "{name}");
    assert_eq!(purpose, "track");
}

#[test]
fn every_sample_weighs_to_json_with_the_promised_fields_and_the_same_bytes_twice() {
    const FIELDS: &[&str] = &[
        "car",
        "assumptions",
        "faults",
        "care",
        "openness",
        "repair",
        "unseen",
        "wear",
        "fit_out",
        "fees",
        "allowance",
        "ladder",
        "worth",
        "worth_missing",
        "floor",
        "limit_price",
        "limit_lines",
        "limit_blind",
        "limit_if_nothing_new",
        "withheld_because",
        "verdict",
        "offer",
        "chances",
        "pace",
        "stops",
        "cautions",
        "trace",
    ];
    let home = TempDir::new().unwrap();
    let cars = ["dabchick-2009", "oriole-2012", "lamprey-2007", "newt-2010"];
    let paths: Vec<String> = cars.iter().map(|slug| sample(slug)).collect();
    let mut args = vec!["weigh", "--json"];
    args.extend(paths.iter().map(String::as_str));
    let first = ran(home.path(), &args);
    assert_eq!(first.status.code(), Some(0), "{}", err(&first));
    let json: Value = serde_json::from_str(&out(&first)).unwrap();
    assert_eq!(json["schema"], 1);
    for (slug, car) in cars.iter().zip(json["cars"].as_array().unwrap()) {
        assert_eq!(car["car"]["slug"], *slug);
        for field in FIELDS {
            assert!(car.get(field).is_some(), "{slug}: no {field}");
        }
        assert_eq!(car["assumptions"]["date"], "2026-11-14");
        assert_eq!(car["assumptions"]["draws"], 200);
        assert_eq!(car["assumptions"]["seed"], 3);
    }
    assert_eq!(first.stdout, ran(home.path(), &args).stdout);
}

#[test]
fn cars_of_two_currencies_are_not_compared() {
    let home = TempDir::new().unwrap();
    let pounds = file(
        &home,
        "newt.car.json",
        r#"{"schema":1,"car":{"name":"Pudd Newt","currency":"GBP"}}"#,
    );
    let output = ran(
        home.path(),
        &[
            "compare",
            &sample("dabchick-2009"),
            &pounds.to_string_lossy(),
        ],
    );
    assert_eq!(output.status.code(), Some(1));
    assert!(err(&output).contains("currency"), "{}", err(&output));
}

#[test]
fn an_overlay_is_laid_over_and_its_faults_are_told_with_their_place() {
    let home = TempDir::new().unwrap();
    let check = |name: &str, text: &str| {
        let path = file(&home, &format!("{}/{name}", name.len()), text);
        let folder = path.parent().unwrap().to_string_lossy().into_owned();
        let output = ran(home.path(), &["tables", "check", &folder]);
        let told = (output.status.code().unwrap(), out(&output), err(&output));
        fs::remove_file(path).unwrap();
        told
    };
    let (code, told, _) = check(
        "faults.json",
        r#"[{"id": "ENG01", "prior": 0.05, "reason": "seen twice"}]"#,
    );
    assert_eq!(code, 0, "{told}");
    let (code, _, told) = check(
        "faults.json",
        r#"[{"id": "ENG01", "priors": 0.05, "reason": "a slip"}]"#,
    );
    assert_eq!(code, 1);
    assert!(
        told.contains("faults.json") && told.contains("ENG01") && told.contains("priors"),
        "{told}"
    );
    let (code, told, _) = check(
        "faults.json",
        r#"[{"id": "ENG01", "prior": 1.5, "reason": "a slip"}]"#,
    );
    assert_eq!(code, 1);
    assert!(told.contains("ENG01"), "{told}");
    let (code, _, told) = check("engines.json", "[]");
    assert_eq!(code, 1);
    assert!(told.contains("engines"), "{told}");
}

#[test]
fn the_users_own_tables_in_the_home_are_in_force() {
    let home = TempDir::new().unwrap();
    file(
        &home,
        "tables/tools.json",
        r#"[{"id": "welder", "name": "the neighbor's welder", "reason": "I asked him"}]"#,
    );
    let output = ran(home.path(), &["lookup", "welder"]);
    assert!(
        out(&output).contains("the neighbor's welder"),
        "{}",
        out(&output)
    );
}

#[test]
fn a_row_looked_up_in_json_carries_its_source() {
    let home = TempDir::new().unwrap();
    let json: Value =
        serde_json::from_str(&out(&ran(home.path(), &["lookup", "eng01", "--json"]))).unwrap();
    assert_eq!(json["schema"], 1);
    assert_eq!(json["found"][0]["id"], "ENG01");
    assert_eq!(json["found"][0]["kind"], "fault");
    assert!(
        !json["found"][0]["row"]["source"]
            .as_str()
            .unwrap()
            .is_empty()
    );
}

#[test]
fn no_argument_makes_the_users_own_notebook() {
    let home = TempDir::new().unwrap();
    ran(home.path(), &[]);
    assert!(home.path().join("driveway").is_dir());
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let home = TempDir::new().unwrap();
    for args in [
        &["man"][..],
        &["weigh", &sample("dabchick-2009")],
        &["--help"],
        &["lookup", "brake"],
    ] {
        let mut child = program(home.path())
            .args(args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{args:?}: {}", err(&output));
        assert_eq!(err(&output), "");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_behind_standard_output_is_told() {
    let home = TempDir::new().unwrap();
    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let output = program(home.path())
        .arg("man")
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(err(&output).contains("standard output"), "{}", err(&output));
}

#[test]
fn the_man_page_has_every_key_of_the_screens() {
    use wrenchworth::tui::keys::{Group, KEYS};
    let home = TempDir::new().unwrap();
    let page = out(&ran(home.path(), &["man"]));
    for row in KEYS.iter().filter(|row| row.group != Group::Over) {
        assert!(
            page.contains(&row.words.replace('-', "\\-")),
            "{}",
            row.words
        );
    }
    assert!(
        page.lines().all(|line| !line.starts_with('\'')),
        "no line is taken for a command"
    );
}
