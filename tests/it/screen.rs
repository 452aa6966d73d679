//! The terminal program in a real terminal, on a cellar file that others look into.

use std::path::PathBuf;

use crate::program::leesline;
use crate::terminal::{Terminal, text};

/// A demo cellar of its own, gone with the folder.
struct Demo {
    _folder: tempfile::TempDir,
    file: PathBuf,
}

const TODAY: [&str; 2] = ["--today", "2026-11-25"];

impl Demo {
    fn new() -> Demo {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("demo.leesline");
        let written = leesline()
            .args(TODAY)
            .args(["demo", "--file", text(&file)])
            .output()
            .unwrap();
        assert!(written.status.success());
        Demo {
            _folder: folder,
            file,
        }
    }

    fn open(&self) -> Terminal {
        let [today, day] = TODAY;
        let arguments = [today, day, "--cellar", text(&self.file)];
        let mut terminal = Terminal::start(100, 30, &arguments, &[]);
        terminal.see("NEEDS YOU").see("Cellar ");
        terminal
    }

    /// What a verb prints on the same file.
    fn says(&self, arguments: &[&str]) -> String {
        let said = leesline()
            .args(TODAY)
            .args(["--cellar", text(&self.file)])
            .args(arguments)
            .output()
            .unwrap();
        assert!(said.status.success(), "{arguments:?}");
        String::from_utf8(said.stdout).unwrap()
    }
}

#[test]
fn stopped_for_a_moment_it_draws_again() {
    let demo = Demo::new();
    let mut terminal = demo.open();
    terminal.signal("TSTP").miss("NEEDS YOU");
    terminal.signal("CONT").see("NEEDS YOU");
    terminal.press("?").see("Keys: Board").press("q");
    assert!(terminal.end().success());
}

#[test]
fn a_paste_is_no_command() {
    let demo = Demo::new();
    let mut terminal = demo.open();
    terminal
        .press("\x1b[200~q\rq\r\x1b[201~?")
        .see("Keys: Board");
    terminal.press("q");
    assert!(terminal.end().success());
}

#[test]
fn a_quick_form_is_on_disk_before_the_screen_says_so() {
    let demo = Demo::new();
    let mut terminal = demo.open();
    terminal.press("J").see("Line").press("smells of pears");
    terminal
        .see("Jotted.")
        .press("\r")
        .see("√ Jotted: smells of pears.");
    terminal.signal("KILL");
    assert!(demo.says(&["book"]).contains("smells of pears"));
}

#[test]
fn what_another_program_writes_shows_by_itself() {
    let demo = Demo::new();
    let mut terminal = demo.open();
    terminal.press("3").see("1 Board");
    terminal.miss("written elsewhere");
    demo.says(&["jot", "written elsewhere"]);
    terminal.see("written elsewhere").press("q");
    assert!(terminal.end().success());
}

#[test]
fn a_tasting_is_on_disk_in_under_ten_keys() {
    let demo = Demo::new();
    let mut program = demo.open();
    // The marked line is about Carboy A: `t`, five letters, Enter.
    let keys = ["t", "p", "e", "a", "c", "h", "\r"];
    assert!(keys.len() < 10);
    program.press(keys[0]).see("Words");
    for key in &keys[1..6] {
        program.press(key);
    }
    program
        .see("peach")
        .press(keys[6])
        .see("Tasted Carboy A: peach");
    assert!(demo.says(&["tastings", "Carboy A"]).contains("peach"));
    program.press("q");
    program.end();
}
