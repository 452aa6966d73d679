//! How a bottling is finished: what is left in the vessel, how long the bottles rest.

use super::{RUN, not_finished};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Package, off_empties, planned_lees};
use crate::cellar::entry::{Amount, Draft, Kind};
use crate::cellar::state::Wine;
use crate::cellar::thing::{Account, Key, Sort, Value, field};
use crate::cellar::verbs::empties::use_up;
use crate::cellar::verbs::rack::{LOSS_WITHOUT_QUESTION, all_fits, is_a_blend, over_mark};
use crate::cellar::verbs::read::{self, count, thing, thing_if_given, word};
use crate::cellar::verbs::{Form, Group, Prepared, Refusal, Takes, Verb, flag};
use crate::cellar::window::{bottled, rest_days};

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

/// What to do about wine that stays in the vessel it was bottled from.
fn stays(rest: Volume, bottle: Volume, vessel: &str) -> Option<String> {
    let what = if rest < bottle {
        "drink it, or top up another vessel with it"
    } else {
        "rack it into a vessel that it fills"
    };
    (rest > Volume::ZERO).then(|| {
        format!(
            "{rest} stays in {vessel} under much air: {what}; `--left {NEVER_THERE}` if the vessel is empty."
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

/// What is typed of wine that the book still has and the empty vessel does not: it was counted too high before.
const NEVER_THERE: &str = "never-there";

const LEFT: &[&str] = &[
    "stays",
    "lees",
    "drunk",
    "samples",
    "spills",
    "discarded",
    NEVER_THERE,
];

/// The account that such a word names.
fn account_of(word: &str) -> Option<Account> {
    match word {
        "stays" => None,
        NEVER_THERE => Some(Account::Difference),
        word => Account::from_word(word),
    }
}

/// The word for what went there, as it is typed.
pub(in crate::cellar::verbs) fn left_word(account: Account) -> &'static str {
    match account {
        Account::Difference => NEVER_THERE,
        account => account.word(),
    }
}

pub(in crate::cellar::verbs) static FINISH: Verb = Verb {
    name: "bottle finish",
    sentence: "Finish a bottling: what is left in the vessel, and how long the bottles rest.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "left",
            "What is left",
            "What became of the wine left over by the book; it stays if left out. `never-there` where the vessel is empty.",
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
            "What of it is lees, which stay behind; as much as was said when it began if left out.",
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
        // A bottle rests from when it was filled, however much later the rest is written up.
        let until = bottled(run.key, cellar).unwrap_or(cellar.now);
        let until = Value::Int(until.plus_days(rest).utc_ms);
        draft.set(run.key, field::REST_UNTIL, until);
        let of_empties = word(form, "empties", &["yes", "no"])? != Some("no");
        let mut part = None;
        if let Some(wine) = cellar.wine(run.key) {
            use_up(&mut draft, run, wine, of_empties, cellar);
            part = off_empties(run, wine, cellar).filter(|_| of_empties);
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
            let planned = planned_lees(run).map(|it| it.min(left));
            let lees = read::size(form, "leaving", cellar)?.or(planned);
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
                    .and_then(account_of)
                    .map(Account::key),
            };
            if let Some(to) = to {
                // What all goes on the lees is one amount.
                if to != Account::Lees.key() {
                    draft.pour(vessel, to, Amount::RestLeaving(lees.unwrap_or_default()));
                }
                let whither = match Account::from_key(to) {
                    None => format!("into {}", cellar.name(to)),
                    Some(Account::Difference) => "was never there".to_owned(),
                    Some(account) => account.word().to_owned(),
                };
                sentence = format!("{sentence}, {rest} {whither}");
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
                let own_ml = run.int(field::SIZE).unwrap_or_default();
                asks.extend(stays(
                    rest,
                    Volume::millilitres(own_ml),
                    cellar.name(vessel),
                ));
                let of_lees = lees.filter(|it| *it > Volume::ZERO);
                let of_lees = of_lees.map(|it| format!(", {it} is lees"));
                let of_lees = of_lees.unwrap_or_default();
                sentence = format!(
                    "{sentence}, {rest} stays in {}{of_lees}",
                    cellar.name(vessel)
                );
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
