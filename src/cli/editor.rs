//! The user's own editor.

use std::fmt::Write as _;
use std::fs;
use std::io::{self, Write};
use std::process::Command;

/// Longest text taken back from an editor, bytes.
const LONGEST_TEXT: u64 = 1 << 20;

/// Opens a text in an editor, in a file for this user alone, and gives what was left in it.
///
/// # Errors
/// One sentence: what, where, what to do; the text is then as it was.
pub fn edit(editor: &str, text: &str) -> Result<String, String> {
    let because =
        |error: io::Error| format!("the editor could not be used: {error}; the text is as it was.");
    let mut file = tempfile::Builder::new()
        .prefix("advert-")
        .suffix(".txt")
        .tempfile()
        .map_err(because)?;
    file.write_all(text.as_bytes()).map_err(because)?;
    file.flush().map_err(because)?;
    // By the shell, as it is done elsewhere: the command may have arguments of its own.
    let mut command = String::from(editor);
    let _ = write!(command, " \"$1\"");
    let ended = Command::new("sh")
        .args(["-c", &command, "sh"])
        .arg(file.path())
        .status()
        .map_err(because)?;
    if !ended.success() {
        return Err(format!(
            "“{editor}” ended with an error, so the text is as it was; set EDITOR to one that works."
        ));
    }
    let length = fs::metadata(file.path()).map_err(because)?.len();
    if length > LONGEST_TEXT {
        return Err("the text is over 1 MB now, so it was not taken; shorten it.".to_owned());
    }
    // An editor may put a new file in the place of the old one: it is read by name.
    let bytes = fs::read(file.path()).map_err(because)?;
    String::from_utf8(bytes)
        .map_err(|_| "the text is not UTF-8 now, so it was not taken; save it as UTF-8.".to_owned())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn an_editor_with_arguments_gives_its_text_and_a_failing_one_a_sentence() {
        let edited = edit("sed -i s/tune/turn/", "needs a tune-up\n").unwrap();
        assert_eq!(edited, "needs a turn-up\n");
        let refused = edit("false", "x").unwrap_err();
        assert!(refused.contains("as it was; set EDITOR"), "{refused}");
    }
}
