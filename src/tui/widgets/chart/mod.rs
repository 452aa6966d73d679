//! Charts: readings as a line of little bars, and a course in full.

mod line;
mod plot;

pub use line::line;
pub use plot::{draw, fits};
