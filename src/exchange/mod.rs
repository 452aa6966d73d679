//! Bytes in, bytes out: what a cellar looks like as text, JSON and CSV. No file is opened here.

pub mod csv;
pub mod json;
pub mod page;
pub mod sheet;
