//! What is read from the book.

use super::*;
use crate::cellar::entry::Silence;
use crate::store::{Direction, Filter};

fn kinds(cellar: &Cellar, filter: &Filter) -> Vec<&'static str> {
    let listed = cellar.store.entries(filter).unwrap();
    listed.iter().map(|it| it.entry.draft.kind.word()).collect()
}

/// Carboy A: begun, received, sampled (voided), racked to B, measured.
fn story() -> (Cellar, Key, Key) {
    let mut cellar = Cellar::new();
    let (a, b) = (cellar.vessel("Carboy A"), cellar.vessel("Carboy B"));
    cellar.receive(1, a, 20.0);
    let sampled = cellar.append(&sample(5, a, 1.0));
    cellar.rack(10, a, b, 1.0);
    cellar.append(&measure(8, a, Property::Gravity, Found::Number(1.01)));
    cellar.append(&measure(6, a, Property::Gravity, Found::Below(1.02)));
    cellar.store.void(sampled, CLOCK).unwrap();
    (cellar, a, b)
}

#[test]
fn lists_run_in_fold_order_from_either_end() {
    let (cellar, a, b) = story();
    let of = |thing| Filter {
        thing: Some(thing),
        ..Filter::default()
    };
    assert_eq!(
        kinds(&cellar, &of(a)),
        ["rack", "measure", "measure", "draw", "receive", "vessel"]
    );
    assert_eq!(kinds(&cellar, &of(b)), ["rack", "vessel"]);
    let oldest = Filter {
        direction: Direction::OldestFirst,
        living: true,
        limit: Some(3),
        ..of(a)
    };
    assert_eq!(kinds(&cellar, &oldest), ["vessel", "receive", "measure"]);
    let measured = Filter {
        kind: Some(Kind::Measure),
        ..Filter::default()
    };
    assert_eq!(kinds(&cellar, &measured), ["measure", "measure"]);
    let between = Filter {
        from_ms: Some(day(6).utc_ms),
        until_ms: Some(day(8).utc_ms),
        ..Filter::default()
    };
    assert_eq!(kinds(&cellar, &between), ["measure", "measure"]);
}

#[test]
fn a_list_goes_on_where_it_stopped() {
    let (cellar, _, _) = story();
    let all = cellar.store.entries(&Filter::default()).unwrap();
    let mut pages = Vec::new();
    let mut page = Filter {
        limit: Some(3),
        ..Filter::default()
    };
    loop {
        let found = cellar.store.entries(&page).unwrap();
        let Some(last) = found.last() else { break };
        page.after = Some((last.entry.draft.when.utc_ms, last.entry.key));
        pages.extend(found);
    }
    assert_eq!(pages, all);
}

#[test]
fn a_listed_entry_says_what_moved() {
    let (cellar, a, b) = story();
    let rack = Filter {
        kind: Some(Kind::Rack),
        ..Filter::default()
    };
    let flows = &cellar.store.entries(&rack).unwrap()[0].flows;
    let moved: Vec<_> = flows.iter().map(|it| (it.from, it.to, it.volume)).collect();
    let expected = [
        (a, b, Volume::litres(19.0)),
        (a, Account::Lees.key(), Volume::litres(1.0)),
    ];
    assert_eq!(moved, expected);
}

#[test]
fn a_chart_has_living_readings_in_order() {
    let (cellar, a, _) = story();
    let history = cellar.store.history(a, Property::Gravity).unwrap();
    let found: Vec<_> = history
        .iter()
        .map(|it| (it.when, &it.reading.found))
        .collect();
    let expected = [
        (day(6), &Found::Below(1.02)),
        (day(8), &Found::Number(1.01)),
    ];
    assert_eq!(found, expected);
    assert!(cellar.store.history(a, Property::Ph).unwrap().is_empty());
}

#[test]
fn accounts_and_places_sum_to_nothing() {
    let (cellar, a, b) = story();
    let totals = cellar.store.account_totals().unwrap();
    let expected = [
        (Account::Must, Volume::litres(-20.0)),
        (Account::Lees, Volume::litres(1.0)),
    ];
    assert_eq!(totals, expected);
    let held = cellar.holds(20, a) + cellar.holds(20, b);
    assert_eq!(held + totals.iter().map(|it| it.1).sum(), Volume::ZERO);
}

#[test]
fn an_entry_is_found_by_the_end_of_its_uid() {
    let (cellar, _, _) = story();
    for listed in cellar.store.entries(&Filter::default()).unwrap() {
        let uid = listed.entry.uid.simple().to_string();
        for name in [
            listed.entry.uid.to_string(),
            uid.clone(),
            uid[20..].to_uppercase(),
        ] {
            assert_eq!(cellar.store.entry_by_uid(&name).unwrap(), listed.entry);
        }
    }
    for wrong in ["", "abc", "%%%%", "0000000000000000", "not a uid"] {
        assert!(
            cellar.store.entry_by_uid(wrong).unwrap_err().is_input(),
            "{wrong}"
        );
    }
}

#[test]
fn a_snapshot_shows_what_was_so_then() {
    let (mut cellar, a, b) = story();
    let plan = cellar.append(&part_b(a, 3, 9));
    let job = cellar.store.entry(plan).unwrap().draft.jobs[0].clone();
    let mut done = Draft::new(Kind::Done, day(9));
    done.closes.push(job.key);
    let done = cellar.append(&done);
    let mut jot = Draft::new(Kind::Jot, day(4));
    jot.note = "bubbling again".to_owned();
    let jot = cellar.append(&jot);
    let mut note = Draft::new(Kind::Note, day(9));
    note.from_jot = Some(jot);
    let note = cellar.append(&note);
    let silence = Silence {
        subject: a,
        reason: "lees".to_owned(),
        until_ms: Some(day(9).utc_ms),
    };
    let mut snooze = Draft::new(Kind::Snooze, day(3));
    snooze.silences.push(silence.clone());
    cellar.append(&snooze);
    cellar.append(&Draft::new(Kind::Round, day(4)));
    cellar.append(&Draft::new(Kind::Round, day(7)));

    let then = cellar.store.snapshot(day(5)).unwrap();
    assert_eq!(then.now, day(5));
    assert_eq!(then.wine(a).unwrap().volume, Volume::litres(20.0));
    assert!(then.wine(b).is_none());
    assert_eq!(then.jobs.len(), 1);
    assert_eq!(
        (&then.jobs[0].job, then.jobs[0].since_ms),
        (&job, day(3).utc_ms)
    );
    assert_eq!(then.jots, [(jot, day(4), "bubbling again".to_owned())]);
    assert_eq!(then.silences.len(), 1);
    assert_eq!(then.silences[0].silence, silence);
    assert_eq!(then.last_round_ms, Some(day(4).utc_ms));

    let later = cellar.store.snapshot(day(20)).unwrap();
    assert!(later.wine(a).is_none());
    assert_eq!(later.wine(b).unwrap().volume, Volume::litres(19.0));
    assert!(later.jobs.is_empty() && later.jots.is_empty() && later.silences.is_empty());
    assert_eq!(later.last_round_ms, Some(day(7).utc_ms));

    // What was made from a jot is voided, and the jot is open again.
    cellar.store.void(note, CLOCK).unwrap();
    assert_eq!(cellar.store.snapshot(day(20)).unwrap().jots.len(), 1);
    cellar.sound();
    // So is the job when what closed it is voided; neither is when they are voided themselves.
    cellar.store.void(done, CLOCK).unwrap();
    assert_eq!(cellar.store.snapshot(day(20)).unwrap().jobs.len(), 1);
    cellar.store.void(plan, CLOCK).unwrap();
    cellar.store.void(jot, CLOCK).unwrap();
    let last = cellar.store.snapshot(day(2_000)).unwrap();
    assert!(last.jobs.is_empty() && last.jots.is_empty());
    cellar.sound();
}

#[test]
fn accounts_are_not_among_the_things_and_the_cellar_is() {
    let cellar = Cellar::new();
    let snapshot = cellar.store.snapshot(day(1)).unwrap();
    let keys: Vec<Key> = snapshot.things.keys().copied().collect();
    assert_eq!(keys, [crate::cellar::thing::CELLAR]);
}
