//! What warmth does to a wine in a vessel: how it swells, what the airlock lets through, what a cork must hold.

use crate::density::{Solutes, mixture_density};
use crate::hydrometer::GLASS;

/// Kilopascals of the air around us: one standard atmosphere.
pub const ATMOSPHERE_KPA: f64 = 101.325;
const ZERO_C_IN_KELVIN: f64 = 273.15;

/// By how much a wine grows from one temperature to another, 0 to 40 °C, as part of its volume at the first.
///
/// V2/V1 − 1 = ρ(t1)/ρ(t2) − 1, with [`mixture_density`].
pub fn growth(wine: Solutes, from_c: f64, to_c: f64) -> f64 {
    mixture_density(wine, from_c) / mixture_density(wine, to_c) - 1.0
}

/// What moves when a vessel of glass warms or cools, in millilitres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// How much the wine grows; below zero it shrinks.
    pub wine_ml: f64,
    /// How much the glass and what it holds grows.
    pub glass_ml: f64,
    /// How much the air above the wine would grow by itself.
    pub air_ml: f64,
}

impl Moved {
    /// Millilitres that leave through an airlock; below zero, that are drawn in. Wine + air − glass.
    pub fn out_ml(self) -> f64 {
        self.wine_ml + self.air_ml - self.glass_ml
    }
}

/// A vessel of glass under an airlock, so at constant pressure, holding wine and air (mL at the first temperature).
///
/// ΔV = V·growth, air G·Δt/T1, glass (V + G)·25·10⁻⁶·Δt. Sources: [`growth`]; the gas law; ISO 1768.
pub fn under_airlock(
    wine_ml: f64,
    headspace_ml: f64,
    growth: f64,
    from_c: f64,
    to_c: f64,
) -> Moved {
    let change = to_c - from_c;
    Moved {
        wine_ml: wine_ml * growth,
        glass_ml: (wine_ml + headspace_ml) * GLASS * change,
        air_ml: headspace_ml * change / (from_c + ZERO_C_IN_KELVIN),
    }
}

/// Pressure over the atmosphere (kPa) in the headspace of a closed vessel of glass; `None` where the wine leaves no room.
///
/// G2 = (V + G1)·(1 + γ·Δt) − V·(1 + growth); p2 = p1·(G1/G2)·(T2/T1); closed at one atmosphere, dry gas that neither
/// dissolves nor leaves. Sources: [`growth`]; the gas law; ISO 1768.
pub fn closed_kpa(
    wine_ml: f64,
    headspace_ml: f64,
    growth: f64,
    from_c: f64,
    to_c: f64,
) -> Option<f64> {
    let inside = (wine_ml + headspace_ml) * (1.0 + GLASS * (to_c - from_c));
    let left = inside - wine_ml * (1.0 + growth);
    let warmer = (to_c + ZERO_C_IN_KELVIN) / (from_c + ZERO_C_IN_KELVIN);
    (left > 0.0).then(|| ATMOSPHERE_KPA * (headspace_ml / left * warmer - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::density::wine_of;

    #[test]
    fn a_bottle_without_room_has_no_pressure() {
        let growth = growth(wine_of(13.0, 25.0), 20.0, 40.0);
        assert_eq!(closed_kpa(750.0, 5.0, growth, 20.0, 40.0), None);
        assert!(closed_kpa(750.0, 8.0, growth, 20.0, 40.0).is_some());
    }
}
