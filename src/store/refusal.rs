//! What the book refuses, as sentences with the number and the way out.

use rusqlite::Connection;

use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Package, Tally};
use crate::cellar::entry::{Entry, FillEvent};
use crate::cellar::fold::{Fault, Finding, name};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Things};
use crate::cellar::verbs::{Need, Typed, Verb, again};

use super::pointing::Pointing;
use super::{StoreError, read};

/// The entry's number, as `void` takes it, date and kind: `entry 12 of 12 Oct 2026 (racked)`.
pub(super) fn the_entry(entry: &Entry) -> String {
    format!(
        "entry {} of {} ({})",
        entry.key.0,
        entry.draft.when.day_words(),
        entry.draft.kind.label()
    )
}

/// Why an entry is refused: the first rule broken, and by which entry if that is a later one.
pub(super) fn broken(
    conn: &Connection,
    things: &Things,
    broken: &[Finding],
    fresh: &[Key],
) -> Result<String, StoreError> {
    let [finding, ..] = broken else {
        return Ok(String::new());
    };
    let Some(entry) = read::entry(conn, finding.entry)? else {
        return Ok(finding.sentence(things, "then"));
    };
    if fresh.contains(&finding.entry) {
        if let Some(too_many) = too_many_filled(things, &entry, finding) {
            return Ok(too_many);
        }
        let day = format!("on {}", entry.draft.when.day_words());
        return Ok(finding.sentence(things, &day));
    }
    let why = match fewer_bottles(things, &entry, broken) {
        Some(out) => out,
        None => finding.sentence(things, "then"),
    };
    Ok(format!("{} would no longer hold: {why}", the_entry(&entry)))
}

/// An entry moved more bottles than there are by what is written now. Both may be so, since much is written up
/// late: then it moved fewer, and the command that says that is named.
fn fewer_bottles(things: &Things, entry: &Entry, broken: &[Finding]) -> Option<String> {
    let short = broken.iter().filter(|it| it.entry == entry.key);
    let short = short.map(|it| match it.fault {
        Fault::BottlesShort { held, taken } => Some(taken - held.max(0)),
        _ => None,
    });
    let short = short.sum::<Option<i64>>()?;
    let moves = &entry.draft.bottles;
    let run = name(things, moves.first()?.run);
    let all: i64 = moves.iter().map(|it| it.count).sum();
    let (left, number) = (all - short, entry.key.0);
    if left <= 0 {
        return Some(format!(
            "no bottle of {run} would be left for it; `leesline void {number}` takes it back, then say this again."
        ));
    }
    let mut cellar = Snapshot::empty(entry.draft.when);
    cellar.things.clone_from(things);
    let (verb, typed) = again(entry, &cellar)?;
    let line = words_for(verb, typed, left);
    Some(format!(
        "it is about {all} bottles of {run}, and {left} would be left for it. If it was {left}, `leesline amend {number} {line}` \
         says so; then say this again."
    ))
}

/// An entry as it is typed, with so many bottles. Its date and what stands beside it stay as they are.
fn words_for(verb: &Verb, typed: Typed, count: i64) -> String {
    let quoted = |text: &str| {
        if text.contains([' ', '\'']) {
            format!("\"{text}\"")
        } else {
            text.to_owned()
        }
    };
    let is_bare = |key: &str| {
        let mut fields = verb.fields.iter();
        fields.any(|it| it.key == key && it.need == Need::Required)
    };
    let typed = typed
        .into_iter()
        .filter(|it| it.0 != "at" && it.0 != "count");
    let (bare, flags): (Typed, Typed) = typed.partition(|it| is_bare(&it.0));
    let mut words = vec![verb.name.to_owned()];
    words.extend(bare.iter().map(|it| quoted(&it.1)));
    words.push(format!("--count {count}"));
    words.extend(
        flags
            .iter()
            .map(|it| format!("--{} {}", it.0, quoted(&it.1))),
    );
    words.join(" ")
}

/// More bottles than the vessel held: either the count is wrong or the volume was, and only the person
/// knows which.
fn too_many_filled(things: &Things, entry: &Entry, finding: &Finding) -> Option<String> {
    let (run, vessel) = entry.draft.filled_from()?;
    let Fault::BelowZero { held, taken } = finding.fault else {
        return None;
    };
    let fillings = &entry.draft.fillings;
    let standing = Tally::of(fillings).standing.into_iter();
    let mut filled = standing.filter(|_| finding.place == vessel);
    let (size_ml, count) = filled.find(|(ml, count)| Volume::millilitres(ml * count) == taken)?;
    let package = things.get(&run).map(|it| Package::of(it));
    let package = package.unwrap_or_default();
    // Broken bottles were filled before they broke.
    let out = fillings.iter().map(|it| {
        let lost = it.mishap().filter(|it| it.0 != FillEvent::Refused);
        it.size_ml * (it.standing() + lost.map_or(0, |it| it.1))
    });
    let out = Volume::millilitres(out.sum());
    let at = vessel;
    let vessel = name(things, at);
    let counted = if out == taken {
        let enough = match held.0 / Volume::millilitres(size_ml).0 {
            0 => format!("too little for {}", package.times(1, size_ml)),
            fits => format!(
                "enough for {}, not for {count}",
                package.times(fits, size_ml)
            ),
        };
        format!("{vessel} held {held} by the book, {enough}")
    } else {
        let sizes = Tally::of(fillings).sizes(package);
        format!(
            "{vessel} has too little by the book for {sizes}, with what went amiss {out} in all"
        )
    };
    if let Some(brim) = things
        .get(&at)
        .and_then(|it| it.brim())
        .filter(|it| *it < out)
    {
        return Some(format!(
            "{counted}, and up to its measured brim it holds {brim}: count fewer."
        ));
    }
    Some(format!(
        "{counted}: count fewer; if more is in it yet, say how much with adjust, and if it is empty now, \
         `leesline adjust \"{vessel}\" --level \"{out}\" --at \"{}\"`; then count again.",
        minute_before(entry),
    ))
}

/// What is counted now would have to come out of what was taken from the vessel since.
pub(super) fn taken_meanwhile(things: &Things, vessel: Key, by: &Entry) -> String {
    format!(
        "{} took so much out of {} since it is bottled from that no more is left to fill; `leesline void {}` if that \
         was wrong, or `bottle finish` with what stands.",
        the_entry(by),
        name(things, vessel),
        by.key.0,
    )
}

/// The minute before an entry, as a date is typed: what is written of it goes before.
fn minute_before(entry: &Entry) -> String {
    let when = entry.draft.when;
    let before = when.at(when.utc_ms - 1).local();
    before.format("%Y-%m-%d %H:%M").to_string()
}

/// Why an entry cannot be voided yet.
pub(super) fn pointed_at(
    conn: &Connection,
    things_before: &Things,
    entry: &Entry,
    by: Key,
    how: Pointing,
) -> Result<StoreError, StoreError> {
    let by = match read::entry(conn, by)? {
        Some(by) => the_entry(&by),
        None => "a later entry".to_owned(),
    };
    let (why, out) = match how {
        Pointing::Uses(thing) => (
            format!(
                "{by} speaks of {}, which began with it",
                name(things_before, thing)
            ),
            "void that one first, or amend this one",
        ),
        Pointing::Closes => (
            format!("{by} closes a job that it set"),
            "void that one first",
        ),
        Pointing::MadeFrom => (format!("{by} was made from it"), "void that one first"),
    };
    Ok(StoreError::Refused(format!(
        "{} cannot be voided while {why}; {out}.",
        the_entry(entry)
    )))
}
