//! Sulfite as a household gives it: packets, tablets, spoons, tests that find nothing, and wine that
//! was there before the book.

use serde_json::json;

use super::Cellar;

/// What a vessel holds, as the board's JSON has it.
fn holds(cellar: &Cellar, vessel: &str) -> serde_json::Value {
    let board = cellar.json(&["board"]);
    let vessels = board["vessels"].as_array().unwrap();
    let found = vessels.iter().find(|it| it["name"] == vessel).unwrap();
    found["holds"].clone()
}

fn check_says(text: &str, words: &str) {
    assert!(text.contains(words), "no `{words}` in:\n{text}");
}

#[test]
fn what_went_in_before_the_book_is_not_taken_as_nothing() {
    let cellar = Cellar::new();
    cellar.done(&["here", "Demijohn", "--holds", "Damson", "--amount", "4.5 L"]);
    let held = holds(&cellar, "Demijohn");
    assert_eq!(held["so2_added_mg_l"], json!(null));
    assert_eq!(held["so2_added_known"], json!(false));
    for verb in ["show", "sheet"] {
        check_says(
            &cellar.done(&[verb, "Demijohn"]),
            "not known before the book",
        );
    }
    // 0.25 g × 0.5763 / 4.5 L (yield from IUPAC atomic masses).
    cellar.done(&["add", "Demijohn", "sulfite", "--amount", "0.25 g"]);
    let held = holds(&cellar, "Demijohn");
    super::check_near(&held["so2_added_mg_l"], 0.25 * 576.3 / 4.5, 0.1);
    assert_eq!(held["so2_added_known"], json!(false));
    check_says(&cellar.done(&["show", "Demijohn"]), "at least 32 mg/L");
}

#[test]
fn a_packet_makes_the_sum_a_least_and_a_test_does_not_unmake_it() {
    let cellar = Cellar::new().with_carboy();
    let known = |it: &Cellar| holds(it, "Carboy A")["so2_added_known"].clone();
    assert_eq!(known(&cellar), json!(true));
    cellar.done(&[
        "add", "Carboy A", "sulfite", "--amount", "a packet", "--at", "-20d",
    ]);
    assert_eq!(known(&cellar), json!(false));
    cellar.done(&["measure", "Carboy A", "--free-so2", "20"]);
    assert_eq!(known(&cellar), json!(false));
}

#[test]
fn a_test_that_found_nothing_is_said_as_it_was_read() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["measure", "Carboy A", "--free-so2", "<10", "--ph", "3.3"]);
    let forecast = &holds(&cellar, "Carboy A")["forecast"];
    let band = ["free_so2_mg_l_low", "free_so2_mg_l", "free_so2_mg_l_high"];
    for (key, expected) in band.iter().zip([0.0, 5.0, 10.0]) {
        super::check_near(&forecast[*key], expected, 0.05);
    }
    for verb in ["show", "sheet"] {
        check_says(&cellar.done(&[verb, "Carboy A"]), "below 10 mg/L");
        check_says(&cellar.done(&[verb, "Carboy A"]), "<10");
    }
}
