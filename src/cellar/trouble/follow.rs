//! What follows from a fault: where the same batch is, in vessels and bottles, and who was given any.

use super::super::attention::words::count;
use super::super::entry::{Draft, Kind};
use super::super::fold::Flow;
use super::super::gifts::{Gift, gifts};
use super::super::snapshot::Snapshot;
use super::super::state::Wine;
use super::super::thing::{Key, Sort};

/// What else is to be thought of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Follows {
    /// The batch in the marked vessel or bottles, if it is named.
    pub batch: Option<Key>,
    /// Other vessels with wine of it.
    pub vessels: Vec<Key>,
    /// Runs with bottles of it on hand, and how many; the marked one among them.
    pub runs: Vec<(Key, i64)>,
    /// Who was given bottles of it and did not bring them all back, the latest first.
    pub gifts: Vec<Gift>,
}

impl Follows {
    /// In sentences: where else it is, and whom to tell.
    pub fn lines(&self, place: Key, cellar: &Snapshot) -> Vec<String> {
        let mut lines = Vec::new();
        let batch = self.batch.map_or("it", |it| cellar.name(it));
        let names: Vec<&str> = self.vessels.iter().map(|it| cellar.name(*it)).collect();
        if !names.is_empty() {
            lines.push(format!(
                "{batch} is also in {}: look there too.",
                names.join(", ")
            ));
        }
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
        let runs: Vec<String> = runs.collect();
        if !runs.is_empty() {
            lines.push(format!("Bottles of {batch}: {}.", runs.join(", ")));
        }
        for gift in &self.gifts {
            let whom = if gift.whom.is_empty() {
                "whoever it was"
            } else {
                &gift.whom
            };
            lines.push(format!(
                "Tell {whom}: {} of {} given, last on {}.",
                count(gift.given - gift.back, "bottle"),
                cellar.name(gift.run),
                cellar.now.at(gift.last_ms).day_words()
            ));
        }
        if lines.is_empty() {
            lines.push(format!(
                "By the book {batch} is nowhere else, and no bottle of it was given away."
            ));
        } else if self.gifts.is_empty() && !self.runs.is_empty() {
            lines.push(format!("None of {batch} was given away by the book."));
        }
        lines
    }
}

/// What follows for what a place holds. `entries` are living ones in any order, with what their
/// movements came to; gifts and what came back are picked out of them. A gift is of the batch by what
/// was in its bottles then, so that a run that is drunk up has not left its friends out.
pub fn follow<'a>(
    place: Key,
    cellar: &Snapshot,
    entries: impl IntoIterator<Item = (&'a Draft, &'a [Flow])>,
) -> Follows {
    let batch = cellar.wine(place).and_then(Wine::main_batch);
    let of_it = |wine: &Wine| {
        batch.is_some()
            && (wine.main_batch() == batch || wine.makeup.iter().any(|it| it.batch == batch))
    };
    let places = |sort| {
        cellar
            .open(sort)
            .filter_map(|it| Some((it.key, cellar.wine(it.key)?)))
            .filter(|(key, wine)| *key == place || of_it(wine))
    };
    let runs: Vec<(Key, i64)> = places(Sort::Run)
        .map(|(key, wine)| (key, wine.bottle_count()))
        .collect();
    let given = entries.into_iter().filter(|(draft, flows)| {
        let is_gift = matches!(draft.kind, Kind::Give | Kind::Back);
        let in_runs = draft
            .bottles
            .iter()
            .any(|it| it.run == place || runs.iter().any(|run| run.0 == it.run));
        let mut makeup = flows.iter().flat_map(|it| &it.makeup);
        is_gift && (in_runs || batch.is_some() && makeup.any(|it| it.batch == batch))
    });
    let mut gifts = gifts(given.map(|it| it.0));
    gifts.retain(|it| it.given > it.back);
    Follows {
        batch,
        vessels: places(Sort::Vessel)
            .map(|it| it.0)
            .filter(|it| *it != place)
            .collect(),
        runs,
        gifts,
    }
}
