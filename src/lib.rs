//! What a cheap, faulty car is worth to someone with a wrench.
//!
//! The map of the house, lowest layer first. A file names only layers below its own (`tests/suite/architecture.rs`).
//!
//! - [`car`]: the facts of one car and its buyer.
//! - [`trade`]: what the trade knows, as tables.
//! - [`engine`]: what follows from both.
//! - [`report`]: numbers become words.
//! - [`cli`]: arguments; clock, paths and environment are read here.
//! - [`store`]: car files on disk; names [`car`] only.
//! - [`tui`]: the screens.

pub mod car;
pub mod cli;
pub mod engine;
pub mod report;
pub mod store;
pub mod trade;
pub mod tui;
