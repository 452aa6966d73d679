//! What a look can find amiss with bottles, and which of it means pressure: the only list of it.

use crate::cellar::entry::Property;

/// Something amiss.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sign {
    /// Of what.
    pub property: Property,
    /// What was found of it, as the field of a look takes it.
    pub found: &'static str,
    /// In words, as a bottle carries it: `corks rising`, `some gas`.
    pub words: &'static str,
    /// Whether it may burst a bottle: a cork that rises and gas are pressure.
    pub bursts: bool,
    /// The field of `look` that says otherwise.
    pub field: &'static str,
}

const fn sign_of(
    property: Property,
    found: &'static str,
    words: &'static str,
    bursts: bool,
    field: &'static str,
) -> Sign {
    Sign {
        property,
        found,
        words,
        bursts,
        field,
    }
}

/// All there are.
static SIGNS: &[Sign] = &[
    sign_of(Property::Corks, "rising", "corks rising", true, "corks"),
    sign_of(Property::Gas, "some", "some gas", true, "bubbles"),
    sign_of(Property::Gas, "much", "much gas", true, "bubbles"),
    sign_of(Property::Seepage, "some", "some seepage", false, "seepage"),
    sign_of(Property::Seepage, "much", "much seepage", false, "seepage"),
    sign_of(Property::Clarity, "hazy", "wine hazy", false, "haze"),
    sign_of(Property::Clarity, "cloudy", "wine cloudy", false, "haze"),
];

/// All of what a look looks at, whatever it finds.
pub const LOOKED_AT: [Property; 4] = [
    Property::Corks,
    Property::Gas,
    Property::Seepage,
    Property::Clarity,
];

/// Stands behind what was found with some bottles of a run; the others were not looked at.
pub const IN_SOME: &str = " in some";

/// What is amiss where that was found, in all or in some; nothing if all is well.
pub fn sign(property: Property, found: &str) -> Option<&'static Sign> {
    let found = found.trim().to_lowercase();
    let found = found.strip_suffix(IN_SOME).unwrap_or(&found);
    let mut signs = SIGNS.iter();
    signs.find(|it| it.property == property && it.found == found)
}

/// Signs in words, as a bottle carries what was found of it: `corks rising, some gas`.
pub fn sign_words<'a>(signs: impl IntoIterator<Item = &'a Sign>) -> String {
    let words: Vec<&str> = signs.into_iter().map(|it| it.words).collect();
    words.join(", ")
}

/// The signs that a bottle carries.
pub fn carried(words: &str) -> impl Iterator<Item = &'static Sign> {
    let words = words.split(", ");
    words.filter_map(|words| SIGNS.iter().find(|it| it.words == words))
}

/// Whether a sign of that property is among those that a bottle carries.
pub fn carries(words: &str, property: Property) -> bool {
    carried(words).any(|it| it.property == property)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cork_that_rises_and_gas_are_pressure_and_nothing_else_is() {
        let check = |property, found: &str, expected: Option<bool>| {
            assert_eq!(
                sign(property, found).map(|it| it.bursts),
                expected,
                "{found}"
            );
        };
        check(Property::Corks, "rising", Some(true));
        check(Property::Corks, "level", None);
        check(Property::Corks, "sunken", None);
        check(Property::Gas, "some", Some(true));
        check(Property::Gas, "Much", Some(true));
        check(Property::Gas, "none", None);
        check(Property::Seepage, "much", Some(false));
        check(Property::Clarity, "hazy", Some(false));
        check(Property::Clarity, "bright", None);
    }

    #[test]
    fn what_a_bottle_carries_is_read_back() {
        for (at, one) in SIGNS.iter().enumerate() {
            assert_eq!(carried(one.words).collect::<Vec<_>>(), [one]);
            for other in &SIGNS[at + 1..] {
                let both = sign_words([one, other]);
                assert_eq!(carried(&both).collect::<Vec<_>>(), [one, other], "{both}");
            }
        }
        assert_eq!(carried("").count(), 0);
    }
}
