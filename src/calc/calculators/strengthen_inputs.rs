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
