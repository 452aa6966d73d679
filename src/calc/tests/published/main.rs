//! Walks the published tables in `tests/data/` and holds the calculators against every value of them.
//!
//! Each table names its source, how it was read (opened, derived, from memory, common practice) and a tolerance
//! with its reason. A value a source misprints is an exception with the reason; the test holds that it is wrong.

mod cores;

use std::fs;
use std::path::Path;

use leesline_calc::quantity::Units;
use leesline_calc::{Answer, CalcError, density, registry, sulfite};
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
            return cores::core(core, &arguments);
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
        if ["refused.json", "contract.json"].contains(&file.as_str())
            || Path::new(&file).extension().is_none_or(|it| it != "json")
        {
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
/// memory of Åkerlöf, J. Am. Chem. Soc. 54:4125 (1932), at 0, 10 and 20 % mass and at 20 and 40 °C.
#[test]
fn the_oiv_tables_agree_by_the_debye_hueckel_law() {
    let dielectric = [[80.37, 74.60, 68.66], [73.12, 67.86, 62.41]];
    let thermodynamic = [
        (0.0, [1.798, 2.000, 2.219, 2.334, 2.493]),
        (5.0, [1.897, 2.098, 2.299, 2.397, 2.527]),
        (10.0, [1.997, 2.198, 2.394, 2.488, 2.606]),
        (15.0, [2.099, 2.301, 2.503, 2.607, 2.728]),
    ];
    let root = 0.038_f64.sqrt();
    for (alcohol, points) in thermodynamic {
        for (temperature_c, pkt) in sulfite::OIV_TEMPERATURE_C.into_iter().zip(points) {
            let tens = density::alcohol_by_mass(alcohol) / 10.0;
            let at = tens.floor().min(1.0) as usize;
            let [cold, warm] = dielectric.map(|e| e[at] + (tens - at as f64) * (e[at + 1] - e[at]));
            // Åkerlöf's own form: log ε falls evenly with the temperature.
            let e = cold * (warm / cold).powf((temperature_c - 20.0) / 20.0);
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
