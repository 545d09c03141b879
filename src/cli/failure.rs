//! Why a command ends early, in one sentence, and with which exit code.

use crate::report::words::clean;
use crate::store::StoreError;
use std::fmt::Display;
use std::io;
use std::path::Path;

/// Why a command ends early.
#[derive(Debug)]
pub enum Failure {
    /// Something the user or a file got wrong: exit 1.
    Data(String),
    /// The arguments are wrong: exit 2.
    Usage(String),
    /// Help or version was asked for: printed on standard output, exit 0.
    Asked(String),
    /// The screens ended by a signal: 128 and its number; nothing more is said.
    Signal(u8),
    /// Standard output is gone: a closed pipe is success.
    Output(io::Error),
}

impl Failure {
    /// What to say on standard error, if anything.
    pub fn words(&self) -> Option<String> {
        match self {
            Self::Data(words) => Some(format!("wrenchworth: {words}")),
            Self::Usage(words) if words.starts_with("error:") => Some(words.clone()),
            Self::Usage(words) => Some(format!("wrenchworth: {words}")),
            Self::Asked(_) | Self::Signal(_) => None,
            Self::Output(error) if error.kind() == io::ErrorKind::BrokenPipe => None,
            Self::Output(error) => Some(format!(
                "wrenchworth: the result could not be written to standard output: {error}. Send it elsewhere and run again."
            )),
        }
    }

    /// Exit code.
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Data(_) => 1,
            Self::Usage(_) => 2,
            Self::Asked(_) => 0,
            Self::Signal(code) => *code,
            Self::Output(error) if error.kind() == io::ErrorKind::BrokenPipe => 0,
            Self::Output(_) => 1,
        }
    }

    /// A failure with a file: which, what, and what to do.
    pub fn file(path: &Path, what: impl Display, remedy: &str) -> Self {
        Self::Data(format!(
            "{}: {}. {remedy}",
            shown(path),
            clean(&what.to_string())
        ))
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Output(error)
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Self::Data(clean(&error.to_string()))
    }
}

/// A path safe to show: a file's name is text from outside.
pub fn shown(path: &Path) -> String {
    clean(&path.to_string_lossy())
}
