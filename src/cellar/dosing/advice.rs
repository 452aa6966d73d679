//! What to do about a wine's sulfite, in words: the same on the command line and before a bottling.

use leesline_calc::Answer;
use leesline_calc::quantity::Units;

use super::plain::{all_of_it, plain};
use super::told::left_unknown;
use crate::cellar::attention::{Given, Holding};

/// What to do.
#[derive(Clone, Debug)]
pub struct Advice {
    /// What must be known first.
    pub first: Option<String>,
    /// What to give, or what would be missing.
    pub then: Option<String>,
    /// Whether some is to be given now.
    pub gives: bool,
}

/// For the answer of a calculator of a dose; `None` for any other. What went in since is left aside where free SO2 was tested now.
pub fn advice(answer: &Answer, holding: &Holding, is_tested: bool, units: Units) -> Option<Advice> {
    let plain = plain(answer, units, holding.molecular_aim())?;
    let untested = || (!is_tested).then_some(holding);
    if let Some(too_soon) = untested().and_then(|it| too_soon(it, answer.calc)) {
        let missing = all_of_it(answer, units);
        return Some(Advice {
            first: Some(too_soon),
            then: missing.map(|it| format!("By the book {it} is missing then.")),
            gives: false,
        });
    }
    let waits = answer.results.text("first_form") == Some("wait");
    let unknown = untested().filter(|it| it.tests_so2 && !waits);
    let unknown = unknown.and_then(left_unknown);
    Some(Advice {
        then: Some(match unknown {
            Some(_) => format!("Without a test: {}", lower(&plain)),
            None => plain,
        }),
        first: unknown.map(|it| {
            format!("What is left free of the sulfite in it is not known ({it}): test before giving any.")
        }),
        gives: !waits,
    })
}

impl Advice {
    /// None, because of what speaks against any.
    pub fn against(sentence: &str) -> Advice {
        Advice {
            first: Some(sentence.to_owned()),
            then: None,
            gives: false,
        }
    }

    /// All of it, in order.
    pub fn sentences(&self) -> impl Iterator<Item = &str> {
        [&self.first, &self.then]
            .into_iter()
            .flatten()
            .map(String::as_str)
    }
}

/// A sentence that goes on behind a colon.
fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first = letters.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// That sulfite went in too lately for more: while it is still being bound, or by the rule of thumb for as long as that waits; `None`
/// where free SO2 was tested since, which tells.
pub fn too_soon(holding: &Holding, calculator: &str) -> Option<String> {
    let given = Given::of(holding)?;
    let waits = |days: f64| holding.now.at(given.last_ms).plus_days(days as i64);
    let went_in = given.went_in(holding);
    let (again, said) = if calculator == super::BY_SPOON {
        let again = waits(holding.policy.sulfite_days);
        let said = format!(
            "Nothing now: {went_in}; by the rule of thumb no more before {}. A free SO2 test tells whether any is needed.",
            again.day_words()
        );
        (again, said)
    } else {
        let again = waits(holding.policy.binding_days);
        let said = format!(
            "Nothing now: {went_in}, and is still being bound. Test from {} on, or wait.",
            again.day_words()
        );
        (again, said)
    };
    (holding.now.utc_ms < again.utc_ms).then_some(said)
}
