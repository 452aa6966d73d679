//! Marks stand where their values do, and every size is drawn.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::*;
use crate::cellar::course::{Expected, Point};
use crate::cellar::entry::Found;
use crate::tui::ascii::to_ascii;

const DAY_MS: i64 = 86_400_000;
/// 25 Nov 2026, 12:00 UTC.
const NOW: Moment = Moment {
    utc_ms: 1_795_608_000_000,
    offset_min: 0,
};
const PLAIN: Theme = Theme {
    color: false,
    ascii: false,
};

/// Read at 40, 30 and 20 over a hundred days, with a band that widens from there.
fn course() -> Course {
    let day = |days: i64| NOW.utc_ms + days * DAY_MS;
    Course {
        title: "Free SO2".to_owned(),
        unit: "mg/L",
        readings: [(-100, 40.0), (-50, 30.0), (0, 20.0)]
            .map(|(days, value)| Point::exact(day(days), value))
            .to_vec(),
        expected: [(0, 2.0), (100, 10.0)]
            .map(|(days, half)| {
                let mid = 20.0 - days as f64 / 10.0;
                Expected {
                    at_ms: day(days),
                    low: mid - half,
                    mid,
                    high: mid + half,
                }
            })
            .to_vec(),
        level: Some((25.0, "aim")),
        marks: vec![
            (day(-80), "racked".to_owned()),
            (day(-78), "dose".to_owned()),
        ],
        now_ms: NOW.utc_ms,
        ..Course::default()
    }
}

fn drawn(course: &Course, width: u16, height: u16) -> Buffer {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    draw(course, NOW, PLAIN, area, &mut buf);
    buf
}

fn rows(buf: &Buffer) -> Vec<String> {
    let cells = usize::from(buf.area.width).max(1);
    let rows = buf.content.chunks(cells);
    let row = |it: &[ratatui::buffer::Cell]| {
        let row: String = it.iter().map(ratatui::buffer::Cell::symbol).collect();
        row.trim_end().to_owned()
    };
    rows.map(row).collect()
}

#[test]
fn every_part_has_a_shape_of_its_own() {
    let rows = rows(&drawn(&course(), 70, 18));
    insta::assert_snapshot!(rows.join("\n"));
}

/// The frame is 0 to 40 over 200 days: 41 columns for them and 21 rows, so that a column is five days
/// and a row is two.
#[test]
fn a_reading_stands_at_its_day_and_value() {
    // Two columns of figures, a blank and the axis; the heading, today, the axis, its days and two
    // rows of deeds.
    let buf = drawn(&course(), 41 + 4, 21 + 6);
    let found: Vec<(u16, u16)> = (0..27)
        .flat_map(|y| (0..45).map(move |x| (x, y)))
        .filter(|at| buf[*at].symbol() == READING && at.1 > 0)
        .collect();
    assert_eq!(found, [(4, 2), (4 + 10, 2 + 5), (4 + 20, 2 + 10)]);
    let today = (2..23).filter(|y| buf[(24, *y)].symbol() == TODAY).count();
    assert!(today > 10, "{today} rows of today");
    let deeds: Vec<u16> = (0..45).filter(|x| buf[(*x, 23)].symbol() == DEED).collect();
    assert_eq!(deeds, [4 + 4]);
}

/// A test of twenty days ago found less than 10: a mark there and a stroke from it down to nothing, in ASCII too.
#[test]
fn less_than_a_test_can_tell_is_drawn_from_its_limit_down_to_nothing() {
    let mut course = course();
    let at_ms = NOW.utc_ms - 20 * DAY_MS;
    course
        .readings
        .extend(Point::found(at_ms, &Found::Below(10.0)));
    let mut buf = drawn(&course, 41 + 4, 21 + 6);
    let column = |buf: &Buffer, x: u16| -> Vec<String> {
        let rows = 2 + 14..2 + 22;
        rows.map(|y| buf[(x, y)].symbol().to_owned()).collect()
    };
    // 10 stands five rows of two above 0, which is the row of the axis' lower end.
    let x = 4 + 16;
    assert_eq!(
        column(&buf, x),
        [" ", BELOW, REACH, REACH, REACH, REACH, REACH, "─"]
    );
    assert!(rows(&buf)[0].contains("▼▼ less than"), "{}", rows(&buf)[0]);
    to_ascii(&mut buf);
    assert_eq!(column(&buf, x), [" ", "V", "|", "|", "|", "|", "|", "-"]);
}

#[test]
fn the_band_reaches_from_its_low_to_its_high() {
    let buf = drawn(&course(), 41 + 4, 21 + 6);
    // After a hundred days 0 to 20, but for where the line is drawn, at 10.
    let last: Vec<u16> = (2..23)
        .filter(|y| buf[(44, *y)].symbol() == BAND)
        .map(|y| 40 - (y - 2) * 2)
        .collect();
    assert_eq!((last.first(), last.last()), (Some(&20), Some(&0)));
    assert!(!last.contains(&10));
    let dots = buf[(44, 2 + 15)].symbol().chars().next().unwrap();
    assert!(('\u{2801}'..='\u{28ff}').contains(&dots), "{dots}");
}

#[test]
fn every_size_and_every_oddity_is_drawn() {
    let mut odd = course();
    odd.readings
        .extend([f64::NAN, f64::INFINITY, 1e300, -1e300].map(|value| {
            let at_ms = NOW.utc_ms + 9 * DAY_MS;
            Point::exact(at_ms, value)
        }));
    odd.expected.push(odd.expected[1]);
    odd.marks.push((i64::MIN / 4, "before all".to_owned()));
    odd.marks
        .push((NOW.utc_ms, "a very long word for a deed ".repeat(9)));
    let single = Course {
        readings: vec![course().readings[2]],
        now_ms: NOW.utc_ms,
        ..Course::default()
    };
    for course in [course(), odd, single, Course::default()] {
        for (width, height) in (0..90).flat_map(|x| (0..30).map(move |y| (x, y))) {
            let mut buf = drawn(&course, width, height);
            to_ascii(&mut buf);
            let foreign = buf.content.iter().find(|it| !it.symbol().is_ascii());
            assert_eq!(foreign, None, "{width}x{height}");
        }
    }
}

#[test]
fn where_there_is_no_room_a_sentence_stands() {
    let said = rows(&drawn(&course(), 60, 5));
    assert_eq!(
        said[0],
        "20 mg/L on 25 Nov 2026, the last of 3 readings. Expected"
    );
    assert_eq!(
        rows(&drawn(&Course::default(), 60, 20))[0],
        "Nothing was measured yet, and nothing can be foreseen."
    );
}
