//! A bottling in a real terminal: what was counted is on disk, whatever becomes of the program.

use std::time::Duration;

use crate::demo::Demo;
use crate::program::leesline;
use crate::terminal::{Terminal, text};

#[test]
fn what_was_counted_survives_a_kill_and_the_count_goes_on_where_it_stopped() {
    let demo = Demo::new();

    let mut terminal = demo.open(80, 24);
    terminal.press("5").see("From which vessel?");
    terminal.press("\r").see("All is answered yes.");
    terminal.press(" ").see("from Carboy B.");
    terminal.press(" ").see("> Gather");
    terminal.press(" ").see("> Wash");
    terminal.press(" ").see("> Sanitise");
    terminal.signal("KILL");

    let mut terminal = demo.open(80, 24);
    terminal.see("NEEDS YOU").press("5").see("> Sanitise");
    // Nobody waits ten minutes here, so it asks.
    terminal.press(" ").see("Bottles stay wet until");
    terminal.read().press(" ").see("> Dose");
    terminal.press(" ").see("to go  25 of 750 mL");
    terminal.press("#12\r").see("to go  13 of 750 mL");
    terminal.press(" ").see("to go  12 of 750 mL");
    terminal.signal("KILL");
    let due = demo.says(&["due"]);
    assert!(
        due.contains("bottling under way: 13 bottles filled"),
        "{due}"
    );

    let mut terminal = demo.open(80, 24);
    terminal.see("bottling under way: 13").press("5");
    terminal.see("to go  12 of 750 mL");
    // Far more than is left in the vessel.
    terminal.press("#90\r").see("Carboy B held");
    terminal.press("\x1b").see("NEEDS YOU").press("5");
    terminal.see("to go  12 of 750 mL").press("\r");
    terminal.see("What is left").press("\r");
    terminal.see("It adds up.").press("\r");
    terminal.see("NEEDS YOU").press("q");
    assert!(terminal.end().success());
    let bottles = demo.says(&["bottles"]);
    // Of another run as many may be drunk.
    let solaris = bottles.lines().find(|it| it.starts_with("Solaris 25"));
    assert!(
        solaris.is_some_and(|it| it.contains("  13 × 750 mL")),
        "{bottles}"
    );
    // It exits with 3 where it finds a fault.
    demo.says(&["check"]);
}

/// A whole session with the program killed after each of its keys, and once more while a key is still under way: what
/// was acknowledged is there, nothing is counted twice, and it opens where it was.
#[test]
fn a_session_killed_at_every_key_loses_nothing_and_counts_nothing_twice() {
    let demo = Demo::new();

    let mut terminal = demo.open(80, 24);
    terminal
        .press("5")
        .see("From which vessel?")
        .press("\r")
        .see("All is answered yes.");
    terminal.press(" ").see("from Carboy B.");
    // Each key of the session and what the screen then says; until the run has begun nothing is kept.
    let session = [
        ("\r", "> Gather"),
        (" ", "> Wash"),
        (" ", "> Sanitise"),
        // It asks, since nobody waits ten minutes here.
        (" ", "> Dose"),
        (" ", "to go  25 of 750 mL"),
        (" ", "to go  24 of 750 mL"),
        (" ", "to go  23 of 750 mL"),
        ("\x7f", "to go  24 of 750 mL"),
        ("#20\r", "to go  4 of 750 mL"),
        ("c\r", "1 closure refused"),
        ("b\r", "1 broken"),
        ("x\r", "100 mL spilled"),
        ("d\r", "100 mL drawn"),
        (" ", "to go  2 of 750 mL"),
    ];
    for (keys, then) in session {
        if then == "> Dose" {
            terminal.press(keys).see("Bottles stay wet until").read();
        }
        terminal.press(keys).see(then);
        terminal.signal("KILL");
        demo.says(&["check"]);
        terminal = demo.open(80, 24);
        terminal.press("5").see(then);
    }
    let counted = || -> i64 {
        let due = demo.says(&["due"]);
        let words = due
            .split("bottling under way: ")
            .nth(1)
            .expect("it is under way");
        words.split(' ').next().unwrap().parse().unwrap()
    };
    let mut before = counted();
    assert_eq!(before, 21, "1 + 20 − 1 broken + 1");
    for _ in 0..2 {
        // Killed before anyone could see: the bottle is counted once or not at all.
        terminal.press(" ");
        terminal.signal("KILL");
        demo.says(&["check"]);
        let after = counted();
        assert!(
            after == before || after == before + 1,
            "{before} became {after}"
        );
        before = after;
        terminal = demo.open(80, 24);
        terminal.press("5").see("of 750 mL");
    }
    terminal
        .press("\r")
        .see("What is left")
        .press("\r")
        .see("It adds up.");
    terminal.signal("KILL");
    demo.says(&["check"]);
    let bottles = demo.says(&["bottles"]);
    assert!(
        bottles.contains(&format!("  {before} × 750 mL")),
        "{bottles}"
    );
}

/// A timer set elsewhere shows on any screen, and rings the bell once; it runs on while the program is closed.
#[test]
fn a_timer_runs_on_every_screen_and_rings_once() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("demo.leesline");
    let file = text(&file);
    let does = |arguments: &[&str]| {
        let done = leesline()
            .args(["--cellar", file])
            .args(arguments)
            .output()
            .unwrap();
        assert!(done.status.success(), "{arguments:?}");
    };
    assert!(
        leesline()
            .args(["demo", "--file", file])
            .output()
            .unwrap()
            .status
            .success()
    );
    let open = || {
        let mut terminal = Terminal::start(120, 24, &["--cellar", file], &[]);
        terminal.see("NEEDS YOU");
        terminal
    };
    let mut terminal = open();
    // Five seconds: time enough to see it run.
    does(&["timer", "3", "--for", "settle"]);
    does(&["timer", "0.09", "--for", "eggs"]);
    terminal.see("eggs: 1 min +1");
    terminal.press("3").see("eggs: 1 min +1");
    // The bell comes with the frame that says so, and no other.
    terminal.see("eggs: time is up").press("1").see("NEEDS YOU");
    let bells = terminal.bytes().split(|it| *it == 7).count() - 1;
    assert_eq!(bells, 1);
    terminal.press("q");
    assert!(terminal.end().success());
    let mut terminal = open();
    terminal.see("eggs: time is up").press("q");
    assert!(!terminal.bytes().contains(&7));
    does(&["timer", "0"]);
    let mut terminal = open();
    terminal.miss("eggs").press("q");
}

/// How often the bell was rung.
fn bells(terminal: &Terminal) -> usize {
    terminal.bytes().split(|it| *it == 7).count() - 1
}

/// It was up while the program was shut: it rings and is told as that is opened, and never again. Where two windows are open one of
/// them rings.
#[test]
fn a_timer_that_ran_out_while_the_program_was_shut_rings_once_as_it_opens() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("demo.leesline");
    let file = text(&file);
    let does = |arguments: &[&str]| {
        let done = leesline().args(arguments).output().unwrap();
        assert!(done.status.success(), "{arguments:?}");
    };
    does(&["demo", "--file", file]);
    let open = || Terminal::start(120, 24, &["--cellar", file], &[]);
    does(&["--cellar", file, "timer", "0.01", "--for", "eggs"]);
    std::thread::sleep(Duration::from_secs(1));
    let mut terminal = open();
    terminal.see("eggs: time was up at");
    // The bell comes with a frame: by the next it was heard.
    terminal
        .press("3")
        .see("Measured")
        .press("1")
        .see("NEEDS YOU");
    assert_eq!(bells(&terminal), 1);
    terminal.press("q");
    assert!(terminal.end().success());
    let mut terminal = open();
    terminal.see("NEEDS YOU").press("3").see("Measured");
    terminal.miss("time was up at");
    assert_eq!(bells(&terminal), 0);
    terminal.press("q");
    let (mut one, mut other) = (open(), open());
    one.see("NEEDS YOU");
    other.see("NEEDS YOU");
    does(&["--cellar", file, "timer", "0.09", "--for", "soak"]);
    for terminal in [&mut one, &mut other] {
        terminal.see("soak: time is up").press("3").see("Measured");
        terminal.press("1").see("NEEDS YOU");
    }
    assert_eq!(bells(&one) + bells(&other), 1);
}
