//! A bottling: from the gate to what is left in the vessel.

mod finish;
mod gate;
mod mark;
mod meanwhile;
mod start;
mod steps;

use super::{Field, Prepared, Refusal, Takes, ask};
use crate::cellar::bottling::Misfit;
use crate::cellar::thing::{Sort, Thing, field};

pub(super) use finish::{FINISH, left_word};
pub(super) use mark::is_its_own as mark_is_its_own;
pub use mark::{free_mark, mark_of};
pub(super) use meanwhile::{followed, taken_meanwhile};
pub(super) use start::{NO_MARK, NOT_READY, OVERRULED, START};
pub(super) use steps::{CORKS, NEXT, SIZE};

const RUN: Field = ask("run", "Bottles", "Which bottles.", Takes::Thing(Sort::Run));

/// Asks about a closure that does not fit; where it can hurt, so that it must be answered.
fn asking_of(misfit: Option<Misfit>, mut prepared: Prepared) -> Prepared {
    match misfit {
        Some(misfit) if misfit.hurts => prepared.only_if([misfit.sentence]),
        misfit => {
            prepared.asks.extend(misfit.map(|it| it.sentence));
            prepared
        }
    }
}

/// What was finished is past, unless its finish is voided.
fn not_finished(run: &Thing) -> Result<(), Refusal> {
    if run.int(field::FINISHED).is_none() {
        return Ok(());
    }
    Err(Refusal::book(
        Some("run"),
        format!(
            "{} is finished already; void that entry to go on with it, or begin another with `bottle start`.",
            run.name()
        ),
    ))
}
