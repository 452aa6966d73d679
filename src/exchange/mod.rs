//! Bytes in, bytes out: what a cellar looks like as text, JSON and CSV. No file is opened here.

pub mod json;
pub mod page;
pub mod say;
pub mod sheet;
