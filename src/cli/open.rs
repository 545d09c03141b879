//! Opening a notebook in the terminal.

use super::args::{COMMANDS, Global};
use super::failure::{Failure, shown};
use super::places::{own_notebook, reason};
use std::fs;
use std::path::{Path, PathBuf};

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

/// Opens the screens over a notebook.
///
/// # Errors
/// [`Failure::Data`] where the screens cannot open.
pub fn open_notebook(folder: &Path, _global: &Global) -> Result<(), Failure> {
    Err(Failure::Data(format!(
        "{}: the screens are not in this build. Use weigh, compare or lookup; see wrenchworth --help.",
        shown(folder)
    )))
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
