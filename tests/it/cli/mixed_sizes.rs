//! A run with two sizes: which of them is meant is said, or chosen and told.

use super::Cellar;

/// Twenty-five of 750 mL and eight of 375 mL.
fn two_sizes() -> Cellar {
    let cellar = Cellar::with_damson();
    cellar.bottles("Carboy", &["--filled", "25", "--mark", "D6"]);
    cellar.done(&["bottle", "size", "Damson", "375"]);
    cellar.done(&["bottle", "count", "Damson", "8"]);
    cellar.done(&["bottle", "finish", "Damson", "--yes"]);
    cellar
}

/// How many of each size are there, the larger first.
fn left(cellar: &Cellar) -> (i64, i64) {
    let runs = cellar.json(&["bottles"]);
    let lots = runs["bottles"][0]["bottles"].as_array().unwrap().iter();
    let of = |size: i64| {
        let such = lots.clone().filter(|it| it["size_ml"] == size);
        such.map(|it| it["count"].as_i64().unwrap()).sum()
    };
    (of(750), of(375))
}

#[test]
fn the_size_that_is_meant_is_taken_and_no_other() {
    let cellar = two_sizes();
    assert_eq!(left(&cellar), (25, 8));
    cellar.done(&["open", "D6", "2", "--size", "375"]);
    assert_eq!(left(&cellar), (25, 6));
    cellar.done(&["give", "D6", "1", "--to", "Ines", "--size", "750", "--yes"]);
    cellar.done(&["break", "D6", "1", "--size", "750"]);
    assert_eq!(left(&cellar), (23, 6));
    cellar.done(&["reserve", "D6", "3", "--for", "the show", "--size", "375"]);
    cellar.done(&["shift", "D6", "--to", "shelf 2", "--size", "375"]);
    cellar.done(&[
        "unbottle", "D6", "2", "--into", "Carboy", "--size", "750", "--yes",
    ]);
    assert_eq!(left(&cellar), (21, 6));
    cellar.check_refused(
        &["open", "D6", "7", "--size", "375"],
        1,
        "6 of Damson in 375 mL are there, not 7",
    );
    cellar.done(&["check"]);
    let book = cellar.json(&["book", "--limit", "1"]);
    let number = book["entries"][0]["number"].to_string();
    let anew = [
        "unbottle", "D6", "1", "--into", "Carboy", "--size", "750", "--yes",
    ];
    cellar.done(&[&["amend", &number], &anew[..]].concat());
    assert_eq!(left(&cellar), (22, 6));
    cellar.done(&["check"]);
}
