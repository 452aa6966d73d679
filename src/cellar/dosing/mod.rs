//! What the book can tell a calculator before anyone types, the same on the dosing screen and on
//! the command line: what is known, where it comes from, how far it may be off.

mod advice;
mod known;
mod look;
mod matters;
mod plain;
mod powder;
mod reach;
mod sulfite;
mod told;
mod tool;
mod wine;

pub use advice::{Advice, advice, too_soon};
pub use known::{Known, Sign};
pub use look::Look;
pub use matters::by_weight;
pub use plain::{all_of_it, can_wait, plain};
pub use powder::{is_powder, left_pct, lot, strength_pct, tablets, trusted_until};
pub use reach::Reach;
pub use told::{by_thumb, calculator_for, dose, drawn_from, left_unknown, taken, told};
pub use tool::{Powder, STOCK_MADE, bare, given, half, powder_words, spoon_share};
pub use wine::{against_sulfite, state};

/// The calculator of a dose by what is measured.
pub const DOSE: &str = "sulfite-dose";
/// The calculator of the rule of thumb.
pub const BY_SPOON: &str = "sulfite-by-spoon";
