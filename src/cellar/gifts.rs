//! Bottles given: to whom, when, and what came back.

use std::collections::BTreeMap;

use super::entry::{Draft, Kind, Spot};
use super::thing::Key;

/// Stands before the name in the note of a gift.
const TO: &str = "to ";
/// Stands before the name in the note of what came back.
const FROM: &str = "from ";

/// The note of a gift to somebody.
pub fn to_note(whom: &str) -> String {
    format!("{TO}{whom}")
}

/// The note of bottles that came back from somebody.
pub fn from_note(whom: &str) -> String {
    format!("{FROM}{whom}")
}

/// Whom an entry gave to or had back from, if that was said.
pub fn whom(draft: &Draft) -> Option<&str> {
    let sign = match draft.kind {
        Kind::Give => TO,
        Kind::Back => FROM,
        _ => return None,
    };
    // Whatever else was noted stands behind a semicolon.
    let note = draft.note.split(';').next().unwrap_or_default();
    note.strip_prefix(sign).map(str::trim)
}

/// What else was noted of an entry, without whom it gave to or had back from.
pub fn beside_whom(draft: &Draft) -> &str {
    match (whom(draft), draft.note.split_once(';')) {
        (None, _) => &draft.note,
        (Some(_), None) => "",
        (Some(_), Some((_, rest))) => rest.trim_start(),
    }
}

/// What one person was given of one run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gift {
    /// To whom, as first written; empty if nobody was named.
    pub whom: String,
    /// Of which run.
    pub run: Key,
    /// Bottles given.
    pub given: i64,
    /// Bottles that came back, full or empty.
    pub back: i64,
    /// When last given, UTC ms.
    pub last_ms: i64,
}

/// Gifts by person and run, from living entries in any order; the latest first.
pub fn gifts<'a>(drafts: impl IntoIterator<Item = &'a Draft>) -> Vec<Gift> {
    let mut gifts: BTreeMap<(String, Key), Gift> = BTreeMap::new();
    for draft in drafts {
        let person = whom(draft).unwrap_or_default();
        for moved in &draft.bottles {
            let is_gift = draft.kind == Kind::Give && matches!(moved.to, Spot::Outside(_));
            let is_back = draft.kind == Kind::Back && matches!(moved.from, Spot::Outside(_));
            if !is_gift && !is_back {
                continue;
            }
            let gift = gifts
                .entry((person.to_lowercase(), moved.run))
                .or_insert_with(|| Gift {
                    whom: person.to_owned(),
                    run: moved.run,
                    given: 0,
                    back: 0,
                    last_ms: i64::MIN,
                });
            if is_gift {
                gift.given += moved.count;
                gift.last_ms = gift.last_ms.max(draft.when.utc_ms);
            } else {
                gift.back += moved.count;
            }
        }
    }
    let mut gifts: Vec<Gift> = gifts.into_values().collect();
    gifts.sort_by_key(|it| std::cmp::Reverse(it.last_ms));
    gifts
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::entry::BottleMove;
    use crate::cellar::moment::Moment;
    use crate::cellar::thing::Account;

    fn entry(kind: Kind, day: i64, note: &str, count: i64) -> Draft {
        let when = Moment {
            utc_ms: day * 86_400_000,
            offset_min: 0,
        };
        let mut draft = Draft::new(kind, when);
        note.clone_into(&mut draft.note);
        let (here, there) = (
            Spot::Outside(Account::Empties.key()),
            Spot::Outside(Account::Given.key()),
        );
        let (from, to) = match kind {
            Kind::Back => (there, here),
            _ => (here, there),
        };
        draft.bottles.push(BottleMove {
            run: Key(200),
            size_ml: 750,
            count,
            from,
            to,
            about: false,
        });
        draft
    }

    fn check(entries: &[Draft], expected: &[(&str, i64, i64)]) {
        let found = gifts(entries);
        let said: Vec<(&str, i64, i64)> = found
            .iter()
            .map(|it| (it.whom.as_str(), it.given, it.back))
            .collect();
        assert_eq!(said, expected);
    }

    #[test]
    fn what_else_was_noted_stands_beside_the_name() {
        let check = |kind, note: &str, expected: &str| {
            assert_eq!(beside_whom(&entry(kind, 1, note, 1)), expected, "{note}");
        };
        check(Kind::Give, "to Ines; for the harvest", "for the harvest");
        check(Kind::Give, "to Ines", "");
        check(Kind::Give, "a fine evening; late", "a fine evening; late");
        check(Kind::Back, "from Ines; rinsed", "rinsed");
        check(Kind::Open, "to Ines; late", "to Ines; late");
    }

    #[test]
    fn what_each_was_given_and_what_came_back() {
        let gave = |day, whom: &str, count| entry(Kind::Give, day, &to_note(whom), count);
        let back = |day, whom: &str, count| entry(Kind::Back, day, &from_note(whom), count);
        check(
            &[
                gave(1, "Ines", 2),
                gave(3, "the neighbours", 1),
                gave(5, "ines", 1),
            ],
            &[("Ines", 3, 0), ("the neighbours", 1, 0)],
        );
        check(&[gave(1, "Ines", 2), back(9, "INES", 2)], &[("Ines", 2, 2)]);
        check(&[entry(Kind::Give, 1, "", 1)], &[("", 1, 0)]);
        check(
            &[entry(Kind::Give, 1, "to Ines; for the harvest", 1)],
            &[("Ines", 1, 0)],
        );
        check(&[entry(Kind::Open, 1, "to Ines", 1)], &[]);
    }
}
