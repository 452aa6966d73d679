//! What is put into a wine: sulfite and acid, fining, sugar, sorbate, oak, yeast and its food.

use leesline_calc::quantity::Quantity;

use super::apart::{apart, names_something};
use super::doses::{amount_of, as_typed, is_unweighed};
use super::lasting;
use super::lots::{counted_in, every_lot_came_later, is_here, lot, lots_of, oldest_with};
use super::read::{full_vessel, number};
use super::slips::questions;
use super::things::done;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::dosing::strength_pct;
use crate::cellar::entry::{Addition, Amount, Dose, Draft, Due, Job, Kind, Movement};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Deed;
use crate::cellar::substance;
use crate::cellar::sugars::Dissolved;
use crate::cellar::telling;
use crate::cellar::thing::{Account, Key, Sort, Thing, field};

pub(super) const PLACE: Field = ask("place", "Vessel", "Which vessel.", Takes::FullVessel);
pub(super) const AMOUNT: Field = flag(
    "amount",
    "Amount",
    "How much: `5 g`, `3 tablets`; a packet of unknown weight is `a packet`.",
    Takes::Dose,
);
pub(super) const LOT: Field = flag(
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
    "Of sulfite, % of fresh; by the lot and its age if left out.",
    Takes::Number("%"),
);
const CALCULATION: Field = flag(
    "calculation",
    "Calculation",
    "The calculation that led to it.",
    Takes::Hidden,
);

/// Asked of tablets of a lot that does not say it.
pub const UNKNOWN_TABLET: &str = "How much SO2 a tablet gives is not known, so the sum is not; `buy tablets --tablet-so2` says it of a lot.";

pub(super) static ADD: Verb = Verb {
    name: "add",
    sentence: "Add something to a wine: sulfite, acid, enzyme, tannin.",
    group: Group::Additions,
    fields: &[
        PLACE,
        ask(
            "substance",
            "What",
            "What goes in; a syrup with the °Brix of its label: `syrup 65 brix`.",
            Takes::Text,
        ),
        AMOUNT,
        LOT,
        SOLUTION,
        STRENGTH,
        CALCULATION,
    ],
    draft: |form, cellar| {
        let typed = form.get("substance").unwrap_or_default();
        let form = &apart(form, "substance");
        names_something(
            typed,
            form.get("substance").unwrap_or_default(),
            "substance",
        )?;
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
        lasting::THEN,
    ],
    draft: |form, cellar| {
        let typed = form.get("agent").unwrap_or_default();
        let form = &apart(form, "agent");
        names_something(typed, form.get("agent").unwrap_or_default(), "agent")?;
        let mut prepared = put_in(
            form,
            cellar,
            Kind::Fine,
            form.get("agent").unwrap_or_default(),
        )?;
        prepared.draft.subject = prepared.draft.additions.first().map(|it| it.place);
        if let Some(vessel) = prepared.draft.subject {
            lasting::second_part(form, &mut prepared.draft, vessel, cellar);
        }
        let agent = prepared.draft.additions.first();
        let question = agent.and_then(|it| unknown_agent(&it.substance, cellar));
        Ok(prepared.only_if(question))
    },
};

/// Agents besides those that the book knows more of (common practice).
const OTHER_AGENTS: &[&str] = &[
    "albumin",
    "carbon",
    "charcoal",
    "copper",
    "egg",
    "gelatine",
    "kaolin",
    "kieselsol",
    "milk",
    "protein",
    "pvpp",
    "silica",
    "tannin",
    "whey",
    "yeast",
];

/// Asked of words that name no fining agent: neither its dose nor an allergen can be known.
fn unknown_agent(agent: &str, cellar: &Snapshot) -> Option<String> {
    let fines = substance::known(agent).is_some_and(|it| it.deed == Some(Deed::Fined));
    let is_usual = agent.split('-').any(|it| OTHER_AGENTS.contains(&it));
    let is_owned = || lots_of(agent, cellar).next().is_some();
    let is_known = fines || is_usual || substance::known(agent).is_none() && is_owned();
    (!is_known).then(|| {
        format!(
            "`{}` is no fining agent that is known here, so neither its dose nor an allergen is: is that what went in?",
            telling::substance(agent)
        )
    })
}

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
        let form = &apart(form, "with");
        put_in(
            form,
            cellar,
            Kind::Feed,
            form.get("with").unwrap_or("yeast-nutrient"),
        )
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
                in_its_form("potassium-metabisulfite", form, "sulfite"),
                &mut asks,
                cellar,
            )?);
            asks.extend(draft.additions.last().and_then(unknown_tablet));
        } else {
            asks.push("Sorbate holds yeast only together with sulfite; add that too.".to_owned());
        }
        let notes = draft.additions.iter().zip(["sorbate", "sulfite"]);
        let notes =
            notes.filter_map(|(it, key)| Some(format!("{key} {}", as_typed(form, key, it)?)));
        draft.note = joined(&notes.collect::<Vec<_>>());
        let stops = questions(vessel, wine, &draft.additions, cellar);
        let prepared = Prepared {
            draft,
            sentence: format!("Stabilise {}.", vessel.name()),
            asks,
            loses: None,
        };
        Ok(prepared.only_if(stops))
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
        let (vessel, wine) = full_vessel(form, "place", cellar)?;
        let days = super::read::count(form, "days")?.map_or(14, |it| it.0);
        if days > super::ahead::LONGEST_DAYS {
            return Err(Refusal::input(
                "days",
                format!("{days} days are longer than any wine lies on oak; give fewer."),
            ));
        }
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
        let asked = questions(vessel, wine, &draft.additions, cellar);
        let sentence = format!("Oak into {}, to look at in {days} days.", vessel.name());
        Ok(done(draft, sentence)?.only_if(asked))
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
        draft.closes = lasting::lasting(vessel.key, "oak out", cellar);
        done(draft, format!("Oak out of {}.", vessel.name()))
    },
};

pub(super) fn put_in(
    form: &Form,
    cellar: &Snapshot,
    kind: Kind,
    what: &str,
) -> Result<Prepared, Refusal> {
    let (vessel, wine) = full_vessel(form, "place", cellar)?;
    // An amount typed with the name would be taken as part of it, and then counts for nothing.
    let number = what
        .split_whitespace()
        .find(|it| it.starts_with(|it: char| it.is_ascii_digit()));
    if number.is_some() && form.get("amount").is_none() {
        return Err(Refusal::input(
            "amount",
            format!(
                "`{what}` has the amount in the name; give the name alone, and the amount with --amount."
            ),
        ));
    }
    sulfite_alone(what, "amount")?;
    let named = substance_named(what);
    let substance = in_its_form(&named, form, "amount").to_owned();
    let mut draft = Draft::new(kind, cellar.now);
    let mut asks = Vec::new();
    let addition = addition(form, "amount", vessel, &substance, &mut asks, cellar)?;
    let typed = as_typed(form, "amount", &addition);
    let how_much = match (addition.dose, &typed) {
        (Some(dose), _) => format!("{} of ", telling::dose(dose)),
        (None, Some(typed)) => format!("{typed}, weight not known, of "),
        (None, None) => "an unknown amount of ".to_owned(),
    };
    let end = addition
        .lot
        .map(|it| format!(" from {}", cellar.name(it)))
        .unwrap_or_default();
    if addition.lot.is_none() && every_lot_came_later(&substance, cellar) {
        asks.push(format!(
            "No lot of {substance} was in the cellar then, so it is taken from none; if one was, amend its buying with --opened or --at before that day, then this."
        ));
    }
    let is_tablet = matches!(addition.dose, Some(Dose::Tablets(_)));
    asks.extend(unknown_tablet(&addition));
    draft.note = typed.unwrap_or_default();
    draft.movements.extend(volume_of(&addition));
    draft.additions.push(addition);
    let what = if is_tablet {
        "sulfite".to_owned()
    } else {
        telling::substance(&substance)
    };
    let stops = questions(vessel, wine, &draft.additions, cellar);
    let prepared = Prepared {
        draft,
        sentence: format!("Add {how_much}{what} to {}{end}.", vessel.name()),
        asks,
        loses: None,
    };
    Ok(prepared.only_if(stops))
}

/// Said where a tablet goes in of which nobody knows the SO2.
fn unknown_tablet(addition: &Addition) -> Option<String> {
    let is_tablet = matches!(addition.dose, Some(Dose::Tablets(_)));
    (is_tablet && addition.so2 == Mass::ZERO).then(|| UNKNOWN_TABLET.to_owned())
}

/// The room that dissolved sugar takes, with the water of honey and the like.
fn volume_of(addition: &Addition) -> Option<Movement> {
    let dissolved = Dissolved::of(&addition.substance, addition.dose?)?;
    Some(Movement {
        from: Account::Volume.key(),
        to: addition.place,
        amount: Amount::Exactly(Volume::litres(dissolved.litres())),
        about: true,
        batch: None,
    })
}

pub(super) fn joined(notes: &[String]) -> String {
    let notes = notes.iter().filter(|it| !it.is_empty());
    notes.cloned().collect::<Vec<_>>().join("; ")
}

/// Refuses sulfite with words behind it that make another substance of it: it would not be counted, nor named as an allergen.
pub(super) fn sulfite_alone(typed: &str, key: &'static str) -> Result<(), Refusal> {
    let Some((first, rest)) = typed.trim().split_once(char::is_whitespace) else {
        return Ok(());
    };
    let is_known = |it: &str| substance::known(&substance_named(it));
    let is_sulfite = is_known(first).is_some_and(|it| it.so2_yield > 0.0);
    if !is_sulfite || is_known(typed).is_some() {
        return Ok(());
    }
    let rest: String = rest.trim().chars().take(20).collect();
    Err(Refusal::input(
        key,
        format!(
            "`{rest}` behind {first} is neither an amount nor a kind of it; write `5 g`, or the name of another substance alone."
        ),
    ))
}

/// The name of a substance the book knows, by its beginning or its everyday name; else as typed.
pub(super) fn substance_named(typed: &str) -> String {
    if let Some(known) = substance::called(typed) {
        return known.name.to_owned();
    }
    let name = typed.trim().to_lowercase().replace(' ', "-");
    let name = name.replace("sulph", "sulf");
    let name = name.trim_end_matches("-powder");
    let mut begins = substance::SUBSTANCES
        .iter()
        .filter(|it| it.name.starts_with(name));
    match (begins.next(), begins.next()) {
        (Some(only), None) if !name.is_empty() => only.name.to_owned(),
        _ => name.to_owned(),
    }
}

/// Sulfite said by the tablet is a tablet, whatever it was called.
pub(super) fn in_its_form<'a>(substance: &'a str, form: &Form, key: &str) -> &'a str {
    let is_sulfite = substance::known(substance).is_some_and(|it| it.so2_yield > 0.0);
    match form.get(key) {
        Some(text) if is_sulfite && text.to_lowercase().contains("tablet") => "sulfite-tablet",
        _ => substance,
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
    let named = match form.get("lot") {
        Some(_) if key == "amount" => Some(lot(form, "lot", cellar)?),
        _ => None,
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
    if let Some(lot) = named.filter(|it| !is_here(it, cellar)) {
        return Err(Refusal::book(
            Some("lot"),
            format!(
                "{} came into the cellar after {}; leave the lot out, or void and enter its buying anew.",
                lot.name(),
                cellar.now.day_words()
            ),
        ));
    }
    if let (Some(lot), Some(dose)) = (named, amount)
        && counted_in(lot) != dose.unit()
    {
        return Err(Refusal::input(
            key,
            format!(
                "{} is not counted in what `{}` says; give the amount as it was bought.",
                lot.name(),
                form.get(key).unwrap_or_default()
            ),
        ));
    }
    // A packet came with its kit and is not of the person's own lot, unless they say so.
    let is_packet = amount.is_none() && form.get(key).is_some_and(is_unweighed);
    let own = || oldest_with(substance, amount, cellar).filter(|_| !is_packet);
    let lot = named.or_else(own);
    if lot.is_none() && !is_packet && lots_of(substance, cellar).next().is_some() {
        let why = if lots_of(substance, cellar).any(|it| cellar.stays.contains_key(&it.key)) {
            "has that much left once what was written of later days is taken, so it is taken from none; --lot names one, and take stock if that is wrong."
        } else {
            "has that much by the book, so it is taken from none; take stock if that is wrong."
        };
        asks.push(format!("No single lot of {substance} {why}"));
    }
    let strength = number(form, "strength", Quantity::Percent, (1.0, 100.0), cellar)?
        .or_else(|| lot.map(|it| strength_pct(it, cellar)))
        .unwrap_or(100.0);
    let so2 = match (substance::known(substance), amount) {
        (Some(known), Some(Dose::Mass(mass))) => {
            Mass((mass.0 as f64 * known.so2_yield * strength / 100.0).round() as i64)
        }
        (_, Some(Dose::Tablets(thousandths))) => {
            let each_mg = lot.and_then(|it| it.real(field::TABLET_SO2));
            Mass((thousandths as f64 * each_mg.unwrap_or(0.0)).round() as i64)
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
