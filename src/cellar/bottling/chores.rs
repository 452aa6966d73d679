//! What is done in the kitchen before the first bottle is filled, one after the other.

use super::{Package, Plan};
use crate::cellar::dosing::STOCK_MADE;
use crate::cellar::thing::{Thing, field, words};

words! {
    /// What comes before filling, in order; the last is filling itself.
    Chore {
        Gather "gather" "Gather",
        Wash "wash" "Wash",
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
                let sizes: Vec<String> = fills
                    .clone()
                    .map(|it| {
                        format!(
                            "{} of {}",
                            package.count(it.bottles),
                            package.size_words(it.package_ml)
                        )
                    })
                    .collect();
                let closures = match plan.closures {
                    0 => String::new(),
                    closures => format!(" {closures} {}s,", plan.closure.label()),
                };
                let glass = match package {
                    Package::Bottle | Package::Jug => " Sound glass only.",
                    Package::Bag | Package::Keg => "",
                };
                format!(
                    "{},{closures} filler, hose, a carrier, towels.{glass} {}",
                    sizes.join(" and "),
                    plan.closing
                )
            }
            Chore::Wash => {
                let fills = plan.fills.iter().filter(|it| it.bottles > 0);
                let to_wash: i64 = fills.filter_map(|it| plan.to_wash(it)).sum();
                let to_wash = match to_wash {
                    0 => String::new(),
                    to_wash => format!("{to_wash} {}s are still to be washed. ", package.label()),
                };
                let made = plan.sanitizer;
                let stock = if plan.sanitizer_powder.is_stock {
                    STOCK_MADE
                } else {
                    ""
                };
                format!(
                    "{to_wash}Brush, rinse and look through the glass: sanitizer cleans nothing. Then mix {:.1} L of cool water, {}, then {:.0} g of citric acid. \
                     Window open, never with chlorine. Tick this off once all is wet with it: the {:.0} minutes begin then.{stock}",
                    made.litres, plan.sanitizer_powder.words, made.citric_g, made.minutes
                )
            }
            Chore::Sanitise => format!(
                "Keep {}s and gear wet for {:.0} minutes, then drain.",
                package.label(),
                plan.sanitizer.minutes
            ),
            Chore::Dose => plan.sulfite.on_the_day(),
            Chore::Fill => match package {
                Package::Bottle | Package::Jug => {
                    format!("Siphon from above the sediment. {}", plan.height.sentence)
                }
                Package::Bag => format!(
                    "Siphon from above the sediment, without splashing. {} Squeeze the air out, then the tap.",
                    plan.height.sentence
                ),
                Package::Keg => format!(
                    "Drive the air out of the keg first; siphon from above the sediment, gas let off all the while. {}",
                    plan.height.sentence
                ),
            },
        }
    }
}
