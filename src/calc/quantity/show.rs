//! Figures as people read them: the digits a kitchen can use, in the units they prefer.

use super::{Gallon, IMPERIAL_GALLON_L, Measure, POUND_G, Quantity, US_GALLON_L, Units};
use crate::day::Day;

/// Shows a number of this quantity's unit, with its unit, in the person's units: `22.7 L`, `0.71 g`, `68 °F`.
///
/// Digits are those a kitchen can use, so the text is for reading; keep the number itself for reckoning.
/// Quantities that are words or text show the bare number.
pub fn show(quantity: Quantity, value: f64, units: &Units) -> String {
    match quantity {
        Quantity::Volume => volume(value, units.volume),
        Quantity::SmallVolume => volume(value / 1e3, units.volume),
        Quantity::Teaspoons => format!("{} tsp", spoons(value)),
        Quantity::Mass => mass(value, units.mass),
        Quantity::SmallMass => mass(value / 1e3, units.mass),
        Quantity::Temperature => temperature(value, units.temperature),
        Quantity::Gravity => format!("{value:.3}"),
        Quantity::Ph => format!("{value:.2}"),
        Quantity::Density => format!("{value:.2} kg/m³"),
        Quantity::Fraction => format!("{}", rounded(value, 4)),
        Quantity::Count => format!("{value:.0}"),
        Quantity::Date => Day(value).to_string(),
        Quantity::AlcoholByVolume | Quantity::AlcoholByMass | Quantity::Brix => {
            format!("{value:.1} {}", quantity.unit())
        }
        _ => match quantity.unit() {
            "" => digits(value),
            unit => format!("{} {unit}", digits(value)),
        },
    }
}

/// The nearest amount that a tool of that step gives: a scale, a syringe, whole tablets. One step at least,
/// so that what is given is never rounded to nothing.
pub fn stepped(amount: f64, step: f64) -> f64 {
    if step > 0.0 && amount > 0.0 {
        // A binary fraction times a step is not quite the step's decimal; a thousandth is enough.
        ((amount / step).round().max(1.0) * step * 1e6).round() / 1e6
    } else {
        amount
    }
}

fn volume(litres: f64, measure: Measure) -> String {
    let (gallon_l, name, gallon) = match measure {
        Measure::Metric if litres.abs() * 1e3 < 999.5 => {
            return format!("{} mL", digits(litres * 1e3));
        }
        Measure::Metric => return format!("{} L", digits(litres)),
        Measure::Us => (US_GALLON_L, "US gal", Gallon::Us),
        Measure::Imperial => (IMPERIAL_GALLON_L, "imp gal", Gallon::Imperial),
    };
    let (gallons, ounces) = (litres / gallon_l, litres / gallon.fluid_ounce_l());
    if gallons.abs() >= 0.495 {
        format!("{} {name}", digits(gallons))
    } else if ounces.abs() >= 0.995 {
        format!("{} fl oz", digits(ounces))
    } else {
        // Less than an ounce is measured with a syringe, and syringes are marked in millilitres everywhere.
        format!("{} mL", digits(litres * 1e3))
    }
}

fn mass(grams: f64, measure: Measure) -> String {
    let pounds = grams / POUND_G;
    match measure {
        Measure::Metric if grams.abs() >= 999.5 => format!("{} kg", digits(grams / 1e3)),
        Measure::Us | Measure::Imperial if pounds.abs() >= 0.995 => {
            format!("{} lb", digits(pounds))
        }
        Measure::Us | Measure::Imperial if pounds.abs() * 16.0 >= 0.995 => {
            format!("{} oz", digits(pounds * 16.0))
        }
        _ if grams.abs() >= 0.0995 || grams == 0.0 => format!("{} g", digits(grams)),
        _ => format!("{} mg", digits(grams * 1e3)),
    }
}

fn temperature(celsius: f64, measure: Measure) -> String {
    match measure {
        Measure::Metric => format!("{} °C", rounded(celsius, 1)),
        Measure::Us | Measure::Imperial => format!("{} °F", rounded(celsius * 9.0 / 5.0 + 32.0, 0)),
    }
}

/// Three figures from 10 up, two decimals below, four for a small part of one; the rounded number decides, so that 9.996 shows as 10.0.
fn digits(value: f64) -> String {
    let size = value.abs();
    if size < 0.0995 && size > 0.0 {
        format!("{value:.4}")
    } else if size < 9.995 {
        format!("{value:.2}")
    } else if size < 99.95 {
        format!("{value:.1}")
    } else {
        format!("{value:.0}")
    }
}

/// At most so many decimals, none for show.
fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    // Adding zero turns a rounded −0 into 0.
    (value * scale).round() / scale + 0.0
}

/// Spoons as spoons come: to the eighth below one, to the quarter below four, whole above.
fn spoons(value: f64) -> String {
    let step = if value < 0.9375 {
        8.0
    } else if value < 3.875 {
        4.0
    } else {
        1.0
    };
    let parts = (value * step).round() as i64;
    let (whole, part) = (parts / step as i64, parts % step as i64);
    let fraction = match part as f64 / step {
        0.125 => "1/8",
        0.25 => "1/4",
        0.375 => "3/8",
        0.5 => "1/2",
        0.625 => "5/8",
        0.75 => "3/4",
        0.875 => "7/8",
        _ => "",
    };
    match (whole, fraction) {
        (whole, "") => whole.to_string(),
        (0, fraction) => fraction.to_owned(),
        (whole, fraction) => format!("{whole} {fraction}"),
    }
}
