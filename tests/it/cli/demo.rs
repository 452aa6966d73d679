//! The demo cellar, and the pages and exports made from a cellar.

use super::{Cellar, json, run};

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
