//! What there is: vessels, batches, settings, and what was here before the book.

use leesline_calc::quantity::Quantity;

use super::read::{count, number, size, thing, volume, word};
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, BottleMove, Draft, Kind, Movement, Posture, Spot};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Account, CELLAR, Key, Malo, Sort, Value, VesselKind, Wine, field};

const MATERIALS: &[&str] = &["glass", "plastic", "steel", "oak", "stoneware"];
const KEEPS_AIR_OUT: &[&str] = &["airlock", "bung", "lid", "cover"];
/// Where a wine comes from.
pub(super) const SOURCES: &[&str] = &["kit", "juice", "concentrate", "grapes", "fruit", "bought"];
/// What closes a bottle.
pub(super) const CLOSURES: &[&str] = &[
    "cork",
    "screw-cap",
    "crown-cap",
    "stopper",
    "swing-top",
    "tap",
];

const KIND: Field = flag(
    "kind",
    "Kind",
    "What it is.",
    Takes::Choice(VesselKind::WORDS),
);
const MARK: Field = flag(
    "mark",
    "Mark",
    "What its label says it holds.",
    Takes::Volume,
);
const BRIM: Field = flag(
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

const WINE: Field = flag(
    "wine",
    "Wine",
    "What wine it is.",
    Takes::Choice(Wine::WORDS),
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
        done(draft, format!("Begin the batch {name}."))
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

pub(super) static SETTINGS: Verb = Verb {
    name: "settings",
    sentence: "Set the cellar's name, measures, scale and zone.",
    group: Group::Cellar,
    fields: &[
        flag("name", "Cellar", "Its name, shown at the top.", Takes::Text),
        flag(
            "zone",
            "Zone",
            "`system`, or an offset such as +01:00.",
            Takes::Text,
        ),
        flag(
            "gallon",
            "Gallon",
            "Which gallon and spoon.",
            Takes::Choice(&["us", "imperial"]),
        ),
        flag(
            "measures",
            "Measures",
            "What figures are shown in.",
            Takes::Choice(&["metric", "us", "imperial"]),
        ),
        flag(
            "scale",
            "Scale",
            "Smallest step your scale shows, in g.",
            Takes::Number("g"),
        ),
        flag(
            "syringe",
            "Syringe",
            "Smallest step of your syringe, in mL.",
            Takes::Number("mL"),
        ),
        flag(
            "hydrometer",
            "Hydrometer",
            "Temperature your hydrometer was made for; 20 °C if left out.",
            Takes::Number("°C"),
        ),
        flag(
            "temperature",
            "Temperature",
            "Usual temperature of the cellar.",
            Takes::Number("°C"),
        ),
    ],
    draft: |form, cellar| {
        let mut draft = Draft::new(Kind::Settings, cellar.now);
        draft.subject = Some(CELLAR);
        if let Some(name) = form.get("name") {
            draft.set(CELLAR, field::NAME, name);
        }
        if let Some(zone) = form.get("zone") {
            if crate::cellar::moment::Zone::from_setting(zone).is_none() {
                return Err(Refusal::input(
                    "zone",
                    format!("`{zone}` is no zone; write system, or an offset such as +01:00."),
                ));
            }
            draft.set(CELLAR, field::ZONE, zone);
        }
        for (key, name, words) in [
            (
                "gallon",
                field::GALLON,
                &["us", "imperial"] as &'static [&'static str],
            ),
            ("measures", field::MEASURES, &["metric", "us", "imperial"]),
        ] {
            if let Some(chosen) = word(form, key, words)? {
                draft.set(CELLAR, name, chosen);
            }
        }
        for (key, name, quantity, range) in [
            ("scale", field::SCALE, Quantity::Mass, (0.001, 100.0)),
            (
                "syringe",
                field::SYRINGE,
                Quantity::SmallVolume,
                (0.01, 100.0),
            ),
            (
                "hydrometer",
                field::HYDROMETER,
                Quantity::Temperature,
                (10.0, 30.0),
            ),
            (
                "temperature",
                field::TEMPERATURE,
                Quantity::Temperature,
                (-5.0, 45.0),
            ),
        ] {
            if let Some(value) = number(form, key, quantity, range, cellar)? {
                draft.set(CELLAR, name, Value::Real(value));
            }
        }
        changed(draft, "the settings")
    },
};

pub(super) static HERE: Verb = Verb {
    name: "here",
    sentence: "Write down what the cellar already holds: a vessel, or a lot of bottles.",
    group: Group::Cellar,
    fields: &[
        ask(
            "name",
            "Name",
            "The vessel's name, or the bottles'.",
            Takes::Text,
        ),
        flag("holds", "Holds", "What wine, as you call it.", Takes::Text),
        flag(
            "amount",
            "About",
            "About how much; full if left out.",
            Takes::Volume,
        ),
        KIND,
        MARK,
        BRIM,
        flag(
            "bottles",
            "Bottles",
            "For bottles: about how many.",
            Takes::Count,
        ),
        flag(
            "size",
            "Size",
            "Bottle size in mL; 750 if left out.",
            Takes::Number("mL"),
        ),
        flag(
            "where",
            "Where",
            "Shelf or rack, as loosely as you like.",
            Takes::Text,
        ),
        flag(
            "bottle-closure",
            "Closure",
            "What closes the bottles.",
            Takes::Choice(CLOSURES),
        ),
        WINE,
        flag(
            "since",
            "Since",
            "When it was made or filled: `autumn 2023` will do.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| match count(form, "bottles")? {
        Some(bottles) => bottles_here(form, bottles, cellar),
        None => vessel_here(form, cellar),
    },
};

fn vessel_here(form: &Form, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let name = form.get("name").unwrap_or_default();
    let mut draft = Draft::new(Kind::Here, cellar.now);
    let known = cellar
        .open(Sort::Vessel)
        .find(|it| it.name().eq_ignore_ascii_case(name));
    let vessel = match known {
        Some(vessel) => vessel.key,
        None => draft.begin(Sort::Vessel, name),
    };
    draft.subject = Some(vessel);
    set_vessel(
        &mut draft,
        vessel,
        if known.is_none() { name } else { "" },
        form,
        cellar,
    )?;
    let capacity = size(form, "mark", cellar)?
        .or(size(form, "brim", cellar)?)
        .or_else(|| known.and_then(super::super::thing::Thing::capacity));
    let said = volume(form, "amount", cellar)?.and_then(|it| match it.amount {
        Amount::Exactly(volume) => Some((volume, it.about)),
        _ => None,
    });
    let holds = form.get("holds");
    let amount = match (said, capacity, holds) {
        (Some(said), _, _) => Some(said),
        (None, Some(full), Some(_)) => Some((full, true)),
        (None, None, Some(_)) => {
            return Err(Refusal::input(
                "amount",
                "About how much does it hold? Give --amount, or its --mark if it is full.",
            ));
        }
        (None, _, None) => None,
    };
    if let Some((volume, about)) = amount {
        let batch = batch_named(&mut draft, holds.unwrap_or(name), form, cellar)?;
        let movement = Movement {
            from: Account::Before.key(),
            to: vessel,
            amount: Amount::Exactly(volume),
            about,
            batch: Some(batch),
        };
        draft.movements.push(movement);
        if let Some(words) = form.get("since") {
            draft.set(vessel, field::SINCE_WORDS, words);
        }
        let about = if about { "about " } else { "" };
        let wine = holds.unwrap_or("wine");
        return done(
            draft,
            format!("{name} is here and holds {about}{volume} of {wine}."),
        );
    }
    done(draft, format!("{name} is here, empty."))
}

fn bottles_here(
    form: &Form,
    (bottles, about): (i64, bool),
    cellar: &Snapshot,
) -> Result<Prepared, Refusal> {
    let name = form.get("name").unwrap_or_default();
    let size_ml = bottle_size(form, cellar)?;
    let mut draft = Draft::new(Kind::Here, cellar.now);
    let run = draft.begin(Sort::Run, name);
    draft.subject = Some(run);
    let batch = batch_named(&mut draft, form.get("holds").unwrap_or(name), form, cellar)?;
    draft.set(run, field::SIZE, Value::Int(size_ml));
    draft.set(run, field::FINISHED, Value::Int(cellar.now.utc_ms));
    if let Some(closure) = word(form, "bottle-closure", CLOSURES)? {
        draft.set(run, field::CLOSURE, closure);
    }
    if let Some(words) = form.get("since") {
        draft.set(run, field::SINCE_WORDS, words);
    }
    draft.movements.push(Movement {
        from: Account::Before.key(),
        to: run,
        amount: Amount::Exactly(Volume::millilitres(size_ml * bottles)),
        about,
        batch: Some(batch),
    });
    // Bottles that were here already are taken to lie where they belong.
    let at = form.get("where").unwrap_or_default().to_owned();
    draft.bottles.push(BottleMove {
        run,
        size_ml,
        count: bottles,
        from: Spot::Outside(Account::Before.key()),
        to: Spot::Kept {
            posture: Posture::Lying,
            at,
            reserved: String::new(),
        },
        about,
    });
    let about = if about { "about " } else { "" };
    done(
        draft,
        format!("{about}{bottles} bottles of {name} are here.").replacen("about", "About", 1),
    )
}

/// Size of a bottle in whole millilitres.
pub(super) fn bottle_size(form: &Form, cellar: &Snapshot) -> Result<i64, Refusal> {
    let size = number(
        form,
        "size",
        Quantity::SmallVolume,
        (20.0, 60_000.0),
        cellar,
    )?;
    Ok(size.map_or(750, |it| it.round() as i64))
}

/// The batch of that name, or a new one with what the form says of it.
pub(super) fn batch_named(
    draft: &mut Draft,
    name: &str,
    form: &Form,
    cellar: &Snapshot,
) -> Result<Key, Refusal> {
    if let Some(known) = cellar
        .open(Sort::Batch)
        .find(|it| it.name().eq_ignore_ascii_case(name.trim()))
    {
        return Ok(known.key);
    }
    let batch = draft.begin(Sort::Batch, name.trim());
    set_batch(draft, batch, form, cellar)?;
    Ok(batch)
}

fn set_vessel(
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
    if let (Some(mark), Some(brim)) = (mark, brim)
        && brim < mark
    {
        return Err(Refusal::input(
            "brim",
            format!("the brim, {brim}, is below the mark, {mark}; the brim is the very top."),
        ));
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

fn set_batch(draft: &mut Draft, batch: Key, form: &Form, cellar: &Snapshot) -> Result<(), Refusal> {
    let wine = word(form, "wine", Wine::WORDS)?;
    let source = word(form, "source", SOURCES)?;
    let malo = word(form, "malo", Malo::WORDS)?;
    for (field, value) in [
        (field::WINE, wine),
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

fn rename(draft: &mut Draft, thing: Key, form: &Form) {
    if let Some(name) = form.get("name") {
        draft.set(thing, field::NAME, name);
    }
}

fn changed(draft: Draft, name: &str) -> Result<Prepared, Refusal> {
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
    })
}
