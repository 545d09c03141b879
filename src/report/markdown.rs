//! A report as Markdown (CommonMark with tables): the same content as the page, drawings as the figures they draw. Words from outside are
//! escaped, so that they are words and nothing else.

use super::full::{Block, Document, Table};

/// The text of a document.
#[must_use]
pub fn written(document: &Document) -> String {
    let mut out = String::new();
    let words = |text: &str| escaped(&document.secrets.hide(text));
    for (at, article) in document.articles.iter().enumerate() {
        if at > 0 {
            out.push_str("---\n\n");
        }
        for block in article {
            match block {
                Block::Heading(level, text) => {
                    let marks = "#".repeat(usize::from(*level));
                    out.push_str(&format!("{marks} {}\n\n", words(text)));
                }
                Block::Words(text) => out.push_str(&format!("{}\n\n", at_start(&words(text)))),
                Block::Stop(text) => out.push_str(&format!("> **{}**\n\n", words(text))),
                Block::List(points) => {
                    for point in points {
                        out.push_str(&format!("- {}\n", at_start(&words(point))));
                    }
                    out.push('\n');
                }
                Block::Table(table) | Block::Drawing(_, Some(table)) => {
                    put_table(&mut out, table, &words);
                }
                Block::Drawing(_, None) => {}
            }
        }
    }
    format!("{}\n", out.trim_end())
}

fn put_table(out: &mut String, table: &Table, words: &dyn Fn(&str) -> String) {
    let columns = table.rows.iter().map(Vec::len).max().unwrap_or(0);
    if columns == 0 {
        return;
    }
    let line = |cells: &[String]| {
        let cell = |at: usize| cells.get(at).map_or_else(String::new, |cell| words(cell));
        let cells: Vec<String> = (0..columns).map(cell).collect();
        format!("| {} |\n", cells.join(" | "))
    };
    out.push_str(&line(&table.head));
    let rule = |at: usize| match (at, table.figures) {
        (0, _) | (_, false) => "---",
        (_, true) => "--:",
    };
    let rules: Vec<&str> = (0..columns).map(rule).collect();
    out.push_str(&format!("| {} |\n", rules.join(" | ")));
    for row in &table.rows {
        out.push_str(&line(row));
    }
    out.push('\n');
}

/// A backslash before every mark that could begin an emphasis, a link, a picture, markup, code, a formula, a cell or an address.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut before = String::new();
    for c in text.trim().chars() {
        let lower = before.to_ascii_lowercase();
        let marks = matches!(
            c,
            '\\' | '`'
                | '*'
                | '_'
                | '['
                | ']'
                | '<'
                | '>'
                | '|'
                | '~'
                | '&'
                | '!'
                | '$'
                | '@'
                | '#'
        );
        // What some readers make a link of by themselves.
        let address = (c == ':'
            && ["http", "https", "ftp", "mailto", "xmpp"]
                .iter()
                .any(|way| lower.ends_with(way)))
            || (c == '.' && lower.ends_with("www"));
        if marks || address {
            out.push('\\');
        }
        out.push(c);
        before.push(c);
    }
    out
}

/// A line that begins as a list, a rule, a heading or a quotation would is words too.
fn at_start(text: &str) -> String {
    let digits = text.chars().take_while(char::is_ascii_digit).count();
    let (number, rest) = text.split_at(digits);
    match rest.chars().next() {
        Some('-' | '+' | '=') if digits == 0 => format!("\\{text}"),
        Some('.' | ')') if digits > 0 => format!("{number}\\{rest}"),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_from_outside_begin_nothing() {
        assert_eq!(
            escaped("<b>*x*_y_`z`[a](http://b)!|$1$ www.c.d e@f &lt; C:\\"),
            "\\<b\\>\\*x\\*\\_y\\_\\`z\\`\\[a\\](http\\://b)\\!\\|\\$1\\$ www\\.c.d e\\@f \\&lt; C:\\\\"
        );
        assert_eq!(at_start("- no list"), "\\- no list");
        assert_eq!(at_start("1. no list"), "1\\. no list");
        assert_eq!(at_start("2009 car"), "2009 car");
        assert_eq!(escaped("# no heading"), "\\# no heading");
    }
}
