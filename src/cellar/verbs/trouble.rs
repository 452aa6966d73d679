//! Something is wrong with a wine, and is over again.

use leesline_calc::hazards::RISING_CORK;

use super::pull;
use super::read::place;
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::attention::{Holding, Policy, is_unseen, is_watched, may_burst};
use crate::cellar::entry::{Draft, Found, Kind, Property, Reading};
use crate::cellar::racks::Racks;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::Thing;
use crate::cellar::trouble::{self, Fault, Safety};

const PLACE: Field = ask("place", "Vessel", "Which vessel or bottles.", Takes::Place);
/// A word of every fault.
static WORDS: [&str; trouble::COUNT] = trouble::WORDS;

pub(super) static MARK: Verb = Verb {
    name: "trouble mark",
    sentence: "Mark a wine as troubled, with what is wrong, until it is over.",
    group: Group::Looking,
    fields: &[
        PLACE,
        ask(
            "fault",
            "What is wrong",
            "A fault, or a word for what is noticed: egg, vinegar, haze.",
            Takes::Suggest(&WORDS),
        ),
        flag(
            "words",
            "Noticed",
            "What was seen, smelled or tasted, in your own words.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        let (place, wine) = troubled(form, cellar)?;
        let said = form.get("fault").unwrap_or_default();
        let fault = trouble::meant(said).ok_or_else(|| {
            Refusal::input(
                "fault",
                format!(
                    "`{said}` is no fault that is known here; `leesline trouble` lists them, and `note` keeps any words."
                ),
            )
        })?;
        if let Some(since) = wine.troubles.get(fault.word) {
            return Err(Refusal::book(
                Some("fault"),
                format!(
                    "{} is marked with {} since {}; `trouble over` lifts it.",
                    place.name(),
                    fault.name,
                    cellar.now.at(*since).day_words()
                ),
            ));
        }
        // A word by which the fault was found is what the person noticed.
        let own = form
            .get("words")
            .or(Some(said))
            .filter(|it| *it != fault.word);
        let draft = draft(
            Kind::Trouble,
            place,
            fault.word,
            own.unwrap_or(fault.name),
            cellar,
        );
        let mut prepared = done(
            draft,
            format!("Mark {} as troubled: {}.", place.name(), fault.name),
        )?;
        if fault.safety.harms() {
            prepared
                .asks
                .push(format!("Safe to drink? {}", fault.drink));
        }
        Ok(prepared)
    },
};

pub(super) static OVER: Verb = Verb {
    name: "trouble over",
    sentence: "Say that what was wrong with a wine is over.",
    group: Group::Looking,
    fields: &[
        PLACE,
        flag(
            "fault",
            "What is over",
            "May be left out where only one thing is wrong.",
            Takes::Suggest(&WORDS),
        ),
    ],
    draft: |form, cellar| {
        let (place, wine) = troubled(form, cellar)?;
        let word = lifted(form, place, wine)?;
        let name = trouble::name(word);
        let draft = draft(Kind::TroubleOver, place, word, name, cellar);
        let prepared = done(draft, format!("{}: {name} is over.", place.name()))?;
        let lasts = trouble::find(word).filter(|it| it.safety == Safety::Unsafe);
        Ok(prepared.only_if(lasts.map(|it| {
            format!(
                "Safe to drink? {} Lift it only if it was marked by mistake.",
                it.drink
            )
        })))
    },
};

/// Asks before bottles that may burst, or that may not be drunk as they are, are opened, given, moved,
/// laid down or poured away.
pub(super) fn bottles_at_risk(draft: &Draft, cellar: &Snapshot) -> Option<String> {
    let handled = [
        Kind::Open,
        Kind::Give,
        Kind::LayDown,
        Kind::Move,
        Kind::Unbottle,
        Kind::Discard,
    ];
    let run = draft.subject.filter(|_| handled.contains(&draft.kind))?;
    let wine = cellar.wine(run)?;
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, run, &policy).filter(Holding::is_bottled)?;
    if may_burst(&holding) {
        return Some(RISING_CORK.sentence.to_owned());
    }
    // Whoever keeps them watches them; whoever is given one does not know.
    if draft.kind == Kind::Give && is_watched(&holding) {
        return Some(format!(
            "{} was filled though it was not shown finished, and may still burst: whoever gets one must know, keep it cool, \
             and chill it before it is opened.",
            cellar.name(run)
        ));
    }
    if draft.kind == Kind::LayDown && is_unseen(&holding) {
        return Some(format!(
            "{} was filled though it was not shown finished, and nobody has looked at it since: look for rising corks and leaks \
             first, goggles on.",
            cellar.name(run)
        ));
    }
    if matches!(draft.kind, Kind::Move | Kind::Discard) {
        return None;
    }
    let marked = wine.troubles.keys().filter_map(|it| trouble::find(it));
    let mut marked = marked.filter(|it| it.safety.harms());
    let Some(fault) = marked.next() else {
        let is_drunk = matches!(draft.kind, Kind::Open | Kind::Give);
        let beside = trouble::unsafe_beside(run, cellar).filter(|_| is_drunk);
        if let Some((other, fault)) = beside {
            return Some(format!(
                "{other}, of the same wine, is marked as troubled: {}. Safe to drink? {}",
                fault.name, fault.drink
            ));
        }
        let marked = trouble::marked(wine).filter(|_| draft.kind == Kind::Give);
        return marked.map(|it| {
            let name = cellar.name(run);
            format!("{name} is marked as troubled: {it}. Whoever gets one should know.")
        });
    };
    Some(format!(
        "{} is marked as troubled: {}. Safe to drink? {}",
        cellar.name(run),
        fault.name,
        fault.drink
    ))
}

/// The vessel or bottles, with what is in them.
fn troubled<'a>(form: &Form, cellar: &'a Snapshot) -> Result<(&'a Thing, &'a Wine), Refusal> {
    let place = place(form, "place", cellar).map_err(|unknown| {
        // A mark is of a wine, and what was found of one bottle stays with that bottle.
        match bottle(form.get("place").unwrap_or_default(), cellar) {
            Some((run, slot)) => Refusal::input(
                "place",
                format!(
                    "{slot} holds a bottle of {0}: `trouble mark` with {0} marks them all, and `look` with {slot} keeps what was found of that one.",
                    run.name()
                ),
            ),
            None => unknown,
        }
    })?;
    let wine = cellar.wine(place.key).ok_or_else(|| {
        Refusal::book(
            Some("place"),
            format!(
                "{} holds nothing by the book on {}.",
                place.name(),
                cellar.now.day_words()
            ),
        )
    })?;
    Ok((place, wine))
}

/// The run of the bottle in a slot, with that slot; nothing if that is no slot with a bottle in it.
pub fn bottle<'a>(slot: &str, cellar: &'a Snapshot) -> Option<(&'a Thing, String)> {
    let (run, slot) = pull::meant(slot.trim(), &Racks::of(&cellar.things), cellar).ok()?;
    Some((run, slot?))
}

/// Which of its faults is meant: the only one, or the one said.
fn lifted<'a>(form: &Form, place: &Thing, wine: &'a Wine) -> Result<&'a str, Refusal> {
    let mut marked = wine.troubles.keys().map(String::as_str);
    let names = || {
        let names = wine.troubles.keys().map(|it| trouble::name(it));
        names.collect::<Vec<&str>>().join(", ")
    };
    let refused = |why: String| Refusal::book(Some("fault"), why);
    match (form.get("fault"), wine.troubles.len()) {
        (_, 0) => Err(refused(format!(
            "{} is not marked as troubled.",
            place.name()
        ))),
        (None, 1) => marked
            .next()
            .ok_or_else(|| refused("nothing is marked.".to_owned())),
        (None, _) => Err(refused(format!(
            "{} is marked with {}; say which is over with --fault.",
            place.name(),
            names()
        ))),
        (Some(said), _) => {
            let meant = trouble::meant(said).map_or(said, |it: &Fault| it.word);
            marked.find(|it| *it == meant).ok_or_else(|| {
                refused(format!(
                    "{} is not marked with {}, but with {}.",
                    place.name(),
                    trouble::name(meant),
                    names()
                ))
            })
        }
    }
}

fn draft(kind: Kind, place: &Thing, fault: &str, own: &str, cellar: &Snapshot) -> Draft {
    let mut draft = Draft::new(kind, cellar.now);
    draft.subject = Some(place.key);
    draft.readings.push(Reading {
        place: place.key,
        property: Property::Trouble,
        found: Found::Word(fault.to_owned()),
        typed: own.to_owned(),
        instrument: String::new(),
        rule: String::new(),
    });
    draft
}
