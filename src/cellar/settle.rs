//! A draft speaks of the things that begin with it by negative keys; here it gets their own.

use super::entry::Draft;
use super::thing::{Key, Value, field};

/// The draft with its own new things' keys in place of the negative ones.
pub fn settle(mut draft: Draft, things: &[Key]) -> Draft {
    let real = |key: &mut Key| {
        if let Some(thing) = usize::try_from(-key.0)
            .ok()
            .and_then(|at| things.get(at.checked_sub(1)?))
        {
            *key = *thing;
        }
    };
    draft.subject.iter_mut().for_each(real);
    for it in &mut draft.changes {
        real(&mut it.thing);
        if let (field::VESSEL | field::HELD_BATCH | field::YEAST_FROM, Some(Value::Int(thing))) =
            (it.field.as_str(), &mut it.value)
        {
            let mut key = Key(*thing);
            real(&mut key);
            *thing = key.0;
        }
    }
    for it in &mut draft.movements {
        real(&mut it.from);
        real(&mut it.to);
        it.batch.iter_mut().for_each(real);
    }
    draft.readings.iter_mut().for_each(|it| real(&mut it.place));
    for it in &mut draft.additions {
        real(&mut it.place);
        it.lot.iter_mut().for_each(real);
    }
    draft.tastings.iter_mut().for_each(|it| real(&mut it.place));
    draft.bottles.iter_mut().for_each(|it| real(&mut it.run));
    draft.supplies.iter_mut().for_each(|it| real(&mut it.lot));
    draft.jobs.iter_mut().for_each(|it| real(&mut it.subject));
    draft
        .silences
        .iter_mut()
        .for_each(|it| real(&mut it.subject));
    draft
}
