//! Strength, gravity and sugar from a refractometer while a wine ferments.

use super::sugar_inputs::{GROUP, ICUMSA, R22};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::hazards::REFERMENTING;
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::refraction::{NotSeen, Seen, seen};
use crate::registry::{Calculator, ResultSpec};

/// From Balling's figure to a wasteful yeast's.
const SPREAD: (f64, f64) = (2.0665, 2.18);
/// How far the mixing of sugar and alcohol may be off, in °Brix.
const OPTICS_BRIX: f64 = 0.1;
/// How far a refractometer's strength may be off in a must, whose solids are not all sugar.
const MUST_PCT_VOL: f64 = 0.4;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "refractometer",
    sentence: "Strength, gravity and sugar by refractometer, though alcohol bends the light too.",
    group: GROUP,
    inputs: &[
        Input::new(
            "start_brix",
            Quantity::Brix,
            "°Brix before the ferment, at 20 °C",
        )
        .required()
        .allowed(1.0, 40.0, "the refraction of sugar is known to 40")
        .sourced(10.0, 30.0, "musts lie between"),
        Input::new("now_brix", Quantity::Brix, "what it shows now, at 20 °C")
            .required()
            .allowed(-1.0, 40.0, "the refraction of sugar is known to 40"),
        Input::new(
            "extract_per_ethanol",
            Quantity::Number,
            "grams of extract used up for a gram of ethanol",
        )
        .default("2.1324")
        .allowed(
            1.956,
            2.3,
            "less is against chemistry and more was never reported",
        ),
    ],
    results: &[
        ResultSpec::new(
            "sg",
            Quantity::Gravity,
            "what a hydrometer would show, 20/20",
        ),
        ResultSpec::new(
            "alcohol_pct_vol",
            Quantity::AlcoholByVolume,
            "strength at 20 °C",
        ),
        ResultSpec::new(
            "sugar_g_l",
            Quantity::GramsPerLitre,
            "extract left: sugar, and what is not sugar",
        ),
    ],
    example: &[("start-brix", "22"), ("now-brix", "10")],
    solve,
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let (start, now) = (inputs.require("start_brix")?, inputs.require("now_brix")?);
    let per_ethanol = inputs.require("extract_per_ethanol")?;
    let it = seen(start, now, per_ethanol).map_err(|why| refuse(&why, start, now))?;
    let given = inputs.is_given("extract_per_ethanol");
    let yields = if given {
        (per_ethanol, per_ethanol)
    } else {
        SPREAD
    };
    // Each end: the yield and the optics, independent, so as squares; where an end has no ferment, the figure itself.
    let at = |now: f64, per_ethanol: f64| seen(start, now, per_ethanol).unwrap_or(it);
    let (wasteful, thrifty) = (at(now, yields.1), at(now, yields.0));
    let (less, more) = (
        at((now + OPTICS_BRIX).min(start), per_ethanol),
        at(now - OPTICS_BRIX, per_ethanol),
    );
    let both = |of: fn(&Seen) -> f64, by_yield: &Seen, by_optics: &Seen| {
        (of(by_yield) - of(&it)).hypot(of(by_optics) - of(&it))
    };

    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let gravity = |it: &Seen| it.sg;
    let sugar = |it: &Seen| it.extract_g_l;
    answer.band(
        "sg",
        it.sg - both(gravity, &thrifty, &more),
        it.sg,
        it.sg + both(gravity, &wasteful, &less),
    );
    let strength = it.alcohol_pct_vol;
    answer.band(
        "alcohol_pct_vol",
        (strength - MUST_PCT_VOL.hypot(strength - wasteful.alcohol_pct_vol)).max(0.0),
        strength,
        strength + MUST_PCT_VOL.hypot(thrifty.alcohol_pct_vol - strength),
    );
    answer.band(
        "sugar_g_l",
        (it.extract_g_l - both(sugar, &thrifty, &more)).max(0.0),
        it.extract_g_l,
        it.extract_g_l + both(sugar, &wasteful, &less),
    );
    if !given {
        answer.assume(
            "extract_per_ethanol",
            per_ethanol,
            SPREAD,
            "2.1324 g of extract is taken to go into a gram of ethanol, as the convention for wine has \
             it; by yeast it is 2.07 to 2.18.",
        );
    }
    answer.work(
        "light",
        format!(
            "{now:.2} °Bx is the sugar left and the alcohol made together: as sugar alone it would be too much"
        ),
    );
    answer.work(
        "balance",
        format!(
            "from {start:.2} °Bx at {per_ethanol} g to 1 g of ethanol the two fit at {strength:.2} % vol with \
             {:.1} g/L of extract",
            it.extract_g_l
        ),
    );
    answer.work("gravity", format!("which weighs SG {:.4}", it.sg));
    answer.source(Source {
        sentence: "Refraction of sucrose: ICUMSA 1974 scale, as in the French arrêté of 14 September 2011, Annex IV",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Refraction of ethanol: CRC Handbook, 102nd ed., Concentrative properties of aqueous solutions",
        standing: Standing::Opened,
    });
    answer.source(Source {
        sentence: "Sugar and ethanol together by adding what each adds; within 0.04 °Bx of the law of Lorentz and Lorenz",
        standing: Standing::Derived,
    });
    answer.source(ICUMSA);
    answer.source(R22);
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "A refractometer tells strength no closer than 0.4 % vol and cannot say that a wine is finished: use a hydrometer \
         for that. Let solids settle, and bring drop and prism to 20 °C unless it corrects for warmth itself.",
    );
    if it.sg > 0.996 && strength > 0.0 {
        answer.hazard(REFERMENTING);
    }
    Ok(answer)
}

fn refuse(why: &NotSeen, start: f64, now: f64) -> CalcError {
    let sentence = match why {
        NotSeen::Rising => format!(
            "{now:.2} °Bx is above {start:.2}, and a ferment only falls: check both readings, or count sugar added \
             since in start_brix"
        ),
        NotSeen::BelowAllFermented(floor) => format!(
            "{now:.2} °Bx is below {floor:.2}, which this must shows once all of it has fermented: check the zero in \
             water and the reading before"
        ),
    };
    CalcError::Refused {
        key: "now_brix",
        sentence,
    }
}
