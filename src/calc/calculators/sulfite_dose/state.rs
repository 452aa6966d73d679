//! What must be known of the wine before it is dosed: its state, its kind, and what it has had already.

use super::super::so2_need::high_ph_sentence;
use super::super::sulfite_inputs::red_colour;
use super::aim::{Aim, Molecular};
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::error::CalcError;
use crate::hazards::{REFERMENTING, SULFITE_FUMES};
use crate::input::Input;
use crate::inputs::Inputs;
use crate::quantity::{Quantity, Value};
use crate::sulfite::{HIGH_PH, TASTED_FREE_MG_L, ceiling_mg_l, too_much_at_once};

pub(super) const STATE: Input = Input::new(
    "state",
    Quantity::Choice(&[
        "finished",
        "fermenting",
        "malo-wanted",
        "malo-running",
        "yeast-to-follow",
        "kit-sulfited",
    ]),
    "where the wine stands",
)
.default("finished");

pub(super) const WINE: Input = Input::new(
    "wine",
    Quantity::Choice(&["white", "red", "rose", "fruit", "sweet", "sweet-red"]),
    "kind of wine: sets the aim and the ceiling",
)
.default("white");

pub(super) const ADDED_SO_FAR: Input = Input::new(
    "added_so_far_mg_l",
    Quantity::MassPerVolume,
    "SO2 added since the must, free and bound together",
)
.allowed(
    0.0,
    1000.0,
    "a wine that had more is tested for total SO2 and given none, and no wine had less than none",
);

pub(super) const MORE_BEFORE: Input = Input::new(
    "more_before",
    Quantity::Choice(&["no", "yes"]),
    "whether more went in that nobody wrote down, so that added_so_far_mg_l is the least it had",
)
.default("no");

/// What stands before a sum that more may have gone in beside.
fn at_least(inputs: &Inputs) -> &'static str {
    match inputs.word("more_before") {
        "yes" => "at least ",
        _ => "",
    }
}

const EU: &str = "Delegated Regulation (EU) 2019/934, Annex I Part B";
const EU_CEILING: Source = Source {
    sentence: "Delegated Regulation (EU) 2019/934, Annex I Part B: total SO2 in bottled wine, red 150, \
     white and rosé 200, 50 more from 5 g/L of sugar",
    standing: Standing::Opened,
};
const FRUIT_CEILING: Source = Source {
    sentence: "Regulation (EC) 1333/2008, made wine and fruit wine: 200 mg/L total SO2",
    standing: Standing::FromMemory,
};
const US_CEILING: Source = Source {
    sentence: "27 CFR 4.22(b)(1): 350 ppm total SO2 in any wine; 27 CFR 4.32(e): \"contains sulfites\" \
     from 10 ppm",
    standing: Standing::Opened,
};

/// Whether a dose has to wait for the yeast or the bacteria.
pub(super) fn waits(inputs: &Inputs) -> bool {
    matches!(
        inputs.word("state"),
        "fermenting" | "malo-wanted" | "malo-running"
    )
}

/// Says first where the wine stands, what it has had, and what speaks against a dose now.
pub(super) fn begin(inputs: &Inputs, answer: &mut Answer) {
    let had = match inputs.number("added_so_far_mg_l") {
        Some(so_far) => format!("{}{so_far:.0} mg/L added since the must", at_least(inputs)),
        None => "what was added since the must is not known".to_owned(),
    };
    answer.work(
        "wine",
        format!("{}, {}; {had}", inputs.word("wine"), inputs.word("state")),
    );
    let mut stop = |sentence: &str, asks: &str| {
        answer.stop(CautionKind::State, "common practice", sentence, asks);
    };
    match inputs.word("state") {
        "fermenting" => stop(
            "The wine is fermenting. Sulfite does not stop a ferment, and the yeast's acetaldehyde binds it at once: \
             wait until the wine is finished, then test and dose.",
            "Add sulfite to a fermenting wine all the same?",
        ),
        "malo-wanted" => stop(
            "Malolactic fermentation is still wanted, and sulfite keeps its bacteria from starting: \
             dose once it is finished.",
            "Give up the malolactic fermentation and dose now?",
        ),
        "malo-running" => stop(
            "Malolactic fermentation is running, and sulfite would stop it half done: dose once it is \
             finished.",
            "Stop the malolactic fermentation and dose now?",
        ),
        "yeast-to-follow" => stop(
            "Yeast or bacteria are to follow. Free sulfite harms them: leave a day between, stir well before, and stay \
             under 50 mg/L for yeast; malolactic bacteria want less than 30 in total.",
            "Is there a day at least before the yeast goes in?",
        ),
        "kit-sulfited" if !inputs.is_given("free_so2_mg_l") => stop(
            "The kit's own sulfite is already in, and free SO2 was not tested, so this dose would come on top of it: \
             test first, or count the packet in added_so_far_mg_l.",
            "Dose on top of the kit's sulfite without a test?",
        ),
        "kit-sulfited" => answer.caution(
            CautionKind::State,
            "common practice",
            "The kit's own sulfite is already in: count its packet in added_so_far_mg_l, so that the \
             sum is right.",
        ),
        _ => {}
    }
}

/// The running sum, the ceilings and the hazards.
pub(super) fn warn(
    inputs: &Inputs,
    answer: &mut Answer,
    aim: &Aim,
    rise: f64,
    added: f64,
) -> Result<(), CalcError> {
    sums(
        inputs,
        answer,
        (rise, added),
        inputs.require("potency_pct")? / 100.0,
    );
    if !inputs.is_given("free_so2_mg_l") {
        let free = inputs.require("free_so2_mg_l")?;
        answer.assume_plainly(
            "free_so2_mg_l",
            &Value::Number(free),
            "Free SO2 was not given and is taken as none; whatever is in the wine already comes on top \
             of the aim.",
        );
    }
    if let Some(Molecular {
        ph,
        mg_l,
        aimed_at: true,
        constants,
    }) = &aim.molecular
        && *ph > HIGH_PH
    {
        let sentence = high_ph_sentence(*ph, *mg_l, aim.free_mg_l, constants.pk1());
        answer.caution(CautionKind::Limit, "common practice", sentence);
    } else if aim.free_mg_l > TASTED_FREE_MG_L {
        answer.caution(
            CautionKind::Limit,
            "common practice",
            format!(
                "Above about {TASTED_FREE_MG_L:.0} mg/L free SO2 is tasted, and this aims at {:.0}: let it fall before the \
                 wine is served.",
                aim.free_mg_l
            ),
        );
    }
    if added > 0.0 {
        answer.hazard(SULFITE_FUMES);
        answer.caution(
            CautionKind::Practice,
            "common practice",
            "How much gets bound is an estimate: give half, test in two or three days, then give what \
             is still missing.",
        );
    }
    match inputs.word("wine") {
        "red" | "sweet-red" => red_colour(answer),
        _ => {}
    }
    if inputs.word("wine").starts_with("sweet") {
        answer.caution(
            CautionKind::State,
            "common practice",
            "Sulfite alone does not keep a sweet wine from fermenting again: stabilise it besides, \
             before it is bottled.",
        );
        answer.hazard(REFERMENTING);
    }
    Ok(())
}

/// What it has had since the must, with this dose, against the ceiling for its kind: also if the powder should be as strong as
/// new after all, since how much a lot has weakened is a guess.
fn sums(inputs: &Inputs, answer: &mut Answer, (rise, added): (f64, f64), potency: f64) {
    let wine = inputs.word("wine");
    let so_far = inputs.number("added_so_far_mg_l");
    let total = so_far.unwrap_or(0.0) + added;
    let at_full = so_far.unwrap_or(0.0) + added / potency;
    let ceiling = ceiling_mg_l(wine);
    let least = at_least(inputs);
    for (key, sum) in [
        ("added_so_far_mg_l", so_far),
        ("total_added_mg_l", Some(total)),
    ] {
        answer.result(key, sum);
        if !least.is_empty() && so_far.is_some() {
            // A low end without a high one: the least it can be.
            answer.result(&format!("{key}_low"), sum);
        }
    }
    answer.result("ceiling_mg_l", ceiling);
    answer.source(if wine == "fruit" {
        FRUIT_CEILING
    } else {
        EU_CEILING
    });
    answer.source(US_CEILING);
    answer.work(
        "sum",
        match so_far {
            Some(so_far) => format!(
                "{least}{so_far:.0} + {added:.0} = {total:.0} mg/L added since the must; \
             the ceiling is {ceiling:.0} in total (EU, {wine}), 350 in the US"
            ),
            None => format!(
                "{added:.0} mg/L with this dose, and what was added before is not known; \
             the ceiling is {ceiling:.0} in total (EU, {wine}), 350 in the US"
            ),
        },
    );
    // Of a must another limit is said, its yeast's.
    let is_must = inputs.word("state") == "yeast-to-follow";
    let at_once = too_much_at_once(added, rise).filter(|_| !is_must);
    if let Some((sentence, asked)) = at_once {
        answer.stop(CautionKind::Limit, "common practice", sentence, asked);
    }
    if total > ceiling {
        answer.stop(
            CautionKind::Limit,
            if wine == "fruit" { "Regulation (EC) 1333/2008, from memory" } else { EU },
            format!("With this the wine has had {least}{total:.0} mg/L, over the {ceiling:.0} that bottled \
             {wine} wine may hold in the EU: aim lower, or drink it soon. Your local code holds, not \
             this figure."),
            "Go over the legal ceiling for this kind of wine?",
        );
    } else if at_full > ceiling {
        answer.stop(
            CautionKind::Limit,
            "common practice",
            format!(
                "The dose allows for a powder of {:.0} % strength. Were it as strong as new, the wine would have had \
             {least}{at_full:.0} mg/L, over the ceiling of {ceiling:.0}: use fresh powder, or give half and test.",
                potency * 100.0
            ),
            "Go on with a powder that may be stronger than taken?",
        );
    } else if total >= 10.0 {
        answer.caution(
            CautionKind::Limit,
            "27 CFR 4.32(e)",
            "Someone may be sensitive to it: wine with 10 mg/L or more is labelled \"contains \
             sulfites\"; say so when you give it away.",
        );
    }
}
