//! A line of text with a cursor: grapheme by grapheme, sanitised on the way in.

use crate::car::text;
use crate::tui::keys::Key;
use unicode_segmentation::UnicodeSegmentation;

/// Longest line taken, bytes: more is a slip.
const LONGEST: usize = 4_000;

/// A line and the cursor in it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Entry {
    text: String,
    /// Cursor, graphemes from the start.
    cursor: usize,
}

impl Entry {
    /// A line with the cursor at its end.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let text = text::one_line(text);
        let cursor = text.graphemes(true).count();
        Self { text, cursor }
    }

    /// The line.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// True without text.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// The text before and after the cursor.
    #[must_use]
    pub fn halves(&self) -> (&str, &str) {
        self.text.split_at(self.byte(self.cursor))
    }

    /// Empties the line.
    pub fn clear(&mut self) {
        *self = Self::default();
    }

    fn byte(&self, grapheme: usize) -> usize {
        self.text
            .grapheme_indices(true)
            .nth(grapheme)
            .map_or(self.text.len(), |(byte, _)| byte)
    }

    /// Puts text in at the cursor, as one insertion; line feeds become blanks.
    pub fn insert(&mut self, typed: &str) {
        let clean = text::sanitise(typed).replace('\n', " ");
        if self.text.len() + clean.len() > LONGEST {
            return;
        }
        let at = self.byte(self.cursor);
        self.text.insert_str(at, &clean);
        let end = at + clean.len();
        self.cursor = self
            .text
            .grapheme_indices(true)
            .take_while(|(byte, _)| *byte < end)
            .count();
    }

    /// An editing key; false if it is none.
    pub fn type_key(&mut self, key: Key) -> bool {
        let count = self.text.graphemes(true).count();
        match key {
            Key::Char(c) => {
                let mut buffer = [0; 4];
                self.insert(c.encode_utf8(&mut buffer));
            }
            Key::Backspace if self.cursor > 0 => {
                let (from, to) = (self.byte(self.cursor - 1), self.byte(self.cursor));
                self.text.replace_range(from..to, "");
                self.cursor -= 1;
            }
            Key::Delete if self.cursor < count => {
                let (from, to) = (self.byte(self.cursor), self.byte(self.cursor + 1));
                self.text.replace_range(from..to, "");
            }
            Key::Left => self.cursor = self.cursor.saturating_sub(1),
            Key::Right => self.cursor = (self.cursor + 1).min(count),
            Key::Home => self.cursor = 0,
            Key::End => self.cursor = count,
            Key::Ctrl('u') => self.clear(),
            _ => return false,
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cursor_moves_by_what_is_seen_as_one_letter() {
        let mut entry = Entry::of("e\u{301}漢");
        assert!(entry.type_key(Key::Left));
        assert!(entry.type_key(Key::Backspace));
        assert_eq!(entry.text(), "漢");
        entry.insert("a\u{1b}[2Jb\nc");
        assert_eq!(entry.text(), "a[2Jb c漢");
        assert_eq!(entry.halves(), ("a[2Jb c", "漢"));
    }
}
