//! Supplies: what there is, what is planned of it, how long it lasts.

use serde_json::{Value, json};

use super::{Object, reference, supply as lot_object, time};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::supplies::to_buy::ToBuy;
use crate::cellar::supplies::{Lot, Need, SulfiteGlance, Supply};

/// All lots of a substance together.
pub fn supply_of(supply: &Supply, cellar: &Snapshot) -> Value {
    let out = supply.runs_out();
    let day =
        |day: Option<crate::cellar::moment::Moment>| json!(day.map(|it| time(it.utc_ms, cellar)));
    let mut object = Object::default();
    object
        .put("substance", supply.substance)
        .dose("left", supply.left)
        .dose("planned", supply.planned())
        .dose("remains", supply.remains())
        .put("short", supply.is_short())
        .put("runs_out_low", day(out.map(|it| it.low)))
        .put("runs_out", day(out.map(|it| it.mid)))
        .put("runs_out_high", day(out.map(|it| it.high)))
        .put("uses", json!(supply.pace.map(|it| it.uses)))
        .put("sentence", supply.lasting())
        .put(
            "needs",
            supply
                .needs
                .iter()
                .map(|it| need(it, cellar))
                .collect::<Vec<Value>>(),
        );
    object.value()
}

/// A lot with how strong it still is.
pub fn lot_of(lot: &Lot, cellar: &Snapshot) -> Value {
    let mut object = lot_object(lot.thing, cellar);
    let strength = |at: usize| json!(lot.strength.map(|it| it[at]));
    object
        .put("strength_now_pct_low", strength(0))
        .put("strength_now_pct", strength(1))
        .put("strength_now_pct_high", strength(2));
    object.value()
}

fn need(need: &Need, cellar: &Snapshot) -> Value {
    let mut object = Object::default();
    object.dose("amount", need.amount);
    put_work(&mut object, need, cellar);
    object.put("sentence", format!("For {}.", need.for_what(cellar)));
    object.value()
}

/// What takes it: the kind of work, the words of the job if it is one, of what, and when.
fn put_work(object: &mut Object, need: &Need, cellar: &Snapshot) {
    object
        .put("work", need.work.word())
        .put("job", json!(need.work.job()))
        .put("subject", reference(need.subject, cellar))
        .put("due", time(need.due.utc_ms, cellar));
}

/// Something to buy: how much is lacking, how much there is, and what of that is left for it; whole numbers in the unit of
/// their key.
pub fn to_buy(wanted: &ToBuy, cellar: &Snapshot) -> Value {
    let need = &wanted.need;
    let mut object = Object::default();
    object
        .put("substance", need.substance.as_str())
        .put("what", wanted.what())
        .dose("amount", wanted.amount)
        .dose("there", wanted.there)
        .dose("left", wanted.left);
    put_work(&mut object, need, cellar);
    object
        .put("buy_by", time(need.buy_by.utc_ms, cellar))
        .put("sentence", wanted.sentence(cellar));
    object.value()
}

/// Sulfite powder at a glance.
pub fn sulfite_glance(glance: &SulfiteGlance) -> Value {
    let strength = |at: usize| glance.strength.map(|it| it[at]);
    json!({
        "metabisulfite_g": glance.grams,
        "strength_now_pct_low": strength(0),
        "strength_now_pct": strength(1),
        "strength_now_pct_high": strength(2),
        "unknown_strength_g": glance.unknown_g,
        "doses": glance.doses,
        "doses_are_own": glance.own,
        "sentence": glance.words(),
    })
}
