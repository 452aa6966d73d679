//! Wine on the move: racked, topped up, drawn, lost, poured away, found to be more or less.

use super::*;

#[test]
fn racking_fills_the_vessels_named_and_leaves_the_lees() {
    let mut cellar = with_must();
    let rack = [
        ("from", "Bucket"),
        ("to", "Carboy A=23 L"),
        ("to", "Demijohn 1"),
        ("leaving", "0.6 L"),
    ];
    cellar.check(
        "rack",
        &rack,
        "Rack Bucket: 23.0 L into Carboy A, 1.4 L into Demijohn 1, 600 mL left on the lees.",
    );
    cellar
        .write("rack", &rack)
        .holds(&[("Bucket", 0.0), ("Carboy A", 23.0), ("Demijohn 1", 1.4)]);
}

#[test]
fn a_loss_above_a_tenth_is_asked_about_and_a_small_one_is_not() {
    let cellar = with_must();
    cellar.check_asks(
        "rack",
        &[("from", "Bucket"), ("to", "Carboy A=23.4 L")],
        &[
            "Carboy A is marked 23.0 L and will hold 23.4 L; to the brim it holds 23.4 L, and wine that warms needs 2 to 3 cm below the bung.",
        ],
    );
    cellar.check_asks(
        "rack",
        &[
            ("from", "Bucket"),
            ("to", "Carboy A=22 L"),
            ("to", "Demijohn 1=4.6 L"),
        ],
        &["Demijohn 1 is marked 4.5 L and will hold 4.6 L; measure its brim if that is right."],
    );
    let loses = |verb: &str, to: &str, leaving: &str| {
        let pairs = [("from", "Bucket"), ("to", to), ("leaving", leaving)];
        cellar.prepare(verb, &pairs).unwrap().loses
    };
    let check = |verb: &str, to: &str, leaving: &str, expected: Option<&str>| {
        let expected = expected.map(str::to_owned);
        assert_eq!(loses(verb, to, leaving), expected, "{verb} {to} {leaving}");
    };
    let to_lees = "5.0 L of 25.0 L stays behind and goes to lees, 20 % of it: name a further vessel for it, leave it in Bucket by `split` of no more than fits (Carboy A=20.0 L), or give --leaving if it was lees.";
    check("rack", "Carboy A=22.5 L", "", None);
    check("rack", "Carboy A=20 L", "", Some(to_lees));
    check("rack", "Carboy A=20 L", "5 L", None);
    check("rack", "Carboy A=20 L", "3 L", None);
    let whither = "20.0 L and 500 mL of lees are 20.5 L of 25.0 L: where did the other 4.5 L go? If it is not lost, name a further vessel for it, leave it in Bucket by `split` of no more than fits (Carboy A=20.0 L).";
    check("rack", "Carboy A=20 L", "0.5 L", Some(whither));
    // A demijohn of 4.5 L for 25 L: nobody said what becomes of the rest.
    let to_pomace = "20.5 L of 25.0 L stays behind and goes to pomace, 82 % of it: name a further vessel for it, leave it in Bucket by `split` of no more than fits (Demijohn 1=4.5 L), or give the figure that ran off.";
    check("press", "Demijohn 1", "", Some(to_pomace));
    check("press", "Carboy A=18 L", "", None);
    let too_much = "20.5 L of 25.0 L stays behind and goes to pomace, 82 % of it: name a further vessel for it, leave it in Bucket by `split` of no more than fits (Demijohn 1=4.5 L), or give the figure that ran off, if it was more.";
    check("press", "Demijohn 1=4.5 L", "", Some(too_much));
}

/// What stays behind is what was said of it; the rest is found to be less than the book had.
#[test]
fn no_more_goes_to_the_lees_than_was_said() {
    let cellar = with_must();
    let rack = [
        ("from", "Bucket"),
        ("to", "Carboy A=20 L"),
        ("leaving", "3 L"),
    ];
    cellar.check(
        "rack",
        &rack,
        "Rack Bucket: 20.0 L into Carboy A, 3.0 L left on the lees, 2.0 L not accounted for.",
    );
    let written = cellar.prepare("rack", &rack).unwrap().draft.movements;
    let gone = written.iter().find(|it| it.to == Account::Difference.key());
    let gone = gone.map(|it| it.amount);
    assert_eq!(gone, Some(Amount::Exactly(Volume::litres(2.0))));
}

#[test]
fn more_left_behind_than_there_is_is_refused_and_not_cut_down() {
    let mut cellar = with_must();
    let check = |to: &str, leaving: &str, expected: &str| {
        let pairs = [("from", "Bucket"), ("to", to), ("leaving", leaving)];
        cellar.check("rack", &pairs, expected);
    };
    check(
        "Carboy A",
        "30 L",
        "refused: 30.0 L left, but Bucket holds 25.0 L by the book; check the figures, or `adjust` Bucket first.",
    );
    check(
        "Carboy A=20 L",
        "6 L",
        "refused: 20.0 L racked and 6.0 L left make 26.0 L, but Bucket holds 25.0 L by the book; check the figures, or `adjust` Bucket first.",
    );
    check(
        "Carboy A",
        "25 L",
        "refused: 25.0 L left, all that Bucket holds by the book, and nothing for the vessel without a figure; check the figures, or `adjust` Bucket first.",
    );
    // A vessel without a figure takes none of what is to stay behind.
    check(
        "Carboy A; Demijohn 1",
        "1 L",
        "Rack Bucket: 23.4 L into Carboy A, 600 mL into Demijohn 1, 1.0 L left on the lees.",
    );
    check(
        "Carboy A; Demijohn 1",
        "2 L",
        "refused: Nothing is left for Demijohn 1: what is racked fits into the vessels before it; leave it out.",
    );
    // What is only about so much is asked about.
    let taken_over = [("name", "Old"), ("holds", "Red"), ("amount", "about 20 L")];
    cellar.write("here", &taken_over);
    let rack = [("from", "Old"), ("to", "Carboy A=20 L"), ("leaving", "1 L")];
    let asked = "20.0 L racked and 1.0 L left make 21.0 L, but Old holds 20.0 L by the book: is that right?";
    assert_eq!(
        cellar.prepare("rack", &rack).unwrap().loses.as_deref(),
        Some(asked)
    );
}

#[test]
fn a_vessel_full_by_the_book_takes_no_wine_unless_a_figure_is_given() {
    let mut cellar = with_must();
    cellar.write(
        "rack",
        &[("from", "Bucket"), ("to", "Carboy A=23.4 L; Jug")],
    );
    cellar.write("receive", &[("into", "Bucket"), ("amount", "20 L")]);
    let full = "refused: Carboy A is full by the book (23.4 L of 23.4 L); say where the wine goes: another vessel, or `adjust` Carboy A first if it holds less.";
    for verb in ["rack", "press", "split"] {
        cellar.check(verb, &[("from", "Bucket"), ("to", "Carboy A")], full);
    }
    cellar.check(
        "rack",
        &[("from", "Bucket"), ("to", "Bucket")],
        "refused: Bucket can't be racked into itself: rack into another vessel, clean Bucket, and rack back.",
    );
}

#[test]
fn all_of_a_vessel_is_poured_away_only_if_that_was_said() {
    let cellar = with_must();
    let loses = |pairs: &[(&str, &str)]| cellar.prepare("discard", pairs).unwrap().loses.is_some();
    assert!(loses(&[("place", "Bucket")]));
    assert!(!loses(&[("place", "Bucket"), ("amount", "all")]));
}

#[test]
fn a_top_up_without_an_amount_fills_what_fits() {
    let mut cellar = with_must();
    cellar.write(
        "rack",
        &[
            ("from", "Bucket"),
            ("to", "Carboy A=22.6 L; Demijohn 1"),
            ("leaving", "0.4 L"),
        ],
    );
    cellar.check(
        "top-up",
        &[("into", "Carboy A"), ("from", "Demijohn 1")],
        "Top up Carboy A with 800 mL from Demijohn 1.",
    );
    cellar
        .write("top-up", &[("into", "Carboy A"), ("from", "Demijohn 1")])
        .holds(&[("Carboy A", 23.4), ("Demijohn 1", 1.2)]);
}

/// A barrel takes more than the book has room for because wine went through its wood; glass loses none, so that it is asked.
#[test]
fn what_a_barrel_takes_over_its_room_had_evaporated() {
    let mut cellar = with_must();
    cellar
        .write(
            "vessel add",
            &[("name", "Barrel"), ("mark", "20 L"), ("kind", "barrel")],
        )
        .write(
            "rack",
            &[("from", "Bucket"), ("to", "Barrel=19.9 L; Carboy A")],
        );
    let top_up = |amount| [("into", "Barrel"), ("from", "Carboy A"), ("amount", amount)];
    let check = |amount: &'static str, sentence: &str, asks: &[&str]| {
        cellar.check("top-up", &top_up(amount), sentence);
        cellar.check_asks("top-up", &top_up(amount), asks);
    };
    check("100 mL", "Top up Barrel with 100 mL from Carboy A.", &[]);
    check(
        "400 mL",
        "Top up Barrel with 400 mL from Carboy A; 300 mL had evaporated.",
        &[],
    );
    // 1.0 L of 20 is a twentieth, and no topping any more.
    check(
        "1.1 L",
        "Top up Barrel with 1.1 L from Carboy A.",
        &["Barrel is marked 20.0 L and will hold 21.0 L; measure its brim if that is right."],
    );
    cellar.check_again("top-up", &top_up("400 mL"));
    cellar
        .write("top-up", &top_up("400 mL"))
        .holds(&[("Barrel", 20.0), ("Carboy A", 4.7)]);
}

#[test]
fn a_part_lost_is_a_part_of_the_wine_there_is() {
    let cellar = with_must();
    cellar.check(
        "lose",
        &[("place", "Bucket"), ("amount", "half")],
        "Lose about 12.5 L from Bucket (spills).",
    );
    cellar.check(
        "draw",
        &[("place", "Bucket"), ("amount", "a glass")],
        "Draw about 150 mL from Bucket (samples).",
    );
    cellar.check(
        "draw",
        &[("place", "Bucket"), ("amount", "half a bottle")],
        "Draw about 375 mL from Bucket (samples).",
    );
}

#[test]
fn a_level_found_is_kept_and_the_difference_derived() {
    let cellar = with_must();
    let prepared = cellar
        .prepare("adjust", &[("place", "Bucket"), ("level", "24 L")])
        .unwrap();
    assert_eq!(
        prepared.draft.movements[0].amount,
        Amount::LevelFound(Volume::litres(24.0))
    );
    assert_eq!(prepared.draft.movements[0].to, Account::Difference.key());
}
