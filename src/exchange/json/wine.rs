//! What there is: vessels, runs of bottles, lots of supply, and the wine in them.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::{Object, reference, text, time, time_if};
use crate::cellar::attention::ferment::DryDay;
use crate::cellar::attention::{Falls, Holding, Policy, withheld};
use crate::cellar::bottling::Package;
use crate::cellar::entry::Found;
use crate::cellar::moment::Moment;
use crate::cellar::on_hand;
use crate::cellar::racks::Racks;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{BottleLot, Stock, SulfiteSoFar, Wine};
use crate::cellar::supplies::opened;
use crate::cellar::thing::{CELLAR, Key, Thing, field};
use crate::cellar::trouble;
use crate::cellar::window::{since, window};

/// A vessel: what it is, and what it holds (null when empty).
pub fn vessel(vessel: &Thing, cellar: &Snapshot, policy: &Policy) -> Object {
    let mut object = Object::default();
    object
        .put("uid", vessel.uid.to_string())
        .put("name", vessel.name())
        .put("kind", vessel.vessel_kind().word())
        .put("material", text(vessel, field::MATERIAL))
        .put("closure", text(vessel, field::CLOSURE))
        .put("room", text(vessel, field::ROOM))
        .volume("mark", vessel.mark())
        .volume("brim", vessel.brim())
        .put("retired", time_if(vessel.int(field::CLOSED), cellar))
        .put("holds", holding(vessel.key, cellar, policy));
    object
}

/// A bottling run: what it is, and the bottles left of it.
pub fn run(run: &Thing, racks: &Racks, cellar: &Snapshot, policy: &Policy) -> Object {
    let since = since(run, cellar);
    let day = |it: Option<NaiveDate>| json!(it.map(|it| it.to_string()));
    let mut object = Object::default();
    object
        .put("uid", run.uid.to_string())
        .put("name", run.name())
        .put("mark", text(run, field::RUN_MARK))
        .put("size_ml", json!(run.int(field::SIZE)))
        .put("closure", text(run, field::CLOSURE))
        .put("colour", text(run, field::COLOUR))
        .put("shape", text(run, field::SHAPE))
        .put("year", json!(on_hand::year(run, cellar)))
        .put("finished", time_if(run.int(field::FINISHED), cellar))
        .put("rest_until", time_if(run.int(field::REST_UNTIL), cellar))
        .put(
            "begun_count",
            cellar.wine(run.key).map_or(0, |it| Package::begun(run, it)),
        )
        .put("begun_since", time_if(run.int(field::BEGUN_SINCE), cellar))
        .put("since_typed", text(run, field::SINCE_WORDS))
        .put("since_date_low", day(since.map(|it| it.0)))
        .put("since_date_high", day(since.map(|it| it.1)))
        .put("window", drinking(run, cellar, policy));
    let bottles = cellar.wine(run.key).map_or(&[][..], |it| &it.bottles);
    let uncounted = cellar
        .wine(run.key)
        .is_some_and(|it| it.unmeasured.is_some());
    let withheld = Holding::of(cellar, run.key, policy).and_then(|it| withheld(&it));
    lots(&mut object, bottles.iter(), uncounted, withheld, racks);
    object.put("holds", holding(run.key, cellar, policy));
    object
}

/// From when to when its bottles are to be drunk; null where nobody can say.
fn drinking(run: &Thing, cellar: &Snapshot, policy: &Policy) -> Value {
    let window = Holding::of(cellar, run.key, policy).and_then(|it| window(&it));
    window.map_or(Value::Null, |it| {
        let because: Vec<Value> = it
            .because
            .iter()
            .map(|it| json!({ "sentence": it }))
            .collect();
        json!({
            "opens": it.opens.to_string(),
            "closes": it.closes.to_string(),
            "closes_low": it.closes_low.to_string(),
            "closes_high": it.closes_high.to_string(),
            "why": because,
        })
    })
}

/// Lots of bottles, with how many there are, may be drunk and are kept; of those that are withheld none may. Where there are
/// bottles that nobody counted there is no number.
pub fn lots<'a>(
    object: &mut Object,
    lots: impl Iterator<Item = &'a BottleLot> + Clone,
    uncounted: bool,
    withheld: Option<&str>,
    racks: &Racks,
) {
    let count: i64 = lots.clone().map(|it| it.count).sum();
    let kept = lots.clone().filter(|it| !it.reserved.is_empty());
    let kept: i64 = kept.map(|it| it.count).sum();
    let lots: Vec<Value> = lots
        .map(|it| {
            json!({
                "size_ml": it.size_ml,
                "count": it.count,
                "posture": it.posture.word(),
                "at": racks.told(&it.at),
                "reserved": it.reserved,
                "found": it.found,
            })
        })
        .collect();
    object
        .put("count", json!((!uncounted).then_some(count)))
        .put(
            "drinkable_count",
            json!((!uncounted).then_some(if withheld.is_some() { 0 } else { count - kept })),
        )
        .put("withheld", json!(withheld.map(|it| it.replace(' ', "-"))))
        .put("reserved_count", kept)
        .put("bottles", lots);
}

/// A lot of supply and what is left of it.
pub fn supply(lot: &Thing, cellar: &Snapshot) -> Object {
    let stock = cellar.stock(lot.key);
    let mut object = Object::default();
    object
        .put("uid", lot.uid.to_string())
        .put("name", lot.name())
        .put("substance", text(lot, field::SUBSTANCE))
        .put("makers_lot", text(lot, field::MAKERS_LOT))
        .put("bought", time_if(lot.int(field::BOUGHT), cellar))
        .put("opened", time_if(opened(lot, cellar), cellar))
        .put("best_before", time_if(lot.int(field::BEST_BEFORE), cellar))
        .put("strength_pct", json!(lot.real(field::STRENGTH)))
        .put("cost_minor", json!(lot.int(field::COST)))
        .put(
            "currency",
            cellar
                .thing(CELLAR)
                .map_or(Value::Null, |it| text(it, field::CURRENCY)),
        )
        .dose("left", stock.and_then(|it| it.left))
        .put(
            "counted",
            time_if(stock.and_then(|it| it.counted_ms), cellar),
        )
        .dose("counted_unexpected", stock.and_then(Stock::unexpected_dose))
        .put("counted_because", text(lot, field::COUNTED_BECAUSE));
    object
}

/// The wine in a vessel or run with what is known and expected of it; null where there is none.
pub fn holding(place: Key, cellar: &Snapshot, policy: &Policy) -> Value {
    let Some(holding) = Holding::of(cellar, place, policy) else {
        return Value::Null;
    };
    let wine = holding.wine;
    let batch = wine.main_batch().map(|it| reference(it, cellar));
    let makeup: Vec<Value> = wine
        .makeup
        .iter()
        .map(|it| {
            let mut share = Object::default();
            share
                .put("batch", json!(it.batch.map(|it| reference(it, cellar))))
                .volume("volume", Some(it.volume));
            share.value()
        })
        .collect();
    let deeds: Vec<Value> = wine
        .deeds
        .iter()
        .map(|(deed, at)| json!({ "deed": deed, "at": time(*at, cellar) }))
        .collect();
    // The sum of what is known, which is at least that where more went in; null where nothing is.
    let (so2_added, is_whole) = match wine.sulfite_so_far() {
        SulfiteSoFar::Whole(mg_l) => (Some(mg_l), true),
        SulfiteSoFar::AtLeast(mg_l) => (Some(mg_l), false),
        SulfiteSoFar::NotBeforeTheBook | SulfiteSoFar::Unweighed => (None, false),
    };
    let mut object = Object::default();
    object
        .put("batch", json!(batch))
        .volume("volume", wine.unmeasured.is_none().then_some(wine.volume))
        .put("about", wine.about)
        .volume("headspace", holding.headspace())
        .put("make_up", makeup)
        .put("stage", holding.stage().word())
        .put("last_readings", last_readings(wine, cellar))
        .put("forecast", forecast(&holding))
        .put("so2_added_mg_l", json!(so2_added))
        .put("so2_added_known", is_whole)
        .put("deeds", deeds)
        .put("allergens", json!(wine.allergens))
        .put("troubles", troubles(wine, cellar));
    object.value()
}

/// Faults it is marked with, since when, and whether it may be drunk.
fn troubles(wine: &Wine, cellar: &Snapshot) -> Vec<Value> {
    let troubles = wine.troubles.iter().map(|(word, at_ms)| {
        json!({
            "fault": word,
            "name": trouble::name(word),
            "since": time(*at_ms, cellar),
            "safe": trouble::find(word).map(|it| it.safety.word()),
        })
    });
    troubles.collect()
}

fn last_readings(wine: &Wine, cellar: &Snapshot) -> Vec<Value> {
    let readings = wine.known.iter().map(|(property, known)| {
        let mut object = Object::default();
        object
            .put("property", property.word())
            .put("at", time(known.at_ms, cellar))
            .put("estimated", known.estimated);
        found(&mut object, &known.found);
        object.value()
    });
    readings.collect()
}

/// A found value: `value`, or `low` and `high` where it is a range or a bound, or a `word`.
pub(super) fn found(object: &mut Object, found: &Found) {
    let (value, low, high, word) = match found {
        Found::Number(value) => (Some(*value), None, None, None),
        Found::Between(low, high) => (None, Some(*low), Some(*high), None),
        Found::Below(high) => (None, None, Some(*high), None),
        Found::Above(low) => (None, Some(*low), None, None),
        Found::Word(word) => (None, None, None, Some(word)),
    };
    object
        .put("value", json!(value))
        .put("low", json!(low))
        .put("high", json!(high))
        .put("word", json!(word));
}

/// Free SO2 as expected now, with the tenth below and above it, and how the ferment goes; null where
/// neither can be said.
fn forecast(holding: &Holding) -> Value {
    let mut forecast = Object::default();
    let tested = holding.expected_free_so2();
    let presumed = holding.presumed_free_so2_at(holding.now);
    if let Some(band) = tested.or(presumed) {
        forecast
            .put("free_so2_is_tested", tested.is_some())
            .put("free_so2_mg_l", band.mid)
            .put("free_so2_mg_l_low", band.low)
            .put("free_so2_mg_l_high", band.high)
            .put("aim_free_so2_mg_l", json!(band.aim));
        let falls = holding.falls_below_aim();
        let day = |of: fn(&Falls) -> Option<Moment>| {
            let day = falls.as_ref().and_then(of);
            json!(day.map(|it| it.date().to_string()))
        };
        forecast
            .put("below_aim_date_low", day(|it| it.low))
            .put("below_aim_date", day(|it| it.mid))
            .put("below_aim_date_high", day(|it| Some(it.high)));
    }
    if let Some(ferment) = holding.fermentation() {
        let evidence = ferment.evidence(holding);
        let evidence: Vec<Value> = evidence
            .into_iter()
            .map(|it| json!({ "sentence": it }))
            .collect();
        let day = |of: fn(DryDay) -> Moment| json!(ferment.dry.map(|it| of(it).date().to_string()));
        forecast
            .put("ferment_state", ferment.state.word())
            .put("gravity_fall_per_day", json!(ferment.fall_per_day))
            .put("final_sg", ferment.end_sg)
            .put("dry_date_low", day(|it| it.low))
            .put("dry_date", day(|it| it.mid))
            .put("dry_date_high", day(|it| it.high))
            .put("ferment_why", evidence);
    }
    match forecast.value() {
        Value::Object(it) if it.is_empty() => Value::Null,
        it => it,
    }
}
