//! The spout: one press, one commit.

use super::*;
use crate::cellar::entry::{FillEvent, Filling};

struct Bottling {
    cellar: Cellar,
    vessel: Key,
    run: Key,
    begins: Key,
}

fn bottling(litres: f64) -> Bottling {
    let mut cellar = Cellar::new();
    let vessel = cellar.vessel("Carboy A");
    cellar.receive(1, vessel, litres);
    let mut draft = Draft::new(Kind::Bottle, day(10));
    let run = draft.begin(Sort::Run, "red 2024");
    draft.set(run, field::VESSEL, Value::Int(vessel.0));
    draft.subject = Some(run);
    let written = cellar.store.append(&draft, CLOCK).unwrap();
    Bottling {
        cellar,
        vessel,
        run: written.entries[0].things[0],
        begins: written.key(),
    }
}

impl Bottling {
    fn press(&mut self, event: FillEvent, count: i64) -> Result<super::super::Effects, StoreError> {
        let at_ms = day(10).utc_ms + 1_000;
        self.cellar.store.fill(self.run, event, 750, count, at_ms)
    }
}

#[test]
fn the_vessel_falls_bottle_by_bottle() {
    let mut it = bottling(3.0);
    for _ in 0..3 {
        it.press(FillEvent::Filled, 1).unwrap();
    }
    it.press(FillEvent::Back, 1).unwrap();
    assert_eq!(it.cellar.holds(11, it.vessel), Volume::litres(1.5));
    let snapshot = it.cellar.store.snapshot(day(11)).unwrap();
    assert_eq!(snapshot.filling, Some(it.run));
    assert_eq!(snapshot.wine(it.run).unwrap().bottle_count(), 2);
    let entry = it.cellar.store.entry(it.begins).unwrap();
    let sequences: Vec<i64> = entry.draft.fillings.iter().map(|it| it.sequence).collect();
    assert_eq!(sequences, [1, 2, 3, 4]);
    it.cellar.sound();
}

#[test]
fn a_bottle_more_than_the_vessel_can_fill_is_said_at_once_and_not_counted() {
    let mut it = bottling(1.0);
    it.press(FillEvent::Filled, 1).unwrap();
    let said = refusal(it.press(FillEvent::Filled, 1));
    let enough = "Carboy A held 1.0 L by the book, enough for 1 × 750 mL, not for 2: count fewer";
    assert!(said.starts_with(enough), "{said}");
    assert_eq!(it.cellar.holds(11, it.vessel), Volume::litres(0.25));
    // Saying that more was in it makes room for the next bottle.
    it.cellar.receive(2, it.vessel, 1.25);
    it.press(FillEvent::Filled, 1).unwrap();
    it.cellar.sound();
}

/// By hand: 750 + 375 = 1.125 L out of 1 L; and no level above a measured brim is offered as a way out.
#[test]
fn what_is_too_much_is_told_of_every_size_and_never_above_a_measured_brim() {
    let said = |brim_litres: Option<f64>| {
        let mut it = bottling(1.0);
        if let Some(litres) = brim_litres {
            it.cellar.append(&brim(2, it.vessel, litres));
        }
        it.press(FillEvent::Filled, 1).unwrap();
        let at_ms = day(10).utc_ms + 2_000;
        refusal(
            it.cellar
                .store
                .fill(it.run, FillEvent::Filled, 375, 1, at_ms),
        )
    };
    let counted = "Carboy A has too little by the book for 1 × 750 mL, 1 × 375 mL, with what went amiss 1.1 L in all";
    let open = said(None);
    assert!(
        open.starts_with(&format!("{counted}: count fewer; if more")),
        "{open}"
    );
    assert_eq!(
        said(Some(1.1)),
        format!("{counted}, and up to its measured brim it holds 1.1 L: count fewer.")
    );
}

#[test]
fn no_more_is_taken_back_than_was_filled() {
    let mut it = bottling(3.0);
    it.press(FillEvent::Filled, 2).unwrap();
    refusal(it.press(FillEvent::Back, 3));
    it.press(FillEvent::Back, 2).unwrap();
    refusal(it.press(FillEvent::Broken, 1));
    it.cellar.sound();
}

#[test]
fn a_finished_run_is_filled_no_more() {
    let mut it = bottling(3.0);
    it.press(FillEvent::Filled, 1).unwrap();
    let finish = set(10, it.run, field::FINISHED, Value::Int(day(10).utc_ms));
    it.cellar.append(&finish);
    let said = refusal(it.press(FillEvent::Filled, 1));
    assert_eq!(
        said,
        "red 2024 is finished already; `leesline bottle count` takes bottles more or fewer, and for anything else void its finish."
    );
    assert_eq!(it.cellar.store.snapshot(day(11)).unwrap().filling, None);
}

#[test]
fn an_amended_bottling_keeps_its_presses() {
    let mut it = bottling(3.0);
    it.press(FillEvent::Filled, 2).unwrap();
    let mut draft = it.cellar.store.entry(it.begins).unwrap().draft;
    draft.when = day(9);
    let written = it.cellar.store.amend(it.begins, &draft, CLOCK).unwrap();
    it.press(FillEvent::Filled, 1).unwrap();
    let entry = it.cellar.store.entry(written.key()).unwrap();
    assert_eq!(entry.draft.fillings.len(), 2);
    assert_eq!(it.cellar.holds(9, it.vessel), Volume::litres(0.75));
    it.cellar.sound();
}

#[test]
fn presses_are_of_a_bottling_whichever_entry_begins_it() {
    let mut it = bottling(9.0);
    it.press(FillEvent::Filled, 2).unwrap();
    let mut again = it.cellar.store.entry(it.begins).unwrap().draft;
    again.fillings = vec![Filling {
        sequence: 1,
        event: FillEvent::Filled,
        size_ml: 750,
        count: 5,
        at_ms: day(10).utc_ms,
    }];
    let amended = it
        .cellar
        .store
        .amend(it.begins, &again, CLOCK)
        .unwrap()
        .key();
    it.press(FillEvent::Filled, 1).unwrap();
    let bottles = |it: &Bottling| {
        let snapshot = it.cellar.store.snapshot(day(11)).unwrap();
        snapshot.wine(it.run).unwrap().bottle_count()
    };
    assert_eq!(bottles(&it), 6);
    it.cellar.store.undo(amended, CLOCK).unwrap();
    // The one pressed since was filled all the same.
    assert_eq!(bottles(&it), 3);
    it.press(FillEvent::Filled, 1).unwrap();
    assert_eq!(bottles(&it), 4);
    it.cellar.sound();
}

#[test]
fn what_was_taken_away_meanwhile_is_not_filled_any_more() {
    let mut it = bottling(9.0);
    it.press(FillEvent::Filled, 2).unwrap();
    let mut away = Draft::new(Kind::Discard, day(11));
    let rest = Amount::RestLeaving(Volume::litres(1.0));
    away.pour(it.vessel, Account::Discarded.key(), rest);
    let away = it.cellar.append(&away);
    let said = refusal(it.press(FillEvent::Filled, 1));
    assert!(said.contains("took so much out of Carboy A"), "{said}");
    assert_eq!(it.cellar.holds(12, it.vessel), Volume::litres(1.0));
    it.cellar.store.void(away, CLOCK).unwrap();
    it.press(FillEvent::Filled, 1).unwrap();
    // A glass drawn to taste takes nothing from the bottles.
    it.cellar.append(&sample(11, it.vessel, 0.2));
    it.press(FillEvent::Filled, 1).unwrap();
    assert_eq!(it.cellar.holds(12, it.vessel), Volume::litres(5.8));
    it.cellar.sound();
}
