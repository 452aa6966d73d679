//! The steps of a bottling that is under way.

use super::{RUN, asking_of, not_finished};
use crate::cellar::bottling::{Chore, Closure, Package, Plan, Wish, contact_ms, fits};
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Sort, Thing, Value, field};
use crate::cellar::timer::Timer;
use crate::cellar::verbs::empties::sanitise;
use crate::cellar::verbs::packages::size;
use crate::cellar::verbs::read::{thing, thing_if_given};
use crate::cellar::verbs::sanitise::{powder_said, sour_water};
use crate::cellar::verbs::things::done;
use crate::cellar::verbs::{Group, Refusal, Takes, Verb, ask, flag};

/// What the timer of the sanitizer is for.
const WET: &str = "bottles wet";

pub(super) fn begin_chore(draft: &mut Draft, run: Key, chore: Chore, cellar: &Snapshot) {
    draft.set(run, field::CHORE, chore.word());
    draft.set(run, field::CHORE_SINCE, Value::Int(cellar.now.utc_ms));
    if chore == Chore::Sanitise {
        let until_ms = cellar.now.utc_ms + contact_ms();
        let words = WET.to_owned();
        Timer { until_ms, words }.set(draft, cellar);
    } else if Chore::Sanitise < chore {
        Timer::stop(Some(WET), draft, cellar);
    }
}

pub(in crate::cellar::verbs) static NEXT: Verb = Verb {
    name: "bottle ready",
    sentence: "Tick off what comes before filling: gathered, washed, sanitised, dosed.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "powder",
            "Powder",
            "Metabisulfite that went into the sanitizer; as the plan says if left out.",
            Takes::Dose,
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        let chore = Chore::of(run);
        not_finished(run)?;
        if chore == Chore::Fill {
            let why = format!(
                "{} is past that; it is filled with `bottle count`, and what comes before is ticked off where it was begun with \
                 `bottle start --chores yes`.",
                run.name()
            );
            return Err(Refusal::book(Some("run"), why));
        }
        let since = run.int(field::CHORE_SINCE).map(|it| cellar.now.at(it));
        if let Some(since) = since.filter(|it| *it > cellar.now) {
            let why = format!(
                "{} was begun for {} only on {} at {}; give a moment after that.",
                chore.label(),
                run.name(),
                since.day_words(),
                since.local().format("%H:%M")
            );
            return Err(Refusal::book(Some("run"), why));
        }
        if chore != Chore::Sanitise && form.get("powder").is_some() {
            let why = format!(
                "{} is what is ticked off for {} now; powder goes with sanitising.",
                chore.label(),
                run.name()
            );
            return Err(Refusal::book(Some("powder"), why));
        }
        let mut draft = Draft::new(Kind::Bottle, cellar.now);
        draft.subject = Some(run.key);
        begin_chore(&mut draft, run.key, chore.next(), cellar);
        // What went into the wine until now is in the bottles: they are filled from here on. Those counted before are not.
        let is_counted = cellar.wine(run.key).is_some_and(|it| it.bottle_count() > 0);
        let vessel = run
            .int(field::VESSEL)
            .filter(|_| chore.next() == Chore::Fill && !is_counted);
        if let Some(vessel) = vessel {
            draft.set(run.key, field::VESSEL, Value::Int(vessel));
        }
        let vessel = run.int(field::VESSEL).and_then(|it| cellar.thing(Key(it)));
        let plan = vessel.and_then(|it| Plan::of(it, &Wish::of(run), cellar));
        if let Some(plan) = plan.as_ref().filter(|_| chore == Chore::Sanitise) {
            let fills = plan.fills.iter().map(|it| (it.size_ml, it.bottles));
            sanitise(&mut draft, run, fills, cellar);
            let powder = powder_said(form, "powder", cellar)?;
            sour_water(&mut draft, plan.sanitizer, powder, cellar);
        }
        let said = format!("{} is done for {}.", chore.label(), run.name());
        let asked = match chore {
            Chore::Sanitise => still_wet(run, cellar),
            Chore::Dose => plan.and_then(|it| it.sulfite.still_wanted()),
            Chore::Gather | Chore::Wash | Chore::Fill => None,
        };
        Ok(done(draft, said)?.only_if(asked))
    },
};

/// What to wait for, where the sanitizer has not been on the bottles for its minutes yet.
fn still_wet(run: &Thing, cellar: &Snapshot) -> Option<String> {
    let until = cellar.now.at(run.int(field::CHORE_SINCE)? + contact_ms());
    let minutes = contact_ms() / 60_000;
    (cellar.now < until).then(|| {
        let clock = until.local().format("%H:%M");
        format!(
            "Bottles stay wet until {clock}, {minutes} minutes from when they were begun; go on sooner only if they were wet before."
        )
    })
}

pub(in crate::cellar::verbs) static SIZE: Verb = Verb {
    name: "bottle size",
    sentence: "Say which size is filled from now on.",
    group: Group::Bottles,
    fields: &[
        RUN,
        ask(
            "size",
            "Size",
            "Of a bottle in mL; of a jug, bag or keg such as `9.5 L`.",
            Takes::Number("mL"),
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        not_finished(run)?;
        let package = Package::of(run);
        let size_ml = size(form, package, cellar)?;
        let own_ml = run.int(field::SIZE).unwrap_or(size_ml);
        if let Some(sentence) = package.overfilled(own_ml, size_ml) {
            return Err(Refusal::book(Some("size"), sentence));
        }
        let mut draft = Draft::new(Kind::Bottle, cellar.now);
        draft.subject = Some(run.key);
        draft.set(run.key, field::FILL_SIZE, Value::Int(size_ml));
        let size = package.size_words(size_ml);
        let misfit = Closure::of(run).and_then(|it| fits(package, size_ml, it, cellar));
        let prepared = done(draft, format!("{} goes on in {size}.", run.name()))?;
        Ok(asking_of(misfit, prepared))
    },
};

pub(in crate::cellar::verbs) static CORKS: Verb = Verb {
    name: "bottle corks",
    sentence: "Say that two corks were looked at and sit well, before the rest are driven in.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "corker",
            "Corker",
            "Which corker, if there are several.",
            Takes::Thing(Sort::Corker),
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        not_finished(run)?;
        let closure = Closure::of(run);
        if !closure.is_none_or(Closure::is_driven) {
            return Err(Refusal::book(
                Some("run"),
                format!(
                    "{} has no corks; it is closed by {}.",
                    run.name(),
                    Closure::said(run.text(field::CLOSURE))
                ),
            ));
        }
        let mut draft = Draft::new(Kind::Bottle, cellar.now);
        draft.subject = Some(run.key);
        draft.set(run.key, field::CORKS_SEEN, Value::Int(cellar.now.utc_ms));
        if let Some(corker) = thing_if_given(form, "corker", Sort::Corker, cellar)? {
            draft.set(run.key, field::RUN_CORKER, Value::Int(corker.key.0));
        }
        done(draft, format!("Two corks of {} sit well.", run.name()))
    },
};
