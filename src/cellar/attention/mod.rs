//! What needs someone, when, and why: pure rules over a snapshot.
//!
//! One file a rule. A rule sees what one place holds ([`Holding`]) or the whole cellar (`Look`)
//! and says at most what is true now or within the policy's horizon; [`attention`] takes out what a
//! person has put off and sorts the rest. To add a rule is one file and one line below.

mod begun;
mod cap;
mod drink;
mod each;
pub mod ferment;
mod filling;
pub mod finished;
mod first_sulfite;
mod fit;
pub mod free_so2;
pub mod gate;
mod given;
mod headspace;
pub mod holding;
mod hot;
mod jobs;
mod jots;
mod lay_down;
mod lees;
mod look;
mod malo;
mod malo_course;
mod must;
pub mod policy;
mod presumed;
mod put_off;
mod refermenting;
mod rest;
mod rose;
mod round;
mod so2_course;
mod so2_words;
mod sorbate;
mod stable;
pub mod stage;
mod sulfite;
mod sulfite_high;
mod supply;
mod sweetened;
pub mod threshold;
mod too_full;
mod topping;
#[cfg(test)]
pub(in crate::cellar) mod trial;
mod trouble;
mod unstable;
mod untested;
mod waiting;
mod warmth;
mod watch;
mod withheld;
pub mod words;

use std::collections::{BTreeMap, BTreeSet};

use super::moment::Moment;
use super::snapshot::Snapshot;
use super::state::Wine;
use super::thing::{Key, Sort, words};

pub(in crate::cellar) use each::of_each;
pub use ferment::Fermentation;
pub(in crate::cellar) use ferment::{REMEDIES, STANDS_STILL};
pub use finished::Finished;
pub use fit::Look;
pub use free_so2::{Band, Falls};
pub use gate::{Answer, GateItem};
pub use given::Given;
pub use holding::Holding;
pub(in crate::cellar) use look::{may_burst, pressure};
pub use policy::Policy;
pub(in crate::cellar) use refermenting::{is_unseen, is_watched};
pub use round::round_due;
pub use stage::Stage;
pub use threshold::Threshold;
pub use watch::Watch;
pub use withheld::{is_marked_undrinkable, withheld};

/// A rule about what one place holds.
type OfAPlace = for<'a> fn(&'a Holding, &'a Look) -> Option<Found<'a>>;

/// A rule about the cellar as a whole.
type OfTheCellar = for<'a> fn(&'a Look) -> Vec<Found<'a>>;

/// Rules about what one vessel holds.
const OF_A_VESSEL: &[OfAPlace] = &[
    trouble::rule,
    sulfite_high::rule,
    sulfite::rule,
    headspace::rule,
    topping::rule,
    too_full::rule,
    lees::rule,
    ferment::rule,
    must::rule,
    cap::rule,
    hot::rule,
    unstable::rule,
    rose::rule,
    malo::rule,
    first_sulfite::rule,
];

/// Rules about the bottles of one run.
const OF_A_RUN: &[OfAPlace] = &[
    trouble::rule,
    sulfite_high::rule,
    refermenting::rule,
    look::amiss,
    look::due,
    lay_down::rule,
    begun::rule,
    rest::rule,
    drink::opens,
    drink::closes,
];

/// Rules about the cellar as a whole.
const OF_THE_CELLAR: &[OfTheCellar] = &[
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
    let mut reasons = look.of_the_cellar();
    reasons.extend(look.of_each(&look.places()).into_iter().flatten());
    in_order(reasons, cellar)
}

/// What the rules found, without what was put off, the most pressing first.
fn in_order(mut reasons: Vec<Reason>, cellar: &Snapshot) -> Vec<Reason> {
    reasons.retain(|it| !is_silenced(it, cellar));
    untested::as_one(&mut reasons, cellar);
    reasons.sort_by(|a, b| {
        a.rank
            .cmp(&b.rank)
            .then(b.weight.total_cmp(&a.weight))
            .then(a.due.cmp(&b.due))
            .then(a.subject.cmp(&b.subject))
    });
    reasons
}

/// The reasons of one vessel or run, the most pressing first, without a look at the others.
pub fn reasons_of(place: Key, cellar: &Snapshot, policy: &Policy) -> Vec<Reason> {
    let look = Look::at(cellar, policy);
    let mut reasons: Vec<Reason> = jobs::rule(&look).into_iter().map(|it| it.reason).collect();
    reasons = about(place, &reasons, cellar).cloned().collect();
    look.find_about(place, |found| reasons.push(found.reason));
    reasons.retain(|it| !is_silenced(it, cellar));
    reasons.sort_by_key(|it| (it.rank, it.due));
    reasons
}

impl Look<'_> {
    /// The vessels and runs that the rules are asked about.
    fn places(&self) -> Vec<Key> {
        let open = |sort| self.cellar.open(sort).map(|it| it.key);
        open(Sort::Vessel).chain(open(Sort::Run)).collect()
    }

    /// What the rules find about the cellar as a whole.
    fn of_the_cellar(&self) -> Vec<Reason> {
        let found = OF_THE_CELLAR.iter().flat_map(|rule| rule(self));
        found.map(|it| it.reason).collect()
    }

    /// What they find about each of those places.
    fn of_each(&self, places: &[Key]) -> Vec<Vec<Reason>> {
        of_each(places, |place| {
            let mut here = Vec::new();
            self.find_about(place, |it| here.push(it.reason));
            here
        })
    }

    /// Hands over what the rules find about one vessel or run.
    fn find_about(&self, place: Key, each: impl FnMut(Found)) {
        let Some(holding) = Holding::of(self.cellar, place, self.policy) else {
            return;
        };
        let rules = match holding.place.sort {
            // A vessel that is being bottled empties as it should.
            Sort::Vessel if self.emptying == Some(place) => return,
            Sort::Vessel => OF_A_VESSEL,
            _ => OF_A_RUN,
        };
        rules
            .iter()
            .filter_map(|rule| rule(&holding, self))
            .for_each(each);
    }

    /// The working behind a reason, line by line: rule, data, numbers, source. It is worded only now,
    /// because a large cellar has thousands of reasons and people ask why of a few.
    pub fn working(&self, reason: &Reason) -> Vec<String> {
        let mut lines = self.because(reason);
        lines.extend(reason.waiting());
        lines
    }

    fn because(&self, reason: &Reason) -> Vec<String> {
        let is_it = |it: &Reason| it.is_same_as(reason);
        if let Some(lines) = untested::working(reason, self) {
            return lines;
        }
        let mut lines = None;
        self.find_about(reason.subject, |found| {
            if is_it(&found.reason) {
                lines = Some((found.why)());
            }
        });
        lines.unwrap_or_else(|| {
            let mut all = OF_THE_CELLAR.iter().flat_map(|rule| rule(self));
            let found = all.find(|it| is_it(&it.reason));
            found.map_or(Vec::new(), |it| (it.why)())
        })
    }
}

/// The reasons of one thing, in their order: its own, and of a vessel those of the batch in it too.
pub fn about<'a>(
    thing: Key,
    reasons: &'a [Reason],
    cellar: &Snapshot,
) -> impl Iterator<Item = &'a Reason> + use<'a> {
    let is_vessel = cellar
        .thing(thing)
        .is_some_and(|it| it.sort == Sort::Vessel);
    let batch = cellar
        .wine(thing)
        .filter(|_| is_vessel)
        .and_then(Wine::main_batch);
    reasons
        .iter()
        .filter(move |it| it.subject == thing || Some(it.subject) == batch)
}

/// The one to show of one subject's reasons, given the most pressing first.
pub fn foremost<'a>(mut its: impl Iterator<Item = &'a Reason>) -> Option<&'a Reason> {
    let first = its.next()?;
    Some(its.fold(
        first,
        |shown, it| {
            if goes_before(it, shown) { it } else { shown }
        },
    ))
}

/// Whether a reason goes before one that waiting costs more: a job that falls due sooner and presses as much
/// would be hidden by it until it is too late.
fn goes_before(reason: &Reason, shown: &Reason) -> bool {
    let is_as_pressing = reason.rank == shown.rank;
    reason.kind == ReasonKind::Job && is_as_pressing && reason.due < shown.due
}

/// A reason shown at a glance, with those behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glimpse {
    /// Place among all reasons of what presses most of its subject.
    pub at: usize,
    /// How many more there are of the same vessel, batch, run or supply.
    pub more: usize,
}

/// What shows at once: five lines at most, one a subject, and of one rank first one of each kind, so
/// that many of a kind hide no other. Jots have a line of their own.
pub fn glance(reasons: &[Reason]) -> Vec<Glimpse> {
    let mut first: Vec<Glimpse> = Vec::new();
    let mut lines: BTreeMap<(Key, bool), usize> = BTreeMap::new();
    for (at, reason) in reasons.iter().enumerate() {
        // A jot is made into entries from its own line.
        let line = (reason.subject, reason.kind == ReasonKind::Jot);
        if let Some(line) = lines.get(&line) {
            let glimpse = &mut first[*line];
            glimpse.more += 1;
            if goes_before(reason, &reasons[glimpse.at]) {
                glimpse.at = at;
            }
        } else {
            lines.insert(line, first.len());
            first.push(Glimpse { at, more: 0 });
        }
    }
    let mut seen: BTreeSet<(Rank, &str)> = BTreeSet::new();
    let (mut new, again): (Vec<Glimpse>, Vec<Glimpse>) = first
        .into_iter()
        .partition(|it| seen.insert((reasons[it.at].rank, reasons[it.at].kind.word())));
    new.extend(again);
    new.sort_by_key(|it| reasons[it.at].rank);
    new.truncate(5);
    new
}

impl Glimpse {
    /// What stands behind the line: `, and 2 more`.
    pub fn behind(&self) -> String {
        match self.more {
            0 => String::new(),
            more => format!(", and {more} more"),
        }
    }
}

fn is_silenced(reason: &Reason, cellar: &Snapshot) -> bool {
    cellar.silences.iter().any(|it| it.silences(reason, cellar))
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
    /// Litres that a week of waiting is expected to cost, to order reasons of one rank: the larger
    /// comes first, and a chore costs nothing. See `waiting.rs`.
    pub weight: f64,
    /// A few words for a row: `free SO2 about 15 (12–19), aim 26 mg/L: below it now`.
    pub sentence: String,
    /// What deals with it.
    pub suggestion: Suggestion,
}

/// A reason as a rule finds it, with its working not yet put into words.
struct Found<'a> {
    reason: Reason,
    why: Box<dyn FnOnce() -> Vec<String> + 'a>,
}

impl Reason {
    /// With its working, worded when somebody asks.
    fn because<'a>(self, why: impl FnOnce() -> Vec<String> + 'a) -> Found<'a> {
        Found {
            reason: self,
            why: Box::new(why),
        }
    }
}

impl Reason {
    /// The fault whose page says what to do first, where someone can be hurt by doing anything else; see `trouble`.
    pub fn fault(&self) -> Option<&'static str> {
        (self.kind == ReasonKind::Amiss && self.rank == Rank::Now).then_some("corks-rising")
    }

    /// Whether it is the same reason, found at another moment perhaps.
    fn is_same_as(&self, other: &Reason) -> bool {
        (self.subject, self.kind) == (other.subject, other.kind)
            && self.identity() == other.identity()
    }

    /// What tells it from the other reasons of its subject. Of most kinds a thing has one at a time; of jobs it may have many,
    /// told by their words and day, and it may be short of several supplies.
    pub fn identity(&self) -> String {
        let (kind, due) = (self.kind.word(), self.due.date());
        match self.kind {
            ReasonKind::Job => format!("{kind}: {}, {due}", self.suggested("job")),
            ReasonKind::SupplyShort => format!("{kind}: {}", self.suggested("substance")),
            _ => kind.to_owned(),
        }
    }

    /// What stands in that field of what deals with it; empty if nothing does.
    pub fn suggested(&self, field: &str) -> &str {
        let mut values = self.suggestion.values.iter();
        values.find(|it| it.0 == field).map_or("", |it| &it.1)
    }

    /// Whether it is what was put off under that name. Jobs are put off one by one, and all that is short for a wine at once.
    fn goes_by(&self, name: &str) -> bool {
        match self.kind {
            ReasonKind::SupplyShort => name == self.kind.word(),
            _ => name == self.identity(),
        }
    }
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
    pub(crate) fn of(verb: &'static str) -> Suggestion {
        Suggestion {
            verb,
            ..Suggestion::default()
        }
    }

    /// With a field filled in.
    pub(crate) fn with(mut self, field: &'static str, value: impl Into<String>) -> Suggestion {
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
        SulfiteHigh "sulfite-high" "more SO2 than wine may hold",
        SulfiteOld "sulfite-old" "free SO2 not measured for long",
        Presumed "so2-presumed" "free SO2 presumed low for its pH",
        Untested "so2-untested" "free SO2 never measured",
        FirstSulfite "first-sulfite" "no sulfite since the ferment",
        Headspace "headspace" "too much headspace",
        Topping "topping" "a barrel to top up",
        TooFull "too-full" "too full for foam or warmth",
        Lees "lees" "sediment since the last racking",
        MustWaits "must-waits" "must without its yeast",
        Cap "cap" "a cap of skins to push under",
        Hot "hot" "a ferment too warm",
        Unfinished "unfinished" "to be measured as finished",
        Stuck "stuck" "stuck ferment",
        Sluggish "sluggish" "ferment too slow",
        DryDue "dry-due" "expected to be dry",
        GravityRose "gravity-rose" "gravity that rose",
        Unstable "unstable" "sweetened and not stabilised",
        MaloAsked "malo-asked" "malolactic wanted or not",
        MaloOpen "malo-open" "malolactic not yet seen to finish",
        MaloUnprotected "malo-unprotected" "malolactic finished and unprotected",
        Round "round" "the cellar round",
        Look "look" "a look at standing bottles",
        Amiss "amiss" "bottles that show something amiss",
        Refermenting "refermenting" "bottles that may ferment again",
        LayDown "lay-down" "bottles to lay down",
        Begun "begun" "begun for long",
        RestEnded "rest-ended" "rest ended",
        WindowOpens "window-opens" "ready to drink",
        DrinkUp "drink-up" "bottles to drink up",
        SupplyShort "supply-short" "too little for the work ahead",
        SupplyOld "supply-old" "too old for the next dose",
        Trouble "trouble" "marked as troubled",
        Job "job" "a job falls due",
        Jot "jot" "a jot to make into entries",
    }
}

#[cfg(test)]
mod tests;
