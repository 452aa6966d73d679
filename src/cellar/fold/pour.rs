//! Wine on the move: what leaves takes its make-up, its sulfite and its history along.

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Amount, Found, Kind, Movement, Property};
use crate::cellar::makeup;
use crate::cellar::state::{Deed, Known, Share, Unmeasured, Weighed, Wine};
use crate::cellar::thing::{Account, Key};

use super::{Fault, Flow, Step};

/// Below this share of the mix the smaller part leaves the larger's name and history alone
/// (common practice: a topping does not make a blend).
pub(in crate::cellar) const TOPPING_SHARE: f64 = 0.05;

/// Wine in the hose.
struct Parcel {
    volume: Volume,
    makeup: Vec<Share>,
    so2_added: Mass,
    so2_since_reading: Mass,
    weighed: Weighed,
    from: Source,
}

/// Where it comes from, with what is known of it.
enum Source {
    /// A vessel or run.
    Wine(Box<Wine>),
    /// An outside account.
    Outside(Account),
}

impl Step<'_> {
    pub(super) fn move_wine(&mut self) {
        for movement in &self.entry.draft.movements {
            if self.measure_first(movement) {
                continue;
            }
            let held = self.held(movement.from);
            let (from, to, volume) = match movement.amount {
                Amount::Exactly(volume) => (movement.from, movement.to, volume),
                Amount::RestLeaving(left) => {
                    (movement.from, movement.to, (held - left).max(Volume::ZERO))
                }
                Amount::LevelFound(level) if level > held => {
                    (movement.to, movement.from, level - held)
                }
                Amount::LevelFound(level) => (movement.from, movement.to, held - level),
                Amount::NotKnown => (movement.from, movement.to, Volume::ZERO),
            };
            if volume > Volume::ZERO {
                self.pour(from, to, volume, movement.batch);
            }
            if Account::from_key(movement.to).is_none() && movement.to != movement.from {
                self.wine(movement.to).about |= movement.about;
            }
            if let Amount::LevelFound(_) = movement.amount {
                self.wine(movement.from).about = movement.about;
                self.note_level(movement.from);
            }
        }
    }

    /// Wine of an amount nobody measured: it arrives, is found to be so much, or goes as it is. Says
    /// whether that was all there is to this movement.
    fn measure_first(&mut self, movement: &Movement) -> bool {
        let arrives = Account::from_key(movement.to).is_none();
        let (place, level) = match movement.amount {
            Amount::NotKnown => {
                let now = self.now();
                let wine = self.wine(movement.to);
                if wine.volume == Volume::ZERO {
                    wine.deeds.entry(Deed::Filled).or_insert(now);
                }
                if movement.from == Account::Must.key() {
                    wine.deeds.entry(Deed::Begun).or_insert(now);
                }
                wine.about = true;
                wine.unmeasured = Some(Unmeasured {
                    batch: movement.batch,
                });
                return true;
            }
            Amount::LevelFound(level) => (movement.from, level),
            // What a vessel taken over is found to hold, whatever left it before.
            Amount::Exactly(volume) if movement.from == Account::Before.key() && arrives => {
                (movement.to, volume)
            }
            Amount::RestLeaving(left) if self.unmeasured(movement.from).is_some() => {
                self.pour_unmeasured(movement, left);
                return true;
            }
            _ => return false,
        };
        let Some(unmeasured) = self.unmeasured(place) else {
            return false;
        };
        self.wine(place).unmeasured = None;
        let batch = movement.batch.or(unmeasured.batch);
        match level - self.held(place) {
            more if more > Volume::ZERO => self.pour(Account::Before.key(), place, more, batch),
            less if less < Volume::ZERO => {
                self.pour(place, Account::Difference.key(), -less, None);
            }
            _ => {}
        }
        let wine = self.wine(place);
        wine.about = movement.about;
        wine.so2_is_measured();
        self.note_level(place);
        true
    }

    /// That it was seen how much is there; of an empty vessel nothing is remembered.
    fn note_level(&mut self, place: Key) {
        let now = self.now();
        let wine = self.wine(place);
        if wine.volume > Volume::ZERO {
            wine.deeds.insert(Deed::LevelRead, now);
        }
    }

    fn unmeasured(&self, place: Key) -> Option<Unmeasured> {
        match self.ledger.states.get(&place) {
            Some(crate::cellar::state::State::Wine(wine)) => wine.unmeasured,
            _ => None,
        }
    }

    /// All but so much of wine nobody measured: what arrives is as unmeasured, what stays is found.
    fn pour_unmeasured(&mut self, movement: &Movement, left: Volume) {
        let (from, to) = (movement.from, movement.to);
        let source = self.wine(from).clone();
        let unmeasured = self.wine(from).unmeasured.take();
        if Account::from_key(to).is_none() && to != from {
            let now = self.now();
            let wine = self.wine(to);
            if wine.volume == Volume::ZERO && wine.unmeasured.is_none() {
                wine.inherit(&source);
                wine.deeds.insert(Deed::Filled, now);
            }
            wine.about = true;
            wine.unmeasured = unmeasured;
            wine.so2_added += source.so2_added;
            wine.so2_since_reading += source.so2_since_reading;
            wine.weighed += source.weighed;
            wine.allergens.extend(source.allergens.iter().cloned());
            wine.take_troubles(&source);
            self.wine(from).so2_added = Mass::ZERO;
            self.wine(from).so2_since_reading = Mass::ZERO;
            self.wine(from).weighed = Weighed::default();
            self.note_arrival(to);
            self.note_air(to);
        }
        let held = self.held(from);
        if held > left {
            self.pour(from, to, held - left, None);
        }
        if self.held(from) == Volume::ZERO {
            let bottles = std::mem::take(&mut self.wine(from).bottles);
            *self.wine(from) = Wine {
                bottles,
                ..Wine::default()
            };
        }
        let found = left - self.held(from);
        if found > Volume::ZERO {
            let batch = unmeasured.and_then(|it| it.batch);
            self.pour(Account::Before.key(), from, found, batch);
        }
    }

    fn note_arrival(&mut self, to: Key) {
        let now = self.now();
        let deed = match self.entry.draft.kind {
            Kind::Rack => Deed::Racked,
            Kind::Press => Deed::Pressed,
            Kind::TopUp => Deed::ToppedUp,
            _ => return,
        };
        let wine = self.wine(to);
        // One racking may be many pours.
        let before = wine
            .when(deed)
            .filter(|it| deed == Deed::Racked && *it < now);
        wine.deeds.extend(before.map(|it| (Deed::RackedBefore, it)));
        wine.deeds.insert(deed, now);
    }

    /// Volume in a vessel or run; an account is bottomless and holds nothing.
    pub(super) fn held(&self, place: Key) -> Volume {
        match self.ledger.states.get(&place) {
            Some(crate::cellar::state::State::Wine(wine)) => wine.volume,
            _ => Volume::ZERO,
        }
    }

    /// Pours so much, named as `batch` where it arrives if one is given.
    pub(super) fn pour(&mut self, from: Key, to: Key, volume: Volume, batch: Option<Key>) {
        let mut parcel = self.take(from, volume, batch);
        self.outcome.flows.push(Flow {
            from,
            to,
            volume,
            makeup: parcel.makeup.clone(),
        });
        if Account::from_key(to).is_some() {
            return;
        }
        if let Some(batch) = batch {
            parcel.makeup = vec![Share {
                batch: Some(batch),
                volume,
            }];
        }
        self.put(to, parcel);
        self.note_air(to);
    }

    fn take(&mut self, from: Key, volume: Volume, batch: Option<Key>) -> Parcel {
        if let Some(account) = Account::from_key(from) {
            let makeup = vec![Share { batch, volume }];
            let from = Source::Outside(account);
            return Parcel {
                volume,
                makeup,
                so2_added: Mass::ZERO,
                so2_since_reading: Mass::ZERO,
                weighed: Weighed::default(),
                from,
            };
        }
        let unmeasured = self.unmeasured(from);
        if let Some(unmeasured) = unmeasured
            && volume > self.held(from)
        {
            // It was there all along: what leaves shows how much at least.
            let found = volume - self.held(from);
            self.pour(Account::Before.key(), from, found, unmeasured.batch);
        }
        let held = self.held(from);
        if volume > held {
            self.find(
                from,
                Fault::BelowZero {
                    held,
                    taken: volume,
                },
            );
        }
        let history = Box::new(self.wine(from).clone());
        let mut makeup = std::mem::take(&mut self.wine(from).makeup);
        let taken = makeup::take(&mut makeup, volume, &self.ledger.things);
        let wine = self.wine(from);
        wine.makeup = makeup;
        let along = |whole: Mass| Mass(Volume(whole.0).share(volume.0.min(held.0), held.0).0);
        let (so2_added, so2_since_reading) = (along(wine.so2_added), along(wine.so2_since_reading));
        wine.so2_added -= so2_added;
        wine.so2_since_reading -= so2_since_reading;
        let weighed = wine.weighed.part(along);
        wine.weighed -= weighed;
        wine.volume -= volume;
        if wine.volume == Volume::ZERO && wine.unmeasured.is_none() {
            // An empty vessel remembers nothing; a run still knows its bottles, and who has some.
            *wine = Wine {
                bottles: std::mem::take(&mut wine.bottles),
                astray: wine.astray.take(),
                ..Wine::default()
            };
        }
        Parcel {
            volume,
            makeup: taken,
            so2_added,
            so2_since_reading,
            weighed,
            from: Source::Wine(history),
        }
    }

    fn put(&mut self, to: Key, mut parcel: Parcel) {
        let now = self.now();
        if let Source::Outside(
            Account::Water | Account::Spirit | Account::Volume | Account::Difference,
        ) = parcel.from
        {
            let here = self.wine(to).makeup.clone();
            parcel.makeup = makeup::pro_rata(&here, parcel.volume, &self.ledger.things);
        }
        let comes_back = matches!(parcel.from, Source::Outside(Account::Given));
        if comes_back {
            // It is the same wine as that beside which it comes to lie, sulfite and all.
            let wine = self.wine(to);
            let share = |whole: Mass| {
                Mass(
                    Volume(whole.0)
                        .share(parcel.volume.0, wine.volume.0.max(1))
                        .0,
                )
            };
            let (so2_added, since) = (share(wine.so2_added), share(wine.so2_since_reading));
            (parcel.so2_added, parcel.so2_since_reading) = (so2_added, since);
            parcel.weighed = wine.weighed.part(share);
        }
        let wine = self.wine(to);
        let mut mixed = false;
        let before = wine.volume.max(Volume::ZERO);
        // Into wine nobody measured, anything measured is taken as a topping.
        let arriving = match wine.unmeasured {
            Some(_) => 0.0,
            None => parcel.volume.0 as f64 / (before + parcel.volume).0.max(1) as f64,
        };
        match &parcel.from {
            Source::Outside(account) => {
                if before == Volume::ZERO && wine.unmeasured.is_none() {
                    wine.deeds.insert(Deed::Filled, now);
                }
                if *account == Account::Must {
                    wine.deeds.entry(Deed::Begun).or_insert(now);
                }
                // Of a run that was drunk up nothing is remembered, what went in least of all.
                let is_made = matches!(account, Account::Before | Account::Bought)
                    || (comes_back && before == Volume::ZERO);
                if is_made && arriving >= TOPPING_SHARE {
                    wine.deeds.insert(Deed::BeforeBook, now);
                }
                let dilutes = *account != Account::Difference && !comes_back;
                if dilutes && (TOPPING_SHARE..1.0).contains(&arriving) {
                    for known in wine.known.values_mut() {
                        known.estimated = true;
                    }
                    mixed = true;
                }
            }
            Source::Wine(source) if arriving >= 1.0 - TOPPING_SHARE => {
                wine.inherit(source);
                wine.deeds.insert(Deed::Filled, now);
            }
            Source::Wine(source) if arriving >= TOPPING_SHARE => {
                let of_both = wine.in_both(source);
                if source.main_batch() == wine.main_batch() {
                    wine.meet_its_own(source, arriving);
                } else {
                    wine.meet(source, arriving);
                    mixed = true;
                    wine.deeds.insert(Deed::Blended, now);
                }
                wine.deeds.extend(of_both);
            }
            Source::Wine(_) => {}
        }
        if let Source::Wine(source) = &parcel.from {
            wine.allergens.extend(source.allergens.iter().cloned());
            wine.take_troubles(source);
            wine.about |= source.about;
        }
        wine.volume += parcel.volume;
        wine.so2_added += parcel.so2_added;
        wine.so2_since_reading += parcel.so2_since_reading;
        wine.weighed += parcel.weighed;
        makeup::join(&mut wine.makeup, &parcel.makeup);
        if mixed {
            wine.so2_begins_anew();
        }
        self.note_arrival(to);
    }
}

impl Wine {
    /// Takes over what is known of the wine that fills this place.
    fn inherit(&mut self, source: &Wine) {
        self.deeds.clone_from(&source.deeds);
        self.known.clone_from(&source.known);
        self.gravities.clone_from(&source.gravities);
        self.malics.clone_from(&source.malics);
        self.so2.clone_from(&source.so2);
    }

    /// Whatever is wrong with a part may be wrong with the whole; the earliest mark stands.
    fn take_troubles(&mut self, source: &Wine) {
        for (fault, at_ms) in &source.troubles {
            let since = self.troubles.entry(fault.clone()).or_insert(*at_ms);
            *since = (*since).min(*at_ms);
        }
    }

    /// What is not known of the sulfite of either is not known of both, and the second part of a fining that one waits for goes
    /// into both.
    fn in_both(&self, source: &Wine) -> Vec<(Deed, i64)> {
        [
            Deed::BeforeBook,
            Deed::Unweighed,
            Deed::UnweighedUntested,
            Deed::HalfFined,
        ]
        .into_iter()
        .filter_map(|it| Some((it, self.when(it).max(source.when(it))?)))
        .collect()
    }

    /// Wine of the same batch comes back: the larger part's history stands.
    fn meet_its_own(&mut self, source: &Wine, arriving: f64) {
        if arriving > 0.5 {
            let filled = self.deeds.get(&Deed::Filled).copied();
            self.inherit(source);
            self.deeds.extend(filled.map(|at| (Deed::Filled, at)));
        }
    }

    /// Two wines become one: what was measured of both is estimated by volume, what was known of
    /// one is unknown, and a protection holds only if both had it.
    fn meet(&mut self, source: &Wine, arriving: f64) {
        self.known = self
            .known
            .iter()
            .filter_map(|(property, here)| {
                let there = source.known.get(property)?;
                Some((*property, here.mixed_with(there, arriving)?))
            })
            .collect();
        self.gravities.clear();
        self.malics.clear();
        for protection in [
            Deed::MaloFinished,
            Deed::Sorbated,
            Deed::SterileFiltered,
            Deed::Degassed,
            Deed::Fined,
            Deed::Racked,
            Deed::RackedBefore,
            Deed::Sulfited,
        ] {
            let both = self
                .when(protection)
                .zip(source.when(protection))
                .map(|(here, there)| here.min(there));
            self.deeds.remove(&protection);
            self.deeds.extend(both.map(|at| (protection, at)));
        }
        for history in [
            Deed::Begun,
            Deed::Pitched,
            Deed::MaloStarted,
            Deed::Oaked,
            Deed::SorbateUnweighed,
            Deed::Sweetened,
            Deed::Sugared,
            Deed::Pressed,
        ] {
            let latest = self.when(history).max(source.when(history));
            self.deeds.extend(latest.map(|at| (history, at)));
        }
    }
}

impl Known {
    /// By volume; words that differ are nothing known. pH is no mean of its parts, so this is an
    /// estimate and marked as one.
    fn mixed_with(&self, other: &Known, arriving: f64) -> Option<Known> {
        let found = match (&self.found, &other.found) {
            (one, same) if one == same => one.clone(),
            (Found::Below(one), Found::Below(two)) => Found::Below(one.max(*two)),
            (Found::Below(below), other) => {
                let rest = other.number()? * arriving;
                Found::Between(rest, below * (1.0 - arriving) + rest)
            }
            (one, Found::Below(below)) => {
                let rest = one.number()? * (1.0 - arriving);
                Found::Between(rest, rest + below * arriving)
            }
            (one, two) => {
                Found::Number(one.number()? * (1.0 - arriving) + two.number()? * arriving)
            }
        };
        Some(Known {
            at_ms: self.at_ms.min(other.at_ms),
            found,
            estimated: true,
        })
    }
}

/// A property of wine that flows with it. Kept here so that `Property` stays a plain list.
impl Property {
    /// Whether a word can say that malolactic conversion is finished.
    pub(super) fn says_malo_finished(self, found: &Found) -> bool {
        // Below 0.1 g/L L-malic acid malolactic conversion counts as finished (from memory; many
        // laboratories take 0.03 to 0.3). A paper strip says it with a word.
        self == Property::Malic
            && match found {
                Found::Word(word) => matches!(word.as_str(), "gone" | "none" | "finished"),
                Found::Number(g_l) | Found::Below(g_l) => *g_l <= 0.1,
                Found::Between(_, high) => *high <= 0.1,
                Found::Above(_) => false,
            }
    }
}
