//! Well-formed markup, and the one place where text enters it: cleaned, blotted and escaped.

use crate::report::words;

/// A page in the making.
pub(super) struct Markup {
    out: String,
    open: Vec<&'static str>,
    secrets: Vec<(String, String)>,
}

impl Markup {
    /// A page on which each secret is replaced wherever it stands.
    pub(super) fn new(mut secrets: Vec<(String, String)>) -> Self {
        secrets.retain(|(secret, _)| !secret.trim().is_empty());
        // A secret within another one comes after it.
        secrets.sort_by_key(|(secret, _)| std::cmp::Reverse(secret.len()));
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
        let mut text = words::clean(text);
        for (secret, instead) in &self.secrets {
            text = blot(&text, secret, instead);
        }
        for c in text.chars() {
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
    pub(super) fn row(&mut self, cells: &[&str]) {
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

/// A text with a secret replaced wherever it stands as words of its own.
fn blot(text: &str, secret: &str, instead: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(secret) {
        let (before, from) = rest.split_at(at);
        let after = from.get(secret.len()..).unwrap_or_default();
        let joined = before
            .chars()
            .next_back()
            .is_some_and(char::is_alphanumeric)
            || after.chars().next().is_some_and(char::is_alphanumeric);
        out.push_str(before);
        out.push_str(if joined { secret } else { instead });
        rest = after;
    }
    out.push_str(rest);
    out
}
