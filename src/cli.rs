//! The command line: arguments, exit codes, and the only place where clock, paths and environment are read.
//!
//! Standard output carries results only, messages go to standard error, a closed pipe is success. Exit codes: 0 fine, 1 user or
//! data error, 2 usage, 70 a fault of the program itself.

mod args;
mod compare;
mod editor;
mod failure;
mod letter;
mod look;
mod look_up;
mod man;
mod next;
mod open;
mod out_file;
mod places;
mod report;
mod shelf;
mod tables;
mod weigh;

use crate::engine::find_out::FindOutWish;
use args::{Arguments, Command};
use clap::{CommandFactory, Parser};
use failure::Failure;
use std::io::{self, Write};
use std::process::ExitCode;

/// Exit code of a fault of the program itself.
const BUG: u8 = 70;

/// Runs the program with the arguments, clock and environment of this process.
#[must_use]
pub fn run_from_environment() -> ExitCode {
    // The hook speaks once, on standard error, where a panic would otherwise print its own words.
    std::panic::set_hook(Box::new(|panic| {
        let place = panic
            .location()
            .map_or_else(String::new, |at| format!(" at {}:{}", at.file(), at.line()));
        message(&format!(
            "wrenchworth has a fault of its own{place}; your files are as they were. Run the same command again with its words kept, and report both."
        ));
    }));
    let ran = std::panic::catch_unwind(|| {
        let mut out = io::stdout().lock();
        let ended = match parse().and_then(|arguments| run(arguments, &mut out)) {
            Err(Failure::Asked(words)) => out.write_all(words.as_bytes()).map_err(Failure::from),
            ended => ended,
        };
        match (ended, out.flush()) {
            (Ok(()), Err(error)) => Err(Failure::from(error)),
            (ended, _) => ended,
        }
    });
    let code = match ran {
        Ok(Ok(())) => 0,
        Ok(Err(failure)) => {
            if let Some(words) = failure.words() {
                message(&words);
            }
            failure.exit_code()
        }
        Err(_) => BUG,
    };
    ExitCode::from(code)
}

/// One message on standard error; nobody listening is no reason to fail.
fn message(words: &str) {
    let _unheard = writeln!(io::stderr(), "{}", words.trim_end());
}

fn parse() -> Result<Arguments, Failure> {
    Arguments::try_parse().map_err(|error| {
        if error.use_stderr() {
            Failure::Usage(error.render().to_string())
        } else {
            Failure::Asked(error.render().to_string())
        }
    })
}

fn run(arguments: Arguments, out: &mut impl Write) -> Result<(), Failure> {
    let Arguments {
        notebook,
        global,
        command,
    } = arguments;
    if let (Some(word), Some(_)) = (notebook.first(), &command) {
        return Err(Failure::Usage(format!(
            "“{}” stands before a command; a notebook is opened without one. Leave it out, or see wrenchworth --help.",
            failure::shown(word)
        )));
    }
    match command {
        None => open::from_arguments(&notebook, &global),
        Some(Command::Weigh { cars }) => weigh::run(&cars, &global, out),
        Some(Command::Compare(wanted)) => compare::run(&wanted, &global, out),
        Some(Command::Next {
            car,
            minutes,
            remote,
            message,
            out: file,
        }) => {
            let wish = FindOutWish { minutes, remote };
            next::run(&car, wish, (message, file.as_deref()), &global, out)
        }
        Some(Command::Letter(wanted)) => letter::run(&wanted, &global, out),
        Some(Command::Report(wanted)) => report::run(&wanted, &global, out),
        Some(Command::Lookup { word }) => look_up::run(&word.join(" "), &global, out),
        Some(Command::Tables(args::TablesCommand::Check { dir, derived })) => {
            tables::check_tables(dir.as_deref(), derived, &global, out)
        }
        Some(Command::Completions { shell }) => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Arguments::command(), "wrenchworth", &mut script);
            Ok(out.write_all(&script)?)
        }
        Some(Command::Man) => man::page(out),
    }
}
