//! Bytes in, bytes out: what a cellar looks like as text, JSON, CSV and iCalendar. No
//! file is opened here.

pub mod bottling;
pub mod calendar;
pub mod csv;
pub mod json;
pub mod page;
pub mod sheet;
pub mod svg;
