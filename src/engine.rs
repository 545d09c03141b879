//! What follows from the facts of a car and what the trade knows: chances, cash and hours, a limit, an offer, a place on the triangle.
//!
//! Pure: date, seed, tables and buyer are arguments; same input, same bytes. One stage a file.

pub mod amounts;
pub mod bits;
pub(crate) mod clusters;
pub(crate) mod components;
pub mod cover;
pub mod diagnosis;
pub(crate) mod evidence;
pub mod figures;
pub(crate) mod frontier;
pub(crate) mod hazard;
pub mod knowledge;
pub mod luck;
pub(crate) mod network;
pub mod normal;
pub(crate) mod reasons;
pub(crate) mod recursion;
pub mod sampler;
pub(crate) mod walk;
pub mod wear;

pub use figures::*;
pub use knowledge::Knowledge;
