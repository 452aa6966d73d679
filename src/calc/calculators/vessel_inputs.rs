//! What the calculators of vessels, bottles and warmth share.

use crate::answer::{Source, Standing};
use crate::input::Input;
use crate::quantity::Quantity;

pub(super) const BOTTLING: &str = "Bottling";
pub(super) const VESSELS: &str = "Vessels";

pub(super) const FROM_C: Input = Input::new(
    "from_c",
    Quantity::Temperature,
    "temperature at which it was filled or closed",
)
.required()
.allowed(0.0, 40.0, "the densities of wine are known between");
pub(super) const TO_C: Input = Input::new("to_c", Quantity::Temperature, "temperature it comes to")
    .required()
    .allowed(0.0, 40.0, "the densities of wine are known between");
pub(super) const ALCOHOL: Input = Input::new(
    "alcohol_pct_vol",
    Quantity::AlcoholByVolume,
    "strength of the wine",
)
.default("12")
.allowed(0.0, 25.0, "no wine is stronger, nor weaker than none");
pub(super) const EXTRACT: Input = Input::new(
    "extract_g_l",
    Quantity::GramsPerLitre,
    "sugar and other extract, 25 in a dry wine",
)
.default("25")
.allowed(0.0, 300.0, "no wine holds more, nor less than none")
.sourced(
    0.0,
    200.0,
    "the mixture of sugar and alcohol was checked between",
);

pub(super) const MIXTURE: Source = Source {
    sentence: "Density of sugar, ethanol and water together from OIML R 22 and ICUMSA SPS-4; exact for each alone",
    standing: Standing::Derived,
};
pub(super) const EXPANSION: Source = Source {
    sentence: "Volumetric coefficients of thermal expansion in alcoholic beverages, Food and Bioprocess Technology, \
     abstract (doi 10.1007/s11947-011-0658-8): white wines 1.9 ± 0.3 in 10 000 per °C",
    standing: Standing::Opened,
};
pub(super) const GLASS_GROWS: Source = Source {
    sentence: "ISO 1768:1975, clause 3: glass expands by 25·10⁻⁶ per °C",
    standing: Standing::Opened,
};

/// How far the growth of a wine may be off: a tenth, by the measured coefficients.
pub(super) const GROWTH_OFF: f64 = 0.1;
