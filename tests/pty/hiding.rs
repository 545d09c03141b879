//! The seller is looking: money goes at one key, and stays gone.

use super::place::{Place, ready, samples};
use std::os::unix::fs::PermissionsExt;

/// Every figure of a thousand and more: sums of money on the Money screen.
fn sums(picture: &str) -> Vec<String> {
    let mut found: Vec<String> = picture
        .split(|c: char| !c.is_ascii_digit() && c != ',')
        .filter(|word| word.len() >= 5 && word.contains(','))
        .map(str::to_owned)
        .collect();
    found.sort();
    found.dedup();
    found
}

const WORDS: [&str; 8] = [
    "limit", "LIMIT", "settle", "worth", "asks", "floor", "STOP", "%",
];

fn harmless(picture: &str, sums: &[String]) {
    for word in sums.iter().map(String::as_str).chain(WORDS) {
        assert!(!picture.contains(word), "{word}:\n{picture}");
    }
}

#[test]
fn hidden_money_is_on_no_screen_and_still_hidden_the_next_time() {
    let place = Place::new();
    let mut terminal = place.open(&samples());
    terminal.press("gm", "[Money]");
    let money = terminal.wait_for("they would take");
    let figures = sums(&money);
    assert!(figures.len() > 5, "{figures:?}");
    terminal.send("h");
    harmless(&terminal.wait_without("they would take"), &figures);
    for (keys, awaited) in [
        ("gf", "[Faults]"),
        ("gs", "[Story]"),
        ("gb", "[Side"),
        ("gy", "[You]"),
        ("gc", "[Cars]"),
    ] {
        let picture = terminal.press(keys, awaited);
        harmless(&picture, &figures);
    }
    terminal.quit();
    let kept: Vec<_> = std::fs::read_dir(place.home())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    assert_eq!(
        kept,
        [place.home().join("screens.json")],
        "no temporary file is left"
    );
    let mode = std::fs::metadata(&kept[0]).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);

    let mut again = place.start().arg(samples()).open();
    let picture = again.wait_for("[Cars]");
    harmless(&picture, &figures);
    let all = String::from_utf8_lossy(&again.raw()).into_owned();
    for sum in &figures {
        assert!(
            !all.contains(sum.as_str()),
            "{sum} came up before it was hidden"
        );
    }
    again.send("h");
    ready(&again);
    again.quit();
    let third = place.start().arg(samples()).open();
    ready(&third);
}
