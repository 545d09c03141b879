//! What the trade knows: tables embedded in the program, the user's overlays over them, their checks, typed look-ups.
//!
//! Uses the car layer only. No clock, files, environment, printing or threads: overlay texts are passed in.

#![deny(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    clippy::disallowed_types
)]

pub mod check;
pub mod code;
pub mod derive;
pub mod limits;
pub mod load;
pub mod own;
pub mod rows;
pub mod settings;
pub mod tables;

pub use check::{TableProblem, check};
pub use derive::DerivedLinks;
pub use load::{EMBEDDED, Overlay, TableError, TableTexts};
pub use own::{FigureKind, Own, OwnChange, OwnFigure};
pub use rows::*;
pub use settings::{Block, Gate};
pub use tables::Tables;
