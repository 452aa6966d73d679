//! What a person at the keys of the terminal program does, step by step, seeing each on the screen.

use std::time::Duration;

use crate::terminal::Terminal;

/// Enter, Tab and the key that empties a field.
pub(super) const ENTER: &str = "\r";
pub(super) const TAB: &str = "\t";
const EMPTY: &str = "\x15";
/// From one bottle to the next: what comes faster than a hand is taken for a key held down.
const A_BOTTLE: Duration = Duration::from_millis(250);

/// What a person at the keys does.
pub(super) struct Keys {
    pub(super) terminal: Terminal,
}

impl Keys {
    /// Opens a form by its key on the board, fills it and writes it.
    pub(super) fn writes(&mut self, key: &str, fields: &str, said: [&str; 2]) {
        self.terminal.press(key);
        self.fill(fields, said);
    }

    /// The same from the palette, by the verb's name; the form bears it as its title.
    pub(super) fn names(&mut self, verb: &str, fields: &str, said: [&str; 2]) {
        self.terminal.press(":").see("Anything by name");
        let title = verb[..1].to_uppercase() + &verb[1..].replace('-', " ");
        self.terminal.press(verb).press(ENTER);
        self.terminal.see(&format!("╭ {title} ─"));
        self.fill(fields, said);
    }

    /// Fills the form that opens, `Label: text | Label: text`, sees what it would write, says yes
    /// where it asks, and sees what is written as the book tells it.
    pub(super) fn fill(&mut self, fields: &str, said: [&str; 2]) {
        self.terminal.until("a form", |it| marked(it).is_some());
        for field in fields.split(" | ") {
            let (label, typed) = field.split_once(": ").unwrap();
            self.go_to(label);
            self.terminal.press(EMPTY).press(typed);
            let shows = |row: &str| is_of(row, label) && row.contains(typed);
            self.terminal.until(&format!("{typed} in {label}"), |it| {
                marked(it).is_some_and(|(_, row)| shows(row))
            });
        }
        let asks = "writes it all the same";
        let [sentence, told] = said;
        let written = format!("√ {told}");
        let is_written = |it: &str| it.contains(&written) && marked(it).is_none();
        self.terminal.see(sentence).press(ENTER);
        self.terminal
            .until(&written, |it| it.contains(asks) || is_written(it));
        if self.terminal.screen().contains(asks) {
            self.terminal.press(ENTER).until(&written, is_written);
        }
    }

    /// Presses Tab until the mark is on that label.
    fn go_to(&mut self, label: &str) {
        for _ in 0..40 {
            let screen = self.terminal.screen();
            let before = marked(&screen);
            if before.is_some_and(|(_, row)| is_of(row, label)) {
                return;
            }
            let has_moved =
                |it: &str| marked(it).is_some_and(|(at, _)| Some(at) != before.map(|it| it.0));
            self.terminal
                .press(TAB)
                .until("the mark to move", has_moved);
        }
        panic!("no field {label} in\n{}", self.terminal.screen());
    }

    /// A bottle is full and closed; the screen counts it.
    pub(super) fn tap(&mut self, key: &str, to_go: &str) {
        std::thread::sleep(A_BOTTLE);
        self.terminal.press(key).see(to_go);
    }

    pub(super) fn leave(mut self) {
        self.terminal.press("q");
        assert!(self.terminal.end().success());
    }
}

/// The marked line of a form, without its mark, and the row it stands in.
fn marked(screen: &str) -> Option<(usize, &str)> {
    screen.lines().enumerate().find_map(|(at, line)| {
        let (_, rest) = line.split_once("│ ▌")?;
        Some((at, rest.trim_start_matches(['!', ' '])))
    })
}

/// Whether a line of a form is the field of that label.
fn is_of(row: &str, label: &str) -> bool {
    row.strip_prefix(label)
        .is_some_and(|it| it.starts_with("  "))
}

/// The marked line of a list that fills the screen.
pub(super) fn in_list(screen: &str) -> Option<&str> {
    screen.lines().find_map(|it| it.strip_prefix('▌'))
}
