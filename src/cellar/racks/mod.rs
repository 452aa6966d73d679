//! Racks, bins and cases: their shape, and which of their slots a place means.
//!
//! A bottle's place stays the text that was typed, as loose as `shelf 2`. Only in the light of the
//! racks that there are does `Rack A/B3` mean a slot: one function reads it, [`Racks::read`].

mod stowed;

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

use super::attention::words::count;
use super::snapshot::distance;
use super::thing::{Key, Sort, Thing, Things, field, words};

pub use stowed::{Crowd, Fault, Held, Stowed, crowds, stowed};

words! {
    /// How a rack is divided.
    RackKind {
        Grid "grid" "rack",
        Bins "bins" "bins",
        Case "case" "case",
    }
}

/// Most rows: each has a letter.
pub const MOST_ROWS: usize = 26;
/// Most slots in a row.
pub const MOST_COLUMNS: u16 = 99;

impl RackKind {
    /// Bottles that a slot has room for unless it is said.
    pub const fn usual_room(self) -> i64 {
        match self {
            RackKind::Grid => 1,
            RackKind::Bins | RackKind::Case => 12,
        }
    }

    /// The largest bottle of a slot unless it is said, mL: racks are made for bottles of 750 mL (common
    /// practice).
    pub const fn usual_largest_ml(self) -> Option<i64> {
        match self {
            RackKind::Grid => Some(750),
            RackKind::Bins | RackKind::Case => None,
        }
    }
}

/// A slot of a rack, or one of its bins: the row from the top, the column from the left.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slot {
    /// From the top, the first is 0.
    pub row: u16,
    /// From the left, the first is 0.
    pub column: u16,
}

impl fmt::Display for Slot {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let letter = char::from(b'A' + u8::try_from(self.row).unwrap_or(25).min(25));
        write!(f, "{letter}{}", self.column + 1)
    }
}

impl Slot {
    /// `B3`: a letter for the row, a number for the column.
    fn of(text: &str) -> Option<Slot> {
        let mut chars = text.chars();
        let letter = chars.next().filter(char::is_ascii_alphabetic)?;
        let digits = chars.as_str();
        let plain = (1..=2).contains(&digits.len()) && digits.bytes().all(|it| it.is_ascii_digit());
        let column: u16 = digits.parse().ok().filter(|it| plain && *it > 0)?;
        Some(Slot {
            row: u16::from(letter.to_ascii_uppercase() as u8 - b'A'),
            column: column - 1,
        })
    }
}

/// A rack with its shape.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rack {
    /// The thing it is.
    pub key: Key,
    /// What it is called.
    pub name: String,
    /// What it was called before, and no rack is called now.
    pub former: Vec<String>,
    /// How it is divided.
    pub kind: RackKind,
    /// Slots in each row, from the top; under the stairs they may differ.
    pub columns: Vec<u16>,
    /// Bottles that each slot has room for.
    pub holds: i64,
    /// The largest bottle that a slot takes, mL; `None` of bins and cases, which take what goes in.
    pub largest_ml: Option<i64>,
}

impl Rack {
    /// The rack that a thing is; `None` for things of another sort.
    pub fn of(thing: &Thing) -> Option<Rack> {
        if thing.sort != Sort::Rack {
            return None;
        }
        let kind = RackKind::from_word(thing.text(field::KIND)).unwrap_or(RackKind::Grid);
        // A rename that was taken back leaves the present name among those that it had.
        let had = thing.text(field::FORMER_NAMES).lines();
        let had = had.filter(|it| folded(it) != folded(thing.name()));
        Some(Rack {
            key: thing.key,
            name: thing.name().to_owned(),
            former: had.map(str::to_owned).collect(),
            kind,
            columns: columns(thing.text(field::COLUMNS)).unwrap_or_else(|| vec![1]),
            holds: thing
                .int(field::ROOM_FOR)
                .unwrap_or(kind.usual_room())
                .max(1),
            largest_ml: thing.int(field::LARGEST).or(kind.usual_largest_ml()),
        })
    }

    /// Forgets that it was ever called so.
    pub fn forget(&mut self, name: &str) {
        self.former.retain(|it| folded(it) != folded(name));
    }

    /// Its slots in reading order: the top row from left to right, then the next.
    pub fn slots(&self) -> impl Iterator<Item = Slot> + '_ {
        self.columns
            .iter()
            .zip(0..)
            .flat_map(|(columns, row)| (0..*columns).map(move |column| Slot { row, column }))
    }

    /// Whether it has that slot.
    pub fn has(&self, slot: Slot) -> bool {
        let columns = self.columns.get(usize::from(slot.row));
        columns.is_some_and(|it| slot.column < *it)
    }

    /// Bottles that it has room for.
    pub fn room(&self) -> i64 {
        self.slots().count() as i64 * self.holds
    }

    /// The only slot of a rack that is not divided, such as one case.
    fn only(&self) -> Option<Slot> {
        match self.columns.as_slice() {
            [1] => Some(Slot { row: 0, column: 0 }),
            _ => None,
        }
    }

    /// The text of a place in it.
    pub fn place(&self, slot: Slot) -> String {
        if self.only().is_some() {
            self.name.clone()
        } else {
            format!("{}/{slot}", self.name)
        }
    }

    /// Places in it in words, slots that follow each other together: `Rack A/A1 to A6, B2`.
    pub fn places(&self, slots: &[Slot]) -> String {
        if self.only().is_some() {
            return self.name.clone();
        }
        let mut said: Vec<String> = Vec::new();
        let mut run: Option<(Slot, Slot)> = None;
        let told = |(first, last): (Slot, Slot)| {
            if first == last {
                first.to_string()
            } else {
                format!("{first} to {last}")
            }
        };
        for slot in self.slots().filter(|it| slots.contains(it)) {
            run = match run {
                Some((first, last)) if self.follows(last, slot) => Some((first, slot)),
                Some(ended) => {
                    said.push(told(ended));
                    Some((slot, slot))
                }
                None => Some((slot, slot)),
            };
        }
        said.extend(run.map(told));
        format!("{}/{}", self.name, said.join(", "))
    }

    /// Whether one slot is the next after another in reading order.
    fn follows(&self, one: Slot, next: Slot) -> bool {
        let same_row = one.row == next.row && one.column + 1 == next.column;
        let last_of_row = self.columns.get(usize::from(one.row)) == Some(&(one.column + 1));
        same_row || (last_of_row && one.row + 1 == next.row && next.column == 0)
    }

    /// Its shape in words: `a rack of 4 by 6, room for 24 bottles`, `bins in rows of 9, 7, 5, …`.
    pub fn shape(&self) -> String {
        let what = match self.kind {
            RackKind::Grid => "a rack",
            RackKind::Bins => "bins",
            RackKind::Case => "a case",
        };
        let even = self.columns.iter().all(|it| *it == self.columns[0]);
        let shape = match self.columns.as_slice() {
            [1] => String::new(),
            [first, ..] if even => format!(" of {} by {first}", self.columns.len()),
            several => {
                let rows: Vec<String> = several.iter().map(u16::to_string).collect();
                format!(" in rows of {}", rows.join(", "))
            }
        };
        let room = count(self.room(), "bottle");
        format!("{what}{shape}, room for {room}")
    }

    /// Its first and last slot in words: `A1 to D6`.
    pub fn span(&self) -> String {
        let ends = self.slots().next().zip(self.slots().last());
        ends.map_or_else(String::new, |(first, last)| format!("{first} to {last}"))
    }
}

/// Slots in each row: `6,6,6`, or `9,7,5` where rows differ.
pub fn columns(text: &str) -> Option<Vec<u16>> {
    let columns: Vec<u16> = text
        .split([',', ' '])
        .filter(|it| !it.is_empty())
        .map(|it| it.parse().ok().filter(|it| (1..=MOST_COLUMNS).contains(it)))
        .collect::<Option<_>>()?;
    (1..=MOST_ROWS).contains(&columns.len()).then_some(columns)
}

/// What the text of a place means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place<'a> {
    /// Wherever that is: `shelf 2, about 40`.
    Loose,
    /// In a rack, nobody said in which slot.
    Rack(&'a Rack),
    /// In a slot.
    Slot(&'a Rack, Slot),
    /// In a slot that the rack does not have.
    NoSlot(&'a Rack),
}

impl<'a> Place<'a> {
    /// The rack it is in, if in any.
    pub fn rack(self) -> Option<&'a Rack> {
        match self {
            Place::Loose => None,
            Place::Rack(rack) | Place::Slot(rack, _) | Place::NoSlot(rack) => Some(rack),
        }
    }
}

/// Racks in use, found by the name that they have or had.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Racks {
    by_name: BTreeMap<String, Rack>,
    /// Names that racks had, with the name that each has now.
    former: BTreeMap<String, String>,
}

impl Racks {
    /// Those among all things.
    pub fn of(things: &Things) -> Racks {
        let racks = things.values().filter(|it| it.sort == Sort::Rack);
        let open = racks.filter(|it| it.is_open());
        open.filter_map(|it| Rack::of(it)).collect()
    }

    /// In order of name.
    pub fn iter(&self) -> impl Iterator<Item = &Rack> {
        self.by_name.values()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.by_name.is_empty()
    }

    /// The rack with that key.
    pub fn get(&self, key: Key) -> Option<&Rack> {
        self.iter().find(|it| it.key == key)
    }

    /// The rack of that name, or the one that had it if none has it now.
    pub fn named(&self, name: &str) -> Option<&Rack> {
        let name = folded(name);
        let now = self.by_name.get(&name);
        now.or_else(|| self.by_name.get(self.former.get(&name)?))
    }

    /// The rack whose name a place has but for one or two letters: likely that one is meant. Of a
    /// short name two letters are too much of it.
    pub fn near(&self, text: &str) -> Option<&Rack> {
        if self.read(text) != Place::Loose {
            return None;
        }
        let name = match text.rsplit_once('/') {
            Some((name, slot)) if Slot::of(slot.trim()).is_some() => name,
            _ => text,
        };
        let name = folded(name);
        let off = |rack: &Rack| distance(&name, &folded(&rack.name));
        let near = self.iter().filter(|it| {
            let most = (it.name.chars().count() / 3).min(2);
            off(it) <= most
        });
        near.min_by_key(|it| off(it))
    }

    /// What the text of a place means. A slot stands behind a stroke or a blank: `Rack A/B3`,
    /// `Rack A B3`. Whatever names no rack is loose, and as good a place as any.
    pub fn read(&self, text: &str) -> Place<'_> {
        if self.is_empty() || text.is_empty() {
            return Place::Loose;
        }
        if let Some(rack) = self.named(text) {
            return rack
                .only()
                .map_or(Place::Rack(rack), |slot| Place::Slot(rack, slot));
        }
        let in_slot = |rack, slot: Option<Slot>| match slot {
            Some(slot) if Rack::has(rack, slot) => Place::Slot(rack, slot),
            _ => Place::NoSlot(rack),
        };
        if let Some((name, slot)) = text.rsplit_once('/')
            && let Some(rack) = self.named(name)
        {
            return in_slot(rack, Slot::of(slot.trim()));
        }
        if let Some((name, slot)) = text.trim().rsplit_once(' ')
            && let Some(slot) = Slot::of(slot)
            && let Some(rack) = self.named(name)
        {
            return in_slot(rack, Some(slot));
        }
        Place::Loose
    }
}

impl Racks {
    /// The text of a place under the name that its rack has now.
    pub fn told<'a>(&self, text: &'a str) -> Cow<'a, str> {
        match self.read(text) {
            Place::Slot(rack, slot) => rack.place(slot).into(),
            Place::Rack(rack) => rack.name.clone().into(),
            Place::NoSlot(_) | Place::Loose => text.into(),
        }
    }

    /// Places in words, slots of one rack together: `Rack A/A1 to A6 and shelf 2`.
    pub fn together<'a>(&self, places: impl Iterator<Item = &'a str>) -> String {
        let mut said: Vec<String> = Vec::new();
        let mut slots: BTreeMap<Key, Vec<Slot>> = BTreeMap::new();
        for place in places {
            if let Place::Slot(rack, slot) = self.read(place) {
                slots.entry(rack.key).or_default().push(slot);
                continue;
            }
            let told = self.told(place);
            if !said.iter().any(|it| *it == told) {
                said.push(told.into_owned());
            }
        }
        let racks = self.iter().filter_map(|it| Some((it, slots.get(&it.key)?)));
        let slots = racks.map(|(rack, slots)| rack.places(slots));
        let all: Vec<String> = slots.chain(said).collect();
        all.join(" and ")
    }

    /// Whether bottles at `at` are among those at `wanted`: in that slot, in that rack, or at a place
    /// whose words begin so.
    pub fn is_at(&self, at: &str, wanted: &str) -> bool {
        let found = self.read(at);
        match self.read(wanted) {
            Place::Rack(rack) => found.rack() == Some(rack),
            Place::Slot(..) => found == self.read(wanted),
            Place::NoSlot(_) => false,
            Place::Loose => {
                let at = at.trim().to_lowercase();
                let rest = at.strip_prefix(wanted.trim().to_lowercase().as_str());
                rest.is_some_and(|it| !it.starts_with(char::is_alphanumeric))
            }
        }
    }
}

impl FromIterator<Rack> for Racks {
    fn from_iter<T: IntoIterator<Item = Rack>>(racks: T) -> Racks {
        let named = |it: Rack| (folded(&it.name), it);
        let by_name: BTreeMap<String, Rack> = racks.into_iter().map(named).collect();
        let former = by_name
            .iter()
            .flat_map(|(now, rack)| rack.former.iter().map(|it| (folded(it), now.clone())))
            .collect();
        Racks { by_name, former }
    }
}

/// A name as it is looked for: case and surrounding blanks do not matter.
fn folded(name: &str) -> String {
    name.trim().to_lowercase()
}

#[cfg(test)]
mod tests;
