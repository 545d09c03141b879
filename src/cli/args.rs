//! The arguments.

use crate::engine::triangle::Shares;
use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use std::path::PathBuf;

/// Most draws taken as meant: more only burns time.
const MOST_DRAWS: i64 = 2_000_000;

/// What a cheap, faulty car is worth to someone with a wrench.
#[derive(Debug, Parser)]
#[command(
    name = "wrenchworth",
    version,
    about,
    override_usage = "wrenchworth [OPTIONS] [NOTEBOOK]\n       wrenchworth [OPTIONS] <COMMAND>",
    after_help = "Without a command the screens open: your own notebook, or the folder named.\n\
                  Exit codes: 0 fine, 1 user or data error, 2 usage, 70 a fault of the program, 128 and the signal.",
    max_term_width = 100
)]
pub struct Arguments {
    /// Folder of car files to open; your own notebook if none is named
    #[arg(value_name = "NOTEBOOK", num_args = 0..)]
    pub notebook: Vec<PathBuf>,
    /// Options of every command.
    #[command(flatten)]
    pub global: Global,
    /// Command.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Options of every command.
#[derive(Debug, Args)]
pub struct Global {
    /// Day the figures are reckoned on, as 2026-11-14; today by the clock if not given
    #[arg(long, global = true, value_name = "DATE", value_parser = day)]
    pub today: Option<Date>,
    /// Seed of the draws: the same seed, the same figures
    #[arg(long, global = true, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Number of draws
    #[arg(long, global = true, value_name = "N", default_value_t = 20_000,
          value_parser = clap::value_parser!(u32).range(1..=MOST_DRAWS))]
    pub draws: u32,
    /// Buyer file; buyer.json beside the car if not given, else a plain buyer
    #[arg(long, global = true, value_name = "FILE")]
    pub buyer: Option<PathBuf>,
    /// Folder of your own tables over the ones that come with the program
    #[arg(long, global = true, value_name = "DIR")]
    pub tables: Option<PathBuf>,
    /// Folder for notebook and tables instead of the usual places
    #[arg(long, global = true, value_name = "DIR")]
    pub home: Option<PathBuf>,
    /// Line by line in words, for screen readers
    #[arg(long, global = true)]
    pub plain: bool,
    /// Signs in ASCII only
    #[arg(long, global = true)]
    pub ascii: bool,
    /// Color on the screens
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto")]
    pub color: When,
    /// Leave the mouse to the terminal
    #[arg(long, global = true)]
    pub no_mouse: bool,
    /// Figures as JSON
    #[arg(long, global = true)]
    pub json: bool,
}

/// When to use color.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// Where the terminal takes it.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// Commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Limit, offer, faults and chances of cars
    Weigh {
        /// Car files
        #[arg(value_name = "CAR", required = true)]
        cars: Vec<PathBuf>,
    },
    /// Up to four cars side by side, in shared luck
    Compare(CompareArgs),
    /// What to find out next: checks by what knowing is worth
    Next {
        /// Car file
        #[arg(value_name = "CAR")]
        car: PathBuf,
        /// Time for checks, minutes: the best set that fits
        #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1440))]
        minutes: Option<u32>,
        /// Only what can be answered from afar
        #[arg(long)]
        remote: bool,
    },
    /// A counter-offer in words, each with its ground
    Letter(LetterArgs),
    /// One page of cars, to print or to send
    Report(ReportArgs),
    /// Find a fault, repair, sign, code, caution or tool in the tables
    Lookup {
        /// Word, code or id
        #[arg(value_name = "WORD", required = true)]
        word: Vec<String>,
    },
    /// The tables
    #[command(subcommand)]
    Tables(TablesCommand),
    /// Completions for a shell, on standard output
    Completions {
        /// Shell
        #[arg(value_name = "SHELL")]
        shell: clap_complete::Shell,
    },
    /// Manual page, on standard output
    Man,
}

/// Arguments of `letter`.
#[derive(Debug, Args)]
pub struct LetterArgs {
    /// Car file
    #[arg(value_name = "CAR")]
    pub car: PathBuf,
    /// Which of the offers still to make
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=9))]
    pub round: u8,
    /// How it is said; brief is three lines for the phone
    #[arg(long, value_name = "TONE", default_value = "plain")]
    pub tone: ToneWord,
    /// What to write: the letter, the notice of what is unsafe, or a draft at the price agreed
    #[arg(long, value_name = "KIND")]
    pub kind: Option<KindWord>,
    /// Two prices, tied to a check by its id or name: if it comes out well, and if not
    #[arg(long, value_name = "CHECK", conflicts_with = "kind")]
    pub two_price: Option<String>,
    /// Last day of the offer, as 2026-11-21; a week from today if not given
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub until: Option<Date>,
    /// File for the letter alone; its grounds stay on standard output
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// Car files, two to four
    #[arg(value_name = "CAR", required = true, num_args = 2..=4)]
    pub cars: Vec<PathBuf>,
    /// What matters to you, as shares of cheap, reliable and fast such as 50,30,20; even if not given
    #[arg(long, value_name = "C,R,F", value_parser = weights)]
    pub weights: Option<Shares>,
    /// Form.
    #[command(flatten)]
    pub form: CompareForm,
    /// With the seller's name, the place and whole identification numbers
    #[arg(long)]
    pub with_names: bool,
    /// File for the result, instead of standard output
    #[arg(long, value_name = "FILE", conflicts_with = "json")]
    pub out: Option<PathBuf>,
}

/// Forms of a comparison; text if none is asked for.
#[derive(Debug, Args)]
#[group(multiple = false, conflicts_with = "json")]
pub struct CompareForm {
    /// As a page that stands alone
    #[arg(long)]
    pub html: bool,
    /// As Markdown
    #[arg(long)]
    pub markdown: bool,
    /// As a table for a spreadsheet, a row a car
    #[arg(long)]
    pub csv: bool,
}

/// Arguments of `report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// Car files; two to four of one buyer also stand side by side
    #[arg(value_name = "CAR", required = true)]
    pub cars: Vec<PathBuf>,
    /// Form.
    #[command(flatten)]
    pub form: ReportForm,
    /// For whom: the seller sees proven faults and no limits
    #[arg(long = "for", value_name = "WHO", default_value = "me")]
    pub audience: AudienceWord,
    /// With the seller's name, the place and whole identification numbers
    #[arg(long)]
    pub with_names: bool,
    /// File for the report, instead of standard output
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Forms of a report.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
pub struct ReportForm {
    /// As a page that stands alone
    #[arg(long)]
    pub html: bool,
    /// As Markdown
    #[arg(long)]
    pub markdown: bool,
    /// As plain text
    #[arg(long)]
    pub text: bool,
}

/// Readers of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum AudienceWord {
    /// Everything.
    Me,
    /// Everything but the money of the talks.
    Scrutineer,
    /// Proven faults alone.
    Seller,
}

/// What can be written of the talks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KindWord {
    /// The offer.
    Letter,
    /// What makes the car unsafe, deal or no deal.
    Notice,
    /// For the money, a draft.
    Receipt,
    /// For the car, a draft.
    BillOfSale,
}

/// Tones of a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ToneWord {
    /// Short and even.
    Plain,
    /// With a kind word.
    Warm,
    /// Three lines for the phone.
    Brief,
}

/// Commands on the tables.
#[derive(Debug, Subcommand)]
pub enum TablesCommand {
    /// Check the tables, with your own over them
    Check {
        /// Folder of your own tables
        #[arg(value_name = "DIR")]
        dir: Option<PathBuf>,
        /// Also the links worked out from cause weights and hit rates
        #[arg(long)]
        derived: bool,
    },
}

/// Names of the commands, for suggestions.
pub const COMMANDS: &[&str] = &[
    "compare",
    "completions",
    "help",
    "letter",
    "lookup",
    "man",
    "next",
    "report",
    "tables",
    "weigh",
];

/// Three shares, brought to a sum of 1.
fn weights(typed: &str) -> Result<Shares, String> {
    let parts: Option<Vec<f64>> = (typed.split([',', ' ', '/']).filter(|part| !part.is_empty()))
        .map(|part| {
            part.parse()
                .ok()
                .filter(|part: &f64| (0.0..=1e6).contains(part))
        })
        .collect();
    let sum = |parts: &[f64]| parts.iter().sum::<f64>();
    match parts.as_deref() {
        Some(all @ [cheap, reliable, fast]) if sum(all) > 0.0 => Ok(Shares {
            cheap: cheap / sum(all),
            reliable: reliable / sum(all),
            fast: fast / sum(all),
        }),
        _ => Err(
            "write three numbers, for cheap, reliable and fast, not all nought, as 50,30,20"
                .to_owned(),
        ),
    }
}

fn day(typed: &str) -> Result<Date, String> {
    typed
        .parse()
        .map_err(|_| "no such day; write year, month and day as 2026-11-14".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_hold_together_and_every_command_is_suggested() {
        Arguments::command().debug_assert();
        let mut command = Arguments::command();
        command.build();
        let mut names: Vec<&str> = command
            .get_subcommands()
            .map(clap::Command::get_name)
            .collect();
        names.sort_unstable();
        assert_eq!(names, COMMANDS);
    }
}
