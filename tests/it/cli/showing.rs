//! What `show` and `sheet` say of bottles.

use super::Cellar;

/// Twelve bottles of Plum 25: six kept, one opened, two given.
fn with_plum() -> Cellar {
    let cellar = Cellar::new();
    let here = ["here", "Plum 25", "--bottles", "12", "--where", "rack 2"];
    cellar.done(
        &[
            &here[..],
            &[
                "--bottle-closure",
                "cork",
                "--since",
                "spring 2025",
                "--at",
                "-9d",
            ],
        ]
        .concat(),
    );
    cellar.done(&["reserve", "Plum 25", "--count", "6", "--for", "midwinter"]);
    cellar.done(&[
        "open",
        "Plum 25",
        "--words",
        "marzipan and plums",
        "--at",
        "-5d",
    ]);
    cellar.done(&[
        "give", "Plum 25", "--count", "2", "--to", "Anna", "--at", "-4d",
    ]);
    cellar
}

#[track_caller]
fn check_says(page: &str, expected: &[&str]) {
    let lines: Vec<String> = page
        .lines()
        .map(|it| it.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    for line in expected {
        assert!(
            lines.iter().any(|it| it.starts_with(line)),
            "no `{line}` in:\n{page}"
        );
    }
}

#[test]
fn a_run_is_shown_with_what_became_of_its_bottles() {
    let cellar = with_plum();
    let page = cellar.done(&["show", "Plum 25", "--sort", "run"]);
    check_says(
        &page,
        &[
            "Plum 25 (bottling run)",
            "left 9 bottles",
            "kept 3 of 750 mL, lying in rack 2",
            "kept 6 of 750 mL, lying in rack 2, kept for midwinter",
            "since spring 2025",
            "closure cork",
            "opened a bottle, ",
            "tasted marzipan and plums, ",
            "given 2 bottles to Anna, ",
        ],
    );
}

#[test]
fn bottles_and_batch_of_one_name_are_both_shown_and_either_can_be_asked_for() {
    let cellar = with_plum();
    let (run, batch) = ("Plum 25 (bottling run)", "Plum 25 (batch)");
    check_says(&cellar.done(&["show", "plum 25"]), &[run, batch]);
    let only = cellar.done(&["show", "Plum 25", "--sort", "batch"]);
    assert!(only.contains(batch) && !only.contains(run), "{only}");
    let document = cellar.json(&["show", "Plum 25"]);
    assert_eq!(document["sort"], "run");
    assert_eq!(document["same_name"][0]["sort"], "batch");
}

#[test]
fn a_run_has_a_page_to_hang_by_its_rack() {
    let cellar = with_plum();
    let page = cellar.done(&["sheet", "Plum 25"]);
    check_says(
        &page,
        &[
            "Left 9 bottles",
            "Kept 3 of 750 mL, lying in rack 2",
            "Closure cork",
            "Tasted marzipan and plums, ",
            "Date What By",
        ],
    );
    assert!(page.lines().all(|it| it.chars().count() <= 80), "{page}");
    assert!(page.lines().count() <= 66, "more than a page:\n{page}");
}

#[test]
fn bottles_are_said_to_lie_only_where_it_means_something() {
    let check = |closure: &[&str], place: &str, expected: &str| {
        let cellar = Cellar::new();
        let here = ["here", "Claret", "--bottles", "12", "--where", place];
        cellar.done(&[&here[..], closure].concat());
        let page = cellar.done(&["show", "Claret", "--sort", "run"]);
        check_says(&page, &[expected]);
    };
    let cork = ["--bottle-closure", "cork"];
    let crown = ["--bottle-closure", "crown-cap"];
    check(&cork, "rack 2", "kept 12 of 750 mL, lying in rack 2");
    check(
        &cork,
        "under the stairs",
        "kept 12 of 750 mL, lying under the stairs",
    );
    check(&crown, "shelf 3", "kept 12 of 750 mL, on shelf 3");
    check(&[], "the garage", "kept 12 of 750 mL, in the garage");
}

#[test]
fn when_to_drink_bottles_of_an_unknown_day_is_not_known() {
    let check = |since: &[&str], expected: &str| {
        let cellar = Cellar {
            today: Some("2026-11-25"),
            ..Cellar::new()
        };
        let here = ["here", "Claret", "--bottles", "12", "--wine", "red"];
        cellar.done(&[&here[..], since].concat());
        let page = cellar.done(&["show", "Claret", "--sort", "run"]);
        check_says(&page, &[expected]);
        let run = cellar.json(&["show", "Claret", "--sort", "run"])["run"].clone();
        assert_eq!(run["window"].is_null(), since.is_empty());
    };
    check(
        &[],
        "drink not known: nobody said since when they are there",
    );
    check(&["--since", "2024-06-01"], "drink 1 Dec 2024 to about");
}

#[test]
fn a_page_has_one_form_of_dates_no_stray_commas_and_a_name_for_the_cellar() {
    let cellar = Cellar::new();
    let today = ["--today", "2026-11-26"];
    let said = |line: &[&str]| cellar.done(&[&today[..], line].concat());
    said(&["here", "Plum 24", "--bottles", "12", "--at", "2026-11-01"]);
    said(&["taste", "Plum 24", "--score", "15", "--at", "2026-11-20"]);
    let shown = said(&["show", "Plum 24"]);
    assert!(shown.contains("  score 15, 20 Nov 2026"), "{shown}");
    assert!(shown.contains("20 Nov 2026 12:00"), "{shown}");
    assert!(!shown.contains("2026-11"), "{shown}");
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("unnamed.leesline");
    let unnamed = |line: &[&str]| {
        let (code, out, told) = super::run(&[&["--cellar", file.to_str().unwrap()], line].concat());
        assert_eq!(code, 0, "{told}");
        out
    };
    unnamed(&["init"]);
    unnamed(&["here", "Jug", "--amount", "3 L", "--at", "-9d"]);
    let due = unnamed(&["due"]);
    let round = due.lines().find(|it| it.contains("cellar round")).unwrap();
    // The jug was filled nine days ago, and a round is made every week.
    assert!(round.contains("My cellar  2 days overdue"), "{due}");
}

/// What was done to its wine is its history, wherever it was; what its old vessel holds now is none of it.
#[test]
fn a_batch_is_shown_with_what_was_done_to_its_wine() {
    let cellar = Cellar::new();
    for line in [
        "vessel add Left --mark 23L --at -30d",
        "vessel add Right --mark 23L --at -30d",
        "batch add Plum --wine fruit --at -29d",
        "batch add Pear --wine fruit --at -29d",
        "receive Left --amount 20L --batch Plum --at -28d",
        "measure Left --gravity 1.080 --at -27d",
        "rack Left --to Right --at -20d",
        "receive Left --amount 20L --batch Pear --at -19d",
        "measure Left --gravity 1.070 --at -18d",
        "add Right sulfite --amount 1g --yes --at -10d",
    ] {
        cellar.done(&line.split(' ').collect::<Vec<_>>());
    }
    let kinds = |batch: &str| {
        let shown = cellar.json(&["show", batch, "--sort", "batch"]);
        let entries = shown["entries"].as_array().unwrap().iter();
        entries
            .map(|it| it["kind"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(
        kinds("Plum"),
        ["add", "rack", "measure", "receive", "batch"]
    );
    assert_eq!(kinds("Pear"), ["measure", "receive", "batch"]);
}
