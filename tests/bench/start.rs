//! Whole-process figures as ratios: `cargo bench --bench start` prints them.
//!
//! Start to first frame on the demo cellar, beside the `sqlite3` shell answering the board's
//! question on the same file. Both are timed from the start of the process; the medians of many
//! runs taken in turn, so that whatever else the machine does falls on both.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints, and stops where it can't go on"
)]
#![allow(
    dead_code,
    reason = "the terminal is the tests' own, and what stands beside serves two benches; each uses part of it"
)]

mod beside;
#[path = "../it/terminal.rs"]
mod terminal;

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use beside::{ms, shell, within};
use terminal::Terminal;

/// Runs of each, in turn.
const RUNS: usize = 25;

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let cellar = folder.path().join("demo.leesline");
    let wrote = Command::new(env!("CARGO_BIN_EXE_leesline"))
        .args(["demo", "--file", terminal::text(&cellar)])
        .stdout(Stdio::null())
        .status()
        .unwrap();
    assert!(wrote.success(), "the demo cellar could not be written");
    if shell(&cellar).is_none() {
        println!("start to first frame: no sqlite3 shell on this machine to measure beside");
        return;
    }
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        ours.push(first_frame(&cellar));
        theirs.extend(shell(&cellar));
    }
    let (ours, theirs) = (within(0.5, &ours), within(0.5, &theirs));
    println!(
        "start to first frame, demo cellar, 120x40   {:>7.1} ms",
        ms(ours)
    );
    println!(
        "sqlite3 shell, the board's question         {:>7.1} ms",
        ms(theirs)
    );
    println!(
        "ratio                                       {:>7.2}",
        ours.as_secs_f64() / theirs.as_secs_f64()
    );
}

/// From the start of the process to the board's own words on the screen.
fn first_frame(cellar: &Path) -> Duration {
    let begun = Instant::now();
    let mut program = Terminal::start(120, 40, &["--cellar", terminal::text(cellar)], &[]);
    program.see("Quarry Row");
    let taken = begun.elapsed();
    program.press("q");
    program.end();
    taken
}
