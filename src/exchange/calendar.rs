//! What falls due, as an iCalendar file (RFC 5545) that any calendar takes in. Taken in again it
//! changes the events that it made before: their uids do not move with the date.

use std::collections::BTreeMap;
use std::fmt::Write;

use chrono::{DateTime, Datelike, NaiveDate};

use super::json;
use super::page::plain;
use crate::cellar::ahead::Item;
use crate::cellar::attention::Look;
use crate::cellar::thing::CELLAR;

/// When an alarm rings on the day, hours after midnight: at breakfast, with the day to act in.
const ALARM_HOUR: u32 = 9;

/// Octets of a line, without its end (RFC 5545, 3.1).
const LINE_OCTETS: usize = 75;

/// An event of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// The same whenever it is written again.
    pub uid: String,
    /// Its day. What is overdue stands on today: it is still to be done.
    pub day: NaiveDate,
    /// What it is about and what is to be done.
    pub summary: String,
    /// Why, and the command that deals with it.
    pub description: String,
}

/// The events of things that fall due, in their order. `look` must look as far ahead as they do.
pub fn events(items: &[Item], look: &Look) -> Vec<Event> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let event = |item: &Item| {
        let name = uid(item, look);
        let times = seen.entry(name.clone()).or_default();
        *times += 1;
        // Two jobs of one name for one vessel are told apart by their order.
        let again = match *times {
            1 => String::new(),
            times => format!("-{times}"),
        };
        Event {
            uid: format!("{name}{again}@leesline"),
            day: item.due.date().max(look.cellar.now.date()),
            summary: format!("{}: {}", subject(item, look), item.title),
            description: description(item, look),
        }
    };
    items.iter().map(event).collect()
}

fn subject<'a>(item: &Item, look: &'a Look) -> &'a str {
    match item.subject {
        CELLAR => "The cellar",
        key => look.cellar.name(key),
    }
}

/// Made of what does not change: the subject's own uid, and what tells it from the other things
/// that fall due for it, as a number where that is words of a person's own. The cellar itself is the same thing in every file, so
/// that it goes by what came into this one first.
fn uid(item: &Item, look: &Look) -> String {
    let subject = match item.subject {
        CELLAR => {
            let own = look.cellar.all().filter(|it| it.key > CELLAR);
            own.min_by_key(|it| it.key)
        }
        key => look.cellar.thing(key),
    };
    let subject = subject.map_or_else(String::new, |it| it.uid.to_string());
    let is_plain = |it: char| it.is_ascii_lowercase() || it == '-';
    let mark = if item.mark.chars().all(is_plain) {
        item.mark.clone()
    } else {
        format!("{:016x}", fnv(&item.mark))
    };
    format!("{subject}-{mark}")
}

/// Fowler, Noll and Vo's hash 1a of 64 bits: the same on every machine and in every version.
fn fnv(words: &str) -> u64 {
    words.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

fn description(item: &Item, look: &Look) -> String {
    let today = look.cellar.now.day_words();
    let mut lines = vec![format!("As seen on {today}: {}.", item.sentence)];
    if item.due.date() < look.cellar.now.date() {
        lines.push(format!("It fell due on {}.", item.due.day_words()));
    }
    if let Some(reason) = &item.reason {
        lines.extend(look.working(reason));
        lines.push(json::command_line(&reason.suggestion));
    }
    lines.join("\n")
}

/// The events as a file. `stamped_ms` is when what they say was last changed (UTC ms), `today` the day that they are seen from: with
/// these and the same events the file is the same to the octet. RFC 5545 wants at least one event in a file.
pub fn file(name: &str, events: &[Event], stamped_ms: i64, today: NaiveDate) -> String {
    let stamp = DateTime::from_timestamp_millis(stamped_ms)
        .unwrap_or_default()
        .format("%Y%m%dT%H%M%SZ")
        .to_string();
    let mut to = String::new();
    line(&mut to, "BEGIN", "VCALENDAR");
    line(&mut to, "VERSION", "2.0");
    line(&mut to, "PRODID", "-//Leesline//Leesline//EN");
    line(&mut to, "CALSCALE", "GREGORIAN");
    line(&mut to, "NAME", &text(name));
    // What is overdue moves on from day to day though nothing was written: a calendar takes it as changed by this.
    let sequence = today.num_days_from_ce().to_string();
    for event in events {
        line(&mut to, "BEGIN", "VEVENT");
        line(&mut to, "UID", &text(&event.uid));
        line(&mut to, "DTSTAMP", &stamp);
        line(&mut to, "SEQUENCE", &sequence);
        let day = event.day.format("%Y%m%d").to_string();
        line(&mut to, "DTSTART;VALUE=DATE", &day);
        line(&mut to, "SUMMARY", &text(&event.summary));
        line(&mut to, "DESCRIPTION", &text(&event.description));
        // A rack of carboys does not make anyone busy.
        line(&mut to, "TRANSP", "TRANSPARENT");
        line(&mut to, "BEGIN", "VALARM");
        line(&mut to, "ACTION", "DISPLAY");
        line(&mut to, "DESCRIPTION", &text(&event.summary));
        line(&mut to, "TRIGGER", &format!("PT{ALARM_HOUR}H"));
        line(&mut to, "END", "VALARM");
        line(&mut to, "END", "VEVENT");
    }
    line(&mut to, "END", "VCALENDAR");
    to
}

/// A value of type TEXT (RFC 5545, 3.3.11). Characters that steer a terminal are no part of it.
fn text(words: &str) -> String {
    let mut escaped = String::new();
    for letter in plain(words).chars() {
        match letter {
            '\\' | ';' | ',' => escaped.extend(['\\', letter]),
            '\n' => escaped.push_str("\\n"),
            letter => escaped.push(letter),
        }
    }
    escaped
}

/// A line, folded so that none is longer than 75 octets and no character is cut in two.
fn line(to: &mut String, name: &str, value: &str) {
    let mut whole = String::new();
    let _ = write!(whole, "{name}:{value}");
    let mut octets = 0;
    for letter in whole.chars() {
        if octets + letter.len_utf8() > LINE_OCTETS {
            to.push_str("\r\n ");
            octets = 1;
        }
        to.push(letter);
        octets += letter.len_utf8();
    }
    to.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check_line(value: &str, expected: &str) {
        let mut written = String::new();
        line(&mut written, "SUMMARY", value);
        assert_eq!(written, expected);
        let unfolded = written.replace("\r\n ", "");
        assert_eq!(unfolded.trim_end(), format!("SUMMARY:{value}"));
        for line in written.split_terminator("\r\n") {
            assert!(line.len() <= 75, "{line}");
        }
    }

    /// RFC 5545, 3.1: lines of at most 75 octets without their end, folded by a line end and a
    /// blank, never inside a character.
    #[test]
    fn a_line_is_folded_at_75_octets_between_characters() {
        let a = |count| "a".repeat(count);
        check_line("short", "SUMMARY:short\r\n");
        check_line(&a(67), &format!("SUMMARY:{}\r\n", a(67)));
        check_line(&a(68), &format!("SUMMARY:{}\r\n a\r\n", a(67)));
        check_line(
            &format!("{}é", a(66)),
            &format!("SUMMARY:{}\r\n é\r\n", a(66)),
        );
        let long = a(67 + 74 + 1);
        let expected = format!("SUMMARY:{}\r\n {}\r\n a\r\n", a(67), a(74));
        check_line(&long, &expected);
    }

    /// RFC 5545, 3.3.11.
    #[test]
    fn signs_with_a_meaning_are_escaped() {
        assert_eq!(text("a, b; c\\d\ne: f"), "a\\, b\\; c\\\\d\\ne: f");
        assert_eq!(text("Carboy\u{1b}[2J\r\n"), "Carboy\u{fffd}[2J\u{fffd}\\n");
    }

    /// The reference values of the hash's authors for the empty word, `a` and `foobar`.
    #[test]
    fn the_hash_is_fnv_1a() {
        assert_eq!(fnv(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv("a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv("foobar"), 0x8594_4171_f739_67e8);
    }
}
