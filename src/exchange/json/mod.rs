//! The JSON shapes that lists share. A contract: keys in `snake_case` with the unit as suffix, every
//! volume also as `volume_ul`, times in RFC 3339 on the cellar's wall clock, references by uid, no
//! prose outside `sentence` and what a person typed.

mod bottling;
mod entry;
mod reason;
mod stock;
mod what_if;
mod wine;

use serde_json::{Map, Value, json};
use uuid::Uuid;

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Dose, Found};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Account, Key, Thing};

pub use bottling::bottling_plan;
pub use entry::{Uids, entry};
pub use reason::{besides, command, command_line, reason, reason_by, threshold};
pub use stock::{lot_of, sulfite_glance, supply_of, to_buy};
pub use what_if::beside;
pub use wine::{holding, lots, run, supply, vessel};

/// A JSON object under construction, in the order of its keys.
#[derive(Clone, Debug, Default)]
pub struct Object(Map<String, Value>);

impl Object {
    /// Sets a key.
    pub fn put(&mut self, key: &str, value: impl Into<Value>) -> &mut Object {
        self.0.insert(key.to_owned(), value.into());
        self
    }

    /// Sets `KEY_l` and `KEY_ul`; both are null where nothing is known.
    pub fn volume(&mut self, key: &str, volume: Option<Volume>) -> &mut Object {
        self.put(&format!("{key}_l"), json!(volume.map(Volume::in_litres)));
        self.put(&format!("{key}_ul"), json!(volume.map(|it| it.0)))
    }

    /// Sets `KEY_g` and `KEY_ug`; both are null where nothing is known.
    pub fn mass(&mut self, key: &str, mass: Option<Mass>) -> &mut Object {
        self.put(&format!("{key}_g"), json!(mass.map(Mass::in_grams)));
        self.put(&format!("{key}_ug"), json!(mass.map(|it| it.0)))
    }

    /// Sets an amount of a supply by the unit it is counted in.
    pub fn dose(&mut self, key: &str, dose: Option<Dose>) -> &mut Object {
        match dose {
            Some(Dose::Mass(mass)) => self.mass(key, Some(mass)),
            Some(Dose::Volume(volume)) => self.volume(key, Some(volume)),
            Some(Dose::Count(count) | Dose::Packets(count)) => {
                self.put(&format!("{key}_count"), count)
            }
            Some(Dose::Tablets(thousandths)) => {
                self.put(&format!("{key}_count"), thousandths as f64 / 1e3)
            }
            None => self.put(key, Value::Null),
        }
    }

    /// Sets `KEY`, or `KEY_low` and `KEY_high` beside its null where a range or a bound was read; all are null where nothing was.
    pub fn read(&mut self, key: &str, found: Option<&Found>) -> &mut Object {
        let (value, low, high) = match found {
            Some(Found::Number(value)) => (Some(*value), None, None),
            Some(Found::Between(low, high)) => (None, Some(*low), Some(*high)),
            Some(Found::Below(high)) => (None, None, Some(*high)),
            Some(Found::Above(low)) => (None, Some(*low), None),
            Some(Found::Word(_)) | None => (None, None, None),
        };
        self.put(key, json!(value))
            .put(&format!("{key}_low"), json!(low))
            .put(&format!("{key}_high"), json!(high))
    }

    /// The finished object.
    pub fn value(self) -> Value {
        Value::Object(self.0)
    }
}

/// A thing, an account or the cellar itself as others refer to it: by uid, with its name beside.
pub fn reference(key: Key, cellar: &Snapshot) -> Value {
    let (uid, sort, name) = match (cellar.thing(key), Account::from_key(key)) {
        (Some(thing), _) => (thing.uid, thing.sort.word(), thing.name()),
        (None, Some(account)) => (fixed_uid(key), "account", account.word()),
        (None, None) => return Value::Null,
    };
    json!({ "uid": uid.to_string(), "sort": sort, "name": name })
}

/// Accounts are the same things in every cellar file, so their uids are fixed: see the first
/// migration.
fn fixed_uid(key: Key) -> Uuid {
    const FIRST: u128 = 0x0000_0000_0000_7000_8000_0000_0000_0000;
    Uuid::from_u128(FIRST + u128::from(key.0.unsigned_abs()))
}

/// An instant on the cellar's wall clock.
pub fn time(utc_ms: i64, cellar: &Snapshot) -> Value {
    json!(cellar.settings().zone.moment(utc_ms).to_string())
}

/// An instant that may not be known.
pub fn time_if(utc_ms: Option<i64>, cellar: &Snapshot) -> Value {
    utc_ms.map_or(Value::Null, |it| time(it, cellar))
}

/// What every list begins with: what it is of, and the moment it shows.
pub fn heading(cellar: &Snapshot) -> Object {
    let mut object = Object::default();
    object
        .put("cellar", cellar.settings().name)
        .put("now", cellar.now.to_string());
    object
}

/// Words of an attribute; null when not known.
fn text(thing: &Thing, field: &str) -> Value {
    match thing.text(field) {
        "" => Value::Null,
        words => json!(words),
    }
}
