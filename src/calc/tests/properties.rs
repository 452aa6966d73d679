//! What must hold for every wine, not only for those in the tables.

use leesline_calc::quantity::{Quantity, Units};
use leesline_calc::registry::{self, CALCULATORS, Calculator, Input, Need};
use leesline_calc::{Answer, CalcError, sulfite};
use proptest::prelude::*;

fn ask(calc: &str, given: &[(&str, String)]) -> Answer {
    let pairs: Vec<(&str, &str)> = given
        .iter()
        .map(|(key, text)| (*key, text.as_str()))
        .collect();
    registry::find(calc)
        .expect("a value in range is answered")
        .ask(&pairs, &Units::default())
        .expect("a value in range is answered")
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs()).max(1.0)
}

/// What the calculator's own example gives for an input.
fn example(calculator: &Calculator, input: &Input) -> Option<&'static str> {
    let named = |name: &str| {
        input.key == name.replace('-', "_") || input.flags().contains(&name.to_owned())
    };
    calculator
        .example
        .iter()
        .find(|(name, _)| named(name))
        .map(|(_, text)| *text)
}

/// Whether a refusal is a calculator's own. The registry refuses what comes to no finite number, and no calculator should
/// leave that to it.
fn is_meant(refusal: &CalcError) -> bool {
    !refusal.to_string().contains("comes to no number")
}

/// Every calculator with each number at either end of its range beside the example's others, and all at their ends at
/// once: an answer, or a refusal that is meant.
#[test]
fn the_ends_of_every_range_are_answered_or_refused() {
    let mut answered = 0;
    for calculator in CALCULATORS {
        let numbers: Vec<&Input> = calculator
            .inputs
            .iter()
            .filter(|input| input.allowed.is_some())
            .collect();
        for ends in 0..4_u8 {
            for alone in numbers.iter().map(|input| Some(*input)).chain([None]) {
                let given: Vec<(&str, String)> = calculator
                    .inputs
                    .iter()
                    .filter_map(|input| {
                        let at_end = alone.is_none_or(|alone| alone.key == input.key);
                        let text = match (input.allowed, example(calculator, input)) {
                            (Some(range), _) if at_end && ends < 2 => {
                                Some(if ends == 0 { range.low } else { range.high }.to_string())
                            }
                            // Just inside, where a core's own domain may end before the range does.
                            (Some(range), _) if at_end => {
                                let inside = 1e-9 * (range.high - range.low);
                                Some(
                                    if ends == 2 {
                                        range.low + inside
                                    } else {
                                        range.high - inside
                                    }
                                    .to_string(),
                                )
                            }
                            (_, text) => text.map(str::to_owned),
                        };
                        text.map(|text| (input.key, text))
                    })
                    .collect();
                let pairs: Vec<_> = given
                    .iter()
                    .map(|(key, text)| (*key, text.as_str()))
                    .collect();
                match calculator.ask(&pairs, &Units::default()) {
                    Ok(_) => answered += 1,
                    Err(refusal) => {
                        assert!(
                            is_meant(&refusal),
                            "{}: {refusal} with {given:?}",
                            calculator.name
                        );
                    }
                }
            }
        }
    }
    println!("{answered} questions at the ends of ranges were answered");
    assert!(
        answered > 10 * CALCULATORS.len(),
        "only {answered} were answered"
    );
}

/// Every input that is a number, given what is none, beside the example's others: refused at that input, in one sentence.
#[test]
fn what_is_no_number_of_its_quantity_is_refused_at_its_input() {
    for calculator in CALCULATORS {
        for input in calculator.inputs.iter().filter(|it| it.allowed.is_some()) {
            let foreign = match input.quantity {
                Quantity::Temperature => "5 L",
                _ => "5 °C",
            };
            for text in [
                "NaN",
                "inf",
                "-inf",
                "1e999",
                "",
                " ",
                "5 furlongs",
                "five",
                "1/0",
                foreign,
            ] {
                let others = calculator
                    .inputs
                    .iter()
                    .filter(|it| {
                        it.key != input.key && (it.need != input.need || it.need == Need::Always)
                    })
                    .filter_map(|it| Some((it.key, example(calculator, it)?)));
                let given: Vec<_> = others.chain([(input.key, text)]).collect();
                let refusal = calculator
                    .ask(&given, &Units::default())
                    .expect_err(&format!("{} {given:?}", calculator.name));
                assert_eq!(
                    refusal.input(),
                    Some(input.key),
                    "{}: {refusal}",
                    calculator.name
                );
                assert!(is_meant(&refusal) && !refusal.to_string().contains('\n'));
            }
        }
    }
}

proptest! {
    // A failing case is printed in full; a file of old ones would be one more thing to keep.
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_dose_checked_brings_what_it_promised(
        volume in 0.5..500.0_f64,
        ph in 2.8..4.2_f64,
        free in 0.0..60.0_f64,
        bound in 0.0..0.9_f64,
        potency in 20.0..100.0_f64,
        sodium: bool,
    ) {
        let salt = if sodium { "sodium" } else { "potassium" };
        let shared = [
            ("volume_l", volume.to_string()),
            ("salt", salt.to_owned()),
            ("potency_pct", potency.to_string()),
        ];
        let mut given = shared.to_vec();
        given.extend([
            ("ph", ph.to_string()),
            ("free_so2_mg_l", free.to_string()),
            ("bound_fraction", bound.to_string()),
        ]);
        let dose = ask("sulfite-dose", &given);
        let number = |key| dose.number(key).expect("a value in range is answered");

        let mut given = shared.to_vec();
        given.push(("metabisulfite_g", number("metabisulfite_g").to_string()));
        let added = ask("sulfite-check", &given).number("added_so2_mg_l").expect("a value in range is answered");
        prop_assert!(close(added, number("adds_total_mg_l")));
        let reached = free + added * (1.0 - bound);
        prop_assert!(close(reached, number("target_free_so2_mg_l").max(free)));

        let given = [("free_so2_mg_l", reached.to_string()), ("ph", ph.to_string())];
        let molecular = ask("so2-molecular", &given).number("molecular_so2_mg_l").expect("a value in range is answered");
        prop_assert!(molecular >= 0.8 - 1e-9);
    }

    #[test]
    fn the_less_acid_the_wine_the_more_it_needs(
        ph in 2.0..4.9_f64,
        more in 0.001..0.1_f64,
        temperature in 15.0..40.0_f64,
        alcohol in 0.0..20.0_f64,
    ) {
        let oiv = sulfite::pk1_oiv(temperature, alcohol).expect("a value in range is answered");
        for pk1 in [sulfite::PK1_EXTENSION, oiv] {
            prop_assert!(sulfite::molecular_fraction(ph, pk1) > sulfite::molecular_fraction(ph + more, pk1));
            prop_assert!(
                sulfite::free_needed_mg_l(0.8, ph, pk1) < sulfite::free_needed_mg_l(0.8, ph + more, pk1)
            );
            let free = sulfite::free_needed_mg_l(0.8, ph, pk1);
            prop_assert!(close(sulfite::molecular_mg_l(free, ph, pk1), 0.8));
        }
    }

    #[test]
    fn warmth_and_alcohol_raise_the_constant(
        temperature in 15.0..39.0_f64,
        alcohol in 0.0..19.0_f64,
    ) {
        let here = sulfite::pk1_oiv(temperature, alcohol).expect("a value in range is answered");
        prop_assert!(sulfite::pk1_oiv(temperature + 1.0, alcohol).expect("a value in range is answered") > here);
        prop_assert!(sulfite::pk1_oiv(temperature, alcohol + 1.0).expect("a value in range is answered") > here);
    }

    /// Every calculator, every input anywhere in or around its allowed range: an answer of finite numbers with
    /// each band around its figure, or a refusal that is one sentence.
    #[test]
    fn no_inputs_give_a_panic_or_what_is_no_number(
        which in 0..CALCULATORS.len(),
        seeds in prop::collection::vec((0.0..1.0_f64, 0_u8..5), 30),
    ) {
        let calculator = CALCULATORS[which];
        let mut given: Vec<(&str, String)> = Vec::new();
        for (input, (part, choice)) in calculator.inputs.iter().zip(seeds) {
            let text = match (input.quantity, input.allowed) {
                _ if choice == 0 => continue,
                (Quantity::Choice(words), _) => words[(part * words.len() as f64) as usize].to_owned(),
                (_, Some(range)) => {
                    let span = range.high - range.low;
                    let value = match choice {
                        1 => range.low + part * span,
                        2 => range.low + part * part * part * part * span,
                        3 => if part < 0.5 { range.low } else { range.high },
                        _ => range.low - 0.1 * span + part * 1.2 * span,
                    };
                    if input.quantity == Quantity::Count { value.round().to_string() } else { value.to_string() }
                }
                // Text has a form of its own, so it is that of the example.
                _ => match example(calculator, input) {
                    Some(text) => text.to_owned(),
                    None => continue,
                },
            };
            given.push((input.key, text));
        }
        let pairs: Vec<_> = given.iter().map(|(key, text)| (*key, text.as_str())).collect();
        match calculator.ask(&pairs, &Units::default()) {
            Err(refusal) => {
                    prop_assert!(is_meant(&refusal), "{}: {refusal} with {given:?}", calculator.name);
                    prop_assert!(!refusal.to_string().contains('\n'));
                }
            Ok(answer) => {
                let json = serde_json::to_string(&answer).expect("a value in range is answered");
                prop_assert!(!json.contains("NaN"));
                for spec in calculator.results {
                    let band = |end| answer.number(&format!("{}_{end}", spec.key));
                    let Some(value) = answer.number(spec.key) else { continue };
                    prop_assert!(value.is_finite());
                    if let (Some(low), Some(high)) = (band("low"), band("high")) {
                        prop_assert!(low <= value && value <= high, "{}: {low} {value} {high}", spec.key);
                    }
                }
            }
        }
    }
}
