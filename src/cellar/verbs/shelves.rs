//! Racks, bins and cases: what shape they have.

use std::collections::BTreeSet;

use leesline_calc::quantity::Quantity;

use super::read::{count, number, thing, word};
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::attention::words;
use crate::cellar::entry::{BottleMove, Draft, Kept, Kind, Spot};
use crate::cellar::racks::{self, Held, MOST_COLUMNS, MOST_ROWS, Rack, RackKind, Racks};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, Value, field};

const RACK: Field = ask("rack", "Rack", "Which rack.", Takes::Thing(Sort::Rack));
const KIND: Field = flag(
    "kind",
    "Kind",
    "A rack of slots, bins, or a case.",
    Takes::Choice(RackKind::WORDS),
);
const ROWS: Field = flag("rows", "Rows", "How many rows.", Takes::Count);
const COLUMNS: Field = flag(
    "columns",
    "Columns",
    "Slots or bins in a row; `9,7,5` where rows differ, from the top.",
    Takes::Text,
);
const HOLDS: Field = flag(
    "holds",
    "Each holds",
    "Bottles in each slot (1 if left out), bin or case (12).",
    Takes::Count,
);
const LARGEST: Field = flag(
    "largest",
    "Largest",
    "The largest bottle that a slot takes: 750 mL in a rack if left out.",
    Takes::Volume,
);
const RENAME: Field = flag("name", "New name", "What it is to be called.", Takes::Text);
const ROOM: Field = flag("room", "Room", "Where it stands.", Takes::Text);

pub(super) static ADD: Verb = Verb {
    name: "shelves add",
    sentence: "Add a rack, bins or a case that bottles lie in.",
    group: Group::Bottles,
    fields: &[
        ask(
            "name",
            "Name",
            "What it is called: `Rack A`.",
            Takes::NewName(Sort::Rack),
        ),
        KIND,
        ROWS,
        COLUMNS,
        HOLDS,
        LARGEST,
        ROOM,
    ],
    draft: |form, cellar| {
        let name = form.get("name").unwrap_or_default();
        can_be_called(name)?;
        let kind = kind(form)?.unwrap_or(RackKind::Grid);
        let Some(columns) = shape(form, None)?.or((kind == RackKind::Case).then(|| vec![1])) else {
            return Err(Refusal::input(
                "columns",
                "How is it divided? Give --rows 4 --columns 6, or --columns 9,7,5 where rows differ.",
            ));
        };
        let holds = count(form, "holds")?.map_or(kind.usual_room(), |it| it.0);
        let mut draft = Draft::new(Kind::Shelves, cellar.now);
        let key = draft.begin(Sort::Rack, name);
        draft.subject = Some(key);
        let rack = Rack {
            key,
            name: name.to_owned(),
            former: Vec::new(),
            kind,
            columns,
            holds,
            largest_ml: largest(form, cellar)?.or(kind.usual_largest_ml()),
        };
        fits(&rack, cellar)?;
        set(&mut draft, &rack, form);
        take_name(&mut draft, name, cellar);
        let mut prepared = done(draft, format!("Add {name}, {}.", rack.shape()))?;
        prepared.asks.extend(lies_there(&rack, cellar));
        Ok(prepared)
    },
};

pub(super) static CHANGE: Verb = Verb {
    name: "shelves change",
    sentence: "Correct the name or shape of a rack.",
    group: Group::Bottles,
    fields: &[RACK, RENAME, KIND, ROWS, COLUMNS, HOLDS, LARGEST, ROOM],
    draft: |form, cellar| {
        let mut rack = named(form, cellar)?;
        if let Some(kind) = kind(form)? {
            rack.kind = kind;
            rack.largest_ml = kind.usual_largest_ml();
        }
        rack.columns = shape(form, Some(&rack))?.unwrap_or(rack.columns);
        rack.holds = count(form, "holds")?.map_or(rack.holds, |it| it.0);
        rack.largest_ml = largest(form, cellar)?.or(rack.largest_ml);
        fits(&rack, cellar)?;
        let mut draft = Draft::new(Kind::Shelves, cellar.now);
        draft.subject = Some(rack.key);
        set(&mut draft, &rack, form);
        let mut named = String::new();
        if let Some(name) = form.get("name").filter(|it| *it != rack.name) {
            can_be_called(name)?;
            // What lies there stays where it is written down: the old name still means this rack.
            rack.forget(name);
            rack.former.push(rack.name.clone());
            take_name(&mut draft, name, cellar);
            draft.set(rack.key, field::NAME, name);
            set_former(&mut draft, &rack);
            named = format!(" called {name},");
        }
        done(
            draft,
            format!("{} is now{named} {}.", rack.name, rack.shape()),
        )
    },
};

pub(super) static RETIRE: Verb = Verb {
    name: "shelves retire",
    sentence: "Take a rack out of use.",
    group: Group::Bottles,
    fields: &[RACK],
    draft: |form, cellar| {
        let rack = named(form, cellar)?;
        let racks = Racks::of(&cellar.things);
        let there = racks::stowed(&racks, cellar.lots());
        let there = there.get(&rack.key).map_or(0, racks::Stowed::count);
        if there > 0 {
            return Err(Refusal::book(
                Some("rack"),
                format!(
                    "{} in {} by the book; shift them first.",
                    if there == 1 {
                        "1 bottle lies".to_owned()
                    } else {
                        format!("{there} bottles lie")
                    },
                    rack.name
                ),
            ));
        }
        let mut draft = Draft::new(Kind::Shelves, cellar.now);
        draft.subject = Some(rack.key);
        draft.set(rack.key, field::CLOSED, Value::Int(cellar.now.utc_ms));
        done(draft, format!("Retire {}.", rack.name))
    },
};

/// A place is told as `Rack A/B3`.
fn can_be_called(name: &str) -> Result<(), Refusal> {
    if name.contains('/') {
        return Err(Refusal::input(
            "name",
            format!("`{name}` has a `/` in it, and that parts a rack from its slot; leave it out."),
        ));
    }
    Ok(())
}

/// The rack in the field `rack`, by the name that it has or had.
fn named(form: &Form, cellar: &Snapshot) -> Result<Rack, Refusal> {
    let name = form.get("rack").unwrap_or_default();
    if let Some(rack) = Racks::of(&cellar.things).named(name) {
        return Ok(rack.clone());
    }
    let thing = thing(form, "rack", Sort::Rack, cellar)?;
    Rack::of(thing)
        .ok_or_else(|| Refusal::book(Some("rack"), format!("{} is no rack.", thing.name())))
}

/// A rack gets a name that another had. What lies in the other by that name is written down under
/// its present one, and the old name means the other no more.
fn take_name(draft: &mut Draft, name: &str, cellar: &Snapshot) {
    let racks = Racks::of(&cellar.things);
    // By its present name it is refused anyway.
    let other = racks.named(name).filter(|it| Some(it.key) != draft.subject);
    let Some(mut other) = other.cloned() else {
        return;
    };
    let all = racks::stowed(&racks, cellar.lots());
    let there = all.get(&other.key).into_iter().flat_map(racks::Stowed::all);
    let moves = there.filter_map(|held| {
        let from = held.lot.kept();
        let at = racks.told(&from.at).into_owned();
        (at != from.at).then(|| BottleMove {
            run: held.run,
            size_ml: held.lot.size_ml,
            count: held.lot.count,
            from: Spot::Kept(from.clone()),
            to: Spot::Kept(Kept { at, ..from }),
            about: false,
        })
    });
    draft.bottles = moves.collect();
    other.forget(name);
    set_former(draft, &other);
}

fn set_former(draft: &mut Draft, rack: &Rack) {
    draft.set(
        rack.key,
        field::FORMER_NAMES,
        rack.former.join("\n").as_str(),
    );
}

fn largest(form: &Form, cellar: &Snapshot) -> Result<Option<i64>, Refusal> {
    let size = number(
        form,
        "largest",
        Quantity::SmallVolume,
        (100.0, 30_000.0),
        cellar,
    )?;
    Ok(size.map(|it| it.round() as i64))
}

/// Asks about bottles that go to a place where none are yet, and that is called nearly as a rack.
pub(super) fn nearly_a_rack(draft: &Draft, cellar: &Snapshot) -> Option<String> {
    let racks = Racks::of(&cellar.things);
    let is_used = |at: &str| {
        cellar
            .lots()
            .any(|(_, lots)| lots.iter().any(|it| it.at == at))
    };
    draft.bottles.iter().find_map(|it| {
        let Spot::Kept(kept) = &it.to else {
            return None;
        };
        let near = racks.near(&kept.at).filter(|_| !is_used(&kept.at))?;
        Some(format!(
            "No rack is called `{}`; is it {}?",
            kept.at, near.name
        ))
    })
}

/// Asks about bottles that go into slots made for smaller ones, rack by rack.
pub(super) fn too_large(draft: &Draft, cellar: &Snapshot) -> Option<String> {
    let racks = Racks::of(&cellar.things);
    let rack = |spot: &Spot| match spot {
        Spot::Kept(kept) => racks.read(&kept.at).rack(),
        Spot::Outside(_) => None,
    };
    let found = draft.bottles.iter().find_map(|it| {
        let into = rack(&it.to).filter(|into| rack(&it.from) != Some(into))?;
        let largest = into.largest_ml.filter(|most| it.size_ml > *most)?;
        Some((into, largest, it.size_ml))
    });
    let (rack, largest, size) = found?;
    let name = &rack.name;
    Some(format!(
        "A slot of {name} is for bottles up to {largest} mL and these are {size} mL: do they fit? `shelves change \"{name}\" --largest {size}mL` says so for good."
    ))
}

fn kind(form: &Form) -> Result<Option<RackKind>, Refusal> {
    let word = word(form, "kind", RackKind::WORDS)?;
    Ok(word.and_then(RackKind::from_word))
}

/// Slots in each row, by the fields `rows` and `columns`; what is not given stays as it was.
fn shape(form: &Form, was: Option<&Rack>) -> Result<Option<Vec<u16>>, Refusal> {
    let rows = count(form, "rows")?.map(|it| it.0);
    let columns = form.get("columns");
    if rows.is_none() && columns.is_none() {
        return Ok(None);
    }
    let wrong = |what: &str| {
        Refusal::input(
            "columns",
            format!(
                "`{what}` is no shape; give 1 to {MOST_ROWS} rows of 1 to {MOST_COLUMNS} slots, such as --rows 4 --columns 6."
            ),
        )
    };
    let row = match columns {
        Some(typed) => racks::columns(typed).ok_or_else(|| wrong(typed))?,
        None => was.map_or_else(|| vec![1], |it| it.columns[..1].to_vec()),
    };
    match (rows, row.as_slice()) {
        (None, [one]) => Ok(Some(vec![*one; was.map_or(1, |it| it.columns.len())])),
        (None, _) => Ok(Some(row)),
        (Some(rows), [one]) if rows <= MOST_ROWS as i64 => Ok(Some(vec![*one; rows as usize])),
        (Some(rows), several) if several.len() as i64 == rows => Ok(Some(row)),
        (Some(rows), _) => Err(wrong(&format!(
            "{rows} rows, {} columns",
            columns.unwrap_or_default()
        ))),
    }
}

/// Bottles that were put there by that name, while no rack was called so: they lie in it from now on.
fn lies_there(rack: &Rack, cellar: &Snapshot) -> Option<String> {
    let racks: Racks = [rack.clone()].into_iter().collect();
    let stowed = racks::stowed(&racks, cellar.lots());
    let there: Vec<Held> = stowed.get(&rack.key)?.all().collect();
    let runs: BTreeSet<Key> = there.iter().map(|it| it.run).collect();
    let told = runs.into_iter().map(|run| {
        let lots = there.iter().filter(|it| it.run == run).map(|it| it.lot);
        let places = racks.together(lots.clone().map(|it| it.at.as_str()));
        let bottles = words::count(lots.map(|it| it.count).sum(), "bottle");
        format!("{bottles} of {} at {places}", cellar.name(run))
    });
    let told: Vec<String> = told.collect();
    Some(format!(
        "By the book it holds {} from the first, put there by that name; `shift` moves them if they are elsewhere.",
        told.join(", ")
    ))
}

/// Refuses a shape that what lies there by the book would not fit.
fn fits(rack: &Rack, cellar: &Snapshot) -> Result<(), Refusal> {
    let others = Racks::of(&cellar.things);
    let with = others.iter().filter(|it| it.key != rack.key).cloned();
    let racks: Racks = with.chain([rack.clone()]).collect();
    let crowds = racks::crowds(&racks, cellar.lots());
    match crowds.iter().find(|it| it.rack == rack.key) {
        Some(crowd) => Err(Refusal::book(
            Some("columns"),
            crowd.sentence(&racks, &cellar.things),
        )),
        None => Ok(()),
    }
}

fn set(draft: &mut Draft, rack: &Rack, form: &Form) {
    draft.set(rack.key, field::KIND, rack.kind.word());
    let columns: Vec<String> = rack.columns.iter().map(u16::to_string).collect();
    draft.set(rack.key, field::COLUMNS, columns.join(",").as_str());
    draft.set(rack.key, field::ROOM_FOR, Value::Int(rack.holds));
    if let Some(largest) = rack.largest_ml {
        draft.set(rack.key, field::LARGEST, Value::Int(largest));
    }
    if let Some(room) = form.get("room") {
        draft.set(rack.key, field::ROOM, room);
    }
}
