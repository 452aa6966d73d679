//! What `bottle plan` says that a bottling will take, and what is short for it.

use super::{Cellar, check_near};

/// By hand: 22.4 − 0.3 = 22.1 L; 29 × 0.75 = 21.75; 0.35 remains, less than a bottle of 0.375.
#[test]
fn a_plan_adds_up_to_the_wine() {
    let cellar = Cellar::with_damson();
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
fn what_a_planned_bottling_lacks_is_on_the_list_of_what_to_buy() {
    let cellar = Cellar::with_damson();
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
    for what in ["corks", "empty bottles"] {
        let short = format!("short of {what} for the bottling of Damson");
        assert!(due.contains(&short), "{short}: {due}");
    }
}

/// 36 mg/L today are above the 32 that pH 3.4 asks; a hundred days at 0.4 in a hundred a day leave 24.
#[test]
fn a_plan_asks_whether_the_wine_is_protected_on_its_day() {
    let cellar = Cellar::with_damson();
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

/// One wine has one dose: the plan says it as `dose` does, and weighs what that weighs.
#[test]
fn the_plan_has_the_dose_in_the_words_of_the_dose() {
    let cellar = Cellar::demo();
    for vessel in ["Carboy A", "Carboy B", "Demijohn 1"] {
        let plan = cellar.json(&["bottle", "plan", vessel]);
        let dose = cellar.json(&["dose", vessel]);
        let said = cellar.done(&["dose", vessel]);
        let words = plan["sulfite_said"].as_str().unwrap();
        assert_eq!(words, said.lines().next().unwrap(), "{vessel}");
        assert_eq!(plan["sulfite"]["results"], dose["results"], "{vessel}");
        assert_eq!(
            plan["sulfite"]["assumptions"], dose["assumptions"],
            "{vessel}"
        );
    }
}

/// Of a ferment's sulfite the plan says what `dose` says: none.
#[test]
fn no_sulfite_is_planned_for_a_ferment() {
    let plan = Cellar::demo().json(&["bottle", "plan", "Bucket"]);
    let words = plan["sulfite_said"].as_str().unwrap();
    assert!(
        words.starts_with("It is still fermenting by the book: give none"),
        "{words}"
    );
    assert!(plan["sulfite"].is_null());
}

/// Must that was never racked lies on its lees; of what was here before the book nobody knows. 2 to 6 % of
/// 22.7 L are 0.454 to 1.362 L.
#[test]
fn a_plan_says_what_lees_a_wine_has_that_was_never_racked() {
    let cellar = Cellar::new().with_carboy();
    let plan = |vessel: &'static str, more: &[&'static str]| {
        cellar.json(&[&["bottle", "plan", vessel], more].concat())
    };
    let unsaid = |plan: &serde_json::Value| {
        [&plan["lees_unsaid_low_ul"], &plan["lees_unsaid_high_ul"]].map(serde_json::Value::as_i64)
    };
    assert_eq!(
        unsaid(&plan("Carboy A", &[])),
        [Some(454_000), Some(1_362_000)]
    );
    let page = cellar.done(&["bottle", "plan", "Carboy A"]);
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let said = "2 to 6 % as a rule (from memory), 454 mL to 1.4 L here";
    assert!(page.contains(said), "{page}");
    for lees in ["0 L", "0.5 L"] {
        assert_eq!(unsaid(&plan("Carboy A", &["--lees", lees])), [None, None]);
    }
    cellar.done(&["vessel", "add", "Carboy B", "--mark", "23 L"]);
    cellar.done(&["rack", "Carboy A", "--to", "Carboy B", "--leaving", "1 L"]);
    assert_eq!(unsaid(&plan("Carboy B", &[])), [None, None]);
    let here = Cellar::with_damson().json(&["bottle", "plan", "Carboy"]);
    assert_eq!(unsaid(&here), [None, None]);
}

/// A wine that is above its aim today may be below it when it is bottled.
#[test]
fn a_plan_that_gives_none_says_until_when_that_holds() {
    let cellar = Cellar::demo();
    let plan = cellar.json(&["bottle", "plan", "Carboy B"]);
    let said = plan["sulfite_holds"].as_str().unwrap();
    let board = cellar.json(&["board"]);
    let mut vessels = board["vessels"].as_array().unwrap().iter();
    let vessel = vessels.find(|it| it["name"] == "Carboy B").unwrap();
    let day = |key: &str| {
        let date = vessel["holds"]["forecast"][key].as_str()?;
        let date: chrono::NaiveDate = date.parse().unwrap();
        Some(date.format("%-d %b %Y").to_string())
    };
    // One in ten of such wines was short already when it was dosed.
    assert_eq!(day("below_aim_date_low"), None);
    let mid = day("below_aim_date").unwrap();
    let high = day("below_aim_date_high").unwrap();
    let holds = format!(
        "until about {mid} by its forecast (perhaps short already, by {high} at the latest)"
    );
    assert!(said.contains(&holds), "{said}");
    let page = cellar.done(&["bottle", "plan", "Carboy B"]);
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains(&holds), "{page}");
}

/// By hand: 22.4 = 10 × 1.5 + 9 × 0.75 + 0.65. Of sizes that were named no more is planned than there is, where those take the wine.
#[test]
fn named_sizes_are_taken_as_they_are_on_hand() {
    let cellar = Cellar::with_damson();
    for (count, size) in [("20", "750"), ("10", "1500")] {
        let add = [
            "empties", "add", count, "--size", size, "--finish", "cork", "--state", "clean",
        ];
        cellar.done(&add);
    }
    let check = |sizes: &str, expected: &[(i64, i64)]| {
        let plan = cellar.json(&["bottle", "plan", "Carboy", "--sizes", sizes]);
        let fills = plan["fills"].as_array().unwrap().iter();
        let of = |it: &serde_json::Value, key: &str| it[key].as_i64().unwrap();
        let fills: Vec<_> = fills
            .map(|it| (of(it, "bottles"), of(it, "size_ml")))
            .collect();
        assert_eq!(fills, expected, "{sizes}");
    };
    check("750,1500", &[(10, 1_500), (9, 750)]);
    // Twenty alone do not take it: so many more are short.
    check("750", &[(29, 750)]);
    check("1500", &[(14, 1_500)]);
}

/// By hand: 22.4 = 2 × 9.5 + 3.4, which goes into a third keg.
#[test]
fn what_is_filled_in_part_is_short_too() {
    let cellar = Cellar::with_damson();
    let plan = cellar.done(&[
        "bottle",
        "plan",
        "Carboy",
        "--package",
        "keg",
        "--sizes",
        "9.5 L",
    ]);
    assert!(plan.contains("9.5 L kegs: 3 wanted"), "{plan}");
}

/// 29 bottles and two to spare, bought in the words in which the plan names them.
#[test]
fn crowns_are_bought_by_the_name_that_is_shown() {
    for (bought, closure) in [
        ("26 mm crowns", "crown-26"),
        ("29 mm crowns", "crown-29"),
        ("crowns", "crown-26"),
    ] {
        let cellar = Cellar::with_damson();
        let short = || {
            let plan = cellar.done(&["bottle", "plan", "Carboy", "--closure", closure]);
            plan.contains("mm crowns: 31 wanted")
        };
        assert!(short(), "{closure}");
        cellar.done(&["buy", bought, "100"]);
        assert!(!short(), "{bought}");
    }
}
