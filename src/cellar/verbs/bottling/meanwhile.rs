//! Wine that is taken out of a vessel while it is being bottled from.

use crate::cellar::entry::{Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, field};

/// A question before wine is taken out of a vessel from which a bottling is under way: what is counted
/// after it must still be there. A sample is small, and a level that is put right is of before the run.
pub(in crate::cellar::verbs) fn taken_meanwhile(
    draft: &Draft,
    cellar: &Snapshot,
) -> Option<String> {
    let run = cellar.thing(cellar.filling?)?;
    let vessel = Key(run.int(field::VESSEL)?);
    let takes = draft.movements.iter().any(|it| it.from == vessel);
    let is_small = match draft.kind {
        Kind::Draw => true,
        Kind::Adjust => cellar.wine(run.key).is_none(),
        _ => draft.sets(field::FINISHED).is_some(),
    };
    (takes && !is_small).then(|| {
        format!(
            "{name} is being bottled from {}: count what is filled and `bottle finish \"{name}\"` first, since \
             no more can be counted afterwards than is left.",
            cellar.name(vessel),
            name = run.name(),
        )
    })
}
