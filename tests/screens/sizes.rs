//! Every screen and every overlay at every small size and a few large ones: nothing panics, nothing is drawn where there is nothing.

use super::common::Desk;
use super::golden::{OVERLAYS, SCREENS, on};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use wrenchworth::tui::draw::{Look, draw};
use wrenchworth::tui::glyphs::GlyphSet;

fn sweep(desk: &mut Desk, look: &Look) {
    let large = [
        (80, 24),
        (100, 25),
        (120, 40),
        (150, 30),
        (200, 60),
        (300, 12),
    ];
    let small = (0..=60).flat_map(|columns| (0..=30).map(move |rows| (columns, rows)));
    for (columns, rows) in small.chain(large) {
        desk.app.size = (columns, rows);
        let area = Rect::new(0, 0, columns, rows);
        let mut buffer = Buffer::empty(area);
        draw(&desk.app, look, area, &mut buffer);
        assert_eq!(buffer.area, area);
    }
}

#[test]
fn every_screen_is_drawn_at_every_size() {
    for (_, keys) in SCREENS {
        let mut desk = on(keys);
        sweep(&mut desk, &Look::default());
        desk.app.hidden = true;
        sweep(&mut desk, &Look::default());
    }
    sweep(
        &mut Desk::empty(),
        &Look {
            glyphs: GlyphSet::Ascii,
            ..Look::default()
        },
    );
}

#[test]
fn every_overlay_is_drawn_at_every_size() {
    for (_, keys) in OVERLAYS {
        let mut desk = on("gc");
        desk.keys(keys);
        sweep(&mut desk, &Look::default());
    }
}

#[test]
fn long_and_wide_words_are_clipped_at_every_size() {
    let mut desk = on("gs");
    let long = "漢字".repeat(400) + &"wörd e\u{301}🚗 ".repeat(300);
    let record = &mut desk
        .app
        .data
        .cars
        .iter_mut()
        .find(|car| car.slug == "dabchick")
        .unwrap()
        .file
        .car;
    record.name = long.clone();
    record.listing.seller = long.clone();
    record.notes.push(long.clone());
    record.claims[0].text = long.clone();
    record.worth.comparables[0].name = long;
    for (_, keys) in SCREENS {
        desk.keys(keys);
        sweep(&mut desk, &Look::default());
    }
}

#[test]
fn a_terminal_that_is_too_small_says_so_and_its_keys_work() {
    let mut desk = on("gm");
    desk.size(24, 5);
    assert!(desk.text().contains("Too small: 24 by 5."));
    desk.keys("h");
    assert!(desk.app.hidden);
    desk.keys("q");
    assert!(desk.done.contains(&wrenchworth::tui::app::Effect::Quit));
    desk.size(80, 24);
    assert!(
        desk.app.hidden,
        "growing the window brings all back as it was"
    );
}
