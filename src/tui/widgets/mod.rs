//! Parts that screens are drawn with.

pub mod chart;
pub mod field;
pub mod footer;
pub mod frame;
pub mod scroll;
pub mod text;
pub mod vessel;
