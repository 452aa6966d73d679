//! `dose VESSEL`: the sulfite that a wine wants, worked out from what the book knows of it. Nothing
//! is written; `add` does that once it is in.

use clap::{Arg, ArgAction, ArgMatches, Command};
use leesline_calc::answer::{Assumption, Caution, CautionKind};
use leesline_calc::registry::{self, Calculator};

use crate::cellar::attention::{Holding, Policy, Stage};
use crate::cellar::dosing::{
    Reach, against_sulfite, by_thumb, calculator_for, can_wait, drawn_from, left_unknown, state,
    taken, told, too_soon,
};
use crate::cellar::thing::{Sort, Thing};

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, calc, plain};

pub(super) static DOSE: Own = Own {
    name: "dose",
    sentence: "Work out the sulfite that a wine wants, from what the book knows of it.",
    heading: "Putting in and treating",
    arguments,
    run,
};

fn arguments(command: Command) -> Command {
    command
        .arg(
            Arg::new("place")
                .value_name("VESSEL")
                .required(true)
                .num_args(1..)
                .help("Which vessel."),
        )
        .arg(
            Arg::new("with")
                .long("with")
                .value_name("KEY=VALUE")
                .action(ArgAction::Append)
                .help("Overrule one input of `calc sulfite-dose`, such as `ph=3.4`."),
        )
        .arg(calc::working_flag())
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let name = super::one_name(matches, "place");
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let vessel = cellar.find(Sort::Vessel, &name)?;
    if cellar.wine(vessel.key).is_none() {
        return Err(Failure::book(format!(
            "{} is empty by the book; if there is wine in it, write it down with `here` or `receive`.",
            vessel.name()
        )));
    }
    let overruled = overruled(matches)?;
    let sets = |key: &str| overruled.iter().any(|(flag, _)| flag == key);
    let sets_aim = ["ph", "target-free-so2", "target-free-so2-mg-l"]
        .into_iter()
        .any(sets);
    let by_choice = by_thumb(vessel.key, cellar);
    let wanted = match calculator_for(vessel.key, cellar) {
        "sulfite-by-spoon" if sets_aim && !by_choice => "sulfite-dose",
        wanted => wanted,
    };
    let unknown_ph = wanted == "sulfite-by-spoon" && !by_choice;
    let calculator = registry::find(wanted)
        .ok_or_else(|| Failure::book("This program has no sulfite-dose; update it."))?;
    // The same as the dosing screen: two faces of one program must not differ by a gram.
    let mut inputs = told(calculator, vessel.key, cellar);
    let mut taken = taken(calculator, vessel.key, cellar);
    give_way(&overruled, calculator, &mut inputs, &mut taken);
    let has_test = sets("free-so2") || sets("free-so2-mg-l");
    // Who does not test is not asked to.
    let left_unknown =
        left_unknown(vessel.key, cellar).filter(|_| !has_test && cellar.settings().tests_so2);
    let policy = Policy::of(cellar);
    let holding = Holding::of(cellar, vessel.key, &policy);
    if !sets("added-so-far") && !sets("added-so-far-mg-l") {
        had_enough(vessel, holding.as_ref())?;
    }
    // What speaks against any dose comes before the dose, by whichever calculation.
    let against = if sets("state") {
        None
    } else {
        against(vessel, wanted == "sulfite-by-spoon", holding.as_ref())?
    };
    let mut first: Vec<String> = against.map(str::to_owned).into_iter().collect();
    if left_unknown.is_some() {
        first.push(
            "How much sulfite is left free in it is not known: test before giving any.".to_owned(),
        );
    } else if calculator.name == "sulfite-by-spoon" {
        first.extend(holding.as_ref().and_then(too_soon));
    }
    let known = inputs.into_iter().map(|(key, text)| (key.to_owned(), text));
    let inputs: Vec<(String, String)> = known.chain(overruled).collect();
    let units = cellar.settings().units;
    let mut answer = calc::ask(calculator, &inputs, units)?;
    let told: Vec<(&str, &str)> = inputs
        .iter()
        .map(|(key, it)| (key.as_str(), it.as_str()))
        .collect();
    Reach::of_taken(calculator, &told, &taken, units).widen(&mut answer);
    answer.assumptions.splice(0..0, taken);
    if unknown_ph {
        let unread = holding.as_ref().map(Holding::unread);
        let said = format!(
            "The pH was {}, so the dose is not known: measure it, or go by the rule of thumb.",
            unread.unwrap_or_default()
        );
        answer.cautions.insert(0, caution(said, None));
    }
    let left_unknown_is_none = left_unknown.is_none();
    if let Some(words) = left_unknown {
        let sentence = format!(
            "What is left free of the sulfite in it is not known ({words}): test first. This is the most that can be missing."
        );
        let asks = Some("Give it without a test?".to_owned());
        answer.cautions.insert(0, caution(sentence, asks));
    }
    let lot =
        drawn_from(&answer, cellar).map(|it| format!("It would be drawn from {}.", it.name()));
    let can_wait = can_wait(&answer, &policy).filter(|_| left_unknown_is_none);
    if let Some(lot) = &lot {
        answer.work("lot", lot.as_str());
    }
    let mut said = calc::said(
        session,
        calculator,
        &answer,
        units,
        holding
            .as_ref()
            .map_or(policy.aim_mg_l, Holding::molecular_aim),
        matches.get_flag("working"),
    )?;
    // Behind what to do, which is the first line.
    let behind = lot.into_iter().chain(can_wait);
    for sentence in behind.filter(|_| !session.json) {
        let end = said.out.find('\n').map_or(said.out.len(), |it| it + 1);
        said.out.insert_str(end, &format!("{}\n", plain(&sentence)));
    }
    if !session.json {
        for sentence in first.into_iter().rev() {
            said.out.insert_str(0, &format!("{sentence}\n"));
        }
    }
    Ok(said)
}

/// Leaves out of what the book knows all that was given otherwise.
fn give_way(
    overruled: &[(String, String)],
    calculator: &Calculator,
    inputs: &mut Vec<(&'static str, String)>,
    taken: &mut Vec<Assumption>,
) {
    for (flag, _) in overruled {
        let keys = calculator.flags().remove(flag).unwrap_or_default();
        inputs.retain(|(key, _)| !keys.contains(key));
        taken.retain(|it| !keys.contains(&it.key));
        // Who says how much went in says all of it.
        if keys.contains(&"added_so_far_mg_l") {
            inputs.retain(|(key, _)| *key != "more_before");
        }
        // One aim stands for the other.
        if keys.contains(&"target_free_so2_mg_l") {
            inputs.retain(|(key, _)| *key != "target_molecular_mg_l");
        }
    }
}

/// Refuses a wine that is over its ceiling already: no figure stands beside that.
fn had_enough(vessel: &Thing, holding: Option<&Holding>) -> Result<(), Failure> {
    match holding.and_then(Holding::too_much_so2) {
        Some(said) => Err(Failure::book(format!(
            "{} is to have no more: {said}; test total SO2 (`leesline measure \"{0}\" --total-so2 …`), or put a wrong entry right with `leesline amend`.",
            vessel.name()
        ))),
        None => Ok(()),
    }
}

/// What in the state of a wine speaks against sulfite. By the rule of thumb, which knows nothing of a ferment and would give an
/// amount beside the warning, a ferment is given none.
fn against(
    vessel: &Thing,
    by_thumb: bool,
    holding: Option<&Holding>,
) -> Result<Option<&'static str>, Failure> {
    let Some(holding) = holding else {
        return Ok(None);
    };
    let against = against_sulfite(holding);
    // A figure stands below: it is for the wine that its next gravity may show it to be.
    if against.is_some() && !by_thumb && holding.stage() == Stage::Doubtful {
        return Ok(Some(
            "It may still ferment by its last gravity: measure it again first, and give none while that falls. If it stands still:",
        ));
    }
    if against.is_some() && by_thumb && state(holding).text == "fermenting" {
        let works = if holding.stage() == Stage::Doubtful {
            "may still ferment by its last gravity"
        } else {
            "is still fermenting by the book"
        };
        return Err(Failure::book(format!(
            "{} {works}: give none until it is finished, and measure its pH by then; --state says that the book is wrong.",
            vessel.name()
        )));
    }
    Ok(against)
}

/// `KEY=VALUE`s as flags and text.
fn overruled(matches: &ArgMatches) -> Result<Vec<(String, String)>, Failure> {
    let texts = matches.get_many::<String>("with").into_iter().flatten();
    let pairs = texts.map(|text| match text.split_once('=') {
        Some((name, value)) => Ok((name.trim().replace('_', "-"), value.trim().to_owned())),
        None => Err(Failure::input(format!(
            "`{text}` sets nothing; write ph=3.4."
        ))),
    });
    pairs.collect()
}

/// What the book does not know, said with the answer.
fn caution(sentence: String, asks: Option<String>) -> Caution {
    Caution {
        kind: CautionKind::State,
        sentence,
        short: None,
        asks,
        source: "the cellar book",
    }
}
