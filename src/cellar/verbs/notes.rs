//! Notes and jots, plans and their jobs, the cellar round.

use super::ahead::LONGEST_DAYS;
use super::read::{place, thing, thing_if_given};
use super::things::done;
use super::{Field, Group, Need, Refusal, Takes, VERBS, Verb, ask, flag};
use crate::cellar::entry::{Draft, Due, Job, Kind};
use crate::cellar::moment;
use crate::cellar::plan::{self, Progress};
use crate::cellar::snapshot::{OpenJob, Snapshot};
use crate::cellar::state::Wine;
use crate::cellar::thing::{CELLAR, Key, Sort, Thing, field};

pub(super) static JOT: Verb = Verb {
    name: "jot",
    sentence: "Save a line now; make entries of it later.",
    group: Group::Notes,
    fields: &[ask(
        "text",
        "Line",
        "What to remember, in any words.",
        Takes::Text,
    )],
    draft: |form, cellar| {
        let mut draft = Draft::new(Kind::Jot, cellar.now);
        form.get("text")
            .unwrap_or_default()
            .clone_into(&mut draft.note);
        done(draft, "Jotted.".to_owned())
    },
};

pub(super) static NOTE: Verb = Verb {
    name: "note",
    sentence: "Write a note about a vessel, bottles, or the cellar.",
    group: Group::Notes,
    fields: &[
        ask("text", "Note", "Anything worth keeping.", Takes::Text),
        flag("about", "About", "Which vessel or bottles.", Takes::Place),
    ],
    draft: |form, cellar| {
        let mut draft = Draft::new(Kind::Note, cellar.now);
        form.get("text")
            .unwrap_or_default()
            .clone_into(&mut draft.note);
        let about = form
            .get("about")
            .map(|_| place(form, "about", cellar))
            .transpose()?;
        draft.subject = Some(about.map_or(CELLAR, |it| it.key));
        done(draft, "Noted.".to_owned())
    },
};

pub(super) static ROUND: Verb = Verb {
    name: "round",
    sentence: "The cellar round is done: airlocks filled, no film, corks level, but for what the note says.",
    group: Group::Notes,
    fields: &[],
    draft: |_, cellar| {
        let mut draft = Draft::new(Kind::Round, cellar.now);
        draft.subject = Some(CELLAR);
        done(draft, "Cellar round done.".to_owned())
    },
};

/// The only job found; of several with the same words about the same wine, the one due first.
fn soonest_of_one_name<'a>(found: &[&'a OpenJob], cellar: &Snapshot) -> Option<&'a OpenJob> {
    let (first, rest) = found.split_first()?;
    let same =
        |it: &&OpenJob| it.job.subject == first.job.subject && it.job.title == first.job.title;
    let due = |it: &OpenJob| plan::falls_due(it, cellar).map_or(i64::MAX, |it| it.0.utc_ms);
    let all = rest.iter().all(same);
    found
        .iter()
        .copied()
        .filter(|_| all)
        .min_by_key(|it| due(it))
}

/// What a name may mean as the subject of a job: whatever is called so, and the wine in it. A job
/// may stand under its batch while people speak of the carboy, and the other way round.
pub(super) fn meant(name: &str, cellar: &Snapshot) -> Result<Vec<Key>, Refusal> {
    let named = [Sort::Vessel, Sort::Batch, Sort::Run]
        .into_iter()
        .filter_map(|it| cellar.find(it, name).ok());
    let mut keys: Vec<Key> = named.map(|it| it.key).collect();
    if keys.is_empty() {
        return Err(Refusal::input(
            "about",
            format!(
                "no vessel, batch or bottles are called `{name}`; `leesline due` names what has jobs."
            ),
        ));
    }
    let batches: Vec<Key> = keys
        .iter()
        .filter_map(|it| cellar.wine(*it)?.main_batch())
        .collect();
    let vessels: Vec<Key> = cellar
        .open(Sort::Vessel)
        .filter(|it| {
            let batch = cellar.wine(it.key).and_then(Wine::main_batch);
            batch.is_some_and(|it| keys.contains(&it))
        })
        .map(|it| it.key)
        .collect();
    keys.extend(batches.into_iter().chain(vessels));
    Ok(keys)
}

pub(super) static DONE: Verb = Verb {
    name: "done",
    sentence: "A job of a plan is done.",
    group: Group::Notes,
    fields: &[
        ask("job", "Job", "Its words, or their beginning.", Takes::Text),
        flag(
            "about",
            "About",
            "Which vessel or batch, if several have such a job.",
            Takes::Text,
        ),
        flag(
            "due",
            "Due",
            "The day it falls due on, such as 2026-11-25, if several have the same words; the soonest if left out.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        let words = form.get("job").unwrap_or_default().to_lowercase();
        let due = form.get("due");
        let falls_due =
            |it: &OpenJob| plan::falls_due(it, cellar).map(|it| it.0.date().to_string());
        let about = form.get("about").map(|it| meant(it, cellar)).transpose()?;
        let fits = |it: &&OpenJob| {
            it.job.title.to_lowercase().starts_with(&words)
                && about.as_ref().is_none_or(|keys| {
                    keys.contains(&it.job.subject) || keys.contains(&plan::subject(it, cellar))
                })
                && due.is_none_or(|due| falls_due(it).as_deref() == Some(due.trim()))
        };
        let found: Vec<&OpenJob> = cellar.jobs.iter().filter(fits).collect();
        let soonest = soonest_of_one_name(&found, cellar);
        let Some(job) = soonest else {
            let open: Vec<String> = cellar
                .jobs
                .iter()
                .map(|it| format!("{} ({})", it.job.title, cellar.name(it.job.subject)))
                .collect();
            let open = if open.is_empty() {
                // A plan that was started later holds no jobs yet on the day that is written about.
                format!("no job is open on {}", cellar.now.day_words())
            } else {
                format!("open are {}", open.join("; "))
            };
            let several = if found.is_empty() {
                "no open job begins with that"
            } else {
                "several jobs begin with that; say --about"
            };
            return Err(Refusal::input("job", format!("{several}: {open}.")));
        };
        let name = cellar.name(job.job.subject);
        if about.is_none() && plan::names_several(job) && words != job.job.title.to_lowercase() {
            // Half a step may be done in one wine and not in another.
            let so_far = match plan::progress(job, cellar) {
                Progress::Perhaps(so_far) => so_far,
                _ => "nothing of it is in the book".to_owned(),
            };
            let why = format!(
                "{}, {name}: {so_far}. If all of it is done, say --about \"{name}\".",
                job.job.title
            );
            return Err(Refusal::input("about", why));
        }
        let mut draft = Draft::new(Kind::Done, cellar.now);
        draft.subject = Some(job.job.subject);
        draft.closes.push(job.job.key);
        draft.note.clone_from(&job.job.title);
        done(draft, format!("Done: {}, {name}.", job.job.title))
    },
};

const STEP: Field = Field {
    key: "step",
    label: "Step",
    help: "`day 14: rack`, `week 2: rack`, `1.010: rack`, or both: `1.010 or day 14: rack`.",
    takes: Takes::Text,
    need: Need::Many,
};

pub(super) static PLAN_ADD: Verb = Verb {
    name: "plan add",
    sentence: "Enter a kit's day sheet or a recipe of your own, once.",
    group: Group::Notes,
    fields: &[
        ask(
            "name",
            "Name",
            "What the plan is called.",
            Takes::NewName(Sort::Plan),
        ),
        STEP,
    ],
    draft: |form, cellar| {
        let name = form.get("name").unwrap_or_default();
        let lines: Vec<&str> = form
            .all("step")
            .iter()
            .flat_map(|it| it.split(';'))
            .map(str::trim)
            .collect();
        if lines.is_empty() {
            return Err(Refusal::input(
                "step",
                "Give at least one step, such as `day 14: rack`.",
            ));
        }
        for line in &lines {
            Step::read(line)?;
        }
        let mut draft = Draft::new(Kind::Plan, cellar.now);
        let plan = draft.begin(Sort::Plan, name);
        draft.subject = Some(plan);
        draft.set(plan, field::STEPS, lines.join("\n").as_str());
        done(
            draft,
            format!("Keep the plan {name} with {} steps.", lines.len()),
        )
    },
};

pub(super) static PLAN_START: Verb = Verb {
    name: "plan start",
    sentence: "Start a plan on a wine; its steps become reasons as they fall due.",
    group: Group::Notes,
    fields: &[
        ask("plan", "Plan", "Which plan.", Takes::Thing(Sort::Plan)),
        ask(
            "place",
            "Wine",
            "Which vessel the wine is in.",
            Takes::FullVessel,
        ),
        flag(
            "day-one",
            "Day one",
            "When it began, if not now.",
            Takes::Date,
        ),
    ],
    draft: |form, cellar| {
        let plan = plan_named(form, cellar)?;
        let vessel = thing_if_given(form, "place", Sort::Vessel, cellar)?
            .ok_or_else(|| Refusal::input("place", "On which wine?"))?;
        let batch = cellar.wine(vessel.key).and_then(Wine::main_batch);
        let subject = batch.unwrap_or(vessel.key);
        let day_one = match form.get("day-one") {
            Some(text) => {
                moment::read(text, cellar.now, cellar.settings().zone)
                    .map_err(|it| Refusal::input("day-one", it.to_string()))?
                    .moment
            }
            None => cellar.now,
        };
        let mut draft = Draft::new(Kind::Plan, cellar.now);
        draft.subject = Some(subject);
        for line in plan.text(field::STEPS).lines() {
            let step = Step::read(line)?;
            let on = step.day.map(|day| day_one.plus_days(day - 1).utc_ms);
            let due = match (step.gravity, on) {
                (Some(gravity), latest_ms) => Due::AtGravity { gravity, latest_ms },
                (None, Some(on)) => Due::On(on),
                (None, None) => Due::On(day_one.utc_ms),
            };
            draft.jobs.push(Job {
                key: Key(0),
                subject,
                title: step.title.to_owned(),
                due,
                verb: step.verb(),
            });
        }
        let is_open = |job: &Job| {
            let mut open = cellar.jobs.iter().map(|it| &it.job);
            open.any(|it| it.subject == job.subject && it.title == job.title)
        };
        let again = draft.jobs.iter().all(is_open).then(|| {
            format!(
                "All its steps are open for {} already. Start it a second time?",
                cellar.name(subject)
            )
        });
        let sentence = format!(
            "Start {} on {}: {} steps.",
            plan.name(),
            cellar.name(subject),
            draft_steps(plan)
        );
        Ok(done(draft, sentence)?.only_if(again))
    },
};

/// The plan of exactly that name: one that merely begins so may be of another kit.
fn plan_named<'a>(form: &super::Form, cellar: &'a Snapshot) -> Result<&'a Thing, Refusal> {
    let plan = thing(form, "plan", Sort::Plan, cellar)?;
    let typed = form.get("plan").unwrap_or_default().trim();
    if plan.name().to_lowercase() == typed.to_lowercase() {
        return Ok(plan);
    }
    Err(Refusal::input(
        "plan",
        format!(
            "no plan is called `{typed}`; the nearest is {}, to be named in full.",
            plan.name()
        ),
    ))
}

fn draft_steps(plan: &Thing) -> usize {
    plan.text(field::STEPS).lines().count()
}

pub(super) static PLAN_COPY: Verb = Verb {
    name: "plan copy",
    sentence: "Copy a plan under a new name, for the next batch.",
    group: Group::Notes,
    fields: &[
        ask("plan", "Plan", "Which plan.", Takes::Thing(Sort::Plan)),
        ask(
            "name",
            "New name",
            "What the copy is called.",
            Takes::NewName(Sort::Plan),
        ),
    ],
    draft: |form, cellar| {
        let plan = plan_named(form, cellar)?;
        let name = form.get("name").unwrap_or_default();
        let mut draft = Draft::new(Kind::Plan, cellar.now);
        let copy = draft.begin(Sort::Plan, name);
        draft.subject = Some(copy);
        draft.set(copy, field::STEPS, plan.text(field::STEPS));
        done(draft, format!("Copy {} as {name}.", plan.name()))
    },
};

/// The first and last day that a step names: `day 14`, `day 7 to 10`, `week 2`.
fn days_of_step(part: &str) -> Option<(i64, i64)> {
    let (said, length) = if let Some(said) = part.strip_prefix("day") {
        (said, 1)
    } else {
        (part.strip_prefix("week")?, 7)
    };
    let said = said.trim_start_matches('s').trim();
    let (first, last) = [" to ", "-", "–"]
        .iter()
        .find_map(|it| said.split_once(it))
        .unwrap_or((said, said));
    let read = |it: &str| it.trim().parse::<i64>().ok();
    let within = |it: &i64| (1..=LONGEST_DAYS).contains(it);
    let span = read(first).zip(read(last));
    let span = span.filter(|(first, last)| {
        within(first) && within(last) && within(&(last * length)) && first <= last
    });
    span.map(|(first, last)| ((first - 1) * length + 1, last * length))
}

/// One line of a plan.
struct Step<'a> {
    day: Option<i64>,
    gravity: Option<f64>,
    title: &'a str,
}

impl Step<'_> {
    fn read(line: &str) -> Result<Step<'_>, Refusal> {
        let wrong = || {
            Refusal::input(
                "step",
                format!(
                    "`{line}` is no step; write `day 14: rack`, `week 2: rack`, `1.010: rack` or `1.010 or day 14: rack`."
                ),
            )
        };
        let (when, title) = line.split_once(':').ok_or_else(wrong)?;
        let mut step = Step {
            day: None,
            gravity: None,
            title: title.trim(),
        };
        let (when, mut days) = (when.to_lowercase(), None);
        for part in when.split(" or ").map(str::trim) {
            if part.starts_with("day") || part.starts_with("week") {
                days = Some(days_of_step(part).ok_or_else(wrong)?);
            } else {
                let gravity = ["below ", "under ", "at ", "gravity "]
                    .iter()
                    .fold(part, |it, word| it.strip_prefix(word).unwrap_or(it));
                step.gravity = Some(
                    gravity
                        .parse()
                        .ok()
                        .filter(|it| (0.97..=1.2).contains(it))
                        .ok_or_else(wrong)?,
                );
            }
        }
        // With a gravity beside it the date is the latest, else it is when the step may begin.
        step.day = days.map(|(first, last)| match step.gravity {
            Some(_) => last,
            None => first,
        });
        if step.title.is_empty() {
            Err(wrong())
        } else {
            Ok(step)
        }
    }

    /// The verb whose name the step begins with, if any.
    fn verb(&self) -> String {
        let words = self.title.to_lowercase();
        let begins = |name: &str| {
            words
                .strip_prefix(name)
                .is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
        };
        let fits = VERBS.iter().map(|it| it.name).find(|name| begins(name));
        let everyday = || match words.split([' ', ',']).next() {
            Some(
                "bentonite" | "fining" | "gelatin" | "kieselsol" | "silica" | "chitosan"
                | "isinglass",
            ) => "fine",
            Some("sulfite" | "sorbate") => "add",
            Some("yeast") => "pitch",
            Some("bottle") => "bottle start",
            _ => "",
        };
        fits.unwrap_or_else(everyday).to_owned()
    }
}
