//! Voiding and amending, however late.

use super::*;
use crate::cellar::telling;

#[test]
fn a_void_takes_back_exactly_what_the_entry_did() {
    let mut cellar = Cellar::new();
    let (a, b) = (cellar.vessel("Carboy A"), cellar.vessel("Carboy B"));
    cellar.receive(1, a, 20.0);
    let sampled = cellar.append(&sample(5, a, 1.0));
    cellar.rack(10, a, b, 0.0);
    let effects = cellar.store.preview_void(sampled, CLOCK).unwrap();
    assert_eq!(effects.recomputed.len(), 1);
    assert_eq!(cellar.holds(11, b), Volume::litres(19.0));
    cellar.store.void(sampled, CLOCK).unwrap();
    assert_eq!(cellar.holds(11, b), Volume::litres(20.0));
    let voided = cellar.store.entry(sampled).unwrap();
    assert!(!voided.is_living());
    cellar.sound();
}

#[test]
fn a_voided_entry_is_told_with_the_figures_it_had() {
    let mut cellar = Cellar::new();
    let (a, b) = (cellar.vessel("Carboy A"), cellar.vessel("Carboy B"));
    cellar.receive(1, a, 20.0);
    let racked = cellar.rack(10, a, b, 0.6);
    let told = |cellar: &Cellar| {
        let listed = cellar.store.listed(racked).unwrap();
        let now = cellar.store.snapshot(day(20)).unwrap();
        telling::sentence(&listed.entry.draft, &listed.flows, &now)
    };
    let was = told(&cellar);
    assert!(was.contains("19.4 L") && was.contains("600 mL"), "{was}");
    cellar.store.void(racked, CLOCK).unwrap();
    assert_eq!(told(&cellar), was);
    let all = cellar.store.account_totals().unwrap();
    assert!(
        all.iter().all(|(account, _)| *account != Account::Lees),
        "{all:?}"
    );
}

#[test]
fn an_entry_is_voided_once_and_a_void_never() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let received = cellar.receive(1, a, 20.0);
    let void = cellar.store.void(received, CLOCK).unwrap().key();
    let said = refusal(cellar.store.void(received, CLOCK));
    assert_eq!(
        said,
        "entry 2 of 15 Nov 2023 (received) is voided already; there is nothing left to cancel."
    );
    let said = refusal(cellar.store.void(void, CLOCK));
    assert!(said.contains("is itself a void and stays"), "{said}");
    assert!(cellar.store.void(Key(99), CLOCK).unwrap_err().is_input());
    cellar.sound();
}

#[test]
fn what_later_entries_need_is_not_voided() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let received = cellar.receive(1, a, 20.0);
    cellar.append(&sample(5, a, 1.0));
    let said = refusal(cellar.store.void(received, CLOCK));
    assert!(
        said.starts_with(
            "entry 3 of 19 Nov 2023 (drew a sample) would no longer hold: Carboy A holds 0.0 L"
        ),
        "{said}"
    );
    cellar.sound();
}

#[test]
fn an_entry_that_others_point_at_is_not_voided() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let began = cellar.store.newest_living().unwrap().unwrap().key;
    cellar.receive(1, a, 20.0);
    let said = refusal(cellar.store.void(began, CLOCK));
    assert_eq!(
        said,
        "entry 1 of 14 Nov 2023 (vessel change) cannot be voided while entry 2 of 15 Nov 2023 (received) speaks of Carboy A, which began with it; void that one first, or amend this one."
    );

    let plan = cellar.append(&part_b(a, 2, 20));
    let job = cellar.store.entry(plan).unwrap().draft.jobs[0].key;
    let mut done = Draft::new(Kind::Done, day(3));
    done.closes.push(job);
    let done = cellar.append(&done);
    let said = refusal(cellar.store.void(plan, CLOCK));
    assert!(said.contains("closes a job that it set"), "{said}");
    cellar.store.void(done, CLOCK).unwrap();
    cellar.store.void(plan, CLOCK).unwrap();

    let mut jot = Draft::new(Kind::Jot, day(4));
    jot.note = "took a glass".to_owned();
    let jot = cellar.append(&jot);
    let mut made = sample(4, a, 0.15);
    made.from_jot = Some(jot);
    let made = cellar.append(&made);
    let said = refusal(cellar.store.void(jot, CLOCK));
    assert!(said.contains("was made from it"), "{said}");
    // Amending what was made of it does not open the jot again.
    cellar.store.amend(made, &sample(4, a, 0.2), CLOCK).unwrap();
    assert!(cellar.store.snapshot(day(20)).unwrap().jots.is_empty());
    cellar.sound();
}

#[test]
fn an_amended_entry_keeps_the_things_it_began() {
    let mut cellar = Cellar::new();
    let mut draft = Draft::new(Kind::Receive, day(1));
    let vessel = draft.begin(Sort::Vessel, "Carboy A");
    let amount = Amount::Exactly(Volume::litres(20.0));
    draft.pour(Account::Must.key(), vessel, amount);
    let written = cellar.store.append(&draft, CLOCK).unwrap();
    let vessel = written.entries[0].things[0];
    cellar.append(&sample(5, vessel, 1.0));

    // From a form, with the draft's own keys.
    let mut again = Draft::new(Kind::Receive, day(2));
    let new = again.begin(Sort::Vessel, "Carboy B");
    let amount = Amount::Exactly(Volume::litres(10.0));
    again.pour(Account::Must.key(), new, amount);
    let written = cellar.store.amend(written.key(), &again, CLOCK).unwrap();
    assert_eq!(written.entries[1].things, [vessel]);
    assert_eq!(cellar.holds(6, vessel), Volume::litres(9.0));
    assert_eq!(cellar.holds(1, vessel), Volume::ZERO);
    cellar.sound();

    // From the entry as it was read, with real keys.
    let mut read = cellar.store.entry(written.key()).unwrap().draft;
    read.movements[0].amount = Amount::Exactly(Volume::litres(12.0));
    cellar.store.amend(written.key(), &read, CLOCK).unwrap();
    assert_eq!(cellar.holds(6, vessel), Volume::litres(11.0));
    let snapshot = cellar.store.snapshot(day(6)).unwrap();
    assert_eq!(snapshot.name(vessel), "Carboy B");
    assert_eq!(snapshot.open(Sort::Vessel).count(), 1);
    cellar.sound();
}

#[test]
fn an_amendment_that_breaks_a_later_entry_is_refused_whole() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let received = cellar.receive(1, a, 20.0);
    cellar.append(&sample(5, a, 10.0));
    refusal(cellar.store.amend(received, &receive(1, a, 9.0), CLOCK));
    assert!(cellar.store.entry(received).unwrap().is_living());
    cellar
        .store
        .amend(received, &receive(2, a, 11.0), CLOCK)
        .unwrap();
    assert_eq!(cellar.holds(6, a), Volume::litres(1.0));
    cellar.sound();
}

#[test]
fn undo_takes_back_the_newest_as_recorded_not_as_dated() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    cellar.receive(1, a, 20.0);
    cellar.append(&sample(9, a, 1.0));
    let late = cellar.append(&sample(5, a, 2.0));
    assert_eq!(cellar.store.newest_living().unwrap().unwrap().key, late);
    cellar.store.undo(late, CLOCK).unwrap();
    let next = cellar.store.newest_living().unwrap().unwrap();
    assert_eq!(next.draft.when, day(9));
}

#[test]
fn undoing_an_amendment_brings_back_what_it_amended_and_then_goes_on() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let received = cellar.receive(1, a, 20.0);
    cellar.append(&sample(5, a, 1.0));
    let newest = |cellar: &Cellar| cellar.store.newest_living().unwrap().unwrap();
    let undo = |cellar: &mut Cellar| {
        let key = newest(cellar).key;
        cellar.store.undo(key, CLOCK).unwrap();
        cellar.sound();
    };
    let mut at = received;
    for litres in [18.0, 17.0] {
        let again = receive(1, a, litres);
        at = cellar.store.amend(at, &again, CLOCK).unwrap().key();
        assert_eq!(cellar.holds(6, a), Volume::litres(litres - 1.0));
    }
    undo(&mut cellar);
    assert_eq!(cellar.holds(6, a), Volume::litres(17.0));
    // What is amended after it was brought back is brought back once more.
    let (back, again) = (newest(&cellar).key, receive(1, a, 16.0));
    cellar.store.amend(back, &again, CLOCK).unwrap();
    for litres in [17.0, 19.0, 20.0] {
        undo(&mut cellar);
        assert_eq!(cellar.holds(6, a), Volume::litres(litres));
    }
    undo(&mut cellar);
    assert_eq!(cellar.holds(6, a), Volume::ZERO);
    assert_eq!(newest(&cellar).draft.kind, Kind::Vessel);
}

#[test]
fn a_voided_change_gives_the_attribute_its_last_living_value() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    cellar.append(&set(9, a, field::ROOM, "cellar"));
    // Dated earlier, so it does not win, though it was recorded later.
    cellar.append(&set(5, a, field::ROOM, "kitchen"));
    let attic = cellar.append(&set(10, a, field::ROOM, "attic"));
    let room = |cellar: &Cellar| {
        let snapshot = cellar.store.snapshot(day(20)).unwrap();
        snapshot.thing(a).unwrap().text(field::ROOM).to_owned()
    };
    assert_eq!(room(&cellar), "attic");
    cellar.store.void(attic, CLOCK).unwrap();
    assert_eq!(room(&cellar), "cellar");
    cellar.sound();
}

#[test]
fn voiding_an_addition_returns_the_powder_to_its_lot() {
    use crate::cellar::amount::Mass;
    use crate::cellar::entry::{Addition, Dose, SupplyChange, SupplyMove};
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let lot = cellar.begin(Sort::Supply, "meta 2026");
    cellar.receive(1, a, 20.0);
    let mut bought = Draft::new(Kind::Buy, day(1));
    bought.supplies.push(SupplyMove {
        lot,
        change: SupplyChange::By(Dose::Mass(Mass::grams(50.0))),
    });
    cellar.append(&bought);
    let mut added = Draft::new(Kind::Add, day(2));
    added.additions.push(Addition {
        place: a,
        substance: "potassium-metabisulfite".to_owned(),
        dose: Some(Dose::Mass(Mass::grams(2.0))),
        so2: Mass::grams(1.1),
        lot: Some(lot),
        calculation: String::new(),
    });
    let added = cellar.append(&added);
    let left = |cellar: &Cellar| {
        let snapshot = cellar.store.snapshot(day(3)).unwrap();
        snapshot.stock(lot).unwrap().left
    };
    assert_eq!(left(&cellar), Some(Dose::Mass(Mass::grams(48.0))));
    cellar.store.void(added, CLOCK).unwrap();
    assert_eq!(left(&cellar), Some(Dose::Mass(Mass::grams(50.0))));
    cellar.sound();
}

#[test]
fn what_changes_is_told_against_the_book_as_it_was() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    cellar.receive(1, a, 20.0);
    let sampled = cellar.append(&sample(5, a, 1.0));
    cellar.append(&sample(10, a, 2.0));
    // Re-entered a day later as a note that moves nothing: the vessel differs after it all the same.
    let mut note = Draft::new(Kind::Note, day(6));
    note.subject = Some(a);
    let effects = cellar.store.preview_amend(sampled, &note, CLOCK).unwrap();
    let shifts: Vec<_> = effects
        .shifts
        .iter()
        .map(|it| {
            (
                it.when,
                volume(it.before.as_ref()),
                volume(it.after.as_ref()),
            )
        })
        .collect();
    let litres = Volume::litres;
    let expected = [
        (day(5), litres(19.0), litres(20.0)),
        (day(6), litres(19.0), litres(20.0)),
        (day(10), litres(17.0), litres(18.0)),
    ];
    assert_eq!(shifts, expected);
}

/// What was voided by its number is the last thing done, and undo takes that back; then it goes on with what came before.
#[test]
fn undo_takes_a_void_back_and_goes_on_with_what_came_before() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let received = cellar.receive(1, a, 20.0);
    let first = cellar.append(&sample(5, a, 1.0));
    let second = cellar.append(&sample(6, a, 2.0));
    let holds = |cellar: &Cellar| cellar.holds(11, a);
    let undo = |cellar: &mut Cellar| {
        let newest = cellar.store.newest_living().unwrap().unwrap();
        let preview = cellar.store.preview_undo(newest.key, CLOCK).unwrap();
        assert!(!preview.shifts.is_empty());
        cellar.store.undo(newest.key, CLOCK).unwrap();
        cellar.sound();
        newest
    };
    let void = cellar.store.void(first, CLOCK).unwrap().key();
    assert_eq!(holds(&cellar), Volume::litres(18.0));
    assert_eq!(undo(&mut cellar).key, void);
    assert_eq!(holds(&cellar), Volume::litres(17.0));
    // What was brought back stands where it stood: the next is the one after it.
    assert_eq!(undo(&mut cellar).key, second);
    assert_eq!(holds(&cellar), Volume::litres(19.0));
    assert_eq!(undo(&mut cellar).draft.amends, Some(first));
    assert_eq!(holds(&cellar), Volume::litres(20.0));
    assert_eq!(undo(&mut cellar).key, received);
}

/// A vessel that is brought back is the vessel that it was, with what it set and what was planned for it.
#[test]
fn a_void_that_is_taken_back_brings_back_what_the_entry_began() {
    let mut cellar = Cellar::new();
    let a = cellar.vessel("Carboy A");
    let began = cellar.store.newest_living().unwrap().unwrap().key;
    let plan = cellar.append(&part_b(a, 2, 20));
    let mut jot = Draft::new(Kind::Jot, day(3));
    jot.note = "rain".to_owned();
    let later = cellar.append(&jot);
    cellar.store.void(plan, CLOCK).unwrap();
    let void = cellar.store.void(began, CLOCK).unwrap().key();
    let things = |cellar: &Cellar| {
        let snapshot = cellar.store.snapshot(day(11)).unwrap();
        (snapshot.thing(a).is_some(), snapshot.jobs.len())
    };
    assert_eq!(things(&cellar), (false, 0));
    for (undone, there) in [(Some(void), (true, 0)), (None, (true, 1))] {
        let newest = cellar.store.newest_living().unwrap().unwrap();
        assert!(undone.is_none_or(|it| it == newest.key));
        cellar.store.undo(newest.key, CLOCK).unwrap();
        cellar.sound();
        assert_eq!(things(&cellar), there);
    }
    assert_eq!(cellar.store.newest_living().unwrap().unwrap().key, later);
}
