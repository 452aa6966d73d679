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
fn the_charts_of_a_vessel_are_one_document_that_any_reader_of_xml_takes() {
    let cellar = Cellar::demo();
    // The day is given, not taken from the clock: the title says it.
    let asked = ["--today", "2030-05-04", "sheet", "Carboy A", "--svg"];
    let drawn = cellar.done(&asked);
    let document = roxmltree::Document::parse(&drawn).unwrap();
    let titles = document.root().descendants();
    let title = titles
        .filter(|it| it.has_tag_name("title"))
        .find_map(|it| it.text());
    assert_eq!(title, Some("Carboy A, 4 May 2030"));
    assert_eq!(cellar.json(&asked)["svg"], drawn);
    cellar.check_refused(&["sheet", "Tank", "--svg"], 1, "Nothing is known of Tank");
    // A batch has what the vessel that its wine is in has.
    let of_batch = cellar.done(&["sheet", "Riesling juice 26", "--svg"]);
    let of_vessel = cellar.done(&["sheet", "Carboy A", "--svg"]);
    assert_eq!(of_batch, of_vessel.replace("Carboy A", "Riesling juice 26"));
}

#[test]
fn the_sheet_fits_a_page_and_carries_its_cautions() {
    let sheet = Cellar::demo().done(&["sheet", "Carboy A"]);
    assert!(sheet.lines().count() <= 66, "more than a page");
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
fn the_demo_doses_are_those_of_the_calculator() {
    let cellar = Cellar::demo();
    let book = cellar.json(&["book"]);
    let mut held = 0;
    for entry in book["entries"].as_array().unwrap() {
        let addition = &entry["additions"][0];
        let is_sulfite = addition["substance"] == "potassium-metabisulfite";
        let is_more_on_purpose = entry["note"].as_str().unwrap().contains("a little over");
        if !is_sulfite || is_more_on_purpose {
            continue;
        }
        let given = addition["dose_g"].as_f64().unwrap();
        // 0.5763 g SO2 per g of fresh potassium metabisulfite, from IUPAC atomic masses.
        let strength = addition["so2_mg"].as_f64().unwrap() / given / 5.763;
        let when = chrono::DateTime::parse_from_rfc3339(entry["when"].as_str().unwrap()).unwrap();
        let before = (when - chrono::Duration::minutes(1))
            .format("%Y-%m-%d %H:%M")
            .to_string();
        let place = addition["place"]["name"].as_str().unwrap();
        let potency = format!("potency={strength:.1}");
        let answer = cellar.json(&["--today", &before, "dose", place, "--with", &potency]);
        // Musts are dosed by the litre before the yeast, not for a molecular aim.
        if answer["inputs"]["state"] != "finished" {
            continue;
        }
        let asked = answer["results"]["metabisulfite_g"].as_f64().unwrap();
        // Weighed to 0.1 g, or drawn to 0.5 mL of a stock of 10 g in 100 mL.
        let step = if given < 0.2 { 0.025 } else { 0.05 };
        assert!(
            (asked - given).abs() <= step + 0.005,
            "{before} {place}: {given} g, asked {asked} g"
        );
        held += 1;
    }
    assert!(held >= 10, "only {held} doses were looked at");
}
