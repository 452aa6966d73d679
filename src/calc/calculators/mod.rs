//! The calculators, one a file. A new one is its file and its name here, as module and in the list.

pub(crate) mod acid_add;
mod acid_convert;
mod acid_inputs;
mod acid_titrate;
mod ageing_window;
mod alcohol;
mod blend;
mod bottle_cost;
mod bottle_pressure;
mod bottling_plan;
mod brix_warmth;
mod carboy;
mod cold_hold;
mod concentrate;
mod dated;
pub(crate) mod deacidify;
mod density_ethanol;
mod density_sucrose;
mod density_water;
mod dilute;
mod dissolved_oxygen;
mod dry_extract;
mod enrich;
mod expansion;
mod ferment_fit;
mod fill_height;
pub(crate) mod fining;
mod fortify;
mod headspace;
mod hydrometer;
mod list_input;
mod malo_effect;
pub(crate) mod nutrient;
mod potential_alcohol;
mod powder_age;
mod purge;
mod rack_plan;
mod refractometer;
mod room_gas;
mod sanitizer;
mod so2_bound;
mod so2_forecast;
mod so2_limits;
mod so2_molecular;
mod so2_need;
mod so2_titrate;
mod sorbate;
mod strengthen_inputs;
mod sugar;
mod sugar_inputs;
mod sulfite_by_spoon;
mod sulfite_check;
mod sulfite_dose;
mod sulfite_inputs;
mod sweeten;
mod titration_inputs;
mod trial_scale;
mod vessel_inputs;
mod volatile_limits;
mod volatile_titrate;
mod yan;
mod yeast;

use crate::registry::Calculator;

/// All calculators, in the order of lists.
pub static CALCULATORS: &[&Calculator] = &[
    &sulfite_dose::CALCULATOR,
    &sulfite_by_spoon::CALCULATOR,
    &sulfite_check::CALCULATOR,
    &so2_need::CALCULATOR,
    &so2_molecular::CALCULATOR,
    &so2_titrate::CALCULATOR,
    &so2_bound::CALCULATOR,
    &so2_forecast::CALCULATOR,
    &so2_limits::CALCULATOR,
    &powder_age::CALCULATOR,
    &headspace::CALCULATOR,
    &dissolved_oxygen::CALCULATOR,
    &alcohol::CALCULATOR,
    &potential_alcohol::CALCULATOR,
    &sugar::CALCULATOR,
    &hydrometer::CALCULATOR,
    &refractometer::CALCULATOR,
    &brix_warmth::CALCULATOR,
    &dry_extract::CALCULATOR,
    &ferment_fit::CALCULATOR,
    &enrich::CALCULATOR,
    &concentrate::CALCULATOR,
    &sweeten::CALCULATOR,
    &fortify::CALCULATOR,
    &dilute::CALCULATOR,
    &bottling_plan::CALCULATOR,
    &fill_height::CALCULATOR,
    &expansion::CALCULATOR,
    &carboy::CALCULATOR,
    &rack_plan::CALCULATOR,
    &bottle_pressure::CALCULATOR,
    &bottle_cost::CALCULATOR,
    &ageing_window::CALCULATOR,
    &room_gas::CALCULATOR,
    &purge::CALCULATOR,
    &density_water::CALCULATOR,
    &density_ethanol::CALCULATOR,
    &density_sucrose::CALCULATOR,
    &blend::CALCULATOR,
    &acid_convert::CALCULATOR,
    &acid_titrate::CALCULATOR,
    &volatile_titrate::CALCULATOR,
    &acid_add::CALCULATOR,
    &deacidify::CALCULATOR,
    &malo_effect::CALCULATOR,
    &volatile_limits::CALCULATOR,
    &yan::CALCULATOR,
    &nutrient::CALCULATOR,
    &yeast::CALCULATOR,
    &sorbate::CALCULATOR,
    &cold_hold::CALCULATOR,
    &fining::CALCULATOR,
    &trial_scale::CALCULATOR,
    &sanitizer::CALCULATOR,
];
