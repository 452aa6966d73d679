//! What is done in the kitchen before the first bottle is filled, one after the other.

use super::{Package, Plan};
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
        let package = plan.package;
        match self {
            Chore::Gather => {
                let fills = plan.fills.iter().filter(|it| it.bottles > 0);
                let sizes: Vec<String> =
                    fills.clone().map(|it| format!("{} of {}", package.count(it.bottles), package.size_words(it.size_ml))).collect();
                let closures = match plan.closures {
                    0 => String::new(),
                    closures => format!(" {closures} {}s,", plan.closure.label()),
                };
                let to_wash: i64 = fills.filter_map(|it| Some(it.empties?.to_wash(it.bottles))).sum();
                let to_wash = match to_wash {
                    0 => String::new(),
                    to_wash => format!(" {to_wash} of them are still to be washed."),
                };
                let glass = match package {
                    Package::Bottle | Package::Jug => " Sound glass only.",
                    Package::Bag | Package::Keg => "",
                };
                format!("{},{closures} filler, hose, a carrier, towels.{to_wash}{glass} {}", sizes.join(" and "), plan.closing)
            }
            Chore::Sanitise => {
                let made = plan.sanitizer;
                format!(
                    "{:.1} L of cool water, {:.1} g of potassium metabisulfite, then {:.0} g of citric acid; keep {}s and \
                     gear wet for {:.0} minutes, then drain. Window open, never with chlorine.",
                    made.litres, made.metabisulfite_g, made.citric_g, package.label(), made.minutes
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
            Chore::Fill => match package {
                Package::Bottle | Package::Jug => "Siphon from above the sediment, and fill to the height the closure asks.",
                Package::Bag => "Siphon from above the sediment, without splashing; squeeze the air out, then the tap.",
                Package::Keg => "Drive the air out of the keg first; siphon from above the sediment, gas let off all the while.",
            }
            .to_owned(),
        }
    }
}
