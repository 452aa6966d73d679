//! The trade's rule of thumb, taken at its word: what it gives, how far it may be off, what measuring would buy.

use super::sulfite_inputs::{
    ALCOHOL, BINDING, BOUND, BOUND_SPREAD, CONSTANT, Constants, GROUP, PH, POTENCY, SALT,
    SCALE_STEP, SMALLEST_SPOON, SOLUTION, SYRINGE_STEP, TEASPOON, TEASPOON_SPREAD_G, TEMPERATURE,
    TOOL_GOOD, VOLUME, YIELD, assume_teaspoon, product,
};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::hazards::SULFITE_FUMES;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::spread::Spread;
use crate::sulfite::{TASTED_FREE_MG_L, molecular_fraction, so2_mg, too_much_at_once};

const RULE: Source = Source {
    sentence: "A quarter teaspoon of potassium metabisulfite to five US gallons",
    standing: Standing::CommonPractice,
};

/// The pH that wine has: most lies between, and half of it either side of 3.4.
const PH_OF_WINE: (f64, f64, f64) = (3.0, 3.4, 3.8);
/// A strip is read to 0.3 and a calibrated meter to 0.05; a free SO2 test to a tenth (common practice).
const STRIP: f64 = 0.3;
const METER: f64 = 0.05;
const FREE_TEST: f64 = 0.1;
/// A heaped spoon holds so many times what a level one does (common practice).
const HEAPED: (f64, f64) = (1.5, 2.0);

const RESULTS: &[ResultSpec] = &[
    ResultSpec::new(
        "teaspoons",
        Quantity::Teaspoons,
        "powder in level teaspoons",
    ),
    ResultSpec::new(
        "solution_ml",
        Quantity::SmallVolume,
        "stock solution, where it is less than spoon and scale tell",
    ),
    ResultSpec::new("metabisulfite_g", Quantity::Mass, "powder by weight"),
    ResultSpec::new(
        "adds_total_mg_l",
        Quantity::MassPerVolume,
        "SO2 added, free and bound together",
    ),
    ResultSpec::new(
        "stays_free_mg_l",
        Quantity::MassPerVolume,
        "the part that stays free",
    ),
    ResultSpec::new(
        "molecular_so2_mg_l",
        Quantity::MassPerVolume,
        "molecular SO2, nothing measured but the pH where it is given",
    ),
    ResultSpec::new(
        "molecular_with_strip_mg_l",
        Quantity::MassPerVolume,
        "with the pH by a strip",
    ),
    ResultSpec::new(
        "molecular_with_meter_mg_l",
        Quantity::MassPerVolume,
        "with the pH by a meter",
    ),
    ResultSpec::new(
        "molecular_with_test_mg_l",
        Quantity::MassPerVolume,
        "with free SO2 by a test",
    ),
    ResultSpec::new(
        "molecular_with_both_mg_l",
        Quantity::MassPerVolume,
        "with a meter and a test",
    ),
];

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "sulfite-by-spoon",
    sentence: "The rule of thumb without a test of free SO2: what it gives, and how far it may be off.",
    group: GROUP,
    inputs: &[
        VOLUME.required(),
        Input::new("rule_tsp", Quantity::Teaspoons, "teaspoons the rule says")
            .default("1/4")
            .allowed(
                0.125,
                20.0,
                "less than 1/8 cannot be measured with a spoon and more is no rule of thumb",
            ),
        Input::new("rule_volume_l", Quantity::Volume, "to how much wine")
            .default("5 us gal")
            .allowed(1.0, 1000.0, "rules of thumb are for household vessels"),
        PH,
        SALT,
        POTENCY,
        TEASPOON,
        SOLUTION,
        SCALE_STEP,
        SYRINGE_STEP,
        BOUND,
        CONSTANT,
        TEMPERATURE,
        ALCOHOL,
    ],
    results: RESULTS,
    example: &[("volume", "5 us gal")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let (rule_tsp, rule_volume) = (
        inputs.require("rule_tsp")?,
        inputs.require("rule_volume_l")?,
    );
    let (salt, potency) = product(inputs)?;
    let constants = Constants::read(inputs)?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    constants.explain(&mut answer);
    for source in [RULE, BINDING, YIELD] {
        answer.source(source);
    }

    let teaspoon = teaspoon_spread(inputs, &mut answer)?;
    let stays = stays_free_spread(inputs, &mut answer)?;
    let spoons = rule_tsp * volume / rule_volume;
    let grams = teaspoon.scaled(spoons);
    let added = grams.scaled(so2_mg(1.0, salt, potency) / volume);
    let free = added.times(stays);
    let is_spoon = spoons >= SMALLEST_SPOON;
    answer.result("teaspoons", is_spoon.then_some(spoons));
    let stock = stock(inputs, grams.value)?.filter(|_| !is_spoon);
    answer.result("solution_ml", stock);
    answer.spread("metabisulfite_g", grams);
    answer.spread("adds_total_mg_l", added);
    answer.spread("stays_free_mg_l", free);
    answer.work(
        "spoons",
        format!("{rule_tsp} × {volume:.1} L / {rule_volume:.1} L = {spoons:.2} tsp"),
    );
    answer.work(
        "weight",
        format!(
            "{spoons:.2} × {:.1} g = {:.2} g ({:.1} to {:.1})",
            teaspoon.value, grams.value, grams.low, grams.high
        ),
    );
    answer.work(
        "added",
        format!(
            "{:.2} g × 1000 × {:.4} × {potency:.2} / {volume:.1} L = {:.0} mg/L ({:.0} to {:.0})",
            grams.value,
            salt.so2_yield(),
            added.value,
            added.low,
            added.high
        ),
    );
    answer.work(
        "stays free",
        format!(
            "{:.0} × {:.2} = {:.0} mg/L ({:.0} to {:.0})",
            added.value, stays.value, free.value, free.low, free.high
        ),
    );

    molecular(inputs, &mut answer, free, &constants);
    warn(inputs, &mut answer, spoons, added, free);
    Ok(answer)
}

/// Stock solution for so much powder, mL; `None` where the scale gives that within a tenth.
fn stock(inputs: &Inputs, grams: f64) -> Result<Option<f64>, CalcError> {
    let is_weighed = inputs.require("scale_step_g")? <= grams * TOOL_GOOD;
    let solution = grams * 100.0 / inputs.require("solution_pct")?;
    Ok((!is_weighed).then_some(solution))
}

/// What of it is molecular, by what is measured. Where the pH was, a strip or a meter buys nothing more.
fn molecular(inputs: &Inputs, answer: &mut Answer, free: Spread, constants: &Constants) {
    let pk1 = constants.pk1();
    let (_, middle, _) = PH_OF_WINE;
    let ph = inputs.number("ph");
    let unmeasured = |pk1: f64| ph.map_or_else(|| any_wine(pk1), |ph| around(ph, METER, pk1));
    let tested = Spread::new(1.0 - FREE_TEST, 1.0, 1.0 + FREE_TEST).scaled(free.value);
    let at_middle = |error: f64| ph.is_none().then(|| around(middle, error, pk1));
    let cases = [
        (
            "molecular_so2_mg_l",
            "nothing tested",
            Some(free.times(unmeasured(pk1))),
        ),
        (
            "molecular_with_strip_mg_l",
            "pH by strip",
            at_middle(STRIP).map(|it| free.times(it)),
        ),
        (
            "molecular_with_meter_mg_l",
            "pH by meter",
            at_middle(METER).map(|it| free.times(it)),
        ),
        (
            "molecular_with_test_mg_l",
            "free SO2 tested",
            Some(tested.times(unmeasured(pk1))),
        ),
        (
            "molecular_with_both_mg_l",
            "both measured",
            at_middle(METER).map(|it| tested.times(it)),
        ),
    ];
    for (key, known, molecular) in cases {
        let Some(molecular) = molecular else {
            answer.result(key, None);
            continue;
        };
        answer.spread(key, molecular);
        answer.work(
            known,
            format!(
                "{:.2} to {:.2} mg/L molecular",
                molecular.low, molecular.high
            ),
        );
    }
    answer.other_constant = Some(constants.other_fields(|pk1, fields| {
        let molecular = free.times(unmeasured(pk1));
        fields.put("molecular_so2_mg_l", molecular.value);
        fields.put("molecular_so2_mg_l_low", molecular.low);
        fields.put("molecular_so2_mg_l_high", molecular.high);
    }));
}

/// What is molecular of each mg/L free over the pH that wine has.
fn any_wine(pk1: f64) -> Spread {
    let (low, middle, high) = PH_OF_WINE;
    Spread::new(
        molecular_fraction(high, pk1),
        molecular_fraction(middle, pk1),
        molecular_fraction(low, pk1),
    )
}

/// The same for a pH known to so much either way.
fn around(ph: f64, error: f64, pk1: f64) -> Spread {
    Spread::new(
        molecular_fraction(ph + error, pk1),
        molecular_fraction(ph, pk1),
        molecular_fraction(ph - error, pk1),
    )
}

/// What a teaspoon weighs: known if it was given, else with the spread of grind and packing.
fn teaspoon_spread(inputs: &Inputs, answer: &mut Answer) -> Result<Spread, CalcError> {
    let grams = inputs.require("teaspoon_g")?;
    if inputs.is_given("teaspoon_g") {
        return Ok(Spread::known(grams));
    }
    assume_teaspoon(inputs, answer, grams);
    Ok(Spread::new(TEASPOON_SPREAD_G.0, grams, TEASPOON_SPREAD_G.1))
}

/// The part of the addition that stays free.
fn stays_free_spread(inputs: &Inputs, answer: &mut Answer) -> Result<Spread, CalcError> {
    let bound = inputs.require("bound_fraction")?;
    if inputs.is_given("bound_fraction") {
        return Ok(Spread::known(1.0 - bound));
    }
    answer.assume(
        "bound_fraction",
        bound,
        BOUND_SPREAD,
        "A third of the addition is taken to get bound; a quarter to a half is usual.",
    );
    Ok(Spread::new(
        1.0 - BOUND_SPREAD.1,
        1.0 - bound,
        1.0 - BOUND_SPREAD.0,
    ))
}

fn warn(inputs: &Inputs, answer: &mut Answer, spoons: f64, added: Spread, free: Spread) {
    answer.hazard(SULFITE_FUMES);
    let (knows, then) = if inputs.is_given("ph") {
        ("not what is in your wine already", "A")
    } else {
        (
            "neither your wine's pH nor what is in it already",
            "A pH strip is the cheapest way to know more; a",
        )
    };
    answer.caution(
        CautionKind::Practice,
        "common practice",
        format!(
            "The rule knows {knows}: give it at most once in two or three months, and not on top of a kit's own sulfite. \
             {then} free SO2 test tells whether any is needed."
        ),
    );
    if spoons < SMALLEST_SPOON {
        let pct = inputs.number("solution_pct").unwrap_or(10.0);
        let instead = match answer.number("solution_ml") {
            Some(_) => {
                format!("measure it as stock, {pct} g of powder in cool water, made up to 100 mL")
            }
            None => "weigh it".to_owned(),
        };
        answer.caution(
            CautionKind::Practice,
            "common practice",
            format!("That is less than 1/8 teaspoon, which no spoon measures: {instead}."),
        );
        return;
    }
    let stays = free.value / added.value;
    let heaped = |times: f64| (added.value * times, added.value * times * stays);
    if let Some((sentence, asked)) = too_much_at_once(added.value, free.value) {
        answer.stop(CautionKind::Limit, "common practice", sentence, asked);
    } else if heaped(HEAPED.1).1 > TASTED_FREE_MG_L {
        let [(low, low_free), (high, high_free)] = [HEAPED.0, HEAPED.1].map(heaped);
        answer.caution(
            CautionKind::Limit,
            "common practice",
            format!(
                "A heaped spoon holds half again to twice what a level one does: {low:.0} to {high:.0} mg/L, of which {low_free:.0} \
                 to {high_free:.0} stay free, and more than {TASTED_FREE_MG_L:.0} free is tasted and cannot be taken out again. \
                 Level the spoon with a knife."
            ),
        );
    }
}
