//! What a blend comes to, and which blend keeps what is wanted of it.

mod properties;
mod reading;

use super::strengthen_inputs::VOLUME;
use crate::answer::{Answer, CautionKind, Source, Standing};
use crate::blend::{Bound, NoBlend, Side, mixed, mixed_ph, solve as best};
use crate::error::CalcError;
use crate::hazards::REFERMENTING;
use crate::input::{Input, Need};
use crate::inputs::Inputs;
use crate::quantity::Quantity;
use crate::registry::{Calculator, ResultSpec};
use properties::{PROPERTIES, Property};
use reading::{Question, Wine, figure};

/// Sugar from which a wine can ferment again, g/L (common practice).
const SWEET_G_L: f64 = 2.0;

pub(super) static CALCULATOR: Calculator = Calculator {
    name: "blend",
    sentence: "What wines come to together, or how much of each makes a blend within bounds.",
    group: "Blending",
    inputs: &[
        Input::new(
            "wines",
            Quantity::Text,
            "what there is: name:litres:property=value, with commas between; properties are alcohol, ta, va, sugar, ph, \
             free-so2, total-so2, cost (of a litre)",
        )
        .required(),
        Input {
            need: Need::Optional,
            help: "how much to make; all there is if left out",
            ..VOLUME_TO_MAKE
        },
        Input::new(
            "bounds",
            Quantity::Text,
            "what the blend must keep, as alcohol>=12.5, ta<=6.5, of a property or a wine's litres",
        ),
        Input::new(
            "aim",
            Quantity::Text,
            "the best blend: least or most of a property, a wine or volume, a property=value to come near, or even",
        ),
    ],
    results: &[
        ResultSpec::new("parts", Quantity::Text, "litres of each wine, as name:litres"),
        ResultSpec::new("volume_l", Quantity::Volume, "how much it makes"),
        ResultSpec::new("alcohol_pct_vol", Quantity::AlcoholByVolume, "its strength"),
        ResultSpec::new("ta_g_l", Quantity::GramsPerLitre, "its titratable acidity"),
        ResultSpec::new("va_g_l", Quantity::GramsPerLitre, "its volatile acidity"),
        ResultSpec::new("sugar_g_l", Quantity::GramsPerLitre, "its sugar"),
        ResultSpec::new("ph", Quantity::Ph, "its pH, estimated"),
        ResultSpec::new("free_so2_mg_l", Quantity::MassPerVolume, "its free SO2 at first"),
        ResultSpec::new("total_so2_mg_l", Quantity::MassPerVolume, "its total SO2"),
        ResultSpec::new("cost_per_l", Quantity::Number, "what a litre of it costs"),
        ResultSpec::new("cost", Quantity::Number, "what all of it costs"),
        ResultSpec::new("left", Quantity::Text, "what is left of each wine, as name:litres"),
        ResultSpec::new("binding", Quantity::Text, "bounds it lies on, and wines it uses up"),
    ],
    example: &[
        (
            "wines",
            "dark:23:alcohol=14.2:ta=5.4, light:19:alcohol=11.8:ta=7.6, jug:5:alcohol=12.6:ta=6.2",
        ),
        ("make", "20 L"),
        ("bounds", "alcohol>=12.5, alcohol<=13, ta>=6, ta<=6.5"),
        ("aim", "least dark"),
    ],
    solve,
};

const VOLUME_TO_MAKE: Input = Input {
    key: "make_l",
    ..VOLUME
};

fn solve(inputs: &Inputs) -> Result<Answer, CalcError> {
    let question = Question::read(inputs)?;
    let have: Vec<f64> = question.wines.iter().map(|wine| wine.litres).collect();
    let litres = match &question.aim {
        Some(aim) => best(&have, question.make_l, &question.bounds, aim)
            .map_err(|why| refuse(&question, &why))?,
        None => have.clone(),
    };
    let mut answer = Answer::new(CALCULATOR.name, inputs);
    let all: f64 = litres.iter().sum();
    answer.result("parts", list(&question.wines, &litres));
    answer.result("volume_l", all);
    for property in &PROPERTIES {
        put(&mut answer, property, &question.wines, &litres);
    }
    let per_litre = answer.number("cost_per_l");
    answer.result("cost", per_litre.map(|it| it * all));
    let left: Vec<f64> = have
        .iter()
        .zip(&litres)
        .map(|(have, taken)| have - taken)
        .collect();
    answer.result("left", list(&question.wines, &left));
    answer.result("binding", binding(&question, &litres));
    say(&mut answer, &question, &litres);
    Ok(answer)
}

/// `name:litres` of each wine there is any of.
fn list(wines: &[Wine], litres: &[f64]) -> String {
    let each: Vec<String> = wines
        .iter()
        .zip(litres)
        .filter(|(_, litres)| **litres > 5e-4)
        .map(|(wine, litres)| format!("{}:{litres:.3}", wine.name))
        .collect();
    each.join(", ")
}

fn put(answer: &mut Answer, property: &Property, wines: &[Wine], litres: &[f64]) {
    let (mut taken, mut figures) = (Vec::new(), Vec::new());
    for (wine, litres) in wines
        .iter()
        .zip(litres)
        .filter(|(_, litres)| **litres > 0.0)
    {
        let Some(figure) = property.of(wine) else {
            answer.result(property.key, None);
            return;
        };
        taken.push(*litres);
        figures.push(figure);
    }
    if property.key == "ph" {
        answer.spread("ph", mixed_ph(&taken, &figures));
    } else {
        answer.result(property.key, mixed(&taken, &figures));
    }
    let sum: Vec<String> = taken
        .iter()
        .zip(&figures)
        .map(|(v, a)| format!("{v:.3} × {a}"))
        .collect();
    let value = answer.number(property.key).unwrap_or_default();
    answer.work(
        property.word,
        format!(
            "({}) / {:.3} L = {value:.3} {}",
            sum.join(" + "),
            taken.iter().sum::<f64>(),
            property.quantity.unit()
        )
        .trim_end(),
    );
}

fn binding(question: &Question, litres: &[f64]) -> String {
    if question.aim.is_none() {
        let missed = question
            .bounds
            .iter()
            .zip(&question.bounds_typed)
            .filter(|(bound, _)| !bound.is_kept(litres));
        let missed: Vec<String> = missed
            .map(|(_, typed)| format!("{typed} is missed"))
            .collect();
        return missed.join("; ");
    }
    let met = question
        .bounds
        .iter()
        .zip(&question.bounds_typed)
        .filter(|(bound, _)| bound.is_met(litres));
    let used_up = question
        .wines
        .iter()
        .zip(litres)
        .filter(|(wine, taken)| wine.litres - **taken < 1e-6);
    met.map(|(_, typed)| typed.clone())
        .chain(used_up.map(|(wine, _)| format!("{} is used up", wine.name)))
        .collect::<Vec<_>>()
        .join("; ")
}

fn refuse(question: &Question, why: &NoBlend) -> CalcError {
    let sentence = match why {
        NoBlend::Unsolved => {
            "no blend of these could be found: loosen a bound or name another wine".to_owned()
        }
        NoBlend::InTheWay(missed) => {
            let each: Vec<String> = missed
                .iter()
                .map(|(at, nearest)| {
                    let bound: &Bound = &question.bounds[*at];
                    let by = (nearest - bound.figure).abs();
                    let way = if bound.side == Side::AtLeast {
                        "little"
                    } else {
                        "much"
                    };
                    format!(
                        "{} stands in the way: the nearest has {}, {} too {way}",
                        question.bounds_typed[*at],
                        figure(*nearest),
                        figure(by)
                    )
                })
                .collect();
            format!("{}; loosen it or name another wine", each.join("; "))
        }
    };
    CalcError::Refused {
        key: "bounds",
        sentence,
    }
}

fn say(answer: &mut Answer, question: &Question, litres: &[f64]) {
    let knows = |key| answer.number(key).is_some();
    let (ph, free) = (knows("ph"), knows("free_so2_mg_l"));
    answer.source(Source {
        sentence: "Balance of what each wine brings, by volume: Σ aᵢ·Vᵢ / Σ Vᵢ",
        standing: Standing::Derived,
    });
    if question.aim.is_some() {
        answer.source(Source {
            sentence: "Linear programme by the simplex method, each bound checked after solving",
            standing: Standing::Derived,
        });
    }
    if ph {
        answer.source(Source {
            sentence: "pH by volume where the wines buffer alike; the band where one buffers twice as well, our own estimate",
            standing: Standing::Derived,
        });
        answer.caution(
            CautionKind::Range,
            "common practice",
            "The pH of a blend cannot be reckoned from pH alone: mix a glass in these parts and measure it before dosing \
             sulfite.",
        );
    }
    if free {
        answer.caution(
            CautionKind::Range,
            "common practice",
            "Free SO2 binds anew in a blend and falls for some days: test it after three days, not before.",
        );
    }
    let (mut sweetest, mut driest) = (0.0_f64, f64::INFINITY);
    for (wine, _) in question
        .wines
        .iter()
        .zip(litres)
        .filter(|(_, litres)| **litres > 0.0)
    {
        if let Some(sugar) = properties::SUGAR.of(wine) {
            sweetest = sweetest.max(sugar);
            driest = driest.min(sugar);
        }
    }
    if sweetest >= SWEET_G_L && driest < sweetest {
        answer.hazard(REFERMENTING);
    }
    answer.caution(
        CautionKind::Practice,
        "common practice",
        "Taste it in a glass first, in these parts. Blend only wines that are finished, and of which none is faulty; with \
         one that had its malolactic fermentation and one that has not, watch for gas. Let the blend stand some weeks \
         before bottling, since haze and crystals may come.",
    );
}
