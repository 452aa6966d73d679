//! The terminal program in a real terminal, on a cellar file that others look into.

use crate::demo::Demo;

#[test]
fn stopped_for_a_moment_it_draws_again() {
    let demo = Demo::new();
    let mut terminal = demo.open(100, 30);
    terminal.signal("TSTP").miss("NEEDS YOU");
    terminal.signal("CONT").see("NEEDS YOU");
    terminal.press("?").see("Keys: Board").press("q");
    assert!(terminal.end().success());
}

#[test]
fn a_paste_is_no_command() {
    let demo = Demo::new();
    let mut terminal = demo.open(100, 30);
    terminal
        .press("\x1b[200~q\rq\r\x1b[201~?")
        .see("Keys: Board");
    terminal.press("q");
    assert!(terminal.end().success());
}

#[test]
fn a_quick_form_is_on_disk_before_the_screen_says_so() {
    let demo = Demo::new();
    let mut terminal = demo.open(100, 30);
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
    let mut terminal = demo.open(100, 30);
    terminal.press("3").see("1 Board");
    terminal.miss("written elsewhere");
    demo.says(&["jot", "written elsewhere"]);
    terminal.see("written elsewhere").press("q");
    assert!(terminal.end().success());
}

#[test]
fn a_tasting_is_on_disk_in_under_ten_keys() {
    let demo = Demo::new();
    let mut program = demo.open(100, 30);
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
