//! The real program in a real terminal of the system's, read back by another program's idea of a terminal (crate
//! vt100): keys in, bytes and pictures and exit codes out. Every key is awaited by what it shows, never by time.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bytes;
mod driving;
mod hiding;
mod leaving;
mod outside;
mod place;
mod shelf;
mod sizes;
mod terminal;
