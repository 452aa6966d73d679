//! What is asked before something goes into a wine: a dose that is plainly a slip or over what its
//! code allows, sulfite where yeast is at work, and sorbate there or where bacteria live. And what is asked of a reading that
//! no wine could give.

use leesline_calc::hazards::{GERANIUM, REFERMENTING};
use leesline_calc::limits::{too_much, too_much_sulfite};

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::attention::{Holding, Policy, Stage};
use crate::cellar::dosing::against_sulfite;
use crate::cellar::entry::{Addition, Dose, Property, Reading};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{Deed, GRAVITY_SLACK, SulfiteSoFar, Wine as Held};
use crate::cellar::substance;
use crate::cellar::sugars::Dissolved;
use crate::cellar::thing::{Thing, Wine, field};

/// Questions about what goes into a vessel at once; each wants a yes before anything is written.
/// Where nobody knows how much wine there is, an amount is not asked about.
pub(super) fn questions(
    vessel: &Thing,
    wine: &Held,
    additions: &[Addition],
    cellar: &Snapshot,
) -> Vec<String> {
    let mut asked = Vec::new();
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, vessel.key, &policy);
    if wine.unmeasured.is_none() && wine.volume > Volume::ZERO {
        let litres = wine.volume.in_litres();
        asked.extend(additions.iter().filter_map(|it| match it.dose {
            Some(dose) => match (Dissolved::of(&it.substance, dose), dose) {
                (Some(dissolved), _) => too_much("sugar", dissolved.in_sugar().in_grams(), litres),
                (None, Dose::Mass(mass)) => too_much(&it.substance, mass.in_grams(), litres),
                (None, _) => None,
            },
            None => None,
        }));
        let so2: Mass = additions.iter().map(Addition::so2_at_most).sum();
        if so2 > Mass::ZERO {
            let batch = wine.main_batch().and_then(|it| cellar.thing(it));
            let kind = batch.map_or(Wine::Unknown, Thing::wine).word();
            let added = so2.in_grams() * 1e3 / litres;
            let is_must = holding.as_ref().is_some_and(|it| it.stage() == Stage::Must);
            asked.extend(too_much_sulfite(
                kind,
                is_must,
                wine.so2_added_mg_l(),
                added,
            ));
        }
    }
    let brings_sulfite = |it: &Addition| {
        substance::known(&it.substance).is_some_and(|it| it.deed == Some(Deed::Sulfited))
    };
    if additions.iter().any(brings_sulfite) {
        let against = holding.as_ref().and_then(against_sulfite);
        asked.extend(against.map(|it| format!("{}: {it}", vessel.name())));
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
                .malo_is_finished()
                .then_some("has been through malolactic conversion, and its bacteria live on")
        })
        .or_else(|| {
            holding
                .malo_is_open()
                .then_some("is to have malolactic bacteria")
        });
    let bacteria =
        bacteria.map(|bacteria| format!("{} {bacteria}. {}", vessel.name(), GERANIUM.sentence));
    works
        .into_iter()
        .chain(bacteria)
        .chain(dry(&holding))
        .collect()
}

/// A dry wine needs no sorbate. A kit has it given before it is sweetened.
fn dry(holding: &Holding) -> Option<String> {
    let is_kit = holding
        .batch
        .is_some_and(|it| it.text(field::KIND) == "kit");
    let sweetened = holding.wine.when(Deed::Sweetened).is_some();
    let last = holding.wine.gravities.last()?.gravity;
    let is_dry = last <= holding.policy.dry_gravity + GRAVITY_SLACK && !sweetened && !is_kit;
    is_dry.then(|| {
        format!(
            "{} is dry at {last:.3}, and a dry wine needs no sorbate: give it only if it is to be sweetened (common practice).",
            holding.place.name()
        )
    })
}

/// Questions about readings that no wine could give, such as a slip of the keys would.
pub(super) fn odd_readings(
    vessel: &Thing,
    wine: &Held,
    readings: &[Reading],
    cellar: &Snapshot,
) -> Vec<String> {
    let policy = Policy::of(cellar);
    let odd = |it: &Reading| match (it.property, it.found.number()?) {
        (Property::Gravity, found) => risen(vessel, wine, found, cellar, &policy),
        (Property::FreeSo2, found) => more_than_went_in(wine, found, &policy),
        _ => None,
    };
    readings.iter().filter_map(odd).collect()
}

fn risen(
    vessel: &Thing,
    wine: &Held,
    found: f64,
    cellar: &Snapshot,
    policy: &Policy,
) -> Option<String> {
    let last = wine.gravities.last()?;
    let sugar = [Deed::Sugared, Deed::Sweetened, Deed::Blended];
    let mut sugar = sugar.into_iter().filter_map(|it| wine.when(it));
    let is_sugared = sugar.any(|it| it >= last.at_ms);
    (found - last.gravity > policy.slip_gravity + GRAVITY_SLACK && !is_sugared).then(|| {
        format!(
            "{} read {:.3} on {}, and no sugar went in since by the book: gravity does not rise to {found:.3} by itself. Check the figure.",
            vessel.name(),
            last.gravity,
            cellar.now.at(last.at_ms).day_words()
        )
    })
}

fn more_than_went_in(wine: &Held, found: f64, policy: &Policy) -> Option<String> {
    let (most, given) = match wine.sulfite_so_far() {
        SulfiteSoFar::Whole(mg_l) => (
            mg_l + policy.slip_unwritten_mg_l,
            format!("{mg_l:.0} mg/L went in by the book"),
        ),
        _ => (policy.slip_free_mg_l, "no wine holds so much".to_owned()),
    };
    (found > most).then(|| {
        format!("{found:.0} mg/L of free SO2, and {given}: check the figure, and whether the test counts drops or mg/L.")
    })
}
