//! What happens to the state, and what is to be done outside because of it.

use crate::car::CarFile;
use crate::engine::find_out::{FindOut, Mind};
use crate::engine::triangle::Shares;
use crate::engine::{Appraisal, Comparison};
use crate::trade::OwnChange;
use crate::tui::copy::Copied;
use crate::tui::keys::{Act, Key};
use crate::tui::ports::{Access, OwnTables, ReadIn, Shelved, Standing};
use crate::tui::screens::Screen;
use crate::tui::screens::asked::{About, TwoCame};
use jiff::civil::DateTime;
use std::sync::Arc;

/// What can be tapped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// A row of a part: once stands on it, twice opens it.
    Row {
        /// Part.
        part: usize,
        /// Row.
        row: usize,
    },
    /// A screen's name.
    Screen(Screen),
    /// A word on the key line presses its key.
    Key(Key),
    /// The bottom line hides money.
    Hide,
    /// A place on the triangle: weights in thousandths, the rest is for fast. It can be dragged.
    Weigh {
        /// Of cheap.
        cheap: u16,
        /// Of reliable.
        reliable: u16,
    },
}

/// Weights out of thousandths.
pub(super) fn shares(cheap: u16, reliable: u16) -> Shares {
    let (cheap, reliable) = (f64::from(cheap) / 1000.0, f64::from(reliable) / 1000.0);
    Shares {
        cheap,
        fast: (1.0 - cheap - reliable).max(0.0),
        reliable,
    }
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// A key with a meaning.
    Act(Act),
    /// A key typed where text is taken.
    Type(Key),
    /// A key that means nothing here.
    Nothing(Key),
    /// A paste, as one insertion.
    Paste(String),
    /// A tap on something drawn.
    Tap(Target),
    /// The terminal has a new size.
    Size(u16, u16),
    /// Figures of a car came.
    Weighed {
        /// Car.
        slug: String,
        /// Which request they answer.
        ticket: u64,
        /// From a first short run.
        rough: bool,
        /// The figures.
        appraisal: Arc<Appraisal>,
    },
    /// What is most worth finding out about a car.
    FoundOut {
        /// Car.
        slug: String,
        /// Checks, the best first.
        found: Arc<FindOut>,
    },
    /// Two prices came, or why there are none.
    TwoPriced {
        /// What was asked about.
        about: About,
        /// For which check in order.
        at: usize,
        /// What came.
        came: Box<TwoCame>,
    },
    /// What would change the mind came.
    Minded {
        /// What was asked about.
        about: About,
        /// What came.
        mind: Arc<Mind>,
    },
    /// A comparison came.
    Compared {
        /// Which request it answers.
        ticket: u64,
        /// The comparison.
        comparison: Arc<Comparison>,
    },
    /// A new car is on the shelf, or why not.
    Added(Result<(String, Box<CarFile>), String>),
    /// The sample was copied to this place, or why not.
    Copied(Result<String, String>),
    /// The shelf was read anew.
    Loaded(Vec<Shelved>),
    /// Something was written, or why not.
    Wrote(Result<(), String>),
    /// Words to say.
    Said(String),
    /// The user's own editor was left, with this text or not at all.
    Edited(Result<String, String>),
    /// A file was read in, or why not.
    ReadIn(Result<ReadIn, String>),
    /// The tables with a change of the user's own, or why not.
    OwnTables(Result<Box<OwnTables>, String>),
    /// The clock and the notebook's standing.
    Standing(Standing, Access, DateTime),
}

/// What is to be done outside.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Write a car.
    Save(String),
    /// Write the buyer.
    SaveBuyer,
    /// Put a new car on the shelf.
    Add(Box<CarFile>),
    /// Move a car to the bin.
    Remove(String),
    /// Bring a car back.
    Restore(String),
    /// Put the samples on the shelf.
    Samples,
    /// Copy the open sample to the user's own place and go on there.
    CopySample,
    /// Weigh a car.
    Weigh {
        /// Car.
        slug: String,
        /// Number of the request.
        ticket: u64,
    },
    /// Work out what is most worth finding out about a car.
    FindOut {
        /// Car.
        slug: String,
    },
    /// Work out two prices tied to a check.
    TwoPrices {
        /// What is asked about.
        about: About,
        /// For which check in order.
        at: usize,
    },
    /// Work out what would change the mind.
    Mind {
        /// What is asked about.
        about: About,
    },
    /// Weigh the marked cars side by side.
    Compare {
        /// Number of the request.
        ticket: u64,
    },
    /// Put a text on the clipboard.
    Copy(Copied),
    /// Write a text to a file beside the cars.
    WriteText(Copied),
    /// Open a text in the user's own editor.
    Editor(String),
    /// Read a file in.
    ReadIn(String),
    /// Make a change of the user's own in the tables, or take it back.
    ChangeOwn(Box<OwnChange>),
    /// Leave.
    Quit,
    /// Suspend to the shell.
    Suspend,
    /// Draw everything anew.
    Redraw,
}

impl Effect {
    /// True if it writes to the notebook.
    #[must_use]
    pub fn writes(&self) -> bool {
        matches!(
            self,
            Self::Save(_)
                | Self::SaveBuyer
                | Self::Add(_)
                | Self::Remove(_)
                | Self::Restore(_)
                | Self::Samples
        )
    }
}
