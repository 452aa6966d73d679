//! `export`: everything comes out again, as a table or as one document.

use clap::{Arg, ArgMatches};
use serde_json::Value;

use crate::cellar::attention::Policy;
use crate::cellar::racks::Racks;
use crate::cellar::tasting::Flight;
use crate::cellar::thing::{Sort, Thing, field};
use crate::exchange::{csv, json};
use crate::store::{Direction, Filter};

use super::failure::Failure;
use super::session::Session;
use super::{Own, Said, book, record};

pub(super) static EXPORT: Own = Own {
    name: "export",
    sentence: "Print the whole book: as CSV, or with --json as one document.",
    heading: super::files::OUT,
    arguments: |it| {
        it.arg(
            Arg::new("as")
                .long("as")
                .value_name("FORM")
                .value_parser(["csv", "json"])
                .help("csv if left out."),
        )
    },
    run,
};

fn run(session: &Session, matches: &ArgMatches) -> Result<Said, Failure> {
    let form = matches.get_one::<String>("as").map(String::as_str);
    let opened = session.open()?;
    let cellar = &opened.cellar;
    let filter = Filter {
        direction: Direction::OldestFirst,
        ..Filter::default()
    };
    let mut listed = opened.store.entries(&filter)?;
    book::hide(&mut listed, &opened);
    let uids = record::uids(&opened, &listed)?;
    if !session.json && form != Some("json") {
        let entries = listed.iter().map(|it| (&it.entry, it.flows.as_slice()));
        return Ok(csv::book(entries, cellar, &uids).into());
    }
    let policy = Policy::of(cellar);
    let of = |sort, object: &dyn Fn(&Thing) -> Value| -> Vec<Value> {
        cellar
            .all()
            .filter(|it| it.sort == sort)
            .map(object)
            .collect()
    };
    let is_blind = Flight::of(cellar).is_some();
    let things: Vec<Value> = cellar
        .all()
        .map(|it| {
            let mut attributes = it.attributes.clone();
            // The wines of a blind tasting stand there in the order of their letters.
            if is_blind {
                attributes.remove(field::FLIGHT);
            }
            let mut object = json::Object::default();
            object
                .put("uid", it.uid.to_string())
                .put("sort", it.sort.word())
                .put("name", it.name())
                .put("attributes", serde_json::json!(attributes));
            object.value()
        })
        .collect();
    let racks = Racks::of(&cellar.things);
    let mut document = json::heading(cellar);
    document
        .put("things", things)
        .put(
            "vessels",
            of(Sort::Vessel, &|it| {
                json::vessel(it, cellar, &policy).value()
            }),
        )
        .put(
            "bottles",
            of(Sort::Run, &|it| {
                json::run(it, &racks, cellar, &policy).value()
            }),
        )
        .put(
            "supplies",
            of(Sort::Supply, &|it| json::supply(it, cellar).value()),
        )
        .put(
            "entries",
            listed
                .iter()
                .map(|it| json::entry(&it.entry, &it.flows, cellar, &uids))
                .collect::<Vec<_>>(),
        );
    Ok(Said::json(&document.value()))
}
