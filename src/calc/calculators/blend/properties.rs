//! The properties a blend is reckoned in.

use super::reading::Wine;
use crate::quantity::Quantity;

/// A property of wine that mixes by volume, or is taken to.
#[derive(Debug)]
pub(super) struct Property {
    /// What a person calls it.
    pub word: &'static str,
    /// What the answer calls it.
    pub key: &'static str,
    pub quantity: Quantity,
    /// What it can be.
    pub range: (f64, f64),
}

pub(super) const SUGAR: Property = property("sugar", "sugar_g_l", Quantity::GramsPerLitre, 500.0);

pub(super) static PROPERTIES: [Property; 8] = [
    property(
        "alcohol",
        "alcohol_pct_vol",
        Quantity::AlcoholByVolume,
        25.0,
    ),
    property("ta", "ta_g_l", Quantity::GramsPerLitre, 30.0),
    property("va", "va_g_l", Quantity::GramsPerLitre, 10.0),
    SUGAR,
    Property {
        range: (2.0, 5.0),
        ..property("ph", "ph", Quantity::Ph, 5.0)
    },
    property("free-so2", "free_so2_mg_l", Quantity::MassPerVolume, 500.0),
    property(
        "total-so2",
        "total_so2_mg_l",
        Quantity::MassPerVolume,
        1000.0,
    ),
    property("cost", "cost_per_l", Quantity::Number, 1e6),
];

const fn property(
    word: &'static str,
    key: &'static str,
    quantity: Quantity,
    most: f64,
) -> Property {
    Property {
        word,
        key,
        quantity,
        range: (0.0, most),
    }
}

/// The place and the property a word names.
pub(super) fn find(word: &str) -> Option<(usize, &'static Property)> {
    let word = word.trim().to_lowercase().replace('_', "-");
    PROPERTIES
        .iter()
        .enumerate()
        .find(|(_, property)| property.word == word || property.key.replace('_', "-") == word)
}

/// The words, for a message.
pub(super) fn words() -> String {
    PROPERTIES
        .iter()
        .map(|property| property.word)
        .collect::<Vec<_>>()
        .join(", ")
}

impl Property {
    /// What it is of this wine, where that is known.
    pub(super) fn of(&self, wine: &Wine) -> Option<f64> {
        let (at, _) = find(self.word)?;
        wine.figures[at]
    }
}
