//! A blind tasting: wines with letters in random order, until it is revealed. It is kept in the book, so
//! that it outlives the program.

use super::super::chance::Chance;
use super::super::entry::Draft;
use super::super::fold::Flow;
use super::super::snapshot::Snapshot;
use super::super::thing::{CELLAR, Key, Thing, field};
use super::{Marks, Tasted};

/// Wines under letters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flight {
    /// Vessels and runs; the first is A.
    pub places: Vec<Key>,
}

/// As a tasting's sheet begins that was made blind: `blind B`.
const BLIND: &str = "blind ";

impl Flight {
    /// Those wines in an order that the seed decides.
    pub fn shuffled(places: &[Key], seed: u64) -> Flight {
        let mut places = places.to_vec();
        places.sort_unstable();
        places.dedup();
        let mut chance = Chance(seed);
        // From the last to the second, each changes place with one before it or itself (Fisher and
        // Yates, by Durstenfeld 1964).
        for at in (1..places.len()).rev() {
            places.swap(at, (chance.next() % (at as u64 + 1)) as usize);
        }
        Flight { places }
    }

    /// The one that is on, if any.
    pub fn of(cellar: &Snapshot) -> Option<Flight> {
        let text = cellar.thing(CELLAR).map_or("", |it| it.text(field::FLIGHT));
        let places: Vec<Key> = text
            .split_whitespace()
            .filter_map(|it| it.parse().ok().map(Key))
            .collect();
        (!places.is_empty()).then_some(Flight { places })
    }

    /// Begins it in an entry.
    pub fn begin(&self, draft: &mut Draft) {
        let keys: Vec<String> = self.places.iter().map(|it| it.0.to_string()).collect();
        draft.set(CELLAR, field::FLIGHT, keys.join(" ").as_str());
    }

    /// Ends it in an entry.
    pub fn end(draft: &mut Draft) {
        draft.set(CELLAR, field::FLIGHT, "");
    }

    /// The wine of a letter.
    pub fn wine(&self, letter: &str) -> Option<Key> {
        let at = self
            .letters()
            .position(|it| it.eq_ignore_ascii_case(letter.trim()))?;
        self.places.get(at).copied()
    }

    /// The letters in use.
    pub fn letters(&self) -> impl Iterator<Item = String> {
        (b'A'..=b'Z')
            .take(self.places.len())
            .map(|it| char::from(it).to_string())
    }

    /// Which is which: `A is Plum 25, B is Carboy A`.
    pub fn revealed(&self, cellar: &Snapshot) -> String {
        let name = |it: &Key| cellar.thing(*it).map_or("gone", Thing::name).to_owned();
        let pairs = self.letters().zip(self.places.iter().map(name));
        let said: Vec<String> = pairs
            .map(|(letter, name)| format!("{letter} is {name}"))
            .collect();
        said.join(", ")
    }
}

/// Takes out what was tasted blind and is not yet revealed: its name would say which it was.
pub fn keep_secret(all: &mut Vec<Tasted>, cellar: &Snapshot) {
    if let Some(flight) = Flight::of(cellar) {
        let in_it = |it: &Tasted| flight.places.contains(&it.tasting.place);
        all.retain(|it| letter(&it.tasting.sheet).is_none() || !in_it(it));
    }
}

/// Whether an entry is of a blind tasting.
pub fn is_blind(draft: &Draft) -> bool {
    draft.tastings.iter().any(|it| letter(&it.sheet).is_some())
}

/// Whether that is not yet revealed: among the entries of one wine it would say which that is.
pub fn is_secret(draft: &Draft, cellar: &Snapshot) -> bool {
    let Some(flight) = Flight::of(cellar).filter(|_| is_blind(draft)) else {
        return false;
    };
    let mut places = draft.tastings.iter().map(|it| it.place);
    places.any(|it| flight.places.contains(&it))
}

/// Takes out of an entry what would say which wine of the blind tasting under way stands under which letter, for a list that
/// everybody sees.
pub fn hide(draft: &mut Draft, flows: &mut [Flow], cellar: &Snapshot) {
    if is_secret(draft, cellar) {
        mask(draft, flows);
    }
    if Flight::of(cellar).is_some() {
        // The one that began it has the wines in the order of their letters.
        draft.changes.retain(|it| it.field != field::FLIGHT);
    }
}

fn mask(draft: &mut Draft, flows: &mut [Flow]) {
    for tasting in &mut draft.tastings {
        tasting.place = NOBODY;
    }
    for movement in &mut draft.movements {
        movement.from = NOBODY;
    }
    for flow in flows {
        flow.from = NOBODY;
        flow.makeup.clear();
    }
}

/// No thing has this key.
const NOBODY: Key = Key(0);

/// How a sheet says that the wine was tasted blind, under that letter: `blind B`, and behind a semicolon what
/// it got on a sheet of points.
pub fn sheet(letter: &str, marks: Option<&Marks>) -> String {
    let letter = letter.trim().to_uppercase();
    let marks = marks.map_or_else(String::new, |it| format!("{MARKS}{it}"));
    format!("{BLIND}{letter}{marks}")
}

/// Stands before the points in a blind tasting.
const MARKS: &str = "; ";

/// The letter under which it was tasted, if it was blind.
pub fn letter(sheet: &str) -> Option<&str> {
    let letter = sheet.strip_prefix(BLIND)?;
    Some(letter.split(MARKS).next().unwrap_or(letter))
}

/// The sheet of points alone, whether it was tasted blind or not.
pub(super) fn points(sheet: &str) -> &str {
    match letter(sheet) {
        Some(_) => sheet.split_once(MARKS).map_or("", |it| it.1),
        None => sheet,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_order_comes_about_as_often() {
        let wines = [Key(201), Key(202), Key(203)];
        let mut seen = std::collections::BTreeMap::new();
        for seed in 0..6_000 {
            *seen
                .entry(Flight::shuffled(&wines, seed).places)
                .or_insert(0) += 1;
        }
        assert_eq!(seen.len(), 6);
        // A thousand each; four standard errors are 115.
        assert!(
            seen.values().all(|it| (885..=1_115).contains(it)),
            "{seen:?}"
        );
    }

    #[test]
    fn a_letter_names_one_wine_and_a_wine_stands_once() {
        let flight = Flight::shuffled(&[Key(201), Key(202), Key(201)], 7);
        assert_eq!(flight.places.len(), 2);
        assert_eq!(flight.wine("a"), Some(flight.places[0]));
        assert_eq!(flight.wine(" B "), Some(flight.places[1]));
        assert_eq!(flight.wine("C"), None);
        assert_eq!(letter(&sheet("b", None)), Some("B"));
        assert_eq!(letter("oiv-2009: 5"), None);
        let points = "2 1.5 3 2 2 1 1 2 2 1.5";
        let marks = super::super::sheets::find("card-20").unwrap().read(points);
        let with_points = sheet("b", marks.as_ref().ok());
        assert_eq!(letter(&with_points), Some("B"));
        assert_eq!(Marks::stored(&with_points), marks.ok());
    }
}
