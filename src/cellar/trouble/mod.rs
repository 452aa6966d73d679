//! Something is wrong: what a person sees, smells or tastes, how to know it from its double, what to
//! do today, what never to do, whether the wine can be saved and whether it is safe to drink.
//!
//! One file a family of faults. To add a fault is a static in its family and its line in [`FAULTS`];
//! its clues from the book are in `clues.rs`.

mod air;
mod bottles;
mod cloudy;
mod clues;
mod ferment;
mod fits;
mod follow;
mod growth;
mod hazards;
mod mishaps;
mod sulfur;
mod taste;

use leesline_calc::hazards::Hazard;

use super::attention::{Holding, Policy, Rank, Stage, Suggestion};
use super::snapshot::Snapshot;
use super::state::Wine;
use super::thing::{Key, Sort, Thing, words};
use super::verbs;

use clues::Clue;
pub use fits::{Fit, fits};
pub use follow::{FOLLOWED, Follows, Whereabouts, follow};

/// Every fault, smell first, in the order in which a list without words shows them.
pub static FAULTS: &[&Fault] = &[
    &sulfur::EGG,
    &sulfur::ONION,
    &sulfur::MATCH,
    &air::VINEGAR,
    &air::NAIL_VARNISH,
    &air::SHERRY,
    &air::BROWN,
    &growth::FILM,
    &growth::MOULD,
    &growth::MOUSE,
    &growth::GERANIUM,
    &growth::SAUERKRAUT,
    &growth::ROPY,
    &growth::STABLE,
    &ferment::NO_START,
    &ferment::STUCK,
    &ferment::OVERFLOW,
    &cloudy::PROTEIN,
    &cloudy::PECTIN,
    &cloudy::STARCH,
    &cloudy::YEAST,
    &cloudy::MALO,
    &cloudy::METAL,
    &cloudy::WONT_CLEAR,
    &cloudy::CRYSTALS,
    &bottles::FIZZ,
    &bottles::RISING_CORKS,
    &bottles::LEAK,
    &bottles::CORKED,
    &bottles::SHOCK,
    &taste::BITTER,
    &taste::SOUR,
    &taste::FLAT,
    &taste::ALMOND,
    &taste::PLASTER,
    &taste::TINNY,
    &mishaps::CLEANER,
    &mishaps::GLASS,
    &mishaps::AIRLOCK,
    &mishaps::FLIES,
];

/// How many there are.
pub const COUNT: usize = FAULTS.len();

/// Their words, as stored and typed, in the same order.
pub const WORDS: [&str; COUNT] = {
    let mut words = [""; COUNT];
    let mut at = 0;
    while at < COUNT {
        words[at] = FAULTS[at].word;
        at += 1;
    }
    words
};

/// The fault that words mean best; nothing where they say nothing of any.
pub fn meant(said: &str) -> Option<&'static Fault> {
    let best = fits(said, None).into_iter().next();
    best.filter(Fit::is_said).map(|it| it.fault)
}

/// The fault of that word, as stored.
pub fn find(word: &str) -> Option<&'static Fault> {
    FAULTS.iter().copied().find(|it| it.word == word)
}

/// What a fault is called; the word itself where it is none of these.
pub fn name(word: &str) -> &str {
    find(word).map_or(word, |it| it.name)
}

/// The worst that a wine is marked with, and since when (UTC ms): what may hurt someone first, then what presses most.
pub fn worst(wine: &Wine) -> Option<(&'static Fault, i64)> {
    let marks = wine.troubles.iter();
    let marks = marks.filter_map(|(word, at)| Some((find(word)?, *at)));
    marks.min_by_key(|(fault, at)| (std::cmp::Reverse(fault.safety), fault.rank, *at))
}

/// What a wine is marked with that one it is poured into is not.
pub fn brought(from: &Wine, into: &Wine) -> Option<&'static Fault> {
    let mut marks = from.troubles.keys();
    marks.find_map(|it| find(it).filter(|_| !into.troubles.contains_key(it)))
}

/// A fault for which nobody may drink the wine, that another place with the same wine is marked with, and that place. Gas in some bottles says
/// nothing of those filled on another day.
pub fn unsafe_beside(place: Key, cellar: &Snapshot) -> Option<(&str, &'static Fault)> {
    let batch = cellar.wine(place)?.main_batch()?;
    let vessels = cellar.open(Sort::Vessel).chain(cellar.open(Sort::Run));
    let mut others = vessels.filter(|it| it.key != place);
    others.find_map(|it| {
        let wine = cellar
            .wine(it.key)
            .filter(|it| it.main_batch() == Some(batch))?;
        let mut faults = wine.troubles.keys().filter_map(|it| find(it));
        Some((it.name(), faults.find(|it| it.safety == Safety::Unsafe)?))
    })
}

/// What a wine is marked with: `vinegar and film`.
pub fn marked(wine: &Wine) -> Option<String> {
    let names: Vec<&str> = wine.troubles.keys().map(|it| name(it)).collect();
    (!names.is_empty()).then(|| names.join(" and "))
}

words! {
    /// Whether a wine with a fault may be drunk.
    Safety {
        Safe "safe" "safe",
        Spoiled "spoiled" "harmless, and spoiled",
        NotYet "not-yet" "not as it is",
        Unsafe "unsafe" "no",
    }
}

impl Safety {
    /// Whether it may hurt someone as it is.
    pub fn harms(self) -> bool {
        matches!(self, Safety::NotYet | Safety::Unsafe)
    }
}

/// Where a fault is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Met {
    /// In a vessel or in bottles.
    Anywhere,
    /// In a vessel.
    Vessel,
    /// In bottles.
    Bottles,
    /// In a vessel whose wine ferments.
    AtWork,
    /// In a vessel whose wine ferments no more.
    Over,
}

/// A verb of the book that is an answer to a fault.
#[derive(Debug)]
pub(crate) struct Way {
    /// Name of the verb.
    verb: &'static str,
    /// What it does here, a few words: `pour it away`.
    what: &'static str,
    /// Where it can be done.
    met: Met,
    /// Fields filled in besides the vessel or bottles.
    values: &'static [(&'static str, &'static str)],
    /// Fields that only the person knows.
    needs: &'static [&'static str],
}

/// Something that is wrong with a wine.
#[derive(Debug)]
pub struct Fault {
    /// As stored and typed.
    pub word: &'static str,
    /// As shown.
    pub name: &'static str,
    /// Words to find it by, in small letters; no other fault has them.
    pub signs: &'static [&'static str],
    /// What is seen, smelled or tasted.
    pub notice: &'static str,
    /// How to know it from its double.
    pub tell: &'static [&'static str],
    /// What to do today.
    pub today: &'static [&'static str],
    /// What never to do.
    pub never: &'static [&'static str],
    /// Whether it can be saved.
    pub saved: &'static str,
    /// Whether it may be drunk.
    pub safety: Safety,
    /// The same in words.
    pub drink: &'static str,
    /// How pressing it is once it is marked.
    pub rank: Rank,
    /// What can hurt someone.
    pub hazards: &'static [&'static Hazard],
    /// Where all this comes from.
    pub sources: &'static [&'static str],
    /// Where it is met.
    pub(crate) met: Met,
    /// What the book may know of it.
    pub(crate) clues: &'static [Clue],
    /// Entries that are an answer to it.
    pub(crate) ways: &'static [Way],
}

/// Part of what is told of a fault: a heading, and its sentences.
pub type Section = (&'static str, Vec<&'static str>);

impl Fault {
    /// All that is told of it, in order.
    pub fn sections(&self) -> Vec<Section> {
        let safe = match self.safety {
            Safety::Safe | Safety::Spoiled => "Safe to drink",
            Safety::NotYet => "Do not drink it yet",
            Safety::Unsafe => "Do not drink it",
        };
        let all = [
            ("You notice", vec![self.notice]),
            ("Know it from its double", self.tell.to_vec()),
            ("Do today", self.today.to_vec()),
            ("Never", self.never.to_vec()),
            (safe, vec![self.drink]),
            ("Can it be saved", vec![self.saved]),
            (
                "Caution",
                self.hazards.iter().map(|it| it.sentence).collect(),
            ),
            ("Sources", self.sources()),
        ];
        all.into_iter().filter(|it| !it.1.is_empty()).collect()
    }

    /// What is to be known before anything else is read; nothing where the wine may be drunk.
    pub fn warning(&self) -> Option<String> {
        let safe = match self.safety {
            Safety::Safe | Safety::Spoiled => return None,
            Safety::NotYet => "Do not drink it yet.",
            Safety::Unsafe => "Do not drink it.",
        };
        let shorts = self.hazards.iter().map(|it| it.short);
        Some(
            std::iter::once(safe)
                .chain(shorts)
                .collect::<Vec<_>>()
                .join(" "),
        )
    }

    /// Its sources, and those of its cautions, each once.
    pub fn sources(&self) -> Vec<&'static str> {
        let mut all = self.sources.to_vec();
        for hazard in self.hazards {
            if !all.contains(&hazard.source) {
                all.push(hazard.source);
            }
        }
        all
    }

    /// Whether it is met in such a place.
    pub fn is_met_in(&self, sort: Sort) -> bool {
        self.met.is_in(sort)
    }

    /// The entries that are an answer to it in a place, filled in, each with what it does there.
    pub fn answers(&self, place: &Thing, cellar: &Snapshot) -> Vec<(&'static str, Suggestion)> {
        let policy = Policy::of(cellar);
        let stage = Holding::of(cellar, place.key, &policy).map(|it| it.stage());
        let works = matches!(stage, Some(Stage::Must | Stage::Fermenting));
        let ways = self.ways.iter().filter(|it| it.met.is_in(place.sort));
        let ways = ways.filter(|it| match it.met {
            Met::AtWork => works,
            Met::Over => !works,
            Met::Anywhere | Met::Vessel | Met::Bottles => true,
        });
        ways.filter_map(|it| Some((it.what, it.about(place)?)))
            .collect()
    }
}

impl Met {
    fn is_in(self, sort: Sort) -> bool {
        match self {
            Met::Anywhere => true,
            Met::Vessel | Met::AtWork | Met::Over => sort == Sort::Vessel,
            Met::Bottles => sort == Sort::Run,
        }
    }
}

impl Way {
    fn about(&self, place: &Thing) -> Option<Suggestion> {
        let subject = verbs::find(self.verb)?.fields.first()?.key;
        let values = self.values.iter();
        let values = values.map(|(key, text)| (*key, (*text).to_owned()));
        Some(Suggestion {
            verb: self.verb,
            values: std::iter::once((subject, place.name().to_owned()))
                .chain(values)
                .collect(),
            needs: self.needs.to_vec(),
        })
    }
}

/// Wine poured away, out of a vessel or with its bottles; the verb asks before it does.
const POUR_AWAY: Way = Way {
    verb: "discard",
    what: "pour it away",
    met: Met::Anywhere,
    values: &[],
    needs: &[],
};
/// Off what lies at its bottom.
const RACK: Way = Way {
    verb: "rack",
    what: "rack it",
    met: Met::Vessel,
    values: &[],
    needs: &["to"],
};
/// The same where a ferment would be left without its yeast.
const RACK_WHEN_OVER: Way = Way {
    met: Met::Over,
    ..RACK
};
/// Food for yeast that is hungry.
const FEED: Way = Way {
    verb: "feed",
    what: "feed its yeast, if less than half of the sugar is gone",
    met: Met::AtWork,
    values: &[],
    needs: &["amount"],
};
/// Up to the neck.
const TOP_UP: Way = Way {
    verb: "top-up",
    what: "top it up",
    met: Met::Vessel,
    values: &[],
    needs: &["from"],
};
/// What it holds of sulfite.
const TEST_SO2: Way = Way {
    verb: "measure",
    what: "write down its free SO2",
    met: Met::Vessel,
    values: &[],
    needs: &["free-so2"],
};
/// How much sugar is left.
const TEST_GRAVITY: Way = Way {
    verb: "measure",
    what: "write down its gravity",
    met: Met::Vessel,
    values: &[],
    needs: &["gravity"],
};
/// How the corks stand.
const LOOK: Way = Way {
    verb: "look",
    what: "look at its bottles",
    met: Met::Bottles,
    values: &[],
    needs: &["corks"],
};
/// Bottles back into a vessel.
const UNBOTTLE: Way = Way {
    verb: "unbottle",
    what: "pour bottles back into a vessel",
    met: Met::Bottles,
    values: &[],
    needs: &["count", "into"],
};
/// One bottle opened, to see.
const OPEN_ONE: Way = Way {
    verb: "open",
    what: "open one and taste",
    met: Met::Bottles,
    values: &[("count", "1")],
    needs: &[],
};

#[cfg(test)]
mod tests;
