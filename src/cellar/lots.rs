//! Bottle lots as they are stored: those that differ in their place alone are one row with their
//! places side by side. A large cellar has a hundred thousand slots, all read before the board is
//! drawn.

use serde::{Deserialize, Deserializer, Serializer};

use super::entry::Posture;
use super::state::BottleLot;

/// Size, posture, for whom, what was found amiss, how many at each place, and the places.
type Row<Words> = (i64, Posture, Words, Words, i64, Vec<Words>);

fn is_alike(one: &BottleLot, other: &BottleLot) -> bool {
    (one.size_ml, one.posture, one.count) == (other.size_ml, other.posture, other.count)
        && (&one.reserved, &one.found) == (&other.reserved, &other.found)
}

/// In the order they have: each row takes in those that follow each other.
pub(super) fn serialize<S: Serializer>(lots: &[BottleLot], to: S) -> Result<S::Ok, S::Error> {
    let rows = lots.chunk_by(is_alike).map(|alike| -> Row<&str> {
        let BottleLot {
            size_ml,
            posture,
            reserved,
            found,
            count,
            ..
        } = &alike[0];
        let places = alike.iter().map(|it| it.at.as_str()).collect();
        (*size_ml, *posture, reserved, found, *count, places)
    });
    to.collect_seq(rows)
}

pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<BottleLot>, D::Error> {
    let rows: Vec<Row<String>> = Vec::deserialize(from)?;
    let mut lots = Vec::with_capacity(rows.iter().map(|it| it.5.len()).sum());
    for (size_ml, posture, reserved, found, count, places) in rows {
        lots.extend(places.into_iter().map(|at| BottleLot {
            size_ml,
            posture,
            at,
            reserved: reserved.clone(),
            found: found.clone(),
            count,
        }));
    }
    Ok(lots)
}

#[cfg(test)]
mod tests {
    use serde::Serialize;

    use super::*;

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    struct Stored(#[serde(with = "super")] Vec<BottleLot>);

    fn lot(at: &str, reserved: &str, count: i64) -> BottleLot {
        BottleLot {
            size_ml: 750,
            posture: Posture::Lying,
            at: at.to_owned(),
            reserved: reserved.to_owned(),
            found: String::new(),
            count,
        }
    }

    #[track_caller]
    fn check(lots: &[BottleLot], expected: &str) {
        let stored = Stored(lots.to_vec());
        let text = serde_json::to_string(&stored).unwrap();
        assert_eq!(text, expected);
        assert_eq!(serde_json::from_str::<Stored>(&text).unwrap(), stored);
    }

    #[test]
    fn lots_that_differ_in_their_place_are_one_row() {
        check(&[], "[]");
        check(
            &[lot("A1", "", 1), lot("A2", "", 1)],
            r#"[[750,"lying","","",1,["A1","A2"]]]"#,
        );
    }

    #[test]
    fn they_keep_their_order() {
        check(
            &[
                lot("A1", "", 1),
                lot("A2", "Christmas", 1),
                lot("A3", "", 1),
                lot("bin", "", 40),
            ],
            r#"[[750,"lying","","",1,["A1"]],[750,"lying","Christmas","",1,["A2"]],[750,"lying","","",1,["A3"]],[750,"lying","","",40,["bin"]]]"#,
        );
    }
}
