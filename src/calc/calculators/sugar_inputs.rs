//! What the calculators of sugar and alcohol share.

use crate::answer::{Source, Standing};
use crate::input::Input;
use crate::quantity::Quantity;

pub(super) const GROUP: &str = "Sugar and alcohol";
pub(super) const DENSITIES: &str = "Densities";

pub(super) const SUGAR: Input = Input::new(
    "sugar_g_l",
    Quantity::GramsPerLitre,
    "sugar in a litre",
)
.allowed(0.0, 1000.0, "no syrup holds more, nor less than none");
pub(super) const BRIX: Input = Input::new(
    "brix",
    Quantity::Brix,
    "°Brix, by refractometer or hydrometer",
)
.allowed(-3.0, 80.0, "no wine reads lower and no syrup higher")
.sourced(
    0.0,
    80.0,
    "below 0 it is only apparent, from the alcohol in a finished wine",
);
pub(super) const SG: Input = Input::new("sg", Quantity::Gravity, "specific gravity 20/20")
    .allowed(0.988, 1.41, "no wine is lighter and no syrup heavier")
    .sourced(
        1.0,
        1.41,
        "below 1.000 the sugar is only apparent, from the alcohol in a finished wine",
    );

pub(super) const MUST_TABLE: Source = Source {
    sentence: "French arrêté of 14 September 2011, Annex IV (after OIV-MA-AS2-02): sugar and density of must by °Brix, \
               16.83 g/L to 1 % vol",
    standing: Standing::Opened,
};
pub(super) const ICUMSA: Source = Source {
    sentence: "ICUMSA SPS-4 density of sucrose solutions, in two open transcriptions that agree",
    standing: Standing::Opened,
};
pub(super) const R22: Source = Source {
    sentence: "OIML R 22 (1975), alcoholometric tables; Directive 76/766/EEC, Annex",
    standing: Standing::Opened,
};
