//! A report as plain text: the same content as the page, drawings as the figures they draw.

use super::Style;
use super::page::Page;
use crate::report::full::{Block, Document, Table};

/// The text of a document.
#[must_use]
pub fn report(document: &Document, style: Style) -> String {
    let mut page = Page::new(style);
    for (at, article) in document.articles.iter().enumerate() {
        if at > 0 {
            page.blank();
            page.blank();
        }
        for (number, block) in article.iter().enumerate() {
            put(&mut page, block, number == 0, document);
        }
    }
    page.finish()
}

fn put(page: &mut Page, block: &Block, first: bool, document: &Document) {
    let words = |text: &str| document.secrets.hide(text);
    match block {
        Block::Heading(1, text) => page.title(&words(text)),
        Block::Heading(_, text) => {
            if !first {
                page.blank();
            }
            page.heading(&words(text));
        }
        Block::Words(text) => page.under(&words(text)),
        Block::Stop(text) => page.paragraph(&words(text)),
        Block::List(points) => {
            for point in points {
                page.item(&words(point));
            }
        }
        Block::Table(table) | Block::Drawing(_, Some(table)) => put_table(page, table, &words),
        Block::Drawing(_, None) => {}
    }
}

fn put_table(page: &mut Page, table: &Table, words: &dyn Fn(&str) -> String) {
    let hidden =
        |cells: &[String]| -> Vec<String> { cells.iter().map(|cell| words(cell)).collect() };
    let head = hidden(&table.head);
    if table.figures {
        page.columns(&head, &[]);
        for row in &table.rows {
            match hidden(row).as_slice() {
                [label, one] => page.rung(label, one, one),
                cells => page.columns(cells, &head),
            }
        }
        return;
    }
    for row in &table.rows {
        match hidden(row).as_slice() {
            [] => {}
            [label, value] => page.labelled(label, value),
            [label, rest @ ..] => {
                page.item(label);
                for cell in rest {
                    page.under(cell);
                }
            }
        }
    }
}
