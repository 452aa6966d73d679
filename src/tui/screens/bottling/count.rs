//! At the spout: each press is asked of the store, and only what the book then says is shown.

use std::collections::BTreeMap;

use super::fields::{Did, Fields, Row, Takes};
use super::{details, tally};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{
    Closure, Package, Tally, millilitres, planned_lees, still_there, to_go,
};
use crate::cellar::entry::FillEvent;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Thing, field};
use crate::tui::commands::Id;
use crate::tui::message::{Ask, Effect, Facts, Input, Notice, Told};

/// Presses of one key closer than this, ms, are a key held down: keyboards repeat every 30 to 170 ms,
/// and nobody closes a bottle in that time. A terminal that tells repeats apart never gets them as
/// far as here.
const HELD_MS: i64 = 190;
/// No keyboard repeats so quickly, ms: these waited, because the program or the line stood still, and
/// nobody knows any more whether they were a key held down or one press for each bottle.
const WAITED_MS: i64 = 10;
/// To all other terminals the first repeat, so many ms after the press, looks like another press: it
/// is counted, and taken back once it is sure that the key is held.
const FIRST_REPEAT_MS: std::ops::Range<i64> = 200..1_000;
/// After so many presses closer than [`HELD_MS`] it is sure; a key that bounces gives one.
const SURE: u32 = 3;

/// What is usually spilled: less than a glass, mL.
const SPILL_ML: &str = "100";

/// What is usually drawn to taste, mL.
const GLASS_ML: &str = "100";

/// The spout.
#[derive(Default)]
pub(super) struct Count {
    run: Option<Key>,
    pub(super) size_ml: i64,
    /// The run's presses are yet to be read, and with them the size last filled.
    unread: bool,
    /// What the last bag or keg that stands holds, mL, which may be less than its size.
    last_ml: Option<i64>,
    last: Option<Last>,
    /// The size that was last chosen, as the book has it.
    chosen: Option<i64>,
    /// A size typed, to be written down.
    pub(super) wanted: Option<i64>,
    pub(super) asked: Option<(Asked, Fields)>,
}

/// The last key that counts.
#[derive(Clone, Copy, Debug)]
struct Last {
    key: Id,
    /// When it was last pressed, counted or not, ms.
    at_ms: i64,
    /// How long after the press before the last counted one came, ms.
    gap_ms: i64,
    /// Presses since, none of them counted.
    held: u32,
    /// Those of them that had waited.
    waited: u32,
}

/// A number being typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asked {
    Size,
    Spilled,
    Drawn,
    Broken,
    Refused,
    Many,
}

impl Asked {
    /// What a key asks for.
    fn by(id: Id) -> Option<Asked> {
        Some(match id {
            Id::Size => Asked::Size,
            Id::Spilled => Asked::Spilled,
            Id::Drawn => Asked::Drawn,
            Id::Broken => Asked::Broken,
            Id::RefusedCork => Asked::Refused,
            Id::Number => Asked::Many,
            _ => return None,
        })
    }

    /// Whether it is a volume, which may be typed with its unit; else it counts things.
    fn is_volume(self) -> bool {
        matches!(self, Asked::Size | Asked::Spilled | Asked::Drawn)
    }

    /// What was typed, in mL or pieces; below nought some is taken back.
    fn read(self, typed: &str, facts: &Facts) -> Result<i64, String> {
        if typed.chars().count() > LONGEST {
            return Err(
                "What is typed there is too long for a number; Ctrl-U empties it.".to_owned(),
            );
        }
        let units = facts.cellar.settings().units;
        let number = if self.is_volume() {
            millilitres(typed, &units)?
        } else {
            whole(typed)?
        };
        let (least_ml, most_ml) = SIZES_ML;
        match self {
            Asked::Size if !(least_ml..=most_ml).contains(&number) => Err(format!(
                "`{typed}` is outside {least_ml} mL to {} L; type another size.",
                most_ml / 1_000
            )),
            Asked::Many if number < 0 => Err(format!(
                "`{typed}` is below nought; type how many were filled, and take back with Backspace."
            )),
            _ => Ok(number),
        }
    }
}

/// What is left to fill of a run by the book, without the lees that are to stay behind.
pub(super) fn to_fill(run: &Thing, cellar: &Snapshot) -> Volume {
    let vessel = run.int(field::VESSEL).map(Key);
    let wine = vessel.and_then(|it| cellar.wine(it));
    let left = wine.map_or(Volume::ZERO, |it| it.volume);
    let lees = planned_lees(run).unwrap_or_default();
    if left > lees {
        left - lees
    } else {
        left.min(Volume::ZERO)
    }
}

/// The smallest and the largest that is filled, mL.
const SIZES_ML: (i64, i64) = Package::Bottle.sizes_ml();

/// So many bottles or closures.
fn whole(typed: &str) -> Result<i64, String> {
    let number = typed.parse::<i64>().ok();
    number
        .filter(|it| *it != 0 && (-MOST_AT_ONCE..=MOST_AT_ONCE).contains(it))
        .ok_or_else(|| {
            format!("`{typed}` is not a whole number from 1 to {MOST_AT_ONCE}; type one.")
        })
}

/// Characters of the longest number that is read, with its unit.
const LONGEST: usize = 24;

/// The most that is counted at once: more is a slip of a key.
const MOST_AT_ONCE: i64 = 100_000;

impl Count {
    /// At the spout of that run.
    pub(super) fn of(run: Key, facts: &Facts) -> Count {
        let size = facts.cellar.thing(run).and_then(|it| it.int(field::SIZE));
        Count {
            run: Some(run),
            size_ml: size.unwrap_or(750),
            unread: true,
            ..Count::default()
        }
    }

    /// The run's presses were read: filling goes on in the size last filled. A bag or keg that was filled in
    /// part is no other size; it is only what the next one taken back held.
    pub(super) fn read(&mut self, told: &[Told], facts: &Facts) {
        let Some(run) = self.run else {
            return;
        };
        let fillings = tally::fillings(run, told);
        let standing = Tally::of(fillings).standing;
        let chosen = facts
            .cellar
            .thing(run)
            .and_then(|it| it.int(field::FILL_SIZE));
        self.unread |= chosen != self.chosen;
        self.chosen = chosen;
        let last = fillings
            .iter()
            .rev()
            .find(|it| it.event == FillEvent::Filled && standing.contains_key(&it.size_ml));
        let last = last.map(|it| it.size_ml);
        let is_part_full = self.keeps_part_full(facts);
        if is_part_full {
            self.last_ml = last;
        }
        if !self.unread {
            return;
        }
        // What a person chose stands, whether any was filled in it or not.
        if let Some(chosen) = chosen {
            self.size_ml = chosen;
        } else if is_part_full {
            self.size_ml = self.filled(facts).1;
        } else {
            self.size_ml = last.unwrap_or(self.filled(facts).1);
            self.skip_used_up(run, &standing, facts);
        }
        self.unread = false;
    }

    /// Of the run's own size none is left by the book, and the rest goes into smaller ones.
    fn skip_used_up(&mut self, run: Key, standing: &BTreeMap<i64, i64>, facts: &Facts) {
        let Some(run) = facts.cellar.thing(run) else {
            return;
        };
        let ahead = to_go(run, self.left(facts), standing, &facts.cellar);
        let there = still_there(run, self.size_ml, &facts.cellar);
        let is_used_up = run.int(field::SIZE) == Some(self.size_ml)
            && there.is_some_and(|it| it.there() == 0)
            && ahead.iter().all(|it| it.size_ml < self.size_ml);
        if let Some(next) = ahead.first().filter(|_| is_used_up) {
            self.size_ml = next.size_ml;
        }
    }

    fn keeps_part_full(&self, facts: &Facts) -> bool {
        self.filled(facts).0.keeps_part_full()
    }

    /// What the run is filled into, and what each holds, mL.
    fn filled(&self, facts: &Facts) -> (Package, i64) {
        let run = self.run.and_then(|it| facts.cellar.thing(it));
        let holds_ml = run.and_then(|it| it.int(field::SIZE));
        let package = run.map(Package::of).unwrap_or_default();
        (package, holds_ml.unwrap_or(self.size_ml))
    }

    /// What is left to fill in the vessel by the book, without the lees that are to stay behind.
    fn left(&self, facts: &Facts) -> Volume {
        let run = self.run.and_then(|it| facts.cellar.thing(it));
        run.map_or(Volume::ZERO, |it| to_fill(it, &facts.cellar))
    }

    pub(super) fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        if let Some((_, fields)) = &mut self.asked {
            return match fields.command(id) {
                Did::GoOn => self.take(facts),
                Did::Stay => Vec::new(),
            };
        }
        if let Some(asked) = Asked::by(id) {
            self.ask(asked, facts);
            return Vec::new();
        }
        let event = match id {
            Id::More => FillEvent::Filled,
            Id::Fewer => FillEvent::Back,
            _ => return Vec::new(),
        };
        match self.held(id, facts.clock_ms) {
            0 => {
                let size_ml = match event {
                    FillEvent::Filled => self.next_ml(facts),
                    FillEvent::Back => self.last_ml.unwrap_or(self.size_ml),
                    _ => self.size_ml,
                };
                self.fill(event, size_ml, 1, facts)
            }
            SURE if self.counted_a_repeat() => self.fill(event.opposite(), self.size_ml, 1, facts),
            held => vec![Ask::Say(Notice::note(match self.waited() {
                0 => "Held down it counts once: press at most five a second, or # for many."
                    .to_owned(),
                // Of those that came late none may be lost without a word.
                _ => format!(
                    "{} presses came at once and are taken as 1: # counts those that are lacking.",
                    held + 1
                ),
            }))],
        }
    }

    /// What the next one takes: a bag or keg no more than is left.
    fn next_ml(&self, facts: &Facts) -> i64 {
        let cellar = &facts.cellar;
        let run = self.run.and_then(|it| cellar.thing(it));
        let vessel = run.filter(|it| Package::of(it).keeps_part_full());
        let vessel = vessel.and_then(|it| it.int(field::VESSEL));
        let left = vessel.and_then(|it| cellar.wine(Key(it)));
        match left.map(|it| it.volume.0 / 1_000) {
            Some(left_ml) if left_ml >= 250 => self.size_ml.min(left_ml),
            _ => self.size_ml,
        }
    }

    /// How many presses of a key came too close to be meant, this one included; none where it is.
    fn held(&mut self, key: Id, now: i64) -> u32 {
        let before = self.last.filter(|it| it.key == key);
        let gap_ms = before.map_or(i64::MAX, |it| now - it.at_ms);
        let last = match before {
            // Each repeat is measured from the one before.
            Some(last) if (0..HELD_MS).contains(&gap_ms) => Last {
                at_ms: now,
                held: last.held + 1,
                waited: last.waited + u32::from(gap_ms < WAITED_MS),
                ..last
            },
            _ => Last {
                key,
                at_ms: now,
                gap_ms,
                held: 0,
                waited: 0,
            },
        };
        self.last = Some(last);
        last.held
    }

    /// Whether the last press that was counted was the first repeat of a key held down.
    fn counted_a_repeat(&self) -> bool {
        self.last
            .is_some_and(|it| FIRST_REPEAT_MS.contains(&it.gap_ms) && it.waited == 0)
    }

    /// How many of the presses since the last that was counted had waited.
    fn waited(&self) -> u32 {
        self.last.map_or(0, |it| it.waited)
    }

    fn fill(&self, event: FillEvent, size_ml: i64, count: i64, facts: &Facts) -> Vec<Ask> {
        let press = |run| {
            Ask::Do(Effect::Fill {
                run,
                event,
                size_ml,
                count,
                at_ms: facts.clock_ms,
            })
        };
        self.run.into_iter().map(press).collect()
    }

    fn ask(&mut self, asked: Asked, facts: &Facts) {
        let (package, holds_ml) = self.filled(facts);
        let (what, size) = (package.label(), package.size_words(self.size_ml));
        let row = match asked {
            Asked::Size => {
                let own = self.size_ml.to_string();
                let mut sizes = details::sizes(package, &facts.cellar);
                let fits = |it: &String| {
                    let wanted = it.parse().unwrap_or(holds_ml);
                    package.overfilled(holds_ml, wanted).is_none()
                };
                sizes.retain(fits);
                let run = self.run.and_then(|it| facts.cellar.thing(it));
                let filled = (package, run.and_then(Closure::of));
                let rest = details::next_size(filled, self.size_ml, self.left(facts), &facts.cellar);
                let next = if fits(&rest) { rest } else { own };
                Row::new(
                    "number",
                    "Size, mL",
                    "Arrows take another size; any may be typed, as mL or 0.75 L.",
                    Takes::Figure,
                )
                .filled(&next)
                .choosing(sizes)
            }
            Asked::Spilled => Row::new(
                "number",
                "Spilled, mL",
                "As near as you can tell, as mL or 0.2 L; -100 takes 100 back.",
                Takes::Figure,
            )
            .filled(SPILL_ML)
            .choosing(["50", "100", "200", "500", "750"].map(str::to_owned)),
            Asked::Drawn => Row::new(
                "number",
                "Drawn, mL",
                "A glass to taste, or a sample, as mL or 0.2 L; -100 takes 100 back.",
                Takes::Figure,
            )
            .filled(GLASS_ML)
            .choosing(["50", "100", "150", "200"].map(str::to_owned)),
            Asked::Broken => Row::new(
                "number",
                "Broken, full",
                if package.keeps_part_full() {
                    format!("So many full {what}s of {size} broke; -1 takes one back.")
                } else {
                    format!("So many full {what}s of {size} broke; -1 takes one back. Gloves for the glass (common practice).")
                },
                Takes::Figure,
            )
            .filled("1"),
            Asked::Refused => Row::new(
                "number",
                "Refused",
                "So many closures would not go in or hold; -1 takes one back.",
                Takes::Figure,
            )
            .filled("1"),
            Asked::Many => Row::new(
                "number",
                match package {
                    Package::Bottle => "Bottles at once",
                    Package::Jug => "Jugs at once",
                    Package::Bag => "Bags at once",
                    Package::Keg => "Kegs at once",
                },
                format!("So many {what}s of {size}, filled and closed."),
                Takes::Figure,
            ),
        };
        self.asked = Some((asked, Fields::of([row])));
    }

    pub(super) fn typed(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let Some((_, fields)) = &mut self.asked else {
            return Vec::new();
        };
        let did = match input {
            Input::Type(press) => fields.typed(*press),
            Input::Paste(text) => fields.paste(text),
            _ => Did::Stay,
        };
        match did {
            Did::GoOn => self.take(facts),
            Did::Stay => Vec::new(),
        }
    }

    /// Takes the number typed.
    fn take(&mut self, facts: &Facts) -> Vec<Ask> {
        let Some((asked, fields)) = &self.asked else {
            return Vec::new();
        };
        let number = match asked.read(fields.get("number"), facts) {
            Ok(number) => number,
            Err(say) => return vec![Ask::Say(Notice::refused(say))],
        };
        let (back, number) = (number < 0, number.abs());
        let (package, holds_ml) = self.filled(facts);
        if *asked == Asked::Size
            && let Some(overfilled) = package.overfilled(holds_ml, number)
        {
            return vec![Ask::Say(Notice::refused(overfilled))];
        }
        let asked = *asked;
        self.asked = None;
        let amiss = |event: FillEvent| if back { event.opposite() } else { event };
        match asked {
            Asked::Size => {
                self.wanted = Some(number).filter(|it| *it != self.size_ml);
                Vec::new()
            }
            Asked::Spilled => self.fill(amiss(FillEvent::Spilled), number, 1, facts),
            Asked::Drawn => self.fill(amiss(FillEvent::Drawn), number, 1, facts),
            Asked::Broken => self.fill(amiss(FillEvent::Broken), self.size_ml, number, facts),
            Asked::Refused => self.fill(amiss(FillEvent::Refused), self.size_ml, number, facts),
            Asked::Many => self.fill(FillEvent::Filled, self.size_ml, number, facts),
        }
    }
}
