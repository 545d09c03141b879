//! The screens: pure update and view over plain state, one impure file that performs effects, one that owns the terminal.

pub mod geometry;
pub mod glyphs;
pub mod ports;
pub mod say;
pub mod theme;
