//! What the acid calculators share.

use crate::acid::Acid;
use crate::answer::{Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::quantity::Quantity;

pub(super) const GROUP: &str = "Acid";

pub(super) const NOW: Input = Input::new(
    "now_g_l",
    Quantity::GramsPerLitre,
    "titratable acidity now, as tartaric acid",
)
.allowed(0.5, 30.0, "no must or wine has less or more")
.sourced(
    3.0,
    15.0,
    "wine and must lie between, and a figure below is often given as sulfuric acid",
);

pub(super) const TARGET: Input = Input::new(
    "target_g_l",
    Quantity::GramsPerLitre,
    "titratable acidity to aim at, as tartaric acid",
)
.allowed(2.0, 15.0, "no wine is drunk with less or more")
.sourced(4.5, 9.0, "sound wine lies between");

pub(super) const EQUIVALENTS: Source = Source {
    sentence: "Equivalent weights from IUPAC atomic masses: tartaric 75.04, sulfuric 49.04, malic 67.04, lactic \
               90.08, citric 64.04, acetic 60.05",
    standing: Standing::Derived,
};

/// The acid a word names; `None` for milliequivalents.
pub(super) fn acid(word: &str) -> Option<Acid> {
    Some(match word {
        "tartaric" => Acid::Tartaric,
        "sulfuric" => Acid::Sulfuric,
        "malic" => Acid::Malic,
        "lactic" => Acid::Lactic,
        "citric" => Acid::Citric,
        "acetic" => Acid::Acetic,
        _ => return None,
    })
}

/// Each input is fine by itself and together they have no answer.
pub(super) fn refused(key: &'static str, sentence: impl Into<String>) -> CalcError {
    CalcError::Refused {
        key,
        sentence: sentence.into(),
    }
}
