//! Winemaking calculations: numbers with their working, sources, bands and cautions.

pub mod quantity;
