//! Something is wrong: the text, marking, what follows, lifting.

use serde_json::Value;

use super::{Cellar, check_keys, run};

fn words(all: &Value, key: &str) -> Vec<String> {
    let all = all.as_array().unwrap().iter();
    all.map(|it| it[key].as_str().unwrap().to_owned()).collect()
}

#[test]
fn sediment_is_crystals_or_yeast_and_says_how_to_tell() {
    let cellar = Cellar::demo();
    let said = cellar.done(&["trouble", "sediment"]);
    for part in ["Crystals", "swirls up is yeast", "dissolve in hot water"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn a_word_finds_the_text_and_the_book_is_asked() {
    let cellar = Cellar::demo();
    let said = cellar.done(&["trouble", "Demijohn 2", "egg"]);
    for expected in [
        "Rotten egg",
        "days on its gross lees",
        "Never copper by guess",
        "Safe to drink",
        "leesline trouble mark 'Demijohn 2' egg",
        "leesline rack 'Demijohn 2'",
    ] {
        assert!(said.contains(expected), "{expected}: {said}");
    }
    assert!(said.lines().all(|it| it.chars().count() <= 80), "{said}");
    // A batch leads to what holds it, a beginning of a name is enough, and no place needs no cellar's help.
    assert!(
        cellar
            .done(&["trouble", "Elder 26"])
            .starts_with("Bucket: Elder 26")
    );
    assert!(
        cellar
            .done(&["trouble", "demijohn 2", "smells", "of", "eggs"])
            .contains("Rotten egg")
    );
    assert!(
        cellar
            .done(&["trouble", "white", "film", "on", "it"])
            .contains("Film on top")
    );
}

#[test]
fn a_bottle_in_its_slot_is_told_of_and_a_mark_is_for_them_all() {
    let cellar = Cellar::demo();
    let told = cellar.done(&["trouble", "Stair rack/C6", "fizz"]);
    assert!(told.starts_with("Plum 25\n"), "{told}");
    cellar.check_refused(
        &["trouble", "mark", "Stair rack/C6", "fizz"],
        2,
        "Stair rack/C6 holds a bottle of Plum 25: `trouble mark` with Plum 25 marks them all, and `look` with Stair rack/C6 keeps what was found of that one.",
    );
}

#[test]
fn bottles_that_may_burst_are_opened_given_and_laid_down_only_with_a_yes() {
    let cellar = Cellar::demo();
    cellar.done(&["trouble", "mark", "Plum 25", "rising"]);
    let check =
        |arguments: &[&str]| cellar.check_refused(arguments, 1, "Plum 25 is marked as troubled");
    check(&["open", "Plum 25"]);
    check(&["give", "Plum 25", "--to", "Ines"]);
    cellar.done(&["open", "Plum 25", "--yes"]);
    cellar.done(&["trouble", "over", "Plum 25"]);
    cellar.done(&["open", "Plum 25"]);
    cellar.done(&["look", "Regent 25", "--corks", "rising", "--yes"]);
    cellar.check_refused(&["lay-down", "Regent 25"], 1, "gloves");
}

#[test]
fn spoiled_bottles_are_none_to_drink() {
    let cellar = Cellar::demo();
    let row = || {
        let listed = cellar.done(&["bottles"]);
        let row = listed.lines().find(|it| it.contains("Plum 25"));
        row.unwrap().to_owned()
    };
    assert!(row().contains("to drink"), "{}", row());
    cellar.done(&["trouble", "mark", "Plum 25", "vinegar"]);
    let row = row();
    assert!(row.contains(" spoiled, marked: vinegar"), "{row}");
    assert!(!row.contains("to drink"), "{row}");
}

#[test]
fn without_words_the_book_says_what_is_likely_and_without_a_place_all_are_listed() {
    let cellar = Cellar::demo();
    let said = cellar.done(&["trouble", "Demijohn 2"]);
    assert!(said.contains("More likely by the book: "), "{said}");
    let sound = cellar.done(&["trouble", "Carboy B"]);
    assert!(sound.contains("The book has no sign of a fault"), "{sound}");
    let all = cellar.done(&["trouble"]);
    assert!(all.contains("egg") && all.contains("flies"), "{all}");
}

#[test]
fn what_is_not_known_is_said() {
    let cellar = Cellar::demo();
    cellar.check_refused(
        &["trouble", "qwertz"],
        2,
        "Nothing here is known by `qwertz`",
    );
    cellar.check_refused(&["trouble", "Demijon 2", "egg"], 2, "Demijohn 2");
    cellar.check_refused(
        &["trouble", "mark", "Demijohn 2", "qwertz"],
        2,
        "no fault that is known",
    );
    cellar.check_refused(&["trouble", "mark", "Tank", "egg"], 1, "holds nothing");
    cellar.check_refused(
        &["trouble", "over", "Demijohn 2"],
        1,
        "not marked as troubled",
    );
}

#[test]
fn json_has_every_part() {
    let cellar = Cellar::demo();
    let document = cellar.json(&["trouble", "Demijohn 2", "egg"]);
    check_keys(
        &document,
        &["cellar", "now", "place", "said", "fits", "follows"],
    );
    let best = &document["fits"][0];
    check_keys(
        best,
        &[
            "fault",
            "name",
            "said",
            "speaks_for",
            "speaks_against",
            "notice",
            "tell",
            "today",
            "never",
            "saved",
            "safe",
            "drink",
            "cautions",
            "sources",
            "commands",
        ],
    );
    assert_eq!(
        (&best["fault"], &best["safe"]),
        (&"egg".into(), &"safe".into())
    );
    assert!(
        best["speaks_for"][0]["sentence"]
            .as_str()
            .unwrap()
            .contains("gross lees")
    );
    assert_eq!(best["commands"][0]["command"][1], "rack");
    let without = cellar.json(&["trouble", "egg"]);
    assert_eq!(
        (&without["place"], &without["follows"]),
        (&Value::Null, &Value::Null)
    );
}

/// Row red was blended from Regent 25 and Plum 25, of which there are bottles.
#[test]
fn a_fault_is_followed_through_a_named_blend_both_ways() {
    let cellar = Cellar::demo();
    cellar.done(&["give", "Regent 25", "2", "--to", "Ines"]);
    let of_blend = cellar.done(&["trouble", "mark", "Demijohn 1", "geranium"]);
    for part in ["Regent 25", "Plum 25"] {
        let line = format!("Row red was made with {part}. Bottles of {part}: ");
        assert!(of_blend.contains(&line), "{of_blend}");
    }
    assert!(
        of_blend.contains("Tell Ines: 2 bottles of Regent 25 given"),
        "{of_blend}"
    );
    let of_part = cellar.done(&["trouble", "mark", "Plum 25", "fizz"]);
    assert!(
        of_part.contains("Plum 25 went into Row red: look in Demijohn 1 too."),
        "{of_part}"
    );
    // Regent 25 has no wine of Plum 25 in it.
    assert!(!of_part.contains("Regent 25"), "{of_part}");
    let kin = &cellar.json(&["trouble", "Plum 25", "fizz"])["follows"]["kin"];
    let named = |it: &Value| (it["batch"]["name"].clone(), it["tie"].clone());
    let named: Vec<_> = kin.as_array().unwrap().iter().map(named).collect();
    assert_eq!(named, [("Row red".into(), "made-of-it".into())]);
    assert_eq!(kin[0]["vessels"][0]["name"], "Demijohn 1");
}

/// 29 bottles of Regent 25 stand in the demo; thrown away for mould they are no broken glass.
#[test]
fn bottles_of_a_spoiled_run_are_poured_away_and_not_broken() {
    let cellar = Cellar::demo();
    let told = cellar.done(&["trouble", "Regent 25", "mould"]);
    assert!(told.contains("leesline discard 'Regent 25'"), "{told}");
    assert!(!told.contains("leesline break"), "{told}");
    let all = "All 29 of them are poured away";
    cellar.check_refused(&["discard", "Regent 25"], 1, all);
    let told = cellar.done(&["discard", "Regent 25", "--count", "5"]);
    assert!(
        told.contains("Poured away 5 bottles of Regent 25"),
        "{told}"
    );
    let entry = &cellar.json(&["book"])["entries"][0];
    assert_eq!(entry["kind"], "discard");
    assert_eq!(entry["bottles"][0]["to"]["name"], "discarded");
    cellar.done(&["discard", "Regent 25", "--yes"]);
    let bottles = cellar.done(&["bottles"]);
    let is_gone = |it: &str| it.starts_with("Regent 25") && it.ends_with("none left");
    assert!(bottles.lines().any(is_gone), "{bottles}");
    let amount = ["discard", "Plum 25", "--amount", "1 L"];
    cellar.check_refused(&amount, 2, "by the bottle");
}

#[test]
fn marking_finds_the_bottles_and_the_friends_and_lasts_until_it_is_lifted() {
    let cellar = Cellar::demo();
    let told = cellar.done(&[
        "trouble",
        "mark",
        "Plum 25",
        "fizz",
        "--words",
        "a cork popped",
    ]);
    assert!(
        told.contains("Marked Plum 25 as troubled: fizz in a still wine, `a cork popped`"),
        "{told}"
    );
    assert!(told.contains("Bottles of Plum 25: "), "{told}");
    // Two were given to the harvest helpers and came back empty; so nobody is to be told yet.
    assert!(told.contains("None of Plum 25 was given away"), "{told}");
    cellar.done(&["give", "Plum 25", "2", "--to", "Ines", "--yes"]);
    let shown = cellar.done(&["trouble", "Plum 25"]);
    assert!(
        shown.contains("Tell Ines: 2 bottles of Plum 25 given"),
        "{shown}"
    );
    let follows = &cellar.json(&["trouble", "Plum 25", "fizz"])["follows"];
    assert_eq!(
        (&follows["gifts"][0]["whom"], &follows["gifts"][0]["count"]),
        (&"Ines".into(), &2.into())
    );
    assert_eq!(follows["runs"][0]["run"]["name"], "Plum 25");

    let due = cellar.json(&["due"]);
    let reasons = due["reasons"].as_array().unwrap();
    let reason = reasons.iter().find(|it| it["kind"] == "trouble").unwrap();
    assert_eq!(reason["rank"], "now");
    assert!(
        reason["sentence"]
            .as_str()
            .unwrap()
            .contains("do not drink it yet")
    );
    assert_eq!(
        words(&reason["why"], "sentence")
            .iter()
            .filter(|it| it.to_lowercase().contains("goggles"))
            .count(),
        2
    );
    assert_eq!(
        reason["command"],
        serde_json::json!(["leesline", "trouble", "over", "Plum 25", "--fault", "fizz"])
    );
    let run = &cellar.json(&["show", "Plum 25"])["run"]["holds"]["troubles"][0];
    assert_eq!(
        (&run["fault"], &run["safe"]),
        (&"fizz".into(), &"not-yet".into())
    );

    cellar.check_refused(
        &["trouble", "mark", "Plum 25", "fizz"],
        1,
        "is marked with fizz",
    );
    cellar.done(&["trouble", "over", "Plum 25"]);
    let due = cellar.json(&["due"]);
    assert!(
        due["reasons"]
            .as_array()
            .unwrap()
            .iter()
            .all(|it| it["kind"] != "trouble")
    );
    // Undoing the lifting brings the mark back, and undoing the mark takes it away.
    cellar.done(&["undo", "--yes"]);
    assert!(cellar.done(&["show", "Plum 25"]).contains("trouble"));
    cellar.done(&["check"]);
}

#[test]
fn a_mark_travels_with_the_wine_and_is_found_in_the_bottles_of_the_batch() {
    let cellar = Cellar::demo();
    cellar.done(&["trouble", "mark", "Demijohn 2", "egg"]);
    cellar.done(&["rack", "Demijohn 2", "--to", "Jug", "--leaving", "1.2 L"]);
    let vessel = &cellar.json(&["show", "Jug"])["vessel"]["holds"]["troubles"][0];
    assert_eq!(vessel["fault"], "egg");
    cellar.done(&[
        "bottle",
        "start",
        "Jug",
        "--name",
        "Damson",
        "--filled",
        "4",
        "--overrule",
        "to drink this week",
    ]);
    cellar.done(&["bottle", "finish", "Damson"]);
    assert_eq!(
        cellar.json(&["show", "Damson", "--sort", "run"])["run"]["holds"]["troubles"][0]["fault"],
        "egg"
    );
    cellar.done(&["give", "Damson", "--count", "1", "--to", "Ines", "--yes"]);
    for _ in 0..3 {
        cellar.done(&["open", "Damson"]);
    }
    // The run is drunk up, and Ines has her bottle all the same: of the same batch, from another vessel.
    cellar.done(&[
        "receive",
        "Demijohn 2",
        "--amount",
        "1 L",
        "--batch",
        "Damson 26",
    ]);
    cellar.done(&["trouble", "mark", "Demijohn 2", "onion"]);
    let said = cellar.done(&["trouble", "Demijohn 2", "onion"]);
    assert!(
        said.contains("Tell Ines: 1 bottle of Damson given"),
        "{said}"
    );
    cellar.done(&["check"]);
}

#[test]
fn a_mark_can_be_amended() {
    let cellar = Cellar::demo();
    let told = cellar.done(&["trouble", "mark", "Demijohn 2", "smells of eggs"]);
    let entry = told.split([' ', ':']).nth(1).unwrap().to_owned();
    assert!(told.contains("rotten egg, `smells of eggs`"), "{told}");
    cellar.done(&[
        "amend",
        &entry,
        "trouble",
        "mark",
        "Demijohn 2",
        "onion",
        "--yes",
    ]);
    let troubles = &cellar.json(&["show", "Demijohn 2"])["vessel"]["holds"]["troubles"];
    assert_eq!(words(troubles, "fault"), ["onion"]);
}

/// The text is for someone frightened, who may have no cellar file at hand; a place has to be in one.
#[test]
fn what_to_do_is_told_without_a_cellar_too() {
    let nowhere = tempfile::tempdir().unwrap();
    let file = nowhere.path().join("none.leesline");
    let file = file.to_str().unwrap();
    let (code, told, _) = run(&["--cellar", file, "trouble", "corks", "rising"]);
    assert_eq!(code, 0);
    assert!(told.contains("Goggles, gloves and a towel on."), "{told}");
    assert!(!std::path::Path::new(file).exists());
}

/// Who says yes beforehand reads what it was to.
#[test]
fn a_yes_given_beforehand_does_not_swallow_the_caution() {
    let cellar = Cellar::with_damson();
    let file = cellar.file();
    let (code, _, told) = run(&[
        "--cellar", &file, "add", "Carboy", "sulfite", "30 g", "--yes",
    ]);
    assert_eq!(code, 0, "{told}");
    assert!(told.contains("mg/L"), "{told}");
}

#[test]
fn a_marked_wine_is_told_among_the_bottles_and_given_only_with_a_yes() {
    let cellar = Cellar::demo();
    cellar.done(&["trouble", "mark", "Plum 25", "vinegar"]);
    let bottles = cellar.done(&["bottles"]);
    let plum = bottles.lines().find(|it| it.starts_with("Plum 25"));
    assert!(plum.unwrap().contains("marked: vinegar"), "{bottles}");
    let give = ["give", "Plum 25", "--to", "Ines"];
    cellar.check_refused(&give, 1, "Whoever gets one should know.");
    cellar.done(&[&give[..], &["--yes"]].concat());
    cellar.done(&["trouble", "over", "Plum 25"]);
    cellar.done(&give);
}

/// Mould is poured away, all of it, and never topped up or bottled with (common practice).
#[test]
fn a_marked_wine_is_poured_to_a_sound_one_or_bottled_only_with_a_word_of_its_own() {
    let cellar = Cellar::demo();
    cellar.done(&["trouble", "mark", "Carboy B", "mould", "--yes"]);
    let top_up = [
        "top-up", "Carboy A", "--from", "Carboy B", "--amount", "0.2 L",
    ];
    cellar.check_refused(
        &top_up,
        1,
        "Carboy B is marked with mould, and Carboy A is not",
    );
    let start = ["bottle", "start", "Carboy B", "--filled", "20", "--yes"];
    cellar.check_refused(&start, 1, "mould");
    let plan = cellar.done(&["bottle", "plan", "Carboy B"]);
    assert!(plan.contains("Sound?"), "{plan}");
    assert!(!cellar.done(&["board"]).contains("ready to bottle"));
    // Nor is a sound one poured to it, and that it is over is asked about.
    let back = [
        "top-up", "Carboy B", "--from", "Carboy A", "--amount", "0.1 L",
    ];
    cellar.check_refused(&back, 1, "goes the same way");
    cellar.check_refused(
        &["trouble", "over", "Carboy B"],
        1,
        "only if it was marked by mistake",
    );
    cellar.done(&["trouble", "over", "Carboy B", "--yes"]);
    cellar.done(&top_up);
}

/// Bottles that were filled of what is found mouldy afterwards are of the same wine.
#[test]
fn bottles_of_a_wine_that_is_marked_later_are_opened_or_given_only_with_a_yes() {
    let cellar = Cellar::demo();
    cellar.done(&[
        "bottle", "start", "Carboy B", "--filled", "20", "--mark", "S6", "--yes",
    ]);
    cellar.done(&["bottle", "finish", "S6", "--left", "stays", "--yes"]);
    cellar.done(&["trouble", "mark", "Carboy B", "mould", "--yes"]);
    for verb in [&["open", "S6"][..], &["give", "S6", "--to", "Ines"]] {
        cellar.check_refused(
            verb,
            1,
            "Carboy B, of the same wine, is marked as troubled: mould",
        );
        cellar.done(&[verb, &["--yes"]].concat());
    }
}

/// 1.020 and falling: sugar and yeast that would set a dry wine to work again (common practice).
#[test]
fn what_ferments_is_poured_to_a_dry_wine_only_with_a_yes() {
    let cellar = Cellar::demo();
    let top_up = [
        "top-up", "Carboy B", "--from", "Bucket", "--amount", "0.1 L",
    ];
    cellar.check_refused(
        &top_up,
        1,
        "Bucket may still ferment, and Carboy B does not",
    );
    cellar.done(&[&top_up[..], &["--yes"]].concat());
}

#[test]
fn bottles_are_poured_into_another_wine_only_with_a_yes() {
    let cellar = Cellar::demo();
    let unbottle = ["unbottle", "Plum 25", "2", "--into", "Bucket"];
    cellar.check_refused(&unbottle, 1, "is this a blend?");
    cellar.done(&[&unbottle[..], &["--yes"]].concat());
}
