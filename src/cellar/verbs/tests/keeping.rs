//! Bottles after the bottling: which are meant, where they go, what is refused.

use proptest::prelude::*;

use super::Cellar;
use crate::cellar::entry::{Found, Property};
use crate::cellar::racks::{Racks, crowds};
use crate::cellar::state::State;
use crate::cellar::thing::Sort;

/// Rack A of two by three, two bins for four each, a case for six; eight of Plum lying on shelf 1 and
/// four of Regent in the pantry.
fn cellar() -> Cellar {
    let mut cellar = Cellar::new();
    cellar
        .write(
            "shelves add",
            &[("name", "Rack A"), ("rows", "2"), ("columns", "3")],
        )
        .write(
            "shelves add",
            &[
                ("name", "Bins"),
                ("kind", "bins"),
                ("columns", "2"),
                ("holds", "4"),
            ],
        )
        .write(
            "shelves add",
            &[("name", "Case 1"), ("kind", "case"), ("holds", "6")],
        )
        .write(
            "here",
            &[("name", "Plum"), ("bottles", "8"), ("where", "shelf 1")],
        )
        .write(
            "here",
            &[("name", "Regent"), ("bottles", "4"), ("where", "pantry")],
        );
    cellar
}

fn shifted(moves: &[[&str; 3]]) -> Cellar {
    let mut cellar = cellar();
    for [run, to, count] in moves {
        cellar.write("shift", &[("run", run), ("to", to), ("count", count)]);
    }
    cellar
}

fn check_shift(before: &[[&str; 3]], [run, to, count]: [&str; 3], expected: &str) {
    let form = [("run", run), ("to", to), ("count", count)];
    shifted(before).check("shift", &form, expected);
}

#[test]
fn bottles_go_into_the_next_free_slots_in_reading_order() {
    check_shift(&[], ["Plum", "Rack A", "1"], "Move 1 of Plum to Rack A/A1.");
    check_shift(
        &[],
        ["Plum", "Rack A", "5"],
        "Move 5 of Plum to Rack A/A1 to B2.",
    );
    check_shift(
        &[],
        ["Plum", "rack a/a3", "2"],
        "Move 2 of Plum to Rack A/A3 to B1.",
    );
    let taken = [["Regent", "Rack A/A2", "1"]];
    check_shift(
        &taken,
        ["Plum", "Rack A", "4"],
        "Move 4 of Plum to Rack A/A1, A3 to B2.",
    );
    check_shift(
        &[],
        ["Plum", "Bins", "6"],
        "Move 6 of Plum to Bins/A1 to A2.",
    );
    check_shift(&[], ["Plum", "case 1", "6"], "Move 6 of Plum to Case 1.");
    check_shift(
        &[],
        ["Plum", "top of the dresser", ""],
        "Move 8 of Plum to top of the dresser.",
    );
}

#[test]
fn a_slot_taken_a_rack_full_and_a_slot_that_is_not_there_are_refused() {
    let taken = [["Regent", "Rack A/A2", "1"]];
    check_shift(
        &taken,
        ["Plum", "Rack A/A2", "1"],
        "refused: Rack A/A2 is taken; give another slot, or only Rack A for the next that is free.",
    );
    check_shift(
        &taken,
        ["Plum", "Rack A", "6"],
        "refused: Rack A has room for 5 bottles, not 6; give --count 5, and another rack for the rest.",
    );
    check_shift(
        &[],
        ["Plum", "Rack A/B2", "3"],
        "refused: Rack A has room for 2 bottles from B2 on, not 3; give --count 2, and another rack for the rest.",
    );
    check_shift(
        &[["Plum", "Rack A", "6"]],
        ["Regent", "Rack A", "1"],
        "refused: Rack A is full; give another rack, or shift some bottles first.",
    );
    check_shift(
        &[],
        ["Plum", "Rack A/C1", "1"],
        "refused: Rack A has no such slot; its slots are A1 to B3.",
    );
    check_shift(
        &[],
        ["Plum", "Case 1", "7"],
        "refused: Case 1 has room for 6 bottles, not 7; give --count 6, and another rack for the rest.",
    );
}

#[test]
fn a_full_rack_can_be_sorted_within_itself() {
    let full = [["Plum", "Rack A", "3"], ["Regent", "Rack A", "2"]];
    let cellar = shifted(&full);
    cellar.check(
        "shift",
        &[("run", "Rack A/A1"), ("to", "Rack A/B3")],
        "Move 1 of Plum to Rack A/B3.",
    );
    cellar.check(
        "shift",
        &[
            ("run", "Regent"),
            ("from", "Rack A"),
            ("to", "Rack A"),
            ("count", "1"),
        ],
        "Move 1 of Regent to Rack A/B3.",
    );
}

#[test]
fn a_bottle_is_found_by_its_slot_its_place_or_its_mark() {
    let mut cellar = shifted(&[["Plum", "Rack A/B1", "1"], ["Plum", "Bins/A1", "2"]]);
    cellar.check("open", &[("run", "rack a b1")], "Open 1 of Plum.");
    cellar.check(
        "give",
        &[("run", "Bins/A1"), ("count", "2"), ("to", "Ines")],
        "Give 2 of Plum.",
    );
    cellar.check(
        "open",
        &[("run", "Plum"), ("from", "Bins"), ("count", "3")],
        "refused: 2 of Plum are at Bins, not 3; if you find more, write them down with `here`.",
    );
    cellar.check(
        "open",
        &[("run", "Rack A/A1")],
        "refused: nothing lies in Rack A/A1 by the book: what lay there is opened, given or moved already; `leesline bottles` lists where bottles are.",
    );
    cellar.write("open", &[("run", "Rack A/B1")]);
    cellar.check(
        "open",
        &[("run", "Plum"), ("from", "Rack A/B1")],
        "refused: no bottle of Plum is at Rack A/B1 by the book: opened, given or moved already; `leesline bottles` lists where they are.",
    );
    cellar.write("bottles describe", &[("run", "Regent"), ("mark", "R5")]);
    cellar.check("break", &[("run", "r5")], "Broken: 1 of Regent.");
    cellar.write(
        "shift",
        &[("run", "Regent"), ("to", "Bins/A1"), ("count", "1")],
    );
    cellar.check(
        "open",
        &[("run", "Bins/A1")],
        "refused: Plum and Regent lie in Bins/A1; name the one, and give --from \"Bins/A1\".",
    );
}

#[test]
fn the_slot_of_a_bottle_that_is_gone_is_free() {
    let mut cellar = shifted(&[["Plum", "Rack A/A1", "1"]]);
    cellar.write("open", &[("run", "Rack A/A1")]);
    cellar.check(
        "shift",
        &[("run", "Regent"), ("to", "Rack A/A1"), ("count", "1")],
        "Move 1 of Regent to Rack A/A1.",
    );
}

#[test]
fn what_is_kept_is_drunk_last_and_only_after_a_question() {
    let mut cellar = cellar();
    let kept = |count, whom| [("run", "Regent"), ("count", count), ("for", whom)];
    cellar
        .write("reserve", &kept("2", "2030"))
        .write("reserve", &kept("1", "the show"));
    cellar.check_asks("open", &[("run", "Regent")], &[]);
    cellar.check_asks(
        "open",
        &[("run", "Regent"), ("count", "2")],
        &["The only ones left are kept for 2030."],
    );
    cellar.check(
        "reserve",
        &kept("2", "Ines"),
        "refused: 1 of Regent are there, not 2; if you find more, write them down with `here`.",
    );
    cellar.check(
        "release",
        &[("run", "Regent"), ("for", "2030")],
        "2 of Regent may be drunk again.",
    );
    cellar.check(
        "release",
        &[("run", "Regent"), ("for", "Ines")],
        "refused: no bottle of Regent is kept for Ines; `leesline bottles --reserved` lists those that are.",
    );
    cellar.write("release", &[("run", "Regent")]).check_asks(
        "open",
        &[("run", "Regent"), ("count", "4")],
        &[],
    );
}

#[test]
fn bottles_come_back_empty_or_full() {
    let mut cellar = cellar();
    cellar.write("give", &[("run", "Plum"), ("count", "3"), ("to", "Ines")]);
    let back = |full| {
        [
            ("run", "Plum"),
            ("count", "2"),
            ("whom", "Ines"),
            ("full", full),
            ("where", if full == "yes" { "Rack A" } else { "" }),
        ]
    };
    cellar.check("back", &back(""), "2 bottles of Plum back empty from Ines.");
    cellar.check(
        "back",
        &back("yes"),
        "2 bottles of Plum back full from Ines to Rack A/A1 to A2.",
    );
    cellar.write("back", &back(""));
    assert_eq!(bottles(&cellar), 5 + 4);
    cellar.write("back", &back("yes"));
    assert_eq!(bottles(&cellar), 7 + 4);
    // 12 bottles of 750 mL, less the one still with Ines.
    let litres: f64 = cellar
        .snapshot
        .states
        .values()
        .map(|it| match it.as_ref() {
            State::Wine(wine) => wine.volume.in_litres(),
            State::Supply(_) => 0.0,
        })
        .sum();
    assert!((litres - 11.0 * 0.75).abs() < 1e-9, "{litres}");
}

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
        "refused: North wall/A1 is taken; give another slot, or only North wall for the next that is free.",
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

fn bottles(cellar: &Cellar) -> i64 {
    cellar
        .snapshot
        .lots()
        .flat_map(|(_, lots)| lots)
        .map(|it| it.count)
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// However bottles are shifted, as many are there as before and no slot holds two.
    #[test]
    fn shifting_conserves_bottles_and_keeps_slots_single(
        steps in prop::collection::vec((0..3_usize, 0..8_usize, 0..9_usize, 1..5_i64), 1..24)
    ) {
        const FROM: [&str; 8] =
            ["", "", "shelf 1", "pantry", "Rack A", "Rack A/A1", "Rack A/B3", "Bins/A1"];
        const TO: [&str; 9] = [
            "Rack A", "Rack A/A1", "Rack A/B2", "Rack A/B3", "Bins", "Bins/A2", "Case 1",
            "shelf 1", "Rack A/C9",
        ];
        let mut cellar = cellar();
        for (run, from, to, count) in steps {
            let run = ["Plum", "Regent", "Rack A/A1"][run];
            let count = count.to_string();
            let form =
                [("run", run), ("from", FROM[from]), ("to", TO[to]), ("count", count.as_str())];
            if cellar.prepare("shift", &form).is_ok() {
                cellar.write("shift", &form);
            }
            prop_assert_eq!(bottles(&cellar), 12);
            let racks = Racks::of(&cellar.snapshot.things);
            prop_assert_eq!(crowds(&racks, cellar.snapshot.lots()), []);
        }
    }
}

#[test]
fn a_look_writes_down_what_was_seen_and_no_more() {
    let check =
        |look: &[(&str, &str)], expected: &str| looked_at(&[]).check("look", look, expected);
    check(
        &[("run", "Plum")],
        "refused: What was seen? Give --corks level, rising or sunken, --seepage, --bubbles or --haze, or --well if all is well.",
    );
    check(
        &[("run", "Plum"), ("well", "yes")],
        "Look at Plum: all well.",
    );
    check(
        &[("run", "Plum"), ("well", "yes"), ("corks", "rising")],
        "refused: All well and corks rising? Leave one of them out.",
    );
    let seen = |look: &[(&str, &str)], expected: &[Property]| {
        let draft = looked_at(&[]).prepare("look", look).unwrap().draft;
        let seen: Vec<Property> = draft.readings.iter().map(|it| it.property).collect();
        assert_eq!(seen, expected);
    };
    let all = [
        Property::Corks,
        Property::Seepage,
        Property::Gas,
        Property::Clarity,
    ];
    seen(&[("run", "Plum"), ("well", "yes")], &all);
    seen(&[("run", "Plum"), ("corks", "level")], &all[..1]);
    seen(&[("run", "Plum"), ("bubbles", "none")], &all[2..3]);
}

#[test]
fn what_a_bottle_carries_goes_only_by_a_look_at_just_that() {
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising"), ("haze", "hazy")];
    let check = |look: &[(&str, &str)], expected: &str| {
        let expected = [(expected, "Rack A/A2", 1)];
        let expected = if expected[0].0.is_empty() {
            &[][..]
        } else {
            &expected
        };
        check_found(&[rises, look], expected);
    };
    for run in ["Rack A/A2", "Plum"] {
        check(
            &[("run", run), ("bubbles", "none")],
            "corks rising, wine hazy",
        );
        check(&[("run", run), ("corks", "level")], "wine hazy");
        check(&[("run", run), ("well", "yes")], "");
    }
    // Which of all of them it is now is not known, but it was that one.
    check(
        &[("run", "Plum"), ("corks", "rising"), ("haze", "clear")],
        "corks rising",
    );
    check(
        &[
            ("run", "Rack A/A2"),
            ("bubbles", "some"),
            ("corks", "level"),
        ],
        "some gas, wine hazy",
    );
}

/// Rack A holds five of Plum after a look at some of them.
fn looked_at(looks: &[&[(&str, &str)]]) -> Cellar {
    let mut cellar = shifted(&[["Plum", "Rack A", "5"]]);
    for look in looks {
        cellar.write("look", look);
    }
    cellar
}

/// Bottles of Plum by what was found amiss with them.
fn check_found(looks: &[&[(&str, &str)]], expected: &[(&str, &str, i64)]) {
    let cellar = looked_at(looks);
    let snapshot = cellar.snapshot;
    let plum = snapshot.find(Sort::Run, "Plum").unwrap().key;
    let lots = &snapshot.wine(plum).unwrap().bottles;
    assert_eq!(lots.iter().map(|it| it.count).sum::<i64>(), 8);
    let found: Vec<(&str, &str, i64)> = lots
        .iter()
        .filter(|it| !it.found.is_empty())
        .map(|it| (it.found.as_str(), it.at.as_str(), it.count))
        .collect();
    assert_eq!(found, expected);
}

#[test]
fn a_look_at_one_bottle_marks_it_and_it_stays_marked_where_it_goes() {
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    looked_at(&[]).check(
        "look",
        rises,
        "Look at 1 of Plum in Rack A/A2: corks rising.",
    );
    check_found(&[rises], &[("corks rising", "Rack A/A2", 1)]);
    let moved = {
        let mut cellar = looked_at(&[rises]);
        cellar.write("shift", &[("run", "Rack A/A2"), ("to", "Rack A/B3")]);
        cellar.snapshot
    };
    let plum = moved.find(Sort::Run, "Plum").unwrap().key;
    let lots = &moved.wine(plum).unwrap().bottles;
    let marked = lots.iter().find(|it| !it.found.is_empty()).unwrap();
    assert_eq!(
        (marked.found.as_str(), marked.at.as_str()),
        ("corks rising", "Rack A/B3")
    );
    // Two on the shelf seep; which of them is not known, and of a look at all that says nothing.
    let seep: &[(&str, &str)] = &[
        ("run", "Plum"),
        ("from", "shelf 1"),
        ("count", "2"),
        ("seepage", "some"),
    ];
    check_found(&[seep], &[("some seepage", "shelf 1", 2)]);
    check_found(&[&[("run", "Plum"), ("corks", "rising")]], &[]);
}

#[test]
fn a_look_that_finds_them_well_takes_the_mark_away() {
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    check_found(&[rises, &[("run", "Rack A/A2"), ("well", "yes")]], &[]);
    check_found(
        &[rises, &[("run", "Rack A/A1"), ("well", "yes")]],
        &[("corks rising", "Rack A/A2", 1)],
    );
    check_found(&[rises, &[("run", "Plum"), ("well", "yes")]], &[]);
}

#[test]
fn what_one_bottle_shows_is_a_warning_about_its_run_and_its_being_well_is_none_of_the_others() {
    let check = |look: &[(&str, &str)], expected: Option<&str>| {
        let snapshot = looked_at(&[look]).snapshot;
        let plum = snapshot.find(Sort::Run, "Plum").unwrap().key;
        let known = &snapshot.wine(plum).unwrap().known;
        let corks = known.get(&Property::Corks).map(|it| it.found.clone());
        assert_eq!(corks, expected.map(|it| Found::Word(it.to_owned())));
    };
    check(
        &[("run", "Rack A/A2"), ("corks", "rising")],
        Some("rising in some"),
    );
    check(&[("run", "Plum"), ("corks", "rising")], Some("rising"));
    check(&[("run", "Rack A/A2"), ("well", "yes")], None);
    check(&[("run", "Plum"), ("well", "yes")], Some("level"));
    check(&[("run", "Plum"), ("bubbles", "none")], None);
}

#[test]
fn bottles_that_may_burst_are_asked_about_before_they_are_touched() {
    let check = |looks: &[&[(&str, &str)]], asked: bool| {
        let mut cellar = looked_at(looks);
        cellar.write("vessel add", &[("name", "Jug"), ("mark", "5 L")]);
        // Of any bottle of the run, in whichever slot it was found.
        for (verb, pairs) in [
            ("open", &[("run", "Plum"), ("count", "1")][..]),
            ("give", &[("run", "Plum"), ("count", "1"), ("to", "Ines")]),
            ("shift", &[("run", "Rack A/A1"), ("to", "shelf 3")]),
            (
                "unbottle",
                &[("run", "Plum"), ("count", "1"), ("into", "Jug")],
            ),
        ] {
            let asks = cellar.prepare(verb, pairs).unwrap().loses;
            let asks = asks.is_some_and(|it| it.contains("Goggles"));
            assert_eq!(asks, asked, "{verb} after {looks:?}");
        }
    };
    let level: &[(&str, &str)] = &[("run", "Plum"), ("corks", "level")];
    let hazy: &[(&str, &str)] = &[("run", "Rack A/A2"), ("haze", "hazy")];
    check(&[], false);
    check(&[level], false);
    check(&[hazy], false);
    for found in [
        ("corks", "rising"),
        ("bubbles", "some"),
        ("bubbles", "much"),
    ] {
        check(&[&[("run", "Plum"), found]], true);
        let of_one: &[(&str, &str)] = &[("run", "Rack A/A2"), found];
        check(&[of_one], true);
        // All are found well afterwards, that one among them.
        check(
            &[
                of_one,
                &[("run", "Plum"), ("corks", "level"), ("bubbles", "none")],
            ],
            false,
        );
    }
}

#[test]
fn a_look_that_takes_pressure_back_is_asked_about_and_says_what_it_contradicts() {
    let check = |looks: &[&[(&str, &str)]], look: &[(&str, &str)], expected: &str| {
        let asks = looked_at(looks).prepare("look", look).unwrap().loses;
        let asks = asks.unwrap_or_default();
        assert_eq!(asks.is_empty(), expected.is_empty(), "{asks}");
        assert!(asks.contains(expected), "{asks}");
    };
    let rises: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    let all_rise: &[(&str, &str)] = &[("run", "Plum"), ("corks", "rising")];
    let well: &[(&str, &str)] = &[("run", "Plum"), ("well", "yes")];
    check(&[], well, "");
    check(&[rises], well, "this was found: corks rising;");
    check(&[all_rise], well, "looked again at every bottle");
    let that_one: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "level")];
    check(&[rises], that_one, "at those it was found with");
    // These say nothing of it, or nothing new.
    check(&[rises], &[("run", "Plum"), ("bubbles", "none")], "");
    check(&[rises], &[("run", "Rack A/A1"), ("well", "yes")], "");
    check(&[rises], all_rise, "");
}

#[test]
fn bottles_with_something_amiss_are_taken_out_by_that_and_the_finding_goes_with_them() {
    let of_one: &[(&str, &str)] = &[
        ("run", "Plum"),
        ("from", "shelf 1"),
        ("count", "1"),
        ("corks", "rising"),
    ];
    let may_burst = |verb: &str, pairs: &[(&str, &str)]| {
        let mut cellar = looked_at(&[of_one]);
        cellar.write(verb, pairs);
        let plum = cellar.snapshot.find(Sort::Run, "Plum").unwrap().key;
        let wine = cellar.snapshot.wine(plum).unwrap();
        assert_eq!(wine.bottle_count(), 7);
        let amiss = wine.bottles.iter().filter(|it| !it.found.is_empty());
        amiss.map(|it| it.count).sum::<i64>()
    };
    for verb in ["open", "give", "break"] {
        assert_eq!(may_burst(verb, &[("run", "Plum"), ("amiss", "yes")]), 0);
        // Unasked, one that is well is taken first.
        assert_eq!(may_burst(verb, &[("run", "Plum")]), 1);
    }
    looked_at(&[]).check(
        "open",
        &[("run", "Plum"), ("amiss", "yes")],
        "refused: 0 of Plum are marked with something amiss, not 1; `look` marks those it is found with.",
    );
}

/// A look told back after another is that very look, and no measurement of a vessel.
#[test]
fn a_look_is_told_back_as_the_look_it_was() {
    let before: &[(&str, &str)] = &[("run", "Rack A/A2"), ("corks", "rising")];
    let check = |look: &[(&str, &str)]| looked_at(&[before]).check_again("look", look);
    check(&[("run", "Plum"), ("well", "yes")]);
    check(&[("run", "Plum"), ("corks", "level"), ("haze", "hazy")]);
    check(&[("run", "Plum"), ("bubbles", "much"), ("seepage", "some")]);
    check(&[("run", "Rack A/A2"), ("well", "yes")]);
    check(&[
        ("run", "Rack A/A3"),
        ("corks", "sunken"),
        ("bubbles", "none"),
    ]);
    check(&[
        ("run", "Plum"),
        ("from", "shelf 1"),
        ("count", "2"),
        ("haze", "hazy"),
    ]);
}
