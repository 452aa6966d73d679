//! What a place holds after an entry: the running state that the fold carries and the store projects.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::{Deserialize, Serialize};

use super::amount::{Mass, Volume};
use super::entry::{Found, Posture, Property};
use super::levels::Fall;
use super::looks::Looks;
use super::lots;
use super::thing::{Key, Thing, field, read_word};

mod deed;
mod stock;

pub use deed::Deed;
pub use stock::{Draw, Stock};

/// What a place holds: wine with all that is known of it, or a lot of supply.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// A vessel, or a run of bottles.
    Wine(Box<Wine>),
    /// A lot of supply.
    Supply(Stock),
}

impl From<Wine> for State {
    fn from(wine: Wine) -> State {
        State::Wine(Box::new(wine))
    }
}

/// Wine in one place.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Wine {
    /// How much, lees included.
    #[serde(rename = "v")]
    pub volume: Volume,
    /// The volume was said as "about", and has not been measured since.
    #[serde(rename = "ab", default, skip_serializing_if = "is_false")]
    pub about: bool,
    /// Besides that volume there is wine nobody has measured.
    #[serde(rename = "nm", default, skip_serializing_if = "Option::is_none")]
    pub unmeasured: Option<Unmeasured>,
    /// Of which batches; sums to the volume. In order of key.
    #[serde(rename = "mk", default, skip_serializing_if = "Vec::is_empty")]
    pub makeup: Vec<Share>,
    /// SO2 added since the must to the wine that is here now. It travels with the wine.
    #[serde(rename = "so2", default, skip_serializing_if = "is_zero")]
    pub so2_added: Mass,
    /// Of that, what was added since free SO2 was last measured.
    #[serde(rename = "so2n", default, skip_serializing_if = "is_zero")]
    pub so2_since_reading: Mass,
    /// What else was weighed into the wine that is here now. It travels with the wine.
    #[serde(rename = "w", default, skip_serializing_if = "Weighed::is_none")]
    pub weighed: Weighed,
    /// What has been done to this wine and when; times are UTC ms.
    #[serde(rename = "d", default, skip_serializing_if = "BTreeMap::is_empty")]
    pub deeds: BTreeMap<Deed, i64>,
    /// Last reading of each property.
    #[serde(rename = "k", default, skip_serializing_if = "BTreeMap::is_empty")]
    pub known: BTreeMap<Property, Known>,
    /// Gravity readings of this wine, oldest first, the last twelve.
    #[serde(rename = "g", default, skip_serializing_if = "Vec::is_empty")]
    pub gravities: Vec<GravityReading>,
    /// Tests of malic acid of this wine, oldest first, the last four.
    #[serde(rename = "malic", default, skip_serializing_if = "Vec::is_empty")]
    pub malics: Vec<MalicTest>,
    /// What bears on the free SO2 of this wine, oldest first, the last twelve.
    #[serde(rename = "s", default, skip_serializing_if = "Vec::is_empty")]
    pub so2: Vec<So2Event>,
    /// Levels that it fell from since its vessel was filled and has not risen to again, oldest and highest first.
    #[serde(rename = "fl", default, skip_serializing_if = "Vec::is_empty")]
    pub falls: Vec<Fall>,
    /// Allergens that went in.
    #[serde(rename = "al", default, skip_serializing_if = "BTreeSet::is_empty")]
    pub allergens: BTreeSet<String>,
    /// Faults it was marked with that are not over, and since when, UTC ms. They travel with the wine.
    #[serde(rename = "tr", default, skip_serializing_if = "BTreeMap::is_empty")]
    pub troubles: BTreeMap<String, i64>,
    /// Bottles, for a run: lots at a position.
    #[serde(
        rename = "b",
        default,
        skip_serializing_if = "Vec::is_empty",
        with = "lots"
    )]
    pub bottles: Vec<BottleLot>,
    /// What went otherwise with bottles of a run, if any did.
    #[serde(rename = "r", default, skip_serializing_if = "Option::is_none")]
    pub astray: Option<Box<Astray>>,
    /// Looks at the bottles of a run, by what was looked at.
    #[serde(rename = "ls", default, skip_serializing_if = "BTreeMap::is_empty")]
    pub looks: BTreeMap<Property, Looks>,
}

/// What was weighed into a wine besides sulfite, where later questions ask how much.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Weighed {
    /// Potassium sorbate.
    #[serde(rename = "sb", default, skip_serializing_if = "is_zero")]
    pub sorbate: Mass,
    /// Sugar that it was sweetened with since its gravity was last measured.
    #[serde(rename = "sw", default, skip_serializing_if = "is_zero")]
    pub sweetened: Mass,
}

impl Weighed {
    /// Whether nothing of it is known to have gone in.
    pub fn is_none(&self) -> bool {
        *self == Weighed::default()
    }

    /// So much of each as `of` gives.
    pub(super) fn part(self, of: impl Fn(Mass) -> Mass) -> Weighed {
        Weighed {
            sorbate: of(self.sorbate),
            sweetened: of(self.sweetened),
        }
    }
}

impl std::ops::AddAssign for Weighed {
    fn add_assign(&mut self, more: Weighed) {
        self.sorbate += more.sorbate;
        self.sweetened += more.sweetened;
    }
}

impl std::ops::SubAssign for Weighed {
    fn sub_assign(&mut self, less: Weighed) {
        self.sorbate -= less.sorbate;
        self.sweetened -= less.sweetened;
    }
}

/// Bottles and closures of a run that are not among its bottles.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Astray {
    /// Bottles that broke as they were filled, by size in mL.
    #[serde(rename = "br", default, skip_serializing_if = "BTreeMap::is_empty")]
    pub broken: BTreeMap<i64, i64>,
    /// Closures that would not go in or hold.
    #[serde(rename = "rf", default, skip_serializing_if = "is_none_of_it")]
    pub refused: i64,
    /// Bottles that somebody was given and did not bring back, by name as first written; no name where nobody was named.
    #[serde(rename = "gv", default, skip_serializing_if = "BTreeMap::is_empty")]
    pub given: BTreeMap<String, i64>,
}

impl Astray {
    /// The name of somebody who has some, as first written, however it is written now.
    pub fn named(&self, whom: &str) -> Option<&str> {
        let whom = whom.to_lowercase();
        let mut names = self.given.keys().map(String::as_str);
        names.find(|it| it.to_lowercase() == whom)
    }

    /// How many somebody has.
    pub fn has(&self, whom: &str) -> i64 {
        let given = self.named(whom).and_then(|it| self.given.get(it));
        given.copied().unwrap_or_default()
    }
}

/// Wine of an amount nobody knows. What leaves it is found as it leaves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Unmeasured {
    /// Its batch; `None` for wine nobody named.
    #[serde(rename = "b", default, skip_serializing_if = "Option::is_none")]
    pub batch: Option<Key>,
}

/// A batch's share of what a place holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Share {
    /// The batch; `None` for wine nobody named.
    #[serde(rename = "b")]
    pub batch: Option<Key>,
    /// How much of it.
    #[serde(rename = "v")]
    pub volume: Volume,
}

/// Whether a reading of gas says that there was none.
pub fn says_no_gas(word: &str) -> bool {
    matches!(word, "none" | "gone" | "no" | "flat")
}

/// The last that is known of a property.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Known {
    /// When measured, UTC ms.
    #[serde(rename = "t")]
    pub at_ms: i64,
    /// What was found.
    #[serde(rename = "f")]
    pub found: Found,
    /// Worked out from the parts of a blend, not measured here.
    #[serde(rename = "e", default, skip_serializing_if = "is_false")]
    pub estimated: bool,
}

/// Gravities are decimals typed by hand, whose differences are not exact in binary: within this two are equal.
pub(in crate::cellar) const GRAVITY_SLACK: f64 = 1e-9;

/// One gravity reading.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct GravityReading {
    /// When, UTC ms.
    #[serde(rename = "t")]
    pub at_ms: i64,
    /// Specific gravity 20/20 °C, corrected.
    #[serde(rename = "g")]
    pub gravity: f64,
    /// How warm the wine was found by the same entry, °C; below a bound a little less than that.
    #[serde(rename = "c", default, skip_serializing_if = "Option::is_none")]
    pub celsius: Option<f64>,
    /// What sugar for the yeast raised it by after that, and before the next reading; zero where how much is not known.
    #[serde(rename = "s", default, skip_serializing_if = "Option::is_none")]
    pub fed: Option<f64>,
}

/// A fall that is no slip of the hydrometer.
const FALLEN: f64 = 0.010;

impl GravityReading {
    /// Sugar raised it by so much; zero where how much is not known, and then it stays so.
    pub(super) fn feed(&mut self, rise: f64) {
        let is_known = rise > 0.0 && !self.is_fed_unweighed();
        self.fed = Some(if is_known {
            self.fed.unwrap_or_default() + rise
        } else {
            0.0
        });
    }

    /// Whether sugar went in after it, and how much is not known.
    pub(super) fn is_fed_unweighed(&self) -> bool {
        self.fed.is_some_and(|it| it <= 0.0)
    }

    /// The highest of some readings, oldest first, where the last lies so far below it that the wine has fermented, or was watered;
    /// of several as high the first.
    pub(super) fn fell_from(readings: &[GravityReading]) -> Option<&GravityReading> {
        let last = readings.last()?;
        let latest_first = readings.iter().rev();
        let highest = latest_first.max_by(|one, other| one.gravity.total_cmp(&other.gravity))?;
        (highest.gravity - last.gravity >= FALLEN - GRAVITY_SLACK).then_some(highest)
    }
}

/// Something that bears on a wine's free SO2.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct So2Event {
    /// When, UTC ms.
    #[serde(rename = "t")]
    pub at_ms: i64,
    /// What.
    #[serde(rename = "w")]
    pub what: So2Change,
}

/// Malic acid as it was tested once.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MalicTest {
    /// When, UTC ms.
    #[serde(rename = "t")]
    pub at_ms: i64,
    /// What was found.
    #[serde(rename = "f")]
    pub found: Found,
}

/// What bears on free SO2.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum So2Change {
    /// A test found this.
    #[serde(rename = "r")]
    Tested(Found),
    /// Worked out from the tests of the parts of a blend, or before it was diluted.
    #[serde(rename = "e")]
    Estimated(Found),
    /// So much SO2 went in, micrograms per litre of the wine, and how far off that is by the strength of its powder (standard
    /// deviation): whole, so that it is read back as it was written.
    #[serde(rename = "a")]
    Added(i64, i64),
    /// So much SO2 went into wine that nobody had measured yet.
    #[serde(rename = "w")]
    AddedToUnmeasured(Mass, Mass),
    /// Sulfite went in, nobody knows how much.
    #[serde(rename = "u")]
    AddedUnknown,
    /// It met air; beside that how it was kept until then, if otherwise than since: in a tank before a carboy, before bottles.
    #[serde(rename = "o")]
    MetAir(Air, Option<KeptUntil>),
}

/// How wine meets air; of two in one moment the last of these tells both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Air {
    /// Its vessel was opened: topped up, drawn from.
    #[serde(rename = "o")]
    Opened,
    /// All that arrived was poured: racked, split off, blended, poured back out of bottles.
    #[serde(rename = "r")]
    Racked,
    /// It was filled into bottles.
    #[serde(rename = "b")]
    Bottled,
}

/// How wine was kept until it was moved, or its level changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptUntil {
    /// In which vessel.
    #[serde(rename = "p")]
    pub place: Key,
    /// How much of that was empty, thousandths: whole, so that it is read back as it was written.
    #[serde(rename = "e")]
    pub empty: i64,
}

/// Bottles of one size at one position.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BottleLot {
    /// Nominal size, mL.
    pub size_ml: i64,
    /// Standing or lying.
    pub posture: Posture,
    /// Where; may be empty.
    pub at: String,
    /// For whom or what they are kept; empty when free to drink.
    pub reserved: String,
    /// What a look found amiss with these bottles alone; empty if nothing.
    pub found: String,
    /// How many.
    pub count: i64,
}

/// Sulfite added since the must, as far as the book knows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SulfiteSoFar {
    /// All of it, mg/L.
    Whole(f64),
    /// At least so much, mg/L: some went in by an unknown weight, or before the book.
    AtLeast(f64),
    /// Some may have gone in before the book, and none is written down.
    NotBeforeTheBook,
    /// It went in by an unknown weight alone.
    Unweighed,
}

impl fmt::Display for SulfiteSoFar {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SulfiteSoFar::Whole(mg_l) => write!(f, "{mg_l:.0} mg/L since the must"),
            SulfiteSoFar::AtLeast(mg_l) => write!(f, "at least {mg_l:.0} mg/L since the must"),
            SulfiteSoFar::NotBeforeTheBook => f.write_str("not known before the book"),
            SulfiteSoFar::Unweighed => f.write_str("some, of unknown weight"),
        }
    }
}

/// Serde's `skip_serializing_if` wants a reference.
#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "the signature is serde's"
)]
pub(super) fn is_false(it: &bool) -> bool {
    !*it
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "the signature is serde's"
)]
const fn is_none_of_it(count: &i64) -> bool {
    *count == 0
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "the signature is serde's"
)]
fn is_zero(it: &Mass) -> bool {
    it.0 == 0
}

impl Wine {
    /// When that was done, UTC ms.
    pub fn when(&self, deed: Deed) -> Option<i64> {
        self.deeds.get(&deed).copied()
    }

    /// What part of it so much would be that comes to it, 0–1.
    pub fn share_of(&self, coming: Volume) -> f64 {
        coming.0 as f64 / (self.volume + coming).0.max(1) as f64
    }

    /// What a vessel held before it was written down, if it is one that was taken over full: its
    /// wine, in an amount nobody measured then.
    pub fn taken_over(vessel: &Thing, at_ms: i64) -> Option<Wine> {
        let since = vessel.int(field::HELD_SINCE)?;
        (since <= at_ms).then(|| Wine {
            about: true,
            unmeasured: Some(Unmeasured {
                batch: vessel.int(field::HELD_BATCH).map(Key),
            }),
            ..Wine::default()
        })
    }

    /// Whether there is any: wine, measured or not, or bottles.
    pub fn is_there(&self) -> bool {
        self.volume != Volume::ZERO || self.unmeasured.is_some() || self.bottle_count() != 0
    }

    /// `22.0 L`, `about 22.0 L`, `amount not known`.
    pub fn amount_words(&self) -> String {
        let about = if self.about { "about " } else { "" };
        match self.unmeasured {
            Some(_) => "amount not known".to_owned(),
            None => format!("{about}{}", self.volume),
        }
    }

    /// `40 bottles`, `about 40 bottles`, `bottles not counted`.
    pub fn count_words(&self, what: &str) -> String {
        match (self.bottle_count(), self.about) {
            (0, _) if self.unmeasured.is_some() => format!("{what}s not counted"),
            // One is one, however little is known of how much wine is in it.
            (1, _) => format!("1 {what}"),
            (count, false) => format!("{count} {what}s"),
            (count, true) => format!("about {count} {what}s"),
        }
    }

    /// The batch that makes up most of it, if any is named.
    pub fn main_batch(&self) -> Option<Key> {
        if let Some(unmeasured) = self.unmeasured {
            return unmeasured.batch;
        }
        let largest = self
            .makeup
            .iter()
            .max_by_key(|it| (it.volume, std::cmp::Reverse(it.batch)))?;
        largest.batch
    }

    /// The last known number of a property.
    pub fn number(&self, property: Property) -> Option<f64> {
        self.known.get(&property)?.found.number()
    }

    /// SO2 added since the must by known weights, mg/L of what is here.
    pub fn so2_added_mg_l(&self) -> f64 {
        if self.volume.0 <= 0 {
            0.0
        } else {
            self.so2_added.0 as f64 * 1e3 / self.volume.0 as f64
        }
    }

    /// SO2 added since the must, and whether that is all of it.
    pub fn sulfite_so_far(&self) -> SulfiteSoFar {
        let mg_l = self.so2_added_mg_l();
        let was_before = self.when(Deed::BeforeBook).is_some();
        let unweighed = self.when(Deed::Unweighed).is_some();
        match (was_before, unweighed) {
            (false, false) => SulfiteSoFar::Whole(mg_l),
            _ if self.so2_added.0 > 0 => SulfiteSoFar::AtLeast(mg_l),
            (_, true) => SulfiteSoFar::Unweighed,
            (true, false) => SulfiteSoFar::NotBeforeTheBook,
        }
    }

    /// Bottles on hand, of all sizes.
    pub fn bottle_count(&self) -> i64 {
        self.bottles.iter().map(|it| it.count).sum()
    }

    /// Nominal volume of the bottles on hand.
    pub fn nominal(&self) -> Volume {
        self.bottles
            .iter()
            .map(|it| Volume::millilitres(it.size_ml * it.count))
            .sum()
    }
}

/// A property is stored by its word, so that a state reads well in the file.
impl Serialize for Property {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.word())
    }
}

impl<'de> Deserialize<'de> for Property {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Property, D::Error> {
        read_word(from, Property::from_word)
    }
}
