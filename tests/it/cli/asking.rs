//! What throws wine away, overwrites or changes the book asks first: at a terminal with a question,
//! elsewhere only with `--yes`.

use serde_json::Value;

use super::Cellar;
use crate::terminal::{Terminal, text};

impl Cellar {
    fn holds(&self, vessel: &str) -> Option<i64> {
        let board = self.json(&["board"]);
        let vessels = board["vessels"].as_array().unwrap();
        let found = vessels.iter().find(|it| it["name"] == vessel).unwrap();
        found["holds"]["volume_ul"].as_i64()
    }

    /// Refused without `--yes`, and done with it.
    #[track_caller]
    fn check_asks(&self, arguments: &[&str], words: &str) {
        self.check_refused(arguments, 1, words);
        self.check_refused(arguments, 1, "To do so add --yes.");
        self.done(&[arguments, &["--yes"]].concat());
    }

    /// At a terminal, with this answer to its question.
    fn at_terminal(&self, arguments: &[&str], question: &str, answer: &str) -> u32 {
        let file = self.folder.path().join("cellar.leesline");
        let arguments = [&["--cellar", text(&file)], arguments].concat();
        let mut terminal = Terminal::start(120, 30, &arguments, &[]);
        terminal.see(question).see("[y/N]").press(answer);
        terminal.end().exit_code()
    }
}

#[test]
fn a_carboy_is_not_lost_to_a_vessel_that_is_full_or_too_small() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["vessel", "add", "Full", "--mark", "5 L"]);
    cellar.done(&["vessel", "add", "Small", "--mark", "5 L"]);
    cellar.done(&["receive", "Full", "--amount", "5 L"]);
    let rack = ["rack", "Carboy A", "--to", "Full"];
    cellar.check_refused(&rack, 1, "Full is full by the book (5.0 L of 5.0 L)");
    cellar.check_refused(&[&rack[..], &["--yes"]].concat(), 1, "full by the book");
    assert_eq!(cellar.holds("Carboy A"), Some(22_700_000));
    let rack = ["rack", "Carboy A", "--to", "Small"];
    cellar.check_asks(&rack, "17.7 L of 22.7 L stays behind and goes to lees");
    assert_eq!(cellar.holds("Small"), Some(5_000_000));
}

#[test]
fn a_loss_that_was_named_is_not_asked_about() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["vessel", "add", "Carboy B", "--mark", "23 L"]);
    cellar.done(&[
        "rack",
        "Carboy A",
        "--to",
        "Carboy B=18 L",
        "--leaving",
        "4.7 L",
    ]);
    assert_eq!(cellar.holds("Carboy B"), Some(18_000_000));
}

#[test]
fn a_whole_vessel_is_poured_away_only_with_a_yes() {
    let cellar = Cellar::new().with_carboy();
    cellar.check_asks(&["discard", "Carboy A"], "All 22.7 L in Carboy A");
    assert_eq!(cellar.holds("Carboy A"), None);
}

#[test]
fn what_was_not_bottled_is_thrown_away_only_with_a_yes() {
    let cellar = Cellar::new().with_carboy();
    cellar.bottles("Carboy A", &["--filled", "20", "--name", "Run"]);
    let finish = ["bottle", "finish", "Run", "--left", "lees"];
    cellar.check_asks(&finish, "7.7 L that was not bottled goes to lees, 34 %");
}

#[test]
fn lees_named_at_the_end_of_a_bottling_are_all_that_is_lost() {
    let cellar = Cellar::new().with_carboy();
    cellar.bottles("Carboy A", &["--filled", "20", "--name", "Run"]);
    cellar.done(&["bottle", "finish", "Run", "--leaving", "0.5 L"]);
    assert_eq!(cellar.holds("Carboy A"), Some(7_200_000));
}

#[test]
fn undo_void_and_amend_say_what_changes_before_they_do_it() {
    let cellar = Cellar::new().with_carboy();
    let measured = cellar.json(&["measure", "Carboy A", "--ph", "3.3"]);
    let number = measured["number"].to_string();
    let becomes = "pH 3.30 becomes 3.40";
    cellar.check_asks(
        &["amend", &number, "measure", "Carboy A", "--ph", "3.4"],
        becomes,
    );
    let book = cellar.json(&["book"]);
    let mut entries = book["entries"].as_array().unwrap().iter();
    let amended = entries.find(|it| !it["amends"].is_null()).unwrap();
    let number = amended["number"].to_string();
    cellar.check_asks(&["void", &number], "pH 3.40 becomes not known");
    // The void, the amendment, the measurement, and what came before it.
    for undone in [
        "pH not known becomes 3.40",
        "pH 3.40 becomes 3.30",
        "pH 3.30 becomes not known",
        "22.7 L becomes 0.0 L",
    ] {
        cellar.check_asks(&["undo"], undone);
    }
    assert_eq!(cellar.holds("Carboy A"), None);
}

/// What an entry began is called by its name after it is undone, and the entry in the book too.
#[test]
fn what_an_undone_entry_began_is_named() {
    let cellar = Cellar::new();
    let here = [
        "here", "Carboy", "--mark", "23 L", "--holds", "Damson", "--amount", "22 L",
    ];
    let said = cellar.done(&here);
    let (_, said) = said.split_once(": ").unwrap();
    let undone = cellar.done(&["undo", "--yes"]);
    assert!(undone.contains("Carboy: 22.0 L becomes 0.0 L."), "{undone}");
    assert!(
        undone.contains("Carboy") && !undone.contains("something"),
        "{undone}"
    );
    let book = cellar.done(&["book"]);
    assert!(
        book.contains(said.trim()) && !book.contains("something"),
        "{book}"
    );
}

#[test]
fn a_copy_takes_the_place_of_a_cellar_only_with_a_yes() {
    let cellar = Cellar::new().with_carboy();
    let copy = cellar.folder.path().join("copy.leesline");
    cellar.done(&["backup", text(&copy)]);
    cellar.check_asks(&["restore", text(&copy)], "cellar-copies");
    let there = cellar.folder.path().join("new.leesline");
    // Where no cellar is yet, nothing is overwritten and nothing is asked.
    let restored = super::json(&["--cellar", text(&there), "restore", text(&copy), "--json"]);
    assert_eq!(restored["restored"], Value::from(text(&there)));
}

#[test]
fn at_a_terminal_it_is_a_question() {
    let cellar = Cellar::new().with_carboy();
    let question = "22.7 L becomes 0.0 L";
    assert_eq!(cellar.at_terminal(&["undo"], question, "n\n"), 1);
    assert_eq!(cellar.holds("Carboy A"), Some(22_700_000));
    assert_eq!(cellar.at_terminal(&["undo"], question, "\n"), 1);
    assert_eq!(cellar.holds("Carboy A"), Some(22_700_000));
    assert_eq!(cellar.at_terminal(&["undo"], question, "y\n"), 0);
    assert_eq!(cellar.holds("Carboy A"), None);
}

#[test]
fn a_dose_that_is_plainly_a_slip_goes_in_only_with_a_yes() {
    let cellar = Cellar::new().with_carboy();
    let slip = ["add", "Carboy A", "sulfite", "--amount", "30 g"];
    cellar.check_asks(&slip, "762 mg/L of SO2 at once");
    let sorbate = ["add", "Carboy A", "sorbate", "--amount", "500 g"];
    cellar.check_asks(&sorbate, "that the OIV and the EU allow");
}

#[test]
fn another_wine_is_poured_upon_one_only_with_a_yes() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["vessel", "add", "Carboy B", "--mark", "23 L"]);
    let receive = ["receive", "Carboy B", "--amount", "12 L", "--batch", "Plum"];
    cellar.done(&receive);
    let top_up = [
        "top-up", "Carboy B", "--from", "Carboy A", "--amount", "9 L",
    ];
    cellar.check_asks(&top_up, "Carboy B holds 12.0 L of Plum: is this a blend?");
}

#[test]
fn what_people_type_without_quotes_or_flags_is_taken_where_it_can_mean_one_thing() {
    let cellar = Cellar {
        today: Some("2026-11-26"),
        ..Cellar::new()
    };
    let cellar = cellar.with_carboy();
    let check = |words: &str, expected: &str| {
        let said = cellar.done(&words.split(' ').collect::<Vec<_>>());
        assert!(said.contains(expected), "{words}: {said}");
    };
    check(
        "taste Carboy A fruity and clean",
        "Tasted Carboy A: fruity and clean",
    );
    check(
        "add Carboy A sulfite 1.5 g",
        "Added 1.5 g potassium metabisulfite to Carboy A",
    );
    check("chill Carboy A 3 weeks", "Chilled Carboy A");
    check("show Carboy A", "Carboy A (vessel)");
    check("what-if Carboy A --wait 3d", "Seen 3 days from now");
    check(
        "what-if --wait 3d taste Carboy A fine",
        "Seen 3 days from now",
    );
    check(
        "snooze Carboy A too full 3 days",
        "Put off too full for foam or warmth for Carboy A until 29 Nov 2026",
    );
    check(
        "snooze Carboy A too full until Monday",
        "Put off too full for foam or warmth for Carboy A until 30 Nov 2026",
    );
    cellar.check_refused(
        &["snooze", "Carboy A", "fleas"],
        2,
        "`fleas` does not mean one reason alone",
    );
    cellar.check_refused(
        &["snooze", "Carboy A", "3 furlongs"],
        2,
        "is no day to come",
    );
    cellar.check_refused(
        &["what-if", "Carboy A"],
        2,
        "Nothing of Carboy A is supposed",
    );
    cellar.check_refused(&["what-if", "nothing"], 2, "Nothing is called `nothing`");
    cellar.check_refused(&["what-if", "dose", "Carboy A"], 2, "`dose` writes nothing");
}

/// A sheet of days is started twice by mistake more often than on purpose.
#[test]
fn a_plan_whose_steps_are_all_open_is_started_again_only_if_asked() {
    let cellar = Cellar::new();
    cellar.on("2026-11-01", "vessel add C --mark 23L");
    cellar.on("2026-11-01", "receive C --amount 20L --batch V");
    let plan = [
        "plan",
        "add",
        "Q",
        "--step",
        "day 1: yeast",
        "--step",
        "day 9: rack",
    ];
    cellar.done(&plan);
    cellar.on("2026-11-01", "plan start Q C");
    let asked = "All its steps are open for V already. Start it a second time?";
    cellar.check_refused(&["plan", "start", "Q", "C"], 1, asked);
}
