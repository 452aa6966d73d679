//! A form for any verb, made from the fields that it declares.

mod choices;
mod view;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use crate::cellar::entry::Entry;
use crate::cellar::moment::Said;
use crate::cellar::run;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::tasting;
use crate::cellar::thing::{Key, Sort};
use crate::cellar::verbs::{self, COMMON, Need, Prepared, Refusal, Takes, Verb};
use crate::cellar::what_if;
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Call, Effect, Facts, Input, Reply};
use crate::tui::press::Press;
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::Scroll;
use crate::tui::words;

#[cfg(test)]
pub(in crate::tui) use choices::to_top_up;

/// A form being filled.
pub struct Form {
    verb: &'static Verb,
    rows: Vec<Row>,
    /// Values that are never asked: the calculation behind an addition.
    hidden: Vec<(String, String)>,
    about: Option<Key>,
    /// The entry it writes anew, and its date as the form shows it.
    amends: Option<(Box<Entry>, String)>,
    /// What that entry said, where not all of it could be filled in.
    unlike: Unlike,
    focus: usize,
    /// The cellar as it was when it happened, for what is not written on the day.
    past: Option<Box<Snapshot>>,
    /// What it would write, or why it would not.
    outcome: Result<Prepared, Refusal>,
    /// What it would make of the forecast, vessel by vessel.
    then: Vec<String>,
    step: Step,
    /// Whether the person typed anything.
    touched: bool,
    /// Words that wines were tasted with before, the newest first.
    used: Vec<String>,
    scroll: Scroll,
}

/// A line of the form. A field that may be given several times has a line for each.
struct Row {
    field: &'static verbs::Field,
    text: Field,
}

/// Whether an entry to be amended could be filled in as it was.
#[derive(Clone, Debug, PartialEq)]
enum Unlike {
    /// Not looked at yet.
    Unseen,
    /// It says what the entry said.
    Same,
    /// It does not: what the entry said.
    Said(String),
}

/// How far a form is.
#[derive(Clone, Debug, PartialEq)]
enum Step {
    /// Being filled.
    Filling,
    /// Enter was pressed and could not be followed; the sentence says why.
    Refused(String),
    /// It asks what it must; Enter again writes.
    Asking,
    /// What an amendment would change is being looked up.
    Previewing,
    /// What it would change; Enter again writes.
    Changes(Vec<String>),
    /// Sent to the store.
    Writing,
    /// Esc was pressed with something typed.
    Leaving,
}

impl Form {
    /// For a verb, with what is known filled in. The first empty field that must be filled is where
    /// typing begins.
    pub fn of(verb: &'static Verb, call: &Call, facts: &Facts) -> (Form, Vec<Ask>) {
        let mut rows = Vec::new();
        let mut hidden = call.values.clone();
        let shown = verb
            .fields
            .iter()
            .chain(COMMON)
            .filter(|it| it.takes != Takes::Hidden);
        for field in shown {
            let given: Vec<String> = hidden
                .extract_if(.., |(key, _)| key == field.key)
                .map(|(_, text)| text)
                .collect();
            rows.extend(given.iter().map(|text| Row {
                field,
                text: Field::of(text),
            }));
            if given.is_empty() || field.need == Need::Many {
                rows.push(Row {
                    field,
                    text: Field::default(),
                });
            }
        }
        let empty = |it: &Row| it.text.text().is_empty();
        let asked_for = |it: &Row| call.needs.iter().any(|key| key == it.field.key);
        let missing = rows.iter().position(|it| it.needed() && empty(it));
        // Of what may be said several times, the first is there to be changed.
        let open = |it: &Row| empty(it) || it.field.need == Need::Many;
        let wanted = || rows.iter().position(|it| asked_for(it) && open(it));
        let first = missing
            .or_else(wanted)
            .or_else(|| rows.iter().position(empty));
        let mut form = Form {
            verb,
            rows,
            hidden,
            about: call.about,
            amends: None,
            unlike: Unlike::Unseen,
            past: None,
            focus: first.unwrap_or(0),
            outcome: Err(Refusal::input("", "")),
            then: Vec::new(),
            step: Step::Filling,
            touched: false,
            used: Vec::new(),
            scroll: Scroll::default(),
        };
        let mut asks = form.prepare(facts);
        if form.rows.iter().any(|it| it.field.takes == Takes::Words) {
            asks.push(Ask::Do(Effect::ReadTastingWords));
        }
        (form, asks)
    }

    /// For an entry of the book, to be written anew; nothing for a void, which no verb writes.
    pub fn again(entry: &Entry, facts: &Facts) -> Option<(Form, Vec<Ask>)> {
        let (verb, values) = verbs::again(entry, &facts.cellar)?;
        let about = entry.draft.places().first().copied();
        let date = values.iter().find(|(key, _)| key == "at");
        let date = date.map_or(String::new(), |(_, text)| text.clone());
        let call = Call {
            about,
            name: verb.name.to_owned(),
            values,
            needs: Vec::new(),
        };
        let (mut form, _) = Form::of(verb, &call, facts);
        form.amends = Some((Box::new(entry.clone()), date));
        form.focus = 0;
        let asks = form.prepare(facts);
        Some((form, asks))
    }

    /// Works out what would be written. Asks for the cellar as it was when it happened.
    fn prepare(&mut self, facts: &Facts) -> Vec<Ask> {
        self.then.clear();
        let form = self.typed();
        let now = facts.cellar.now;
        let mut said = match verbs::when(&form, now, facts.cellar.settings().zone) {
            Ok(said) => said,
            Err(refusal) => {
                self.outcome = Err(refusal);
                return Vec::new();
            }
        };
        // A date left as it was is the very moment it was, to the millisecond.
        if let Some((entry, date)) = &self.amends
            && form.get("at") == Some(date.as_str())
        {
            said.moment = entry.draft.when;
        }
        if said.moment == now && self.amends.is_none() {
            self.past = None;
        }
        let past = self.past.as_deref().filter(|it| it.now == said.moment);
        self.outcome = verbs::prepare(self.verb, &form, past.unwrap_or(&facts.cellar), &said);
        let is_now = said.moment == now && self.amends.is_none();
        // What comes of a deed of the past is in the book already, as far as it is over.
        if let (true, Ok(prepared)) = (is_now, &self.outcome) {
            self.then = what_if::foreseen(&prepared.draft, &facts.cellar, &facts.policy);
        }
        if past.is_some() || is_now {
            return Vec::new();
        }
        vec![Ask::Do(Effect::LookBack {
            then: said.moment,
            without: self.amends.as_ref().map(|(entry, _)| entry.clone()),
        })]
    }

    /// Looks once, before anything is typed, whether it says what the entry said that it amends.
    fn compare(&mut self, facts: &Facts) {
        let Some((entry, _)) = self.amends.as_ref() else {
            return;
        };
        if self.touched || self.unlike != Unlike::Unseen {
            return;
        }
        let again = self.outcome.as_ref().ok().map(|it| &it.draft);
        self.unlike = match verbs::unlike(entry, again, &facts.cellar) {
            Some(was) => Unlike::Said(was),
            None => Unlike::Same,
        };
    }

    /// What is typed, as the verb reads it.
    fn typed(&self) -> verbs::Form {
        let mut form = verbs::Form::default();
        for (key, text) in &self.hidden {
            form.put(key, text);
        }
        for row in &self.rows {
            let refused = row.field.takes == Takes::Flag
                && row.text.text().trim().to_lowercase().starts_with('n');
            if !refused {
                form.put(row.field.key, row.text.text());
            }
        }
        form
    }

    /// When it happened, as typed; nothing where that cannot be read.
    fn said(&self, facts: &Facts) -> Option<Said> {
        let cellar = &facts.cellar;
        verbs::when(&self.typed(), cellar.now, cellar.settings().zone).ok()
    }

    /// The text of the focused field changed.
    fn changed(&mut self, facts: &Facts) -> Vec<Ask> {
        self.touched = true;
        self.step = Step::Filling;
        let row = &self.rows[self.focus];
        let another = self.rows.get(self.focus + 1);
        let last_of_many = row.field.need == Need::Many
            && !row.text.text().trim().is_empty()
            && another.is_none_or(|it| it.field.key != row.field.key);
        if last_of_many {
            let blank = Row {
                field: row.field,
                text: Field::default(),
            };
            self.rows.insert(self.focus + 1, blank);
        }
        self.prepare(facts)
    }

    /// A verb's sentence with the fields called as they are here.
    fn in_its_words(&self, sentence: &str) -> String {
        let fields = self.rows.iter().map(|it| (it.field.key, it.field.label));
        words::of_fields(sentence, fields)
    }

    fn write(&mut self, facts: &Facts) -> Vec<Ask> {
        if matches!(self.step, Step::Writing | Step::Previewing) {
            return Vec::new();
        }
        let asks = self.prepare(facts);
        if !asks.is_empty() {
            return asks;
        }
        match &self.outcome {
            Err(refusal) => {
                let at = self
                    .rows
                    .iter()
                    .position(|it| Some(it.field.key) == refusal.field);
                self.focus = at.unwrap_or(self.focus);
                self.step = Step::Refused(refusal.sentence.clone());
                Vec::new()
            }
            Ok(prepared) if self.amends.is_some() && !matches!(self.step, Step::Changes(_)) => {
                let draft = Box::new(prepared.draft.clone());
                self.step = Step::Previewing;
                let entry = self.amends.as_ref().map(|it| it.0.key);
                let preview = entry.map(|entry| Ask::Do(Effect::PreviewAmend { entry, draft }));
                preview.into_iter().collect()
            }
            Ok(prepared)
                if prepared.questions().next().is_some()
                    && !matches!(self.step, Step::Asking | Step::Changes(_)) =>
            {
                self.step = Step::Asking;
                Vec::new()
            }
            Ok(prepared) => {
                self.step = Step::Writing;
                vec![Ask::Do(Effect::Write {
                    amends: self.amends.as_ref().map(|(entry, _)| entry.key),
                    draft: Box::new(prepared.draft.clone()),
                    said: prepared.sentence.clone(),
                })]
            }
        }
    }

    /// What a line may be completed to, in the order in which it is offered.
    fn choices(&self, row: &Row, facts: &Facts) -> Vec<String> {
        let typed = row.text.text();
        match (row.field.takes, self.verb.name, row.field.key) {
            (Takes::Words, ..) => tasting::words::completions(typed, &self.used),
            (Takes::Wines, ..) => choices::wines(typed, facts),
            (_, "top-up", "from") => choices::to_top_up(self.text("into"), facts),
            (_, "blind taste", "letter") => {
                let flight = tasting::Flight::of(&facts.cellar);
                flight.map_or_else(Vec::new, |it| it.letters().collect())
            }
            (takes, ..) => choices::all(takes, facts),
        }
    }

    /// What is typed in a field, the first if several.
    fn text(&self, key: &str) -> &str {
        let row = self.rows.iter().find(|it| it.field.key == key);
        row.map_or("", |it| it.text.text())
    }

    /// When the bottles are to be drunk as things stand, where the form is for saying otherwise.
    fn window_now(&self, facts: &Facts) -> Option<String> {
        let named = (self.verb.name == "window").then(|| self.text("run"))?;
        let run = facts.cellar.find(Sort::Run, named).ok()?;
        let now = Some(run::drink(run, &facts.cellar)).filter(|it| !it.is_empty())?;
        Some(format!("As it stands: {now}."))
    }

    /// What is asked next in a field that takes several things one after the other.
    fn asks_next(&self, row: &Row) -> Option<String> {
        let sheet = tasting::sheets::find(self.text("sheet").trim());
        sheet
            .filter(|_| row.field.takes == Takes::Points)?
            .next(row.text.text())
    }

    /// Goes to another field, and says what is wrong with the one that is left. It goes all the same:
    /// what is typed next is meant for the next field.
    fn leave(&mut self, to: usize) {
        let row = &self.rows[self.focus];
        let is_filled = !row.text.text().trim().is_empty();
        let wrong = self.outcome.as_ref().err();
        let wrong = wrong.filter(|it| is_filled && it.field == Some(row.field.key));
        if let Some(refusal) = wrong.filter(|_| self.step == Step::Filling) {
            self.step = Step::Refused(refusal.sentence.clone());
        }
        self.focus = to;
    }

    /// Takes the completion shown, or the next choice where the text is one already.
    fn take(&mut self, facts: &Facts) -> Vec<Ask> {
        let row = &mut self.rows[self.focus];
        if !row.text.at_end() {
            row.text.typed(Press::Right);
            return Vec::new();
        }
        let row = &self.rows[self.focus];
        if let Some(text) = choices::next(self.choices(row, facts), row.text.text()) {
            self.rows[self.focus].text = Field::of(&text);
            return self.changed(facts);
        }
        Vec::new()
    }

    fn command(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        let total = self.rows.len();
        match id {
            Id::Back if matches!(self.step, Step::Asking | Step::Changes(_)) => {
                self.step = Step::Filling;
            }
            Id::Back if self.holds_work() => self.step = Step::Leaving,
            Id::Back => return vec![Ask::Close],
            Id::Write => return self.write(facts),
            Id::Next => self.leave((self.focus + 1) % total),
            Id::Previous => self.leave((self.focus + total - 1) % total),
            Id::Take => return self.take(facts),
            Id::Empty => {
                self.rows[self.focus].text = Field::default();
                return self.changed(facts);
            }
            _ => {}
        }
        Vec::new()
    }
}

impl Row {
    fn needed(&self) -> bool {
        self.field.need == Need::Required
    }
}

impl Pane for Form {
    fn place(&self) -> Place {
        Place::Form
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        self.about
    }

    fn holds_work(&self) -> bool {
        self.touched && self.rows.iter().any(|it| !it.text.text().trim().is_empty())
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        // Asked whether to throw it away: only `y` does, whatever else was meant.
        if self.step == Step::Leaving && !matches!(input, Input::Reply(_)) {
            self.step = Step::Filling;
            let thrown_away = matches!(input, Input::Type(Press::Char('y' | 'Y')));
            return if thrown_away {
                vec![Ask::Close]
            } else {
                Vec::new()
            };
        }
        match input {
            Input::Command(id) => return self.command(*id, facts),
            Input::Type(press) if self.rows[self.focus].text.typed(*press) => {
                return self.changed(facts);
            }
            Input::Paste(text) => {
                self.rows[self.focus].text.paste(text);
                return self.changed(facts);
            }
            Input::Reply(Reply::Past(past)) => {
                self.past = Some(past.clone());
                let asks = self.prepare(facts);
                self.compare(facts);
                return asks;
            }
            Input::Reply(Reply::Written { .. }) if self.step == Step::Writing => {
                return vec![Ask::Close];
            }
            Input::Reply(Reply::TastingWords(all)) => self.used = tasting::words::used(all),
            Input::Reply(Reply::Changes(lines)) if self.step == Step::Previewing => {
                self.step = Step::Changes(lines.clone());
            }
            Input::Reply(Reply::Refused(sentence))
                if matches!(self.step, Step::Writing | Step::Previewing) =>
            {
                self.step = Step::Refused(sentence.clone());
            }
            Input::Reply(Reply::Stale) => {
                self.past = None;
                return self.prepare(facts);
            }
            _ => {}
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        view::draw(self, facts, theme, area, buf)
    }
}
