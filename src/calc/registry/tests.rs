use std::collections::BTreeSet;

use super::*;

/// Options of the command line that every verb takes; no input may be called so.
const GLOBAL: [&str; 9] = [
    "cellar", "json", "at", "today", "help", "list", "yes", "by", "note",
];

fn ask(name: &str, given: &[(&str, &str)]) -> Result<Answer, CalcError> {
    find(name).unwrap().ask(given, &Units::default())
}

fn check_refused(name: &str, given: &[(&str, &str)], input: &str, sentence: &str) {
    let error = ask(name, given).unwrap_err();
    assert_eq!(error.to_string(), sentence);
    assert_eq!(error.input().unwrap_or(""), input);
}

#[test]
fn names_and_keys_are_single_and_spelled_alike() {
    let mut names = BTreeSet::new();
    for calculator in CALCULATORS {
        assert!(names.insert(calculator.name), "{} twice", calculator.name);
        let mut keys = BTreeSet::new();
        for key in calculator.inputs.iter().map(|input| input.key) {
            assert!(keys.insert(key), "{}: {key} twice", calculator.name);
        }
        for key in keys
            .iter()
            .copied()
            .chain(calculator.results.iter().map(|r| r.key))
        {
            assert!(
                key.bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_'),
                "{key}"
            );
        }
    }
}

#[test]
fn every_flag_means_one_input_unless_its_unit_tells() {
    for calculator in CALCULATORS {
        for (flag, keys) in calculator.flags() {
            assert!(
                !GLOBAL.contains(&flag.as_str()),
                "{}: --{flag} is global",
                calculator.name
            );
            let full_name_of_one = keys.iter().any(|key| key.replace('_', "-") == flag);
            assert!(
                keys.len() == 1 || !full_name_of_one,
                "{}: --{flag} is the whole name of one input and short for another: {keys:?}",
                calculator.name
            );
        }
    }
}

#[test]
fn every_number_has_an_allowed_range_and_every_default_lies_in_it() {
    for calculator in CALCULATORS {
        for input in calculator.inputs {
            let of = format!("{}: {}", calculator.name, input.key);
            assert!(!input.help.is_empty(), "{of}");
            let words = matches!(input.quantity, Quantity::Choice(_) | Quantity::Text);
            assert_eq!(input.allowed.is_none(), words, "{of}");
            for range in [input.allowed, input.sourced].into_iter().flatten() {
                assert!(range.low < range.high && !range.why.is_empty(), "{of}");
            }
            if let Some(text) = input.default {
                let value = input
                    .quantity
                    .read(text, &Units::default())
                    .expect(&of)
                    .value;
                if let Value::Number(number) = value {
                    for range in [input.allowed, input.sourced].into_iter().flatten() {
                        assert!(range.holds(number), "{of}");
                    }
                }
            }
        }
    }
}

#[test]
fn every_example_is_answered_with_its_declared_results_sources_and_working() {
    for calculator in CALCULATORS {
        let answer = calculator
            .ask(calculator.example, &Units::default())
            .expect(calculator.name);
        for (key, _) in answer.results.iter() {
            let plain = key
                .strip_suffix("_low")
                .or_else(|| key.strip_suffix("_high"))
                .unwrap_or(key);
            assert!(
                calculator
                    .results
                    .iter()
                    .any(|r| r.key == key || r.key == plain),
                "{}: {key} is not declared",
                calculator.name
            );
        }
        assert!(
            !answer.sources.is_empty() && !answer.working.is_empty(),
            "{}",
            calculator.name
        );
    }
}

#[test]
fn the_json_has_the_keys_of_the_contract_in_order() {
    let answer = ask("so2-molecular", &[("free-so2", "32"), ("ph", "3.4")]).unwrap();
    let text = serde_json::to_string(&answer).unwrap();
    let places: Vec<_> = [
        "calc",
        "inputs",
        "results",
        "other_constant",
        "working",
        "assumptions",
        "sources",
        "cautions",
    ]
    .iter()
    .map(|key| text.find(&format!("\"{key}\":")).unwrap())
    .collect();
    assert!(places.is_sorted());
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(json["inputs"]["constant"], "extension");
    assert_eq!(json["inputs"]["temperature_c"], 20.0);
    assert_eq!(json["other_constant"]["constant"], "oiv");
    for list in ["working", "assumptions", "sources", "cautions"] {
        for item in json[list].as_array().unwrap() {
            assert!(item["sentence"].is_string(), "{list}");
        }
    }
    for key in ["key", "value", "low", "high"] {
        assert!(json["assumptions"][0].get(key).is_some(), "{key}");
    }
}

#[test]
fn an_input_answers_to_its_key_and_its_flags() {
    for name in [
        "free_so2_mg_l",
        "free-so2-mg-l",
        "--free-so2",
        "free_so2",
        "FREE-SO2",
    ] {
        let answer = ask("so2-molecular", &[(name, "32"), ("ph", "3.4")]).unwrap();
        assert_eq!(answer.inputs.number("free_so2_mg_l"), Some(32.0), "{name}");
    }
}

#[test]
fn bad_input_is_refused_in_one_sentence_that_names_it() {
    let free = ("free-so2", "32");
    check_refused(
        "so2-molecular",
        &[free, ("ph", "9")],
        "ph",
        "ph: `9` is outside 2 to 5, and no wine or must lies outside: check the figure and give it again",
    );
    check_refused(
        "so2-molecular",
        &[free, ("ph", "NaN")],
        "ph",
        "ph: `NaN` is no pH: write it in plain figures, such as 3.4",
    );
    check_refused(
        "so2-molecular",
        &[("free-so2", "-1"), ("ph", "3.4")],
        "free_so2_mg_l",
        "free_so2_mg_l: `-1` is outside 0 to 500 mg/L, and no drinkable wine has more, nor less than none: check the figure and give it again",
    );
    check_refused(
        "so2-molecular",
        &[("free-so2", "3 gal"), ("ph", "3.4")],
        "free_so2_mg_l",
        "free_so2_mg_l: `3 gal` is no concentration: write it in mg/L, ppm, g/L or g/hL",
    );
    check_refused(
        "so2-molecular",
        &[free, ("acid", "3.4")],
        "",
        "so2-molecular has no input `acid`: it takes free_so2_mg_l, ph, constant, temperature_c, alcohol_pct_vol",
    );
    check_refused(
        "so2-molecular",
        &[free],
        "ph",
        "ph is missing (how acid the wine is, by meter or strip): give it",
    );
    check_refused(
        "so2-molecular",
        &[free, ("free_so2_mg_l", "30"), ("ph", "3.4")],
        "free_so2_mg_l",
        "free_so2_mg_l was given twice: give it once",
    );
    check_refused(
        "so2-molecular",
        &[free, ("ph", "3.4"), ("constant", "mine")],
        "constant",
        "constant: `mine` is none of its words: choose extension, oiv",
    );
    check_refused(
        "sulfite-check",
        &[("volume", "23 L")],
        "metabisulfite_g",
        "there is nothing to reckon from: give one of metabisulfite_g, teaspoons",
    );
    check_refused(
        "sulfite-check",
        &[
            ("volume", "23 L"),
            ("metabisulfite", "1 g"),
            ("teaspoons", "1/4"),
        ],
        "metabisulfite_g",
        "metabisulfite_g and teaspoons stand for the same thing: give only one of them",
    );
    check_refused(
        "so2-molecular",
        &[
            free,
            ("ph", "3.4"),
            ("constant", "oiv"),
            ("temperature", "10 °C"),
        ],
        "temperature_c",
        "temperature_c: 10.0 °C is outside the OIV table, which holds for 15 to 40 °C and 0 to 20 % vol, and a guess beyond it is off by a quarter: choose the extension constant",
    );
    check_refused(
        "sulfite-dose",
        &[("volume", "23 L")],
        "ph",
        "ph: it is missing, and so is target_free_so2_mg_l, and the need hangs on one of them: give either, or take the rule of thumb with sulfite-by-spoon",
    );
}

/// A calculator of the tests' own, with a flag that two inputs share.
static SHARED: Calculator = Calculator {
    name: "shared",
    sentence: "",
    group: "",
    inputs: &[
        Input::new("alcohol_pct_vol", Quantity::AlcoholByVolume, "")
            .one_of("strength")
            .allowed(0.0, 100.0, "so"),
        Input::new("alcohol_pct_mass", Quantity::AlcoholByMass, "")
            .one_of("strength")
            .allowed(0.0, 100.0, "so"),
    ],
    results: &[],
    example: &[],
    solve: |inputs| Ok(Answer::new("shared", inputs)),
};

#[test]
fn a_flag_two_inputs_share_needs_its_unit() {
    let read = |name, text| Inputs::read(&SHARED, &[(name, text)], &Units::default());
    let error = read("alcohol", "12").unwrap_err();
    assert_eq!(
        error.to_string(),
        "`alcohol` could be alcohol_pct_vol or alcohol_pct_mass: name it with its unit"
    );
    assert_eq!(
        read("alcohol-pct-mass", "10")
            .unwrap()
            .number("alcohol_pct_mass"),
        Some(10.0)
    );
    assert_eq!(
        read("alcohol", "10 %mass")
            .unwrap()
            .number("alcohol_pct_mass"),
        Some(10.0)
    );
    assert_eq!(
        read("alcohol", "12 % vol")
            .unwrap()
            .number("alcohol_pct_vol"),
        Some(12.0)
    );
    assert_eq!(SHARED.flags()["alcohol"].len(), 2);
}

#[test]
fn a_result_that_is_no_number_is_refused() {
    static BROKEN: Calculator = Calculator {
        solve: |inputs| {
            let mut answer = Answer::new("broken", inputs);
            answer.result("x", f64::NAN);
            Ok(answer)
        },
        ..CLEAN
    };
    const CLEAN: Calculator = Calculator {
        name: "broken",
        sentence: "",
        group: "",
        inputs: &[],
        results: &[],
        example: &[],
        solve: |inputs| Ok(Answer::new("broken", inputs)),
    };
    assert!(CLEAN.ask(&[], &Units::default()).is_ok());
    assert!(BROKEN.ask(&[], &Units::default()).is_err());
}

#[test]
fn what_was_taken_is_said_once_and_what_was_given_is_not() {
    let keys = |name, given: &[(&str, &str)]| -> Vec<&'static str> {
        let answer = ask(name, given).unwrap();
        answer
            .assumptions
            .iter()
            .map(|assumption| assumption.key)
            .collect()
    };
    let given = [("free-so2", "32"), ("ph", "3.4"), ("temperature", "20")];
    assert_eq!(
        keys("so2-molecular", &given),
        ["constant", "alcohol_pct_vol"]
    );
    let given = [
        ("volume", "23 L"),
        ("teaspoons", "1/4"),
        ("salt", "potassium"),
        ("potency", "100"),
    ];
    assert_eq!(keys("sulfite-check", &given), ["teaspoon_g"]);
    let given = [
        ("volume", "23 L"),
        ("metabisulfite", "1 g"),
        ("salt", "sodium"),
        ("potency", "90"),
    ];
    assert_eq!(keys("sulfite-check", &given), ["teaspoon_g"]);
}

#[test]
fn a_number_beyond_the_sources_is_answered_with_a_warning() {
    let warnings = |ph| {
        let answer = ask("so2-molecular", &[("free-so2", "32"), ("ph", ph)]).unwrap();
        let of_range = |c: &&crate::answer::Caution| c.kind == CautionKind::Range;
        answer
            .cautions
            .iter()
            .filter(of_range)
            .map(|c| c.sentence.clone())
            .collect::<Vec<_>>()
    };
    let sentence = "ph 4.3 is outside 2.8 to 4.2, since the tables for wine end there: take the answer as a rough one.";
    assert_eq!(warnings("4.3"), [sentence]);
    assert_eq!(warnings("2.7").len(), 1);
    assert!(warnings("4.2").is_empty() && warnings("2.8").is_empty());
}

#[test]
fn an_input_is_what_its_declaration_says() {
    let input = Input::new("x_g", Quantity::Mass, "x")
        .default("1")
        .allowed(0.0, 2.0, "so")
        .sourced(0.5, 1.5, "so too");
    assert_eq!(input.need, Need::Optional);
    assert_eq!(input.required().need, Need::Always);
    assert_eq!(input.one_of("x").need, Need::OneOf("x"));
    assert_eq!(input.default, Some("1"));
    assert!(
        input
            .allowed
            .is_some_and(|range| range.holds(2.0) && !range.holds(2.1))
    );
    assert!(
        input
            .sourced
            .is_some_and(|range| range.holds(0.5) && !range.holds(0.4))
    );
}

#[test]
fn what_is_required_is_missed_before_anything_is_solved() {
    static NEEDY: Calculator = Calculator {
        name: "needy",
        sentence: "",
        group: "",
        inputs: &[Input::new("x_g", Quantity::Mass, "x")
            .required()
            .allowed(0.0, 2.0, "so")],
        results: &[],
        example: &[],
        solve: |inputs| Ok(Answer::new("needy", inputs)),
    };
    assert!(matches!(
        NEEDY.ask(&[], &Units::default()),
        Err(CalcError::Missing { key: "x_g", .. })
    ));
    assert!(NEEDY.ask(&[("x", "1")], &Units::default()).is_ok());
}

#[test]
fn dates_and_text_are_inputs_too() {
    static DATED: Calculator = Calculator {
        name: "dated",
        sentence: "",
        group: "",
        inputs: &[
            Input::new("from", Quantity::Date, "").allowed(0.0, 36_525.0, "books begin in 1970"),
            Input::new("readings", Quantity::Text, ""),
        ],
        results: &[],
        example: &[],
        solve: |inputs| {
            let mut answer = Answer::new("dated", inputs);
            answer.result("from_days", inputs.number("from"));
            answer.result("readings", inputs.text("readings").unwrap_or("none"));
            Ok(answer)
        },
    };
    let ask = |given: &[(&str, &str)]| DATED.ask(given, &Units::default());
    let answer = ask(&[("from", "2026-11-25"), ("readings", " 1.090, 1.040 ")]).unwrap();
    assert_eq!(answer.inputs.text("from"), Some("2026-11-25"));
    assert_eq!(answer.number("from_days"), Some(20_782.0));
    assert_eq!(answer.results.text("readings"), Some("1.090, 1.040"));
    assert_eq!(ask(&[]).unwrap().results.text("readings"), Some("none"));
    assert_eq!(
        ask(&[("from", "1969-12-31")]).unwrap_err().to_string(),
        "from: `1969-12-31` is outside 1970-01-01 to 2070-01-01, and books begin in 1970: check the figure and give it again"
    );
}
