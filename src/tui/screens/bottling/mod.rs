//! A bottling, step by step: the vessel, the gate, the bottles, the count, the finish, the sum.
//!
//! Before the run has begun its steps live here; from then on the book has them, and a bottling
//! that is under way opens at the spout, whoever began it and whatever happened in between.

mod choose;
mod count;
mod count_view;
mod details;
mod done;
mod fields;
mod finish;
mod gate;
mod page;
mod ready;
mod tally;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::Pane;
use crate::cellar::bottling::Package;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, field};
use crate::cellar::verbs::{Prepared, Refusal};
use crate::tui::commands::{Id, Place};
use crate::tui::layers::plan::Planned;
use crate::tui::message::{Ask, Call, Effect, Facts, Input, Notice, Reply, Told};
use crate::tui::theme::Theme;
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::Paged;
use choose::Choose;
use count::Count;
use details::Then;
use done::Done;
use fields::{Did, Fields};
use gate::Gate;

/// Entries read of a run: its start and its finish, and what may have been noted between.
const ENTRIES: usize = 50;

/// What is asked is not read sooner, ms: a press before that is the one that asked, twice.
const READ_MS: i64 = 1_000;

/// Said to such a press, so that nobody waits for what it did not do.
const TOO_EARLY: &str = "Too soon to have been read, so nothing is written yet: press once more.";

/// The bottling screen.
#[derive(Default)]
pub(super) struct Bottling {
    step: Step,
    choose: Choose,
    gate: Gate,
    /// Why it is bottled though it may burst the bottles.
    reason: Field,
    details: Fields,
    /// The run being filled, or the one just finished.
    run: Option<Key>,
    /// What comes before the first bottle, as far as it was read.
    ready: Paged,
    count: Count,
    finish: Fields,
    done: Done,
    /// The run's entries, newest first.
    told: Vec<Told>,
    /// Sent to the store, and not answered yet.
    writing: bool,
    /// Why the last thing asked for was not done.
    refused: Option<String>,
    /// What would be lost, asked once, and when, by the clock that runs on; a press after that is the answer.
    asked: Option<(String, i64)>,
    /// The cellar as it was at the moment typed.
    past: Option<Box<Snapshot>>,
}

/// Where the session stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Step {
    #[default]
    Choose,
    Gate,
    Reason,
    Details,
    Ready,
    Count,
    Finish,
    Done,
}

impl Bottling {
    /// The vessel that is bottled from.
    fn vessel(&self, facts: &Facts) -> Option<Key> {
        match self.run {
            Some(run) => facts.cellar.thing(run)?.int(field::VESSEL).map(Key),
            None => self.gate.vessel,
        }
    }

    fn called(&mut self, call: &Call, facts: &Facts) -> Vec<Ask> {
        if let Some(run) = facts.cellar.filling {
            let asks = self.at_spout(run, facts);
            if call.name == "bottle finish" {
                self.go_finish(facts);
            }
            return asks;
        }
        if matches!(
            self.step,
            Step::Ready | Step::Count | Step::Finish | Step::Done
        ) {
            *self = Bottling::default();
        }
        self.choose.look(facts);
        // The screen's digit shows where the session stands; asked to bottle what is marked, it
        // begins with that.
        let wanted = call.about.filter(|_| call.name == "bottle start");
        let wanted = wanted.filter(|it| choose::holds_wine(*it, facts));
        if let Some(vessel) = wanted.filter(|it| self.gate.vessel != Some(*it)) {
            self.begin(vessel, facts);
        }
        Vec::new()
    }

    /// A vessel was chosen: what was typed for another is gone.
    fn begin(&mut self, vessel: Key, facts: &Facts) {
        if self.gate.vessel != Some(vessel) {
            self.gate = Gate::of(vessel);
            self.reason = Field::default();
            self.details = details::fields(vessel, facts);
        }
        self.step = Step::Gate;
    }

    /// Goes to the run that is being filled, where it stopped.
    fn at_spout(&mut self, run: Key, facts: &Facts) -> Vec<Ask> {
        if self.run != Some(run) {
            *self = Bottling {
                run: Some(run),
                count: Count::of(run, facts),
                ..Bottling::default()
            };
        }
        if self.step == Step::Finish {
            // It may have been counted on elsewhere, and then another amount is left.
            if !self.finish.touched() {
                self.finish = finish::fields(run, facts);
            }
        } else {
            let chore = facts.cellar.thing(run).and_then(ready::chore);
            self.step = if chore.is_some() {
                Step::Ready
            } else {
                Step::Count
            };
        }
        self.reads()
    }

    fn go_finish(&mut self, facts: &Facts) {
        if let Some(run) = self.run {
            self.finish = finish::fields(run, facts);
            self.step = Step::Finish;
        }
    }

    fn reads(&self) -> Vec<Ask> {
        let read = |run| {
            Ask::Do(Effect::ReadBook {
                about: Some(run),
                limit: ENTRIES,
            })
        };
        self.run.into_iter().map(read).collect()
    }

    fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        if id == Id::StepBack {
            return self.step_back(facts);
        }
        if let (Id::Plan, Some(vessel)) = (id, self.vessel(facts)) {
            return Planned::lay(Some(vessel), details::wish(&self.details, facts), facts);
        }
        match self.step {
            Step::Choose => match self.choose.command(id) {
                Some(vessel) => self.begin(vessel, facts),
                None if id == Id::Open => {
                    let say = "No vessel holds wine; there is nothing to bottle.";
                    return vec![Ask::Say(Notice::note(say))];
                }
                None => {}
            },
            Step::Gate => return self.at_gate(id, facts),
            Step::Reason => return self.with_reason(id),
            Step::Details => {
                let was = self.details.get("package").to_owned();
                let did = self.details.command(id);
                details::follow(&mut self.details, &was, facts);
                if did == Did::GoOn {
                    return self.start(facts);
                }
            }
            Step::Ready if matches!(id, Id::Up | Id::Down) => self.ready.line(id == Id::Down),
            Step::Ready => {
                if let Some(run) = self.run.filter(|_| id == Id::Open && !self.writing) {
                    self.ready = Paged::default();
                    return self.write(ready::tick(run, facts), facts);
                }
            }
            Step::Count => {
                if id == Id::Open && self.count.asked.is_none() {
                    let bottles = self.run.and_then(|it| facts.cellar.wine(it));
                    if bottles.is_none_or(|it| it.bottle_count() == 0) {
                        let say = "No bottle yet: Space counts; Esc, then u calls it off.";
                        return vec![Ask::Say(Notice::note(say))];
                    }
                    self.go_finish(facts);
                    return Vec::new();
                }
                if let Some(run) = self.run.filter(|_| id == Id::CorksSit && !self.writing) {
                    return self.write(ready::corks_sit(run, facts), facts);
                }
                let asks = self.count.command(id, facts);
                return self.with_size(asks, facts);
            }
            Step::Finish => {
                if self.finish.command(id) == Did::GoOn {
                    return self.write_finish(facts);
                }
            }
            Step::Done if matches!(id, Id::Up | Id::Down) => self.done.paged.line(id == Id::Down),
            Step::Done if id == Id::Open => {
                return vec![Ask::Go(Place::Board, Call::default())];
            }
            Step::Done => {}
        }
        Vec::new()
    }

    /// Writes the size down that was chosen, so that a session that breaks off opens in it.
    fn with_size(&mut self, asks: Vec<Ask>, facts: &Facts) -> Vec<Ask> {
        let wanted = self.count.wanted.take().filter(|_| !self.writing);
        match self.run.zip(wanted) {
            Some((run, size_ml)) => self.write(ready::goes_on_in(run, size_ml, facts), facts),
            None => asks,
        }
    }

    fn step_back(&mut self, facts: &Facts) -> Vec<Ask> {
        self.step = match self.step {
            Step::Gate => Step::Choose,
            Step::Details if self.gate.wants_reason(facts) => Step::Reason,
            Step::Reason | Step::Details => Step::Gate,
            Step::Finish => Step::Count,
            Step::Count if self.count.asked.take().is_some() => Step::Count,
            Step::Choose | Step::Ready | Step::Count | Step::Done => {
                return vec![Ask::Go(Place::Board, Call::default())];
            }
        };
        Vec::new()
    }

    fn at_gate(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        if id == Id::Open {
            self.step = if self.gate.wants_reason(facts) {
                Step::Reason
            } else {
                Step::Details
            };
            return Vec::new();
        }
        self.gate.command(id, facts)
    }

    fn with_reason(&mut self, id: Id) -> Vec<Ask> {
        match id {
            Id::Write if self.reason.text().trim().is_empty() => {
                let say = "Say why in a few words; the book keeps it. Or step back with Esc.";
                return vec![Ask::Say(Notice::refused(say))];
            }
            Id::Write => self.step = Step::Details,
            Id::Empty => self.reason = Field::default(),
            _ => {}
        }
        Vec::new()
    }

    fn start(&mut self, facts: &Facts) -> Vec<Ask> {
        let Some(vessel) = self.gate.vessel.filter(|_| !self.writing) else {
            return Vec::new();
        };
        if let Some(look) = self.look_back(&self.details, facts) {
            return vec![look];
        }
        let then = self.then(facts);
        let prepared = details::prepare(vessel, self.reason.text(), &self.details, &then);
        self.write(prepared, facts)
    }

    fn write_finish(&mut self, facts: &Facts) -> Vec<Ask> {
        let Some(run) = self.run.filter(|_| !self.writing) else {
            return Vec::new();
        };
        if let Some(look) = self.look_back(&self.finish, facts) {
            return vec![look];
        }
        let prepared = finish::prepare(run, &self.finish, &self.then(facts));
        self.write(prepared, facts)
    }

    fn then<'a>(&'a self, facts: &'a Facts) -> Then<'a> {
        Then {
            facts,
            past: self.past.as_deref(),
        }
    }

    /// Asks for the cellar as it was at the moment typed, where that is another day.
    fn look_back(&self, fields: &Fields, facts: &Facts) -> Option<Ask> {
        let then = self.then(facts).missing(fields)?;
        Some(Ask::Do(Effect::LookBack {
            then,
            without: None,
        }))
    }

    fn write(&mut self, prepared: Result<Prepared, Refusal>, facts: &Facts) -> Vec<Ask> {
        match prepared {
            Ok(Prepared {
                loses: Some(loses), ..
            }) if !self.was_read(&loses, facts.clock_ms) => {
                let say =
                    format!("{loses} Enter or Space, once it is read, writes it all the same.");
                self.refused = Some(say);
                let asked = self.asked.take().filter(|it| it.0 == loses);
                let early = asked.as_ref().map(|_| Ask::Say(Notice::note(TOO_EARLY)));
                self.asked = Some(asked.unwrap_or((loses, facts.clock_ms)));
                early.into_iter().collect()
            }
            Ok(prepared) => {
                self.writing = true;
                vec![Ask::Do(Effect::Write {
                    amends: None,
                    draft: Box::new(prepared.draft),
                    said: prepared.sentence,
                })]
            }
            Err(refusal) => {
                let fields = match self.step {
                    Step::Finish => &self.finish,
                    _ => &self.details,
                };
                let sentence = fields.in_its_words(&refusal.sentence);
                self.refused = Some(sentence.clone());
                vec![Ask::Say(Notice::refused(sentence))]
            }
        }
    }

    /// Whether that was asked, and so long ago that the press now is an answer and no wet thumb.
    fn was_read(&self, loses: &str, clock_ms: i64) -> bool {
        let asked = self.asked.as_ref().filter(|it| it.0 == loses);
        asked.is_some_and(|it| clock_ms - it.1 >= READ_MS)
    }

    fn typed(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let fields = match self.step {
            Step::Details => &mut self.details,
            Step::Finish => &mut self.finish,
            Step::Count => {
                let asks = self.count.typed(input, facts);
                return self.with_size(asks, facts);
            }
            _ => {
                match input {
                    Input::Type(press) => {
                        self.reason.typed(*press);
                    }
                    Input::Paste(text) => self.reason.paste(text),
                    _ => {}
                }
                return Vec::new();
            }
        };
        let was = fields.get("package").to_owned();
        let did = match input {
            Input::Type(press) => fields.typed(*press),
            Input::Paste(text) => fields.paste(text),
            _ => Did::Stay,
        };
        details::follow(fields, &was, facts);
        match (did, self.step) {
            (Did::GoOn, Step::Details) => self.start(facts),
            (Did::GoOn, _) => self.write_finish(facts),
            (Did::Stay, Step::Details) => {
                self.look_back(&self.details, facts).into_iter().collect()
            }
            (Did::Stay, _) => self.look_back(&self.finish, facts).into_iter().collect(),
        }
    }

    fn replied(&mut self, reply: &Reply, facts: &Facts) -> Vec<Ask> {
        match reply {
            Reply::Written { .. } if self.writing => {
                self.writing = false;
                if self.step == Step::Finish {
                    self.step = Step::Done;
                    let run = self.run;
                    let (done, look) =
                        run.map_or_else(Default::default, |run| Done::asking(run, &self.told));
                    self.done = done;
                    return look.into_iter().chain(self.reads()).collect();
                }
            }
            Reply::Refused(sentence) => {
                self.writing = false;
                self.refused = Some(sentence.clone());
            }
            Reply::Filled { run, .. } if self.run == Some(*run) => return self.reads(),
            Reply::Book { about, entries, .. } if about.is_some() && *about == self.run => {
                self.told.clone_from(entries);
                self.count.read(&self.told, facts);
            }
            Reply::Past(past) if self.step == Step::Done => {
                self.done.past(past, self.vessel(facts));
            }
            Reply::Past(past) => self.past = Some(past.clone()),
            Reply::Stale => return self.looked_again(facts),
            _ => {}
        }
        Vec::new()
    }

    /// The cellar may have changed: a bottling begun here or elsewhere opens at the spout, one that
    /// is no more begins anew.
    fn looked_again(&mut self, facts: &Facts) -> Vec<Ask> {
        match facts.cellar.filling {
            Some(run) => self.at_spout(run, facts),
            None if matches!(self.step, Step::Ready | Step::Count | Step::Finish) => {
                let run = self.run.and_then(|it| facts.cellar.thing(it));
                let finished = run.filter(|it| it.int(field::FINISHED).is_some());
                let say = finished.map(|run| {
                    let bottles = facts.cellar.wine(run.key).map_or(0, Wine::bottle_count);
                    let bottles = Package::of(run).count(bottles);
                    let name = run.name();
                    Ask::Say(Notice::note(format!(
                        "{name} was finished elsewhere, with {bottles}."
                    )))
                });
                *self = Bottling::default();
                self.choose.look(facts);
                say.into_iter().collect()
            }
            None if self.step == Step::Done => self.reads(),
            None => {
                self.choose.look_again(facts);
                let gone = self
                    .gate
                    .vessel
                    .is_some_and(|it| !choose::holds_wine(it, facts));
                if gone && self.step != Step::Choose {
                    self.step = Step::Choose;
                }
                Vec::new()
            }
        }
    }
}

impl Pane for Bottling {
    fn place(&self) -> Place {
        match self.step {
            Step::Reason | Step::Details | Step::Finish => Place::BottlingText,
            Step::Count if self.count.asked.is_some() => Place::BottlingText,
            Step::Count => Place::Count,
            Step::Gate => Place::Gate,
            Step::Choose | Step::Ready | Step::Done => Place::Bottling,
        }
    }

    fn screen(&self) -> Place {
        Place::Bottling
    }

    fn about(&self, facts: &Facts) -> Option<Key> {
        match self.step {
            Step::Choose => self.choose.marked(),
            Step::Done => self.run,
            _ => self.vessel(facts),
        }
    }

    /// What is finished is not planned any more.
    fn called(&self, id: Id, _facts: &Facts) -> Option<String> {
        (id == Id::Plan && self.step == Step::Done).then(String::new)
    }

    fn in_full(&self) -> Option<&str> {
        self.refused.as_deref()
    }

    fn holds_work(&self) -> bool {
        let begun = matches!(self.step, Step::Reason | Step::Details);
        begun && (!self.reason.text().trim().is_empty() || self.details.touched())
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Called(call) => {
                self.refused = None;
                self.called(call, facts)
            }
            Input::Command(id) => {
                self.refused = None;
                self.command(*id, facts)
            }
            Input::Type(_) | Input::Paste(_) => {
                self.refused = None;
                self.typed(input, facts)
            }
            Input::Reply(reply) => self.replied(reply, facts),
        }
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let page = page::Page {
            step: self.step,
            refused: self.refused.as_deref(),
            facts,
            theme,
        };
        match self.step {
            Step::Choose => {
                let hint = match self.choose.marked() {
                    Some(_) => "Enter or Space takes the marked vessel.",
                    None => {
                        "On the board, H writes down a wine that is here, and i one that comes in."
                    }
                };
                let inner = page.frame("", hint, area, buf);
                self.choose.view(facts, theme, inner, buf);
                None
            }
            Step::Gate => {
                self.gate.view(&page, area, buf);
                None
            }
            Step::Reason => self.gate.reason_view(&self.reason, &page, area, buf),
            Step::Details => {
                let vessel = self.gate.vessel?;
                let (reason, past) = (self.reason.text(), self.past.as_deref());
                details::view(vessel, reason, &self.details, past, &page, area, buf)
            }
            Step::Ready => {
                ready::view(
                    facts.cellar.thing(self.run?)?,
                    &self.ready,
                    &page,
                    area,
                    buf,
                );
                None
            }
            Step::Count => {
                let run = self.run?;
                count_view::view(run, &self.count, &self.told, &page, area, buf)
            }
            Step::Finish => {
                let past = self.past.as_deref();
                finish::view(self.run?, &self.finish, past, &page, area, buf)
            }
            Step::Done => {
                let run = facts.cellar.thing(self.run?)?;
                self.done.view(run, &self.told, &page, area, buf);
                None
            }
        }
    }
}
