//! `report` and `compare` as a script meets them: forms, files, what is refused.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use crate::cli::{err, file, out, ran, sample};
use serde_json::Value;
use std::fs;
use tempfile::TempDir;

#[test]
fn a_report_comes_in_one_form_at_a_time_and_every_refusal_has_its_code_and_sentence() {
    let home = TempDir::new().unwrap();
    file(&home, "prose.car.json", "once upon a time");
    file(&home, "taken.html", "mine");
    let dabchick = sample("dabchick-2009");
    let rows: &[(&[&str], i32, &str, &str)] = &[
        (&["report", &dabchick, "--html"], 0, "<!DOCTYPE html>", ""),
        (&["report", &dabchick, "--markdown"], 0, "## Verdict", ""),
        (&["report", &dabchick, "--text"], 0, "Why this limit", ""),
        (
            &["report", &dabchick, "--text", "--for", "scrutineer"],
            0,
            "Found on the car",
            "",
        ),
        (
            &["compare", &dabchick, &dabchick, "--html"],
            0,
            "Who beats whom",
            "",
        ),
        (
            &["compare", &dabchick, &dabchick, "--markdown"],
            0,
            "# Side by side",
            "",
        ),
        (
            &["compare", &dabchick, &dabchick, "--csv"],
            0,
            "limit_price",
            "",
        ),
        (
            &["compare", &dabchick, &dabchick, "--weights", "50,30,20"],
            0,
            "best of these",
            "",
        ),
        (&["report", &dabchick], 2, "", "--html"),
        (&["report", &dabchick, "--html", "--text"], 2, "", "--text"),
        (
            &["report", &dabchick, "--text", "--json"],
            2,
            "",
            "weigh --json",
        ),
        (&["report", "--html"], 2, "", "CAR"),
        (
            &["report", &dabchick, "--html", "--for", "aunt"],
            2,
            "",
            "--for",
        ),
        (
            &["report", "gone.car.json", "--html"],
            1,
            "",
            "gone.car.json",
        ),
        (
            &["report", "prose.car.json", "--html"],
            1,
            "",
            "prose.car.json",
        ),
        (
            &["report", &dabchick, "--html", "--out", "taken.html"],
            1,
            "",
            "taken.html",
        ),
        (
            &[
                "report",
                &dabchick,
                "--html",
                "--out",
                "taken.html/page.html",
            ],
            1,
            "",
            "page.html",
        ),
        (
            &["compare", &dabchick, &dabchick, "--weights", "0,0,0"],
            2,
            "",
            "50,30,20",
        ),
        (
            &["compare", &dabchick, &dabchick, "--weights", "a,b,c"],
            2,
            "",
            "50,30,20",
        ),
        (
            &["compare", &dabchick, &dabchick, "--csv", "--json"],
            2,
            "",
            "--json",
        ),
        (
            &["compare", &dabchick, &dabchick, "--csv", "--html"],
            2,
            "",
            "--html",
        ),
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
        }
    }
    let kept = fs::read_to_string(home.path().join("taken.html")).unwrap();
    assert_eq!(kept, "mine");
}

#[test]
fn a_report_of_several_cars_sets_them_side_by_side_and_goes_to_a_file_of_this_user_alone() {
    let home = TempDir::new().unwrap();
    let (one, other) = (sample("dabchick-2009"), sample("oriole-2012"));
    let output = ran(
        home.path(),
        &["report", &one, &other, "--html", "--out", "both.html"],
    );
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).is_empty() && err(&output).contains("both.html"));
    let page = fs::read_to_string(home.path().join("both.html")).unwrap();
    assert!(page.contains("Who beats whom"));
    assert_eq!(page.matches("<article>").count(), 3);
    let alone = ran(home.path(), &["report", &one, "--html"]);
    assert!(!out(&alone).contains("Who beats whom"));
    let seller = ran(
        home.path(),
        &["report", &one, &other, "--text", "--for", "seller"],
    );
    assert!(!out(&seller).contains("beats whom") && !out(&seller).contains("limit"));
}

#[test]
fn a_pipe_that_closes_early_is_no_failure() {
    use std::process::{Command, Stdio};
    let home = TempDir::new().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_wrenchworth"))
        .env_clear()
        .env("HOME", home.path())
        .args([
            "--home",
            &home.path().to_string_lossy(),
            "--draws",
            "200",
            "report",
        ])
        .args([&sample("dabchick-2009"), "--html"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
}

#[test]
fn the_json_of_a_comparison_says_what_would_swap_it_and_is_the_same_on_any_number_of_threads() {
    let home = TempDir::new().unwrap();
    let cars = ["dabchick-2009", "oriole-2012", "lamprey-2007"].map(sample);
    let mut args = vec!["compare", "--json"];
    args.extend(cars.iter().map(String::as_str));
    let first = ran(home.path(), &args);
    let json: Value = serde_json::from_str(&out(&first)).unwrap();
    for field in [
        "wins",
        "regret",
        "best",
        "swap",
        "preference",
        "dominates",
        "stands_at",
    ] {
        assert!(json.get(field).is_some(), "no {field}");
    }
    assert_eq!(first.stdout, ran(home.path(), &args).stdout);
    let shares: Vec<f64> = json["first_in"]
        .as_array()
        .unwrap()
        .iter()
        .map(|share| share.as_f64().unwrap())
        .collect();
    let sum = shares.iter().sum::<f64>() + json["none_of_these"].as_f64().unwrap();
    assert!((sum - 1.0).abs() < 1e-9);
    // Each car is the one that it is alone.
    let mut alone = vec!["weigh", "--json"];
    alone.extend(cars.iter().map(String::as_str));
    let alone: Value = serde_json::from_str(&out(&ran(home.path(), &alone))).unwrap();
    for at in 0..3 {
        assert_eq!(
            json["cars"][at]["limit_price"],
            alone["cars"][at]["limit_price"]
        );
        assert_eq!(json["cars"][at]["chances"], alone["cars"][at]["chances"]);
    }
}
