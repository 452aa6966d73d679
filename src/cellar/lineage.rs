//! Where a named part or a blend comes from, and what a wine went into.

use std::collections::BTreeSet;

use super::amount::Volume;
use super::entry::{Draft, Kind};
use super::fold::Flow;
use super::makeup;
use super::state::Share;
use super::thing::{Account, Key, Things, field};

/// The kinds of entry by which wine that is there takes a name.
pub const NAMING: [Kind; 2] = [Kind::Blend, Kind::Split];

/// The batches that went into a batch when wine took its name, and how much of each: what a blend
/// was made of, what a part was split from. Nothing for a batch that came in as must. `entries`
/// are living entries with what their movements came to.
pub fn parents<'a>(
    batch: Key,
    entries: impl IntoIterator<Item = (&'a Draft, &'a [Flow])>,
) -> Vec<Share> {
    let mut parents = Vec::new();
    for (draft, flows) in entries {
        for (_, share) in named(draft, flows).filter(|it| it.0 == batch) {
            makeup::join(&mut parents, &[share]);
        }
    }
    parents.sort_by_key(|it: &Share| (std::cmp::Reverse(it.volume), it.batch));
    parents.retain(|it| it.volume > Volume::ZERO);
    parents
}

/// What took which name by an entry, as what it was before.
fn named<'a>(draft: &'a Draft, flows: &'a [Flow]) -> impl Iterator<Item = (Key, Share)> + 'a {
    let movements = draft.movements.iter();
    let inner = movements.filter(|it| Account::from_key(it.from).is_none());
    let named = inner.filter_map(|it| Some((it.batch?, it.from, it.to)));
    named.flat_map(move |(batch, from, to)| {
        // A movement of nothing leaves no flow, and two of one entry never share both ends.
        let flow = flows.iter().find(|it| (it.from, it.to) == (from, to));
        let makeup = flow.map_or(&[][..], |it| &it.makeup);
        let of_others = makeup.iter().filter(move |it| it.batch != Some(batch));
        of_others.map(move |it| (batch, *it))
    })
}

/// Which batch was made of which, its yeast included.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lineage(BTreeSet<(Key, Key)>);

impl Lineage {
    /// From living entries with what their movements came to, and from whose yeast was used again.
    pub fn of<'a>(
        entries: impl IntoIterator<Item = (&'a Draft, &'a [Flow])>,
        things: &Things,
    ) -> Lineage {
        let entries = entries.into_iter();
        let made = entries.flat_map(|(draft, flows)| named(draft, flows));
        let made = made.filter_map(|(batch, share)| Some((batch, share.batch?)));
        let raised = things.values().filter_map(|it| {
            let giver = it.int(field::YEAST_FROM)?;
            Some((it.key, Key(giver)))
        });
        Lineage(made.chain(raised).collect())
    }

    /// All that those were made of, and that in turn; without themselves.
    pub fn sources(&self, of: &BTreeSet<Key>) -> BTreeSet<Key> {
        closed(of, |from, to: &mut Vec<Key>| {
            to.extend(self.0.iter().filter(|it| it.0 == from).map(|it| it.1));
        })
    }

    /// All that those went into, and that in turn; without themselves.
    pub fn outcomes(&self, of: &BTreeSet<Key>) -> BTreeSet<Key> {
        closed(of, |from, to: &mut Vec<Key>| {
            to.extend(self.0.iter().filter(|it| it.1 == from).map(|it| it.0));
        })
    }
}

/// All that is reached from those by steps, without themselves.
fn closed(from: &BTreeSet<Key>, step: impl Fn(Key, &mut Vec<Key>)) -> BTreeSet<Key> {
    let mut reached = from.clone();
    let mut open: Vec<Key> = from.iter().copied().collect();
    while let Some(at) = open.pop() {
        let mut next = Vec::new();
        step(at, &mut next);
        open.extend(next.into_iter().filter(|it| reached.insert(*it)));
    }
    &reached - from
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::entry::{Amount, Movement};
    use crate::cellar::moment::Moment;

    const JUG: Key = Key(101);
    const CARBOY: Key = Key(102);
    const BLEND: Key = Key(103);
    const PLUM: Key = Key(104);
    const REGENT: Key = Key(105);

    /// A blend of three litres of Regent with one of plum.
    fn blended() -> (Draft, Vec<Flow>) {
        let when = Moment {
            utc_ms: 0,
            offset_min: 0,
        };
        let mut draft = Draft::new(Kind::Blend, when);
        let part = |from, litres| Movement {
            from,
            to: CARBOY,
            amount: Amount::Exactly(Volume::litres(litres)),
            about: false,
            batch: Some(BLEND),
        };
        draft.movements = vec![part(CARBOY, 3.0), part(JUG, 1.0)];
        let flow = |from, litres, batch| {
            let volume = Volume::litres(litres);
            Flow {
                from,
                to: CARBOY,
                volume,
                makeup: vec![Share {
                    batch: Some(batch),
                    volume,
                }],
            }
        };
        let flows = vec![flow(CARBOY, 3.0, REGENT), flow(JUG, 1.0, PLUM)];
        (draft, flows)
    }

    #[test]
    fn a_blend_names_what_it_was_made_of_the_larger_part_first() {
        let (draft, flows) = blended();
        let parents = parents(BLEND, [(&draft, &flows[..])]);
        let found: Vec<(Option<Key>, f64)> = parents
            .iter()
            .map(|it| (it.batch, it.volume.in_litres()))
            .collect();
        assert_eq!(found, [(Some(REGENT), 3.0), (Some(PLUM), 1.0)]);
    }

    #[test]
    fn a_blend_leads_to_its_parts_and_each_part_to_the_blend_alone() {
        let (draft, flows) = blended();
        let lineage = Lineage::of([(&draft, &flows[..])], &Things::default());
        let of = |it| BTreeSet::from([it]);
        assert_eq!(lineage.sources(&of(BLEND)), BTreeSet::from([PLUM, REGENT]));
        assert_eq!(lineage.outcomes(&of(PLUM)), of(BLEND));
        assert!(lineage.sources(&of(PLUM)).is_empty());
        assert!(lineage.outcomes(&of(BLEND)).is_empty());
    }
}
