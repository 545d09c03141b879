//! The glyphs, one cell each, and their ASCII twins. Screens are drawn in the full set; the twins replace cells at the end.

use ratatui::buffer::Buffer;

/// Which glyphs may be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum GlyphSet {
    /// All of them.
    #[default]
    Full,
    /// ASCII twins for ours; the user's own words stay as they are.
    Ascii,
    /// ASCII only, for terminals that are not UTF-8.
    AsciiOnly,
}

impl GlyphSet {
    /// True where our own glyphs are replaced.
    #[must_use]
    pub fn is_ascii(self) -> bool {
        self != Self::Full
    }
}

/// Glyph and twin.
const TWINS: &[(&str, &str)] = &[
    ("─", "-"),
    ("╲", "\\"),
    ("▼", "V"),
    ("╱", "/"),
    ("○", "?"),
    ("·", "."),
    ("■", "#"),
    ("▸", ">"),
    ("▾", "v"),
    ("◂", "<"),
    ("╵", "'"),
    ("−", "-"),
    ("–", "-"),
    ("→", ">"),
    ("←", "<"),
    ("↑", "^"),
    ("↓", "v"),
    ("“", "\""),
    ("”", "\""),
    ("’", "'"),
    ("━", "#"),
    ("╍", "="),
    ("┄", "."),
    ("╸", "-"),
    ("┿", "|"),
    ("┼", "|"),
    ("╶", "("),
    ("╴", ")"),
    ("┤", "+"),
    ("▁", "."),
    ("▂", "."),
    ("▃", ":"),
    ("▄", ":"),
    ("▅", "+"),
    ("▆", "*"),
    ("▇", "%"),
    ("█", "@"),
    ("│", "|"),
    ("┌", "+"),
    ("┐", "+"),
    ("└", "+"),
    ("┘", "+"),
    ("├", "+"),
    ("┬", "+"),
    ("┴", "+"),
    ("…", "~"),
    ("×", "x"),
];

/// Eight heights of the belief, lowest first.
pub const HEIGHTS: [&str; 8] = ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];

/// The ASCII twin of a glyph of ours.
#[must_use]
pub fn twin(glyph: &str) -> Option<&'static str> {
    TWINS
        .iter()
        .find(|(full, _)| *full == glyph)
        .map(|(_, ascii)| *ascii)
}

/// Blanks what could drive a terminal or turn its writing round, whatever way it came in: the last sweep before the terminal.
pub fn sweep(buffer: &mut Buffer) {
    let harmful = |c: char| {
        c.is_control()
            || matches!(c, '\u{61C}' | '\u{200E}' | '\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{206F}' | '\u{E0000}'..='\u{E007F}')
    };
    for cell in &mut buffer.content {
        if !cell.symbol().is_ascii() && cell.symbol().chars().any(harmful) {
            cell.set_symbol(" ");
        }
        if cell
            .symbol()
            .bytes()
            .any(|byte| byte < 0x20 || byte == 0x7f)
        {
            cell.set_symbol(" ");
        }
    }
}

/// Replaces the glyphs of a finished buffer by their twins.
pub fn replace_by_twins(buffer: &mut Buffer, set: GlyphSet) {
    if !set.is_ascii() {
        return;
    }
    for cell in &mut buffer.content {
        let symbol = cell.symbol();
        if symbol.is_ascii() {
            continue;
        }
        match twin(symbol) {
            Some(ascii) => {
                cell.set_symbol(ascii);
            }
            None if set == GlyphSet::AsciiOnly => {
                cell.set_symbol("?");
            }
            None => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use unicode_width::UnicodeWidthStr;

    #[test]
    fn every_glyph_and_its_twin_take_one_cell() {
        for (full, ascii) in TWINS {
            assert_eq!(full.width(), 1, "{full}");
            assert!(ascii.is_ascii() && ascii.len() == 1, "{full}");
        }
    }

    #[test]
    fn the_seven_marks_and_the_four_strokes_differ_in_both_sets() {
        let marks = ["─", "╲", "▼", "╱", "○", "·", "■"];
        let strokes = ["─", "━", "╍", "┄"];
        for set in [marks.as_slice(), strokes.as_slice()] {
            let twins: BTreeSet<_> = set.iter().filter_map(|glyph| twin(glyph)).collect();
            assert_eq!(twins.len(), set.len());
        }
    }
}
