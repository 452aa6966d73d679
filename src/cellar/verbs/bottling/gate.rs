//! What speaks against bottling a wine.

use leesline_calc::gas::bottle_kpa;

use crate::cellar::attention::{Answer, GateItem, Holding, Policy};
use crate::cellar::bottling::Package;
use crate::cellar::entry::{Property, Reading};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Known;
use crate::cellar::thing::Thing;
use crate::cellar::verbs::packages::Filled;
use crate::cellar::verbs::{Form, Refusal};

/// The temperature that the question about its gravity is about, °C.
pub(super) const WARM_C: f64 = 15.0;

/// What speaks against bottling: what is asked once, and what was overruled.
#[derive(Default)]
pub(super) struct Against {
    pub(super) asks: Vec<String>,
    /// Whether what was overruled may burst a bottle.
    pub(super) bursts: bool,
}

/// What speaks against bottling. A no, and whatever may burst a bottle, is refused with the one thing to do about it unless a
/// reason is given, which the book keeps; the rest is asked once.
pub(super) fn gate(
    vessel: &Thing,
    warmth: Option<&Reading>,
    into: &Filled,
    form: &Form,
    cellar: &Snapshot,
) -> Result<Against, Refusal> {
    let policy = Policy::of(cellar);
    let Some(holding) = Holding::of(cellar, vessel.key, &policy) else {
        return Ok(Against::default());
    };
    let mut wine = holding.wine.clone();
    if let Some(reading) = warmth {
        let known = Known {
            at_ms: cellar.now.utc_ms,
            found: reading.found.clone(),
            estimated: false,
        };
        wine.known.insert(reading.property, known);
    }
    let holding = holding.with_wine(&wine);
    let open = holding
        .gate()
        .into_iter()
        .filter(|it| it.answer != Answer::Yes);
    let (wanting, rest): (Vec<GateItem>, Vec<GateItem>) = open.partition(GateItem::wants_reason);
    let said = |item: &GateItem| {
        let evidence = item.evidence.join(" ");
        format!("{} {evidence} {}", item.question, item.what_to_do)
            .trim()
            .to_owned()
    };
    let mut bursting = wanting.iter().filter(|it| it.risks_bursting());
    let works = bursting.clone().find(|it| it.answer == Answer::No);
    if let Some(works) = works.filter(|_| form.get("overrule").is_some()) {
        in_what_it_bursts(works, &holding, into)?;
    }
    // What may burst comes first, and of that a no, which blocks more than what the book does not say.
    let first = wanting
        .iter()
        .min_by_key(|it| (!it.risks_bursting(), it.answer != Answer::No))
        .filter(|_| form.get("overrule").is_none());
    if let Some(first) = first {
        let others = wanting.len() + rest.len() - 1;
        let sentence = refused(vessel.name(), first, others);
        return Err(Refusal::book(Some("overrule"), sentence));
    }
    let bursting = bursting.next();
    let hazard = bursting.map(|it| it.hazard.to_owned());
    Ok(Against {
        asks: wanting
            .iter()
            .chain(&rest)
            .map(said)
            .chain(hazard)
            .collect(),
        bursts: bursting.is_some(),
    })
}

/// What no reason overrules: a bag with wine that still works, and a keg whose sugar would make more
/// pressure than it is rated for.
fn in_what_it_bursts(works: &GateItem, holding: &Holding, into: &Filled) -> Result<(), Refusal> {
    if into.package == Package::Bag {
        let evidence = works.evidence.first().map_or("", String::as_str);
        return Err(Refusal::book(
            Some("package"),
            format!(
                "A bag is never filled with wine that may still work, whatever the reason, since gas bursts it. {} {evidence} \
                 Wait, or take a keg within its rating.",
                works.question
            ),
        ));
    }
    let sugar = holding.known_between(Property::Sugar, 0.0, 400.0);
    match sugar.filter(|_| into.package.takes_pressure()) {
        Some((sugar, _)) => into.stands(bottle_kpa(sugar)),
        None => Ok(()),
    }
}

/// One line: what to do first, then why, and where the other questions stand.
fn refused(vessel: &str, first: &GateItem, others: usize) -> String {
    let asked = first.suggestion.as_ref().map(|it| &it.needs);
    let asks_warmth = asked.is_some_and(|it| it.contains(&"temperature"));
    let todo = if asks_warmth {
        "Say --warm yes if it was at 15 °C or warmer while its gravity stood still, measure its temperature"
    } else {
        first.what_to_do.trim_end_matches('.')
    };
    let evidence = first.evidence.first().map_or("", String::as_str);
    let hazard = if first.risks_bursting() {
        "Sugar left in it can burst a closed bottle."
    } else {
        first.hazard
    };
    let rest = match others {
        0 => String::new(),
        1 => format!(" 1 more question is open: `bottle plan '{vessel}'` lists them."),
        more => format!(" {more} more questions are open: `bottle plan '{vessel}'` lists them."),
    };
    format!(
        "{todo}, or give --overrule 'why'. {} {evidence} {hazard}{rest}",
        first.question
    )
}
