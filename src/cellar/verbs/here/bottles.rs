//! Bottles that were here before the book.

use super::super::loose::{self, Loose};
use super::super::packages;
use super::super::pull::stow;
use super::super::read::{count, word};
use super::super::things::wine_said;
use super::super::{Form, Prepared, Refusal};
use super::{asked, batch_named};
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Closure, Package, package_of};
use crate::cellar::entry::{Amount, BottleMove, Draft, Kept, Kind, Movement, Posture, Spot};
use crate::cellar::moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Account, Key, Sort, Value, field};

pub(super) fn bottles_here(
    form: &Form,
    said: &str,
    cellar: &Snapshot,
) -> Result<Prepared, Refusal> {
    let name = form.get("name").unwrap_or_default();
    let (package, closure) = packaged(form)?;
    let (size_ml, many) = many(form, said, package, cellar)?;
    let mut draft = Draft::new(Kind::Here, cellar.now);
    let run = begin(&mut draft, (package, closure), size_ml, form, cellar)?;
    let batch = batch_named(&mut draft, form.get("holds").unwrap_or(name), form, cellar)?;
    draft.movements.push(Movement {
        from: Account::Before.key(),
        to: run,
        amount: many.counted.map_or(Amount::NotKnown, |it| {
            Amount::Exactly(Volume::millilitres(size_ml * it))
        }),
        about: many.about,
        batch: Some(batch),
    });
    let what = package.label();
    let Some(counted) = many.counted else {
        let sentence = match package {
            Package::Bottle => format!("Bottles of {name} are here, not counted."),
            _ => format!("{name} is here in {what}s, not counted."),
        };
        return asked(draft, sentence, wine_said(form));
    };
    let at = form.get("where").unwrap_or_default();
    let moved = vec![BottleMove {
        run,
        size_ml,
        count: counted,
        from: Spot::Outside(Account::Before.key()),
        to: Spot::Kept(Kept::at(
            Posture::usual(closure.map_or("", Closure::word)),
            at,
        )),
        about: many.about,
    }];
    // Bottles known only about have no slots of their own.
    let (stowed, place) = if many.about {
        (moved, at.to_owned())
    } else {
        stow(moved, "where", at, cellar)?
    };
    draft.bottles = stowed;
    if loose::names_a_case(said) {
        draft.note = format!("{said}, a case taken as 12 bottles (common practice)");
    } else if many.between.is_some() {
        draft.note = format!("{said} {what}s");
    }
    let place = Some(place).filter(|it| it != at);
    let place = place.map_or_else(String::new, |it| format!(", in {it}"));
    let noun = if counted == 1 && !many.about {
        format!("{what} of {name} is")
    } else {
        format!("{what}s of {name} are")
    };
    let words = if many.about { "About " } else { "" };
    let span = many.between.map_or_else(String::new, |(low, high)| {
        format!(" ({low:.0} to {high:.0})")
    });
    let sentence = format!("{words}{counted}{span} {noun} here{place}.");
    asked(draft, sentence, wine_said(form))
}

/// How many there are said to be.
struct Many {
    /// `None` if nobody counted them.
    counted: Option<i64>,
    about: bool,
    /// The fewest and the most, if that was said.
    between: Option<(f64, f64)>,
}

/// Their size in mL, which may be said with their number, and how many.
fn many(
    form: &Form,
    said: &str,
    package: Package,
    cellar: &Snapshot,
) -> Result<(i64, Many), Refusal> {
    let of_size = loose::bottles_of_size(said);
    let size_ml = match of_size {
        Some((_, size_ml)) if form.get("size").is_none() => size_ml,
        _ => packages::size(form, package, cellar)?,
    };
    let loosely = match of_size {
        Some((many, _)) => Some(Loose::Exactly(many as f64)),
        None => loose::bottles(said),
    };
    let (counted, about, between) = match loosely {
        Some(Loose::Exactly(many)) => (Some(many as i64), false, None),
        Some(Loose::NotKnown) => (None, true, None),
        Some(Loose::About(many, between)) => (Some(many as i64), true, between),
        _ => {
            let (many, about) = count(form, "bottles")?.unwrap_or_default();
            (Some(many), about, None)
        }
    };
    let many = Many {
        counted,
        about,
        between,
    };
    Ok((size_ml, many))
}

/// Begins their run, with what is known of it.
fn begin(
    draft: &mut Draft,
    (package, closure): (Package, Option<Closure>),
    size_ml: i64,
    form: &Form,
    cellar: &Snapshot,
) -> Result<Key, Refusal> {
    let run = draft.begin(Sort::Run, form.get("name").unwrap_or_default());
    draft.subject = Some(run);
    draft.set(run, field::SIZE, Value::Int(size_ml));
    draft.set(run, field::FINISHED, Value::Int(cellar.now.utc_ms));
    if let Some(closure) = closure {
        draft.set(run, field::CLOSURE, closure.word());
    }
    if package != Package::Bottle {
        draft.set(run, field::PACKAGE, package.word());
    }
    if let Some(words) = form.get("since") {
        lie_there_since(draft, run, words, cellar)?;
    }
    if let Some(at) = form.get("where").filter(|it| !it.is_empty()) {
        draft.set(run, field::ROOM, at);
    }
    Ok(run)
}

/// What it is in and what closes that, as far as it is known: a bag has its tap and a keg its lid.
fn packaged(form: &Form) -> Result<(Package, Option<Closure>), Refusal> {
    let closure = word(form, "bottle-closure", Closure::WORDS)?;
    let (package, closure) =
        package_of(word(form, "package", Package::WORDS)?, closure).map_err(|it| {
            let sentence = it.replace("--closure", "--bottle-closure");
            Refusal::book(Some("bottle-closure"), sentence)
        })?;
    Ok(match package.closures() {
        [only] => (package, Some(*only)),
        _ => (package, closure),
    })
}

/// Since when bottles lie there, which their window is reckoned from.
fn lie_there_since(
    draft: &mut Draft,
    run: Key,
    words: &str,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    moment::refuse_too_early(words).map_err(|it| Refusal::input("since", it.to_string()))?;
    if moment::is_to_come(words) {
        return Err(Refusal::input(
            "since",
            format!("`{words}` is after now; say since when they lie there."),
        ));
    }
    let words = moment::to_keep(words, cellar.now);
    draft.set(run, field::SINCE_WORDS, Value::Text(words));
    Ok(())
}
