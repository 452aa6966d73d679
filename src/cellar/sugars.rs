//! Sugar, honey and syrup: how much of each is sugar, and what it does to the gravity of wine.

use leesline_calc::density::{WATER_20, sucrose_density_20};
use leesline_calc::strengthen::{SUGAR_ML_PER_G, sugared};

use super::amount::Mass;
use super::entry::Dose;

/// Sugar of dextrose as it is sold: a molecule of glucose, 180.16, of one with its water, 198.17.
const DEXTROSE: f64 = 180.16 / 198.17;
/// Sugar of honey, about: up to 20 % of it is water (Codex Alimentarius CXS 12-1981, Directive 2001/110/EC), mostly 17–18 %, and what
/// is not water is nearly all sugar (from memory).
const HONEY: f64 = 0.82;

/// The part of the weight that is sugar, by what a name has in it; the first that it has counts. `None` where it differs from one to
/// the next, and only the °Brix on its label would tell.
const SUGARS: &[(&str, Option<f64>)] = &[
    ("syrup", None),
    ("grape-concentrate", None),
    ("juice-concentrate", None),
    ("invert-sugar", None),
    ("sugar-water", None),
    ("honey", Some(HONEY)),
    ("dextrose", Some(DEXTROSE)),
    ("glucose", Some(DEXTROSE)),
    ("fructose", Some(1.0)),
    ("sucrose", Some(1.0)),
    ("sugar", Some(1.0)),
];

/// Whether what goes in by that name, as typed, brings sugar that yeast ferments.
pub fn brings_sugar(name: &str) -> bool {
    SUGARS.iter().any(|it| name.contains(it.0))
}

/// The part of its weight that is sugar: by the °Brix in its name, as of `syrup-65-brix`, else as usual.
fn share(name: &str) -> Option<f64> {
    let usual = SUGARS.iter().find(|it| name.contains(it.0))?.1;
    by_label(name).or(usual)
}

/// `65` of `syrup-65-brix`, as a part.
fn by_label(name: &str) -> Option<f64> {
    let words: Vec<&str> = name.split('-').collect();
    let at = words
        .iter()
        .position(|it| it.trim_start_matches('°') == "brix")?;
    let brix: f64 = words.get(at.checked_sub(1)?)?.parse().ok()?;
    (1.0..=85.0).contains(&brix).then_some(brix / 100.0)
}

/// Sugar and the water that it brings, dissolved in wine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dissolved {
    sugar_g: f64,
    water_g: f64,
}

impl Dissolved {
    /// Of so much of what goes by that name; `None` where nobody knows how much of it is sugar.
    pub fn of(name: &str, dose: Dose) -> Option<Dissolved> {
        let share = share(name)?;
        let grams = match dose {
            Dose::Mass(mass) => mass.in_grams(),
            // By volume a syrup is weighed by its °Brix.
            Dose::Volume(volume) => volume.in_litres() * sucrose_density_20(by_label(name)?),
            Dose::Count(_) | Dose::Packets(_) | Dose::Tablets(_) => return None,
        };
        Some(Dissolved {
            sugar_g: grams * share,
            water_g: grams * (1.0 - share),
        })
    }

    /// Of so much sugar alone, g.
    pub fn sugar(sugar_g: f64) -> Dissolved {
        Dissolved {
            sugar_g,
            water_g: 0.0,
        }
    }

    /// How much of it is sugar.
    pub fn in_sugar(self) -> Mass {
        Mass::grams(self.sugar_g)
    }

    /// The room that it takes, L.
    pub fn litres(self) -> f64 {
        self.sugar_g * SUGAR_ML_PER_G / 1e3 + self.water_g / WATER_20
    }

    /// The gravity of wine in which it has dissolved, and there are so many litres of it now.
    pub fn raises(self, sg: f64, litres: f64) -> f64 {
        sugared(sg, self.sugar_g, self.water_g, litres)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::amount::Volume;

    #[test]
    fn a_kilogram_has_so_much_sugar_as_it_is_sold() {
        let check = |name: &str, expected: Option<f64>| {
            let found = Dissolved::of(name, Dose::Mass(Mass::grams(1_000.0)));
            let found = found.map(|it| it.in_sugar().in_grams().round());
            assert_eq!(found, expected, "{name}");
        };
        check("sugar", Some(1_000.0));
        check("cane-sugar", Some(1_000.0));
        // 180.16/198.17 by molar mass.
        check("dextrose", Some(909.0));
        check("heather-honey", Some(820.0));
        check("syrup", None);
        check("glucose-syrup", None);
        check("invert-sugar", None);
        // By the label, whatever it is.
        check("syrup-65-brix", Some(650.0));
        check("agave-syrup-74-°brix", Some(740.0));
        check("grape-concentrate-68-brix", Some(680.0));
        check("syrup-650-brix", None);
        check("tartaric-acid", None);
    }

    /// A litre of 50 °Brix weighs 1229.6 g at 20 °C (ICUMSA SPS-4, from memory), half of it sugar.
    #[test]
    fn a_syrup_by_volume_is_weighed_by_its_label_and_honey_by_volume_is_not() {
        let litre = Dose::Volume(Volume::litres(1.0));
        let found = Dissolved::of("syrup-50-brix", litre).unwrap();
        let grams = found.in_sugar().in_grams();
        assert!((grams - 1229.6 / 2.0).abs() < 0.5, "{grams}");
        assert_eq!(Dissolved::of("honey", litre), None);
    }

    /// 1.5 kg of honey are 1.23 kg of sugar in 0.7626 L and 0.27 kg of water in 0.2705 L: of 20 L at the end 18.9669 were at 1.040 and
    /// weighed 19.690 kg, and 21.190 kg are 1.0614 times the 19.964 of as much water.
    #[test]
    fn honey_raises_gravity_by_its_sugar_and_its_water() {
        let honey = Dissolved::of("honey", Dose::Mass(Mass::grams(1_500.0))).unwrap();
        assert!((honey.litres() - 1.0331).abs() < 1e-4);
        let sg = honey.raises(1.040, 20.0);
        assert!((sg - 1.0614).abs() < 1e-4, "{sg}");
    }
}
