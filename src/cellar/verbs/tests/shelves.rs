//! Racks of any shape, and what they keep of the bottles in them.

use super::Cellar;
use super::keeping::{cellar, shifted};

fn check_shape(pairs: &[(&str, &str)], expected: &str) {
    let form: Vec<(&str, &str)> = [("name", "X")].iter().chain(pairs).copied().collect();
    Cellar::new().check("shelves add", &form, expected);
}

#[test]
fn a_rack_may_have_any_shape() {
    check_shape(
        &[("rows", "4"), ("columns", "6")],
        "Add X, a rack of 4 by 6, room for 24 bottles.",
    );
    check_shape(
        &[("columns", "9,7,5")],
        "Add X, a rack in rows of 9, 7, 5, room for 21 bottles.",
    );
    check_shape(
        &[("kind", "bins"), ("rows", "2"), ("columns", "2")],
        "Add X, bins of 2 by 2, room for 48 bottles.",
    );
    check_shape(
        &[("kind", "case"), ("holds", "6")],
        "Add X, a case, room for 6 bottles.",
    );
    let ask = "refused: How is it divided? Give --rows 4 --columns 6, or --columns 9,7,5 where rows differ.";
    check_shape(&[], ask);
    let shape = "give 1 to 26 rows of 1 to 99 slots, such as --rows 4 --columns 6.";
    check_shape(
        &[("columns", "six")],
        &format!("refused: `six` is no shape; {shape}"),
    );
    check_shape(
        &[("rows", "27"), ("columns", "2")],
        &format!("refused: `27 rows, 2 columns` is no shape; {shape}"),
    );
    check_shape(
        &[("rows", "2"), ("columns", "9,7,5")],
        &format!("refused: `2 rows, 9,7,5 columns` is no shape; {shape}"),
    );
}

/// A place is what was typed: a rack that comes to be called so has in it what was put there before.
#[test]
fn a_new_rack_says_what_lies_there_by_its_name() {
    let mut cellar = shifted(&[["Plum", "Stair/A1", "2"], ["Regent", "Stair A3", "1"]]);
    let add = [("name", "Stair"), ("kind", "bins"), ("columns", "3")];
    let asks = cellar.prepare("shelves add", &add).unwrap().asks;
    let says = "By the book it holds 2 bottles of Plum at Stair/A1, 1 bottle of Regent at Stair/A3 from the first";
    assert!(asks.iter().any(|it| it.starts_with(says)), "{asks:?}");
    cellar.write("shelves add", &add);
    let other = [("name", "Other"), ("columns", "3")];
    assert!(
        cellar
            .prepare("shelves add", &other)
            .unwrap()
            .asks
            .is_empty()
    );
}

#[test]
fn a_rack_keeps_the_slots_that_bottles_lie_in() {
    let mut cellar = shifted(&[["Plum", "Rack A/B3", "1"]]);
    cellar.check(
        "shelves change",
        &[("rack", "Rack A"), ("columns", "2")],
        "refused: Rack A has no slot `B3`; its slots are A1 to B2.",
    );
    cellar.check(
        "shelves change",
        &[("rack", "Rack A"), ("rows", "3")],
        "Rack A is now a rack of 3 by 3, room for 9 bottles.",
    );
    cellar.check(
        "shelves retire",
        &[("rack", "Rack A")],
        "refused: 1 bottle lies in Rack A by the book; shift them first.",
    );
    // Bottles that lay at a loose place are in the rack that gets its name.
    cellar.check(
        "shelves add",
        &[("name", "pantry"), ("columns", "3")],
        "refused: pantry has room for 3 and would hold 4; put fewer there, or shift some first.",
    );
    cellar
        .write("shelves add", &[("name", "pantry"), ("columns", "5")])
        .check(
            "shift",
            &[("run", "Plum"), ("to", "pantry"), ("count", "2")],
            "refused: pantry has room for 1 bottle, not 2; give --count 1, and another rack for the rest.",
        );
}

#[test]
fn what_lies_in_a_rack_lies_there_under_its_new_name() {
    let mut cellar = shifted(&[["Plum", "Rack A/B3", "1"], ["Regent", "Rack A/A1", "1"]]);
    cellar.check(
        "shelves change",
        &[("rack", "Rack A"), ("name", "North/wall")],
        "refused: `North/wall` has a `/` in it, and that parts a rack from its slot; leave it out.",
    );
    let renamed = [("rack", "Rack A"), ("name", "North wall")];
    cellar.check(
        "shelves change",
        &renamed,
        "Rack A is now called North wall, a rack of 2 by 3, room for 6 bottles.",
    );
    cellar.write("shelves change", &renamed);
    cellar.check("open", &[("run", "North wall/B3")], "Open 1 of Plum.");
    cellar.check(
        "shift",
        &[("run", "Plum"), ("to", "North wall/A1"), ("count", "1")],
        "refused: North wall/A1 is taken by Regent; give another slot, or only North wall for the next that is free.",
    );
}

#[test]
fn a_bottle_larger_than_its_slot_is_asked_about() {
    let magnums = [
        ("name", "Magnums"),
        ("bottles", "2"),
        ("size", "1.5 L"),
        ("where", "pantry"),
    ];
    let mut cellar = cellar();
    cellar.write("here", &magnums);
    let check = |to: &str, expected: Option<&str>| {
        let form = [("run", "Magnums"), ("to", to), ("count", "1")];
        let prepared = cellar.prepare("shift", &form).unwrap();
        assert_eq!(prepared.loses.as_deref(), expected, "{to}");
    };
    check(
        "Rack A",
        Some(
            "A slot of Rack A is for bottles up to 750 mL and these are 1500 mL: do they fit? `shelves change \"Rack A\" --largest 1500mL` says so for good.",
        ),
    );
    check("Bins", None);
    check("shelf 3", None);
    cellar.write(
        "shelves change",
        &[("rack", "Rack A"), ("largest", "1500 mL")],
    );
    let form = [("run", "Magnums"), ("to", "Rack A"), ("count", "1")];
    assert_eq!(cellar.prepare("shift", &form).unwrap().loses, None);
}
