//! What is refused: exit codes, one line, nothing on stdout, nothing written.

use super::{Cellar, check_refused, run, start_of};

#[test]
fn what_cannot_be_understood_is_refused_with_2_in_one_line() {
    check_refused(&["rakk"], 2, "Nothing here is called `rakk`");
    check_refused(&["calc", "so2-nead"], 2, "the nearest are so2-need, so2-");
    check_refused(&["calc", "so2-need", "--ph", "9"], 2, "outside 2 to 5");
    check_refused(&["calc", "so2-need", "--ph", "acid"], 2, "`acid` is no pH");
    check_refused(
        &["calc", "so2-need", "--phh", "3"],
        2,
        "the nearest is --ph",
    );
    check_refused(&["calc", "so2-need", "--ph"], 2, "--ph has no value");
    check_refused(
        &["calc", "so2-need", "--ph", "3", "--ph", "4"],
        2,
        "given twice",
    );
    check_refused(&["calc", "so2-need"], 2, "ph is missing");
    check_refused(&["rack"], 2, "VESSEL is missing: give it");
    check_refused(
        &["empties", "out"],
        2,
        "SUPPLY and NUMBER are missing: give them",
    );
    check_refused(
        &["plan", "start"],
        2,
        "PLAN and VESSEL are missing: give them",
    );
    check_refused(
        &["calc", "sulfite-dose", "--volume", "5 stone", "--ph", "3.4"],
        2,
        "`5 stone` is no volume",
    );
}

#[test]
fn without_a_verb_and_without_a_terminal_it_says_so() {
    check_refused(&[], 2, "no terminal");
    check_refused(&["demo"], 2, "no terminal");
}

#[test]
fn a_file_that_is_missing_or_no_cellar_is_refused_with_1() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("none.leesline");
    check_refused(
        &["--cellar", missing.to_str().unwrap(), "board"],
        1,
        "leesline init",
    );
    let other = folder.path().join("notes.txt");
    std::fs::write(&other, "x".repeat(200)).unwrap();
    check_refused(
        &["--cellar", other.to_str().unwrap(), "board"],
        1,
        "not a cellar",
    );
    assert_eq!(std::fs::read_to_string(&other).unwrap(), "x".repeat(200));
    check_refused(
        &["--cellar", folder.path().to_str().unwrap(), "board"],
        1,
        "is a folder",
    );
}

#[test]
fn what_is_there_is_never_written_over() {
    let cellar = Cellar::new();
    cellar.check_refused(&["init"], 1, "already there");
    check_refused(&["demo", "--file", &cellar.file()], 1, "already there");
    cellar.check_refused(&["backup", &cellar.file()], 1, "already there");
}

#[test]
fn an_unknown_vessel_offers_the_nearest() {
    let cellar = Cellar::new().with_carboy();
    cellar.check_refused(
        &["measure", "Carboi A", "--ph", "3.3"],
        2,
        "the nearest is Carboy A",
    );
    cellar.check_refused(&["show", "Carboi A"], 2, "Carboy A");
    cellar.check_refused(&["sheet", "Carboi A"], 2, "Carboy A");
}

#[test]
fn a_figure_that_no_wine_has_is_refused_with_2() {
    let cellar = Cellar::new().with_carboy();
    cellar.check_refused(&["measure", "Carboy A", "--ph", "9"], 2, "outside 2 to 5");
    cellar.check_refused(&["measure", "Carboy A", "--ph", "sour"], 2, "sour");
    cellar.check_refused(
        &[
            "top-up", "Carboy A", "--from", "water", "--amount", "3 stones",
        ],
        2,
        "3 stones",
    );
    cellar.check_refused(
        &["measure", "Carboy A", "--at", "soonish", "--ph", "3"],
        2,
        "not a date",
    );
}

#[test]
fn what_has_not_happened_is_refused_with_1() {
    let cellar = Cellar::new().with_carboy();
    let tomorrow = "2026-11-26";
    cellar.check_refused(
        &[
            "--today",
            "2026-11-25",
            "measure",
            "Carboy A",
            "--ph",
            "3.3",
            "--at",
            tomorrow,
        ],
        1,
        "is after now",
    );
    assert_eq!(
        cellar.json(&["book"])["entries"].as_array().unwrap().len(),
        3
    );
}

#[test]
fn what_the_book_cannot_hold_is_refused_with_1_and_nothing_is_written() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["vessel", "add", "Jug", "--mark", "3.8 L", "--brim", "4 L"]);
    let before = cellar.json(&["book"]);
    cellar.check_refused(&["rack", "Carboy A", "--to", "Jug=20 L"], 1, "Jug");
    cellar.check_refused(&["measure", "Jug", "--ph", "3.3"], 1, "empty");
    assert_eq!(cellar.json(&["book"])["entries"], before["entries"]);
}

#[test]
fn a_reader_that_leaves_early_is_no_error() {
    let cellar = Cellar::demo();
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_leesline"))
        .args(["--cellar", &cellar.file(), "export", "--json"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(
        (output.status.code(), output.stderr.as_slice()),
        (Some(0), &b""[..])
    );
}

#[test]
fn help_and_version_are_no_failure() {
    assert!(run(&["--help"]).1.contains("Usage: leesline"));
    assert!(run(&["--version"]).1.starts_with("leesline "));
}

/// 22.4 L written down, and a bottling of it begun a day later.
fn at_the_spout(more: &[&str]) -> Cellar {
    let cellar = Cellar::new();
    cellar.done(&[
        "here",
        "Carboy",
        "--mark",
        "23 L",
        "--holds",
        "Damson",
        "--amount",
        "22.4 L",
        "--at",
        "2026-11-01 10:00",
    ]);
    let said = ["--yes", "--at", "2026-11-02 14:00"];
    cellar.bottles("Carboy", &[&said[..], more].concat());
    cellar
}

/// By hand: 22.4 L are 29 × 0.75 and a glass; 33 are 24.75 L, 2.35 L more than there was, and a tenth of
/// it is 2.24 L; 32 are 24 L. A void or a level found earlier is the way out, and the book stays whole.
#[test]
fn more_bottles_than_there_was_wine_for_are_refused_with_both_ways_out() {
    let cellar = at_the_spout(&["--filled", "20"]);
    let says = |count: &str, sentence: &str| {
        cellar.check_refused(&["bottle", "count", "Damson", "--", count], 1, sentence);
    };
    says(
        "13",
        "Carboy held 22.4 L by the book, enough for 29 × 750 mL, not for 33: count fewer; if more is in it yet, say \
         how much with adjust, and if it is empty now, `leesline adjust \"Carboy\" --level \"24.8 L\" --at \"2026-11-02 13:59\"`; \
         then count again.",
    );
    says(
        "-21",
        "Only 20 × 750 mL are filled, and 21 cannot be taken back; take back no more than that.",
    );
    cellar.done(&["bottle", "count", "Damson", "12"]);
    let adjust = [
        "adjust",
        "Carboy",
        "--level",
        "24.8 L",
        "--at",
        "2026-11-02 13:59",
    ];
    cellar.done(&[&adjust[..], &["--yes"]].concat());
    cellar.done(&["bottle", "count", "Damson", "1"]);
    assert!(cellar.done(&["check"]).contains("agree"));
}

#[test]
fn a_typed_count_is_held_to_the_wine_like_a_counted_one() {
    let cellar = Cellar::new();
    cellar.done(&[
        "here",
        "Jug",
        "--holds",
        "Mead",
        "--amount",
        "0.7 L",
        "--at",
        "2026-11-01 10:00",
    ]);
    let start = start_of("Jug", &["--yes", "--filled"]);
    let typed = |filled| [&start[..], &[filled, "--at", "2026-11-02 14:00"]].concat();
    cellar.check_refused(
        &typed("2"),
        1,
        "Jug held 700 mL by the book, too little for 1 × 750 mL: count fewer; if more is in it yet, say how much with \
         adjust, and if it is empty now, `leesline adjust \"Jug\" --level \"1.5 L\" --at \"2026-11-02 13:59\"`; then count again.",
    );
    // Half a glass more than was written down: it was there all along, and nothing is below zero.
    cellar.done(&typed("1"));
    let held = cellar.json(&["board"])["vessels"][0]["holds"].clone();
    assert!(held.is_null() || held["volume_ul"] == 0, "{held}");
    assert!(cellar.done(&["check"]).contains("agree"));
}

#[test]
fn a_finished_run_takes_no_more() {
    let cellar = at_the_spout(&["--filled", "20"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    let says = "Damson is finished already; void that entry to go on with it, or begin another with `bottle start`.";
    for verb in [
        &["bottle", "finish", "Damson"][..],
        &["bottle", "ready", "Damson"],
        &["bottle", "corks", "Damson"],
    ] {
        cellar.check_refused(verb, 1, says);
    }
    let broken = ["bottle", "count", "Damson", "1", "--event", "broken"];
    cellar.check_refused(
        &broken,
        1,
        "Damson is finished already; `leesline bottle count` takes",
    );
    // A bottle more is another count of the same run, which is asked about.
    let more = ["bottle", "count", "Damson", "1"];
    cellar.check_refused(&more, 1, "is finished with 20 bottles; this writes entry");
}

#[test]
fn a_bottle_that_is_gone_is_not_opened_again() {
    let cellar = Cellar::new();
    cellar.done(&["shelves", "add", "Rack A", "--columns", "2"]);
    cellar.done(&["here", "Plum", "--bottles", "2", "--where", "Rack A"]);
    cellar.done(&["here", "Regent", "--bottles", "1", "--where", "pantry"]);
    let says = |arguments: &[&str], sentence: &str| {
        cellar.check_refused(arguments, 1, sentence);
    };
    says(
        &["shift", "Regent", "--to", "Rack A"],
        "Rack A is full; give another rack, or shift some bottles first.",
    );
    cellar.done(&["open", "Rack A/A1"]);
    says(
        &["open", "Rack A/A1"],
        "nothing lies in Rack A/A1 by the book: what lay there is opened, given or moved already; `leesline bottles` \
         lists where bottles are.",
    );
    says(
        &["shift", "Regent", "--to", "Rack A/A2"],
        "Rack A/A2 is taken by Plum; give another slot, or only Rack A for the next that is free.",
    );
    says(
        &["open", "Plum", "--count", "2"],
        "1 of Plum are there, not 2; if you find more, write them down with `here` by a name of their own.",
    );
    cellar.done(&["open", "Plum"]);
    says(
        &["open", "Plum"],
        "no bottle of Plum is left by the book: opened, given or moved already; if you find one, write it down with \
         `here` by a name of its own.",
    );
}

/// A script whose variable is not set says nothing, which is not the same as leaving it out.
#[test]
fn an_empty_value_is_refused() {
    let cellar = Cellar::with_damson();
    cellar.done(&["vessel", "add", "Jug", "--mark", "30 L"]);
    for command in [
        &["rack", "Carboy", "--to", "Jug", "--leaving", ""][..],
        &["add", "Carboy", "sulfite", "--amount", ""],
        &["measure", "Carboy", "--ph", " "],
    ] {
        cellar.check_refused(command, 2, "is empty; say what it is, or leave it out.");
    }
}

/// Wine neither comes out of nothing nor is told apart within one vessel.
#[test]
fn wine_comes_from_somewhere_and_goes_somewhere() {
    let cellar = Cellar::new();
    cellar.on("2026-11-01", "vessel add A --mark 10L");
    cellar.on("2026-11-01", "receive A --amount 10L --batch V");
    let split = ["split", "A", "--to", "A=1L", "--as", "Part"];
    let refused = "A would hold the part and the rest of it together; leave A out, or say what becomes of all of it.";
    cellar.check_refused(&split, 1, refused);

    cellar.on("2026-11-01", "here P --bottles 6");
    cellar.on("2026-11-02", "give P 3 --to Ann");
    let back = ["back", "P", "5", "--whom", "Ann", "--full", "--yes"];
    let refused = "By the book 3 of P are with somebody, so 5 cannot come back full";
    cellar.check_refused(&back, 1, refused);
    cellar.on("2026-11-03", "back P 3 --whom Ann --full");
}

#[test]
fn an_empty_name_of_a_cellar_and_an_amount_beyond_all_measure_are_refused() {
    check_refused(&["--cellar", "", "board"], 2, "--cellar is empty");
    let cellar = Cellar::new();
    let sanitise = ["sanitise", "hose", "--amount", "1e308"];
    cellar.check_refused(&sanitise, 2, "more than any cellar ever had");
    let with = [
        "sanitise",
        "hose",
        "--sanitizer",
        "citric",
        "--amount",
        "1e30 g",
    ];
    cellar.check_refused(&with, 2, "more than any cellar ever had");
}
