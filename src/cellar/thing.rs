//! The things a cellar is made of: vessels, batches, supplies, bottling runs, plans, and the
//! outside accounts that wine comes from and goes to.
//!
//! A thing is an identity; all that is known of it is attributes set by entries. The last living
//! change of an attribute wins, whenever it was dated: a brim measured today held yesterday too.

use std::fmt;

use serde::de::{Deserializer, Visitor};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::amount::Volume;
use super::attributes::Attributes;
use super::shared::Shared;

/// Local key of a thing or an entry. Keys differ between copies of a cellar; uids do not.
/// In a draft a negative key stands for the draft's own new thing: `Key(-1)` is its first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Key(pub i64);

/// What sort of thing a thing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sort {
    /// An outside account, see [`Account`].
    Account,
    /// The cellar itself; its attributes are the settings.
    Cellar,
    /// Something that holds wine in bulk.
    Vessel,
    /// A wine, from must to drunk up.
    Batch,
    /// A lot of supply: powder, closures, yeast.
    Supply,
    /// A bottling run, or a lot of bottles that was there already.
    Run,
    /// A kit's day sheet or a recipe of one's own.
    Plan,
    /// A rack, bins or a case that bottles lie in.
    Rack,
    /// What drives corks into necks.
    Corker,
}

impl Sort {
    /// Every sort.
    pub const ALL: [Sort; 9] = [
        Sort::Account,
        Sort::Cellar,
        Sort::Vessel,
        Sort::Batch,
        Sort::Supply,
        Sort::Run,
        Sort::Plan,
        Sort::Rack,
        Sort::Corker,
    ];

    /// What people call it.
    pub const fn label(self) -> &'static str {
        match self {
            Sort::Run => "bottling run",
            other => other.word(),
        }
    }

    /// The word stored in the file and given to scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Sort::Account => "account",
            Sort::Cellar => "cellar",
            Sort::Vessel => "vessel",
            Sort::Batch => "batch",
            Sort::Supply => "supply",
            Sort::Run => "run",
            Sort::Plan => "plan",
            Sort::Rack => "rack",
            Sort::Corker => "corker",
        }
    }

    /// The sort of that word.
    pub fn from_word(word: &str) -> Option<Sort> {
        Sort::ALL.into_iter().find(|it| it.word() == word)
    }
}

macro_rules! accounts {
    ($($key:literal $name:ident $word:literal $sentence:literal)*) => {
        /// The outside: where wine comes from and goes to. Each is a thing with a fixed key.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Account { $(#[doc = $sentence] $name),* }

        impl Account {
            /// Every account.
            pub const ALL: &'static [Account] = &[$(Account::$name),*];

            /// Its fixed key, the same in every cellar file.
            pub const fn key(self) -> Key { match self { $(Account::$name => Key($key)),* } }

            /// Its word, as stored and as typed.
            pub const fn word(self) -> &'static str { match self { $(Account::$name => $word),* } }

            /// What it is for.
            pub const fn sentence(self) -> &'static str { match self { $(Account::$name => $sentence),* } }
        }
    };
}
accounts! {
    1 Before "before" "What was in the cellar before the book began."
    2 Must "must" "Must and juice."
    3 Bought "bought-wine" "Bought wine, a batch of its own."
    4 Water "water" "Water."
    5 Spirit "spirit" "Spirit and syrup."
    6 Volume "additions" "Sugar and other additions that bring a stated volume."
    7 Lees "lees" "Lees left behind."
    8 Pomace "pomace" "Pressed skins and pulp."
    9 Samples "samples" "Drawn to test or taste."
    10 Spills "spills" "Spilled."
    11 Evaporated "evaporated" "Lost to the air."
    12 Broken "broken" "Lost with broken glass."
    13 Drunk "drunk" "Drunk."
    14 Given "given" "Given away."
    15 Sold "sold" "Sold."
    16 Discarded "discarded" "Poured away."
    17 Difference "difference" "Found more or less than the book said."
    18 Empties "empties" "Empty bottles, before they are filled and after they are drunk."
}

impl Account {
    /// The account with that key.
    pub fn from_key(key: Key) -> Option<Account> {
        Account::ALL.iter().copied().find(|it| it.key() == key)
    }

    /// The account of that word.
    pub fn from_word(word: &str) -> Option<Account> {
        Account::ALL.iter().copied().find(|it| it.word() == word)
    }
}

/// The thing whose attributes are the settings.
pub const CELLAR: Key = Key(100);

/// An attribute's value, in SI or whole microlitres, micrograms, minor units of money.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Value {
    /// Whole number: microlitres, micrograms, milliseconds, a key.
    Int(i64),
    /// Any other quantity.
    Real(f64),
    /// Words.
    Text(String),
}

/// Told apart by its looks. Written out because serde's own untagged reading tries one after the
/// other, which is most of the time that a large cellar takes to open.
impl<'de> Deserialize<'de> for Value {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Value, D::Error> {
        struct AsItLooks;

        impl Visitor<'_> for AsItLooks {
            type Value = Value;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a number or words")
            }

            fn visit_i64<E>(self, number: i64) -> Result<Value, E> {
                Ok(Value::Int(number))
            }

            fn visit_u64<E>(self, number: u64) -> Result<Value, E> {
                Ok(i64::try_from(number).map_or(Value::Real(number as f64), Value::Int))
            }

            fn visit_f64<E>(self, number: f64) -> Result<Value, E> {
                Ok(Value::Real(number))
            }

            fn visit_str<E>(self, words: &str) -> Result<Value, E> {
                Ok(Value::Text(words.to_owned()))
            }
        }

        from.deserialize_any(AsItLooks)
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Value {
        Value::Text(text.to_owned())
    }
}

impl From<Volume> for Value {
    fn from(volume: Volume) -> Value {
        Value::Int(volume.0)
    }
}

/// A thing with all its attributes. The typed readings below are the only names attributes have.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// Local key.
    pub key: Key,
    /// The same in every copy of the cellar.
    pub uid: Uuid,
    /// What it is.
    pub sort: Sort,
    /// Last living value of each attribute.
    pub attributes: Attributes,
}

/// Things by key.
pub type Things = Shared<Thing>;

/// Attribute names, so that writer and reader cannot drift apart.
pub mod field {
    /// Name, unique among living things of a sort.
    pub const NAME: &str = "name";
    /// When it was retired, closed or used up, UTC ms.
    pub const CLOSED: &str = "closed_ms";
    /// Kind of vessel, of wine source, of supply.
    pub const KIND: &str = "kind";
    /// Working mark on the label, µL.
    pub const MARK: &str = "mark_ul";
    /// Measured volume to the brim, µL.
    pub const BRIM: &str = "brim_ul";
    /// Material of a vessel.
    pub const MATERIAL: &str = "material";
    /// Inner width of the neck, mm.
    pub const NECK: &str = "neck_mm";
    /// What closes it: airlock, bung, lid.
    pub const CLOSURE: &str = "closure";
    /// Room or shelf.
    pub const ROOM: &str = "room";
    /// Kind of wine: red, white, rosé, fruit, sweet.
    pub const WINE: &str = "wine";
    /// Whether malolactic conversion is wanted.
    pub const MALO: &str = "malo";
    /// Molecular SO2 to aim at, mg/L.
    pub const AIM: &str = "aim_molecular_mg_l";
    /// Vintage year.
    pub const VINTAGE: &str = "vintage";
    /// What a supply is: `potassium-metabisulfite`, `cork`, …
    pub const SUBSTANCE: &str = "substance";
    /// Unit a supply is counted in: `ug`, `ul`, `count` or `millitablet`.
    pub const UNIT: &str = "unit";
    /// Strength as % of theoretical yield when bought.
    pub const STRENGTH: &str = "strength_pct";
    /// SO2 that one tablet of a lot gives, as its label says, mg.
    pub const TABLET_SO2: &str = "tablet_so2_mg";
    /// When bought, UTC ms.
    pub const BOUGHT: &str = "bought_ms";
    /// When a person said that it was opened, UTC ms; its first use may be sooner, see `supplies::opened`.
    pub const OPENED: &str = "opened_ms";
    /// The last day on which it is as good as its maker says, UTC ms of that day's end.
    pub const BEST_BEFORE: &str = "best_before_ms";
    /// The maker's own lot number.
    pub const MAKERS_LOT: &str = "makers_lot";
    /// Why the last count found something else than the book had, in the person's words.
    pub const COUNTED_BECAUSE: &str = "counted_because";
    /// What costs are in, three letters of ISO 4217: `EUR`.
    pub const CURRENCY: &str = "currency";
    /// Cost in minor units of money.
    pub const COST: &str = "cost_minor";
    /// Vessel a run is filled from, a key.
    pub const VESSEL: &str = "vessel";
    /// Usual bottle size of a run, mL.
    pub const SIZE: &str = "size_ml";
    /// What a run is filled into: `bottle` where nobody said, `jug`, `bag-in-box`, `keg`.
    pub const PACKAGE: &str = "package";
    /// Of a run: the lees that were to stay behind as it was begun, microlitres.
    pub const LEES: &str = "lees_ul";
    /// Of a run that was counted anew once it was finished: what that took of each supply, a line for each:
    /// `112 1`, the lot's key and how many, below nought what was given back.
    pub const DRAWN_SINCE: &str = "drawn_since";
    /// Of a run whose empties or closures were counted while it was filled: what of each was off then, a line for each as before.
    pub const DRAWN_COUNTED: &str = "drawn_counted";
    /// Pressure over the air's that a keg is rated for, as printed on it, kPa.
    pub const RATING: &str = "rating_kpa";
    /// Pressure over the air's that a run is kept under, kPa.
    pub const PRESSURE: &str = "pressure_kpa";
    /// Two-character mark of a run.
    pub const RUN_MARK: &str = "run_mark";
    /// The mouth of empty bottles: `cork`, `crown-26`, …
    pub const FINISH: &str = "finish";
    /// Colour of glass.
    pub const COLOUR: &str = "colour";
    /// How far empty bottles are: `dirty`, `soaking`, `clean`, `sanitised`.
    pub const CLEANNESS: &str = "cleanness";
    /// When they were made as clean as that, UTC ms: what is sanitised stays so for a day.
    pub const CLEAN_SINCE: &str = "clean_since_ms";
    /// How many empty bottles of a lot were put out of use last.
    pub const OUT_LAST: &str = "out_last";
    /// Why, in the person's words.
    pub const OUT_BECAUSE: &str = "out_because";
    /// Whether the old labels are off empty bottles; 1 where they are.
    pub const DELABELLED: &str = "delabelled";
    /// What is to be done next in the kitchen before a run is filled: `gather`, `sanitise`, …
    pub const CHORE: &str = "chore";
    /// Since when, UTC ms.
    pub const CHORE_SINCE: &str = "chore_since_ms";
    /// When a run's filling was finished, UTC ms.
    pub const FINISHED: &str = "finished_ms";
    /// When bottles may first be drunk, UTC ms.
    pub const REST_UNTIL: &str = "rest_until_ms";
    /// Shape of a run's bottles.
    pub const SHAPE: &str = "shape";
    /// Slots in each row of a rack from the top, as `6,6,6` or `9,7,5`.
    pub const COLUMNS: &str = "columns";
    /// Names that a rack had before, one a line: places written down then still mean it.
    pub const FORMER_NAMES: &str = "former_names";
    /// The largest bottle that a slot of a rack takes, mL.
    pub const LARGEST: &str = "largest_ml";
    /// Bottles that a slot, bin or case has room for.
    pub const ROOM_FOR: &str = "room_for";
    /// When the bottles of a run may be drunk, as a person said, UTC ms.
    pub const WINDOW_OPENS: &str = "window_opens_ms";
    /// By when they should be, as a person said, UTC ms.
    pub const WINDOW_CLOSES: &str = "window_closes_ms";
    /// Style that the window of a run is reckoned from.
    pub const STYLE: &str = "style";
    /// Steps of a plan, as lines of text.
    pub const STEPS: &str = "steps";
    /// The cellar's zone.
    pub const ZONE: &str = "zone";
    /// Which gallon and spoon.
    pub const GALLON: &str = "gallon";
    /// What figures are shown in.
    pub const MEASURES: &str = "measures";
    /// Smallest step of the owned scale, g.
    pub const SCALE: &str = "scale_step_g";
    /// Smallest step of the owned syringe, mL.
    pub const SYRINGE: &str = "syringe_step_ml";
    /// Temperature the owned hydrometer was made for, °C.
    pub const HYDROMETER: &str = "hydrometer_c";
    /// Timers that were set and not stopped, one a line: when it is over (UTC ms), and what for.
    pub const TIMERS: &str = "timers";
    /// Keys of the wines of a blind tasting, the one under A first; empty when none is under way.
    pub const FLIGHT: &str = "flight";
    /// How a corker is set for which cork and bottle, one a line.
    pub const CORKER_SETTINGS: &str = "corker_settings";
    /// The size that a run was filled into last, as it was chosen at the spout, mL.
    pub const FILL_SIZE: &str = "fill_size_ml";
    /// Kegs, bags or jugs of a run that were begun and are not empty.
    pub const BEGUN: &str = "begun_count";
    /// What each of them holds, mL, one a line, the last begun last; less than all in a book from before that was written down.
    pub const BEGUN_SIZES: &str = "begun_sizes_ml";
    /// When the last of them was begun, UTC ms.
    pub const BEGUN_SINCE: &str = "begun_since_ms";
    /// The corker that a run is closed with, a key.
    pub const RUN_CORKER: &str = "run_corker";
    /// When two corks of a run were looked at before the rest, UTC ms.
    pub const CORKS_SEEN: &str = "corks_seen_ms";
    /// Length of the corks of a lot, mm.
    pub const CORK_LENGTH: &str = "cork_length_mm";
    /// Diameter of the corks of a lot, mm.
    pub const CORK_DIAMETER: &str = "cork_diameter_mm";
    /// How the corkers are set, as the person said it before each had a name of its own.
    pub const CORKER: &str = "corker";
    /// Begins the name of a threshold of the rules that was set for this cellar.
    pub const THRESHOLD: &str = "threshold:";
    /// Usual temperature of the cellar, °C.
    pub const TEMPERATURE: &str = "temperature_c";
    /// Whether free SO2 is tested here: `yes`, which is taken if nothing is said, or `no`.
    pub const SO2_TEST: &str = "so2_test";
    /// A date that is not known to the day, as the person said it.
    pub const SINCE_WORDS: &str = "since_words";
    /// Since when a vessel that was taken over has held its wine at the earliest, UTC ms.
    pub const HELD_SINCE: &str = "held_since_ms";
    /// The batch of that wine, a key.
    pub const HELD_BATCH: &str = "held_batch";
    /// The batch whose yeast ferments this one, where it was used again, a key.
    pub const YEAST_FROM: &str = "yeast_from";
}

/// Whether what closes a bottle is a cork that dries out standing.
pub fn must_stay_moist(closure: &str) -> bool {
    let closure = closure.to_lowercase();
    closure.contains("cork") && !closure.contains("synthetic")
}

impl Thing {
    /// The attribute as a whole number.
    pub fn int(&self, field: &str) -> Option<i64> {
        match self.attributes.get(field)? {
            Value::Int(value) => Some(*value),
            _ => None,
        }
    }

    /// The attribute as a number.
    pub fn real(&self, field: &str) -> Option<f64> {
        match self.attributes.get(field)? {
            Value::Int(value) => Some(*value as f64),
            Value::Real(value) => Some(*value),
            Value::Text(_) => None,
        }
    }

    /// The attribute as words; empty when not known.
    pub fn text(&self, field: &str) -> &str {
        match self.attributes.get(field) {
            Some(Value::Text(text)) => text,
            _ => "",
        }
    }

    /// Its name. Every living thing has one.
    pub fn name(&self) -> &str {
        self.text(field::NAME)
    }

    /// Whether it is in use: named, and not retired, closed or used up.
    pub fn is_open(&self) -> bool {
        !self.name().is_empty() && self.int(field::CLOSED).is_none()
    }

    /// Working mark of a vessel: the label's volume.
    pub fn mark(&self) -> Option<Volume> {
        self.int(field::MARK).map(Volume)
    }

    /// Measured brim of a vessel.
    pub fn brim(&self) -> Option<Volume> {
        self.int(field::BRIM).map(Volume)
    }

    /// What the vessel holds when full: the brim if measured, else the mark.
    pub fn capacity(&self) -> Option<Volume> {
        self.brim().or_else(|| self.mark())
    }

    /// Kind of vessel.
    pub fn vessel_kind(&self) -> VesselKind {
        VesselKind::from_word(self.text(field::KIND)).unwrap_or(VesselKind::Other)
    }

    /// Kind of wine.
    pub fn wine(&self) -> Wine {
        Wine::from_word(self.text(field::WINE)).unwrap_or(Wine::Unknown)
    }

    /// What wine it is, in the person's own word where that is none of the kinds.
    pub fn wine_words(&self) -> &str {
        match self.text(field::WINE) {
            "" => Wine::Unknown.label(),
            word => match Wine::from_word(word) {
                Some(kind) => kind.label(),
                None => word,
            },
        }
    }

    /// Whether malolactic conversion is wanted.
    pub fn malo(&self) -> Malo {
        Malo::from_word(self.text(field::MALO)).unwrap_or(Malo::Unknown)
    }
}

/// A word of a fixed list, read where it stands and not copied: a large cellar opens with a hundred
/// thousand of them.
pub(super) fn read_word<'de, D: Deserializer<'de>, T>(
    from: D,
    read: fn(&str) -> Option<T>,
) -> Result<T, D::Error> {
    struct Word<T>(fn(&str) -> Option<T>);

    impl<T> Visitor<'_> for Word<T> {
        type Value = T;

        fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
            f.write_str("a word of the list")
        }

        fn visit_str<E: serde::de::Error>(self, word: &str) -> Result<T, E> {
            (self.0)(word).ok_or_else(|| E::custom(format!("`{word}` is not in the list")))
        }
    }

    from.deserialize_str(Word(read))
}

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($variant:ident $word:literal $label:literal),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $(#[doc = $label] $variant),* }

        impl $name {
            /// Every one.
            pub const ALL: &'static [$name] = &[$($name::$variant),*];
            /// Every word, in the same order.
            pub const WORDS: &'static [&'static str] = &[$($word),*];
            /// Every label, in the same order.
            pub const LABELS: &'static [&'static str] = &[$($label),*];
            /// As stored and as typed.
            pub const fn word(self) -> &'static str { match self { $($name::$variant => $word),* } }
            /// As shown.
            pub const fn label(self) -> &'static str { match self { $($name::$variant => $label),* } }
            /// The one of that word.
            pub fn from_word(word: &str) -> Option<$name> {
                $name::ALL.iter().copied().find(|it| it.word() == word)
            }
        }
    };
}
pub(crate) use words;

words! {
    /// Kinds of vessel, told apart by their shape.
    VesselKind {
        Carboy "carboy" "carboy",
        Demijohn "demijohn" "demijohn",
        Bucket "bucket" "bucket",
        Tank "tank" "tank",
        Barrel "barrel" "barrel",
        Jug "jug" "jug",
        Keg "keg" "keg",
        Other "other" "vessel",
    }
}

words! {
    /// Kinds of wine that differ in their aim, ceiling and patience.
    Wine {
        Red "red" "red",
        White "white" "dry white",
        Rose "rose" "rosé",
        Fruit "fruit" "fruit wine",
        Sweet "sweet" "sweet wine",
        Unknown "unknown" "wine",
    }
}

words! {
    /// Whether malolactic conversion is wanted.
    Malo {
        Wanted "wanted" "wanted",
        Unwanted "unwanted" "not wanted",
        Unknown "unknown" "not decided",
    }
}
