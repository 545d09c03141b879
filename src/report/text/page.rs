//! Lines of a report, wrapped at 72 columns; the one place through which all its text goes.

use super::Style;
use crate::report::words;
use textwrap::{Options, WordSplitter};

/// Columns of a report.
pub const WIDTH: usize = 72;
/// Columns of a label where figures stand in columns.
const LABEL: usize = 24;
/// Columns of an amount in the ladder.
const AMOUNT: usize = 12;

/// A report while it is written.
#[derive(Debug)]
pub struct Page {
    style: Style,
    out: String,
}

impl Page {
    /// An empty page.
    pub fn new(style: Style) -> Self {
        Self {
            style,
            out: String::new(),
        }
    }

    /// The text, ended by one line end.
    pub fn finish(self) -> String {
        format!("{}\n", self.out.trim_end())
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.out.push('\n');
    }

    /// Name of the whole.
    pub fn title(&mut self, words: &str) {
        self.wrapped(words, "", "");
        self.blank();
    }

    /// Name of a part.
    pub fn heading(&mut self, words: &str) {
        self.wrapped(words, "", "");
    }

    /// A paragraph.
    pub fn paragraph(&mut self, words: &str) {
        self.wrapped(words, "", "");
    }

    /// A paragraph under the one before.
    pub fn under(&mut self, words: &str) {
        self.wrapped(words, "  ", "  ");
    }

    /// One of several.
    pub fn item(&mut self, words: &str) {
        self.wrapped(words, "- ", "  ");
    }

    /// A figure with its label; nothing where there is no figure.
    pub fn labelled(&mut self, label: &str, value: &str) {
        if value.is_empty() {
            return;
        }
        if self.style.plain {
            self.wrapped(&format!("{label}: {value}"), "", "  ");
        } else {
            let hanging = " ".repeat(LABEL);
            self.wrapped(value, &format!("{label:<LABEL$}"), &hanging);
        }
    }

    /// A rung: its amount to the right of its label, or in words after it.
    pub fn rung(&mut self, label: &str, amount: &str, aloud: &str) {
        if self.style.plain {
            self.wrapped(&format!("{label}: {aloud}"), "", "  ");
            return;
        }
        let room = WIDTH - AMOUNT;
        let label = self.twin(label);
        let amount = self.twin(amount);
        let lines = textwrap::wrap(&label, Self::options(room, "  ", "    "));
        for (at, line) in lines.iter().enumerate() {
            if at + 1 == lines.len() {
                // Padding counts columns, not bytes: a label may hold letters of two columns.
                let pad = " ".repeat(room.saturating_sub(textwrap::core::display_width(line)));
                self.out
                    .push_str(&format!("{line}{pad}{amount:>AMOUNT$}\n"));
            } else {
                self.out.push_str(line);
                self.out.push('\n');
            }
        }
    }

    /// A label and figures in columns on their right; line by line each after its column's name.
    pub fn columns(&mut self, cells: &[String], names: &[String]) {
        let Some((label, figures)) = cells.split_first() else {
            return;
        };
        if self.style.plain {
            // The heads are said with every figure.
            if names.is_empty() && label.is_empty() {
                return;
            }
            for (at, figure) in figures.iter().enumerate() {
                let name = names.get(at + 1).map_or("", String::as_str);
                self.labelled(
                    format!("{label}, {name}").trim_end_matches([',', ' ']),
                    figure,
                );
            }
            return;
        }
        let first = if figures.len() > 3 { LABEL - 4 } else { LABEL };
        let room = (WIDTH - first) / figures.len().max(1);
        let wide = |text: &str| textwrap::core::display_width(text);
        let mut line = self.twin(label);
        line.push_str(&" ".repeat(first.saturating_sub(wide(&line))));
        for figure in figures {
            let mut figure = self.twin(figure);
            // Only names are longer than their column.
            while wide(&figure) + 1 > room {
                figure.pop();
            }
            line.push_str(&" ".repeat(room.saturating_sub(wide(&figure))));
            line.push_str(&figure);
        }
        self.out.push_str(line.trim_end());
        self.out.push('\n');
    }

    fn wrapped(&mut self, words: &str, first: &str, later: &str) {
        let words = self.twin(words);
        let first = self.twin(first);
        for line in textwrap::wrap(&words, Self::options(WIDTH, &first, later)) {
            self.out.push_str(line.trim_end());
            self.out.push('\n');
        }
    }

    fn options<'a>(width: usize, first: &'a str, later: &'a str) -> Options<'a> {
        Options::new(width)
            .initial_indent(first)
            .subsequent_indent(later)
            .word_splitter(WordSplitter::NoHyphenation)
    }

    fn twin(&self, words: &str) -> String {
        let words = words::clean(words);
        if self.style.ascii {
            words::ascii_twin(&words)
        } else {
            words
        }
    }
}
