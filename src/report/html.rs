//! A report as one page that stands alone: inline drawings, no script, nothing fetched, all text escaped. Well-formed as XML too.

mod drawings;
mod markup;

use super::full::{Block, Document, Table};
use markup::Markup;

const LOOKS: &str = ":root{color-scheme:light dark;--ink:#111;--page:#fff;--line:#c4c4c4;--soft:#565656;--mine:#0b5cad;--theirs:#6b3fa0;--takes:#8f4300}\
@media (prefers-color-scheme:dark){:root{--ink:#eee;--page:#15171a;--line:#444;--soft:#b0b0b0;--mine:#7fb8ff;--theirs:#c9a0f0;--takes:#f0a35e}}\
body{font:16px/1.45 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem;color:var(--ink);background:var(--page);overflow-wrap:break-word}\
h1{font-size:1.6rem;line-height:1.2;margin:1.5rem 0 .6rem}h2{font-size:1.15rem;margin:1.6rem 0 .4rem;border-bottom:2px solid var(--ink)}h3{font-size:1rem;margin:1.2rem 0 .3rem}\
table{border-collapse:collapse;width:100%;margin:.4rem 0 1rem}th,td{text-align:left;vertical-align:top;padding:.2rem .6rem .2rem 0;border-bottom:1px solid var(--line)}\
tbody th{font-weight:600}thead th{font-weight:600;border-bottom:2px solid var(--line)}.figures td,.figures thead th{text-align:right;font-variant-numeric:tabular-nums;padding-right:0;padding-left:.6rem}\
.figures th:first-child{text-align:left;padding-left:0}.figures td{white-space:nowrap}.facts th{width:30%}.wide{overflow-x:auto}ul{padding-left:1.2rem;margin:.4rem 0 1rem}\
svg{display:block;width:100%;height:auto;color:var(--ink);margin:.6rem 0}svg.small{max-width:26rem}svg text{fill:currentColor;font-family:system-ui,sans-serif}\
.stop{border:2px solid var(--ink);border-left-width:.5rem;padding:.3rem .6rem;font-weight:700}\
@media (max-width:34rem){body{margin:1rem auto;padding:0 .7rem}.facts th,.facts td{display:block;border:0;padding:0}.facts tr{display:block;padding:.3rem 0;border-bottom:1px solid var(--line)}.facts th{width:auto}.figures{font-size:.8rem}.figures td,.figures thead th{padding-left:.35rem}}\
@media print{:root{color-scheme:light;--ink:#000;--page:#fff;--line:#aaa;--soft:#444;--mine:#000;--theirs:#000;--takes:#000}body{margin:0;max-width:none;font-size:10.5pt}h2,h3{break-after:avoid}tr,svg,.stop{break-inside:avoid}article+article{break-before:page}.wide{overflow:visible}}";

/// The page of a document.
#[must_use]
pub fn page(document: &Document) -> String {
    let mut page = Markup::new(&document.secrets);
    page.raw("<!DOCTYPE html>\n");
    page.start("html", "xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\"");
    page.start("head", "");
    page.raw("<meta charset=\"utf-8\"/><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>");
    page.element("title", "", &document.title);
    page.start("style", "");
    page.raw(LOOKS);
    page.end();
    page.end();
    page.start("body", "");
    for article in &document.articles {
        page.start("article", "");
        for block in article {
            put(&mut page, block);
        }
        page.end();
    }
    page.finish()
}

fn put(page: &mut Markup<'_>, block: &Block) {
    match block {
        Block::Heading(level, words) => {
            let name = match level {
                1 => "h1",
                2 => "h2",
                _ => "h3",
            };
            page.element(name, "", words);
        }
        Block::Words(words) => page.element("p", "", words),
        Block::Stop(words) => page.element("p", "class=\"stop\"", words),
        Block::List(points) => {
            page.start("ul", "");
            for point in points {
                page.element("li", "", point);
            }
            page.end();
        }
        Block::Table(table) => put_table(page, table),
        Block::Drawing(drawing, _) => drawings::draw(page, drawing),
    }
}

fn put_table(page: &mut Markup<'_>, table: &Table) {
    if table.rows.is_empty() {
        return;
    }
    page.start("div", "class=\"wide\"");
    page.start(
        "table",
        if table.figures {
            "class=\"figures\""
        } else {
            "class=\"facts\""
        },
    );
    if !table.head.is_empty() {
        page.start("thead", "");
        page.start("tr", "");
        for cell in &table.head {
            page.element("th", "scope=\"col\"", cell);
        }
        page.end();
        page.end();
    }
    page.start("tbody", "");
    for row in &table.rows {
        page.row(row);
    }
    page.end();
    page.end();
    page.end();
}
