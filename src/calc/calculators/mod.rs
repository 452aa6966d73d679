//! The calculators, one a file. A new one is its file, and its name in this list.

mod headspace;
mod so2_molecular;
mod so2_need;
mod sulfite_by_spoon;
mod sulfite_check;
mod sulfite_dose;
mod sulfite_inputs;

use crate::registry::Calculator;

/// All calculators, in the order of lists.
pub static CALCULATORS: &[&Calculator] = &[
    &sulfite_dose::CALCULATOR,
    &sulfite_by_spoon::CALCULATOR,
    &sulfite_check::CALCULATOR,
    &so2_need::CALCULATOR,
    &so2_molecular::CALCULATOR,
    &headspace::CALCULATOR,
];
