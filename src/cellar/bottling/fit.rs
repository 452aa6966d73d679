//! Whether a closure fits the bottles there are.
//!
//! A closure that a package never takes is refused, since the book would lie. Bottles on hand that
//! take another are a question only: people own more bottles than they wrote down. Where a cork would
//! be driven into a screw neck the question must be answered, since that can hurt.

use leesline_calc::hazards::SCREW_NECK;

use super::{Closure, Finish, Package, left, lots};
use crate::cellar::snapshot::Snapshot;

/// What speaks against a closure on the bottles there are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misfit {
    /// The size of the bottles, mL.
    pub size_ml: i64,
    /// Why, and what fits.
    pub sentence: String,
    /// What fits, in a line of the smallest screen.
    pub short: String,
    /// Whether it can hurt to go on.
    pub hurts: bool,
}

/// What speaks against closing empties of that size so; nothing where one fits or may fit, or the book
/// has none.
pub fn fits(package: Package, size_ml: i64, closure: Closure, cellar: &Snapshot) -> Option<Misfit> {
    let finishes: Vec<Finish> = lots(package.word(), cellar)
        .filter(|it| {
            Package::empties_ml(it) == size_ml
                && left(it.key, cellar).is_some_and(|it| it.amount() > 0)
        })
        .map(Finish::of)
        .collect::<Option<_>>()?;
    let first = finishes.first()?;
    if finishes.iter().any(|it| it.takes(closure)) {
        return None;
    }
    let hurts = closure.is_driven() && finishes.contains(&Finish::Screw);
    let mut sentence = format!(
        "The {} {}s on hand are {}, where a {} does not hold: close them with {}, or take others.",
        package.size_words(size_ml),
        package.label(),
        first.label(),
        closure.label(),
        first.wants()
    );
    if hurts {
        sentence = format!("{sentence} {}", SCREW_NECK.short);
    }
    let short = format!("{} here: {}.", package.size_words(size_ml), first.wants());
    Some(Misfit {
        size_ml,
        sentence,
        short,
        hurts,
    })
}

/// What is filled and what closes it, from their words. A tap is a bag's and a lid a keg's, so that either
/// word will do. What can never be is an error that says what can.
pub fn package_of(
    package: Option<&str>,
    closure: Option<&str>,
) -> Result<(Package, Option<Closure>), String> {
    let closure = closure.and_then(Closure::from_word);
    let package = package
        .and_then(Package::from_word)
        .unwrap_or(match closure {
            Some(Closure::Tap) => Package::Bag,
            Some(Closure::Lid) => Package::Keg,
            _ => Package::Bottle,
        });
    match closure.filter(|it| !package.closures().contains(it)) {
        None => Ok((package, closure)),
        Some(never) => {
            let words: Vec<&str> = package.closures().iter().map(|it| it.word()).collect();
            Err(format!(
                "A {} is not closed by a {}; give --closure {}.",
                package.label(),
                never.label(),
                words.join(" or ")
            ))
        }
    }
}
