//! Random histories: the projection kept as entries come, late ones and voids among them, is what
//! the full fold gives, and no microlitre is lost.

use proptest::prelude::*;

use super::*;
use crate::cellar::attention::{Policy, Watch, attention};
use crate::cellar::entry::{BottleMove, FillEvent, Kept, Posture, Spot};
use crate::store::{Filter, Listed, Written};

/// What a person might do next.
#[derive(Clone, Debug)]
enum Act {
    Append(Draft),
    /// Voids the entry at that share of the book.
    Void(u16),
    /// Amends it.
    Amend(u16, Draft),
    /// Presses at the spout.
    Fill(usize, i64),
}

fn act(vessels: i64) -> impl Strategy<Value = Act> {
    prop_oneof![
        8 => draft(vessels).prop_map(Act::Append),
        1 => any::<u16>().prop_map(Act::Void),
        1 => (any::<u16>(), draft(vessels)).prop_map(|(at, draft)| Act::Amend(at, draft)),
        2 => (0..FillEvent::ALL.len(), 1_i64..5).prop_map(|(event, count)| Act::Fill(event, count)),
    ]
}

/// Vessels have the keys from 101 on; each entry falls on one of forty days, so that most are late.
fn draft(vessels: i64) -> impl Strategy<Value = Draft> {
    let vessel = move || (101..101 + vessels).prop_map(Key);
    let when = 1_i64..41;
    let microlitres = 0_i64..12_000_000;
    (0..10, when, vessel(), vessel(), microlitres, any::<bool>()).prop_map(
        move |(what, at, one, other, microlitres, about)| {
            let amount = Volume(microlitres);
            let mut draft = match what {
                0 | 1 => receive(at, one, 0.0),
                2 => rack(at, one, other, 0.0),
                3 => sample(at, one, 0.0),
                4 => {
                    let mut top_up = Draft::new(Kind::TopUp, day(at));
                    top_up.pour(one, other, Amount::Exactly(Volume::ZERO));
                    top_up
                }
                5 => {
                    let mut found = Draft::new(Kind::Adjust, day(at));
                    found.pour(one, Account::Difference.key(), Amount::LevelFound(amount));
                    found
                }
                6 => {
                    let mut opened = Draft::new(Kind::Open, day(at));
                    opened.bottles.push(BottleMove {
                        run: Key(101 + vessels),
                        size_ml: 750,
                        count: 1 + microlitres % 3,
                        from: Spot::Kept(Kept::at(Posture::Standing, "")),
                        to: Spot::Outside(Account::Drunk.key()),
                        about,
                    });
                    opened
                }
                // How a vessel keeps its wine is known of it at all times, and told by what was racked out of it.
                7 => set(at, one, field::CLOSURE, if about { "bung" } else { "lid" }),
                8 => {
                    let free = Found::Number(microlitres as f64 / 4e5);
                    measure(at, one, Property::FreeSo2, free)
                }
                _ => {
                    let gravity = 0.99 + microlitres as f64 / 1e8;
                    measure(at, one, Property::Gravity, Found::Number(gravity))
                }
            };
            if let Some(movement) = draft.movements.first_mut() {
                movement.about = about;
                movement.amount = match movement.amount {
                    Amount::Exactly(_) => Amount::Exactly(amount),
                    Amount::RestLeaving(_) => Amount::RestLeaving(Volume(microlitres / 12)),
                    found @ (Amount::LevelFound(_) | Amount::NotKnown) => found,
                };
            }
            draft
        },
    )
}

fn cellar(vessels: i64) -> Cellar {
    let mut cellar = Cellar::new();
    for number in 1..=vessels {
        let vessel = cellar.vessel(&format!("Carboy {number}"));
        cellar.append(&brim(0, vessel, 20.0 + number as f64));
        cellar.receive(0, vessel, 10.0);
    }
    // One run, filled from the first vessel; it may be voided and amended as everything else.
    let mut bottling = Draft::new(Kind::Bottle, day(20));
    let run = bottling.begin(Sort::Run, "red");
    bottling.set(run, field::VESSEL, Value::Int(101));
    cellar.append(&bottling);
    cellar
}

/// Does it, or is refused; either is right. Says how many entries that wrote.
fn perform(cellar: &mut Cellar, act: &Act, vessels: i64) -> usize {
    let newest = cellar
        .store
        .newest_living()
        .unwrap()
        .map_or(1, |it| it.key.0);
    // The vessels' own entries are pointed at by every other; only those after them are mended.
    let firsts = 3 * vessels;
    let entry = |share: u16| Key(firsts + i64::from(share) % (newest - firsts).max(1) + 1);
    let done = match act {
        Act::Append(draft) => cellar.store.append(draft, CLOCK),
        Act::Void(share) => cellar.store.void(entry(*share), CLOCK),
        Act::Amend(share, draft) => cellar.store.amend(entry(*share), draft, CLOCK),
        Act::Fill(event, count) => {
            let (run, event) = (Key(101 + vessels), FillEvent::ALL[*event]);
            let at_ms = day(20).utc_ms;
            let effects = cellar.store.fill(run, event, 750, *count, at_ms);
            effects.map(|effects| Written {
                effects,
                ..Written::default()
            })
        }
    };
    match done {
        Ok(written) => written.entries.len(),
        Err(StoreError::Refused(_) | StoreError::Input(_)) => 0,
        Err(other) => panic!("{other}"),
    }
}

/// All rows that are derived from living entries, as text.
fn projection(cellar: &Cellar) -> Vec<String> {
    let mut select = cellar
        .store
        .conn
        .prepare(
            "SELECT concat_ws('|', place, when_ms, entry, state) FROM standing
             UNION ALL SELECT concat_ws('|', entry, seq, from_place, to_place, volume_ul, makeup)
             FROM flow ORDER BY 1",
        )
        .unwrap();
    let rows = select.query_map([], |row| row.get(0)).unwrap();
    rows.map(|it| it.unwrap()).collect()
}

/// What places hold at the end and what the accounts got sum to nothing.
fn conserved(cellar: &Cellar) {
    let snapshot = cellar.store.snapshot(day(900)).unwrap();
    let held: Volume = snapshot
        .states
        .values()
        .map(|it| volume(Some(it.as_ref())))
        .sum();
    let totals = cellar.store.account_totals().unwrap();
    let outside: Volume = totals.iter().map(|it| it.1).sum();
    assert_eq!(held + outside, Volume::ZERO);
    for state in snapshot.states.values() {
        if let State::Wine(wine) = state.as_ref() {
            let parts: Volume = wine.makeup.iter().map(|it| it.volume).sum();
            assert_eq!(parts, wine.volume);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_projection_is_the_full_fold(
        (vessels, acts) in (3_i64..7).prop_flat_map(|it| {
            (Just(it), prop::collection::vec(act(it), 1..40))
        })
    ) {
        let mut cellar = cellar(vessels);
        // A first press may say before it that the run is filled from there on.
        let is_asked = |it: &Listed| {
            let draft = &it.entry.draft;
            draft.filled_from().is_none() || draft.run_begun().is_some()
        };
        let count = |cellar: &Cellar| {
            let entries = cellar.store.entries(&Filter::default()).unwrap();
            entries.iter().filter(|it| is_asked(it)).count()
        };
        let mut entries = count(&cellar);
        for act in &acts {
            entries += perform(&mut cellar, act, vessels);
            conserved(&cellar);
        }
        cellar.sound();
        prop_assert_eq!(count(&cellar), entries);
    }

    #[test]
    fn what_needs_someone_is_found_by_looking_where_something_changed(
        (vessels, acts) in (3_i64..7).prop_flat_map(|it| {
            (Just(it), prop::collection::vec(act(it), 1..25))
        })
    ) {
        let mut cellar = cellar(vessels);
        let policy = Policy::default();
        let mut watch: Option<Watch> = None;
        for act in &acts {
            perform(&mut cellar, act, vessels);
            let snapshot = cellar.store.snapshot(day(60)).unwrap();
            let next = Watch::after(watch.as_ref(), &snapshot, &policy);
            prop_assert_eq!(next.reasons(), attention(&snapshot, &policy));
            watch = Some(next);
        }
    }

    #[test]
    fn a_void_restores_exactly(
        (vessels, acts, last) in (3_i64..7).prop_flat_map(|it| {
            (Just(it), prop::collection::vec(act(it), 0..20), draft(it))
        })
    ) {
        let mut cellar = cellar(vessels);
        for act in &acts {
            perform(&mut cellar, act, vessels);
        }
        let before = projection(&cellar);
        if let Ok(written) = cellar.store.append(&last, CLOCK) {
            // What is known of a vessel alone is told only by wine that was tested in it.
            if last.changes.is_empty() {
                prop_assert_ne!(&projection(&cellar), &before);
            }
            cellar.store.void(written.key(), CLOCK).unwrap();
        }
        prop_assert_eq!(projection(&cellar), before);
    }
}
