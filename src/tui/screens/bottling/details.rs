//! The bottles: their size, what closes them, their mark and their name.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::fields::{Fields, Row, Takes};
use super::gate;
use super::page::Page;
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{
    Closure, Package, Wish, fits, left, lots, millilitres, usual_ml, usual_run,
};
use crate::cellar::moment::{Moment, Said};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort, Thing, field};
use crate::cellar::verbs::{self, Form, Prepared, Refusal};
use crate::tui::message::Facts;
use crate::tui::words;

/// Nominal quantities of still wine in the trade, mL (Directive 2007/45/EC, annex; from memory), the
/// usual one first; any other may be typed.
const SIZES: &[&str] = &["750", "1000", "1500", "100", "187", "250", "375", "500"];

/// As far as anything is known the fields are filled: one key goes on.
pub(super) fn fields(vessel: Key, facts: &Facts) -> Fields {
    // The usual run's package, size and closure are likely this one's.
    let usual = usual_run(None, &facts.cellar);
    let package = usual.map(Package::of).unwrap_or_default();
    let closure = usual.and_then(Closure::of);
    let closure = closure.unwrap_or(package.closures()[0]);
    let wine = facts.cellar.wine(vessel);
    let volume = wine.map_or(Volume::ZERO, |it| it.volume);
    let size = usual_ml(package, closure, volume, &facts.cellar).to_string();
    let batch = wine.and_then(Wine::main_batch).unwrap_or(vessel);
    let mark = verbs::free_mark(facts.cellar.name(batch), &facts.cellar).unwrap_or_default();
    let litres = volume.in_litres();
    let rows = [
        Row::new(
            "package",
            "Into",
            "Arrows take jugs, bags or kegs.",
            Takes::Choice,
        )
        .filled(package.word())
        .choosing(owned(Package::WORDS)),
        Row::new(
            "size",
            "Size, mL",
            format!("{litres:.1} L are in the vessel. Arrows take another size; any may be typed, as mL or 0.75 L."),
            Takes::Figure,
        )
        .filled(&size)
        .choosing(sizes(package, &facts.cellar)),
        Row::new(
            "closure",
            "Closed by",
            "Arrows take another.",
            Takes::Choice,
        )
        .filled(closure.word())
        .choosing(package.closures().iter().map(|it| it.word().to_owned())),
        corker(usual, facts),
        Row::new(
            "rating",
            "Rating",
            "As printed on the keg: 9 bar, 130 psi; that of the kegs on hand if left empty.",
            Takes::Words,
        ),
        Row::new(
            "pressure",
            "Pressure",
            "That the keg is kept under, such as 0.8 bar; none if left empty.",
            Takes::Words,
        ),
        Row::new(
            "mark",
            "Mark",
            "Two characters for cork, cap or tape, to tell the run by; one that is free is proposed.",
            Takes::Words,
        )
        .filled(&mark),
        Row::new(
            "name",
            "Name",
            "The wine's own name if left empty.",
            Takes::Words,
        ),
        Row::new(
            "lees",
            "Lees",
            "What stays behind as sediment, such as 300 mL; may stay empty.",
            Takes::Words,
        ),
        when(),
    ];
    let mut fields = Fields::of(rows);
    ask_what_matters(&mut fields, facts);
    fields
}

/// Which corker drives the corks: the usual run's, or the only one.
fn corker(usual: Option<&Thing>, facts: &Facts) -> Row {
    let open: Vec<&Thing> = facts.cellar.open(Sort::Corker).collect();
    let used = usual.and_then(|it| it.int(field::RUN_CORKER)).map(Key);
    let used = match open.as_slice() {
        [one] => Some(*one),
        several => several.iter().find(|it| Some(it.key) == used).copied(),
    };
    let names = open.iter().map(|it| it.name().to_owned());
    let none = (open.len() > 1).then(String::new);
    Row::new(
        "corker",
        "Corker",
        "Arrows take another; how it is set is said when the bottles are filled.",
        Takes::Choice,
    )
    .filled(used.map_or("", Thing::name))
    .choosing(none.into_iter().chain(names))
}

/// A corker is asked of corks only, where there is one; rating and pressure of kegs only.
fn ask_what_matters(fields: &mut Fields, facts: &Facts) {
    let is_driven = Closure::from_word(fields.get("closure")).is_some_and(Closure::is_driven);
    let has_corker = facts.cellar.open(Sort::Corker).next().is_some();
    fields.ask("corker", is_driven && has_corker);
    let package = Package::from_word(fields.get("package")).unwrap_or_default();
    for key in ["rating", "pressure"] {
        fields.ask(key, package.takes_pressure());
    }
}

/// When it happened, as every form asks it.
pub(super) fn when() -> Row {
    let help = "Now if left empty; yesterday 14:00 or 2026-11-25 will do.";
    Row::new("at", "When", help, Takes::Words)
}

/// What speaks against closing the bottles on hand so.
fn misfit(fields: &Fields, facts: &Facts) -> Option<String> {
    let package = Package::from_word(fields.get("package"))?;
    let closure = Closure::from_word(fields.get("closure"))?;
    let size_ml = millilitres(fields.get("size"), &facts.cellar.settings().units).ok()?;
    Some(fits(package, size_ml, closure, &facts.cellar)?.sentence)
}

/// What is asked of a plan by what is typed so far.
pub(super) fn wish(fields: &Fields, facts: &Facts) -> Wish {
    let units = facts.cellar.settings().units;
    let lees = millilitres(fields.get("lees"), &units).ok();
    let corker = facts.cellar.find(Sort::Corker, fields.get("corker")).ok();
    Wish {
        lees: lees.map(Volume::millilitres),
        own_ml: millilitres(fields.get("size"), &units).ok(),
        package: Package::from_word(fields.get("package")).unwrap_or_default(),
        closure: Closure::from_word(fields.get("closure")),
        corker: corker.map(|it| it.key),
        ..Wish::default()
    }
}

fn owned(of: &[&str]) -> Vec<String> {
    of.iter().map(|it| (*it).to_owned()).collect()
}

/// Sizes of a package, mL: first those of which the book has empties, then the usual ones; those of jugs, bags
/// and kegs are common practice.
pub(super) fn sizes(package: Package, cellar: &Snapshot) -> Vec<String> {
    let mut sizes = on_hand(package, cellar);
    let mut usual = owned(usual(package));
    usual.retain(|it| !sizes.contains(it));
    sizes.append(&mut usual);
    sizes
}

/// Sizes of empties that are there, mL.
fn on_hand(package: Package, cellar: &Snapshot) -> Vec<String> {
    let mut sizes = Vec::new();
    for lot in lots(package.word(), cellar) {
        let is_there = left(lot.key, cellar).is_none_or(|it| it.amount() > 0);
        let size = Package::empties_ml(lot).to_string();
        if is_there && !sizes.contains(&size) {
            sizes.push(size);
        }
    }
    sizes
}

/// The size to go on with once one is not to be filled any more: another that is there, before all one that the
/// closure fits, else the largest usual one that what is left still fills, else the smallest.
pub(super) fn next_size(
    (package, closure): (Package, Option<Closure>),
    own: i64,
    rest: Volume,
    cellar: &Snapshot,
) -> String {
    let mut there = on_hand(package, cellar);
    there.retain(|it| *it != own.to_string());
    let is_misfit = |it: &String| {
        let size_ml = it.parse().unwrap_or_default();
        closure.is_some_and(|it| fits(package, size_ml, it, cellar).is_some())
    };
    there.sort_by_key(is_misfit);
    there.into_iter().next().unwrap_or_else(|| {
        let usual = usual(package)
            .iter()
            .filter_map(|it| it.parse::<i64>().ok());
        let mut sizes: Vec<i64> = usual.filter(|it| *it != own).collect();
        sizes.sort_unstable();
        let fills = sizes
            .iter()
            .rev()
            .find(|it| **it < own && Volume::millilitres(**it) <= rest);
        fills.or(sizes.first()).unwrap_or(&own).to_string()
    })
}

fn usual(package: Package) -> &'static [&'static str] {
    match package {
        Package::Bottle => SIZES,
        Package::Jug => &["3785", "4000", "4500", "5000"],
        Package::Bag => &["5000", "3000", "10000", "20000"],
        Package::Keg => &["19000", "9500", "20000", "30000"],
    }
}

/// Where another package was chosen, its own sizes and closures take the place of the last one's.
pub(super) fn follow(fields: &mut Fields, was: &str, facts: &Facts) {
    if fields.get("package") != was {
        let package = Package::from_word(fields.get("package")).unwrap_or_default();
        fields.offer("size", sizes(package, &facts.cellar));
        let closures = package.closures().iter().map(|it| it.word().to_owned());
        fields.offer("closure", closures.collect());
    }
    ask_what_matters(fields, facts);
}

/// The entry that begins the run.
pub(super) fn prepare(
    vessel: Key,
    overrule: &str,
    fields: &Fields,
    then: &Then<'_>,
) -> Result<Prepared, Refusal> {
    let mut form = Form::of(fields.pairs());
    form.put("from", then.facts.cellar.name(vessel));
    form.put("overrule", overrule);
    // One written up later has all that behind it.
    if fields.get("at").is_empty() {
        form.put("chores", "yes");
    }
    written_by("bottle start", &form, then)
}

/// The cellar as it is, and as it was at the moment typed, once that was looked up.
pub(super) struct Then<'a> {
    pub(super) facts: &'a Facts,
    pub(super) past: Option<&'a Snapshot>,
}

impl Then<'_> {
    /// The moment typed, where the cellar as it was then is still to be looked up.
    pub(super) fn missing(&self, fields: &Fields) -> Option<Moment> {
        let said = self.said(&Form::of(fields.pairs())).ok()?;
        let known = [Some(&self.facts.cellar), self.past];
        let is_known = known.iter().flatten().any(|it| it.now == said.moment);
        (!is_known).then_some(said.moment)
    }

    /// What would be written, with the day that was typed.
    pub(super) fn dated(&self, sentence: &str, fields: &Fields) -> String {
        let said = self.said(&Form::of(fields.pairs())).ok();
        words::dated(sentence, said.as_ref(), self.facts.cellar.now)
    }

    fn said(&self, form: &Form) -> Result<Said, Refusal> {
        let cellar = &self.facts.cellar;
        verbs::when(form, cellar.now, cellar.settings().zone)
    }
}

/// What a verb makes of a form, at the moment typed in it.
pub(super) fn written_by(
    verb: &'static str,
    form: &Form,
    then: &Then<'_>,
) -> Result<Prepared, Refusal> {
    let Some(verb) = verbs::find(verb) else {
        return Err(Refusal::book(None, format!("There is no verb `{verb}`.")));
    };
    let said = then.said(form)?;
    let past = then.past.filter(|it| it.now == said.moment);
    verbs::prepare(verb, form, past.unwrap_or(&then.facts.cellar), &said)
}

pub(super) fn view(
    vessel: Key,
    overrule: &str,
    fields: &Fields,
    past: Option<&Snapshot>,
    page: &Page<'_>,
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let theme = page.theme;
    let facts = page.facts;
    let hint = format!(
        "Enter or Space begins. Tab goes through all {} fields.",
        fields.count()
    );
    let inner = page.frame(&gate::named(vessel, page.facts), &hint, area, buf);
    let then = Then { facts, past };
    let said = match prepare(vessel, overrule, fields, &then) {
        Ok(prepared) => {
            let misfit = misfit(fields, facts).map(|it| format!("! {it}"));
            let misfit = misfit.map(|it| Page::wrapped(&it, 1, theme.warn(), inner));
            let mut lines = misfit.unwrap_or_default();
            let sentence = then.dated(&prepared.sentence, fields);
            lines.extend(Page::wrapped(&sentence, 3, theme.strong(), inner));
            lines
        }
        Err(refusal) => page.still_refused(&fields.in_its_words(&refusal.sentence), inner),
    };
    let package = Package::from_word(fields.get("package")).unwrap_or_default();
    let hazard = Page::wrapped(package.hazard().sentence, 3, theme.warn(), inner);
    // The caution comes before the fields that nobody is at, and before what is blank.
    let room = usize::from(inner.height).saturating_sub(said.len() + hazard.len());
    let blank = usize::from(room >= 3 + 3);
    let room = room.saturating_sub(3 * blank).max(3);
    let (row, cursor) = fields.view(blank, room, theme, inner, buf);
    let row = Page::lines(said, row + blank, inner, buf);
    Page::lines(hazard, row + blank, inner, buf);
    cursor
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::cellar::thing::Value;

    /// A cellar that has empties of those sizes.
    fn with_empties(sizes: &[i64]) -> Snapshot {
        let now = Moment {
            utc_ms: 0,
            offset_min: 0,
        };
        let mut cellar = Snapshot::empty(now);
        for size in sizes {
            let key = Key(200 + size);
            let attributes = [
                (field::SUBSTANCE, Value::Text("bottle".to_owned())),
                (field::SIZE, Value::Int(*size)),
                (field::NAME, Value::Text(format!("empties {size}"))),
            ];
            let lot = Thing {
                key,
                uid: uuid::Uuid::nil(),
                sort: Sort::Supply,
                attributes: attributes.into_iter().collect(),
            };
            cellar.things.insert(key, Arc::new(lot));
        }
        cellar
    }

    #[test]
    fn the_next_size_is_one_that_is_there_or_that_what_is_left_fills() {
        let check = |empties: &[i64], own: i64, left_ml: i64, expected: &str| {
            let left = Volume::millilitres(left_ml);
            let cellar = with_empties(empties);
            let next = next_size((Package::Bottle, None), own, left, &cellar);
            assert_eq!(next, expected, "{empties:?} {own} {left_ml}");
        };
        check(&[750, 330], 750, 20_000, "330");
        check(&[750], 750, 20_000, "500");
        check(&[], 750, 400, "375");
        check(&[], 750, 130, "100");
        check(&[], 375, 60, "100");
        check(&[], 100, 60, "187");
        let offered = sizes(Package::Bottle, &with_empties(&[330, 750]));
        assert_eq!(offered[..3], ["330", "750", "1000"].map(str::to_owned));
    }
}
