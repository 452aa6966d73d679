//! Journeys through the program in a real terminal.

use crate::terminal::Terminal;

fn demo(variables: &[(&str, &str)]) -> Terminal {
    let mut program = Terminal::start(120, 40, &["demo"], variables);
    program.see("NEEDS YOU").see("Carboy A");
    program
}

#[test]
fn the_demo_opens_on_the_board_and_leaves_the_terminal_as_it_was() {
    let mut program = demo(&[]);
    program.press("q");
    assert_eq!(program.end().exit_code(), 0);
}

#[test]
fn a_signal_to_go_gives_the_terminal_back() {
    for signal in ["TERM", "HUP", "INT"] {
        let mut program = demo(&[]);
        program.signal(signal);
        program.end();
    }
}

/// Not a test of its own: the program that the next test starts and that panics on purpose.
#[test]
fn panics_with_the_terminal_taken() {
    if std::env::var_os("LEESLINE_TEST_PANICS").is_some() {
        let mut terminal = leesline::tui::terminal::Terminal::enter().unwrap();
        terminal.draw(|_| ()).unwrap();
        panic!("on purpose");
    }
}

#[test]
fn a_panic_gives_the_terminal_back_and_is_read_on_the_main_screen() {
    let this = std::env::current_exe().unwrap();
    let arguments = [
        "--exact",
        "journeys::panics_with_the_terminal_taken",
        "--nocapture",
        "--test-threads=1",
    ];
    let program = crate::terminal::text(&this);
    let mut program = Terminal::run(
        program,
        100,
        30,
        &arguments,
        &[("LEESLINE_TEST_PANICS", "1")],
    );
    program.see("on purpose").see("FAILED");
    let taken = program.bytes().windows(8).any(|it| it == b"\x1b[?1049h");
    assert!(taken, "the terminal was never taken");
    program.end();
}

/// Parameters of every style command written.
fn styles(bytes: &[u8]) -> Vec<u32> {
    let text = String::from_utf8_lossy(bytes);
    let commands = text.split("\x1b[").skip(1).filter_map(|it| {
        let end = it.find(|c: char| !c.is_ascii_digit() && c != ';')?;
        it[end..].starts_with('m').then(|| it[..end].to_owned())
    });
    commands
        .flat_map(|it| {
            it.split(';')
                .filter_map(|it| it.parse().ok())
                .collect::<Vec<u32>>()
        })
        .collect()
}

#[test]
fn without_colour_the_mark_is_still_reversed() {
    let is_colour = |style: &u32| matches!(style, 30..=38 | 40..=48 | 90..=97 | 100..=107);
    let mut plain = demo(&[("NO_COLOR", "1")]);
    let styles_seen = styles(&plain.bytes());
    assert!(!styles_seen.iter().any(is_colour), "{styles_seen:?}");
    assert!(
        styles_seen.contains(&7),
        "nothing is reversed: {styles_seen:?}"
    );
    plain.press("q");
    plain.end();

    let mut coloured = demo(&[]);
    assert!(styles(&coloured.bytes()).iter().any(is_colour));
    coloured.press("q");
    coloured.end();
}

#[test]
fn a_terminal_too_small_says_what_it_needs_and_recovers() {
    let mut program = demo(&[]);
    program.resize(40, 10).see("60").miss("NEEDS YOU");
    program.resize(80, 24).see("NEEDS YOU");
    program.press("q");
    program.end();
}

#[test]
fn the_most_urgent_vessel_is_dosed_the_board_changes_and_undo_brings_it_back() {
    let urgent = "free SO2 ~15 (10–18) mg/L, aim 26: below it now";
    let mut program = demo(&[]);
    program.see(urgent);
    program
        .press("d")
        .see("How it comes about")
        .see("aim 26 mg/L free");
    program.press("\r").see("Write it to the book?");
    // Half is written: the board shows the vessel midway from 15 to 26, and another vessel as the most
    // urgent.
    program
        .press("\r")
        .see("NEEDS YOU")
        .miss(urgent)
        .see("SO2 ~20");
    program
        .press("u")
        .see("sulfite, spring tin")
        .see("becomes 30");
    program.press("\r").miss("becomes 30").see(urgent);
    program.press("q");
    assert_eq!(program.end().exit_code(), 0);
}
