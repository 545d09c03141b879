//! What follows from the facts of a car and what the trade knows: chances, cash and hours, a limit, an offer, a place on the triangle.
//!
//! Pure: date, seed, tables and buyer are arguments; same input, same bytes. One stage a file.

#![deny(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    clippy::disallowed_types
)]

pub mod amounts;
pub mod appraise;
pub(crate) mod assumptions;
pub mod belief;
pub mod beta;
pub mod bits;
pub mod chances;
pub(crate) mod choice;
pub(crate) mod clusters;
pub mod compare;
pub(crate) mod components;
pub mod cover;
pub mod curve;
pub mod diagnosis;
pub mod draws;
pub(crate) mod evidence;
pub mod fault_figures;
pub mod figures;
pub mod find_out;
pub mod findings;
pub mod fit_out;
pub mod floor;
pub(crate) mod frontier;
pub(crate) mod grid;
pub(crate) mod hazard;
pub mod house_rules;
pub mod jobs;
pub mod journey;
pub mod knowledge;
pub mod ladder;
pub mod limit;
pub mod luck;
mod needed;
pub(crate) mod network;
pub mod normal;
pub mod offer;
pub(crate) mod ordinary;
pub mod pace;
pub mod papers;
pub mod pert;
pub mod preference;
pub(crate) mod pricer;
pub(crate) mod prices;
pub mod readings;
pub(crate) mod reasons;
pub(crate) mod recursion;
pub mod replaced;
pub mod replan;
pub(crate) mod reply;
pub mod routes;
pub(crate) mod rules_stage;
pub mod rungs;
pub mod sampler;
pub mod scan;
pub mod seller;
mod shared_tools;
pub mod shrunk;
pub mod stops;
pub(crate) mod supposed;
pub mod talk_log;
pub(crate) mod trace_build;
pub mod triangle;
pub mod two_prices;
pub(crate) mod verdict;
pub(crate) mod walk;
pub mod walkaround;
pub mod wear;
pub(crate) mod weighing;
pub mod worth;

pub use figures::*;
pub use knowledge::Knowledge;
