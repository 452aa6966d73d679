//! The two characters that tell a run by once its bottles stand beside others.

use chrono::Datelike;

use super::start::NO_MARK;
use crate::cellar::entry::Draft;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Sort, Thing, Value, field};
use crate::cellar::verbs::Refusal;

/// The mark that an entry gives the run which it begins, as it is typed.
pub fn mark_of(start: &Draft) -> String {
    match start.sets(field::RUN_MARK) {
        Some(Value::Text(mark)) => mark.clone(),
        _ => NO_MARK.to_owned(),
    }
}

/// A mark that no run has yet, from a name and the year: `P6`; nothing where the name has no letter.
pub fn free_mark(name: &str, cellar: &Snapshot) -> Option<String> {
    let letter = name.chars().find(|it| it.is_alphanumeric())?;
    let letter: String = letter.to_uppercase().take(1).collect();
    let year = cellar.now.date().year().rem_euclid(10);
    let digits = std::iter::once(year).chain(0..10).map(|it| it.to_string());
    let others = ('A'..='Z').map(String::from);
    let is_taken = |mark: &str| cellar.open(Sort::Run).any(|it| is_marked(it, mark));
    let mut marks = digits.chain(others).map(|it| format!("{letter}{it}"));
    marks.find(|it| !is_taken(it))
}

fn is_marked(run: &Thing, mark: &str) -> bool {
    !mark.is_empty() && run.text(field::RUN_MARK).eq_ignore_ascii_case(mark)
}

/// Refuses a mark by which bottles of another run are told already.
pub(in crate::cellar::verbs) fn is_its_own(
    draft: &Draft,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    for change in draft
        .changes
        .iter()
        .filter(|it| it.field == field::RUN_MARK)
    {
        let Some(Value::Text(mark)) = &change.value else {
            continue;
        };
        let has_bottles = |it: &&Thing| cellar.wine(it.key).map_or(0, Wine::bottle_count) > 0;
        let mut others = cellar.open(Sort::Run).filter(|it| it.key != change.thing);
        let Some(other) = others.find(|it| is_marked(it, mark) && has_bottles(it)) else {
            continue;
        };
        let free = free_mark(other.name(), cellar);
        let free = free.map_or(String::new(), |it| format!(", such as {it}"));
        return Err(Refusal::book(
            Some("mark"),
            format!(
                "{mark} marks the bottles of {} already, which nobody could tell apart; give another{free}.",
                other.name()
            ),
        ));
    }
    Ok(())
}
