//! Which bottles are meant, and into which slots they go.

use std::collections::BTreeSet;

use super::here::bottle_size;
use super::{Form, Refusal};
use crate::cellar::attention::words;
use crate::cellar::entry::{BottleMove, Posture, Spot};
use crate::cellar::racks::{Place, Rack, Racks, Slot, Stowed, stowed};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{BottleLot, Wine};
use crate::cellar::thing::{Account, Key, Sort, Thing, field};

/// Bottles of a run, all of them or those at a place.
pub(super) struct Bottles<'a> {
    pub(super) run: &'a Thing,
    pub(super) wine: &'a Wine,
    /// Where they are taken from, if that was said.
    pub(super) from: Option<String>,
    /// Only those that a look found something amiss with.
    only_amiss: bool,
    /// Only those of this size.
    size_ml: Option<i64>,
    pub(super) racks: Racks,
}

/// The run that is named, or told by its mark, or by a slot in which nothing else lies; with that slot.
pub(super) fn meant<'a>(
    named: &str,
    racks: &Racks,
    cellar: &'a Snapshot,
) -> Result<(&'a Thing, Option<String>), Refusal> {
    match cellar.find(Sort::Run, named) {
        Ok(run) => Ok((run, None)),
        Err(unknown) => match racks.read(named) {
            Place::Slot(rack, slot) => {
                let run = only_in(rack, slot, racks, cellar)?;
                Ok((run, Some(rack.place(slot))))
            }
            Place::NoSlot(rack) => Err(no_slot("run", rack)),
            _ => Err(Refusal::input("run", unknown.to_string())),
        },
    }
}

impl<'a> Bottles<'a> {
    /// Those in the fields `run` and `from`.
    pub(super) fn of(form: &Form, cellar: &'a Snapshot) -> Result<Bottles<'a>, Refusal> {
        let racks = Racks::of(&cellar.things);
        let (run, slot) = meant(form.get("run").unwrap_or_default(), &racks, cellar)?;
        let from = slot.or_else(|| form.get("from").map(str::to_owned));
        let Some(wine) = cellar.wine(run.key) else {
            let filled = run.int(field::FINISHED).map(|it| cellar.now.at(it));
            if let Some(filled) = filled.filter(|it| *it > cellar.now) {
                let (name, day) = (run.name(), filled.day_words());
                // What was taken over may have been there long before it was written down.
                let why = if run.int(field::VESSEL).is_some() {
                    format!("{name} was bottled only on {day}; give a moment after that.")
                } else {
                    format!(
                        "{name} came into the book only on {day}; if it was there before, `leesline amend` its entry with an earlier `--at`, or give a moment after that."
                    )
                };
                return Err(Refusal::book(Some("run"), why));
            }
            return Err(Refusal::book(
                Some("run"),
                format!(
                    "no bottle of {} is left by the book: opened, given or moved already; if you find one, write it down with `here` by a name of its own.",
                    run.name()
                ),
            ));
        };
        Ok(Bottles {
            run,
            wine,
            from,
            only_amiss: form.get("amiss").is_some(),
            size_ml: bottle_size(form, cellar)?,
            racks,
        })
    }

    fn is_meant(&self, lot: &BottleLot) -> bool {
        let from = self.from.as_deref();
        from.is_none_or(|it| self.racks.is_at(&lot.at, it))
            && !(self.only_amiss && lot.found.is_empty())
            && self.size_ml.is_none_or(|it| it == lot.size_ml)
    }

    /// The run in words, with the size if that was said: `Plum in 375 mL`.
    pub(super) fn name(&self) -> String {
        let size = self.size_ml.map(|it| format!(" in {it} mL"));
        format!("{}{}", self.run.name(), size.unwrap_or_default())
    }

    /// Whether only some of the run are meant.
    fn are_named(&self) -> bool {
        self.from.is_some() || self.only_amiss || self.size_ml.is_some()
    }

    /// How many are meant; refused where some are named and none is there.
    pub(super) fn there(&self) -> Result<i64, Refusal> {
        match self.count(|_| true) {
            0 if self.are_named() => Err(self.too_few(0, 1)),
            there => Ok(there),
        }
    }

    /// Refused where more are wanted than there are, unless nobody counted them.
    pub(super) fn has(&self, wanted: i64) -> Result<(), Refusal> {
        match self.count(|_| true) {
            there if there < wanted && self.wine.unmeasured.is_none() => {
                Err(self.too_few(there, wanted))
            }
            _ => Ok(()),
        }
    }

    /// Bottles meant of which that is true.
    pub(super) fn count(&self, which: impl Fn(&BottleLot) -> bool) -> i64 {
        let lots = self.wine.bottles.iter();
        lots.filter(|it| self.is_meant(it) && which(it))
            .map(|it| it.count)
            .sum()
    }

    /// Takes so many bottles from where they are, those free to drink before those kept for someone,
    /// those well before those with something amiss, those lying before those standing, those without a slot of their own before those with one,
    /// the largest size first.
    pub(super) fn pull(
        &self,
        wanted: i64,
        which: impl Fn(&BottleLot) -> bool,
        to: impl Fn(&BottleLot) -> Spot,
    ) -> Result<Vec<BottleMove>, Refusal> {
        let lots = self.wine.bottles.iter();
        let mut lots: Vec<&BottleLot> = lots.filter(|it| self.is_meant(it) && which(it)).collect();
        lots.sort_by_key(|it| {
            (
                !it.reserved.is_empty(),
                !it.found.is_empty(),
                it.posture == Posture::Standing,
                matches!(self.racks.read(&it.at), Place::Slot(..)),
                std::cmp::Reverse(it.size_ml),
            )
        });
        let there: i64 = lots.iter().map(|it| it.count).sum();
        let uncounted = (wanted - there).max(0);
        if uncounted > 0 && (self.wine.unmeasured.is_none() || self.are_named()) {
            return Err(self.too_few(there, wanted));
        }
        let (mut moves, mut left) = (Vec::new(), wanted);
        if uncounted > 0 {
            // Bottles nobody counted are found as they leave.
            let lot = BottleLot {
                size_ml: self.run.int(field::SIZE).unwrap_or(750),
                posture: Posture::usual(self.run.text(field::CLOSURE)),
                at: self.run.text(field::ROOM).to_owned(),
                reserved: String::new(),
                found: String::new(),
                count: uncounted,
            };
            moves.push(BottleMove {
                run: self.run.key,
                size_ml: lot.size_ml,
                count: uncounted,
                from: Spot::Outside(Account::Before.key()),
                to: to(&lot),
                about: false,
            });
            left -= uncounted;
        }
        for lot in lots {
            let count = left.min(lot.count);
            if count > 0 {
                moves.push(BottleMove {
                    run: self.run.key,
                    size_ml: lot.size_ml,
                    count,
                    from: Spot::Kept(lot.kept()),
                    to: to(lot),
                    about: false,
                });
                left -= count;
            }
        }
        Ok(moves)
    }

    /// The slots that bottles are taken out of, in words; empty where none is taken out of a slot, or
    /// that was said.
    pub(super) fn out_of(&self, moves: &[BottleMove]) -> String {
        let slots = moves.iter().filter_map(|it| match &it.from {
            Spot::Kept(kept) if matches!(self.racks.read(&kept.at), Place::Slot(..)) => {
                Some(kept.at.as_str())
            }
            _ => None,
        });
        match (&self.from, self.racks.together(slots)) {
            (None, slots) if !slots.is_empty() => format!(" out of {slots}"),
            _ => String::new(),
        }
    }

    fn too_few(&self, there: i64, wanted: i64) -> Refusal {
        let name = self.name();
        let said = match (&self.from, there) {
            _ if self.only_amiss => format!(
                "{there} of {name} are marked with something amiss, not {wanted}; `look` marks those it is found with."
            ),
            (Some(from), 0) => format!(
                "no bottle of {name} is at {from} by the book: opened, given or moved already; `leesline bottles` lists where they are."
            ),
            (Some(from), _) => format!(
                "{there} of {name} are at {from}, not {wanted}; if you find more, write them down with `here` by a name of their own."
            ),
            (None, _) if self.count(|_| true) >= wanted => {
                let others = if self.count(|it| !it.reserved.is_empty()) > 0 {
                    "the others are kept already; `leesline bottles` lists for whom"
                } else {
                    "the others lie already; `leesline bottles` lists where"
                };
                format!("{there} of {name} are free, not {wanted}: {others}.")
            }
            (None, _) if self.count(|_| true) > there => format!(
                "{} of {name} are there, {there} of them free, not {wanted}; if you find more, write them down with `here` by a name of their own.",
                self.count(|_| true)
            ),
            (None, _) => format!(
                "{there} of {name} are there, not {wanted}; if you find more, write them down with `here` by a name of their own."
            ),
        };
        Refusal::book(Some("count"), said)
    }
}

/// The only run that lies in a slot.
fn only_in<'a>(
    rack: &Rack,
    slot: Slot,
    racks: &Racks,
    cellar: &'a Snapshot,
) -> Result<&'a Thing, Refusal> {
    let place = rack.place(slot);
    let all = stowed(racks, cellar.lots());
    let held = all.get(&rack.key).and_then(|it| it.slots.get(&slot));
    let there: BTreeSet<Key> = held.into_iter().flatten().map(|it| it.run).collect();
    let mut there = there.into_iter();
    match (there.next().and_then(|it| cellar.thing(it)), there.next()) {
        (Some(run), None) => Ok(run),
        (Some(run), Some(other)) => Err(Refusal::input(
            "run",
            format!(
                "{} and {} lie in {place}; name the one, and give --from \"{place}\".",
                run.name(),
                cellar.name(other)
            ),
        )),
        (None, _) => Err(Refusal::book(
            Some("run"),
            format!(
                "nothing lies in {place} by the book: what lay there is opened, given or moved already; `leesline bottles` lists where bottles are."
            ),
        )),
    }
}

fn no_slot(key: &'static str, rack: &Rack) -> Refusal {
    Refusal::input(
        key,
        format!(
            "{} has no such slot; its slots are {}.",
            rack.name,
            rack.span()
        ),
    )
}

/// Puts moved bottles where that place says. In a rack each goes into a slot of its own: the free
/// ones in reading order, from the slot named on if one is. Says where they went, in words.
pub(super) fn stow(
    moves: Vec<BottleMove>,
    key: &'static str,
    place: &str,
    cellar: &Snapshot,
) -> Result<(Vec<BottleMove>, String), Refusal> {
    let racks = Racks::of(&cellar.things);
    let (rack, first) = match racks.read(place) {
        Place::Loose => return Ok((moves, place.to_owned())),
        Place::NoSlot(rack) => return Err(no_slot(key, rack)),
        Place::Rack(rack) => (rack, None),
        // Of a case that is not divided there is nowhere to begin.
        Place::Slot(rack, slot) => (rack, Some(slot).filter(|_| rack.slots().count() > 1)),
    };
    let all = stowed(&racks, cellar.lots());
    let none = Stowed::default();
    let there = all.get(&rack.key).unwrap_or(&none);
    let leaving = |it: &BottleMove| match &it.from {
        Spot::Kept(kept) => Some(racks.read(&kept.at)),
        Spot::Outside(_) => None,
    };
    let wanted: i64 = moves.iter().map(|it| it.count).sum();
    // What only changes its slot takes up no more room than it did.
    let staying = moves
        .iter()
        .filter(|it| leaving(it).and_then(Place::rack) == Some(rack));
    let staying: i64 = staying.map(|it| it.count).sum();
    let free = rack.room() - there.count() + staying;
    if let Some(slot) = first
        && there.in_slot(slot) >= rack.holds
        && free > 0
    {
        return Err(taken(key, rack, slot, there, cellar));
    }
    let is_left = |slot: Slot| {
        moves
            .iter()
            .any(|it| leaving(it) == Some(Place::Slot(rack, slot)))
    };
    let slots = rack
        .slots()
        .skip_while(|it| first.is_some_and(|first| *it != first));
    let mut open: Vec<(Slot, i64)> = slots
        .filter(|it| !is_left(*it) || first == Some(*it))
        .map(|it| (it, rack.holds - there.in_slot(it)))
        .filter(|(_, room)| *room > 0)
        .collect();
    let room = open.iter().map(|(_, room)| room).sum::<i64>().min(free);
    if wanted > room {
        return Err(full(key, rack, first, room.max(0), wanted));
    }
    open.reverse();
    let (stowed, used) = in_slots(moves, open, rack);
    Ok((stowed, rack.places(&used)))
}

/// Moves parted so that each goes into the last of the open slots and their room, as long as there is any; and the slots used.
fn in_slots(
    moves: Vec<BottleMove>,
    mut open: Vec<(Slot, i64)>,
    rack: &Rack,
) -> (Vec<BottleMove>, Vec<Slot>) {
    let (mut stowed, mut used) = (Vec::new(), Vec::new());
    for whole in moves {
        let mut left = whole.count;
        while left > 0
            && let Some((slot, room)) = open.last_mut()
        {
            let count = left.min(*room);
            let mut part = BottleMove {
                count,
                ..whole.clone()
            };
            if let Spot::Kept(kept) = &mut part.to {
                kept.at = rack.place(*slot);
            }
            stowed.push(part);
            used.push(*slot);
            left -= count;
            *room -= count;
            if *room == 0 {
                open.pop();
            }
        }
    }
    (stowed, used)
}

fn taken(key: &'static str, rack: &Rack, slot: Slot, there: &Stowed, cellar: &Snapshot) -> Refusal {
    let held = there.slots.get(&slot).into_iter().flatten();
    let runs: BTreeSet<Key> = held.map(|it| it.run).collect();
    let names: Vec<&str> = runs.into_iter().map(|it| cellar.name(it)).collect();
    Refusal::book(
        Some(key),
        format!(
            "{} is taken by {}; give another slot, or only {} for the next that is free.",
            rack.place(slot),
            names.join(" and "),
            rack.name
        ),
    )
}

fn full(key: &'static str, rack: &Rack, first: Option<Slot>, room: i64, wanted: i64) -> Refusal {
    let from = first.map_or_else(String::new, |it| format!(" from {it} on"));
    let name = &rack.name;
    let said = match room {
        0 => format!("{name} is full{from}; give another rack, or shift some bottles first."),
        _ => format!(
            "{name} has room for {}{from}, not {wanted}; give --count {room}, and another rack for the rest.",
            words::count(room, "bottle")
        ),
    };
    Refusal::book(Some(key), said)
}
