//! Wine on the move, as a notebook has it.

use super::{Pour, Telling, and, litres};
use crate::cellar::entry::Amount;
use crate::cellar::thing::{Account, Key, Sort, Value, field};

impl Telling<'_> {
    /// What it is called; empty where that is not known or is the vessel's own name.
    fn wine(&self, pour: &Pour) -> String {
        let named = pour.batch.map(|it| self.name(it)).filter(|it| {
            let ends = [self.name(pour.from), self.name(pour.to)];
            !ends.iter().any(|end| end.eq_ignore_ascii_case(it))
        });
        match (named, Account::from_key(pour.from)) {
            (_, Some(Account::Bought)) => " of bought wine".to_owned(),
            (_, Some(Account::Water)) => " of water".to_owned(),
            (_, Some(Account::Spirit)) => " of spirit".to_owned(),
            (Some(name), _) => format!(" of {name}"),
            (None, Some(Account::Must)) => " of must".to_owned(),
            (None, Some(Account::Before)) => " of wine".to_owned(),
            (None, _) => String::new(),
        }
    }

    /// `22.4 L of Damson 26`.
    fn poured(&self, pour: &Pour) -> String {
        format!("{}{}", pour.how_much, self.wine(pour))
    }

    fn is_outside(key: Key) -> bool {
        Account::from_key(key).is_some()
    }

    pub(super) fn here(&self) -> String {
        if !self.draft.bottles.is_empty() {
            return self.bottles_here();
        }
        let vessel = self.subject();
        let since = self.changes().find(|it| it.0 == field::SINCE_WORDS);
        let since = match since {
            Some((_, Some(Value::Text(words)))) => Some(words),
            _ => None,
        };
        let there = since.map_or_else(String::new, |it| format!(", there since {it}"));
        match self.pours.first() {
            Some(pour) if self.draft.new_things.first() == Some(&Sort::Run) => {
                format!("Took over bottles of {}, not counted", self.name(pour.to))
            }
            Some(pour) => format!("Took over {vessel} with {}{there}", self.poured(pour)),
            None if since.is_some() => format!("Took over the wine of {vessel}{there}"),
            None => format!("Took over {vessel}, empty"),
        }
    }

    pub(super) fn received(&self) -> String {
        let parts: Vec<String> = self.pours.iter().map(|it| self.poured(it)).collect();
        let into = self.pours.first().map(|it| self.name(it.to));
        let into = into.unwrap_or_else(|| self.subject());
        let with = match self.draft.additions.as_slice() {
            [] => String::new(),
            _ => format!(" with {}", self.additions()),
        };
        let found = match self.readings() {
            found if found.is_empty() => found,
            found => format!("; {found}"),
        };
        format!("Received {}{with} into {into}{found}", and(&parts))
    }

    /// Pressed or racked: what went where, and what stayed behind.
    pub(super) fn left_behind(&self, verb: &str, stayed: &str) -> String {
        let (behind, into): (Vec<&Pour>, Vec<&Pour>) =
            self.pours.iter().partition(|it| Self::is_outside(it.to));
        let Some(first) = into.first() else {
            return format!("{verb} {}", self.subject());
        };
        let from = self.name(first.from);
        let parts: Vec<String> = into
            .iter()
            .map(|it| format!("{} into {}", it.how_much, self.name(it.to)))
            .collect();
        let wine = self.wine(first);
        let said = match into.as_slice() {
            [one] => format!(
                "{verb} {} from {from} into {}",
                self.poured(one),
                self.name(one.to)
            ),
            _ if wine.is_empty() => format!("{verb} {from}: {}", and(&parts)),
            _ => format!(
                "{verb} {} from {from}: {}",
                wine.trim_start_matches(" of "),
                and(&parts)
            ),
        };
        let (gone, stays): (Vec<&Pour>, Vec<&Pour>) = behind
            .into_iter()
            .filter(|it| !it.how_much.ends_with("all"))
            .partition(|it| it.to == Account::Difference.key());
        let stays = stays.iter().map(|it| format!("; {} {stayed}", it.how_much));
        let gone = gone
            .iter()
            .map(|it| format!("; {} not accounted for", it.how_much));
        stays.chain(gone).fold(said, |said, it| said + &it)
    }

    pub(super) fn topped_up(&self) -> String {
        let Some(pour) = self.pours.first() else {
            return format!("Topped up {}", self.subject());
        };
        let from = if Self::is_outside(pour.from) {
            String::new()
        } else {
            format!(" from {}", self.name(pour.from))
        };
        let evaporated = Account::Evaporated.key();
        let gone = self.pours.iter().find(|it| it.to == evaporated);
        let gone = gone.map_or_else(String::new, |it| {
            format!("; {} had evaporated", it.how_much)
        });
        format!(
            "Topped up {} with {}{from}{gone}",
            self.name(pour.to),
            self.poured(pour)
        )
    }

    pub(super) fn split(&self) -> String {
        let Some(first) = self.pours.first() else {
            return format!("Split {}", self.subject());
        };
        let parts: Vec<String> = self
            .pours
            .iter()
            .zip(&self.draft.movements)
            .map(|(pour, asked)| {
                let named = asked.batch.map(|it| format!(" as {}", self.name(it)));
                let named = named.unwrap_or_default();
                format!("{} into {}{named}", pour.how_much, self.name(pour.to))
            })
            .collect();
        format!("Split {}: {}", self.name(first.from), and(&parts))
    }

    pub(super) fn blended(&self) -> String {
        let renamed = self.pours.iter().find(|it| it.from == it.to);
        let joined = self.pours.iter().filter(|it| it.from != it.to);
        let parts: Vec<String> = joined
            .map(|it| format!("{} from {}", self.poured(it), self.name(it.from)))
            .collect();
        let into = self.pours.first().map(|it| self.name(it.to));
        let into = into.unwrap_or_else(|| self.subject());
        let there = renamed.map_or_else(String::new, |it| {
            format!(" with the {} there", self.poured(it))
        });
        let mut named = self.draft.movements.iter().filter_map(|it| it.batch);
        let named = named.next().map(|it| format!(", now {}", self.name(it)));
        let named = named.unwrap_or_default();
        format!("Blended {} into {into}{there}{named}", and(&parts))
    }

    pub(super) fn drew(&self) -> String {
        match self.pours.first() {
            Some(it) => format!(
                "Drew a sample of {} from {}",
                it.how_much,
                self.name(it.from)
            ),
            None => format!("Drew a sample from {}", self.subject()),
        }
    }

    /// Wine that left a vessel, by what became of it.
    pub(super) fn lost(&self) -> String {
        if !self.draft.bottles.is_empty() {
            return format!("Poured away {}{}", self.moved_bottles(), self.out_of());
        }
        let Some(it) = self.pours.first() else {
            return format!("Lost some of {}", self.subject());
        };
        let (wine, from) = (self.poured(it), self.name(it.from));
        match Account::from_key(it.to) {
            Some(Account::Spills) => format!("Spilled {wine} from {from}"),
            Some(Account::Evaporated) => format!("Lost {wine} from {from} to the air"),
            Some(Account::Drunk) => format!("Drank {wine} from {from}"),
            Some(Account::Given) => format!("Gave away {wine} from {from}"),
            Some(Account::Sold) => format!("Sold {wine} from {from}"),
            Some(Account::Broken) => format!("Lost {wine} from {from} with broken glass"),
            Some(Account::Lees) => format!("Left {wine} from {from} to the lees"),
            Some(Account::Discarded) => format!("Poured away {wine} from {from}"),
            _ => format!("Lost {wine} from {from}"),
        }
    }

    pub(super) fn adjusted(&self) -> String {
        let Some(asked) = self.draft.movements.first() else {
            return format!("Adjusted {}", self.subject());
        };
        let level = match asked.amount {
            Amount::Exactly(level) | Amount::LevelFound(level) | Amount::RestLeaving(level) => {
                level
            }
            Amount::NotKnown => return format!("Found wine in {}", self.name(asked.from)),
        };
        // Before the first bottle, so much more or less was in it than the book had.
        if let Amount::Exactly(off) = asked.amount {
            let off = litres(off);
            return if asked.from == Account::Difference.key() {
                format!(
                    "Found {off} more in {} than the book had",
                    self.name(asked.to)
                )
            } else {
                format!(
                    "Found {off} less in {} than the book had",
                    self.name(asked.from)
                )
            };
        }
        let about = if asked.about { "about " } else { "" };
        let found = format!(
            "Found {about}{} in {}",
            litres(level),
            self.name(asked.from)
        );
        let bare = |it: &Pour| it.how_much.trim_start_matches("about ").to_owned();
        match self.pours.first() {
            // Nobody had measured it before.
            Some(it) if it.from == Account::Before.key() => found,
            // Without flows what was asked stands in their place, and is the level itself.
            Some(it) if bare(it) == litres(level) && it.from == asked.from => found,
            Some(it) if it.from == asked.from => {
                format!("{found}, {} less than the book had", bare(it))
            }
            Some(it) => format!("{found}, {} more than the book had", bare(it)),
            None => format!("{found}, as the book had it"),
        }
    }
}
