//! What people type: names and amounts without quotes, sizes with units, years that are slips.

use super::Cellar;

#[test]
fn names_and_amounts_are_taken_without_quotes() {
    let check = |line: &str, expected: &str| {
        let cellar = Cellar::demo();
        let words: Vec<&str> = line.split(' ').collect();
        let said = cellar.done(&words);
        assert!(said.contains(expected), "{line}: {said}");
    };
    check(
        "rack Carboy A --to Carboy D --leaving 2 L",
        "Racked 20.7 L of Riesling juice 26 from Carboy A into Carboy D; 2 L left",
    );
    check(
        "rack Bucket --to carboy e=16 L --leaving 1 L",
        "Racked 16 L of Elder 26 from Bucket into Carboy E; 1 L left",
    );
    check("measure Carboy A --ph 3.4", "Measured Carboy A: pH 3.40.");
    check(
        "top-up Carboy C --from Demijohn 1 --amount 20 mL",
        "Topped up Carboy C with 20 mL of Row red from Demijohn 1.",
    );
    check(
        "amend 195 measure Carboy A --gravity 0.995 --yes",
        "Measured Carboy A: gravity 0.995.",
    );
    check("what-if rack Carboy A --to Carboy D", "Carboy D");
}

#[test]
fn what_is_no_name_is_refused_in_the_words_that_were_typed() {
    let cellar = Cellar::demo();
    let check = |line: &str, expected: &str| {
        let words: Vec<&str> = line.split(' ').collect();
        cellar.check_refused(&words, 2, expected);
    };
    check(
        "rack Carboy X --to Carboy D",
        "`X` is not asked here without its flag",
    );
    check("vessel list all", "`all` is not asked here");
}

#[test]
fn sizes_of_bottles_have_units_and_are_bottles() {
    let cellar = Cellar::demo();
    let plan = |sizes: &str| {
        let plan = cellar.json(&["bottle", "plan", "Carboy B", "--sizes", sizes]);
        let fills = plan["fills"].as_array().unwrap().clone();
        let each = |it: &serde_json::Value| (it["bottles"].as_i64(), it["size_ml"].as_i64());
        fills.iter().map(each).collect::<Vec<_>>()
    };
    // 18.9 L are 3 bottles of 5 L.
    assert_eq!(plan("5 L"), [(Some(3), Some(5000))]);
    assert_eq!(plan("75cl"), [(Some(25), Some(750))]);
    assert_eq!(plan("10x1.5 L"), [(Some(10), Some(1500))]);
    let refused = |sizes: &str, words: &str| {
        cellar.check_refused(&["bottle", "plan", "Carboy B", "--sizes", sizes], 2, words);
    };
    refused("5", "`5` is a bottle of 5 mL, outside 20 mL to 60 L");
    refused("many", "`many` names no sizes");
    refused("0x750", "`0x750` names no sizes");
}

#[test]
fn a_year_that_no_wine_has_is_refused_and_one_long_ago_is_asked_about() {
    let cellar = Cellar::demo();
    let early = "is before 1900";
    cellar.check_refused(&["jot", "late", "--at", "1726"], 2, early);
    cellar.check_refused(&["jot", "late", "--at", "1726-11-25"], 2, early);
    let here = ["here", "Tank", "--holds", "Old", "--since", "autumn 1726"];
    cellar.check_refused(&here, 2, early);
    let here = ["here", "Old", "--bottles", "3", "--since", "1726"];
    cellar.check_refused(&here, 2, early);
    let asked = cellar.asked(&["jot", "late", "--at", "1990-01-01"]);
    let (code, _, told) = super::run(&super::borrowed(&asked));
    assert_eq!(
        (code, told.as_str()),
        (0, "1 Jan 1990 is 36 years ago; is the year right?\n")
    );
}

#[test]
fn a_spoon_of_what_no_spoon_is_weighed_of_is_bought_all_the_same() {
    let cellar = Cellar::demo();
    let words = ["buy", "pectic", "enzyme", "2", "tsp"];
    assert_eq!(
        cellar.done(&words),
        "Entry 199: Bought pectic enzyme 2 (2 tsp).\n"
    );
}

#[test]
fn a_stage_that_is_not_known_says_what_would_tell() {
    let cellar = Cellar::with_damson();
    let told = "stage not known: measure its gravity, or write down its last racking";
    assert!(cellar.done(&["show", "Carboy"]).contains(told));
    assert!(cellar.done(&["board"]).contains(told));
}

#[test]
fn a_vessel_that_holds_wine_is_not_taken_over_as_empty() {
    let cellar = Cellar::demo();
    let held = "Carboy A holds 22.7 L by the book already";
    cellar.check_refused(&["here", "Carboy A"], 1, held);
    cellar.check_refused(&["here", "Carboy A", "--amount", "empty"], 1, held);
    cellar.check_refused(&["here", "Carboy A", "--mark", "25 L"], 1, held);
    assert_eq!(
        cellar.done(&["here", "Tank"]),
        "Entry 199: Took over Tank, empty.\n"
    );
}

/// 22.4 L at 0.05 g a litre are 1.12 g, and 0.5 g is there: 0.62 g is short.
#[test]
fn sulfite_that_attention_says_is_short_is_to_be_bought() {
    let cellar = Cellar::with_damson();
    cellar.done(&["buy", "sulfite", "--amount", "0.5g"]);
    let short = cellar.json(&["stock", "--to-buy"]);
    let short = short["to_buy"].as_array().unwrap();
    let powder: Vec<_> = short
        .iter()
        .filter(|it| it["substance"] == "potassium-metabisulfite")
        .map(|it| (it["work"].as_str().unwrap(), it["amount_ug"].as_i64()))
        .collect();
    assert_eq!(powder, [("next-dose", Some(620_000))]);
}
