//! Steps of a plan in the light of what the wine went through: when one falls due, and whether the
//! book says already that it was done.
//!
//! A step says in its own words what is to be done; the deeds that travel with the wine say what
//! was. Nothing is stored for it, so that voiding the deed opens the step again.

use chrono::NaiveDate;

use super::entry::{Due, Property};
use super::moment::Moment;
use super::snapshot::{OpenJob, Snapshot};
use super::state::{Deed, GRAVITY_SLACK, GravityReading, Wine};
use super::substance;
use super::thing::{Key, Sort};

/// How far a job has come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Progress {
    /// Nothing in the book does what it says.
    Open,
    /// Something was done that may be it, or part of it: `racked on 3 Nov 2026`.
    Perhaps(String),
    /// Done on its day or later, or nothing is left to do it to.
    Done,
}

/// Words of a step, the deed they ask for, and how it is said when done.
const DEEDS: &[(&[&str], Deed, &str)] = &[
    (&["pitch", "yeast"], Deed::Pitched, "pitched"),
    (&["rack", "racking"], Deed::Racked, "racked"),
    (&["press", "pressing"], Deed::Pressed, "pressed"),
    (&["degas", "degassing"], Deed::Degassed, "degassed"),
    (
        &["sulfite", "sulphite", "metabisulfite"],
        Deed::Sulfited,
        "sulfited",
    ),
    (
        &["sorbate", "stabilise", "stabilize"],
        Deed::Sorbated,
        "sorbated",
    ),
    (
        &[
            "fine",
            "fining",
            "finings",
            "kieselsol",
            "silica",
            "bentonite",
            "gelatin",
            "isinglass",
            "chitosan",
            "casein",
        ],
        Deed::Fined,
        "fined",
    ),
    (&["sweeten"], Deed::Sweetened, "sweetened"),
    (&["bottle", "bottling"], Deed::Bottled, "bottled"),
];

/// When a job falls due and by what: the date, or the day its gravity was first read, whichever
/// comes first. `None` while its gravity is not reached and no date stands beside it.
pub fn falls_due(open: &OpenJob, cellar: &Snapshot) -> Option<(Moment, String)> {
    let gravity = |it: f64| format!("{it:.3}");
    match open.job.due {
        Due::On(at) => {
            let at = cellar.now.at(at);
            Some((at, format!("Due on {}.", at.day_words())))
        }
        Due::AtGravity {
            gravity: asked,
            latest_ms,
        } => {
            let reached = wines(open.job.subject, cellar)
                .iter()
                .flat_map(|(_, wine)| &wine.gravities)
                .filter(|it| it.gravity <= asked + GRAVITY_SLACK)
                .min_by_key(|it| it.at_ms)
                .map(|it| {
                    let (asked, read) = (gravity(asked), gravity(it.gravity));
                    (
                        cellar.now.at(it.at_ms),
                        format!("Due at gravity {asked}; it read {read}."),
                    )
                });
            let latest = latest_ms.map(|it| {
                let at = cellar.now.at(it);
                let (asked, day) = (gravity(asked), at.day_words());
                (
                    at,
                    format!("Due at gravity {asked}, on {day} at the latest."),
                )
            });
            match (reached, latest) {
                (Some(one), Some(other)) => Some(if one.0 <= other.0 { one } else { other }),
                (one, other) => one.or(other),
            }
        }
    }
}

/// How far a job has come. It is done when all that its words ask for was done, on its day or
/// later, to every vessel that holds the wine; bottling any of it is bottling it. Earlier, in part,
/// or in one vessel of several is for the person to judge.
pub fn progress(open: &OpenJob, cellar: &Snapshot) -> Progress {
    if !half_fined(open, cellar).is_empty() {
        return Progress::Open;
    }
    if has_left(open, cellar) {
        return Progress::Done;
    }
    if open.job.verb == SECOND_HALF_VERB {
        return second_half(open, cellar);
    }
    let parts = parts(open);
    if parts.iter().all(|it| it.asked.is_empty()) {
        return Progress::Open;
    }
    // What is asked for about bottles is not done by their being bottles; only `done` says that it is.
    let of_bottles = cellar.thing(open.job.subject);
    if of_bottles.is_some_and(|it| it.sort == Sort::Run) {
        return Progress::Open;
    }
    let wines = wines(open.job.subject, cellar);
    // What is all in bottle, or gone, is neither racked nor fined any more.
    if !wines.iter().any(|it| is_vessel(it.0, cellar)) {
        return Progress::Done;
    }
    let Some((due, _)) = falls_due(open, cellar) else {
        return Progress::Open;
    };
    let due = due.date();
    let mut so_far = SoFar {
        cellar,
        wines,
        due,
        since: cellar.now.at(open.since_ms).date().min(due),
        is_all_done: true,
        found: Vec::new(),
        missing: Missing::default(),
    };
    for part in &parts {
        so_far.look(part);
    }
    so_far.progress()
}

fn is_vessel(place: Key, cellar: &Snapshot) -> bool {
    let place = cellar.thing(place);
    place.is_some_and(|it| it.sort == Sort::Vessel)
}

/// What the book has of a job whose parts are looked at one after another.
struct SoFar<'a> {
    cellar: &'a Snapshot,
    wines: Vec<(Key, &'a Wine)>,
    /// Its day: what was done then or later is it.
    due: NaiveDate,
    /// What was done from then on may be it.
    since: NaiveDate,
    is_all_done: bool,
    /// What was done, in words.
    found: Vec<String>,
    missing: Missing<'a>,
}

impl<'a> SoFar<'a> {
    fn look(&mut self, part: &Part<'a>) {
        let mut is_missing = part.asked.is_empty();
        let mut lacking: Vec<&str> = Vec::new();
        for (what, said) in &part.asked {
            if *what == Asked::Deed(Deed::Pitched) && self.is_never_pitched(part) {
                is_missing |= !self.has_worked();
                continue;
            }
            is_missing |= !self.was_done(part, *what, said);
            lacking.extend(self.lacking(part, *what));
        }
        if is_missing {
            self.missing.note(part.words, &[]);
        } else if !lacking.is_empty() {
            self.missing.note(part.words, &lacking);
        }
    }

    /// When each place that tells of it had that done last. What is left in vessels tells what is left to do; only bottles tell of
    /// bottling.
    fn when(&self, part: &Part, what: Asked) -> Vec<(Key, Option<Moment>)> {
        let told = self
            .wines
            .iter()
            .filter(|it| is_vessel(it.0, self.cellar) != is_of_bottles(what));
        told.map(|(key, wine)| {
            let at_ms = part.when(what, wine);
            (*key, at_ms.map(|it| self.cellar.now.at(it)))
        })
        .collect()
    }

    fn is_never_pitched(&self, part: &Part) -> bool {
        let when = self.when(part, Asked::Deed(Deed::Pitched));
        when.iter().all(|it| it.1.is_none())
    }

    /// Whether readings of any vessel show yeast that nobody wrote down.
    fn has_worked(&mut self) -> bool {
        let vessels = self.wines.iter();
        let vessels = vessels.filter(|it| is_vessel(it.0, self.cellar));
        let shown: Vec<Option<Worked>> = vessels
            .map(|(_, wine)| Worked::of(wine, self.cellar))
            .collect();
        let is_it = |it: &Worked| it.is_sure && it.at.date() >= self.due;
        self.is_all_done &= shown.iter().all(|it| it.as_ref().is_some_and(is_it));
        let first = shown.into_iter().flatten().next();
        let has_worked = first.is_some();
        self.found.extend(first.map(|it| it.words));
        has_worked
    }

    /// Whether that was done anywhere, late enough to be it.
    fn was_done(&mut self, part: &Part, what: Asked, said: &str) -> bool {
        let when = self.when(part, what);
        let mut times = when.iter().map(|it| it.1);
        let on_day = |it: Option<Moment>| it.is_some_and(|it| it.date() >= self.due);
        self.is_all_done &= if is_of_bottles(what) {
            times.any(on_day)
        } else {
            times.all(on_day)
        };
        let last = when.iter().filter_map(|it| it.1).max();
        let last = last.filter(|it| it.date() >= self.since);
        let line = last.map(|it| format!("{said} on {}", it.day_words()));
        self.found
            .extend(line.filter(|it| !self.found.contains(it)));
        last.is_some()
    }

    /// Vessels in which that was not done; bottling any of a wine is bottling it.
    fn lacking(&self, part: &Part, what: Asked) -> Vec<&'a str> {
        if is_of_bottles(what) {
            return Vec::new();
        }
        let when = self.when(part, what).into_iter();
        let left = when.filter(|it| it.1.is_none_or(|it| it.date() < self.since));
        left.map(|it| self.cellar.name(it.0)).collect()
    }

    fn progress(self) -> Progress {
        let found = self.found.join(", ");
        if self.missing.0.is_empty() {
            return match found.as_str() {
                _ if self.is_all_done => Progress::Done,
                "" => Progress::Open,
                _ => Progress::Perhaps(found),
            };
        }
        match found.as_str() {
            "" => Progress::Open,
            _ => Progress::Perhaps(format!("{found}; still open: {}", self.missing.words())),
        }
    }
}

fn is_of_bottles(what: Asked) -> bool {
    what == Asked::Deed(Deed::Bottled)
}

/// What a job asks for that was not done: in none of its vessels, or not in those.
#[derive(Default)]
struct Missing<'a>(Vec<(Vec<&'a str>, String)>);

impl<'a> Missing<'a> {
    fn note(&mut self, what: &'a str, vessels: &[&str]) {
        let place = match vessels {
            [] => String::new(),
            all => format!(" in {}", all.join(" and ")),
        };
        match self.0.iter_mut().find(|it| it.1 == place) {
            Some(it) => it.0.push(what),
            None => self.0.push((vec![what], place)),
        }
    }

    /// `degas; sulfite, sorbate in Jug`.
    fn words(&self) -> String {
        let each = self.0.iter().map(|it| it.0.join(", ") + &it.1);
        each.collect::<Vec<String>>().join("; ")
    }
}

/// Vessels with wine that had the first part of a fining as that job was set, and not the second yet. It is known by the wine, and
/// so wherever that went and whatever else came to it.
fn half_fined(open: &OpenJob, cellar: &Snapshot) -> Vec<Key> {
    if open.job.verb != "fine" {
        return Vec::new();
    }
    let waits = |it: &Wine| it.when(Deed::HalfFined) == Some(open.since_ms);
    let vessels = cellar.open(Sort::Vessel).map(|it| it.key);
    vessels
        .filter(|it| cellar.wine(*it).is_some_and(waits))
        .collect()
}

/// What a job is about: what it was set for, or the vessel that its wine went to and is called otherwise in.
pub fn subject(open: &OpenJob, cellar: &Snapshot) -> Key {
    let asked = open.job.subject;
    let waiting = half_fined(open, cellar);
    let is_there = || {
        wines(asked, cellar)
            .iter()
            .any(|it| waiting.contains(&it.0))
    };
    match waiting.first() {
        Some(vessel) if !is_there() => *vessel,
        _ => asked,
    }
}

/// What a job is to be done by that asks for the rest of a dose of sulfite, half of which was given.
pub const SECOND_HALF_VERB: &str = "dose";
/// What it asks for.
pub const SECOND_HALF: &str = "test free SO2, then give the rest";

/// Whether a job is about wine that has left the vessel it was in. One in a person's own words may be about the vessel.
fn has_left(open: &OpenJob, cellar: &Snapshot) -> bool {
    let subject = cellar.thing(open.job.subject);
    if open.job.verb.is_empty() || subject.is_none_or(|it| it.sort != Sort::Vessel) {
        return false;
    }
    let is_other = |it: &Wine| it.when(Deed::Filled).is_some_and(|at| at > open.since_ms);
    cellar.wine(open.job.subject).is_none_or(is_other)
}

/// How far the second half of a dose has come: first a test since the first half, then the rest.
fn second_half(open: &OpenJob, cellar: &Snapshot) -> Progress {
    let in_vessels = vessels(open, cellar).into_iter();
    let tests: Vec<(Option<i64>, bool)> = in_vessels
        .filter_map(|it| cellar.wine(it))
        .map(|wine| {
            let known = wine.known.get(&Property::FreeSo2).map(|it| it.at_ms);
            let tested = known.filter(|it| *it > open.since_ms);
            let given = wine.when(Deed::Sulfited).filter(|it| *it > open.since_ms);
            (tested, tested.is_some() && given >= tested)
        })
        .collect();
    if tests.iter().all(|it| it.1) {
        return Progress::Done;
    }
    match tests.iter().map(|it| it.0).min().flatten() {
        Some(at) => Progress::Perhaps(format!(
            "tested on {}; still open: give the rest, if it is short of its aim",
            cellar.now.at(at).day_words()
        )),
        None => Progress::Open,
    }
}

/// Yeast that nobody wrote down, as readings tell it.
struct Worked {
    at: Moment,
    /// Only yeast brings a must below the gravity of water; one that fell may have been watered.
    is_sure: bool,
    words: String,
}

impl Worked {
    fn of(wine: &Wine, cellar: &Snapshot) -> Option<Worked> {
        let readings = &wine.gravities;
        if let Some(below) = readings.iter().find(|it| it.gravity < 1.0 - GRAVITY_SLACK) {
            let at = cellar.now.at(below.at_ms);
            let words = format!("fermented: {:.3} on {}", below.gravity, at.day_words());
            return Some(Worked {
                at,
                is_sure: true,
                words,
            });
        }
        let (highest, last) = (GravityReading::fell_from(readings)?, readings.last()?);
        let at = cellar.now.at(last.at_ms);
        Some(Worked {
            at,
            is_sure: false,
            words: format!(
                "gravity fell from {:.3} to {:.3} by {}",
                highest.gravity,
                last.gravity,
                at.day_words()
            ),
        })
    }
}

/// Whether a job asks for bottling.
pub(super) fn is_bottling(open: &OpenJob) -> bool {
    let bottled = |part: &Part| {
        let mut asked = part.asked.iter();
        asked.any(|it| it.0 == Asked::Deed(Deed::Bottled))
    };
    parts(open).iter().any(bottled)
}

/// The day to come for which a vessel's bottling is planned; the first, if there are several.
pub fn bottling_day(vessel: Key, cellar: &Snapshot) -> Option<Moment> {
    bottling_days(vessel, cellar)
        .filter(|it| it.days_since(cellar.now) > 0)
        .min()
}

/// The day for which it was planned though it has not happened; the last, if there are several. Nothing where another day
/// is still to come, or is today.
pub fn bottling_missed(vessel: Key, cellar: &Snapshot) -> Option<Moment> {
    bottling_days(vessel, cellar)
        .max()
        .filter(|it| it.days_since(cellar.now) < 0)
}

fn bottling_days(vessel: Key, cellar: &Snapshot) -> impl Iterator<Item = Moment> {
    let open = cellar.jobs.iter().filter(|it| is_bottling(it));
    let open = open.filter(move |it| vessels(it, cellar).contains(&vessel));
    let open = open.filter(|it| progress(it, cellar) != Progress::Done);
    open.filter_map(|it| falls_due(it, cellar)).map(|it| it.0)
}

/// Whether a job asks for more than one thing, such as `degas, stabilise`.
pub(super) fn names_several(open: &OpenJob) -> bool {
    parts(open).len() > 1
}

/// Vessels that hold the wine a job is about.
pub(super) fn vessels(open: &OpenJob, cellar: &Snapshot) -> Vec<Key> {
    let wines = wines(subject(open, cellar), cellar).into_iter();
    let places = wines.filter_map(|(key, _)| cellar.thing(key));
    places
        .filter(|it| it.sort == Sort::Vessel)
        .map(|it| it.key)
        .collect()
}

/// What a job about the wine in a vessel is about: its batch, so that the job follows the wine to another vessel; the vessel
/// where that would say too much.
pub fn of_the_wine_in(vessel: Key, cellar: &Snapshot) -> Key {
    let batch = cellar.wine(vessel).and_then(|it| match it.makeup[..] {
        [only] => only.batch,
        _ => None,
    });
    let is_elsewhere = |batch: Key| {
        let mut vessels = cellar.open(Sort::Vessel).filter(|it| it.key != vessel);
        vessels.any(|it| cellar.wine(it.key).and_then(Wine::main_batch) == Some(batch))
    };
    batch.filter(|it| !is_elsewhere(*it)).unwrap_or(vessel)
}

/// Something that a step asks for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Asked {
    Deed(Deed),
    Gravity,
}

/// One of the things that a step names: `bentonite` in `pitch yeast and bentonite`.
struct Part<'a> {
    /// As the step says it.
    words: &'a str,
    /// The deeds it asks for, and how each is said when done; none where no deed tells.
    asked: Vec<(Asked, &'static str)>,
    /// What it would leave in the wine that nothing else does.
    allergen: &'static str,
}

impl Part<'_> {
    /// When it was last done to that wine, UTC ms.
    fn when(&self, what: Asked, wine: &Wine) -> Option<i64> {
        match what {
            // One fining is not the other where the wine can tell.
            Asked::Deed(Deed::Fined)
                if !self.allergen.is_empty() && !wine.allergens.contains(self.allergen) =>
            {
                None
            }
            Asked::Deed(deed) => wine.when(deed),
            Asked::Gravity => wine.known.get(&Property::Gravity).map(|it| it.at_ms),
        }
    }
}

/// What the words of a job ask for, part by part. A job that no verb does is a person's own to close;
/// so is a part of one that names what only the person knows of, such as oak or food for yeast.
fn parts(open: &OpenJob) -> Vec<Part<'_>> {
    let whole = |asked| {
        vec![Part {
            words: &open.job.title,
            asked: vec![asked],
            allergen: "",
        }]
    };
    match open.job.verb.as_str() {
        "taste" => return whole((Asked::Deed(Deed::Tasted), "tasted")),
        "top-up" => return whole((Asked::Deed(Deed::ToppedUp), "topped up")),
        "measure" if words(&open.job.title).iter().any(|it| it == "gravity") => {
            return whole((Asked::Gravity, "gravity read"));
        }
        "oak out" | "measure" => return Vec::new(),
        "" if !words(&open.job.title)
            .first()
            .is_some_and(|it| names_a_deed(it)) =>
        {
            return Vec::new();
        }
        _ => {}
    }
    let commas = open.job.title.split([',', ';', '+', '&']);
    let all = commas.flat_map(|it| it.split(" and ")).map(str::trim);
    all.filter(|it| !it.is_empty()).filter_map(part).collect()
}

/// One part; `None` of words that ask for nothing, such as `into the carboy`.
fn part(text: &str) -> Option<Part<'_>> {
    let said = words(text);
    let known = || said.iter().filter_map(|it| substance::known(it));
    // Food for yeast is not yeast.
    let is_own = said.iter().any(|it| it == "nutrient") || known().any(|it| it.name == "oak");
    let asked: Vec<(Asked, &'static str)> = DEEDS
        .iter()
        .filter(|_| !is_own)
        .filter(|(names, ..)| said.iter().any(|it| names.contains(&it.as_str())))
        .map(|(_, deed, said)| (Asked::Deed(*deed), *said))
        .collect();
    (is_own || !asked.is_empty()).then(|| Part {
        words: text,
        allergen: known()
            .find(|it| it.deed == Some(Deed::Fined))
            .map_or("", |it| it.allergen),
        asked,
    })
}

fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|it: char| !it.is_alphanumeric())
        .filter(|it| !it.is_empty())
        .map(str::to_owned)
        .collect()
}

fn names_a_deed(word: &str) -> bool {
    DEEDS.iter().any(|(names, ..)| names.contains(&word))
}

/// The wine a job is about: that of the vessel or run, or all that is mostly of the batch.
fn wines(subject: Key, cellar: &Snapshot) -> Vec<(Key, &Wine)> {
    let is_batch = cellar
        .thing(subject)
        .is_some_and(|it| it.sort == Sort::Batch);
    if !is_batch {
        return cellar
            .wine(subject)
            .map(|it| (subject, it))
            .into_iter()
            .collect();
    }
    let places = cellar.open(Sort::Vessel).chain(cellar.open(Sort::Run));
    places
        .filter_map(|it| Some((it.key, cellar.wine(it.key)?)))
        .filter(|(_, wine)| wine.main_batch() == Some(subject))
        .collect()
}

#[cfg(test)]
mod tests;
