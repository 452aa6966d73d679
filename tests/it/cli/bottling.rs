//! A bottling by the command line: what it will take, and what it took of what was on hand.

use super::{Cellar, check_near, run};

/// 22.4 L in a carboy, by the book.
fn with_damson() -> Cellar {
    let cellar = Cellar::new();
    cellar.done(&[
        "here", "Carboy", "--mark", "23 L", "--holds", "Damson", "--amount", "22.4 L", "--wine",
        "fruit",
    ]);
    cellar
}

/// What is left of each lot of supply, by name.
fn stock(cellar: &Cellar) -> Vec<(String, i64)> {
    let document = cellar.json(&["stock"]);
    let lots = document["supplies"].as_array().unwrap().iter();
    let mut lots: Vec<(String, i64)> = lots
        .map(|it| {
            (
                it["name"].as_str().unwrap().to_owned(),
                it["left_count"].as_i64().unwrap_or(-1),
            )
        })
        .collect();
    lots.sort();
    lots
}

/// By hand: 22.4 − 0.3 = 22.1 L; 29 × 0.75 = 21.75; 0.35 remains, less than a bottle of 0.375.
#[test]
fn a_plan_adds_up_to_the_wine() {
    let cellar = with_damson();
    let plan = cellar.json(&[
        "bottle", "plan", "Carboy", "--lees", "0.3 L", "--sizes", "750,375",
    ]);
    let filled: i64 = plan["fills"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it["volume_ul"].as_i64().unwrap())
        .sum();
    assert_eq!(filled, 21_750_000);
    assert_eq!(plan["lees_ul"], 300_000);
    assert_eq!(plan["remains_ul"], 350_000);
    assert_eq!(plan["wine_ul"], 22_400_000);
    assert_eq!(
        (&plan["bottles"], &plan["closures"]),
        (&29.into(), &31.into())
    );
    // 1.5 L and 20 mL a bottle, 100 mg/L SO2 of 0.5763 yield, 3 g/L citric acid.
    check_near(&plan["sanitizer_l"], 2.08, 1e-9);
    check_near(
        &plan["sanitizer_metabisulfite_g"],
        2.08 * 0.1 / 0.5763,
        1e-6,
    );
    check_near(&plan["sanitizer_citric_g"], 6.24, 1e-9);
    assert_eq!(plan["questions"].as_array().unwrap().len(), 7);
    let page = cellar.done(&["bottle", "plan", "Carboy", "--sheet"]);
    assert!(page.contains("[ ] Closures"), "{page}");
}

#[test]
fn what_is_short_is_said_before_anything_is_washed() {
    let cellar = with_damson();
    cellar.done(&[
        "empties", "add", "20", "--finish", "cork", "--colour", "green",
    ]);
    cellar.done(&[
        "empties", "add", "10", "--size", "375", "--finish", "crown-26",
    ]);
    cellar.done(&["buy", "cork", "--amount", "18"]);
    // The half bottles take no cork, so only the twenty are planned with.
    let plan = cellar.json(&["bottle", "plan", "Carboy"]);
    assert_eq!(plan["bottles"], 20);
    assert_eq!(plan["remains_ul"], 7_400_000);
    assert_eq!(plan["short"][0]["what"], "corks");
    assert_eq!(
        (&plan["short"][0]["wanted"], &plan["short"][0]["there"]),
        (&"22".into(), &"18".into())
    );
    let page = cellar.done(&["bottle", "plan", "Carboy", "--sizes", "750"]);
    assert!(
        page.contains("Short       750 mL bottles: 29 wanted, 20 there."),
        "{page}"
    );
}

#[test]
fn a_bottling_takes_the_cleanest_bottles_and_the_closures() {
    let cellar = with_damson();
    cellar.done(&[
        "empties", "add", "40", "--finish", "cork", "--name", "Green",
    ]);
    cellar.done(&[
        "empties",
        "wash",
        "Green",
        "--to",
        "sanitised",
        "--count",
        "25",
    ]);
    cellar.done(&["buy", "cork", "--amount", "100", "--name", "Corks"]);
    let named = |all: &[(&str, i64)]| {
        all.iter()
            .map(|(name, left)| ((*name).to_owned(), *left))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        stock(&cellar),
        named(&[("Corks", 100), ("Green", 15), ("Green, sanitised", 25)])
    );
    cellar.done(&[
        "bottle",
        "start",
        "Carboy",
        "--filled",
        "29",
        "--overrule",
        "a trial",
        "--yes",
    ]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    assert_eq!(
        stock(&cellar),
        named(&[("Corks", 71), ("Green", 11), ("Green, sanitised", 0)])
    );
    cellar.done(&["check"]);
}

#[test]
fn a_cork_for_a_crown_s_bottle_is_spoken_of() {
    let cellar = with_damson();
    cellar.done(&["empties", "add", "40", "--finish", "crown-29"]);
    let (code, out, told) = run(&[
        "--cellar",
        &cellar.file(),
        "bottle",
        "start",
        "Carboy",
        "--overrule",
        "a trial",
    ]);
    assert_eq!(code, 0, "{out}{told}");
    assert!(
        told.contains("for 29 mm crowns, where a cork does not hold"),
        "{told}"
    );
}

#[test]
fn what_is_not_there_is_not_washed() {
    let cellar = with_damson();
    cellar.done(&["empties", "add", "12", "--name", "Green"]);
    cellar.done(&["buy", "cork", "--amount", "100", "--name", "Corks"]);
    let refused = |arguments: &[&str], words: &str| {
        cellar.check_refused(arguments, 1, words);
    };
    refused(
        &["empties", "wash", "Green", "--count", "13"],
        "12 of Green are there, not 13",
    );
    cellar.check_refused(
        &["empties", "wash", "Corks"],
        2,
        "Corks is no lot of bottles",
    );
}

/// By hand: two bottles of 0.75 are 1.5 L.
#[test]
fn bottles_go_back_into_a_vessel_and_a_void_brings_them_back() {
    let cellar = with_damson();
    cellar.done(&["vessel", "add", "Jug", "--mark", "5 L"]);
    cellar.done(&["here", "Merlot 23", "--bottles", "12"]);
    cellar.done(&["unbottle", "Merlot 23", "--count", "2", "--into", "Jug"]);
    let litres = |cellar: &Cellar| {
        let board = cellar.json(&["board"]);
        let vessels = board["vessels"].as_array().unwrap();
        let jug = vessels.iter().find(|it| it["name"] == "Jug").unwrap();
        jug["holds"]["volume_ul"].as_i64()
    };
    assert_eq!(litres(&cellar), Some(1_500_000));
    cellar.done(&["check"]);
    cellar.done(&["undo", "--yes"]);
    assert_eq!(litres(&cellar), None);
    cellar.done(&["check"]);
}

#[test]
fn bottles_of_a_wine_never_measured_are_watched_until_looks_over_weeks_find_nothing() {
    let cellar = with_damson();
    cellar.done(&[
        "bottle",
        "start",
        "Carboy",
        "--filled",
        "29",
        "--overrule",
        "a feast",
    ]);
    cellar.done(&["bottle", "finish", "Damson"]);
    let says = |today: &str| cellar.done(&["--today", today, "due"]);
    let later = |days: u64| {
        let today = chrono::Utc::now().date_naive();
        (today + chrono::Days::new(days)).to_string()
    };
    let watched = "29 bottles may ferment again and burst";
    let now = cellar.done(&["due"]);
    let line = now.lines().find(|it| it.contains(watched));
    assert!(line.is_some_and(|it| it.contains("goggles")), "{now}");
    assert!(now.find(watched) < now.find("standing"), "{now}");
    assert!(says(&later(30)).contains(watched));
    cellar.done(&["--today", &later(43), "look", "Damson", "--corks", "level"]);
    assert!(!says(&later(43)).contains(watched));
}

/// By hand: 22.4 L less 4 × 0.75 L is 19.4 L, 25 bottles and a glass more.
#[test]
fn bottles_that_are_not_there_are_lacking_and_not_wine_to_drink_soon() {
    let cellar = with_damson();
    cellar.done(&["empties", "add", "4", "--finish", "cork"]);
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(
        page.contains("you lack 25 bottles for the other 19.4 L"),
        "{page}"
    );
    assert!(page.contains("corks (none in the book)"), "{page}");
    assert!(!page.contains("drink soon"), "{page}");
}

#[test]
fn what_a_planned_bottling_lacks_is_on_the_list_of_what_to_buy() {
    let cellar = with_damson();
    cellar.done(&["plan", "add", "Sheet", "--step", "day 8: bottle"]);
    cellar.done(&["plan", "start", "Sheet", "Carboy"]);
    cellar.done(&["buy", "cork", "--amount", "12"]);
    let list = cellar.done(&["stock", "--to-buy"]);
    // 22.4 L fill 29 bottles: 31 corks, of which 12 are there.
    let corks = list.lines().find(|it| it.starts_with("corks"));
    let corks = corks.unwrap_or_else(|| panic!("{list}"));
    for words in ["19", "12 there", "for the bottling of Damson due on"] {
        assert!(corks.contains(words), "{corks}");
    }
    let due = cellar.done(&["due"]);
    assert!(
        due.contains("short of corks and empty bottles for the bottling of Damson"),
        "{due}"
    );
}

/// The question that a start brings up, on a carboy and these empties; it goes on.
fn asked(empties: &[&str], start: &[&str]) -> String {
    let cellar = with_damson();
    cellar.done(&[&["empties", "add", "40"], empties].concat());
    let file = cellar.file();
    let begin = [
        "--cellar",
        &file,
        "bottle",
        "start",
        "Carboy",
        "--overrule",
        "a trial",
    ];
    let (code, out, told) = run(&[&begin, start].concat());
    assert_eq!(code, 0, "{out}{told}");
    told
}

#[test]
fn a_crown_is_held_to_the_mouth_of_its_size() {
    let says = "The 750 mL bottles on hand are for 29 mm crowns, where a 26 mm crown does not hold: close them with \
                29 mm crowns, or take others.";
    let on_29 = |closure: &str| asked(&["--finish", "crown-29"], &["--closure", closure]);
    assert!(on_29("crown-26").contains(says), "{}", on_29("crown-26"));
    for fitting in ["crown-29", "crown-cap"] {
        assert!(!on_29(fitting).contains("does not hold"), "{fitting}");
    }
    let cellar = with_damson();
    cellar.done(&["empties", "add", "40", "--finish", "crown-29"]);
    let plan = cellar.json(&[
        "bottle",
        "plan",
        "Carboy",
        "--sizes",
        "750",
        "--closure",
        "crown-26",
    ]);
    assert_eq!(plan["does_not_fit"][0], says);
}

#[test]
fn a_cork_is_not_driven_into_a_screw_neck_without_a_yes() {
    let cellar = with_damson();
    cellar.done(&["empties", "add", "40", "--finish", "screw"]);
    let start = ["bottle", "start", "Carboy", "--overrule", "a trial"];
    cellar.check_refused(&start, 1, "A screw-top neck can break in a corker");
    cellar.done(&[&start[..], &["--yes"]].concat());
}

/// A keg is filled in part, never above what it holds, never above its rating.
#[test]
fn a_keg_is_held_to_its_size_and_its_rating() {
    let cellar = with_damson();
    cellar.done(&[
        "empties",
        "add",
        "2",
        "--package",
        "keg",
        "--size",
        "19 L",
        "--rating",
        "2 bar",
        "--state",
        "clean",
        "--name",
        "Kegs",
    ]);
    let start = [
        "bottle",
        "start",
        "Carboy",
        "--package",
        "keg",
        "--overrule",
        "a trial",
    ];
    let refused =
        |more: &[&str], words: &str| cellar.check_refused(&[&start, more].concat(), 1, words);
    refused(
        &["--pressure", "2.5 bar"],
        "2.5 bar is more than the 2 bar that the keg is rated for; let gas off, or take a keg that stands it.",
    );
    refused(
        &["--pressure", "40 psi"],
        "2.76 bar is more than the 2 bar that the keg is rated for",
    );
    refused(
        &["--size", "30 L", "--pressure", "1 bar"],
        "What the keg is rated for is not known; read it off the keg and give --rating, such as 9 bar, before 1 bar goes on it.",
    );
    refused(
        &["--closure", "cork"],
        "A keg is not closed by a cork; give --closure lid.",
    );
    refused(
        &["--filled", "1x20000"],
        "A keg of 19 L does not hold 20 L; fill less into it, or give its --size.",
    );
    cellar.done(
        &[
            &start[..],
            &["--pressure", "150 kPa", "--filled", "1x18500", "--yes"],
        ]
        .concat(),
    );
    cellar.check_refused(
        &["bottle", "count", "Damson", "1", "--size", "20000"],
        1,
        "A keg of 19 L does not hold 20 L; fill less into it, or give its --size.",
    );
    cellar.check_refused(
        &["bottle", "count", "Damson", "--", "-2"],
        1,
        "Nothing of 19 L is filled, and 2 cannot be taken back; take back no more than that.",
    );
    let plan = cellar.done(&[
        "bottle",
        "plan",
        "Carboy",
        "--package",
        "keg",
        "--sizes",
        "3000",
    ]);
    for words in [
        "1 × 3 L keg",
        "each keg has its own lid",
        "CO2 fills low rooms",
    ] {
        assert!(plan.contains(words), "{words}: {plan}");
    }
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    assert_eq!(stock(&cellar), [("Kegs".to_owned(), 1)]);
    let shown = cellar.done(&["show", "Damson"]);
    for words in ["1 × 18.5 L keg", "1.5 bar", "lid"] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    let due = cellar.done(&["due", "--within", "400d"]);
    let due: Vec<&str> = due.lines().filter(|it| it.contains("Damson")).collect();
    let said = format!("{}{shown}", due.join("\n"));
    for never in ["cork", "lay down", "lying", "standing", "bottles"] {
        assert!(!said.contains(never), "{never}: {said}");
    }
    cellar.check_refused(&["lay-down", "Damson"], 1, "a keg is not laid down");
    cellar.done(&["check"]);
}

#[test]
fn glass_and_bags_are_never_put_under_pressure() {
    let cellar = with_damson();
    let refused = |package: &str, words: &str| {
        let start = [
            "bottle",
            "start",
            "Carboy",
            "--package",
            package,
            "--pressure",
            "1 bar",
            "--overrule",
            "a trial",
        ];
        cellar.check_refused(&start, 1, words);
    };
    let rest = "is never put under pressure, since it bursts; give --package keg with its --rating, or let the gas off.";
    refused("bottle", &format!("A bottle {rest}"));
    refused("jug", &format!("A jug {rest}"));
    refused("bag-in-box", &format!("A bag {rest}"));
    let rated = [
        "empties",
        "add",
        "2",
        "--package",
        "jug",
        "--rating",
        "2 bar",
    ];
    cellar.check_refused(&rated, 2, "A jug has no rating");
}

/// Gravity that still falls is a no. A keg takes it within its rating by the sugar in it: 40 g/L × 0.4886 of
/// carbon dioxide / 1.69 g/L an atmosphere × 1.01325 bar is 11.72 bar.
#[test]
fn no_reason_puts_a_working_wine_into_a_bag_or_above_a_kegs_rating() {
    let cellar = Cellar::new().with_carboy();
    for (day, gravity) in [("-9d", "1.040"), ("-5d", "1.030"), ("-1d", "1.020")] {
        cellar.done(&["measure", "Carboy A", "--gravity", gravity, "--at", day]);
    }
    cellar.done(&["measure", "Carboy A", "--sugar", "40"]);
    let start = |more: &[&'static str]| {
        let begin = [
            "bottle",
            "start",
            "Carboy A",
            "--overrule",
            "a trial",
            "--yes",
        ];
        [&begin[..], more].concat()
    };
    cellar.check_refused(
        &start(&["--package", "bag-in-box"]),
        1,
        "A bag is never filled with wine that may still work, whatever the reason, since gas bursts it.",
    );
    cellar.check_refused(
        &start(&["--package", "keg", "--rating", "9 bar"]),
        1,
        "11.72 bar is more than the 9 bar that the keg is rated for",
    );
    cellar.done(&start(&["--package", "keg", "--rating", "12 bar"]));
}

/// Sanitised holds for a day (common practice): a bottle that was two days ago is a clean one today.
#[test]
fn what_was_sanitised_is_clean_again_after_a_day() {
    let cellar = with_damson();
    cellar.done(&[
        "empties",
        "add",
        "40",
        "--name",
        "Green",
        "--delabelled",
        "--at",
        "-3d",
    ]);
    let of_plan = |key: &str, expected: i64| {
        let plan = cellar.json(&["bottle", "plan", "Carboy", "--sizes", "750"]);
        assert_eq!(
            plan["fills"][0][key], expected,
            "{key}: {}",
            plan["fills"][0]
        );
    };
    of_plan("to_wash", 29);
    let wash = ["empties", "wash"];
    cellar.done(
        &[
            &wash[..],
            &["Green", "--to", "sanitised", "--count", "25", "--at", "-2d"],
        ]
        .concat(),
    );
    of_plan("sanitised", 0);
    of_plan("clean", 25);
    cellar.done(&[&wash[..], &["Green, sanitised", "--to", "sanitised"]].concat());
    of_plan("sanitised", 25);
    of_plan("to_wash", 4);
    let page = cellar.done(&["bottle", "plan", "Carboy", "--sizes", "750"]);
    assert!(
        page.contains("25 sanitised, 15 dirty, 40 with the labels"),
        "{page}"
    );
}

/// Of 40 bottles 29 are sanitised as that step is ticked off, the 25 clean ones first.
#[test]
fn ticking_off_the_sanitising_moves_the_bottles_to_be_filled() {
    let cellar = with_damson();
    cellar.done(&["empties", "add", "15", "--name", "Old"]);
    cellar.done(&["empties", "add", "25", "--name", "New", "--state", "clean"]);
    cellar.done(&[
        "bottle",
        "start",
        "Carboy",
        "--overrule",
        "a trial",
        "--chores",
        "yes",
    ]);
    cellar.done(&["bottle", "ready", "Damson"]);
    // Nobody waits ten minutes here, so it asks.
    let too_soon = ["bottle", "ready", "Damson"];
    cellar.check_refused(&too_soon, 1, "Bottles stay wet until");
    cellar.done(&["bottle", "ready", "Damson", "--yes"]);
    let counts: Vec<i64> = stock(&cellar).into_iter().map(|it| it.1).collect();
    assert_eq!(counts, [25, 11, 4], "{:?}", stock(&cellar));
}

/// 36 mg/L today are above the 32 that pH 3.4 asks; a hundred days at 0.4 in a hundred a day leave 24.
#[test]
fn a_plan_asks_whether_the_wine_is_protected_on_its_day() {
    let cellar = with_damson();
    cellar.done(&["measure", "Carboy", "--free-so2", "36", "--ph", "3.4"]);
    let answer = |arguments: &[&str]| {
        let plan = cellar.json(&[&["bottle", "plan", "Carboy"], arguments].concat());
        let questions = plan["questions"].as_array().unwrap();
        let asked = questions.iter().find(|it| it["question"] == "Protected?");
        asked.unwrap()["answer"].clone()
    };
    assert_eq!(answer(&[]), "yes");
    let day = |days: i64| {
        let day = chrono::Utc::now() + chrono::Duration::days(days);
        day.format("%Y-%m-%d").to_string()
    };
    assert_eq!(answer(&["--on", &day(100)]), "no");
    // The day planned is asked about where none is given.
    cellar.done(&["plan", "add", "Spring", "--step", "day 101: bottle"]);
    cellar.done(&["plan", "start", "Spring", "Carboy"]);
    assert_eq!(answer(&[]), "no");
    assert_eq!(answer(&["--on", &day(0)]), "yes");
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(page.contains("If it is bottled on"), "{page}");
    let past = ["bottle", "plan", "Carboy", "--on", &day(-3)];
    cellar.check_refused(&past, 2, "is past");
}

/// Two corkers, one set for 38 and for 44 mm; of the corks on hand an opened packet is used first.
#[test]
fn a_corker_is_set_for_the_corks_on_hand() {
    let cellar = with_damson();
    let says = |words: &str| {
        let plan = cellar.json(&["bottle", "plan", "Carboy"]);
        let closing = plan["closing"].as_str().unwrap();
        assert!(closing.contains(words), "{words}: {closing}");
    };
    says(
        "Corks dry, or rinsed briefly, never boiled; set the corker, and look at two before the rest.",
    );
    cellar.done(&["settings", "--corker", "bench at 3"]);
    says("set the corker (bench at 3),");
    cellar.done(&["corker", "Bench", "--setting", "3", "--cork", "38"]);
    cellar.done(&["corker", "Bench", "--setting", "5", "--cork", "44"]);
    cellar.done(&[
        "buy", "cork", "--amount", "100", "--size", "44x24", "--name", "Long",
    ]);
    says("set Bench to 5 for corks of 44 mm,");
    let opened = [
        "--size",
        "38 × 24 mm",
        "--opened",
        "2026-01-03",
        "--name",
        "Short",
    ];
    cellar.done(&[&["buy", "corks", "--amount", "100"], &opened[..]].concat());
    says("set Bench to 3 for corks of 38 mm,");
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(
        page.contains("100 there, 38 × 24 mm") || page.contains("200 there, 38 × 24 mm"),
        "{page}"
    );
    cellar.done(&["corker", "Hand", "--setting", "2 mm", "--size", "750"]);
    says("set Bench to 3 for corks of 38 mm, or Hand to 2 mm in bottles of 750 mL,");
    cellar.check_refused(
        &["settings", "--corker", "x"],
        2,
        "your corkers have names of their own; set one with",
    );
    cellar.done(&["corker", "Hand", "--retire"]);
    says("set Bench to 3 for corks of 38 mm,");
    let book = cellar.done(&["book"]);
    for said in ["Set Bench to 3 for corks of 38 mm", "Retired Hand"] {
        assert!(book.contains(said), "{said}: {book}");
    }
    cellar.check_refused(
        &["buy", "crown-26", "--size", "38"],
        2,
        "is a size of corks, and these are none",
    );
    cellar.check_refused(
        &["buy", "cork", "--size", "thick"],
        2,
        "write its length by its diameter in mm, such as 38x24.",
    );
}

#[test]
fn two_corks_that_sit_well_are_written_down_and_kept() {
    let cellar = with_damson();
    cellar.done(&["corker", "Bench", "--setting", "3"]);
    cellar.done(&[
        "bottle",
        "start",
        "Carboy",
        "--corker",
        "Bench",
        "--filled",
        "2",
        "--overrule",
        "a trial",
    ]);
    cellar.done(&["bottle", "corks", "Damson"]);
    assert!(
        cellar
            .done(&["book"])
            .contains("Looked at two corks of Damson: they sit well")
    );
    cellar.done(&["bottle", "finish", "Damson"]);
    cellar.done(&[
        "bottle",
        "start",
        "Carboy",
        "--closure",
        "crown-26",
        "--overrule",
        "a trial",
    ]);
    cellar.check_refused(
        &["bottle", "corks", "Damson 2"],
        1,
        "Damson 2 has no corks; it is closed by 26 mm crown.",
    );
    cellar.done(&["check"]);
}
