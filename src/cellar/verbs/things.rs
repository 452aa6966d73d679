//! What there is: vessels, batches, settings, and what was here before the book.

use leesline_calc::quantity::Quantity;

use super::read::{number, size, thing, word};
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Malo, Sort, Value, VesselKind, Wine, field};

const MATERIALS: &[&str] = &["glass", "plastic", "steel", "oak", "stoneware"];
const KEEPS_AIR_OUT: &[&str] = &["airlock", "bung", "lid", "cover"];
/// Where a wine comes from.
pub(super) const SOURCES: &[&str] = &["kit", "juice", "concentrate", "grapes", "fruit", "bought"];

pub(super) const KIND: Field = flag(
    "kind",
    "Kind",
    "What it is.",
    Takes::Choice(VesselKind::WORDS),
);
pub(super) const MARK: Field = flag(
    "mark",
    "Mark",
    "What its label says it holds.",
    Takes::Volume,
);
pub(super) const BRIM: Field = flag(
    "brim",
    "To the brim",
    "What it holds to the very brim, once measured.",
    Takes::Volume,
);
const MATERIAL: Field = flag(
    "material",
    "Material",
    "What it is made of.",
    Takes::Choice(MATERIALS),
);
const NECK: Field = flag(
    "neck",
    "Neck",
    "Inner width of the neck, in mm.",
    Takes::Number("mm"),
);
const CLOSURE: Field = flag(
    "closure",
    "Closed by",
    "What keeps air out.",
    Takes::Choice(KEEPS_AIR_OUT),
);
const ROOM: Field = flag("room", "Room", "Where it stands.", Takes::Text);
const RENAME: Field = flag("name", "New name", "What it is to be called.", Takes::Text);

pub(super) static VESSEL_ADD: Verb = Verb {
    name: "vessel add",
    sentence: "Add a vessel.",
    group: Group::Cellar,
    fields: &[
        ask(
            "name",
            "Name",
            "What it is called, as on its tag.",
            Takes::NewName(Sort::Vessel),
        ),
        KIND,
        MARK,
        BRIM,
        MATERIAL,
        NECK,
        CLOSURE,
        ROOM,
    ],
    draft: |form, cellar| {
        let name = form.get("name").unwrap_or_default();
        let mut draft = Draft::new(Kind::Vessel, cellar.now);
        let vessel = draft.begin(Sort::Vessel, name);
        draft.subject = Some(vessel);
        set_vessel(&mut draft, vessel, name, form, cellar)?;
        done(draft, format!("Add the vessel {name}."))
    },
};

pub(super) static VESSEL_CHANGE: Verb = Verb {
    name: "vessel change",
    sentence: "Correct what is known of a vessel, such as its measured brim.",
    group: Group::Cellar,
    fields: &[
        ask(
            "vessel",
            "Vessel",
            "Which vessel.",
            Takes::Thing(Sort::Vessel),
        ),
        RENAME,
        KIND,
        MARK,
        BRIM,
        MATERIAL,
        NECK,
        CLOSURE,
        ROOM,
    ],
    draft: |form, cellar| {
        let vessel = thing(form, "vessel", Sort::Vessel, cellar)?;
        let mut draft = Draft::new(Kind::Vessel, cellar.now);
        draft.subject = Some(vessel.key);
        rename(&mut draft, vessel.key, form);
        set_vessel(&mut draft, vessel.key, "", form, cellar)?;
        changed(draft, vessel.name())
    },
};

pub(super) static VESSEL_RETIRE: Verb = Verb {
    name: "vessel retire",
    sentence: "Take a vessel out of use.",
    group: Group::Cellar,
    fields: &[ask(
        "vessel",
        "Vessel",
        "Which vessel.",
        Takes::Thing(Sort::Vessel),
    )],
    draft: |form, cellar| {
        let vessel = thing(form, "vessel", Sort::Vessel, cellar)?;
        if let Some(wine) = cellar.wine(vessel.key) {
            return Err(Refusal::book(
                Some("vessel"),
                format!(
                    "{} still holds {}; rack or discard that first.",
                    vessel.name(),
                    wine.volume
                ),
            ));
        }
        close(Kind::Vessel, vessel.key, vessel.name(), "Retire", cellar)
    },
};

pub(super) const WINE: Field = flag(
    "wine",
    "Wine",
    "What wine it is: one of these, or any name, such as mead.",
    Takes::Suggest(Wine::WORDS),
);
const SOURCE: Field = flag(
    "source",
    "Made from",
    "Where it comes from.",
    Takes::Choice(SOURCES),
);
const MALO: Field = flag(
    "malo",
    "Malolactic",
    "Whether malolactic conversion is wanted.",
    Takes::Choice(Malo::WORDS),
);
const AIM: Field = flag(
    "aim",
    "Molecular aim",
    "Molecular SO2 to aim at, mg/L, if not the usual.",
    Takes::Number("mg/L"),
);
const VINTAGE: Field = flag("vintage", "Vintage", "Year of the harvest.", Takes::Count);

pub(super) static BATCH_ADD: Verb = Verb {
    name: "batch add",
    sentence: "Begin a batch.",
    group: Group::Cellar,
    fields: &[
        ask(
            "name",
            "Name",
            "What the wine is called.",
            Takes::NewName(Sort::Batch),
        ),
        WINE,
        SOURCE,
        MALO,
        AIM,
        VINTAGE,
    ],
    draft: |form, cellar| {
        let name = form.get("name").unwrap_or_default();
        let mut draft = Draft::new(Kind::Batch, cellar.now);
        let batch = draft.begin(Sort::Batch, name);
        draft.subject = Some(batch);
        set_batch(&mut draft, batch, form, cellar)?;
        let prepared = done(draft, format!("Begin the batch {name}."))?;
        Ok(Prepared {
            asks: wine_said(form),
            ..prepared
        })
    },
};

pub(super) static BATCH_CHANGE: Verb = Verb {
    name: "batch change",
    sentence: "Correct what is known of a batch.",
    group: Group::Cellar,
    fields: &[
        ask("batch", "Batch", "Which batch.", Takes::Thing(Sort::Batch)),
        RENAME,
        WINE,
        SOURCE,
        MALO,
        AIM,
        VINTAGE,
    ],
    draft: |form, cellar| {
        let batch = thing(form, "batch", Sort::Batch, cellar)?;
        let mut draft = Draft::new(Kind::Batch, cellar.now);
        draft.subject = Some(batch.key);
        rename(&mut draft, batch.key, form);
        set_batch(&mut draft, batch.key, form, cellar)?;
        changed(draft, batch.name())
    },
};

pub(super) static BATCH_CLOSE: Verb = Verb {
    name: "batch close",
    sentence: "Close a batch that is drunk up.",
    group: Group::Cellar,
    fields: &[ask(
        "batch",
        "Batch",
        "Which batch.",
        Takes::Thing(Sort::Batch),
    )],
    draft: |form, cellar| {
        let batch = thing(form, "batch", Sort::Batch, cellar)?;
        close(Kind::Batch, batch.key, batch.name(), "Close", cellar)
    },
};

pub(super) fn set_vessel(
    draft: &mut Draft,
    vessel: Key,
    name: &str,
    form: &Form,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    let kind = word(form, "kind", VesselKind::WORDS)?.or_else(|| kind_in(name));
    let material = word(form, "material", MATERIALS)?;
    let closure = word(form, "closure", KEEPS_AIR_OUT)?;
    for (field, value) in [
        (field::KIND, kind),
        (field::MATERIAL, material),
        (field::CLOSURE, closure),
        (field::ROOM, form.get("room")),
    ] {
        if let Some(value) = value {
            draft.set(vessel, field, value);
        }
    }
    let (mark, brim) = (size(form, "mark", cellar)?, size(form, "brim", cellar)?);
    if let Some(mark) = mark {
        draft.set(vessel, field::MARK, mark);
    }
    if let Some(brim) = brim {
        draft.set(vessel, field::BRIM, brim);
    }
    if let Some(neck) = number(form, "neck", Quantity::Length, (5.0, 2_000.0), cellar)? {
        draft.set(vessel, field::NECK, Value::Real(neck));
    }
    Ok(())
}

/// A vessel called `Carboy A` is a carboy unless someone says otherwise.
fn kind_in(name: &str) -> Option<&'static str> {
    let name = name.to_lowercase();
    VesselKind::WORDS
        .iter()
        .copied()
        .find(|it| *it != "other" && name.contains(it))
}

pub(super) fn set_batch(
    draft: &mut Draft,
    batch: Key,
    form: &Form,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    let wine = wine_word(form);
    let source = word(form, "source", SOURCES)?;
    let malo = word(form, "malo", Malo::WORDS)?;
    for (field, value) in [
        (field::WINE, wine.as_deref()),
        (field::KIND, source),
        (field::MALO, malo),
    ] {
        if let Some(value) = value {
            draft.set(batch, field, value);
        }
    }
    if let Some(aim) = number(form, "aim", Quantity::MassPerVolume, (0.1, 2.0), cellar)? {
        draft.set(batch, field::AIM, Value::Real(aim));
    }
    if let Some(vintage) = number(form, "vintage", Quantity::Number, (1900.0, 2200.0), cellar)? {
        draft.set(batch, field::VINTAGE, Value::Int(vintage as i64));
    }
    Ok(())
}

/// A kind of wine by its word, its label or a beginning of either; any other name as it is.
fn wine_word(form: &Form) -> Option<String> {
    let typed = form.get("wine")?;
    let lower = typed.to_lowercase();
    let plain = lower.trim_end_matches(" wine");
    let known = Wine::ALL
        .iter()
        .find(|it| [it.word(), it.label()].contains(&plain) || it.label() == lower);
    let begun = || {
        let mut of = Wine::ALL.iter().filter(|it| it.word().starts_with(plain));
        of.next().filter(|_| of.next().is_none())
    };
    let kind = known.or_else(begun).map(|it| it.word().to_owned());
    Some(kind.unwrap_or_else(|| typed.to_owned()))
}

/// What follows from a wine that is none of the kinds; nothing if it is one.
pub(super) fn wine_said(form: &Form) -> Vec<String> {
    let other = wine_word(form).filter(|it| Wine::from_word(it).is_none());
    let said = other.map(|name| {
        format!(
            "No kind is assumed for {name}: its sulfite goes by what holds for wine in general."
        )
    });
    said.into_iter().collect()
}

fn rename(draft: &mut Draft, thing: Key, form: &Form) {
    if let Some(name) = form.get("name") {
        draft.set(thing, field::NAME, name);
    }
}

pub(super) fn changed(draft: Draft, name: &str) -> Result<Prepared, Refusal> {
    if draft.changes.is_empty() {
        return Err(Refusal::input(
            "name",
            format!("nothing to change in {name}; give at least one thing."),
        ));
    }
    done(draft, format!("Change {name}."))
}

fn close(
    kind: Kind,
    thing: Key,
    name: &str,
    verb: &str,
    cellar: &Snapshot,
) -> Result<Prepared, Refusal> {
    let mut draft = Draft::new(kind, cellar.now);
    draft.subject = Some(thing);
    draft.set(thing, field::CLOSED, Value::Int(cellar.now.utc_ms));
    done(draft, format!("{verb} {name}."))
}

/// Nothing to ask.
#[allow(
    clippy::unnecessary_wraps,
    reason = "the last step of a draft, whose signature it shares"
)]
pub(super) fn done(draft: Draft, sentence: String) -> Result<Prepared, Refusal> {
    Ok(Prepared {
        draft,
        sentence,
        asks: Vec::new(),
        loses: None,
    })
}
