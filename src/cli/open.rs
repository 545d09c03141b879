//! Opening a notebook in the terminal.

use super::args::{COMMANDS, Global};
use super::failure::{Failure, shown};
use super::look;
use super::places::{PLAIN_BUYER, knowledge, own_notebook, own_tables, reason, table_failure};
use super::shelf::{DiskShelf, RealEngine};
use crate::engine::Knowledge;
use crate::store::{self, Notebook};
use crate::trade::Tables;
use crate::tui::app::Setup;
use crate::tui::perform::Luck;
use crate::tui::terminal::{self, Opening};
use jiff::ZonedDateTime;
use std::fs;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Opens the notebook named, else the user's own, made if absent.
///
/// # Errors
/// [`Failure::Usage`] for words that are no notebook, [`Failure::Data`] for a folder that cannot be used.
pub fn from_arguments(words: &[PathBuf], global: &Global) -> Result<(), Failure> {
    match words {
        [] => {
            let own = own_notebook(global)?;
            fs::create_dir_all(&own).map_err(|error| {
                Failure::file(
                    &own,
                    reason(&error),
                    "Make the folder yourself, or name another place with --home DIR.",
                )
            })?;
            open_notebook(&own, global)
        }
        [folder] if folder.is_dir() => open_notebook(folder, global),
        [file] if file.exists() => Err(Failure::Usage(format!(
            "{}: a file, not a notebook. Name its folder, or weigh it with “wrenchworth weigh {}”.",
            shown(file),
            shown(file)
        ))),
        [word, ..] => Err(no_such_command(word)),
    }
}

/// Opens the screens over a notebook and leaves with their exit code.
///
/// # Errors
/// [`Failure::Data`] where the notebook, the buyer or the terminal cannot be used.
pub fn open_notebook(folder: &Path, global: &Global) -> Result<(), Failure> {
    let (knowledge, trouble) = known(global)?;
    let notebook = Notebook::open(folder, ZonedDateTime::now().datetime())?;
    let (named, buyer_name) = match &global.buyer {
        Some(file) => (Some(store::load_buyer(file)?), shown(file)),
        None => match notebook.buyer() {
            Ok(Some(_)) => (None, "buyer.json of this notebook".to_owned()),
            _ => (None, PLAIN_BUYER.to_owned()),
        },
    };
    if !io::stdout().is_terminal() || !io::stdin().is_terminal() {
        return Err(Failure::Data(
            "the screens need a terminal for input and output. Use weigh, compare or lookup for text.".to_owned(),
        ));
    }
    let engine = Arc::new(RealEngine::new(knowledge, buyer_name));
    let own = own_notebook(global).ok();
    let shelf = DiskShelf::new(notebook, own.clone(), named, sample_folder(), global.today)
        .with_tables(own_tables(global), trouble);
    let shelf = Box::new(shelf);
    let memory = own.and_then(|own| own.parent().map(|dir| dir.join(MEMORY)));
    let opening = Opening {
        setup: Setup {
            hidden: memory.as_deref().is_some_and(was_hidden),
            mouse: !global.no_mouse,
        },
        look: look::of(global),
        luck: Luck {
            seed: global.seed,
            draws: global.draws,
        },
        clipboard: look::clipboard(),
    };
    let ending = terminal::run(shelf, engine, opening).map_err(|error| {
        Failure::Data(format!(
            "the terminal cannot be taken over: {}. Use weigh, compare or lookup for text.",
            reason(&error)
        ))
    })?;
    if let Some(memory) = memory {
        remember_hidden(&memory, ending.hidden);
    }
    match u8::try_from(ending.code) {
        Ok(0) => Ok(()),
        Ok(code) => Err(Failure::Signal(code)),
        Err(_) => Err(Failure::Signal(1)),
    }
}

/// What is known, with the user's own tables over ours. Where those cannot be used ours alone are, and the sentence says why; tables that
/// were named on the command line must be in force.
fn known(global: &Global) -> Result<(Knowledge, Option<String>), Failure> {
    match knowledge(global) {
        Ok(knowledge) => Ok((knowledge, None)),
        Err(failure) if global.tables.is_none() => {
            let tables = Tables::embedded().map_err(|error| table_failure(&error))?;
            let why = failure.words().unwrap_or_default();
            let why = why.trim_start_matches("wrenchworth: ").trim_end();
            Ok((
                Knowledge::new(tables),
                Some(format!("Yours: {why} Ours used.")),
            ))
        }
        Err(failure) => Err(failure),
    }
}

/// Whether money was hidden when the screens were last left: it must not come up before the seller's eyes.
const MEMORY: &str = "screens.json";

fn was_hidden(memory: &Path) -> bool {
    let read = fs::read(memory)
        .ok()
        .and_then(|bytes| serde_json::from_slice::<serde_json::Value>(&bytes).ok());
    read.is_some_and(|value| value["hidden"] == true)
}

/// Best effort: a place that cannot be written only means that money shows next time.
fn remember_hidden(memory: &Path, hidden: bool) {
    if hidden != was_hidden(memory) {
        let _ = store::write_private(memory, format!("{{\"hidden\": {hidden}}}\n").as_bytes());
    }
}

/// Sample cars beside the program or under the folder it is run in.
fn sample_folder() -> Option<PathBuf> {
    let here = PathBuf::from("sample-listings");
    here.join("notebook.json").is_file().then_some(here)
}

fn no_such_command(word: &Path) -> Failure {
    let typed = shown(word);
    let near = COMMANDS
        .iter()
        .map(|command| (distance(&typed.to_lowercase(), command), *command))
        .filter(|(distance, command)| *distance <= command.len().div_ceil(3))
        .min();
    let hint = match near {
        Some((_, command)) => format!("Did you mean “{command}”?"),
        None => "Name a folder of car files, or see wrenchworth --help.".to_owned(),
    };
    Failure::Usage(format!(
        "“{typed}” is neither a command nor a notebook here. {hint}"
    ))
}

/// Least number of letters put in, left out, changed or swapped with a neighbor to make one word of the other.
fn distance(one: &str, other: &str) -> usize {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=other.len()).collect();
    for (row, letter) in one.iter().enumerate() {
        let mut now = vec![row + 1];
        for (column, against) in other.iter().enumerate() {
            let changed = last[column] + usize::from(letter != against);
            let mut least = changed.min(last[column + 1] + 1).min(now[column] + 1);
            let swapped =
                row > 0 && column > 0 && one[row - 1] == *against && other[column - 1] == *letter;
            if swapped {
                least = least.min(before_last[column - 1] + 1);
            }
            now.push(least);
        }
        before_last = std::mem::replace(&mut last, now);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_is_one_letter_away() {
        assert_eq!(distance("wiegh", "weigh"), 1);
        assert_eq!(distance("lokup", "lookup"), 1);
        assert_eq!(distance("", "man"), 3);
        assert_eq!(distance("weigh", "weigh"), 0);
    }
}
