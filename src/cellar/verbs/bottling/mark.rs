//! The two characters that tell a run by once its bottles stand beside others.

use chrono::Datelike;

use super::start::NO_MARK;
use crate::cellar::entry::Draft;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Sort, Value, field};

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
    let is_taken = |mark: &str| {
        let mut runs = cellar.open(Sort::Run);
        runs.any(|it| it.text(field::RUN_MARK).eq_ignore_ascii_case(mark))
    };
    let mut marks = digits.chain(others).map(|it| format!("{letter}{it}"));
    marks.find(|it| !is_taken(it))
}
