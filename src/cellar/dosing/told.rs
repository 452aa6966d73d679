//! What the pane would tell a calculator before anyone types, for the command line to tell it too.

use leesline_calc::Answer;
use leesline_calc::answer::{Assumption, FieldValue};
use leesline_calc::registry::{Calculator, Input, find};

use super::{Look, Reach, Sign, lot, sulfite, tablets};
use crate::cellar::attention::{Holding, Policy};
use crate::cellar::entry::Property;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling::capital;
use crate::cellar::thing::{Key, Thing};

/// Inputs by key with what the book knows of them, as a person would type it. Inputs that are left
/// to the calculator's own defaults are not among them.
pub fn told(
    calculator: &Calculator,
    vessel: Key,
    cellar: &Snapshot,
) -> Vec<(&'static str, String)> {
    let policy = Policy::of(cellar);
    let look = Look::at(cellar, &policy, Some(vessel), lot(cellar));
    let known = calculator
        .inputs
        .iter()
        .map(|it| (it.key, look.known(calculator, it)));
    known
        .filter(|(_, it)| it.given)
        .map(|(key, it)| (key, it.text))
        .collect()
}

/// Of those inputs the ones that the book does not have as a figure, as an answer lists what it assumed: a forecast, a test that
/// found no more than a bound, a powder's strength by its age.
pub fn taken(calculator: &Calculator, vessel: Key, cellar: &Snapshot) -> Vec<Assumption> {
    let policy = Policy::of(cellar);
    let look = Look::at(cellar, &policy, Some(vessel), lot(cellar));
    let of_input = |input: &Input| {
        let known = look.known(calculator, input);
        let (low, high) = known.band.filter(|_| known.given)?;
        let (what, unit) = (capital(input.help), input.quantity.unit());
        Some(Assumption {
            // `Strength left in the powder, beside a fresh lot: 87 % is taken (opened 8 months ago).`
            sentence: format!(
                "{what}: {} {unit} is taken ({}). {}",
                known.text, known.words, known.why
            )
            .trim_end()
            .to_owned(),
            key: input.key,
            value: FieldValue::Number(known.text.parse().ok()?),
            low: Some(low),
            high: Some(high),
        })
    };
    calculator.inputs.iter().filter_map(of_input).collect()
}

/// The lot that an answer's sulfite would be drawn from; `None` where nothing is to be given or no
/// lot is written down.
pub fn drawn_from<'a>(answer: &Answer, cellar: &'a Snapshot) -> Option<&'a Thing> {
    match answer.results.text("first_form") {
        Some("none" | "wait") => None,
        Some("tablets") => tablets(cellar),
        _ => lot(cellar),
    }
}

/// Why nobody knows how much sulfite is left free in a wine; `None` where a test says, or none is written down.
pub fn left_unknown(holding: &Holding) -> Option<String> {
    let free = sulfite::free(holding)?;
    (free.sign == Sign::Unknown).then_some(free.words)
}

/// The calculator of the dose for a vessel's wine, which every face of the program begins with: the rule of thumb where free SO2 is
/// not tested, and where no pH was ever measured.
pub fn calculator_for(vessel: Key, cellar: &Snapshot) -> &'static str {
    let wine = cellar.wine(vessel);
    let has_ph = wine.is_some_and(|it| it.number(Property::Ph).is_some());
    if has_ph && !by_thumb(vessel, cellar) {
        super::DOSE
    } else {
        super::BY_SPOON
    }
}

/// The dose by what the book alone knows; among what it assumed is all that was not read but reckoned. `None` where it cannot be
/// worked out.
pub fn dose(vessel: Key, cellar: &Snapshot) -> Option<Answer> {
    let calculator = find(calculator_for(vessel, cellar))?;
    let told = told(calculator, vessel, cellar);
    let told: Vec<(&str, &str)> = told.iter().map(|(key, it)| (*key, it.as_str())).collect();
    let units = cellar.settings().units;
    let mut answer = calculator.ask(&told, &units).ok()?;
    let taken = taken(calculator, vessel, cellar);
    Reach::of_taken(calculator, &told, &taken, units).widen(&mut answer);
    answer.assumptions.splice(0..0, taken);
    Some(answer)
}

/// Whether a dose begins with the rule of thumb: where free SO2 is not tested, unless the book has
/// both a pH and a test of this wine all the same.
pub fn by_thumb(vessel: Key, cellar: &Snapshot) -> bool {
    let has = |property| {
        let wine = cellar.wine(vessel);
        wine.is_some_and(|it| it.number(property).is_some())
    };
    let has_both = has(Property::Ph) && has(Property::FreeSo2);
    !cellar.settings().tests_so2 && !has_both
}
