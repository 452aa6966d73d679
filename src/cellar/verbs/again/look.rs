//! A look at bottles, told back. A look at some keeps what was amiss alone; one at all keeps everything that
//! was looked at, and moves only bottles that carried what is no longer so.

use crate::cellar::bottling::{IN_SOME, sign};
use crate::cellar::entry::{Draft, Found, Property, Reading};

/// Whether a field is told here, or left out of what is told.
pub(super) fn is_its_own(draft: &Draft, key: &str) -> bool {
    match key {
        "corks" | "seepage" | "well" => true,
        "count" | "from" | "size" => !is_at_some(draft),
        _ => false,
    }
}

/// What the entry says of one of those fields.
pub(super) fn field(draft: &Draft, key: &str) -> Option<String> {
    let seen = |property: Property| {
        let found = draft.readings.iter().find(|it| it.property == property);
        found.map(|it| it.typed.clone())
    };
    match key {
        "corks" => seen(Property::Corks),
        "seepage" => seen(Property::Seepage),
        // Of some that were well an older book has nothing but that they carry nothing.
        "well" => draft.readings.is_empty().then(|| "yes".to_owned()),
        _ => None,
    }
}

fn is_at_some(draft: &Draft) -> bool {
    let is_of_some = |it: &Reading| match &it.found {
        Found::Word(word) => word.ends_with(IN_SOME) || sign(it.property, word).is_some(),
        _ => false,
    };
    !draft.bottles.is_empty() && draft.readings.iter().all(is_of_some)
}
