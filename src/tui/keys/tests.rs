use super::*;
use std::collections::BTreeSet;

const CONTEXTS: [Context; 24] = [
    Context::TooSmall,
    Context::Screen(Screen::Cars),
    Context::Screen(Screen::Story),
    Context::Screen(Screen::Walk),
    Context::Screen(Screen::Faults),
    Context::Screen(Screen::Money),
    Context::Screen(Screen::Side),
    Context::Screen(Screen::You),
    Context::Screen(Screen::Look),
    Context::Hidden,
    Context::Go,
    Context::Why,
    Context::Tags,
    Context::Help,
    Context::Form {
        empty: true,
        choice: false,
    },
    Context::Form {
        empty: false,
        choice: false,
    },
    Context::Picker,
    Context::Level,
    Context::Stop,
    Context::Sure,
    Context::Narrow,
    Context::Palette,
    Context::Letter,
    Context::Mind,
];

#[test]
fn no_key_stands_twice_in_a_context() {
    for context in CONTEXTS {
        let mut seen = BTreeSet::new();
        for row in KEYS.iter().filter(|row| row.on.covers(context)) {
            for key in row.keys {
                assert!(seen.insert(*key), "{key:?} twice in {context:?}");
            }
        }
    }
}

#[test]
fn where_text_is_taken_no_letter_has_a_meaning_of_its_own() {
    for context in CONTEXTS.into_iter().filter(|context| context.takes_text()) {
        for row in KEYS.iter().filter(|row| row.on.covers(context)) {
            for key in row.keys {
                let help_in_empty_field = *key == Key::Char('?') && row.on == On::FormEmpty;
                assert!(
                    help_in_empty_field || !matches!(key, Key::Char(_)),
                    "{key:?} in {context:?}"
                );
            }
        }
    }
}

#[test]
fn a_letter_has_one_meaning_on_all_screens() {
    let mut meaning: Vec<(Key, Act)> = Vec::new();
    for row in KEYS.iter().filter(|row| {
        matches!(
            row.on,
            On::Screens | On::AllScreens | On::Some(_) | On::Hidden
        )
    }) {
        for key in row.keys.iter().filter(|key| matches!(key, Key::Char(_))) {
            match meaning.iter().find(|(known, _)| known == key) {
                Some((_, act)) => assert_eq!(*act, row.act, "{key:?}"),
                None => meaning.push((*key, row.act)),
            }
        }
    }
}

#[test]
fn every_ctrl_key_but_suspend_and_redraw_has_a_plain_twin() {
    for row in KEYS {
        let ctrl = row.keys.iter().any(|key| matches!(key, Key::Ctrl(_)));
        let plain = row.keys.iter().any(|key| !matches!(key, Key::Ctrl(_)));
        let free = matches!(row.act, Act::Suspend | Act::Redraw | Act::End);
        assert!(!ctrl || plain || free, "{:?}", row.act);
    }
}

#[test]
fn every_row_of_a_screen_has_words_for_the_help() {
    for row in KEYS.iter().filter(|row| row.group != Group::Over) {
        assert!(!row.words.is_empty(), "{:?}", row.act);
    }
}
