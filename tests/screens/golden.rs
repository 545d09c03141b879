//! Every screen at four sizes, as text; the overlays at two; two screens with their styles.

use super::common::{Desk, text_of};
use ratatui::buffer::Buffer;
use ratatui::style::Style;
use wrenchworth::tui::draw::Look;
use wrenchworth::tui::glyphs::GlyphSet;
use wrenchworth::tui::theme::{Depth, Ground, Theme};

const SIZES: [(u16, u16); 4] = [(40, 18), (80, 24), (120, 40), (160, 50)];

/// Three marked, Dabchick in hand, on a screen.
pub fn on(screen: &str) -> Desk {
    let mut desk = Desk::driveway();
    desk.app.marks = ["dabchick", "lamprey", "marl"].map(str::to_owned).to_vec();
    desk.app.data.hand = Some("dabchick".to_owned());
    wrenchworth::tui::screens::cars::stand_on_hand(&mut desk.app);
    desk.keys(screen);
    desk
}

pub const SCREENS: [(&str, &str); 8] = [
    ("cars", "gc"),
    ("story", "gs"),
    ("walk", "gw"),
    ("faults", "gf"),
    ("money", "gm"),
    ("side", "gb"),
    ("you", "gy"),
    ("look", "gl{Enter}"),
];

#[test]
fn every_screen_at_four_sizes() {
    for (name, keys) in SCREENS {
        let mut desk = on(keys);
        for (columns, rows) in SIZES {
            desk.size(columns, rows);
            insta::assert_snapshot!(format!("{name}_{columns}x{rows}"), desk.text());
        }
    }
}

/// Overlays: name and the keys that open them from Cars.
pub const OVERLAYS: [(&str, &str); 13] = [
    ("go", "g"),
    ("why_limit", "gmvw"),
    ("why_part", "gmvw1"),
    ("help", "gm?"),
    ("form_new_car", "a"),
    ("form_particulars", "gsVVe"),
    ("picker", "gfarattle cold"),
    ("level", "gfabrake{Enter}"),
    ("stop", "gfabrake{Enter}4"),
    ("narrow", "gf/chain"),
    ("letter", "gml"),
    ("two_prices", "gmol7"),
    ("mind", "gmm"),
];

#[test]
fn every_overlay_at_two_sizes() {
    for (name, keys) in OVERLAYS {
        let mut desk = on("gc");
        desk.keys(keys);
        for (columns, rows) in [(40, 18), (80, 24)] {
            desk.size(columns, rows);
            insta::assert_snapshot!(format!("{name}_{columns}x{rows}"), desk.text());
        }
    }
}

#[test]
fn the_first_run_says_where_to_start() {
    let mut desk = Desk::empty();
    for (columns, rows) in [(40, 18), (80, 24)] {
        desk.size(columns, rows);
        insta::assert_snapshot!(format!("first_run_{columns}x{rows}"), desk.text());
    }
}

/// Style runs of a buffer: row, columns, style.
fn styles(buffer: &Buffer) -> String {
    let mut out = String::new();
    let area = buffer.area;
    for y in area.top()..area.bottom() {
        let mut x = area.left();
        while x < area.right() {
            let style = buffer[(x, y)].style();
            let from = x;
            while x < area.right() && buffer[(x, y)].style() == style {
                x += 1;
            }
            let plain = Style::reset();
            if style.fg != plain.fg || !style.add_modifier.is_empty() {
                let text: String = (from..x).map(|x| buffer[(x, y)].symbol()).collect();
                let fg = style.fg.map_or_else(String::new, |fg| format!(" {fg}"));
                out.push_str(&format!(
                    "{y:>2} {from:>2}-{:>2}{fg} {:?} “{}”\n",
                    x - 1,
                    style.add_modifier,
                    text.trim_end()
                ));
            }
        }
    }
    out
}

#[test]
fn the_styles_of_two_screens() {
    let look = Look {
        glyphs: GlyphSet::Full,
        theme: Theme {
            depth: Depth::Sixteen,
            ground: Ground::Dark,
            high_contrast: false,
        },
    };
    for (name, keys) in [("cars", "gc"), ("money", "gm")] {
        let desk = on(keys);
        insta::assert_snapshot!(format!("styles_{name}_80x24"), styles(&desk.picture(&look)));
    }
}

#[test]
fn ascii_and_mono_show_the_same_words_with_ascii_glyphs_only() {
    for (_, keys) in SCREENS {
        for (columns, rows) in SIZES {
            let mut desk = on(keys);
            desk.size(columns, rows);
            let look = Look {
                glyphs: GlyphSet::AsciiOnly,
                theme: Theme::default(),
            };
            let picture = desk.picture(&look);
            let text = text_of(&picture);
            assert!(text.is_ascii(), "{keys} {columns}x{rows}\n{text}");
            assert!(
                picture
                    .content
                    .iter()
                    .all(|cell| cell.style().fg == Some(ratatui::style::Color::Reset))
            );
            let full = desk.text();
            let letters = |text: &str| -> String {
                text.lines()
                    .filter(|line| !line.chars().any(|c| ('\u{2800}'..'\u{28ff}').contains(&c)))
                    .flat_map(str::chars)
                    .filter(|c| c.is_ascii_alphanumeric())
                    .collect()
            };
            // The triangle is drawn anew for ASCII; every other word is the same.
            if !full.contains('\u{28c0}') {
                let marks_are_letters = |text: String| text.replace(['v', 'V', 'x'], "");
                assert_eq!(
                    marks_are_letters(letters(&text)),
                    marks_are_letters(letters(&full))
                );
            }
        }
    }
}
