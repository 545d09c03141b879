//! A window that changes its size under the program.

use super::place::{Place, limit, samples, settled};

/// A whole page in `rows` rows: title above, keys below, the bottom line between.
fn whole(rows: usize) -> impl Fn(&str) -> bool {
    move |picture| {
        let lines: Vec<&str> = picture.lines().collect();
        lines.len() == rows
            && lines[0].contains("Cars")
            && lines[rows - 1].contains('?')
            && limit(picture).is_some()
            && settled(picture)
            && !picture.contains(" ·· ")
    }
}

#[test]
fn a_storm_of_sizes_ends_in_the_page_of_a_fresh_start() {
    let place = Place::new();
    let notebook = place.notebook();
    let mut terminal = place.start().arg(&notebook).size(160, 50).open();
    terminal.wait_until("160 by 50", whole(50));
    for (columns, rows) in [(40, 18), (30, 10)] {
        terminal.resize(columns, rows);
        terminal.wait_until(&format!("{columns} by {rows}"), |picture| {
            let lines: Vec<&str> = picture.lines().collect();
            lines.len() == usize::from(rows) && lines.last().unwrap().contains('?')
        });
    }
    terminal.resize(10, 3);
    terminal.wait_for("Too small:");
    terminal.resize(80, 24);
    let back = terminal.wait_until("80 by 24", whole(24));
    for turn in 1..=40_u16 {
        terminal.resize(10 + turn * 3, 3 + turn);
    }
    terminal.resize(80, 24);
    terminal.send("\u{c}");
    terminal.wait_until("80 by 24 again", |picture| picture == back);
    terminal.quit();
    let fresh = place.open(&notebook);
    assert_eq!(fresh.wait_until("80 by 24, fresh", whole(24)), back);
}

#[test]
fn a_window_too_small_still_leaves_by_q() {
    let place = Place::new();
    let mut terminal = place.open(&samples());
    terminal.resize(10, 3);
    terminal.wait_for("Too small:");
    terminal.quit();
}

#[test]
fn a_key_pressed_while_the_window_changes_is_not_lost() {
    // As when the keyboard of a phone comes up with the first key.
    let place = Place::new();
    let mut terminal = place.open(&samples());
    for turn in 0..60_u16 {
        terminal.resize(80 + turn % 7, 24 + turn % 2);
        let (key, screen) = [("]", "[Story]"), ("[", "[Cars]")][usize::from(turn % 2)];
        terminal.press(key, screen);
    }
    terminal.quit();
}
