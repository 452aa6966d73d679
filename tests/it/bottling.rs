//! A bottling in a real terminal: what was counted is on disk, whatever becomes of the program.

use crate::program::leesline;
use crate::terminal::{Terminal, text};

const TODAY: [&str; 2] = ["--today", "2026-11-25"];

fn open(file: &str) -> Terminal {
    let [today, day] = TODAY;
    let arguments = [today, day, "--cellar", file];
    let mut terminal = Terminal::start(80, 24, &arguments, &[]);
    terminal.see("NEEDS YOU");
    terminal
}

fn says(file: &str, arguments: &[&str]) -> String {
    let said = leesline()
        .args(TODAY)
        .args(["--cellar", file])
        .args(arguments)
        .output()
        .unwrap();
    assert!(said.status.success(), "{arguments:?}");
    String::from_utf8(said.stdout).unwrap()
}

#[test]
fn what_was_counted_survives_a_kill_and_the_count_goes_on_where_it_stopped() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("demo.leesline");
    let file = text(&file);
    let written = leesline()
        .args(TODAY)
        .args(["demo", "--file", file])
        .output()
        .unwrap();
    assert!(written.status.success());

    let mut terminal = open(file);
    terminal.press("5").see("From which vessel?");
    terminal.press("\r").see("All is answered yes.");
    terminal.press(" ").see("from Carboy B.");
    terminal.press(" ").see("> Gather");
    terminal.press(" ").see("> Sanitise");
    terminal.signal("KILL");

    let mut terminal = open(file);
    terminal.see("NEEDS YOU").press("5").see("> Sanitise");
    terminal.press(" ").see("> Dose");
    terminal.press(" ").see("to go  25 of 750 mL");
    terminal.press("#12\r").see("to go  13 of 750 mL");
    terminal.press(" ").see("to go  12 of 750 mL");
    terminal.signal("KILL");
    let due = says(file, &["due"]);
    assert!(
        due.contains("bottling under way: 13 bottles filled"),
        "{due}"
    );

    let mut terminal = open(file);
    terminal.see("bottling under way: 13").press("5");
    terminal.see("to go  12 of 750 mL");
    // Far more than is left in the vessel.
    terminal.press("#90\r").see("Carboy B holds");
    terminal.press("\x1b").see("NEEDS YOU").press("5");
    terminal.see("to go  12 of 750 mL").press("\r");
    terminal.see("What is left").press("\r");
    terminal.see("It adds up to the microlitre.").press("\r");
    terminal.see("NEEDS YOU").press("q");
    assert!(terminal.end().success());
    let bottles = says(file, &["bottles"]);
    let solaris = bottles.lines().find(|it| it.contains("13"));
    assert!(solaris.is_some(), "{bottles}");
    // It exits with 3 where it finds a fault.
    says(file, &["check"]);
}
