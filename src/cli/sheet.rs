//! `sheet NAME`: a page to hang on a vessel, or by the bottles of a run.

use clap::{Arg, ArgAction, ArgMatches};

use crate::cellar::attention::Policy;
use crate::cellar::course::Course;
use crate::cellar::courses::courses;
use crate::cellar::entry::Draft;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Sort, Thing};
use crate::exchange::{sheet, svg};

use super::failure::Failure;
use super::session::{Opened, Session};
use super::{Own, Said, show};

pub(super) static SHEET: Own = Own {
    name: "sheet",
    sentence: "Print a page to hang on a vessel, or by the bottles of a run.",
    heading: super::files::OUT,
    arguments: |it| {
        it.arg(
            Arg::new("name")
                .value_name("NAME")
                .required(true)
                .num_args(1..)
                .help("Which vessel or bottles; with --svg a batch or supply too."),
        )
        .arg(
            Arg::new("svg")
                .long("svg")
                .action(ArgAction::SetTrue)
                .help("Its charts instead, as one SVG document; with --json in its field `svg`."),
        )
    },
    run,
};

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let name = &*super::one_name(matches, "name");
    let opened = session.open()?;
    let (thing, _) = show::find(&opened.cellar, name, None)?;
    if matches.get_flag("svg") {
        let document = drawn(thing, &opened)?;
        return Ok(if session.json {
            Said::json(&serde_json::json!({ "svg": document }))
        } else {
            Said::from(document)
        });
    }
    let page = if thing.sort == Sort::Run {
        let listed = show::entries(thing, &opened)?;
        let living = listed.iter().filter(|it| it.entry.is_living());
        let drafts: Vec<&Draft> = living.map(|it| &it.entry.draft).collect();
        sheet::of_run(thing, &opened.cellar, &drafts, &opened.reasons())
    } else {
        let vessel = opened.cellar.find(Sort::Vessel, name)?;
        sheet::sheet(vessel, &opened.cellar, &opened.reasons())
    };
    if session.json {
        return Ok(Said::json(&serde_json::json!({ "sentence": page.text() })));
    }
    Ok(page.into())
}

/// The charts of a vessel, run or supply; of a batch those of all that its wine is in. Unlike a page, a drawing of nothing is of
/// no use.
fn drawn(thing: &Thing, opened: &Opened) -> Result<String, Failure> {
    let policy = Policy::of(&opened.cellar);
    let tastings = opened.store.tastings(usize::MAX)?;
    let cellar = &opened.cellar;
    let of = |it: &Thing| courses(it.key, cellar, &policy, &tastings);
    let places = places(thing, cellar);
    let courses: Vec<Course> = match places.as_slice() {
        [] => of(thing),
        [only] => of(only),
        several => {
            let named = |place: &&Thing| {
                let courses = of(place).into_iter();
                let title = |it: &Course| format!("{}: {}", place.name(), it.title);
                let named = courses.map(|it| Course {
                    title: title(&it),
                    ..it
                });
                named.collect::<Vec<Course>>()
            };
            several.iter().flat_map(named).collect()
        }
    };
    if courses.is_empty() {
        return Err(Failure::book(format!(
            "Nothing is known of {} that could be drawn; {} first.",
            thing.name(),
            if thing.sort == Sort::Supply {
                "take stock of it, or use some of it,"
            } else if thing.sort == Sort::Batch {
                "say which vessel holds its wine, and measure that,"
            } else {
                "measure its gravity or free SO2"
            }
        )));
    }
    Ok(svg::charts(thing.name(), &courses, cellar.now))
}

/// The vessels and bottles that a batch's wine is in; none of what is no batch.
fn places<'a>(thing: &Thing, cellar: &'a Snapshot) -> Vec<&'a Thing> {
    let all = cellar.open(Sort::Vessel).chain(cellar.open(Sort::Run));
    let batch = |it: &Thing| cellar.wine(it.key).and_then(Wine::main_batch);
    all.filter(|it| batch(it) == Some(thing.key)).collect()
}
