//! Sugar that is to stay: asked about where it is much, or where living yeast would take it.

use leesline_calc::limits::too_much;

use super::additions::{LOT, PLACE, put_in};
use super::{Group, Takes, Verb, flag};
use crate::cellar::attention::{Holding, Policy};
use crate::cellar::entry::{Dose, Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;

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
        prepared.draft.subject = prepared.draft.additions.first().map(|it| it.place);
        let questions = [
            too_sweet(&prepared.draft, cellar),
            not_stabilised(&prepared.draft, cellar),
        ];
        Ok(prepared.only_if(questions.into_iter().flatten()))
    },
};

/// Asked where sugar goes to yeast that nothing holds.
fn not_stabilised(draft: &Draft, cellar: &Snapshot) -> Option<String> {
    let vessel = cellar.thing(draft.subject?)?;
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, vessel.key, &policy)?;
    holding.would_ferment_again().then(|| {
        format!(
            "{} is not stabilised: no sorbate with sulfite is written down, no 18 % vol. Sweetened it may ferment again, and \
             closed bottles burst. Stabilise it first, or the same day, and keep it under an airlock.",
            vessel.name()
        )
    })
}

/// More sugar at once than nearly any sweet wine holds, g/L (common practice).
const VERY_SWEET_G_L: f64 = 150.0;

fn too_sweet(draft: &Draft, cellar: &Snapshot) -> Option<String> {
    let addition = draft.additions.first()?;
    let wine = cellar.wine(addition.place)?;
    let Some(Dose::Mass(sugar)) = addition.dose else {
        return None;
    };
    let litres = wine.volume.in_litres();
    let given = sugar.in_grams() / litres;
    // Above what any wine holds it is asked about already.
    let is_asked = too_much("sugar", sugar.in_grams(), litres).is_some();
    (wine.unmeasured.is_none() && litres > 0.0 && given > VERY_SWEET_G_L && !is_asked).then(|| {
        format!(
            "{} of sugar in {} is {given:.0} g/L, and few sweet wines hold more than {VERY_SWEET_G_L:.0}: check the amount and its unit.",
            telling::dose(Dose::Mass(sugar)),
            wine.volume
        )
    })
}
