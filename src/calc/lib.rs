#![doc = include_str!("README.md")]

pub mod registry;

mod calculators;
mod input;
mod inputs;

pub mod acid;
pub mod ageing;
pub mod answer;
mod error;

pub mod blend;
pub mod bottling;
pub mod carboy;
pub mod day;
pub mod decline;
pub mod density;
pub mod expansion;
pub mod extract;
pub mod ferment;
pub mod ferment_next;
pub mod ferment_readings;
pub mod ferment_state;
pub mod fining;
pub mod gas;
pub mod gravity_curve;
pub mod hazards;
pub mod hydrometer;
pub mod least_squares;
pub mod limits;
pub mod malolactic;
pub mod must;
pub mod nitrogen;
pub mod normal;
pub mod oxygen;
pub mod quantity;
pub mod rack;
pub mod refraction;
pub mod sorbate;
pub mod spread;
pub mod strengthen;
pub mod sulfite;
pub mod warmth;

pub use answer::Answer;
pub use error::CalcError;
