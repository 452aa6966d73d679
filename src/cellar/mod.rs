//! The domain, pure: no SQL, no clock, no drawing. What the date is comes in as an argument.
//!
//! Reading order: amounts and moments, the things of a cellar, one entry of the book, what a place
//! holds, the fold that turns entries into what is where, the snapshot that everything else reads,
//! the verbs that write entries, the attention that says what needs someone, and what
//! the book can tell a calculator.

pub mod ahead;
pub mod amount;
pub mod attention;
pub mod attributes;
pub mod bottling;
mod chance;
pub mod corkers;
pub mod course;
pub mod courses;
mod dates;
pub mod dosing;
pub mod entry;
pub mod fold;
pub mod gifts;
mod levels;
pub mod lineage;
pub mod looks;
mod lots;
pub mod makeup;
pub mod moment;
pub mod on_hand;
pub mod plan;
pub mod racks;
pub mod run;
pub mod settle;
pub mod shared;
pub mod snapshot;
pub mod state;
pub mod substance;
pub mod sugars;
pub mod supplies;
pub mod tasting;
pub mod telling;
pub mod thing;
pub mod timer;
pub mod trouble;
pub mod verbs;
pub mod what_if;
pub mod which;
pub mod window;
pub mod years;
