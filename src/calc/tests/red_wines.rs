//! The cores over 1599 real wines: figures that no example made up for a test gives.
//!
//! Data: `tests/data/winequality-red.csv`, its origin and licence beside it. The expected counts and quantiles (linear
//! between neighbours) were worked out twice from that file outside this crate, with pK1 1.81 and M = F/(1 + 10^(pH − pK1)).

use std::fs;
use std::path::Path;

use leesline_calc::quantity::Units;
use leesline_calc::{density, extract, registry, sulfite};

struct Wine {
    volatile_g_l: f64,
    sugar_g_l: f64,
    free_mg_l: f64,
    total_mg_l: f64,
    density_kg_l: f64,
    ph: f64,
    alcohol_pct_vol: f64,
}

fn wines() -> Vec<Wine> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/winequality-red.csv");
    let text = fs::read_to_string(path).expect("the data is beside the tests");
    let wines: Vec<Wine> = text
        .lines()
        .skip(1)
        .map(|line| {
            let row: Vec<f64> = line
                .split(',')
                .map(|it| it.parse().expect("a number"))
                .collect();
            Wine {
                volatile_g_l: row[1],
                sugar_g_l: row[3],
                free_mg_l: row[5],
                total_mg_l: row[6],
                density_kg_l: row[7],
                ph: row[8],
                alcohol_pct_vol: row[10],
            }
        })
        .collect();
    assert_eq!(wines.len(), 1599);
    wines
}

impl Wine {
    fn molecular_mg_l(&self) -> f64 {
        sulfite::molecular_mg_l(self.free_mg_l, self.ph, sulfite::PK1_EXTENSION)
    }

    /// Total dry extract by Tabarié: d = 1.0018·(ρ − ρa) + 1 (OIV-MA-AS2-03B, 3.1), read as sucrose of that gravity.
    fn extract_g_l(&self) -> f64 {
        let alcohol = density::alcohol_by_mass(self.alcohol_pct_vol) / 100.0;
        let lighter = density::ethanol_density_20(alcohol) / 1000.0;
        extract::extract_g_l(1.0018 * (self.density_kg_l - lighter) + 1.0)
            .expect("wine has extract")
    }
}

fn quantile(of: fn(&Wine) -> f64, part: f64) -> f64 {
    let mut sorted: Vec<f64> = wines().iter().map(of).collect();
    sorted.sort_by(f64::total_cmp);
    let place = part * (sorted.len() - 1) as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (place - below as f64) * (sorted[above] - sorted[below])
}

fn check(of: fn(&Wine) -> f64, tolerance: f64, expected: &[(f64, f64)]) {
    for (part, expected) in expected {
        let ours = quantile(of, *part);
        assert!(
            (ours - expected).abs() <= tolerance,
            "at {part}: {ours}, expected {expected}"
        );
    }
}

#[test]
fn molecular_so2_is_a_part_of_free_and_free_of_total() {
    for wine in wines() {
        let molecular = wine.molecular_mg_l();
        assert!(0.0 < molecular && molecular < wine.free_mg_l && wine.free_mg_l <= wine.total_mg_l);
    }
}

#[test]
fn molecular_so2_is_spread_as_reckoned_elsewhere() {
    check(
        Wine::molecular_mg_l,
        1e-4,
        &[
            (0.0, 0.0245),
            (0.05, 0.1123),
            (0.10, 0.1491),
            (0.25, 0.2346),
            (0.50, 0.3931),
            (0.75, 0.6667),
            (0.90, 0.9967),
            (0.95, 1.2268),
            (1.0, 3.3644),
        ],
    );
    let wines = wines();
    let mean = wines.iter().map(Wine::molecular_mg_l).sum::<f64>() / wines.len() as f64;
    assert!((mean - 0.50527).abs() < 1e-5, "{mean}");
    for (least, expected) in [(0.5, 609), (0.6, 468), (0.8, 280), (2.0, 18)] {
        let count = wines
            .iter()
            .filter(|wine| wine.molecular_mg_l() >= least)
            .count();
        assert_eq!(count, expected, "from {least} mg/L");
    }
    for (row, expected) in [(1, 0.2152), (481, 0.2801), (152, 3.3644), (1599, 0.4613)] {
        let ours = wines[row - 1].molecular_mg_l();
        assert!((ours - expected).abs() < 1e-4, "row {row}: {ours}");
    }
}

/// Counted in the file itself: `awk -F, '$7 > 150'`, likewise over 200, and the volatile acidity over 20 meq/L
/// (`$2 * 1000 / 60.05 > 20`) and over 1.4 g/L.
#[test]
fn so_many_wines_are_over_the_limits_as_the_file_says() {
    let count = |calc: &str, key: &str, given: &dyn Fn(&Wine) -> Vec<(&'static str, String)>| {
        let over = |wine: &&Wine| {
            let given = given(wine);
            let pairs: Vec<_> = given
                .iter()
                .map(|(name, text)| (*name, text.as_str()))
                .collect();
            let answer = registry::find(calc)
                .expect(calc)
                .ask(&pairs, &Units::default())
                .expect("a wine is answered");
            answer.number(key).expect(key) < 0.0
        };
        wines().iter().filter(over).count()
    };
    let total = |wine: &Wine, sugar: &str| {
        vec![
            ("wine", "red".to_owned()),
            ("sugar", sugar.to_owned()),
            ("total-so2", wine.total_mg_l.to_string()),
        ]
    };
    assert_eq!(
        count("so2-limits", "eu_room_mg_l", &|wine| total(wine, "4")),
        9
    );
    assert_eq!(
        count("so2-limits", "eu_room_mg_l", &|wine| total(wine, "5")),
        2
    );
    let volatile = |wine: &Wine| vec![("va", wine.volatile_g_l.to_string())];
    assert_eq!(count("volatile-limits", "eu_room_g_l", &volatile), 4);
    assert_eq!(count("volatile-limits", "us_room_g_l", &volatile), 1);
}

#[test]
fn dry_extract_is_spread_as_reckoned_elsewhere() {
    check(
        Wine::extract_g_l,
        0.003,
        &[
            (0.0, 20.585),
            (0.05, 26.896),
            (0.25, 29.494),
            (0.50, 31.910),
            (0.75, 34.687),
            (0.95, 40.502),
            (1.0, 53.461),
        ],
    );
    let first = wines()[0].extract_g_l();
    assert!((first - 32.0785).abs() < 0.003, "{first}");
}

/// Straight fits to these wines: density on alcohol and sugar leaves 0.001476 g/cm³, since acids and other extract differ
/// from wine to wine. Densities of sugar, ethanol and water, with the one extract without sugar that these wines have in the
/// median (29.27 g/L), know nothing of them and may leave a little more, never less.
#[test]
fn density_follows_from_alcohol_and_sugar_within_what_other_extract_differs() {
    const BEST_STRAIGHT_FIT: f64 = 0.001_476;
    let wines = wines();
    let squares: f64 = wines
        .iter()
        .map(|wine| {
            let of = density::wine_of(wine.alcohol_pct_vol, wine.sugar_g_l + 29.27);
            (density::mixture_density(of, 20.0) / 1000.0 - wine.density_kg_l).powi(2)
        })
        .sum();
    let left = (squares / wines.len() as f64).sqrt();
    assert!(
        (BEST_STRAIGHT_FIT..1.15 * BEST_STRAIGHT_FIT).contains(&left),
        "{left}"
    );
}

/// Tabarié's rule takes off the alcohol what the densities of the mixture put on: 10 g/L more sugar is 10 g/L more extract,
/// within 6 %, since a mixture of three shrinks a little otherwise than its halves.
#[test]
fn a_gram_of_sugar_is_a_gram_of_extract() {
    for wine in wines().iter().step_by(7) {
        let sweeter = density::wine_of(wine.alcohol_pct_vol, 30.0 + wine.sugar_g_l + 10.0);
        let drier = density::wine_of(wine.alcohol_pct_vol, 30.0 + wine.sugar_g_l);
        let extract = |of| {
            let heavier = Wine {
                density_kg_l: density::mixture_density(of, 20.0) / 1000.0,
                ..*wine
            };
            heavier.extract_g_l()
        };
        let rise = extract(sweeter) - extract(drier);
        assert!((rise - 10.0).abs() < 0.6, "{rise}");
    }
}
