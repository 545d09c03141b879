//! Every key that the help or the key line of a screen names does something.

use super::common::Desk;
use super::golden::{SCREENS, on};
use wrenchworth::tui::app::App;
use wrenchworth::tui::keys::{self, Act};

/// State without what says nothing about whether a key acted.
fn bare(app: &App) -> App {
    let mut app = app.clone();
    app.said.moved = None;
    app
}

/// Puts every cursor in the middle of its list, so that every direction leads somewhere.
fn middle(desk: &mut Desk) {
    desk.keys("j");
}

#[test]
fn every_key_of_the_help_acts() {
    for (name, keys) in SCREENS {
        let parts = {
            let desk = on(keys);
            wrenchworth::tui::screens::parts(&desk.app).len()
        };
        for part in 0..parts {
            let mut desk = on(keys);
            desk.keys(&"v".repeat(part));
            middle(&mut desk);
            let rows: Vec<_> = keys::active(&desk.app).collect();
            for row in rows {
                for key in row.keys {
                    let mut fresh = on(keys);
                    fresh.keys(&"v".repeat(part));
                    middle(&mut fresh);
                    // Something to take back and to do again.
                    if matches!(row.act, Act::Undo | Act::Redo) {
                        fresh.keys("gsnword{Enter}");
                        if row.act == Act::Redo {
                            fresh.keys("u");
                        }
                        fresh.keys(keys);
                    }
                    let rows_here = wrenchworth::tui::screens::parts(&fresh.app)
                        [wrenchworth::tui::screens::cursor(&fresh.app).part]
                        .rows;
                    let walks = matches!(
                        row.act,
                        Act::Down
                            | Act::Up
                            | Act::Skip
                            | Act::PageDown
                            | Act::PageUp
                            | Act::First
                            | Act::Last
                    );
                    if walks && rows_here < 3 {
                        continue;
                    }
                    let before = bare(&fresh.app);
                    let effects = fresh.done.len();
                    fresh.key(*key);
                    let acted = bare(&fresh.app) != before || fresh.done.len() > effects;
                    assert!(acted, "{name}, part {part}: {key:?} ({})", row.words);
                    assert!(!fresh.said().contains("means nothing"), "{name}: {key:?}");
                }
            }
        }
    }
}

#[test]
fn a_key_without_meaning_says_so_and_does_nothing() {
    let mut desk = on("gm");
    let before = desk.app.clone();
    desk.keys("z");
    assert_eq!(desk.said(), "z means nothing here");
    assert_eq!(desk.app.data, before.data);
}

#[test]
fn the_key_line_names_only_keys_that_work() {
    for (name, keys_in) in SCREENS {
        let mut desk = on(keys_in);
        for size in [(40, 18), (80, 24), (160, 50)] {
            desk.size(size.0, size.1);
            let text = desk.text();
            let line = text.lines().last().unwrap_or_default();
            assert!(line.contains('?'), "{name} {size:?}: {line}");
            for (key, words) in keys::key_line(&desk.app) {
                let known = keys::active(&desk.app).any(|row| row.keys[0] == key);
                assert!(known, "{name}: {key:?} {words}");
            }
        }
    }
}

#[test]
fn enter_in_the_help_does_the_row_in_hand() {
    let mut desk = on("gm");
    desk.keys("?{Enter}");
    assert!(desk.text().contains("offer or answer"), "{}", desk.text());
}
