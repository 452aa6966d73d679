//! Dosing: any calculator, in the light of a vessel.
//!
//! What is known is filled in and says where it comes from; the figure to give stands large; one
//! key shows what would be written, and another writes it. What was typed for a vessel is kept while
//! others are looked at, so that nothing typed is ever lost by stepping away.

mod confirm;
mod digits;
mod entry;
mod figure;
mod head;
mod lines;
mod sheet;
mod view;
mod working;

use std::cell::Cell;

use leesline_calc::registry::{Calculator, find};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::Pane;
use crate::cellar::attention::Reason;
use crate::cellar::dosing::{self, BY_SPOON, DOSE};
use crate::cellar::thing::{Key, Sort};
use crate::tui::commands::{Id, Place};
use crate::tui::layers::what_if::WhatIf;
use crate::tui::message::{Ask, Call, Facts, Input, Notice, Reply};
use crate::tui::press::Press;
use crate::tui::theme::Theme;
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::{Scroll, moved};
use confirm::Confirm;
use entry::Part;
use sheet::{LOT, Sheet};
use working::Working;

/// The dosing screen.
#[derive(Default)]
pub(super) struct Dosing {
    /// The one shown is the last; before it those with something typed in them.
    sheets: Vec<Sheet>,
    /// The marked line.
    at: usize,
    /// Every line shows, and not only the few that matter.
    is_full: bool,
    typing: Option<Typing>,
    /// What was sent to the store, by its sentence.
    sent: Option<String>,
    /// The caution was shown in full, and a dose was written since.
    cautioned: bool,
    scroll: Scroll,
    /// How many lines of the sheet were last drawn, for a step of a page.
    shown: Cell<usize>,
}

/// How typing into the marked line goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Typing {
    /// The first character takes the place of what stands there.
    Over,
    /// Characters go where the cursor is.
    Within,
}

impl Dosing {
    fn sheet(&self) -> Option<&Sheet> {
        self.sheets.last()
    }

    /// The lines that show, by their place among all; the marked one is always among them.
    fn shown_lines(&self) -> Vec<usize> {
        let Some(sheet) = self.sheet() else {
            return Vec::new();
        };
        let rows = sheet.rows.iter().enumerate();
        let shows = |at: usize, row| self.is_full || at == self.at || sheet.shows(row);
        rows.filter(|(at, row)| shows(*at, row))
            .map(|(at, _)| at)
            .collect()
    }

    /// Marks the line that many further among those that show.
    fn go(&mut self, by: isize) {
        let lines = self.shown_lines();
        let at = lines.iter().position(|it| *it == self.at).unwrap_or(0);
        self.at = lines
            .get(moved(at, by, lines.len()))
            .copied()
            .unwrap_or(self.at);
    }

    /// Shows every line, or only those that matter.
    fn all_lines(&mut self) -> Vec<Ask> {
        let all = self.sheet().map_or(0, |it| it.rows.len());
        if !self.is_full && self.shown_lines().len() == all {
            return vec![Ask::Say(Notice::note("Every line is shown already."))];
        }
        self.is_full = !self.is_full;
        let hidden = self.sheet().is_some_and(|sheet| {
            let marked = sheet.rows.get(self.at);
            marked.is_some_and(|it| !sheet.shows(it))
        });
        if hidden && !self.is_full {
            self.at = 0;
        }
        Vec::new()
    }

    /// Shows a calculator for a vessel: as it was left if something is typed in it, else anew.
    fn show(&mut self, calculator: &'static Calculator, vessel: Option<Key>, facts: &Facts) {
        self.sheets.retain(Sheet::is_typed);
        let is_wanted = |it: &Sheet| it.calculator.name == calculator.name && it.vessel == vessel;
        let sheet = match self.sheets.iter().position(is_wanted) {
            Some(kept) => {
                let mut sheet = self.sheets.remove(kept);
                sheet.fill(facts);
                sheet
            }
            None => Sheet::of(calculator, vessel, facts),
        };
        let missing = sheet
            .outcome
            .as_ref()
            .err()
            .and_then(|it| it.key.as_deref());
        let row = |key: &str| sheet.rows.iter().position(|it| it.key == key);
        let missing = missing.and_then(row);
        self.at = missing.unwrap_or(0);
        // Without a vessel there is nothing to look at until something is typed.
        self.typing = (missing.is_some() && vessel.is_none()).then_some(Typing::Over);
        self.sheets.push(sheet);
    }

    fn called(&mut self, call: &Call, facts: &Facts) -> Vec<Ask> {
        let shown = self.sheet().map(|it| (it.calculator, it.vessel));
        let calculator = match call.name.as_str() {
            "" => shown.map(|it| it.0),
            "dose" => find(DOSE),
            name => find(name),
        };
        let Some(calculator) = calculator.or_else(|| find(DOSE)) else {
            return Vec::new();
        };
        let is_full = |key: &Key| is_full(*key, facts);
        let by_name = || {
            let (_, name) = call.values.iter().find(|(key, _)| key == "place")?;
            let vessel = facts.cellar.find(Sort::Vessel, name).ok()?;
            Some(vessel.key).filter(is_full)
        };
        let asked = call.about.filter(is_full).or_else(by_name);
        if call.name == "dose"
            && asked.is_none()
            && let Some(empty) = call.about.and_then(|it| facts.cellar.thing(it))
            && empty.sort == Sort::Vessel
        {
            self.show(calculator, None, facts);
            let said = format!(
                "{} is empty: choose another vessel, or type a volume.",
                empty.name()
            );
            return vec![Ask::Say(Notice::note(said))];
        }
        // A digit comes back to what is being typed; any other call is about something.
        let kept = self
            .sheet()
            .filter(|it| call.name.is_empty() && it.is_typed())
            .and_then(|it| it.vessel);
        let before = shown.and_then(|it| it.1).filter(is_full);
        let vessel = kept.or(asked).or(before).or_else(|| neediest(facts));
        // Who has no test begins with the rule of thumb, and not with a dose that asks for one.
        let by_thumb = call.name == "dose"
            && vessel.map_or(!facts.cellar.settings().tests_so2, |it| {
                dosing::by_thumb(it, &facts.cellar)
            });
        let calculator = find(BY_SPOON).filter(|_| by_thumb).unwrap_or(calculator);
        self.show(calculator, vessel, facts);
        Vec::new()
    }

    fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        let Some(sheet) = self.sheets.last_mut() else {
            return Vec::new();
        };
        let page = isize::try_from(self.shown.get().max(1)).unwrap_or(1);
        match id {
            Id::Up => self.go(-1),
            Id::Down => self.go(1),
            Id::PageUp => self.go(-page),
            Id::PageDown => self.go(page),
            Id::First => self.go(isize::MIN),
            Id::Last => self.go(isize::MAX),
            Id::Left => self.other_vessel(-1, facts),
            Id::Right => self.other_vessel(1, facts),
            Id::WhatIf => {
                let dose = entry::prepare(sheet, sheet.part, facts).ok();
                return match sheet.vessel {
                    Some(vessel) => vec![Ask::Lay(Box::new(WhatIf::done(vessel, dose, facts)))],
                    None => vec![Ask::Say(Notice::note(
                        "Choose a vessel first, with the arrows.",
                    ))],
                };
            }
            Id::Change => self.typing = Some(Typing::Over),
            Id::Restore => {
                sheet.rows[self.at].restore();
                self.changed(facts);
            }
            Id::AllLines => return self.all_lines(),
            Id::Thumb => self.rule_of_thumb(facts),
            Id::Write => return self.confirm(facts),
            Id::Half => return self.other_part(facts),
            Id::Working => {
                return match sheet.answer() {
                    Some((_, answer)) => vec![Ask::Lay(Box::new(Working::of(sheet, answer)))],
                    None => vec![Ask::Say(Notice::note(
                        "There is no answer yet, so there is no working.",
                    ))],
                };
            }
            Id::Done => self.typing = None,
            Id::Next => self.go_typing(1),
            Id::Previous => self.go_typing(-1),
            Id::Take => self.take(facts),
            Id::Empty => {
                sheet.rows[self.at].put(Field::default());
                self.changed(facts);
            }
            _ => {}
        }
        Vec::new()
    }

    fn go_typing(&mut self, by: isize) {
        self.go(by);
        self.typing = Some(Typing::Over);
    }

    /// The next of the words a line chooses among; elsewhere one character on.
    fn take(&mut self, facts: &Facts) {
        let Some(sheet) = self.sheets.last_mut() else {
            return;
        };
        let row = &mut sheet.rows[self.at];
        let words = row.choices();
        if words.is_empty() {
            self.typing = Some(Typing::Within);
            row.text.typed(Press::Right);
            return;
        }
        let at = words.iter().position(|it| *it == row.text.text().trim());
        let next = at.map_or(0, |it| (it + 1) % words.len());
        row.put(Field::of(words[next]));
        self.typing = Some(Typing::Over);
        self.changed(facts);
    }

    /// The text of the marked line changed: everything is reckoned anew.
    fn changed(&mut self, facts: &Facts) {
        if let Some(sheet) = self.sheets.last_mut() {
            if sheet.rows[self.at].key == LOT {
                sheet.fill(facts);
            } else {
                sheet.solve(facts);
            }
        }
    }

    fn typed(&mut self, press: Press, facts: &Facts) {
        let Some(sheet) = self.sheets.last_mut() else {
            return;
        };
        let row = &mut sheet.rows[self.at];
        if self.typing == Some(Typing::Over) && matches!(press, Press::Char(_) | Press::Backspace) {
            row.text = Field::default();
        }
        self.typing = Some(Typing::Within);
        // Moving the cursor types nothing.
        if row.text.typed(press) {
            row.is_typed = true;
            self.changed(facts);
        }
    }

    /// The vessel before or after this one in the order of the board; none stands at the end.
    fn other_vessel(&mut self, by: isize, facts: &Facts) {
        let Some(sheet) = self.sheet() else {
            return;
        };
        let full = facts.vessels.iter().filter(|it| is_full(**it, facts));
        let all: Vec<Option<Key>> = full.map(|it| Some(*it)).chain([None]).collect();
        let at = all.iter().position(|it| *it == sheet.vessel).unwrap_or(0);
        let next = (at as isize + by).rem_euclid(all.len() as isize);
        let calculator = sheet.calculator;
        self.show(calculator, all[next as usize], facts);
    }

    /// To the rule of thumb, or back from it.
    fn rule_of_thumb(&mut self, facts: &Facts) {
        let Some(sheet) = self.sheet() else {
            return;
        };
        let vessel = sheet.vessel;
        let other = if sheet.calculator.name == BY_SPOON {
            DOSE
        } else {
            BY_SPOON
        };
        if let Some(calculator) = find(other) {
            self.show(calculator, vessel, facts);
        }
    }

    /// From half of it to all, or back.
    fn other_part(&mut self, facts: &Facts) -> Vec<Ask> {
        let Some(sheet) = self.sheets.last_mut() else {
            return Vec::new();
        };
        let other = match sheet.part {
            Part::All => Part::Half,
            Part::Half => Part::All,
        };
        sheet.choose(Some(other), facts);
        if sheet.part == other {
            return Vec::new();
        }
        vec![Ask::Say(Notice::note(
            "Half of this cannot be measured with what you have, or nothing is to be given.",
        ))]
    }

    /// Shows what would be written, or says why nothing can be.
    fn confirm(&mut self, facts: &Facts) -> Vec<Ask> {
        let Some(sheet) = self.sheet() else {
            return Vec::new();
        };
        match entry::prepare(sheet, sheet.part, facts) {
            Ok(prepared) => {
                let cautions = sheet.cautions();
                let confirm =
                    Confirm::of(prepared.clone(), sheet.part, sheet.stop.as_ref(), &cautions);
                self.sent = Some(prepared.sentence);
                vec![Ask::Lay(Box::new(confirm))]
            }
            Err(refusal) => vec![Ask::Say(Notice::refused(refusal.sentence))],
        }
    }
}

fn is_full(key: Key, facts: &Facts) -> bool {
    let thing = facts.cellar.thing(key);
    thing.is_some_and(|it| it.sort == Sort::Vessel) && facts.cellar.wine(key).is_some()
}

/// The vessel that most needs a dose, else the first that holds wine.
fn neediest(facts: &Facts) -> Option<Key> {
    let wants = facts
        .reasons
        .iter()
        .filter(|it| it.suggestion.verb == "dose");
    let mut wants = wants.map(|it| it.subject).filter(|it| is_full(*it, facts));
    let mut full = facts
        .vessels
        .iter()
        .copied()
        .filter(|it| is_full(*it, facts));
    wants.next().or_else(|| full.next())
}

impl Pane for Dosing {
    fn place(&self) -> Place {
        match self.typing {
            Some(_) => Place::DosingLine,
            None if self.sheet().is_none_or(entry::is_addition) => Place::Dosing,
            None => Place::Reckoning,
        }
    }

    fn screen(&self) -> Place {
        Place::Dosing
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        self.sheet()?.vessel
    }

    fn reason(&self, facts: &Facts) -> Option<Reason> {
        let vessel = self.about(facts)?;
        facts.reasons_for(vessel).next().cloned()
    }

    fn holds_work(&self) -> bool {
        let sheets = self.sheets.iter();
        sheets
            .filter(|it| it.vessel.is_some() && entry::is_addition(it))
            .any(Sheet::is_typed)
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Called(call) => return self.called(call, facts),
            Input::Command(id) => return self.command(*id, facts),
            Input::Type(press) if self.typing.is_some() => self.typed(*press, facts),
            Input::Paste(pasted) if self.typing.is_some() => {
                if let Some(sheet) = self.sheets.last_mut() {
                    let row = &mut sheet.rows[self.at];
                    if self.typing == Some(Typing::Over) {
                        row.text = Field::default();
                    }
                    row.text.paste(pasted);
                    row.is_typed = true;
                    self.typing = Some(Typing::Within);
                    self.changed(facts);
                }
            }
            Input::Reply(Reply::Stale) => {
                if let Some(sheet) = self.sheets.last_mut() {
                    sheet.fill(facts);
                }
            }
            Input::Reply(Reply::Written { said, .. }) if self.sent.as_ref() == Some(said) => {
                // The dose is given: the board says what needs someone now.
                self.sent = None;
                self.cautioned = true;
                self.sheets.pop();
                return vec![Ask::Go(Place::Board, Call::default())];
            }
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        view::draw(self, self.sheet()?, facts, theme, area, buf)
    }
}
