//! Jots not yet made into entries, as one line.

use super::fit::Look;
use super::words::count;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::thing::CELLAR;

/// The oldest is named; the others wait behind it.
pub(super) fn rule<'a>(look: &'a Look) -> Vec<Found<'a>> {
    let cellar = look.cellar;
    let Some((entry, when, words)) = cellar.jots.first() else {
        return Vec::new();
    };
    let number = cellar.jots.len() as i64;
    let ask = if number == 1 {
        "1 jot to make into an entry".to_owned()
    } else {
        format!("{} to make into entries", count(number, "jot"))
    };
    let why = move || {
        let jots = cellar.jots.iter();
        jots.map(|(_, when, words)| format!("{}: {words}", when.day_words()))
            .collect()
    };
    vec![
        Reason {
            subject: CELLAR,
            kind: ReasonKind::Jot,
            due: *when,
            rank: Rank::Later,
            weight: 0.0,
            sentence: ask,
            suggestion: Suggestion::of("note")
                .with("text", words.clone())
                .with("jot", entry.0.to_string())
                .with("at", when.local().format("%Y-%m-%d %H:%M").to_string())
                .asking("about"),
        }
        .because(why),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, days_ago};
    use super::*;
    use crate::cellar::thing::Key;

    fn check(jots: &[i64], expected: &str) {
        let mut cellar = Cellar::empty();
        for days in jots {
            let when = cellar.0.now.at(days_ago(*days));
            cellar
                .0
                .jots
                .push((Key(9), when, "plum smells of egg".to_owned()));
        }
        assert_eq!(cellar.says_why(ReasonKind::Jot), expected);
    }

    #[test]
    fn they_are_one_line() {
        check(&[], "");
        check(&[6], "  1 jot to make into an entry");
        check(&[6, 1], "  2 jots to make into entries");
    }
}
