//! Sanitising: what it takes of the supplies.

use super::additions::{substance_named, unit_of};
use super::doses::{dose, dose_with_unit};
use super::fits::is_of_this_world;
use super::lots::{lots_of, powders, take};
use super::read::size;
use super::{Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::bottling::{Sanitizer, sanitizer_of};
use crate::cellar::dosing::is_powder;
use crate::cellar::entry::{Dose, Draft, Kind, SupplyChange};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::substance;
use crate::cellar::telling;
use crate::cellar::thing::{Key, field};

/// Beside every amount of sulfite for water that is sour, or will be.
const CAUTION: &str = "Sulfite water gives off a gas that stings eyes and lungs, most of all with acid: open a window, and never mix it with bleach.";

pub(super) static SANITISE: Verb = Verb {
    name: "sanitise",
    sentence: "Write down gear sanitised, and what of the supplies it took.",
    group: Group::Supplies,
    fields: &[
        ask("gear", "Gear", "What was sanitised.", Takes::Text),
        flag(
            "make",
            "Made",
            "Sour sulfite water made up, by the calculation of sanitizer.",
            Takes::Number("L"),
        ),
        flag(
            "amount",
            "Amount",
            "What was taken; of metabisulfite worked out from what was made if left out.",
            Takes::Dose,
        ),
        flag(
            "sanitizer",
            "Sanitizer",
            "Another sanitizer; metabisulfite powder if left out.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        let mut draft = Draft::new(Kind::Sanitise, cellar.now);
        let mut question = None;
        let what = form.get("gear").unwrap_or_default();
        let with = substance_named(form.get("sanitizer").unwrap_or("metabisulfite"));
        let sulfite = is_powder(&with);
        let said = if sulfite {
            let powder = powder_said(form, "amount", cellar)?;
            let made = size(form, "make", cellar)?;
            if made == Some(Volume::ZERO) || made.is_none() && powder == Some(Mass::ZERO) {
                let key = if made.is_some() { "make" } else { "amount" };
                return Err(Refusal::input(
                    key,
                    format!("Nothing was made with that --{key}; give more than nothing."),
                ));
            }
            let made = made.map(|it| sanitizer_of(it.in_litres()));
            match (made, powder) {
                (Some(made), _) => sour_water(&mut draft, made, powder, cellar),
                (None, Some(powder)) => {
                    take(&mut draft, powders(cellar), Dose::Mass(powder), cellar);
                }
                (None, None) => {
                    let why = "How much was made, or how much powder was taken? Give --make 4L, or --amount 1g.";
                    return Err(Refusal::input("make", why));
                }
            }
            powder.or(made.map(Sanitizer::powder)).map(Dose::Mass)
        } else {
            question = unknown_sanitizer(&with, cellar);
            other(&mut draft, &with, form, cellar)?
        };
        // What no lot gives stands in the note alone, where nothing else looks at it.
        said.map_or(Ok(()), |it| is_of_this_world("amount", it))?;
        let short = fell_short(&draft, said, &with, cellar);
        let of = said.map_or_else(String::new, |it| format!("{} of ", telling::dose(it)));
        let with = format!("{of}{}", telling::substance(&with));
        // What no lot gave is in no other part of the entry.
        draft.note = if draft.supplies.is_empty() {
            format!("{what}, with {with}")
        } else {
            what.to_owned()
        };
        let caution = sulfite.then(|| CAUTION.to_owned());
        let prepared = Prepared {
            draft,
            sentence: format!("{} sanitised with {with}.", telling::capital(what)),
            asks: caution.into_iter().chain(short).collect(),
            loses: None,
        };
        Ok(prepared.only_if(question))
    },
};

/// Words of what gear is sanitised with besides sulfite (common practice).
const SANITIZERS: &[&str] = &[
    "acid",
    "alcohol",
    "bleach",
    "chlorine",
    "ethanol",
    "heat",
    "hypochlorite",
    "iodine",
    "iodophor",
    "oxygen",
    "ozone",
    "percarbonate",
    "peroxide",
    "rinse",
    "sanitizer",
    "sanitiser",
    "soda",
    "spirit",
    "steam",
    "tablet",
    "vodka",
    "water",
];

/// Asked of words that name no sanitizer: what they are is not known, and gear may be no cleaner for it.
fn unknown_sanitizer(with: &str, cellar: &Snapshot) -> Option<String> {
    let is_usual = with.split('-').any(|it| SANITIZERS.contains(&it));
    let is_owned = || lots_of(with, cellar).next().is_some();
    (!is_usual && !is_owned()).then(|| {
        let name = telling::substance(with);
        format!("`{name}` is no sanitizer that is known here: is that what was used?")
    })
}

/// Where the lots had less than was taken, more was there than the book knew.
fn fell_short(draft: &Draft, said: Option<Dose>, with: &str, cellar: &Snapshot) -> Option<String> {
    let said = said?;
    let is_it = |lot: Key| {
        let substance = cellar.thing(lot).map_or("", |it| it.text(field::SUBSTANCE));
        substance == with || is_powder(substance) && is_powder(with)
    };
    let drawn = draft.supplies.iter().filter(|it| is_it(it.lot));
    let drawn = drawn.filter_map(|it| match it.change {
        SupplyChange::By(dose) => Some(-dose.amount()),
        _ => None,
    });
    let drawn: i64 = drawn.sum();
    (drawn > 0 && drawn < said.amount()).then(|| {
        format!(
            "The book had {} of it left and draws no more; `stock take` sets right what there is.",
            telling::dose(said.with(drawn))
        )
    })
}

/// Another sanitizer than sulfite, in the unit that its lots are counted in.
fn other(
    draft: &mut Draft,
    with: &str,
    form: &Form,
    cellar: &Snapshot,
) -> Result<Option<Dose>, Refusal> {
    if form.get("make").is_some() {
        let why = format!(
            "what goes into so much of {} is not known here; give --amount instead.",
            telling::substance(with)
        );
        return Err(Refusal::input("make", why));
    }
    let amount = match substance::known(with) {
        Some(_) => dose(form, "amount", unit_of(with), cellar)?,
        None => dose_with_unit(form, "amount", with, cellar)?,
    };
    if let Some(amount) = amount {
        take(draft, lots_of(with, cellar), amount, cellar);
    }
    Ok(amount)
}

/// Powder as the person weighed it.
pub(super) fn powder_said(
    form: &Form,
    key: &'static str,
    cellar: &Snapshot,
) -> Result<Option<Mass>, Refusal> {
    Ok(match dose(form, key, "ug", cellar)? {
        Some(Dose::Mass(mass)) => Some(mass),
        _ => None,
    })
}

/// Sour sulfite water: powder, as said or else as it is worked out, and citric acid. Where no powder was
/// taken, something else was used.
pub(super) fn sour_water(
    draft: &mut Draft,
    made: Sanitizer,
    powder: Option<Mass>,
    cellar: &Snapshot,
) {
    let powder = powder.unwrap_or(made.powder());
    if powder == Mass::ZERO {
        return;
    }
    take(draft, powders(cellar), Dose::Mass(powder), cellar);
    let citric = Dose::Mass(made.citric());
    take(draft, lots_of("citric-acid", cellar), citric, cellar);
}
