//! Winemaking calculations: numbers with their working, sources, bands and cautions.
//!
//! A [`registry::Calculator`] takes text as people type it and gives an [`Answer`]: results, the steps with the
//! numbers in them, what was assumed and how far that may be off, sources, and what to mind.
//!
//! ```
//! use leesline_calc::{quantity::Units, registry};
//!
//! let dose = registry::find("sulfite-dose").ok_or("no such calculator")?;
//! let answer = dose.ask(
//!     &[("volume", "5 gal"), ("free-so2", "10"), ("ph", "3.4"), ("target-molecular", "0.8")],
//!     &Units::default(),
//! )?;
//! // (31.9 − 10) / (1 − 0.33) × 18.93 / (1000 × 0.5763)
//! let grams = answer.number("metabisulfite_g").ok_or("no dose")?;
//! assert!((grams - 1.07).abs() < 0.01);
//! assert!(answer.cautions.iter().any(|caution| caution.sentence.contains("asthma")));
//!
//! let refused = dose.ask(&[("volume", "5 gal"), ("ph", "9")], &Units::default()).unwrap_err();
//! assert_eq!(refused.input(), Some("ph"));
//! assert_eq!(
//!     refused.to_string(),
//!     "ph: `9` is outside 2 to 5, and no wine or must lies outside: check the figure and give it again"
//! );
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! The numeric cores behind the calculators ([`sulfite`], [`oxygen`], [`density`], [`must`],
//! [`hydrometer`], [`ferment`]) are plain functions on plain
//! numbers, for models that need them thousands of times. The crate has no I/O, no clock and no settings:
//! dates come in as a [`day::Day`], preferences as [`quantity::Units`].

pub mod registry;

mod calculators;
mod input;
mod inputs;

pub mod acid;
pub mod answer;
mod error;

pub mod blend;
pub mod bottling;
pub mod carboy;
pub mod day;
pub mod density;
pub mod expansion;
pub mod extract;
pub mod ferment;
pub mod fining;
pub mod gas;
pub mod hazards;
pub mod hydrometer;
pub mod must;
pub mod nitrogen;
pub mod oxygen;
pub mod quantity;
pub mod rack;
pub mod refraction;
pub mod sorbate;
pub mod spread;
pub mod strengthen;
pub mod sulfite;

pub use answer::Answer;
pub use error::CalcError;
