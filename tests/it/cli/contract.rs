//! The JSON that scripts rely on.

use serde_json::Value;

use super::{Cellar, check_keys, run};

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
        } else {
            // Only what the person knows is missing: every word of it is understood.
            let help = [&command[1..], &["--help"]].concat();
            let (code, out, told) = run(&help);
            assert_eq!(code, 0, "{told}");
            for need in reason["needs"].as_array().unwrap() {
                let need = need.as_str().unwrap();
                let word = [format!("--{need} "), format!("<{}>", need.to_uppercase())];
                assert!(
                    word.iter().any(|it| out.contains(it)),
                    "{command:?} does not take {need}: {out}"
                );
            }
        }
    }
    let soon = cellar.json(&["due", "--within", "0d"]);
    assert!(soon["reasons"].as_array().unwrap().len() < reasons.len());
    let days = |within: &str| -> Vec<i64> {
        let due = cellar.json(&["due", "--within", within]);
        let now = chrono::DateTime::parse_from_rfc3339(due["now"].as_str().unwrap()).unwrap();
        let all = due["reasons"].as_array().unwrap().iter();
        let day = |it: &Value| {
            let due = chrono::DateTime::parse_from_rfc3339(it["due"].as_str().unwrap()).unwrap();
            assert!(!it["why"].as_array().unwrap().is_empty(), "{it:#}");
            (due.date_naive() - now.date_naive()).num_days()
        };
        all.map(day).collect()
    };
    // The board looks two weeks ahead; who asks for more is told more.
    let [two_weeks, two_months] = ["14d", "60d"].map(days);
    assert!(two_weeks.iter().all(|it| *it <= 14), "{two_weeks:?}");
    assert!(two_months.iter().all(|it| *it <= 60), "{two_months:?}");
    assert!(two_months.iter().any(|it| *it > 14), "{two_months:?}");
    assert_eq!(two_months[..two_weeks.len()], two_weeks);
    // However far is looked, the thresholds are those of the cellar.
    let far = cellar.json(&["due", "--within", "170d"]);
    let all = far["reasons"].as_array().unwrap().iter();
    let horizons: Vec<&Value> = all
        .flat_map(|it| it["thresholds"].as_array().unwrap())
        .filter(|it| it["name"] == "horizon_days")
        .map(|it| &it["value"])
        .collect();
    assert!(
        !horizons.is_empty() && horizons.iter().all(|it| **it == 14.0),
        "{horizons:?}"
    );
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
