//! Well-formed markup, and the one place where text enters it: cleaned, blotted and escaped.

use crate::report::full::Secrets;

/// A page in the making.
pub(super) struct Markup<'a> {
    out: String,
    open: Vec<&'static str>,
    secrets: &'a Secrets,
}

impl<'a> Markup<'a> {
    /// A page on which each secret is replaced wherever it stands.
    pub(super) fn new(secrets: &'a Secrets) -> Self {
        Self {
            out: String::new(),
            open: Vec::new(),
            secrets,
        }
    }

    /// Markup of the program's own.
    pub(super) fn raw(&mut self, markup: &str) {
        self.out.push_str(markup);
    }

    /// Opens an element, with attributes of the program's own.
    pub(super) fn start(&mut self, name: &'static str, attributes: &str) {
        let gap = if attributes.is_empty() { "" } else { " " };
        self.out.push_str(&format!("<{name}{gap}{attributes}>"));
        self.open.push(name);
    }

    /// Closes the element opened last.
    pub(super) fn end(&mut self) {
        if let Some(name) = self.open.pop() {
            self.out.push_str(&format!("</{name}>\n"));
        }
    }

    /// Text, whoever wrote it.
    pub(super) fn text(&mut self, text: &str) {
        for c in self.secrets.hide(text).chars() {
            match c {
                '&' => self.out.push_str("&amp;"),
                '<' => self.out.push_str("&lt;"),
                '>' => self.out.push_str("&gt;"),
                '"' => self.out.push_str("&quot;"),
                '\'' => self.out.push_str("&#39;"),
                c => self.out.push(c),
            }
        }
    }

    /// An element that holds only text.
    pub(super) fn element(&mut self, name: &'static str, attributes: &str, text: &str) {
        self.start(name, attributes);
        self.text(text);
        self.end();
    }

    /// A row of a table, its first cell a heading.
    pub(super) fn row(&mut self, cells: &[String]) {
        self.start("tr", "");
        for (at, cell) in cells.iter().enumerate() {
            let (name, attributes) = if at == 0 {
                ("th", "scope=\"row\"")
            } else {
                ("td", "")
            };
            self.element(name, attributes, cell);
        }
        self.end();
    }

    /// The page, all elements closed.
    pub(super) fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.end();
        }
        self.out
    }
}
