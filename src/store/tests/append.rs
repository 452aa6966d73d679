//! What the book takes and what it refuses.

use super::*;
use crate::cellar::amount::Mass;
use crate::cellar::entry::{
    Addition, BottleMove, Dose, Due, Job, Kept, Posture, Silence, Spot, SupplyChange, SupplyMove,
    Tasting,
};

#[test]
fn an_entry_comes_back_as_it_was_written() {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy A");
    let lot = cellar.begin(Sort::Supply, "meta 2026");
    let run = cellar.begin(Sort::Run, "red 2024");
    cellar.receive(1, vessel, 20.0);
    let mut stock = Draft::new(Kind::Buy, day(1));
    stock.supplies.push(SupplyMove {
        lot,
        change: SupplyChange::By(Dose::Mass(Mass::grams(100.0))),
    });
    cellar.append(&stock);

    let mut draft = sample(2, vessel, 0.1);
    draft.by = "AB".to_owned();
    draft.note = "smells of plums".to_owned();
    draft.subject = Some(vessel);
    draft.begin(Sort::Batch, "plum 2024");
    draft.set(vessel, field::NECK, Value::Real(30.5));
    for found in [
        Found::Number(1.012),
        Found::Between(24.0, 26.0),
        Found::Below(10.0),
        Found::Above(50.0),
        Found::Word("faint".to_owned()),
    ] {
        draft
            .readings
            .extend(measure(2, vessel, Property::FreeSo2, found).readings);
    }
    draft.additions.push(Addition {
        place: vessel,
        substance: "potassium-metabisulfite".to_owned(),
        dose: Some(Dose::Mass(Mass::grams(1.5))),
        so2: Mass::grams(0.8),
        lot: Some(lot),
        calculation: "{}".to_owned(),
    });
    draft.additions.push(Addition {
        place: vessel,
        substance: "a packet".to_owned(),
        dose: None,
        so2: Mass::ZERO,
        lot: None,
        calculation: String::new(),
    });
    draft.tastings.push(Tasting {
        place: vessel,
        words: "plums".to_owned(),
        score: Some(13.5),
        sheet: "twenty".to_owned(),
    });
    draft.bottles.push(BottleMove {
        run,
        size_ml: 750,
        count: 12,
        from: Spot::Outside(Account::Before.key()),
        to: Spot::Kept(Kept {
            posture: Posture::Lying,
            at: "shelf 2".to_owned(),
            reserved: "the wedding".to_owned(),
            found: "corks rising".to_owned(),
        }),
        about: true,
    });
    draft.supplies.push(SupplyMove {
        lot,
        change: SupplyChange::Unknown,
    });
    for due in [
        Due::On(day(9).utc_ms),
        Due::AtGravity {
            gravity: 1.01,
            latest_ms: Some(day(12).utc_ms),
        },
    ] {
        draft.jobs.push(Job {
            key: Key(0),
            subject: vessel,
            title: "rack it".to_owned(),
            due,
            verb: "rack".to_owned(),
        });
    }
    draft.silences.push(Silence {
        subject: vessel,
        reason: "headspace".to_owned(),
        until_ms: None,
    });
    let written = cellar.store.append(&draft, CLOCK).unwrap();
    let stamp = &written.entries[0];

    let read = cellar.store.entry(stamp.key).unwrap();
    assert_eq!((read.key, read.uid), (stamp.key, stamp.uid));
    let jobs: Vec<Key> = read.draft.jobs.iter().map(|it| it.key).collect();
    assert!(jobs.iter().all(|it| it.0 > 0), "{jobs:?}");
    // The new batch has its real key, and so have the jobs; all else is as it was.
    draft.changes[0].thing = stamp.things[0];
    for (job, key) in draft.jobs.iter_mut().zip(jobs) {
        job.key = key;
    }
    assert_eq!(read.draft, draft);
    cellar.sound();
}

#[test]
fn what_is_still_to_come_is_refused() {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy A");
    let said = refusal(cellar.store.append(&receive(1_001, vessel, 5.0), CLOCK));
    assert!(said.contains("is after now"), "{said}");
    assert_eq!(cellar.holds(2_000, vessel), Volume::litres(0.0));
}

#[test]
fn a_name_in_use_is_taken_whatever_its_case() {
    let mut cellar = Cellar::new();
    let first = cellar.vessel("Carboy A");
    let mut again = Draft::new(Kind::Vessel, day(1));
    again.begin(Sort::Vessel, " carboy a");
    let said = refusal(cellar.store.append(&again, CLOCK));
    assert_eq!(
        said,
        "there is a vessel called Carboy A already; give another name, or retire that one first."
    );
    // Another sort may be called the same, and a retired vessel gives its name free.
    cellar.begin(Sort::Batch, "Carboy A");
    cellar.append(&set(2, first, field::CLOSED, Value::Int(day(2).utc_ms)));
    cellar.append(&again);
    // Which then keeps the first from coming back.
    let mut back = Draft::new(Kind::Vessel, day(3));
    back.changes.push(crate::cellar::entry::Change {
        thing: first,
        field: field::CLOSED.to_owned(),
        value: None,
    });
    refusal(cellar.store.append(&back, CLOCK));
    cellar.sound();
}

#[test]
fn more_than_is_there_cannot_be_taken() {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy A");
    cellar.receive(1, vessel, 5.0);
    let said = refusal(cellar.store.append(&sample(2, vessel, 5.5), CLOCK));
    assert_eq!(
        said,
        "Carboy A holds 5.0 L on 16 Nov 2023 and 5.5 L is taken from it; take less, or first say that more was in it (adjust) or that some went elsewhere."
    );
    assert_eq!(cellar.holds(3, vessel), Volume::litres(5.0));
    cellar.sound();
}

#[test]
fn a_late_entry_that_breaks_a_later_one_names_it() {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy A");
    cellar.receive(1, vessel, 5.0);
    cellar.append(&sample(10, vessel, 4.0));
    let said = refusal(cellar.store.append(&sample(5, vessel, 2.0), CLOCK));
    assert_eq!(
        said,
        "entry 3 of 24 Nov 2023 (drew a sample) would no longer hold: Carboy A holds 3.0 L then and 4.0 L is taken from it; take less, or first say that more was in it (adjust) or that some went elsewhere."
    );
    cellar.sound();
}

#[test]
fn a_late_entry_changes_what_was_racked_instead_of_being_refused() {
    let mut cellar = Cellar::new();
    let (a, b) = (cellar.vessel("Carboy A"), cellar.vessel("Carboy B"));
    cellar.receive(1, a, 20.0);
    let racked = cellar.rack(10, a, b, 0.5);
    assert_eq!(cellar.holds(11, b), Volume::litres(19.5));
    let written = cellar.store.append(&sample(5, a, 0.25), CLOCK).unwrap();
    assert_eq!(written.effects.recomputed, vec![racked]);
    assert_eq!(cellar.holds(11, b), Volume::litres(19.25));
    assert_eq!(cellar.holds(4, a), Volume::litres(20.0));
    cellar.sound();
}

#[test]
fn a_brim_measured_today_held_yesterday_too() {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy A");
    cellar.receive(1, vessel, 23.0);
    let said = refusal(cellar.store.append(&brim(9, vessel, 22.5), CLOCK));
    assert!(
        said.starts_with("entry 2 of 15 Nov 2023 (received) would no longer hold: Carboy A would hold 23.0 L then and its measured brim is 22.5 L"),
        "{said}"
    );
    cellar.append(&brim(9, vessel, 23.5));
    refusal(cellar.store.append(&receive(2, vessel, 1.0), CLOCK));
    cellar.sound();
}

#[test]
fn a_preview_says_what_would_change_and_writes_nothing() {
    let mut cellar = Cellar::new();
    let (a, b) = (cellar.vessel("Carboy A"), cellar.vessel("Carboy B"));
    cellar.receive(1, a, 20.0);
    let racked = cellar.rack(10, a, b, 0.0);
    let effects = cellar.store.preview(&[sample(5, a, 1.0)], CLOCK).unwrap();
    assert_eq!(effects.recomputed, vec![racked]);
    let litres = Volume::litres;
    let shifts: Vec<_> = effects
        .shifts
        .iter()
        .map(|it| {
            (
                it.place,
                it.when,
                volume(it.before.as_ref()),
                volume(it.after.as_ref()),
            )
        })
        .collect();
    assert_eq!(
        shifts,
        [
            (a, day(5), litres(20.0), litres(19.0)),
            // Empty as the book has it: from here on it differs no more.
            (a, day(10), litres(0.0), litres(0.0)),
            (b, day(10), litres(20.0), litres(19.0)),
        ]
    );
    assert_eq!(cellar.holds(11, b), Volume::litres(20.0));
    cellar.sound();
}

#[test]
fn what_is_not_there_cannot_be_spoken_of() {
    let mut cellar = Cellar::new();
    let error = cellar.store.append(&receive(1, Key(77), 5.0), CLOCK);
    assert!(error.unwrap_err().is_input());
    let mut closing = Draft::new(Kind::Done, day(1));
    closing.closes.push(Key(5));
    assert!(cellar.store.append(&closing, CLOCK).unwrap_err().is_input());
    let vessel = cellar.vessel("Carboy A");
    let nan = measure(1, vessel, Property::Ph, Found::Number(f64::NAN));
    assert!(cellar.store.append(&nan, CLOCK).unwrap_err().is_input());
}

#[test]
fn entries_given_together_stand_or_fall_together() {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy A");
    let both = [receive(1, vessel, 5.0), sample(2, vessel, 6.0)];
    refusal(cellar.store.append_all(&both, CLOCK));
    assert_eq!(cellar.holds(3, vessel), Volume::litres(0.0));
    // In whatever order they are given: the fold has its own.
    let both = [sample(2, vessel, 3.0), receive(1, vessel, 5.0)];
    cellar.store.append_all(&both, CLOCK).unwrap();
    assert_eq!(cellar.holds(3, vessel), Volume::litres(2.0));
    cellar.sound();
}
