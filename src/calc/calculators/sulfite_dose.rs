//! How much sulfite to add, in every form it can be given, beginning with the state the wine is in.

mod forms;
mod state;

use super::sulfite_inputs::{
    ALCOHOL, BINDING, BOUND, BOUND_SPREAD, CONSTANT, Constants, FREE, GROUP, PH, POTENCY, SALT,
    TARGET_MOLECULAR, TEASPOON, TEMPERATURE, VOLUME, YIELD, product,
};
use crate::answer::Answer;
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::sulfite::{addition_mg_l, free_needed_mg_l, metabisulfite_g, molecular_mg_l};

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "sulfite-dose",
    sentence: "How much sulfite to add, by scale, syringe, spoon or tablet, and how sure that is.",
    group: GROUP,
    inputs: &[
        VOLUME.required(),
        state::STATE,
        state::WINE,
        PH,
        FREE.default("0"),
        TARGET_MOLECULAR.default("0.8"),
        Input::new(
            "target_free_so2_mg_l",
            Quantity::MassPerVolume,
            "free SO2 to aim at, instead of a molecular aim",
        )
        .allowed(0.0, 300.0, "no wine is kept at more")
        .sourced(0.0, 130.0, "the extension tables end at 125"),
        state::ADDED_SO_FAR,
        BOUND,
        SALT,
        POTENCY,
        forms::SOLUTION,
        TEASPOON,
        forms::TABLET,
        forms::SCALE_STEP,
        forms::SYRINGE_STEP,
        forms::SPOON,
        CONSTANT,
        TEMPERATURE,
        ALCOHOL,
    ],
    results: &[
        ResultSpec::new(
            "first_form",
            Quantity::Choice(forms::FORMS),
            "the form to give it in first",
        ),
        ResultSpec::new("metabisulfite_g", Quantity::Mass, "powder by weight"),
        ResultSpec::new("solution_ml", Quantity::SmallVolume, "stock solution"),
        ResultSpec::new(
            "teaspoons",
            Quantity::Teaspoons,
            "powder in level teaspoons",
        ),
        ResultSpec::new("tablets", Quantity::Number, "tablets"),
        ResultSpec::new(
            "half_now_g",
            Quantity::Mass,
            "half of it, to give now, by weight",
        ),
        ResultSpec::new(
            "half_now_ml",
            Quantity::SmallVolume,
            "half of it, to give now, as stock solution",
        ),
        ResultSpec::new(
            "half_now_tsp",
            Quantity::Teaspoons,
            "half of it, to give now, in level teaspoons",
        ),
        ResultSpec::new(
            "target_free_so2_mg_l",
            Quantity::MassPerVolume,
            "free SO2 aimed at",
        ),
        ResultSpec::new("so2_mg", Quantity::SmallMass, "SO2 to add"),
        ResultSpec::new(
            "adds_total_mg_l",
            Quantity::MassPerVolume,
            "SO2 added, free and bound together",
        ),
        ResultSpec::new(
            "stays_free_mg_l",
            Quantity::MassPerVolume,
            "the part of it that stays free",
        ),
        ResultSpec::new(
            "added_so_far_mg_l",
            Quantity::MassPerVolume,
            "SO2 added since the must, before this",
        ),
        ResultSpec::new(
            "total_added_mg_l",
            Quantity::MassPerVolume,
            "SO2 added since the must, with this",
        ),
        ResultSpec::new(
            "ceiling_mg_l",
            Quantity::MassPerVolume,
            "legal ceiling for total SO2 in this kind of wine",
        ),
        ResultSpec::new(
            "pk1",
            Quantity::Number,
            "dissociation constant used, where the aim is molecular",
        ),
    ],
    example: &[
        ("volume", "5 gal"),
        ("free-so2", "10"),
        ("ph", "3.4"),
        ("target-molecular", "0.8"),
    ],
    solve,
};

/// The aim, and where it comes from: a molecular one by pH and constant, or the free one that was given.
struct Aim {
    free_mg_l: f64,
    molecular: Option<(f64, Constants)>,
}

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let free_now = inputs.require("free_so2_mg_l")?;
    let (salt, potency) = product(inputs)?;
    let bound = inputs.require("bound_fraction")?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    state::begin(inputs, &mut answer);
    let aim = aim(inputs, &mut answer)?;

    let rise = (aim.free_mg_l - free_now).max(0.0);
    let grams =
        |rise: f64, bound: f64| metabisulfite_g(addition_mg_l(rise, bound) * volume, salt, potency);
    let added = addition_mg_l(rise, bound);
    let dose = grams(rise, bound);
    answer.work(
        "missing",
        format!(
            "{:.1} − {free_now:.1} = {rise:.1} mg/L, to stay free",
            aim.free_mg_l
        ),
    );
    answer.work(
        "add",
        format!("{rise:.1} / (1 − {bound:.2}) = {added:.1} mg/L, of which the rest gets bound"),
    );
    answer.work(
        "powder",
        format!(
            "{added:.1} × {volume:.2} L / (1000 × {:.4} × {potency:.2}) = {dose:.2} g of {} metabisulfite",
            salt.so2_yield(),
            inputs.word("salt")
        ),
    );

    answer.result("target_free_so2_mg_l", aim.free_mg_l);
    answer.result("so2_mg", added * volume);
    answer.result("adds_total_mg_l", added);
    answer.result("stays_free_mg_l", rise);
    answer.result("metabisulfite_g", dose);
    if !inputs.is_given("bound_fraction") {
        answer.band(
            "metabisulfite_g",
            grams(rise, BOUND_SPREAD.0),
            dose,
            grams(rise, BOUND_SPREAD.1),
        );
        answer.source(BINDING);
        answer.assume(
            "bound_fraction",
            bound,
            BOUND_SPREAD,
            "A third of the addition is taken to get bound; a quarter to a half is usual, and nearer a half after a first dose.",
        );
    }
    answer.source(YIELD);
    forms::offer(inputs, &mut answer, dose)?;

    if let Some((target, constants)) = &aim.molecular {
        answer.result("pk1", constants.pk1());
        let ph = inputs.require("ph")?;
        answer.other_constant = Some(constants.other_fields(|pk1, fields| {
            let free = free_needed_mg_l(*target, ph, pk1);
            let rise = (free - free_now).max(0.0);
            fields.put("target_free_so2_mg_l", free);
            fields.put("so2_mg", addition_mg_l(rise, bound) * volume);
            fields.put("metabisulfite_g", grams(rise, bound));
        }));
    }
    state::warn(inputs, &mut answer, &aim, added)?;
    Ok(answer)
}

/// The free SO2 to aim at: as given, or what the molecular aim needs at this pH.
fn aim(inputs: &Inputs, answer: &mut Answer) -> Result<Aim, CalcError> {
    let constants = Constants::read(inputs)?;
    if let Some(free_mg_l) = inputs.number("target_free_so2_mg_l") {
        if let Some(ph) = inputs.number("ph") {
            constants.explain(answer);
            let molecular = molecular_mg_l(free_mg_l, ph, constants.pk1());
            answer.work(
                "aim",
                format!(
                    "{free_mg_l:.1} mg/L free, which is {molecular:.2} molecular at pH {ph:.2}"
                ),
            );
        }
        return Ok(Aim {
            free_mg_l,
            molecular: None,
        });
    }
    let Some(ph) = inputs.number("ph") else {
        return Err(CalcError::Refused {
            key: "ph",
            sentence:
                "it is missing, and so is target_free_so2_mg_l, and the need hangs on one of them: \
                       give either, or take the rule of thumb with sulfite-by-spoon"
                    .to_owned(),
        });
    };
    let target = state::molecular_aim(inputs, answer)?;
    constants.explain(answer);
    let free_mg_l = free_needed_mg_l(target, ph, constants.pk1());
    answer.work(
        "aim",
        format!(
            "{target} × (1 + 10^({ph:.2} − {:.3})) = {free_mg_l:.1} mg/L free",
            constants.pk1()
        ),
    );
    Ok(Aim {
        free_mg_l,
        molecular: Some((target, constants)),
    })
}
