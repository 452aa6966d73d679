//! What to buy: what the bottlings and steps of the next weeks take, and is not in the book.

use super::attention::Policy;
use super::bottling::{Plan, Wish, lots};
use super::moment::Moment;
use super::plan;
use super::snapshot::{OpenJob, Snapshot};
use super::substance;
use super::thing::{Key, Sort, field};

/// Something to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct ToBuy {
    /// What, as the book calls it.
    pub substance: &'static str,
    /// In words: `corks`.
    pub what: String,
    /// How much, with its unit; empty where nobody can say.
    pub how_much: String,
    /// How much the book has of it: `12 there`, `none in the book`.
    pub there: String,
    /// For what: `the bottling of Riesling 26 due on 3 Dec 2026`.
    pub for_what: String,
    /// For which vessel or batch.
    pub subject: Key,
    /// When it is wanted.
    pub due: Moment,
}

/// Everything that open jobs of the next weeks take and the book has too little of, the soonest first.
pub fn to_buy(cellar: &Snapshot, policy: &Policy) -> Vec<ToBuy> {
    let mut all = Vec::new();
    for open in &cellar.jobs {
        let Some((due, _)) = plan::falls_due(open, cellar) else {
            continue;
        };
        if due.days_since(cellar.now) as f64 > policy.horizon_days {
            continue;
        }
        if plan::is_bottling(open) {
            all.extend(for_bottling(open, due, cellar));
        } else {
            all.extend(for_step(open, due, cellar));
        }
    }
    all.sort_by_key(|it| (it.due, it.subject));
    all
}

/// Corks and bottles for all vessels of a wine together.
fn for_bottling(open: &OpenJob, due: Moment, cellar: &Snapshot) -> Vec<ToBuy> {
    let wish = Wish {
        sizes: vec![(750, None)],
        ..Wish::default()
    };
    let vessels = plan::vessels(open, cellar).into_iter();
    let plans: Vec<Plan> = vessels
        .filter_map(|it| Plan::of(cellar.thing(it)?, &wish, cellar))
        .collect();
    let (Some(first), closures) = (
        plans.first(),
        plans.iter().map(|it| it.closures).sum::<i64>(),
    ) else {
        return Vec::new();
    };
    let bottles: i64 = plans.iter().map(Plan::bottles).sum();
    let empties = first
        .fills
        .iter()
        .filter_map(super::bottling::Fill::on_hand)
        .reduce(|a, b| a + b);
    let for_what = format!(
        "the bottling of {} due on {}",
        cellar.name(open.job.subject),
        due.day_words()
    );
    let wanted = [
        ("cork", "corks", closures, first.closures_there),
        ("bottle", "empty bottles", bottles, empties),
    ];
    let short = wanted.into_iter().filter(|it| it.2 > it.3.unwrap_or(0));
    short
        .map(|(substance, what, wanted, there)| ToBuy {
            substance,
            what: what.to_owned(),
            how_much: (wanted - there.unwrap_or(0)).to_string(),
            there: there.map_or("none in the book".to_owned(), |it| format!("{it} there")),
            for_what: for_what.clone(),
            subject: open.job.subject,
            due,
        })
        .collect()
}

/// Substances that a step names and no open lot holds. A kit brings its own.
fn for_step(open: &OpenJob, due: Moment, cellar: &Snapshot) -> Vec<ToBuy> {
    let subject = cellar.thing(open.job.subject);
    let is_kit = |it: Key| {
        let batch = cellar.wine(it).and_then(super::state::Wine::main_batch);
        let batch = batch.and_then(|it| cellar.thing(it));
        batch.is_some_and(|it| it.text(field::KIND) == "kit")
    };
    if subject.is_some_and(|it| it.sort == Sort::Batch && it.text(field::KIND) == "kit")
        || is_kit(open.job.subject)
    {
        return Vec::new();
    }
    let title = open.job.title.to_lowercase();
    let mut words = title.split(|it: char| !it.is_alphanumeric());
    let names: Vec<&str> = words.by_ref().filter(|it| !it.is_empty()).collect();
    let asked = substance::SUBSTANCES.iter().filter(|it| {
        // `sorbate` is potassium sorbate, `yeast nutrient` its two words.
        let mut parts = it.name.split('-');
        let own = it.name.strip_prefix("potassium-").unwrap_or(it.name);
        names.contains(&own) || parts.all(|part| names.contains(&part))
    });
    // Food for yeast is not yeast.
    let feeds = names.contains(&"nutrient");
    asked
        .filter(|it| !(feeds && it.name == "yeast"))
        .filter(|it| lots(it.name, cellar).next().is_none())
        .map(|it| ToBuy {
            substance: it.name,
            what: it.name.replace('-', " "),
            how_much: String::new(),
            there: "none in the book".to_owned(),
            for_what: format!(
                "`{}` of {} due on {}",
                open.job.title,
                cellar.name(open.job.subject),
                due.day_words()
            ),
            subject: open.job.subject,
            due,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::attention::ReasonKind;
    use crate::cellar::attention::trial::{BATCH, Cellar, days_ago, policy};
    use crate::cellar::entry::{Due, Job};

    fn check(title: &str, build: impl Fn(&mut Cellar), expected: &[&str]) {
        let mut cellar = Cellar::with_vessel(23.0, 22.5);
        cellar.finished();
        build(&mut cellar);
        cellar.0.jobs.push(OpenJob {
            job: Job {
                key: Key(7),
                subject: BATCH,
                title: title.to_owned(),
                due: Due::On(days_ago(-8)),
                verb: String::new(),
            },
            since_ms: days_ago(10),
        });
        let found: Vec<String> = to_buy(&cellar.0, &policy())
            .iter()
            .map(|it| {
                format!(
                    "{} {} ({}) for {}",
                    it.how_much, it.what, it.there, it.for_what
                )
            })
            .collect();
        assert_eq!(found, expected);
    }

    // 22.5 L are 30 bottles; 30 corks and a twentieth more, at least two.
    #[test]
    fn a_bottling_takes_corks_and_bottles() {
        let run = "the bottling of Riesling 26 due on 3 Dec 2026";
        check(
            "bottle it",
            |_| (),
            &[
                &format!("32 corks (none in the book) for {run}"),
                &format!("30 empty bottles (none in the book) for {run}"),
            ],
        );
        let mut cellar = Cellar::with_vessel(23.0, 22.5);
        cellar.finished();
        assert_eq!(cellar.says_why(ReasonKind::SupplyShort), "");
    }

    #[test]
    fn a_step_takes_what_it_names_but_not_of_a_kit() {
        check(
            "fining with bentonite",
            |_| (),
            &[
                " bentonite (none in the book) for `fining with bentonite` of Riesling 26 due on 3 Dec 2026",
            ],
        );
        let kit = |it: &mut Cellar| _ = it.set(BATCH, field::KIND, "kit");
        check("fining with bentonite", kit, &[]);
        check("rack", |_| (), &[]);
    }
}
