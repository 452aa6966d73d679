//! The command line as scripts see it: exit codes, one-line errors, JSON keys.

use assert_cmd::Command;
use serde_json::Value;

/// The program, away from any cellar of the person who runs the tests.
fn leesline() -> Command {
    let mut command = Command::cargo_bin("leesline").unwrap();
    command
        .env_remove("LEESLINE_CELLAR")
        .env("XDG_DATA_HOME", "/nonexistent")
        .env("HOME", "/nonexistent")
        .env("TZ", "UTC");
    command
}

/// Runs it, and gives exit code, stdout and stderr.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = leesline().args(arguments).output().unwrap();
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// A failure: that exit code, nothing on stdout, one line on stderr with those words in it.
#[track_caller]
fn check_refused(arguments: &[&str], code: i32, words: &str) {
    let (got, out, told) = run(arguments);
    assert_eq!((got, out.as_str()), (code, ""), "{arguments:?}: {told}");
    assert_eq!(told.lines().count(), 1, "{arguments:?}: {told}");
    assert!(told.contains(words), "{arguments:?}: {told}");
}

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    let (code, out, told) = run(arguments);
    assert_eq!(code, 0, "{arguments:?}: {told}");
    serde_json::from_str(&out).unwrap()
}

#[track_caller]
fn check_near(value: &Value, expected: f64, tolerance: f64) {
    let number = value.as_f64().unwrap();
    assert!(
        (number - expected).abs() <= tolerance,
        "{number} is not {expected} ± {tolerance}"
    );
}

#[test]
fn what_cannot_be_understood_is_refused_with_2_in_one_line() {
    check_refused(&["rakk"], 2, "Nothing here is called `rakk`");
    check_refused(
        &["calc", "so2-nead"],
        2,
        "the nearest are so2-molecular, so2-need",
    );
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
    check_refused(
        &["calc", "sulfite-dose", "--volume", "5 stone", "--ph", "3.4"],
        2,
        "`5 stone` is no volume",
    );
}

#[test]
fn the_free_so2_a_wine_needs_is_that_of_the_extension_table() {
    // 0.8 × (1 + 10^(3.5 − 1.81)) = 39.98: University of California Cooperative Extension, Enology
    // Briefs I(1), 1982, gives 40 mg/L for pH 3.5.
    let answer = json(&["calc", "so2-need", "--ph", "3.5", "--json"]);
    check_near(&answer["results"]["free_so2_mg_l"], 40.0, 0.5);
    let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        [
            "calc",
            "inputs",
            "results",
            "other_constant",
            "working",
            "assumptions",
            "sources",
            "cautions"
        ]
    );
}

#[test]
fn a_dose_of_sulfite_comes_with_its_caution() {
    let answer = json(&[
        "calc",
        "sulfite-dose",
        "--volume",
        "5 gal",
        "--free-so2",
        "10",
        "--ph",
        "3.4",
        "--target-molecular",
        "0.8",
        "--json",
    ]);
    // Aim 0.8 × (1 + 10^(3.4 − 1.81)) = 31.92 mg/L; a third gets bound; 0.5763 g SO2 per g of
    // potassium metabisulfite from IUPAC atomic masses; 5 US gal = 18.927 L (NIST Handbook 44).
    let expected = (31.92 - 10.0) / (1.0 - 0.33) * 18.927 / (1000.0 * 0.5763);
    check_near(&answer["results"]["metabisulfite_g"], expected, 0.005);
    let cautions = answer["cautions"].as_array().unwrap();
    assert!(
        cautions
            .iter()
            .any(|it| it["sentence"].as_str().unwrap().contains("asthma"))
    );
}

#[test]
fn a_value_may_begin_with_a_minus() {
    let answer = json(&[
        "calc",
        "so2-molecular",
        "--free-so2",
        "20",
        "--ph",
        "3.3",
        "--temperature",
        "-2C",
        "--json",
    ]);
    assert_eq!(answer["inputs"]["temperature_c"], -2.0);
}

#[test]
fn every_calculator_is_listed_and_says_what_it_asks() {
    let listed = json(&["calc", "--list", "--json"]);
    for calculator in listed["calculators"].as_array().unwrap() {
        let name = calculator["calc"].as_str().unwrap();
        let (code, out, _) = run(&["calc", name, "--help"]);
        assert_eq!(code, 0, "{name}");
        for part in ["Inputs", "Results", "Example", "Sources"] {
            assert!(out.contains(part), "{name} says nothing of {part}");
        }
    }
}

#[test]
fn help_and_version_are_no_failure() {
    assert!(run(&["--help"]).1.contains("Usage: leesline"));
    assert!(run(&["--version"]).1.starts_with("leesline "));
}

/// A new cellar in a folder of its own.
struct Cellar {
    folder: tempfile::TempDir,
}

impl Cellar {
    fn new() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
        };
        cellar.done(&["init", "--name", "Test"]);
        cellar
    }

    /// The Quarry Row cellar.
    fn demo() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
        };
        let (code, _, told) = run(&["demo", "--file", &cellar.file()]);
        assert_eq!(code, 0, "{told}");
        cellar
    }

    fn file(&self) -> String {
        let path = self.folder.path().join("cellar.leesline");
        path.to_str().unwrap().to_owned()
    }

    fn with<'a>(&self, file: &'a str, arguments: &[&'a str]) -> Vec<&'a str> {
        [&["--cellar", file], arguments].concat()
    }

    /// Runs it, and gives what it printed.
    #[track_caller]
    fn done(&self, arguments: &[&str]) -> String {
        let file = self.file();
        let (code, out, told) = run(&self.with(&file, arguments));
        assert_eq!(code, 0, "{arguments:?}: {told}");
        out
    }

    #[track_caller]
    fn json(&self, arguments: &[&str]) -> Value {
        let file = self.file();
        json(&self.with(&file, &[arguments, &["--json"]].concat()))
    }

    #[track_caller]
    fn check_refused(&self, arguments: &[&str], code: i32, words: &str) {
        let file = self.file();
        check_refused(&self.with(&file, arguments), code, words);
    }

    fn with_carboy(self) -> Cellar {
        self.done(&["vessel", "add", "Carboy A", "--mark", "23 L"]);
        self.done(&[
            "receive",
            "Carboy A",
            "--amount",
            "22.7 L",
            "--batch",
            "Riesling",
            "--gravity",
            "1.085",
            "--at",
            "-60d",
        ]);
        self
    }
}

#[track_caller]
fn check_keys(object: &Value, expected: &[&str]) {
    let object = object.as_object().unwrap();
    for key in expected {
        assert!(object.contains_key(*key), "no {key} in {object:?}");
    }
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
fn the_environment_names_the_cellar_and_the_option_wins() {
    let (one, other) = (Cellar::new(), Cellar::new());
    one.done(&["vessel", "add", "One"]);
    let list = |file: &str, arguments: &[&str]| {
        let output = leesline()
            .env("LEESLINE_CELLAR", file)
            .args(arguments)
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    assert!(list(&one.file(), &["vessel", "list"]).contains("One"));
    assert!(!list(&one.file(), &["--cellar", &other.file(), "vessel", "list"]).contains("One"));
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
fn a_wine_may_be_colder_than_ice() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["measure", "Carboy A", "--temperature", "-2C"]);
    let entry = &cellar.json(&["book", "--limit", "1"])["entries"][0];
    assert_eq!(entry["readings"][0]["property"], "temperature_c");
    assert_eq!(entry["readings"][0]["value"], -2.0);
}

#[test]
fn a_jot_needs_no_quotes() {
    let cellar = Cellar::new();
    cellar.done(&["jot", "bought", "new", "bungs"]);
    assert_eq!(
        cellar.json(&["book", "--limit", "1"])["entries"][0]["note"],
        "bought new bungs"
    );
}

#[test]
fn every_verb_of_the_registry_can_be_typed() {
    for verb in leesline::cellar::verbs::VERBS {
        let words: Vec<&str> = verb.name.split(' ').chain(["--help"]).collect();
        let (code, out, told) = run(&words);
        assert_eq!(code, 0, "{}: {told}", verb.name);
        assert!(out.contains("Usage:"), "{}: {out}", verb.name);
        let shown = |it: &&leesline::cellar::verbs::Field| {
            !matches!(it.takes, leesline::cellar::verbs::Takes::Hidden)
        };
        for field in verb.fields.iter().filter(shown) {
            let first = field.help.split(' ').next().unwrap();
            assert!(
                out.contains(first),
                "{} says nothing of {}",
                verb.name,
                field.key
            );
        }
    }
    let help = run(&["--help"]).1;
    for verb in leesline::cellar::verbs::VERBS {
        assert!(help.contains(&format!("  {} ", verb.name)), "{}", verb.name);
    }
}

#[test]
fn the_demo_holds_what_it_promises() {
    let cellar = Cellar::demo();
    let board = cellar.json(&["board"]);
    let vessels = board["vessels"].as_array().unwrap();
    let kinds: std::collections::BTreeSet<&str> = vessels
        .iter()
        .map(|it| it["kind"].as_str().unwrap())
        .collect();
    assert!(vessels.len() >= 8 && kinds.len() >= 5, "{kinds:?}");
    let batches = cellar.json(&["batch", "list"]);
    let batches = batches["batches"].as_array().unwrap();
    assert!(batches.len() >= 6);
    for source in ["kit", "juice", "fruit", "grapes"] {
        assert!(batches.iter().any(|it| it["source"] == source), "{source}");
    }
    let stage = |stage: &str| {
        vessels
            .iter()
            .filter(|it| it["holds"]["stage"] == stage)
            .count()
    };
    assert_eq!((stage("fermenting"), stage("ready")), (1, 1));
    assert!(stage("ageing") >= 2);
    let pressing = board["reasons"].as_array().unwrap().iter();
    assert!(pressing.filter(|it| it["rank"] != "later").count() >= 3);
    assert_eq!(cellar.json(&["check"])["faults"], serde_json::json!([]));
    let book = cellar.json(&["book"]);
    let entries = book["entries"].as_array().unwrap();
    let has = |part: &str| {
        entries
            .iter()
            .any(|it| !it[part].as_array().unwrap().is_empty())
    };
    assert!(has("readings") && has("tastings") && has("supplies") && has("bottles"));
}

#[test]
fn the_demo_follows_the_day_it_is_opened_on() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("demo.leesline");
    let file = file.to_str().unwrap();
    let due = |day: &str, file: &str| {
        run(&["--today", day, "demo", "--file", file]);
        json(&["--today", day, "--cellar", file, "due", "--json"])["reasons"]
            .as_array()
            .unwrap()
            .len()
    };
    let later = folder.path().join("later.leesline");
    assert_eq!(
        due("2026-11-25", file),
        due("2028-02-29", later.to_str().unwrap())
    );
}

#[test]
fn the_board_speaks_the_contract() {
    let board = Cellar::demo().json(&["board"]);
    check_keys(&board, &["cellar", "now", "vessels", "bottles", "reasons"]);
    chrono::DateTime::parse_from_rfc3339(board["now"].as_str().unwrap()).unwrap();
    let vessel = &board["vessels"][0];
    check_keys(
        vessel,
        &[
            "uid", "name", "kind", "mark_l", "mark_ul", "brim_l", "brim_ul", "holds", "reasons",
        ],
    );
    let holds = &vessel["holds"];
    check_keys(
        holds,
        &[
            "batch",
            "volume_l",
            "volume_ul",
            "make_up",
            "stage",
            "last_readings",
            "forecast",
            "headspace_ul",
        ],
    );
    let parts = holds["make_up"].as_array().unwrap().iter();
    let sum: i64 = parts.map(|it| it["volume_ul"].as_i64().unwrap()).sum();
    assert_eq!(Some(sum), holds["volume_ul"].as_i64());
    check_keys(
        &holds["forecast"],
        &[
            "free_so2_mg_l",
            "free_so2_mg_l_low",
            "free_so2_mg_l_high",
            "aim_free_so2_mg_l",
        ],
    );
    check_keys(
        &holds["last_readings"][0],
        &["property", "value", "low", "high", "word", "at"],
    );
}

#[test]
fn every_reason_comes_with_a_command_that_can_be_run() {
    let cellar = Cellar::demo();
    let due = cellar.json(&["due"]);
    let reasons = due["reasons"].as_array().unwrap();
    for reason in reasons {
        check_keys(
            reason,
            &[
                "subject", "kind", "due", "rank", "sentence", "why", "command", "needs",
            ],
        );
        chrono::DateTime::parse_from_rfc3339(reason["due"].as_str().unwrap()).unwrap();
        let command: Vec<&str> = reason["command"]
            .as_array()
            .unwrap()
            .iter()
            .map(|it| it.as_str().unwrap())
            .collect();
        assert_eq!(command[0], "leesline");
        if reason["needs"].as_array().unwrap().is_empty() {
            cellar.done(&command[1..]);
        }
    }
    let soon = cellar.json(&["due", "--within", "0d"]);
    assert!(soon["reasons"].as_array().unwrap().len() < reasons.len());
    cellar.check_refused(&["due", "--within", "soon"], 2, "no number of days");
}

#[test]
fn the_book_speaks_the_contract() {
    let cellar = Cellar::demo();
    cellar.done(&["undo", "--yes"]);
    let book = cellar.json(&["book"]);
    let entries = book["entries"].as_array().unwrap();
    for entry in entries {
        check_keys(
            entry,
            &[
                "number",
                "uid",
                "when",
                "kind",
                "sentence",
                "movements",
                "readings",
                "additions",
                "voided_by",
            ],
        );
        for movement in entry["movements"].as_array().unwrap() {
            check_keys(
                movement,
                &["from", "to", "volume_l", "volume_ul", "make_up"],
            );
            assert!(movement["from"]["uid"].is_string() && movement["to"]["uid"].is_string());
        }
    }
    let void = entries.iter().find(|it| it["kind"] == "void").unwrap();
    let voided = entries
        .iter()
        .find(|it| it["voided_by"] == void["uid"])
        .unwrap();
    assert_eq!(voided["uid"], void["voids"]);
}

#[test]
fn every_list_is_one_document() {
    let cellar = Cellar::demo();
    for list in [
        "board",
        "due",
        "book",
        "stock",
        "bottles",
        "vessel list",
        "batch list",
        "plan list",
        "show Tank",
        "sheet Tank",
        "check",
        "keys",
        "export",
        "dose Carboy&A",
    ] {
        let words: Vec<String> = list.split(' ').map(|it| it.replace('&', " ")).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        assert!(cellar.json(&words).is_object(), "{list}");
    }
}

#[test]
fn undo_asks_unless_told() {
    let cellar = Cellar::new().with_carboy();
    cellar.check_refused(&["undo"], 1, "add --yes");
    cellar.done(&["undo", "--yes"]);
    let board = cellar.json(&["board"]);
    assert_eq!(board["vessels"][0]["holds"], Value::Null);
}

#[test]
fn an_entry_is_named_by_its_number_or_its_uid() {
    let cellar = Cellar::new().with_carboy();
    let written = cellar.json(&["measure", "Carboy A", "--ph", "3.3"]);
    let uid = written["uid"].as_str().unwrap();
    let end = &uid[uid.len() - 6..];
    assert!(cellar.done(&["void", end]).contains("pH 3.3"));
    cellar.check_refused(&["void", &written["number"].to_string()], 1, "voided");
    cellar.check_refused(&["void", "99"], 2, "99");
}

#[test]
fn amending_keeps_the_date_and_what_was_begun() {
    let cellar = Cellar::new().with_carboy();
    let received = cellar.json(&["book"])["entries"]
        .as_array()
        .unwrap()
        .iter()
        .find(|it| it["kind"] == "receive")
        .unwrap()
        .clone();
    let number = received["number"].to_string();
    cellar.done(&["measure", "Carboy A", "--ph", "3.3"]);
    cellar.done(&[
        "amend", &number, "receive", "Carboy A", "--amount", "21 L", "--batch", "Riesling",
    ]);
    let board = cellar.json(&["board"]);
    assert_eq!(board["vessels"][0]["holds"]["volume_ul"], 21_000_000);
    let entries = cellar.json(&["book"]);
    let amended = entries["entries"]
        .as_array()
        .unwrap()
        .iter()
        .find(|it| it["amends"] == received["uid"])
        .unwrap();
    assert_eq!(amended["when"], received["when"]);
    cellar.check_refused(&["amend", &number, "board"], 2, "writes no entry");
}

#[test]
fn a_racking_can_be_amended_though_its_vessel_is_empty_by_it() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["vessel", "add", "Carboy B", "--mark", "23 L"]);
    let racked = cellar.json(&["rack", "Carboy A", "--to", "Carboy B=22.3 L"]);
    cellar.done(&[
        "amend",
        &racked["number"].to_string(),
        "rack",
        "Carboy A",
        "--to",
        "Carboy B=22.0 L",
    ]);
    let board = cellar.json(&["board"]);
    assert_eq!(board["vessels"][1]["holds"]["volume_ul"], 22_000_000);
}

#[test]
fn bottles_are_counted_one_by_one() {
    let cellar = Cellar::demo();
    cellar.done(&["bottle", "start", "Carboy B", "--name", "Test run"]);
    cellar.done(&["bottle", "count", "Test run", "6"]);
    let counted = cellar.json(&["bottle", "count", "Test run", "-1"]);
    assert_eq!(counted["count"], 5);
    cellar.check_refused(
        &["bottle", "count", "Test run", "-9"],
        1,
        "cannot be taken back",
    );
    cellar.check_refused(&["bottle", "count", "Test run", "some"], 2, "whole number");
    let board = cellar.json(&["board"]);
    let carboy = board["vessels"]
        .as_array()
        .unwrap()
        .iter()
        .find(|it| it["name"] == "Carboy B")
        .unwrap();
    assert_eq!(carboy["holds"]["volume_ul"], 18_900_000 - 5 * 750_000);
}

#[test]
fn a_copy_brings_the_cellar_back() {
    let cellar = Cellar::new().with_carboy();
    let copy = cellar.folder.path().join("copy.leesline");
    let copy = copy.to_str().unwrap();
    cellar.done(&["backup", copy]);
    cellar.done(&["discard", "Carboy A", "--amount", "all"]);
    cellar.done(&["restore", copy]);
    assert_eq!(
        cellar.json(&["board"])["vessels"][0]["holds"]["volume_ul"],
        22_700_000
    );
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
fn the_sheet_fits_a_page_and_carries_its_cautions() {
    let sheet = Cellar::demo().done(&["sheet", "Carboy A"]);
    assert!(sheet.lines().all(|it| it.chars().count() <= 80), "{sheet}");
    for words in ["Riesling juice", "aim 26", "asthma", "carrier"] {
        assert!(sheet.contains(words), "{words}: {sheet}");
    }
}

#[test]
fn the_export_has_a_line_for_every_part_of_the_book() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["note", "plum, \"sharp\"", "--about", "Carboy A"]);
    let csv = cellar.done(&["export"]);
    let lines: Vec<&str> = csv.split("\r\n").filter(|it| !it.is_empty()).collect();
    // A heading, the settings, the vessel, the must with its gravity on a line of its own, the note.
    assert_eq!(lines.len(), 1 + 1 + 1 + 2 + 1, "{csv}");
    assert!(csv.contains("\"plum, \"\"sharp\"\"\""), "{csv}");
    assert!(
        lines
            .iter()
            .any(|it| it.contains("movement") && it.contains("22700000")),
        "{csv}"
    );
}

#[test]
fn a_dose_is_worked_out_from_the_book() {
    let cellar = Cellar::demo();
    let answer = cellar.json(&[
        "dose",
        "Carboy A",
        "--with",
        "free-so2=15",
        "--with",
        "potency=100",
    ]);
    // Carboy A: 22.7 L at pH 3.31, aim 0.8: (26.10 − 15) / 0.67 × 22.7 / (1000 × 0.5763), the
    // extension table's constant 1.81 and the yield from IUPAC atomic masses.
    let aim = 0.8 * (1.0 + 10_f64.powf(3.31 - 1.81));
    check_near(
        &answer["results"]["metabisulfite_g"],
        (aim - 15.0) / 0.67 * 22.7 / 576.3,
        0.002,
    );
    cellar.check_refused(&["dose", "Tank"], 1, "empty");
    cellar.check_refused(&["dose", "Carboy A", "--with", "ph=9"], 2, "outside 2 to 5");
}
