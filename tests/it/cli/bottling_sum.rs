//! Where the wine of a bottling went, as its finish says.

use super::Cellar;

/// Whether a line of a sum begins with a name and ends with so much.
fn row(sum: &str, name: &str, litres: &str) {
    let line = sum.lines().find(|it| it.trim_start().starts_with(name));
    assert!(line.is_some_and(|it| it.ends_with(litres)), "{name} {sum}");
}

/// Racked into the carboy that it is bottled from, both written later of the day alone: the racking came first.
#[test]
fn what_was_racked_in_at_the_moment_of_the_start_was_there_before_it() {
    let cellar = Cellar::new();
    let here = "here Carboy --mark 23L --holds Damson --amount 22.4L --wine fruit --at -10d";
    cellar.done(&here.split(' ').collect::<Vec<_>>());
    cellar.done(&["vessel", "add", "Jar", "--mark", "23 L", "--at", "-3d"]);
    let day = ["--at", "2026-11-24"];
    cellar.done(
        &[
            &["rack", "Carboy", "--to", "Jar", "--leaving", "0.4 L"],
            &day[..],
        ]
        .concat(),
    );
    cellar.bottles("Jar", &[&["--filled", "29"], &day[..]].concat());
    let finish = ["bottle", "finish", "Damson", "--left", "drunk", "--yes"];
    let finish = cellar.done(&[&finish, &day[..]].concat());
    row(&finish, "Jar held", "22.000 L");
    row(&finish, "29 bottles: 29 × 750 mL", "21.750 L");
    row(&finish, "It adds up.", "");
    cellar.done(&["check"]);
}

/// By hand: 22.4 − 27 × 0.75 = 2.15 L, of which 0.3 L are lees; the carboy was filled less than the book says.
#[test]
fn what_was_never_there_is_a_difference_and_the_finish_says_where_all_of_it_went() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "27", "--lees", "0.3 L"]);
    let finish = cellar.done(&[
        "bottle",
        "finish",
        "Damson",
        "--left",
        "never-there",
        "--yes",
    ]);
    row(&finish, "Carboy held", "22.400 L");
    row(&finish, "27 bottles: 27 × 750 mL", "20.250 L");
    row(&finish, "was never there", "1.850 L");
    row(&finish, "lees left behind", "0.300 L");
    row(&finish, "stays in Carboy", "0.000 L");
    row(&finish, "It adds up.", "");
    let newest = |cellar: &Cellar| {
        let book = cellar.json(&["book"]);
        let all = book["entries"].as_array().unwrap().iter();
        all.map(|it| it["number"].as_i64().unwrap()).max().unwrap()
    };
    // Told back, it is the same entry.
    let number = newest(&cellar).to_string();
    let again = ["bottle", "finish", "Damson", "--left", "never-there"];
    let again = cellar.done(&[&["amend", &number, "--yes"], &again[..]].concat());
    assert!(
        again.contains("1.9 L was never there, 300 mL left on the lees"),
        "{again}"
    );
    cellar.done(&["check"]);
}

/// All of what is left on the lees is one amount, though a part of it was to be lees anyway: 22.4 − 28 × 0.75 = 1.4 L.
#[test]
fn what_goes_on_the_lees_at_the_finish_is_said_once() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "28", "--lees", "0.2 L"]);
    let finish = cellar.done(&["bottle", "finish", "Damson", "--left", "lees", "--yes"]);
    assert!(
        finish.contains("Finished bottling Damson: 1.4 L left on the lees."),
        "{finish}"
    );
    cellar.done(&["check"]);
}

/// A finish that was undone moves nothing without the start that was undone after it, least of all the whole carboy.
#[test]
fn an_undone_finish_does_not_claim_the_wine_that_its_start_gave_back() {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "28", "--lees", "0.2 L"]);
    cellar.done(&["bottle", "finish", "Damson", "--left", "lees", "--yes"]);
    cellar.done(&["undo", "--yes"]);
    cellar.done(&["undo", "--yes"]);
    let book = cellar.done(&["book"]);
    let finish = book
        .lines()
        .find(|it| it.contains("Finished bottling"))
        .unwrap();
    assert!(!finish.contains(" L "), "{book}");
}
