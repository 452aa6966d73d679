use proptest::prelude::*;

use super::*;

const IMPERIAL: Units = Units {
    gallon: Gallon::Imperial,
    volume: Measure::Imperial,
    mass: Measure::Imperial,
    temperature: Measure::Imperial,
};
const AMERICAN: Units = Units {
    gallon: Gallon::Us,
    volume: Measure::Us,
    mass: Measure::Us,
    temperature: Measure::Us,
};

fn check(quantity: Quantity, text: &str, expected: f64) {
    check_in(Units::default(), quantity, text, expected);
}

fn check_in(units: Units, quantity: Quantity, text: &str, expected: f64) {
    let read = parse(quantity, text, &units).unwrap();
    assert!(
        (read - expected).abs() <= 1e-12 * expected.abs().max(1.0),
        "{text}: {read}, expected {expected}"
    );
}

fn check_refused(quantity: Quantity, text: &str, sentence: &str) {
    let error = parse(quantity, text, &Units::default()).unwrap_err();
    assert_eq!(error.to_string(), sentence);
}

// Exact by definition: NIST Handbook 44, Appendix C (inch, pound, US gallon); imperial gallon from memory
// of the UK Weights and Measures Act 1985.
#[test]
fn units_are_worth_what_their_definitions_say() {
    check(Quantity::Volume, "19 L", 19.0);
    check(Quantity::Volume, "19", 19.0);
    check(Quantity::Volume, "750 ml", 0.75);
    check(Quantity::Volume, "5 gal", 5.0 * 3.785_411_784);
    check(Quantity::Volume, "128 fl oz", 3.785_411_784);
    check(Quantity::Volume, "768 tsp", 3.785_411_784);
    check(Quantity::Volume, "5 imp gal", 22.730_45);
    check_in(IMPERIAL, Quantity::Volume, "5 gal", 22.730_45);
    check_in(IMPERIAL, Quantity::Volume, "160 fl oz", 4.546_09);
    check_in(IMPERIAL, Quantity::Volume, "1 us gal", 3.785_411_784);
    check_in(IMPERIAL, Quantity::SmallVolume, "1 tsp", 5.0);
    check(Quantity::SmallVolume, "0.75 L", 750.0);
    check(Quantity::SmallVolume, "1 fl oz", 29.573_529_562_5);
    check(Quantity::SmallVolume, "1 tsp", 4.928_921_593_75);
    check(Quantity::SmallVolume, "1 tbsp", 14.786_764_781_25);
    check(Quantity::Volume, "1 qt", 0.946_352_946);
    check(Quantity::Volume, "1 pt", 0.473_176_473);
    check_in(IMPERIAL, Quantity::SmallVolume, "1 fl oz", 28.413_062_5);
    check_in(IMPERIAL, Quantity::SmallVolume, "1 tbsp", 15.0);
    check(Quantity::Mass, "1 oz", 28.349_523_125);
    check(Quantity::Pressure, "1 psi", 6.894_757_293_168);
    check(Quantity::Pressure, "1 bar", 100.0);
    check(Quantity::Teaspoons, "0.25 tsp", 0.25);
    check(Quantity::Teaspoons, "1/4", 0.25);
    check(Quantity::Teaspoons, "1 tbsp", 3.0);
    check(Quantity::Mass, "1.5 g", 1.5);
    check(Quantity::Mass, "6 oz", 170.097_138_75);
    check(Quantity::Mass, "2 lb", 907.184_74);
    check(Quantity::MassPerVolume, "35 mg/L", 35.0);
    check(Quantity::MassPerVolume, "30 ppm", 30.0);
    check(Quantity::MassPerVolume, "0.03 g/L", 30.0);
    check(Quantity::GramsPerHectolitre, "1 g/hL", 1.0);
    check(Quantity::GramsPerHectolitre, "50 g/L", 5000.0);
    check(Quantity::Temperature, "68F", 20.0);
    check(Quantity::Temperature, "20 °C", 20.0);
    check(Quantity::Temperature, "-2C", -2.0);
    check(Quantity::Temperature, "-40 °F", -40.0);
    check(Quantity::Pressure, "1 atm", 101.325);
    check(Quantity::Length, "1 in", 25.4);
    check(Quantity::Days, "2 weeks", 14.0);
    check(Quantity::Minutes, "1 h", 60.0);
    check(Quantity::Ph, "pH 3,4", 3.4);
    check(Quantity::Fraction, "33 %", 0.33);
    check(Quantity::Percent, "10 %", 10.0);
    check(Quantity::Date, "1970-01-31", 30.0);
}

#[test]
fn a_gravity_is_read_with_or_without_its_point() {
    check(Quantity::Gravity, "1.090 sg", 1.09);
    check(Quantity::Gravity, "1090", 1.09);
    check(Quantity::Gravity, "1,090", 1.09);
    check(Quantity::Gravity, "0.994", 0.994);
    // So is a °Brix beside it, where its unit or its decimals say which of the two it is.
    check(Quantity::Brix, "1.09 Bx", 1.09);
    check(Quantity::Brix, "1.1", 1.1);
    check(Quantity::Brix, "-1.25", -1.25);
    check(Quantity::Brix, "21.58", 21.58);
    check(Quantity::Gravity, "994", 0.994);
    let reading = Quantity::Gravity.read("1090", &Units::default()).unwrap();
    assert_eq!(
        reading.note.unwrap(),
        "`1090` is read as a specific gravity of 1.090."
    );
}

#[test]
fn a_gallon_or_spoon_says_which_one_it_is() {
    let note = |text, units: &Units| Quantity::Volume.read(text, units).unwrap().note;
    assert_eq!(
        note("5 gal", &Units::default()).unwrap(),
        "`5 gal` is read in US gallons of 3.785 L."
    );
    assert_eq!(
        note("5 gal", &IMPERIAL).unwrap(),
        "`5 gal` is read in imperial gallons of 4.546 L."
    );
    assert_eq!(
        note("1 tsp", &IMPERIAL).unwrap(),
        "`1 tsp` is read in level teaspoons of 5.00 mL."
    );
    assert_eq!(note("5 us gal", &IMPERIAL), None);
    assert_eq!(note("19 L", &IMPERIAL), None);
}

#[test]
fn what_measures_something_else_is_refused_in_one_sentence() {
    let volume = "write it in L, mL, gal, qt, pt, fl oz, tbsp or tsp";
    check_refused(
        Quantity::Volume,
        "5 g",
        &format!("`5 g` is no volume: {volume}"),
    );
    check_refused(
        Quantity::Volume,
        "lots",
        &format!("`lots` is no volume: {volume}"),
    );
    check_refused(
        Quantity::Volume,
        "NaN",
        &format!("`NaN` is no volume: {volume}"),
    );
    check_refused(
        Quantity::Volume,
        "6 oz",
        "`6 oz` is a weight, and a volume is asked: write fl oz, or L, mL or gal",
    );
    check_refused(
        Quantity::Mass,
        "1/4 tsp",
        "`1/4 tsp` is no weight: write it in g, mg, kg, oz or lb",
    );
    check_refused(
        Quantity::Ph,
        "3.4 mg",
        "`3.4 mg` is no pH: write it in plain figures, such as 3.4",
    );
    check_refused(
        Quantity::Ph,
        "pHpH 3.4",
        "`pHpH 3.4` is no pH: write it in plain figures, such as 3.4",
    );
    check_refused(
        Quantity::Ph,
        "p 3.4",
        "`p 3.4` is no pH: write it in plain figures, such as 3.4",
    );
    check_refused(
        Quantity::Mass,
        "1,250 g",
        "`1,250 g` could be thousands or a decimal comma: write it with a point, or without a separator",
    );
    check_refused(
        Quantity::Count,
        "2.5",
        "`2.5` is no whole number: write how many there are, 0 or more",
    );
    check_refused(
        Quantity::AlcoholByVolume,
        "140 %mass",
        "`140 %mass` is beyond what can be converted: check the figure, and write it in % vol or % mass",
    );
    check_refused(
        Quantity::Brix,
        "1.090",
        "`1.090` could be a gravity or °Brix: write sg or Bx behind it",
    );
    check_refused(
        Quantity::Brix,
        "1,09",
        "`1,09` could be a gravity or °Brix: write sg or Bx behind it",
    );
    check_refused(
        Quantity::Text,
        " ",
        "nothing was given: fill it in, or leave it out where it may be",
    );
    check_refused(
        Quantity::Date,
        "2026-02-30",
        "`2026-02-30` is no date: write it in figures as year-month-day, such as 2026-11-25",
    );
    check_refused(
        Quantity::Choice(&["potassium", "sodium"]),
        "lithium",
        "`lithium` is none of its words: choose potassium, sodium",
    );
}

#[test]
fn settings_name_units_in_words() {
    assert_eq!(Units::from_words("", ""), Some(Units::default()));
    assert_eq!(Units::from_words("us", "us"), Some(AMERICAN));
    assert_eq!(Units::from_words("imperial", "imperial"), Some(IMPERIAL));
    assert_eq!(Units::from_words("german", ""), None);
    assert_eq!(Units::from_words("", "roman"), None);
}

#[test]
fn long_and_hostile_text_stays_on_one_short_line() {
    let error = parse(
        Quantity::Volume,
        &"x\n\u{1b}[31m".repeat(10_000),
        &Units::default(),
    );
    let sentence = error.unwrap_err().to_string();
    assert!(
        sentence.len() < 200 && !sentence.contains(|c: char| c.is_control()),
        "{sentence}"
    );
}

fn check_shown(units: Units, quantity: Quantity, value: f64, expected: &str) {
    assert_eq!(show(quantity, value, &units), expected);
}

#[test]
fn figures_are_shown_in_the_digits_a_kitchen_uses() {
    let metric = Units::default();
    check_shown(metric, Quantity::Volume, 22.7124, "22.7 L");
    check_shown(metric, Quantity::Volume, 0.75, "750 mL");
    check_shown(metric, Quantity::Volume, 0.999_9, "1.00 L");
    check_shown(metric, Quantity::Volume, 9.996, "10.0 L");
    check_shown(metric, Quantity::Mass, 0.7123, "0.71 g");
    check_shown(metric, Quantity::Mass, 0.0123, "12.3 mg");
    check_shown(metric, Quantity::Mass, 2500.0, "2.50 kg");
    check_shown(metric, Quantity::Temperature, 20.0, "20 °C");
    check_shown(metric, Quantity::Temperature, -0.01, "0 °C");
    check_shown(metric, Quantity::Gravity, 1.09, "1.090");
    check_shown(metric, Quantity::Ph, 3.4, "3.40");
    check_shown(metric, Quantity::MassPerVolume, 26.13, "26.1 mg/L");
    check_shown(metric, Quantity::Number, 0.001_83, "0.0018");
    check_shown(metric, Quantity::Number, 0.0, "0.00");
    check_shown(metric, Quantity::Date, 0.0, "1970-01-01");
    check_shown(metric, Quantity::Teaspoons, 0.23, "1/4 tsp");
    check_shown(metric, Quantity::Teaspoons, 1.6, "1 1/2 tsp");
    check_shown(metric, Quantity::Teaspoons, 0.95, "1 tsp");
    check_shown(AMERICAN, Quantity::Temperature, 20.0, "68 °F");
    check_shown(AMERICAN, Quantity::Volume, 18.927, "5.00 US gal");
    check_shown(AMERICAN, Quantity::SmallVolume, 10.7, "10.7 mL");
    check_shown(AMERICAN, Quantity::Volume, 0.75, "25.4 fl oz");
    check_shown(AMERICAN, Quantity::Mass, 0.71, "0.71 g");
    check_shown(AMERICAN, Quantity::Mass, 1000.0, "2.20 lb");
    check_shown(IMPERIAL, Quantity::Volume, 22.730_45, "5.00 imp gal");
}

#[test]
fn the_book_gets_whole_microlitres_and_micrograms() {
    assert_eq!(litres_to_microlitres(22.7), 22_700_000);
    assert_eq!(litres_to_microlitres(0.000_000_5), 1);
    assert_eq!(litres_to_microlitres(-0.000_000_5), -1);
    assert_eq!(litres_to_microlitres(5.0 * US_GALLON_L), 18_927_059);
    assert_eq!(grams_to_micrograms(1.2), 1_200_000);
    assert_eq!(grams_to_micrograms(f64::NAN), 0);
}

/// Every quantity that is a plain number with a unit.
const NUMERIC: [Quantity; 20] = [
    Quantity::Volume,
    Quantity::SmallVolume,
    Quantity::Mass,
    Quantity::SmallMass,
    Quantity::MassPerVolume,
    Quantity::GramsPerLitre,
    Quantity::GramsPerHectolitre,
    Quantity::Density,
    Quantity::AlcoholByVolume,
    Quantity::AlcoholByMass,
    Quantity::Brix,
    Quantity::Ph,
    Quantity::Temperature,
    Quantity::Percent,
    Quantity::Length,
    Quantity::Area,
    Quantity::Pressure,
    Quantity::Days,
    Quantity::Minutes,
    Quantity::PerDay,
];

proptest! {
    // A failing case is printed in full; a file of old ones would be one more thing to keep.
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_shown_reads_back_as_the_same_figure(
        which in 0..NUMERIC.len(),
        value in prop_oneof![0.1..10.0_f64, 10.0..5000.0_f64],
        measure in prop_oneof![Just(Units::default()), Just(AMERICAN), Just(IMPERIAL)],
    ) {
        let quantity = NUMERIC[which];
        let shown = show(quantity, value, &measure);
        let read = parse(quantity, &shown, &measure).unwrap();
        // Two decimals of at least 0.1 are 5 %; strength and Brix show tenths, and a whole °F is 0.28 °C.
        let slack = match quantity {
            Quantity::Temperature => 0.28,
            Quantity::AlcoholByVolume | Quantity::AlcoholByMass | Quantity::Brix => 0.05 + 1e-9,
            _ => 0.051 * value,
        };
        prop_assert!((read - value).abs() <= slack, "{value} shows as {shown}, reads as {read}");
        prop_assert_eq!(show(quantity, read, &measure), shown);
    }

    #[test]
    fn no_text_makes_the_reader_panic_or_give_what_is_no_number(text in ".{0,24}") {
        for quantity in NUMERIC {
            if let Ok(value) = parse(quantity, &text, &Units::default()) {
                prop_assert!(value.is_finite());
            }
        }
    }
}

#[test]
fn a_step_is_never_rounded_to_nothing() {
    let check = |amount: f64, step: f64, expected: f64| {
        let found = stepped(amount, step);
        assert!(
            (found - expected).abs() < 1e-12,
            "{found} is not {expected}"
        );
    };
    check(14.2, 0.5, 14.0);
    check(0.1, 0.5, 0.5);
    check(0.123, 0.0, 0.123);
}
