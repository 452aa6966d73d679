//! What is put into a wine: sulfite and acid, fining, sugar, sorbate, oak, yeast and its food.

use leesline_calc::quantity::{Quantity, parse};

use super::read::{dose, full_vessel, number, thing_if_given};
use super::things::done;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Addition, Amount, Dose, Draft, Due, Job, Kind, Movement};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::substance::{self, Substance};
use crate::cellar::thing::{Account, Key, Sort, Thing, Value, field};

/// A level teaspoon of potassium metabisulfite, g: 5 to 8 by grind and packing (from memory, no
/// standard). The addition keeps what was typed in its note.
const TEASPOON_G: f64 = 6.0;

/// A gram of dissolved sucrose takes this much room, mL: 27 CFR 24.181 has 13.5 lb to the gallon.
const SUGAR_ML_PER_G: f64 = 0.62;

const PLACE: Field = ask("place", "Vessel", "Which vessel.", Takes::FullVessel);
const AMOUNT: Field = flag(
    "amount",
    "Amount",
    "How much; a packet of unknown weight is `a packet`.",
    Takes::Dose,
);
const LOT: Field = flag(
    "lot",
    "Lot",
    "From which lot; the oldest that has enough if left out.",
    Takes::Thing(Sort::Supply),
);
const SOLUTION: Field = flag(
    "solution",
    "Solution",
    "For a stock solution in mL: grams in 100 mL, 10 if left out.",
    Takes::Number("%"),
);
const STRENGTH: Field = flag(
    "strength",
    "Strength",
    "Of sulfite, % of fresh; the lot's if left out.",
    Takes::Number("%"),
);
const CALCULATION: Field = flag(
    "calculation",
    "Calculation",
    "The calculation that led to it.",
    Takes::Hidden,
);

pub(super) static ADD: Verb = Verb {
    name: "add",
    sentence: "Add something to a wine: sulfite, acid, enzyme, tannin.",
    group: Group::Additions,
    fields: &[
        PLACE,
        ask("substance", "What", "What goes in.", Takes::Text),
        AMOUNT,
        LOT,
        SOLUTION,
        STRENGTH,
        CALCULATION,
    ],
    draft: |form, cellar| {
        put_in(
            form,
            cellar,
            Kind::Add,
            form.get("substance").unwrap_or_default(),
        )
    },
};

pub(super) static FINE: Verb = Verb {
    name: "fine",
    sentence: "Fine a wine.",
    group: Group::Additions,
    fields: &[
        PLACE,
        ask(
            "agent",
            "With",
            "Bentonite, gelatin, isinglass, …",
            Takes::Text,
        ),
        AMOUNT,
        LOT,
    ],
    draft: |form, cellar| {
        let mut prepared = put_in(
            form,
            cellar,
            Kind::Fine,
            form.get("agent").unwrap_or_default(),
        )?;
        prepared.draft.subject = prepared.draft.additions.first().map(|it| it.place);
        Ok(prepared)
    },
};

pub(super) static PITCH: Verb = Verb {
    name: "pitch",
    sentence: "Pitch yeast.",
    group: Group::Additions,
    fields: &[
        PLACE,
        flag("yeast", "Yeast", "Which yeast.", Takes::Text),
        AMOUNT,
        LOT,
    ],
    draft: |form, cellar| {
        let mut prepared = put_in(form, cellar, Kind::Pitch, "yeast")?;
        prepared.draft.subject = prepared.draft.additions.first().map(|it| it.place);
        form.get("yeast")
            .unwrap_or_default()
            .clone_into(&mut prepared.draft.note);
        Ok(prepared)
    },
};

pub(super) static FEED: Verb = Verb {
    name: "feed",
    sentence: "Feed the yeast.",
    group: Group::Additions,
    fields: &[
        PLACE,
        flag("with", "With", "Yeast nutrient if left out.", Takes::Text),
        AMOUNT,
        LOT,
    ],
    draft: |form, cellar| {
        put_in(
            form,
            cellar,
            Kind::Feed,
            form.get("with").unwrap_or("yeast-nutrient"),
        )
    },
};

pub(super) static SWEETEN: Verb = Verb {
    name: "sweeten",
    sentence: "Sweeten a wine with sugar. It must be stabilised, or it will ferment again.",
    group: Group::Additions,
    fields: &[
        PLACE,
        flag("amount", "Sugar", "Its weight.", Takes::Dose),
        LOT,
    ],
    draft: |form, cellar| {
        let mut prepared = put_in(form, cellar, Kind::Sweeten, "sugar")?;
        let Some(addition) = prepared.draft.additions.first() else {
            return Ok(prepared);
        };
        let place = addition.place;
        if let Some(Dose::Mass(sugar)) = addition.dose {
            let volume = Volume::litres(sugar.in_grams() * SUGAR_ML_PER_G / 1e3);
            prepared.draft.movements.push(Movement {
                from: Account::Volume.key(),
                to: place,
                amount: Amount::Exactly(volume),
                about: true,
                batch: None,
            });
        }
        prepared.draft.subject = Some(place);
        Ok(prepared)
    },
};

pub(super) static STABILISE: Verb = Verb {
    name: "stabilise",
    sentence: "Stabilise a sweet wine with sorbate and sulfite together. Never one that is or will be malolactic: \
               bacteria turn sorbate into geranium taint.",
    group: Group::Additions,
    fields: &[
        PLACE,
        flag(
            "sorbate",
            "Sorbate",
            "Weight of potassium sorbate, or `a packet`.",
            Takes::Dose,
        ),
        flag(
            "sulfite",
            "Sulfite",
            "Weight of potassium metabisulfite, or `a packet`.",
            Takes::Dose,
        ),
        STRENGTH,
    ],
    draft: |form, cellar| {
        let (vessel, wine) = full_vessel(form, "place", cellar)?;
        if form.get("sorbate").is_none() {
            return Err(Refusal::input(
                "sorbate",
                "How much sorbate? Weigh it, or say `a packet`.",
            ));
        }
        let mut draft = Draft::new(Kind::Stabilise, cellar.now);
        draft.additions.push(addition(
            form,
            "sorbate",
            vessel,
            "potassium-sorbate",
            &mut Vec::new(),
            cellar,
        )?);
        let mut asks = Vec::new();
        if form.get("sulfite").is_some() {
            draft.additions.push(addition(
                form,
                "sulfite",
                vessel,
                "potassium-metabisulfite",
                &mut asks,
                cellar,
            )?);
        } else {
            asks.push("Sorbate holds yeast only together with sulfite; add that too.".to_owned());
        }
        if wine
            .deeds
            .contains_key(&crate::cellar::state::Deed::MaloStarted)
        {
            asks.push("Malolactic bacteria have been in this wine: sorbate would turn to geranium taint, which has no cure.".to_owned());
        }
        opened(&mut draft, cellar);
        Ok(Prepared {
            draft,
            sentence: format!("Stabilise {}.", vessel.name()),
            asks,
            loses: None,
        })
    },
};

pub(super) static OAK_IN: Verb = Verb {
    name: "oak in",
    sentence: "Put oak into a wine, to come out again.",
    group: Group::Additions,
    fields: &[
        PLACE,
        flag(
            "amount",
            "Amount",
            "Weight of chips, cubes or staves.",
            Takes::Dose,
        ),
        flag(
            "what",
            "What",
            "Chips, cubes, staves, a spiral; which toast.",
            Takes::Text,
        ),
        flag(
            "days",
            "For days",
            "When to look whether it is enough; 14 if left out.",
            Takes::Count,
        ),
    ],
    draft: |form, cellar| {
        let (vessel, _) = full_vessel(form, "place", cellar)?;
        let days = super::read::count(form, "days")?.map_or(14, |it| it.0);
        let mut draft = Draft::new(Kind::OakIn, cellar.now);
        draft.subject = Some(vessel.key);
        draft.additions.push(addition(
            form,
            "amount",
            vessel,
            "oak",
            &mut Vec::new(),
            cellar,
        )?);
        form.get("what")
            .unwrap_or_default()
            .clone_into(&mut draft.note);
        draft.jobs.push(Job {
            key: Key(0),
            subject: vessel.key,
            title: "taste, and take the oak out when it is enough".to_owned(),
            due: Due::On(cellar.now.plus_days(days).utc_ms),
            verb: "oak out".to_owned(),
        });
        done(
            draft,
            format!("Oak into {}, to look at in {days} days.", vessel.name()),
        )
    },
};

pub(super) static OAK_OUT: Verb = Verb {
    name: "oak out",
    sentence: "Take the oak out.",
    group: Group::Additions,
    fields: &[PLACE],
    draft: |form, cellar| {
        let (vessel, _) = full_vessel(form, "place", cellar)?;
        let mut draft = Draft::new(Kind::OakOut, cellar.now);
        draft.subject = Some(vessel.key);
        let oak = cellar
            .jobs
            .iter()
            .filter(|it| it.job.subject == vessel.key && it.job.verb == "oak out");
        draft.closes = oak.map(|it| it.job.key).collect();
        done(draft, format!("Oak out of {}.", vessel.name()))
    },
};

fn put_in(form: &Form, cellar: &Snapshot, kind: Kind, what: &str) -> Result<Prepared, Refusal> {
    let (vessel, _) = full_vessel(form, "place", cellar)?;
    let substance = substance_named(what);
    let mut draft = Draft::new(kind, cellar.now);
    let mut asks = Vec::new();
    let addition = addition(form, "amount", vessel, &substance, &mut asks, cellar)?;
    let how_much = match (form.get("amount"), addition.dose) {
        (_, Some(Dose::Mass(mass))) => format!("{mass} of "),
        (_, Some(Dose::Volume(volume))) => format!("{volume} of "),
        (_, Some(Dose::Count(count))) => format!("{count} of "),
        (_, None) => "an unknown amount of ".to_owned(),
    };
    let from = addition
        .lot
        .map(|it| format!(" from {}", cellar.name(it)))
        .unwrap_or_default();
    draft.additions.push(addition);
    opened(&mut draft, cellar);
    Ok(Prepared {
        draft,
        sentence: format!("Add {how_much}{substance} to {}{from}.", vessel.name()),
        asks,
        loses: None,
    })
}

/// The name of a substance the book knows, by its beginning or its everyday name; else as typed.
pub(super) fn substance_named(typed: &str) -> String {
    let name = typed.trim().to_lowercase().replace(' ', "-");
    let everyday = match name.as_str() {
        "sulfite" | "sulphite" | "metabisulfite" | "metabisulphite" | "meta" => {
            Some("potassium-metabisulfite")
        }
        "sorbate" => Some("potassium-sorbate"),
        "nutrient" => Some("yeast-nutrient"),
        _ => None,
    };
    let begins: Vec<&Substance> = substance::SUBSTANCES
        .iter()
        .filter(|it| it.name.starts_with(&name))
        .collect();
    match (everyday, begins.as_slice()) {
        (Some(known), _) => known.to_owned(),
        (None, [only]) if !name.is_empty() => only.name.to_owned(),
        _ => name,
    }
}

/// Unit that a substance is counted in.
pub(super) fn unit_of(substance: &str) -> &'static str {
    substance::known(substance).map_or("ug", |it| it.unit)
}

fn addition(
    form: &Form,
    key: &'static str,
    vessel: &Thing,
    substance: &str,
    asks: &mut Vec<String>,
    cellar: &Snapshot,
) -> Result<Addition, Refusal> {
    let amount = amount_of(form, key, substance, cellar)?;
    let named = if key == "amount" {
        thing_if_given(form, "lot", Sort::Supply, cellar)?
    } else {
        None
    };
    if let Some(lot) = named
        && lot.text(field::SUBSTANCE) != substance
    {
        return Err(Refusal::input(
            "lot",
            format!(
                "{} is {}, not {substance}.",
                lot.name(),
                lot.text(field::SUBSTANCE)
            ),
        ));
    }
    let lot = named.or_else(|| oldest_with(substance, amount, cellar));
    if lot.is_none() && lots_of(substance, cellar).next().is_some() {
        asks.push(format!("No single lot of {substance} has that much by the book, so it is taken from none; take stock if that is wrong."));
    }
    let strength = number(form, "strength", Quantity::Percent, (1.0, 100.0), cellar)?
        .or_else(|| lot.and_then(|it| it.real(field::STRENGTH)))
        .unwrap_or(100.0);
    let so2 = match (substance::known(substance), amount) {
        (Some(known), Some(Dose::Mass(mass))) => {
            Mass((mass.0 as f64 * known.so2_yield * strength / 100.0).round() as i64)
        }
        _ => Mass::ZERO,
    };
    Ok(Addition {
        substance: substance.to_owned(),
        dose: amount,
        so2,
        lot: lot.map(|it| it.key),
        calculation: form.get("calculation").unwrap_or_default().to_owned(),
        ..Addition::of(vessel.key)
    })
}

/// Powder may also be said by the level teaspoon, or as so many mL of a stock solution.
fn amount_of(
    form: &Form,
    key: &'static str,
    substance: &str,
    cellar: &Snapshot,
) -> Result<Option<Dose>, Refusal> {
    let text = form.get(key).unwrap_or_default().to_lowercase();
    let units = cellar.settings().units;
    let is_powder = unit_of(substance) == "ug";
    let grams = if is_powder && (text.ends_with("tsp") || text.contains("teaspoon")) {
        let spoons = parse(Quantity::Teaspoons, &text, &units)
            .map_err(|it| Refusal::input(key, it.to_string()))?;
        Some(spoons * TEASPOON_G)
    } else if is_powder && (text.ends_with("ml") || text.ends_with("millilitres")) {
        let millilitres = parse(Quantity::SmallVolume, &text, &units)
            .map_err(|it| Refusal::input(key, it.to_string()))?;
        let solution =
            number(form, "solution", Quantity::Percent, (0.1, 50.0), cellar)?.unwrap_or(10.0);
        Some(millilitres * solution / 100.0)
    } else {
        None
    };
    match grams {
        Some(grams) if grams >= 0.0 => Ok(Some(Dose::Mass(Mass::grams(grams)))),
        Some(_) => Err(Refusal::input(
            key,
            format!("`{text}` is less than nothing."),
        )),
        None => dose(form, key, unit_of(substance), cellar),
    }
}

fn lots_of<'a>(substance: &'a str, cellar: &'a Snapshot) -> impl Iterator<Item = &'a Thing> {
    cellar
        .open(Sort::Supply)
        .filter(move |it| it.text(field::SUBSTANCE) == substance)
}

/// Oldest first, the first that has enough or whose content nobody knows.
fn oldest_with<'a>(
    substance: &'a str,
    amount: Option<Dose>,
    cellar: &'a Snapshot,
) -> Option<&'a Thing> {
    let mut lots: Vec<&Thing> = lots_of(substance, cellar).collect();
    lots.sort_by_key(|it| (it.int(field::BOUGHT), it.key));
    let wanted = amount.map_or(0, Dose::amount);
    lots.into_iter()
        .find(|lot| match cellar.stock(lot.key).and_then(|it| it.left) {
            Some(left) => left.amount() >= wanted && left.amount() > 0,
            None => true,
        })
}

/// A lot is opened by its first use.
fn opened(draft: &mut Draft, cellar: &Snapshot) {
    let lots: Vec<Key> = draft.additions.iter().filter_map(|it| it.lot).collect();
    for lot in lots {
        if cellar
            .thing(lot)
            .is_some_and(|it| it.int(field::OPENED).is_none())
        {
            draft.set(lot, field::OPENED, Value::Int(cellar.now.utc_ms));
        }
    }
}

impl Addition {
    /// Something into that place, with nothing more said yet.
    pub(super) fn of(place: Key) -> Addition {
        Addition {
            place,
            substance: String::new(),
            dose: None,
            so2: crate::cellar::amount::Mass::ZERO,
            lot: None,
            calculation: String::new(),
        }
    }
}
