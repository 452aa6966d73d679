//! Columns to types and back, for values that take more than one column or a word of a fixed list.

use rusqlite::Row;
use rusqlite::types::{FromSqlError, Type, Value as Sql, ValueRef};

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Amount, Dose, Due, Found, Kept, Posture, Spot, SupplyChange};
use crate::cellar::fold::Fault;
use crate::cellar::thing::{Key, Value};

/// A word that no list of this program has: the file is damaged, or from a newer program.
pub(super) fn unknown(column: &str, word: &str) -> rusqlite::Error {
    let why = FromSqlError::Other(format!("`{word}` in column {column}").into());
    rusqlite::Error::FromSqlConversionFailure(0, Type::Text, Box::new(why))
}

/// JSON in a column.
pub(super) fn from_json<T: serde::de::DeserializeOwned>(text: &str) -> rusqlite::Result<T> {
    serde_json::from_str(text)
        .map_err(|it| rusqlite::Error::FromSqlConversionFailure(0, Type::Text, Box::new(it)))
}

/// JSON for a column.
pub(super) fn to_json<T: serde::Serialize>(value: &T) -> rusqlite::Result<String> {
    serde_json::to_string(value).map_err(|it| rusqlite::Error::ToSqlConversionFailure(Box::new(it)))
}

/// A key in a column.
pub(super) fn key(row: &Row, column: &str) -> rusqlite::Result<Key> {
    Ok(Key(row.get(column)?))
}

/// A key in a column that may be empty.
pub(super) fn some_key(row: &Row, column: &str) -> rusqlite::Result<Option<Key>> {
    Ok(row.get::<_, Option<i64>>(column)?.map(Key))
}

/// A word of a fixed list.
pub(super) fn word<T>(
    row: &Row,
    column: &str,
    read: impl Fn(&str) -> Option<T>,
) -> rusqlite::Result<T> {
    let text: String = row.get(column)?;
    read(&text).ok_or_else(|| unknown(column, &text))
}

pub(super) fn value_to(value: Option<&Value>) -> Sql {
    match value {
        None => Sql::Null,
        Some(Value::Int(it)) => Sql::Integer(*it),
        Some(Value::Real(it)) => Sql::Real(*it),
        Some(Value::Text(it)) => Sql::Text(it.clone()),
    }
}

pub(super) fn value_of(row: &Row, column: &str) -> rusqlite::Result<Option<Value>> {
    Ok(match row.get_ref(column)? {
        ValueRef::Null => None,
        ValueRef::Integer(it) => Some(Value::Int(it)),
        ValueRef::Real(it) => Some(Value::Real(it)),
        ValueRef::Text(it) => Some(Value::Text(String::from_utf8_lossy(it).into_owned())),
        ValueRef::Blob(_) => return Err(unknown(column, "bytes")),
    })
}

pub(super) fn amount_to(amount: Amount) -> (&'static str, i64) {
    match amount {
        Amount::Exactly(it) => ("exactly", it.0),
        Amount::RestLeaving(it) => ("rest-leaving", it.0),
        Amount::LevelFound(it) => ("level-found", it.0),
        Amount::NotKnown => ("not-known", 0),
    }
}

pub(super) fn amount_of(row: &Row) -> rusqlite::Result<Amount> {
    let volume = Volume(row.get("amount_ul")?);
    word(row, "how", |it| match it {
        "exactly" => Some(Amount::Exactly(volume)),
        "rest-leaving" => Some(Amount::RestLeaving(volume)),
        "level-found" => Some(Amount::LevelFound(volume)),
        "not-known" => Some(Amount::NotKnown),
        _ => None,
    })
}

/// Form, low, high, word.
pub(super) type FoundColumns<'a> = (&'static str, Option<f64>, Option<f64>, Option<&'a str>);

pub(super) fn found_to(found: &Found) -> FoundColumns<'_> {
    match found {
        Found::Number(it) => ("number", Some(*it), Some(*it), None),
        Found::Between(low, high) => ("between", Some(*low), Some(*high), None),
        Found::Below(it) => ("below", None, Some(*it), None),
        Found::Above(it) => ("above", Some(*it), None, None),
        Found::Word(it) => ("word", None, None, Some(it)),
    }
}

pub(super) fn found_of(row: &Row) -> rusqlite::Result<Found> {
    let form: String = row.get("form")?;
    Ok(match form.as_str() {
        "number" => Found::Number(row.get("low")?),
        "between" => Found::Between(row.get("low")?, row.get("high")?),
        "below" => Found::Below(row.get("high")?),
        "above" => Found::Above(row.get("low")?),
        "word" => Found::Word(row.get("word")?),
        other => return Err(unknown("form", other)),
    })
}

pub(super) fn dose_to(dose: Option<Dose>) -> (Option<&'static str>, Option<i64>) {
    (dose.map(Dose::unit), dose.map(Dose::amount))
}

pub(super) fn dose_of(row: &Row) -> rusqlite::Result<Option<Dose>> {
    let Some(unit) = row.get::<_, Option<String>>("unit")? else {
        return Ok(None);
    };
    let dose: i64 = row.get("dose")?;
    Ok(Some(match unit.as_str() {
        "ug" => Dose::Mass(Mass(dose)),
        "ul" => Dose::Volume(Volume(dose)),
        "count" => Dose::Count(dose),
        "packet" => Dose::Packets(dose),
        "millitablet" => Dose::Tablets(dose),
        other => return Err(unknown("unit", other)),
    }))
}

pub(super) fn supply_to(change: SupplyChange) -> (&'static str, Option<Dose>) {
    match change {
        SupplyChange::By(dose) => ("by", Some(dose)),
        SupplyChange::Found(dose) => ("found", Some(dose)),
        SupplyChange::Unknown => ("unknown", None),
    }
}

pub(super) fn supply_of(row: &Row) -> rusqlite::Result<SupplyChange> {
    let dose = dose_of(row)?;
    word(row, "how", |it| match (it, dose) {
        ("by", Some(dose)) => Some(SupplyChange::By(dose)),
        ("found", Some(dose)) => Some(SupplyChange::Found(dose)),
        ("unknown", None) => Some(SupplyChange::Unknown),
        _ => None,
    })
}

/// Account, posture, where, for whom, what was found amiss.
pub(super) type SpotColumns<'a> = (
    Option<i64>,
    Option<&'static str>,
    Option<&'a str>,
    Option<&'a str>,
    Option<&'a str>,
);

pub(super) fn spot_to(spot: &Spot) -> SpotColumns<'_> {
    match spot {
        Spot::Outside(account) => (Some(account.0), None, None, None, None),
        Spot::Kept(kept) => (
            None,
            Some(kept.posture.word()),
            Some(&kept.at),
            Some(&kept.reserved),
            Some(&kept.found),
        ),
    }
}

/// `end` is `from` or `to`.
pub(super) fn spot_of(row: &Row, end: &str) -> rusqlite::Result<Spot> {
    if let Some(account) = some_key(row, &format!("{end}_account"))? {
        return Ok(Spot::Outside(account));
    }
    // Written down before a look could be about some bottles alone, it has nothing there.
    let found: Option<String> = row.get(format!("{end}_found").as_str())?;
    Ok(Spot::Kept(Kept {
        posture: word(row, &format!("{end}_posture"), Posture::from_word)?,
        at: row.get(format!("{end}_at").as_str())?,
        reserved: row.get(format!("{end}_reserved").as_str())?,
        found: found.unwrap_or_default(),
    }))
}

/// Date and gravity at which a job falls due.
pub(super) fn due_to(due: Due) -> (Option<i64>, Option<f64>) {
    match due {
        Due::On(at_ms) => (Some(at_ms), None),
        Due::AtGravity { gravity, latest_ms } => (latest_ms, Some(gravity)),
    }
}

pub(super) fn due_of(row: &Row) -> rusqlite::Result<Due> {
    Ok(match row.get("gravity")? {
        Some(gravity) => Due::AtGravity {
            gravity,
            latest_ms: row.get("due_ms")?,
        },
        None => Due::On(row.get("due_ms")?),
    })
}

/// The fault's word and its two numbers.
pub(super) fn fault_to(fault: Fault) -> (&'static str, i64, i64) {
    match fault {
        Fault::BelowZero { held, taken } => ("below-zero", held.0, taken.0),
        Fault::OverBrim { would_hold, brim } => ("over-brim", would_hold.0, brim.0),
        Fault::Empty => ("empty", 0, 0),
        Fault::BottlesShort { held, taken } => ("bottles-short", held, taken),
        Fault::SupplyShort { held, used } => ("supply-short", held, used),
    }
}

pub(super) fn fault_of(row: &Row) -> rusqlite::Result<Fault> {
    let (held, taken): (i64, i64) = (row.get("held")?, row.get("taken")?);
    word(row, "fault", |it| match it {
        "below-zero" => Some(Fault::BelowZero {
            held: Volume(held),
            taken: Volume(taken),
        }),
        "over-brim" => Some(Fault::OverBrim {
            would_hold: Volume(held),
            brim: Volume(taken),
        }),
        "empty" => Some(Fault::Empty),
        "bottles-short" => Some(Fault::BottlesShort { held, taken }),
        "supply-short" => Some(Fault::SupplyShort { held, used: taken }),
        _ => None,
    })
}
