//! What is done to a wine while it is being bottled.

use crate::cellar::entry::{Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Account, Key, Value, field};

/// Before the first bottle the run follows its wine into the vessel that all of it is racked into, and says so.
pub(in crate::cellar::verbs) fn followed(draft: &mut Draft, cellar: &Snapshot) -> Option<String> {
    let run = cellar.thing(cellar.filling?)?;
    let vessel = Key(run.int(field::VESSEL)?);
    if cellar.wine(run.key).is_some() || draft.kind != Kind::Rack {
        return None;
    }
    let poured = draft.movements.iter().filter(|it| it.from == vessel);
    let into: Vec<Key> = poured
        .map(|it| it.to)
        .filter(|it| Account::from_key(*it).is_none())
        .collect();
    let [other] = into.as_slice() else {
        return None;
    };
    draft.set(run.key, field::VESSEL, Value::Int(other.0));
    let (name, from) = (run.name(), cellar.name(*other));
    Some(format!("{name} is bottled from {from} from now on."))
}

/// A question before wine is taken out of a vessel from which a bottling is under way, or something is put into it once bottles
/// are filled: what is counted after it must still be there, and what is filled has none of it. A sample is small, and a level
/// that is put right is of before the run.
pub(in crate::cellar::verbs) fn taken_meanwhile(
    draft: &Draft,
    cellar: &Snapshot,
) -> Option<String> {
    let run = cellar.thing(cellar.filling?)?;
    let vessel = Key(run.int(field::VESSEL)?);
    if draft.sets(field::VESSEL).is_some() {
        return None;
    }
    let name = run.name();
    if draft.additions.iter().any(|it| it.place == vessel) {
        let filled = cellar.wine(run.key)?.bottle_count();
        return Some(format!(
            "{filled} of {name} are filled: what goes in now is reckoned with what is left in {} alone, however many are \
             filled after it.",
            cellar.name(vessel)
        ));
    }
    let takes = draft.movements.iter().any(|it| it.from == vessel);
    let is_small = match draft.kind {
        Kind::Draw | Kind::Adjust => true,
        _ => draft.sets(field::FINISHED).is_some(),
    };
    (takes && !is_small).then(|| {
        format!(
            "{name} is being bottled from {}: count what is filled and `bottle finish \"{name}\"` first, since \
             no more can be counted afterwards than is left.",
            cellar.name(vessel),
        )
    })
}
