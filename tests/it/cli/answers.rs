//! Calculators and doses as scripts ask them.

use super::{Cellar, check_near, json, run};

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
fn a_dose_is_worked_out_from_the_book() {
    let cellar = Cellar::demo();
    let answer = cellar.json(&[
        "dose",
        "Carboy A",
        "--with",
        "free-so2=15",
        "--with",
        "potency=100",
    ]);
    // Carboy A: 22.7 L at pH 3.31, aim 0.8: (26.10 − 15) / 0.67 × 22.7 / (1000 × 0.5763), the
    // extension table's constant 1.81 and the yield from IUPAC atomic masses.
    let aim = 0.8 * (1.0 + 10_f64.powf(3.31 - 1.81));
    check_near(
        &answer["results"]["metabisulfite_g"],
        (aim - 15.0) / 0.67 * 22.7 / 576.3,
        0.002,
    );
    cellar.check_refused(&["dose", "Tank"], 1, "empty");
    cellar.check_refused(&["dose", "Carboy A", "--with", "ph=9"], 2, "outside 2 to 5");
}

/// The book and the calculator correct a hydrometer by one function, for the one hydrometer of the
/// cellar, and round once.
#[test]
fn a_gravity_read_warm_is_the_same_in_the_book_and_by_calculation() {
    let cellar = super::Cellar::new().with_carboy();
    for (made_for, read, at) in [
        // 1.03746 by either, which rounded twice is 1.038.
        ("20 C", "1.0366", "23.6 C"),
        ("60 F", "1.0366", "23.6 C"),
        ("60 F", "1.0600", "28 C"),
    ] {
        cellar.done(&["settings", "--hydrometer", made_for]);
        let typed = format!("{read} at {at}");
        cellar.done(&["measure", "Carboy A", "--gravity", &typed, "--yes"]);
        let shown = cellar.done(&["show", "Carboy A"]);
        let book = shown.lines().find(|it| it.contains(" gravity "));
        let calc = ["calc", "hydrometer", "--reading", read, "--sample", at];
        let calc = cellar.done(&calc);
        let sg = calc.split_whitespace().nth(1).unwrap();
        assert!(book.unwrap().contains(sg), "{made_for}: {shown}{calc}");
    }
}
