//! A bottling run as a person looks it up: how many are left and where, since when, and what became
//! of the others. The list and the page to hang by the rack both say it so.

use std::collections::BTreeMap;

use super::attention::{Holding, Policy};
use super::bottling::{Closure, Package, bar};
use super::entry::{BottleMove, Draft, Kind, Spot};
use super::moment::Moment;
use super::on_hand;
use super::racks::Racks;
use super::snapshot::Snapshot;
use super::state::{Deed, Wine};
use super::telling;
use super::thing::{Account, Sort, Thing, field};
use super::window::{NOT_KNOWN, is_dated, window};

impl Thing {
    /// Whether this is a run whose filling has begun and is not finished.
    pub fn is_filling(&self) -> bool {
        self.sort == Sort::Run
            && self.attributes.get(field::VESSEL).is_some()
            && self.int(field::FINISHED).is_none()
    }
}

/// What it says, line by line: heading and words. `entries` are the living ones that name the run,
/// the newest first.
pub fn facts<'a>(
    run: &Thing,
    cellar: &Snapshot,
    entries: impl IntoIterator<Item = &'a Draft>,
) -> Vec<(&'static str, String)> {
    let mut said = Vec::new();
    let mut fact = |heading: &'static str, words: String| {
        if !words.is_empty() {
            said.push((heading, words));
        }
    };
    let wine = cellar.wine(run.key);
    if let Some(batch) = wine.and_then(Wine::main_batch) {
        fact("holds", cellar.name(batch).to_owned());
    }
    let lots = wine.map_or(&[][..], |it| &it.bottles);
    fact("begun", on_hand::begun(run, cellar).unwrap_or_default());
    let about = if wine.is_some_and(|it| it.about && it.bottle_count() > 1) {
        "about "
    } else {
        ""
    };
    fact(
        "left",
        match wine {
            None => "none".to_owned(),
            Some(wine) if wine.unmeasured.is_some() => "not counted".to_owned(),
            Some(_) => {
                let mut by_size = BTreeMap::new();
                for lot in lots {
                    *by_size.entry(lot.size_ml).or_default() += lot.count;
                }
                format!(
                    "{about}{}",
                    telling::count_words(Package::of(run), &by_size)
                )
            }
        },
    );
    for words in telling::bottle_lots(run, lots, &Racks::of(&cellar.things)) {
        fact("kept", words);
    }
    for (heading, words) in bottles(run, cellar) {
        fact(heading, words);
    }
    for draft in entries {
        let when = draft.when.day_words();
        for tasting in draft.tastings.iter().filter(|it| it.place == run.key) {
            let score = tasting.score.map(|it| format!("score {it}"));
            let parts = [Some(tasting.words.clone()), score, Some(when.clone())];
            // A score may stand without words.
            let parts = parts.into_iter().flatten().filter(|it| !it.is_empty());
            let parts: Vec<String> = parts.collect();
            fact("tasted", parts.join(", "));
        }
        if let Some((heading, words)) = left(draft, run) {
            fact(heading, format!("{words}, {when}"));
        }
    }
    said
}

/// What is told of its bottles wherever they are: since when, how they are closed and marked, how long they rest and when they are
/// to be drunk.
pub fn bottles(run: &Thing, cellar: &Snapshot) -> Vec<(&'static str, String)> {
    let mut said = Vec::new();
    let mut fact = |heading: &'static str, words: String| {
        if !words.is_empty() {
            said.push((heading, words));
        }
    };
    let wine = cellar.wine(run.key);
    let day = |at_ms: i64| cellar.now.at(at_ms).day_words();
    let is_own = run.int(field::VESSEL).is_some();
    let filled = wine.and_then(|it| it.when(Deed::Bottled));
    let filled = filled.or(run.int(field::FINISHED));
    fact(
        "bottled",
        filled.filter(|_| is_own).map_or(String::new(), day),
    );
    fact("since", run.text(field::SINCE_WORDS).to_owned());
    fact("closure", Closure::said(run.text(field::CLOSURE)));
    let looks = [field::COLOUR, field::SHAPE].map(|it| run.text(it));
    let looks = looks.into_iter().filter(|it| !it.is_empty());
    fact("glass", looks.collect::<Vec<_>>().join(", "));
    fact("rated", run.real(field::RATING).map_or(String::new(), bar));
    fact(
        "pressure",
        run.real(field::PRESSURE).map_or(String::new(), bar),
    );
    fact("mark", run.text(field::RUN_MARK).to_owned());
    let until = run.int(field::REST_UNTIL).map(|it| cellar.now.at(it));
    fact(
        "rest until",
        match until {
            Some(until) if until > cellar.now => until.day_words(),
            Some(until) => format!("{}, over", until.day_words()),
            None => String::new(),
        },
    );
    fact("drink", drink(run, cellar));
    said
}

/// How the window of its bottles came about, line by line; nothing where they have none.
pub fn window_because(run: &Thing, cellar: &Snapshot) -> Vec<String> {
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, run.key, &policy).filter(|it| it.wine.bottle_count() > 0);
    let window = holding.and_then(|it| window(&it));
    window.map_or_else(Vec::new, |it| it.because)
}

/// When its bottles are to be drunk, if any are left.
pub fn drink(run: &Thing, cellar: &Snapshot) -> String {
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, run.key, &policy).filter(|it| it.wine.bottle_count() > 0);
    let Some(holding) = holding else {
        return String::new();
    };
    let Some(window) = window(&holding) else {
        let why = if is_dated(&holding) { "" } else { NOT_KNOWN };
        return why.to_owned();
    };
    let (mut opens, closes) = (window.opens.day_words(), window.closes.day_words());
    if window.closes_low == window.closes_high {
        return format!("{opens} to {closes}, as written down");
    }
    if run.int(field::WINDOW_OPENS).is_some() {
        opens += ", as written down,";
    }
    let month = |it: Moment| it.date().format("%b %Y").to_string();
    let (low, high) = (month(window.closes_low), month(window.closes_high));
    let about = month(window.closes);
    format!("{opens} to about {about} (its end {low} to {high}), an estimate")
}

/// Bottles that an entry took away: how many, and to whom.
fn left(draft: &Draft, run: &Thing) -> Option<(&'static str, String)> {
    let heading = match draft.kind {
        Kind::Open => "opened",
        Kind::Give => "given",
        Kind::Break => "broken",
        Kind::Unbottle => "poured back",
        _ => return None,
    };
    let found = Account::Before.key();
    let its = draft.bottles.iter().filter(|it| it.run == run.key);
    let mut by_size = BTreeMap::new();
    for moved in its.filter(|it: &&BottleMove| matches!(it.to, Spot::Outside(to) if to != found)) {
        *by_size.entry(moved.size_ml).or_default() += moved.count;
    }
    let parts = [
        telling::count_words(Package::of(run), &by_size),
        telling::recipient(draft).to_owned(),
    ];
    let parts: Vec<String> = parts.into_iter().filter(|it| !it.is_empty()).collect();
    (!parts.is_empty()).then(|| (heading, parts.join(" ")))
}

/// The run in use with that mark, if only one has it.
pub fn marked<'a>(mark: &str, cellar: &'a Snapshot) -> Option<&'a Thing> {
    let has_it = |it: &&Thing| it.text(field::RUN_MARK).eq_ignore_ascii_case(mark.trim());
    let mut found = cellar
        .open(Sort::Run)
        .filter(|it| !mark.trim().is_empty() && has_it(it));
    found.next().filter(|_| found.next().is_none())
}
