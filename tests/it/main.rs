//! Journeys in a real terminal, the command line, and the house itself: one test program.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on fails where it stands"
)]

mod again;
mod bottling;
mod cli;
mod demo;
mod house;
mod journeys;
mod program;
mod readme;
mod screen;
mod terminal;
mod year;
mod year_screen;
