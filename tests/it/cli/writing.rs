//! Writing to the book, and mending it.

use super::{Cellar, borrowed, json, leesline, run};

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
fn an_entry_is_named_by_its_number_or_its_uid() {
    let cellar = Cellar::new().with_carboy();
    let written = cellar.json(&["measure", "Carboy A", "--ph", "3.3"]);
    let uid = written["uid"].as_str().unwrap();
    let end = &uid[uid.len() - 6..];
    assert!(cellar.done(&["void", end, "--yes"]).contains("pH 3.3"));
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
        "amend", &number, "receive", "Carboy A", "--amount", "21 L", "--batch", "Riesling", "--yes",
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
        "--yes",
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
    cellar.done(&["restore", copy, "--yes"]);
    assert_eq!(
        cellar.json(&["board"])["vessels"][0]["holds"]["volume_ul"],
        22_700_000
    );
}

#[test]
fn an_amendment_goes_to_the_cellar_that_was_named_wherever_it_was_named() {
    let cellar = Cellar::new().with_carboy();
    let measured = cellar.json(&["measure", "Carboy A", "--ph", "3.3"]);
    let number = measured["number"].to_string();
    let file = cellar.file();
    let amended = json(&[
        "amend", &number, "measure", "Carboy A", "--ph", "3.4", "--json", "--cellar", &file,
        "--yes",
    ]);
    assert_eq!(amended["amends"], measured["uid"]);
}

#[test]
fn a_file_that_does_not_add_up_is_found_with_3() {
    let cellar = Cellar::new().with_carboy();
    let file = rusqlite::Connection::open(cellar.file()).unwrap();
    let changed = file
        .execute("UPDATE flow SET volume_ul = volume_ul + 1", [])
        .unwrap();
    drop(file);
    assert_eq!(changed, 1);
    cellar.check_refused(&["check"], 3, "leesline check --mend");
    assert_eq!(
        cellar.json(&["check", "--mend"])["faults"],
        serde_json::json!([])
    );
    assert_eq!(cellar.json(&["check"])["faults"], serde_json::json!([]));
}

#[test]
fn without_a_name_the_cellar_lies_in_the_data_folder() {
    let folder = tempfile::tempdir().unwrap();
    let with = |arguments: &[&str]| {
        let mut program = leesline();
        program.env("XDG_DATA_HOME", folder.path()).args(arguments);
        program.output().unwrap().status.code()
    };
    assert_eq!(with(&["board"]), Some(1));
    assert_eq!(with(&["init"]), Some(0));
    assert_eq!(with(&["board"]), Some(0));
    assert!(folder.path().join("leesline/cellar.leesline").is_file());
}

#[test]
fn today_moves_now_both_ways() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["discard", "Carboy A", "--amount", "all"]);
    let volume = |today: &str| {
        let board = cellar.json(&["--today", today, "board"]);
        board["vessels"][0]["holds"]["volume_ul"].as_i64()
    };
    assert_eq!(volume("-3d"), Some(22_700_000));
    assert_eq!(volume("-90d"), None);
    let later = cellar.json(&["--today", "2099-01-01", "board"]);
    assert_eq!(
        later["now"].as_str().unwrap().get(..16),
        Some("2099-01-01T12:00")
    );
    cellar.check_refused(&["--today", "soonish", "board"], 2, "not a date");
}

/// A kit with its plan in a cellar of its own: the steps still open, as `due` says them.
fn open_steps(cellar: &Cellar) -> Vec<String> {
    let due = cellar.json(&["due", "--within", "400"]);
    let reasons = due["reasons"].as_array().unwrap().iter();
    reasons
        .filter(|it| it["kind"] == "job")
        .map(|it| it["sentence"].as_str().unwrap().to_owned())
        .map(|it| it.split(':').next().unwrap().to_owned())
        .collect()
}

#[test]
fn what_was_done_closes_its_step_and_voiding_it_opens_the_step_again() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["vessel", "add", "Carboy K", "--mark", "23 L"]);
    cellar.done(&[
        "plan",
        "add",
        "Kit",
        "--step",
        "day 1: yeast",
        "--step",
        "day 14: rack",
        "--step",
        "day 20: degas",
    ]);
    cellar.done(&["plan", "start", "Kit", "Carboy A", "--day-one", "-30d"]);
    assert_eq!(open_steps(&cellar), ["yeast", "rack", "degas"]);
    // Written up later than the plan, dated before it.
    cellar.done(&["pitch", "Carboy A", "--at", "-30d"]);
    assert_eq!(open_steps(&cellar), ["rack", "degas"]);
    cellar.done(&["rack", "Carboy A", "--to", "Carboy K"]);
    assert_eq!(open_steps(&cellar), ["degas"]);
    cellar.done(&["undo", "--yes"]);
    assert_eq!(open_steps(&cellar), ["rack", "degas"]);
    cellar.check_refused(
        &["done", "rack", "--about", "Nowhere"],
        2,
        "no vessel, batch or bottles",
    );
    cellar.done(&["done", "rack", "--about", "Carboy A"]);
    assert_eq!(open_steps(&cellar), ["degas"]);
    cellar.done(&["done", "degas", "--about", "Riesling"]);
    assert_eq!(open_steps(&cellar), Vec::<String>::new());
    cellar.done(&["check"]);
}

#[test]
fn what_obviously_follows_needs_no_flag() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["here", "Kit red", "--bottles", "12"]);
    assert!(cellar.done(&["give", "Kit red", "2"]).contains('2'));
    cellar.done(&["reserve", "Kit red", "6", "--for", "the show"]);
    assert!(
        cellar
            .done(&["taste", "Carboy A", "thin", "and", "sour"])
            .contains("thin and sour")
    );
    cellar.done(&["pitch", "Carboy A", "the yeast"]);
    let twice = ["give", "Kit red", "2", "--count", "3"];
    cellar.check_refused(&twice, 2, "say the same: give one of them");
    let rack = ["rack", "Carboy A", "Carboy B"];
    cellar.check_refused(
        &rack,
        2,
        "not asked here without its flag; `rack` takes --to",
    );
}

#[test]
fn a_date_in_words_is_said_again_as_the_day_it_was_taken_as() {
    let cellar = Cellar::new().with_carboy();
    let said = cellar.done(&["taste", "Carboy A", "plums", "--at", "yesterday"]);
    let weekdays = [
        "Monday",
        "Tuesday",
        "Wednesday",
        "Thursday",
        "Friday",
        "Saturday",
        "Sunday",
    ];
    assert!(
        weekdays
            .iter()
            .any(|it| said.contains(&format!(" of {it} "))),
        "{said}"
    );
    let said = cellar.done(&["taste", "Carboy A", "plums"]);
    assert!(!weekdays.iter().any(|it| said.contains(it)), "{said}");
}

#[test]
fn a_new_cellar_says_which_gallon_it_takes() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("new.leesline");
    let (_, said, _) = run(&["--cellar", file.to_str().unwrap(), "init"]);
    assert!(
        said.contains("the US one, 3.785 L") && said.contains("--gallon imperial"),
        "{said}"
    );
}

// 13 L there and 10.5 L more are 23.5 L, under the mark of 25 L.
#[test]
fn a_vessel_named_among_its_own_parts_counts_once() {
    let cellar = Cellar::new();
    for (vessel, litres, wine, kind) in [
        ("Bertha", "13 L", "Rondo 25", "red"),
        ("Twelve", "10.5 L", "Rondo 24", "red"),
        ("Jug", "4 L", "Riesling", "white"),
    ] {
        cellar.done(&[
            "here", vessel, "--mark", "25 L", "--holds", wine, "--amount", litres, "--wine", kind,
        ]);
    }
    let blend = |from: &str, name: &str| {
        let asked = cellar.asked(&["blend", "Bertha", "--from", from, "--as", name]);
        super::run(&super::borrowed(&asked))
    };
    let (code, _, told) = blend("Twelve=10.5 L; Bertha=5 L", "Two years");
    assert!(code == 2 && told.contains("13.0 L by the book"), "{told}");
    let (code, _, told) = blend("Bertha=all", "Two years");
    assert!(
        code == 2 && told.contains("what is blended into it"),
        "{told}"
    );
    let (code, said, told) = blend("Twelve=10.5 L; Bertha=all", "Two years");
    assert_eq!((code, told.as_str()), (0, ""), "{said}");
    let shown = cellar.done(&["show", "Two years"]);
    assert!(shown.contains("13.0 L of Rondo 25"), "{shown}");
    assert!(shown.contains("10.5 L of Rondo 24"), "{shown}");
    // Two reds make a red; a white with them makes what nobody said.
    let kind = |name: &str| {
        let batches = cellar.json(&["batch", "list"])["batches"].clone();
        let all = batches.as_array().unwrap().iter();
        let of_it = all.clone().find(|it| it["name"] == name);
        of_it.unwrap()["wine"].clone()
    };
    assert_eq!(kind("Two years"), "red");
    let (code, _, told) = blend("Jug=1 L", "Mixed");
    assert!(code == 0 && told.contains("of one kind"), "{told}");
    assert_eq!(kind("Mixed"), "unknown");
    cellar.done(&["check"]);
}

/// 5 L that were there and 1 L remembered later have the blend's name, and 2 L that came.
#[test]
fn what_is_remembered_of_a_vessel_before_its_blend_is_in_the_blend() {
    let cellar = Cellar::new();
    for line in [
        "vessel add A --mark 20L --at 2026-01-01",
        "vessel add B --mark 20L --at 2026-01-01",
        "receive A --amount 5L --batch White --at 2026-02-01",
        "receive B --amount 5L --batch White --at 2026-02-01",
    ] {
        cellar.on("2026-11-27", line);
    }
    let blend = ["blend", "B", "--from", "B=all; A=2L", "--as", "Cuvee"];
    let on = ["--at", "2026-05-01", "--today", "2026-11-27"];
    cellar.done(&[&blend[..], &on].concat());
    cellar.on(
        "2026-11-27",
        "receive B --amount 1L --batch White --at 2026-03-01",
    );
    let shown = cellar.on("2026-11-27", "show B");
    let holds = shown.lines().find(|it| it.contains("holds")).unwrap();
    assert_eq!(
        holds.split_whitespace().collect::<Vec<_>>(),
        ["holds", "Cuvee"]
    );
    assert!(shown.contains("8.0 L of 20.0 L"), "{shown}");
    cellar.done(&["check"]);
}

/// What taking the entry away alone would change is no change in the end where the new one brings it back.
#[test]
fn amending_tells_what_differs_in_the_end() {
    let cellar = Cellar::new().with_carboy();
    let dose = ["add", "Carboy A", "sulfite", "--amount"];
    cellar.done(&[&dose[..], &["1 g", "--at", "-8d"]].concat());
    cellar.done(&["measure", "Carboy A", "--ph", "3.4", "--at", "-5d"]);
    let book = cellar.json(&["book", "--kind", "add"]);
    let number = book["entries"][0]["number"].to_string();
    let amended = |rest: &[&str]| {
        let amend = [&["amend", &number][..], &dose, rest].concat();
        let (code, _, told) = run(&borrowed(&cellar.asked(&amend)));
        assert_eq!(code, 1, "{told}");
        told
    };
    let same = amended(&["1 g", "--note", "with cool water"]);
    assert!(!same.contains("SO2 added"), "{same}");
    let more = amended(&["1.5 g"]);
    assert!(
        more.contains("SO2 added") && !more.contains("becomes 0"),
        "{more}"
    );
}

/// A vessel may hold other wine again by the later day: what it held in between says nothing of then.
#[test]
fn an_amendment_to_a_later_day_finds_what_the_vessel_holds_then() {
    let cellar = Cellar::new();
    for line in [
        &["vessel", "add", "D", "--mark", "30L", "--at", "-300d"][..],
        &["receive", "D", "--amount", "5L", "--at", "-200d"],
        &["measure", "D", "--ph", "3.4", "--at", "-150d"],
        &["discard", "D", "--yes", "--at", "-100d"],
        &["receive", "D", "--amount", "4L", "--at", "-50d"],
    ] {
        cellar.done(line);
    }
    let amend = ["amend", "4", "--yes", "measure", "D", "--ph", "3.4", "--at"];
    cellar.check_refused(
        &[&amend[..], &["-70d"]].concat(),
        1,
        "D is empty by the book",
    );
    cellar.done(&[&amend[..], &["-20d"]].concat());
    let shown = cellar.json(&["show", "D"]);
    assert!(shown.to_string().contains("3.4"), "{shown}");
    cellar.done(&["check"]);
}

#[test]
fn a_reason_of_bottles_is_put_off_though_a_vessel_has_their_name() {
    let cellar = Cellar::new();
    cellar.done(&["vessel", "add", "Bin", "--mark", "30L"]);
    let here = [
        "here",
        "Bin",
        "--bottles",
        "6",
        "--wine",
        "red",
        "--since",
        "autumn 2019",
    ];
    cellar.done(&here);
    cellar.done(&["window", "Bin", "--closes", "-10d"]);
    let snooze = ["snooze", "Bin", "--reason", "drink-up"];
    cellar.check_refused(&snooze, 2, "Bin has no such reason");
    cellar.done(&[&snooze[..], &["--sort", "run"]].concat());
    assert!(!cellar.done(&["due"]).contains("drink"));
}

/// Undone one after the other until the vessel itself is gone: each is told as what it was.
#[test]
fn what_was_undone_is_told_by_the_names_that_it_had() {
    let cellar = Cellar::with_damson();
    cellar.done(&["measure", "Carboy", "--ph", "3.4"]);
    for _ in 0..2 {
        cellar.done(&["undo", "--yes"]);
    }
    let book = cellar.done(&["book"]);
    for words in [
        "Measured Carboy: pH 3.40",
        "Took over Carboy with 22.4 L of Damson",
    ] {
        assert!(book.contains(words), "{words}: {book}");
    }
    assert!(!book.contains("something voided"), "{book}");
    // What a further program makes of the file is the same as what this one kept of it.
    cellar.done(&["check"]);
}
