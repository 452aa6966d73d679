//! The large cellar: 2,000 vessels, 200,000 entries and a million bottles, a tenth of them in a slot
//! of their own. Made through the store's ordinary append, the same each time but for its uids.
//!
//! A thousand pairs of vessels live alike for six rounds of 200 days: the older wine of a pair leaves
//! its vessel, the younger is racked into it, and new must comes into the other.

use std::path::Path;

use leesline::cellar::amount::{Mass, Volume};
use leesline::cellar::entry::{
    Addition, Amount, BottleMove, Dose, Draft, Found, Kept, Kind, Movement, Posture, Property,
    Reading, Spot, Tasting,
};
use leesline::cellar::moment::Moment;
use leesline::cellar::thing::{Account, Key, Sort, Value, field};
use leesline::store::{Clock, Store};

const PAIRS: i64 = 1_000;
const ROUNDS: i64 = 6;
const DAYS: i64 = 200;
const DAY_MS: i64 = 86_400_000;
/// Noon of the day that the last round ends on, and that the program is told it is.
const END_MS: i64 = 1_795_608_000_000;
pub(crate) const TODAY: &str = "2026-11-25";

/// Its clock.
pub(crate) const CLOCK: Clock = Clock { now_ms: END_MS };

/// Writes it to a new file.
pub(crate) fn make(path: &Path) {
    let mut store = Store::create(path).unwrap();
    let begin = |number| -> Vec<Draft> { (0..PAIRS).map(|pair| vessel(pair, number)).collect() };
    let young = append(&mut store, &begin(1));
    let old = append(&mut store, &begin(2));
    let pairs: Vec<Pair> = (0..PAIRS)
        .zip(young.into_iter().zip(old))
        .map(Pair::of)
        .collect();
    for round in 0..ROUNDS {
        for (day, step) in STEPS {
            let drafts: Vec<Draft> = pairs.iter().map(|it| step(it, round, *day)).collect();
            append(&mut store, &drafts);
        }
    }
}

/// A reading of each vessel, at the end of it all.
pub(crate) fn readings(store: &Store) -> Vec<Draft> {
    let cellar = store.snapshot(moment(ROUNDS, 0, 0)).unwrap();
    let vessels = cellar.open(Sort::Vessel).map(|it| it.key);
    let reading = |it| Pair::of((0, (it, it))).free_so2(it, 20.0, ROUNDS, 0);
    vessels.map(reading).collect()
}

/// The first thing that each of those began.
fn append(store: &mut Store, drafts: &[Draft]) -> Vec<Key> {
    let written = store.append_all(drafts, CLOCK).unwrap();
    let first = |it: &leesline::store::Stamp| it.things.first().copied().unwrap_or(Key(0));
    written.entries.iter().map(first).collect()
}

/// Two vessels of one size: must and young wine in the first, older wine in the second.
struct Pair {
    number: i64,
    young: Key,
    old: Key,
}

type Step = fn(&Pair, i64, i64) -> Draft;

/// What happens in a round, by its day.
const STEPS: &[(i64, Step)] = &[
    (0, Pair::clear),
    (0, Pair::rack),
    (1, Pair::receive),
    (1, |it, round, day| it.sulfite(it.old, round, day)),
    (2, |it, round, day| {
        it.draft(Kind::Pitch, round, day).about(it.young)
    }),
    (3, |it, round, day| it.gravity(1.086, round, day)),
    (5, |it, round, day| it.gravity(1.070, round, day)),
    (7, |it, round, day| it.gravity(1.052, round, day)),
    (9, |it, round, day| it.gravity(1.035, round, day)),
    (11, |it, round, day| it.gravity(1.020, round, day)),
    (13, |it, round, day| it.gravity(1.008, round, day)),
    (15, |it, round, day| it.gravity(0.999, round, day)),
    (17, |it, round, day| it.gravity(0.996, round, day)),
    (20, |it, round, day| it.free_so2(it.old, 30.0, round, day)),
    (30, |it, round, day| it.ph(it.old, round, day)),
    (40, |it, round, day| it.free_so2(it.old, 28.0, round, day)),
    (40, |it, round, day| it.gravity(0.995, round, day)),
    (50, |it, round, day| it.gravity(0.995, round, day)),
    (56, |it, round, day| it.gravity(0.995, round, day)),
    (58, |it, round, day| {
        it.draft(Kind::Degas, round, day).about(it.young)
    }),
    (60, |it, round, day| it.free_so2(it.old, 27.0, round, day)),
    (70, Pair::sample),
    (80, |it, round, day| it.free_so2(it.old, 26.0, round, day)),
    (90, |it, round, day| it.taste(it.young, round, day)),
    (90, |it, round, day| it.taste(it.old, round, day)),
    (100, |it, round, day| it.free_so2(it.old, 25.0, round, day)),
    (100, |it, round, day| it.sulfite(it.young, round, day)),
    (101, |it, round, day| {
        it.free_so2(it.young, 35.0, round, day)
    }),
    (102, |it, round, day| it.ph(it.young, round, day)),
    (120, |it, round, day| it.free_so2(it.old, 24.0, round, day)),
    (140, |it, round, day| it.free_so2(it.old, 23.0, round, day)),
    (160, |it, round, day| it.free_so2(it.old, 22.0, round, day)),
    (180, |it, round, day| it.free_so2(it.old, 21.0, round, day)),
];

fn moment(round: i64, day: i64, pair: i64) -> Moment {
    let day = (round - ROUNDS) * DAYS + day;
    Moment {
        utc_ms: END_MS + day * DAY_MS + pair * 1_000,
        offset_min: 60,
    }
}

fn mark(pair: i64) -> Volume {
    Volume::litres([5.0, 11.4, 23.0, 54.0][(pair % 4) as usize])
}

fn vessel(pair: i64, number: i64) -> Draft {
    let mut draft = Draft::new(Kind::Vessel, moment(0, -1, pair));
    let vessel = draft.begin(Sort::Vessel, &format!("Carboy {pair}-{number}"));
    draft.set(vessel, field::KIND, "carboy");
    draft.set(vessel, field::MARK, mark(pair));
    draft.set(vessel, field::CLOSURE, "airlock");
    draft
}

impl Pair {
    fn of((number, (young, old)): (i64, (Key, Key))) -> Pair {
        Pair { number, young, old }
    }

    fn draft(&self, kind: Kind, round: i64, day: i64) -> Draft {
        Draft::new(kind, moment(round, day, self.number))
    }

    /// The older wine is given away; in the first round the bottles are here instead.
    fn clear(&self, round: i64, day: i64) -> Draft {
        if round == 0 {
            return self.bottles(day);
        }
        let mut draft = self.draft(Kind::Give, round, day);
        draft.pour(
            self.old,
            Account::Given.key(),
            Amount::RestLeaving(Volume::ZERO),
        );
        draft
    }

    /// The younger wine comes off its lees; in the first round an older one is here instead.
    fn rack(&self, round: i64, day: i64) -> Draft {
        if round == 0 {
            return self.enters(Kind::Here, Account::Before, self.old, "old wine", day);
        }
        let mut draft = self.draft(Kind::Rack, round, day);
        let lees = Volume(mark(self.number).0 / 20);
        draft.pour(self.young, self.old, Amount::RestLeaving(lees));
        draft.pour(
            self.young,
            Account::Lees.key(),
            Amount::RestLeaving(Volume::ZERO),
        );
        draft
    }

    fn receive(&self, round: i64, day: i64) -> Draft {
        let name = format!("must of round {round}");
        let mut draft = self.enters(Kind::Receive, Account::Must, self.young, &name, day);
        draft.when = moment(round, day, self.number);
        draft
    }

    fn enters(&self, kind: Kind, from: Account, to: Key, what: &str, day: i64) -> Draft {
        let mut draft = self.draft(kind, 0, day);
        let batch = draft.begin(Sort::Batch, &format!("Pair {}, {what}", self.number));
        draft.set(
            batch,
            field::WINE,
            ["red", "white", "fruit"][(self.number % 3) as usize],
        );
        draft.movements.push(Movement {
            from: from.key(),
            to,
            amount: Amount::Exactly(Volume(mark(self.number).0 * 9 / 10)),
            about: false,
            batch: Some(batch),
        });
        draft
    }

    /// A run of a thousand bottles: nine hundred in a bin, a hundred in slots.
    fn bottles(&self, day: i64) -> Draft {
        let pair = self.number;
        let mut draft = self.draft(Kind::Here, 0, day);
        let run = draft.begin(Sort::Run, &format!("Run {pair}"));
        let batch = draft.begin(Sort::Batch, &format!("Run {pair}, wine"));
        draft.set(run, field::SIZE, Value::Int(750));
        draft.set(run, field::CLOSURE, "cork");
        draft.set(run, field::FINISHED, Value::Int(draft.when.utc_ms));
        draft.movements.push(Movement {
            from: Account::Before.key(),
            to: run,
            amount: Amount::Exactly(Volume::millilitres(750 * 1_000)),
            about: false,
            batch: Some(batch),
        });
        let mut lay = |count: i64, at: String| {
            draft.bottles.push(BottleMove {
                run,
                size_ml: 750,
                count,
                from: Spot::Outside(Account::Before.key()),
                to: Spot::Kept(Kept::at(Posture::Lying, &at)),
                about: false,
            });
        };
        lay(900, format!("bin {pair}"));
        for slot in 0..100 {
            lay(1, format!("rack {pair}, {} {}", slot / 10, slot % 10));
        }
        draft
    }

    fn sulfite(&self, place: Key, round: i64, day: i64) -> Draft {
        let mut draft = self.draft(Kind::Add, round, day);
        let litres = mark(self.number).in_litres() * 0.9;
        draft.additions.push(Addition {
            place,
            substance: "potassium-metabisulfite".to_owned(),
            dose: Some(Dose::Mass(Mass((litres * 52_000.0) as i64))),
            so2: Mass((litres * 30_000.0) as i64),
            lot: None,
            calculation: String::new(),
        });
        draft
    }

    fn taste(&self, place: Key, round: i64, day: i64) -> Draft {
        let mut draft = self.draft(Kind::Taste, round, day);
        draft.tastings.push(Tasting {
            place,
            words: "plum, firm, clean".to_owned(),
            score: None,
            sheet: String::new(),
        });
        draft
    }

    fn sample(&self, round: i64, day: i64) -> Draft {
        let mut draft = self.draft(Kind::Draw, round, day);
        let amount = Amount::Exactly(Volume::millilitres(100));
        draft.pour(self.old, Account::Samples.key(), amount);
        draft
    }

    fn gravity(&self, found: f64, round: i64, day: i64) -> Draft {
        self.measure(self.young, Property::Gravity, found, round, day)
    }

    fn ph(&self, place: Key, round: i64, day: i64) -> Draft {
        let found = 3.2 + (self.number % 5) as f64 / 10.0;
        self.measure(place, Property::Ph, found, round, day)
    }

    fn free_so2(&self, place: Key, found: f64, round: i64, day: i64) -> Draft {
        self.measure(place, Property::FreeSo2, found, round, day)
    }

    fn measure(&self, place: Key, property: Property, found: f64, round: i64, day: i64) -> Draft {
        let mut draft = self.draft(Kind::Measure, round, day);
        draft.readings.push(Reading {
            place,
            property,
            found: Found::Number(found),
            typed: found.to_string(),
            instrument: String::new(),
            rule: String::new(),
        });
        draft
    }
}

/// A draft about a place.
trait About {
    fn about(self, place: Key) -> Draft;
}

impl About for Draft {
    fn about(mut self, place: Key) -> Draft {
        self.subject = Some(place);
        self
    }
}
