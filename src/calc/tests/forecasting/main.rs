//! What the two forecasts say in words: when they know little, when they begin anew, and when they give no day.

mod ferment;
mod sulfite;

use leesline_calc::Answer;
use leesline_calc::quantity::Units;
use leesline_calc::registry;

fn ask(calc: &str, given: &[(&str, &str)]) -> Answer {
    registry::find(calc)
        .expect(calc)
        .ask(given, &Units::default())
        .unwrap_or_else(|refusal| panic!("{given:?}: {refusal}"))
}

/// Whether an answer warns in these words.
fn check_says(answer: &Answer, words: &str, expected: bool) {
    let says = answer.cautions.iter().any(|it| it.sentence.contains(words));
    assert_eq!(says, expected, "{words}: {:?}", answer.cautions);
}

/// The caution that begins so.
fn caution<'a>(answer: &'a Answer, begins: &str) -> &'a str {
    let mut all = answer.cautions.iter().map(|it| &*it.sentence);
    all.find(|it| it.starts_with(begins))
        .unwrap_or_else(|| panic!("{:#?}", answer.cautions))
}

/// What is between two parts of a sentence.
fn between<'a>(sentence: &'a str, before: &str, after: &str) -> &'a str {
    let (_, rest) = sentence.split_once(before).expect(sentence);
    rest.split_once(after).expect(sentence).0
}
