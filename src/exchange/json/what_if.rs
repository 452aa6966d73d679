//! One vessel as it is and as it would be.

use serde_json::{Value, json};

use super::{Object, reference, time, time_if};
use crate::cellar::attention::Reason;
use crate::cellar::attention::ferment::DryDay;
use crate::cellar::course::Reaching;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::what_if::{Beside, Outlook};

/// A vessel or run; `is` is the cellar if nothing is done and `then` as it would be, each at the time that it is seen.
pub fn beside(beside: &Beside, is: &Snapshot, then: &Snapshot) -> Value {
    let gone: Vec<Value> = beside.gone().map(|it| reason(it, then)).collect();
    let new: Vec<Value> = beside.come().map(|it| reason(it, then)).collect();
    let mut object = Object::default();
    object
        .put("place", reference(beside.place, then))
        .put("as_is", outlook(&beside.is, is))
        .put("then", outlook(&beside.then, then))
        .put("reasons_gone", gone)
        .put("reasons_new", new);
    object.value()
}

fn outlook(outlook: &Outlook, cellar: &Snapshot) -> Value {
    let band = outlook.free_so2;
    // What is below already was so since a day that is not foreseen.
    let falls =
        |of: fn(&Reaching) -> Option<i64>| outlook.below_aim.and_then(|it| it.ahead(of(&it)?));
    let dry = |of: fn(DryDay) -> Moment| json!(outlook.dry.map(|it| of(it).date().to_string()));
    let mut object = Object::default();
    object
        .put("at", time(cellar.now.utc_ms, cellar))
        .volume("volume", outlook.volume)
        .put(
            "free_so2_is_tested",
            json!(band.map(|_| !outlook.is_presumed)),
        )
        .put("free_so2_mg_l", json!(band.map(|it| it.mid)))
        .put("free_so2_mg_l_low", json!(band.map(|it| it.low)))
        .put("free_so2_mg_l_high", json!(band.map(|it| it.high)))
        .put("aim_free_so2_mg_l", json!(band.and_then(|it| it.aim)))
        .put("below_aim", time_if(falls(|it| it.usual), cellar))
        .put("below_aim_low", time_if(falls(|it| it.earliest), cellar))
        .put("below_aim_high", time_if(falls(|it| it.latest), cellar))
        .put("sg", json!(outlook.gravity.map(|it| it[1])))
        .put("sg_low", json!(outlook.gravity.map(|it| it[0])))
        .put("sg_high", json!(outlook.gravity.map(|it| it[2])))
        .put("dry_date_low", dry(|it| it.low))
        .put("dry_date", dry(|it| it.mid))
        .put("dry_date_high", dry(|it| it.high))
        .put("foam_room_pct", json!(outlook.foam.map(|it| it.0 * 100.0)))
        .put(
            "foam_asked_pct",
            json!(outlook.foam.and_then(|it| Some(it.1? * 100.0))),
        )
        .volume("headspace", outlook.headspace)
        .put("oxygen_mg_l", json!(outlook.oxygen_mg_l))
        .put("assumptions", assumed(&outlook.assumed))
        .put("not_foreseen", json!(outlook.unforeseen));
    object.value()
}

fn assumed(sentences: &[String]) -> Vec<Value> {
    let of = |it: &String| json!({ "sentence": it });
    sentences.iter().map(of).collect()
}

fn reason(reason: &Reason, cellar: &Snapshot) -> Value {
    json!({
        "subject": reference(reason.subject, cellar),
        "kind": reason.kind.word(),
        "due": reason.due.to_string(),
        "sentence": reason.sentence,
    })
}
