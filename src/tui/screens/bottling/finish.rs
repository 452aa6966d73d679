//! The finish: what is left in the vessel and what becomes of it, and how long the bottles rest.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::details::{Then, when, written_by};
use super::fields::{Fields, Row, Takes};
use super::page::Page;
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{off_empties, planned_lees};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, field};
use crate::cellar::verbs::{self, Form, Prepared, Refusal};
use crate::cellar::window::rest_days;
use crate::tui::message::Facts;

/// What goes before the name of a vessel that the rest is poured into.
const INTO: &str = "into ";

fn left(run: Key, facts: &Facts) -> Volume {
    let vessel = facts.cellar.thing(run).and_then(|it| it.int(field::VESSEL));
    let wine = vessel.and_then(|it| facts.cellar.wine(Key(it)));
    wine.map_or(Volume::ZERO, |it| it.volume)
}

pub(super) fn fields(run: Key, facts: &Facts) -> Fields {
    let left = left(run, facts);
    let vessel = facts.cellar.thing(run).and_then(|it| it.int(field::VESSEL));
    let mut rows = Vec::new();
    if left > Volume::ZERO {
        let verb = verbs::find("bottle finish");
        let field = verb.and_then(|it| it.fields.iter().find(|it| it.key == "left"));
        let words = match field.map(|it| it.takes) {
            Some(verbs::Takes::Choice(words)) => words,
            _ => &[],
        };
        let others = facts.vessels.iter().filter(|it| Some(it.0) != vessel);
        let others = others.map(|it| format!("{INTO}{}", facts.cellar.name(*it)));
        let words = words.iter().map(|it| (*it).to_owned());
        rows.push(
            Row::new(
                "left",
                "What is left",
                format!("{left} are left. Arrows take what became of them."),
                Takes::Choice,
            )
            .filled("stays")
            .choosing(words.chain(others)),
        );
        let lees = facts.cellar.thing(run).and_then(planned_lees);
        let lees = lees.map_or_else(String::new, |it| it.min(left).to_string());
        rows.push(
            Row::new(
                "leaving",
                "Of it lees",
                "As much as is sediment, such as 300 mL; may stay empty.",
                Takes::Words,
            )
            .filled(&lees),
        );
    }
    rows.push(
        Row::new(
            "rest",
            "Rest, days",
            "Wine tastes flat for two to eight weeks after bottling (common practice); by its kind here.",
            Takes::Figure,
        )
        .filled(&rest_days(run, &facts.cellar).to_string())
        .choosing(["14", "28", "42", "56", "90"].map(str::to_owned)),
    );
    let begun = facts.cellar.thing(run).zip(facts.cellar.wine(run));
    if let Some(part) = begun.and_then(|(run, wine)| off_empties(run, wine, &facts.cellar)) {
        let row = Row::new(
            "empties",
            "Of the empties",
            format!("With yes {part}; with no the book counts them as they are."),
            Takes::Choice,
        );
        let words = ["yes", "no"].map(str::to_owned);
        rows.push(row.filled("yes").choosing(words));
    }
    rows.push(when());
    Fields::of(rows)
}

/// The entry that finishes the run.
pub(super) fn prepare(run: Key, fields: &Fields, then: &Then<'_>) -> Result<Prepared, Refusal> {
    let mut form = Form::default();
    form.put("run", then.facts.cellar.name(run));
    for (key, text) in fields.pairs() {
        match text.strip_prefix(INTO) {
            Some(vessel) if key == "left" => form.put("into", vessel),
            _ => form.put(key, text),
        }
    }
    written_by("bottle finish", &form, then)
}

pub(super) fn view(
    run: Key,
    fields: &Fields,
    past: Option<&Snapshot>,
    page: &Page<'_>,
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let theme = page.theme;
    let hint = "Enter writes it, and so does Space. Esc goes back to the count.";
    let inner = page.frame(page.facts.cellar.name(run), hint, area, buf);
    let (row, cursor) = fields.view(1, usize::MAX, theme, inner, buf);
    let facts = page.facts;
    let then = Then { facts, past };
    let said = match prepare(run, fields, &then) {
        Ok(prepared) => {
            let sentence = then.dated(&prepared.sentence, fields);
            Page::wrapped(&sentence, 3, theme.strong(), inner)
        }
        Err(refusal) => page.still_refused(&fields.in_its_words(&refusal.sentence), inner),
    };
    Page::lines(said, row + 1, inner, buf);
    cursor
}
