//! Leesline, a cellar dashboard for the terminal.
//!
//! The modules stand in reading order: `cellar` is the pure domain, `store` the only SQL,
//! `exchange` bytes in and out, `cli` and `tui` the two faces.

pub mod cellar;
pub mod store;

pub mod exchange;

pub mod cli;
pub mod tui;
