//! `what-if VERB …`: what a deed would make of the forecast, and of waiting or of another temperature.
//! Nothing is written.

use std::ffi::OsString;

use clap::{Arg, ArgMatches, Command, value_parser};
use leesline_calc::quantity::{Quantity, parse};

use crate::cellar::attention::Policy;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Key;
use crate::cellar::verbs::{self, Verb};
use crate::cellar::what_if::{self, Beside};
use crate::exchange::json;
use crate::exchange::page::Page;

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{OWN, Own, Said, command, due, record, show, unquoted};

/// Temperatures that wine is kept at, °C.
const CELSIUS: std::ops::RangeInclusive<f64> = -5.0..=40.0;

pub(super) static WHAT_IF: Own = Own {
    name: "what-if",
    sentence: "Show what a verb would make of the forecast, without writing it; or waiting, or another temperature.",
    heading: "Looking around",
    arguments,
    run,
};

/// What follows is the verb's own, and is read as the verb reads it.
fn arguments(command: Command) -> Command {
    command
        .override_usage("leesline what-if VERB … [--wait 30d] [--kept-at 18C]\n       leesline what-if VESSEL --wait 30d")
        .arg(
            Arg::new("asked")
                .value_name("VERB OR VESSEL")
                .required(true)
                .num_args(1..)
                .trailing_var_arg(true)
                .allow_hyphen_values(true)
                .value_parser(value_parser!(OsString))
                .help("A verb with all that it takes, or the name of a vessel."),
        )
        .args([wait(), kept_at()])
}

/// What is supposed besides a deed.
struct Wish {
    days: i64,
    celsius: Option<f64>,
}

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    // What stood before the verb is read with what stands behind it.
    let before = ["wait", "kept-at"].into_iter().filter_map(|key| {
        let text = matches.get_one::<String>(key)?;
        Some(OsString::from(format!("--{key}={text}")))
    });
    let asked = matches.get_many::<OsString>("asked");
    let asked: Vec<OsString> = asked.into_iter().flatten().cloned().collect();
    let (verb, words) = verb(&asked)?;
    let command = match verb {
        Some(verb) => {
            let name = format!("leesline what-if {}", verb.name);
            command::of_verb(verb).bin_name(name)
        }
        None => Command::new("what-if").arg(
            Arg::new("place")
                .value_name("VESSEL")
                .required(true)
                .num_args(1..)
                .help("Which vessel or bottles."),
        ),
    };
    let command = command
        .no_binary_name(true)
        .args([wait(), kept_at()])
        .args(command::globals());
    let rest = asked[words..].iter().cloned();
    let typed: Vec<OsString> = before.chain(rest).collect();
    let inner = match unquoted::parse(&command, &typed, Some(session)) {
        Ok(inner) => inner,
        Err(told) if told.use_stderr() => return Err(Failure::of(&told, &asked)),
        Err(told) => return Ok(Said::from(told.to_string())),
    };
    let session = Session::of(&inner).or(session.clone());
    let opened = session.open()?;
    let wish = wish(&inner, &opened)?;
    let supposed = if let Some(verb) = verb {
        deed(&opened, verb, &inner)?
    } else {
        let name = super::one_name(&inner, "place");
        let (thing, _) = show::find(&opened.cellar, &name, None)?;
        if wish.days == 0 && wish.celsius.is_none() {
            return Err(Failure::input(format!(
                "Nothing of {} is supposed: begin with a verb, or add --wait 30d or --kept-at 18C.",
                thing.name()
            )));
        }
        Deed {
            then: None,
            places: vec![thing.key],
            sentence: String::new(),
            asks: Vec::new(),
        }
    };
    Ok(told(&session, &opened.cellar, &supposed, &wish))
}

/// The verb that begins what was asked, of two words or one, and how many words it has.
fn verb(asked: &[OsString]) -> Result<(Option<&'static Verb>, usize), Failure> {
    let words: Vec<&str> = asked.iter().map_while(|it| it.to_str()).take(2).collect();
    let named = (1..=words.len()).rev().find_map(|many| {
        let name = words[..many].join(" ");
        Some((verbs::find(&name)?, many))
    });
    if let Some((verb, many)) = named {
        return Ok((Some(verb), many));
    }
    match words
        .first()
        .filter(|it| OWN.iter().any(|own| own.name == **it))
    {
        Some(own) => Err(Failure::input(format!(
            "`{own}` writes nothing that could be supposed; name a verb that does, such as `rack` or `add`, or a vessel."
        ))),
        None => Ok((None, 0)),
    }
}

fn wait() -> Arg {
    Arg::new("wait")
        .long("wait")
        .value_name("DAYS")
        .help("Then wait so many days: `30d`, `3 weeks`, or `30`.")
}

fn kept_at() -> Arg {
    Arg::new("kept-at")
        .long("kept-at")
        .value_name("TEMPERATURE")
        .help("Kept at this temperature: `18C`, `65F`.")
}

fn wish(matches: &ArgMatches, opened: &Opened) -> Result<Wish, Failure> {
    let text = |id: &str| matches.get_one::<String>(id).map(String::as_str);
    let units = opened.cellar.settings().units;
    let celsius = match text("kept-at") {
        Some(text) => {
            let celsius = parse(Quantity::Temperature, text, &units)
                .map_err(|it| Failure::input(it.to_string()))?;
            if !CELSIUS.contains(&celsius) {
                return Err(Failure::input(format!(
                    "`{text}` is outside {} to {} °C, where wine is kept; check the unit.",
                    CELSIUS.start(),
                    CELSIUS.end()
                )));
            }
            Some(celsius)
        }
        None => None,
    };
    Ok(Wish {
        days: text("wait").map_or(Ok(0), due::days)?,
        celsius,
    })
}

/// A deed as it is supposed.
struct Deed {
    then: Option<Snapshot>,
    places: Vec<Key>,
    sentence: String,
    asks: Vec<String>,
}

fn deed(opened: &Opened, verb: &Verb, matches: &ArgMatches) -> Result<Deed, Failure> {
    let form = record::form(verb, matches, &opened.cellar)?;
    if form.get("at").is_some() {
        return Err(Failure::input(
            "What if looks ahead from now; leave out --at.",
        ));
    }
    let when = verbs::when(&form, opened.cellar.now, opened.zone)?;
    let prepared = record::prepare(opened, verb, &form, &when)?;
    let supposed = what_if::done(&opened.cellar, &prepared.draft).map_err(Failure::book)?;
    Ok(Deed {
        then: Some(supposed.cellar),
        places: supposed.places,
        asks: prepared.questions().cloned().collect(),
        sentence: prepared.sentence,
    })
}

fn told(session: &Session, cellar: &Snapshot, deed: &Deed, wish: &Wish) -> Said {
    let (is, then) = what_if::both_sides(cellar, deed.then.as_ref(), wish.days, wish.celsius);
    let policy = Policy::of(cellar);
    let all: Vec<Beside> = deed
        .places
        .iter()
        .map(|it| Beside::of(*it, &is, &then, &policy))
        .collect();
    if session.json {
        let places: Vec<_> = all.iter().map(|it| json::beside(it, &is, &then)).collect();
        let mut object = json::heading(cellar);
        object
            .put("sentence", deed.sentence.clone())
            .put("wait_days", wish.days)
            .put("kept_at_c", serde_json::json!(wish.celsius))
            .put("written", false)
            .put("places", places);
        return Said {
            notes: deed.asks.clone(),
            ..Said::json(&object.value())
        };
    }
    let mut page = Page::default();
    page.wrapped("", &supposition(deed, wish), 80);
    let is_only_waiting = deed.then.is_none() && wish.celsius.is_none();
    let [headed_is, headed_then] = what_if::headings(is_only_waiting, wish.days);
    for beside in &all {
        page.line("");
        let mut rows = vec![vec![
            then.name(beside.place).to_owned(),
            headed_is.clone(),
            headed_then.clone(),
        ]];
        let known = |words: String| {
            if words.is_empty() {
                "-".to_owned()
            } else {
                words
            }
        };
        rows.extend(
            beside
                .rows()
                .into_iter()
                .map(|[row, is, then]| vec![format!("  {row}"), known(is), known(then)]),
        );
        page.rows(&rows);
        for (lead, reason) in beside
            .gone()
            .map(|it| ("  no longer: ", it))
            .chain(beside.come().map(|it| ("  new:       ", it)))
        {
            page.wrapped(lead, &reason.sentence, 80);
        }
        for (at, sentence) in beside.then.assumed.iter().enumerate() {
            let lead = if at == 0 {
                "  assumed:   "
            } else {
                "             "
            };
            page.wrapped(lead, sentence, 80);
        }
        if let Some(sentence) = &beside.then.unforeseen {
            page.wrapped("  ", sentence, 80);
        }
    }
    Said {
        notes: deed.asks.clone(),
        ..page.into()
    }
}

/// What is supposed, in a sentence or two.
fn supposition(deed: &Deed, wish: &Wish) -> String {
    let mut words = Vec::new();
    if deed.sentence.is_empty() {
        words.push("If nothing is done.".to_owned());
    } else {
        words.push(format!("If: {}", deed.sentence));
    }
    words.extend(wish.celsius.map(|it| format!("Kept at {it:.0} °C.")));
    words.extend((wish.days != 0).then(|| match wish.days {
        1 => "Seen 1 day from now.".to_owned(),
        days => format!("Seen {days} days from now."),
    }));
    words.push("Nothing is written.".to_owned());
    words.join(" ")
}
