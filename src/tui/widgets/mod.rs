//! Parts that screens are drawn with.

pub mod chart;
pub mod digits;
pub mod field;
pub mod footer;
pub mod frame;
pub mod month;
pub mod scroll;
pub mod text;
pub mod vessel;
