//! A small cellar made by hand, with a bit of everything that a screen must show.

use uuid::Uuid;

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::attention::{Policy, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::attributes::Attributes;
use crate::cellar::entry::{
    Addition, Amount, Dose, Draft, Entry, Found, Kind, Posture, Property, Reading, Tasting,
};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{
    BottleLot, Deed, GravityReading, Known, Share, So2Change, So2Event, State, Stock, Wine,
};
use crate::cellar::tasting::Tasted;
use crate::cellar::thing::{Account, CELLAR, Key, Sort, Thing, Value, field};
use crate::cellar::verbs::{self, Field, Group, Need, Prepared, Refusal, Takes, Verb};
use crate::tui::layers::form::Form;
use crate::tui::message::{Call, Facts, Preview, Told};

/// 25 Nov 2026, 18:00 in the cellar.
pub(super) const NOW: Moment = Moment {
    utc_ms: 1_795_626_000_000,
    offset_min: 60,
};
pub(super) const DEMIJOHN: Key = Key(200);
pub(super) const CARBOY: Key = Key(201);
const RUN: Key = Key(230);

fn days_ago(days: i64) -> i64 {
    NOW.utc_ms - days * 86_400_000
}

pub(super) fn thing(key: Key, sort: Sort, name: &str, attributes: &[(&str, Value)]) -> Thing {
    let mut all: Attributes = attributes
        .iter()
        .map(|(name, value)| ((*name).to_owned(), value.clone()))
        .collect();
    all.insert(field::NAME.to_owned(), name.into());
    Thing {
        key,
        uid: Uuid::nil(),
        sort,
        attributes: all,
    }
}

fn vessel(key: Key, name: &str, kind: &str, brim_l: f64) -> Thing {
    let brim = Volume::litres(brim_l).into();
    thing(
        key,
        Sort::Vessel,
        name,
        &[(field::KIND, kind.into()), (field::BRIM, brim)],
    )
}

fn batch(key: Key, name: &str, kind: &str) -> Thing {
    thing(key, Sort::Batch, name, &[(field::WINE, kind.into())])
}

pub(super) fn wine(batch: Key, litres: f64, begun: i64) -> Wine {
    let volume = Volume::litres(litres);
    let mut wine = Wine {
        volume,
        ..Wine::default()
    };
    wine.makeup.push(Share {
        batch: Some(batch),
        volume,
    });
    wine.deeds.insert(Deed::Begun, days_ago(begun));
    wine.deeds.insert(Deed::Pitched, days_ago(begun));
    wine
}

fn known(wine: &mut Wine, property: Property, value: f64, days: i64) {
    let found = Found::Number(value);
    if property == Property::FreeSo2 {
        let what = So2Change::Tested(found.clone());
        wine.so2.push(So2Event {
            at_ms: days_ago(days),
            what,
        });
    }
    wine.known.insert(
        property,
        Known {
            at_ms: days_ago(days),
            found,
            estimated: false,
        },
    );
}

fn reason(
    subject: Key,
    kind: ReasonKind,
    rank: Rank,
    due: i64,
    sentence: &str,
    verb: &'static str,
) -> Reason {
    Reason {
        subject,
        kind,
        due: NOW.plus_days(due),
        rank,
        weight: 1.0,
        sentence: sentence.to_owned(),
        suggestion: Suggestion {
            verb,
            values: Vec::new(),
            needs: Vec::new(),
        },
    }
}

/// Nothing at all.
pub(super) fn empty() -> Facts {
    Facts::with_reasons(Snapshot::empty(NOW), Policy::default(), Vec::new())
}

const FRUIT: Key = Key(220);
pub(super) const WHITE: Key = Key(221);
const ROSE: Key = Key(222);
const RED: Key = Key(223);

/// Seven vessels, a run of bottles, a bag of powder, four reasons.
pub(super) fn facts() -> Facts {
    let mut cellar = Snapshot::empty(NOW);
    cellar
        .things
        .extend(things().into_iter().map(|it| (it.key, it.into())));
    let states = states().into_iter();
    cellar
        .states
        .extend(states.map(|(key, it)| (key, it.into())));
    cellar.last_round_ms = Some(days_ago(5));
    Facts::with_reasons(cellar, Policy::default(), reasons())
}

/// The same with a blind tasting of two wines under way.
pub(super) fn blind() -> Facts {
    let mut facts = facts();
    let own = facts.cellar.things.get_mut(&CELLAR).unwrap();
    let places = format!("{} {}", DEMIJOHN.0, CARBOY.0);
    std::sync::Arc::make_mut(own)
        .attributes
        .insert(field::FLIGHT.to_owned(), places.as_str().into());
    facts
}

fn things() -> Vec<Thing> {
    vec![
        thing(
            CELLAR,
            Sort::Cellar,
            "Test cellar",
            &[("temperature_c", Value::Real(11.5))],
        ),
        vessel(DEMIJOHN, "Demijohn 2", "demijohn", 5.0),
        vessel(CARBOY, "Carboy A", "carboy", 23.0),
        vessel(Key(202), "Carboy B", "carboy", 18.9),
        vessel(Key(203), "Bucket", "bucket", 25.0),
        vessel(Key(204), "Steel tank", "tank", 50.0),
        vessel(Key(205), "Barrel", "barrel", 30.0),
        vessel(Key(206), "Jug", "jug", 3.8),
        batch(FRUIT, "Damson 26", "fruit"),
        batch(WHITE, "Riesling juice", "white"),
        batch(ROSE, "Regent rose 26", "rose"),
        batch(RED, "Elder 26", "red"),
        thing(RUN, Sort::Run, "Regent 25", &[]),
        thing(
            Key(240),
            Sort::Supply,
            "Lot 3",
            &[(field::SUBSTANCE, "potassium-metabisulfite".into())],
        ),
    ]
}

fn states() -> Vec<(Key, State)> {
    let mut damson = wine(FRUIT, 4.6, 62);
    known(&mut damson, Property::FreeSo2, 22.0, 12);
    let mut riesling = wine(WHITE, 22.7, 122);
    riesling.deeds.insert(Deed::Racked, days_ago(80));
    known(&mut riesling, Property::FreeSo2, 18.0, 41);
    known(&mut riesling, Property::Ph, 3.31, 74);
    let mut elder = wine(RED, 17.0, 6);
    for (days, gravity) in [(5, 1.082), (3, 1.060), (1, 1.034)] {
        elder.gravities.push(GravityReading {
            at_ms: days_ago(days),
            gravity,
            celsius: None,
            fed: None,
        });
    }
    let mut full = wine(ROSE, 18.9, 400);
    full.deeds.insert(Deed::Racked, days_ago(200));
    let mut bottled = wine(RED, 21.75, 500);
    bottled.deeds.insert(Deed::Bottled, days_ago(500));
    bottled.bottles.push(BottleLot {
        size_ml: 750,
        posture: Posture::Standing,
        at: "shelf 1".to_owned(),
        reserved: String::new(),
        found: String::new(),
        count: 29,
    });
    let mut aged = wine(RED, 29.5, 700);
    aged.deeds.insert(Deed::Racked, days_ago(300));
    let stock = Stock {
        left: Some(Dose::Mass(Mass::grams(142.0))),
        ..Stock::default()
    };
    vec![
        (DEMIJOHN, State::from(damson)),
        (CARBOY, State::from(riesling)),
        (Key(202), State::from(full)),
        (Key(203), State::from(elder)),
        (Key(205), State::from(aged)),
        (RUN, State::from(bottled)),
        (Key(240), State::Supply(stock)),
    ]
}

fn reasons() -> Vec<Reason> {
    vec![
        reason(
            DEMIJOHN,
            ReasonKind::Lees,
            Rank::Now,
            -6,
            "34 days on gross lees: into the 3.8 L jug and a 375 mL bottle",
            "rack",
        ),
        reason(
            CARBOY,
            ReasonKind::SulfiteLow,
            Rank::Now,
            0,
            "free SO2 about 15 (12–19) mg/L, aim 26: below it now",
            "dose",
        ),
        reason(
            RUN,
            ReasonKind::LayDown,
            Rank::Soon,
            1,
            "29 bottles standing 2 days, corks level",
            "lay-down",
        ),
        reason(
            CELLAR,
            ReasonKind::Round,
            Rank::Later,
            2,
            "airlocks, films and corks not looked at for 5 days",
            "round",
        ),
    ]
}

/// Names that break rows, and volumes that no vessel holds.
pub(super) fn hostile() -> Facts {
    let mut facts = facts();
    let names = [
        "日本酒日本酒日本酒日本酒",
        "e\u{301}te\u{301} e\u{301}te\u{301} e\u{301}te\u{301} e\u{301}te\u{301}",
        "a\u{200b}b\u{200b}c",
        "A name that is far longer than any vessel deserves, or any row has room for",
        "two\nlines\t\u{7}",
        "مزرعة",
        "",
    ];
    for (at, name) in names.into_iter().enumerate() {
        let key = Key(300 + at as i64);
        facts
            .cellar
            .things
            .insert(key, vessel(key, name, "carboy", 0.0).into());
        let litres = [1e9, -3.0, 0.000_001][at % 3];
        facts
            .cellar
            .states
            .insert(key, State::from(wine(Key(220), litres, -5)).into());
        let mut wanted = facts.reasons[0].clone();
        wanted.subject = key;
        wanted.sentence = name.repeat(4);
        facts.reasons.insert(0, wanted);
    }
    Facts::with_reasons(facts.cellar, facts.policy, facts.reasons)
}

fn entry(key: i64, days: i64, kind: Kind, fill: impl FnOnce(&mut Draft)) -> Told {
    let mut draft = Draft::new(kind, NOW.plus_days(-days));
    fill(&mut draft);
    let entry = Entry {
        key: Key(key),
        stands: key,
        uid: Uuid::nil(),
        recorded_ms: 0,
        draft,
        voided_by: None,
    };
    Told {
        entry,
        flows: Vec::new(),
    }
}

fn measured(place: Key, property: Property, value: f64) -> Reading {
    Reading {
        place,
        property,
        found: Found::Number(value),
        typed: value.to_string(),
        instrument: String::new(),
        rule: String::new(),
    }
}

/// A short book, newest first.
pub(super) fn entries() -> Vec<Told> {
    let rest = Amount::RestLeaving(Volume::millilitres(600));
    let mut entries = vec![
        entry(9, 1, Kind::Measure, |it| {
            it.readings
                .push(measured(Key(203), Property::Gravity, 1.034));
        }),
        entry(8, 12, Kind::Measure, |it| {
            it.readings
                .push(measured(DEMIJOHN, Property::FreeSo2, 22.0));
            it.readings.push(measured(DEMIJOHN, Property::Ph, 3.4));
        }),
        entry(7, 40, Kind::Add, |it| {
            it.additions.push(Addition {
                place: DEMIJOHN,
                substance: "potassium-metabisulfite".to_owned(),
                dose: Some(Dose::Mass(Mass::grams(0.4))),
                so2: Mass::grams(0.23),
                lot: Some(Key(240)),
                calculation: String::new(),
            });
        }),
        entry(6, 41, Kind::Measure, |it| {
            it.readings.push(measured(DEMIJOHN, Property::FreeSo2, 9.0));
        }),
        entry(5, 80, Kind::Rack, |it| it.pour(Key(203), CARBOY, rest)),
        entry(4, 90, Kind::Jot, |it| {
            "blue lid smells of eggs".clone_into(&mut it.note);
        }),
        entry(3, 122, Kind::Receive, |it| {
            it.pour(
                Account::Must.key(),
                Key(203),
                Amount::Exactly(Volume::litres(23.3)),
            );
        }),
    ];
    entries[5].entry.voided_by = Some(Key(10));
    entries
}

pub(super) fn preview() -> Preview {
    Preview {
        told: entries().remove(0),
        is_undo: false,
        changes: vec!["Bucket: gravity 1.034 becomes 1.060.".to_owned()],
        refused: None,
    }
}

/// A verb to fill a form with: it pours an amount out.
pub(super) static POUR: Verb = Verb {
    name: "pour",
    sentence: "Pours an amount out.",
    group: Group::Wine,
    fields: &[
        Field {
            key: "vessel",
            label: "Vessel",
            help: "The vessel it comes from.",
            takes: Takes::FullVessel,
            need: Need::Required,
        },
        Field {
            key: "volume",
            label: "How much",
            help: "As measured, or `all`.",
            takes: Takes::Volume,
            need: Need::Required,
        },
        Field {
            key: "why",
            label: "Why",
            help: "What it was for.",
            takes: Takes::Choice(&["sample", "spilled"]),
            need: Need::Optional,
        },
        Field {
            key: "into",
            label: "Into",
            help: "Vessels with an amount each.",
            takes: Takes::Pours,
            need: Need::Many,
        },
        Field {
            key: "calculation",
            label: "",
            help: "",
            takes: Takes::Hidden,
            need: Need::Optional,
        },
    ],
    draft: |form, cellar| {
        let name = form.get("vessel").unwrap_or_default();
        let vessel = cellar
            .find(Sort::Vessel, name)
            .map_err(|it| Refusal::input("vessel", it.to_string()))?;
        let typed = form.get("volume").unwrap_or_default();
        let litres: f64 = typed.trim_end_matches(" L").parse().map_err(|_| {
            Refusal::input("volume", format!("`{typed}` is not a volume; write 22 L."))
        })?;
        let mut draft = Draft::new(Kind::Lose, cellar.now);
        draft.pour(
            vessel.key,
            Account::Spills.key(),
            Amount::Exactly(Volume::litres(litres)),
        );
        let asks = if litres > 5.0 {
            vec!["That is more than 5 L at once.".to_owned()]
        } else {
            Vec::new()
        };
        Ok(Prepared {
            draft,
            sentence: format!("Pour {litres} L out of {}.", vessel.name()),
            asks,
            loses: None,
        })
    },
};

/// A form of [`POUR`].
pub(super) fn form(call: &Call, facts: &Facts) -> Form {
    let _ = verbs::VERBS;
    Form::of(&POUR, call, facts).0
}

/// What was tasted, newest first: the damson twice, once on a sheet, the riesling once, a run blind.
pub(super) fn tastings() -> Vec<Tasted> {
    let tasted = |days: i64, batch: Option<Key>, place, words: &str, score, sheet: &str| Tasted {
        entry: Key(1),
        when: NOW.plus_days(-days),
        batch,
        tasting: Tasting {
            place,
            words: words.to_owned(),
            score,
            sheet: sheet.to_owned(),
        },
        act: (days == 90).then(|| "rack it off its lees".to_owned()),
        free_so2: Some(Found::Number(22.0)),
        gravity: Some(Found::Number(0.995)),
        ph: None,
        age_days: Some(300 - days),
    };
    let oiv = "oiv-2009: 5 8 6 8 14 6 7 8 19 10";
    vec![
        tasted(2, None, DEMIJOHN, "plum skin, smoke", Some(91.0), oiv),
        tasted(30, None, CARBOY, "peach, then a clean bite", None, ""),
        tasted(
            90,
            None,
            DEMIJOHN,
            "tart; leave it",
            Some(84.0),
            "oiv-2009: 4 8 5 7 14 5 7 7 16 11",
        ),
        tasted(95, None, DEMIJOHN, "closed", Some(13.0), ""),
    ]
}
