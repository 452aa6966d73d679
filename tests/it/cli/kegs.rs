//! What it is filled into is held to what it stands.

use super::{Cellar, start_of};

/// A keg is filled in part, never above what it holds, never above its rating.
#[test]
fn a_keg_is_held_to_its_size_and_its_rating() {
    let cellar = Cellar::with_damson();
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
    let start = start_of("Carboy", &["--package", "keg"]);
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
    // 22.4 L are there, and two kegs of 19 L are 38 L.
    refused(
        &["--filled", "2"],
        "38 L is more than the 22.4 L that is left by the book; is the keg full?",
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
    let finish = cellar.asked(&["bottle", "finish", "Damson", "--yes"]);
    let (code, _, told) = super::run(&super::borrowed(&finish));
    let part = "a whole keg of 19 L goes off the empties for 18.5 L";
    assert!(code == 0 && told.contains(part), "{code}: {told}");
    assert_eq!(cellar.left(), [("Kegs".to_owned(), 1)]);
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

/// Kegs are marked in bar and in psi: 12 without a unit was taken as 12 kPa, a hundredth of 12 bar.
#[test]
fn a_pressure_without_its_unit_is_refused() {
    let cellar = Cellar::with_damson();
    let keg = start_of("Carboy", &["--package", "keg", "--size", "19 L", "--yes"]);
    let refused = |more: &[&str], code: i32, words: &str| {
        cellar.check_refused(&[&keg, more].concat(), code, words);
    };
    refused(
        &["--rating", "9 bar", "--pressure", "12"],
        2,
        "`12` has no unit; write `12 bar` or `12 psi`",
    );
    refused(
        &["--rating", "4"],
        2,
        "`4` has no unit; write `4 bar` or `4 psi`",
    );
    refused(
        &["--rating", "90 bar"],
        2,
        "`90 bar` is outside 0.1 bar to 50 bar",
    );
    refused(
        &["--rating", "9 bar", "--pressure", "12 bar"],
        1,
        "12 bar is more than the 9 bar that the keg is rated for",
    );
    let kegs = ["empties", "add", "1", "--package", "keg", "--rating", "9"];
    cellar.check_refused(&kegs, 2, "`9` has no unit");
    cellar.done(&[&keg[..], &["--rating", "9 bar", "--pressure", "0"]].concat());
    let shown = cellar.done(&["show", "Damson"]);
    assert!(shown.contains("9 bar"), "{shown}");
    // A full keg counted where only a part of one is left may be filled in part.
    cellar.done(&["bottle", "count", "Damson", "1"]);
    let second = ["bottle", "count", "Damson", "1"];
    cellar.check_refused(&second, 1, "19 L is more than the 3.4 L that is left");
    cellar.done(&[&second[..], &["--size", "3400"]].concat());
    cellar.done(&["check"]);
}

#[test]
fn glass_and_bags_are_never_put_under_pressure() {
    let cellar = Cellar::with_damson();
    let refused = |package: &str, words: &str| {
        let start = start_of("Carboy", &["--package", package, "--pressure", "1 bar"]);
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
        let begin = start_of("Carboy A", &["--yes"]);
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

/// How much is in it is only about known; that it is one keg is sure.
#[test]
fn one_keg_is_never_about_one() {
    let cellar = Cellar::new();
    cellar.done(&[
        "here",
        "Carboy",
        "--mark",
        "23 L",
        "--holds",
        "Damson",
        "--amount",
        "about 18 L",
    ]);
    let keg = ["--package", "keg", "--filled", "1x17600", "--yes"];
    cellar.bottles("Carboy", &keg);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    for list in [&["board"][..], &["bottles"], &["show", "Damson"]] {
        let said = cellar.done(list);
        assert!(!said.contains("about 1 "), "{said}");
    }
}

/// 22.4 L are a keg of 19 L and 3.4 L: those go into the smallest that is left, whole, unless one of a
/// size is all that was asked for.
#[test]
fn a_plan_names_the_keg_that_is_filled_in_part() {
    let cellar = Cellar::with_damson();
    let keg = |more: &[&'static str]| {
        let plan = ["bottle", "plan", "Carboy", "--package", "keg"];
        cellar.done(&[&plan[..], more].concat())
    };
    let check = |plan: String, expected: &[&str]| {
        let plan = plan.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in expected {
            assert!(plan.contains(words), "{words}: {plan}");
        }
        assert!(!plan.contains("3.4 L keg"), "{plan}");
    };
    // None are counted: there may be any number.
    check(keg(&[]), &["1 × 19 L keg and 1 × 19 L keg with 3.4 L"]);
    let add = ["empties", "add", "1", "--package", "keg", "--size"];
    cellar.done(&[&add[..], &["19 L"]].concat());
    check(keg(&[]), &["1 × 19 L keg, and 3.4 L remains"]);
    cellar.done(&[&add[..], &["9.5 L"]].concat());
    check(
        keg(&[]),
        &[
            "1 × 19 L keg and 1 × 9.5 L keg with 3.4 L, and 0.0 L remains",
            "It takes a whole keg for 3.4 L; `--sizes 1x19000` leaves that in the vessel.",
        ],
    );
    check(
        keg(&["--sizes", "1x19000"]),
        &["1 × 19 L keg, and 3.4 L remains"],
    );
    let plan = cellar.json(&["bottle", "plan", "Carboy", "--package", "keg"]);
    let part = plan["fills"]
        .as_array()
        .unwrap()
        .iter()
        .find(|it| it["part_full"] == true);
    let part = part.unwrap();
    assert_eq!(
        (&part["package_ml"], &part["size_ml"]),
        (&9_500.into(), &3_400.into())
    );
}

/// What was not among the empties takes none of them.
#[test]
fn a_finish_leaves_the_empties_as_they_are_where_others_were_filled() {
    let cellar = Cellar::with_damson();
    let add = ["empties", "add", "1", "--package", "keg", "--name", "Kegs"];
    cellar.done(&add);
    cellar.bottles(
        "Carboy",
        &["--package", "keg", "--filled", "1x3400", "--yes"],
    );
    let finish = cellar.asked(&["bottle", "finish", "Damson", "--empties", "no"]);
    let (code, _, told) = super::run(&super::borrowed(&finish));
    assert!(code == 0 && !told.contains("empties"), "{code}: {told}");
    assert_eq!(cellar.left(), [("Kegs".to_owned(), 1)]);
    cellar.done(&["check"]);
}

/// A keg is drawn from over weeks.
#[test]
fn a_keg_that_is_opened_is_begun_and_counted_until_it_is_empty() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--package", "keg", "--filled", "1", "--yes"]);
    cellar.done(&["bottle", "finish", "Damson"]);
    let open = cellar.asked(&["open", "Damson"]);
    let (code, out, told) = super::run(&super::borrowed(&open));
    assert!(
        code == 0 && out.contains("Began 1 × 19 L keg of Damson"),
        "{out}{told}"
    );
    assert!(told.contains("weeks to months under its gas"), "{told}");
    let lists = |words: &str| {
        let list = cellar.done(&["bottles"]);
        assert!(list.contains(words), "{words}: {list}");
        assert!(cellar.done(&["check"]).contains("agree"));
    };
    lists("1 × 19 L keg");
    lists("1 begun ");
    let left = |cellar: &Cellar| cellar.json(&["bottles"])["bottles"][0].clone();
    assert_eq!(
        (&left(&cellar)["count"], &left(&cellar)["begun_count"]),
        (&1.into(), &1.into())
    );
    cellar.check_refused(
        &["open", "Damson"],
        1,
        "1 keg of Damson is begun already, and no other is left; `open \"Damson\" --empty yes`",
    );
    let emptied = cellar.done(&["open", "Damson", "--empty", "yes"]);
    assert!(
        emptied.contains("Emptied 1 × 19 L keg of Damson"),
        "{emptied}"
    );
    lists("none left");
    cellar.done(&["undo", "--yes"]);
    lists("1 begun ");
    cellar.done(&["undo", "--yes"]);
    assert_eq!(left(&cellar)["begun_count"], 0);
    cellar.check_refused(
        &["open", "Damson", "--count", "2"],
        1,
        "Kegs are begun one at a time",
    );
}

/// It is the one that was begun that is empty, whatever else is larger.
#[test]
fn of_kegs_of_several_sizes_the_one_begun_is_emptied() {
    let filled = || {
        let cellar = Cellar::with_damson();
        let kegs = ["--package", "keg", "--filled", "1x10000,1x5000", "--yes"];
        cellar.bottles("Carboy", &kegs);
        cellar.done(&["bottle", "finish", "Damson", "--left", "drunk", "--yes"]);
        cellar
    };
    let cellar = filled();
    let check = |words: &[&str], expected: &str| {
        let said = cellar.done(words);
        assert!(said.contains(expected), "{words:?} {expected}: {said}");
    };
    let (empty, small) = (["open", "Damson", "--empty", "yes"], ["--size", "5000"]);
    // Nobody said which was begun.
    cellar.check_refused(
        &empty,
        2,
        "Damson is in kegs of 5 L and 10 L; give the --size of the one that is empty.",
    );
    let begin = [&["open", "Damson"], &small[..]].concat();
    check(&begin, "Began 1 × 5 L keg of Damson");
    cellar.check_refused(&begin, 1, "begun already, and no other is left");
    check(&empty, "Emptied 1 × 5 L keg of Damson");
    check(&["bottles"], "1 × 10 L keg");
    check(&["undo", "--yes"], "");
    // The other one is begun besides: now either may be empty.
    check(&["open", "Damson"], "Began 1 × 10 L keg of Damson");
    cellar.check_refused(&empty, 2, "give the --size of the one that is empty");
    check(&[&empty[..], &small].concat(), "Emptied 1 × 5 L keg");
    check(&empty, "Emptied 1 × 10 L keg of Damson");
    check(&["check"], "agree");
}

/// It was one of the empties before it was filled.
#[test]
fn a_keg_that_is_emptied_is_an_empty_again() {
    let cellar = Cellar::with_damson();
    let add = [
        "empties",
        "add",
        "1",
        "--package",
        "keg",
        "--rating",
        "9 bar",
    ];
    cellar.done(&[&add[..], &["--state", "clean", "--name", "Kegs"]].concat());
    let filled = ["--package", "keg", "--filled", "1", "--yes"];
    cellar.bottles("Carboy", &filled);
    cellar.done(&["bottle", "finish", "Damson"]);
    assert_eq!(cellar.left(), [("Kegs".to_owned(), 0)]);
    cellar.done(&["open", "Damson"]);
    assert_eq!(cellar.left(), [("Kegs".to_owned(), 0)]);
    let open = cellar.asked(&["open", "Damson", "--empty", "yes"]);
    let (code, _, told) = super::run(&super::borrowed(&open));
    let washed = "It goes to the empties, to be washed.";
    assert!(code == 0 && told.contains(washed), "{code}: {told}");
    assert_eq!(cellar.left(), [("Kegs".to_owned(), 1)]);
    assert!(cellar.done(&["stock"]).contains("dirty"));
    cellar.done(&["undo", "--yes"]);
    assert_eq!(cellar.left(), [("Kegs".to_owned(), 0)]);
    assert!(cellar.done(&["check"]).contains("agree"));
}

#[test]
fn a_bottle_that_is_opened_is_gone() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "29"]);
    cellar.done(&["bottle", "finish", "Damson"]);
    let said = cellar.done(&["open", "Damson", "--count", "2"]);
    assert!(said.contains("Opened 2 bottles of Damson"), "{said}");
    assert_eq!(cellar.json(&["bottles"])["bottles"][0]["count"], 27);
}
