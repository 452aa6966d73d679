//! What the board says of a vessel at a glance, the same in pictures and in rows.

use super::commands::{self, Id, Place};
use super::message::Facts;
use super::widgets::text;
use super::widgets::vessel::Picture;
use crate::cellar::amount::Volume;
use crate::cellar::attention::{Band, Fermentation, Holding, Reason, Stage};
use crate::cellar::state::{Deed, Wine};
use crate::cellar::thing::{self, Thing};

/// A vessel at a glance.
#[derive(Clone, Debug)]
pub struct Glance<'a> {
    /// The vessel.
    pub thing: &'a Thing,
    /// What is in it, if anything.
    pub wine: Option<&'a Wine>,
    /// Its batch by name; what is known otherwise.
    pub holds: String,
    /// Kind of wine.
    pub kind: thing::Wine,
    /// What it holds, to ask questions of.
    pub holding: Option<Holding<'a>>,
    /// Where its wine stands.
    pub stage: Option<Stage>,
    /// How its ferment goes, if one does.
    pub ferment: Option<Fermentation>,
    /// The reason that presses most.
    pub reason: Option<&'a Reason>,
}

/// Some of the vessels, in the order of the board.
pub fn vessels(
    facts: &Facts,
    from: usize,
    count: usize,
) -> impl Iterator<Item = (usize, Glance<'_>)> {
    let keys = facts.vessels.iter().enumerate().skip(from).take(count);
    keys.filter_map(|(at, key)| Some((at, glance(facts.cellar.thing(*key)?, facts))))
}

/// One vessel.
pub fn glance<'a>(thing: &'a Thing, facts: &'a Facts) -> Glance<'a> {
    let wine = facts.cellar.wine(thing.key);
    let batch = wine
        .and_then(Wine::main_batch)
        .and_then(|it| facts.cellar.thing(it));
    let holds = match (wine, batch) {
        (None, _) => "empty".to_owned(),
        (Some(_), None) => "wine without a name".to_owned(),
        (Some(wine), Some(batch)) => {
            let others = wine.makeup.iter().filter(|it| it.batch != Some(batch.key));
            let others: Volume = others.map(|it| it.volume).sum();
            // Below a twentieth it was topping up, and the name stands alone.
            let blended = others.0 * 20 >= wine.volume.0 && others.0 > 0;
            let other = if blended { " and other" } else { "" };
            // A wine that was never named is called as its vessel is, and that is said already.
            match batch.name() {
                name if name == thing.name() => format!("{}{other}", batch.wine_words()),
                name => format!("{name}{other}"),
            }
        }
    };
    let holding = Holding::of(&facts.cellar, thing.key, &facts.policy);
    Glance {
        thing,
        stage: holding.as_ref().map(Holding::stage),
        ferment: holding.as_ref().and_then(Holding::fermentation),
        holding,
        wine,
        holds,
        kind: batch.map_or(thing::Wine::Unknown, Thing::wine),
        reason: facts.reason_for(thing.key),
    }
}

impl Glance<'_> {
    /// How full, 0 to 1; `None` while the vessel's size is not known.
    pub fn full(&self) -> Option<f64> {
        let capacity = self.thing.capacity().filter(|it| it.0 > 0)?;
        if self.wine.is_some_and(|it| it.unmeasured.is_some()) {
            return None;
        }
        let held = self.wine.map_or(0.0, |it| it.volume.in_litres());
        Some(held / capacity.in_litres())
    }

    /// `4.6 of 5.0 L`.
    pub fn volume(&self) -> String {
        let about = if self.wine.is_some_and(|it| it.about) {
            "~"
        } else {
            ""
        };
        match (self.wine, self.thing.capacity()) {
            (None, None) => "size not known".to_owned(),
            (None, Some(capacity)) => capacity.to_string(),
            (Some(wine), _) if wine.unmeasured.is_some() => "not known".to_owned(),
            (Some(wine), None) => format!("{about}{} of ? L", wine.volume),
            (Some(wine), Some(capacity)) => {
                format!(
                    "{about}{:.1} of {:.1} L",
                    wine.volume.in_litres(),
                    capacity.in_litres()
                )
            }
        }
    }

    /// What is missing to the brim: `headspace 400 mL`; nothing for a full or unknown vessel.
    pub fn headspace(&self) -> Option<String> {
        let wine = self.wine.filter(|it| it.unmeasured.is_none())?;
        let missing = self.thing.capacity()? - wine.volume;
        (missing.0 >= 50_000).then(|| format!("headspace {missing}"))
    }

    /// Days since the must came in, or since the wine was first written down.
    pub fn days(&self, facts: &Facts) -> Option<i64> {
        let begun = self.wine?.when(Deed::Begun)?;
        let now = facts.cellar.now;
        Some(now.days_since(now.at(begun)))
    }

    /// Free SO2 as expected now, with how sure that is.
    pub fn band(&self) -> Option<Band> {
        self.holding.as_ref()?.expected_free_so2()
    }

    /// Free SO2 as presumed now of a wine that no test has seen.
    fn presumed(&self) -> Option<Band> {
        let holding = self.holding.as_ref()?;
        holding.presumed_free_so2_at(holding.now)
    }

    /// Free SO2 as expected now: `~15 (12–19)`; `=22` on the day it was measured; `<10` as read; `presumed ~15` where no test has
    /// seen it.
    pub fn free_so2(&self) -> Option<String> {
        let holding = self.holding.as_ref()?;
        let Some(band) = holding.expected_free_so2() else {
            return self.presumed().map(|it| format!("presumed ~{:.0}", it.mid));
        };
        let as_read = holding
            .free_so2_of_today()
            .filter(|it| band.below.is_none() && band.agrees(*it));
        Some(as_read.map_or_else(|| band.to_string(), |it| format!("={it:.0}")))
    }

    /// What free SO2 should be: `aim 26 mg/L`; nothing while the pH is not known. The band of what is presumed stands here, because
    /// the word takes its place: `(12–19), aim 26`.
    pub fn aim(&self) -> Option<String> {
        let aim = self.holding.as_ref()?.free_so2_aim();
        match (self.presumed(), aim) {
            (Some(band), aim) => {
                let aim = aim.map_or(String::new(), |it| format!(", aim {it:.0}"));
                Some(format!("({:.0}–{:.0}){aim}", band.low, band.high))
            }
            (None, aim) => aim.map(|it| format!("aim {it:.0} mg/L")),
        }
    }

    /// The last gravity and which way it goes: `1.034 ↓`; of a wine sweetened since what it is about now: `~1.025`.
    pub fn gravity(&self) -> Option<String> {
        let wine = self.wine?;
        let last = wine.gravities.last()?;
        let sweetened = self
            .holding
            .as_ref()
            .and_then(Holding::sweetened_since_read);
        if let Some(since) = sweetened {
            return Some(match since.about {
                Some(about) => format!("~{about:.3}"),
                None => format!("{:.3} +", last.gravity),
            });
        }
        let before = wine.gravities.iter().rev().nth(1);
        let falls = before.is_some_and(|it| it.gravity - last.gravity >= 0.001);
        Some(format!(
            "{:.3}{}",
            last.gravity,
            if falls { " ↓" } else { "" }
        ))
    }

    /// When the ferment is dry, or that it is slow or stuck, in so many cells: `dry ~2 Dec (30 Nov–5 Dec)`.
    pub fn dry(&self, cells: usize) -> Option<String> {
        let ferment = self.ferment.as_ref()?;
        let mut said = [ferment.words(), ferment.short()].into_iter();
        said.find(|it| !it.is_empty() && text::width(it) <= cells)
    }

    /// Whether it ferments.
    pub fn ferments(&self) -> bool {
        matches!(self.stage, Some(Stage::Fermenting))
    }

    /// Its picture.
    pub fn picture(&self, wine: ratatui::style::Style) -> Picture {
        let gross = self
            .wine
            .is_some_and(|it| it.when(Deed::Pitched).is_some() && it.when(Deed::Racked).is_none());
        Picture {
            kind: self.thing.vessel_kind(),
            full: match self.wine {
                Some(_) => self.full(),
                None => Some(0.0),
            },
            wine,
            lees: gross,
            bubbles: self.ferments(),
        }
    }
}

/// The key of the board and the verb that deal with a reason: `r rack`.
pub fn next(reason: &Reason) -> (String, String) {
    let verb = reason.suggestion.verb;
    // The pane of faults shows what to do; whether it is over is said there.
    let id = match (verb, reason.fault()) {
        ("trouble over", _) | (_, Some(_)) => Id::Trouble,
        (verb, None) => Id::Verb(verb),
    };
    let row = commands::at(Place::Board).find(|it| it.id == id);
    let key = row.map(|it| it.keys[0].to_string());
    let named = row.map_or(verb, |it| it.name);
    (
        key.unwrap_or_else(|| "↵".to_owned()),
        named.replace('-', " "),
    )
}

/// What a key is called where Enter deals with a reason: Enter by what it does, and the verb that it
/// does is left out, because it needs no key beside it.
pub fn called(reason: &Reason, id: Id) -> Option<String> {
    let is_verb = matches!(id, Id::Verb(verb) if verb == reason.suggestion.verb);
    let is_verb = is_verb && reason.fault().is_none();
    let enters = (id == Id::Open).then(|| next(reason).1);
    enters.or(is_verb.then(String::new))
}
