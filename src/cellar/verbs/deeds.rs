//! What is done to a wine without moving or adding anything.

use super::read::{full_vessel, place};
use super::things::done;
use super::{Field, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::thing::field;

pub(super) const PLACE: Field = ask("place", "Vessel", "Which vessel.", Takes::FullVessel);

pub(super) static MOVE: Verb = Verb {
    name: "move",
    sentence: "Move a vessel to another room.",
    group: Group::Wine,
    fields: &[
        ask("place", "Vessel", "Which vessel or bottles.", Takes::Place),
        flag("room", "To", "Room or shelf.", Takes::Text),
    ],
    draft: |form, cellar| {
        let thing = place(form, "place", cellar)?;
        let room = form
            .get("room")
            .ok_or_else(|| Refusal::input("room", "To which room?"))?;
        let mut draft = Draft::new(Kind::Move, cellar.now);
        draft.subject = Some(thing.key);
        draft.set(thing.key, field::ROOM, room);
        done(draft, format!("Move {} to {room}.", thing.name()))
    },
};

macro_rules! deeds {
    ($($name:ident $word:literal $kind:ident $sentence:literal;)*) => {
        $(pub(super) static $name: Verb = Verb {
            name: $word,
            sentence: $sentence,
            group: Group::Wine,
            fields: &[PLACE],
            draft: |form, cellar| {
                let (vessel, _) = full_vessel(form, "place", cellar)?;
                let mut draft = Draft::new(Kind::$kind, cellar.now);
                draft.subject = Some(vessel.key);
                done(draft, format!("{}: {}.", vessel.name(), Kind::$kind.label()))
            },
        };)*
    };
}
deeds! {
    DEGAS "degas" Degas "Drive the gas out of a wine.";
    COVER "cover" Cover "Cover a wine with gas, a lid or wax.";
    START_MALO "start-malo" StartMalo "Start malolactic conversion.";
}

pub(super) static FILTER: Verb = Verb {
    name: "filter",
    sentence: "Filter a wine.",
    group: Group::Wine,
    fields: &[
        PLACE,
        flag(
            "sterile",
            "Sterile",
            "Through a sterile membrane, which keeps yeast out.",
            Takes::Flag,
        ),
    ],
    draft: |form, cellar| {
        let (vessel, _) = full_vessel(form, "place", cellar)?;
        let kind = if form.get("sterile").is_some() {
            Kind::SterileFilter
        } else {
            Kind::Filter
        };
        let mut draft = Draft::new(kind, cellar.now);
        draft.subject = Some(vessel.key);
        done(draft, format!("{}: {}.", vessel.name(), kind.label()))
    },
};
