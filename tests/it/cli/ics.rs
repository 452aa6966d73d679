//! The calendar file, read back by a general iCalendar library.

use std::collections::{BTreeMap, BTreeSet};

use icalendar::parser::{Component, read_calendar, unfold};

use super::{Cellar, check_refused};

/// An event as the library reads it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Event {
    properties: BTreeMap<String, String>,
    alarms: usize,
}

impl Event {
    fn of(component: &Component) -> Event {
        assert_eq!(component.name.as_str(), "VEVENT");
        let property = |it: &icalendar::parser::Property| (it.name.to_string(), it.val.to_string());
        let start = component.find_prop("DTSTART").unwrap();
        let value = start.params.iter().find(|it| it.key.as_str() == "VALUE");
        assert_eq!(value.unwrap().val.as_ref().unwrap().as_str(), "DATE");
        for alarm in &component.components {
            assert_eq!(alarm.name.as_str(), "VALARM");
            for name in ["ACTION", "TRIGGER", "DESCRIPTION"] {
                assert!(alarm.find_prop(name).is_some(), "an alarm without {name}");
            }
        }
        Event {
            properties: component.properties.iter().map(property).collect(),
            alarms: component.components.len(),
        }
    }

    fn get(&self, name: &str) -> &str {
        &self.properties[name]
    }
}

/// The events of a file by uid.
fn events(text: &str) -> BTreeMap<String, Event> {
    assert!(text.ends_with("END:VCALENDAR\r\n"), "{text}");
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "{line}");
    }
    let unfolded = unfold(text);
    let calendar = read_calendar(&unfolded).unwrap();
    for name in ["VERSION", "PRODID"] {
        let is_there = calendar
            .properties
            .iter()
            .any(|it| it.name.as_str() == name);
        assert!(is_there, "no {name}");
    }
    let all: Vec<Event> = calendar.components.iter().map(Event::of).collect();
    let by_uid: BTreeMap<String, Event> = all
        .iter()
        .map(|it| (it.get("UID").to_owned(), it.clone()))
        .collect();
    assert_eq!(by_uid.len(), all.len(), "a uid stands twice");
    by_uid
}

fn uids(events: &BTreeMap<String, Event>) -> BTreeSet<&str> {
    events.keys().map(String::as_str).collect()
}

/// RFC 5545, 3.8.4.7: a uid is unique the world over, so that the rounds of two cellars are two events in one calendar. 3.8.7.4: the
/// sequence grows where the day of an event does, though nothing was written since.
#[test]
fn what_is_overdue_tomorrow_changes_the_event_of_today_and_no_other_cellars() {
    let read = |cellar: &Cellar, today: &str| events(&cellar.done(&["ics", "--today", today]));
    let one = Cellar::demo();
    let (today, tomorrow) = (read(&one, "2027-01-01"), read(&one, "2027-01-02"));
    let round = |of: &BTreeMap<String, Event>| {
        let found = of.iter().find(|it| it.0.contains("-round@"));
        found.map(|it| it.0.clone()).unwrap()
    };
    let sequence = |of: &BTreeMap<String, Event>| {
        let written = of[&round(&today)].get("SEQUENCE");
        written.parse::<i64>().unwrap()
    };
    assert_eq!(round(&today), round(&tomorrow));
    assert_eq!(sequence(&tomorrow), sequence(&today) + 1);
    assert_ne!(round(&today), round(&read(&Cellar::demo(), "2027-01-01")));
}

#[test]
fn a_calendar_reads_it_back_as_days_with_an_alarm_each() {
    let cellar = Cellar::demo();
    let events = events(&cellar.done(&["ics"]));
    assert!(events.len() >= 5, "{events:?}");
    for event in events.values() {
        assert_eq!(event.alarms, 1);
        assert_eq!(event.get("DTSTART").len(), "20261125".len());
        assert!(event.get("DTSTAMP").ends_with('Z'));
        assert!(event.get("SUMMARY").contains(": "));
    }
    // Of one thing that needs someone, all that the list of reasons says of it.
    let due = cellar.json(&["due"]);
    let lees = due["reasons"].as_array().unwrap().iter();
    let lees = lees.clone().find(|it| it["kind"] == "lees").unwrap();
    let subject = lees["subject"]["uid"].as_str().unwrap();
    let event = &events[&format!("{subject}-lees@leesline")];
    let description = event.get("DESCRIPTION");
    assert!(event.get("SUMMARY").starts_with("Demijohn 2: "));
    assert!(description.contains(lees["sentence"].as_str().unwrap()));
    for why in lees["why"].as_array().unwrap() {
        assert!(description.contains(why["sentence"].as_str().unwrap()));
    }
    assert!(
        description.contains("\nleesline rack 'Demijohn 2'"),
        "{description}"
    );
}

#[test]
fn two_runs_are_equal_and_uids_stay_as_the_days_go_by() {
    let cellar = Cellar::demo();
    let on = |day: &str| cellar.done(&["--today", day, "ics"]);
    // Long after, when nothing new falls due between the two days.
    let (one, week_on) = (on("2100-01-04"), on("2100-01-11"));
    assert_eq!(one, on("2100-01-04"));
    let (one, week_on) = (events(&one), events(&week_on));
    assert_eq!(uids(&one), uids(&week_on));
    for (uid, event) in &one {
        let later = &week_on[uid];
        assert_eq!(event.get("DTSTART"), "21000104");
        assert_eq!(later.get("DTSTART"), "21000111");
        assert_eq!(event.get("DTSTAMP"), later.get("DTSTAMP"));
    }
}

#[test]
fn names_with_signs_and_long_words_come_back_as_they_were() {
    let cellar = Cellar::new();
    let name = r#"Glasballon "Überlauf", 34 L \ süß: ein langer Name, ja 葡萄酒"#;
    cellar.done(&["vessel", "add", name, "--mark", "34 L"]);
    cellar.done(&["receive", name, "--amount", "20 L", "--at", "-90d"]);
    let events = events(&cellar.done(&["ics"]));
    let of_vessel = events
        .values()
        .filter(|it| it.get("SUMMARY").starts_with(&format!("{name}: ")));
    assert!(of_vessel.count() >= 1, "{events:?}");
}

#[test]
fn a_file_that_is_there_is_written_anew_only_when_asked() {
    let cellar = Cellar::demo();
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("cellar.ics");
    let path = to.to_str().unwrap();
    let said = cellar.done(&["ics", "--file", path]);
    assert!(said.starts_with("Wrote ") && said.contains(path), "{said}");
    let written = std::fs::read_to_string(&to).unwrap();
    assert_eq!(written, cellar.done(&["ics"]));
    std::fs::write(&to, "BEGIN:VCALENDAR mine").unwrap();
    check_refused(
        &["--cellar", &cellar.file(), "ics", "--file", path],
        1,
        "is already there and would be written anew. To do so add --yes.",
    );
    assert_eq!(
        std::fs::read_to_string(&to).unwrap(),
        "BEGIN:VCALENDAR mine"
    );
    cellar.done(&["ics", "--file", path, "--yes"]);
    assert_eq!(std::fs::read_to_string(&to).unwrap(), written);
    let nowhere = folder.path().join("no/such/place.ics");
    check_refused(
        &[
            "--cellar",
            &cellar.file(),
            "ics",
            "--file",
            nowhere.to_str().unwrap(),
        ],
        1,
        "could not be written",
    );
    // Nothing half-written is left beside it.
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn a_cellar_that_needs_nothing_has_no_calendar() {
    let cellar = Cellar::new();
    cellar.check_refused(&["ics"], 1, "Nothing falls due");
}

#[test]
fn the_years_are_a_plain_list_too() {
    let cellar = Cellar::demo();
    let said = cellar.done(&["due", "--years"]);
    assert!(
        said.lines()
            .any(|it| it.starts_with("Regent ") && it.contains("29 bottles")),
        "{said}"
    );
    let years = cellar.json(&["due", "--years"]);
    for life in years["years"].as_array().unwrap() {
        let stretches = life["stretches"].as_array().unwrap();
        assert!(!stretches.is_empty(), "{life}");
        for pair in stretches.windows(2) {
            assert_eq!(pair[0]["to"], pair[1]["from"]);
        }
    }
}

#[test]
fn a_look_that_finds_a_rising_cork_brings_the_caution() {
    let cellar = Cellar::demo();
    let runs = cellar.json(&["bottles"]);
    let run = runs["bottles"].as_array().unwrap().iter();
    let run = run
        .clone()
        .find(|it| it["name"].as_str().unwrap().starts_with("Regent"));
    let run = run.unwrap()["name"].as_str().unwrap();
    cellar.done(&["look", run, "--corks", "rising", "--yes"]);
    let due = cellar.done(&["due", "--why"]);
    assert!(
        due.contains("corks rising in 29 bottles: they may burst"),
        "{due}"
    );
    assert!(
        due.contains("chill the bottles before touching them"),
        "{due}"
    );
    cellar.done(&["look", run, "--well", "--yes"]);
    assert!(!cellar.done(&["due"]).contains("may burst"));
    assert!(cellar.done(&["book"]).contains("corks rising"));
    assert_eq!(cellar.json(&["check"])["faults"], serde_json::json!([]));
}

#[test]
fn a_window_said_wins_over_the_estimate() {
    let cellar = Cellar::demo();
    let runs = cellar.json(&["bottles"]);
    let run = runs["bottles"].as_array().unwrap().iter();
    let run = run
        .clone()
        .find(|it| it["name"].as_str().unwrap().starts_with("Plum"));
    let run = run.unwrap()["name"].as_str().unwrap();
    cellar.done(&["window", run, "--opens", "2031", "--closes", "Mar 2035"]);
    let years = cellar.done(&["due", "--years"]);
    let plum = years.lines().find(|it| it.starts_with("Plum")).unwrap();
    assert!(
        plum.contains("ages in bottle to Jan 2031, ready to Mar 2035"),
        "{plum}"
    );
    cellar.check_refused(
        &["window", run, "--opens", "2031", "--closes", "2030"],
        2,
        "before it opens",
    );
    cellar.check_refused(&["window", run], 2, "When?");
    cellar.done(&["window", run, "--anew", "--style", "tannic-red"]);
    assert!(!cellar.done(&["due", "--years"]).contains("2035, "));
    assert!(cellar.done(&["book"]).contains("to reckon as tannic red"));
}

/// Not even where a person says yes: the cellar is a file like any other to whoever types its name.
#[test]
fn a_file_that_is_no_calendar_is_never_written_over() {
    let cellar = Cellar::demo();
    let file = cellar.file();
    cellar.check_refused(&["ics", "--file", &file, "--yes"], 2, "is no calendar file");
    cellar.done(&["check"]);
    let calendar = format!("{file}.ics");
    cellar.done(&["ics", "--file", &calendar]);
    cellar.done(&["ics", "--file", &calendar, "--yes"]);
}
