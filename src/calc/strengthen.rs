//! Sugar and spirit added: by mass, since volumes of sugar, spirit and wine do not add up.

use crate::density::{
    Solutes, WATER_20, WATER_20_SUCROSE, bisect, ethanol_density_20, mixture_density, strength_of,
    sucrose_density_20, wine_of,
};

/// What to add, and what there is then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Added {
    /// Grams of sucrose, or litres of spirit.
    pub amount: f64,
    /// Volume at 20 °C afterwards, in litres.
    pub final_volume_l: f64,
}

/// Sucrose (g) that lifts a must from one °Brix to a higher one, both below 66.
///
/// m = V0·ρ0·(w1 − w0)/(1 − w1), V1 = (V0·ρ0 + m)/ρs(w1). Source: balance of masses with ICUMSA densities.
pub fn enrich(volume_l: f64, from_brix: f64, to_brix: f64) -> Added {
    let (w0, w1) = (from_brix / 100.0, to_brix / 100.0);
    let must_g = volume_l * sucrose_density_20(w0);
    let amount = must_g * (w1 - w0) / (1.0 - w1);
    Added {
        amount,
        final_volume_l: (must_g + amount) / sucrose_density_20(w1),
    }
}

/// A gram of dissolved sugar takes this much room, mL: 27 CFR 24.181 has 13.5 lb of sucrose to the gallon.
pub const SUGAR_ML_PER_G: f64 = 0.62;

/// The gravity of must or wine in which so much sugar (g) with so much water (g) was dissolved, and of which there are so many litres
/// now: the masses of all add up.
///
/// SG = (V0·SG0·ρw + m)/(V·ρw), V0 = V − 0.62 mL/g of the sugar − the water.
pub fn sugared(sg: f64, sugar_g: f64, water_g: f64, litres: f64) -> f64 {
    let before_l = litres - sugar_g * SUGAR_ML_PER_G / 1e3 - water_g / WATER_20;
    (before_l * sg * WATER_20 + sugar_g + water_g) / (litres * WATER_20)
}

/// Volume at 20 °C (L) once so many grams of sucrose are dissolved in a wine.
///
/// V1 = (V0·ρ0 + m)/ρ(s1, p1), with s1 = (s0·V0·ρ0 + m)/m1 and p1 = p0·V0·ρ0/m1.
pub fn volume_with_sugar(volume_l: f64, wine: Solutes, sugar_g: f64) -> f64 {
    let wine_g = volume_l * mixture_density(wine, 20.0);
    let mass = wine_g + sugar_g;
    let sweet = Solutes {
        sugar: (wine.sugar * wine_g + sugar_g) / mass,
        ethanol: wine.ethanol * wine_g / mass,
    };
    mass / mixture_density(sweet, 20.0)
}

/// Sucrose (g) that brings a wine from one sugar content (g/L) to a higher one (at most 400) in the volume there is then.
///
/// The root of c0·V0 + m = c1·V1(m), V1 by [`volume_with_sugar`].
pub fn sweeten(volume_l: f64, alcohol_pct_vol: f64, from_g_l: f64, to_g_l: f64) -> Added {
    let wine = wine_of(alcohol_pct_vol, from_g_l);
    let over = |sugar_g: f64| {
        from_g_l * volume_l + sugar_g - to_g_l * volume_with_sugar(volume_l, wine, sugar_g)
    };
    let amount = bisect(0.0, 1000.0 * volume_l, over);
    Added {
        amount,
        final_volume_l: volume_with_sugar(volume_l, wine, amount),
    }
}

/// Spirit (L) that brings a wine to a strength strictly between its own and the spirit's, with what the mixture shrinks.
///
/// With z grams of spirit in a gram of the whole: p = (1 − z)·p1 + z·p2, s = (1 − z)·s1; z is the root of
/// q(z) = p·ρ(s, p)/ρ(1, 20) = target. V2 = V1·ρ1·z/((1 − z)·ρ2). Source: balance of masses with OIML R 22.
pub fn fortify(volume_l: f64, wine: Solutes, spirit_pct_mass: f64, target_pct_vol: f64) -> Added {
    let p2 = spirit_pct_mass / 100.0;
    let mixed = |z: f64| Solutes {
        sugar: (1.0 - z) * wine.sugar,
        ethanol: (1.0 - z) * wine.ethanol + z * p2,
    };
    let z = bisect(0.0, 1.0, |z| strength_of(mixed(z)) - target_pct_vol);
    let wine_g = volume_l * mixture_density(wine, 20.0);
    let spirit_g = wine_g * z / (1.0 - z);
    Added {
        amount: spirit_g / ethanol_density_20(p2),
        final_volume_l: (wine_g + spirit_g) / mixture_density(mixed(z), 20.0),
    }
}

/// Concentrate (L) that lifts a must from one °Brix to a higher one, below the concentrate's own.
///
/// m = V0·ρ0·(w1 − w0)/(wc − w1), V1 = (V0·ρ0 + m)/ρs(w1). Source: balance of masses with ICUMSA densities.
pub fn concentrate(volume_l: f64, from_brix: f64, to_brix: f64, concentrate_brix: f64) -> Added {
    let must_g = volume_l * sucrose_density_20(from_brix / 100.0);
    let added_g = must_g * (to_brix - from_brix) / (concentrate_brix - to_brix);
    Added {
        amount: added_g / sucrose_density_20(concentrate_brix / 100.0),
        final_volume_l: (must_g + added_g) / sucrose_density_20(to_brix / 100.0),
    }
}

/// Water (L) that thins a must from one °Brix to a lower one above zero.
///
/// m = V0·ρ0·(w0/w1 − 1), V1 = (V0·ρ0 + m)/ρs(w1). Source: balance of masses with ICUMSA densities.
pub fn thin_must(volume_l: f64, from_brix: f64, to_brix: f64) -> Added {
    let must_g = volume_l * sucrose_density_20(from_brix / 100.0);
    let water_g = must_g * (from_brix / to_brix - 1.0);
    Added {
        amount: water_g / WATER_20_SUCROSE,
        final_volume_l: (must_g + water_g) / sucrose_density_20(to_brix / 100.0),
    }
}

/// Water (L) that thins a wine to a lower strength above zero, with what the mixture shrinks.
///
/// V1 = V0·q0/q1, since the ethanol stays; the root on the water m of (V0·ρ0 + m)/ρ(s, p) = V1. Source: balance of masses
/// with OIML R 22.
pub fn thin_wine(volume_l: f64, wine: Solutes, to_pct_vol: f64) -> Added {
    let wine_g = volume_l * mixture_density(wine, 20.0);
    let end = volume_l * strength_of(wine) / to_pct_vol;
    let thinned = |water_g: f64| {
        let part = wine_g / (wine_g + water_g);
        let wine = Solutes {
            sugar: wine.sugar * part,
            ethanol: wine.ethanol * part,
        };
        (wine_g + water_g) / mixture_density(wine, 20.0)
    };
    let water_g = bisect(0.0, end * 1100.0, |water_g| thinned(water_g) - end);
    Added {
        amount: water_g / WATER_20,
        final_volume_l: end,
    }
}

/// Volume (L) and strength (% vol) at 20 °C of two mixtures of ethanol and water poured together.
///
/// m = Σ Vi·ρi; p = Σ pi·Vi·ρi/m; V = m/ρ(p). Source: balance of masses with OIML R 22.
pub fn pour_together(one: (f64, f64), other: (f64, f64)) -> (f64, f64) {
    let (mut mass, mut ethanol) = (0.0, 0.0);
    for (volume_l, pct_vol) in [one, other] {
        let p = crate::density::alcohol_by_mass(pct_vol) / 100.0;
        let grams = volume_l * ethanol_density_20(p);
        mass += grams;
        ethanol += grams * p;
    }
    let volume = mass / ethanol_density_20(ethanol / mass);
    (
        volume,
        crate::density::alcohol_by_volume(100.0 * ethanol / mass),
    )
}
