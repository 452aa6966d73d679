//! What needs someone, when, and why: pure rules over a snapshot.

use super::moment::Moment;
use super::thing::Key;
use super::thing::words;

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
    /// What is lost by waiting, to order reasons of one rank; larger comes first.
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
