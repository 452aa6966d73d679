//! Empty bottles by the command line: counted, washed, drawn down, put out of use.

use super::{Cellar, borrowed, run};

#[test]
fn what_is_short_is_said_before_anything_is_washed() {
    let cellar = Cellar::with_damson();
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
    let short = |at: usize| {
        let short = &plan["short"][at];
        ["what", "wanted", "there"].map(|it| short[it].as_str().unwrap().to_owned())
    };
    assert_eq!(short(0), ["750 mL bottles", "29", "20"]);
    // The nine that are lacking want corks too: 29 and two spare.
    assert_eq!(short(1), ["corks", "31", "18"]);
    assert_eq!(
        (&plan["closures"], &plan["labels"]),
        (&31.into(), &31.into())
    );
    // Who asks for twenty is told of twenty.
    let asked = cellar.json(&["bottle", "plan", "Carboy", "--sizes", "20x750"]);
    assert_eq!(asked["closures"], 22);
    let page = cellar.done(&["bottle", "plan", "Carboy", "--sizes", "750"]);
    assert!(
        page.contains("Short       750 mL bottles: 29 wanted, 20 there."),
        "{page}"
    );
}

#[test]
fn a_bottling_takes_the_cleanest_bottles_and_the_closures() {
    let cellar = Cellar::with_damson();
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
        cellar.left(),
        named(&[("Corks", 100), ("Green", 15), ("Green, sanitised", 25)])
    );
    cellar.bottles("Carboy", &["--filled", "29", "--yes"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    assert_eq!(
        cellar.left(),
        named(&[("Corks", 71), ("Green", 11), ("Green, sanitised", 0)])
    );
    cellar.done(&["check"]);
}

/// A swing top stays on its bottle: the two at the end are drawn from those, and no cork is counted for them.
#[test]
fn bottles_of_another_mouth_are_closed_in_their_own_way() {
    let cellar = Cellar::with_damson();
    cellar.done(&[
        "empties", "add", "40", "--finish", "cork", "--name", "Green",
    ]);
    cellar.done(&[
        "empties", "add", "6", "--size", "500", "--finish", "swing", "--name", "Swing",
    ]);
    cellar.done(&["buy", "cork", "--amount", "100", "--name", "Corks"]);
    let plan = cellar.json(&["bottle", "plan", "Carboy", "--sizes", "28x750,2x500"]);
    assert_eq!(
        [&plan["fills"][0]["on_hand"], &plan["fills"][1]["on_hand"]],
        [40, 0]
    );
    assert_eq!(plan["short"][0]["what"], "500 mL bottles");
    // 28 and two spare; all 30 want a label.
    assert_eq!(plan["closures"], 30);
    assert_eq!(plan["labels"], 32);
    assert!(
        plan["does_not_fit"][0]
            .as_str()
            .unwrap()
            .contains("swing top")
    );
    cellar.bottles("Carboy", &["--filled", "28x750 2x500", "--yes"]);
    let asks = |arguments: &[&str], words: &str| {
        let (_, out, told) = run(&borrowed(&cellar.asked(arguments)));
        assert!(format!("{out}{told}").contains(words), "{out}{told}");
    };
    asks(
        &["bottle", "size", "Damson", "500"],
        "where a cork does not hold: close them with their swing tops",
    );
    asks(
        &["bottle", "finish", "Damson", "--yes"],
        "2 of 500 mL go off the empties for a swing top with its gasket",
    );
    let left: Vec<(String, i64)> = [("Corks", 72), ("Green", 12), ("Swing", 4)]
        .map(|it| (it.0.to_owned(), it.1))
        .into();
    assert_eq!(cellar.left(), left);
    cellar.done(&["check"]);
}

/// 22.4 L are 29 bottles of 750 mL: the twenty on hand are for screw caps, and corks for others are still corks, 29 and
/// two spare. With six of 330 mL, 30 are filled and closed by crowns, 30 and two spare.
#[test]
fn closures_are_counted_for_bottles_that_are_still_to_be_had() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "20", "--finish", "screw"]);
    let counts = |more: &[&str]| {
        let plan = cellar.json(&[&["bottle", "plan", "Carboy"], more].concat());
        ["bottles", "closures", "capsules", "labels"].map(|it| plan[it].as_i64().unwrap())
    };
    assert_eq!(counts(&[]), [29, 31, 31, 31]);
    cellar.done(&[
        "empties", "add", "6", "--size", "330", "--finish", "crown-26",
    ]);
    cellar.done(&["buy", "crown-26", "--amount", "10"]);
    assert_eq!(counts(&["--closure", "crown-26"]), [30, 32, 32, 32]);
    let page = cellar.done(&["bottle", "plan", "Carboy", "--closure", "crown-26"]);
    assert!(
        page.contains("26 mm crowns: 32 wanted, 10 there."),
        "{page}"
    );
}

/// 22.4 L are 29 bottles and corks, two spare; the book has neither.
#[test]
fn bottles_and_corks_that_the_book_never_had_are_short_and_labels_only_once_counted() {
    let cellar = Cellar::with_damson();
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    for short in [
        "Short       750 mL bottles: 29 wanted, none in the book.",
        "Short       corks: 31 wanted, none in the book.",
    ] {
        assert!(page.contains(short), "{page}");
    }
    assert!(!page.contains("labels: "), "{page}");
    cellar.done(&["buy", "label", "--amount", "12"]);
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(page.contains("labels: 31 wanted, 12 there."), "{page}");
}

/// Metabisulfite and citric acid are wanted for the sanitizer, and the book never had either.
#[test]
fn a_powder_that_the_book_never_had_is_one_to_look_for() {
    let cellar = Cellar::with_damson();
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    for powder in ["potassium metabisulfite", "citric acid"] {
        let line = page
            .lines()
            .find(|it| it.starts_with(&format!("Short       {powder}")));
        assert!(
            line.is_some_and(|it| it.contains("g wanted, none in the book")),
            "{page}"
        );
    }
    cellar.done(&["buy", "citric-acid", "--amount", "500 g"]);
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(!page.contains("citric acid: "), "{page}");
}

#[test]
fn what_is_not_there_is_not_washed() {
    let cellar = Cellar::with_damson();
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

/// Sanitised holds for a day (common practice): a bottle that was two days ago is a clean one today.
#[test]
fn what_was_sanitised_is_clean_again_after_a_day() {
    let cellar = Cellar::with_damson();
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
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "15", "--name", "Old"]);
    cellar.done(&["empties", "add", "25", "--name", "New", "--state", "clean"]);
    cellar.bottles("Carboy", &["--chores", "yes"]);
    cellar.done(&["bottle", "ready", "Damson"]);
    cellar.done(&["bottle", "ready", "Damson"]);
    // Nobody waits ten minutes here, so it asks.
    let too_soon = ["bottle", "ready", "Damson"];
    cellar.check_refused(&too_soon, 1, "Bottles stay wet until");
    cellar.done(&["bottle", "ready", "Damson", "--yes"]);
    let counts: Vec<i64> = cellar.left().into_iter().map(|it| it.1).collect();
    assert_eq!(counts, [25, 11, 4], "{:?}", cellar.left());
}

/// By hand: 22.4 L less 4 × 0.75 L is 19.4 L, 25 bottles and a glass more.
#[test]
fn bottles_that_are_not_there_are_lacking_and_not_wine_to_drink_soon() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "4", "--finish", "cork"]);
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(
        page.contains("you lack 25 bottles for the other 19.4 L"),
        "{page}"
    );
    assert!(page.contains("corks (none in the book)"), "{page}");
    cellar.done(&["empties", "add", "24", "--finish", "cork"]);
    let page = cellar.done(&["bottle", "plan", "Carboy"]);
    assert!(
        page.contains("you lack 1 bottle for the other 1.4 L"),
        "{page}"
    );
    let bought = cellar.done(&["buy", "cork", "--amount", "60"]);
    assert!(bought.contains("Bought 60 corks (cork 1)."), "{bought}");
    assert!(!page.contains("drink soon"), "{page}");
}

/// Lots by name with what is left of each.
#[track_caller]
fn check_left(cellar: &Cellar, expected: &[(&str, i64)]) {
    let left = cellar.left();
    let left: Vec<(&str, i64)> = left.iter().map(|(name, it)| (name.as_str(), *it)).collect();
    assert_eq!(left, expected);
}

#[test]
fn what_is_broken_or_chipped_is_out_of_use_with_its_reason_in_the_book() {
    let cellar = Cellar::with_damson();
    cellar.done(&["empties", "add", "40", "--name", "Green"]);
    cellar.done(&["buy", "cork", "--amount", "100", "--name", "Corks"]);
    let out = |more: &[&'static str]| [&["empties", "out"], more].concat();
    cellar.done(&out(&["Green", "2", "--because", "chipped"]));
    check_left(&cellar, &[("Corks", 100), ("Green", 38)]);
    let newest = cellar.json(&["book"])["entries"][0].clone();
    let said = newest["sentence"].as_str().unwrap();
    assert_eq!(said, "Put 2 bottles of Green out of use: chipped.");
    // The plan has no more of them than there are.
    let plan = ["bottle", "plan", "Carboy", "--sizes", "750"];
    let dirty = |cellar: &Cellar| cellar.json(&plan)["fills"][0]["to_wash"].clone();
    assert_eq!(dirty(&cellar), 29);
    cellar.done(&out(&["Green", "20"]));
    assert_eq!(dirty(&cellar), 18);
    cellar.check_refused(&out(&["Green", "19"]), 1, "18 of Green are there, not 19");
    cellar.check_refused(&out(&["Corks", "1"]), 2, "Corks is no lot of bottles");
    let number = newest["number"].to_string();
    cellar.done(&["void", &number, "--yes"]);
    check_left(&cellar, &[("Corks", 100), ("Green", 20)]);
    // The last of them take the lot away.
    cellar.done(&out(&["Green", "20", "--because", "recycled"]));
    check_left(&cellar, &[("Corks", 100)]);
    cellar.done(&["check"]);
}

#[test]
fn a_bottle_bought_is_an_empty_and_counted_once() {
    let check = |buy: &[&str], add: &[&str]| {
        let taken = |line: &[&str]| {
            let cellar = Cellar::with_damson();
            cellar.done(line);
            let lot = cellar.json(&["export"])["things"]
                .as_array()
                .unwrap()
                .iter()
                .find(|it| it["sort"] == "supply")
                .map(|it| (it["name"].clone(), it["attributes"].clone()));
            let mut lot = lot.unwrap();
            for at in ["bought_ms", "clean_since_ms"] {
                assert!(lot.1.as_object_mut().unwrap().remove(at).is_some());
            }
            let plan = cellar.json(&["bottle", "plan", "Carboy"]);
            (lot, plan["fills"].clone())
        };
        assert_eq!(taken(buy), taken(add), "{buy:?}");
    };
    check(
        &["buy", "bottles", "--amount", "40", "--cost", "12"],
        &["empties", "add", "40", "--cost", "12"],
    );
    check(
        &[
            "buy", "bottle", "--amount", "40", "--size", "375", "--name", "Half",
        ],
        &["empties", "add", "40", "--size", "375", "--name", "Half"],
    );
    check(
        &["buy", "kegs", "--amount", "1", "--size", "9.5 L"],
        &["empties", "add", "1", "--package", "keg", "--size", "9.5 L"],
    );
    let cellar = Cellar::with_damson();
    let refused = |more: &[&str], words: &str| {
        cellar.check_refused(&[&["buy", "bottles"], more].concat(), 2, words);
    };
    refused(&[], "How many bottles? Give --amount 40;");
    refused(&["--amount", "40", "--size", "38x24"], "38x24");
    refused(
        &["--amount", "40", "--strength", "90"],
        "--strength is not said of an empty bottle; leave it out.",
    );
}

/// The glass of the bottles is that of the empties that were filled, if all of them were counted and their
/// colour was said.
#[test]
fn bottles_have_the_colour_of_the_empties_that_were_filled() {
    let check = |lots: &[(&str, &str)], expected: Option<&str>| {
        let cellar = Cellar::with_damson();
        for (count, colour) in lots {
            let add = [
                "empties", "add", count, "--finish", "cork", "--name", colour,
            ];
            let colour = ["--colour", colour];
            let colour = if colour[1] == "unsaid" {
                &[]
            } else {
                &colour[..]
            };
            cellar.done(&[&add[..], colour].concat());
        }
        cellar.bottles("Carboy", &["--filled", "29"]);
        cellar.done(&["bottle", "finish", "Damson"]);
        let run = &cellar.json(&["bottles"])["bottles"][0];
        assert_eq!(run["colour"].as_str(), expected, "{lots:?}");
        cellar
    };
    check(&[], None);
    check(&[("40", "unsaid")], None);
    // Nine came from elsewhere.
    check(&[("20", "green")], None);
    check(&[("20", "green"), ("9", "unsaid")], None);
    check(&[("20", "green"), ("9", "clear")], Some("green and clear"));
    let cellar = check(&[("40", "green")], Some("green"));
    let seen = |colour: &str| cellar.json(&["which", "--colour", colour])["fits"].clone();
    assert_eq!(seen("green")[0]["unknown"], serde_json::json!([]));
    assert_eq!(seen("brown"), serde_json::json!([]));
    let shown = cellar.done(&["show", "Damson", "--sort", "run"]);
    let glass = shown.lines().find(|it| it.trim().starts_with("glass"));
    assert!(glass.is_some_and(|it| it.ends_with("green")), "{shown}");
}
