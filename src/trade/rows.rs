//! The shape of every table: one struct a row, unknown fields refused.
//!
//! A figure written `[low, likely, high]` is a [`ThreePoint`](crate::car::ThreePoint); money in tables is US dollars of the row's `as_of`
//! year for an ordinary mid-size car. Hours are garage hours. Chances are shares, 0 to 1.

mod codes;
mod faults;
mod ids;
mod limits;
mod others;
mod purposes;
mod repairs;
mod signs;

pub use codes::*;
pub use faults::*;
pub use ids::*;
pub use limits::*;
pub use others::*;
pub use purposes::*;
pub use repairs::*;
pub use signs::*;
