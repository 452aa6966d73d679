//! Tasting: sheets, blind tastings, lists.

use super::{Cellar, borrowed, run};

fn tasted() -> Cellar {
    let cellar = Cellar::demo();
    cellar.done(&[
        "taste",
        "Carboy B",
        "--words",
        "pear, long",
        "--sheet",
        "oiv-2009",
        "--points",
        "5 8 6 8 14 6 7 8 19 10",
    ]);
    cellar
}

#[test]
fn the_points_of_a_sheet_are_summed_and_kept() {
    let list = tasted().json(&["tastings", "Solaris 25"]);
    let all = list["wines"][0]["tastings"].as_array().unwrap();
    let newest = all.last().unwrap();
    assert_eq!(newest["score"], 91.0);
    assert_eq!(newest["marks"]["most"], 100.0);
    let items = newest["marks"]["items"].as_array().unwrap();
    let sum: f64 = items.iter().map(|it| it["points"].as_f64().unwrap()).sum();
    assert_eq!((items.len(), sum), (10, 91.0));
    // Oldest first, each beside what was measured by then.
    assert_eq!(all[0]["free_so2_mg_l"], 20.0);
    assert_eq!(newest["free_so2_mg_l"], 25.0);
}

#[test]
fn a_test_that_found_less_than_it_can_tell_is_told_so_beside_a_tasting() {
    let cellar = Cellar::demo();
    cellar.done(&["measure", "Carboy B", "--free-so2", "<10"]);
    cellar.done(&["taste", "Carboy B", "--words", "bruised apple"]);
    let list = cellar.json(&["tastings", "Solaris 25"]);
    let newest = list["wines"][0]["tastings"].as_array().unwrap().last();
    let newest = newest.unwrap();
    let told = ["free_so2_mg_l", "free_so2_mg_l_low", "free_so2_mg_l_high"];
    let told = told.map(|it| newest[it].as_f64());
    assert_eq!(told, [None, None, Some(10.0)]);
    let page = cellar.done(&["tastings", "Solaris 25"]);
    assert!(page.contains("SO2 <10"), "{page}");
}

#[test]
fn a_sheet_filled_in_wrong_says_what_it_asks() {
    let cellar = Cellar::demo();
    let sheet = ["taste", "Carboy B", "--sheet", "card-20", "--points"];
    let check = |points: &str, expected: &str| {
        cellar.check_refused(&[&sheet[..], &[points]].concat(), 2, expected);
    };
    check(
        "1 2",
        "asks 10 numbers and 2 were given; still to come: nose aroma and bouquet: 0 to 4 in halves; nose volatile",
    );
    check(
        "1 9",
        "`9` is no mark for sight colour: it gets 0 to 2 in halves.",
    );
    cellar.check_refused(
        &sheet[..4],
        2,
        "0 were given; still to come: sight appearance: 0 to 2 in halves; sight colour",
    );
    let taste = ["taste", "Carboy B", "--points", "1 2"];
    cellar.check_refused(&taste, 2, "Of which sheet are the points?");
}

#[test]
fn what_a_tasting_asks_for_is_a_job() {
    let cellar = Cellar::demo();
    cellar.done(&[
        "taste",
        "Carboy B",
        "--words",
        "a little flat",
        "--act",
        "trial of acid",
    ]);
    assert!(cellar.done(&["due"]).contains("trial of acid"));
    let told = cellar.done(&["tastings", "Solaris 25"]);
    assert!(told.contains("act: trial of acid"), "{told}");
    // Of the others nobody said that anything is to be done.
    let mut cells = told.lines().flat_map(|it| it.split("  ")).map(str::trim);
    assert!(!cells.any(|it| it == "keep"), "{told}");
}

#[test]
fn a_day_among_the_words_is_the_day_of_the_job() {
    let day = |act: &str| {
        let cellar = Cellar::demo();
        cellar.done(&["taste", "Carboy B", "--words", "round", "--act", act]);
        let due = cellar.json(&["due"]);
        let all = due["reasons"].as_array().unwrap();
        let job = all
            .iter()
            .find(|it| it["sentence"].as_str().unwrap().starts_with(act));
        job.map(|it| it["due"].as_str().unwrap()[..10].to_owned())
    };
    // The demo's day is 25 Nov 2026: in ten days, and a month that has begun is today's.
    assert_eq!(day("trial of acid on 5 Dec").as_deref(), Some("2026-12-05"));
    assert_eq!(
        day("trial of acid in 10 days").as_deref(),
        Some("2026-12-05")
    );
    assert_eq!(
        day("trial of acid in November").as_deref(),
        Some("2026-11-25")
    );
    // Not yet within sight.
    assert_eq!(day("trial of acid in September"), None);
    let cellar = Cellar::demo();
    let undated = [
        "taste",
        "Carboy B",
        "--words",
        "round",
        "--act",
        "may want acid",
    ];
    let (_, _, told) = run(&borrowed(&cellar.asked(&undated)));
    assert!(
        told.contains("When? `may want acid` names no day"),
        "{told}"
    );
}

#[test]
fn what_a_tasting_of_bottles_asks_for_is_a_job_until_it_is_said_done() {
    let cellar = Cellar::demo();
    let asked = [
        "taste",
        "Plum 25",
        "--words",
        "flat",
        "--act",
        "rack back to bulk",
    ];
    cellar.done(&asked);
    assert!(cellar.done(&["due"]).contains("rack back to bulk"));
    cellar.done(&["done", "rack back to bulk"]);
    assert!(!cellar.done(&["due"]).contains("rack back to bulk"));
}

#[test]
fn a_blind_tasting_tells_nobody_before_it_is_revealed() {
    let cellar = Cellar::demo();
    cellar.done(&["blind", "start", "Carboy B; Plum 25; Demijohn 1"]);
    cellar.check_refused(
        &["blind", "start", "Carboy A; Carboy B"],
        1,
        "a blind tasting is under way",
    );
    cellar.check_refused(
        &["blind", "taste", "Q", "--words", "x"],
        2,
        "No wine is poured as `Q`",
    );
    let names = ["Carboy B", "Plum 25", "Demijohn 1", "Solaris 25", "Row red"];
    let said = cellar.done(&[
        "blind",
        "taste",
        "B",
        "--words",
        "a word of its own",
        "--score",
        "14",
    ]);
    let book = cellar.done(&["book", "--limit", "1"]);
    let entry = &cellar.json(&["book"])["entries"][0];
    assert_eq!(entry["tastings"][0]["words"], "a word of its own");
    let document = entry.to_string();
    for told in [&said, &book, &document] {
        assert!(
            told.contains("wine B") && !names.iter().any(|it| told.contains(it)),
            "{told}"
        );
    }
    assert!(!cellar.done(&["tastings"]).contains("a word of its own"));
    // Nor what is handed on of the book, nor the order in which it was begun.
    let table = cellar.done(&["export"]);
    let tasted = |it: &&str| it.contains("a word of its own") || it.contains("of wine B");
    let rows: Vec<&str> = table.lines().filter(tasted).collect();
    assert!(
        rows.iter().any(|it| it.contains(",tasting,wine B,")),
        "{rows:?}"
    );
    let document = cellar.json(&["export"]);
    let entries = document["entries"].as_array().unwrap().iter();
    let of_it = entries.filter(|it| it["tastings"][0]["sheet"] == "blind B");
    let told = rows.iter().map(|it| (*it).to_owned());
    let told: Vec<String> = told.chain(of_it.map(ToString::to_string)).collect();
    assert!(told.len() > rows.len(), "{told:?}");
    for told in &told {
        assert!(!names.iter().any(|it| told.contains(it)), "{told}");
    }
    let things = document["things"].as_array().unwrap();
    assert!(things.iter().all(|it| it["attributes"]["flight"].is_null()));
    for listed in ["export", "book"] {
        let all = cellar.json(&[listed])["entries"].clone();
        let mut changes = all.as_array().unwrap().iter().flat_map(|it| {
            let changes = it["changes"].as_array().unwrap().iter();
            changes.map(|it| it["field"].as_str().unwrap())
        });
        assert!(changes.all(|it| it != "flight"), "{listed}");
    }
    // Nor do the entries of any one wine say which it was.
    for wine in ["Carboy B", "Plum 25", "Demijohn 1"] {
        for asked in [&["show", wine][..], &["book", "--of", wine]] {
            assert!(
                !cellar.done(asked).contains("a word of its own"),
                "{asked:?}"
            );
        }
    }
    // What undoing it would change, and what came of it, would: a vessel and its volume.
    let (_, _, asked) = run(&borrowed(&cellar.asked(&["undo"])));
    let undone = cellar.done(&["void", &entry["number"].to_string(), "--yes"]);
    let back = cellar.done(&["undo", "--yes"]);
    for told in [&asked, &undone, &back] {
        assert!(
            told.contains("wine B") && !names.iter().any(|it| told.contains(it)),
            "{told}"
        );
    }
    let supposed = ["what-if", "blind", "taste", "B", "x"];
    cellar.check_refused(&supposed, 1, "until `leesline blind reveal`");
    let who = cellar.done(&["blind", "who"]);
    cellar.done(&["blind", "reveal"]);
    assert!(
        cellar
            .done(&["book", "--limit", "1"])
            .contains(who.trim().trim_end_matches('.'))
    );
    assert!(cellar.done(&["tastings"]).contains("a word of its own"));
    let table = cellar.done(&["export"]);
    assert!(!table.contains(",tasting,wine B,"), "{table}");
    assert!(cellar.done(&["check"]).contains("agree"));
}

#[test]
fn a_taste_from_a_vessel_is_drawn_from_it_and_one_of_a_bottle_is_not() {
    let cellar = Cellar::demo();
    let volume = || {
        let board = cellar.json(&["board"]);
        let vessels = board["vessels"].as_array().unwrap();
        let it = vessels.iter().find(|it| it["name"] == "Carboy B").unwrap();
        it["holds"]["volume_ul"].as_i64().unwrap()
    };
    let check = |arguments: &[&str], drawn: i64| {
        let before = volume();
        cellar.done(&[&["taste"], arguments].concat());
        assert_eq!(before - volume(), drawn, "{arguments:?}");
    };
    check(&["Carboy B", "--words", "pear"], 30_000);
    check(
        &["Carboy B", "--words", "pear", "--sample", "50 mL"],
        50_000,
    );
    check(&["Carboy B", "--words", "pear", "--sample", "none"], 0);
    check(&["Plum 25", "--words", "plum"], 0);
}

#[test]
fn scores_of_a_vessel_are_drawn_with_its_charts() {
    let cellar = tasted();
    let drawn = |cellar: &Cellar| cellar.done(&["sheet", "Carboy B", "--svg"]);
    // The one on a sheet is on another scale than those without, and says so instead of taking their place.
    let before = drawn(&cellar);
    assert!(before.contains(">Score<"), "{before}");
    assert!(before.contains("1 score on a sheet not drawn"), "{before}");
    let again = "5 8 5 7 14 5 7 7 16 11";
    cellar.done(&[
        "taste", "Carboy B", "--sheet", "oiv-2009", "--points", again,
    ]);
    assert!(drawn(&cellar).contains("Score of 100"));
}

/// A sample of each wine is drawn as for any tasting, 30 mL from a vessel, and a sheet may be filled in.
#[test]
fn a_blind_tasting_draws_its_samples_and_takes_a_sheet() {
    let cellar = Cellar::demo();
    let litres = |vessel: &str| {
        cellar.json(&["show", vessel])["vessel"]["holds"]["volume_ul"]
            .as_i64()
            .unwrap()
    };
    let before = [litres("Carboy A"), litres("Carboy B")];
    cellar.done(&["blind", "start", "Carboy A; Carboy B"]);
    let points = "2 1.5 3 2 2 1 1 2 2 1.5";
    for letter in ["A", "B"] {
        cellar.done(&[
            "blind", "taste", letter, "--sheet", "card-20", "--points", points,
        ]);
    }
    assert_eq!(
        [litres("Carboy A"), litres("Carboy B")],
        before.map(|it| it - 30_000)
    );
    cellar.done(&["blind", "reveal"]);
    let list = cellar.json(&["tastings", "Solaris 25"]);
    let newest = list["wines"][0]["tastings"].as_array().unwrap().last();
    let newest = newest.unwrap();
    // Points of the card, summed by hand.
    assert_eq!(
        (&newest["score"], &newest["marks"]["sheet"]),
        (&18.0.into(), &"card-20".into())
    );
    assert!(["A", "B"].contains(&newest["blind"].as_str().unwrap()));
}

#[test]
fn a_wine_that_is_kept_asks_for_no_job() {
    let cellar = Cellar::demo();
    let jobs = || {
        let due = cellar.json(&["due"]);
        let mut reasons = due["reasons"].as_array().unwrap().iter();
        reasons.any(|it| it["kind"] == "job" && it["sentence"] == "keep")
    };
    cellar.done(&["taste", "Carboy B", "good", "--act", "keep"]);
    assert!(!jobs());
}
