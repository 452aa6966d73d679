//! What needs someone, when, and why: pure rules over a snapshot.
//!
//! One file a rule. A rule sees what one place holds ([`Holding`]) or the whole cellar (`Look`)
//! and says at most what is true now or within the policy's horizon; [`attention`] takes out what a
//! person has put off and sorts the rest. To add a rule is one file and one line below.

mod filling;
pub mod finished;
mod fit;
pub mod free_so2;
pub mod gate;
mod headspace;
pub mod holding;
mod jobs;
mod jots;
mod lay_down;
mod lees;
mod malo;
pub mod policy;
mod rest;
mod round;
mod stable;
pub mod stage;
mod sulfite;
mod supply;
mod too_full;
#[cfg(test)]
mod trial;
mod unfinished;
pub mod words;

use super::moment::Moment;
use super::snapshot::Snapshot;
use super::thing::{Key, Sort, field, words};

pub use finished::Finished;
pub use free_so2::Band;
pub use gate::{Answer, GateItem};
pub use holding::Holding;
pub use policy::Policy;
pub use stage::Stage;

use fit::Look;

/// Rules about what one vessel holds.
const OF_A_VESSEL: &[fn(&Holding, &Look) -> Option<Reason>] = &[
    sulfite::rule,
    headspace::rule,
    too_full::rule,
    lees::rule,
    unfinished::rule,
    malo::rule,
];

/// Rules about the bottles of one run.
const OF_A_RUN: &[fn(&Holding, &Look) -> Option<Reason>] = &[lay_down::rule, rest::rule];

/// Rules about the cellar as a whole.
const OF_THE_CELLAR: &[fn(&Look) -> Vec<Reason>] = &[
    filling::rule,
    round::rule,
    supply::rule,
    jobs::rule,
    jots::rule,
];

/// Everything that needs someone, the most pressing first: by rank, then what is lost by waiting,
/// then when it falls due, then subject. What a person has put off or dismissed is left out, and a
/// vessel that is out of use needs nothing.
pub fn attention(cellar: &Snapshot, policy: &Policy) -> Vec<Reason> {
    let look = Look::at(cellar, policy);
    let holdings = |sort| {
        cellar
            .open(sort)
            .filter_map(|it| Holding::of(cellar, it.key, policy))
    };
    let mut reasons: Vec<Reason> = OF_THE_CELLAR.iter().flat_map(|rule| rule(&look)).collect();
    // A vessel that is being bottled empties as it should.
    let emptying = cellar
        .filling
        .and_then(|it| cellar.thing(it)?.int(field::VESSEL))
        .map(Key);
    for holding in holdings(Sort::Vessel).filter(|it| emptying != Some(it.place.key)) {
        reasons.extend(OF_A_VESSEL.iter().filter_map(|rule| rule(&holding, &look)));
    }
    for holding in holdings(Sort::Run) {
        reasons.extend(OF_A_RUN.iter().filter_map(|rule| rule(&holding, &look)));
    }
    reasons.retain(|it| !is_silenced(it, cellar));
    reasons.sort_by(|a, b| {
        a.rank
            .cmp(&b.rank)
            .then(b.weight.total_cmp(&a.weight))
            .then(a.due.cmp(&b.due))
            .then(a.subject.cmp(&b.subject))
    });
    reasons
}

/// The reasons shown at once: the first five.
pub fn glance(reasons: &[Reason]) -> &[Reason] {
    &reasons[..reasons.len().min(5)]
}

fn is_silenced(reason: &Reason, cellar: &Snapshot) -> bool {
    cellar.silences.iter().any(|it| {
        it.subject == reason.subject
            && it.reason == reason.kind.word()
            && it.until_ms.is_none_or(|until| cellar.now.utc_ms < until)
    })
}

/// Something that needs someone.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// Vessel, run, batch, supply, or the cellar itself.
    pub subject: Key,
    /// What kind of reason.
    pub kind: ReasonKind,
    /// When it falls due; in the past when overdue.
    pub due: Moment,
    /// How pressing.
    pub rank: Rank,
    /// What is lost by waiting, to order reasons of one rank: litres at stake times how bad it is
    /// for them (0–1). Larger comes first; a chore weighs nothing.
    pub weight: f64,
    /// A few words for a row: `free SO2 about 15 (12–19), aim 26 mg/L: below it now`.
    pub sentence: String,
    /// The working behind it, line by line: rule, data, numbers, source.
    pub why: Vec<String>,
    /// What deals with it.
    pub suggestion: Suggestion,
}

/// How pressing a reason is. Sorts with the most pressing first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rank {
    /// Loss or danger within days, and something can be done today.
    Now,
    /// Falls due soon.
    Soon,
    /// Worth knowing.
    Later,
}

/// A verb with what is known filled in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Suggestion {
    /// Name of the verb, see [`super::verbs::find`]; `dose` opens the dosing pane instead.
    pub verb: &'static str,
    /// Fields filled in.
    pub values: Vec<(&'static str, String)>,
    /// Fields that only the person knows.
    pub needs: Vec<&'static str>,
}

impl Suggestion {
    /// That verb, with nothing filled in.
    fn of(verb: &'static str) -> Suggestion {
        Suggestion {
            verb,
            ..Suggestion::default()
        }
    }

    /// With a field filled in.
    fn with(mut self, field: &'static str, value: impl Into<String>) -> Suggestion {
        self.values.push((field, value.into()));
        self
    }

    /// With a field that only the person knows.
    fn asking(mut self, field: &'static str) -> Suggestion {
        self.needs.push(field);
        self
    }
}

words! {
    /// Kinds of reason, as stored when one is put off.
    ReasonKind {
        Filling "filling" "a bottling is under way",
        SulfiteLow "sulfite-low" "free SO2 low for its pH",
        SulfiteOld "sulfite-old" "free SO2 not measured for long",
        Headspace "headspace" "too much headspace",
        TooFull "too-full" "too full for foam or warmth",
        Lees "lees" "sediment since the last racking",
        Unfinished "unfinished" "not yet measured as finished",
        MaloOpen "malo-open" "malolactic not yet seen to finish",
        MaloUnprotected "malo-unprotected" "malolactic finished and unprotected",
        Round "round" "the cellar round",
        LayDown "lay-down" "bottles to lay down",
        RestEnded "rest-ended" "rest ended",
        SupplyShort "supply-short" "too little for the next dose",
        SupplyOld "supply-old" "too old for the next dose",
        Job "job" "a job falls due",
        Jot "jot" "a jot to make into entries",
    }
}

#[cfg(test)]
mod tests;
