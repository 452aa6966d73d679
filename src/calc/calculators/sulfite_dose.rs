//! How much sulfite to add, in every form it can be given, beginning with the state the wine is in.

mod aim;
mod forms;
mod state;

use self::aim::Aim;
use super::sulfite_inputs::{
    ALCOHOL, BINDING, BOUND, BOUND_SPREAD, CONSTANT, FREE, GROUP, PH, POTENCY, SALT, SCALE_STEP,
    SOLUTION, SYRINGE_STEP, TARGET_MOLECULAR, TEASPOON, TEMPERATURE, VOLUME, YIELD, product,
};
use crate::answer::Answer;
use crate::error::CalcError;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use crate::spread::Spread;
use crate::sulfite::{addition_mg_l, metabisulfite_g};

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
        state::MORE_BEFORE,
        BOUND,
        SALT,
        POTENCY,
        SOLUTION,
        TEASPOON,
        forms::TABLET,
        SCALE_STEP,
        SYRINGE_STEP,
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
        ResultSpec::new(
            "aim_molecular_mg_l",
            Quantity::MassPerVolume,
            "the molecular part of that, where the pH is known",
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
            "dissociation constant used, where the pH is known",
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

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let volume = inputs.require("volume_l")?;
    let free_now = inputs.require("free_so2_mg_l")?;
    let (salt, potency) = product(inputs)?;
    let bound = inputs.require("bound_fraction")?;
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    state::begin(inputs, &mut answer);
    let aim = Aim::read(inputs, &mut answer)?;

    let rise = (aim.free_mg_l - free_now).max(0.0);
    // A spread of nothing is nothing, and the spread's logarithms want something.
    let bound_spread = if inputs.is_given("bound_fraction") || rise == 0.0 {
        (bound, bound)
    } else {
        BOUND_SPREAD
    };
    let added = Spread::new(
        addition_mg_l(rise, bound_spread.0),
        addition_mg_l(rise, bound),
        addition_mg_l(rise, bound_spread.1),
    );
    let so2 = added.scaled(volume);
    let grams_of_mg = metabisulfite_g(1.0, salt, potency);
    let dose = so2.scaled(grams_of_mg);
    answer.work(
        "missing",
        format!(
            "{:.1} − {free_now:.1} = {rise:.1} mg/L, to stay free",
            aim.free_mg_l
        ),
    );
    answer.work(
        "add",
        format!(
            "{rise:.1} / (1 − {bound:.2}) = {:.1} mg/L, of which the rest gets bound",
            added.value
        ),
    );
    answer.work(
        "powder",
        format!(
            "{:.1} × {volume:.2} L / (1000 × {:.4} × {potency:.2}) = {:.2} g of {} metabisulfite",
            added.value,
            salt.so2_yield(),
            dose.value,
            inputs.word("salt")
        ),
    );

    forms::offer(inputs, &mut answer, dose, so2.value)?;
    answer.result("target_free_so2_mg_l", aim.free_mg_l);
    answer.spread("so2_mg", so2);
    answer.spread("adds_total_mg_l", added);
    answer.result("stays_free_mg_l", rise);
    if !inputs.is_given("bound_fraction") {
        answer.source(BINDING);
        answer.assume(
            "bound_fraction",
            bound,
            BOUND_SPREAD,
            "A third of the addition is taken to get bound; a quarter to a half is usual, and nearer \
             a half after a first dose.",
        );
    }
    answer.source(YIELD);
    aim.put(&mut answer, grams_of_mg, |free| {
        addition_mg_l((free - free_now).max(0.0), bound) * volume
    });
    state::warn(inputs, &mut answer, &aim, rise, added.value)?;
    Ok(answer)
}
