//! `man`: the page of the command line, and the keys of the screens out of their one table.

use super::args::Arguments;
use super::failure::Failure;
use crate::tui::keys::{Group, KEYS, KeyRow, On};
use clap::CommandFactory;
use std::io::Write;

/// Writes the page.
///
/// # Errors
/// Standard output gone.
pub fn page(out: &mut impl Write) -> Result<(), Failure> {
    let mut page = Vec::new();
    clap_mangen::Man::new(Arguments::command()).render(&mut page)?;
    page.extend_from_slice(keys().as_bytes());
    Ok(out.write_all(&page)?)
}

/// The keys, those of each screen first.
fn keys() -> String {
    let mut text = String::from(".SH KEYS\n");
    for row in KEYS
        .iter()
        .filter(|row| row.group != Group::Over && !row.words.is_empty())
    {
        let keys: Vec<String> = row.keys.iter().map(|key| roff(&key.label())).collect();
        text.push_str(&format!(
            ".TP\n\\fB{}\\fR\n{}: {}\n",
            keys.join(" "),
            place(row),
            roff(row.words)
        ));
    }
    text
}

fn place(row: &KeyRow) -> String {
    match row.on {
        On::Some(screens) => {
            let names: Vec<&str> = screens.iter().map(|screen| screen.name()).collect();
            names.join(", ")
        }
        On::Hidden => "while money is hidden".to_owned(),
        _ => "everywhere".to_owned(),
    }
}

/// Safe in a page of the formatter: no mark of its own at the start of a line or within.
fn roff(text: &str) -> String {
    let safe = text.replace('\\', "\\e").replace('-', "\\-");
    if safe.starts_with(['.', '\'']) {
        format!("\\&{safe}")
    } else {
        safe
    }
}
