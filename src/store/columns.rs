//! Columns to types and back, for values that take more than one column or a word of a fixed list.

use rusqlite::Row;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, Type, Value as Sql, ValueRef};

use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Amount, Dose, Due, Found, Kept, Posture, Spot, SupplyChange};
use crate::cellar::fold::Fault;
use crate::cellar::moment::Moment;
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

impl FromSql for Key {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Key> {
        i64::column_result(value).map(Key)
    }
}

/// The columns of a row one after the other, in the order in which its query lists them. Looked up by their names, row by row,
/// they would take longer than all else that is done with them.
pub(super) struct Columns<'a> {
    row: &'a Row<'a>,
    at: usize,
}

impl<'a> Columns<'a> {
    /// Of a row, from the first on.
    pub(super) fn of(row: &'a Row<'a>) -> Columns<'a> {
        Columns { row, at: 0 }
    }

    /// The next.
    pub(super) fn get<T: FromSql>(&mut self) -> rusqlite::Result<T> {
        self.at += 1;
        self.row.get(self.at - 1)
    }

    /// The next, where it lies.
    fn get_ref(&mut self) -> rusqlite::Result<ValueRef<'a>> {
        self.at += 1;
        self.row.get_ref(self.at - 1)
    }

    /// The next as text, where it lies.
    pub(super) fn text(&mut self) -> rusqlite::Result<&'a str> {
        Ok(self.get_ref()?.as_str()?)
    }

    /// The same, if there is any.
    pub(super) fn some_text(&mut self) -> rusqlite::Result<Option<&'a str>> {
        Ok(self.get_ref()?.as_str_or_null()?)
    }

    /// The next, a word of a fixed list.
    pub(super) fn word<T>(&mut self, read: impl Fn(&str) -> Option<T>) -> rusqlite::Result<T> {
        let text = self.text()?;
        read(text).ok_or_else(|| match self.row.as_ref().column_name(self.at - 1) {
            Ok(column) => unknown(column, text),
            Err(why) => why,
        })
    }

    /// The next two: an instant and the offset of its wall clock.
    pub(super) fn moment(&mut self) -> rusqlite::Result<Moment> {
        Ok(Moment {
            utc_ms: self.get()?,
            offset_min: self.get()?,
        })
    }
}

pub(super) fn value_to(value: Option<&Value>) -> Sql {
    match value {
        None => Sql::Null,
        Some(Value::Int(it)) => Sql::Integer(*it),
        Some(Value::Real(it)) => Sql::Real(*it),
        Some(Value::Text(it)) => Sql::Text(it.clone()),
    }
}

pub(super) fn value_of(columns: &mut Columns) -> rusqlite::Result<Option<Value>> {
    Ok(match columns.get_ref()? {
        ValueRef::Null => None,
        ValueRef::Integer(it) => Some(Value::Int(it)),
        ValueRef::Real(it) => Some(Value::Real(it)),
        ValueRef::Text(it) => Some(Value::Text(String::from_utf8_lossy(it).into_owned())),
        ValueRef::Blob(_) => return Err(unknown("value", "bytes")),
    })
}

/// How, and microlitres.
pub(super) fn amount_to(amount: Amount) -> (&'static str, i64) {
    match amount {
        Amount::Exactly(it) => ("exactly", it.0),
        Amount::RestLeaving(it) => ("rest-leaving", it.0),
        Amount::LevelFound(it) => ("level-found", it.0),
        Amount::NotKnown => ("not-known", 0),
    }
}

pub(super) fn amount_of(columns: &mut Columns) -> rusqlite::Result<Amount> {
    let (how, volume) = (columns.text()?, Volume(columns.get()?));
    match how {
        "exactly" => Ok(Amount::Exactly(volume)),
        "rest-leaving" => Ok(Amount::RestLeaving(volume)),
        "level-found" => Ok(Amount::LevelFound(volume)),
        "not-known" => Ok(Amount::NotKnown),
        other => Err(unknown("how", other)),
    }
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

pub(super) fn found_of(columns: &mut Columns) -> rusqlite::Result<Found> {
    let form = columns.text()?;
    let (low, high): (Option<f64>, Option<f64>) = (columns.get()?, columns.get()?);
    let word = columns.some_text()?;
    match (form, low, high, word) {
        ("number", Some(it), ..) => Ok(Found::Number(it)),
        ("between", Some(low), Some(high), _) => Ok(Found::Between(low, high)),
        ("below", _, Some(it), _) => Ok(Found::Below(it)),
        ("above", Some(it), ..) => Ok(Found::Above(it)),
        ("word", .., Some(it)) => Ok(Found::Word(it.to_owned())),
        _ => Err(unknown("form", form)),
    }
}

/// Unit and amount.
pub(super) fn dose_to(dose: Option<Dose>) -> (Option<&'static str>, Option<i64>) {
    (dose.map(Dose::unit), dose.map(Dose::amount))
}

pub(super) fn dose_of(columns: &mut Columns) -> rusqlite::Result<Option<Dose>> {
    let (unit, dose) = (columns.some_text()?, columns.get::<Option<i64>>()?);
    let Some(unit) = unit else {
        return Ok(None);
    };
    match (unit, dose) {
        ("ug", Some(it)) => Ok(Some(Dose::Mass(Mass(it)))),
        ("ul", Some(it)) => Ok(Some(Dose::Volume(Volume(it)))),
        ("count", Some(it)) => Ok(Some(Dose::Count(it))),
        ("packet", Some(it)) => Ok(Some(Dose::Packets(it))),
        ("millitablet", Some(it)) => Ok(Some(Dose::Tablets(it))),
        _ => Err(unknown("unit", unit)),
    }
}

/// How, and the dose.
pub(super) fn supply_to(change: SupplyChange) -> (&'static str, Option<Dose>) {
    match change {
        SupplyChange::By(dose) => ("by", Some(dose)),
        SupplyChange::Found(dose) => ("found", Some(dose)),
        SupplyChange::Unknown => ("unknown", None),
    }
}

pub(super) fn supply_of(columns: &mut Columns) -> rusqlite::Result<SupplyChange> {
    match (columns.text()?, dose_of(columns)?) {
        ("by", Some(dose)) => Ok(SupplyChange::By(dose)),
        ("found", Some(dose)) => Ok(SupplyChange::Found(dose)),
        ("unknown", None) => Ok(SupplyChange::Unknown),
        (other, _) => Err(unknown("how", other)),
    }
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

pub(super) fn spot_of(columns: &mut Columns) -> rusqlite::Result<Spot> {
    let account: Option<Key> = columns.get()?;
    let (posture, at) = (columns.some_text()?, columns.some_text()?);
    let (reserved, found) = (columns.some_text()?, columns.some_text()?);
    match (account, posture.and_then(Posture::from_word), at, reserved) {
        (Some(account), ..) => Ok(Spot::Outside(account)),
        (None, Some(posture), Some(at), Some(reserved)) => Ok(Spot::Kept(Kept {
            posture,
            at: at.to_owned(),
            reserved: reserved.to_owned(),
            // Written down before a look could be about some bottles alone, it has nothing there.
            found: found.unwrap_or_default().to_owned(),
        })),
        _ => Err(unknown("posture", posture.unwrap_or_default())),
    }
}

/// Date and gravity at which a job falls due.
pub(super) fn due_to(due: Due) -> (Option<i64>, Option<f64>) {
    match due {
        Due::On(at_ms) => (Some(at_ms), None),
        Due::AtGravity { gravity, latest_ms } => (latest_ms, Some(gravity)),
    }
}

pub(super) fn due_of(columns: &mut Columns) -> rusqlite::Result<Due> {
    match (columns.get()?, columns.get()?) {
        (latest_ms, Some(gravity)) => Ok(Due::AtGravity { gravity, latest_ms }),
        (Some(at_ms), None) => Ok(Due::On(at_ms)),
        (None, None) => Err(unknown("due_ms", "nothing")),
    }
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

pub(super) fn fault_of(columns: &mut Columns) -> rusqlite::Result<Fault> {
    let (fault, held, taken) = (columns.text()?, columns.get()?, columns.get()?);
    match fault {
        "below-zero" => Ok(Fault::BelowZero {
            held: Volume(held),
            taken: Volume(taken),
        }),
        "over-brim" => Ok(Fault::OverBrim {
            would_hold: Volume(held),
            brim: Volume(taken),
        }),
        "empty" => Ok(Fault::Empty),
        "bottles-short" => Ok(Fault::BottlesShort { held, taken }),
        "supply-short" => Ok(Fault::SupplyShort { held, used: taken }),
        other => Err(unknown("fault", other)),
    }
}
