//! Killed at any moment, and several at once: what was said to be written is there, and nothing
//! half of it.

use std::collections::BTreeSet;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use super::Cellar;

/// Starts writing a note.
fn note(cellar: &Cellar, words: &str) -> Child {
    Command::new(env!("CARGO_BIN_EXE_leesline"))
        .args(["--cellar", &cellar.file(), "note", words])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// The notes in the book.
fn notes(cellar: &Cellar) -> BTreeSet<String> {
    let book = cellar.json(&["book"]);
    let entries = book["entries"].as_array().unwrap();
    let notes = entries.iter().filter(|it| it["kind"] == "note");
    notes
        .map(|it| it["note"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn nothing_that_was_said_to_be_written_is_lost_when_killed() {
    let cellar = Cellar::new();
    let begun = Instant::now();
    assert!(note(&cellar, "undisturbed").wait().unwrap().success());
    let whole = begun.elapsed();
    let mut said = BTreeSet::from(["undisturbed".to_owned()]);
    // From at once to a little after it would have been done.
    for percent in (0..120).step_by(3) {
        let words = format!("killed at {percent} %");
        let mut writing = note(&cellar, &words);
        std::thread::sleep(whole * percent / 100);
        // It may have ended by itself.
        let _ = writing.kill();
        let output = writing.wait_with_output().unwrap();
        if !output.stdout.is_empty() {
            said.insert(words);
        }
    }
    let there = notes(&cellar);
    assert!(said.is_subset(&there), "said {said:?}, there {there:?}");
    cellar.done(&["check"]);
}

#[test]
fn several_that_write_at_once_wait_for_one_another() {
    let cellar = Cellar::new();
    let words: BTreeSet<String> = (0..8).map(|it| format!("writer {it}")).collect();
    let writers: Vec<Child> = words.iter().map(|it| note(&cellar, it)).collect();
    for writer in writers {
        let output = writer.wait_with_output().unwrap();
        let told = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.success(), "{told}");
    }
    assert_eq!(notes(&cellar), words);
    cellar.done(&["check"]);
}

#[test]
fn reading_does_not_wait_for_a_writer() {
    let cellar = Cellar::new();
    let other = rusqlite::Connection::open(cellar.file()).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let begun = Instant::now();
    cellar.done(&["board"]);
    assert!(begun.elapsed() < Duration::from_secs(5));
}

#[test]
fn a_file_that_was_cut_short_is_a_fault_found() {
    let cellar = Cellar::demo();
    let whole = std::fs::metadata(cellar.file()).unwrap().len();
    for part in [2, 3, 10] {
        let cut = std::fs::OpenOptions::new().write(true).open(cellar.file());
        cut.unwrap().set_len(whole / part).unwrap();
        cellar.check_refused(&["check"], 3, "leesline restore");
    }
}

#[test]
#[cfg(unix)]
fn a_limit_on_the_size_of_files_refuses_in_a_sentence() {
    let cellar = Cellar::new();
    let blocks = std::fs::metadata(cellar.file()).unwrap().len() / 512;
    let words = "words ".repeat(9_000);
    let output = Command::new("sh")
        .arg("-c")
        .arg(format!("ulimit -f {blocks}; exec \"$@\""))
        .args(["sh", env!("CARGO_BIN_EXE_leesline")])
        .args(["--cellar", &cellar.file(), "jot", &words])
        .output()
        .unwrap();
    let told = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{told}");
    assert!(output.stdout.is_empty());
    assert_eq!(told.lines().count(), 1, "{told}");
    assert!(told.contains("nothing was changed"), "{told}");
    cellar.done(&["check"]);
}
