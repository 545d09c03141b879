//! The screens through their own state: keys in, pictures out. No terminal, no clock, no files.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;

mod bounds;
mod bytes;
mod checks;
mod golden;
mod hidden;
mod journeys;
mod keys_act;
mod look;
mod random;
mod shelf_trouble;
mod side;
mod sizes;
mod talks;
mod walk;
mod whys;
