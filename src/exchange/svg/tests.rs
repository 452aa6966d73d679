//! A general XML library reads the document, and what it finds stands where it should.

use roxmltree::{Document, Node};

use super::*;
use crate::cellar::course::Point;
use crate::cellar::entry::Found;

const DAY_MS: i64 = 86_400_000;
/// 25 Nov 2026, 12:00 UTC.
const NOW: Moment = Moment {
    utc_ms: 1_795_608_000_000,
    offset_min: 0,
};

/// Read at 40 and 20 over a hundred days, and expected to fall to 10 in a hundred more.
fn course() -> Course {
    let day = |days: i64| NOW.utc_ms + days * DAY_MS;
    Course {
        title: "Free SO2".to_owned(),
        unit: "mg/L",
        readings: vec![Point::exact(day(-100), 40.0), Point::exact(day(0), 20.0)],
        expected: [(0, 20.0), (100, 10.0)]
            .map(|(days, mid)| Expected {
                at_ms: day(days),
                low: mid - 4.0,
                mid,
                high: mid + 4.0,
            })
            .to_vec(),
        level: Some((30.0, "aim")),
        marks: vec![(day(-50), "racked".to_owned())],
        now_ms: NOW.utc_ms,
        ..Course::default()
    }
}

fn of_class<'a>(document: &'a Document<'_>, class: &str) -> Vec<Node<'a, 'a>> {
    let nodes = document.root().descendants();
    nodes
        .filter(|it| it.attribute("class") == Some(class))
        .collect()
}

fn points(node: Node<'_, '_>) -> Vec<(f64, f64)> {
    let numbers: Vec<f64> = node
        .attribute("points")
        .unwrap()
        .split(' ')
        .map(|it| it.parse().unwrap())
        .collect();
    numbers.chunks(2).map(|it| (it[0], it[1])).collect()
}

/// The frame is 0 to 40 over 200 days, 720 units wide and 240 high: a day is 3.6 and a milligram 6.
#[test]
fn points_lie_where_they_should() {
    let text = charts("Carboy A", &[course()], NOW);
    let document = Document::parse(&text).unwrap();
    let x = |days: f64| 60.0 + 3.6 * (days + 100.0);
    let y = |value: f64| 40.0 + 290.0 - 6.0 * value;
    let at =
        |node: &Node<'_, '_>, name: &str| -> f64 { node.attribute(name).unwrap().parse().unwrap() };
    let readings: Vec<(f64, f64)> = of_class(&document, "reading")
        .iter()
        .map(|it| (at(it, "cx"), at(it, "cy")))
        .collect();
    assert_eq!(readings, [(x(-100.0), y(40.0)), (x(0.0), y(20.0))]);
    let expected = points(of_class(&document, "expected")[0]);
    assert_eq!(expected, [(x(0.0), y(20.0)), (x(100.0), y(10.0))]);
    let band = points(of_class(&document, "band")[0]);
    let corners = [
        (x(0.0), y(24.0)),
        (x(100.0), y(14.0)),
        (x(100.0), y(6.0)),
        (x(0.0), y(16.0)),
    ];
    assert_eq!(band, corners);
    let path = |class: &str| of_class(&document, class)[0].attribute("d").unwrap();
    assert!(path("level").starts_with(&format!("M60 {:.1}H", y(30.0))));
    assert!(path("today").starts_with(&format!("M{:.1} ", x(0.0))));
    assert!(path("deed").starts_with(&format!("M{:.1} ", x(-50.0))));
}

/// Below 10 and from 20 to 30 are no figures: a wedge with its point at the limit, and lines over all that they may be.
#[test]
fn what_is_not_known_to_the_milligram_is_drawn_as_far_as_it_may_be() {
    let mut course = course();
    let found = [Found::Below(10.0), Found::Between(20.0, 30.0)];
    let found = found.iter().filter_map(|it| Point::found(NOW.utc_ms, it));
    course.readings.extend(found);
    let text = charts("Carboy A", &[course], NOW);
    let document = Document::parse(&text).unwrap();
    let y = |value: f64| 40.0 + 290.0 - 6.0 * value;
    let paths = |class: &str| {
        let nodes = of_class(&document, class);
        let paths = nodes.iter().map(|it| it.attribute("d").unwrap().to_owned());
        paths.collect::<Vec<_>>()
    };
    let reach = |high: f64, low: f64| format!("M420.0 {:.1}V{:.1}", y(high), y(low));
    assert_eq!(paths("reach"), [reach(10.0, 0.0), reach(30.0, 20.0)]);
    assert_eq!(
        paths("bound"),
        [format!("M420.0 {:.1}l-6 -10h12z", y(10.0))]
    );
    assert_eq!(of_class(&document, "reading").len(), 3);
    assert!(text.contains(">less than<"), "{text}");
}

#[test]
fn it_is_told_to_who_cannot_see_it_and_needs_no_colour() {
    let text = charts("Carboy A", &[course()], NOW);
    let document = Document::parse(&text).unwrap();
    let root = document.root_element();
    assert_eq!(
        root.tag_name().namespace(),
        Some("http://www.w3.org/2000/svg")
    );
    assert_eq!(root.attribute("aria-labelledby"), Some("title desc"));
    let text_of = |id: &str| {
        let mut nodes = document.root().descendants();
        let node = nodes.find(|it| it.attribute("id") == Some(id)).unwrap();
        node.text().unwrap().to_owned()
    };
    assert_eq!(text_of("title"), "Carboy A, 25 Nov 2026");
    for sentence in course().said(NOW) {
        assert!(text_of("desc").contains(&sentence), "{sentence}");
    }
    let colours = document.root().descendants().flat_map(|it| {
        ["fill", "stroke"].map(|name| it.attribute(name).unwrap_or("none").to_owned())
    });
    let greys = [
        "none",
        "black",
        "white",
        "gray",
        "lightgray",
        "url(#hatching)",
    ];
    for colour in colours {
        assert!(greys.contains(&colour.as_str()), "{colour}");
    }
    assert!(!text.contains("href") && !text.contains("font-face"));
}

#[test]
fn whatever_it_is_called_and_holds_it_is_well_formed() {
    let mut odd = course();
    "<b>&\"'\u{1}\u{fffe}\u{202e} ]]>".clone_into(&mut odd.title);
    odd.marks = vec![
        (NOW.utc_ms, "a < b & c".to_owned()),
        (i64::MIN / 4, String::new()),
    ];
    odd.readings.push(Point::exact(NOW.utc_ms, f64::NAN));
    odd.expected.push(Expected {
        at_ms: NOW.utc_ms + 200 * DAY_MS,
        low: f64::NEG_INFINITY,
        mid: 1.0,
        high: f64::INFINITY,
    });
    let bare = Course {
        readings: vec![course().readings[0]],
        now_ms: NOW.utc_ms,
        ..Course::default()
    };
    for courses in [
        vec![odd, course()],
        vec![bare],
        vec![Course::default()],
        vec![],
    ] {
        let text = charts("</title>&", &courses, NOW);
        let document = Document::parse(&text).unwrap_or_else(|it| panic!("{it}\n{text}"));
        let shown = courses.iter().filter(|it| !it.readings.is_empty()).count();
        assert_eq!(of_class(&document, "axis").len(), shown);
        assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    }
}
