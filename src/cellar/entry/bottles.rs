//! Bottles in an entry: where they are and how they are kept, how they move, and how they are filled at the spout.

use serde::{Deserialize, Serialize};

use super::super::thing::{Key, must_stay_moist, read_word, words};

/// Where bottles are.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Spot {
    /// Kept in the cellar.
    Kept(Kept),
    /// Gone to, or come from, an outside account (a key of [`super::super::thing::Account`]).
    Outside(Key),
}

impl Spot {
    /// For whom or what, where they are in the cellar.
    pub fn kept_for(&self) -> Option<&str> {
        match self {
            Spot::Kept(kept) => Some(&kept.reserved),
            Spot::Outside(_) => None,
        }
    }
}

/// How and where bottles are kept.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Kept {
    /// Standing or lying.
    pub posture: Posture,
    /// Shelf, rack or slot, as loose as `shelf 2`; may be empty.
    pub at: String,
    /// Whom or what they are kept for; empty when free to drink.
    pub reserved: String,
    /// What a look found amiss with these bottles alone: `corks rising`; empty if nothing.
    pub found: String,
}

impl Kept {
    /// There, free to drink, with nothing amiss.
    pub fn at(posture: Posture, at: &str) -> Kept {
        Kept {
            posture,
            at: at.to_owned(),
            reserved: String::new(),
            found: String::new(),
        }
    }
}

words! {
    /// How bottles are kept.
    Posture {
        Standing "standing" "standing",
        Lying "lying" "lying",
        Unsaid "unsaid" "posture not said",
    }
}

impl Posture {
    /// How bottles so closed are kept when nobody says: corks lie to stay moist, caps stand, and of
    /// a closure nobody named it is not said.
    pub fn usual(closure: &str) -> Posture {
        match closure {
            "" => Posture::Unsaid,
            _ if must_stay_moist(closure) => Posture::Lying,
            _ => Posture::Standing,
        }
    }
}

impl Serialize for Posture {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.word())
    }
}

impl<'de> Deserialize<'de> for Posture {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Posture, D::Error> {
        read_word(from, Posture::from_word)
    }
}

/// Bottles moved: the second conserved unit.
#[derive(Clone, Debug, PartialEq)]
pub struct BottleMove {
    /// Of what run.
    pub run: Key,
    /// Nominal size, mL.
    pub size_ml: i64,
    /// How many.
    pub count: i64,
    /// From where.
    pub from: Spot,
    /// To where.
    pub to: Spot,
    /// The person said "about".
    pub about: bool,
}

words! {
    /// What happened at the filling spout.
    FillEvent {
        Filled "filled" "one more",
        Back "back" "one fewer",
        Spilled "spilled" "spilled",
        Drawn "drawn" "drawn to taste",
        Broken "broken" "broken",
        Refused "refused" "cork refused",
        NotSpilled "not-spilled" "spill taken back",
        NotDrawn "not-drawn" "draw taken back",
        NotBroken "not-broken" "breakage taken back",
        NotRefused "not-refused" "refused cork taken back",
    }
}

impl FillEvent {
    /// What takes it back.
    pub const fn opposite(self) -> FillEvent {
        match self {
            FillEvent::Filled => FillEvent::Back,
            FillEvent::Back => FillEvent::Filled,
            FillEvent::Spilled => FillEvent::NotSpilled,
            FillEvent::NotSpilled => FillEvent::Spilled,
            FillEvent::Drawn => FillEvent::NotDrawn,
            FillEvent::NotDrawn => FillEvent::Drawn,
            FillEvent::Broken => FillEvent::NotBroken,
            FillEvent::NotBroken => FillEvent::Broken,
            FillEvent::Refused => FillEvent::NotRefused,
            FillEvent::NotRefused => FillEvent::Refused,
        }
    }
}

/// One press at the filling spout. Append-only: each is on disk before the digit changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filling {
    /// Order within the run.
    pub sequence: i64,
    /// What happened.
    pub event: FillEvent,
    /// Nominal size of the bottle, or what was spilled, mL.
    pub size_ml: i64,
    /// How many at once: one at a tap, more when typed at the end.
    pub count: i64,
    /// When, UTC ms.
    pub at_ms: i64,
}

impl Filling {
    /// Bottles more that stand filled; below nought, fewer.
    pub const fn standing(&self) -> i64 {
        match self.event {
            FillEvent::Filled | FillEvent::NotBroken => self.count,
            FillEvent::Back | FillEvent::Broken => -self.count,
            _ => 0,
        }
    }

    /// What went amiss, and how often; below nought, how often that was taken back.
    pub const fn mishap(&self) -> Option<(FillEvent, i64)> {
        match self.event {
            FillEvent::Filled | FillEvent::Back => None,
            FillEvent::Spilled | FillEvent::Drawn | FillEvent::Broken | FillEvent::Refused => {
                Some((self.event, self.count))
            }
            FillEvent::NotSpilled
            | FillEvent::NotDrawn
            | FillEvent::NotBroken
            | FillEvent::NotRefused => Some((self.event.opposite(), -self.count)),
        }
    }
}
