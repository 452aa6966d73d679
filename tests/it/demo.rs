//! The demo cellar in a file of its own, for tests that open the terminal program on it and look into it meanwhile.

use std::path::PathBuf;

use crate::program::leesline;
use crate::terminal::{Terminal, text};

const TODAY: [&str; 2] = ["--today", "2026-11-25"];

/// A demo cellar of its own, gone with the folder.
pub(crate) struct Demo {
    _folder: tempfile::TempDir,
    file: PathBuf,
}

impl Demo {
    pub(crate) fn new() -> Demo {
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

    /// The terminal program on it, with the board on the screen.
    pub(crate) fn open(&self, columns: u16, rows: u16) -> Terminal {
        let [today, day] = TODAY;
        let arguments = [today, day, "--cellar", text(&self.file)];
        let mut terminal = Terminal::start(columns, rows, &arguments, &[]);
        terminal.see("NEEDS YOU").see("Cellar ");
        terminal
    }

    /// What a verb prints on the same file.
    pub(crate) fn says(&self, arguments: &[&str]) -> String {
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
