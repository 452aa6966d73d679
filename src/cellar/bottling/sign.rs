//! What a look can find amiss with bottles.

use crate::cellar::entry::Property;

/// Something amiss.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sign {
    /// In words: `corks rising`, `some gas`.
    pub words: String,
    /// Whether it may burst a bottle: a cork that rises and gas are pressure.
    pub bursts: bool,
    /// The field of `look` that says otherwise.
    pub field: &'static str,
}

/// What is amiss where that was found; nothing if all is well.
pub fn sign(property: Property, found: &str) -> Option<Sign> {
    let (words, bursts, field) = match (property, found) {
        (Property::Corks, "rising") => ("corks rising".to_owned(), true, "corks"),
        (Property::Gas, "some" | "much") => (format!("{found} gas"), true, "bubbles"),
        (Property::Seepage, "some" | "much") => (format!("{found} seepage"), false, "seepage"),
        (Property::Clarity, "hazy" | "cloudy") => (format!("wine {found}"), false, "haze"),
        _ => return None,
    };
    Some(Sign {
        words,
        bursts,
        field,
    })
}
