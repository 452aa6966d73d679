//! What is asked before it is written: slips in a dose, sorbate where it harms, wines that meet, and
//! vessels too small.

use super::*;

impl Cellar {
    /// What must be answered with yes; empty where nothing must.
    fn question(&self, verb: &str, pairs: &[(&str, &str)]) -> String {
        self.prepare(verb, pairs).unwrap().loses.unwrap_or_default()
    }

    #[track_caller]
    fn check_question(&self, verb: &str, pairs: &[(&str, &str)], words: &[&str]) {
        let question = self.question(verb, pairs);
        assert_eq!(
            question.is_empty(),
            words.is_empty(),
            "{verb} {pairs:?}: {question}"
        );
        for it in words {
            assert!(question.contains(it), "{verb} {pairs:?}: {question}");
        }
    }
}

/// A carboy of 22.7 L of dry red that is finished.
fn with_red() -> Cellar {
    let mut cellar = Cellar::new();
    let carboy = [
        ("name", "Carboy A"),
        ("holds", "Kit red"),
        ("amount", "22.7 L"),
        ("mark", "23 L"),
        ("wine", "red"),
    ];
    cellar.write("here", &carboy);
    cellar.write("measure", &[("place", "Carboy A"), ("gravity", "0.994")]);
    cellar
}

#[test]
fn a_slip_in_a_dose_is_asked_about_and_a_dose_is_not() {
    let cellar = with_red();
    let check = |verb: &str, key: &str, what: &str, amount: &str, words: &[&str]| {
        let pairs = [("place", "Carboy A"), (key, what), ("amount", amount)];
        cellar.check_question(verb, &pairs, words);
    };
    // 30 g × 0.5763 / 22.7 L = 762 mg/L; 1.5 g are 38.
    check(
        "add",
        "substance",
        "sulfite",
        "30 g",
        &["762 mg/L of SO2 at once", "over the 150 that bottled red"],
    );
    check("add", "substance", "sulfite", "1.5 g", &[]);
    check(
        "add",
        "substance",
        "sorbate",
        "500 g",
        &[
            "500 g of potassium sorbate",
            "over the 0.27 that the OIV and the EU allow",
        ],
    );
    // It is dry.
    check(
        "add",
        "substance",
        "sorbate",
        "5 g",
        &["a dry wine needs no sorbate"],
    );
    check(
        "add",
        "substance",
        "sugar",
        "50 kg",
        &["over the 500 that any wine holds"],
    );
    check("add", "substance", "sugar", "1.5 kg", &[]);
    check(
        "add",
        "substance",
        "tartaric acid",
        "200 g",
        &["over the 4"],
    );
    check("add", "substance", "elderflower", "500 g", &[]);
    check(
        "fine",
        "agent",
        "bentonite",
        "150 g",
        &["go by a bench trial"],
    );
    check("fine", "agent", "bentonite", "15 g", &[]);
    check("feed", "with", "dap", "50 g", &["diammonium"]);
    check("feed", "with", "dap", "10 g", &[]);
    check(
        "pitch",
        "yeast",
        "a red yeast",
        "500 g",
        &["that any recipe gives"],
    );
    check("pitch", "yeast", "a red yeast", "5 g", &[]);
    let sweeten = |amount| cellar.question("sweeten", &[("place", "Carboy A"), ("amount", amount)]);
    assert!(sweeten("50 kg").contains("over the 500"));
    // Yeast that nothing holds begins again on sugar.
    let unstable = sweeten("1 kg");
    assert!(
        unstable.starts_with("Carboy A is not stabilised"),
        "{unstable}"
    );
    let stabilise = [
        ("place", "Carboy A"),
        ("sorbate", "5 g"),
        ("sulfite", "20 g"),
    ];
    cellar.check_question("stabilise", &stabilise, &["at once"]);
}

#[test]
fn what_was_added_before_counts_towards_the_ceiling() {
    let mut cellar = with_red();
    let dose = [
        ("place", "Carboy A"),
        ("substance", "sulfite"),
        ("amount", "1.9 g"),
    ];
    // 48 mg/L each: the fourth makes 193, over the 150 of a red.
    for _ in 0..3 {
        cellar.check_question("add", &dose, &[]);
        cellar.write("add", &dose);
    }
    cellar.check_question("add", &dose, &["has had 193 mg/L of SO2, over the 150"]);
}

#[test]
fn a_wine_of_which_nobody_knows_how_much_is_not_asked_about() {
    let mut cellar = Cellar::new();
    cellar.write(
        "here",
        &[("name", "Barrel"), ("holds", "Old red"), ("amount", "?")],
    );
    let dose = [
        ("place", "Barrel"),
        ("substance", "sulfite"),
        ("amount", "30 g"),
    ];
    cellar.check_question("add", &dose, &[]);
}

#[test]
fn sorbate_in_a_wine_that_works_or_has_bacteria_says_the_hazard() {
    let dose = [
        ("place", "Bucket"),
        ("sorbate", "5 g"),
        ("sulfite", "1.5 g"),
    ];
    let mut cellar = with_must();
    cellar.write("pitch", &[("place", "Bucket"), ("yeast", "a red yeast")]);
    cellar.write("measure", &[("place", "Bucket"), ("gravity", "1.020")]);
    let works = ["does not stop a running ferment", "the bottle bursts"];
    cellar.check_question("stabilise", &dose, &works);
    let alone = [
        ("place", "Bucket"),
        ("substance", "sorbate"),
        ("amount", "5 g"),
    ];
    cellar.check_question("add", &alone, &works);
    let mut cellar = with_red();
    let dose = [
        ("place", "Carboy A"),
        ("sorbate", "5 g"),
        ("sulfite", "1.5 g"),
    ];
    let dry = ["is dry at 0.994, and a dry wine needs no sorbate"];
    cellar.check_question("stabilise", &dose, &dry);
    cellar.write("sweeten", &[("place", "Carboy A"), ("amount", "500 g")]);
    cellar.check_question("stabilise", &dose, &[]);
    cellar.write("start-malo", &[("place", "Carboy A")]);
    cellar.check_question(
        "stabilise",
        &dose,
        &["has had malolactic bacteria", "geraniums"],
    );
}

/// Its malic acid gone, bacteria live in it though nobody wrote down that they were given.
#[test]
fn sorbate_in_a_wine_whose_malic_acid_is_gone_says_the_hazard() {
    let mut cellar = with_red();
    cellar.write("measure", &[("place", "Carboy A"), ("malic", "gone")]);
    let dose = [
        ("place", "Carboy A"),
        ("sorbate", "5 g"),
        ("sulfite", "1.5 g"),
    ];
    let words = ["has been through malolactic conversion", "geraniums"];
    cellar.check_question("stabilise", &dose, &words);
}

/// Sulfite is asked about where `dose` would speak against it.
#[test]
fn sulfite_into_a_wine_at_work_is_asked_about() {
    let mut cellar = with_must();
    let dose = [
        ("place", "Bucket"),
        ("substance", "sulfite"),
        ("amount", "1 g"),
    ];
    cellar.check_question("add", &dose, &[]);
    cellar.write("pitch", &[("place", "Bucket"), ("yeast", "a red yeast")]);
    cellar.write("measure", &[("place", "Bucket"), ("gravity", "1.012")]);
    let words = ["still fermenting by the book: give none until it is finished"];
    cellar.check_question("add", &dose, &words);
    cellar.write("measure", &[("place", "Bucket"), ("gravity", "0.995")]);
    cellar.check_question("add", &dose, &[]);
}

/// A slip of the keys makes a reading that no wine could give.
#[test]
fn a_reading_that_no_wine_could_give_is_asked_about() {
    let mut cellar = with_red();
    let check = |cellar: &Cellar, key: &str, figure: &str, words: &[&str]| {
        cellar.check_question("measure", &[("place", "Carboy A"), (key, figure)], words);
    };
    let risen = ["read 0.994 on", "gravity does not rise to 1.095 by itself"];
    check(&cellar, "gravity", "1.095", &risen);
    check(&cellar, "gravity", "1.004", &[]);
    check(&cellar, "free-so2", "300", &["no wine holds so much"]);
    check(&cellar, "free-so2", "60", &[]);
    // Sugar that went in raises it.
    cellar.write("sweeten", &[("place", "Carboy A"), ("amount", "1 kg")]);
    check(&cellar, "gravity", "1.011", &[]);
    let mut cellar = with_must();
    let dose = [
        ("place", "Bucket"),
        ("substance", "sulfite"),
        ("amount", "1.9 g"),
    ];
    cellar.write("add", &dose);
    // 1.9 g × 0.5763 / 25 L = 44 mg/L.
    let more = ["300 mg/L of free SO2, and 44 mg/L went in by the book"];
    let pairs = [("place", "Bucket"), ("free-so2", "300")];
    cellar.check_question("measure", &pairs, &more);
    let pairs = [("place", "Bucket"), ("free-so2", "40")];
    cellar.check_question("measure", &pairs, &[]);
}

/// A bucket of 25 L of damson, and 12.8 L of another wine in a carboy of 23 L.
fn with_two_wines() -> Cellar {
    let mut cellar = with_must();
    cellar.write(
        "receive",
        &[
            ("into", "Carboy A"),
            ("amount", "12.8 L"),
            ("batch", "Kit red"),
        ],
    );
    cellar
}

#[test]
fn two_wines_that_meet_are_asked_about_and_a_topping_is_not() {
    let cellar = with_two_wines();
    let blend = [
        "Carboy A holds 12.8 L of Kit red: is this a blend?",
        "`blend`",
    ];
    cellar.check_question(
        "rack",
        &[
            ("from", "Bucket"),
            ("to", "Carboy A=4 L; Demijohn 1; Jug"),
            ("leaving", "14.5 L"),
        ],
        &blend,
    );
    cellar.check_question(
        "press",
        &[("from", "Bucket"), ("to", "Carboy A=4 L")],
        &blend,
    );
    cellar.check_question(
        "split",
        &[("from", "Bucket"), ("to", "Carboy A=4 L")],
        &blend,
    );
    cellar.check_question(
        "receive",
        &[("into", "Carboy A"), ("amount", "4 L"), ("batch", "Plum")],
        &blend,
    );
    cellar.check_question(
        "receive",
        &[
            ("into", "Carboy A"),
            ("amount", "4 L"),
            ("batch", "Kit red"),
        ],
        &[],
    );
    let top_up = |amount| [("into", "Carboy A"), ("from", "Bucket"), ("amount", amount)];
    cellar.check_question("top-up", &top_up("4 L"), &blend);
    // 0.6 L in 13.4 L are 4.5 %.
    cellar.check_question("top-up", &top_up("0.6 L"), &[]);
    let water = [("into", "Carboy A"), ("from", "water"), ("amount", "4 L")];
    // 4 L in 16.8 L are 23.8 %, and 0.2 L in 13 L 1.5 %.
    cellar.check_question(
        "top-up",
        &water,
        &[
            "thins alcohol, acid and SO2 by 23.8 %",
            "more than a topping",
        ],
    );
    let little = [("into", "Carboy A"), ("from", "water"), ("amount", "0.2 L")];
    cellar.check_question("top-up", &little, &[]);
    let asks = cellar.prepare("top-up", &little).unwrap().asks;
    assert!(
        asks[0].starts_with("Water thins alcohol, acid and SO2 by 1.5 %: "),
        "{asks:?}"
    );
    // 1.2 L in 14 L are 9 %; no other vessel is to be named for it.
    let bought = |amount| {
        [
            ("into", "Carboy A"),
            ("from", "bought-wine"),
            ("amount", amount),
            ("as", "Table red"),
        ]
    };
    cellar.check_question(
        "top-up",
        &bought("1.2 L"),
        &[
            "1.2 L of Table red is 9 % of what Carboy A holds then",
            "is it a like wine?",
        ],
    );
    cellar.check_question("top-up", &bought("0.6 L"), &[]);
}

#[test]
fn wine_of_one_batch_meets_itself_without_a_question() {
    let mut cellar = with_must();
    cellar.write("split", &[("from", "Bucket"), ("to", "Carboy A=10 L")]);
    let rack = [
        ("from", "Bucket"),
        ("to", "Carboy A=12 L"),
        ("leaving", "3 L"),
    ];
    cellar.check_question("rack", &rack, &[]);
}

#[test]
fn a_vessel_takes_no_more_than_its_mark_unasked_and_far_over_it_nothing() {
    let mut cellar = Cellar::new();
    cellar.write("vessel add", &[("name", "Big"), ("mark", "54 L")]);
    let receive = |amount| [("into", "Big"), ("amount", amount), ("batch", "Plum")];
    cellar.check_question("receive", &receive("54 L"), &[]);
    cellar.check_question(
        "receive",
        &receive("56 L"),
        &["Big is marked 54.0 L and will hold 56.0 L"],
    );
    cellar.write("receive", &receive("53 L"));
    cellar.check(
        "receive",
        &receive("53 L"),
        "refused: Big is marked 54.0 L, holds 53.0 L and can't take 53.0 L; check the amount, name another vessel, or `adjust` Big first if it holds less.",
    );
}

#[test]
fn what_a_small_vessel_leaves_can_stay_where_it_is() {
    let mut cellar = with_must();
    let rack = [("from", "Bucket"), ("to", "Demijohn 1")];
    cellar.check_question(
        "rack",
        &rack,
        &["leave it in Bucket by `split` of no more than fits (Demijohn 1=4.5 L)"],
    );
    // The way out that the question names leaves it there.
    cellar
        .write("split", &[("from", "Bucket"), ("to", "Demijohn 1=4.5 L")])
        .holds(&[("Bucket", 20.5), ("Demijohn 1", 4.5)]);
}

#[test]
fn sugar_brings_its_room_whichever_verb_adds_it() {
    // 0.62 mL to the gram (27 CFR 24.181: 13.5 lb to the gallon).
    for (verb, what) in [("add", "substance"), ("sweeten", "note")] {
        let mut cellar = with_must();
        cellar
            .write(
                verb,
                &[("place", "Bucket"), (what, "sugar"), ("amount", "1.5 kg")],
            )
            .holds(&[("Bucket", 25.93)]);
    }
}

#[test]
fn another_gallon_says_which_vessels_were_entered_in_the_one_before() {
    let mut cellar = Cellar::new();
    cellar.write("vessel add", &[("name", "Jug"), ("mark", "1 gal")]);
    cellar.write("vessel add", &[("name", "Carboy"), ("mark", "23 L")]);
    let said = "Entered in US gallons before, and still so: Jug (1 gal, 3.8 L). Where imperial gallons were meant, `vessel change` sets the mark anew.";
    cellar.check_asks("settings", &[("gallon", "imperial")], &[said]);
    cellar.check_asks("settings", &[("gallon", "us")], &[]);
}
