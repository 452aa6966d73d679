//! What a unit is worth, and which units a person prefers to read.

/// The gallon that `gal`, `qt`, `pt`, `fl oz`, `tbsp` and `tsp` belong to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Gallon {
    /// 231 cubic inches: 3.785411784 L; a teaspoon is 1/768 of it, 4.929 mL (NIST Handbook 44, Appendix C).
    #[default]
    Us,
    /// 4.54609 L (UK Weights and Measures Act 1985, from memory); a teaspoon is 5 mL, as sold (common practice).
    Imperial,
}

/// The system in which figures are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Measure {
    /// Litres, grams, degrees Celsius.
    #[default]
    Metric,
    /// US gallons, ounces and pounds, degrees Fahrenheit.
    Us,
    /// Imperial gallons, ounces and pounds, degrees Fahrenheit.
    Imperial,
}

/// How a person writes and reads quantities. Nothing here changes a result, only how it is read and shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Units {
    /// What `gal` and `tsp` mean when typed.
    pub gallon: Gallon,
    /// How volumes are shown.
    pub volume: Measure,
    /// How masses are shown; doses below an ounce stay in grams, since that is what a scale reads.
    pub mass: Measure,
    /// How temperatures are shown.
    pub temperature: Measure,
}

impl Units {
    /// From the words of the settings: gallon `us` or `imperial`, measures `metric`, `us` or `imperial`; an
    /// empty word is the default. `None` for any other word.
    pub fn from_words(gallon: &str, measures: &str) -> Option<Self> {
        let gallon = match gallon {
            "" | "us" => Gallon::Us,
            "imperial" => Gallon::Imperial,
            _ => return None,
        };
        let measure = match measures {
            "" | "metric" => Measure::Metric,
            "us" => Measure::Us,
            "imperial" => Measure::Imperial,
            _ => return None,
        };
        Some(Self {
            gallon,
            volume: measure,
            mass: measure,
            temperature: measure,
        })
    }
}

/// Litres in a US gallon, exact by definition (231 in³).
pub const US_GALLON_L: f64 = 3.785_411_784;
/// Litres in an imperial gallon, exact by definition.
pub const IMPERIAL_GALLON_L: f64 = 4.546_09;
/// Grams in an avoirdupois pound, exact by definition.
pub const POUND_G: f64 = 453.592_37;

impl Gallon {
    /// Litres in one gallon.
    pub const fn litres(self) -> f64 {
        match self {
            Self::Us => US_GALLON_L,
            Self::Imperial => IMPERIAL_GALLON_L,
        }
    }

    /// Litres in one fluid ounce: 1/128 of the US, 1/160 of the imperial gallon.
    pub const fn fluid_ounce_l(self) -> f64 {
        match self {
            Self::Us => US_GALLON_L / 128.0,
            Self::Imperial => IMPERIAL_GALLON_L / 160.0,
        }
    }

    /// Litres in one level teaspoon.
    pub const fn teaspoon_l(self) -> f64 {
        match self {
            Self::Us => US_GALLON_L / 768.0,
            Self::Imperial => 0.005,
        }
    }

    /// The name used in sentences: `US` or `imperial`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::Imperial => "imperial",
        }
    }
}

/// Litres in one of the unit named (lower case, without blanks), or `None` if it measures no volume.
pub(super) fn litres_in(unit: &str, gallon: Gallon) -> Option<f64> {
    Some(match unit {
        "l" | "litre" | "litres" | "liter" | "liters" => 1.0,
        "hl" => 100.0,
        "dl" => 0.1,
        "cl" => 0.01,
        "ml" | "millilitre" | "millilitres" | "milliliter" | "milliliters" | "cc" => 1e-3,
        "µl" | "μl" | "ul" => 1e-6,
        "gal" | "gallon" | "gallons" => gallon.litres(),
        "usgal" | "usgallon" | "usgallons" => US_GALLON_L,
        "impgal" | "ukgal" | "imperialgal" | "imperialgallon" | "imperialgallons" => {
            IMPERIAL_GALLON_L
        }
        "qt" | "quart" | "quarts" => gallon.litres() / 4.0,
        "pt" | "pint" | "pints" => gallon.litres() / 8.0,
        "floz" => gallon.fluid_ounce_l(),
        "tbsp" | "tablespoon" | "tablespoons" => 3.0 * gallon.teaspoon_l(),
        "tsp" | "teaspoon" | "teaspoons" => gallon.teaspoon_l(),
        _ => return None,
    })
}

/// What to say about a unit whose size depends on the gallon in use.
pub(super) fn gallon_note(unit: &str, gallon: Gallon) -> Option<String> {
    let name = gallon.name();
    Some(match unit {
        "gal" | "gallon" | "gallons" => format!("{name} gallons of {:.3} L", gallon.litres()),
        "qt" | "quart" | "quarts" => format!("{name} quarts of {:.3} L", gallon.litres() / 4.0),
        "pt" | "pint" | "pints" => format!("{name} pints of {:.3} L", gallon.litres() / 8.0),
        "floz" => format!(
            "{name} fluid ounces of {:.1} mL",
            gallon.fluid_ounce_l() * 1e3
        ),
        "tbsp" | "tablespoon" | "tablespoons" => {
            format!("level tablespoons of {:.1} mL", gallon.teaspoon_l() * 3e3)
        }
        "tsp" | "teaspoon" | "teaspoons" => {
            format!("level teaspoons of {:.2} mL", gallon.teaspoon_l() * 1e3)
        }
        _ => return None,
    })
}

/// Grams in one of the unit named, or `None` if it measures no mass.
pub(super) fn grams_in(unit: &str) -> Option<f64> {
    Some(match unit {
        "g" | "gram" | "grams" => 1.0,
        "kg" | "kilo" | "kilos" => 1e3,
        "mg" => 1e-3,
        "µg" | "μg" | "ug" => 1e-6,
        "lb" | "lbs" | "pound" | "pounds" => POUND_G,
        "oz" | "ounce" | "ounces" => POUND_G / 16.0,
        _ => return None,
    })
}

/// Milligrams per litre in one of the unit named. `ppm` is by mass, equal to mg/L within 1 % in a dry wine.
pub(super) fn milligrams_per_litre_in(unit: &str) -> Option<f64> {
    Some(match unit {
        "mg/l" | "ppm" | "g/m3" => 1.0,
        "g/l" | "kg/m3" => 1e3,
        "g/hl" => 10.0,
        _ => return None,
    })
}

/// Kilopascals in one of the unit named.
pub(super) fn kilopascals_in(unit: &str) -> Option<f64> {
    Some(match unit {
        "kpa" => 1.0,
        "pa" => 1e-3,
        "hpa" | "mbar" => 0.1,
        "bar" => 100.0,
        "atm" => 101.325,
        "psi" => 6.894_757_293_168,
        _ => return None,
    })
}

/// Millimetres in one of the unit named.
pub(super) fn millimetres_in(unit: &str) -> Option<f64> {
    Some(match unit {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1e3,
        "in" | "inch" | "inches" | "\"" => 25.4,
        _ => return None,
    })
}

/// Days in one of the unit named. A month is no fixed number of days and is not one of them.
pub(super) fn days_in(unit: &str) -> Option<f64> {
    Some(match unit {
        "d" | "day" | "days" => 1.0,
        "w" | "week" | "weeks" => 7.0,
        "h" | "hour" | "hours" => 1.0 / 24.0,
        "min" | "minute" | "minutes" => 1.0 / 1440.0,
        _ => return None,
    })
}
