//! How the program keeps pace: `cargo bench --bench pace` prints each figure beside its budget.
//!
//! The large cellar is made first, which takes half a minute; where `LEESLINE_LARGE` names a file, it is
//! made there once and used again. What is timed is the best of several runs for whole processes,
//! and 99 of 100 for keys.

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
mod keys;
mod large;
#[path = "../it/terminal.rs"]
mod terminal;

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use leesline::cellar::entry::Kind;
use leesline::store::{Filter, Store};

use beside::{Bare, ms, within};
use keys::Program;
use terminal::Terminal;

/// Runs of a whole process.
const RUNS: usize = 9;
/// Keys that only show, in turn: marks, why and back, help and back, the palette and back, the screens.
const SHOWING: [&str; 20] = [
    "j", "j", "l", "k", "G", "g", "w", "j", "\x1b", "?", "\x1b", ":", "\x1b", "2", "j", "3", "j",
    "4", "l", "1",
];
/// Rounds of them, and keys that write.
const ROUNDS: usize = 25;

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let large = large_cellar(folder.path());
    let demo = folder.path().join("demo.leesline");
    run(&["demo", "--file", terminal::text(&demo)]);

    whole_processes(&large);
    let bare = Bare::within(folder.path());
    for (name, cellar) in [("demo cellar", &demo), ("large cellar", &large)] {
        let copy = folder.path().join("copy.leesline");
        std::fs::copy(cellar, &copy).unwrap();
        pressing(name, &copy, &bare);
        std::fs::remove_file(copy).unwrap();
    }
    appending(&large, folder.path(), &bare);
    idling(&demo);
}

/// Where it is, made if need be.
fn large_cellar(folder: &Path) -> PathBuf {
    let named = std::env::var_os("LEESLINE_LARGE").map(PathBuf::from);
    let path = named.unwrap_or_else(|| folder.join("large.leesline"));
    if !path.exists() {
        large::make(&path);
    }
    path
}

fn whole_processes(cellar: &Path) {
    let (mut shell, mut frame, mut board) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..RUNS {
        shell.extend(beside::shell(cellar));
        frame.push(first_frame(cellar));
        board.push(run(&with(cellar, &["board"])));
    }
    let theirs = shell.iter().min().copied();
    let beside = |ours: &[Duration]| {
        let ours = *ours.iter().min().unwrap();
        match theirs {
            Some(theirs) => format!(
                "{:.0} ms, {:.1} × the shell's {:.0} ms",
                ms(ours),
                ours.as_secs_f64() / theirs.as_secs_f64(),
                ms(theirs)
            ),
            None => format!("{:.0} ms, and no sqlite3 shell here", ms(ours)),
        }
    };
    figure(
        "large cellar, start to first frame",
        &beside(&frame),
        "2 × the shell",
    );
    figure("large cellar, `board`", &beside(&board), "");
    let check = (0..3)
        .map(|_| run(&with(cellar, &["check"])))
        .min()
        .unwrap();
    figure(
        "large cellar, `check`",
        &format!("{:.2} s", check.as_secs_f64()),
        "2 s",
    );
}

/// From the start of the process to the board's own words on the screen.
fn first_frame(cellar: &Path) -> Duration {
    let begun = Instant::now();
    let mut program = Terminal::start(120, 40, &with(cellar, &[]), &[]);
    program.see("Carboy");
    let taken = begun.elapsed();
    program.press("q");
    program.end();
    taken
}

/// Keys that show and a key that writes, each to its frame; the memory that took.
fn pressing(name: &str, cellar: &Path, bare: &Bare) {
    let mut program = Program::start(&with(cellar, &[]));
    program.settle();
    let (mut showing, mut bytes) = (Vec::new(), Vec::new());
    for key in (0..ROUNDS).flat_map(|_| SHOWING) {
        let (taken, length) = program.press(key);
        showing.push(taken);
        bytes.push(length);
    }
    // A cellar round needs nothing filled in: one key opens its form, the next writes it.
    let before = rounds(cellar);
    let (mut writing, mut commits) = (Vec::new(), Vec::new());
    for _ in 0..2 * ROUNDS {
        program.press("R");
        writing.push(program.press("\r").0);
        commits.push(bare.commit());
    }
    assert_eq!(
        rounds(cellar) - before,
        writing.len(),
        "not every key wrote"
    );
    figure(
        &format!("{name}, key to frame, 99 of 100"),
        &format!(
            "{:.1} ms (half of them {:.1})",
            ms(within(0.99, &showing)),
            ms(within(0.5, &showing))
        ),
        "4 ms",
    );
    let (write, commit) = (within(0.99, &writing), within(0.99, &commits));
    figure(
        &format!("{name}, key that writes, 99 of 100"),
        &format!(
            "{:.1} ms (half of them {:.1}), bare commit {:.1}",
            ms(write),
            ms(within(0.5, &writing)),
            ms(commit)
        ),
        &format!("4 ms + a bare commit = {:.1} ms", ms(commit) + 4.0),
    );
    let total: usize = bytes.iter().sum();
    figure(
        &format!("{name}, bytes a key"),
        &format!(
            "{} on average, {} at most",
            total / bytes.len(),
            bytes.iter().max().unwrap()
        ),
        "",
    );
    if let Some(memory) = program.most_memory_mib() {
        figure(
            &format!("{name}, memory at most"),
            &format!("{memory:.0} MiB"),
            "40 MiB",
        );
    }
    program.leave();
}

/// Cellar rounds in the book.
fn rounds(cellar: &Path) -> usize {
    let filter = Filter {
        kind: Some(Kind::Round),
        ..Filter::default()
    };
    Store::open(cellar).unwrap().entries(&filter).unwrap().len()
}

/// Single readings appended to the large cellar, each with its commit.
fn appending(cellar: &Path, folder: &Path, bare: &Bare) {
    let copy = folder.join("copy.leesline");
    std::fs::copy(cellar, &copy).unwrap();
    let mut store = Store::open(&copy).unwrap();
    let (mut ours, mut commits) = (Vec::new(), Vec::new());
    for draft in large::readings(&store).iter().take(100) {
        let begun = Instant::now();
        store.append(draft, large::CLOCK).unwrap();
        ours.push(begun.elapsed());
        commits.push(bare.commit());
    }
    let (ours, commit) = (within(0.5, &ours), within(0.5, &commits));
    figure(
        "large cellar, appends a second",
        &format!(
            "{:.0}, {:.1} × a bare commit",
            1.0 / ours.as_secs_f64(),
            ours.as_secs_f64() / commit.as_secs_f64()
        ),
        "",
    );
}

/// Ten seconds without a key: the file is asked for changes every two, and nothing else.
fn idling(cellar: &Path) {
    let mut program = Program::start(&with(cellar, &[]));
    program.settle();
    let before = program.wakings();
    std::thread::sleep(Duration::from_secs(10));
    if let (Some(before), Some(after)) = (before, program.wakings()) {
        figure(
            "idle for 10 s, threads woken",
            &format!("{} times", after - before),
            "5 times",
        );
    }
    program.leave();
}

/// Runs the program to its end, and gives how long that took.
fn run(arguments: &[&str]) -> Duration {
    let begun = Instant::now();
    let status = Command::new(env!("CARGO_BIN_EXE_leesline"))
        .args(arguments)
        .stdout(Stdio::null())
        .status()
        .unwrap();
    assert!(status.success(), "{arguments:?}");
    begun.elapsed()
}

/// Arguments for a cellar on the large cellar's day.
fn with<'a>(cellar: &'a Path, verb: &[&'a str]) -> Vec<&'a str> {
    [
        &["--cellar", terminal::text(cellar), "--today", large::TODAY],
        verb,
    ]
    .concat()
}

fn figure(what: &str, measured: &str, budget: &str) {
    println!("{what:<42} {measured:<44} {budget}");
}
