//! What follows from the facts of a car and what the trade knows: chances, cash and hours, a limit, an offer, a place on the triangle.
//!
//! Pure: date, seed, tables and buyer are arguments; same input, same bytes. One stage a file.

pub mod belief;
pub mod beta;
pub mod dollars;
pub mod figures;
pub mod floor;
pub mod house_rules;
pub mod ladder;
pub mod luck;
pub mod offer;
pub mod pace;
pub mod pert;
pub mod seller;
pub mod shrunk;
pub mod triangle;
pub mod worth;

pub use figures::*;
