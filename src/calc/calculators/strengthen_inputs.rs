//! What sweetening, enriching and fortifying share.

use crate::answer::{Source, Standing};
use crate::error::CalcError;
use crate::input::Input;
use crate::quantity::Quantity;

pub(super) const VOLUME: Input = Input::new("volume_l", Quantity::Volume, "how much there is")
    .required()
    .allowed(
        0.01,
        1e6,
        "this is for wine between a glass and a winery's tank",
    );

pub(super) const FROM_BRIX: Input = Input::new("from", Quantity::Brix, "°Brix or gravity now")
    .required()
    .allowed(0.0, 45.0, "no must reads lower and no juice higher");
pub(super) const TO_BRIX: Input = Input::new("to", Quantity::Brix, "°Brix or gravity wanted")
    .required()
    .allowed(0.0, 45.0, "no yeast starts in more, nor in less than none")
    .sourced(0.0, 30.0, "musts lie between");

pub(super) use super::vessel_inputs::MIXTURE;
pub(super) const SUGAR_ROOM: Source = Source {
    sentence: "27 CFR 24.181: 13.5 lb of sugar make a US gallon, 0.618 mL to a gram; here from the densities",
    standing: Standing::Opened,
};

/// The refusal of a target that is not above what there is.
pub(super) fn not_above(from: f64, to: f64, unit: &str, instead: &str) -> CalcError {
    CalcError::Refused {
        key: "to",
        sentence: format!(
            "{to:.1} {unit} is not above the {from:.1} {unit} there are, and {instead}"
        ),
    }
}
