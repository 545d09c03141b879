//! The screens: pure update and view over plain state, one impure file that performs effects, one that owns the terminal.
//!
//! - [`app`]: all state, `update(action) -> effects`. [`screens`] and [`overlay`] hold what is theirs.
//! - [`keys`]: one table; look-up, key line and help come from it.
//! - [`draw`]: `draw(app, look, buffer)`, one region a file. [`geometry`] is the arithmetic under it.
//! - [`perform`]: calls the shelf and the engine through [`ports`]. [`terminal`]: raw mode, signals, the loop.

pub mod acts;
pub mod advert;
pub mod app;
pub mod copy;
pub mod data;
pub mod draw;
pub mod forms;
pub mod geometry;
pub mod glyphs;
pub mod keys;
pub mod layout;
pub mod overlay;
pub mod perform;
pub mod ports;
pub mod say;
pub mod screens;
pub mod terminal;
pub mod theme;
pub mod typed;
