//! Entries of one moment: what is written anew stands where it stood.

use super::*;

/// Carboys A and B with wine in both, B racked into C and A into B at the same moment.
fn two_rackings() -> (Cellar, [Key; 3], Key) {
    let mut cellar = Cellar::new();
    let vessels = ["Carboy A", "Carboy B", "Carboy C"].map(|it| cellar.vessel(it));
    let [a, b, c] = vessels;
    cellar.receive(1, a, 19.0);
    cellar.receive(1, b, 5.0);
    let first = cellar.rack(5, b, c, 0.0);
    cellar.rack(5, a, b, 1.0);
    (cellar, vessels, first)
}

#[track_caller]
fn check(cellar: &Cellar, vessels: [Key; 3], litres: [f64; 3]) {
    cellar.sound();
    let held = vessels.map(|it| cellar.holds(6, it));
    assert_eq!(held, litres.map(Volume::litres));
}

fn undo(cellar: &mut Cellar) {
    let newest = cellar.store.newest_living().unwrap().unwrap().key;
    cellar.store.undo(newest, CLOCK).unwrap();
}

#[test]
fn an_amendment_stands_where_the_entry_stood_and_undo_gives_back_what_was() {
    let (mut cellar, vessels, first) = two_rackings();
    let [_, b, c] = vessels;
    let was = [0.0, 18.0, 5.0];
    check(&cellar, vessels, was);
    cellar
        .store
        .amend(first, &rack(5, b, c, 0.1), CLOCK)
        .unwrap();
    check(&cellar, vessels, [0.0, 18.0, 4.9]);
    undo(&mut cellar);
    check(&cellar, vessels, was);
}

#[test]
fn what_a_void_took_away_comes_back_to_its_place() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    cellar.receive(1, a, 15.0);
    let found = cellar.append(&level(5, a, 10.0));
    cellar.append(&sample(5, a, 1.0));
    assert_eq!(cellar.holds(6, a), Volume::litres(9.0));
    cellar.store.void(found, CLOCK).unwrap();
    assert_eq!(cellar.holds(6, a), Volume::litres(14.0));
    undo(&mut cellar);
    assert_eq!(cellar.holds(6, a), Volume::litres(9.0));
    cellar.sound();
}

/// What a form is written against is the cellar just before the entry, and not the end of its moment.
#[test]
fn an_entry_is_written_anew_against_what_was_there_just_before_it() {
    let (mut cellar, [a, b, c], first) = two_rackings();
    let entry = cellar.store.entry(first).unwrap();
    let then = cellar.store.without(&entry, day(5), CLOCK).unwrap();
    let held = [a, b, c].map(|it| volume(then.states.get(&it).map(AsRef::as_ref)));
    assert_eq!(held, [19.0, 5.0, 0.0].map(Volume::litres));
}

#[test]
fn a_setting_written_anew_does_not_win_over_what_was_set_after_it() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let first = cellar.append(&set(5, a, field::ROOM, "kitchen"));
    cellar.append(&set(5, a, field::ROOM, "attic"));
    let again = set(5, a, field::ROOM, "pantry");
    cellar.store.amend(first, &again, CLOCK).unwrap();
    let now = cellar.store.snapshot(day(6)).unwrap();
    assert_eq!(now.thing(a).unwrap().text(field::ROOM), "attic");
    cellar.sound();
}

#[test]
fn an_amendment_that_says_what_was_said_is_undone_as_one() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let received = cellar.receive(1, a, 20.0);
    let again = receive(1, a, 20.0);
    let amended = cellar.store.amend(received, &again, CLOCK).unwrap().key();
    assert_eq!(cellar.store.newest_living().unwrap().unwrap().key, amended);
    undo(&mut cellar);
    assert_eq!(cellar.holds(2, a), Volume::litres(20.0));
    undo(&mut cellar);
    assert_eq!(cellar.holds(2, a), Volume::ZERO);
    cellar.sound();
}
