//! What a dose says besides its figure: the wine's state, the ceilings, the form given first.

use leesline_calc::answer::{Answer, CautionKind};
use leesline_calc::quantity::{Gallon, Units};
use leesline_calc::registry;

const PLAIN: [(&str, &str); 3] = [("volume", "5 gal"), ("free-so2", "10"), ("ph", "3.4")];

fn dose(more: &[(&str, &str)]) -> Answer {
    let given = [&PLAIN[..], more].concat();
    ask("sulfite-dose", &given)
}

fn ask(calc: &str, given: &[(&str, &str)]) -> Answer {
    registry::find(calc)
        .expect("a case answers")
        .ask(given, &Units::default())
        .expect("a case answers")
}

fn asks(answer: &Answer) -> Vec<&str> {
    answer.asks().collect()
}

fn says(answer: &Answer, kind: CautionKind, words: &str) -> bool {
    answer
        .cautions
        .iter()
        .any(|c| c.kind == kind && c.sentence.contains(words))
}

fn check_state(state: &str, words: &str, waits: bool) {
    let answer = dose(&[("state", state)]);
    assert!(says(&answer, CautionKind::State, words), "{state}");
    assert_eq!(
        answer.results.text("first_form") == Some("wait"),
        waits,
        "{state}"
    );
    assert_eq!(answer.number("half_now_g").is_none(), waits, "{state}");
}

#[test]
fn the_state_of_the_wine_comes_first() {
    check_state("fermenting", "does not stop a ferment", true);
    check_state("malo-wanted", "dose once it is finished", true);
    check_state("malo-running", "dose once it is finished", true);
    check_state("yeast-to-follow", "leave a day between", false);
    check_state("kit-sulfited", "so that the sum is right", false);
    assert!(!says(&dose(&[]), CautionKind::State, ""));
    for state in [
        "fermenting",
        "malo-wanted",
        "malo-running",
        "yeast-to-follow",
    ] {
        assert_eq!(asks(&dose(&[("state", state)])).len(), 1, "{state}");
    }
    let untested = ask(
        "sulfite-dose",
        &[("volume", "23 L"), ("ph", "3.2"), ("state", "kit-sulfited")],
    );
    assert_eq!(
        asks(&untested),
        ["Dose on top of the kit's sulfite without a test?"]
    );
    assert!(asks(&dose(&[("state", "kit-sulfited")])).is_empty());
}

fn check_aim(wine: &str, molecular: f64, ceiling: f64) {
    let answer = dose(&[("wine", wine)]);
    assert_eq!(
        answer.number("aim_molecular_mg_l"),
        Some(molecular),
        "{wine}"
    );
    assert_eq!(
        answer.inputs.number("target_molecular_mg_l"),
        Some(molecular),
        "{wine}"
    );
    assert_eq!(answer.number("ceiling_mg_l"), Some(ceiling), "{wine}");
}

// Aims: common practice. Ceilings: Delegated Regulation (EU) 2019/934, Annex I Part B, A.1 and A.2 (opened);
// fruit wine: Regulation (EC) 1333/2008, from memory.
#[test]
fn the_kind_of_wine_sets_aim_and_ceiling() {
    check_aim("red", 0.5, 150.0);
    check_aim("white", 0.8, 200.0);
    check_aim("rose", 0.8, 200.0);
    check_aim("fruit", 0.8, 200.0);
    check_aim("sweet", 0.8, 250.0);
    check_aim("sweet-red", 0.8, 200.0);
    let asked = dose(&[("wine", "red"), ("target-molecular", "0.8")]);
    assert_eq!(asked.number("aim_molecular_mg_l"), Some(0.8));
    assert!(says(
        &dose(&[("wine", "sweet")]),
        CautionKind::Hazard,
        "the bottle bursts"
    ));
    assert!(says(
        &dose(&[("wine", "red")]),
        CautionKind::Range,
        "its colour holds"
    ));
}

#[test]
fn a_dose_stops_over_fifty_at_once_and_over_the_ceiling() {
    assert!(asks(&dose(&[])).is_empty());
    let much = dose(&[("target-free-so2", "60"), ("bound-fraction", "0")]);
    assert!(asks(&much).is_empty(), "exactly 50 passes");
    assert_eq!(
        asks(&dose(&[("target-free-so2", "61"), ("bound-fraction", "0")])),
        ["Add 51 mg/L at once?"]
    );
    let sum = |so_far| {
        dose(&[
            ("target-free-so2", "40"),
            ("bound-fraction", "0"),
            ("added-so-far", so_far),
        ])
    };
    assert_eq!(sum("169").number("total_added_mg_l"), Some(199.0));
    // What went in before anybody wrote it down is in no sum, and each says so.
    let least = dose(&[
        ("target-free-so2", "40"),
        ("bound-fraction", "0"),
        ("added-so-far", "171"),
        ("more-before", "yes"),
    ]);
    let low_and_high = ["total_added_mg_l_low", "total_added_mg_l_high"];
    assert_eq!(low_and_high.map(|it| least.number(it)), [Some(201.0), None]);
    let working: Vec<&str> = least
        .working
        .iter()
        .map(|it| it.sentence.as_str())
        .collect();
    let says = |words: &str| working.iter().any(|it| it.contains(words));
    assert!(
        says("at least 171 mg/L added since the must"),
        "{working:?}"
    );
    assert!(says("at least 171 + 30 = 201 mg/L added"), "{working:?}");
    let mut cautions = least.cautions.iter();
    assert!(cautions.any(|it| it.sentence.contains("the wine has had at least 201 mg/L")));
    assert!(asks(&sum("169")).is_empty());
    assert_eq!(
        asks(&sum("171")),
        ["Go over the legal ceiling for this kind of wine?"]
    );
    assert!(
        sum("171").cautions[0].asks.is_some(),
        "what asks stands first"
    );
}

/// A guess at how weak a powder is never takes the wine over the ceiling unasked: 30 / 0.5 + 150 is 210, over 200.
#[test]
fn an_old_powder_is_reckoned_at_full_strength_against_the_ceiling() {
    let old = |so_far| {
        dose(&[
            ("target-free-so2", "40"),
            ("bound-fraction", "0"),
            ("potency", "50"),
            ("added-so-far", so_far),
        ])
    };
    assert_eq!(
        asks(&old("150")),
        ["Go on with a powder that may be stronger than taken?"]
    );
    assert!(says(&old("150"), CautionKind::Limit, "had 210 mg/L"));
    assert!(asks(&old("140")).is_empty(), "exactly 200 passes");
    assert_eq!(
        asks(&old("171")),
        ["Go over the legal ceiling for this kind of wine?"]
    );
}

#[test]
fn a_molecular_aim_beside_a_free_one_is_left_aside_and_said() {
    let aside = |more: &[(&str, &str)]| {
        let answer = dose(&[&[("target-free-so2", "30")], more].concat());
        assert_eq!(answer.number("target_free_so2_mg_l"), Some(30.0));
        answer.working.iter().any(|step| step.step == "aside")
    };
    assert!(aside(&[("target-molecular", "0.5")]));
    assert!(!aside(&[]));
}

#[test]
fn a_high_ph_says_what_an_honest_aim_costs() {
    let answer = ask(
        "sulfite-dose",
        &[("volume", "5 gal"), ("ph", "3.9"), ("free-so2", "60")],
    );
    // UCCE, Enology Briefs 1982: 99 and 62 mg/L free at pH 3.9.
    assert!(says(&answer, CautionKind::Limit, "costs 99 mg/L free SO2"));
    assert!(says(
        &answer,
        CautionKind::Limit,
        "aim at 0.5 (62 mg/L free)"
    ));
    assert!(!says(&dose(&[]), CautionKind::Limit, "honest"));
}

fn check_form(tools: &[(&str, &str)], form: &str) {
    let fixed = [
        ("target-free-so2", "30"),
        ("bound-fraction", "0"),
        ("potency", "100"),
    ];
    let answer = dose(&[&fixed[..], tools].concat());
    assert_eq!(answer.results.text("first_form"), Some(form), "{tools:?}");
}

// 20 mg/L in 18.93 L is 0.657 g of powder (common arithmetic): half is 0.328 g, 3.28 mL, 0.055 tsp.
#[test]
fn the_first_form_is_one_the_tools_give_within_a_tenth() {
    check_form(&[("scale-step", "0.01"), ("syringe-step", "0.1")], "weigh");
    check_form(
        &[("scale-step", "0.1"), ("syringe-step", "0.1")],
        "solution",
    );
    check_form(&[("scale-step", "0.0328")], "weigh");
    check_form(
        &[("scale-step", "0.0329"), ("syringe-step", "0.3")],
        "solution",
    );
    check_form(
        &[
            ("scale-step", "1"),
            ("syringe-step", "1"),
            ("tablet-so2", "190"),
        ],
        "tablets",
    );
    check_form(&[("scale-step", "1"), ("syringe-step", "0.5")], "solution");
    let coarse = dose(&[
        ("target-free-so2", "30"),
        ("bound-fraction", "0"),
        ("syringe-step", "1 mL"),
    ]);
    assert!(says(&coarse, CautionKind::Practice, "None of your tools"));
}

#[test]
fn a_spoon_comes_first_only_when_weighed_and_never_under_an_eighth() {
    // 40 mg/L in 60 L is 4.16 g: half of it is 0.52 of a spoon weighed at 4 g, or 0.347 at 6 g, 28 % off a quarter.
    let given = [
        ("volume", "60 L"),
        ("target-free-so2", "40"),
        ("bound-fraction", "0"),
        ("scale-step", "5"),
        ("syringe-step", "10"),
    ];
    let with = |more: &[(&str, &str)]| ask("sulfite-dose", &[&given[..], more].concat());
    assert_eq!(
        with(&[("teaspoon", "4 g")]).results.text("first_form"),
        Some("teaspoon")
    );
    let unweighed = with(&[]);
    assert_eq!(
        unweighed.results.text("first_form"),
        Some("teaspoon"),
        "the nearest of three bad ones"
    );
    assert!(says(
        &unweighed,
        CautionKind::Practice,
        "28 % too much or too little"
    ));
    assert!(unweighed.number("teaspoons_low") < unweighed.number("teaspoons"));

    // 1 mg/L in 5 L is 5 mg of SO2, 8.7 mg of powder: half of it is far below a scale of 5 g and a syringe of 10 mL (0.1 g/mL).
    let tiny = ask(
        "sulfite-dose",
        &[
            ("volume", "5 L"),
            ("free-so2", "29"),
            ("target-free-so2", "30"),
            ("bound-fraction", "0"),
            ("scale-step", "5"),
            ("syringe-step", "10"),
        ],
    );
    assert!(says(
        &tiny,
        CautionKind::Practice,
        "Let it wait until a test finds more"
    ));
    assert_eq!(tiny.results.text("first_form"), Some("wait"));
    assert_eq!(tiny.number("half_now_g"), None);

    let small = ask(
        "sulfite-dose",
        &[
            ("volume", "5 L"),
            ("target-free-so2", "30"),
            ("bound-fraction", "0"),
        ],
    );
    assert_eq!(small.number("teaspoons"), None);
    assert_eq!(small.number("half_now_tsp"), None);
}

#[test]
fn enough_is_enough() {
    let answer = dose(&[("target-free-so2", "9")]);
    assert_eq!(answer.number("metabisulfite_g"), Some(0.0));
    assert_eq!(answer.results.text("first_form"), Some("none"));
    assert!(
        answer
            .working
            .iter()
            .any(|step| step.sentence.contains("already met: add nothing"))
    );
    assert!(!says(&answer, CautionKind::Hazard, "asthma"));
    assert!(says(&dose(&[]), CautionKind::Hazard, "asthma"));
}

#[test]
fn both_constants_are_shown_and_never_mixed() {
    let extension = dose(&[]);
    let oiv = dose(&[("constant", "oiv")]);
    let other = |answer: &Answer| answer.other_constant.clone().expect("a case answers");
    assert_eq!(
        extension.number("metabisulfite_g"),
        other(&oiv).number("metabisulfite_g")
    );
    assert_eq!(
        oiv.number("metabisulfite_g"),
        other(&extension).number("metabisulfite_g")
    );
    assert_eq!(other(&oiv).text("constant"), Some("extension"));
    let cold = dose(&[("temperature", "10 °C")]);
    assert_eq!(other(&cold).number("pk1"), None);
    assert!(
        other(&cold)
            .text("sentence")
            .expect("a case answers")
            .contains("no figure here")
    );
    let cool = dose(&[("temperature", "17 °C")]);
    assert!(says(&cool, CautionKind::Range, "extrapolated"));
    assert!(!says(&extension, CautionKind::Range, "extrapolated"));
}

#[test]
fn an_old_lot_needs_more_and_the_gallon_is_named() {
    let fresh = dose(&[]).number("metabisulfite_g").expect("a case answers");
    let old = dose(&[("potency", "80 %")])
        .number("metabisulfite_g")
        .expect("a case answers");
    assert!((old - fresh / 0.8).abs() < 1e-9);
    let named = |gallon, words: &str| {
        let units = Units {
            gallon,
            ..Units::default()
        };
        let answer = registry::find("sulfite-dose")
            .expect("a case answers")
            .ask(&PLAIN, &units)
            .expect("a case answers");
        answer
            .assumptions
            .iter()
            .any(|a| a.key == "volume_l" && a.sentence.contains(words))
    };
    assert!(named(Gallon::Us, "US gallons of 3.785 L"));
    assert!(named(Gallon::Imperial, "imperial gallons of 4.546 L"));
}

#[test]
fn each_measurement_narrows_the_rule_of_thumb() {
    let rule = ask("sulfite-by-spoon", &[("volume", "5 gal")]);
    let width = |key: &str| {
        let end = |end| {
            rule.number(&format!("{key}_{end}"))
                .expect("a case answers")
        };
        end("high") / end("low")
    };
    let widths = [
        "molecular_so2_mg_l",
        "molecular_with_strip_mg_l",
        "molecular_with_meter_mg_l",
        "molecular_with_both_mg_l",
    ]
    .map(width);
    assert!(
        widths.is_sorted_by(|wide, narrow| wide > narrow),
        "{widths:?}"
    );
    assert!(width("molecular_with_test_mg_l") < width("molecular_so2_mg_l"));
}

/// 45.67 mg/L of a level spoon are 68.5 to 91.3 of a heaped one (half again to twice as much, common practice), of which 0.67 stay
/// free; packed level it brings 61, of which 41 stay free, and is asked nothing.
#[test]
fn a_heaped_spoon_is_warned_of_where_a_spoon_is_used() {
    let heaped = "69 to 91 mg/L, of which 46 to 61 stay free";
    let says_so = |volume: &str| {
        let rule = ask("sulfite-by-spoon", &[("volume", volume)]);
        assert_eq!(rule.asks().count(), 0);
        says(&rule, CautionKind::Limit, heaped)
    };
    assert!(says_so("5 gal"));
    assert!(!says_so("1 gal"));
}

/// 0.3 g by a scale of a gram is no weight, and 3 mL of a stock of 10 g in 100 mL.
#[test]
fn less_than_a_spoon_is_measured_as_stock_where_the_scale_is_too_coarse() {
    let rule = |step: &str| {
        ask(
            "sulfite-by-spoon",
            &[("volume", "1 gal"), ("scale-step", step)],
        )
    };
    let millilitres = rule("1").number("solution_ml").expect("as stock");
    assert!((millilitres - 3.0).abs() < 0.01, "{millilitres}");
    assert_eq!(rule("0.01").number("solution_ml"), None);
}

/// 30.6 mg/L free of 45.67 and a third bound; at pH 3.60 by a meter, ± 0.05, 1.6 % of it is molecular: 1/(1 + 10^(3.6 − 1.81)).
#[test]
fn a_measured_ph_takes_the_place_of_any() {
    let rule = ask("sulfite-by-spoon", &[("volume", "5 gal"), ("ph", "3.6")]);
    let found = rule.number("molecular_so2_mg_l").expect("at its pH");
    let expected = 45.67 * 0.67 / (1.0 + 10_f64.powf(3.6 - 1.81));
    assert!((found - expected).abs() < 0.001, "{found} {expected}");
    assert_eq!(rule.number("molecular_with_strip_mg_l"), None);
    assert!(!says(
        &rule,
        CautionKind::Practice,
        "neither your wine's pH"
    ));
}

fn check_limit(given: &[(&str, &str)], words: &str, expected: bool) {
    assert_eq!(
        says(&dose(given), CautionKind::Limit, words),
        expected,
        "{given:?}: {words}"
    );
}

#[test]
fn each_limit_begins_where_it_says() {
    let at_ph = |ph| {
        ask(
            "sulfite-dose",
            &[("volume", "23 L"), ("ph", ph), ("free-so2", "30")],
        )
    };
    assert!(!says(&at_ph("3.7"), CautionKind::Limit, "honest"));
    assert!(says(&at_ph("3.71"), CautionKind::Limit, "honest"));
    assert!(says(&at_ph("3.7"), CautionKind::Limit, "this aims at 63"));

    let free = |aim, so_far| {
        [
            ("target-free-so2", aim),
            ("bound-fraction", "0"),
            ("added-so-far", so_far),
        ]
    };
    check_limit(&free("50", "0"), "is tasted, and this aims", false);
    check_limit(&free("51", "0"), "is tasted, and this aims", true);
    // 10 mg/L is in the wine: the aim of 19 adds 9, and nothing more is known of.
    check_limit(&free("19", "0"), "contains sulfites", false);
    check_limit(&free("20", "0"), "contains sulfites", true);
    check_limit(&free("40", "170"), "over the 200", false);
    check_limit(&free("40", "170.5"), "over the 200", true);
}

#[test]
fn free_so2_that_is_not_given_is_taken_as_none_and_said() {
    let said = |answer: &Answer| {
        answer
            .assumptions
            .iter()
            .any(|a| a.sentence.contains("taken as none"))
    };
    assert!(said(&ask(
        "sulfite-dose",
        &[("volume", "23 L"), ("ph", "3.4")]
    )));
    assert!(!said(&dose(&[])));
}

#[test]
fn the_ceiling_is_cited_by_kind_of_wine() {
    let cites = |wine, words: &str| {
        dose(&[("wine", wine)])
            .sources
            .iter()
            .any(|source| source.sentence.contains(words))
    };
    assert!(cites("fruit", "1333/2008") && !cites("fruit", "2019/934"));
    assert!(cites("white", "2019/934") && !cites("white", "1333/2008"));
}

#[test]
fn a_spoon_of_exactly_an_eighth_is_still_a_spoon() {
    // 10 mg/L in 57.63 L at 0.5763 is 1 g: an eighth of a teaspoon that holds 8 g.
    let grams = |text: &'static str| {
        [
            ("volume", text),
            ("target-free-so2", "10"),
            ("bound-fraction", "0"),
            ("teaspoon", "8 g"),
        ]
    };
    assert!(
        ask("sulfite-dose", &grams("57.631 L"))
            .number("teaspoons")
            .is_some()
    );
    assert!(
        ask("sulfite-dose", &grams("57.629 L"))
            .number("teaspoons")
            .is_none()
    );
    assert!(
        ask("sulfite-dose", &grams("115.27 L"))
            .number("half_now_tsp")
            .is_some()
    );
    assert!(
        ask("sulfite-dose", &grams("115.25 L"))
            .number("half_now_tsp")
            .is_none()
    );
}

#[test]
fn a_red_wine_takes_its_own_aim_only_where_none_is_given() {
    let aim = |more: &[(&str, &str)]| dose(more).number("aim_molecular_mg_l");
    assert_eq!(aim(&[("wine", "red")]), Some(0.5));
    assert_eq!(
        aim(&[("wine", "red"), ("target-molecular", "0.6")]),
        Some(0.6)
    );
    assert_eq!(
        aim(&[("wine", "white"), ("target-molecular", "0.6")]),
        Some(0.6)
    );
    assert_eq!(aim(&[]), Some(0.8));
}

#[test]
fn what_gets_bound_spreads_the_dose_unless_it_is_known() {
    let assumed = dose(&[]);
    let ratio = |end: &str| {
        assumed
            .number(&format!("metabisulfite_g_{end}"))
            .zip(assumed.number("metabisulfite_g"))
            .map(|(end, dose)| end / dose)
            .expect("a dose with a band")
    };
    // (1 − 0.33)/(1 − 0.25) and (1 − 0.33)/(1 − 0.5), by the formula of the addition.
    assert!((ratio("low") - 0.67 / 0.75).abs() < 1e-12);
    assert!((ratio("high") - 0.67 / 0.5).abs() < 1e-12);
    let says_so = |answer: &Answer| answer.assumptions.iter().any(|a| a.key == "bound_fraction");
    assert!(says_so(&assumed));
    let known = dose(&[("bound-fraction", "0.33")]);
    assert!(!says_so(&known));
    assert_eq!(
        known.number("metabisulfite_g"),
        assumed.number("metabisulfite_g")
    );
    assert_eq!(known.number("metabisulfite_g_low"), None);
    assert_eq!(
        dose(&[("target-free-so2", "9")]).number("metabisulfite_g_low"),
        None
    );
}

#[test]
fn going_over_the_ceiling_names_the_law_of_that_wine() {
    let law = |wine| {
        let answer = dose(&[("wine", wine), ("added-so-far", "400")]);
        answer
            .cautions
            .iter()
            .find(|c| c.sentence.contains("over the"))
            .map(|c| c.source)
    };
    assert!(law("fruit").is_some_and(|source| source.contains("1333/2008")));
    assert!(law("white").is_some_and(|source| source.contains("2019/934")));
}
