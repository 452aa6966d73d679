//! A year in the cellar: from must to bottles laid down, by the command line alone. Every litre,
//! every bottle, the half one and what stayed behind are accounted for to the microlitre.

use std::collections::BTreeMap;
use std::path::PathBuf;

use serde_json::Value;

use crate::program::leesline;

struct Cellar {
    folder: tempfile::TempDir,
}

impl Cellar {
    fn new() -> Cellar {
        let cellar = Cellar {
            folder: tempfile::tempdir().unwrap(),
        };
        cellar.says("init");
        cellar
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("year.leesline")
    }

    /// Runs a command line as a shell would read it; it must succeed.
    fn says(&self, line: &str) -> String {
        let output = leesline()
            .arg("--cellar")
            .arg(self.file())
            .args(["--today", "2026-10-10"])
            .args(words(line))
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{line}: {told}");
        String::from_utf8(output.stdout).unwrap()
    }

    fn json(&self, line: &str) -> Value {
        serde_json::from_str(&self.says(&format!("--json {line}"))).unwrap()
    }
}

/// Words of a command line; those with blanks stand in single quotes.
pub(crate) fn words(line: &str) -> Vec<String> {
    let parts = line.split('\'').enumerate();
    parts
        .flat_map(|(at, part)| match at % 2 {
            0 => part.split_whitespace().map(str::to_owned).collect(),
            _ => vec![part.to_owned()],
        })
        .collect()
}

/// The whole year, a line an entry, as a person would have typed it.
const YEAR: &[&str] = &[
    "vessel add Bucket --kind bucket --mark '30 L'",
    "vessel add 'Carboy A' --mark '23 L' --brim '23.4 L'",
    "vessel add 'Demijohn 1' --mark '4.5 L'",
    "vessel add Jug --mark '2 L'",
    "batch add 'Damson 25' --wine fruit --source fruit --malo unwanted",
    "receive Bucket --amount '25 L' --batch 'Damson 25' --gravity 1.088 --at 2025-09-20",
    "pitch Bucket --yeast 'a dry white strain' --amount '5 g' --at 2025-09-20",
    "measure Bucket --gravity 1.040 --at 2025-09-25",
    "measure Bucket --gravity 1.102 --at 2025-09-29 --yes",
    "measure Bucket --gravity 0.995 --temperature 18 --at 2025-10-10",
    "measure Bucket --gravity 0.995 --temperature 18 --at 2025-10-24",
    "rack Bucket --to 'Carboy A=23 L' --to 'Demijohn 1' --leaving '0.6 L' --at 2025-10-25",
    "rack 'Carboy A' --to Bucket --leaving '0.4 L' --at '2026-01-10 10:00'",
    "rack Bucket --to 'Carboy A' --at '2026-01-10 10:30'",
    "top-up 'Carboy A' --from 'Demijohn 1' --amount '0.8 L' --at '2026-01-10 11:00'",
    "rack 'Demijohn 1' --to Jug --at '2026-01-10 11:30'",
    "buy sulfite --amount '100 g' --name 'Powder 1' --at 2026-01-11",
    "measure 'Carboy A' --ph 3.42 --free-so2 10 --at 2026-01-11",
    "add 'Carboy A' sulfite --amount '1.4 g' --at 2026-01-12",
    // Forgotten a month before the second racking: it changes what was racked.
    "draw 'Carboy A' --amount '0.15 L' --at 2025-12-10",
    "taste 'Carboy A' --words 'plum skin, still sharp' --sample '0.1 L' --at 2026-04-01",
    "measure 'Carboy A' --gravity 0.995 --temperature 17 --gas none --at 2026-09-01",
    "measure 'Carboy A' --gravity 0.995 --temperature 17 --at 2026-09-08",
    "measure 'Carboy A' --gravity 0.995 --temperature 17 --clarity bright --free-so2 38 --at 2026-09-16",
    "bottle start 'Carboy A' --mark D5 --filled '30x750 1x375' --at '2026-10-01 14:00'",
    "bottle finish 'Damson 25' --left drunk --leaving '0.2 L' --at '2026-10-01 16:00'",
    "lay-down 'Damson 25' --where 'rack 1' --at 2026-10-04",
];

/// Microlitres on either side of each place in the book's movements.
pub(crate) fn accounts(book: &Value) -> (BTreeMap<String, i64>, BTreeMap<String, i64>) {
    let (mut left, mut came) = (BTreeMap::new(), BTreeMap::new());
    for entry in book["entries"].as_array().unwrap() {
        if !entry["voided_by"].is_null() {
            continue;
        }
        for movement in entry["movements"].as_array().unwrap() {
            let volume = movement["volume_ul"].as_i64().unwrap();
            let name = |end: &str| movement[end]["name"].as_str().unwrap().to_owned();
            *left.entry(name("from")).or_default() += volume;
            *came.entry(name("to")).or_default() += volume;
        }
    }
    (left, came)
}

pub(crate) fn named<'a>(list: &'a Value, name: &str) -> &'a Value {
    list.as_array()
        .unwrap()
        .iter()
        .find(|it| it["name"] == name)
        .unwrap()
}

#[test]
fn a_year_in_the_cellar_adds_up() {
    let cellar = Cellar::new();
    for line in YEAR {
        cellar.says(line);
    }
    let book = cellar.json("book");
    let mistyped = book["entries"].as_array().unwrap().iter().find(|entry| {
        entry["readings"]
            .as_array()
            .unwrap()
            .iter()
            .any(|it| it["typed"] == "1.102")
    });
    let number = mistyped.unwrap()["number"].as_i64().unwrap();
    cellar.says(&format!(
        "amend {number} --yes measure Bucket --gravity 1.012"
    ));

    // By hand: 25 L came in. Left on the lees 0.6 and 0.4, at the end 0.2; drawn 0.15 and tasted
    // 0.1; 30 · 0.75 + 0.375 L in bottles; 0.6 L in the jug; the rest of the carboy was drunk:
    // 25 − 1.2 − 0.25 − 22.875 − 0.6 = 0.075.
    let book = cellar.json("book");
    let (left, came) = accounts(&book);
    assert_eq!(left["must"], 25_000_000);
    assert_eq!(came["lees"], 1_200_000);
    assert_eq!(came["samples"], 250_000);
    assert_eq!(came["drunk"], 75_000);

    let board = cellar.json("board");
    let jug = &named(&board["vessels"], "Jug")["holds"];
    assert_eq!(jug["volume_ul"], 600_000);
    for empty in ["Bucket", "Carboy A", "Demijohn 1"] {
        assert!(
            named(&board["vessels"], empty)["holds"].is_null(),
            "{empty}"
        );
    }
    let run = named(&board["bottles"], "Damson 25");
    assert_eq!(run["count"], 31);
    let in_bottles = run["holds"]["volume_ul"].as_i64().unwrap();
    assert_eq!(in_bottles, 22_875_000);

    // The book's movements and the board agree, place by place.
    let balance = |name: &str| came.get(name).unwrap_or(&0) - left.get(name).unwrap_or(&0);
    assert_eq!(balance("Jug"), 600_000);
    assert_eq!(balance("Damson 25"), in_bottles);
    for empty in ["Bucket", "Carboy A", "Demijohn 1"] {
        assert_eq!(balance(empty), 0, "{empty}");
    }

    // The reading as amended is the one that counts; the powder went down by the dose.
    let readings: Vec<&str> = book["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|it| it["voided_by"].is_null())
        .flat_map(|it| it["readings"].as_array().unwrap())
        .filter_map(|it| it["typed"].as_str())
        .collect();
    assert!(readings.contains(&"1.012") && !readings.contains(&"1.102"));
    let stock = cellar.json("stock");
    assert_eq!(named(&stock["supplies"], "Powder 1")["left_ug"], 98_600_000);

    // `due` and `board` give the same reasons, and the jug, two thirds empty, is one of them.
    let due = cellar.json("due");
    assert_eq!(due["reasons"], board["reasons"]);
    let about_jug = due["reasons"]
        .as_array()
        .unwrap()
        .iter()
        .any(|it| it["subject"]["name"] == "Jug" && it["kind"] == "headspace");
    assert!(about_jug, "{due:#}");

    cellar.says("check");
}
