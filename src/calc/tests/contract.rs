//! The names that scripts rely on: calculators, their inputs with what is taken for each, and their results.
//!
//! `tests/data/contract.json` is the list. A calculator may ask and give more than it promises there, but must not need
//! more, and gives nothing that it does not declare.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use leesline_calc::quantity::Units;
use leesline_calc::registry::{self, CALCULATORS, Calculator, Need};
use serde::Deserialize;
use serde_json::Value;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Promise {
    name: String,
    /// Every input with what is taken when it is not given.
    inputs: BTreeMap<String, Value>,
    results: Vec<String>,
    /// Questions by key, which together give every input that has no default.
    asks: Vec<BTreeMap<String, String>>,
}

fn promises() -> Vec<Promise> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/contract.json");
    let text = fs::read_to_string(path).expect("the list is beside the tests");
    serde_json::from_str(&text).expect("the list is well formed")
}

fn answer(calculator: &Calculator, given: &[(String, String)]) -> Value {
    let pairs: Vec<_> = given
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    let answer = calculator
        .ask(&pairs, &Units::default())
        .unwrap_or_else(|refusal| panic!("{} {given:?}: {refusal}", calculator.name));
    serde_json::to_value(answer).expect("an answer is JSON")
}

/// Whether both are the same word or number, whole or not.
fn same(one: &Value, other: &Value) -> bool {
    one == other || (one.is_number() && one.as_f64() == other.as_f64())
}

impl Promise {
    fn calculator(&self) -> &'static Calculator {
        registry::find(&self.name).unwrap_or_else(|| panic!("there is no {}", self.name))
    }

    fn check(&self, ask: &BTreeMap<String, String>) {
        let (calculator, name) = (self.calculator(), &self.name);
        let by = |named: &dyn Fn(&str) -> String| -> Vec<(String, String)> {
            ask.iter()
                .map(|(key, text)| (named(key), text.clone()))
                .collect()
        };
        let json = answer(calculator, &by(&|key| key.to_owned()));
        assert_eq!(json["calc"], name.as_str());
        for (key, taken) in &self.inputs {
            let is = json["inputs"]
                .get(key)
                .unwrap_or_else(|| panic!("{name} asks no {key}"));
            assert!(
                ask.contains_key(key) || same(is, taken),
                "{name}: {key} is {is}, not {taken}"
            );
        }
        let given = json["results"]
            .as_object()
            .expect("the results are one flat object");
        for key in &self.results {
            assert!(given.contains_key(key), "{name} gives no {key}: {given:?}");
        }
        for (key, value) in given {
            assert!(
                !value.is_array() && !value.is_object(),
                "{name}: {key} is not flat"
            );
            let of = ["_low", "_high"]
                .iter()
                .find_map(|end| key.strip_suffix(end))
                .unwrap_or(key);
            let declared = |key: &str| calculator.results.iter().any(|it| it.key == key);
            assert!(
                declared(of) || declared(key),
                "{name} gives {key} undeclared"
            );
        }
        for list in ["working", "assumptions", "sources", "cautions"] {
            let items = json[list]
                .as_array()
                .unwrap_or_else(|| panic!("{name}: {list} is no list"));
            assert!(
                items.iter().all(|it| it["sentence"].is_string()),
                "{name}: {list}"
            );
        }
        assert!(json["other_constant"].is_null() || json["other_constant"].is_object());
        assert_eq!(
            json.as_object().map(serde_json::Map::len),
            Some(8),
            "{name}"
        );

        // The flag is the last name an input answers to: without its unit where it has one.
        let flag = |key: &str| {
            let input = calculator.inputs.iter().find(|input| input.key == key);
            input
                .and_then(|input| input.flags().pop())
                .expect("it was just asked by its key")
        };
        assert_eq!(answer(calculator, &by(&flag)), json, "{name} by flags");
    }
}

#[test]
fn every_calculator_keeps_its_promise() {
    let promises = promises();
    for promise in &promises {
        promise.asks.iter().for_each(|ask| promise.check(ask));
        for (key, taken) in &promise.inputs {
            let asked = promise.asks.iter().any(|ask| ask.contains_key(key));
            assert!(
                asked || !taken.is_null(),
                "{}: nothing asks {key}",
                promise.name
            );
        }
    }
    println!(
        "{} of {} calculators promise their names",
        promises.len(),
        CALCULATORS.len()
    );
    assert_eq!(promises.len(), 35, "the design names so many");
}

#[test]
fn no_calculator_needs_more_than_it_promises() {
    for promise in promises() {
        for input in promise.calculator().inputs {
            let promised = promise.inputs.contains_key(input.key);
            assert!(
                promised || input.need == Need::Optional,
                "{} needs {}",
                promise.name,
                input.key
            );
        }
    }
}
