//! What a cheap, faulty car is worth to someone with a wrench.
//!
//! The map of the house, lowest layer first. A file names only layers below its own (`tests/architecture.rs`).
//!
//! - [`car`]: the facts of one car and its buyer.
//! - [`trade`]: what the trade knows, as tables.
//! - [`engine`]: what follows from both.
//! - [`store`]: car files on disk; names [`car`] only.

pub mod car;
pub mod engine;
pub mod store;
pub mod trade;
