//! What the book knows of a calculator's input: of the wine, of the powder, of the tools.

use leesline_calc::quantity::{Quantity, show};
use leesline_calc::registry::{Calculator, Input, Need};

use super::known::{Known, Sign};
use super::{powder, wine};
use crate::cellar::attention::{Holding, Policy};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Thing};

/// What is looked at: a wine, the powder it would be given, the tools.
#[derive(Debug)]
pub struct Look<'a> {
    /// The wine with its vessel, if one is looked at.
    pub holding: Option<Holding<'a>>,
    /// The lot of powder.
    pub lot: Option<&'a Thing>,
    /// The lot of tablets.
    pub tablets: Option<&'a Thing>,
    cellar: &'a Snapshot,
}

impl<'a> Look<'a> {
    /// That vessel's wine and that lot of powder; either may be missing.
    pub fn at(
        cellar: &'a Snapshot,
        policy: &'a Policy,
        vessel: Option<Key>,
        lot: Option<&'a Thing>,
    ) -> Look<'a> {
        Look {
            holding: vessel.and_then(|it| Holding::of(cellar, it, policy)),
            lot: lot.filter(|it| !powder::is_tablets(it)),
            tablets: lot
                .filter(|it| powder::is_tablets(it))
                .or_else(|| powder::tablets(cellar)),
            cellar,
        }
    }

    /// What is known of an input, else what the calculator takes without it.
    pub fn known(&self, calculator: &Calculator, input: &Input) -> Known {
        let settings = self.cellar.settings();
        let tool = |step: Option<f64>, words: &str| {
            step.map(|it| Known::from_book(it.to_string(), words.to_owned()))
        };
        let about_wine = self
            .holding
            .as_ref()
            .and_then(|it| wine::known(it, input.key));
        let found = match input.key {
            "salt" => self.lot.and_then(powder::salt),
            "potency_pct" => self.lot.map(|it| powder::strength(it, self.cellar)),
            "tablet_so2_mg" => self.tablets.and_then(powder::so2_of_a_tablet),
            "scale_step_g" => tool(settings.scale_step_g, "your scale"),
            "syringe_step_ml" => tool(settings.syringe_step_ml, "your syringe"),
            "calibration_c" => tool(Some(settings.hydrometer_c), "your hydrometer"),
            // The sulfite calculators ask it for the OIV's table alone, which begins at 20 °C.
            "temperature_c" if calculator.group != "Sulfite" => settings
                .temperature_c
                .map(|it| Known::from_book(it.to_string(), "usual in the cellar").rough()),
            // A bottle's volume, where every other calculator asks the wine's.
            "volume_l" if calculator.name == "fill-height" => None,
            "volume_l" => self
                .holding
                .as_ref()
                .map(|it| volume(it, settings.units, input.quantity)),
            _ => about_wine,
        };
        // Calculators differ in the words they choose among; one that is none of theirs says nothing.
        let found = found.filter(|it| match input.quantity {
            Quantity::Choice(words) => words.contains(&it.text.as_str()),
            _ => true,
        });
        found.unwrap_or_else(|| Look::default_of(input))
    }

    /// Of the calculator's own: its default, or nothing.
    pub(super) fn default_of(input: &Input) -> Known {
        match (input.default, input.need) {
            (Some(none), _) if input.key == "free_so2_mg_l" => Known {
                sign: Sign::Unknown,
                ..Known::assumed(none, "never tested: taken as none")
            },
            (Some(text), _) => Known::assumed(text, usual(input.key)),
            (None, Need::Always) => Known::nothing(Sign::Unknown, "not known"),
            (None, _) => Known::nothing(Sign::Blank, ""),
        }
    }
}

/// What is said of a default.
fn usual(key: &str) -> &'static str {
    match key {
        "bound_fraction" => "usual; 0.25–0.5",
        "teaspoon_g" => "usual; 5–8 g, weigh yours",
        "scale_step_g" => "a kitchen scale's",
        "potency_pct" => "taken as fresh",
        "wine" => "kind not written down",
        _ => "usual",
    }
}

fn volume(holding: &Holding, units: leesline_calc::quantity::Units, quantity: Quantity) -> Known {
    if holding.wine.unmeasured.is_some() {
        return Known::nothing(Sign::Unknown, "not measured yet");
    }
    let text = show(quantity, holding.litres(), &units);
    if holding.wine.about {
        Known::from_book(text, "about, by the book").rough()
    } else {
        Known::from_book(text, "by the book")
    }
}
