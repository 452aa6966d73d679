//! Bottles filled, kept, opened and given, as a notebook has it.

use std::collections::BTreeMap;

use super::figures::litres;
use super::{Pour, Telling, and};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Chore, IN_SOME, Package};
use crate::cellar::entry::{Draft, Found, Kind, Posture, Reading, Spot};
use crate::cellar::racks::{Place, Racks};
use crate::cellar::state::BottleLot;
use crate::cellar::thing::{Account, Key, Thing, Value, field, must_stay_moist};

/// To whom bottles went or from whom they came: the beginning of the note, `to Anna`.
pub fn recipient(draft: &Draft) -> &str {
    let first = draft.note.split("; ").next().unwrap_or_default();
    match draft.kind {
        Kind::Give if first.starts_with("to ") => first,
        Kind::Back if first.starts_with("from ") => first,
        _ => "",
    }
}

/// `a bottle`, `29 bottles`, `28 bottles and 2 × 375 mL bottles`: the usual size goes unsaid.
pub fn count_words(package: Package, by_size: &BTreeMap<i64, i64>) -> String {
    let parts = by_size.iter().rev().filter(|it| *it.1 > 0);
    let parts = parts.map(|(size_ml, count)| match (count, size_ml) {
        (count, size) if package != Package::Bottle => package.times(*count, *size),
        (1, 750) => "a bottle".to_owned(),
        (1, size) => format!("a {size} mL bottle"),
        (count, 750) => format!("{count} bottles"),
        (count, size) => format!("{count} × {size} mL bottles"),
    });
    and(&parts.collect::<Vec<String>>())
}

/// How bottles are kept, where it means something: a cork's bottles always, others where they lie
/// though nothing asks for it.
pub fn posture_words(closure: &str, posture: Posture) -> &'static str {
    let capped = !closure.is_empty() && !must_stay_moist(closure);
    match posture {
        Posture::Unsaid => "",
        Posture::Standing if capped => "",
        said => said.label(),
    }
}

/// A place as a sentence has it: `in rack 2`, `on the shelf`, `under the stairs`.
pub fn where_words(at: &str) -> String {
    const SAY_WHERE: &[&str] = &[
        "in",
        "on",
        "under",
        "underneath",
        "behind",
        "at",
        "by",
        "below",
        "beneath",
        "beside",
        "over",
        "above",
        "near",
        "next",
        "inside",
        "outside",
        "upstairs",
        "downstairs",
        "between",
        "against",
    ];
    let lower = at.to_lowercase();
    let first = lower.split(' ').next().unwrap_or_default();
    if SAY_WHERE.contains(&first) {
        at.to_owned()
    } else if lower.contains("shelf") || lower.contains("floor") {
        format!("on {at}")
    } else {
        format!("in {at}")
    }
}

/// Bottles on hand, a line for those of one size that are kept alike: `6 of 750 mL, lying in rack 2,
/// kept for midwinter`.
pub fn bottle_lots(run: &Thing, lots: &[BottleLot], racks: &Racks) -> Vec<String> {
    type Alike<'a> = (&'a str, &'a str, i64, Posture);
    let mut alike: BTreeMap<Alike, (i64, Vec<&str>)> = BTreeMap::new();
    for lot in lots {
        let (reserved, found) = (lot.reserved.as_str(), lot.found.as_str());
        let key = (reserved, found, -lot.size_ml, lot.posture);
        let (count, places) = alike.entry(key).or_default();
        *count += lot.count;
        places.extend((!lot.at.is_empty()).then_some(lot.at.as_str()));
    }
    let line =
        |((reserved, found, size_ml, posture), (count, places)): (Alike, (i64, Vec<&str>))| {
            let posture = posture_words(run.text(field::CLOSURE), posture);
            let place = match racks.together(places.into_iter()).as_str() {
                "" => String::new(),
                places => where_words(places),
            };
            let kept = format!("{posture} {place}");
            let mut parts = vec![format!(
                "{count} of {}",
                Package::of(run).size_words(-size_ml)
            )];
            parts.extend(Some(kept.trim().to_owned()).filter(|it| !it.is_empty()));
            parts.extend((!reserved.is_empty()).then(|| format!("kept for {reserved}")));
            parts.extend((!found.is_empty()).then(|| found.to_owned()));
            parts.join(", ")
        };
    alike.into_iter().map(line).collect()
}

impl Telling<'_> {
    /// `2 bottles of Plum 25`.
    pub(super) fn moved_bottles(&self) -> String {
        let mut by_size = BTreeMap::new();
        for moved in &self.draft.bottles {
            *by_size.entry(moved.size_ml).or_default() += moved.count;
        }
        let first = self.draft.bottles.first();
        let package = first.map_or(Package::Bottle, |it| self.package(it.run));
        let run = first.map(|it| self.name(it.run));
        let about = if self.draft.bottles.iter().any(|it| it.about) {
            "about "
        } else {
            ""
        };
        let run = run.unwrap_or_else(|| self.subject());
        format!("{about}{} of {run}", count_words(package, &by_size))
    }

    /// What the wine of a run is in.
    fn package(&self, run: Key) -> Package {
        self.cellar.thing(run).map_or(Package::Bottle, Package::of)
    }

    /// A look at some bottles of a run, and not at all.
    pub(super) fn looked_at(&self) -> String {
        // A look at some says so in what was found.
        let of_some =
            |it: &Reading| matches!(&it.found, Found::Word(word) if word.ends_with(IN_SOME));
        if self.draft.bottles.is_empty() || !self.draft.readings.iter().any(of_some) {
            return format!("Looked at {}: {}", self.subject(), self.readings());
        }
        let found = self.draft.bottles.first().and_then(|it| match &it.to {
            Spot::Kept(kept) if !kept.found.is_empty() => Some(kept.found.as_str()),
            _ => None,
        });
        let found = found.unwrap_or("nothing amiss");
        format!("Looked at {}{}: {found}", self.moved_bottles(), self.at())
    }

    /// The slots they were taken from: ` out of Rack A/A1 and A2`.
    pub(super) fn out_of(&self) -> String {
        let racks = Racks::of(&self.cellar.things);
        let from = self.draft.bottles.iter().filter_map(|it| match &it.from {
            Spot::Kept(kept) if matches!(racks.read(&kept.at), Place::Slot(..)) => {
                Some(kept.at.as_str())
            }
            _ => None,
        });
        match racks.together(from) {
            slots if slots.is_empty() => String::new(),
            slots => format!(" out of {slots}"),
        }
    }

    /// Where they are now: ` in rack 2`.
    fn at(&self) -> String {
        match self.places().as_str() {
            "" => String::new(),
            places => format!(" {}", where_words(places)),
        }
    }

    /// Where they are now: `rack 2`, `Rack A/A1 to A6`.
    pub(super) fn places(&self) -> String {
        let to = self.draft.bottles.iter().filter_map(|it| match &it.to {
            Spot::Kept(kept) if !kept.at.is_empty() => Some(kept.at.as_str()),
            _ => None,
        });
        Racks::of(&self.cellar.things).together(to)
    }

    pub(super) fn bottles_here(&self) -> String {
        let closure = self.changes().find_map(|(field, value)| match value {
            Some(Value::Text(closure)) if field == field::CLOSURE => Some(closure.as_str()),
            _ => None,
        });
        let posture = match self.draft.bottles.first().map(|it| &it.to) {
            Some(Spot::Kept(kept)) => posture_words(closure.unwrap_or(""), kept.posture),
            _ => "",
        };
        let posture = if posture.is_empty() {
            String::new()
        } else {
            format!(", {posture}")
        };
        format!("Took over {}{posture}{}", self.moved_bottles(), self.at())
    }

    pub(super) fn bottled(&self) -> String {
        let finished = self.changes().any(|it| it.0 == field::FINISHED);
        let run = match self.draft.filled_from() {
            Some((run, _)) => self.name(run),
            None => self.subject(),
        };
        if finished && self.draft.filled_from().is_none() {
            return self.finished(&run);
        }
        let chosen = self.changes().find_map(|(field, value)| match value {
            Some(Value::Int(size_ml)) if field == field::FILL_SIZE => Some(*size_ml),
            _ => None,
        });
        if let Some(size_ml) = chosen {
            let thing = self.draft.subject.and_then(|it| self.cellar.thing(it));
            let package = thing.map(Package::of).unwrap_or_default();
            return format!("Went on to fill {run} into {}", package.size_words(size_ml));
        }
        if self.changes().any(|it| it.0 == field::CORKS_SEEN) {
            return format!("Looked at two corks of {run}: they sit well");
        }
        let begun = self.changes().find_map(|(field, value)| match value {
            Some(Value::Text(word)) if field == field::CHORE => Chore::from_word(word),
            _ => None,
        });
        match begun.filter(|_| self.draft.run_begun().is_none() && self.draft.fillings.is_empty()) {
            Some(Chore::Wash) => return format!("Gathered what the bottling of {run} takes"),
            Some(Chore::Sanitise) => {
                return format!("Began to sanitise bottles and gear for {run}");
            }
            Some(Chore::Dose) => {
                let taken = self.taken();
                let with = if taken.is_empty() { "" } else { " with " };
                return format!("Sanitised bottles and gear for {run}{with}{taken}");
            }
            Some(_) => return format!("Made {run} ready to fill"),
            None => {}
        }
        let mut by_size: BTreeMap<i64, i64> = BTreeMap::new();
        for filling in &self.draft.fillings {
            *by_size.entry(filling.size_ml).or_default() += filling.standing();
        }
        let from = self.draft.filled_from().map(|it| self.name(it.1));
        let from = from.map_or_else(String::new, |it| format!(" from {it}"));
        let filled = self.draft.filled_from().map(|it| it.0);
        let begun = filled.or(self.draft.subject);
        let package = begun.map_or(Package::Bottle, |it| self.package(it));
        match count_words(package, &by_size) {
            none if none.is_empty() => format!("Began to bottle {run}{from}"),
            some => {
                let wine = by_size.iter().map(|(size_ml, count)| size_ml * count);
                let wine = litres(Volume::millilitres(wine.sum()));
                let found = |it: &&Pour| it.from == Account::Difference.key();
                let more = self.pours.iter().find(found);
                let more = more.map(|it| format!(", {} more than the book had", it.how_much));
                let more = more.unwrap_or_default();
                format!("Bottled {some} of {run}{from}, {wine}{more}")
            }
        }
    }

    /// The end of a bottling: what became of what was left.
    fn finished(&self, run: &str) -> String {
        let parts = self.pours.iter().filter(|it| !it.how_much.ends_with("all"));
        let parts: Vec<String> = parts.map(|it| self.left_over(it)).collect();
        match parts.as_slice() {
            [] => format!("Finished bottling {run}"),
            parts => format!("Finished bottling {run}: {}", parts.join(", ")),
        }
    }

    fn left_over(&self, it: &Pour) -> String {
        let became = match Account::from_key(it.to) {
            Some(Account::Lees) => "left on the lees".to_owned(),
            Some(Account::Drunk) => "drunk".to_owned(),
            Some(Account::Samples) => "kept as samples".to_owned(),
            Some(Account::Spills) => "spilled".to_owned(),
            Some(Account::Discarded) => "poured away".to_owned(),
            Some(Account::Difference) => "was never there".to_owned(),
            _ => format!("into {}", self.name(it.to)),
        };
        format!("{} {became}", it.how_much)
    }

    pub(super) fn laid_down(&self) -> String {
        format!("Laid down {}{}", self.moved_bottles(), self.at())
    }

    pub(super) fn opened(&self) -> String {
        let tasted = self.draft.tastings.first().map(|it| it.words.as_str());
        let tasted = tasted.filter(|it| !it.is_empty());
        let tasted = tasted.map_or_else(String::new, |it| format!(": {it}"));
        let of_begun = self.changes().any(|it| it.0 == field::BEGUN);
        match (of_begun, self.draft.bottles.is_empty()) {
            (true, true) => {
                let run = self.draft.subject.and_then(|it| self.cellar.thing(it));
                let package = run.map(Package::of).unwrap_or_default();
                let one = match self.draft.begun_size() {
                    Some(size_ml) => package.times(1, size_ml),
                    None => format!("a {}", package.label()),
                };
                format!("Began {one} of {}{tasted}", self.subject())
            }
            (true, false) => format!("Emptied {}{tasted}", self.moved_bottles()),
            (false, _) => format!("Opened {}{}{tasted}", self.moved_bottles(), self.out_of()),
        }
    }

    pub(super) fn gave(&self) -> String {
        match recipient(self.draft) {
            "" => format!("Gave away {}{}", self.moved_bottles(), self.out_of()),
            to => format!("Gave {}{} {to}", self.moved_bottles(), self.out_of()),
        }
    }

    pub(super) fn reserved(&self) -> String {
        let whom = match self.draft.bottles.first().map(|it| &it.to) {
            Some(Spot::Kept(kept)) if !kept.reserved.is_empty() => {
                format!(" for {}", kept.reserved)
            }
            _ => return format!("No longer kept: {}", self.moved_bottles()),
        };
        format!("Kept {}{}{whom}", self.moved_bottles(), self.at())
    }

    pub(super) fn broke(&self) -> String {
        format!("Broke {}{}", self.moved_bottles(), self.out_of())
    }

    pub(super) fn unbottled(&self) -> String {
        let into = match self.draft.bottles.first().map(|it| &it.to) {
            Some(Spot::Outside(vessel)) => format!(" back into {}", self.name(*vessel)),
            _ => String::new(),
        };
        format!("Poured {}{}{into}", self.moved_bottles(), self.out_of())
    }
}
