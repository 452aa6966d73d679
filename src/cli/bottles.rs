//! Bottles: what is on hand, which a nameless one may be, who was given any, and the racks.

use clap::{Arg, ArgAction, ArgMatches, value_parser};
use serde_json::{Value, json as value};

use crate::cellar::attention::{Holding, Policy, words};
use crate::cellar::bottling::{Closure, Package};
use crate::cellar::entry::{Kind, Posture};
use crate::cellar::gifts;
use crate::cellar::on_hand::{OnHand, Sought, on_hand};
use crate::cellar::racks::{Racks, Stowed, stowed};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Thing, field};
use crate::cellar::trouble;
use crate::cellar::which::{
    COLOURS, Clues, Fit, SHAPES, allergens, allergens_of_all, apart, differences, fits,
};
use crate::cellar::window::window;
use crate::exchange::json;
use crate::exchange::page::Page;
use crate::store::Filter;

use super::failure::Failure;
use super::session::Session;
use super::{LISTS, Own, Said, lists};

pub(super) static BOTTLES: Own = Own {
    name: "bottles",
    sentence: "List the bottles by run: how many of which size, how many may be drunk, where they are.",
    heading: LISTS,
    arguments: |it| {
        it.args([
            text(
                "run",
                "NAME",
                "Only runs whose name begins so, or with that mark.",
            ),
            number("year", "YEAR", "Only of that harvest."),
            text(
                "place",
                "PLACE",
                "Only in that slot, rack or shelf: `Rack A/B3`.",
            )
            .alias("slot"),
            number("size", "ML", "Only of that size."),
            Arg::new("reserved")
                .long("reserved")
                .action(ArgAction::SetTrue)
                .help("Only those kept for someone or something."),
        ])
    },
    run: bottles,
};

fn text(name: &'static str, value: &'static str, help: &'static str) -> Arg {
    Arg::new(name).long(name).value_name(value).help(help)
}

fn number(name: &'static str, value: &'static str, help: &'static str) -> Arg {
    text(name, value, help).value_parser(value_parser!(i64).range(1..=100_000))
}

fn given(matches: &ArgMatches, name: &str) -> Option<String> {
    matches.get_one::<String>(name).cloned()
}

fn bottles(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let sought = Sought {
        run: given(matches, "run"),
        year: matches.get_one("year").copied(),
        place: given(matches, "place"),
        size_ml: matches.get_one("size").copied(),
        reserved: matches.get_flag("reserved"),
    };
    let found = on_hand(&sought, cellar);
    let racks = Racks::of(&cellar.things);
    // Without a question the list has the runs that are drunk up as well.
    let gone = cellar
        .open(Sort::Run)
        .filter(|run| sought == Sought::default() && !found.iter().any(|it| it.run.key == run.key));
    let policy = Policy::of(cellar);
    if session.json {
        let mut document = json::heading(cellar);
        let left = found.iter().map(|it| {
            let mut object = json::run(it.run, &racks, cellar, &policy);
            json::lots(
                &mut object,
                it.lots.iter().copied(),
                it.uncounted,
                it.withheld,
                &racks,
            );
            object.value()
        });
        let gone = gone.map(|it| json::run(it, &racks, cellar, &policy).value());
        document.put("bottles", left.chain(gone).collect::<Vec<Value>>());
        return Ok(Said::json(&document.value()));
    }
    let mut rows: Vec<Vec<String>> = found
        .iter()
        .map(|it| row(it, &racks, cellar, &policy))
        .collect();
    rows.extend(gone.map(|it| {
        let is_filled = cellar.filling == Some(it.key);
        let said = if is_filled {
            "being bottled, none filled yet"
        } else {
            "none left"
        };
        vec![it.name().to_owned(), said.to_owned()]
    }));
    let mut page = Page::default();
    match (rows.is_empty(), sought == Sought::default()) {
        (true, true) => page.line("There are no bottles yet."),
        (true, false) => page.line("There are no such bottles."),
        _ => page.rows(&rows),
    }
    Ok(page.into())
}

fn row(bottles: &OnHand, racks: &Racks, cellar: &Snapshot, policy: &Policy) -> Vec<String> {
    let sizes: Vec<String> = bottles
        .sizes()
        .iter()
        .map(|(size_ml, count)| Package::of(bottles.run).times(*count, *size_ml))
        .collect();
    // One is one, however little is known of how much wine is in it.
    let is_about = bottles.about && bottles.count() > 1;
    let about = if is_about { "about " } else { "" };
    let mut drink = format!("{about}{} to drink", bottles.drinkable());
    if bottles.uncounted {
        "not counted".clone_into(&mut drink);
    }
    if let Some(withheld) = bottles.withheld {
        drink = format!("{about}{} {withheld}", bottles.count());
    } else {
        drink.push_str(&when(bottles, cellar, policy));
    }
    if let Some(begun) = bottles.begun(cellar) {
        drink = format!("{drink}, {begun}");
    }
    if let Some(marked) = cellar.wine(bottles.run.key).and_then(trouble::marked) {
        drink = format!("{drink}, marked: {marked}");
    }
    for (whom, count) in bottles.kept_for() {
        drink = format!("{drink}, {count} kept for {whom}");
    }
    for (found, count) in bottles.amiss() {
        drink = format!("{drink}, {count} with {found}");
    }
    let closure = bottles.run.text(field::CLOSURE);
    let standing = bottles
        .lots
        .iter()
        .filter(|it| telling::posture_words(closure, it.posture) == Posture::Standing.label());
    let standing: i64 = standing.map(|it| it.count).sum();
    let mut place = bottles.where_exactly(racks);
    if bottles.uncounted && place.is_empty() {
        bottles.run.text(field::ROOM).clone_into(&mut place);
    }
    if standing > 0 {
        let sign = if place.is_empty() { "" } else { ", " };
        place = format!("{place}{sign}{standing} standing");
    }
    vec![
        bottles.run.name().to_owned(),
        bottles.year.map_or_else(String::new, |it| it.to_string()),
        sizes.join(", "),
        drink,
        place,
    ]
}

/// When its bottles are to be drunk: ` from 3 May 2027 by about Jan 2029`, nothing of either where it is
/// not known.
fn when(bottles: &OnHand, cellar: &Snapshot, policy: &Policy) -> String {
    let holding = Holding::of(cellar, bottles.run.key, policy);
    let window = holding.and_then(|it| window(&it));
    // Rested and not yet in their window, they wait for that.
    let opens = window.as_ref().map(|it| it.opens.utc_ms);
    let from = bottles.waits(cellar).map(|it| it.1).max(opens);
    let from = from.filter(|it| *it > cellar.now.utc_ms);
    let from = from.map_or_else(String::new, |it| {
        format!(" from {}", cellar.now.at(it).day_words())
    });
    let Some(window) = window else {
        return from;
    };
    let day = if window.closes_low == window.closes_high {
        window.closes.day_words()
    } else {
        format!("about {}", window.closes.date().format("%b %Y"))
    };
    if window.closes < cellar.now {
        format!("{from}, window closed {day}")
    } else {
        format!("{from} by {day}")
    }
}

pub(super) static WHICH: Own = Own {
    name: "which",
    sentence: "Say which bottles one without a label may be of, by what can be seen.",
    heading: LISTS,
    arguments: |it| {
        it.args([
            text(
                "closure",
                "CLOSURE",
                "cork, screw-cap, crown-26, stopper, swing-top, …",
            ),
            text(
                "colour",
                "COLOUR",
                "Of the glass: clear, green, olive, brown, blue, black.",
            )
            .alias("color"),
            text("shape", "SHAPE", "square, sloping, slim, short, jug."),
            text("mark", "MARK", "On cork, cap or tape."),
            text(
                "place",
                "PLACE",
                "Where it was found: `shelf 2`, `Rack A/B3`.",
            ),
            number("size", "ML", "Its size."),
        ])
    },
    run: which,
};

fn which(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let seen = |name| given(matches, name).unwrap_or_default();
    let clues = Clues {
        closure: one_of("closure", &seen("closure"), Closure::WORDS)?,
        colour: one_of("colour", &seen("colour"), COLOURS)?,
        shape: one_of("shape", &seen("shape"), SHAPES)?,
        mark: seen("mark"),
        place: seen("place"),
        size_ml: matches.get_one("size").copied(),
    };
    let found = fits(&clues, cellar);
    if session.json {
        return Ok(Said::json(&which_json(&found, clues.size_ml, cellar)));
    }
    let mut page = Page::default();
    if found.is_empty() {
        page.line("No bottles by the book look like that; one clue fewer may find some.");
        return Ok(page.into());
    }
    let rows: Vec<Vec<String>> = found
        .iter()
        .map(|it| fit_row(it, clues.size_ml, cellar))
        .collect();
    page.rows(&rows);
    for line in apart(&found, cellar) {
        page.line(line);
    }
    page.line(allergens(&found, cellar));
    Ok(page.into())
}

/// A word of the list, or none: a slip of the pen must not rule bottles out.
fn one_of(name: &str, seen: &str, words: &[&str]) -> Result<String, Failure> {
    let seen = seen.trim().to_lowercase();
    if seen.is_empty() || words.contains(&seen.as_str()) {
        return Ok(seen);
    }
    Err(Failure::input(format!(
        "`{seen}` is no {name} that is written down of bottles; give {}, or leave --{name} out.",
        words.join(", ")
    )))
}

/// Bottles of a run that are left, of the size seen where one was.
fn left_of(run: Key, size_ml: Option<i64>, cellar: &Snapshot) -> i64 {
    let lots = cellar.wine(run).map_or(&[][..], |it| &it.bottles);
    let of_size = lots
        .iter()
        .filter(|it| size_ml.is_none_or(|seen| it.size_ml == seen));
    of_size.map(|it| it.count).sum()
}

fn fit_row(fit: &Fit, size_ml: Option<i64>, cellar: &Snapshot) -> Vec<String> {
    let thing = cellar.thing(fit.run);
    let known = |field| thing.map_or("", |it| it.text(field));
    let count = left_of(fit.run, size_ml, cellar);
    let unknown = match fit.unknown.as_slice() {
        [] => String::new(),
        several => format!("not known: {}", several.join(", ")),
    };
    let looks = [
        known(field::CLOSURE),
        known(field::COLOUR),
        known(field::SHAPE),
        known(field::RUN_MARK),
    ];
    let looks: Vec<&str> = looks.into_iter().filter(|it| !it.is_empty()).collect();
    vec![
        cellar.name(fit.run).to_owned(),
        words::count(count, "bottle"),
        looks.join(", "),
        unknown,
    ]
}

fn which_json(found: &[Fit], size_ml: Option<i64>, cellar: &Snapshot) -> Value {
    let runs: Vec<Value> = found
        .iter()
        .map(|it| {
            value!({
                "run": json::reference(it.run, cellar),
                "count": left_of(it.run, size_ml, cellar),
                "agrees": it.agrees,
                "unknown": it.unknown,
            })
        })
        .collect();
    let differ: Vec<Value> = differences(found, cellar)
        .iter()
        .map(|it| {
            let ways = it.runs.iter().map(|(known, runs)| {
                let known = (!known.is_empty()).then_some(known);
                let runs: Vec<Value> = runs.iter().map(|it| json::reference(*it, cellar)).collect();
                value!({ "value": known, "runs": runs })
            });
            value!({ "clue": it.clue, "values": ways.collect::<Vec<Value>>() })
        })
        .collect();
    let mut document = json::heading(cellar);
    document
        .put("fits", runs)
        .put("differences", differ)
        .put("allergens_in_all", value!(allergens_of_all(found, cellar)))
        .put("other_allergens", "unknown");
    document.value()
}

pub(super) static GIFTS: Own = Own {
    name: "gifts",
    sentence: "List who was given bottles, when last, and how many came back.",
    heading: LISTS,
    arguments: |it| it.arg(text("whom", "NAME", "Only this person.")),
    run: |session, matches| {
        let opened = session.open()?;
        let mut entries = Vec::new();
        for kind in [Kind::Give, Kind::Back] {
            entries.extend(opened.store.entries(&Filter {
                kind: Some(kind),
                living: true,
                ..Filter::default()
            })?);
        }
        let mut found = gifts::gifts(entries.iter().map(|it| &it.entry.draft));
        if let Some(whom) = given(matches, "whom") {
            found.retain(|it| it.whom.to_lowercase() == whom.trim().to_lowercase());
        }
        let cellar = &opened.cellar;
        let last = |it: &gifts::Gift| (it.last_ms > i64::MIN).then_some(it.last_ms);
        if session.json {
            let gifts = found.iter().map(|it| {
                value!({
                    "whom": (!it.whom.is_empty()).then_some(&it.whom),
                    "run": json::reference(it.run, cellar),
                    "given_count": it.given,
                    "back_count": it.back,
                    "last": json::time_if(last(it), cellar),
                })
            });
            let mut document = json::heading(cellar);
            document.put("gifts", gifts.collect::<Vec<Value>>());
            return Ok(Said::json(&document.value()));
        }
        let mut page = Page::default();
        if found.is_empty() {
            page.line("No bottle was given by the book.");
        }
        let rows: Vec<Vec<String>> = found
            .iter()
            .map(|it| {
                let whom = if it.whom.is_empty() {
                    "somebody"
                } else {
                    &it.whom
                };
                vec![
                    whom.to_owned(),
                    format!("{} of {}", it.given, cellar.name(it.run)),
                    last(it).map_or_else(String::new, |it| cellar.now.at(it).day_words()),
                    match it.back {
                        0 => String::new(),
                        back => format!("{back} back"),
                    },
                ]
            })
            .collect();
        page.rows(&rows);
        Ok(page.into())
    },
};

pub(super) static SHELVES: Own = Own {
    name: "shelves list",
    sentence: "List the racks, bins and cases, with what room is left in them.",
    heading: LISTS,
    arguments: lists::nothing,
    run: |session, _| {
        let opened = session.open()?;
        let cellar = &opened.cellar;
        let racks = Racks::of(&cellar.things);
        let all = stowed(&racks, cellar.lots());
        let none = Stowed::default();
        let there = |key: Key| all.get(&key).unwrap_or(&none);
        if session.json {
            let racks = racks.iter().map(|it| {
                let there = there(it.key);
                let slots = there.slots.iter().flat_map(|(slot, held)| {
                    held.iter().map(|held| {
                        value!({
                            "slot": slot.to_string(),
                            "run": json::reference(held.run, cellar),
                            "size_ml": held.lot.size_ml,
                            "count": held.lot.count,
                            "reserved": held.lot.reserved,
                        })
                    })
                });
                let slots: Vec<Value> = slots.collect();
                value!({
                    "uid": cellar.thing(it.key).map(|it| it.uid.to_string()),
                    "name": it.name,
                    "kind": it.kind.word(),
                    "columns": it.columns,
                    "each_holds_count": it.holds,
                    "room": cellar.thing(it.key).map(|it| it.text(field::ROOM)),
                    "room_for_count": it.room(),
                    "count": there.count(),
                    "slots": slots,
                })
            });
            let mut document = json::heading(cellar);
            document.put("racks", racks.collect::<Vec<Value>>());
            return Ok(Said::json(&document.value()));
        }
        let mut page = Page::default();
        if racks.is_empty() {
            page.line("There are no racks yet; `leesline shelves add` writes one down.");
        }
        let rows: Vec<Vec<String>> = racks
            .iter()
            .map(|it| {
                let count = there(it.key).count();
                vec![
                    it.name.clone(),
                    it.shape(),
                    format!("{count} in it"),
                    match it.room() - count {
                        free @ 1.. => format!("{free} free"),
                        _ => "full".to_owned(),
                    },
                    cellar
                        .thing(it.key)
                        .map_or("", |it: &Thing| it.text(field::ROOM))
                        .to_owned(),
                ]
            })
            .collect();
        page.rows(&rows);
        Ok(page.into())
    },
};
