//! An entry of the book as a line of a notebook, the same on every screen, in every list and in
//! what is said after it was written.

mod bottles;
mod differences;
mod empties;
mod figures;
mod racks;
mod things;
mod wine;

use super::amount::Volume;
use super::entry::{Addition, Amount, Dose, Draft, Kind, SupplyChange};
use super::fold::Flow;
use super::snapshot::Snapshot;
use super::state::Share;
use super::tasting::blind::{self, Flight};
use super::thing::{Account, Key, Sort, Value, field};

pub use bottles::{bottle_lots, count_words, posture_words, recipient, where_words};
pub use differences::differences;
pub use figures::{dose, figure, found, litres, name, substance, unit};

/// What an entry says, without its date: `Racked 22.4 L of Damson 26 from Bucket into Carboy A.`
/// Names are those that things have now.
/// `flows` are what its movements came to; without them it says what was asked for.
pub fn sentence(draft: &Draft, flows: &[Flow], cellar: &Snapshot) -> String {
    let said = Telling::of(draft, flows, cellar).said();
    let stop = if said.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{said}{stop}")
}

/// What an entry says, with its note set off behind: `Pitched 5 g yeast into Bucket (a dry strain).`
pub fn with_note(draft: &Draft, flows: &[Flow], cellar: &Snapshot) -> String {
    let said = sentence(draft, flows, cellar);
    match draft.note.as_str() {
        "" => said,
        note if said.contains(note) => said,
        note => {
            let note = note.strip_prefix(bottles::recipient(draft)).unwrap_or(note);
            let said = said.strip_suffix('.').unwrap_or(&said);
            let note = note.trim_start_matches("; ").trim_end_matches('.');
            format!("{said} ({note}).")
        }
    }
}

/// An entry being told.
struct Telling<'a> {
    draft: &'a Draft,
    cellar: &'a Snapshot,
    pours: Vec<Pour>,
}

/// Wine that moved, in words.
struct Pour {
    from: Key,
    to: Key,
    /// `about 22.4 L`.
    how_much: String,
    /// Whose it mostly is.
    batch: Option<Key>,
}

impl<'a> Telling<'a> {
    fn of(draft: &'a Draft, flows: &[Flow], cellar: &'a Snapshot) -> Telling<'a> {
        let word = |about: bool| if about { "about " } else { "" };
        let asked = draft.movements.iter().map(|it| Pour {
            from: it.from,
            to: it.to,
            how_much: match it.amount {
                Amount::NotKnown => "an unknown amount".to_owned(),
                known => format!("{}{}", word(it.about), amount(known)),
            },
            batch: it.batch,
        });
        let about = word(draft.movements.iter().any(|it| it.about));
        let came = flows.iter().filter(|it| it.volume != Volume::ZERO);
        let came = came.map(|it| Pour {
            from: it.from,
            to: it.to,
            how_much: format!("{about}{}", litres(it.volume)),
            batch: most_of(&it.makeup),
        });
        let pours = if flows.is_empty() {
            asked.collect()
        } else {
            came.collect()
        };
        Telling {
            draft,
            cellar,
            pours,
        }
    }

    fn said(&self) -> String {
        match self.draft.kind {
            Kind::Here => self.here(),
            Kind::Receive => self.received(),
            Kind::Press => self.left_behind("Pressed", "of pomace left"),
            Kind::Rack => self.left_behind("Racked", "left on the lees"),
            Kind::TopUp => self.topped_up(),
            Kind::Split => self.split(),
            Kind::Blend => self.blended(),
            Kind::Draw => self.drew(),
            Kind::Lose | Kind::Discard => self.lost(),
            Kind::Adjust => self.adjusted(),
            Kind::Pitch => self.pitched(),
            Kind::Add => self.put("Added", "to"),
            Kind::OakIn => self.put("Put", "into"),
            Kind::Feed => self.treated("Fed", ""),
            Kind::Fine => self.treated("Fined", "with "),
            Kind::Sweeten => self.treated("Sweetened", "with "),
            Kind::Stabilise => self.treated("Stabilised", "with "),
            Kind::OakOut => format!("Took the oak out of {}", self.subject()),
            Kind::PunchDown => format!("Punched down the cap in {}", self.subject()),
            Kind::SterileFilter => format!("Filtered {} sterile", self.subject()),
            Kind::StartMalo => format!("Started malolactic conversion in {}", self.subject()),
            Kind::Filter | Kind::Degas | Kind::Chill | Kind::Warm | Kind::Cover => {
                format!("{} {}", capital(self.draft.kind.label()), self.subject())
            }
            Kind::Move if !self.draft.bottles.is_empty() => self.shifted(),
            Kind::Move => self.moved(),
            Kind::Measure => self.measured(),
            Kind::Taste => self.tasted(),
            Kind::Bottle => self.bottled(),
            Kind::LayDown => self.laid_down(),
            Kind::Open => self.opened(),
            Kind::Give => self.gave(),
            Kind::Reserve => self.reserved(),
            Kind::Break => self.broke(),
            Kind::Unbottle => self.unbottled(),
            Kind::Back => self.came_back(),
            Kind::Bottles => self.described(),
            Kind::Shelves => self.shelves(),
            Kind::Corker => self.corker(),
            Kind::Buy if self.is_of_empties() => self.took_in_empties(),
            Kind::Buy => format!("Bought {}", self.supplies()),
            Kind::StockTake => match self.washed_to() {
                Some(to) => self.washed(to),
                None => self.put_out().unwrap_or_else(|| self.took_stock()),
            },
            Kind::Sanitise if self.draft.supplies.is_empty() => {
                format!("Sanitised: {}", self.draft.note)
            }
            Kind::Sanitise => format!("Sanitised with {}: {}", self.taken(), self.draft.note),
            Kind::Note => self.noted(),
            Kind::Jot => format!("Jotted: {}", self.draft.note),
            Kind::Plan => self.planned(),
            Kind::Done => format!("Done for {}: {}", self.subject(), self.draft.note),
            Kind::Round => "Made the cellar round".to_owned(),
            Kind::Snooze | Kind::Dismiss => self.silenced(),
            Kind::Vessel => self.vessel(),
            Kind::Batch => self.batch(),
            Kind::Settings => self.settings(),
            Kind::Trouble => format!("Marked {} as troubled: {}", self.subject(), self.troubles()),
            Kind::TroubleOver => format!("Trouble over in {}: {}", self.subject(), self.troubles()),
            Kind::Void => match self.draft.voids {
                Some(entry) => format!("Voided entry {}", entry.0),
                None => "Voided".to_owned(),
            },
        }
    }

    /// A name, of this entry's own new things too, though it be voided.
    fn name(&self, key: Key) -> String {
        let is_there = self.cellar.thing(key).is_some();
        let mut changes = self.draft.changes.iter().filter(|_| !is_there);
        let named = changes.find(|it| it.thing == key && it.field == field::NAME);
        match named.and_then(|it| it.value.as_ref()) {
            Some(Value::Text(name)) => name.clone(),
            _ if key.0 > 0 => name(key, self.cellar),
            _ => "something new".to_owned(),
        }
    }

    fn subject(&self) -> String {
        let place = self.draft.places().first().copied();
        let subject = self.draft.subject.or(place);
        subject.map_or_else(|| "the cellar".to_owned(), |it| self.name(it))
    }

    /// Names of the thing and values set, but for the name of a new thing.
    fn changes(&self) -> impl Iterator<Item = (&str, Option<&Value>)> {
        let changes = self.draft.changes.iter();
        changes.map(|it| (it.field.as_str(), it.value.as_ref()))
    }

    /// What was put in: `5 g yeast and 2 g pectic enzyme`.
    fn additions(&self) -> String {
        let parts: Vec<String> = self.draft.additions.iter().map(addition).collect();
        and(&parts)
    }

    /// `Pitched 300 mL with yeast of Regent 25 from Carboy A into Bucket`, where it was used again.
    fn pitched(&self) -> String {
        let giver = self.changes().find_map(|(field, value)| match value {
            Some(Value::Int(batch)) if field == field::YEAST_FROM => Some(Key(*batch)),
            _ => None,
        });
        let poured = self.draft.movements.first();
        if giver.is_none() && poured.is_none() {
            return self.put("Pitched", "into");
        }
        let how_much = self
            .pours
            .first()
            .map(|it| format!("{} with ", it.how_much));
        let of = giver.map_or_else(String::new, |it| format!(" of {}", self.name(it)));
        let from = poured
            .map(|it| it.from)
            .filter(|it| Account::from_key(*it).is_none());
        let from = from.map_or_else(String::new, |it| format!(" from {}", self.name(it)));
        let how_much = how_much.unwrap_or_default();
        format!("Pitched {how_much}yeast{of}{from} into {}", self.subject())
    }

    /// `Pitched 5 g yeast into Bucket`.
    fn put(&self, verb: &str, into: &str) -> String {
        let place = self.draft.additions.first().map(|it| it.place);
        let place = place.map_or_else(|| self.subject(), |it| self.name(it));
        let said = format!("{verb} {} {into} {place}", self.additions());
        let jobs: Vec<&str> = self.draft.jobs.iter().map(|it| it.title.as_str()).collect();
        match jobs.as_slice() {
            [] => said,
            jobs => format!("{said}; to do: {}", jobs.join("; ")),
        }
    }

    /// `Fined Carboy A with 12 g bentonite`.
    fn treated(&self, verb: &str, with: &str) -> String {
        let place = self.draft.additions.first().map(|it| it.place);
        let place = place.map_or_else(|| self.subject(), |it| self.name(it));
        format!("{verb} {place} {with}{}", self.additions())
    }

    fn supplies(&self) -> String {
        let is_count = self.draft.kind == Kind::StockTake;
        let told = self.draft.supplies.iter();
        let told = told.filter(|it| !is_count || !matches!(it.change, SupplyChange::By(_)));
        let parts = told.map(|it| {
            let lot = self.name(it.lot);
            match it.change {
                SupplyChange::By(Dose::Count(many)) => self.pieces(many, it.lot),
                SupplyChange::By(amount) => format!("{} of {lot}", dose(amount)),
                SupplyChange::Found(amount) if amount.amount() == 0 => format!("{lot}: none left"),
                SupplyChange::Found(amount) => format!("{lot}: {} left", dose(amount)),
                SupplyChange::Unknown => lot,
            }
        });
        and(&parts.collect::<Vec<String>>())
    }

    /// `60 corks (cork 1)`; of a lot that has a name of its own, `60 of Grandfather's box`.
    fn pieces(&self, many: i64, lot: Key) -> String {
        let name = self.name(lot);
        let thing = self.cellar.thing(lot);
        let what = thing
            .map_or("", |it| it.text(field::SUBSTANCE))
            .replace('-', " ");
        let number = name.strip_prefix(&what).map(str::trim);
        let is_numbered = number.is_some_and(|it| it.bytes().all(|it| it.is_ascii_digit()));
        if what.is_empty() || !is_numbered {
            return format!("{many} of {name}");
        }
        let plural = if many == 1 { "" } else { "s" };
        format!("{many} {what}{plural} ({name})")
    }

    /// `Took stock of Sulfite: 180 g left, spilled`.
    fn took_stock(&self) -> String {
        let because = self.changes().find_map(|(field, value)| match value {
            Some(Value::Text(why)) if field == field::COUNTED_BECAUSE => Some(format!(", {why}")),
            _ => None,
        });
        let because = because.unwrap_or_default();
        let mut off = self.changes().filter(|it| it.0 == field::DRAWN_COUNTED);
        let off = off
            .next()
            .map_or("", |_| ", what was filled by then off it");
        format!("Took stock of {}{because}{off}", self.supplies())
    }

    /// What was weighed or poured out of a supply: `1.8 g of Sulfite 1 and 15 g of Citric`.
    fn taken(&self) -> String {
        let parts = self.draft.supplies.iter().filter_map(|it| match it.change {
            SupplyChange::By(amount) if amount.amount() < 0 && amount.unit() != "count" => Some(
                format!("{} of {}", dose(amount.times(-1)), self.name(it.lot)),
            ),
            _ => None,
        });
        and(&parts.collect::<Vec<String>>())
    }

    fn readings(&self) -> String {
        let readings = self.draft.readings.iter();
        let readings = readings.map(|it| figures::reading(it.property, &it.found));
        readings.collect::<Vec<String>>().join(", ")
    }

    /// `rotten egg`, with the person's own words where they say more.
    fn troubles(&self) -> String {
        let readings = self.draft.readings.iter().map(|it| {
            let name = figures::found(it.property, &it.found);
            match it.typed.as_str() {
                own if own == name || own.is_empty() => name,
                own => format!("{name}, `{}`", own.trim_end_matches('.')),
            }
        });
        and(&readings.collect::<Vec<String>>())
    }

    fn measured(&self) -> String {
        let place = self.draft.readings.first().map(|it| it.place);
        let thing = place.and_then(|it| self.cellar.thing(it));
        if thing.is_some_and(|it| it.sort == Sort::Run) {
            return self.looked_at();
        }
        let place = place.map_or_else(|| self.subject(), |it| self.name(it));
        format!("Measured {place}: {}{}", self.readings(), self.sample())
    }

    fn tasted(&self) -> String {
        let Some(tasting) = self.draft.tastings.first() else {
            return format!("Tasted {}", self.subject());
        };
        let score = tasting.score.map(|it| format!(", score {it}"));
        let score = score.unwrap_or_default();
        let words = tasting.words.trim_end_matches('.');
        let glue = if words.is_empty() { "" } else { ": " };
        let place = self.name(tasting.place);
        let letter = blind::letter(&tasting.sheet);
        let (place, sample) = match letter {
            // Until it is revealed, nobody is told; of a bottle nothing is drawn.
            Some(letter) if Flight::of(self.cellar).is_some() => {
                (format!("wine {letter} blind"), String::new())
            }
            Some(letter) => (format!("{place} blind, as {letter}"), self.sample()),
            None => (place, self.sample()),
        };
        format!("Tasted {place}{glue}{words}{score}{sample}")
    }

    /// What was drawn for it.
    fn sample(&self) -> String {
        let mut pours = self.pours.iter();
        let sample = pours.find(|it| it.to == Account::Samples.key());
        sample.map_or_else(String::new, |it| format!("; drew {}", it.how_much))
    }

    fn noted(&self) -> String {
        let about = self.draft.subject.filter(|it| *it != super::thing::CELLAR);
        let about = about.map_or_else(String::new, |it| format!(" on {}", self.name(it)));
        format!("Noted{about}: {}", self.draft.note)
    }
}

fn addition(it: &Addition) -> String {
    let what = substance(&it.substance);
    match it.dose {
        Some(Dose::Count(1)) => format!("one {what}"),
        Some(Dose::Count(count)) => format!("{count} of {what}"),
        Some(packets @ Dose::Packets(_)) => format!("{} of {what}", dose(packets)),
        Some(tablets @ Dose::Tablets(_)) => format!("{} of sulfite", dose(tablets)),
        Some(amount) => format!("{} {what}", dose(amount)),
        None => format!("an unknown amount of {what}"),
    }
}

fn amount(amount: Amount) -> String {
    match amount {
        Amount::Exactly(volume) | Amount::LevelFound(volume) => litres(volume),
        Amount::RestLeaving(volume) if volume == Volume::ZERO => "all".to_owned(),
        Amount::RestLeaving(volume) => format!("all but {}", litres(volume)),
        Amount::NotKnown => "an unknown amount".to_owned(),
    }
}

/// The batch that most of a wine is.
fn most_of(makeup: &[Share]) -> Option<Key> {
    let named = makeup.iter().filter(|it| it.batch.is_some());
    named.max_by_key(|it| it.volume).and_then(|it| it.batch)
}

/// `one`, `one and another`, `one, another and a third`.
pub fn and<T: AsRef<str>>(parts: &[T]) -> String {
    let parts: Vec<&str> = parts.iter().map(AsRef::as_ref).collect();
    match parts.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// With its first letter large: the store's sentences begin small, to follow the program's name on the
/// command line.
pub fn capital(word: &str) -> String {
    let mut letters = word.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests;
