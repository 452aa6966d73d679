//! A small cellar built by hand, for tests: one vessel with wine, days counted back from now.

use std::collections::BTreeMap;
use std::sync::Arc;

use uuid::Uuid;

use super::{Holding, Look, Policy, Reason, ReasonKind, Suggestion, attention};
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::attributes::Attributes;
use crate::cellar::bottling::{IN_SOME, LOOKED_AT};
use crate::cellar::entry::{Dose, Found, Posture, Property, Silence};
use crate::cellar::looks::Looks;
use crate::cellar::moment::{Moment, Zone};
use crate::cellar::snapshot::{PutOff, Snapshot};
use crate::cellar::state::{
    BottleLot, Deed, GravityReading, Known, MalicTest, Share, So2Change, So2Event, State, Stock,
    Wine,
};
use crate::cellar::thing::{Key, Sort, Thing, Value, field};
use crate::cellar::verbs::{self, Form};

/// The vessel that the builder's verbs are about.
pub(in crate::cellar) const CARBOY: Key = Key(201);
/// Its batch.
pub(in crate::cellar) const BATCH: Key = Key(301);
/// A run of bottles.
pub(in crate::cellar) const RUN: Key = Key(401);
/// A lot of potassium metabisulfite.
pub(in crate::cellar) const POWDER: Key = Key(501);

/// 25 Nov 2026, 18:00 at +01:00.
pub(in crate::cellar) const NOW: Moment = Moment {
    utc_ms: 1_795_626_000_000,
    offset_min: 60,
};

pub(in crate::cellar) fn policy() -> Policy {
    Policy::default()
}

/// That many days before now, UTC ms.
pub(in crate::cellar) fn days_ago(days: i64) -> i64 {
    NOW.plus_days(-days).utc_ms
}

/// The cellar under trial.
pub(in crate::cellar) struct Cellar(pub(in crate::cellar) Snapshot);

impl Cellar {
    /// A reason of that kind, due now, of which only kind and date matter.
    pub(in crate::cellar) fn reason_of(kind: ReasonKind) -> Reason {
        Reason {
            subject: CARBOY,
            kind,
            due: NOW,
            rank: super::Rank::Soon,
            weight: 0.0,
            sentence: String::new(),
            suggestion: Suggestion::default(),
        }
    }

    /// Nothing in it.
    pub(in crate::cellar) fn empty() -> Cellar {
        let mut cellar = Cellar(Snapshot::empty(NOW));
        // The round is another rule's; where it matters a test takes this away.
        cellar.0.last_round_ms = Some(NOW.utc_ms);
        cellar
    }

    /// One carboy of that brim with so much white wine in it, litres.
    pub(in crate::cellar) fn with_vessel(brim: f64, litres: f64) -> Cellar {
        let mut cellar = Cellar::empty();
        cellar.thing(CARBOY, Sort::Vessel, "Carboy A");
        cellar.set(CARBOY, field::KIND, "carboy");
        cellar.set(CARBOY, field::BRIM, Volume::litres(brim));
        cellar.thing(BATCH, Sort::Batch, "Riesling 26");
        cellar.set(BATCH, field::WINE, "white");
        cellar.set(BATCH, field::MALO, "unwanted");
        cellar.fill(CARBOY, litres);
        cellar
    }

    /// A run of so many standing 750 mL bottles, filled so many days ago.
    pub(in crate::cellar) fn with_bottles(count: i64, filled_days_ago: i64) -> Cellar {
        let mut cellar = Cellar::empty();
        cellar.thing(RUN, Sort::Run, "Regent 25");
        cellar.set(RUN, field::CLOSURE, "cork");
        cellar.0.states.insert(
            RUN,
            State::from(Wine {
                volume: Volume::millilitres(750 * count),
                deeds: BTreeMap::from([(Deed::Bottled, days_ago(filled_days_ago))]),
                bottles: vec![BottleLot {
                    size_ml: 750,
                    posture: Posture::Standing,
                    at: String::new(),
                    reserved: String::new(),
                    found: String::new(),
                    count,
                }],
                ..Wine::default()
            })
            .into(),
        );
        cellar
    }

    /// Adds a lot of potassium metabisulfite with so many grams left.
    pub(in crate::cellar) fn powder(&mut self, grams: f64) -> &mut Cellar {
        self.thing(POWDER, Sort::Supply, "Sulfite 1");
        self.set(POWDER, field::SUBSTANCE, "potassium-metabisulfite");
        self.stock(POWDER, Dose::Mass(Mass::grams(grams)))
    }

    /// Leaves so much of a lot.
    pub(in crate::cellar) fn stock(&mut self, lot: Key, left: Dose) -> &mut Cellar {
        let stock = Stock {
            left: Some(left),
            ..Stock::default()
        };
        self.0.states.insert(lot, State::Supply(stock).into());
        self
    }

    pub(in crate::cellar) fn thing(&mut self, key: Key, sort: Sort, name: &str) -> &mut Cellar {
        self.0.things.insert(
            key,
            Thing {
                key,
                uid: Uuid::nil(),
                sort,
                attributes: Attributes::default(),
            }
            .into(),
        );
        self.set(key, field::NAME, name)
    }

    pub(in crate::cellar) fn set(
        &mut self,
        key: Key,
        field: &str,
        value: impl Into<Value>,
    ) -> &mut Cellar {
        let thing = self.0.things.get_mut(&key).unwrap();
        let attributes = &mut Arc::make_mut(thing).attributes;
        attributes.insert(field.to_owned(), value.into());
        self
    }

    /// An empty vessel of that brim.
    pub(in crate::cellar) fn spare(
        &mut self,
        key: i64,
        name: &str,
        kind: &str,
        brim: f64,
    ) -> &mut Cellar {
        self.thing(Key(key), Sort::Vessel, name);
        self.set(Key(key), field::KIND, kind);
        self.set(Key(key), field::BRIM, Volume::litres(brim))
    }

    /// Puts a reason off until then, or for good, as said so many days ago.
    pub(in crate::cellar) fn put_off(
        &mut self,
        subject: Key,
        reason: &str,
        until_ms: Option<i64>,
        days: i64,
    ) -> &mut Cellar {
        self.0.silences.push(PutOff {
            silence: Silence {
                subject,
                reason: reason.to_owned(),
                until_ms,
            },
            entry: Key(900),
            said: NOW.plus_days(-days),
            why: String::new(),
        });
        self
    }

    /// Puts wine of the batch into a vessel.
    pub(in crate::cellar) fn fill(&mut self, vessel: Key, litres: f64) -> &mut Cellar {
        let volume = Volume::litres(litres);
        let wine = Wine {
            volume,
            makeup: vec![Share {
                batch: Some(BATCH),
                volume,
            }],
            ..Wine::default()
        };
        self.0.states.insert(vessel, State::from(wine).into());
        self
    }

    pub(in crate::cellar) fn wine(&mut self) -> &mut Wine {
        let key = if self.0.states.contains_key(&CARBOY) {
            CARBOY
        } else {
            RUN
        };
        self.wine_in(key)
    }

    pub(in crate::cellar) fn wine_in(&mut self, key: Key) -> &mut Wine {
        match self.0.states.get_mut(&key).map(Arc::make_mut) {
            Some(State::Wine(wine)) => wine,
            _ => panic!("the cellar under trial holds no wine"),
        }
    }

    pub(in crate::cellar) fn did(&mut self, deed: Deed, days: i64) -> &mut Cellar {
        self.wine().deeds.insert(deed, days_ago(days));
        self
    }

    pub(in crate::cellar) fn never(&mut self, deed: Deed) -> &mut Cellar {
        self.wine().deeds.remove(&deed);
        self
    }

    pub(in crate::cellar) fn knows(
        &mut self,
        property: Property,
        value: f64,
        days: i64,
    ) -> &mut Cellar {
        self.found(property, Found::Number(value), days)
    }

    pub(in crate::cellar) fn says(
        &mut self,
        property: Property,
        word: &str,
        days: i64,
    ) -> &mut Cellar {
        self.found(property, Found::Word(word.to_owned()), days)
    }

    pub(in crate::cellar) fn found(
        &mut self,
        property: Property,
        found: Found,
        days: i64,
    ) -> &mut Cellar {
        let known = Known {
            at_ms: days_ago(days),
            found,
            estimated: false,
        };
        if property == Property::FreeSo2 && known.found.number().is_some() {
            let what = So2Change::Tested(known.found.clone());
            self.so2(what, days);
        }
        if property == Property::Malic {
            let found = known.found.clone();
            let at_ms = known.at_ms;
            self.wine().malics.push(MalicTest { at_ms, found });
        }
        let is_of_some = matches!(&known.found, Found::Word(it) if it.ends_with(IN_SOME));
        if LOOKED_AT.contains(&property) && self.wine().bottle_count() > 0 && !is_of_some {
            let looks = Looks::at_all(self.wine().bottle_count(), known.at_ms);
            self.wine().looks.insert(property, looks);
        }
        self.wine().known.insert(property, known);
        self
    }

    /// What bore on its free SO2 so many days ago.
    pub(super) fn so2(&mut self, what: So2Change, days: i64) -> &mut Cellar {
        let series = &mut self.wine().so2;
        series.push(So2Event {
            at_ms: days_ago(days),
            what,
        });
        series.sort_by_key(|it| it.at_ms);
        self
    }

    /// So many mg/L of SO2 went in so many days ago.
    pub(in crate::cellar) fn sulfited(&mut self, mg_l: f64, days: i64) -> &mut Cellar {
        self.so2(So2Change::Added((mg_l * 1e3) as i64, 0), days);
        self.did(Deed::Sulfited, days)
    }

    /// Gravity readings, oldest first: days ago and gravity.
    pub(in crate::cellar) fn gravities(&mut self, readings: &[(i64, f64)]) {
        self.wine().gravities = readings
            .iter()
            .map(|&(days, gravity)| GravityReading {
                at_ms: days_ago(days),
                gravity,
                celsius: None,
                fed: None,
            })
            .collect();
    }

    /// A ferment long over and finished, racked and sulfited a while ago.
    pub(in crate::cellar) fn finished(&mut self) -> &mut Cellar {
        self.did(Deed::Pitched, 120).did(Deed::Degassed, 60);
        self.did(Deed::Racked, 60).did(Deed::Sulfited, 60);
        self.gravities(&[(80, 0.995), (70, 0.995), (62, 0.995)]);
        self.found(Property::Temperature, Found::Above(15.0), 62)
    }

    pub(in crate::cellar) fn holding<'a>(&'a self, policy: &'a Policy) -> Holding<'a> {
        Holding::of(&self.0, CARBOY, policy).unwrap()
    }

    /// The reason of that kind, if attention gives one.
    pub(in crate::cellar) fn reason(&self, kind: ReasonKind) -> Option<Reason> {
        let all = attention(&self.0, &policy());
        for reason in &all {
            self.can_do(&reason.suggestion);
        }
        all.into_iter().find(|it| it.kind == kind)
    }

    /// The working of the reason of that kind; empty if attention gives none.
    pub(in crate::cellar) fn working(&self, kind: ReasonKind) -> Vec<String> {
        let policy = policy();
        let look = Look::at(&self.0, &policy);
        self.reason(kind).map_or(Vec::new(), |it| look.working(&it))
    }

    /// Rank and sentence of the reason of that kind; empty if attention gives none.
    pub(in crate::cellar) fn says_why(&self, kind: ReasonKind) -> String {
        self.reason(kind).map_or(String::new(), |it| {
            let mark = match it.rank {
                super::Rank::Now => '!',
                super::Rank::Soon => '›',
                super::Rank::Later => ' ',
            };
            format!("{mark} {}", it.sentence)
        })
    }

    /// Every suggestion names a verb and fields that it has, and goes through as it stands when
    /// nothing is left to ask. The dosing pane and the count at the spout are screens of their own.
    pub(in crate::cellar) fn can_do(&self, suggestion: &Suggestion) {
        if matches!(suggestion.verb, "dose" | "bottle count") {
            return;
        }
        let verb = verbs::find(suggestion.verb);
        let verb = verb.unwrap_or_else(|| panic!("no verb `{}`", suggestion.verb));
        let filled = suggestion.values.iter().map(|it| it.0);
        for field in filled.chain(suggestion.needs.iter().copied()) {
            assert!(
                verb.fields
                    .iter()
                    .chain(verbs::COMMON)
                    .any(|it| it.key == field),
                "`{}` asks no `{field}`",
                verb.name
            );
        }
        let values = suggestion.values.iter();
        let form = Form::of(values.map(|(field, text)| (*field, text.as_str())));
        let now = verbs::when(&form, NOW, Zone::Fixed(60)).unwrap();
        if suggestion.needs.is_empty()
            && let Err(refusal) = verbs::prepare(verb, &form, &self.0, &now)
        {
            panic!("{suggestion:?} is refused: {refusal}");
        }
    }
}
