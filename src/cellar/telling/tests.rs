//! Lines of the book, as a person would write them.

use uuid::Uuid;

use super::*;
use crate::cellar::amount::Mass;
use crate::cellar::entry::{
    BottleMove, FillEvent, Filling, Found, Kept, Movement, Posture, Property, Reading, Spot,
    Tasting,
};
use crate::cellar::moment::Moment;
use crate::cellar::state::{Known, So2Change, So2Event, State, Stock, Wine};
use crate::cellar::thing::{Sort, Thing};

const RUN: Key = Key(400);

const NOW: Moment = Moment {
    utc_ms: 1_795_600_000_000,
    offset_min: 60,
};

fn cellar() -> Snapshot {
    let mut cellar = Snapshot::empty(NOW);
    for (key, name, sort) in [
        (200, "Bucket", Sort::Vessel),
        (201, "Carboy A", Sort::Vessel),
        (202, "Jug", Sort::Vessel),
        (300, "Damson 26", Sort::Batch),
        (400, "Plum 25", Sort::Run),
    ] {
        let attributes = [(field::NAME, Value::from(name))].into_iter().collect();
        let key = Key(key);
        cellar.things.insert(
            key,
            Thing {
                key,
                uid: Uuid::nil(),
                sort,
                attributes,
            }
            .into(),
        );
    }
    cellar
}

fn check(kind: Kind, fill: impl FnOnce(&mut Draft), expected: &str) {
    let mut draft = Draft::new(kind, NOW);
    fill(&mut draft);
    assert_eq!(sentence(&draft, &[], &cellar()), expected);
}

fn reading(place: Key, property: Property, value: f64) -> Reading {
    Reading {
        place,
        property,
        found: Found::Number(value),
        typed: String::new(),
        instrument: String::new(),
        rule: String::new(),
    }
}

/// Wine of that batch moved so far.
fn flow(from: Key, to: Key, millilitres: i64) -> Flow {
    let volume = Volume::millilitres(millilitres);
    let batch = Some(Key(300));
    let makeup = vec![Share { batch, volume }];
    Flow {
        from,
        to,
        volume,
        makeup,
    }
}

/// As the book tells it once what moved is known.
fn check_told(kind: Kind, flows: &[Flow], fill: impl FnOnce(&mut Draft), expected: &str) {
    let mut draft = Draft::new(kind, NOW);
    for it in flows {
        draft.pour(it.from, it.to, Amount::Exactly(it.volume));
    }
    fill(&mut draft);
    assert_eq!(with_note(&draft, flows, &cellar()), expected);
}

#[test]
fn wine_on_the_move_is_named() {
    let (bucket, carboy) = (Key(200), Key(201));
    let lees = Account::Lees.key();
    check_told(
        Kind::Rack,
        &[flow(bucket, carboy, 22_400), flow(bucket, lees, 600)],
        |_| {},
        "Racked 22.4 L of Damson 26 from Bucket into Carboy A; 600 mL left on the lees.",
    );
    check_told(
        Kind::Rack,
        &[flow(bucket, carboy, 22_000), flow(bucket, Key(202), 1_800)],
        |_| {},
        "Racked Damson 26 from Bucket: 22 L into Carboy A and 1.8 L into Jug.",
    );
    check_told(
        Kind::Press,
        &[
            flow(bucket, carboy, 4_800),
            flow(bucket, Account::Pomace.key(), 800),
        ],
        |_| {},
        "Pressed 4.8 L of Damson 26 from Bucket into Carboy A; 800 mL of pomace left.",
    );
    check_told(
        Kind::TopUp,
        &[flow(Account::Bought.key(), carboy, 600)],
        |_| {},
        "Topped up Carboy A with 600 mL of bought wine.",
    );
    check_told(
        Kind::TopUp,
        &[flow(Key(202), carboy, 600)],
        |_| {},
        "Topped up Carboy A with 600 mL of Damson 26 from Jug.",
    );
    check_told(
        Kind::TopUp,
        &[
            flow(Key(202), carboy, 600),
            flow(carboy, Account::Evaporated.key(), 400),
        ],
        |_| {},
        "Topped up Carboy A with 600 mL of Damson 26 from Jug; 400 mL had evaporated.",
    );
    check_told(
        Kind::Here,
        &[flow(Account::Before.key(), carboy, 22_000)],
        |it| {
            it.movements[0].about = true;
            it.subject = Some(carboy);
        },
        "Took over Carboy A with about 22 L of Damson 26.",
    );
    check_told(
        Kind::Receive,
        &[flow(Account::Must.key(), bucket, 24_200)],
        |it| it.readings.push(reading(bucket, Property::Gravity, 1.081)),
        "Received 24.2 L of Damson 26 into Bucket; gravity 1.081.",
    );
    check_told(
        Kind::Lose,
        &[flow(carboy, Account::Drunk.key(), 1_300)],
        |it| "with the bottling supper".clone_into(&mut it.note),
        "Drank 1.3 L of Damson 26 from Carboy A (with the bottling supper).",
    );
    check_told(
        Kind::Adjust,
        &[flow(carboy, Account::Difference.key(), 500)],
        |it| it.movements[0].amount = Amount::LevelFound(Volume::litres(22.0)),
        "Found 22 L in Carboy A, 500 mL less than the book had.",
    );
    check_told(
        Kind::Bottle,
        &[
            flow(carboy, Account::Drunk.key(), 350),
            flow(carboy, lees, 200),
        ],
        |it| {
            it.subject = Some(RUN);
            it.set(RUN, field::FINISHED, Value::Int(0));
        },
        "Finished bottling Plum 25: 350 mL drunk, 200 mL left on the lees.",
    );
}

#[test]
fn bottles_are_counted_and_not_measured() {
    let gone = |it: &mut Draft, count: i64, size_ml: i64, to: Spot| {
        it.bottles.push(BottleMove {
            run: RUN,
            size_ml,
            count,
            from: Spot::Outside(Account::Empties.key()),
            to,
            about: false,
        });
    };
    let kept = || {
        Spot::Kept(Kept {
            reserved: "the show".to_owned(),
            ..Kept::at(Posture::Lying, "rack 2")
        })
    };
    let drunk = || Spot::Outside(Account::Drunk.key());
    let flows = [flow(RUN, Account::Drunk.key(), 750)];
    check_told(
        Kind::Open,
        &flows,
        |it| {
            gone(it, 1, 750, drunk());
            it.tastings.push(Tasting {
                place: RUN,
                words: "plums and marzipan".to_owned(),
                score: None,
                sheet: String::new(),
            });
        },
        "Opened a bottle of Plum 25: plums and marzipan.",
    );
    check_told(
        Kind::Give,
        &flows,
        |it| {
            gone(it, 2, 750, drunk());
            "to Anna; her birthday".clone_into(&mut it.note);
        },
        "Gave 2 bottles of Plum 25 to Anna (her birthday).",
    );
    check_told(
        Kind::Break,
        &flows,
        |it| gone(it, 1, 375, drunk()),
        "Broke a 375 mL bottle of Plum 25.",
    );
    check_told(
        Kind::LayDown,
        &[],
        |it| gone(it, 23, 750, kept()),
        "Laid down 23 bottles of Plum 25 in rack 2.",
    );
    check_told(
        Kind::Reserve,
        &[],
        |it| gone(it, 6, 750, kept()),
        "Kept 6 bottles of Plum 25 in rack 2 for the show.",
    );
    check_told(
        Kind::Bottle,
        &[flow(Key(201), RUN, 21_750)],
        |it| {
            it.set(RUN, field::VESSEL, Value::Int(201));
            for (sequence, count, size_ml) in [(1, 28, 750), (2, 2, 375)] {
                it.fillings.push(Filling {
                    sequence,
                    event: FillEvent::Filled,
                    size_ml,
                    count,
                    at_ms: 0,
                });
            }
        },
        "Bottled 28 bottles and 2 × 375 mL bottles of Plum 25 from Carboy A, 21.8 L.",
    );
}

#[test]
fn what_was_done_in_the_cellar_reads_like_a_notebook() {
    let (bucket, carboy) = (Key(200), Key(201));
    check(
        Kind::TopUp,
        |it| {
            let amount = Amount::Exactly(Volume::millilitres(400));
            let from = Account::Bought.key();
            it.movements.push(Movement {
                from,
                to: carboy,
                amount,
                about: true,
                batch: None,
            });
        },
        "Topped up Carboy A with about 400 mL of bought wine.",
    );
    check(
        Kind::Measure,
        |it| {
            for (property, value) in [(Property::Ph, 3.3), (Property::FreeSo2, 15.0)] {
                it.readings.push(reading(carboy, property, value));
            }
            for (property, word) in [(Property::Clarity, "bright"), (Property::Gas, "none")] {
                let found = Found::Word(word.to_owned());
                let reading = Reading {
                    found,
                    ..reading(carboy, property, 0.0)
                };
                it.readings.push(reading);
            }
        },
        "Measured Carboy A: pH 3.30, free SO2 15 mg/L, bright, no gas.",
    );
    let put = |kind, grams: Option<f64>, substance: &str, expected: &str| {
        let addition = Addition {
            place: bucket,
            substance: substance.to_owned(),
            dose: grams.map(|it| Dose::Mass(Mass::grams(it))),
            so2: Mass::ZERO,
            lot: None,
            calculation: String::new(),
        };
        check(kind, |it| it.additions.push(addition), expected);
    };
    put(
        Kind::Pitch,
        Some(5.0),
        "yeast",
        "Pitched 5 g yeast into Bucket.",
    );
    put(
        Kind::Add,
        Some(0.06),
        "tannin",
        "Added 0.06 g tannin to Bucket.",
    );
    put(
        Kind::Feed,
        Some(8.0),
        "yeast-nutrient",
        "Fed Bucket 8 g yeast nutrient.",
    );
    put(
        Kind::Fine,
        Some(12.5),
        "bentonite",
        "Fined Bucket with 12.5 g bentonite.",
    );
    put(Kind::OakIn, Some(50.0), "oak", "Put 50 g oak into Bucket.");
    put(
        Kind::Pitch,
        None,
        "yeast",
        "Pitched an unknown amount of yeast into Bucket.",
    );
    check(
        Kind::Degas,
        |it| it.subject = Some(carboy),
        "Degassed Carboy A.",
    );
    check(Kind::Round, |_| {}, "Made the cellar round.");
    check(
        Kind::Jot,
        |it| "blue lid smells of eggs".clone_into(&mut it.note),
        "Jotted: blue lid smells of eggs.",
    );
    check(
        Kind::Void,
        |it| it.voids = Some(Key(12)),
        "Voided entry 12.",
    );
}

#[test]
fn what_there_is_reads_like_a_notebook() {
    let vessel = |fill: &dyn Fn(&mut Draft, Key), expected: &str| {
        check(
            Kind::Vessel,
            |it| {
                let new = it.begin(Sort::Vessel, "Jug");
                it.subject = Some(new);
                it.set(new, field::KIND, "jug");
                fill(it, new);
            },
            expected,
        );
    };
    vessel(&|_, _| {}, "Added vessel Jug.");
    vessel(
        &|it, new| {
            it.set(new, field::MATERIAL, "glass");
            it.set(new, field::MARK, Volume::millilitres(2_000));
            it.set(new, field::BRIM, Volume::millilitres(2_200));
        },
        "Added vessel Jug, glass, 2 L, 2.2 L to the brim.",
    );
    check(
        Kind::Vessel,
        |it| {
            it.subject = Some(Key(201));
            it.set(Key(201), field::NAME, "Big one");
        },
        "Changed Carboy A: now called Big one.",
    );
    check(
        Kind::Vessel,
        |it| {
            it.subject = Some(Key(201));
            it.set(Key(201), field::CLOSED, Value::Int(0));
        },
        "Retired Carboy A.",
    );
    check(
        Kind::Batch,
        |it| {
            let new = it.begin(Sort::Batch, "Kit red 26");
            it.subject = Some(new);
            it.set(new, field::WINE, "red");
            it.set(new, field::KIND, "kit");
            it.set(new, field::MALO, "unwanted");
        },
        "Began Kit red 26, a red wine, from a kit, no malolactic wanted.",
    );
}

fn wine_of(litres: f64, free: Option<f64>) -> State {
    let volume = Volume::litres(litres);
    let mut wine = Wine {
        volume,
        ..Wine::default()
    };
    if let Some(free) = free {
        let known = Known {
            at_ms: 0,
            found: Found::Number(free),
            estimated: false,
        };
        wine.known.insert(Property::FreeSo2, known);
        let what = So2Change::Tested(Found::Number(free));
        wine.so2.push(So2Event { at_ms: 0, what });
    }
    State::from(wine)
}

fn stock_of(grams: f64) -> State {
    State::Supply(Stock {
        left: Some(Dose::Mass(Mass::grams(grams))),
        ..Stock::default()
    })
}

fn check_difference(before: Option<&State>, after: &State, expected: &str) {
    assert_eq!(differences(before, Some(after)), [expected]);
}

#[test]
fn a_change_says_what_becomes_of_what() {
    let five = wine_of(5.0, None);
    let measured = wine_of(5.0, Some(22.0));
    check_difference(Some(&wine_of(4.6, None)), &five, "4.6 L becomes 5.0 L");
    check_difference(None, &five, "0.0 L becomes 5.0 L");
    // What reads alike is not said to become itself.
    let little = wine_of(5.01, None);
    check_difference(Some(&five), &little, "5.0 L and 10 mL more");
    check_difference(Some(&little), &five, "5.0 L and 10 mL less");
    let dosed = |grams: f64| match wine_of(5.0, None) {
        State::Wine(wine) => State::from(Wine {
            so2_added: Mass::grams(grams),
            ..*wine
        }),
        other @ State::Supply(_) => other,
    };
    let (much, hardly_more) = (dosed(0.1), dosed(0.1001));
    check_difference(Some(&five), &much, "SO2 added 0 mg/L becomes 20");
    check_difference(Some(&much), &hardly_more, "its history alone");
    check_difference(Some(&measured), &five, "free SO2 22 mg/L becomes not known");
    check_difference(Some(&stock_of(5.0)), &stock_of(7.0), "5 g becomes 7 g");
    check_difference(Some(&five), &five, "its history alone");
}
