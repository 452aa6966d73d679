//! What a place means, and what cannot be.

use std::sync::Arc;

use super::*;
use crate::cellar::entry::Posture;
use crate::cellar::state::BottleLot;
use crate::cellar::thing::{Sort, Thing, Value, field};

fn rack(key: i64, name: &str, kind: RackKind, shape: &str, holds: i64) -> Rack {
    Rack {
        key: Key(key),
        name: name.to_owned(),
        former: Vec::new(),
        kind,
        columns: columns(shape).unwrap(),
        holds,
        largest_ml: kind.usual_largest_ml(),
    }
}

/// A rack of four by six, one under the stairs, four bins, a case.
fn racks() -> Racks {
    [
        rack(300, "Rack A", RackKind::Grid, "6,6,6,6", 1),
        rack(301, "Under the stairs", RackKind::Grid, "9,7,5", 1),
        rack(302, "Bins", RackKind::Bins, "2,2", 12),
        rack(303, "Case 1", RackKind::Case, "1", 12),
    ]
    .into_iter()
    .collect()
}

fn check(text: &str, expected: &str) {
    let racks = racks();
    let said = match racks.read(text) {
        Place::Loose => "loose".to_owned(),
        Place::Rack(rack) => format!("in {}", rack.name),
        Place::Slot(rack, slot) => rack.place(slot),
        Place::NoSlot(rack) => format!("no slot of {}", rack.name),
    };
    assert_eq!(said, expected, "{text}");
}

#[test]
fn a_place_is_as_loose_as_it_was_said() {
    check("", "loose");
    check("shelf 2, about 40", "loose");
    check("rack 1", "loose");
    check("Rack", "loose");
    check("Rack A top", "loose");
    check("B3", "loose");
}

#[test]
fn a_slot_stands_behind_a_stroke_or_a_blank() {
    check("Rack A", "in Rack A");
    check("Rack A/B3", "Rack A/B3");
    check("rack a/b3", "Rack A/B3");
    check("Rack A B3", "Rack A/B3");
    check(" Rack A / B3 ", "Rack A/B3");
    check("Under the stairs/C5", "Under the stairs/C5");
    check("Bins B2", "Bins/B2");
    // One case is not divided: its name says all.
    check("case 1", "Case 1");
    check("Case 1/A1", "Case 1");
}

/// One or two letters off, but not where that is half of the name.
#[test]
fn a_rack_is_near_whose_name_has_a_slip_in_it() {
    let check = |text: &str, expected: Option<&str>| {
        let racks = racks();
        let near = racks.near(text).map(|it| it.name.as_str());
        assert_eq!(near, expected, "{text}");
    };
    check("Under the s", None);
    check("Under the stairs25", Some("Under the stairs"));
    check("under teh stairs", Some("Under the stairs"));
    check("Rak A/B3", Some("Rack A"));
    check("Rack", Some("Rack A"));
    check("Bin", Some("Bins"));
    check("Tins", Some("Bins"));
    check("Bit", None);
    check("shelf 2, about 40", None);
    check("Rack A", None);
    check("Rack A/E1", None);
    check("", None);
}

#[test]
fn a_slot_that_is_not_there_is_no_loose_place() {
    check("Rack A/E1", "no slot of Rack A");
    check("Rack A/A7", "no slot of Rack A");
    check("Rack A/A0", "no slot of Rack A");
    check("Rack A/top", "no slot of Rack A");
    check("Rack A/", "no slot of Rack A");
    check("Rack A/B+3", "no slot of Rack A");
    // The lower rows under the stairs are shorter.
    check("Under the stairs/C6", "no slot of Under the stairs");
}

#[test]
fn every_slot_reads_back_as_itself() {
    for rack in racks().iter() {
        let slots: Vec<Slot> = rack.slots().collect();
        assert_eq!(slots.len() as i64 * rack.holds, rack.room());
        for slot in slots {
            let text = rack.place(slot);
            assert_eq!(racks().read(&text), Place::Slot(rack, slot), "{text}");
        }
    }
}

#[track_caller]
fn check_at(at: &str, wanted: &str, expected: bool) {
    assert_eq!(racks().is_at(at, wanted), expected, "{at} at {wanted}");
}

#[test]
fn bottles_are_sought_by_slot_by_rack_or_by_the_beginning_of_a_place() {
    check_at("Rack A/B3", "rack a b3", true);
    check_at("Rack A/B3", "Rack A", true);
    check_at("Rack A", "Rack A", true);
    check_at("Rack A", "Rack A/B3", false);
    check_at("Rack A/B4", "Rack A/B3", false);
    check_at("Rack A/B3", "Rack A/Z9", false);
    check_at("shelf 2, about 40", "Shelf 2", true);
    check_at("shelf 20", "shelf 2", false);
    check_at("", "shelf 2", false);
}

#[test]
fn a_shape_has_one_to_26_rows_of_one_to_99() {
    assert_eq!(columns("9, 7,5"), Some(vec![9, 7, 5]));
    assert_eq!(columns("99").map(|it| it.len()), Some(1));
    for wrong in ["", "0", "6,0", "100", "six", "-1", &"1,".repeat(27)] {
        assert_eq!(columns(wrong), None, "{wrong}");
    }
}

fn lot(at: &str, count: i64) -> BottleLot {
    BottleLot {
        size_ml: 750,
        posture: Posture::Lying,
        at: at.to_owned(),
        reserved: String::new(),
        found: String::new(),
        count,
    }
}

/// Two runs with bottles at these places.
fn check_crowds(one: &[(&str, i64)], other: &[(&str, i64)], expected: &[&str]) {
    let lots = |places: &[(&str, i64)]| -> Vec<BottleLot> {
        places.iter().map(|(at, count)| lot(at, *count)).collect()
    };
    let (one, other) = (lots(one), lots(other));
    let racks = racks();
    let named = |key: i64, name: &str| {
        let name = (field::NAME, Value::Text(name.to_owned()));
        let thing = Thing {
            key: Key(key),
            uid: uuid::Uuid::nil(),
            sort: Sort::Run,
            attributes: [name].into_iter().collect(),
        };
        (Key(key), Arc::new(thing))
    };
    let things = [named(1, "Elder"), named(2, "Plum")].into_iter().collect();
    let found = crowds(&racks, [(Key(1), &one[..]), (Key(2), &other[..])]);
    let said: Vec<String> = found
        .iter()
        .map(|it| it.sentence(&racks, &things))
        .collect();
    assert_eq!(said, expected);
}

#[test]
fn a_slot_holds_one_a_bin_a_dozen_and_a_rack_no_more_than_all_its_slots() {
    check_crowds(&[("Rack A/A1", 1)], &[("Rack A/A2", 1)], &[]);
    let taken = "slot A1 of Rack A is taken: Elder and Plum would lie in it; give another slot, or shift what lies there first.";
    check_crowds(&[("Rack A/A1", 1)], &[("rack a a1", 1)], &[taken]);
    check_crowds(&[("Rack A", 23)], &[("Rack A/A2", 1)], &[]);
    let full = "Rack A has room for 24 and would hold 25; put fewer there, or shift some first.";
    check_crowds(&[("Rack A", 24)], &[("Rack A/A2", 1)], &[full]);
    let bin = "slot A1 of Bins has room for 12 and would hold 13; give another slot, or shift some first.";
    check_crowds(&[("Bins/A1", 12)], &[("Bins/A1", 1)], &[bin]);
    let none = "Rack A has no slot `G1`; its slots are A1 to D6.";
    check_crowds(&[("Rack A/G1", 1)], &[], &[none]);
    check_crowds(&[("shelf 1", 1_000_000)], &[("", 40)], &[]);
}
