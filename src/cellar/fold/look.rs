//! Looks at the bottles of a run: how many of them were looked at, and what that settles. One wine is in
//! all of them, so that what may burst one is feared of the rest until they were looked at too.

use crate::cellar::bottling::{self, IN_SOME, sign};
use crate::cellar::entry::{BottleMove, Draft, Found, Property, Reading, Spot};
use crate::cellar::looks::Looks;
use crate::cellar::moment::DAY_MS;
use crate::cellar::state::Wine;

impl Wine {
    /// All bottles were looked at.
    pub(super) fn look_at_all(&mut self, property: Property, at_ms: i64) {
        let looks = Looks::at_all(self.bottle_count() - self.carrying(property), at_ms);
        self.looks.insert(property, looks);
    }

    /// Some bottles were looked at, and are marked by now with what was found. Says whether that is now
    /// what is known of the run.
    pub(super) fn look_at_some(&mut self, seen: &Reading, draft: &Draft) -> bool {
        let (property, now) = (seen.property, draft.when.utc_ms);
        let Found::Word(word) = &seen.found else {
            return true;
        };
        let found = sign(property, word);
        let mut looks = self.round(property, now, found.is_some());
        let theirs = draft.bottles.iter().filter(|it| it.run == seen.place);
        let well = theirs.clone().filter(|it| !carries(&it.to, property));
        looks.count += well.map(|it| it.count).sum::<i64>();
        if looks.count + self.carrying(property) >= self.bottle_count() {
            looks.all_ms = Some(looks.since_ms);
            (looks.settled, looks.gone) = (true, false);
        }
        self.looks.insert(property, looks);
        let known = self.known.get(&property).and_then(|it| match &it.found {
            Found::Word(word) => sign(property, word).map(|_| word.ends_with(IN_SOME)),
            _ => None,
        });
        // Those that it was found with are well after all, and none of them is gone.
        let mut theirs = theirs;
        let took_back = theirs.any(|it| carries(&it.from, property) && !carries(&it.to, property));
        if known == Some(true) && took_back && !looks.gone && self.carrying(property) == 0 {
            self.known.remove(&property);
        }
        // That nothing is amiss with some says nothing of the rest; that something is says no more than
        // what was found of all.
        found.is_some() && (known != Some(false) || looks.settled)
    }

    /// The round that a look at some belongs to. What may be amiss with the rest is asked anew, but of those
    /// that were looked at within a day.
    fn round(&self, property: Property, now: i64, is_amiss: bool) -> Looks {
        let before = self.looks.get(&property);
        let is_fresh = |since_ms: i64| now - since_ms <= DAY_MS;
        let is_over = before.is_none_or(|it| it.all_ms == Some(it.since_ms));
        let begins = is_over || before.is_some_and(|it| is_amiss && !is_fresh(it.since_ms));
        let all_ms = before.and_then(|it| it.all_ms);
        let mut looks = match before {
            Some(it) if !begins => *it,
            _ => Looks {
                since_ms: now,
                count: 0,
                all_ms,
                settled: before.is_some_and(|it| it.settled),
                gone: before.is_some_and(|it| it.gone && !it.settled),
            },
        };
        if is_amiss {
            looks.settled = all_ms.is_some_and(is_fresh);
        }
        looks
    }

    /// Bottles left, with what was known of them alone.
    pub(super) fn lose_sight(&mut self, left: &BottleMove) {
        let (Spot::Outside(_), Spot::Kept(_)) = (&left.to, &left.from) else {
            return;
        };
        for (property, looks) in &mut self.looks {
            if carries(&left.from, *property) {
                looks.gone = true;
            } else {
                looks.count = (looks.count - left.count).max(0);
            }
        }
    }
}

fn carries(spot: &Spot, property: Property) -> bool {
    match spot {
        Spot::Kept(kept) => bottling::carries(&kept.found, property),
        Spot::Outside(_) => false,
    }
}
