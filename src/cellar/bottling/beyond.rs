//! More filled than the vessel held by the book: volumes are known to a glass or two, bottles are counted.

use crate::cellar::amount::Volume;
use crate::cellar::entry::Draft;
use crate::cellar::fold::Flow;
use crate::cellar::thing::Account;

/// How much more than the book had in its vessel the entry that begins a run filled, by what it moved.
pub fn found_by(draft: &Draft, flows: &[Flow]) -> Volume {
    let vessel = draft.filled_from().map(|it| it.1);
    let found = flows
        .iter()
        .filter(|it| it.from == Account::Difference.key() && Some(it.to) == vessel);
    found.map(|it| it.volume).sum()
}

/// That it was more, and what puts the count right if that is wrong; `back` says how.
pub fn beyond(found: Volume, vessel: &str, back: &str) -> String {
    format!(
        "That is {found} more than {vessel} held by the book: {back} if it is one too many; if not, that much was in it all along."
    )
}
