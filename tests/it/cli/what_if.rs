//! What is supposed comes true once it is done, and nothing is written before.

use serde_json::Value;

use super::Cellar;

/// The place of that name in what a `what-if` says.
fn place<'a>(said: &'a Value, name: &str) -> &'a Value {
    let places = said["places"].as_array().unwrap().iter();
    let mut of_name = places.filter(|it| it["place"]["name"] == name);
    of_name.next().unwrap_or_else(|| panic!("{name}: {said:#}"))
}

/// Kinds of the reasons that a vessel has by the book, in order of the alphabet.
fn reasons(cellar: &Cellar, name: &str) -> Vec<String> {
    let due = cellar.json(&["due"]);
    let its = due["reasons"].as_array().unwrap().iter();
    let mut its: Vec<String> = its
        .filter(|it| it["subject"]["name"] == name)
        .map(|it| it["kind"].as_str().unwrap().to_owned())
        .collect();
    its.sort();
    its
}

/// Supposes a deed, does it, and holds that what was foreseen is what the book then says.
fn check_comes_true(deed: &[&str], places: &[&str]) {
    let cellar = Cellar::demo();
    let before: Vec<Vec<String>> = places.iter().map(|it| reasons(&cellar, it)).collect();
    let supposed = cellar.json(&[&["what-if"], deed].concat());
    assert_eq!(supposed["written"], false);
    cellar.done(deed);
    let board = cellar.json(&["board"]);
    for (name, mut expected) in places.iter().zip(before) {
        let foreseen = place(&supposed, name);
        let vessels = board["vessels"].as_array().unwrap().iter();
        let vessel = vessels.clone().find(|it| it["name"] == *name).unwrap();
        let then = &foreseen["then"];
        let holds = |it: &Value| it.as_i64().unwrap_or(0);
        assert_eq!(
            holds(&then["volume_ul"]),
            holds(&vessel["holds"]["volume_ul"]),
            "{name} {vessel:#}"
        );
        let forecast = &vessel["holds"]["forecast"]["free_so2_mg_l"];
        if let (Some(then), Some(is)) = (then["free_so2_mg_l"].as_f64(), forecast.as_f64()) {
            assert!((then - is).abs() < 0.05, "{name}: {then} and {is}");
        } else {
            assert_eq!(
                then["free_so2_mg_l"].is_null(),
                forecast.is_null(),
                "{name}"
            );
        }
        let kinds = |key: &str| {
            let all = foreseen[key].as_array().unwrap().iter();
            all.map(|it| it["kind"].as_str().unwrap().to_owned())
                .collect::<Vec<_>>()
        };
        let gone = kinds("reasons_gone");
        expected.retain(|it| !gone.contains(it));
        expected.extend(kinds("reasons_new"));
        expected.sort();
        assert_eq!(reasons(&cellar, name), expected, "{name}: {foreseen:#}");
    }
}

#[test]
fn what_is_supposed_comes_true() {
    check_comes_true(
        &["rack", "Carboy A", "--to", "Carboy D"],
        &["Carboy A", "Carboy D"],
    );
    check_comes_true(
        &["add", "Carboy A", "sulfite", "--amount", "1.5 g"],
        &["Carboy A"],
    );
    check_comes_true(&["measure", "Carboy A", "--free-so2", "31"], &["Carboy A"]);
    check_comes_true(&["draw", "Carboy B", "--amount", "1 L"], &["Carboy B"]);
}

#[test]
fn nothing_is_written() {
    let cellar = Cellar::demo();
    let bytes = || std::fs::read(cellar.file()).unwrap();
    let before = bytes();
    for asked in [
        &["what-if", "rack", "Carboy A", "--to", "Carboy D"][..],
        &["what-if", "vessel", "add", "Tank 9", "--kind", "tank"],
        &["what-if", "Carboy A", "--wait", "30d", "--kept-at", "18C"],
    ] {
        cellar.done(asked);
    }
    assert!(bytes() == before, "the file is another");
    assert!(!cellar.done(&["vessel", "list"]).contains("Tank 9"));
}

#[test]
fn waiting_brings_the_forecast_down() {
    let cellar = Cellar::demo();
    let said = cellar.json(&["what-if", "Carboy A", "--wait", "60d"]);
    let it = place(&said, "Carboy A");
    let free = |side: &str| it[side]["free_so2_mg_l"].as_f64().unwrap();
    assert!(free("then") < free("as_is") - 1.0, "{it:#}");
    assert_eq!(said["wait_days"], 60);
    // With a deed both sides are seen at the same later moment.
    let deed = ["what-if", "add", "Carboy A", "sulfite", "--amount", "1.5 g"];
    let said = cellar.json(&[&deed[..], &["--wait", "60d"]].concat());
    let with = &place(&said, "Carboy A")["as_is"]["free_so2_mg_l"];
    assert!((with.as_f64().unwrap() - free("then")).abs() < 1e-6);
}

#[test]
fn another_warmth_moves_free_so2_and_says_by_what() {
    let cellar = Cellar::demo();
    let seen = |asked: &[&str]| {
        let said = cellar.json(&[&["what-if", "Carboy A"], asked].concat());
        place(&said, "Carboy A").clone()
    };
    let free = |side: &Value| side["free_so2_mg_l"].as_f64().unwrap();
    let warm = seen(&["--wait", "60d", "--kept-at", "22C"]);
    let cool = seen(&["--wait", "60d", "--kept-at", "6C"]);
    assert!(free(&warm["then"]) < free(&warm["as_is"]) - 0.5, "{warm:#}");
    assert!(free(&cool["then"]) > free(&cool["as_is"]) + 0.5, "{cool:#}");
    let assumed = warm["then"]["assumptions"][0]["sentence"].as_str().unwrap();
    assert!(
        assumed.contains("36 kJ/mol by Arrhenius, from memory"),
        "{assumed}"
    );
    // The demo's cellar is at 12 °C.
    let same = seen(&["--wait", "60d", "--kept-at", "12C"]);
    assert!((free(&same["then"]) - free(&same["as_is"])).abs() < 1e-9);
}

#[test]
fn what_cannot_be_is_refused_with_a_sentence() {
    let cellar = Cellar::demo();
    let check = |asked: &[&str], code: i32, says: &str| {
        cellar.check_refused(&[&["what-if"], asked].concat(), code, says);
    };
    check(&["Carboy A"], 2, "Nothing of Carboy A is supposed");
    check(&["Carboi A", "--wait", "3d"], 2, "Carboy A");
    check(&["Carboy A", "--wait", "soon"], 2, "no number of days");
    check(&["Carboy A", "--kept-at", "90C"], 2, "outside -5 to 40");
    check(&["rack"], 2, "VESSEL is missing");
    check(&["rack", "Tank", "--to", "Carboy D"], 1, "Tank is empty");
    let past = ["draw", "Carboy A", "--amount", "1 L", "--at", "yesterday"];
    check(&past, 2, "leave out --at");
    check(
        &["draw", "Carboy A", "--amount", "90 L"],
        1,
        "Carboy A holds",
    );
}

/// Both sides of a deed are seen on the same later day, and each side says which: only where nothing but waiting is supposed is the
/// one of today.
#[test]
fn each_side_says_on_what_day_it_is_seen() {
    let cellar = Cellar::demo();
    let top_up = [
        "top-up",
        "Carboy A",
        "--from",
        "Demijohn 2",
        "--amount",
        "0.1 L",
    ];
    let check = |asked: &[&str], headed: &str, days: [i64; 2]| {
        let asked = [&["what-if"], asked].concat();
        let page = cellar.done(&asked);
        let heads: Vec<&str> = page
            .lines()
            .filter(|it| it.starts_with("Carboy A"))
            .collect();
        let words = heads[0].split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(words, headed);
        let said = cellar.json(&asked);
        let carboy = place(&said, "Carboy A");
        let now = "2026-11-25".parse::<chrono::NaiveDate>().unwrap();
        for (side, days) in ["as_is", "then"].into_iter().zip(days) {
            let at = carboy[side]["at"].as_str().unwrap();
            let day = now + chrono::Days::new(days.unsigned_abs());
            assert!(at.starts_with(&day.to_string()), "{side}: {at}");
        }
    };
    let wait = ["--wait", "14d"];
    check(
        &[&["Carboy A"], &wait[..]].concat(),
        "Carboy A now in 14 days",
        [0, 14],
    );
    check(&top_up, "Carboy A as it is then", [0, 0]);
    let headed = "Carboy A as it is, in 14 days then, in 14 days";
    check(&[&top_up[..], &wait].concat(), headed, [14, 14]);
}

/// What is short already is not foretold to fall, and what is not has days that are ahead.
#[test]
fn what_is_below_its_aim_already_falls_on_no_day() {
    let cellar = Cellar::new().with_carboy();
    cellar.done(&["measure", "Carboy A", "--ph", "3.4", "--free-so2", "8"]);
    let days = |cellar: &Cellar| {
        let said = cellar.json(&["what-if", "Carboy A", "--wait", "1d"]);
        let then = place(&said, "Carboy A")["then"].clone();
        ["below_aim_low", "below_aim", "below_aim_high"].map(|it| then[it].is_null())
    };
    assert_eq!(days(&cellar), [true; 3]);
    cellar.done(&["measure", "Carboy A", "--free-so2", "45"]);
    assert!(!days(&cellar)[0]);
}
