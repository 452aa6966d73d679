//! An entry of the book as what would have to be typed for it: the verb that writes such entries,
//! and what the entry says of each of its fields. What cannot be told back is left out; who shows it
//! compares what it would say with what the entry says.

mod look;
mod taste;

use super::lasting::SECOND_PART;
use super::{Field, Need, Takes, Verb, find};
use crate::cellar::bottling::Package;
use crate::cellar::corkers::{self, Setting};
use crate::cellar::dosing::is_powder;
use crate::cellar::entry::{
    Amount, BottleMove, Change, Dose, Draft, Due, Entry, Kind, Movement, Silence, Spot,
    SupplyChange,
};
use crate::cellar::gifts;
use crate::cellar::moment::DAY_MS;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Account, Key, Sort, Value, field};

/// Fields with their texts.
pub type Typed = Vec<(String, String)>;

/// The verb that writes such an entry, with what the entry says filled in as far as it can be told
/// back. Nothing for a void alone: no verb writes that.
pub fn again(entry: &Entry, cellar: &Snapshot) -> Option<(&'static Verb, Typed)> {
    let draft = &entry.draft;
    let verb = verb_of(draft)?;
    let mut typed = Typed::new();
    let told = Told { draft, cellar };
    for asked in verb.fields.iter().chain(super::COMMON) {
        let texts = told.field(verb, asked).into_iter();
        typed.extend(
            texts
                .filter(|it| !it.is_empty())
                .map(|text| (asked.key.to_owned(), text)),
        );
    }
    Some((verb, typed))
}

/// What the entry said, where `again`, an entry written in its stead, says something else. A bottling
/// written anew keeps its presses at the spout.
pub fn unlike(entry: &Entry, again: Option<&Draft>, cellar: &Snapshot) -> Option<String> {
    let told = |draft: &Draft| telling::with_note(draft, &[], cellar);
    let was = told(&entry.draft);
    let is = again.map(|it| {
        told(&Draft {
            fillings: entry.draft.fillings.clone(),
            ..it.clone()
        })
    });
    (is.as_deref() != Some(was.as_str())).then_some(was)
}

fn verb_of(draft: &Draft) -> Option<&'static Verb> {
    let sets = |name: &str| draft.changes.iter().any(|it| it.field == name);
    let begins = |sort: Sort| draft.new_things.contains(&sort);
    let empties = || sets(field::FINISH) || sets(field::CLEANNESS) || sets(field::DELABELLED);
    let of_thing = |sort: Sort, word: &str, end: &str| {
        let what = if begins(sort) {
            "add"
        } else if sets(field::CLOSED) {
            end
        } else {
            "change"
        };
        find(&format!("{word} {what}"))
    };
    let keeps_for =
        |it: &BottleMove| matches!(&it.to, Spot::Kept(kept) if !kept.reserved.is_empty());
    if let Some(blind) = taste::verb(draft) {
        return find(blind);
    }
    match draft.kind {
        Kind::Void => None,
        Kind::Vessel => of_thing(Sort::Vessel, "vessel", "retire"),
        Kind::Batch => of_thing(Sort::Batch, "batch", "close"),
        Kind::Shelves => of_thing(Sort::Rack, "shelves", "retire"),
        Kind::Bottles => find("bottles describe"),
        Kind::Move if !draft.bottles.is_empty() => find("shift"),
        // A vessel is measured, and of a run it is said that it was looked at.
        Kind::Measure if draft.subject.is_some() => find("look"),
        Kind::Reserve if !draft.bottles.iter().any(keeps_for) => find("release"),
        Kind::SterileFilter => find("filter"),
        Kind::Trouble => find("trouble mark"),
        Kind::Bottle if draft.run_begun().is_some() => find("bottle start"),
        Kind::Bottle if sets(field::FINISHED) => find("bottle finish"),
        Kind::Bottle if sets(field::CORKS_SEEN) => find("bottle corks"),
        Kind::Bottle => find("bottle ready"),
        Kind::Buy if empties() => find("empties add"),
        Kind::StockTake if sets(field::OUT_LAST) => find("empties out"),
        Kind::StockTake if empties() => find("empties wash"),
        Kind::Plan if begins(Sort::Plan) => find("plan add"),
        Kind::Plan => find("plan start"),
        kind => find(kind.word()).or_else(|| find(&kind.word().replace('-', " "))),
    }
}

struct Told<'a> {
    draft: &'a Draft,
    cellar: &'a Snapshot,
}

impl Told<'_> {
    fn field(&self, verb: &Verb, asked: &Field) -> Vec<String> {
        let one = |text: Option<String>| text.into_iter().collect();
        let common = one(match asked.key {
            "at" => {
                let local = self.draft.when.local();
                return vec![local.format("%Y-%m-%d %H:%M:%S").to_string()];
            }
            "by" => Some(self.draft.by.clone()),
            // Words that are the entry itself, and not beside it, have a field of their own.
            "note" => {
                Some(gifts::beside_whom(self.draft).to_owned()).filter(|_| !note_is_told(verb))
            }
            "jot" => self.draft.from_jot.map(|it| it.0.to_string()),
            _ => None,
        });
        if super::COMMON.iter().any(|it| it.key == asked.key) {
            return common;
        }
        if let Takes::Reading(property) = asked.takes {
            let reading = self
                .draft
                .readings
                .iter()
                .find(|it| it.property == property);
            return one(reading.map(|it| it.typed.clone()));
        }
        if let Some(attribute) = attribute(verb, asked.key)
            && let Some(change) = self.change(attribute)
        {
            return self.changed(change);
        }
        self.of_kind(asked)
    }

    fn change(&self, attribute: &str) -> Option<&Change> {
        self.draft.changes.iter().find(|it| it.field == attribute)
    }

    fn changed(&self, change: &Change) -> Vec<String> {
        let text = match &change.value {
            Some(Value::Int(ul)) if change.field.ends_with("_ul") => litres(*ul),
            Some(Value::Int(ms)) if change.field.ends_with("_ms") => self
                .cellar
                .now
                .at(*ms)
                .local()
                .format("%Y-%m-%d")
                .to_string(),
            Some(Value::Int(number)) => number.to_string(),
            Some(Value::Real(kpa)) if change.field.ends_with("_kpa") => format!("{kpa} kPa"),
            Some(Value::Real(number)) => number.to_string(),
            Some(Value::Text(words)) if change.field == field::STEPS => {
                return words.lines().map(str::to_owned).collect();
            }
            Some(Value::Text(words)) => words.clone(),
            None => String::new(),
        };
        vec![text]
    }

    fn name(&self, key: Key) -> String {
        self.cellar.name(key).to_owned()
    }

    /// Vessels that wine went into, or came from.
    fn poured(&self) -> impl Iterator<Item = &Movement> {
        self.draft.movements.iter()
    }

    fn of_kind(&self, asked: &Field) -> Vec<String> {
        let draft = self.draft;
        let moved = draft.movements.first();
        let bottles = draft.bottles.first();
        let addition = draft.additions.first();
        let tasting = draft.tastings.first();
        let supply = draft.supplies.first();
        let one = |text: Option<String>| text.into_iter().collect();
        if let Some(told) = taste::told(draft, asked.key, self.cellar) {
            return told;
        }
        match (draft.kind, asked.key) {
            (Kind::Rack | Kind::Press | Kind::Split, "from") => {
                one(moved.map(|it| self.name(it.from)))
            }
            (Kind::Rack | Kind::Press | Kind::Split, "to") => self.targets(),
            (Kind::Rack | Kind::Press, "leaving") => {
                one(self.poured().find_map(|it| match it.amount {
                    Amount::RestLeaving(left) if left.0 > 0 => Some(litres(left.0)),
                    _ => None,
                }))
            }
            (Kind::Pitch, "from") => one(self.yeast_from()),
            (Kind::Blend, "from") => self
                .poured()
                .map(|it| pour(&self.name(it.from), it.amount))
                .collect(),
            (Kind::Blend, "into") => one(moved.map(|it| self.name(it.to))),
            (Kind::Blend, "as") => {
                one(self.change(field::NAME).map(|it| self.changed(it).concat()))
            }
            (Kind::TopUp | Kind::Receive, "into") => one(moved.map(|it| self.name(it.to))),
            (Kind::TopUp, "from") => one(moved.map(|it| self.name(it.from))),
            (Kind::Receive, "batch") | (Kind::Here, "holds") => {
                one(moved.and_then(|it| it.batch).map(|it| self.name(it)))
            }
            (Kind::Draw | Kind::Lose | Kind::Discard | Kind::Adjust, "place") => {
                one(moved.map(|it| self.name(it.from)))
            }
            (Kind::Lose, "how") => one(moved.map(|it| self.name(it.to))),
            // A mouthful would be drawn if nothing were said.
            (Kind::Taste, "sample") => {
                one(Some(moved.map_or("none".to_owned(), |it| said(it.amount))))
            }
            (_, "level" | "sample") => one(moved.map(|it| said(it.amount))),
            (Kind::Here, "bottles") => one(bottles.map(|_| self.count().to_string())),
            (Kind::Here, "size") => one(bottles.map(|it| it.size_ml.to_string())),
            (Kind::Here, "amount") if bottles.is_some() => Vec::new(),
            (Kind::Receive, "fruit") => one(addition.and_then(|it| it.dose).map(telling::dose)),
            (Kind::Stabilise, "sorbate") => self.dose_of("sorbate"),
            (Kind::Stabilise, "sulfite") => self.dose_of("metabisulfite"),
            (Kind::Add, "substance") | (Kind::Fine, "agent") | (Kind::Feed, "with") => {
                one(addition.map(|it| it.substance.replace('-', " ")))
            }
            (Kind::OakIn, "days") => one(draft.jobs.first().and_then(|it| match it.due {
                Due::On(ms) => Some(days(ms - draft.when.utc_ms)),
                Due::AtGravity { .. } => None,
            })),
            (_, "calculation") => one(addition.map(|it| it.calculation.clone())),
            (_, "lot") if addition.is_some() => {
                one(addition.and_then(|it| it.lot).map(|it| self.name(it)))
            }
            (Kind::StockTake, "lot" | "also" | "amount") => self.counted(asked.key),
            (Kind::Sanitise, "sanitizer") => one(supply
                .and_then(|it| self.cellar.thing(it.lot))
                .map(|it| it.text(field::SUBSTANCE))
                .filter(|it| !is_powder(it))
                .map(telling::substance)),
            (Kind::Sanitise, "amount") | (Kind::Bottle, "powder") => one(self.drawn()),
            (_, "lot") => one(supply.map(|it| self.name(it.lot))),
            (Kind::Buy, "substance") => one(self
                .change(field::SUBSTANCE)
                .map(|it| self.changed(it).concat())),
            (_, "amount") if supply.is_some() => one(supply.and_then(|it| match it.change {
                SupplyChange::By(dose) | SupplyChange::Found(dose) => Some(telling::dose(dose)),
                SupplyChange::Unknown => None,
            })),
            (Kind::Receive, "amount") => one(moved.map(|it| said(it.amount))),
            (Kind::Pitch, "amount") if moved.is_some() => one(moved.map(|it| {
                let about = if it.about { "about " } else { "" };
                format!("{about}{}", said(it.amount))
            })),
            (_, "amount") if addition.is_some() => {
                one(addition.and_then(|it| it.dose).map(telling::dose))
            }
            (_, "amount") => one(moved.map(|it| said(it.amount))),
            (Kind::Taste | Kind::Open, "words") => one(tasting.map(|it| it.words.clone())),
            (Kind::Taste, "score") => one(tasting.and_then(|it| it.score).map(|it| it.to_string())),
            (Kind::Taste, "place") => one(tasting.map(|it| self.name(it.place))),
            (Kind::SterileFilter, "sterile") => vec!["yes".to_owned()],
            (Kind::Jot | Kind::Note, "text")
            | (Kind::Pitch, "yeast")
            | (Kind::Sanitise, "gear") => vec![draft.note.clone()],
            _ => self.of_bottles(asked),
        }
    }

    /// Whether a finish took none of the empties, though there were some.
    fn took_no_empties(&self) -> bool {
        let there = self.cellar.open(Sort::Supply).filter(|it| {
            let bought = it.int(field::BOUGHT);
            Package::of_empties(it).is_some() && bought <= Some(self.draft.when.utc_ms)
        });
        let mut there = there.map(|it| it.key).peekable();
        there.peek().is_some()
            && !there.any(|lot| self.draft.supplies.iter().any(|it| it.lot == lot))
    }

    /// What is told back of bottles, of reasons put off and of jobs.
    fn of_bottles(&self, asked: &Field) -> Vec<String> {
        let draft = self.draft;
        let bottles = draft.bottles.first();
        let silence = draft.silences.first();
        let one = |text: Option<String>| text.into_iter().collect();
        match (draft.kind, asked.key) {
            (Kind::Measure, key) if look::is_its_own(draft, key) => one(look::field(draft, key)),
            (_, "count") => one(bottles.map(|_| self.count().to_string())),
            (Kind::Give, "to") | (Kind::Back, "whom") => one(gifts::whom(draft).map(str::to_owned)),
            (Kind::Back, "full")
                if draft
                    .bottles
                    .iter()
                    .any(|it| matches!(it.to, Spot::Kept(_))) =>
            {
                vec!["yes".to_owned()]
            }
            // Several places are not one to take them from again: they are found as they were then.
            (kind, "from") if kind != Kind::Bottle => one(bottles.and_then(|it| match &it.from {
                Spot::Kept(kept) if draft.bottles.iter().all(|other| other.from == it.from) => {
                    Some(kept.at.clone())
                }
                _ => None,
            })),
            (Kind::Move | Kind::LayDown | Kind::Here | Kind::Back, "to" | "where") => one(bottles
                .and_then(|it| match &it.to {
                    Spot::Kept(kept) => Some(kept.at.clone()),
                    Spot::Outside(_) => None,
                })),
            (Kind::Reserve, "for") => one(bottles.and_then(|it| match &it.to {
                Spot::Kept(kept) => Some(kept.reserved.clone()),
                Spot::Outside(_) => None,
            })),
            (Kind::Unbottle, "into") => one(bottles.and_then(|it| match it.to {
                Spot::Outside(vessel) => Some(self.name(vessel)),
                Spot::Kept(_) => None,
            })),
            (Kind::Bottle, "rest") => {
                one(self
                    .change(field::REST_UNTIL)
                    .and_then(|it| match it.value {
                        Some(Value::Int(until)) => Some(days(until - draft.when.utc_ms)),
                        _ => None,
                    }))
            }
            (Kind::Bottle, "empties") => one(self.took_no_empties().then(|| "no".to_owned())),
            (Kind::Bottle, "into") => self.left_over(|to| Account::from_key(to).is_none()),
            (Kind::Bottle, "left") => self.left_over(|to| Account::from_key(to).is_some()),
            (Kind::Bottle, "leaving") => one(self.poured().find_map(|it| match it.amount {
                Amount::RestLeaving(left) if left.0 > 0 => Some(litres(left.0)),
                Amount::Exactly(lees) if it.to == Account::Lees.key() => Some(litres(lees.0)),
                _ => None,
            })),
            (Kind::Bottle, "from") => one(draft.run_begun().map(|it| self.name(it.1))),
            (Kind::Snooze | Kind::Dismiss, "reason") => one(silence.map(|it| {
                let kind = it.reason.split(": ").next();
                kind.unwrap_or_default().to_owned()
            })),
            (Kind::Snooze | Kind::Dismiss, "job") => {
                one(silence.and_then(Silence::job).map(str::to_owned))
            }
            (Kind::Snooze, "until") => {
                one(silence.and_then(|it| it.until_ms).map(|it| self.date(it)))
            }
            (Kind::Chill | Kind::PunchDown, "until") => {
                one(draft.jobs.first().and_then(|it| match it.due {
                    Due::On(ms) => Some(self.date(ms)),
                    Due::AtGravity { .. } => None,
                }))
            }
            (Kind::Fine, "then") => one(draft.jobs.first().and_then(|it| {
                let agent = it.title.strip_prefix(SECOND_PART)?;
                Some(agent.to_owned())
            })),
            (Kind::Settings, "threshold") => self.thresholds(),
            (Kind::Trouble | Kind::TroubleOver, "fault") => one(draft
                .readings
                .first()
                .map(|it| telling::found(it.property, &it.found))),
            (Kind::Trouble, "words") => one(draft.readings.first().map(|it| it.typed.clone())),
            (Kind::Done, "job") => vec![draft.note.clone()],
            (Kind::Corker, "setting") => one(self.setting().map(|it| it.at)),
            (Kind::Corker, "cork") => one(self
                .setting()
                .and_then(|it| it.cork_mm)
                .map(|it| it.to_string())),
            (Kind::Corker, "size") => one(self
                .setting()
                .and_then(|it| it.bottle_ml)
                .map(|it| it.to_string())),
            (Kind::Corker, "retire") => one(self.change(field::CLOSED).map(|_| "yes".to_owned())),
            (Kind::Buy, "size") => one(self.cork_size()),
            (Kind::Bottle, "corker") => one(self.change(field::RUN_CORKER).and_then(|it| match it
                .value
            {
                Some(Value::Int(key)) => Some(self.name(Key(key))),
                _ => None,
            })),
            _ => one(self.subject(asked)),
        }
    }

    /// Where yeast was used again from: the vessel, else the batch whose lees it is.
    fn yeast_from(&self) -> Option<String> {
        let poured = self.draft.movements.first().map(|it| it.from);
        let vessel = poured.filter(|it| Account::from_key(*it).is_none());
        let batch = || match self.change(field::YEAST_FROM)?.value {
            Some(Value::Int(batch)) => Some(Key(batch)),
            _ => None,
        };
        vessel.or_else(batch).map(|it| self.name(it))
    }

    /// Lots that were counted; more than one with what was found of each.
    fn counted(&self, key: &str) -> Vec<String> {
        let found = self.draft.supplies.iter().filter_map(|it| match it.change {
            SupplyChange::Found(dose) if dose.amount() == 0 => Some((it.lot, "none".to_owned())),
            SupplyChange::Found(dose) => Some((it.lot, telling::dose(dose))),
            SupplyChange::By(_) | SupplyChange::Unknown => None,
        });
        let found: Vec<(Key, String)> = found.collect();
        let both = |it: &(Key, String)| format!("{}={}", self.name(it.0), it.1);
        match (found.as_slice(), key) {
            ([only], "lot") => vec![self.name(only.0)],
            ([only], "amount") => vec![only.1.clone()],
            ([first, _, ..], "lot") => vec![both(first)],
            ([_, others @ ..], "also") => others.iter().map(both).collect(),
            _ => Vec::new(),
        }
    }

    /// What sanitising took of the first supply it took from, and of what stands in for it: all its powder.
    fn drawn(&self) -> Option<String> {
        let substance = |lot: Key| self.cellar.thing(lot).map(|it| it.text(field::SUBSTANCE));
        let weighed = self.draft.supplies.iter().filter_map(|it| match it.change {
            SupplyChange::By(dose) if dose.amount() < 0 && dose.unit() != "count" => {
                Some((substance(it.lot)?, dose.times(-1)))
            }
            _ => None,
        });
        let weighed: Vec<(&str, Dose)> = weighed.collect();
        let (first, _) = weighed.first()?;
        let same = weighed
            .iter()
            .filter(|it| it.0 == *first || is_powder(it.0) && is_powder(first));
        let sum = same.map(|it| it.1).reduce(Dose::plus);
        sum.map(telling::dose)
    }

    /// The day of an instant, as a field takes it.
    fn date(&self, ms: i64) -> String {
        let day = self.cellar.now.at(ms);
        day.local().format("%Y-%m-%d").to_string()
    }

    /// Thresholds that were set: `round_days=10`.
    fn thresholds(&self) -> Vec<String> {
        let changes = self.draft.changes.iter();
        let set = changes.filter_map(|it| {
            let name = it.field.strip_prefix(field::THRESHOLD)?;
            Some(match &it.value {
                Some(Value::Real(value)) => format!("{name}={value}"),
                _ => format!("{name}=usual"),
            })
        });
        set.collect()
    }

    /// What the entry is about, in the field that names it.
    fn subject(&self, asked: &Field) -> Option<String> {
        let silenced = self.draft.silences.first().map(|it| it.subject);
        let subject = self.draft.subject.or(silenced);
        let subject = subject.or(self.draft.places().first().copied())?;
        let thing = self.cellar.thing(subject)?;
        let fits = match asked.takes {
            Takes::Thing(sort) => thing.sort == sort,
            Takes::FullVessel => thing.sort == Sort::Vessel,
            Takes::Place => matches!(thing.sort, Sort::Vessel | Sort::Run),
            Takes::Text | Takes::NewName(_) => asked.need == Need::Required,
            _ => false,
        };
        (fits && asked.need == Need::Required).then(|| thing.name().to_owned())
    }

    /// The setting of a corker that the entry wrote down: the last of its lines.
    fn setting(&self) -> Option<Setting> {
        match &self.change(field::CORKER_SETTINGS)?.value {
            Some(Value::Text(lines)) => corkers::settings(lines).pop(),
            _ => None,
        }
    }

    /// `38x24`, of corks that were bought.
    fn cork_size(&self) -> Option<String> {
        let length = self.changed(self.change(field::CORK_LENGTH)?).concat();
        let diameter = self
            .change(field::CORK_DIAMETER)
            .map(|it| self.changed(it).concat());
        Some(diameter.map_or(length.clone(), |it| format!("{length}x{it}")))
    }

    /// Vessels filled, each with what was asked for.
    fn targets(&self) -> Vec<String> {
        let vessels = self
            .poured()
            .filter(|it| Account::from_key(it.to).is_none());
        vessels
            .map(|it| pour(&self.name(it.to), it.amount))
            .collect()
    }

    /// Where the wine went that a bottling left over.
    fn left_over(&self, fits: impl Fn(Key) -> bool) -> Vec<String> {
        let mut rests = self
            .poured()
            .filter(|it| matches!(it.amount, Amount::RestLeaving(_)));
        let first = rests.next().filter(|it| fits(it.to));
        first.map(|it| self.name(it.to)).into_iter().collect()
    }

    fn count(&self) -> i64 {
        self.draft.bottles.iter().map(|it| it.count).sum()
    }

    fn dose_of(&self, end: &str) -> Vec<String> {
        let mut additions = self.draft.additions.iter();
        let its = additions.find(|it| it.substance.ends_with(end));
        let dose = its.map(|it| it.dose.map_or("a packet".to_owned(), telling::dose));
        dose.into_iter().collect()
    }
}

/// Whether the note is the entry itself, and has a field of its own.
fn note_is_told(verb: &Verb) -> bool {
    let mut fields = verb.fields.iter();
    matches!(verb.name, "blind start" | "blind reveal")
        || fields.any(|it| matches!(it.key, "text" | "yeast" | "gear"))
}

/// Which attribute a field sets.
fn attribute(verb: &Verb, key: &str) -> Option<&'static str> {
    let of_batch = verb.name.starts_with("batch");
    let of_run = verb.name.starts_with("bottle");
    Some(match key {
        "name" => field::NAME,
        "kind" => field::KIND,
        "source" if of_batch => field::KIND,
        "mark" if of_run => field::RUN_MARK,
        "mark" => field::MARK,
        "brim" => field::BRIM,
        "material" => field::MATERIAL,
        "neck" => field::NECK,
        "closure" | "bottle-closure" => field::CLOSURE,
        "room" => field::ROOM,
        "wine" => field::WINE,
        "malo" => field::MALO,
        "aim" => field::AIM,
        "vintage" => field::VINTAGE,
        "size" => field::SIZE,
        "since" => field::SINCE_WORDS,
        "strength" => field::STRENGTH,
        "tablet-so2" => field::TABLET_SO2,
        "best-before" => field::BEST_BEFORE,
        "currency" => field::CURRENCY,
        "makers-lot" => field::MAKERS_LOT,
        "count" if verb.name == "empties out" => field::OUT_LAST,
        "because" if verb.name == "empties out" => field::OUT_BECAUSE,
        "because" => field::COUNTED_BECAUSE,
        "opened" => field::OPENED,
        "step" => field::STEPS,
        "zone" => field::ZONE,
        "gallon" => field::GALLON,
        "measures" => field::MEASURES,
        "scale" => field::SCALE,
        "syringe" => field::SYRINGE,
        "hydrometer" => field::HYDROMETER,
        "temperature" => field::TEMPERATURE,
        "so2-test" => field::SO2_TEST,
        "package" if verb.name.starts_with("empties") => field::SUBSTANCE,
        "package" => field::PACKAGE,
        "rating" => field::RATING,
        "pressure" => field::PRESSURE,
        "finish" => field::FINISH,
        "colour" => field::COLOUR,
        "shape" => field::SHAPE,
        "columns" => field::COLUMNS,
        "largest" => field::LARGEST,
        "holds" if verb.name.starts_with("shelves") => field::ROOM_FOR,
        _ => return None,
    })
}

fn days(ms: i64) -> String {
    (ms as f64 / DAY_MS as f64).round().to_string()
}

fn pour(vessel: &str, amount: Amount) -> String {
    match amount {
        Amount::RestLeaving(_) | Amount::NotKnown => vessel.to_owned(),
        known => format!("{vessel}={}", said(known)),
    }
}

fn said(amount: Amount) -> String {
    match amount {
        Amount::Exactly(volume) | Amount::LevelFound(volume) => litres(volume.0),
        Amount::RestLeaving(_) => "all".to_owned(),
        Amount::NotKnown => "not known".to_owned(),
    }
}

/// To the microlitre, so that what is not touched stays what it was.
fn litres(microlitres: i64) -> String {
    format!("{} L", microlitres as f64 / 1e6)
}
