//! A bottling: from the gate to what is left in the vessel.

use leesline_calc::gas::bottle_kpa;

use super::empties::{sanitise, use_up};
use super::packages::{Filled, size};
use super::rack::{LOSS_WITHOUT_QUESTION, all_fits, is_a_blend, over_mark};
use super::read::{count, full_vessel, thing, thing_if_given, word};
use super::sanitise::{powder_said, sour_water};
use super::things::done;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::attention::{Answer, GateItem, Holding, Policy};
use crate::cellar::bottling::{
    Chore, Closure, Misfit, Package, Plan, Wish, contact_ms, fits, part_full,
};
use crate::cellar::entry::{Amount, Draft, FillEvent, Filling, Found, Kind, Property, Reading};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{Known, Wine};
use crate::cellar::thing::{Account, Key, Sort, Thing, Value, field};
use crate::cellar::timer::Timer;
use crate::cellar::window::rest_days;

/// What the note of a start begins with where something speaks against it, before the reason.
pub(super) const OVERRULED: &str = "overruled: ";

const RUN: Field = ask("run", "Bottles", "Which bottles.", Takes::Thing(Sort::Run));

pub(super) static START: Verb = Verb {
    name: "bottle start",
    sentence: "Begin to bottle a wine; the bottles are counted one by one, or typed at the end.",
    group: Group::Bottles,
    fields: &[
        ask("from", "From", "Which vessel.", Takes::FullVessel),
        flag(
            "size",
            "Size",
            "Of a bottle in mL, 750 if left out; of a jug, bag or keg such as `19 L`.",
            Takes::Number("mL"),
        ),
        flag(
            "package",
            "Into",
            "What it is filled into; bottles if left out.",
            Takes::Choice(Package::WORDS),
        ),
        flag(
            "rating",
            "Rating",
            "What a keg is rated for, as printed on it: `9 bar`, `130 psi`; that of the kegs on hand if left out.",
            Takes::Number("bar or psi"),
        ),
        flag(
            "pressure",
            "Pressure",
            "What a keg is kept under, over the air's; none if left out.",
            Takes::Number("bar or psi"),
        ),
        flag(
            "closure",
            "Closure",
            "What closes them; cork for bottles if left out.",
            Takes::Choice(Closure::WORDS),
        ),
        flag(
            "corker",
            "Corker",
            "Which corker, if there are several.",
            Takes::Thing(Sort::Corker),
        ),
        flag(
            "mark",
            "Mark",
            "Two characters on cork, cap or tape, to tell the run by.",
            Takes::Text,
        ),
        flag(
            "name",
            "Name",
            "What the bottles are called; the wine's name if left out.",
            Takes::NewName(Sort::Run),
        ),
        flag(
            "filled",
            "Filled",
            "If it is done already: `29`, or `28x750 1x375`.",
            Takes::Text,
        ),
        flag(
            "warm",
            "Warm",
            "Whether it was at 15 °C or warmer while its gravity stood still.",
            Takes::Choice(&["yes", "no"]),
        ),
        flag(
            "chores",
            "Chores",
            "Whether to begin with what comes before filling, gathered, washed, sanitised, dosed, each ticked off with `bottle ready`.",
            Takes::Choice(&["yes", "no"]),
        ),
        flag(
            "overrule",
            "Overrule",
            "Why it is bottled though something speaks against it.",
            Takes::Text,
        ),
    ],
    draft: start,
};

fn start(form: &Form, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let (vessel, wine) = full_vessel(form, "from", cellar)?;
    if let Some(open) = cellar.filling {
        return Err(Refusal::book(
            None,
            format!(
                "{} is still being filled; finish it first with `bottle finish`.",
                cellar.name(open)
            ),
        ));
    }
    let into = Filled::of(form, cellar)?;
    let mark = form.get("mark").unwrap_or_default();
    if mark.chars().count() > 2 {
        return Err(Refusal::input(
            "mark",
            format!("`{mark}` is longer than two characters; it must fit on a cork."),
        ));
    }
    let wine_name = wine
        .main_batch()
        .map_or(vessel.name(), |it| cellar.name(it));
    let name = form
        .get("name")
        .map_or_else(|| free_name(wine_name, cellar), str::to_owned);
    let mut draft = Draft::new(Kind::Bottle, cellar.now);
    let run = draft.begin(Sort::Run, &name);
    draft.subject = Some(vessel.key);
    draft.set(run, field::VESSEL, Value::Int(vessel.key.0));
    into.set(&mut draft, run);
    if let Some(corker) = thing_if_given(form, "corker", Sort::Corker, cellar)? {
        draft.set(run, field::RUN_CORKER, Value::Int(corker.key.0));
    }
    if !mark.is_empty() {
        draft.set(run, field::RUN_MARK, mark);
    }
    let chores = word(form, "chores", &["yes", "no"])?;
    if chores == Some("yes") {
        begin_chore(&mut draft, run, Chore::Gather, cellar);
    }
    if let Some(filled) = form.get("filled") {
        draft.fillings = typed_fillings(filled, into.size_ml, cellar)?;
        draft
            .fillings
            .iter()
            .try_for_each(|it| into.holds(it.size_ml))?;
        let wanted_ml = draft.fillings.iter().map(|it| it.size_ml * it.count).sum();
        let is_full = draft.fillings.iter().any(|it| it.size_ml == into.size_ml);
        let too_much = into.package.more_than_left(wanted_ml, wine);
        if let Some(sentence) = too_much.filter(|_| is_full) {
            return Err(Refusal::book(Some("filled"), sentence));
        }
    }
    draft.readings.extend(warmth(vessel.key, form)?);
    let mut asks = gate(vessel, draft.readings.first(), &into, form, cellar)?;
    let misfit = fits(into.package, into.size_ml, into.closure, cellar);
    let (hurts, asked): (Vec<Misfit>, Vec<Misfit>) = misfit.into_iter().partition(|it| it.hurts);
    asks.extend(asked.into_iter().map(|it| it.sentence));
    if into.package.takes_pressure() || into.package == Package::Bag {
        asks.push(into.package.hazard().sentence.to_owned());
    }
    if chores.is_none() && form.get("filled").is_none() {
        asks.push(CHORES.to_owned());
    }
    if let Some(reason) = form.get("overrule") {
        draft.note = format!("{OVERRULED}{reason}");
    }
    let verb = match into.package {
        Package::Bottle => "Bottle".to_owned(),
        other => format!("Fill {}s with", other.label()),
    };
    let prepared = Prepared {
        draft,
        sentence: format!("{verb} {name} from {}.", vessel.name()),
        asks,
        loses: None,
    };
    Ok(prepared.only_if(hurts.into_iter().map(|it| it.sentence)))
}

/// What was not asked for and may be wanted.
const CHORES: &str = "It begins with the first bottle; with `--chores yes` what comes before is ticked off first: gathered, washed, sanitised, dosed.";

/// Said on the spot, and kept as a reading: the book shall know later why it was taken as finished.
fn warmth(vessel: Key, form: &Form) -> Result<Option<Reading>, Refusal> {
    let said = word(form, "warm", &["yes", "no"])?;
    Ok(said.map(|it| {
        let (found, typed) = if it == "yes" {
            (Found::Above(WARM_C), "15 °C or warmer")
        } else {
            (Found::Below(WARM_C), "below 15 °C")
        };
        Reading {
            place: vessel,
            property: Property::Temperature,
            found,
            typed: typed.to_owned(),
            instrument: String::new(),
            rule: String::new(),
        }
    }))
}

/// The temperature that the question is about, °C.
const WARM_C: f64 = 15.0;

fn begin_chore(draft: &mut Draft, run: Key, chore: Chore, cellar: &Snapshot) {
    draft.set(run, field::CHORE, chore.word());
    draft.set(run, field::CHORE_SINCE, Value::Int(cellar.now.utc_ms));
    if chore == Chore::Sanitise {
        let until_ms = cellar.now.utc_ms + contact_ms();
        let words = "bottles wet".to_owned();
        Timer { until_ms, words }.set(draft);
    } else if Chore::Sanitise < chore {
        Timer::stop(draft);
    }
}

pub(super) static NEXT: Verb = Verb {
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
        let vessel = run.int(field::VESSEL).and_then(|it| cellar.thing(Key(it)));
        let plan = vessel.and_then(|it| Plan::of(it, &Wish::of(run, cellar), cellar));
        if let Some(plan) = plan.as_ref().filter(|_| chore == Chore::Sanitise) {
            let fills = plan.fills.iter().map(|it| (it.size_ml, it.bottles));
            sanitise(&mut draft, run, fills, cellar);
            let powder = powder_said(form, "powder", cellar)?;
            sour_water(&mut draft, plan.sanitizer, powder, cellar);
        }
        let said = format!("{} is done for {}.", chore.label(), run.name());
        let asked = match chore {
            Chore::Sanitise => still_wet(run, cellar),
            Chore::Dose => plan.and_then(|it| still_wanted(&it)),
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

/// What was to go in and did not, where the book knows how much.
fn still_wanted(plan: &Plan<'_>) -> Option<String> {
    let asks = plan.sulfite.is_wanted();
    asks.then(|| {
        format!(
            "The wine is still short of sulfite by the book: {} Go on without only if it is meant so.",
            plan.sulfite.on_the_day()
        )
    })
}

pub(super) static SIZE: Verb = Verb {
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
        done(draft, format!("{} goes on in {size}.", run.name()))
    },
};

pub(super) static CORKS: Verb = Verb {
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

/// What was finished is past, unless its finish is voided.
fn not_finished(run: &Thing) -> Result<(), Refusal> {
    if run.int(field::FINISHED).is_none() {
        return Ok(());
    }
    Err(Refusal::book(
        Some("run"),
        format!(
            "{} is finished already; void that entry to go on with it, or begin another with `bottle start`.",
            run.name()
        ),
    ))
}

/// What speaks against bottling. What may burst a bottle is refused with the one thing to do about
/// it unless a reason is given, which the book keeps; the rest is asked once.
fn gate(
    vessel: &Thing,
    warmth: Option<&Reading>,
    into: &Filled,
    form: &Form,
    cellar: &Snapshot,
) -> Result<Vec<String>, Refusal> {
    let policy = Policy::of(cellar);
    let Some(holding) = Holding::of(cellar, vessel.key, &policy) else {
        return Ok(Vec::new());
    };
    let mut wine = holding.wine.clone();
    if let Some(reading) = warmth {
        let known = Known {
            at_ms: cellar.now.utc_ms,
            found: reading.found.clone(),
            estimated: false,
        };
        wine.known.insert(reading.property, known);
    }
    let holding = holding.with_wine(&wine);
    let open = holding
        .gate()
        .into_iter()
        .filter(|it| it.answer != Answer::Yes);
    let (bursting, rest): (Vec<GateItem>, Vec<GateItem>) = open.partition(GateItem::risks_bursting);
    let said = |item: &GateItem| {
        let evidence = item.evidence.join(" ");
        format!("{} {evidence} {}", item.question, item.what_to_do)
            .trim()
            .to_owned()
    };
    let works = bursting.iter().find(|it| it.answer == Answer::No);
    if let Some(works) = works.filter(|_| form.get("overrule").is_some()) {
        in_what_it_bursts(works, &holding, into)?;
    }
    // A no blocks more than what the book does not say.
    let first = bursting
        .iter()
        .min_by_key(|it| it.answer != Answer::No)
        .filter(|_| form.get("overrule").is_none());
    if let Some(first) = first {
        let others = bursting.len() + rest.len() - 1;
        let sentence = refused(vessel.name(), first, others);
        return Err(Refusal::book(Some("overrule"), sentence));
    }
    let hazard = bursting.first().map(|it| it.hazard.to_owned());
    Ok(bursting
        .iter()
        .chain(&rest)
        .map(said)
        .chain(hazard)
        .collect())
}

/// What no reason overrules: a bag with wine that still works, and a keg whose sugar would make more
/// pressure than it is rated for.
fn in_what_it_bursts(works: &GateItem, holding: &Holding, into: &Filled) -> Result<(), Refusal> {
    if into.package == Package::Bag {
        let evidence = works.evidence.first().map_or("", String::as_str);
        return Err(Refusal::book(
            Some("package"),
            format!(
                "A bag is never filled with wine that may still work, whatever the reason, since gas bursts it. {} {evidence} \
                 Wait, or take a keg within its rating.",
                works.question
            ),
        ));
    }
    let sugar = holding.known_between(Property::Sugar, 0.0, 400.0);
    match sugar.filter(|_| into.package.takes_pressure()) {
        Some((sugar, _)) => into.stands(bottle_kpa(sugar)),
        None => Ok(()),
    }
}

/// One line: what to do first, then why, and where the other questions stand.
fn refused(vessel: &str, first: &GateItem, others: usize) -> String {
    let asked = first.suggestion.as_ref().map(|it| &it.needs);
    let asks_warmth = asked.is_some_and(|it| it.contains(&"temperature"));
    let todo = if asks_warmth {
        "Say --warm yes if it was at 15 °C or warmer while its gravity stood still, measure its temperature"
    } else {
        first.what_to_do.trim_end_matches('.')
    };
    let evidence = first.evidence.first().map_or("", String::as_str);
    let rest = match others {
        0 => String::new(),
        1 => format!(" 1 more question is open: `bottle plan '{vessel}'` lists them."),
        more => format!(" {more} more questions are open: `bottle plan '{vessel}'` lists them."),
    };
    format!(
        "{todo}, or give --overrule 'why'. {} {evidence} Sugar left in it can burst a closed bottle.{rest}",
        first.question
    )
}

/// A second run of one wine is told from the first by a number.
fn free_name(wine: &str, cellar: &Snapshot) -> String {
    let taken = |name: &str| {
        cellar
            .open(Sort::Run)
            .any(|it| it.name().eq_ignore_ascii_case(name))
    };
    let runs = cellar.open(Sort::Run).count();
    let numbered = (2..=runs + 1).map(|n| format!("{wine} {n}"));
    let mut names = std::iter::once(wine.to_owned()).chain(numbered);
    names.find(|it| !taken(it)).unwrap_or_default()
}

/// `29`, `28x750 1x375`, `28×750 + 1×375`.
fn typed_fillings(text: &str, size_ml: i64, cellar: &Snapshot) -> Result<Vec<Filling>, Refusal> {
    let wrong = || {
        Refusal::input(
            "filled",
            format!("`{text}` is no count; write 29, or 28x750 1x375."),
        )
    };
    let mut fillings = Vec::new();
    for part in text.split([' ', '+', ',']).filter(|it| !it.is_empty()) {
        let (count, size) = part.split_once(['x', '×']).unwrap_or((part, ""));
        let count = count
            .parse()
            .ok()
            .filter(|it| (1..=100_000).contains(it))
            .ok_or_else(wrong)?;
        let size_ml = if size.is_empty() {
            size_ml
        } else {
            size.parse()
                .ok()
                .filter(|it| (20..=60_000).contains(it))
                .ok_or_else(wrong)?
        };
        let sequence = fillings.len() as i64 + 1;
        fillings.push(Filling {
            sequence,
            event: FillEvent::Filled,
            size_ml,
            count,
            at_ms: cellar.now.utc_ms,
        });
    }
    if fillings.is_empty() {
        Err(wrong())
    } else {
        Ok(fillings)
    }
}

/// A question before more than a tenth of what was to be bottled is thrown away.
fn much_lost(to: Key, rest: Volume, bottled: Option<&Wine>, left: Volume) -> Option<String> {
    let to = Account::from_key(to)
        .filter(|it| matches!(it, Account::Lees | Account::Spills | Account::Discarded))?;
    let wine = left + bottled.map_or(Volume::ZERO, |it| it.volume);
    let share = rest.0 as f64 / wine.0.max(1) as f64;
    (share > LOSS_WITHOUT_QUESTION).then(|| {
        format!(
            "{rest} that was not bottled goes to {}, {:.0} % of the wine: let it stay, or name the \
             vessel it goes into.",
            to.word(),
            share * 100.0
        )
    })
}

/// The longest rest taken as meant, days: longer is a typing slip.
const MOST_REST_DAYS: i64 = 3_653;

/// The days of rest typed.
fn days_of_rest(form: &Form) -> Result<Option<i64>, Refusal> {
    let typed = form.get("rest").unwrap_or_default().trim();
    let is_number = !typed.is_empty() && typed.bytes().all(|it| it.is_ascii_digit());
    let is_meant = |it: i64| it <= MOST_REST_DAYS;
    // So long a number is no count of anything, and yet a number.
    if !is_number || typed.parse().is_ok_and(is_meant) {
        return Ok(count(form, "rest")?.map(|it| it.0));
    }
    Err(Refusal::input(
        "rest",
        format!("{typed} days of rest are more than ten years; give days, such as 42."),
    ))
}

const LEFT: &[&str] = &["stays", "lees", "drunk", "samples", "spills", "discarded"];

pub(super) static FINISH: Verb = Verb {
    name: "bottle finish",
    sentence: "Finish a bottling: what is left in the vessel, where the bottles stand, how long they rest.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "left",
            "What is left",
            "What became of the wine left over; it stays if left out.",
            Takes::Choice(LEFT),
        ),
        flag(
            "into",
            "Or into",
            "The vessel that what is left went into.",
            Takes::Thing(Sort::Vessel),
        ),
        flag(
            "leaving",
            "Lees",
            "What of it is lees, which stay behind.",
            Takes::Volume,
        ),
        flag(
            "rest",
            "Rest days",
            "How long the bottles rest; four to eight weeks by the kind of wine if left out.",
            Takes::Count,
        ),
        flag(
            "empties",
            "Of the empties",
            "Whether what was filled goes off the empties that the book counts; yes if left out.",
            Takes::Choice(&["yes", "no"]),
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        not_finished(run)?;
        let bottles = cellar.wine(run.key).map_or(0, Wine::bottle_count);
        if bottles == 0 {
            return Err(Refusal::book(
                Some("run"),
                format!(
                    "no bottle of {} is filled; count some, or undo the start.",
                    run.name()
                ),
            ));
        }
        let mut draft = Draft::new(Kind::Bottle, cellar.now);
        draft.subject = Some(run.key);
        draft.set(run.key, field::FINISHED, Value::Int(cellar.now.utc_ms));
        let rest = days_of_rest(form)?.unwrap_or_else(|| rest_days(run.key, cellar));
        draft.set(
            run.key,
            field::REST_UNTIL,
            Value::Int(cellar.now.plus_days(rest).utc_ms),
        );
        let of_empties = word(form, "empties", &["yes", "no"])? != Some("no");
        let mut part = None;
        if let Some(wine) = cellar.wine(run.key) {
            use_up(&mut draft, run, wine, of_empties, cellar);
            part = part_full(run, wine, cellar).filter(|_| of_empties);
        }
        let vessel = run.int(field::VESSEL).map(Key);
        let left = vessel
            .and_then(|it| cellar.wine(it))
            .map_or(Volume::ZERO, |it| it.volume);
        let mut sentence = format!("{} of {}", Package::of(run).count(bottles), run.name());
        let part =
            part.map(|it| format!("With this {it}; `--empties no` leaves them as they are."));
        let (mut asks, mut loses, mut blend) = (Vec::from_iter(part), None, None);
        if let Some(vessel) = vessel.filter(|_| left > Volume::ZERO) {
            let lees = super::read::size(form, "leaving", cellar)?;
            if let Some(lees) = lees.filter(|it| *it > left) {
                let why =
                    format!("{lees} of lees is more than the {left} that is left; give less.");
                return Err(Refusal::book(Some("leaving"), why));
            }
            let rest = left - lees.unwrap_or_default();
            let to = match thing_if_given(form, "into", Sort::Vessel, cellar)? {
                Some(target) => {
                    all_fits("into", target, rest, cellar)?;
                    asks.extend(over_mark(target, rest, cellar));
                    let coming = cellar.wine(vessel).and_then(Wine::main_batch);
                    blend = is_a_blend(coming, rest, target, cellar);
                    Some(target.key)
                }
                None => word(form, "left", LEFT)?
                    .filter(|it| *it != "stays")
                    .and_then(Account::from_word)
                    .map(Account::key),
            };
            if let Some(to) = to {
                draft.pour(vessel, to, Amount::RestLeaving(lees.unwrap_or_default()));
                let into = if Account::from_key(to).is_some() {
                    ""
                } else {
                    "into "
                };
                sentence = format!("{sentence}, {rest} {into}{}", cellar.name(to));
                draft.pour(
                    vessel,
                    Account::Lees.key(),
                    Amount::RestLeaving(Volume::ZERO),
                );
                loses = much_lost(to, rest, cellar.wine(run.key), left);
            } else {
                if let Some(lees) = lees {
                    draft.pour(vessel, Account::Lees.key(), Amount::Exactly(lees));
                }
                sentence = format!("{sentence}, {rest} stays in {}", cellar.name(vessel));
            }
        }
        let prepared = Prepared {
            draft,
            sentence: format!("{sentence}."),
            asks,
            loses,
        };
        Ok(prepared.only_if(blend))
    },
};
