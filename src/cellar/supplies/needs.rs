//! What the work ahead takes: open jobs, wines ready to bottle, doses that are due.

use std::collections::BTreeSet;

use crate::cellar::ahead;
use crate::cellar::amount::Mass;
use crate::cellar::attention::{Holding, Policy, Reason, ReasonKind, Stage, of_each};
use crate::cellar::bottling::{Chore, Closure, Package, Plan, Sulfite, Wish, usual_run};
use crate::cellar::dosing::is_powder;
use crate::cellar::entry::Dose;
use crate::cellar::moment::Moment;
use crate::cellar::plan::{self, Progress};
use crate::cellar::snapshot::{OpenJob, Snapshot};
use crate::cellar::state::Wine;
use crate::cellar::substance;
use crate::cellar::thing::{Key, Sort, Thing, field};
use crate::cellar::verbs::{Named, named};

/// Work ahead that takes something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Work {
    /// A wine is bottled.
    Bottling,
    /// A job of those words.
    Job(String),
    /// A wine is given sulfite now.
    Dose,
    /// All wine in vessels is given sulfite once more.
    NextDose,
}

impl Work {
    /// As a word.
    pub const fn word(&self) -> &'static str {
        match self {
            Work::Bottling => "bottling",
            Work::Job(_) => "job",
            Work::Dose => "dose",
            Work::NextDose => "next-dose",
        }
    }

    /// The words of the job that it is.
    pub fn job(&self) -> Option<&str> {
        match self {
            Work::Job(title) => Some(title),
            Work::Bottling | Work::Dose | Work::NextDose => None,
        }
    }
}

/// Something that work ahead takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// What, as the book calls it.
    pub substance: String,
    /// How much; `None` where nobody can say.
    pub amount: Option<Dose>,
    /// For what.
    pub work: Work,
    /// For which vessel or batch.
    pub subject: Key,
    /// When it is wanted.
    pub due: Moment,
    /// The day by which it is bought to be there in time.
    pub buy_by: Moment,
    /// Whether a job asks for it on that day; what else is wanted may wait.
    pub is_planned: bool,
}

impl Need {
    /// For what, in words: `the bottling of Riesling 26 due on 3 Dec 2026`.
    pub fn for_what(&self, cellar: &Snapshot) -> String {
        let of = cellar.name(self.subject);
        let work = match &self.work {
            Work::Bottling => format!("the bottling of {of}"),
            Work::Job(title) => format!("`{title}` of {of}"),
            Work::Dose => format!("the dose of {of}"),
            Work::NextDose => "the next dose of all wine in vessels".to_owned(),
        };
        if self.is_planned {
            format!("{work} due on {}", self.due.day_words())
        } else {
            work
        }
    }
}

/// Everything as far ahead as the calendar looks, in the order in which it is taken: the doses that reasons ask for, the jobs
/// for which is bought soon, since a day stands for them, wines that are ready to bottle, and the jobs after that.
pub fn all(cellar: &Snapshot, policy: &Policy, reasons: &[Reason]) -> Vec<Need> {
    let jobs = of_jobs(cellar, &ahead::far_sighted(policy));
    let (mut all, later): (Vec<Need>, Vec<Need>) = jobs
        .into_iter()
        .partition(|it| is_soon(it.buy_by, cellar, policy));
    all.extend(of_ready(cellar, policy));
    all.extend(later);
    let mut doses = of_reasons(cellar, reasons);
    for dose in &doses {
        take_from_bottling(&mut all, dose, cellar);
    }
    doses.extend(all);
    doses.retain(|it| it.amount.is_none_or(|it| it.amount() > 0));
    doses
}

/// The doses that reasons ask for.
fn of_reasons(cellar: &Snapshot, reasons: &[Reason]) -> Vec<Need> {
    let low = reasons
        .iter()
        .filter(|it| it.kind == ReasonKind::SulfiteLow);
    let doses = low.filter_map(|it| {
        let dose = Sulfite::of(cellar.thing(it.subject)?, cellar);
        dose.is_wanted().then(|| Need {
            substance: powder(cellar),
            amount: Some(Dose::Mass(Mass::grams(dose.grams()))),
            work: Work::Dose,
            subject: it.subject,
            due: cellar.now,
            buy_by: cellar.now,
            is_planned: false,
        })
    });
    doses.collect()
}

/// What a wine is given now is not given once more as it is bottled.
fn take_from_bottling(needs: &mut [Need], dose: &Need, cellar: &Snapshot) {
    let batch = cellar.wine(dose.subject).and_then(Wine::main_batch);
    let is_its = |it: &&mut Need| {
        it.substance == dose.substance && (it.subject == dose.subject || Some(it.subject) == batch)
    };
    let bottling = needs.iter_mut().find(is_its);
    let amounts = bottling.and_then(|it| Some((it.amount.as_mut()?, dose.amount?)));
    if let Some((takes, given)) = amounts {
        let rest = takes.amount() - given.amount();
        *takes = takes.with(rest.max(0));
    }
}

/// Sulfite for one more dose of all wine in vessels, where attention says that it is short.
pub fn of_doses(cellar: &Snapshot, policy: &Policy, reasons: &[Reason]) -> Vec<Need> {
    let short = reasons
        .iter()
        .filter(|it| it.kind == ReasonKind::SupplyShort);
    let lots = short.filter_map(|it| cellar.thing(it.subject));
    let needs = lots.filter(|it| it.sort == Sort::Supply).map(|lot| {
        let grams = super::litres_in_vessels(cellar) * policy.next_dose_g_l;
        Need {
            substance: lot.text(field::SUBSTANCE).to_owned(),
            amount: Some(Dose::Mass(Mass::grams(grams))),
            work: Work::NextDose,
            subject: lot.key,
            due: cellar.now,
            buy_by: cellar.now,
            is_planned: false,
        }
    });
    needs.collect()
}

/// What wines take that may be bottled now and that no job is to bottle, as if each were bottled by itself. What is bottled at
/// the moment is not asked after.
pub fn of_ready(cellar: &Snapshot, policy: &Policy) -> Vec<Need> {
    let planned: BTreeSet<Key> = cellar
        .jobs
        .iter()
        .filter(|it| plan::is_bottling(it))
        .flat_map(|it| plan::vessels(it, cellar))
        .collect();
    let run = cellar.filling.and_then(|it| cellar.thing(it));
    let emptying = run.and_then(|it| it.int(field::VESSEL)).map(Key);
    let is_free = |it: &Key| !planned.contains(it) && emptying != Some(*it);
    let vessels = cellar.open(Sort::Vessel).map(|it| it.key);
    let free: Vec<Key> = vessels.filter(is_free).collect();
    let are_ready = of_each(&free, |it| {
        let holding = Holding::of(cellar, it, policy);
        holding.is_some_and(|it| it.stage() == Stage::Ready)
    });
    let ready = free.iter().zip(are_ready).filter(|it| it.1);
    let needs = ready.flat_map(|(it, _)| for_bottling(&[*it], *it, cellar.now, cellar));
    let needs = needs.map(|it| Need {
        is_planned: false,
        ..it
    });
    needs.collect()
}

/// Whether what is bought by that day is to be bought within the horizon, and not later.
pub(super) fn is_soon(buy_by: Moment, cellar: &Snapshot, policy: &Policy) -> bool {
    buy_by.days_since(cellar.now) as f64 <= policy.horizon_days
}

/// What open jobs take that is to be bought within the horizon, the soonest first.
pub fn of_jobs(cellar: &Snapshot, policy: &Policy) -> Vec<Need> {
    let mut all = Vec::new();
    for open in &cellar.jobs {
        if plan::progress(open, cellar) == Progress::Done {
            continue;
        }
        let Some((due, _)) = plan::falls_due(open, cellar) else {
            continue;
        };
        // Nobody could buy for it before it was planned.
        let planned = cellar.now.at(open.since_ms).min(due);
        let buy_by = due.plus_days(-(policy.buy_days as i64)).max(planned);
        if !is_soon(buy_by, cellar, policy) {
            continue;
        }
        let first = all.len();
        if plan::is_bottling(open) {
            let vessels = plan::vessels(open, cellar);
            all.extend(for_bottling(&vessels, open.job.subject, due, cellar));
        } else {
            all.extend(for_step(open, due, cellar));
        }
        for need in &mut all[first..] {
            need.buy_by = buy_by;
        }
    }
    all.sort_by_key(|it| (it.due, it.subject));
    all
}

/// The powder that this cellar doses with.
fn powder(cellar: &Snapshot) -> String {
    let lot = crate::cellar::dosing::lot(cellar);
    lot.map_or("potassium-metabisulfite", |it| it.text(field::SUBSTANCE))
        .to_owned()
}

/// How this cellar bottles: with the closure of its usual bottling, else with one that is there, else with the usual one.
fn usual(cellar: &Snapshot) -> Wish {
    let of_bottles = |it: &Closure| Closure::OF_BOTTLES.contains(it);
    let usual = usual_run(Some(Package::Bottle), cellar).and_then(Closure::of);
    let there = || {
        let mut lots = cellar.open(Sort::Supply);
        let closure = |lot: &Thing| Closure::from_word(lot.text(field::SUBSTANCE));
        lots.find_map(|it| closure(it).filter(of_bottles))
    };
    Wish {
        closure: usual.filter(of_bottles).or_else(there),
        ..Wish::default()
    }
}

/// Bottles, closures, sulfite and citric acid for all vessels of a wine together.
fn for_bottling(vessels: &[Key], subject: Key, due: Moment, cellar: &Snapshot) -> Vec<Need> {
    let wish = usual(cellar);
    let plans: Vec<Plan> = vessels
        .iter()
        .filter_map(|it| Plan::of(cellar.thing(*it)?, &wish, cellar))
        .collect();
    let Some(first) = plans.first() else {
        return Vec::new();
    };
    let sum = |of: fn(&Plan) -> f64| plans.iter().map(of).sum::<f64>();
    let powder_g = sum(|it| it.sulfite.grams());
    // What was made for a bottling under way is in the book.
    let to_make = plans
        .iter()
        .filter(|it| !is_sanitised(it.vessel.key, cellar));
    let made: Vec<_> = to_make.map(|it| it.sanitizer).collect();
    let powder_g = powder_g + made.iter().map(|it| it.metabisulfite_g).sum::<f64>();
    // Where too few empties are counted, the rest of the wine wants bottles too.
    let bottles = plans.iter().map(|it| {
        let lacking = it.lacking.map_or(0, |it| it.0);
        it.bottles() + lacking
    });
    let bottles: i64 = bottles.sum();
    let closures = plans.iter().map(|it| it.closures).sum();
    let grams = |it: f64| Dose::Mass(Mass::grams(it));
    // A gasket is renewed once it is worn, and not with each filling.
    let closes = Some(first.closure)
        .filter(|it| it.is_used_up())
        .and_then(Closure::supply)
        .map(|it| (it.to_owned(), Dose::Count(closures)));
    let citric_g = made.iter().map(|it| it.citric_g).sum();
    let wanted = closes.into_iter().chain([
        (first.package.word().to_owned(), Dose::Count(bottles)),
        (powder(cellar), grams(powder_g)),
        ("citric-acid".to_owned(), grams(citric_g)),
    ]);
    let need = |(substance, amount): (String, Dose)| Need {
        substance,
        amount: Some(amount),
        work: Work::Bottling,
        subject,
        due,
        buy_by: due,
        is_planned: true,
    };
    wanted.map(need).collect()
}

/// Whether that vessel is being bottled, and what it takes was sanitised.
fn is_sanitised(vessel: Key, cellar: &Snapshot) -> bool {
    let run = cellar.filling.and_then(|it| cellar.thing(it));
    run.is_some_and(|it| it.int(field::VESSEL) == Some(vessel.0) && Chore::of(it) > Chore::Sanitise)
}

/// Substances that a step names. A kit brings its own.
fn for_step(open: &OpenJob, due: Moment, cellar: &Snapshot) -> Vec<Need> {
    let subject = cellar.thing(open.job.subject);
    let is_kit = |it: Key| {
        let batch = cellar.wine(it).and_then(Wine::main_batch);
        let batch = batch.and_then(|it| cellar.thing(it));
        batch.is_some_and(|it| it.text(field::KIND) == "kit")
    };
    if subject.is_some_and(|it| it.sort == Sort::Batch && it.text(field::KIND) == "kit")
        || is_kit(open.job.subject)
    {
        return Vec::new();
    }
    // What is taken out again is not used up.
    if open.job.verb == "oak out" {
        return Vec::new();
    }
    let mut all = named(&open.job.title, cellar);
    // Bottles are mostly named in passing, as `move the bottles`: they are taken where it is said how many.
    let title = open.job.title.to_lowercase();
    let mut words = title.split(|it: char| !it.is_alphanumeric());
    all.retain(|it| {
        it.amount.is_some()
            || !is_counted(it.substance)
            || words.clone().any(|word| word == it.substance)
    });
    // Food for yeast is not yeast.
    let feeds = all.iter().any(|it| it.substance == "yeast-nutrient");
    all.retain(|it| !(feeds && it.substance == "yeast" && it.amount.is_none()));
    // A wine is stabilised with sorbate and sulfite together.
    if words.any(|it| it.starts_with("stabili")) {
        for substance in ["potassium-metabisulfite", "potassium-sorbate"] {
            if !all.iter().any(|it| it.substance == substance) {
                all.push(Named {
                    substance,
                    amount: None,
                });
            }
        }
    }
    let needs = all.into_iter().map(|it| Need {
        // One powder that brings sulfite stands in for the other.
        substance: if is_powder(it.substance) {
            powder(cellar)
        } else {
            it.substance.to_owned()
        },
        amount: it.amount,
        work: Work::Job(open.job.title.clone()),
        subject: open.job.subject,
        due,
        buy_by: due,
        is_planned: true,
    });
    needs.collect()
}

/// Whether it is counted by the piece.
fn is_counted(substance: &str) -> bool {
    substance::known(substance).is_some_and(|it| it.unit == "count")
}
