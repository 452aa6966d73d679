//! From which lot an entry that is written late draws.

use super::{Cellar, borrowed, run};

/// A carboy of Damson that was there a year ago.
fn of_last_year() -> Cellar {
    let cellar = Cellar::new();
    let here = "here Carboy --mark 23L --holds Damson --amount 22L --at 2025-11-01";
    cellar.done(&here.split(' ').collect::<Vec<_>>());
    cellar
}

/// A dose of a gram that is written later.
const LATE: &[&str] = &[
    "add",
    "Carboy",
    "sulfite",
    "--amount",
    "1 g",
    "--at",
    "2026-02-15",
];

/// A jar of 3 g that is used up on three days of 2026, a gram each, and what was bought besides in January.
fn used_up(besides: &[&str]) -> Cellar {
    let cellar = of_last_year();
    let bought = [
        "buy",
        "sulfite",
        "--amount",
        "3 g",
        "--name",
        "Old jar",
        "--at",
        "2025-11-02",
    ];
    cellar.done(&bought);
    let dose = [
        "add", "Carboy", "sulfite", "--amount", "1 g", "--lot", "Old jar", "--at",
    ];
    for day in ["2026-02-01", "2026-03-01", "2026-04-01"] {
        cellar.done(&[&dose[..], &[day]].concat());
    }
    if !besides.is_empty() {
        cellar.done(&[besides, &["--at", "2026-01-05"]].concat());
    }
    cellar
}

#[track_caller]
fn check(cellar: &Cellar, lot: &str, grams: f64) {
    let stock = cellar.json(&["stock"]);
    let mut lots = stock["supplies"].as_array().unwrap().iter();
    let left = lots.find(|it| it["name"] == lot).map(|it| &it["left_g"]);
    assert_eq!(
        left.and_then(serde_json::Value::as_f64),
        Some(grams),
        "{stock:#}"
    );
}

const NEW_JAR: &[&str] = &["buy", "sulfite", "--amount", "50 g", "--name", "New jar"];

#[test]
fn a_late_dose_is_of_the_lot_that_has_it_to_spare_to_the_end() {
    let cellar = used_up(NEW_JAR);
    cellar.done(LATE);
    check(&cellar, "New jar", 49.0);
    cellar.done(&[
        "sanitise",
        "bucket",
        "--amount",
        "2 g",
        "--at",
        "2026-02-16",
    ]);
    check(&cellar, "New jar", 47.0);
    // What is written anew has its own gram back.
    let entries = cellar.json(&["book", "--kind", "add"]);
    let all = entries["entries"].as_array().unwrap();
    let last = all
        .iter()
        .find(|it| it["when"].as_str().unwrap().starts_with("2026-04-01"));
    let number = last.unwrap()["number"].to_string();
    let again = ["add", "Carboy", "sulfite", "--amount", "1 g"];
    cellar.done(&[&["amend", &number, "--yes"][..], &again].concat());
    check(&cellar, "New jar", 47.0);
    assert!(cellar.done(&["check"]).contains("agree"));
}

/// Of a jar that was counted since there is what was found, whatever went out before.
#[test]
fn a_count_makes_up_for_what_went_out_before_it() {
    let cellar = of_last_year();
    cellar.done(&[
        "buy",
        "sulfite",
        "--amount",
        "3 g",
        "--name",
        "Jar",
        "--at",
        "2025-11-02",
    ]);
    cellar.done(&[
        "stock",
        "take",
        "Jar",
        "--amount",
        "0.5 g",
        "--at",
        "2026-02-01",
    ]);
    cellar.done(&[
        "add",
        "Carboy",
        "sulfite",
        "--amount",
        "1 g",
        "--at",
        "2026-01-15",
    ]);
    check(&cellar, "Jar", 0.5);
    let added = &cellar.json(&["book", "--kind", "add"])["entries"][0]["additions"][0];
    assert!(!added["lot"].is_null(), "{added:#}");
}

#[test]
fn where_no_lot_can_the_flag_that_names_one_is_said() {
    let cellar = used_up(&[]);
    let (code, _, told) = run(&borrowed(&cellar.asked(LATE)));
    assert_eq!(code, 0, "{told}");
    assert!(told.contains("taken from none; --lot names one"), "{told}");
    check(&cellar, "Old jar", 0.0);
    let named = [LATE, &["--lot", "Old jar"]].concat();
    cellar.check_refused(&named, 1, "take it from another lot (--lot)");
}
