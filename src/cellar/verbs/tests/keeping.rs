//! Bottles after the bottling: which are meant, where they go, what is refused.

use proptest::prelude::*;

use super::Cellar;
use crate::cellar::racks::{Racks, crowds};
use crate::cellar::state::State;

/// Rack A of two by three, two bins for four each, a case for six; eight of Plum lying on shelf 1 and
/// four of Regent in the pantry.
pub(super) fn cellar() -> Cellar {
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

pub(super) fn shifted(moves: &[[&str; 3]]) -> Cellar {
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
        "refused: Rack A/A2 is taken by Regent; give another slot, or only Rack A for the next that is free.",
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
        "refused: 2 of Plum are at Bins, not 3; if you find more, write them down with `here` by a name of their own.",
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
    let away = [("place", "r5"), ("count", "1")];
    cellar.check("discard", &away, "Pour away 1 of Regent.");
    cellar.check_again("discard", &away);
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
    let two = [("run", "Regent"), ("count", "2")];
    let asked = cellar.prepare("open", &two).unwrap().loses;
    assert_eq!(
        asked.as_deref(),
        Some("Only 1 of these is free; what is more is kept for 2030.")
    );
    // What broke is broken, whoever it was kept for: that is said, and not asked.
    let broken = cellar.prepare("break", &two).unwrap();
    assert_eq!(
        (broken.loses, broken.asks),
        (None, asked.into_iter().collect())
    );
    cellar.check(
        "reserve",
        &kept("2", "Ines"),
        "refused: 1 of Regent are free, not 2: the others are kept already; `leesline bottles` lists for whom.",
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
    cellar.write("give", &[("run", "Plum"), ("count", "4"), ("to", "Ines")]);
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
    assert_eq!(bottles(&cellar), 4 + 4);
    cellar.write("back", &back("yes"));
    assert_eq!(bottles(&cellar), 6 + 4);
    // 12 bottles of 750 mL, less the two that came back empty.
    let litres: f64 = cellar
        .snapshot
        .states
        .values()
        .map(|it| match it.as_ref() {
            State::Wine(wine) => wine.volume.in_litres(),
            State::Supply(_) => 0.0,
        })
        .sum();
    assert!((litres - 10.0 * 0.75).abs() < 1e-9, "{litres}");
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
