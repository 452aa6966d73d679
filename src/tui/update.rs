//! What happened becomes what is remembered and what is asked for. Nothing here touches the store,
//! the clock or the terminal.

use crate::cellar;
use crate::cellar::attention::{Reason, ReasonKind};
use crate::cellar::bottling::Wish;
use crate::cellar::moment::Moment;
use crate::cellar::thing::{CELLAR, Key, Sort, Thing};
use crate::cellar::verbs::{self, Takes};

use super::commands::{self, Id, Place};
use super::layers::{
    form::Form, help::Help, palette::Palette, plan::Planned, put_off::PutOffs,
    thresholds::Thresholds, trouble::Trouble, undo::Undo, what_if::WhatIf, why::Why,
};
use super::message::{Ask, Call, Effect, Facts, Input, Message, Notice, Reply};
use super::press::Press;
use super::state::{State, Window};

/// Takes in a message.
pub fn update(state: &mut State, message: Message, now: Moment) -> Vec<Effect> {
    state.nothing.cellar.now = now;
    // What is written next happened now, however long ago the cellar was read.
    if let Some(facts) = &mut state.facts {
        facts.cellar.now = now;
        facts.clock_ms = state.clock_ms;
    }
    match message {
        Message::Clock(at_ms) => {
            state.clock_ms = at_ms;
            if let Some(facts) = &mut state.facts {
                facts.clock_ms = at_ms;
            }
            Vec::new()
        }
        Message::WasUp(said) => {
            state.notice = Some(Notice::note(said));
            Vec::new()
        }
        Message::Started | Message::Stale => vec![load(state)],
        Message::Press(press) => pressed(state, press),
        Message::Paste(text) => {
            if state.place().takes_text() {
                tell(state, &Input::Paste(&text))
            } else {
                Vec::new()
            }
        }
        Message::Reply(reply) => replied(state, reply),
    }
}

/// Has the cellar read again, from what is known of it on.
fn load(state: &State) -> Effect {
    Effect::Load(state.facts.as_ref().and_then(|it| it.watch.clone()))
}

fn pressed(state: &mut State, press: Press) -> Vec<Effect> {
    state.notice = None;
    if std::mem::take(&mut state.asked_to_leave) {
        state.leaving = matches!(press, Press::Char('y' | 'Y'));
        return Vec::new();
    }
    let place = state.place();
    let command = commands::find(place, press);
    let is_blind = |id| !matches!(id, Id::Leave | Id::Suspend | Id::Redraw);
    if state.window == Window::TooSmall && command.is_none_or(|it| is_blind(it.id)) {
        let say = "Keys did nothing while the window was too small to show it.";
        state.notice = Some(Notice::note(say));
        return Vec::new();
    }
    match command {
        Some(command) => match is_for_vessels(state, command.id) {
            Some(name) => {
                let said = format!(
                    "{name} is in bottles, and {} is for a vessel: mark one on the board.",
                    command.name
                );
                state.notice = Some(Notice::note(said));
                Vec::new()
            }
            None => command_given(state, command.id),
        },
        None if place.takes_text() => tell(state, &Input::Type(press)),
        None => {
            state.notice = Some(Notice::note(format!(
                "{press} does nothing here; press ? for every key that does."
            )));
            Vec::new()
        }
    }
}

fn command_given(state: &mut State, id: Id) -> Vec<Effect> {
    match id {
        Id::Leave => leave(state),
        Id::Suspend => vec![Effect::Suspend],
        Id::Redraw => vec![Effect::Redraw],
        Id::Help => {
            if state.place() != Place::Help {
                let place = state.place();
                state.layers.push(Box::new(Help::of(place)));
            }
            Vec::new()
        }
        Id::Palette => {
            let place = state.place();
            state.layers.push(Box::new(Palette::of(place)));
            Vec::new()
        }
        Id::Undo => {
            state.layers.push(Box::new(Undo::default()));
            vec![Effect::PreviewVoid(None)]
        }
        Id::Screen(place) => {
            let about = marked(state);
            let call = Call {
                about,
                ..Call::default()
            };
            go(state, place, &call)
        }
        Id::Calculator(name) => {
            let about = marked(state);
            let name = name.to_owned();
            let call = Call {
                about,
                name,
                ..Call::default()
            };
            go(state, Place::Dosing, &call)
        }
        Id::Back if state.layers.is_empty() => go(state, Place::Board, &Call::default()),
        Id::Verb(verb) => {
            let call = called_from_marked(state, verb);
            open_verb(state, call)
        }
        Id::Round => open_verb(
            state,
            Call {
                name: "round".to_owned(),
                ..Call::default()
            },
        ),
        Id::Trouble => {
            let about = marked(state).filter(|key| state.facts().cellar.wine(*key).is_some());
            lay_trouble(state, about, feared(state, about))
        }
        Id::Why => why(state),
        Id::Thresholds => thresholds(state),
        Id::PutOffs => {
            let held = PutOffs::of(state.facts());
            state.layers.push(Box::new(held));
            Vec::new()
        }
        // A dose is known only to its own screen.
        Id::WhatIf if state.place() != Place::Dosing => what_if(state),
        // What is typed of a bottling is known only to its own screen.
        Id::Plan if state.place() != Place::BottlingText => {
            let asks = Planned::lay(marked(state), Wish::default(), state.facts());
            answer(state, asks)
        }
        Id::Which => which(state),
        Id::PutOff => silence(state, "snooze"),
        Id::Dismiss => silence(state, "dismiss"),
        _ => tell(state, &Input::Command(id)),
    }
}

/// The thresholds of the marked reason; asked again over those, all.
fn thresholds(state: &mut State) -> Vec<Effect> {
    let kind = if state.top().place() == Place::Thresholds {
        state.layers.pop();
        None
    } else {
        marked_reason(state).map(|it| it.kind)
    };
    state.layers.push(Box::new(Thresholds::of(kind)));
    Vec::new()
}

/// What would become of the marked wine.
fn what_if(state: &mut State) -> Vec<Effect> {
    let facts = state.facts();
    let pane = WhatIf::of(marked(state), marked_reason(state).as_ref(), facts);
    match pane {
        Some(pane) => state.layers.push(Box::new(pane)),
        None => state.notice = Some(Notice::note("There is no wine in this to foresee.")),
    }
    Vec::new()
}

/// Why what is marked needs someone.
fn why(state: &mut State) -> Vec<Effect> {
    let asked = marked_reason(state);
    let about = asked.as_ref().map(|it| it.subject).or(marked(state));
    if let Some(key) = about {
        let facts = state.facts();
        let why = Why::about(key, asked.as_ref(), facts);
        if why.is_empty(facts) {
            let name = facts.cellar.name(key);
            let said = format!("{name} needs nothing now, so there is nothing to explain.");
            state.notice = Some(Notice::note(said));
        } else {
            state.layers.push(Box::new(why));
        }
    } else {
        let said = "Nothing is marked here, so there is nothing to explain.";
        state.notice = Some(Notice::note(said));
    }
    Vec::new()
}

/// The bottles, with what one without a label looks like about to be typed.
fn which(state: &mut State) -> Vec<Effect> {
    let mut effects = go(state, Place::Bottles, &Call::default());
    if state.place() == Place::Bottles {
        effects.extend(tell(state, &Input::Command(Id::Find)));
    }
    effects
}

/// Leaves, or asks first where something typed would be lost.
fn leave(state: &mut State) -> Vec<Effect> {
    let work = state
        .layers
        .iter()
        .chain(&state.screens)
        .any(|it| it.holds_work());
    if work {
        state.asked_to_leave = true;
        state.notice = Some(Notice::refused(
            "Something typed is not written yet: y leaves and loses it, any other key goes back to it.",
        ));
    } else {
        state.leaving = true;
    }
    Vec::new()
}

/// Tells the pane on top, and does what it asks.
fn tell(state: &mut State, input: &Input<'_>) -> Vec<Effect> {
    let facts = state.facts.as_ref().unwrap_or(&state.nothing);
    let shown = state.shown;
    let top = state.layers.last_mut().unwrap_or(&mut state.screens[shown]);
    let asks = top.update(input, facts);
    answer(state, asks)
}

fn answer(state: &mut State, asks: Vec<Ask>) -> Vec<Effect> {
    let mut effects = Vec::new();
    for ask in asks {
        match ask {
            Ask::Do(effect) => effects.push(effect),
            Ask::Go(place, call) => effects.extend(go(state, place, &call)),
            Ask::Lay(pane) => state.layers.push(pane),
            Ask::Verb(call) => effects.extend(open_verb(state, call)),
            Ask::Close => {
                state.layers.pop();
            }
            Ask::CloseAnd(id) => {
                state.layers.pop();
                effects.extend(command_given(state, id));
            }
            Ask::Say(notice) => state.notice = Some(notice),
        }
    }
    effects
}

/// Shows a screen and tells it what for.
fn go(state: &mut State, place: Place, call: &Call) -> Vec<Effect> {
    if let Some(found) = state.screens.iter().position(|it| it.screen() == place) {
        // A form with something typed in it stays on top until it is written or left.
        if state.layers.iter().any(|it| it.holds_work()) {
            state.notice = Some(Notice::note("Write this first, or leave it with Esc."));
            return Vec::new();
        }
        state.layers.clear();
        state.shown = found;
        let mut effects = Vec::new();
        if state.behind.remove(&found) {
            effects.extend(tell(state, &Input::Reply(&Reply::Stale)));
        }
        effects.extend(tell(state, &Input::Called(call)));
        if std::mem::take(&mut state.reasons_behind) {
            effects.push(load(state));
        }
        return effects;
    }
    Vec::new()
}

fn replied(state: &mut State, reply: Reply) -> Vec<Effect> {
    let mut effects = Vec::new();
    match &reply {
        Reply::Written { told, .. } => {
            state.notice = Some(Notice::done(told.clone()));
            effects.push(load(state));
        }
        Reply::Voided { .. } => effects.push(load(state)),
        Reply::Filled { states, .. } => filled_up(state, states),
        Reply::Refused(sentence) => state.notice = Some(Notice::refused(sentence.clone())),
        _ => {}
    }
    if let Reply::Loaded(facts) = reply {
        state.facts = Some(*facts);
        state.behind = (0..state.screens.len()).collect();
        effects.extend(tell_all(state, &Reply::Stale));
    } else {
        effects.extend(tell_all(state, &reply));
    }
    effects
}

/// Takes in what a press at the spout changed. What needs someone is worked out when the spout is
/// left, so that a large cellar does not slow the presses.
fn filled_up(state: &mut State, states: &[(Key, Option<cellar::state::State>)]) {
    let Some(facts) = &mut state.facts else {
        return;
    };
    for (place, after) in states {
        match after {
            Some(after) => facts.cellar.states.insert(*place, after.clone().into()),
            None => facts.cellar.states.remove(place),
        };
    }
    state.reasons_behind = true;
}

/// Every pane hears a reply; only that the cellar changed is told to screens as they are shown. Layers may close themselves on it; from the top down, so that places
/// in the pile stay true.
fn tell_all(state: &mut State, reply: &Reply) -> Vec<Effect> {
    let facts = state.facts.as_ref().unwrap_or(&state.nothing);
    let mut asked: Vec<(Option<usize>, Vec<Ask>)> = Vec::new();
    for (at, layer) in state.layers.iter_mut().enumerate().rev() {
        asked.push((Some(at), layer.update(&Input::Reply(reply), facts)));
    }
    let is_stale = matches!(reply, Reply::Stale);
    for (at, screen) in state.screens.iter_mut().enumerate() {
        if is_stale && at != state.shown {
            continue;
        }
        if is_stale {
            state.behind.remove(&at);
        }
        asked.push((None, screen.update(&Input::Reply(reply), facts)));
    }
    let mut effects = Vec::new();
    for (at, asks) in asked {
        let (closing, rest): (Vec<Ask>, Vec<Ask>) =
            asks.into_iter().partition(|it| matches!(it, Ask::Close));
        if let (false, Some(at)) = (closing.is_empty(), at) {
            state.layers.remove(at);
        }
        effects.extend(answer(state, rest));
    }
    effects
}

/// What is marked: by the pane on top, else by what is beneath it.
fn marked(state: &State) -> Option<Key> {
    state
        .panes_from_top()
        .find_map(|it| it.about(state.facts()))
}

/// The bottles that are marked, where a key is for what vessels hold and for nothing else: it would open for
/// whatever vessel comes first.
pub(super) fn is_for_vessels(state: &State, id: Id) -> Option<String> {
    let Id::Verb(name) = id else {
        return None;
    };
    let run = marked(state).and_then(|it| state.facts().cellar.thing(it));
    let run = run.filter(|it| it.sort == Sort::Run)?;
    let is_for_vessels = match verbs::find(name) {
        Some(verb) => subject(verb, Sort::Vessel).is_some() && subject(verb, Sort::Run).is_none(),
        None => name == "dose",
    };
    is_for_vessels.then(|| run.name().to_owned())
}

fn marked_reason(state: &State) -> Option<Reason> {
    state
        .panes_from_top()
        .find_map(|it| it.reason(state.facts()))
}

/// A verb for what is marked. Where a reason asks for that very verb, what it knows is filled in.
fn called_from_marked(state: &State, verb: &'static str) -> Call {
    let about = marked(state);
    if let Some(reason) = marked_reason(state).filter(|it| it.suggestion.verb == verb) {
        return Call::of(&reason);
    }
    let asked_for = about.and_then(|key| {
        let mut reasons = state.facts().reasons_for(key);
        reasons.find(|it| it.suggestion.verb == verb)
    });
    let mut values = asked_for.map_or_else(Vec::new, |it| Call::of(it).values);
    for (key, text) in state.top().fills(verb, state.facts()) {
        values.retain(|(known, _)| *known != key);
        values.push((key, text));
    }
    Call {
        about,
        name: verb.to_owned(),
        values,
        needs: Vec::new(),
    }
}

/// While a jot is marked, what is written is made from it: the entry points back at the oldest,
/// with its date and its words at hand.
fn from_jot(state: &State, call: &mut Call) {
    let is_jot = marked_reason(state).is_some_and(|it| it.kind == ReasonKind::Jot);
    let jot = state.facts().cellar.jots.first();
    let (true, Some((key, when, words))) = (is_jot, jot) else {
        return;
    };
    if matches!(call.name.as_str(), "jot" | "snooze" | "dismiss" | "round") {
        return;
    }
    let date = when.local().format("%Y-%m-%d %H:%M").to_string();
    let given = [("jot", key.0.to_string()), ("at", date)];
    let note = (call.name != "note").then(|| ("note", words.clone()));
    for (key, text) in given.into_iter().chain(note) {
        if !call.values.iter().any(|it| it.0 == key) {
            call.values.push((key.to_owned(), text));
        }
    }
}

/// The fault of which something needs to be minded first.
fn feared(state: &State, about: Option<Key>) -> Option<&'static str> {
    state.facts().reason_for(about?)?.fault()
}

/// Lays the pane of faults on top, about a place or none.
fn lay_trouble(state: &mut State, about: Option<Key>, fault: Option<&str>) -> Vec<Effect> {
    state.layers.push(Box::new(Trouble::about(about, fault)));
    vec![Effect::ReadFollowed]
}

/// Opens a verb's form about something, or the screen that does it better.
fn open_verb(state: &mut State, mut call: Call) -> Vec<Effect> {
    let better = match call.name.as_str() {
        "dose" => Some("Dosing"),
        "bottle start" | "bottle count" | "bottle finish" => Some("Bottling"),
        _ => None,
    };
    let better = Place::ALL.iter().find(|it| Some(it.title()) == better);
    if let Some(place) = better {
        return go(state, *place, &call);
    }
    if matches!(call.name.as_str(), "trouble mark" | "trouble over") {
        let fault = call.values.iter().find(|it| it.0 == "fault");
        return lay_trouble(state, call.about, fault.map(|it| it.1.as_str()));
    }
    let Some(verb) = verbs::find(&call.name) else {
        let unknown = format!("There is no way to `{}` from here.", call.name);
        state.notice = Some(Notice::refused(unknown));
        return Vec::new();
    };
    fill_subject(verb, &mut call, state.facts());
    from_jot(state, &mut call);
    let (form, asks) = Form::of(verb, &call, state.facts());
    state.layers.push(Box::new(form));
    answer(state, asks)
}

/// Puts the name of what a form is about into the first field that takes such a name.
fn fill_subject(verb: &verbs::Verb, call: &mut Call, facts: &Facts) {
    let Some(thing) = call.about.and_then(|key| facts.cellar.thing(key)) else {
        return;
    };
    let field = subject(verb, thing.sort);
    if let Some(field) = field
        && !call.values.iter().any(|(key, _)| key == field.key)
    {
        call.values
            .push((field.key.to_owned(), thing.name().to_owned()));
    }
}

/// The first field of a verb that takes the name of such a thing.
fn subject(verb: &verbs::Verb, sort: Sort) -> Option<&'static verbs::Field> {
    verb.fields.iter().find(|it| match it.takes {
        Takes::Thing(taken) => taken == sort,
        Takes::FullVessel => sort == Sort::Vessel,
        Takes::Place => matches!(sort, Sort::Vessel | Sort::Run),
        _ => false,
    })
}

/// Opens the form that puts the marked reason off or dismisses it.
fn silence(state: &mut State, verb: &'static str) -> Vec<Effect> {
    let Some(reason) = marked_reason(state) else {
        state.notice = Some(Notice::note("Nothing marked here needs you."));
        return Vec::new();
    };
    let subject = match reason.subject {
        CELLAR => "cellar".to_owned(),
        key => state.facts().cellar.name(key).to_owned(),
    };
    // A vessel and a run may share their name.
    let cellar = &state.facts().cellar;
    let shares = |it: &&Thing| {
        let mut others = cellar.all().filter(|other| other.key != it.key);
        others.any(|other| other.name().eq_ignore_ascii_case(it.name()))
    };
    let sort = cellar.thing(reason.subject).filter(shares);
    let sort = sort.map(|it| ("sort".to_owned(), it.sort.word().to_owned()));
    let job = Some(reason.suggested("job")).filter(|it| !it.is_empty());
    let job = job.map(|it| ("job".to_owned(), it.to_owned()));
    let call = Call {
        about: Some(reason.subject),
        name: verb.to_owned(),
        values: [
            ("about".to_owned(), subject),
            ("reason".to_owned(), reason.kind.word().to_owned()),
        ]
        .into_iter()
        .chain(sort)
        .chain(job)
        .collect(),
        // Why, in the person's own words: a dismissal must have it.
        needs: vec!["note".to_owned()],
    };
    open_verb(state, call)
}
