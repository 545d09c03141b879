//! Bytes that reach the terminal: colors only where wanted, and never a command from the text of a file.

use super::place::{Place, read_json, ready, samples};
use super::terminal::Terminal;
use serde_json::Value;
use std::fs;

/// One thing in a stream of bytes.
#[derive(Debug, PartialEq)]
enum Piece {
    /// Parameters and last letter of a control sequence `ESC [ … letter`.
    Sequence(String, char),
    Letter(char),
}

/// Reads a stream as ECMA-48 has it: section 5.4 control sequences, all else as letters.
fn pieces(bytes: &[u8]) -> Vec<Piece> {
    let text = String::from_utf8(bytes.to_vec()).expect("UTF-8");
    let mut found = Vec::new();
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        if letter != '\u{1b}' || letters.peek() != Some(&'[') {
            found.push(Piece::Letter(letter));
            continue;
        }
        letters.next();
        let mut parameters = String::new();
        for letter in letters.by_ref() {
            if ('\u{40}'..='\u{7e}').contains(&letter) {
                found.push(Piece::Sequence(parameters, letter));
                break;
            }
            parameters.push(letter);
        }
    }
    found
}

/// Looks at every screen and at what lies over them.
fn look_round(terminal: &mut Terminal) {
    for (keys, awaited) in [
        ("gs", "[Story]"),
        ("gf", "[Faults]"),
        ("gm", "[Money]"),
        ("gb", "[Side"),
        ("gy", "[You]"),
        ("gc", "[Cars]"),
    ] {
        terminal.press(keys, awaited);
    }
    terminal.press("?", "─ keys ─");
    terminal.send("\u{1b}");
    terminal.wait_without("─ keys ─");
}

/// The attributes that were set, one by one.
fn attributes(bytes: &[u8]) -> Vec<String> {
    let mut found = Vec::new();
    for piece in pieces(bytes) {
        if let Piece::Sequence(parameters, 'm') = piece {
            found.extend(parameters.split(';').map(str::to_owned));
        }
    }
    found
}

/// Whether an attribute sets a color: 30-38, 40-48, 58, 90-97, 100-107; 39, 49 and 59 are the terminal's own.
fn is_color(attribute: &str) -> bool {
    matches!(
        attribute.parse(),
        Ok(30..=38 | 40..=48 | 58 | 90..=97 | 100..=107)
    )
}

#[test]
fn colors_are_used_unless_the_environment_declines_them() {
    let place = Place::new();
    for (name, value, wanted) in [
        ("TERM", "xterm-256color", true),
        ("NO_COLOR", "", true),
        ("NO_COLOR", "1", false),
        ("TERM", "dumb", false),
    ] {
        let start = place.start().env(name, value);
        let mut terminal = start.arg(samples()).open();
        ready(&terminal);
        look_round(&mut terminal);
        let set = attributes(&terminal.raw());
        let colored = set.iter().any(|attribute| is_color(attribute));
        assert_eq!(colored, wanted, "{name}={value}: {set:?}");
        assert!(set.iter().any(|one| one == "1"), "bold is still there");
        assert!(set.iter().any(|one| one == "7"), "reverse is still there");
        let row_in_hand = terminal.screen(|screen| {
            (0..24).any(|row| {
                screen
                    .cell(row, 0)
                    .is_some_and(|cell| cell.contents() == "▸")
                    && screen.cell(row, 20).is_some_and(vt100::Cell::inverse)
            })
        });
        assert!(row_in_hand, "{name}={value}:\n{}", terminal.picture());
        terminal.quit();
    }
}

/// Clipboard, window title, screen clearing, a question to the terminal, C1, bidi overrides, tags, hyperlinks.
const HOSTILE: &str = "a\u{1b}]52;c;aGVsbG8=\u{7}b\u{1b}]0;owned\u{1b}\\c\u{1b}[2J\u{1b}[6n\u{9b}31m\u{9d}0;x\u{9c}\
    d\u{202e}e\u{2066}f\u{2028}g\u{e0041}h\u{1b}]8;;http://x\u{1b}\\i\u{1b}_Gf=100\u{1b}\\\u{8}\u{7f}\u{0}j";

/// Puts hostile words before every text of a value but the words that the program itself knows.
fn poison(value: &mut Value, name: &str) {
    const FREE: [&str; 12] = [
        "name", "make", "model", "seller", "place", "advert", "text", "note", "notes", "words",
        "engine", "vin",
    ];
    match value {
        Value::String(text) if FREE.contains(&name) => text.insert_str(0, HOSTILE),
        Value::Array(items) => items.iter_mut().for_each(|item| poison(item, name)),
        Value::Object(fields) => {
            for (name, value) in fields.iter_mut() {
                poison(value, name);
            }
        }
        _ => {}
    }
}

fn is_allowed(piece: &Piece) -> bool {
    let modes = [
        "?25", "?1000", "?1002", "?1003", "?1006", "?1015", "?1049", "?2004", "?2026",
    ];
    match piece {
        Piece::Sequence(parameters, 'h' | 'l') => modes.contains(&parameters.as_str()),
        Piece::Sequence(parameters, 'H' | 'J' | 'K' | 'm') => parameters
            .chars()
            .all(|letter| letter.is_ascii_digit() || letter == ';'),
        Piece::Sequence(..) => false,
        Piece::Letter(letter) => {
            !letter.is_control()
                && !matches!(letter,
                    '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{e0000}'..='\u{e007f}')
        }
    }
}

#[test]
fn no_text_of_a_file_commands_the_terminal() {
    let place = Place::new();
    let notebook = place.notebook();
    let file = notebook.join("dabchick-2009.car.json");
    let mut car = read_json(&file);
    poison(&mut car, "");
    let text = serde_json::to_string(&car).unwrap();
    assert!(text.matches("owned").count() > 10, "it is poisoned");
    fs::write(&file, text).unwrap();
    let evil = "zz\u{1b}]0;owned\u{7}\u{202e}.car.json";
    fs::write(notebook.join(evil), "{ \u{1b}[2J").unwrap();
    fs::write(
        notebook.join("yy.car.json"),
        format!("{{\"schema\": \"{HOSTILE}\"}}"),
    )
    .unwrap();

    let mut terminal = place.open(&notebook);
    assert!(
        terminal.picture().contains("52;c;"),
        "its harmless letters are shown:\n{}",
        terminal.picture()
    );
    for _ in 0..5 {
        terminal.send("<");
        look_round(&mut terminal);
        terminal.send("j");
    }
    terminal.resize(160, 50);
    terminal.wait_until("160 by 50", |picture| picture.lines().count() == 50);
    terminal.press("gs", "[Story]");
    terminal.press("gc", "[Cars]");
    terminal.quit();
    let mut clears = 0;
    for piece in pieces(&terminal.raw()) {
        assert!(is_allowed(&piece), "{piece:?}");
        clears += usize::from(matches!(&piece, Piece::Sequence(which, 'J') if which == "2"));
    }
    // A clearing comes with a change of size alone.
    assert!(clears <= 2, "{clears}");
}
