//! Two cellars side by side: what one vessel may look forward to in each.

use crate::cellar::amount::Volume;
use crate::cellar::attention::ferment::DryDay;
use crate::cellar::attention::{Band, Holding, Policy, Reason, reasons_of, words};
use crate::cellar::course::Reaching;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Key;

/// What is foreseen of one vessel or run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outlook {
    /// What it holds; `None` where it holds nothing, or nobody knows how much.
    pub volume: Option<Volume>,
    /// Whether it holds wine.
    pub is_full: bool,
    /// Free SO2 expected at its moment.
    pub free_so2: Option<Band>,
    /// Whether that is presumed by what went in, because no test has seen it.
    pub is_presumed: bool,
    /// When free SO2 falls below the aim.
    pub below_aim: Option<Reaching>,
    /// Gravity expected at its moment, while it ferments: one in ten is below, as many below as above, one in ten above.
    pub gravity: Option<[f64; 3]>,
    /// The days on which its ferment is dry.
    pub dry: Option<DryDay>,
    /// How its ferment stands, and when it is dry, in words.
    pub ferment: String,
    /// The part of the vessel (0–1) left for foam while it ferments, and what is asked while it foams much.
    pub foam: Option<(f64, Option<f64>)>,
    /// The air above it; none while it ferments, which keeps air off.
    pub headspace: Option<Volume>,
    /// Oxygen in that air for each litre of wine, mg.
    pub oxygen_mg_l: Option<f64>,
    /// What was taken for it without having been told, in sentences.
    pub assumed: Vec<String>,
    /// Why no free SO2 is foreseen, or no day on which it is short, in a sentence.
    pub unforeseen: Option<String>,
    /// What needs someone, the most pressing first.
    pub reasons: Vec<Reason>,
    /// When it is looked at.
    now: Option<Moment>,
}

impl Outlook {
    /// Of a vessel or run as a cellar has it.
    pub fn of(place: Key, cellar: &Snapshot, policy: &Policy) -> Outlook {
        let Some(holding) = Holding::of(cellar, place, policy) else {
            return Outlook::default();
        };
        let air = !holding.is_fermenting();
        let oxygen = holding.headspace_oxygen_mg().filter(|_| air);
        let ferment = holding.fermentation();
        let known = holding.wine.unmeasured.is_none();
        let tested = holding.expected_free_so2();
        let presumed = holding.presumed_free_so2_at(cellar.now);
        Outlook {
            volume: Some(holding.wine.volume).filter(|_| known),
            is_full: true,
            free_so2: tested.or(presumed),
            is_presumed: tested.is_none() && presumed.is_some(),
            below_aim: holding.so2_course().and_then(|it| it.reaching()),
            gravity: ferment.as_ref().and_then(|it| it.gravity_at(cellar.now)),
            dry: ferment.as_ref().and_then(|it| it.dry),
            foam: holding.room_for_foam(),
            headspace: holding.headspace().filter(|_| air),
            oxygen_mg_l: oxygen
                .map(|it| it / holding.litres())
                .filter(|it| it.is_finite()),
            assumed: holding.assumed(ferment.as_ref()),
            unforeseen: holding.so2_unforeseen(),
            ferment: ferment.map_or_else(String::new, |it| it.words()),
            reasons: reasons_of(place, cellar, policy),
            now: Some(cellar.now),
        }
    }

    /// Each part in words; empty where nothing is known.
    fn words(&self) -> [String; ROWS.len()] {
        let or_none = |words: Option<String>| words.unwrap_or_default();
        [
            or_none(self.volume.map(|it| it.to_string())),
            or_none(self.free_so2.map(|it| {
                let is = if self.is_presumed { "presumed " } else { "" };
                format!("{is}{it}")
            })),
            or_none(self.below_aim.zip(self.now).map(|(it, now)| it.words(now))),
            or_none(self.gravity.map(|it| {
                let [low, mid, high] = it.map(words::gravity);
                format!("~{mid} ({low}–{high})")
            })),
            self.ferment.clone(),
            or_none(self.foam.map(|(left, asked)| {
                let left = left * 100.0;
                match asked {
                    Some(asked) => format!("{left:.0} %, {:.0} % asked", asked * 100.0),
                    None => format!("{left:.0} %, foams less now"),
                }
            })),
            or_none(self.headspace.map(|it| it.to_string())),
            or_none(self.oxygen_mg_l.map(|it| format!("{it:.1}"))),
        ]
    }
}

/// What is compared, as a table heads it.
const ROWS: [&str; 8] = [
    "holds",
    "free SO2, mg/L",
    "below its aim",
    "gravity",
    "ferment",
    "room for foam",
    "headspace",
    "oxygen in it, mg/L",
];

/// One vessel or run as it is and as it would be.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// Which.
    pub place: Key,
    /// If nothing is done.
    pub is: Outlook,
    /// If it is done.
    pub then: Outlook,
}

impl Beside {
    /// One place in two cellars.
    pub fn of(place: Key, is: &Snapshot, then: &Snapshot, policy: &Policy) -> Beside {
        Beside {
            place,
            is: Outlook::of(place, is, policy),
            then: Outlook::of(place, then, policy),
        }
    }

    /// Reasons that would go.
    pub fn gone(&self) -> impl Iterator<Item = &Reason> {
        missing(&self.is.reasons, &self.then.reasons)
    }

    /// Reasons that would come.
    pub fn come(&self) -> impl Iterator<Item = &Reason> {
        missing(&self.then.reasons, &self.is.reasons)
    }

    /// What is compared, as it is and as it would be; what neither side knows is left out.
    pub fn rows(&self) -> Vec<[String; 3]> {
        let (is, then) = (self.is.words(), self.then.words());
        let rows = ROWS.iter().zip(is.into_iter().zip(then));
        rows.filter(|(_, (is, then))| !is.is_empty() || !then.is_empty())
            .map(|(row, (is, then))| [(*row).to_owned(), is, then])
            .collect()
    }

    /// What changes, in one line; `None` where the forecast stays as it is.
    pub fn said(&self) -> Option<String> {
        if !self.then.is_full {
            return self.is.is_full.then(|| "empty".to_owned());
        }
        let mut parts = Vec::new();
        for [row, is, then] in self.rows() {
            let (name, unit) = row.split_once(", ").unwrap_or((&row, ""));
            let blank = if unit.is_empty() { "" } else { " " };
            // That more or less is in it is what the deed itself says.
            if is == then || then.is_empty() || name == ROWS[0] {
                continue;
            }
            let before = if is.is_empty() {
                String::new()
            } else {
                format!(" instead of {is}")
            };
            parts.push(format!("{name} {then}{blank}{unit}{before}"));
        }
        let kinds = |reasons: Vec<&Reason>| {
            let kinds: Vec<&str> = reasons.iter().map(|it| it.kind.label()).collect();
            kinds.join(", ")
        };
        let (gone, new) = (kinds(self.gone().collect()), kinds(self.come().collect()));
        parts.extend((!gone.is_empty()).then(|| format!("no longer: {gone}")));
        parts.extend((!new.is_empty()).then(|| format!("new: {new}")));
        (!parts.is_empty()).then(|| parts.join("; "))
    }
}

fn missing<'a>(from: &'a [Reason], other: &'a [Reason]) -> impl Iterator<Item = &'a Reason> {
    let is_in = |reason: &Reason| {
        let mut others = other.iter();
        others.any(|it| (it.subject, it.identity()) == (reason.subject, reason.identity()))
    };
    from.iter().filter(move |it| !is_in(it))
}
