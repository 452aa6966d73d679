//! `due`: everything that needs someone, the most pressing first, with the command that deals with it.

use clap::{Arg, ArgAction, ArgMatches, Command};
use serde_json::json;

use crate::cellar::ahead;
use crate::cellar::attention::{Look, Policy, Reason, words};
use crate::cellar::moment;
use crate::cellar::snapshot::{PutOff, Snapshot};
use crate::cellar::years::{self, Life, Stretch};
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said};

pub(super) static DUE: Own = Own {
    name: "due",
    sentence: "List what needs you, the most pressing first.",
    heading: LISTS,
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command
        .arg(
            Arg::new("within")
                .long("within")
                .value_name("DAYS")
                .help("What falls due within so many days, however few or many: `7d`, or `60`."),
        )
        .arg(
            Arg::new("why")
                .long("why")
                .action(ArgAction::SetTrue)
                .help("Also say how each came about, and the command that deals with it."),
        )
        .arg(
            Arg::new("put-off")
                .long("put-off")
                .action(ArgAction::SetTrue)
                .help("Instead what was put off or dismissed, until when and why, and how to take it back."),
        )
        .arg(
            Arg::new("years")
                .long("years")
                .action(ArgAction::SetTrue)
                .help("Instead the years of every wine, from must to drunk up; what is to come is an estimate."),
        )
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let within = matches
        .get_one::<String>("within")
        .map(|it| days(it))
        .transpose()?;
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let policy = Policy::of(cellar);
    if matches.get_flag("years") {
        return Ok(years(session, cellar, &years::lives(cellar, &policy)));
    }
    if matches.get_flag("put-off") {
        return Ok(put_off(session, cellar, &ahead::held_back(cellar, &policy)));
    }
    let look = Look::at(cellar, &policy);
    let mut reasons = opened.reasons();
    let later = within.map(|days| ahead::later(cellar, &policy, &reasons, days as f64));
    let later = later.unwrap_or_default();
    let far = ahead::seeing(&policy, within.unwrap_or_default() as f64);
    let far = Look::at(cellar, &far);
    if let Some(days) = within {
        reasons.retain(|it| it.due.days_since(cellar.now) <= days);
    }
    if session.json {
        let now = reasons.iter().map(|it| json::reason(it, &look));
        let then = later.iter().map(|it| json::reason_by(it, &far, &policy));
        let all: Vec<_> = now.chain(then).collect();
        let mut object = json::heading(cellar);
        object.put("reasons", all);
        return Ok(Said::json(&object.value()));
    }
    let mut page = Page::default();
    if reasons.is_empty() && later.is_empty() {
        page.line("Nothing needs you.");
    } else if matches.get_flag("why") {
        for reason in &reasons {
            page.rows(&rows(cellar, [reason]));
            page.add(&explained(reason, &look.working(reason)));
        }
        for reason in &later {
            page.rows(&rows(cellar, [reason]));
            page.add(&explained(reason, &far.working(reason)));
        }
    } else {
        page.rows(&rows(cellar, reasons.iter().chain(&later)));
    }
    Ok(page.into())
}

/// What was put off or dismissed and still holds, a row each, with the command that takes it back.
fn put_off(session: &Session, cellar: &Snapshot, held: &[&PutOff]) -> Said {
    let take_back = |it: &PutOff| {
        [
            "leesline".to_owned(),
            "void".to_owned(),
            it.entry.0.to_string(),
        ]
    };
    if session.json {
        let one = |it: &&PutOff| {
            let until = it.silence.until_ms.map(|until| cellar.now.at(until));
            json!({
                "subject": json::reference(it.silence.subject, cellar),
                "reason": it.silence.reason,
                "until": until.map(|it| it.to_string()),
                "said": it.said.to_string(),
                "why": it.why,
                "command": take_back(it),
            })
        };
        let mut object = json::heading(cellar);
        object.put("put_off", held.iter().map(one).collect::<Vec<_>>());
        return Said::json(&object.value());
    }
    let mut page = Page::default();
    if held.is_empty() {
        page.line("Nothing is put off or dismissed.");
    }
    let row = |it: &&PutOff| {
        vec![
            format!("  {}", cellar.name(it.silence.subject)),
            it.what().to_owned(),
            it.until(cellar.now),
            format!("{}  ", it.why),
            format!("`{}` takes it back", take_back(it).join(" ")),
        ]
    };
    page.rows(&held.iter().map(row).collect::<Vec<_>>());
    page.into()
}

/// A row a wine: what is left of it, and when it does what.
fn years(session: &Session, cellar: &Snapshot, lives: &[Life]) -> Said {
    if session.json {
        let stretch = |it: &Stretch| {
            json!({
                "phase": it.phase.word(),
                "from": it.from.to_string(),
                "to": it.to.to_string(),
            })
        };
        let life = |it: &Life| {
            json!({
                "place": json::reference(it.place, cellar),
                "name": it.name,
                "left": it.left,
                "stretches": it.stretches.iter().map(stretch).collect::<Vec<_>>(),
                "is_older": it.is_older,
                "missed": it.missed.map(|it| it.to_string()),
                "sentence": it.sentence(),
            })
        };
        let mut object = json::heading(cellar);
        object.put("years", lives.iter().map(life).collect::<Vec<_>>());
        return Said::json(&object.value());
    }
    let mut page = Page::default();
    if lives.is_empty() {
        page.line("No wine has a year to show yet.");
    }
    let row = |it: &Life| vec![it.name.clone(), it.left.clone(), it.sentence()];
    page.rows(&lives.iter().map(row).collect::<Vec<_>>());
    page.into()
}

/// `7d`, `7` or `3 weeks`.
pub(super) fn days(text: &str) -> Result<i64, Failure> {
    let bare = text.trim().parse::<i64>().ok();
    match bare.or_else(|| moment::days_in(text)) {
        Some(days @ 0..=36_500) => Ok(days),
        _ => Err(Failure::input(format!(
            "`{text}` is no number of days; write 7d, 3 weeks, or 7."
        ))),
    }
}

/// One row a reason: how pressing, what, why, when.
pub(super) fn rows<'a>(
    cellar: &Snapshot,
    reasons: impl IntoIterator<Item = &'a Reason>,
) -> Vec<Vec<String>> {
    let row = |reason: &Reason| {
        vec![
            format!("  {}", words::rank(reason.rank)),
            cellar.name(reason.subject).to_owned(),
            reason.when(cellar.now),
            reason.sentence.clone(),
        ]
    };
    reasons.into_iter().map(row).collect()
}

fn explained(reason: &Reason, working: &[String]) -> Page {
    let mut page = Page::default();
    for line in working {
        page.line(format!("      {line}"));
    }
    page.line(format!("      {}", json::command_line(&reason.suggestion)));
    if let Some(besides) = json::besides(&reason.suggestion) {
        page.line(format!("      {besides}"));
    }
    page
}
