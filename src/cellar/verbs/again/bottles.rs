//! Bottles kept, moved and let go, told back.

use super::{Says, Told, look, one};
use crate::cellar::bottling::Package;
use crate::cellar::entry::{Kind, Spot};
use crate::cellar::gifts;
use crate::cellar::racks::{Place, Racks};

/// What such an entry says of a field that is told here; `None` for any other field.
pub(super) fn says(told: &Told, key: &str) -> Says {
    let draft = told.draft;
    let moved = draft.bottles.first();
    let kept = || match &moved?.to {
        Spot::Kept(kept) => Some(kept),
        Spot::Outside(_) => None,
    };
    Some(one(match (draft.kind, key) {
        (Kind::Measure, key) if look::is_its_own(draft, key) => look::field(draft, key),
        (Kind::Here, "bottles") => moved.map(|_| told.count().to_string()),
        (Kind::Here, "size") => moved.map(|it| it.size_ml.to_string()),
        (Kind::Here, "amount") if moved.is_some() => None,
        // Of a run with one size nobody says which, nor where some of each were taken.
        (
            Kind::Measure
            | Kind::Move
            | Kind::LayDown
            | Kind::Open
            | Kind::Give
            | Kind::Break
            | Kind::Unbottle
            | Kind::Reserve,
            "size",
        ) if moved.is_some() => moved.and_then(|it| {
            let lots = &told.cellar.wine(it.run)?.bottles;
            let has_others = lots.iter().any(|lot| lot.size_ml != it.size_ml);
            let mut taken = draft.bottles.iter();
            let is_one = taken.all(|other| other.size_ml == it.size_ml);
            (has_others && is_one).then(|| it.size_ml.to_string())
        }),
        (Kind::Open, "size") => draft.begun_size().and_then(|it| {
            let lots = &told.cellar.wine(draft.subject?)?.bottles;
            let has_others = lots.iter().any(|lot| lot.size_ml != it);
            has_others.then(|| it.to_string())
        }),
        (Kind::Give, "to") | (Kind::Back, "whom") => gifts::whom(draft).map(str::to_owned),
        (Kind::Back, "full") => {
            let mut all = draft.bottles.iter();
            let is_kept = all.any(|it| matches!(it.to, Spot::Kept(_)));
            is_kept.then(|| "yes".to_owned())
        }
        (Kind::Move | Kind::LayDown | Kind::Here | Kind::Back, "to" | "where") => whither(told),
        (Kind::Open, "empty") => moved.and_then(|it| {
            let package = Package::of(told.cellar.thing(it.run)?);
            package.is_drawn_from().then(|| "yes".to_owned())
        }),
        (Kind::Reserve, "for") => kept().map(|it| it.reserved.clone()),
        (Kind::Unbottle, "into") => moved.and_then(|it| match it.to {
            Spot::Outside(vessel) => Some(told.name(vessel)),
            Spot::Kept(_) => None,
        }),
        _ => return None,
    }))
}

/// Where bottles were put: a place, or the rack where they went into several of its slots.
fn whither(told: &Told) -> Option<String> {
    let mut places = told.draft.bottles.iter().map(|it| match &it.to {
        Spot::Kept(kept) => Some(kept.at.as_str()),
        Spot::Outside(_) => None,
    });
    let first = places.next()??;
    if places.all(|it| it == Some(first)) {
        return Some(first.to_owned());
    }
    match Racks::of(&told.cellar.things).read(first) {
        Place::Slot(rack, _) => Some(rack.name.clone()),
        _ => Some(first.to_owned()),
    }
}
