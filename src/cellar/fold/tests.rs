//! What is true of every fold.

mod so2;
mod sugar;

use uuid::Uuid;

use super::*;
use crate::cellar::amount::Mass;
use crate::cellar::entry::{
    Addition, Amount, BottleMove, Dose, Draft, FillEvent, Filling, Found, Kept, Kind, Posture,
    Property, Reading, Spot,
};
use crate::cellar::moment::Moment;
use crate::cellar::state::Deed;
use crate::cellar::thing::{Account, Sort, Thing, Value, field};

const BUCKET: Key = Key(101);
const CARBOY: Key = Key(102);
const JUG: Key = Key(103);
const BATCH: Key = Key(104);
const OTHER: Key = Key(105);
const RUN: Key = Key(106);

/// A small cellar: a bucket, a carboy with a measured brim, a jug, two batches and a run.
#[derive(Default)]
struct Book {
    entries: Vec<Entry>,
}

impl Book {
    fn write(&mut self, day: i64, kind: Kind, fill: impl FnOnce(&mut Draft)) -> &mut Book {
        let mut draft = Draft::new(
            kind,
            Moment {
                utc_ms: day * 86_400_000,
                offset_min: 0,
            },
        );
        fill(&mut draft);
        let key = Key(self.entries.len() as i64 + 1);
        self.entries.push(Entry {
            key,
            stands: key.0,
            uid: Uuid::from_u128(key.0 as u128),
            recorded_ms: 0,
            draft,
            voided_by: None,
        });
        self
    }

    fn receive(&mut self, day: i64, into: Key, litres: f64, batch: Key) -> &mut Book {
        self.write(day, Kind::Receive, |it| {
            it.pour(
                Account::Must.key(),
                into,
                Amount::Exactly(Volume::litres(litres)),
            );
            it.movements[0].batch = Some(batch);
        })
    }

    fn rack(&mut self, day: i64, from: Key, to: Key, leaving: f64) -> &mut Book {
        self.write(day, Kind::Rack, |it| {
            it.pour(from, to, Amount::RestLeaving(Volume::litres(leaving)));
            it.pour(from, Account::Lees.key(), Amount::RestLeaving(Volume::ZERO));
        })
    }

    fn draw(&mut self, day: i64, from: Key, litres: f64) -> &mut Book {
        self.write(day, Kind::Draw, |it| {
            it.pour(
                from,
                Account::Samples.key(),
                Amount::Exactly(Volume::litres(litres)),
            );
        })
    }

    fn fold(&self) -> (Ledger, Vec<Finding>, Vec<Flow>) {
        let (ledger, outcomes) = fold(things(), &self.entries);
        let (mut findings, mut flows) = (Vec::new(), Vec::new());
        for (_, outcome) in outcomes {
            findings.extend(outcome.findings);
            flows.extend(outcome.flows);
        }
        (ledger, findings, flows)
    }

    /// Nothing is wrong, every litre is somewhere, and these places hold these litres.
    fn check(&self, expected: &[(Key, f64)]) -> Ledger {
        let (ledger, findings, flows) = self.fold();
        assert_eq!(findings, []);
        for (place, litres) in expected {
            assert_eq!(
                volume(&ledger, *place),
                Volume::litres(*litres),
                "{place:?}"
            );
        }
        let kept: Volume = ledger.states.keys().map(|it| volume(&ledger, *it)).sum();
        let outside = |key: Key| Account::from_key(key).is_some();
        let came: Volume = flows
            .iter()
            .filter(|it| outside(it.from))
            .map(|it| it.volume)
            .sum();
        let went: Volume = flows
            .iter()
            .filter(|it| outside(it.to))
            .map(|it| it.volume)
            .sum();
        assert_eq!(came, kept + went);
        ledger
    }
}

fn things() -> Things {
    let thing = |key: Key, sort, attributes: &[(&str, Value)]| {
        let attributes = attributes
            .iter()
            .map(|(name, value)| ((*name).to_owned(), value.clone()))
            .collect();
        (
            key,
            Thing {
                key,
                uid: Uuid::from_u128(key.0 as u128),
                sort,
                attributes,
            }
            .into(),
        )
    };
    [
        thing(BUCKET, Sort::Vessel, &[(field::NAME, "Bucket".into())]),
        thing(
            CARBOY,
            Sort::Vessel,
            &[
                (field::NAME, "Carboy".into()),
                (field::BRIM, Volume::litres(23.4).into()),
            ],
        ),
        thing(JUG, Sort::Vessel, &[(field::NAME, "Jug".into())]),
        thing(BATCH, Sort::Batch, &[(field::NAME, "Damson".into())]),
        thing(OTHER, Sort::Batch, &[(field::NAME, "Regent".into())]),
        thing(RUN, Sort::Run, &[(field::NAME, "Damson bottles".into())]),
    ]
    .into_iter()
    .collect()
}

fn wine(ledger: &Ledger, place: Key) -> Wine {
    match ledger.states.get(&place) {
        Some(State::Wine(wine)) => Wine::clone(wine),
        _ => Wine::default(),
    }
}

fn volume(ledger: &Ledger, place: Key) -> Volume {
    wine(ledger, place).volume
}

#[test]
fn racking_takes_all_but_the_lees() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 23.0, BATCH)
        .rack(10, BUCKET, CARBOY, 0.6);
    let ledger = book.check(&[(BUCKET, 0.0), (CARBOY, 22.4)]);
    assert_eq!(wine(&ledger, CARBOY).main_batch(), Some(BATCH));
    assert_eq!(
        wine(&ledger, CARBOY).when(Deed::Racked),
        Some(10 * 86_400_000)
    );
    assert_eq!(wine(&ledger, CARBOY).when(Deed::Begun), Some(0));
}

#[test]
fn an_older_sample_written_later_changes_what_was_racked() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 23.0, BATCH)
        .rack(10, BUCKET, CARBOY, 0.6)
        .draw(5, BUCKET, 0.25);
    book.check(&[(BUCKET, 0.0), (CARBOY, 22.15)]);
}

/// Of each draw from a vessel, when and from how many litres it fell; filled anew, it has fallen from none.
#[test]
fn a_vessel_has_fallen_from_what_it_held_since_it_was_filled() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 23.0, BATCH)
        .draw(5, BUCKET, 0.5)
        .draw(8, BUCKET, 0.5);
    let falls = |book: &Book, place: Key| -> Vec<(i64, f64)> {
        let falls = wine(&book.fold().0, place).falls.into_iter();
        let in_days = falls.map(|it| (it.at_ms / 86_400_000, it.from.in_litres()));
        in_days.collect()
    };
    assert_eq!(falls(&book, BUCKET), [(5, 23.0), (8, 22.5)]);
    book.rack(10, BUCKET, CARBOY, 0.6);
    assert_eq!(falls(&book, CARBOY), []);
    assert_eq!(falls(&book, BUCKET), []);
    book.draw(12, CARBOY, 0.4)
        .receive(13, CARBOY, 0.7, BATCH)
        .draw(14, CARBOY, 0.2);
    assert_eq!(falls(&book, CARBOY), [(14, 21.7)]);
}

#[test]
fn a_voided_entry_never_happened() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 23.0, BATCH).draw(5, BUCKET, 0.25);
    book.entries[1].voided_by = Some(Key(3));
    book.check(&[(BUCKET, 23.0)]);
}

#[test]
fn more_than_is_there_is_a_finding_and_still_adds_up() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 1.0, BATCH).draw(1, BUCKET, 1.5);
    let (ledger, findings, _) = book.fold();
    let fault = Fault::BelowZero {
        held: Volume::litres(1.0),
        taken: Volume::litres(1.5),
    };
    assert_eq!(
        findings,
        [Finding {
            entry: Key(2),
            place: BUCKET,
            fault
        }]
    );
    assert_eq!(volume(&ledger, BUCKET), Volume::litres(-0.5));
}

#[test]
fn over_a_measured_brim_is_a_finding() {
    let mut book = Book::default();
    book.receive(0, CARBOY, 23.5, BATCH);
    let fault = Fault::OverBrim {
        would_hold: Volume::litres(23.5),
        brim: Volume::litres(23.4),
    };
    assert_eq!(
        book.fold().1,
        [Finding {
            entry: Key(1),
            place: CARBOY,
            fault
        }]
    );
}

#[test]
fn a_level_found_keeps_the_level_and_derives_the_difference() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 10.0, BATCH)
        .write(3, Kind::Adjust, |it| {
            it.pour(
                BUCKET,
                Account::Difference.key(),
                Amount::LevelFound(Volume::litres(9.4)),
            );
        });
    book.check(&[(BUCKET, 9.4)]);
    book.draw(1, BUCKET, 0.4).check(&[(BUCKET, 9.4)]);
    book.write(4, Kind::Adjust, |it| {
        it.pour(
            BUCKET,
            Account::Difference.key(),
            Amount::LevelFound(Volume::litres(9.9)),
        );
    });
    book.check(&[(BUCKET, 9.9)]);
}

#[test]
fn a_level_found_is_remembered_be_it_as_the_book_had_it_and_of_an_empty_vessel_it_is_not() {
    let read = |level: Amount| {
        let mut book = Book::default();
        book.receive(0, BUCKET, 10.0, BATCH);
        book.write(3, Kind::Adjust, |it| {
            it.pour(BUCKET, Account::Difference.key(), level);
        });
        let (ledger, _, _) = book.fold();
        let State::Wine(wine) = &ledger.states[&BUCKET] else {
            panic!("no wine");
        };
        wine.when(Deed::LevelRead)
    };
    let found = |litres| read(Amount::LevelFound(Volume::litres(litres)));
    let third_day = Some(3 * 86_400_000);
    assert_eq!(found(10.0), third_day);
    assert_eq!(found(9.4), third_day);
    assert_eq!(found(0.0), None);
    // What is taken out shows nothing of what is left.
    assert_eq!(read(Amount::Exactly(Volume::litres(1.0))), None);
}

#[test]
fn wine_nobody_had_measured_is_seen_when_it_is() {
    let mut book = Book::default();
    book.write(0, Kind::Here, |it| {
        it.pour(Account::Before.key(), BUCKET, Amount::NotKnown);
    });
    book.write(3, Kind::Adjust, |it| {
        let level = Amount::LevelFound(Volume::litres(9.0));
        it.pour(BUCKET, Account::Difference.key(), level);
    });
    let (ledger, _, _) = book.fold();
    let State::Wine(wine) = &ledger.states[&BUCKET] else {
        panic!("no wine");
    };
    assert_eq!(wine.when(Deed::LevelRead), Some(3 * 86_400_000));
}

#[test]
fn a_topping_leaves_the_name_and_history_alone_and_a_blend_does_not() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 20.0, BATCH)
        .receive(0, JUG, 5.0, OTHER);
    let ph = |place, ph| {
        move |it: &mut Draft| {
            it.readings.push(Reading {
                place,
                property: Property::Ph,
                found: Found::Number(ph),
                typed: ph.to_string(),
                instrument: String::new(),
                rule: String::new(),
            });
        }
    };
    book.write(1, Kind::Measure, ph(BUCKET, 3.4))
        .write(1, Kind::Measure, ph(JUG, 3.0));
    let top = |it: &mut Draft| it.pour(JUG, BUCKET, Amount::Exactly(Volume::litres(0.5)));
    book.write(2, Kind::TopUp, top);
    let topped = wine(&book.check(&[(BUCKET, 20.5), (JUG, 4.5)]), BUCKET);
    assert_eq!(
        (topped.main_batch(), topped.number(Property::Ph)),
        (Some(BATCH), Some(3.4))
    );
    assert!(!topped.known[&Property::Ph].estimated);

    book.write(3, Kind::Blend, |it| {
        it.pour(JUG, BUCKET, Amount::RestLeaving(Volume::ZERO));
    });
    let blend = wine(&book.check(&[(BUCKET, 25.0), (JUG, 0.0)]), BUCKET);
    assert_eq!(
        blend.makeup.iter().map(|it| it.volume).sum::<Volume>(),
        Volume::litres(25.0)
    );
    assert!(blend.known[&Property::Ph].estimated);
    // By volume: (20.5 · 3.4 + 4.5 · 3.0) / 25.
    assert!((blend.number(Property::Ph).unwrap() - 3.328).abs() < 1e-9);
}

#[test]
fn sulfite_since_the_must_travels_with_the_wine() {
    let mut book = Book::default();
    book.receive(0, BUCKET, 20.0, BATCH)
        .write(1, Kind::Add, |it| {
            it.additions.push(Addition {
                place: BUCKET,
                substance: "potassium-metabisulfite".to_owned(),
                dose: Some(Dose::Mass(Mass::grams(1.0))),
                so2: Mass::grams(0.6),
                lot: None,
                calculation: String::new(),
            });
        });
    book.write(2, Kind::Rack, |it| {
        it.pour(BUCKET, JUG, Amount::Exactly(Volume::litres(5.0)));
    });
    let ledger = book.check(&[(BUCKET, 15.0), (JUG, 5.0)]);
    assert_eq!(wine(&ledger, JUG).so2_added, Mass::grams(0.15));
    assert!((wine(&ledger, BUCKET).so2_added_mg_l() - 30.0).abs() < 1e-9);
    assert!(wine(&ledger, JUG).allergens.contains("sulfite"));
}

#[test]
fn bottles_filled_one_by_one_empty_the_vessel_and_carry_their_wine_when_they_leave() {
    let mut book = Book::default();
    let press = |sequence, event, count| Filling {
        sequence,
        event,
        size_ml: 750,
        count,
        at_ms: 0,
    };
    book.receive(0, CARBOY, 23.0, BATCH)
        .write(400, Kind::Bottle, |it| {
            it.set(RUN, field::VESSEL, Value::Int(CARBOY.0));
            it.fillings = vec![
                press(1, FillEvent::Filled, 29),
                press(2, FillEvent::Filled, 1),
                press(3, FillEvent::Back, 1),
            ];
        });
    // 29 · 0.75 = 21.75 L in bottles, 1.25 L left.
    let ledger = book.check(&[(CARBOY, 1.25), (RUN, 21.75)]);
    assert_eq!(wine(&ledger, RUN).bottle_count(), 29);
    let standing = Spot::Kept(Kept::at(Posture::Standing, ""));
    let bottles = |count, to| BottleMove {
        run: RUN,
        size_ml: 750,
        count,
        from: standing.clone(),
        to,
        about: false,
    };
    book.write(500, Kind::Open, |it| {
        it.bottles
            .push(bottles(2, Spot::Outside(Account::Drunk.key())));
    });
    let ledger = book.check(&[(RUN, 20.25)]);
    assert_eq!(wine(&ledger, RUN).bottle_count(), 27);
    book.write(501, Kind::Open, |it| {
        it.bottles
            .push(bottles(28, Spot::Outside(Account::Drunk.key())));
    });
    let fault = Fault::BottlesShort {
        held: 27,
        taken: 28,
    };
    assert_eq!(
        book.fold().1,
        [Finding {
            entry: Key(4),
            place: RUN,
            fault
        }]
    );
}

#[test]
fn bottles_counted_are_facts_up_to_a_tenth_more_than_the_book_had() {
    let filled = |count| {
        let mut book = Book::default();
        book.receive(0, CARBOY, 22.0, BATCH)
            .write(400, Kind::Bottle, |it| {
                it.set(RUN, field::VESSEL, Value::Int(CARBOY.0));
                let event = FillEvent::Filled;
                it.fillings = vec![Filling {
                    sequence: 1,
                    event,
                    size_ml: 750,
                    count,
                    at_ms: 0,
                }];
            });
        book
    };
    // 30 · 0.75 = 22.5 L: half a litre more than the book had, of the same wine.
    let ledger = filled(30).check(&[(CARBOY, 0.0), (RUN, 22.5)]);
    assert_eq!(wine(&ledger, RUN).main_batch(), Some(BATCH));
    assert_eq!(wine(&ledger, RUN).makeup.len(), 1);
    // 33 · 0.75 = 24.75 L is more than a tenth above 22 L.
    let fault = Fault::BelowZero {
        held: Volume::litres(22.0),
        taken: Volume::litres(24.75),
    };
    assert_eq!(
        filled(33).fold().1,
        [Finding {
            entry: Key(2),
            place: CARBOY,
            fault
        }]
    );
}

#[test]
fn what_is_said_of_an_empty_vessel_is_a_finding() {
    let mut book = Book::default();
    book.write(1, Kind::Degas, |it| it.subject = Some(JUG));
    assert_eq!(
        book.fold().1,
        [Finding {
            entry: Key(1),
            place: JUG,
            fault: Fault::Empty
        }]
    );
}

/// Tests of malic acid go where the wine goes, the last four of them.
#[test]
fn tests_of_malic_acid_are_kept_in_order() {
    let mut book = Book::default();
    book.receive(0, CARBOY, 20.0, BATCH);
    for day in 1..=5 {
        book.write(day, Kind::Measure, |it| {
            it.readings.push(Reading {
                place: CARBOY,
                property: Property::Malic,
                found: Found::Number(3.0 - 0.5 * day as f64),
                typed: String::new(),
                instrument: String::new(),
                rule: String::new(),
            });
        });
    }
    book.rack(6, CARBOY, JUG, 0.5);
    let (ledger, _, _) = book.fold();
    let malics = wine(&ledger, JUG).malics;
    let days: Vec<i64> = malics.iter().map(|it| it.at_ms / 86_400_000).collect();
    assert_eq!(days, [2, 3, 4, 5]);
    assert_eq!(malics[3].found, Found::Number(0.5));
}
