//! Comma-separated values after RFC 4180: a line a row, quotes where a cell needs them.

use std::fmt::Write;

use super::json::Uids;
use crate::cellar::entry::{Draft, Entry, Found};
use crate::cellar::fold::Flow;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::tasting::blind;
use crate::cellar::telling;
use crate::cellar::thing::Key;

/// Columns of an exported book. An entry has as many lines as it has movements, readings, additions,
/// tastings, bottles and supplies, at least one; `part` says which a line is.
const COLUMNS: [&str; 17] = [
    "number",
    "uid",
    "when",
    "by",
    "kind",
    "part",
    "place",
    "from",
    "to",
    "what",
    "value",
    "unit",
    "volume_ul",
    "typed",
    "sentence",
    "note",
    "voided_by",
];

/// One line of the table, the parts that differ from line to line.
#[derive(Debug, Default)]
struct Line {
    part: &'static str,
    place: String,
    from: String,
    to: String,
    what: String,
    value: String,
    unit: &'static str,
    volume_ul: String,
    typed: String,
}

/// The entries as a table with a heading.
pub fn book<'a>(
    entries: impl IntoIterator<Item = (&'a Entry, &'a [Flow])>,
    cellar: &Snapshot,
    uids: &Uids,
) -> String {
    let mut text = String::new();
    row(&mut text, &COLUMNS.map(str::to_owned));
    for (entry, flows) in entries {
        let draft = &entry.draft;
        let voided_by = entry.voided_by.and_then(|it| uids.get(&it));
        // What is voided moved nothing, whatever its sentence says.
        let moved = if entry.is_living() { flows } else { &[] };
        for line in lines(draft, moved, cellar) {
            row(
                &mut text,
                &[
                    entry.key.0.to_string(),
                    entry.uid.to_string(),
                    draft.when.to_string(),
                    draft.by.clone(),
                    draft.kind.word().to_owned(),
                    line.part.to_owned(),
                    line.place,
                    line.from,
                    line.to,
                    line.what,
                    line.value,
                    line.unit.to_owned(),
                    line.volume_ul,
                    line.typed,
                    telling::sentence(draft, flows, cellar),
                    draft.note.clone(),
                    voided_by.map_or_else(String::new, ToString::to_string),
                ],
            );
        }
    }
    text
}

fn lines(draft: &Draft, flows: &[Flow], cellar: &Snapshot) -> Vec<Line> {
    let name = |key: Key| cellar.name(key).to_owned();
    let mut lines: Vec<Line> = Vec::new();
    lines.extend(flows.iter().map(|it| Line {
        part: "movement",
        from: name(it.from),
        to: name(it.to),
        volume_ul: it.volume.0.to_string(),
        ..Line::default()
    }));
    lines.extend(draft.readings.iter().map(|it| {
        Line {
            part: "reading",
            place: name(it.place),
            what: it.property.word().to_owned(),
            // A bound is no value; it stands as typed.
            value: match it.found {
                Found::Below(_) | Found::Above(_) => None,
                _ => it.found.number(),
            }
            .map_or_else(String::new, |it| it.to_string()),
            typed: it.typed.clone(),
            ..Line::default()
        }
    }));
    lines.extend(draft.additions.iter().map(|it| {
        let (value, unit) = it.dose.map_or((String::new(), ""), amount);
        Line {
            part: "addition",
            place: name(it.place),
            from: it.lot.map_or_else(String::new, name),
            what: it.substance.clone(),
            value,
            unit,
            ..Line::default()
        }
    }));
    lines.extend(draft.tastings.iter().map(|it| Line {
        part: "tasting",
        // Of a blind tasting under way its place is nobody's to know.
        place: match blind::letter(&it.sheet) {
            Some(letter) if cellar.thing(it.place).is_none() => format!("wine {letter}"),
            _ => name(it.place),
        },
        what: it.words.clone(),
        value: it.score.map_or_else(String::new, |it| it.to_string()),
        ..Line::default()
    }));
    lines.extend(draft.bottles.iter().map(|it| Line {
        part: "bottles",
        place: name(it.run),
        what: format!("{} mL", it.size_ml),
        value: it.count.to_string(),
        unit: "count",
        ..Line::default()
    }));
    if lines.is_empty() {
        lines.push(Line {
            part: "entry",
            place: draft.subject.map_or_else(String::new, name),
            ..Line::default()
        });
    }
    lines
}

fn amount(dose: crate::cellar::entry::Dose) -> (String, &'static str) {
    use crate::cellar::entry::Dose;
    match dose {
        Dose::Mass(mass) => (mass.0.to_string(), "ug"),
        Dose::Volume(volume) => (volume.0.to_string(), "ul"),
        Dose::Count(count) => (count.to_string(), "count"),
        Dose::Packets(count) => (count.to_string(), "packet"),
        Dose::Tablets(thousandths) => ((thousandths as f64 / 1e3).to_string(), "count"),
    }
}

fn row(text: &mut String, cells: &[String]) {
    for (at, cell) in cells.iter().enumerate() {
        let comma = if at == 0 { "" } else { "," };
        // Writing to a string cannot fail.
        let _ = write!(text, "{comma}{}", quoted(cell));
    }
    text.push_str("\r\n");
}

/// A cell that a spreadsheet would run as a formula gets an apostrophe in front, so that a name
/// typed by a stranger stays a name.
fn quoted(cell: &str) -> String {
    let is_number = cell.parse::<f64>().is_ok();
    let is_formula = !is_number && cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let apostrophe = if is_formula { "'" } else { "" };
    if is_formula || cell.contains([',', '"', '\n', '\r']) {
        format!("\"{apostrophe}{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(cell: &str, expected: &str) {
        assert_eq!(quoted(cell), expected);
    }

    // RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn cells_are_quoted_where_they_must_be() {
        check("Carboy A", "Carboy A");
        check("plum, sharp", "\"plum, sharp\"");
        check("the \"good\" one", "\"the \"\"good\"\" one\"");
        check("two\nlines", "\"two\nlines\"");
    }

    #[test]
    fn a_cell_is_never_a_formula() {
        check("=SUM(A1)", "\"'=SUM(A1)\"");
        check("@here", "\"'@here\"");
        check("-2", "-2");
        check("-2C", "\"'-2C\"");
    }
}
