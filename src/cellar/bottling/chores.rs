//! What is done in the kitchen before the first bottle is filled, one after the other.

use super::Plan;
use crate::cellar::thing::{Thing, field, words};

words! {
    /// What comes before filling, in order; the last is filling itself.
    Chore {
        Gather "gather" "Gather",
        Sanitise "sanitise" "Sanitise",
        Dose "dose" "Dose",
        Fill "fill" "Fill",
    }
}

impl Chore {
    /// Where a run's bottling stands. One begun without these goes straight to filling.
    pub fn of(run: &Thing) -> Chore {
        Chore::from_word(run.text(field::CHORE)).unwrap_or(Chore::Fill)
    }

    /// The one after it.
    pub fn next(self) -> Chore {
        let after = Chore::ALL.iter().copied().find(|it| *it > self);
        after.unwrap_or(Chore::Fill)
    }

    /// What it takes.
    pub fn takes(self, plan: &Plan<'_>) -> String {
        let closure = plan.closure.replace('-', " ");
        match self {
            Chore::Gather => {
                let sizes: Vec<String> =
                    plan.fills.iter().map(|it| format!("{} bottles of {} mL", it.bottles, it.size_ml)).collect();
                format!(
                    "{}, {} {closure}s, filler, hose, a carrier, towels. Sound glass only. {}",
                    sizes.join(" and "),
                    plan.closures,
                    plan.corking
                )
            }
            Chore::Sanitise => {
                let made = plan.sanitizer;
                format!(
                    "{:.1} L of cool water, {:.1} g of potassium metabisulfite, then {:.0} g of citric acid; keep bottles and \
                     gear wet for {:.0} minutes, then drain. Window open, never with chlorine.",
                    made.litres, made.metabisulfite_g, made.citric_g, made.minutes
                )
            }
            Chore::Dose => match plan.sulfite.as_ref().and_then(|it| it.number("metabisulfite_g")) {
                Some(grams) if grams > 0.0 => format!(
                    "{grams:.1} g of potassium metabisulfite by what is known; the dosing screen says how sure that is and \
                     writes it down. Or bottle it as it is."
                ),
                Some(_) => "Enough sulfite by the last reading; nothing to add.".to_owned(),
                None => "Measure pH and free SO2 if you can; the dosing screen works it out. Or bottle it as it is.".to_owned(),
            },
            Chore::Fill => "Siphon from above the sediment, and fill to the height the closure asks.".to_owned(),
        }
    }
}
