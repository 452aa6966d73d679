//! The series of what bears on free SO2 goes where its wine goes.

use super::*;
use crate::cellar::state::{Air, So2Change};

impl Book {
    fn test(&mut self, day: i64, place: Key, free: f64) -> &mut Book {
        self.write(day, Kind::Measure, |it| {
            it.readings.push(Reading {
                place,
                property: Property::FreeSo2,
                found: Found::Number(free),
                typed: String::new(),
                instrument: String::new(),
                rule: String::new(),
            });
        })
    }

    fn sulfite(&mut self, day: i64, place: Key, grams: f64) -> &mut Book {
        self.write(day, Kind::Add, |it| {
            it.additions.push(Addition {
                place,
                substance: "potassium-metabisulfite".to_owned(),
                dose: None,
                so2: Mass::grams(grams),
                lot: None,
                calculation: String::new(),
            });
        })
    }

    /// Its series in words: days and what.
    fn check_so2(&self, place: Key, expected: &str) {
        let (ledger, _, _) = self.fold();
        let said: Vec<String> = wine(&ledger, place)
            .so2
            .iter()
            .map(|it| {
                let what = match &it.what {
                    So2Change::Tested(found) => format!("{:.0}", found.number().unwrap()),
                    So2Change::Estimated(found) => format!("~{:.0}", found.number().unwrap()),
                    So2Change::Added(ug_l, _) => format!("+{:.1}", *ug_l as f64 / 1e3),
                    So2Change::AddedToUnmeasured(so2, _) => format!("+{} µg", so2.0),
                    So2Change::AddedUnknown => "+?".to_owned(),
                    So2Change::MetAir(air, kept_until) => {
                        let air = match air {
                            Air::Opened => "opened",
                            Air::Racked => "racked",
                            Air::Bottled => "bottled",
                        };
                        let moved = if kept_until.is_some() { "-moved" } else { "" };
                        format!("{air}{moved}")
                    }
                };
                format!("{}:{what}", it.at_ms / 86_400_000)
            })
            .collect();
        assert_eq!(said.join(" "), expected);
    }
}

/// 20 L in a carboy, tested on day 100.
fn tested() -> Book {
    let mut book = Book::default();
    book.receive(0, CARBOY, 20.0, BATCH).test(100, CARBOY, 30.0);
    book
}

#[test]
fn tests_and_doses_are_kept_in_order() {
    let mut book = tested();
    book.sulfite(130, CARBOY, 0.3).test(160, CARBOY, 36.0);
    book.check_so2(CARBOY, "100:30 130:+15.0 160:36");
    book.sulfite(170, CARBOY, 0.0);
    book.check_so2(CARBOY, "100:30 130:+15.0 160:36 170:+?");
}

#[test]
fn a_racking_takes_it_along_and_meets_air() {
    let mut book = Book::default();
    book.receive(0, JUG, 20.0, BATCH).test(100, JUG, 30.0);
    book.rack(120, JUG, BUCKET, 0.5);
    book.check_so2(BUCKET, "100:30 120:racked");
    book.check_so2(JUG, "");
    // What was never tested has nothing that air could change.
    let mut untested = Book::default();
    untested
        .receive(0, CARBOY, 20.0, BATCH)
        .rack(9, CARBOY, JUG, 0.5);
    untested.check_so2(JUG, "");
}

/// Much is typed later and stands at noon: racked and topped up in one moment, it was poured once.
#[test]
fn what_is_racked_and_topped_up_in_one_moment_was_racked() {
    let mut book = Book::default();
    book.receive(0, JUG, 20.0, BATCH).test(100, JUG, 30.0);
    book.receive(0, CARBOY, 5.0, OTHER);
    book.rack(120, JUG, BUCKET, 0.5);
    book.write(120, Kind::TopUp, |it| {
        it.pour(CARBOY, BUCKET, Amount::Exactly(Volume::litres(0.5)));
    });
    book.check_so2(BUCKET, "100:30 120:racked");
}

#[test]
fn another_kind_of_vessel_keeps_it_in_another_way() {
    let mut book = tested();
    let mut vessels = things();
    let bucket = vessels.get_mut(&BUCKET).unwrap();
    let attributes = &mut std::sync::Arc::make_mut(bucket).attributes;
    attributes.insert(field::KIND.to_owned(), "bucket".into());
    book.rack(120, CARBOY, BUCKET, 0.5);
    let (ledger, _) = fold(vessels, &book.entries);
    let last = wine(&ledger, BUCKET).so2.pop().unwrap();
    assert!(matches!(last.what, So2Change::MetAir(Air::Racked, Some(_))));
}

#[test]
fn a_part_split_off_and_bottles_take_it_along_too() {
    let mut book = tested();
    book.write(120, Kind::Split, |it| {
        it.pour(CARBOY, JUG, Amount::Exactly(Volume::litres(1.0)));
    });
    // Out of a carboy with 3.4 L of air in it.
    book.check_so2(JUG, "100:30 120:racked-moved");
    book.check_so2(CARBOY, "100:30");
    book.write(130, Kind::Bottle, |it| {
        it.set(RUN, field::VESSEL, Value::Int(CARBOY.0));
        let event = FillEvent::Filled;
        it.fillings = vec![Filling {
            sequence: 1,
            event,
            size_ml: 750,
            count: 12,
            at_ms: 0,
        }];
    });
    book.check_so2(RUN, "100:30 130:bottled-moved");
}

/// 5 L of 20 leave a carboy of 23.4 L a third empty, and 18 L of a bottling nearly all of it: that is kept in another way from then
/// on, until it is full again. Under a lid that floats there is no air.
#[test]
fn what_stands_under_much_air_is_kept_in_another_way() {
    let mut book = tested();
    book.write(120, Kind::Split, |it| {
        it.pour(CARBOY, JUG, Amount::Exactly(Volume::litres(5.0)));
    });
    book.check_so2(CARBOY, "100:30 120:opened-moved");
    book.write(125, Kind::Split, |it| {
        it.pour(CARBOY, JUG, Amount::Exactly(Volume::litres(1.0)));
    });
    book.check_so2(CARBOY, "100:30 120:opened-moved");
    // Racked into a bucket whose size nobody knows, it came out from under air.
    book.rack(130, CARBOY, BUCKET, 0.0);
    book.check_so2(BUCKET, "100:30 120:opened-moved 130:racked-moved");
    let mut vessels = things();
    let carboy = vessels.get_mut(&CARBOY).unwrap();
    let attributes = &mut std::sync::Arc::make_mut(carboy).attributes;
    attributes.insert(field::CLOSURE.to_owned(), "floating lid".into());
    let (ledger, _) = fold(vessels, &book.entries);
    let bucket = wine(&ledger, BUCKET).so2;
    assert!(
        bucket
            .iter()
            .all(|it| !matches!(it.what, So2Change::MetAir(_, Some(_)))),
        "{bucket:?}"
    );
}

#[test]
fn a_topping_leaves_the_series_and_meets_air() {
    let mut book = tested();
    book.receive(0, JUG, 5.0, OTHER)
        .write(120, Kind::TopUp, |it| {
            it.pour(JUG, CARBOY, Amount::Exactly(Volume::litres(0.5)));
        });
    book.check_so2(CARBOY, "100:30 120:opened");
}

/// 20 L at 30 and 5 L at 10 mg/L are 25 L at 26; of the dose of 0.3 g after the test, all is in it.
#[test]
fn a_blend_begins_anew_with_the_estimate_of_its_parts() {
    let mut book = tested();
    book.receive(0, JUG, 5.0, OTHER).test(105, JUG, 10.0);
    book.sulfite(110, CARBOY, 0.3);
    book.sulfite(112, JUG, 0.0);
    book.write(120, Kind::Blend, |it| {
        it.pour(JUG, CARBOY, Amount::Exactly(Volume::litres(5.0)));
    });
    book.check_so2(CARBOY, "100:~26 110:+12.0 120:racked-moved");
    book.test(125, CARBOY, 31.0);
    book.check_so2(CARBOY, "100:~26 110:+12.0 120:racked-moved 125:31");
    // One of the two was never tested: nothing is known of both.
    let mut unknown = tested();
    unknown
        .receive(0, JUG, 5.0, OTHER)
        .write(120, Kind::Blend, |it| {
            it.pour(JUG, CARBOY, Amount::Exactly(Volume::litres(5.0)));
        });
    unknown.check_so2(CARBOY, "");
}

#[test]
fn the_last_twelve_are_kept() {
    let mut book = Book::default();
    book.receive(0, CARBOY, 20.0, BATCH);
    for day in 1..=15 {
        book.test(day, CARBOY, 30.0);
    }
    let (ledger, _, _) = book.fold();
    let series = wine(&ledger, CARBOY).so2;
    assert_eq!((series.len(), series[0].at_ms), (12, 4 * 86_400_000));
}

#[test]
fn a_ferment_after_the_test_leaves_nothing_to_go_by() {
    let mut book = tested();
    book.write(101, Kind::Pitch, |it| it.subject = Some(CARBOY));
    book.check_so2(CARBOY, "100:30 101:+?");
}
