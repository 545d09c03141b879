//! What reaches a terminal: the bytes of whole frames, read back by another program's idea of a terminal (crate vt100).

use super::golden::{SCREENS, on};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Rect;
use ratatui::{TerminalOptions, Viewport};
use std::num::NonZeroU16;
use wrenchworth::tui::draw::{Look, draw};
use wrenchworth::tui::theme::{Depth, Ground, Theme};

fn frame(desk: &super::common::Desk, look: &Look) -> Vec<u8> {
    crossterm::style::force_color_output(true);
    let mut bytes = Vec::new();
    let area = Rect::new(0, 0, desk.app.size.0, desk.app.size.1);
    let options = TerminalOptions {
        viewport: Viewport::Fixed(area),
    };
    let mut terminal = Terminal::with_options(CrosstermBackend::new(&mut bytes), options).unwrap();
    terminal
        .draw(|frame| {
            let area = frame.area();
            draw(&desk.app, look, area, frame.buffer_mut());
        })
        .unwrap();
    drop(terminal);
    bytes
}

fn read_back(bytes: &[u8], size: (u16, u16)) -> vt100::Parser {
    let mut parser = vt100::Parser::new(
        NonZeroU16::new(size.1).unwrap(),
        NonZeroU16::new(size.0).unwrap(),
        0,
    );
    parser.process(bytes);
    parser
}

#[test]
fn without_color_the_row_in_hand_is_still_reversed_and_the_limit_bold() {
    let mut desk = on("gc");
    desk.size(80, 24);
    let parser = read_back(&frame(&desk, &Look::default()), (80, 24));
    let screen = parser.screen();
    let row = (0..24)
        .find(|row| screen.contents_between(*row, 0, *row, 79).contains('▸'))
        .expect("a row in hand");
    let cell = screen.cell(row, 30).unwrap();
    assert!(cell.inverse());
    assert!((0..24).all(|row| (0..80).all(|column| {
        let cell = screen.cell(row, column).unwrap();
        cell.fgcolor() == vt100::Color::Default && cell.bgcolor() == vt100::Color::Default
    })));
    let bold = (0..80).any(|column| screen.cell(row, column).unwrap().bold());
    assert!(bold);
}

#[test]
fn what_is_read_back_is_what_was_drawn_on_every_screen() {
    for (name, keys) in SCREENS {
        let mut desk = on(keys);
        desk.size(120, 40);
        let look = Look {
            theme: Theme {
                depth: Depth::True,
                ground: Ground::Dark,
                high_contrast: true,
            },
            ..Look::default()
        };
        let parser = read_back(&frame(&desk, &look), (120, 40));
        let trimmed = |text: &str| -> Vec<String> {
            text.lines()
                .map(|line| line.trim_end().to_owned())
                .collect()
        };
        let rows: Vec<String> = parser
            .screen()
            .rows(0, 120)
            .map(|row| row.trim_end().to_owned())
            .collect();
        assert_eq!(rows, trimmed(&desk.text()), "{name}");
    }
}

const HOSTILE: [&str; 8] = [
    "\u{1b}]52;c;aGVsbG8=\u{7}",
    "\u{1b}[2J\u{1b}[6n",
    "\u{9b}31m",
    "a\u{202e}b\u{2066}c",
    "\u{1b}]8;;http://x\u{1b}\\link",
    "\u{e0041}\u{e007f}tag",
    "line\u{2028}two\r\nthree\tfour",
    "\u{1b}_Gf=100\u{1b}\\",
];

/// Control sequences of a frame: everything between ESC and its last letter.
fn sequences(bytes: &[u8]) -> Vec<String> {
    let text = String::from_utf8_lossy(bytes);
    let mut found = Vec::new();
    let mut rest: &str = &text;
    while let Some(at) = rest.find('\u{1b}') {
        rest = &rest[at + 1..];
        let end = rest
            .char_indices()
            .skip(1)
            .find(|(_, c)| c.is_ascii_alphabetic())
            .map_or(rest.len(), |(at, _)| at + 1);
        found.push(rest[..end].to_owned());
        rest = &rest[end..];
    }
    found
}

#[test]
fn no_text_of_a_file_drives_the_terminal() {
    for hostile in HOSTILE {
        let mut desk = on("gs");
        let entry = desk.app.data.entry_mut("dabchick").unwrap();
        let car = &mut entry.file.car;
        // As if a file from elsewhere had come in past the cleaning on entry.
        hostile.clone_into(&mut car.name);
        hostile.clone_into(&mut car.listing.seller);
        hostile.clone_into(&mut car.listing.advert);
        hostile.clone_into(&mut car.claims[0].text);
        car.notes.push(hostile.to_owned());
        hostile.clone_into(&mut car.worth.comparables[0].name);
        for (name, keys) in SCREENS {
            desk.keys(keys);
            for size in [(40, 18), (120, 40)] {
                desk.size(size.0, size.1);
                let bytes = frame(&desk, &Look::default());
                for sequence in sequences(&bytes) {
                    let known = sequence.starts_with('[')
                        && matches!(sequence.chars().last(), Some('H' | 'm' | 'h' | 'l'))
                        && sequence[1..sequence.len() - 1]
                            .chars()
                            .all(|c| c.is_ascii_digit() || ";?".contains(c));
                    assert!(known, "{name} {hostile:?}: {sequence:?}");
                }
                let text = String::from_utf8(bytes).unwrap();
                let wrong = text.chars().find(|c| {
                    (c.is_control() && *c != '\u{1b}') || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}' | '\u{e0000}'..='\u{e007f}')
                });
                assert_eq!(wrong, None, "{name} {hostile:?}");
            }
        }
    }
}
