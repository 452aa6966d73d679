//! The plan of a bottling.

use serde_json::{Value, json};

use super::{Object, heading, reason, reference};
use crate::cellar::amount::Volume;
use crate::cellar::attention::{Answer, GateItem};
use crate::cellar::bottling::{Fill, Plan};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;

/// A plan with the questions to answer first. Lees, bottles and what remains add up to the wine.
pub fn bottling_plan(
    plan: &Plan<'_>,
    (day, gate): (Moment, &[GateItem]),
    cellar: &Snapshot,
) -> Value {
    let mut object = heading(cellar);
    object
        .put("vessel", reference(plan.vessel.key, cellar))
        .volume("wine", Some(plan.wine))
        .put("about", plan.about)
        .volume("lees", Some(plan.lees))
        .volume("lees_unsaid_low", plan.lees_unsaid.map(|it| it[0]))
        .volume("lees_unsaid_high", plan.lees_unsaid.map(|it| it[1]))
        .put(
            "fills",
            plan.fills
                .iter()
                .map(|it| fill(it, plan))
                .collect::<Vec<_>>(),
        )
        .put("bottles", plan.bottles())
        .volume("remains", Some(plan.remains))
        .put("package", plan.package.word())
        .put("closure", plan.closure.word())
        .put("corks", plan.corks.as_str())
        .put("closing", plan.closing.as_str())
        .put("fill_height", plan.height.sentence.as_str())
        .put("fill_below_lip_mm", json!(plan.height.below_lip_mm))
        .put(
            "does_not_fit",
            plan.misfits
                .iter()
                .map(|it| it.sentence.as_str())
                .collect::<Vec<_>>(),
        )
        .put("closures", plan.closures)
        .put("capsules", plan.closures)
        .put("labels", plan.labels)
        .put("sanitizer_l", plan.sanitizer.litres)
        .put("sanitizer_metabisulfite_g", plan.sanitizer.metabisulfite_g)
        .put("sanitizer_citric_g", plan.sanitizer.citric_g)
        .put("sanitizer_contact_min", plan.sanitizer.minutes)
        .put("sulfite", json!(plan.sulfite.answer))
        .put("sulfite_said", plan.sulfite.words.as_str())
        .put("sulfite_holds", json!(plan.sulfite.holds))
        .put("minutes", json!(plan.minutes))
        .put(
            "short",
            plan.short
                .iter()
                .map(|it| json!({ "what": it.what, "wanted": it.wanted, "there": it.there }))
                .collect::<Vec<_>>(),
        )
        .put("asked_of", day.date().to_string())
        .put("questions", gate.iter().map(question).collect::<Vec<_>>());
    object.value()
}

fn fill(fill: &Fill, plan: &Plan<'_>) -> Value {
    let mut object = Object::default();
    object
        .put("size_ml", fill.size_ml)
        .put("package_ml", fill.package_ml)
        .put("part_full", !fill.is_full())
        .put("bottles", fill.bottles)
        .volume(
            "volume",
            Some(Volume::millilitres(fill.size_ml * fill.bottles)),
        )
        .put("on_hand", json!(fill.on_hand()))
        .put("sanitised", json!(fill.empties.map(|it| it.sanitised)))
        .put("clean", json!(fill.empties.map(|it| it.clean)))
        .put("to_wash", json!(plan.to_wash(fill)));
    object.value()
}

fn question(item: &GateItem) -> Value {
    let answer = match item.answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::NotKnown => "not known",
    };
    let deed = item.suggestion.as_ref().map(reason::deed);
    json!({
        "question": item.question,
        "answer": answer,
        "evidence": item.evidence,
        "what_to_do": item.what_to_do,
        "risks_bursting": item.risks_bursting(),
        "command": deed.as_ref().map(reason::command),
        "needs": deed.map(|it| it.needs),
    })
}
