//! Any keys in any order: nothing panics, cursors stay inside, taking all back gives the notebook that was.

use super::common::Desk;
use proptest::prelude::*;
use wrenchworth::car::{CarFile, CarRecord};
use wrenchworth::tui::keys::Key;
use wrenchworth::tui::screens;

fn key() -> impl Strategy<Value = Key> {
    let letters = "abcdefghijklmnopqrstuvwxyzUVJKW0123456789 <>,.[]/?$+-";
    prop_oneof![
        8 => proptest::sample::select(letters.chars().collect::<Vec<_>>()).prop_map(Key::Char),
        4 => proptest::sample::select(vec![
            Key::Enter, Key::Esc, Key::Tab, Key::BackTab, Key::Up, Key::Down, Key::Left, Key::Right,
            Key::PageUp, Key::PageDown, Key::Home, Key::End, Key::Backspace, Key::Delete, Key::Ctrl('r'),
        ]),
    ]
}

#[derive(Debug, Clone)]
enum Event {
    Key(Key),
    Paste(String),
    Tap(u16, u16),
    Size(u16, u16),
}

fn event() -> impl Strategy<Value = Event> {
    prop_oneof![
        30 => key().prop_map(Event::Key),
        1 => "[ -~\\n]{0,40}".prop_map(Event::Paste),
        1 => (0_u16..100, 0_u16..30).prop_map(|(column, row)| Event::Tap(column, row)),
        1 => (1_u16..130, 1_u16..40).prop_map(|(columns, rows)| Event::Size(columns, rows)),
    ]
}

fn records(desk: &Desk) -> Vec<(String, CarRecord)> {
    let cars = desk.shelf.borrow().cars.clone();
    cars.into_iter()
        .map(|(slug, file): (String, CarFile)| (slug, file.car))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_keys_keep_the_state_sound_and_undoing_all_gives_what_was(events in proptest::collection::vec(event(), 0..120)) {
        let mut desk = Desk::driveway();
        let before = records(&desk);
        let buyer = desk.app.data.buyer.clone();
        for event in events {
            match event {
                Event::Key(key) => { desk.key(key); }
                Event::Paste(text) => { desk.paste(&text); }
                Event::Tap(column, row) => desk.tap(column, row),
                Event::Size(columns, rows) => { desk.size(columns, rows); }
            }
            let parts = screens::parts(&desk.app);
            let cursor = screens::cursor(&desk.app);
            prop_assert!(cursor.part < parts.len().max(1));
            if let Some(part) = parts.get(cursor.part) {
                prop_assert!(cursor.row() < part.rows.max(1), "{:?} {:?}", part, cursor);
            }
            prop_assert!(desk.app.marks.len() <= 4);
            desk.text();
        }
        desk.size(80, 24).keys("{Esc}{Esc}{Esc}{Esc}");
        if desk.app.hidden {
            desk.keys("h");
        }
        for _ in 0..1_000 {
            desk.keys("u");
            if desk.said() == "nothing to take back" {
                break;
            }
        }
        prop_assert_eq!(desk.said(), "nothing to take back");
        prop_assert_eq!(records(&desk), before);
        prop_assert_eq!(&desk.app.data.buyer, &buyer);
        prop_assert_eq!(&desk.shelf.borrow().buyer, &buyer);
    }
}
