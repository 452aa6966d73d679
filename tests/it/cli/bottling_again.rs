//! A bottling written anew: with its count or another, finished or under way, and undone again.

use super::{Cellar, borrowed, run};

/// Ten bottles out of 22.4 L, counted in the start or one by one, with one broken among them.
fn ten_bottles(counted: &[&str], finished: bool) -> Cellar {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &[counted, &["--mark", "da"]].concat());
    if counted.is_empty() {
        cellar.done(&["bottle", "count", "Damson", "11"]);
        cellar.done(&["bottle", "count", "Damson", "1", "--event", "broken"]);
    }
    if finished {
        cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    }
    cellar
}

/// The number of the start, what stands of the run by the list, and what the carboy holds.
fn stands(cellar: &Cellar) -> (String, i64, i64) {
    let book = cellar.json(&["book"]);
    let mut entries = book["entries"].as_array().unwrap().iter();
    let start =
        entries.find(|it| it["voided_by"].is_null() && it["fillings"] != serde_json::json!([]));
    let runs = cellar.json(&["bottles"]);
    let board = cellar.json(&["board"]);
    assert_eq!(runs["bottles"][0]["mark"], "da");
    (
        start.map_or(String::new(), |it| it["number"].to_string()),
        runs["bottles"][0]["count"].as_i64().unwrap(),
        board["vessels"][0]["holds"]["volume_ul"]
            .as_i64()
            .unwrap_or_default(),
    )
}

/// That start written anew, with so much of it otherwise.
fn anew<'a>(start: &'a str, otherwise: &[&'a str]) -> Vec<&'a str> {
    let again = [
        "amend",
        start,
        "bottle",
        "start",
        "Carboy",
        "--overrule",
        "so",
    ];
    [&again[..], otherwise, &["--yes"]].concat()
}

#[test]
fn a_bottling_written_anew_adds_up_and_undo_brings_back_what_was() {
    let none: &[&str] = &[];
    let amendments: [(&[&str], i64, i64); 7] = [
        (&[], 10, 7_500),
        (&["--note", "by the window"], 10, 7_500),
        (&["--filled", "10"], 10, 7_500),
        (&["--filled", "12"], 12, 9_000),
        (&["--filled", "7"], 7, 5_250),
        (&["--filled", "10x375"], 10, 3_750),
        (&["--size", "375", "--filled", "9 1x750"], 10, 4_125),
    ];
    for counted in [none, &["--filled", "10"]] {
        for finished in [false, true] {
            let cellar = ten_bottles(counted, finished);
            let broken = if counted.is_empty() { 750 } else { 0 };
            let left = |bottled: i64| (22_400 - broken - bottled) * 1_000;
            let (mut start, ..) = stands(&cellar);
            for (amendment, bottles, bottled) in amendments {
                let what = format!("{counted:?}, {finished}, {amendment:?}");
                cellar.done(&anew(&start, amendment));
                cellar.done(&["check"]);
                let amended = stands(&cellar);
                assert_eq!((amended.1, amended.2), (bottles, left(bottled)), "{what}");
                cellar.done(&["undo", "--yes"]);
                cellar.done(&["check"]);
                let undone = stands(&cellar);
                assert_eq!((undone.1, undone.2), (10, left(7_500)), "{what}");
                start = undone.0;
            }
            if !finished {
                cellar.done(&["bottle", "count", "Damson", "2"]);
                cellar.done(&["check"]);
                assert_eq!(stands(&cellar).1, 12);
            }
            // Undone once more it is what came before that goes, and not the amendment again.
            cellar.done(&["undo", "--yes"]);
            if finished {
                cellar.done(&["undo", "--yes"]);
            }
            cellar.done(&["check"]);
            let runs = cellar.json(&["bottles"]);
            assert_eq!(runs["bottles"], serde_json::json!([]));
        }
    }
}

#[test]
fn bottles_counted_are_not_made_of_another_size_without_a_word() {
    let cellar = ten_bottles(&["--filled", "10"], true);
    let (start, ..) = stands(&cellar);
    cellar.check_refused(
        &anew(&start, &["--size", "375"]),
        1,
        "10 × 750 mL were counted, and it would be of another size; give that size again",
    );
}

#[test]
fn an_amended_count_is_held_to_what_was_there_and_to_what_was_done_with_the_bottles() {
    let cellar = ten_bottles(&["--filled", "10"], true);
    cellar.done(&["lay-down", "Damson", "--count", "9", "--yes"]);
    let (start, ..) = stands(&cellar);
    for (filled, why) in [("40", "count fewer"), ("8", "would no longer hold")] {
        let again = cellar.asked(&anew(&start, &["--filled", filled]));
        let (code, _, told) = run(&borrowed(&again));
        assert_eq!(code, 1, "{filled}: {told}");
        assert!(told.contains(why), "{filled}: {told}");
    }
    cellar.done(&["check"]);
}

#[test]
fn wine_is_taken_from_a_vessel_that_is_being_bottled_only_after_a_question() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &[]);
    cellar.done(&["vessel", "add", "Jug", "--mark", "25 L"]);
    let can = [
        "here", "Can", "--mark", "5 L", "--holds", "Rhubarb", "--amount", "2 L",
    ];
    cellar.done(&can);
    cellar.done(&["bottle", "count", "Damson", "4"]);
    let takes: [&[&str]; 3] = [
        &["rack", "Carboy", "--to", "Jug"],
        &["discard", "Carboy"],
        &["top-up", "Can", "--from", "Carboy", "--amount", "1 L"],
    ];
    for taken in takes {
        cellar.check_refused(taken, 1, "Damson is being bottled from Carboy");
    }
    cellar.done(&["draw", "Carboy", "--amount", "100 mL"]);
    cellar.done(&["discard", "Carboy", "--yes"]);
    let more = ["bottle", "count", "Damson", "1"];
    cellar.check_refused(&more, 1, "took so much out of Carboy");
    cellar.done(&["check"]);
}

/// By hand: 30 × 0.75 = 22.5 L of 22.4 L, and 29 × 0.75 + 7 × 0.375 = 24.375 L.
#[test]
fn more_than_the_book_had_is_said_at_once() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &[]);
    let count = |arguments: &[&str]| {
        let all = [&["bottle", "count", "Damson"], arguments].concat();
        let (code, out, told) = run(&borrowed(&cellar.asked(&all)));
        assert_eq!(code, 0, "{out}{told}");
        told
    };
    assert_eq!(count(&["29"]), "");
    assert!(count(&["1"]).contains("That is 100 mL more than Carboy held by the book"));
    assert_eq!(count(&["-1"]), "");
    let told = count(&["7", "--size", "375"]);
    assert!(
        told.contains("That is 2.0 L more than Carboy held"),
        "{told}"
    );
    let filled = Cellar::with_damson();
    let start = filled.asked(&super::start_of("Carboy", &["--filled", "31"]));
    let (code, _, told) = run(&borrowed(&start));
    assert_eq!(code, 0, "{told}");
    assert!(
        told.contains("That is 850 mL more than Carboy held"),
        "{told}"
    );
}

#[test]
fn a_run_gets_a_mark_that_no_other_has() {
    let cellar = Cellar::with_damson();
    let mut marks = Vec::new();
    for _ in 0..3 {
        cellar.bottles("Carboy", &[]);
        let runs = cellar.json(&["bottles"]);
        let all = runs["bottles"].as_array().unwrap();
        marks = all.iter().map(|it| it["mark"].to_string()).collect();
        let open = all.iter().find(|it| it["finished"].is_null()).unwrap();
        let name = open["name"].as_str().unwrap();
        cellar.done(&["bottle", "count", name, "2"]);
        cellar.done(&["bottle", "finish", name]);
    }
    marks.sort();
    marks.dedup();
    assert_eq!(marks.len(), 3);
    assert!(marks.iter().all(|it| it.starts_with("\"D")), "{marks:?}");
}

#[test]
fn a_run_whose_bottles_are_typed_once_has_a_mark_too_and_is_found_by_it() {
    let cellar = Cellar::with_damson();
    let start = cellar.asked(&super::start_of("Carboy", &["--filled", "10"]));
    let (code, out, told) = super::run(&super::borrowed(&start));
    assert_eq!(code, 0, "{told}");
    let run = cellar.json(&["bottles"])["bottles"][0].clone();
    let mark = run["mark"].as_str().unwrap();
    assert!(told.contains(&format!("Its mark is {mark}")), "{out}{told}");
    assert!(cellar.done(&["bottles", "--run", mark]).contains("Damson"));
    cellar.done(&["bottle", "finish", mark]);
    // Who left them without is believed.
    cellar.bottles(
        "Carboy",
        &["--filled", "2", "--mark", "none", "--name", "Bare"],
    );
    let all = cellar.json(&["bottles", "--run", "Bare"]);
    assert!(
        all["bottles"][0]["mark"]
            .as_str()
            .unwrap_or_default()
            .is_empty()
    );
}

/// The command that a refusal names, as it is typed.
fn named_in(told: &str) -> Vec<String> {
    let line = told.split('`').nth(1).unwrap();
    line.split(' ')
        .skip(1)
        .map(|it| it.replace('"', ""))
        .collect()
}

/// 14 counted though 12 were there, and all laid down: the entry in the way is named with the command that puts it
/// right, and after that the count is taken.
#[test]
fn a_count_put_right_after_the_bottles_were_moved_names_what_to_amend() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "14", "--yes"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    cellar.done(&["lay-down", "Damson", "--where", "cupboard", "--yes"]);
    let fewer = ["bottle", "count", "Damson", "-2", "--yes"];
    let (code, _, told) = super::run(&super::borrowed(&cellar.asked(&fewer)));
    assert_eq!(code, 1);
    assert!(
        told.contains("lay-down Damson --count 12 --where cupboard"),
        "{told}"
    );
    let amend = named_in(&told);
    cellar.done(&[&super::borrowed(&amend)[..], &["--yes"]].concat());
    cellar.done(&fewer);
    let run = &cellar.json(&["bottles"])["bottles"][0];
    assert_eq!(run["count"], 12);
    cellar.done(&["check"]);
}

/// Each in a slot of its own, and moved on from there: what is nearest to now is put right first.
#[test]
fn a_count_put_right_after_the_bottles_went_into_slots_names_the_rack() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "14", "--yes"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    let rack = [
        "shelves",
        "add",
        "Rack A",
        "--kind",
        "grid",
        "--columns",
        "4,4,4,4",
    ];
    cellar.done(&rack);
    cellar.done(&["lay-down", "Damson", "--where", "Rack A", "--yes"]);
    let fewer = ["bottle", "count", "Damson", "-2", "--yes"];
    let (code, _, told) = super::run(&super::borrowed(&cellar.asked(&fewer)));
    assert_eq!(code, 1);
    let line = "lay-down Damson --count 12 --where \"Rack A\"`";
    assert!(told.contains(line), "{told}");
    let entry = told
        .split("amend ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap();
    let amend = [
        "amend", entry, "lay-down", "Damson", "--count", "12", "--where", "Rack A", "--yes",
    ];
    cellar.done(&amend);
    cellar.done(&fewer);
    assert_eq!(cellar.json(&["bottles"])["bottles"][0]["count"], 12);
    cellar.done(&["check"]);
}

/// A gift written up on Sunday, of a bottle that was gone before the others were laid down.
#[test]
fn a_gift_from_before_the_bottles_were_laid_down_names_what_to_amend() {
    let cellar = Cellar::new();
    let day = |day: &'static str, line: &str| cellar.on(day, line);
    day(
        "2026-08-01",
        "here Carboy --mark 23L --holds Damson --amount 22.4L",
    );
    day(
        "2026-09-05",
        "bottle start Carboy --filled 29 --overrule trial --yes",
    );
    day("2026-09-05", "bottle finish Damson --yes");
    day("2026-09-08", "lay-down Damson --where cupboard --yes");
    let give = "give Damson 1 --to Ines --at 2026-09-06 --yes --today 2026-09-13";
    let give: Vec<&str> = give.split(' ').collect();
    let (code, _, told) = super::run(&super::borrowed(&cellar.asked(&give)));
    assert_eq!(code, 1);
    assert!(
        told.contains("lay-down Damson --count 28 --where cupboard"),
        "{told}"
    );
    let amend = named_in(&told);
    let today = ["--yes", "--today", "2026-09-13"];
    cellar.done(&[&super::borrowed(&amend)[..], &today].concat());
    cellar.done(&give);
    let list = cellar.json(&["--today", "2026-09-13", "bottles"]);
    assert_eq!(list["bottles"][0]["count"], 28);
    cellar.done(&["check"]);
}

#[test]
fn bottles_kept_for_another_are_not_said_to_be_the_only_ones() {
    let cellar = ten_bottles(&["--filled", "10"], true);
    cellar.done(&["vessel", "add", "Jug", "--mark", "5 L"]);
    cellar.done(&["reserve", "Damson", "4", "--for", "Ines"]);
    cellar.done(&["reserve", "Damson", "6", "--for", "Oda"]);
    let poured = ["unbottle", "Damson", "1", "--into", "Jug"];
    cellar.check_refused(
        &poured,
        1,
        "All that are left are kept for someone, these for ",
    );
}

#[test]
fn bottles_kept_for_someone_are_freed_though_they_were_laid_down_since() {
    let cellar = ten_bottles(&["--filled", "10"], true);
    let kept = |count: &str, whom: &str| {
        let kept = cellar.json(&["reserve", "Damson", count, "--for", whom]);
        kept["number"].to_string()
    };
    let (ines, _) = (kept("2", "Ines"), kept("3", "Oda"));
    cellar.done(&["lay-down", "Damson", "--yes"]);
    cellar.done(&["void", &ines, "--yes"]);
    cellar.done(&["check"]);
    let run = &cellar.json(&["bottles"])["bottles"][0];
    assert_eq!(
        (&run["count"], &run["reserved_count"]),
        (&10.into(), &3.into())
    );
}

/// Of 40 bottles and 100 corks, 29 bottles out of 22.4 L: what is on hand follows the count, and so does the wine.
#[test]
fn a_finished_run_is_counted_up_and_down_and_what_it_took_follows() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "40", "--size", "750"]);
    cellar.done(&["buy", "cork", "--amount", "100"]);
    cellar.bottles("Carboy", &["--filled", "29", "--mark", "da"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    let on_hand = || {
        let list = cellar.done(&["stock"]);
        let of = |name: &str| {
            let line = list.lines().find(|it| it.starts_with(name)).unwrap();
            let words = line[name.len()..].split_whitespace();
            words.flat_map(str::parse::<i64>).next().unwrap()
        };
        (of("empty 750 mL, dirty"), of("cork 1"))
    };
    let check = |bottles: i64, left_ml: i64| {
        cellar.done(&["check"]);
        let (_, count, left) = stands(&cellar);
        assert_eq!((count, left), (bottles, left_ml * 1_000));
        assert_eq!(on_hand(), (40 - bottles, 100 - bottles));
    };
    let count = |more: &str| cellar.done(&["bottle", "count", "Damson", more, "--yes"]);
    check(29, 650);
    cellar.check_refused(
        &["bottle", "count", "Damson", "-2"],
        1,
        "is finished with 29 bottles; this writes entry",
    );
    check(29, 650);
    assert!(count("-2").contains("27 bottles"));
    check(27, 2_150);
    count("1");
    check(28, 1_400);
    // Of 100 mL more than the book had nothing is left.
    count("2");
    check(30, 0);
    let told = cellar.done(&["undo", "--yes"]);
    assert!(told.contains("is now what was"), "{told}");
    check(28, 1_400);
    // Finished anew, it takes the rest and no more.
    let book = cellar.json(&["book"]);
    let mut entries = book["entries"].as_array().unwrap().iter();
    let finish = entries.find(|it| {
        let told = it["sentence"].as_str().unwrap_or_default();
        it["voided_by"].is_null() && told.starts_with("Finished bottling")
    });
    let finish = finish.unwrap()["number"].to_string();
    cellar.done(&["void", &finish, "--yes"]);
    cellar.done(&["bottle", "count", "Damson", "-1"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    check(27, 2_150);
    cellar.check_refused(
        &["bottle", "count", "Damson", "-28"],
        1,
        "27 of 750 mL were filled, and 28 cannot be taken back",
    );
    cellar.check_refused(
        &["bottle", "count", "Damson", "-27"],
        1,
        "no bottle would be left",
    );
}

/// Of another size as many go as come: 27 and 3 instead of 29.
#[test]
fn a_count_written_anew_in_two_sizes_takes_of_both() {
    let cellar = Cellar::with_damson();
    for (size, there) in [("750", "40"), ("375", "20")] {
        cellar.done(&["empties", "add", there, "--size", size]);
    }
    cellar.done(&["buy", "cork", "--amount", "100"]);
    cellar.bottles("Carboy", &["--filled", "29", "--mark", "da"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    let (start, ..) = stands(&cellar);
    let told = cellar.done(&anew(&start, &["--filled", "27x750 3x375"]));
    for change in [
        "750 mL: 11 becomes 13",
        "375 mL: 20 becomes 17",
        "71 becomes 70",
    ] {
        assert!(told.contains(change), "{told}");
    }
    cellar.done(&["check"]);
}

/// A finish that left the empties alone leaves them alone.
#[test]
fn what_a_finish_did_not_take_is_not_taken_later() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "40", "--size", "750"]);
    cellar.bottles("Carboy", &["--filled", "29", "--mark", "da"]);
    cellar.done(&["bottle", "finish", "Damson", "--empties", "no", "--yes"]);
    cellar.done(&["buy", "cork", "--amount", "100"]);
    cellar.done(&["bottle", "count", "Damson", "-2", "--yes"]);
    let list = cellar.done(&["stock"]);
    for there in ["empty 750 mL, dirty  40", "cork 1               100"] {
        assert!(list.contains(there), "{list}");
    }
}

#[test]
fn the_lees_said_at_the_start_are_lees_at_the_finish() {
    let finished = |finish: &[&str]| {
        let cellar = Cellar::with_damson();
        cellar.bottles("Carboy", &["--filled", "29", "--lees", "300 mL"]);
        let all = [&["bottle", "finish", "Damson", "--yes"], finish].concat();
        cellar.done(&all);
        cellar.done(&["check"]);
        cellar.json(&["board"])["vessels"][0]["holds"]["volume_ul"].as_i64()
    };
    // 22.4 L less 21.75 L in the bottles.
    assert_eq!(finished(&[]), Some(350_000));
    assert_eq!(finished(&["--leaving", "100 mL"]), Some(550_000));
    assert_eq!(finished(&["--leaving", "0"]), Some(650_000));
    let cellar = Cellar::with_damson();
    let too_much = cellar.asked(&super::start_of("Carboy", &["--lees", "30 L"]));
    let (code, _, told) = run(&borrowed(&too_much));
    assert_eq!(code, 1, "{told}");
    assert!(
        told.contains("30.0 L of lees is more than the 22.4 L in Carboy"),
        "{told}"
    );
}

#[test]
fn a_run_without_a_mark_gets_none_as_it_is_written_anew() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--mark", "none"]);
    let mark = || cellar.json(&["bottles"])["bottles"][0]["mark"].clone();
    cellar.done(&["bottle", "count", "Damson", "3"]);
    assert!(mark().as_str().unwrap_or_default().is_empty());
    let book = cellar.json(&["book"]);
    let start = book["entries"][0]["number"].to_string();
    cellar.done(&anew(&start, &["--note", "again"]));
    assert!(mark().as_str().unwrap_or_default().is_empty());
}

/// 22.4 L less 0.3 of lees in the pail; 2 g of 57.63 % in 22.1 L bring 52.2 mg/L, to each bottle as to what is left: with steps
/// before the first bottle, and without.
#[test]
fn what_is_racked_and_dosed_before_the_first_bottle_is_in_all_of_them() {
    for chores in ["yes", "no"] {
        let cellar = Cellar::with_damson();
        cellar.done(&["vessel", "add", "Pail", "--mark", "30 L"]);
        let start = ["bottle", "start", "Carboy", "--overrule", "a trial", "-y"];
        cellar.done(&[&start[..], &["--chores", chores]].concat());
        for _ in 0..3 {
            if chores == "yes" {
                cellar.done(&["bottle", "ready", "Damson", "-y"]);
            }
        }
        let racked = ["rack", "Carboy", "--to", "Pail", "--leaving", "0.3 L", "-y"];
        let (_, _, told) = run(&borrowed(&cellar.asked(&racked)));
        assert!(
            told.contains("Damson is bottled from Pail from now on."),
            "{told}"
        );
        cellar.done(&["add", "Pail", "sulfite", "--amount", "2 g", "-y"]);
        if chores == "yes" {
            cellar.done(&["bottle", "ready", "Damson", "-y"]);
        }
        cellar.done(&["bottle", "count", "Damson", "29"]);
        let late = ["add", "Pail", "sulfite", "--amount", "0.1 g"];
        cellar.check_refused(&late, 1, "29 of Damson are filled");
        cellar.done(&["bottle", "finish", "Damson", "-y"]);
        for place in ["Damson", "Pail"] {
            let shown = cellar.done(&["show", place]);
            let words = "52 mg/L since the must";
            assert!(shown.contains(words), "{shown}");
        }
        // 22.1 L less 29 × 0.75.
        assert!(cellar.done(&["show", "Pail"]).contains("350 mL of 30.0 L"));
        cellar.done(&["check"]);
        // Counted again, that and the finish taken back: the book agrees. The entry that they hang on stays.
        cellar.done(&["bottle", "count", "Damson", "-1", "-y"]);
        cellar.done(&["check"]);
        for _ in 0..2 {
            cellar.done(&["undo", "--yes"]);
            cellar.done(&["check"]);
        }
        cellar.check_refused(&["undo", "--yes"], 1, "29 bottles counted since");
    }
}

/// 22.4 L less 26 × 0.75 are 2.9 L. Of 5.3 L that are found 7 bottles more are filled, and 50 mL is left.
#[test]
fn what_is_found_in_the_vessel_while_it_is_bottled_was_there_before_the_first_bottle() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &[]);
    cellar.done(&["bottle", "count", "Damson", "26"]);
    let seven = ["bottle", "count", "Damson", "7"];
    cellar.check_refused(&seven, 1, "enough for 29 × 750 mL, not for 33");
    // 5.3 and 19.5 L are more than its mark, 23 L.
    let found = ["adjust", "Carboy", "--level", "5.3 L"];
    cellar.check_refused(&found, 1, "marked 23.0 L and will hold 24.8 L");
    cellar.done(&[&found[..], &["-y"]].concat());
    assert_eq!(cellar.done(&seven), "Damson: 33 bottles.\n");
    assert!(cellar.done(&["show", "Carboy"]).contains("50 mL of 23.0 L"));
    assert!(
        cellar
            .done(&["book"])
            .contains("Found 2.4 L more in Carboy than the book had")
    );
    cellar.done(&["check"]);
}

/// 22.4 L, of which 19.5 are filled: where 2 L are found and not 2.9, 0.9 less was in it before the first bottle, and two bottles more
/// are filled. What was put in before the first bottle may be said to have been earlier, and counts no bottle twice.
#[test]
fn less_is_found_in_the_vessel_and_an_addition_is_moved_and_the_bottles_stay() {
    let cellar = Cellar::new();
    let here = "here Carboy --mark 23L --holds Damson --amount 22.4L --wine fruit --at -10d";
    cellar.done(&here.split(' ').collect::<Vec<_>>());
    cellar.bottles("Carboy", &[]);
    cellar.done(&["add", "Carboy", "sulfite", "--amount", "1 g", "-y"]);
    cellar.done(&["bottle", "count", "Damson", "26"]);
    // The newest is what the first press made ready, and before it the sulfite went in.
    let key = cellar.json(&["book", "--limit", "2"])["entries"][1]["number"].to_string();
    let earlier = [
        "amend", &key, "add", "Carboy", "sulfite", "--amount", "1 g", "--at", "-2d", "-y",
    ];
    cellar.done(&earlier);
    assert!(cellar.done(&["bottles"]).contains("26 × 750 mL"));
    cellar.done(&["check"]);
    cellar.done(&["adjust", "Carboy", "--level", "2 L"]);
    assert_eq!(
        cellar.done(&["bottle", "count", "Damson", "2"]),
        "Damson: 28 bottles.\n"
    );
    assert!(
        cellar
            .done(&["show", "Carboy"])
            .contains("500 mL of 23.0 L")
    );
    let sum = cellar.done(&["bottle", "finish", "Damson", "-y"]);
    assert!(sum.contains("It adds up"), "{sum}");
    cellar.done(&["check"]);
}
