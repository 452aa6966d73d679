//! What the store refuses of racks and slots, whoever wrote the draft.

use super::*;
use crate::cellar::entry::{BottleMove, Kept, Posture, Spot};

/// Rack A of one row of three, and two runs of five bottles on the floor.
fn cellar() -> (Cellar, Key, Key) {
    let mut cellar = Cellar::new();
    let mut rack = Draft::new(Kind::Shelves, day(0));
    let key = rack.begin(Sort::Rack, "Rack A");
    rack.set(key, field::COLUMNS, "3");
    cellar.append(&rack);
    let mut run = |name: &str| {
        let mut here = Draft::new(Kind::Here, day(1));
        let run = here.begin(Sort::Run, name);
        here.pour(
            Account::Before.key(),
            run,
            Amount::Exactly(Volume::millilitres(3_750)),
        );
        here.bottles.push(moved(
            run,
            5,
            Spot::Outside(Account::Before.key()),
            kept("floor"),
        ));
        cellar.store.append(&here, CLOCK).unwrap().entries[0].things[0]
    };
    let (one, other) = (run("Plum"), run("Regent"));
    (cellar, one, other)
}

fn kept(at: &str) -> Spot {
    Spot::Kept(Kept::at(Posture::Lying, at))
}

fn moved(run: Key, count: i64, from: Spot, to: Spot) -> BottleMove {
    BottleMove {
        run,
        size_ml: 750,
        count,
        from,
        to,
        about: false,
    }
}

fn shift(at: i64, run: Key, count: i64, from: &str, to: &str) -> Draft {
    let mut draft = Draft::new(Kind::Move, day(at));
    draft.subject = Some(run);
    draft.bottles.push(moved(run, count, kept(from), kept(to)));
    draft
}

const TAKEN: &str = "slot A1 of Rack A is taken: Plum and Regent would lie in it; give another slot, or shift what lies there first.";

#[test]
fn two_bottles_are_never_in_one_slot() {
    let (mut cellar, one, other) = cellar();
    cellar.append(&shift(2, one, 1, "floor", "Rack A/A1"));
    let second = shift(3, other, 1, "floor", "rack a a1");
    assert_eq!(refusal(cellar.store.append(&second, CLOCK)), TAKEN);
    assert_eq!(refusal(cellar.store.preview(&[second], CLOCK)), TAKEN);
    cellar.append(&shift(3, other, 1, "floor", "Rack A/A2"));
    cellar.sound();
}

#[test]
fn a_rack_holds_no_more_than_it_has_room_for_and_no_slot_that_it_has_not() {
    let (mut cellar, one, other) = cellar();
    cellar.append(&shift(2, one, 3, "floor", "Rack A"));
    let full = "Rack A has room for 3 and would hold 4; put fewer there, or shift some first.";
    let more = shift(3, other, 1, "floor", "Rack A/A1");
    assert_eq!(refusal(cellar.store.append(&more, CLOCK)), full);
    let none = "Rack A has no slot `A9`; its slots are A1 to A3.";
    let beside = shift(3, other, 1, "floor", "Rack A/A9");
    assert_eq!(refusal(cellar.store.append(&beside, CLOCK)), none);
    cellar.sound();
}

#[test]
fn a_void_does_not_put_a_bottle_back_where_another_lies_now() {
    let (mut cellar, one, other) = cellar();
    cellar.append(&shift(2, one, 1, "floor", "Rack A/A1"));
    let away = cellar.append(&shift(3, one, 1, "Rack A/A1", "floor"));
    cellar.append(&shift(4, other, 1, "floor", "Rack A/A1"));
    assert_eq!(refusal(cellar.store.void(away, CLOCK)), TAKEN);
    assert_eq!(refusal(cellar.store.preview_void(away, CLOCK)), TAKEN);
    cellar.sound();
}

#[test]
fn a_shape_that_what_lies_there_does_not_fit_is_refused() {
    let (mut cellar, one, _) = cellar();
    cellar.append(&shift(2, one, 1, "floor", "Rack A/A3"));
    let rack = cellar.store.snapshot(day(3)).unwrap();
    let rack = rack.find(Sort::Rack, "Rack A").unwrap().key;
    let smaller = set(3, rack, field::COLUMNS, "2");
    assert_eq!(
        refusal(cellar.store.append(&smaller, CLOCK)),
        "Rack A has no slot `A3`; its slots are A1 to A2."
    );
    cellar.append(&set(3, rack, field::COLUMNS, "4"));
    cellar.sound();
}

/// As after two copies met: bottles that are crowded by the book may still be shifted and opened, and
/// `check` names them.
#[test]
fn what_is_crowded_already_can_be_mended() {
    let (mut cellar, one, other) = cellar();
    cellar.append(&shift(2, one, 2, "floor", "Rack B/A1"));
    cellar.append(&shift(2, other, 2, "floor", "Rack B/A1"));
    // The rack is written down by hand, past the store's own rules.
    cellar
        .store
        .conn
        .execute_batch(
            "INSERT INTO change (entry, seq, thing, field, value) VALUES
                 (1, 9, (SELECT key FROM thing WHERE sort = 'rack'), 'name', 'Rack B');",
        )
        .unwrap();
    cellar.store.rebuild().unwrap();
    let crowded = "Slot A1 of Rack B is taken: Plum and Regent would lie in it; give another slot, or shift what lies there first.";
    let wrong = cellar.store.check().unwrap();
    assert!(wrong.iter().any(|it| it == crowded), "{wrong:?}");
    cellar.append(&shift(5, one, 1, "Rack B/A1", "floor"));
    let worse = shift(6, one, 1, "floor", "Rack B/A1");
    assert!(cellar.store.append(&worse, CLOCK).is_err());
    cellar.append(&shift(6, other, 2, "Rack B/A1", "floor"));
    cellar.sound();
}
