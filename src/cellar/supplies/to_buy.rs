//! What to buy: what the work ahead takes, and is not in the book.

use std::collections::BTreeMap;

use super::needs::{self, Need};
use crate::cellar::ahead;
use crate::cellar::attention::{Policy, Reason, words};
use crate::cellar::bottling::{Closure, Package, lots};
use crate::cellar::entry::Dose;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;

/// Something to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct ToBuy {
    /// What takes it, and when.
    pub need: Need,
    /// How much of it is lacking; `None` where nobody can say.
    pub amount: Option<Dose>,
    /// How much the book has of it; `None` where it has none, or nobody knows how much.
    pub there: Option<Dose>,
    /// What of that is left for this, once what comes before has taken its part.
    pub left: Option<Dose>,
    /// What lacks it too and takes first of all that is bought, with how much.
    before: Vec<(Need, Dose)>,
}

impl ToBuy {
    /// In words: `corks`.
    pub fn what(&self) -> String {
        many(&self.need.substance)
    }

    /// How much the book has of it: `12 there`, `13 of 45 left` where what comes before takes some, `none in the book`.
    pub fn there_words(&self) -> String {
        match (self.left, self.there) {
            (Some(left), Some(there)) if left != there => {
                format!("{} of {} left", telling::dose(left), telling::dose(there))
            }
            (Some(left), _) => format!("{} there", telling::dose(left)),
            (None, _) => "none in the book".to_owned(),
        }
    }

    /// All of it: `22 corks, 7 there: for the bottling of Riesling 26 due on 3 Dec 2026.`
    pub fn sentence(&self, cellar: &Snapshot) -> String {
        let what = format!("{} {}", self.how_much(), self.what());
        let for_what = self.need.for_what(cellar);
        format!("{}, {}: for {for_what}.", what.trim(), self.there_words())
    }

    /// What is bought until this has enough, since others take theirs first:
    /// `55 empty bottles, none in the book: 25 for the bottling of Carboy B, after 30 for the bottling of Kit red 26.`
    pub fn until_it_has_enough(&self, cellar: &Snapshot) -> String {
        let Some(own) = self.amount.filter(|_| !self.before.is_empty()) else {
            return self.sentence(cellar);
        };
        let in_all = self.before.iter().fold(own, |sum, it| sum.plus(it.1));
        let before = self.before.iter();
        let before = before
            .map(|(it, lacks)| format!("{} for {}", telling::dose(*lacks), it.for_what(cellar)));
        format!(
            "{} {}, {}: {} for {}, after {}.",
            telling::dose(in_all),
            self.what(),
            self.there_words(),
            self.how_much(),
            self.need.for_what(cellar),
            before.collect::<Vec<_>>().join(" and ")
        )
    }

    /// How much, with its unit; empty where nobody can say.
    pub fn how_much(&self) -> String {
        self.amount.map_or_else(String::new, telling::dose)
    }

    /// Whether it is to be bought within the horizon, and not later.
    pub fn is_soon(&self, cellar: &Snapshot, policy: &Policy) -> bool {
        needs::is_soon(self.need.buy_by, cellar, policy)
    }

    /// By when: `by 23 Dec 2026`; empty where it may be bought at once or no day stands for it.
    pub fn by_words(&self, cellar: &Snapshot) -> String {
        match self.need.buy_by.days_since(cellar.now) {
            ..=0 if self.need.is_planned => "now".to_owned(),
            ..=0 => String::new(),
            _ => format!("by {}", self.need.buy_by.day_words()),
        }
    }
}

/// What open jobs take that is to be bought within the horizon, and wines ready to be bottled, and the book has too little
/// of: jobs first, as they fall due, since a day stands for them.
pub fn before_work(cellar: &Snapshot, policy: &Policy) -> Vec<ToBuy> {
    let mut needs = needs::of_jobs(cellar, policy);
    needs.extend(needs::of_ready(cellar, policy));
    lacking(&needs, is_missed, cellar)
}

/// How far ahead is bought soon, in words: `2 weeks`, `10 days`.
pub fn soon_words(policy: &Policy) -> String {
    let days = policy.horizon_days as i64;
    if days >= 14 && days % 7 == 0 {
        return words::count(days / 7, "week");
    }
    words::count(days, "day")
}

/// How far ahead is looked at all, in words: `6 months`.
pub fn far_words() -> String {
    words::span(ahead::HORIZON_DAYS as i64)
}

/// What all the work ahead takes, as far as the calendar looks, and the book has too little of, the soonest first.
pub fn to_buy(cellar: &Snapshot, policy: &Policy, reasons: &[Reason]) -> Vec<ToBuy> {
    let any = |_: &Need| true;
    let mut all = lacking(&needs::all(cellar, policy, reasons), any, cellar);
    for need in needs::of_doses(cellar, policy, reasons) {
        // The doses that are due are part of the next dose of everything.
        if !all.iter().any(|it| it.need.substance == need.substance) {
            all.append(&mut lacking(&[need], any, cellar));
        }
    }
    all.sort_by_key(|it| (it.need.due, it.need.subject));
    all
}

/// What is lacking for each need when those before it have taken theirs; of what the book never had any, only what is missed.
fn lacking(needs: &[Need], is_missed: impl Fn(&Need) -> bool, cellar: &Snapshot) -> Vec<ToBuy> {
    // Of each what there is in all, and what is left of that.
    let mut left: BTreeMap<&str, [Option<Dose>; 2]> = BTreeMap::new();
    // What lacks, whether it is missed or not: it takes its part of what is bought.
    let mut lacked: BTreeMap<&str, Vec<(Need, Dose)>> = BTreeMap::new();
    let mut all = Vec::new();
    for need in needs {
        let [in_all, rest] = left
            .entry(&need.substance)
            .or_insert_with(|| [there(&need.substance, cellar); 2]);
        let lacks = match (*rest, need.amount) {
            // Some is there, and nobody knows how much.
            (None, _) if lots(&need.substance, cellar).next().is_some() => None,
            (None, None) => Some(None),
            (Some(has), Some(wants)) if has.unit() == wants.unit() => {
                let now = has.plus(wants.times(-1));
                *rest = Some(now);
                let short = wants.amount().min(-now.amount());
                (short > 0).then(|| Some(wants.with(short)))
            }
            // Something is there, and how much it takes nobody can say.
            (Some(_), _) => None,
            (None, Some(wants)) => Some(Some(wants)),
        };
        let Some(amount) = lacks else {
            continue;
        };
        let lacked = lacked.entry(&need.substance).or_default();
        let is_alike = |it: &&(Need, Dose)| amount.is_some_and(|own| own.unit() == it.1.unit());
        let before = lacked.iter().filter(is_alike).cloned().collect();
        lacked.extend(amount.map(|it| (need.clone(), it)));
        if rest.is_none() && amount.is_some() && !is_missed(need) {
            continue;
        }
        // Below nought there is nothing left to take.
        let left = rest.zip(need.amount).map(|(now, wants)| {
            let has = now.plus(wants);
            has.with(has.amount().max(0))
        });
        all.push(ToBuy {
            need: need.clone(),
            amount,
            there: *in_all,
            left,
            before,
        });
    }
    all
}

/// What the book has of it in all; `None` where it has none, or nobody knows how much.
fn there(substance: &str, cellar: &Snapshot) -> Option<Dose> {
    let counted = lots(substance, cellar).map(|it| cellar.stock(it.key)?.left);
    super::together(counted)
}

/// Whether its lack presses where the book never had any: a step names it, or nobody bottles without it, as without closures
/// and bottles; a powder may stand in the cupboard unwritten.
fn is_missed(need: &Need) -> bool {
    let substance = &need.substance;
    need.work.job().is_some()
        || Package::from_word(substance).is_some()
        || Closure::from_word(substance).is_some()
}

/// `corks`, `empty bottles`; of what is weighed its name.
pub fn many(substance: &str) -> String {
    match (Package::from_word(substance), Closure::from_word(substance)) {
        (Some(package), _) => format!("empty {}s", package.label()),
        (None, Some(closure)) => format!("{}s", closure.label()),
        (None, None) => telling::substance(substance),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::attention::ReasonKind;
    use crate::cellar::attention::trial::{BATCH, CARBOY, Cellar, days_ago, policy};
    use crate::cellar::entry::{Due, Job};
    use crate::cellar::snapshot::OpenJob;
    use crate::cellar::thing::{Key, Sort, Value, field};

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
        let found: Vec<String> = before_work(&cellar.0, &policy())
            .iter()
            .map(|it| it.sentence(&cellar.0))
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
                &format!("32 corks, none in the book: for {run}."),
                &format!("30 empty bottles, none in the book: for {run}."),
            ],
        );
        let mut cellar = Cellar::with_vessel(23.0, 22.5);
        cellar.finished();
        assert_eq!(cellar.says_why(ReasonKind::SupplyShort), "");
        // As the last run was: 22.5 L are 60 half bottles, and 63 corks.
        check(
            "bottle it",
            |it| {
                it.thing(Key(900), Sort::Run, "Half bottles");
                it.set(Key(900), field::CLOSURE, "cork");
                it.set(Key(900), field::SIZE, Value::Int(375));
                it.set(Key(900), field::VESSEL, Value::Int(CARBOY.0));
                it.set(Key(900), field::FINISHED, Value::Int(days_ago(300)));
            },
            &[
                &format!("63 corks, none in the book: for {run}."),
                &format!("60 empty bottles, none in the book: for {run}."),
            ],
        );
    }

    /// A week for the post is counted back to the day on which it was planned, and no further.
    #[test]
    fn nothing_was_to_be_bought_before_it_was_planned() {
        let bought_by = |due_in: i64, planned_ago: i64| {
            let mut cellar = Cellar::with_vessel(23.0, 22.5);
            cellar.0.jobs.push(OpenJob {
                job: Job {
                    key: Key(7),
                    subject: BATCH,
                    title: "yeast".to_owned(),
                    due: Due::On(days_ago(-due_in)),
                    verb: "pitch".to_owned(),
                },
                since_ms: days_ago(planned_ago),
            });
            let wanted = before_work(&cellar.0, &policy());
            wanted[0].need.buy_by.utc_ms
        };
        assert_eq!(bought_by(1, 2), days_ago(2));
        assert_eq!(bought_by(1, 6), days_ago(6));
        assert_eq!(bought_by(1, 30), days_ago(6));
        // Day one of a plan may be past when it is started.
        assert_eq!(bought_by(-3, 0), days_ago(3));
    }

    #[test]
    fn a_step_takes_what_it_names_but_not_of_a_kit() {
        check(
            "fining with bentonite",
            |_| (),
            &[
                "bentonite, none in the book: for `fining with bentonite` of Riesling 26 due on 3 Dec 2026.",
            ],
        );
        let kit = |it: &mut Cellar| _ = it.set(BATCH, field::KIND, "kit");
        check("fining with bentonite", kit, &[]);
        // Sulfite may stand in the cupboard unwritten; so may sorbate, but a step that takes it says so.
        let stabilise = " of Riesling 26 due on 3 Dec 2026";
        let lacks = |what: &str| {
            format!("{what}, none in the book: for `stabilise and sweeten`{stabilise}.")
        };
        let both = [lacks("potassium metabisulfite"), lacks("potassium sorbate")];
        check(
            "stabilise and sweeten",
            |_| (),
            &both.each_ref().map(String::as_str),
        );
        check("rack", |_| (), &[]);
    }

    #[test]
    fn a_step_that_says_how_much_takes_so_much() {
        let of = "of Riesling 26 due on 3 Dec 2026";
        check(
            "sorbate 5 g, sulfite 2 g",
            |_| (),
            &[
                &format!(
                    "5 g potassium sorbate, none in the book: for `sorbate 5 g, sulfite 2 g` {of}."
                ),
                &format!(
                    "2 g potassium metabisulfite, none in the book: for `sorbate 5 g, sulfite 2 g` {of}."
                ),
            ],
        );
        // Of what there is too little the rest is to be bought.
        check(
            "sulfite 2 g",
            |it| _ = it.powder(0.5),
            &[&format!(
                "1.5 g potassium metabisulfite, 0.5 g there: for `sulfite 2 g` {of}."
            )],
        );
        check("sulfite 2 g", |it| _ = it.powder(2.0), &[]);
    }
}
