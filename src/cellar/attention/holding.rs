//! What one place holds, with all that a question about it needs: the place, its wine, its batch,
//! the moment and the policy. Stage, forecast and gate are questions asked of it.

use std::cell::OnceCell;

use super::free_so2::Forecast;
use super::policy::Policy;
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Found, Property};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::{Kept, Snapshot};
use crate::cellar::state::{Deed, GRAVITY_SLACK, Known, State, Wine};
use crate::cellar::thing::{CELLAR, Key, Malo, Sort, Thing, Things, field};

/// What a vessel or a run holds, seen at a moment.
#[derive(Clone, Debug)]
pub struct Holding<'a> {
    /// The vessel or run.
    pub place: &'a Thing,
    /// Its wine.
    pub wine: &'a Wine,
    /// The batch that makes up most of it, if it is named.
    pub batch: Option<&'a Thing>,
    /// The moment it is seen at.
    pub now: Moment,
    /// Usual temperature of the cellar, °C.
    pub usual_c: Option<f64>,
    /// Another warmth that is supposed of the cellar.
    pub kept: Option<Kept>,
    /// Whether free SO2 is tested in this cellar.
    pub tests_so2: bool,
    /// The thresholds asked with.
    pub policy: &'a Policy,
    /// All things, for where its wine was before.
    pub(super) things: &'a Things,
    /// Worked out when first asked for: several rules ask one after another.
    pub(super) forecast: OnceCell<Option<Box<Forecast>>>,
}

impl<'a> Holding<'a> {
    /// What that vessel or run holds; `None` if there is no such place, or nothing in it.
    pub fn of(cellar: &'a Snapshot, place: Key, policy: &'a Policy) -> Option<Holding<'a>> {
        Holding::with(cellar, place, cellar.wine(place)?, policy)
    }

    /// What a run held whose bottles are all gone; `None` if it has some, or never had.
    pub fn used_up(cellar: &'a Snapshot, run: Key, policy: &'a Policy) -> Option<Holding<'a>> {
        match cellar.states.get(&run)?.as_ref() {
            State::Wine(wine) if !wine.is_there() && wine.when(Deed::UsedUp).is_some() => {
                Holding::with(cellar, run, wine, policy)
            }
            _ => None,
        }
    }

    fn with(
        cellar: &'a Snapshot,
        place: Key,
        wine: &'a Wine,
        policy: &'a Policy,
    ) -> Option<Holding<'a>> {
        Some(Holding {
            place: cellar.thing(place)?,
            wine,
            batch: wine.main_batch().and_then(|it| cellar.thing(it)),
            now: cellar.now,
            usual_c: cellar.thing(CELLAR).and_then(|it| it.real("temperature_c")),
            kept: cellar.kept,
            tests_so2: cellar
                .thing(CELLAR)
                .is_none_or(|it| it.text(field::SO2_TEST) != "no"),
            policy,
            things: &cellar.things,
            forecast: OnceCell::new(),
        })
    }

    /// The same place as if it held that wine.
    pub fn with_wine<'b>(&'b self, wine: &'b Wine) -> Holding<'b> {
        Holding {
            wine,
            forecast: OnceCell::new(),
            ..self.clone()
        }
    }

    /// Whether it is a run of bottles.
    pub fn is_bottled(&self) -> bool {
        self.place.sort == Sort::Run
    }

    /// Civil days from that instant to now.
    pub fn days(&self, since_ms: i64) -> i64 {
        self.now.days_since(self.now.at(since_ms))
    }

    /// Civil days since that was done.
    pub fn days_since(&self, deed: Deed) -> Option<i64> {
        self.wine.when(deed).map(|it| self.days(it))
    }

    /// `12 Sep 2026` of an instant, on the wall clock of now.
    pub(super) fn day(&self, at_ms: i64) -> String {
        self.now.at(at_ms).day_words()
    }

    /// Litres held; nothing where the book has gone below zero.
    pub fn litres(&self) -> f64 {
        self.wine.volume.in_litres().max(0.0)
    }

    /// What is known of a property, if it says anything as a number between these.
    pub(in crate::cellar) fn known_between(
        &self,
        property: Property,
        low: f64,
        high: f64,
    ) -> Option<(f64, &'a Known)> {
        let known = self.wine.known.get(&property)?;
        let number = known.found.number()?;
        (number >= low && number <= high).then_some((number, known))
    }

    /// The warmth that was measured of it last, °C; outside what yeast and bacteria bear it is a slip.
    pub(super) fn living_c(&self) -> Option<(f64, &'a Known)> {
        self.known_between(Property::Temperature, 0.0, 45.0)
    }

    /// Why nothing is known of what only a reading says: `never measured`, or that another wine went in since.
    pub fn unread(&self) -> String {
        self.wine.when(Deed::Blended).map_or_else(
            || "never measured".to_owned(),
            |at| format!("not measured since other wine went in on {}", self.day(at)),
        )
    }

    /// The gravity that the parts of a blend had when they were read last, by volume, and the earlier of those moments, UTC ms;
    /// `None` where it was read since, or a part never was.
    pub(super) fn gravity_by_parts(&self) -> Option<(f64, i64)> {
        let (gravity, known) = self.known_between(Property::Gravity, 0.9, 1.3)?;
        let is_of_parts = known.estimated && self.wine.gravities.is_empty();
        is_of_parts.then_some((gravity, known.at_ms))
    }

    /// When the parts of a blend were read that make a dry whole, UTC ms. It is no proof, so that it is taken as over only where
    /// the whole is as dry as wine that is finished: a part that still worked brings little then.
    pub(super) fn dry_by_parts(&self) -> Option<i64> {
        let (gravity, at_ms) = self.gravity_by_parts()?;
        (gravity <= self.policy.dry_gravity + GRAVITY_SLACK).then_some(at_ms)
    }

    /// What was found last of a property as a word, in small letters, and when.
    pub(in crate::cellar) fn word(&self, property: Property) -> Option<(String, i64)> {
        let known = self.wine.known.get(&property)?;
        match &known.found {
            Found::Word(word) => Some((word.trim().to_lowercase(), known.at_ms)),
            _ => None,
        }
    }

    /// Empty space above the wine, by the brim if measured, else by the mark; `None` when neither is
    /// known or the wine reaches above it.
    pub fn headspace(&self) -> Option<Volume> {
        if self.wine.unmeasured.is_some() {
            return None;
        }
        self.room_over(self.wine.volume)
    }

    /// The space that would be above so much wine in its vessel.
    pub(super) fn room_over(&self, volume: Volume) -> Option<Volume> {
        let room = self.place.capacity()? - volume.max(Volume::ZERO);
        (room >= Volume::ZERO).then_some(room)
    }

    /// The empty part of the vessel, 0–1.
    pub fn headspace_share(&self) -> Option<f64> {
        let capacity = self.place.capacity()?;
        (capacity > Volume::ZERO).then(|| {
            self.headspace()
                .map_or(0.0, |it| it.in_litres() / capacity.in_litres())
        })
    }

    /// Whether malolactic conversion is wanted for it.
    pub fn malo(&self) -> Malo {
        self.batch.map_or(Malo::Unknown, Thing::malo)
    }

    /// Whether malolactic conversion was found finished, and was not started again since.
    pub fn malo_is_finished(&self) -> bool {
        let finished = self.wine.when(Deed::MaloFinished);
        finished.is_some() && finished >= self.wine.when(Deed::MaloStarted)
    }

    /// Whether malolactic conversion runs, or is wanted and has not finished: no sulfite then.
    pub fn malo_is_open(&self) -> bool {
        !self.malo_is_finished()
            && (self.wine.when(Deed::MaloStarted).is_some() || self.malo() == Malo::Wanted)
    }
}
