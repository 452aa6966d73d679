//! What the book can tell a calculator before anyone types, the same on the dosing screen and on
//! the command line: what is known, where it comes from, how far it may be off.

mod known;
mod look;
mod plain;
mod powder;
mod sulfite;
mod told;
mod wine;

pub use known::{Known, Sign};
pub use look::Look;
pub use plain::{by_syringe, plain, stepped};
pub use powder::lot;
pub use told::{left_unknown, told};
pub use wine::state;
