//! One entry of the cellar book: one thing that happened, and what hangs on it.

mod bottles;

use leesline_calc::sulfite::powder_left_sd;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::amount::{Mass, Volume};
use super::moment::Moment;
use super::substance;
use super::thing::{Account, Key, Sort, Value, words};

pub use bottles::{BottleMove, FillEvent, Filling, Kept, Posture, Spot};

words! {
    /// What happened, in the trade's verbs.
    Kind {
        Here "here" "here already",
        Receive "receive" "received",
        Pitch "pitch" "pitched",
        Feed "feed" "fed",
        PunchDown "punch-down" "punched down",
        Press "press" "pressed",
        Rack "rack" "racked",
        TopUp "top-up" "topped up",
        Split "split" "split",
        Blend "blend" "blended",
        Draw "draw" "drew a sample",
        Measure "measure" "measured",
        Taste "taste" "tasted",
        Add "add" "added",
        Fine "fine" "fined",
        Filter "filter" "filtered",
        SterileFilter "sterile-filter" "filtered sterile",
        Degas "degas" "degassed",
        Chill "chill" "chilled",
        Warm "warm" "warmed",
        OakIn "oak-in" "oak in",
        OakOut "oak-out" "oak out",
        StartMalo "start-malo" "started malo",
        Sweeten "sweeten" "sweetened",
        Stabilise "stabilise" "stabilised",
        Cover "cover" "covered",
        Move "move" "moved",
        Bottle "bottle" "bottled",
        LayDown "lay-down" "laid down",
        Open "open" "opened",
        Give "give" "gave",
        Reserve "reserve" "reserved",
        Break "break" "broke",
        Discard "discard" "discarded",
        Unbottle "unbottle" "back to bulk",
        Lose "lose" "lost",
        Buy "buy" "bought",
        StockTake "stock-take" "took stock",
        Sanitise "sanitise" "sanitised",
        Adjust "adjust" "adjusted",
        Note "note" "noted",
        Jot "jot" "jotted",
        Plan "plan" "planned",
        Done "done" "done",
        Round "round" "cellar round",
        Snooze "snooze" "snoozed",
        Dismiss "dismiss" "dismissed",
        Vessel "vessel" "vessel change",
        Batch "batch" "batch change",
        Shelves "shelves" "rack change",
        Corker "corker" "corker set",
        Bottles "bottles" "bottles described",
        Back "back" "came back",
        Settings "settings" "settings",
        Trouble "trouble" "marked as troubled",
        TroubleOver "trouble-over" "trouble over",
        Void "void" "voided",
    }
}

/// An entry as the book holds it. A draft has the same shape without key, uid and recording time.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Local key, which is also the recording order.
    pub key: Key,
    /// Where it comes among the entries of its moment: its number, or that of what it was first written as.
    pub stands: i64,
    /// The same in every copy of the cellar.
    pub uid: Uuid,
    /// The real clock when it was written, UTC ms; orders nothing.
    pub recorded_ms: i64,
    /// What happened.
    pub draft: Draft,
    /// The later entry that voids this one, if any.
    pub voided_by: Option<Key>,
}

impl Entry {
    /// Fold order: when it happened, then as recorded, then by uid.
    pub fn order(&self) -> (i64, Key, Uuid) {
        (self.draft.when.utc_ms, self.key, self.uid)
    }

    /// Whether it still counts.
    pub fn is_living(&self) -> bool {
        self.voided_by.is_none()
    }
}

/// What an entry says. References to things are keys; negative keys are this draft's own new things.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// What happened.
    pub kind: Kind,
    /// When it happened.
    pub when: Moment,
    /// Initials of who did it; may be empty.
    pub by: String,
    /// Free words; may be empty.
    pub note: String,
    /// The thing it is about, where no movement, reading or addition says so.
    pub subject: Option<Key>,
    /// The entry this one cancels (kind void).
    pub voids: Option<Key>,
    /// The voided entry that this one re-enters.
    pub amends: Option<Key>,
    /// Whether that is brought back as it was, by undoing what took it away.
    pub restores: bool,
    /// The jot that this one was made from.
    pub from_jot: Option<Key>,
    /// Things that begin with this entry: `Key(-1)` is the first, `Key(-2)` the second.
    pub new_things: Vec<Sort>,
    /// Attributes set, in order.
    pub changes: Vec<Change>,
    /// Wine, water and lees moved.
    pub movements: Vec<Movement>,
    /// What was measured.
    pub readings: Vec<Reading>,
    /// What was put in.
    pub additions: Vec<Addition>,
    /// What was tasted.
    pub tastings: Vec<Tasting>,
    /// Bottles moved.
    pub bottles: Vec<BottleMove>,
    /// Supplies bought, used up or counted.
    pub supplies: Vec<SupplyMove>,
    /// Jobs that fall due: steps of a plan, oak to take out, part B.
    pub jobs: Vec<Job>,
    /// Jobs that this entry closes.
    pub closes: Vec<Key>,
    /// A reason put off or dismissed.
    pub silences: Vec<Silence>,
    /// Bottles filled one by one in the run that this entry starts; grows while the session is open.
    pub fillings: Vec<Filling>,
}

impl Draft {
    /// An entry of that kind with nothing hanging on it yet.
    pub fn new(kind: Kind, when: Moment) -> Draft {
        Draft {
            kind,
            when,
            by: String::new(),
            note: String::new(),
            subject: None,
            voids: None,
            amends: None,
            restores: false,
            from_jot: None,
            new_things: Vec::new(),
            changes: Vec::new(),
            movements: Vec::new(),
            readings: Vec::new(),
            additions: Vec::new(),
            tastings: Vec::new(),
            bottles: Vec::new(),
            supplies: Vec::new(),
            jobs: Vec::new(),
            closes: Vec::new(),
            silences: Vec::new(),
            fillings: Vec::new(),
        }
    }

    /// Begins a new thing and gives the key that the rest of the draft refers to it by.
    pub fn begin(&mut self, sort: Sort, name: &str) -> Key {
        self.new_things.push(sort);
        let key = Key(-(self.new_things.len() as i64));
        self.set(key, super::thing::field::NAME, name);
        key
    }

    /// Sets an attribute.
    pub fn set(&mut self, thing: Key, field: &'static str, value: impl Into<Value>) {
        self.changes.push(Change {
            thing,
            field: field.to_owned(),
            value: Some(value.into()),
        });
    }

    /// What it sets an attribute to.
    pub fn sets(&self, field: &str) -> Option<&Value> {
        let mut changes = self.changes.iter();
        changes.find(|it| it.field == field)?.value.as_ref()
    }

    /// What the keg, bag or jug that it begins holds, mL, where that was written down.
    pub fn begun_size(&self) -> Option<i64> {
        match self.sets(super::thing::field::BEGUN_SIZES) {
            Some(Value::Text(sizes)) => sizes.lines().last()?.parse().ok(),
            _ => None,
        }
    }

    /// Moves an amount.
    pub fn pour(&mut self, from: Key, to: Key, amount: Amount) {
        self.movements.push(Movement {
            from,
            to,
            amount,
            about: false,
            batch: None,
        });
    }

    /// The run that this entry begins, and the vessel it is filled from.
    pub fn run_begun(&self) -> Option<(Key, Key)> {
        let filled = self.filled_from();
        filled.filter(|_| self.new_things.contains(&Sort::Run))
    }

    /// The run of which this entry says that it is filled from here on, and from which vessel: as it is begun, as it is ready. The
    /// presses at the spout hang on the last of these. That its wine was racked into another vessel is no such entry.
    pub fn filled_from(&self) -> Option<(Key, Key)> {
        if self.kind != Kind::Bottle {
            return None;
        }
        let change = self
            .changes
            .iter()
            .find(|it| it.field == super::thing::field::VESSEL)?;
        match change.value {
            Some(Value::Int(vessel)) => Some((change.thing, Key(vessel))),
            _ => None,
        }
    }

    /// Every place whose contents this entry reaches, each once, in order of key.
    pub fn places(&self) -> Vec<Key> {
        let moved = self.movements.iter().flat_map(|it| [it.from, it.to]);
        let rest = self.readings.iter().map(|it| it.place);
        let rest = rest.chain(self.additions.iter().map(|it| it.place));
        let rest = rest.chain(self.additions.iter().filter_map(|it| it.lot));
        let rest = rest.chain(self.tastings.iter().map(|it| it.place));
        let rest = rest.chain(self.bottles.iter().map(|it| it.run));
        let poured_back = self.bottles.iter().filter_map(|it| match it.to {
            Spot::Outside(vessel) => Some(vessel),
            Spot::Kept(_) => None,
        });
        let rest = rest.chain(poured_back);
        let rest = rest.chain(self.supplies.iter().map(|it| it.lot));
        let rest = rest.chain(self.filled_from().map(|(run, _)| run));
        let mut places: Vec<Key> = moved.chain(rest).chain(self.subject).collect();
        places.retain(|key| Account::from_key(*key).is_none());
        places.sort_unstable();
        places.dedup();
        places
    }
}

/// An attribute set, or cleared.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Whose.
    pub thing: Key,
    /// Which; see [`super::thing::field`].
    pub field: String,
    /// To what; `None` clears it.
    pub value: Option<Value>,
}

/// An amount taken from one place to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Movement {
    /// From a vessel, a run or an account.
    pub from: Key,
    /// To a vessel, a run or an account.
    pub to: Key,
    /// How much.
    pub amount: Amount,
    /// The person said "about".
    pub about: bool,
    /// The batch, named only where wine enters from outside.
    pub batch: Option<Key>,
}

/// How much is moved. Everything but `Exactly` is resolved in the fold, so that an older entry
/// made later changes what was racked instead of being refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Amount {
    /// So many microlitres.
    Exactly(Volume),
    /// All but so much.
    RestLeaving(Volume),
    /// The level that was found in `from`: the difference, either way, goes to or comes from `to`.
    LevelFound(Volume),
    /// There is wine, and nobody has measured how much.
    NotKnown,
}

words! {
    /// What a reading is of.
    Property {
        Gravity "gravity" "gravity",
        Temperature "temperature_c" "temperature",
        Ph "ph" "pH",
        FreeSo2 "free_so2_mg_l" "free SO2",
        TotalSo2 "total_so2_mg_l" "total SO2",
        Ta "ta_g_l" "TA",
        Alcohol "alcohol_pct_vol" "alcohol",
        Sugar "residual_sugar_g_l" "residual sugar",
        Malic "malic" "malic acid",
        Volatile "va_g_l" "volatile acidity",
        Clarity "clarity" "clarity",
        Gas "gas" "gas in the wine",
        Corks "corks" "corks",
        Seepage "seepage" "seepage",
        Trouble "trouble" "trouble",
    }
}

/// What was measured, as typed and as understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Of what vessel or run.
    pub place: Key,
    /// Of what.
    pub property: Property,
    /// What was found, corrected.
    pub found: Found,
    /// Exactly what was typed: `1.012 at 68 °F`.
    pub typed: String,
    /// Instrument and its calibration; may be empty.
    pub instrument: String,
    /// Rule by which what was typed was corrected; empty if it was taken as it stands.
    pub rule: String,
}

/// A found value; a range, a bound and a word are values too.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Found {
    /// A number.
    Number(f64),
    /// Between two.
    Between(f64, f64),
    /// Below a bound: `<10`.
    Below(f64),
    /// Above a bound: `>50`.
    Above(f64),
    /// A word: strong, faint, gone; clear, hazy.
    Word(String),
}

impl Found {
    /// The middle of what is known as a number; a bound counts as itself.
    pub fn number(&self) -> Option<f64> {
        match self {
            Found::Number(value) | Found::Below(value) | Found::Above(value) => Some(*value),
            Found::Between(low, high) => Some(f64::midpoint(*low, *high)),
            Found::Word(_) => None,
        }
    }
}

/// Something put into the wine.
#[derive(Clone, Debug, PartialEq)]
pub struct Addition {
    /// Into what vessel.
    pub place: Key,
    /// What: `potassium-metabisulfite`, `bentonite`, `oak`, …
    pub substance: String,
    /// How much; a packet of unknown weight is an addition all the same.
    pub dose: Option<Dose>,
    /// SO2 it brings, running into the sum since the must.
    pub so2: Mass,
    /// The lot it drew down.
    pub lot: Option<Key>,
    /// The calculation that led to it, as JSON with calculator name and version; may be empty.
    pub calculation: String,
}

impl Addition {
    /// SO2 it brings if the powder is as strong as a fresh one: no ceiling is reckoned on less.
    pub fn so2_at_most(&self) -> Mass {
        let known = substance::known(&self.substance);
        match (known, self.dose) {
            (Some(known), Some(Dose::Mass(mass))) => {
                let fresh = Mass((mass.0 as f64 * known.so2_yield).round() as i64);
                self.so2.max(fresh)
            }
            _ => self.so2,
        }
    }

    /// How far off the SO2 it brings is (standard deviation) by the strength of its powder.
    pub fn so2_sd(&self) -> Mass {
        let fresh = self.so2_at_most().0 as f64;
        if self.so2.0 == 0 {
            return Mass::ZERO;
        }
        let sd = powder_left_sd(self.so2.0 as f64 / fresh);
        Mass((fresh * sd).round() as i64)
    }
}

/// An amount of a supply, in the unit its lot is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Dose {
    /// By weight.
    Mass(Mass),
    /// By volume.
    Volume(Volume),
    /// By number: corks, bottles.
    Count(i64),
    /// By number of packets, of something that would be weighed if it were not sold so.
    Packets(i64),
    /// By number of tablets, which may be broken, in thousandths of one.
    Tablets(i64),
}

impl Dose {
    /// The unit it is stored in, and that a lot of it is counted in.
    pub const fn unit(self) -> &'static str {
        match self {
            Dose::Mass(_) => "ug",
            Dose::Volume(_) => "ul",
            Dose::Count(_) => "count",
            Dose::Packets(_) => "packet",
            Dose::Tablets(_) => "millitablet",
        }
    }
}

/// What was tasted.
#[derive(Clone, Debug, PartialEq)]
pub struct Tasting {
    /// Of what vessel or run.
    pub place: Key,
    /// In the person's own words.
    pub words: String,
    /// Score, on the sheet's own scale.
    pub score: Option<f64>,
    /// Sheet used; empty for free words.
    pub sheet: String,
}

/// A supply bought, used up elsewhere, or counted.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyMove {
    /// Which lot.
    pub lot: Key,
    /// What became of it.
    pub change: SupplyChange,
}

/// What became of a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SupplyChange {
    /// So much came in (bought) or went out (negative: spilled, used for sanitizing).
    By(Dose),
    /// So much was found.
    Found(Dose),
    /// It came in, how much is not known.
    Unknown,
}

/// A job that falls due.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Key in the book; zero in a draft.
    pub key: Key,
    /// Vessel, run or batch it is about.
    pub subject: Key,
    /// What is to be done.
    pub title: String,
    /// When.
    pub due: Due,
    /// The verb that does it; empty when none does.
    pub verb: String,
}

/// When a job falls due.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Due {
    /// On a date, UTC ms.
    On(i64),
    /// When the gravity is at or below this, or on that date at the latest.
    AtGravity {
        /// Specific gravity, 20/20 °C.
        gravity: f64,
        /// UTC ms.
        latest_ms: Option<i64>,
    },
}

/// A reason put off or dismissed.
#[derive(Clone, Debug, PartialEq)]
pub struct Silence {
    /// What it was about.
    pub subject: Key,
    /// Which reason, by its identity, see attention.
    pub reason: String,
    /// Until when, UTC ms; `None` for good.
    pub until_ms: Option<i64>,
}

impl Silence {
    /// The words of the job that it puts off, if it is one: its identity is `job: rack, 2026-11-20`.
    pub fn job(&self) -> Option<&str> {
        let (_, job) = self.reason.split_once(": ")?;
        job.rsplit_once(", ").map(|it| it.0)
    }
}
