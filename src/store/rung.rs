//! Which timers rang already: whichever window comes first rings for all.

use rusqlite::named_params;

use crate::cellar::timer::Timer;

use super::{Store, StoreError};

impl Store {
    /// Of timers that are over those that never rang until now; from now on they have.
    pub fn ring(&mut self, over: &[Timer]) -> Result<Vec<Timer>, StoreError> {
        let transaction = self.begin()?;
        let mut rings = Vec::new();
        for timer in over {
            let written = transaction
                .prepare_cached(
                    "INSERT OR IGNORE INTO rung (until_ms, words) VALUES (:until_ms, :words)",
                )?
                .execute(named_params! {":until_ms": timer.until_ms, ":words": timer.words})?;
            if written > 0 {
                rings.push(timer.clone());
            }
        }
        transaction.commit()?;
        Ok(rings)
    }
}
