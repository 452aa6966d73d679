//! A bottling written anew: with its count or another, finished or under way, and undone again.

use super::{Cellar, borrowed, run};

/// Ten bottles out of 22.4 L, counted in the start or one by one, with one broken among them.
fn ten_bottles(counted: &[&str], finished: bool) -> Cellar {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &[counted, &["--mark", "da"]].concat());
    if counted.is_empty() {
        cellar.done(&["bottle", "count", "Damson", "11"]);
        cellar.done(&["bottle", "count", "Damson", "1", "--event", "broken"]);
    }
    if finished {
        cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    }
    cellar
}

/// The number of the start, what stands of the run by the list, and what the carboy holds.
fn stands(cellar: &Cellar) -> (String, i64, i64) {
    let book = cellar.json(&["book"]);
    let mut entries = book["entries"].as_array().unwrap().iter();
    let start =
        entries.find(|it| it["voided_by"].is_null() && it["fillings"] != serde_json::json!([]));
    let runs = cellar.json(&["bottles"]);
    let board = cellar.json(&["board"]);
    (
        start.map_or(String::new(), |it| it["number"].to_string()),
        runs["bottles"][0]["count"].as_i64().unwrap(),
        board["vessels"][0]["holds"]["volume_ul"].as_i64().unwrap(),
    )
}

#[test]
fn a_bottling_written_anew_adds_up_and_undo_brings_back_what_was() {
    let none: &[&str] = &[];
    let amendments: [(&[&str], i64, i64); 7] = [
        (&[], 10, 7_500),
        (&["--note", "by the window"], 10, 7_500),
        (&["--filled", "10"], 10, 7_500),
        (&["--filled", "12"], 12, 9_000),
        (&["--filled", "7"], 7, 5_250),
        (&["--filled", "10x375"], 10, 3_750),
        (&["--size", "375", "--filled", "9 1x750"], 10, 4_125),
    ];
    for counted in [none, &["--filled", "10"]] {
        for finished in [false, true] {
            let cellar = ten_bottles(counted, finished);
            let broken = if counted.is_empty() { 750 } else { 0 };
            let left = |bottled: i64| (22_400 - broken - bottled) * 1_000;
            let (mut start, ..) = stands(&cellar);
            for (amendment, bottles, bottled) in amendments {
                let what = format!("{counted:?}, {finished}, {amendment:?}");
                let again = [
                    "bottle",
                    "start",
                    "Carboy",
                    "--overrule",
                    "as it was",
                    "--yes",
                ];
                cellar.done(&[&["amend", &start][..], &again, amendment].concat());
                cellar.done(&["check"]);
                let amended = stands(&cellar);
                assert_eq!((amended.1, amended.2), (bottles, left(bottled)), "{what}");
                cellar.done(&["undo", "--yes"]);
                cellar.done(&["check"]);
                let undone = stands(&cellar);
                assert_eq!((undone.1, undone.2), (10, left(7_500)), "{what}");
                start = undone.0;
            }
            if !finished {
                cellar.done(&["bottle", "count", "Damson", "2"]);
                cellar.done(&["check"]);
                assert_eq!(stands(&cellar).1, 12);
            }
            // Undone once more it is what came before that goes, and not the amendment again.
            cellar.done(&["undo", "--yes"]);
            if finished {
                cellar.done(&["undo", "--yes"]);
            }
            cellar.done(&["check"]);
            let runs = cellar.json(&["bottles"]);
            assert_eq!(runs["bottles"], serde_json::json!([]));
        }
    }
}

#[test]
fn bottles_counted_are_not_made_of_another_size_without_a_word() {
    let cellar = ten_bottles(&["--filled", "10"], true);
    let (start, ..) = stands(&cellar);
    let again = [
        "amend",
        &start,
        "bottle",
        "start",
        "Carboy",
        "--overrule",
        "so",
        "--size",
        "375",
        "--yes",
    ];
    cellar.check_refused(
        &again,
        1,
        "10 × 750 mL were counted, and it would be of another size; give that size again",
    );
}

#[test]
fn an_amended_count_is_held_to_what_was_there_and_to_what_was_done_with_the_bottles() {
    let cellar = ten_bottles(&["--filled", "10"], true);
    cellar.done(&["lay-down", "Damson", "--count", "9", "--yes"]);
    let (start, ..) = stands(&cellar);
    for (filled, why) in [("40", "count fewer"), ("8", "would no longer hold")] {
        let again = [
            "amend",
            &start,
            "bottle",
            "start",
            "Carboy",
            "--overrule",
            "so",
            "--filled",
            filled,
            "--yes",
        ];
        let (code, _, told) = run(&borrowed(&cellar.asked(&again)));
        assert_eq!(code, 1, "{filled}: {told}");
        assert!(told.contains(why), "{filled}: {told}");
    }
    cellar.done(&["check"]);
}
