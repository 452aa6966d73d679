//! Bottles on hand by run: how many of which size, how many may be drunk, where they are.

use std::collections::BTreeMap;

use super::attention::{Holding, Policy, withheld};
use super::bottling::Package;
use super::racks::Racks;
use super::snapshot::Snapshot;
use super::state::{BottleLot, Wine};
use super::thing::{Sort, Thing, field};

/// Which bottles are sought; what is `None` or false does not matter.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sought {
    /// The beginning of the run's name, or its mark.
    pub run: Option<String>,
    /// Year of the harvest.
    pub year: Option<i64>,
    /// A slot, a rack, or the beginning of a place.
    pub place: Option<String>,
    /// Size, mL.
    pub size_ml: Option<i64>,
    /// Only those kept for someone or something.
    pub reserved: bool,
}

/// Bottles of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct OnHand<'a> {
    /// The run.
    pub run: &'a Thing,
    /// Year of the harvest, if known.
    pub year: Option<i64>,
    /// Its lots among those sought.
    pub lots: Vec<&'a BottleLot>,
    /// Whether there are bottles that nobody counted.
    pub uncounted: bool,
    /// Whether the count was said as "about".
    pub about: bool,
    /// What keeps all of the run from being drunk, as it is said behind a number: `may burst`.
    pub withheld: Option<&'static str>,
}

/// Runs with bottles among those sought, in order of key.
pub fn on_hand<'a>(sought: &Sought, cellar: &'a Snapshot) -> Vec<OnHand<'a>> {
    let racks = Racks::of(&cellar.things);
    let policy = Policy::of(cellar);
    let kept_back = |run: &Thing| {
        let feared = Holding::of(cellar, run.key, &policy).and_then(|it| withheld(&it));
        feared.or_else(|| (cellar.filling == Some(run.key)).then_some("being bottled"))
    };
    let runs = cellar.open(Sort::Run).filter(|it| sought.is_run(it));
    runs.filter_map(|run| {
        let year = year(run, cellar);
        if sought.year.is_some() && sought.year != year {
            return None;
        }
        let wine = cellar.wine(run.key)?;
        let lots = wine.bottles.iter();
        let lots: Vec<&BottleLot> = lots.filter(|it| sought.is_lot(it, &racks)).collect();
        let uncounted = wine.unmeasured.is_some() && sought.may_be_uncounted(run, &racks);
        (uncounted || !lots.is_empty()).then_some(OnHand {
            run,
            year,
            lots,
            uncounted,
            about: wine.about,
            withheld: kept_back(run),
        })
    })
    .collect()
}

impl Sought {
    fn is_run(&self, run: &Thing) -> bool {
        self.run.as_ref().is_none_or(|wanted| {
            let wanted = wanted.trim().to_lowercase();
            run.name().to_lowercase().starts_with(&wanted)
                || run.text(field::RUN_MARK).to_lowercase() == wanted
        })
    }

    /// Of bottles that nobody counted only the run and a loose place are known.
    fn may_be_uncounted(&self, run: &Thing, racks: &Racks) -> bool {
        let place = self.place.as_deref();
        self.size_ml.is_none()
            && !self.reserved
            && place.is_none_or(|it| racks.is_at(run.text(field::ROOM), it))
    }

    fn is_lot(&self, lot: &BottleLot, racks: &Racks) -> bool {
        let place = self.place.as_deref();
        lot.count > 0
            && place.is_none_or(|it| racks.is_at(&lot.at, it))
            && self.size_ml.is_none_or(|it| lot.size_ml == it)
            && !(self.reserved && lot.reserved.is_empty())
    }
}

impl OnHand<'_> {
    /// Bottles in all.
    pub fn count(&self) -> i64 {
        self.lots.iter().map(|it| it.count).sum()
    }

    /// Bottles kept for someone or something.
    pub fn reserved(&self) -> i64 {
        let kept = self.lots.iter().filter(|it| !it.reserved.is_empty());
        kept.map(|it| it.count).sum()
    }

    /// Bottles that nobody keeps for anything and that are safe to open.
    pub fn drinkable(&self) -> i64 {
        if self.withheld.is_some() {
            return 0;
        }
        self.count() - self.reserved()
    }

    /// Bottles by size, the largest first.
    pub fn sizes(&self) -> Vec<(i64, i64)> {
        let mut sizes: BTreeMap<i64, i64> = BTreeMap::new();
        for lot in &self.lots {
            *sizes.entry(lot.size_ml).or_default() += lot.count;
        }
        sizes.into_iter().rev().collect()
    }

    /// Bottles by what they are kept for.
    pub fn kept_for(&self) -> Vec<(&str, i64)> {
        let kept = self.lots.iter().filter(|it| !it.reserved.is_empty());
        counted(kept.map(|it| (it.reserved.as_str(), it.count)))
    }

    /// Bottles by what a look found amiss with them.
    pub fn amiss(&self) -> Vec<(&str, i64)> {
        let amiss = self.lots.iter().filter(|it| !it.found.is_empty());
        counted(amiss.map(|it| (it.found.as_str(), it.count)))
    }

    /// Bottles by rack, or by place where that is none; an empty place where nobody said.
    pub fn places<'a>(&'a self, racks: &'a Racks) -> Vec<(&'a str, i64)> {
        let place = |at: &'a str| racks.read(at).rack().map_or(at, |it| it.name.as_str());
        counted(self.lots.iter().map(|it| (place(&it.at), it.count)))
    }

    /// In which of a rack's slots they lie, in words: `Rack A/A1 to B3 and shelf 2`.
    pub fn where_exactly(&self, racks: &Racks) -> String {
        let said = self.lots.iter().map(|it| it.at.as_str());
        racks.together(said.filter(|it| !it.is_empty()))
    }

    /// Those that were begun and are not empty: `1 begun 3 Nov 2026`.
    pub fn begun(&self, cellar: &Snapshot) -> Option<String> {
        begun(self.run, cellar)
    }

    /// Until when they wait, UTC ms, if that is still to come, and what for: for the day that a person said they open
    /// on, else for the end of their rest.
    pub fn waits(&self, cellar: &Snapshot) -> Option<(&'static str, i64)> {
        let opens = self.run.int(field::WINDOW_OPENS).map(|it| ("opens", it));
        let rests = self
            .run
            .int(field::REST_UNTIL)
            .map(|it| ("rests until", it));
        opens.or(rests).filter(|it| it.1 > cellar.now.utc_ms)
    }
}

/// Kegs, bags or jugs of a run that were begun and are not empty: `1 begun 3 Nov 2026`.
pub fn begun(run: &Thing, cellar: &Snapshot) -> Option<String> {
    let count = Package::begun(run, cellar.wine(run.key)?);
    let since = cellar.now.at(run.int(field::BEGUN_SINCE)?);
    (count > 0).then(|| format!("{count} begun {}", since.day_words()))
}

fn counted<'a>(parts: impl Iterator<Item = (&'a str, i64)>) -> Vec<(&'a str, i64)> {
    let mut counts: BTreeMap<&str, i64> = BTreeMap::new();
    for (word, count) in parts {
        *counts.entry(word).or_default() += count;
    }
    let mut counts: Vec<(&str, i64)> = counts.into_iter().collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    counts
}

/// Year of the harvest: the batch's vintage, else the year in what was said of when it was made.
pub fn year(run: &Thing, cellar: &Snapshot) -> Option<i64> {
    let batch = cellar.wine(run.key).and_then(Wine::main_batch);
    let vintage = batch.and_then(|it| cellar.thing(it)?.int(field::VINTAGE));
    vintage.or_else(|| {
        let words = run.text(field::SINCE_WORDS);
        let mut numbers = words.split(|it: char| !it.is_ascii_digit());
        numbers.find_map(|it| it.parse().ok().filter(|it| (1900..2200).contains(it)))
    })
}
