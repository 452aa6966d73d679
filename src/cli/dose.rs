//! `dose VESSEL`: the sulfite that a wine wants, worked out from what the book knows of it. Nothing
//! is written; `add` does that once it is in.

use clap::{Arg, ArgAction, ArgMatches, Command};
use leesline_calc::answer::{Assumption, Caution, CautionKind};
use leesline_calc::registry::{self, Calculator};

use crate::cellar::attention::{Holding, Policy, Stage, Suggestion};
use crate::cellar::dosing::{
    Advice, BY_SPOON, DOSE, Reach, advice, against_sulfite, by_thumb, calculator_for, can_wait,
    drawn_from, state, taken, told,
};
use crate::cellar::thing::Sort;
use crate::exchange::json::command_line;

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, calc};

pub(super) static COMMAND: Own = Own {
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
    let policy = Policy::of(cellar);
    let Some(holding) = Holding::of(cellar, vessel.key, &policy) else {
        return Err(Failure::book(format!(
            "{} is empty by the book; if there is wine in it, write it down with `here` or `receive`.",
            vessel.name()
        )));
    };
    let overruled = overruled(matches)?;
    let sets = |keys: &[&str]| overruled.iter().any(|(flag, _)| keys.contains(&&**flag));
    let sets_aim = sets(&["ph", "target-free-so2", "target-free-so2-mg-l"]);
    let by_choice = by_thumb(vessel.key, cellar);
    let wanted = match calculator_for(vessel.key, cellar) {
        BY_SPOON if sets_aim && !by_choice => DOSE,
        wanted => wanted,
    };
    let calculator = registry::find(wanted).ok_or_else(no_calculator)?;
    if !sets(&["added-so-far", "added-so-far-mg-l"]) {
        had_enough(&holding)?;
    }
    // What speaks against any dose comes before the dose, by whichever calculation.
    let against = if sets(&["state"]) {
        None
    } else {
        against(wanted == BY_SPOON, &holding)?
    };
    // The same as the dosing screen: two faces of one program must not differ by a gram.
    let mut inputs = told(calculator, vessel.key, cellar);
    let mut taken = taken(calculator, vessel.key, cellar);
    give_way(&overruled, calculator, &mut inputs, &mut taken);
    let known = inputs.into_iter().map(|(key, text)| (key.to_owned(), text));
    let inputs: Vec<(String, String)> = known.chain(overruled.clone()).collect();
    if !inputs
        .iter()
        .any(|it| matches!(&*it.0, "volume_l" | "volume-l" | "volume"))
    {
        return Err(unknown_volume(vessel.name()));
    }
    let units = cellar.settings().units;
    let mut answer = calc::ask(calculator, &inputs, units)?;
    let told: Vec<(&str, &str)> = inputs
        .iter()
        .map(|(key, it)| (key.as_str(), it.as_str()))
        .collect();
    Reach::of_taken(calculator, &told, &taken, units).widen(&mut answer);
    answer.assumptions.splice(0..0, taken);
    if wanted == BY_SPOON && !by_choice {
        let said = format!(
            "The pH was {}, so the dose is not known: measure it, or go by the rule of thumb.",
            holding.unread()
        );
        answer.cautions.insert(0, caution(said, None));
    }
    let is_tested = sets(&["free-so2", "free-so2-mg-l"]);
    let advice = match against.filter(|_| wanted == BY_SPOON) {
        // The rule knows nothing of bacteria, and no amount stands beside what speaks against all.
        Some(against) => Some(Advice::against(against)),
        None => advice(&answer, &holding, is_tested, units),
    };
    let advice = advice.ok_or_else(no_calculator)?;
    let lot = drawn_from(&answer, cellar).filter(|_| advice.gives);
    let lot = lot.map(|it| format!("It would be drawn from {}.", it.name()));
    if let Some(lot) = &lot {
        answer.work("lot", lot.as_str());
    }
    if session.json {
        let asks = Some("Give it all the same?".to_owned());
        let first = advice.first.map(|it| caution(it, asks));
        answer.cautions.splice(0..0, first);
        return calc::document(&answer);
    }
    if !advice.gives {
        answer.cautions.retain(|it| it.asks.is_none());
    }
    let against = against.filter(|_| wanted == DOSE);
    let can_wait = can_wait(&answer, &policy).filter(|_| advice.first.is_none());
    let sentences = against.into_iter().chain(advice.sentences());
    let sentences = sentences.chain(lot.as_deref()).chain(can_wait.as_deref());
    let sentences: Vec<&str> = sentences.collect();
    let working = matches.get_flag("working");
    Ok(calc::words(calculator, &answer, units, &sentences, working).into())
}

fn unknown_volume(vessel: &str) -> Failure {
    let level = Suggestion::of("adjust")
        .with("place", vessel)
        .with("level", "about 20 L");
    let adjust = command_line(&level);
    Failure::input(format!(
        "how much wine is in {vessel} is not known: say it with `--with volume=20`, or write it down with `{adjust}`."
    ))
}

fn no_calculator() -> Failure {
    Failure::book("This program has no sulfite-dose; update it.")
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
fn had_enough(holding: &Holding) -> Result<(), Failure> {
    match holding.too_much_so2() {
        Some(said) => Err(Failure::book(format!(
            "{} is to have no more: {said}; test total SO2 (`leesline measure \"{0}\" --total-so2 …`), or put a wrong entry right with `leesline amend`.",
            holding.place.name()
        ))),
        None => Ok(()),
    }
}

/// What in the state of a wine speaks against sulfite. By the rule of thumb, which knows nothing of a ferment and would give an
/// amount beside the warning, a ferment is given none.
fn against(by_thumb: bool, holding: &Holding) -> Result<Option<&'static str>, Failure> {
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
            "{} {works}: give none until it is finished, and measure its pH by then; if it is finished already, `leesline measure` its gravity.",
            holding.place.name()
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
