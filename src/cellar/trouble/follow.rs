//! What follows from a fault: where the same wine is, what it went into and what it was made of, in
//! vessels and bottles, and who was given any.

use std::collections::{BTreeMap, BTreeSet};

use super::super::attention::words::count;
use super::super::entry::{Draft, Kind};
use super::super::fold::Flow;
use super::super::gifts::{Gift, gifts};
use super::super::lineage::{Lineage, NAMING};
use super::super::snapshot::Snapshot;
use super::super::state::{Share, Wine};
use super::super::thing::{Key, Sort};

/// The kinds of entry that [`follow`] reads: gifts and what came back, and how wines took their names.
pub const FOLLOWED: [Kind; 4] = [Kind::Give, Kind::Back, NAMING[0], NAMING[1]];

/// What else is to be thought of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Follows {
    /// The batch in the marked vessel or bottles, if it is named.
    pub batch: Option<Key>,
    /// Where it is.
    pub whereabouts: Whereabouts,
    /// Other batches that have to do with it and are not all gone: what it went into first.
    pub kin: Vec<Kin>,
}

/// Where a batch is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Whereabouts {
    /// Vessels with wine of it, without the marked one.
    pub vessels: Vec<Key>,
    /// Runs with bottles of it on hand, and how many; the marked one among them.
    pub runs: Vec<(Key, i64)>,
    /// Who was given bottles of it and did not bring them all back, the latest first.
    pub gifts: Vec<Gift>,
}

/// A batch that has to do with the marked one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kin {
    /// Which.
    pub batch: Key,
    /// In which way.
    pub tie: Tie,
    /// Where it is.
    pub whereabouts: Whereabouts,
}

/// How a batch has to do with the marked one, the nearest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tie {
    /// It is the marked one.
    Same,
    /// The marked one, or its yeast, went into it.
    Outcome,
    /// The marked one was made with it.
    Source,
    /// Both were made with a third.
    Beside,
}

impl Tie {
    /// As JSON has it.
    pub fn word(self) -> &'static str {
        match self {
            Tie::Same => "same",
            Tie::Outcome => "made-of-it",
            Tie::Source => "part-of-it",
            Tie::Beside => "of-the-same-wine",
        }
    }
}

impl Follows {
    /// In sentences: where else it is, and whom to tell.
    pub fn lines(&self, place: Key, cellar: &Snapshot) -> Vec<String> {
        let batch = self.batch.map_or("it", |it| cellar.name(it));
        let here = &self.whereabouts;
        let mut lines = Vec::new();
        if !here.vessels.is_empty() {
            lines.push(format!(
                "{batch} is also in {}: look there too.",
                here.vessel_names(cellar)
            ));
        }
        if !here.runs.is_empty() {
            lines.push(format!(
                "Bottles of {batch}: {}.",
                here.bottles(place, cellar)
            ));
        }
        lines.extend(here.to_tell(cellar));
        if lines.is_empty() {
            lines.push(format!(
                "By the book {batch} is nowhere else, and no bottle of it was given away."
            ));
        } else if here.gifts.is_empty() && !here.runs.is_empty() {
            lines.push(format!("None of {batch} was given away by the book."));
        }
        for kin in &self.kin {
            lines.extend(kin.lines(batch, place, cellar));
        }
        lines
    }
}

impl Kin {
    fn lines(&self, marked: &str, place: Key, cellar: &Snapshot) -> Vec<String> {
        let name = cellar.name(self.batch);
        let mut line = match self.tie {
            Tie::Same => name.to_owned(),
            Tie::Outcome => format!("{marked} went into {name}"),
            Tie::Source => format!("{marked} was made with {name}"),
            Tie::Beside => format!("{name} was made of the same wine as {marked}"),
        };
        let at = &self.whereabouts;
        if !at.vessels.is_empty() {
            line = format!("{line}: look in {} too", at.vessel_names(cellar));
        }
        line.push('.');
        if !at.runs.is_empty() {
            line = format!("{line} Bottles of {name}: {}.", at.bottles(place, cellar));
        }
        std::iter::once(line).chain(at.to_tell(cellar)).collect()
    }
}

impl Whereabouts {
    fn is_nowhere(&self) -> bool {
        self.vessels.is_empty() && self.runs.is_empty() && self.gifts.is_empty()
    }

    fn vessel_names(&self, cellar: &Snapshot) -> String {
        let names: Vec<&str> = self.vessels.iter().map(|it| cellar.name(*it)).collect();
        names.join(", ")
    }

    fn bottles(&self, place: Key, cellar: &Snapshot) -> String {
        let runs = self.runs.iter().map(|(run, bottles)| {
            let here = if *run == place {
                "here"
            } else {
                cellar.name(*run)
            };
            match bottles {
                // Bottles nobody counted.
                0 => here.to_owned(),
                _ => format!("{} ({here})", count(*bottles, "bottle")),
            }
        });
        runs.collect::<Vec<String>>().join(", ")
    }

    fn to_tell(&self, cellar: &Snapshot) -> Vec<String> {
        let gifts = self.gifts.iter().map(|gift| {
            let whom = if gift.whom.is_empty() {
                "whoever it was"
            } else {
                &gift.whom
            };
            format!(
                "Tell {whom}: {} of {} given, last on {}.",
                count(gift.given - gift.back, "bottle"),
                cellar.name(gift.run),
                cellar.now.at(gift.last_ms).day_words()
            )
        });
        gifts.collect()
    }
}

/// What follows for what a place holds. `entries` are living ones of the kinds [`FOLLOWED`] in any
/// order, with what their movements came to. A gift is of a batch by what was in its bottles then, so
/// that a run that is drunk up has not left its friends out.
pub fn follow<'a>(
    place: Key,
    cellar: &Snapshot,
    entries: impl IntoIterator<Item = (&'a Draft, &'a [Flow])>,
) -> Follows {
    let entries: Vec<(&Draft, &[Flow])> = entries.into_iter().collect();
    let wine = cellar.wine(place);
    let batch = wine.and_then(Wine::main_batch);
    let ties = ties(
        batch,
        wine,
        &Lineage::of(entries.iter().copied(), &cellar.things),
    );
    let mut found: BTreeMap<(Tie, Option<Key>), Whereabouts> = BTreeMap::new();
    let mut of_runs = BTreeMap::new();
    for sort in [Sort::Vessel, Sort::Run] {
        for thing in cellar.open(sort) {
            let Some(wine) = cellar.wine(thing.key) else {
                continue;
            };
            let tie = if thing.key == place {
                Some((Tie::Same, batch))
            } else {
                nearest(batches(wine), &ties)
            };
            let Some(tie) = tie else { continue };
            let at = found.entry(tie).or_default();
            if sort == Sort::Run {
                at.runs.push((thing.key, wine.bottle_count()));
                of_runs.insert(thing.key, tie);
            } else if thing.key != place {
                at.vessels.push(thing.key);
            }
        }
    }
    let is_gift = |it: &&(&Draft, &[Flow])| matches!(it.0.kind, Kind::Give | Kind::Back);
    let moved: Vec<&(&Draft, &[Flow])> = entries.iter().filter(is_gift).collect();
    for (draft, flows) in &moved {
        let makeup = flows.iter().flat_map(|it| &it.makeup);
        let Some(tie) = nearest(makeup.filter_map(of_share), &ties) else {
            continue;
        };
        for bottles in &draft.bottles {
            let of_run = of_runs.entry(bottles.run).or_insert(tie);
            *of_run = tie.min(*of_run);
        }
    }
    for gift in gifts(moved.iter().map(|it| it.0)) {
        if let Some(tie) = of_runs.get(&gift.run).filter(|_| gift.given > gift.back) {
            found.entry(*tie).or_default().gifts.push(gift);
        }
    }
    let whereabouts = found.remove(&(Tie::Same, batch)).unwrap_or_default();
    let kin = found.into_iter().filter_map(|((tie, batch), whereabouts)| {
        Some(Kin {
            batch: batch?,
            tie,
            whereabouts,
        })
    });
    Follows {
        batch,
        whereabouts,
        kin: kin.filter(|it| !it.whereabouts.is_nowhere()).collect(),
    }
}

/// The batches that have to do with a marked wine, and how.
fn ties(batch: Option<Key>, wine: Option<&Wine>, lineage: &Lineage) -> BTreeMap<Key, Tie> {
    let here: BTreeSet<Key> = wine.into_iter().flat_map(batches).collect();
    let marked: BTreeSet<Key> = batch.into_iter().collect();
    // What a blend without a name is made of stands in its make-up.
    let sources: BTreeSet<Key> = &(&lineage.sources(&here) | &here) - &marked;
    let tied = [
        (Tie::Beside, lineage.outcomes(&sources)),
        (Tie::Source, sources),
        (Tie::Outcome, lineage.outcomes(&marked)),
        (Tie::Same, marked),
    ];
    // The nearest tie comes last and stands.
    let tied = tied.into_iter();
    tied.flat_map(|(tie, all)| all.into_iter().map(move |it| (it, tie)))
        .collect()
}

/// The nearest tie of some batches, with the batch that has it.
fn nearest(
    batches: impl Iterator<Item = Key>,
    ties: &BTreeMap<Key, Tie>,
) -> Option<(Tie, Option<Key>)> {
    let all = batches.filter_map(|it| Some((*ties.get(&it)?, Some(it))));
    all.min()
}

/// The batches that a wine is of.
fn batches(wine: &Wine) -> impl Iterator<Item = Key> + '_ {
    let unmeasured = wine.unmeasured.and_then(|it| it.batch);
    wine.makeup.iter().filter_map(of_share).chain(unmeasured)
}

fn of_share(share: &Share) -> Option<Key> {
    share.batch
}
