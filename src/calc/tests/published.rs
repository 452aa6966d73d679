//! Walks the published tables in `tests/data/` and holds the calculators against every value of them.
//!
//! Each table names its source, how it was read (opened, derived, from memory, common practice) and a tolerance
//! with its reason. A value a source misprints is an exception with the reason; the test holds that it is wrong.

use std::fs;
use std::path::Path;

use leesline_calc::quantity::{POUND_G, US_GALLON_L, Units};
use leesline_calc::{
    Answer, CalcError, density, extract, must, refraction, registry, strengthen, sulfite,
};
use serde::Deserialize;
use serde_json::{Map, Value};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    source: String,
    section: String,
    standing: String,
    tolerance_why: String,
    tolerance: f64,
    /// A calculator, the text it is always given, the inputs each row gives, and the result it expects.
    calc: Option<String>,
    #[serde(default)]
    given: Map<String, Value>,
    #[serde(default)]
    asks: Vec<String>,
    #[serde(default)]
    expects: String,
    #[serde(default = "one")]
    scale: f64,
    /// Or a numeric core, whose arguments each row gives.
    core: Option<String>,
    /// What is given, and last what is expected.
    rows: Vec<Vec<Value>>,
    exceptions: Vec<Exception>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Exception {
    row: Vec<Value>,
    reason: String,
}

fn one() -> f64 {
    1.0
}

fn read<T: serde::de::DeserializeOwned>(file: &str) -> Vec<T> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file);
    serde_json::from_str(&fs::read_to_string(&path).expect("the table is well formed"))
        .unwrap_or_else(|e| panic!("{file}: {e}"))
}

fn ask(calc: &str, given: &[(&str, &str)]) -> Result<Answer, CalcError> {
    registry::find(calc)
        .expect(calc)
        .ask(given, &Units::default())
}

impl Table {
    /// What we make of a row.
    fn ours(&self, row: &[Value]) -> f64 {
        let given = &row[..row.len() - 1];
        if let Some(core) = &self.core {
            let arguments: Vec<f64> = given
                .iter()
                .map(|v| v.as_f64().expect("the table is well formed"))
                .collect();
            return self::core(core, &arguments);
        }
        let mut pairs: Vec<(&str, &str)> = self
            .given
            .iter()
            .map(|(key, value)| {
                (
                    key.as_str(),
                    value.as_str().expect("the table is well formed"),
                )
            })
            .collect();
        assert_eq!(given.len(), self.asks.len(), "{}", self.section);
        pairs.extend(
            self.asks
                .iter()
                .zip(given)
                .map(|(key, v)| (key.as_str(), v.as_str().expect("the table is well formed"))),
        );
        let calc = self
            .calc
            .as_deref()
            .expect("a table is of a calculator or of a core");
        let answer = ask(calc, &pairs).unwrap_or_else(|e| panic!("{}: {e}", self.section));
        answer
            .number(&self.expects)
            .unwrap_or_else(|| panic!("{}: no {}", self.section, self.expects))
            * self.scale
    }

    fn error(&self, row: &[Value]) -> f64 {
        self.ours(row)
            - row
                .last()
                .and_then(Value::as_f64)
                .expect("the table is well formed")
    }
}

fn core(name: &str, arguments: &[f64]) -> f64 {
    // Weighed in air, each cubic metre is 1.2 kg lighter, and so are the brass weights.
    const AIR: f64 = 1.2;
    const BRASS: f64 = 8400.0;
    match (name, arguments) {
        ("free_needed_mg_l", &[target, ph, pk1]) => sulfite::free_needed_mg_l(target, ph, pk1),
        ("pk1_oiv", &[temperature, alcohol]) => {
            sulfite::pk1_oiv(temperature, alcohol).expect("the table is well formed")
        }
        ("ethanol_density_20", &[mass]) => density::ethanol_density_20(mass),
        ("water_density", &[t]) => density::water_density(t).expect("in range"),
        ("ethanol_density", &[mass, t]) => density::ethanol_density(mass, t),
        ("sucrose_density", &[mass, t]) => density::sucrose_density(mass, t),
        ("sucrose_index", &[brix]) => refraction::sucrose_index(brix),
        ("ethanol_index", &[mass]) => {
            refraction::sucrose_index(0.0) + refraction::ethanol_adds_to_index(mass)
        }
        ("shown_brix", &[sugar, ethanol]) => {
            refraction::shown_brix(density::Solutes { sugar, ethanol })
        }
        ("extract_of_residue", &[sg]) => extract::extract_g_l(sg).unwrap_or(f64::NAN),
        ("poured_volume_l", &[a, strength_a, b, strength_b]) => {
            strengthen::pour_together((a, strength_a), (b, strength_b)).0
        }
        ("poured_strength", &[a, strength_a, b, strength_b]) => {
            strengthen::pour_together((a, strength_a), (b, strength_b)).1
        }
        ("sugar_adds_l", &[litres, brix, alcohol, kilograms]) => {
            added_by_sugar_l(litres, brix, alcohol, kilograms)
        }
        ("sugar_adds_ml_per_g", &[litres, brix, alcohol, kilograms]) => {
            added_by_sugar_l(litres, brix, alcohol, kilograms) / kilograms
        }
        ("volume_against_20", &[alcohol, extract_g_l, t]) => {
            let wine = wine_of(alcohol, extract_g_l);
            density::mixture_density(wine, 20.0) / density::mixture_density(wine, t)
        }
        ("must_brix_from_density", &[kg_l]) => {
            must::brix_from_sg(kg_l * 1e3 / density::WATER_20).unwrap_or(f64::NAN)
        }
        ("alcohol_by_mass", &[pct]) => density::alcohol_by_mass(pct),
        ("alcohol_by_volume", &[pct]) => density::alcohol_by_volume(pct),
        ("brix_from_sg", &[sg]) => density::brix_from_sg(sg).expect("the table is well formed"),
        ("apparent_sg", &[brix]) => {
            (density::sucrose_density_20(brix / 100.0) - AIR) / (density::WATER_20_SUCROSE - AIR)
        }
        ("pounds_per_gallon_in_air", &[brix]) => {
            let apparent = (density::sucrose_density_20(brix / 100.0) - AIR) / (1.0 - AIR / BRASS);
            apparent * US_GALLON_L / POUND_G
        }
        _ => panic!("no core {name} of {} arguments", arguments.len()),
    }
}

fn added_by_sugar_l(litres: f64, brix: f64, alcohol: f64, kilograms: f64) -> f64 {
    let wine = density::wine_of(alcohol, density::sucrose_g_l(brix));
    strengthen::volume_with_sugar(litres, wine, kilograms * 1e3) - litres
}

/// The make-up of a wine by its label: s·ρ = extract and p·ρ = strength, by repeating until it stands.
fn wine_of(alcohol: f64, extract_g_l: f64) -> density::Solutes {
    let of = |rho: f64| density::Solutes {
        sugar: extract_g_l / rho,
        ethanol: alcohol / 100.0 * density::pure_ethanol_20() / rho,
    };
    (0..50).fold(of(1000.0), |wine, _| {
        of(density::mixture_density(wine, 20.0))
    })
}

#[test]
fn published_values_come_out() {
    let mut counts = Vec::<(String, usize)>::new();
    let mut exceptions = 0;
    let mut wrong = Vec::new();
    for entry in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data"))
        .expect("the table is well formed")
    {
        let file = entry
            .expect("the table is well formed")
            .file_name()
            .into_string()
            .unwrap();
        if file == "refused.json" || Path::new(&file).extension().is_none_or(|it| it != "json") {
            continue;
        }
        for table in read::<Table>(&file) {
            let of = format!("{file}: {}, {}", table.source, table.section);
            assert!(
                !table.tolerance_why.is_empty() && table.tolerance > 0.0,
                "{of}"
            );
            assert!(
                ["opened", "derived", "from memory", "common practice"]
                    .contains(&table.standing.as_str()),
                "{of}"
            );
            for row in &table.rows {
                let error = table.error(row);
                if error.is_nan() || error.abs() > table.tolerance {
                    wrong.push(format!("{of}: {row:?} is off by {error}"));
                }
            }
            for Exception { row, reason } in &table.exceptions {
                let error = table.error(row);
                assert!(
                    error.abs() > table.tolerance,
                    "{of}: {row:?} agrees after all ({reason})"
                );
                exceptions += 1;
            }
            match counts
                .iter_mut()
                .find(|(standing, _)| *standing == table.standing)
            {
                Some((_, count)) => *count += table.rows.len(),
                None => counts.push((table.standing, table.rows.len())),
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let total: usize = counts.iter().map(|(_, count)| count).sum();
    println!("{total} table values checked {counts:?}, {exceptions} misprints held as exceptions");
    assert!(total > 100, "tables went missing: {total}");
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Refusal {
    calc: String,
    given: Map<String, Value>,
    input: String,
    says: String,
}

#[test]
fn bad_input_is_refused_at_its_input() {
    let refusals = read::<Refusal>("refused.json");
    for Refusal {
        calc,
        given,
        input,
        says,
    } in &refusals
    {
        let pairs: Vec<_> = given
            .iter()
            .map(|(key, value)| {
                (
                    key.as_str(),
                    value.as_str().expect("the table is well formed"),
                )
            })
            .collect();
        let error = ask(calc, &pairs).expect_err(&format!("{calc} {pairs:?}"));
        assert_eq!(error.input(), Some(input.as_str()), "{error}");
        let sentence = error.to_string();
        assert!(sentence.contains(says.as_str()), "{sentence}");
        assert!(
            !sentence.contains('\n') && !sentence.contains('!'),
            "{sentence}"
        );
    }
    println!("{} refusals checked", refusals.len());
}

/// The OIV's mixed constants (Table II, from memory) against its thermodynamic ones (Table I, opened for 0–15 %
/// vol) less the Debye–Hückel term at its mean ionic strength 0.038: pKM = pKT − A·√I/(1 + B·√I), with
/// A = 1.8246e6·(εT)^−1.5, B = 50.29·(εT)^−½ and an ion of 5 Å. Dielectric constants ε of ethanol and water from
/// memory of Åkerlöf, J. Am. Chem. Soc. 54:4125 (1932), at 0, 10 and 20 % mass.
#[test]
fn the_oiv_tables_agree_by_the_debye_hueckel_law() {
    let thermodynamic = [
        (
            20.0,
            [80.37, 74.60, 68.66],
            [(0.0, 1.798), (5.0, 1.897), (10.0, 1.997), (15.0, 2.099)],
        ),
        (
            40.0,
            [73.12, 67.86, 62.41],
            [(0.0, 2.493), (5.0, 2.527), (10.0, 2.606), (15.0, 2.728)],
        ),
    ];
    let root = 0.038_f64.sqrt();
    for (temperature_c, dielectric, points) in thermodynamic {
        for (alcohol, pkt) in points {
            let tens = density::alcohol_by_mass(alcohol) / 10.0;
            let at = tens.floor().min(1.0) as usize;
            let e = dielectric[at] + (tens - at as f64) * (dielectric[at + 1] - dielectric[at]);
            let et = e * (temperature_c + 273.15);
            let (a, b) = (1.8246e6 * et.powf(-1.5), 5.0 * 50.29 * et.powf(-0.5));
            let expected = pkt - a * root / (1.0 + b * root);
            let ours = sulfite::pk1_oiv(temperature_c, alcohol).expect("the table is well formed");
            assert!(
                (ours - expected).abs() < 0.003,
                "{temperature_c} °C, {alcohol} % vol: {ours}, expected {expected}"
            );
        }
    }
}
