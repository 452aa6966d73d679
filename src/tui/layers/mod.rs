//! What is laid over a screen and taken away again with Esc.

pub mod charts;
pub mod detail;
pub mod entry;
pub mod form;
pub mod help;
mod listed;
pub mod palette;
pub mod plan;
pub mod put_off;
mod seek;
pub mod thresholds;
pub mod trouble;
pub mod undo;
pub mod what_if;
pub mod why;
