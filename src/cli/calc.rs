//! `calc`: any calculator of the registry, as words or as JSON.

use clap::{Arg, ArgAction, ArgMatches, Command};
use leesline_calc::answer::{Answer, FieldValue, Fields, Standing};
use leesline_calc::quantity::{Quantity, Units, show};
use leesline_calc::registry::{self, CALCULATORS, Calculator, Input, Need};

use super::Said;
use crate::cellar::attention::Policy;
use crate::cellar::dosing::plain;
use crate::cellar::snapshot::Settings;
use crate::exchange::page::{Page, shell_word};

use super::failure::Failure;
use super::session::Session;

pub(super) const SENTENCE: &str =
    "Calculate: doses, strengths, corrections. `calc --list` names them all.";

/// `calc` with every calculator under it. What is asked and refused is the registry's affair, so
/// clap only needs to know the flags.
pub(super) fn command() -> Command {
    let calc = Command::new("calc")
        .about(SENTENCE)
        .disable_help_subcommand(true)
        .arg(
            Arg::new("list")
                .long("list")
                .action(ArgAction::SetTrue)
                .help("Name every calculator, under headings."),
        );
    CALCULATORS
        .iter()
        .fold(calc, |calc, it| calc.subcommand(of_calculator(it)))
}

fn of_calculator(calculator: &'static Calculator) -> Command {
    let command = Command::new(calculator.name)
        .about(calculator.sentence)
        .disable_help_flag(true)
        .arg(
            Arg::new("help")
                .long("help")
                .short('h')
                .action(ArgAction::SetTrue)
                .help(
                    "Say what is asked, what is taken otherwise, and where the formula comes from.",
                ),
        );
    calculator
        .flags()
        .into_iter()
        .fold(command.arg(working_flag()), |command, (flag, keys)| {
            let input = calculator.inputs.iter().find(|it| it.key == keys[0]);
            let is_whole_key = keys[0].replace('_', "-") == flag;
            command.arg(
                Arg::new(flag.clone())
                    .long(flag)
                    .value_name("VALUE")
                    .hide(!is_whole_key)
                    .help(input.map_or(String::new(), asked)),
            )
        })
}

/// Runs a calculator, or lists them all when none is named.
pub(super) fn run(session: &Session, name: &str, matches: &ArgMatches) -> Result<Said, Failure> {
    let Some(calculator) = registry::find(name) else {
        if matches.get_flag("list") || name.is_empty() {
            return Ok(list(session));
        }
        return Err(Failure::input(format!(
            "There is no calculator `{name}`; `leesline calc --list` names them."
        )));
    };
    let settings = session.settings();
    let units = settings.as_ref().map_or_else(Units::default, |it| it.units);
    if matches.get_flag("help") {
        return Ok(help(calculator, units).into());
    }
    let mut given: Vec<(String, String)> = calculator
        .flags()
        .into_keys()
        .filter_map(|flag| {
            let value = matches.get_one::<String>(&flag)?.clone();
            Some((flag, value))
        })
        .collect();
    for (key, step) in settings.iter().flat_map(tools) {
        let is_asked = calculator.inputs.iter().any(|it| it.key == key);
        let flags = calculator.flags();
        let is_given =
            |(flag, _): &(String, String)| flags.get(flag).is_some_and(|keys| keys.contains(&key));
        if is_asked && !given.iter().any(is_given) {
            given.push((key.to_owned(), step.to_string()));
        }
    }
    let answer = ask(calculator, &given, units)?;
    if session.json {
        return document(&answer);
    }
    let plain = plain(&answer, units, Policy::default().aim_mg_l);
    let working = matches.get_flag("working");
    let plain: Vec<&str> = plain.as_deref().into_iter().collect();
    Ok(words(calculator, &answer, units, &plain, working).into())
}

/// What the owned tools can tell apart and were made for, by the input that asks it.
fn tools(settings: &Settings) -> impl Iterator<Item = (&'static str, f64)> + use<> {
    let steps = [
        ("scale_step_g", settings.scale_step_g),
        ("syringe_step_ml", settings.syringe_step_ml),
        ("calibration_c", Some(settings.hydrometer_c)),
    ];
    steps
        .into_iter()
        .filter_map(|(key, step)| Some((key, step?)))
}

/// The flag that asks for the working.
pub(super) fn working_flag() -> Arg {
    Arg::new("working")
        .long("working")
        .action(ArgAction::SetTrue)
        .help("Show how it comes about, and where the formula comes from.")
}

/// What a calculator answers to names and text as typed.
pub(super) fn ask(
    calculator: &Calculator,
    given: &[(String, String)],
    units: Units,
) -> Result<Answer, Failure> {
    let given: Vec<(&str, &str)> = given
        .iter()
        .map(|(flag, value)| (flag.as_str(), value.as_str()))
        .collect();
    Ok(calculator.ask(&given, &units)?)
}

/// An answer as JSON.
pub(super) fn document(answer: &Answer) -> Result<Said, Failure> {
    let document = serde_json::to_value(answer).map_err(|it| {
        Failure::input(format!("The answer is no JSON ({it}); ask without --json."))
    })?;
    Ok(Said::json(&document))
}

fn list(session: &Session) -> Said {
    if session.json {
        let all: Vec<_> = CALCULATORS
            .iter()
            .map(|it| {
                serde_json::json!({
                    "calc": it.name,
                    "group": it.group,
                    "inputs": it.inputs.iter().map(|it| it.key).collect::<Vec<_>>(),
                    "results": it.results.iter().map(|it| it.key).collect::<Vec<_>>(),
                    "sentence": it.sentence,
                })
            })
            .collect();
        return Said::json(&serde_json::json!({ "calculators": all }));
    }
    let mut groups: Vec<&str> = Vec::new();
    for calculator in CALCULATORS {
        if !groups.contains(&calculator.group) {
            groups.push(calculator.group);
        }
    }
    let mut page = Page::default();
    for group in groups {
        page.line(group);
        let rows: Vec<Vec<String>> = CALCULATORS
            .iter()
            .filter(|it| it.group == group)
            .map(|it| vec![format!("  {}", it.name), it.sentence.to_owned()])
            .collect();
        page.rows(&rows);
        page.line("");
    }
    page.line("`leesline calc NAME --help` says what one asks.");
    page.into()
}

/// What an input is, what it may be, and what is taken if it is left out.
fn asked(input: &Input) -> String {
    let mut parts = vec![input.help.to_owned()];
    if let Quantity::Choice(words) = input.quantity {
        parts.push(format!("one of {}", words.join(", ")));
    }
    if let Some(range) = input.allowed.filter(|_| input.quantity != Quantity::Date) {
        let ends = format!("{} to {}", range.low, range.high);
        parts.push(with_unit(&ends, input.quantity));
    }
    match (input.need, input.default) {
        (_, Some(default)) => parts.push(format!("{default} if left out")),
        (Need::Always, None) => parts.push("needed".to_owned()),
        (Need::OneOf(_), None) => parts.push("one of its kind is needed".to_owned()),
        (Need::Optional, None) => {}
    }
    parts.join("; ")
}

fn with_unit(text: &str, quantity: Quantity) -> String {
    format!("{text} {}", quantity.unit()).trim_end().to_owned()
}

fn help(calculator: &Calculator, units: Units) -> Page {
    let name = calculator.name;
    let flags = calculator.flags();
    let flag = |input: &Input| {
        let names = input.flags();
        let is_its_own = |it: &&String| flags.get(*it).is_some_and(|it| it.len() == 1);
        let shortest = names.iter().rfind(is_its_own).unwrap_or(&names[0]);
        format!("  --{shortest}")
    };
    let mut page = Page::default();
    page.line(calculator.sentence);
    page.line(format!(
        "\nUsage: leesline calc {name} --KEY VALUE…\n\nInputs"
    ));
    let inputs: Vec<Vec<String>> = calculator
        .inputs
        .iter()
        .map(|it| vec![flag(it), asked(it)])
        .collect();
    page.rows(&inputs);
    page.line("\nResults");
    let results: Vec<Vec<String>> = calculator
        .results
        .iter()
        .map(|it| {
            vec![
                format!("  {}", it.key),
                it.help.to_owned(),
                it.quantity.unit().to_owned(),
            ]
        })
        .collect();
    page.rows(&results);
    let example: Vec<String> = calculator
        .example
        .iter()
        .map(|(name, value)| format!("--{name} {}", shell_word(value)))
        .collect();
    page.line(format!(
        "\nExample\n  leesline calc {name} {}",
        example.join(" ")
    ));
    if let Ok(answer) = calculator.ask(calculator.example, &units) {
        page.add(&sources(&answer));
    }
    page
}

/// The answer as a person reads it: what to do (`plain`) or the figures, what to mind beside them, what was
/// assumed. How it comes about follows where it is asked for.
pub(super) fn words(
    calculator: &Calculator,
    answer: &Answer,
    units: Units,
    plain: &[&str],
    working: bool,
) -> Page {
    let mut page = Page::default();
    for sentence in plain {
        page.line(sentence);
    }
    if plain.is_empty() {
        page.add(&figures(calculator, &answer.results, units));
    }
    let cautions = answer.cautions.iter().map(|it| it.sentence.as_str());
    page.add(&part("Mind", cautions));
    page.add(&part("Ask yourself first", answer.asks()));
    // What was taken without a spread is the calculator's own default, and part of the working.
    let assumed = answer
        .assumptions
        .iter()
        .filter(|it| working || it.low.is_some())
        .map(|it| it.sentence.as_str());
    page.add(&part("Assumed", assumed));
    if !working {
        page.line("\n--working shows how it comes about.");
        return page;
    }
    if !plain.is_empty() {
        page.line("\nFigures");
        page.add(&figures(calculator, &answer.results, units));
    }
    if let Some(other) = &answer.other_constant {
        let constant = other.text("constant").unwrap_or("other");
        page.line(format!("\nBy the {constant} constant"));
        page.add(&figures(calculator, other, units));
        if let Some(sentence) = other.text("sentence") {
            page.line(format!("  {sentence}"));
        }
    }
    page.line("\nHow it comes about");
    let steps: Vec<Vec<String>> = answer
        .working
        .iter()
        .map(|it| vec![format!("  {}", it.step), it.sentence.clone()])
        .collect();
    page.rows(&steps);
    page.add(&sources(answer));
    page
}

/// Sentences under a heading; nothing where there are none.
fn part<'a>(title: &str, sentences: impl Iterator<Item = &'a str>) -> Page {
    let mut page = Page::default();
    for (at, sentence) in sentences.enumerate() {
        if at == 0 {
            page.line(format!("\n{title}"));
        }
        page.line(format!("  {sentence}"));
    }
    page
}

fn figures(calculator: &Calculator, fields: &Fields, units: Units) -> Page {
    let mut rows = Vec::new();
    for spec in calculator.results {
        let shown = match fields.get(spec.key) {
            Some(FieldValue::Number(number)) => show(spec.quantity, *number, &units),
            Some(FieldValue::Count(count)) => count.to_string(),
            Some(FieldValue::Text(word)) => word.clone(),
            Some(FieldValue::Missing) | None => continue,
        };
        let end = |end: &str| {
            let number = fields.number(&format!("{}_{end}", spec.key))?;
            Some(show(spec.quantity, number, &units))
        };
        let shown = match (end("low"), end("high")) {
            (Some(low), Some(high)) => format!("{shown} ({low} to {high})"),
            (Some(low), None) => format!("at least {low}"),
            _ => shown,
        };
        rows.push(vec![spec.key.to_owned(), shown, spec.help.to_owned()]);
    }
    let mut page = Page::default();
    page.rows(&rows);
    page
}

fn sources(answer: &Answer) -> Page {
    let sentences: Vec<String> = answer
        .sources
        .iter()
        .map(|it| match it.standing {
            Standing::Opened | Standing::Derived => it.sentence.to_owned(),
            Standing::CommonPractice => format!("{} (common practice)", it.sentence),
            Standing::FromMemory => format!("{} (from memory)", it.sentence),
        })
        .collect();
    part("Sources", sentences.iter().map(String::as_str))
}
