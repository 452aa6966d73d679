//! The command line as scripts see it: exit codes, one-line errors, JSON keys.

use assert_cmd::Command;
use serde_json::Value;

/// The program, away from any cellar of the person who runs the tests.
fn leesline() -> Command {
    let mut command = Command::cargo_bin("leesline").unwrap();
    command
        .env_remove("LEESLINE_CELLAR")
        .env("XDG_DATA_HOME", "/nonexistent")
        .env("HOME", "/nonexistent")
        .env("TZ", "UTC");
    command
}

/// Runs it, and gives exit code, stdout and stderr.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = leesline().args(arguments).output().unwrap();
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// A failure: that exit code, nothing on stdout, one line on stderr with those words in it.
#[track_caller]
fn check_refused(arguments: &[&str], code: i32, words: &str) {
    let (got, out, told) = run(arguments);
    assert_eq!((got, out.as_str()), (code, ""), "{arguments:?}: {told}");
    assert_eq!(told.lines().count(), 1, "{arguments:?}: {told}");
    assert!(told.contains(words), "{arguments:?}: {told}");
}

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    let (code, out, told) = run(arguments);
    assert_eq!(code, 0, "{arguments:?}: {told}");
    serde_json::from_str(&out).unwrap()
}

#[track_caller]
fn check_near(value: &Value, expected: f64, tolerance: f64) {
    let number = value.as_f64().unwrap();
    assert!(
        (number - expected).abs() <= tolerance,
        "{number} is not {expected} ± {tolerance}"
    );
}

#[test]
fn what_cannot_be_understood_is_refused_with_2_in_one_line() {
    check_refused(&["rakk"], 2, "Nothing here is called `rakk`");
    check_refused(
        &["calc", "so2-nead"],
        2,
        "the nearest are so2-molecular, so2-need",
    );
    check_refused(&["calc", "so2-need", "--ph", "9"], 2, "outside 2 to 5");
    check_refused(&["calc", "so2-need", "--ph", "acid"], 2, "`acid` is no pH");
    check_refused(
        &["calc", "so2-need", "--phh", "3"],
        2,
        "the nearest is --ph",
    );
    check_refused(&["calc", "so2-need", "--ph"], 2, "--ph has no value");
    check_refused(
        &["calc", "so2-need", "--ph", "3", "--ph", "4"],
        2,
        "given twice",
    );
    check_refused(&["calc", "so2-need"], 2, "ph is missing");
    check_refused(
        &["calc", "sulfite-dose", "--volume", "5 stone", "--ph", "3.4"],
        2,
        "`5 stone` is no volume",
    );
}

#[test]
fn the_free_so2_a_wine_needs_is_that_of_the_extension_table() {
    // 0.8 × (1 + 10^(3.5 − 1.81)) = 39.98: University of California Cooperative Extension, Enology
    // Briefs I(1), 1982, gives 40 mg/L for pH 3.5.
    let answer = json(&["calc", "so2-need", "--ph", "3.5", "--json"]);
    check_near(&answer["results"]["free_so2_mg_l"], 40.0, 0.5);
    let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        [
            "calc",
            "inputs",
            "results",
            "other_constant",
            "working",
            "assumptions",
            "sources",
            "cautions"
        ]
    );
}

#[test]
fn a_dose_of_sulfite_comes_with_its_caution() {
    let answer = json(&[
        "calc",
        "sulfite-dose",
        "--volume",
        "5 gal",
        "--free-so2",
        "10",
        "--ph",
        "3.4",
        "--target-molecular",
        "0.8",
        "--json",
    ]);
    // Aim 0.8 × (1 + 10^(3.4 − 1.81)) = 31.92 mg/L; a third gets bound; 0.5763 g SO2 per g of
    // potassium metabisulfite from IUPAC atomic masses; 5 US gal = 18.927 L (NIST Handbook 44).
    let expected = (31.92 - 10.0) / (1.0 - 0.33) * 18.927 / (1000.0 * 0.5763);
    check_near(&answer["results"]["metabisulfite_g"], expected, 0.005);
    let cautions = answer["cautions"].as_array().unwrap();
    assert!(
        cautions
            .iter()
            .any(|it| it["sentence"].as_str().unwrap().contains("asthma"))
    );
}

#[test]
fn a_value_may_begin_with_a_minus() {
    let answer = json(&[
        "calc",
        "so2-molecular",
        "--free-so2",
        "20",
        "--ph",
        "3.3",
        "--temperature",
        "-2C",
        "--json",
    ]);
    assert_eq!(answer["inputs"]["temperature_c"], -2.0);
}

#[test]
fn every_calculator_is_listed_and_says_what_it_asks() {
    let listed = json(&["calc", "--list", "--json"]);
    for calculator in listed["calculators"].as_array().unwrap() {
        let name = calculator["calc"].as_str().unwrap();
        let (code, out, _) = run(&["calc", name, "--help"]);
        assert_eq!(code, 0, "{name}");
        for part in ["Inputs", "Results", "Example", "Sources"] {
            assert!(out.contains(part), "{name} says nothing of {part}");
        }
    }
}

#[test]
fn help_and_version_are_no_failure() {
    assert!(run(&["--help"]).1.contains("Usage: leesline"));
    assert!(run(&["--version"]).1.starts_with("leesline "));
}
