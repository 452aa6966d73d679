//! How a bottling is begun: what is filled, and what was filled already.

use super::asking_of;
use super::gate::{WARM_C, gate};
use super::mark::free_mark;
use super::steps::begin_chore;
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Chore, Closure, Package, Tally, beyond, fits, more_lees};
use crate::cellar::entry::{Draft, FillEvent, Filling, Found, Kind, Property, Reading};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing, Value, field};
use crate::cellar::verbs::packages::Filled;
use crate::cellar::verbs::read::{self, full_vessel, thing_if_given, word};
use crate::cellar::verbs::{Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};

/// What the note of a start begins with where something speaks against it that may burst a bottle, before the reason.
pub(in crate::cellar::verbs) const OVERRULED: &str = "overruled: ";
/// The same where only its clearness, its rest or its bacteria speak against it.
pub(in crate::cellar::verbs) const NOT_READY: &str = "bottled all the same: ";

/// What is typed for a mark where there is to be none.
pub(in crate::cellar::verbs) const NO_MARK: &str = "none";

pub(in crate::cellar::verbs) static START: Verb = Verb {
    name: "bottle start",
    sentence: "Begin to bottle a wine; the bottles are counted one by one, or typed at the end.",
    group: Group::Bottles,
    fields: &[
        ask("from", "From", "Which vessel.", Takes::FullVessel),
        flag(
            "size",
            "Size",
            "Of a bottle in mL, 750 if left out; of a jug, bag or keg such as `19 L`.",
            Takes::Number("mL"),
        ),
        flag(
            "package",
            "Into",
            "What it is filled into; bottles if left out.",
            Takes::Choice(Package::WORDS),
        ),
        flag(
            "rating",
            "Rating",
            "What a keg is rated for, as printed on it: `9 bar`, `130 psi`; that of the kegs on hand if left out.",
            Takes::Number("bar or psi"),
        ),
        flag(
            "pressure",
            "Pressure",
            "What a keg is kept under, over the air's; none if left out.",
            Takes::Number("bar or psi"),
        ),
        flag(
            "closure",
            "Closure",
            "What closes them; cork for bottles if left out.",
            Takes::Choice(Closure::WORDS),
        ),
        flag(
            "corker",
            "Corker",
            "Which corker, if there are several.",
            Takes::Thing(Sort::Corker),
        ),
        flag(
            "mark",
            "Mark",
            "Two characters on cork, cap or tape, to tell the run by; one that is free if left out, or `none`.",
            Takes::Text,
        ),
        flag(
            "name",
            "Name",
            "What the bottles are called; the wine's name if left out.",
            Takes::NewName(Sort::Run),
        ),
        flag(
            "filled",
            "Filled",
            "If it is done already: `29`, or `28x750 1x375`.",
            Takes::Text,
        ),
        flag(
            "lees",
            "Lees",
            "What stays behind as lees, as in `bottle plan`; the finish counts it as that.",
            Takes::Volume,
        ),
        flag(
            "warm",
            "Warm",
            "Whether it was at 15 °C or warmer while its gravity stood still.",
            Takes::Choice(&["yes", "no"]),
        ),
        flag(
            "chores",
            "Chores",
            "Whether to begin with what comes before filling, gathered, washed, sanitised, dosed, each ticked off with `bottle ready`.",
            Takes::Choice(&["yes", "no"]),
        ),
        flag(
            "overrule",
            "Overrule",
            "Why it is bottled though something speaks against it.",
            Takes::Text,
        ),
    ],
    draft: start,
};

fn start(form: &Form, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let (vessel, wine) = full_vessel(form, "from", cellar)?;
    if let Some(open) = cellar.filling {
        return Err(Refusal::book(
            None,
            still_filling(open, vessel, wine, cellar),
        ));
    }
    let into = Filled::of(form, cellar)?;
    let wine_name = wine
        .main_batch()
        .map_or(vessel.name(), |it| cellar.name(it));
    let name = form
        .get("name")
        .map_or_else(|| free_name(wine_name, cellar), str::to_owned);
    let mut draft = Draft::new(Kind::Bottle, cellar.now);
    let run = draft.begin(Sort::Run, &name);
    draft.subject = Some(vessel.key);
    draft.set(run, field::VESSEL, Value::Int(vessel.key.0));
    into.set(&mut draft, run);
    if let Some(corker) = thing_if_given(form, "corker", Sort::Corker, cellar)? {
        draft.set(run, field::RUN_CORKER, Value::Int(corker.key.0));
    }
    let mut asks = Vec::new();
    if let Some(mark) = mark_typed(form)? {
        draft.set(run, field::RUN_MARK, mark);
    } else if let Some(mark) = mark_proposed(form, &name, cellar) {
        draft.set(run, field::RUN_MARK, mark.as_str());
        asks.push(format!(
            "Its mark is {mark}: put it on each cork, cap or tape, so that they can be told from others; `--mark` takes another, or `none`."
        ));
    }
    if let Some(lees) = lees(form, vessel, wine, cellar)? {
        draft.set(run, field::LEES, Value::Int(lees.0));
    }
    let chores = word(form, "chores", &["yes", "no"])?;
    if chores == Some("yes") {
        begin_chore(&mut draft, run, Chore::Gather, cellar);
    }
    if let Some(filled) = form.get("filled") {
        draft.fillings = typed_fillings(filled, into.size_ml, cellar)?;
        asks.extend(filled_already(&draft.fillings, &into, vessel, wine)?);
        asks.push(format!(
            "It is under way and may be counted on until `bottle finish \"{name}\"` says what became of the rest; they stand and rest from when they were filled."
        ));
    }
    draft.readings.extend(warmth(vessel.key, form)?);
    let against = gate(vessel, draft.readings.first(), &into, form, cellar)?;
    asks.extend(against.asks);
    let misfit = fits(into.package, into.size_ml, into.closure, cellar);
    if into.package.takes_pressure() || into.package == Package::Bag {
        asks.push(into.package.hazard().sentence.to_owned());
    }
    if chores.is_none() && form.get("filled").is_none() {
        asks.push(CHORES.to_owned());
    }
    if let Some(reason) = form.get("overrule") {
        let how = if against.bursts { OVERRULED } else { NOT_READY };
        draft.note = format!("{how}{reason}");
    }
    let from = format!("{name} from {}", vessel.name());
    let prepared = Prepared {
        sentence: begins(into.package, &from, &draft),
        draft,
        asks,
        loses: None,
    };
    Ok(asking_of(misfit, prepared))
}

/// What to do where another run is being filled: two wines that are to be in one run meet before its first bottle, in the vessel
/// that is bottled or in one that holds both.
fn still_filling(open: Key, vessel: &Thing, wine: &Wine, cellar: &Snapshot) -> String {
    let run = cellar.name(open);
    let finish = "finish it first with `bottle finish`";
    let from = cellar.thing(open).and_then(|it| it.int(field::VESSEL));
    let from = from.and_then(|it| cellar.thing(Key(it)));
    let Some(from) = from.filter(|it| it.key != vessel.key) else {
        return format!("{run} is still being filled; {finish}.");
    };
    let this = vessel.name();
    let held = |it: &Thing| cellar.wine(it.key).map_or(Volume::ZERO, |it| it.volume);
    let both = held(from) + wine.volume;
    let holds_both = |it: &&Thing| it.capacity().is_some_and(|it| it >= both);
    let name = from.name();
    let (first, blend) = if holds_both(&from) {
        (
            "",
            format!(": `leesline blend \"{name}\" --from \"{this}\"`"),
        )
    } else {
        let mut empty = cellar
            .open(Sort::Vessel)
            .filter(|it| cellar.wine(it.key).is_none());
        let blend = empty.find(holds_both).map_or_else(
            || ", in a vessel that holds both".to_owned(),
            |it| {
                let into = it.name();
                format!(": `leesline blend \"{into}\" --from \"{name}\" --from \"{this}\"`")
            },
        );
        ("void its start and ", blend)
    };
    if cellar.wine(open).is_some_and(|it| it.bottle_count() > 0) {
        return format!(
            "{run} is still being filled from {name}; {finish} and bottle {this} after it, for two wines are in one run only where they met \
             before its first bottle."
        );
    }
    format!(
        "{run} is still being filled from {name}; {finish}, or to have both wines in one run {first}let them meet now{blend}."
    )
}

/// The mark that was typed; `None` where none was, or where there is to be none.
fn mark_typed(form: &Form) -> Result<Option<&str>, Refusal> {
    let typed = form.get("mark").filter(|it| !it.is_empty());
    match typed.filter(|it| !it.eq_ignore_ascii_case(NO_MARK)) {
        Some(mark) if mark.chars().count() > 2 => Err(Refusal::input(
            "mark",
            format!("`{mark}` is longer than two characters; it must fit on a cork."),
        )),
        mark => Ok(mark),
    }
}

/// A free mark where nothing was typed, for bottles that stand already too: they are told apart by it as well.
fn mark_proposed(form: &Form, name: &str, cellar: &Snapshot) -> Option<String> {
    let is_said = form.get("mark").is_some_and(|it| !it.is_empty());
    free_mark(name, cellar).filter(|_| !is_said)
}

/// Refuses more than is left where that cannot be; what the vessel held beyond the book is said.
fn filled_already(
    fillings: &[Filling],
    into: &Filled,
    vessel: &Thing,
    wine: &Wine,
) -> Result<Option<String>, Refusal> {
    fillings.iter().try_for_each(|it| into.holds(it.size_ml))?;
    let wanted_ml = fillings.iter().map(|it| it.size_ml * it.count).sum();
    let is_full = fillings.iter().any(|it| it.size_ml == into.size_ml);
    let too_much = into.package.more_than_left(wanted_ml, wine);
    if let Some(sentence) = too_much.filter(|_| is_full) {
        return Err(Refusal::book(Some("filled"), sentence));
    }
    let found = Volume::millilitres(wanted_ml) - wine.volume;
    let is_beyond = wine.unmeasured.is_none() && found > Volume::ZERO;
    let back = "give --filled with `amend`";
    Ok(is_beyond.then(|| beyond(found, vessel.name(), back)))
}

/// What is begun, with what is filled already: `Bottle Damson from Carboy: 28 × 750 mL.`
fn begins(package: Package, from: &str, draft: &Draft) -> String {
    let verb = match package {
        Package::Bottle => "Bottle".to_owned(),
        other => format!("Fill {}s with", other.label()),
    };
    match Tally::of(&draft.fillings).sizes(package).as_str() {
        "" => format!("{verb} {from}."),
        sizes => format!("{verb} {from}: {sizes}."),
    }
}

/// The lees that are to stay behind.
fn lees(
    form: &Form,
    vessel: &Thing,
    wine: &Wine,
    cellar: &Snapshot,
) -> Result<Option<Volume>, Refusal> {
    let lees = read::size(form, "lees", cellar)?;
    match lees.and_then(|it| more_lees(it, vessel, wine)) {
        Some(why) => Err(Refusal::book(Some("lees"), why)),
        None => Ok(lees),
    }
}

/// What was not asked for and may be wanted.
const CHORES: &str = "It begins with the first bottle; with `--chores yes` what comes before is ticked off first: gathered, washed, sanitised, dosed.";

/// Said on the spot, and kept as a reading: the book shall know later why it was taken as finished.
fn warmth(vessel: Key, form: &Form) -> Result<Option<Reading>, Refusal> {
    let said = word(form, "warm", &["yes", "no"])?;
    Ok(said.map(|it| {
        let (found, typed) = if it == "yes" {
            (Found::Above(WARM_C), "15 °C or warmer")
        } else {
            (Found::Below(WARM_C), "below 15 °C")
        };
        Reading {
            place: vessel,
            property: Property::Temperature,
            found,
            typed: typed.to_owned(),
            instrument: String::new(),
            rule: String::new(),
        }
    }))
}

/// A second run of one wine is told from the first by a number.
fn free_name(wine: &str, cellar: &Snapshot) -> String {
    let taken = |name: &str| {
        cellar
            .open(Sort::Run)
            .any(|it| it.name().eq_ignore_ascii_case(name))
    };
    let runs = cellar.open(Sort::Run).count();
    let numbered = (2..=runs + 1).map(|n| format!("{wine} {n}"));
    let mut names = std::iter::once(wine.to_owned()).chain(numbered);
    names.find(|it| !taken(it)).unwrap_or_default()
}

/// `29`, `28x750 1x375`, `28×750 + 1×375`.
fn typed_fillings(text: &str, size_ml: i64, cellar: &Snapshot) -> Result<Vec<Filling>, Refusal> {
    let wrong = || {
        Refusal::input(
            "filled",
            format!("`{text}` is no count; write 29, or 28x750 1x375."),
        )
    };
    let (least_ml, most_ml) = Package::Bottle.sizes_ml();
    let mut fillings = Vec::new();
    for part in text.split([' ', '+', ',']).filter(|it| !it.is_empty()) {
        let (count, size) = part.split_once(['x', '×']).unwrap_or((part, ""));
        let count = count
            .parse()
            .ok()
            .filter(|it| (1..=100_000).contains(it))
            .ok_or_else(wrong)?;
        let size_ml = if size.is_empty() {
            size_ml
        } else {
            size.parse()
                .ok()
                .filter(|it| (least_ml..=most_ml).contains(it))
                .ok_or_else(wrong)?
        };
        let sequence = fillings.len() as i64 + 1;
        fillings.push(Filling {
            sequence,
            event: FillEvent::Filled,
            size_ml,
            count,
            at_ms: cellar.now.utc_ms,
        });
    }
    if fillings.is_empty() {
        Err(wrong())
    } else {
        Ok(fillings)
    }
}
