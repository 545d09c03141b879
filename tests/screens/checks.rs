//! Checks that hold for all screens at once: nothing cut, nothing told by hue alone, nothing shown while hidden, every key of every
//! key line, every why.

use super::common::{Desk, text_of};
use super::golden::{OVERLAYS, SCREENS, on};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Modifier;
use std::collections::BTreeSet;
use wrenchworth::tui::copy;
use wrenchworth::tui::draw::{Look, draw};
use wrenchworth::tui::glyphs::GlyphSet;
use wrenchworth::tui::keys::{self, Act, Group, KEYS, Key};
use wrenchworth::tui::overlay::Overlay;
use wrenchworth::tui::theme::Theme;

fn picture_at(desk: &mut Desk, columns: u16, rows: u16, look: &Look) -> Buffer {
    desk.app.size = (columns, rows);
    let area = Rect::new(0, 0, columns, rows);
    let mut buffer = Buffer::empty(area);
    draw(&desk.app, look, area, &mut buffer);
    buffer
}

/// Widths and heights from the least to the greatest in use.
fn sizes() -> impl Iterator<Item = (u16, u16)> {
    let columns = (30..=60).chain((61..=200).step_by(7));
    columns.flat_map(|columns| [10, 12, 18, 20, 24, 25, 31, 40, 50, 60].map(|rows| (columns, rows)))
}

/// Figures that end in a cut: a digit, or a comma or point between digits, before the mark of what is cut short.
fn cut_figures(text: &str) -> Vec<String> {
    text.lines()
        .filter(|line| {
            let cells: Vec<char> = line.chars().collect();
            cells.windows(3).any(|three| match three {
                [_, digit, '…'] if digit.is_ascii_digit() => true,
                [digit, ',', '…'] => digit.is_ascii_digit(),
                _ => false,
            })
        })
        .map(str::to_owned)
        .collect()
}

#[test]
fn no_figure_of_a_list_is_cut_at_any_size() {
    for (name, keys) in SCREENS {
        let mut desk = on(keys);
        // Names and sentences may be cut short, and may have digits in them: here they have none.
        for car in &mut desk.app.data.cars {
            car.file.car.name = car.slug.clone();
            car.file.car.particulars.model = String::new();
        }
        for (columns, rows) in sizes() {
            let text = text_of(&picture_at(&mut desk, columns, rows, &Look::default()));
            let cut: Vec<String> = cut_figures(&text)
                .into_iter()
                .filter(|line| !line.contains("tires") && !line.contains('“'))
                .collect();
            assert_eq!(cut, Vec::<String>::new(), "{name} {columns}x{rows}");
        }
    }
}

#[test]
fn hidden_no_figure_of_money_is_in_any_cell_at_any_size_nor_copied() {
    for (name, keys) in SCREENS {
        let mut desk = on(keys);
        let figures = desk.app.data.figures().unwrap();
        let record = desk.app.data.record().unwrap();
        let money = [
            figures.limit.price,
            figures.limit.low,
            figures.limit.high,
            figures.offer.open,
            figures.offer.settle,
            record.listing.asking,
            record.worth.own.map(|own| own.likely),
        ];
        let money: Vec<String> = money
            .into_iter()
            .flatten()
            .map(wrenchworth::tui::say::money)
            .collect();
        assert!(money.len() >= 6, "{money:?}");
        desk.app.hidden = true;
        for look in [
            Look::default(),
            Look {
                glyphs: GlyphSet::AsciiOnly,
                theme: Theme::default(),
            },
        ] {
            for (columns, rows) in sizes().chain((1..30).map(|small| (small, small))) {
                let text = text_of(&picture_at(&mut desk, columns, rows, &look));
                for word in money
                    .iter()
                    .map(String::as_str)
                    .chain(["limit", "LIMIT", "settle", "worth", "STOP", "floor", "asks"])
                {
                    assert!(
                        !text.contains(word),
                        "{name} {columns}x{rows}: {word}\n{text}"
                    );
                }
            }
        }
        assert_eq!(copy::here(&desk.app), None, "{name}");
    }
}

#[test]
fn without_hue_the_row_in_hand_and_the_chosen_screen_are_told_by_shape() {
    for glyphs in [GlyphSet::Full, GlyphSet::AsciiOnly] {
        let look = Look {
            glyphs,
            theme: Theme::default(),
        };
        for (name, keys) in SCREENS {
            let mut desk = on(keys);
            for (columns, rows) in [(40, 18), (80, 24), (120, 40), (160, 50)] {
                let picture = picture_at(&mut desk, columns, rows, &look);
                let text = text_of(&picture);
                let chosen = text.lines().next().unwrap_or_default();
                assert!(
                    chosen.contains('[') && chosen.contains(']'),
                    "{name}: {chosen}"
                );
                // Side by side has a car in hand, no row; the walk one check, which fills the screen where that is small.
                if name == "side" || name == "walk" {
                    continue;
                }
                let mark = if glyphs == GlyphSet::Full { '▸' } else { '>' };
                let in_hand = (0..rows).any(|y| {
                    let reversed =
                        (0..columns).any(|x| picture[(x, y)].modifier.contains(Modifier::REVERSED));
                    let marked = text
                        .lines()
                        .nth(usize::from(y))
                        .is_some_and(|line| line.contains(mark));
                    reversed && marked
                });
                assert!(in_hand, "{name} {columns}x{rows}\n{text}");
            }
        }
        // A stop is a mark, a word in capitals, bold and reverse.
        let mut desk = on("gc");
        desk.keys("gfabrake{Enter}4{Enter}");
        let picture = picture_at(&mut desk, 80, 24, &look);
        let text = text_of(&picture);
        let mark = if glyphs == GlyphSet::Full {
            "■ STOP"
        } else {
            "# STOP"
        };
        let row = text.lines().position(|line| line.contains(mark)).unwrap();
        let modifiers = (0..80).map(|x| picture[(x, u16::try_from(row).unwrap())].modifier);
        assert!(
            modifiers
                .into_iter()
                .any(|found| found.contains(Modifier::REVERSED | Modifier::BOLD)),
            "{text}"
        );
    }
}

#[test]
fn every_key_of_every_overlays_key_line_acts() {
    for (name, open) in OVERLAYS.into_iter().chain(MORE_OVERLAYS) {
        let fresh = || {
            let mut desk = on("gc");
            desk.keys(open);
            desk
        };
        for (key, words) in keys::key_line(&fresh().app) {
            let mut desk = fresh();
            let before = desk.app.clone();
            let effects = desk.done.len();
            desk.key(key);
            let acted = desk.app != before || desk.done.len() > effects;
            assert!(acted, "{name}: {key:?} {words}");
            assert!(!desk.said().contains("means nothing"), "{name}: {key:?}");
        }
    }
}

/// Overlays without a golden picture.
const MORE_OVERLAYS: [(&str, &str); 3] = [("palette", "gm:"), ("tags", "gmW"), ("offer", "gma")];

#[test]
fn every_act_of_the_help_is_done_by_name_too() {
    for (name, keys) in SCREENS {
        let mut desk = on(keys);
        desk.keys("?");
        let acts: Vec<Act> = wrenchworth::tui::overlay::help::rows(&desk.app)
            .iter()
            .map(|row| row.act)
            .collect();
        desk.keys("{Esc}:");
        let Some(Overlay::Palette(palette)) = &desk.app.overlay else {
            panic!("{name}: no palette");
        };
        let named: Vec<Act> = palette
            .found(&desk.app)
            .into_iter()
            .map(|deed| deed.act)
            .collect();
        for act in acts.into_iter().filter(|act| *act != Act::Palette) {
            assert!(named.contains(&act), "{name}: {act:?}");
        }
    }
}

#[test]
fn by_name_a_word_finds_the_act_and_enter_does_it() {
    let mut desk = on("gc");
    desk.keys(":money{Enter}");
    assert_eq!(
        desk.app.screen,
        wrenchworth::tui::screens::Screen::Money,
        "{}",
        desk.text()
    );
    desk.key(Key::Ctrl('p')).keys("bought{Enter}");
    assert!(desk.text().contains("price paid"), "{}", desk.text());
    desk.keys("{Esc}:wubble");
    assert!(
        desk.text().contains("Nothing here has that word"),
        "{}",
        desk.text()
    );
    desk.keys("{Enter}{Esc}");
    assert!(desk.app.overlay.is_none());
    // From the help too.
    desk.keys("?/undo");
    assert!(desk.text().contains("take back"), "{}", desk.text());
}

#[test]
fn capitals_do_it_wider_and_what_means_nothing_says_so() {
    for (small, capital) in [
        ('w', 'W'),
        ('u', 'U'),
        ('v', 'V'),
        ('j', 'J'),
        ('k', 'K'),
        ('e', 'E'),
    ] {
        let has = |c: char| {
            KEYS.iter()
                .any(|row| row.group != Group::Over && row.keys.contains(&Key::Char(c)))
        };
        assert!(has(small) && has(capital), "{small} {capital}");
    }
    let letters: BTreeSet<char> = ('a'..='z')
        .chain('A'..='Z')
        .chain('0'..='9')
        .chain("!@#%^&*()_={}|\\;'\"~`".chars())
        .collect();
    for (name, keys_in) in SCREENS {
        let desk = on(keys_in);
        for letter in &letters {
            if keys::row_for(&desk.app, Key::Char(*letter)).is_some() {
                continue;
            }
            let mut fresh = on(keys_in);
            let before = fresh.app.clone();
            fresh.key(Key::Char(*letter));
            assert_eq!(
                fresh.said(),
                format!("{letter} means nothing here"),
                "{name}"
            );
            fresh.app.said = before.said.clone();
            assert!(fresh.app == before, "{name}: {letter} did something");
        }
    }
}
