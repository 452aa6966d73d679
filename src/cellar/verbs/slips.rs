//! What is asked before something goes into a wine: a dose that is plainly a slip or over what its
//! code allows, and sorbate where yeast is at work or bacteria live.

use leesline_calc::hazards::{GERANIUM, REFERMENTING};
use leesline_calc::limits::{too_much, too_much_sulfite};

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::attention::{Holding, Policy, Stage};
use crate::cellar::entry::{Addition, Dose};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{Deed, Wine as Held};
use crate::cellar::substance;
use crate::cellar::thing::{Thing, Wine};

/// Questions about what goes into a vessel at once; each wants a yes before anything is written.
/// Where nobody knows how much wine there is, an amount is not asked about.
pub(super) fn questions(
    vessel: &Thing,
    wine: &Held,
    additions: &[Addition],
    cellar: &Snapshot,
) -> Vec<String> {
    let mut asked = Vec::new();
    if wine.unmeasured.is_none() && wine.volume > Volume::ZERO {
        let litres = wine.volume.in_litres();
        asked.extend(additions.iter().filter_map(|it| match it.dose {
            Some(Dose::Mass(mass)) => too_much(&it.substance, mass.in_grams(), litres),
            _ => None,
        }));
        let so2: Mass = additions.iter().map(|it| it.so2).sum();
        if so2 > Mass::ZERO {
            let batch = wine.main_batch().and_then(|it| cellar.thing(it));
            let kind = batch.map_or(Wine::Unknown, Thing::wine).word();
            let added = so2.in_grams() * 1e3 / litres;
            asked.extend(too_much_sulfite(kind, wine.so2_added_mg_l(), added));
        }
    }
    let is_sorbate = |it: &Addition| {
        substance::known(&it.substance).is_some_and(|it| it.deed == Some(Deed::Sorbated))
    };
    if additions.iter().any(is_sorbate) {
        asked.extend(against_sorbate(vessel, cellar));
    }
    asked
}

/// Sorbate does not stop a running ferment, and never goes where malolactic bacteria live or will.
fn against_sorbate(vessel: &Thing, cellar: &Snapshot) -> Vec<String> {
    let policy = Policy::of(cellar);
    let Some(holding) = Holding::of(cellar, vessel.key, &policy) else {
        return Vec::new();
    };
    let works = match holding.stage() {
        Stage::Must => Some("is a must that has not fermented"),
        Stage::Fermenting => Some("still ferments by the book"),
        Stage::Doubtful => Some("may still ferment by its last gravity"),
        Stage::Stuck => Some("stands above its end, where yeast may begin again"),
        _ => None,
    };
    let works = works.map(|works| {
        format!(
            "{} {works}, and sorbate does not stop a running ferment. {}",
            vessel.name(),
            REFERMENTING.sentence
        )
    });
    let bacteria = holding
        .wine
        .when(Deed::MaloStarted)
        .map(|_| "has had malolactic bacteria")
        .or_else(|| {
            holding
                .malo_is_open()
                .then_some("is to have malolactic bacteria")
        });
    let bacteria =
        bacteria.map(|bacteria| format!("{} {bacteria}. {}", vessel.name(), GERANIUM.sentence));
    works.into_iter().chain(bacteria).collect()
}
