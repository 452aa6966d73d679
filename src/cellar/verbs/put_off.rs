//! Reasons put off or dismissed.

use super::ahead::{day_to_come, to_come};
use super::notes::meant;
use super::things::done;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::ahead;
use crate::cellar::attention::{Policy, Reason, ReasonKind, about, attention, reasons_of};
use crate::cellar::entry::{Draft, Kind, Silence};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{CELLAR, Key, Sort, Thing};

const SUBJECT: Field = ask(
    "about",
    "About",
    "Which vessel, bottles or supply; `cellar` for the round.",
    Takes::Place,
);
const SORT: Field = flag(
    "sort",
    "Sort",
    "Which, where a vessel and a bottling run, a supply or a batch share the name.",
    Takes::Choice(&["vessel", "run", "supply", "batch"]),
);
const REASON: Field = flag(
    "reason",
    "Reason",
    "Which of what it asks for, in words such as `headspace`; may be left out where it is one thing.",
    Takes::Suggest(ReasonKind::LABELS),
);
const WHICH_JOB: Field = flag(
    "job",
    "Job",
    "Which job, if the reason is one and there are several; its words, or their beginning.",
    Takes::Text,
);

pub(super) static SNOOZE: Verb = Verb {
    name: "snooze",
    sentence: "Put a reason off.",
    group: Group::Notes,
    fields: &[
        SUBJECT,
        REASON,
        WHICH_JOB,
        SORT,
        flag(
            "until",
            "Until",
            "`7d`, `3 weeks`, `Sunday`, or a date; a week if left out.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        let form = &parted(form, cellar);
        let until_ms = day_to_come(form.get("until").unwrap_or("7d"), cellar)?;
        silence(form, cellar, Kind::Snooze, Some(until_ms))
    },
};

pub(super) static DISMISS: Verb = Verb {
    name: "dismiss",
    sentence: "Dismiss a reason for good; say why in the note.",
    group: Group::Notes,
    fields: &[SUBJECT, REASON, WHICH_JOB, SORT],
    draft: |form, cellar| {
        let prepared = silence(form, cellar, Kind::Dismiss, None)?;
        match form.get("note") {
            Some(_) => Ok(prepared),
            None => Err(Refusal::input(
                "note",
                "Why? Say it in the note, so that it can be read later.",
            )),
        }
    },
};

/// `headspace 3 days` is a reason and until when.
fn parted(form: &Form, cellar: &Snapshot) -> Form {
    let words = form.get("until").unwrap_or_default();
    if form.get("reason").is_some() || words.is_empty() || to_come(words, cellar).is_some() {
        return form.clone();
    }
    let is_until = |text: &str| to_come(text.trim_start_matches("until "), cellar).is_some();
    let ends = words.match_indices(' ').map(|it| it.0);
    let end = ends.into_iter().find(|at| is_until(words[*at..].trim()));
    // Words with a figure and no end that is a time are a time that was not understood.
    if end.is_none()
        && words.contains(|it: char| it.is_ascii_digit())
        && kind_said(words, ReasonKind::ALL).is_none()
    {
        return form.clone();
    }
    let (reason, until) = words.split_at(end.unwrap_or(words.len()));
    let mut parted = Form::of(form.pairs().filter(|it| it.0 != "until"));
    parted.put("reason", reason);
    parted.put("until", until.trim().trim_start_matches("until "));
    parted
}

fn silence(
    form: &Form,
    cellar: &Snapshot,
    kind: Kind,
    until_ms: Option<i64>,
) -> Result<Prepared, Refusal> {
    let name = form.get("about").unwrap_or_default();
    let subject = match name {
        "cellar" => CELLAR,
        _ => {
            subject_named(name, form.get("sort"), cellar)
                .ok_or_else(|| {
                    cellar.find(Sort::Vessel, name).err().map_or_else(
                        || Refusal::input("about", format!("nothing is called `{name}`.")),
                        |it| Refusal::input("about", it.to_string()),
                    )
                })?
                .key
        }
    };
    let reasons = attention(cellar, &Policy::of(cellar));
    let its: Vec<&Reason> = about(subject, &reasons, cellar).collect();
    let reason = which(form, name, subject, &its, cellar)?;
    let raised = its.iter().find(|it| it.kind == reason);
    let (subject, identity) = if reason == ReasonKind::Job {
        job_to_silence(form, subject, name, cellar)?
    } else {
        // What is said of a vessel may be its batch's.
        let raised = raised.map(|it| it.subject);
        let raised = raised.or_else(|| out_of_sight(reason, subject, &reasons, cellar));
        let subject = raised.ok_or_else(|| not_there(reason, name, &its))?;
        (subject, reason.word().to_owned())
    };
    let mut draft = Draft::new(kind, cellar.now);
    draft.subject = Some(subject);
    draft.silences.push(Silence {
        subject,
        reason: identity,
        until_ms,
    });
    let what = if kind == Kind::Snooze {
        "Put off"
    } else {
        "Dismiss"
    };
    let job = draft.silences[0].job().map(|it| format!("the job {it}"));
    let reason = job.unwrap_or_else(|| reason.label().to_owned());
    let until = until_ms.map_or(String::new(), |it| {
        format!(" until {}", cellar.now.at(it).day_words())
    });
    done(draft, format!("{what} {reason} for {name}{until}."))
}

/// The reasons of a thing, those put off already among them.
fn even_put_off(subject: Key, cellar: &Snapshot) -> Vec<Reason> {
    let (bare, policy) = (cellar.without_silences(), Policy::of(cellar));
    let mut all = attention(&bare, &policy);
    // What is said once for several wines can be put off for one of them.
    all.extend(reasons_of(subject, &bare, &policy));
    about(subject, &all, cellar).cloned().collect()
}

/// What has that reason though nothing asks for it today: it is put off already, or the calendar
/// has it on a day to come.
fn out_of_sight(
    kind: ReasonKind,
    subject: Key,
    raised: &[Reason],
    cellar: &Snapshot,
) -> Option<Key> {
    let mut hidden = even_put_off(subject, cellar);
    let later = ahead::later(cellar, &Policy::of(cellar), raised, ahead::HORIZON_DAYS);
    hidden.extend(about(subject, &later, cellar).cloned());
    let found = hidden.iter().find(|it| it.kind == kind);
    found.map(|it| it.subject)
}

fn not_there(kind: ReasonKind, name: &str, its: &[&Reason]) -> Refusal {
    let kind = kind.label();
    let there = match labels(its).as_slice() {
        [] => "nothing of it asks for anything".to_owned(),
        labels => format!("there are: {}", labels.join("; ")),
    };
    Refusal::input(
        "reason",
        format!("{name} has no such reason as {kind}; {there}."),
    )
}

/// The kinds of those reasons, each once.
fn kinds(its: &[&Reason]) -> Vec<ReasonKind> {
    let mut kinds = Vec::new();
    for reason in its {
        if !kinds.contains(&reason.kind) {
            kinds.push(reason.kind);
        }
    }
    kinds
}

/// What those reasons are called, each once.
fn labels(its: &[&Reason]) -> Vec<&'static str> {
    kinds(its).into_iter().map(ReasonKind::label).collect()
}

/// The reason that is meant: as it was said, else the only one there is. One that is put off already is meant where no other is
/// called so.
fn which(
    form: &Form,
    name: &str,
    subject: Key,
    its: &[&Reason],
    cellar: &Snapshot,
) -> Result<ReasonKind, Refusal> {
    let kinds = kinds(its);
    let listed = || labels(its).join("; ");
    let none = || format!("nothing of {name} asks for anything; `leesline due` lists what does.");
    let Some(said) = form.get("reason") else {
        return match kinds.as_slice() {
            [only] => Ok(*only),
            [] => Err(Refusal::input("about", none())),
            _ => Err(Refusal::input(
                "reason",
                format!(
                    "Which reason of {name}: {}? Say it with --reason.",
                    listed()
                ),
            )),
        };
    };
    let found = kind_said(said, &kinds)
        .or_else(|| {
            let all = even_put_off(subject, cellar);
            kind_said(said, &self::kinds(&all.iter().collect::<Vec<_>>()))
        })
        .or_else(|| kind_said(said, ReasonKind::ALL));
    found.ok_or_else(|| {
        let there = match kinds.as_slice() {
            [] => none(),
            _ => format!("of {name} there are: {}.", listed()),
        };
        Refusal::input(
            "reason",
            format!("`{said}` does not mean one reason alone; {there}"),
        )
    })
}

/// The one of those kinds that the words mean: its word, its label, or a part of either that no other has.
fn kind_said(words: &str, of: &[ReasonKind]) -> Option<ReasonKind> {
    let wanted = words.trim().to_lowercase().replace('-', " ");
    let word = |it: &ReasonKind| it.word().replace('-', " ");
    let label = |it: &ReasonKind| it.label().to_lowercase().replace('-', " ");
    let exact = of
        .iter()
        .find(|it| word(it) == wanted || label(it) == wanted);
    let mut parts = of
        .iter()
        .filter(|it| word(it).contains(&wanted) || label(it).contains(&wanted));
    let only = parts.next().filter(|_| parts.next().is_none());
    exact.or(only).copied().filter(|_| !wanted.is_empty())
}

/// One job alone is put off, the soonest of those meant and not put off yet: the others of the same
/// wine still need someone.
fn job_to_silence(
    form: &Form,
    subject: Key,
    name: &str,
    cellar: &Snapshot,
) -> Result<(Key, String), Refusal> {
    let words = form.get("job").unwrap_or_default().to_lowercase();
    let subjects = if subject == CELLAR {
        vec![CELLAR]
    } else {
        meant(name, cellar)?
    };
    let policy = Policy {
        // Any job of a plan may be put off, however far ahead.
        horizon_days: 36_500.0,
        ..Policy::of(cellar)
    };
    let open_in = |cellar: &Snapshot| {
        let mut jobs = attention(cellar, &policy);
        jobs.retain(|it| it.kind == ReasonKind::Job && subjects.contains(&it.subject));
        jobs.retain(|it| it.sentence.to_lowercase().starts_with(&words));
        jobs
    };
    let mut open = open_in(cellar);
    if open.is_empty() {
        // What is put off already may be put off longer, or dismissed.
        open = open_in(&cellar.without_silences());
    }
    let mut jobs: Vec<&Reason> = open.iter().collect();
    jobs.sort_by_key(|it| it.due);
    let Some(first) = jobs.first() else {
        return Err(Refusal::input(
            "job",
            format!("{name} has no such job open; `leesline due` lists what is."),
        ));
    };
    let others: Vec<&str> = jobs.iter().map(|it| it.sentence.as_str()).collect();
    if words.is_empty() && others.len() > 1 {
        return Err(Refusal::input(
            "job",
            format!("Which job? Say --job; open are {}.", others.join("; ")),
        ));
    }
    Ok((first.subject, first.identity()))
}

fn subject_named<'a>(name: &str, sort: Option<&str>, cellar: &'a Snapshot) -> Option<&'a Thing> {
    [Sort::Vessel, Sort::Run, Sort::Supply, Sort::Batch]
        .into_iter()
        .filter(|it| sort.is_none_or(|sort| sort == it.word()))
        .find_map(|it| cellar.find(it, name).ok())
}
