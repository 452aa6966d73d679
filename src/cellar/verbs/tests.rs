//! What each verb makes of what is typed.

mod fits;
mod keeping;
mod questions;
mod words;
mod yeast;

use std::sync::Arc;

use uuid::Uuid;

use super::*;
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Entry, Found};
use crate::cellar::fold::Ledger;
use crate::cellar::state::State;
use crate::cellar::thing::{Account, CELLAR, Thing, Value};

/// A cellar in memory that writes what it is told, as the store does with less ceremony.
struct Cellar {
    snapshot: Snapshot,
    entries: i64,
}

impl Cellar {
    fn new() -> Cellar {
        let (now, _) = Zone::Fixed(0)
            .wall("2026-11-25T18:00:00".parse().unwrap())
            .unwrap();
        Cellar {
            snapshot: Snapshot::empty(now),
            entries: 0,
        }
    }

    fn prepare(&self, verb: &str, pairs: &[(&str, &str)]) -> Result<Prepared, Refusal> {
        let verb = find(verb).unwrap();
        let form = Form::of(pairs.iter().copied());
        let said = when(&form, self.snapshot.now, Zone::Fixed(0))?;
        prepare(verb, &form, &self.snapshot, &said)
    }

    /// The verb is taken, and the cellar holds what it wrote.
    fn write(&mut self, verb: &str, pairs: &[(&str, &str)]) -> &mut Cellar {
        let mut draft = self.prepare(verb, pairs).unwrap().draft;
        let begun = draft.new_things.clone();
        let base = self
            .snapshot
            .things
            .keys()
            .map(|it| it.0)
            .max()
            .unwrap_or(100);
        let real = |key: Key| if key.0 < 0 { Key(base - key.0) } else { key };
        settle(&mut draft, real);
        for (at, sort) in (1..).zip(begun) {
            let key = Key(base + at);
            let uid = Uuid::from_u128(key.0 as u128);
            self.snapshot.things.insert(
                key,
                Thing {
                    key,
                    uid,
                    sort,
                    attributes: BTreeMap::new(),
                }
                .into(),
            );
        }
        for change in &draft.changes {
            let thing = self.snapshot.things.get_mut(&change.thing).unwrap();
            Arc::make_mut(thing)
                .attributes
                .insert(change.field.clone(), change.value.clone().unwrap());
        }
        self.entries += 1;
        let entry = Entry {
            key: Key(self.entries),
            uid: Uuid::nil(),
            recorded_ms: 0,
            draft,
            voided_by: None,
        };
        let mut ledger = Ledger {
            things: self.snapshot.things.clone(),
            states: self
                .snapshot
                .states
                .iter()
                .map(|(key, it)| (*key, State::clone(it)))
                .collect(),
        };
        let outcome = ledger.apply(&entry);
        assert_eq!(outcome.findings, [], "{verb}");
        let states = ledger.states.into_iter();
        self.snapshot.states = states.map(|(key, it)| (key, it.into())).collect();
        self
    }

    /// The verb says that it will do this.
    fn check(&self, verb: &str, pairs: &[(&str, &str)], sentence: &str) {
        let said = self
            .prepare(verb, pairs)
            .map_or_else(|it| format!("refused: {it}"), |it| it.sentence);
        assert_eq!(said, sentence);
    }

    fn check_asks(&self, verb: &str, pairs: &[(&str, &str)], asks: &[&str]) {
        assert_eq!(self.prepare(verb, pairs).unwrap().asks, asks);
    }

    /// Told back as what would be typed for it, it is the same verb and the same entry.
    fn check_again(&self, verb: &str, pairs: &[(&str, &str)]) {
        let entry = Entry {
            key: Key(900),
            uid: Uuid::nil(),
            recorded_ms: 0,
            draft: self.prepare(verb, pairs).unwrap().draft,
            voided_by: None,
        };
        let (found, typed) = again(&entry, &self.snapshot).unwrap();
        assert_eq!(found.name, verb);
        let again: Vec<(&str, &str)> = typed
            .iter()
            .filter(|it| it.0 != "at")
            .map(|(key, text)| (key.as_str(), text.as_str()))
            .collect();
        let same = self.prepare(verb, &again).unwrap().draft;
        assert_eq!(same, entry.draft, "{pairs:?}: {again:?}");
    }

    /// These places hold these litres.
    fn holds(&self, expected: &[(&str, f64)]) {
        for (name, litres) in expected {
            let place = self.snapshot.find(Sort::Vessel, name).unwrap().key;
            let held = self
                .snapshot
                .wine(place)
                .map(|it| it.volume)
                .unwrap_or_default();
            assert_eq!(held, Volume::litres(*litres), "{name}");
        }
    }
}

fn settle(draft: &mut Draft, real: impl Fn(Key) -> Key) {
    draft.subject = draft.subject.map(&real);
    for it in &mut draft.changes {
        it.thing = real(it.thing);
    }
    for it in &mut draft.movements {
        (it.from, it.to, it.batch) = (real(it.from), real(it.to), it.batch.map(&real));
    }
    for it in &mut draft.bottles {
        it.run = real(it.run);
    }
    for it in &mut draft.supplies {
        it.lot = real(it.lot);
    }
}

fn with_must() -> Cellar {
    let mut cellar = Cellar::new();
    cellar
        .write("vessel add", &[("name", "Bucket"), ("mark", "30 L")])
        .write(
            "vessel add",
            &[("name", "Carboy A"), ("mark", "23 L"), ("brim", "23.4 L")],
        )
        .write("vessel add", &[("name", "Demijohn 1"), ("mark", "4.5 L")])
        .write("vessel add", &[("name", "Jug"), ("mark", "2 L")])
        .write(
            "receive",
            &[
                ("into", "Bucket"),
                ("amount", "25 L"),
                ("batch", "Damson 26"),
                ("gravity", "1.085"),
            ],
        );
    cellar
}

#[test]
fn every_field_has_a_name_of_its_own_in_its_verb() {
    for verb in VERBS {
        let mut keys: Vec<&str> = verb.fields.iter().chain(COMMON).map(|it| it.key).collect();
        let all = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), all, "{}", verb.name);
        let required = verb
            .fields
            .iter()
            .take_while(|it| it.need == Need::Required)
            .count();
        assert!(required <= 2, "{} asks too much", verb.name);
        let later = verb
            .fields
            .iter()
            .skip(required)
            .any(|it| it.need == Need::Required);
        assert!(
            !later,
            "{} asks for something after what may be left out",
            verb.name
        );
    }
}

#[test]
fn names_of_verbs_are_told_apart() {
    let mut names: Vec<&str> = VERBS.iter().map(|it| it.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), VERBS.len());
}

#[test]
fn racking_fills_the_vessels_named_and_leaves_the_lees() {
    let mut cellar = with_must();
    let rack = [
        ("from", "Bucket"),
        ("to", "Carboy A=23 L"),
        ("to", "Demijohn 1"),
        ("leaving", "0.6 L"),
    ];
    cellar.check(
        "rack",
        &rack,
        "Rack Bucket: 23.0 L into Carboy A, 1.4 L into Demijohn 1, 600 mL left on the lees.",
    );
    cellar
        .write("rack", &rack)
        .holds(&[("Bucket", 0.0), ("Carboy A", 23.0), ("Demijohn 1", 1.4)]);
}

#[test]
fn a_loss_above_a_tenth_is_asked_about_and_a_small_one_is_not() {
    let cellar = with_must();
    cellar.check_asks(
        "rack",
        &[("from", "Bucket"), ("to", "Carboy A=23.4 L")],
        &[
            "Carboy A is marked 23.0 L and will hold 23.4 L; to the brim it holds 23.4 L, and wine that warms needs 2 to 3 cm below the bung.",
        ],
    );
    cellar.check_asks(
        "rack",
        &[
            ("from", "Bucket"),
            ("to", "Carboy A=22 L"),
            ("to", "Demijohn 1=4.6 L"),
        ],
        &["Demijohn 1 is marked 4.5 L and will hold 4.6 L; measure its brim if that is right."],
    );
    let loses = |verb: &str, to: &str, leaving: &str| {
        let pairs = [("from", "Bucket"), ("to", to), ("leaving", leaving)];
        cellar.prepare(verb, &pairs).unwrap().loses
    };
    let check = |verb: &str, to: &str, leaving: &str, expected: Option<&str>| {
        let expected = expected.map(str::to_owned);
        assert_eq!(loses(verb, to, leaving), expected, "{verb} {to} {leaving}");
    };
    let to_lees = "5.0 L of 25.0 L stays behind and goes to lees, 20 % of it: name a further vessel for it, leave it in Bucket by `split` of no more than fits (Carboy A=20.0 L), or give --leaving if it was lees.";
    check("rack", "Carboy A=22.5 L", "", None);
    check("rack", "Carboy A=20 L", "", Some(to_lees));
    check("rack", "Carboy A=20 L", "5 L", None);
    check("rack", "Carboy A=20 L", "3 L", None);
    check("rack", "Carboy A=20 L", "0.5 L", Some(to_lees));
    // A demijohn of 4.5 L for 25 L: nobody said what becomes of the rest.
    let to_pomace = "20.5 L of 25.0 L stays behind and goes to pomace, 82 % of it: name a further vessel for it, leave it in Bucket by `split` of no more than fits (Demijohn 1=4.5 L), or give the figure that ran off.";
    check("press", "Demijohn 1", "", Some(to_pomace));
    check("press", "Carboy A=18 L", "", None);
}

#[test]
fn more_left_behind_than_there_is_is_refused_and_not_cut_down() {
    let mut cellar = with_must();
    let check = |to: &str, leaving: &str, expected: &str| {
        let pairs = [("from", "Bucket"), ("to", to), ("leaving", leaving)];
        cellar.check("rack", &pairs, expected);
    };
    check(
        "Carboy A",
        "30 L",
        "refused: 30.0 L left, but Bucket holds 25.0 L by the book; check the figures, or `adjust` Bucket first.",
    );
    check(
        "Carboy A=20 L",
        "6 L",
        "refused: 20.0 L racked and 6.0 L left make 26.0 L, but Bucket holds 25.0 L by the book; check the figures, or `adjust` Bucket first.",
    );
    check(
        "Carboy A",
        "25 L",
        "refused: 25.0 L left, all that Bucket holds by the book, and nothing for the vessel without a figure; check the figures, or `adjust` Bucket first.",
    );
    // A vessel without a figure takes none of what is to stay behind.
    check(
        "Carboy A; Demijohn 1",
        "1 L",
        "Rack Bucket: 23.4 L into Carboy A, 600 mL into Demijohn 1, 1.0 L left on the lees.",
    );
    check(
        "Carboy A; Demijohn 1",
        "2 L",
        "refused: Nothing is left for Demijohn 1: what is racked fits into the vessels before it; leave it out.",
    );
    // What is only about so much is asked about.
    let taken_over = [("name", "Old"), ("holds", "Red"), ("amount", "about 20 L")];
    cellar.write("here", &taken_over);
    let rack = [("from", "Old"), ("to", "Carboy A=20 L"), ("leaving", "1 L")];
    let asked = "20.0 L racked and 1.0 L left make 21.0 L, but Old holds 20.0 L by the book: is that right?";
    assert_eq!(
        cellar.prepare("rack", &rack).unwrap().loses.as_deref(),
        Some(asked)
    );
}

#[test]
fn a_vessel_full_by_the_book_takes_no_wine_unless_a_figure_is_given() {
    let mut cellar = with_must();
    cellar.write(
        "rack",
        &[("from", "Bucket"), ("to", "Carboy A=23.4 L; Jug")],
    );
    cellar.write("receive", &[("into", "Bucket"), ("amount", "20 L")]);
    let full = "refused: Carboy A is full by the book (23.4 L of 23.4 L); say where the wine goes: another vessel, or `adjust` Carboy A first if it holds less.";
    for verb in ["rack", "press", "split"] {
        cellar.check(verb, &[("from", "Bucket"), ("to", "Carboy A")], full);
    }
    cellar.check(
        "rack",
        &[("from", "Bucket"), ("to", "Bucket")],
        "refused: Bucket can't be racked into itself.",
    );
}

#[test]
fn all_of_a_vessel_is_poured_away_only_if_that_was_said() {
    let cellar = with_must();
    let loses = |pairs: &[(&str, &str)]| cellar.prepare("discard", pairs).unwrap().loses.is_some();
    assert!(loses(&[("place", "Bucket")]));
    assert!(!loses(&[("place", "Bucket"), ("amount", "all")]));
}

#[test]
fn a_top_up_without_an_amount_fills_what_fits() {
    let mut cellar = with_must();
    cellar.write(
        "rack",
        &[
            ("from", "Bucket"),
            ("to", "Carboy A=22.6 L; Demijohn 1"),
            ("leaving", "0.4 L"),
        ],
    );
    cellar.check(
        "top-up",
        &[("into", "Carboy A"), ("from", "Demijohn 1")],
        "Top up Carboy A with 800 mL from Demijohn 1.",
    );
    cellar
        .write("top-up", &[("into", "Carboy A"), ("from", "Demijohn 1")])
        .holds(&[("Carboy A", 23.4), ("Demijohn 1", 1.2)]);
}

#[test]
fn what_the_cellar_holds_already_needs_a_name_and_about_how_much() {
    let mut cellar = Cellar::new();
    cellar.check(
        "here",
        &[
            ("name", "Carboy B"),
            ("holds", "Solaris 25"),
            ("amount", "about 22 L"),
        ],
        "Carboy B is here and holds about 22.0 L of Solaris 25.",
    );
    cellar.write(
        "here",
        &[
            ("name", "Carboy B"),
            ("holds", "Solaris 25"),
            ("amount", "about 22 L"),
        ],
    );
    cellar.holds(&[("Carboy B", 22.0)]);
    let carboy = cellar.snapshot.find(Sort::Vessel, "Carboy B").unwrap();
    assert_eq!(carboy.vessel_kind().word(), "carboy");
    assert!(cellar.snapshot.wine(carboy.key).unwrap().about);
    cellar.check(
        "here",
        &[
            ("name", "Plum 25"),
            ("bottles", "about 40"),
            ("where", "shelf 2"),
        ],
        "About 40 bottles of Plum 25 are here.",
    );
}

#[test]
fn readings_are_numbers_ranges_bounds_and_words() {
    let cellar = with_must();
    let found = |field: &str, text: &str| {
        let prepared = cellar.prepare("measure", &[("place", "Bucket"), (field, text)]);
        prepared
            .map(|it| it.draft.readings[0].found.clone())
            .map_err(|it| it.sentence)
    };
    assert_eq!(found("gravity", "1.012"), Ok(Found::Number(1.012)));
    assert_eq!(found("ph", "3.2-3.6"), Ok(Found::Between(3.2, 3.6)));
    assert_eq!(found("free-so2", "<10"), Ok(Found::Below(10.0)));
    assert_eq!(found("malic", "faint"), Ok(Found::Word("faint".to_owned())));
    assert_eq!(found("temperature", "-2 C"), Ok(Found::Number(-2.0)));
    let word = |it: &str| Ok(Found::Word(it.to_owned()));
    assert_eq!(found("clarity", "nearly clear"), word("hazy"));
    assert_eq!(found("clarity", "A bit cloudy"), word("hazy"));
    assert_eq!(found("clarity", "murky"), word("cloudy"));
    assert_eq!(found("gas", "a little"), word("some"));
    assert_eq!(
        found("clarity", "pink"),
        Err("`pink` is no word for clarity; write one of cloudy, hazy, clear, bright.".to_owned())
    );
    assert_eq!(
        found("ph", "9"),
        Err("`9` is outside 2 to 5; check the number and its unit.".to_owned())
    );
}

#[test]
fn a_gravity_read_warm_is_corrected_and_kept_as_typed() {
    let cellar = with_must();
    let typed = [("place", "Bucket"), ("gravity", "1.060 at 30 C")];
    let reading = cellar.prepare("measure", &typed).unwrap().draft.readings[0].clone();
    assert_eq!(reading.typed, "1.060 at 30 C");
    assert_eq!(reading.rule, "hydrometer of 20 °C read at 30.0 °C, as must");
    // Water alone thins by 0.0025 from 20 to 30 °C (998.21 to 995.65 kg/m³, CIPM 2001) and the
    // glass gives back 0.00025: a must is to be raised by a little more than that.
    let gravity = reading.found.number().unwrap();
    assert!((1.0623..1.0635).contains(&gravity), "{gravity}");
}

#[test]
fn a_gravity_with_its_temperature_is_a_reading_of_both() {
    let cellar = with_must();
    let readings = |pairs: &[(&str, &str)]| -> Vec<(Property, String)> {
        let all = [&[("place", "Bucket")], pairs].concat();
        let draft = cellar.prepare("measure", &all).unwrap().draft;
        let readings = draft.readings.into_iter();
        readings.map(|it| (it.property, it.typed)).collect()
    };
    let both = |gravity: &str, temperature: &str| {
        vec![
            (Property::Gravity, gravity.to_owned()),
            (Property::Temperature, temperature.to_owned()),
        ]
    };
    assert_eq!(
        readings(&[("gravity", "0.995 at 68 F")]),
        both("0.995 at 68 F", "68 F")
    );
    // One that is given beside it stands.
    assert_eq!(
        readings(&[("gravity", "0.995 at 68 F"), ("temperature", "19 C")]),
        both("0.995 at 68 F", "19 C")
    );
}

#[test]
fn a_part_lost_is_a_part_of_the_wine_there_is() {
    let cellar = with_must();
    cellar.check(
        "lose",
        &[("place", "Bucket"), ("amount", "half")],
        "Lose about 12.5 L from Bucket (spills).",
    );
    cellar.check(
        "draw",
        &[("place", "Bucket"), ("amount", "a glass")],
        "Draw about 150 mL from Bucket (samples).",
    );
    cellar.check(
        "draw",
        &[("place", "Bucket"), ("amount", "half a bottle")],
        "Draw about 375 mL from Bucket (samples).",
    );
}

#[test]
fn an_unknown_vessel_is_refused_with_the_nearest_names() {
    let cellar = with_must();
    cellar.check(
        "taste",
        &[("place", "Carbox"), ("words", "plums")],
        "refused: no vessel is called `Carbox`; the nearest are Carboy A, Bucket, Jug.",
    );
}

#[test]
fn a_name_that_cannot_be_said_again_is_refused() {
    let cellar = Cellar::new();
    let check = |name: &str, words: &str| {
        let refused = cellar.prepare("vessel add", &[("name", name)]).unwrap_err();
        assert_eq!(refused.field, Some("name"));
        assert!(refused.sentence.contains(words), "{refused}");
    };
    check("B=1", "parts a vessel from its amount");
    check("B; C", "parts a vessel from its amount");
    check(&"x".repeat(61), "61 characters");
    check("abc\u{202E}cba", "cannot be seen");
    check("two\nlines", "cannot be seen");
    assert!(
        cellar
            .prepare("vessel add", &[("name", "Großes Fass nº 2")])
            .is_ok()
    );
}

#[test]
fn a_date_to_come_is_refused() {
    let cellar = with_must();
    let refused = cellar
        .prepare("degas", &[("place", "Bucket"), ("at", "2026-11-26")])
        .unwrap_err();
    assert_eq!((refused.field, refused.blame), (Some("at"), Blame::Book));
}

#[test]
fn sulfite_by_the_spoon_or_from_solution_is_weighed_in_the_book() {
    let cellar = with_must();
    let so2 = |pairs: &[(&str, &str)]| {
        let pairs: Vec<(&str, &str)> = [("place", "Bucket"), ("substance", "sulfite")]
            .into_iter()
            .chain(pairs.iter().copied())
            .collect();
        cellar.prepare("add", &pairs).unwrap().draft.additions[0]
            .so2
            .in_grams()
    };
    // 1 g · 0.5763; 1/4 tsp · 6 g/tsp · 0.5763; 10 mL · 0.1 g/mL · 0.5763.
    let near = |got: f64, expected: f64| assert!((got - expected).abs() < 2e-4, "{got} {expected}");
    near(so2(&[("amount", "1 g")]), 0.5763);
    near(so2(&[("amount", "1/4 tsp")]), 0.86445);
    near(so2(&[("amount", "10 mL")]), 0.5763);
    near(so2(&[("amount", "1 g"), ("strength", "90")]), 0.51867);
}

#[test]
fn a_supply_is_drawn_down_from_the_oldest_lot_that_has_enough() {
    let mut cellar = with_must();
    cellar.write("buy", &[("substance", "sulfite"), ("amount", "50 g")]);
    cellar.check(
        "add",
        &[
            ("place", "Bucket"),
            ("substance", "sulfite"),
            ("amount", "1.2 g"),
        ],
        "Add 1.2 g of potassium-metabisulfite to Bucket from potassium metabisulfite 1.",
    );
    cellar.check_asks(
        "add",
        &[("place", "Bucket"), ("substance", "sulfite"), ("amount", "60 g")],
        &["No single lot of potassium-metabisulfite has that much by the book, so it is taken from none; take stock if that is wrong."],
    );
}

#[test]
fn bottles_are_typed_once_or_counted_and_what_is_left_is_said() {
    let mut cellar = with_must();
    cellar.write(
        "rack",
        &[
            ("from", "Bucket"),
            ("to", "Carboy A=23 L"),
            ("leaving", "0.4 L"),
        ],
    );
    let start = [
        ("from", "Carboy A"),
        ("filled", "29x750 1x375"),
        ("overrule", "only a test"),
    ];
    let fillings = cellar
        .prepare("bottle start", &start)
        .unwrap()
        .draft
        .fillings;
    assert_eq!(
        fillings
            .iter()
            .map(|it| (it.count, it.size_ml))
            .collect::<Vec<_>>(),
        [(29, 750), (1, 375)]
    );
    cellar.write("bottle start", &start);
    // 23 − 29 · 0.75 − 0.375 = 0.875 L left.
    cellar.holds(&[("Carboy A", 0.875)]);
    cellar.check(
        "bottle finish",
        &[
            ("run", "Damson 26"),
            ("left", "drunk"),
            ("leaving", "0.3 L"),
        ],
        "30 bottles of Damson 26, 575 mL drunk.",
    );
    cellar
        .write(
            "bottle finish",
            &[
                ("run", "Damson 26"),
                ("left", "drunk"),
                ("leaving", "0.3 L"),
            ],
        )
        .holds(&[("Carboy A", 0.0)]);
    cellar.check(
        "lay-down",
        &[("run", "Damson 26"), ("where", "rack 2")],
        "Lay down 30 of Damson 26 in rack 2.",
    );
    cellar.check("open", &[("run", "Damson 26"), ("count", "40")], "refused: 30 of Damson 26 are there, not 40; if you find more, write them down with `here`.");
}

#[test]
fn bottling_what_was_never_measured_takes_a_reason_and_says_the_hazard() {
    let cellar = with_must();
    let refused = cellar
        .prepare("bottle start", &[("from", "Bucket")])
        .unwrap_err();
    assert_eq!(
        (refused.field, refused.blame),
        (Some("overrule"), Blame::Book)
    );
    let begin = "Wait for 2 more equal readings of gravity at 15 °C or warmer, the last on 9 Dec 2026 or later, or give --overrule 'why'. Finished? ";
    assert!(refused.sentence.starts_with(begin), "{refused}");
    let end = " 6 more questions are open: `bottle plan 'Bucket'` lists them.";
    assert!(refused.sentence.ends_with(end), "{refused}");
    assert!(refused.sentence.contains("burst"), "{refused}");
    let overruled = [("from", "Bucket"), ("overrule", "known dry")];
    let prepared = cellar.prepare("bottle start", &overruled).unwrap();
    assert_eq!(prepared.draft.note, "overruled: known dry");
    assert!(prepared.asks.iter().any(|it| it.contains("burst")));
}

#[test]
fn whether_it_was_warm_is_said_on_the_spot_and_kept() {
    let mut cellar = with_must();
    let now = cellar.snapshot.now;
    for days in [24, 17, 5] {
        cellar.snapshot.now = now.plus_days(-days);
        let read = [("place", "Bucket"), ("gravity", "0.994"), ("gas", "none")];
        cellar.write("measure", &read);
    }
    cellar.snapshot.now = now;
    let start = [("from", "Bucket")];
    let refused = cellar.prepare("bottle start", &start).unwrap_err().sentence;
    assert!(
        refused.starts_with("Say --warm yes if it was at 15 °C or warmer"),
        "{refused}"
    );
    let warm = [("from", "Bucket"), ("warm", "yes")];
    let prepared = cellar.prepare("bottle start", &warm).unwrap();
    assert_eq!(prepared.draft.readings[0].found, Found::Above(15.0));
    assert!(
        !prepared.asks.iter().any(|it| it.contains("burst")),
        "{:?}",
        prepared.asks
    );
    let cold = [("from", "Bucket"), ("warm", "no")];
    let refused = cellar.prepare("bottle start", &cold).unwrap_err().sentence;
    assert!(
        refused.starts_with("Keep it at 15 °C or warmer, and measure gravity 3 times"),
        "{refused}"
    );
}

#[test]
fn a_plan_is_entered_once_and_started_on_a_wine() {
    let mut cellar = with_must();
    let steps = [
        ("name", "Kit sheet"),
        ("step", "day 1: bentonite and yeast"),
        ("step", "1.010 or day 14: rack"),
        ("step", "day 28: degas, sulfite, sorbate"),
    ];
    cellar.write("plan add", &steps);
    let started = cellar
        .prepare("plan start", &[("plan", "Kit sheet"), ("place", "Bucket")])
        .unwrap();
    let jobs: Vec<(&str, &str)> = started
        .draft
        .jobs
        .iter()
        .map(|it| (it.title.as_str(), it.verb.as_str()))
        .collect();
    assert_eq!(
        jobs,
        [
            ("bentonite and yeast", "fine"),
            ("rack", "rack"),
            ("degas, sulfite, sorbate", "degas")
        ]
    );
    cellar.check(
        "plan start",
        &[("plan", "Kit"), ("place", "Bucket")],
        "refused: no plan is called `Kit`; the nearest is Kit sheet, to be named in full.",
    );
    cellar.check(
        "plan add",
        &[("name", "x"), ("step", "some day")],
        "refused: `some day` is no step; write `day 14: rack`, `week 2: rack`, `1.010: rack` or `1.010 or day 14: rack`.",
    );
}

#[test]
fn a_level_found_is_kept_and_the_difference_derived() {
    let cellar = with_must();
    let prepared = cellar
        .prepare("adjust", &[("place", "Bucket"), ("level", "24 L")])
        .unwrap();
    assert_eq!(
        prepared.draft.movements[0].amount,
        Amount::LevelFound(Volume::litres(24.0))
    );
    assert_eq!(prepared.draft.movements[0].to, Account::Difference.key());
}

#[test]
fn unknown_words_in_a_choice_list_what_there_is() {
    let cellar = with_must();
    cellar.check(
        "lose",
        &[("place", "Bucket"), ("amount", "1 L"), ("how", "vanished")],
        "refused: `vanished` is not one of spilled, evaporated, drunk, given, sold, broken, lees.",
    );
    assert!(matches!(
        cellar.snapshot.states.values().next().map(Arc::as_ref),
        Some(State::Wine(_))
    ));
    assert_eq!(cellar.snapshot.things.len(), 5);
    assert_eq!(Value::from("x"), Value::Text("x".to_owned()));
}

#[test]
fn how_much_a_vessel_holds_is_taken_in_any_words() {
    let cellar = Cellar::new();
    let check = |mark: &str, amount: &str, expected: &str| {
        let pairs = [
            ("name", "A"),
            ("holds", "Damson"),
            ("mark", mark),
            ("amount", amount),
        ];
        cellar.check("here", &pairs, &format!("A is here and holds {expected}"));
    };
    check("20 L", "", "about 20.0 L of Damson.");
    check("20 L", "full", "about 20.0 L (19.0 L to 20.0 L) of Damson.");
    check(
        "20 L",
        "nearly full",
        "about 18.5 L (17.0 L to 20.0 L) of Damson.",
    );
    check("20 L", "half", "about 10.0 L (8.0 L to 12.0 L) of Damson.");
    check(
        "20 L",
        "a bit over half",
        "about 11.5 L (10.0 L to 13.0 L) of Damson.",
    );
    check(
        "",
        "20 to 22 L",
        "about 21.0 L (20.0 L to 22.0 L) of Damson.",
    );
    check(
        "",
        "a couple of litres",
        "about 2.0 L (1.5 L to 2.5 L) of Damson.",
    );
    let later = "Damson, amount not known; `adjust` sets it.";
    check("20 L", "?", later);
    check("", "not known", later);
    check("", "", later);
    check("", "half", later);
    cellar.check_asks(
        "here",
        &[("name", "A"), ("holds", "Damson"), ("amount", "half")],
        &["`half` of a vessel whose size the book does not know is no amount; give its --mark, or litres such as `about 12 L`."],
    );
    cellar.check(
        "here",
        &[("name", "A"), ("holds", "Damson"), ("amount", "blue")],
        "refused: `blue` is no volume: write it in L, mL, gal, qt, pt, fl oz, tbsp or tsp; `about 12 L`, `20 to 22 L`, `half full`, `nearly full` or `?` will do.",
    );
    cellar.check(
        "here",
        &[("name", "A"), ("amount", "empty")],
        "A is here, empty.",
    );
}

#[test]
fn bottles_are_taken_in_any_words() {
    let cellar = Cellar::new();
    let check = |bottles: &str, expected: &str| {
        cellar.check("here", &[("name", "Plum"), ("bottles", bottles)], expected);
    };
    check("40", "40 bottles of Plum are here.");
    check("a dozen or so", "About 12 bottles of Plum are here.");
    check("20-25", "About 23 (20 to 25) bottles of Plum are here.");
    check("30?", "About 30 bottles of Plum are here.");
    check("1 case", "12 bottles of Plum are here.");
    check("some", "Bottles of Plum are here, not counted.");
    check(
        "blue",
        "refused: `blue` is not a whole number from 1 on; `about 40`, `20 to 25` and `two dozen` will do too.",
    );
}

#[test]
fn a_wine_of_any_name_is_taken_and_what_follows_is_said() {
    let cellar = Cellar::new();
    let check = |wine: &str, word: &str, said: &str| {
        let prepared = cellar
            .prepare("batch add", &[("name", "B"), ("wine", wine)])
            .unwrap();
        let set = prepared
            .draft
            .changes
            .iter()
            .find(|it| it.field == field::WINE);
        assert_eq!(set.unwrap().value, Some(Value::from(word)), "{wine}");
        assert_eq!(prepared.asks.join(" "), said);
    };
    check("red", "red", "");
    check("Dry white", "white", "");
    check("rosé", "rose", "");
    check("red wine", "red", "");
    check("fr", "fruit", "");
    check(
        "mead",
        "mead",
        "No kind is assumed for mead: its sulfite goes by what holds for wine in general.",
    );
    check(
        "rice wine",
        "rice wine",
        "No kind is assumed for rice wine: its sulfite goes by what holds for wine in general.",
    );
}

#[test]
fn wine_nobody_measured_is_there_and_is_found_as_it_leaves() {
    let mut cellar = Cellar::new();
    cellar
        .write(
            "here",
            &[("name", "A"), ("holds", "Damson"), ("amount", "?")],
        )
        .write("vessel add", &[("name", "B"), ("mark", "23 L")])
        .write("measure", &[("place", "A"), ("ph", "3.4")])
        .write("draw", &[("place", "A"), ("amount", "0.1 L")]);
    let amount = |cellar: &Cellar, name: &str| {
        let place = cellar.snapshot.find(Sort::Vessel, name).unwrap().key;
        let wine = cellar.snapshot.wine(place);
        wine.map_or_else(
            || "empty".to_owned(),
            crate::cellar::state::Wine::amount_words,
        )
    };
    assert_eq!(amount(&cellar, "A"), "amount not known");
    cellar.write("rack", &[("from", "A"), ("to", "B")]);
    assert_eq!(amount(&cellar, "A"), "empty");
    assert_eq!(amount(&cellar, "B"), "amount not known");
    cellar.write("adjust", &[("place", "B"), ("level", "about 21 L")]);
    assert_eq!(amount(&cellar, "B"), "about 21.0 L");
    cellar.check(
        "here",
        &[("name", "B"), ("amount", "22 L")],
        "refused: B holds about 21.0 L by the book already; `leesline adjust \"B\" --level \"about 20 L\"` corrects how much.",
    );
}

#[test]
fn bottles_nobody_counted_can_be_opened() {
    let mut cellar = Cellar::new();
    cellar
        .write("here", &[("name", "Plum"), ("bottles", "some")])
        .write("open", &[("run", "Plum"), ("count", "2")]);
    let run = cellar.snapshot.find(Sort::Run, "Plum").unwrap().key;
    let words = cellar.snapshot.wine(run).unwrap().count_words("bottle");
    assert_eq!(words, "bottles not counted");
}

/// Written anew as a plain one it would lose its points, or say which wine the letter is.
#[test]
fn a_tasting_is_told_back_by_its_sheet_or_its_letter() {
    let mut cellar = with_must();
    let to = [("to", "Carboy A=20 L"), ("to", "Demijohn 1=4 L")];
    cellar.write("rack", &[("from", "Bucket"), to[0], to[1]]);
    let oiv = ("points", "5 8 6 8 14 6 7 8 19 10");
    let carboy = ("place", "Carboy A");
    cellar.check_again("taste", &[carboy, ("words", "plum"), ("score", "14")]);
    cellar.check_again("taste", &[carboy, ("words", "flat"), ("act", "top up")]);
    cellar.check_again("taste", &[carboy, ("sheet", "oiv-2009"), oiv]);
    let wines = [("wines", "Carboy A; Demijohn 1")];
    cellar.check_again("blind start", &wines);
    let own = Thing {
        key: CELLAR,
        uid: Uuid::nil(),
        sort: Sort::Cellar,
        attributes: BTreeMap::new(),
    };
    cellar.snapshot.things.insert(CELLAR, own.into());
    cellar.write("blind start", &wines);
    cellar.check_again("blind taste", &[("letter", "B"), ("words", "plum")]);
    cellar.check_again("blind reveal", &[]);
}
