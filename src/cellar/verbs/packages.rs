//! What a wine is filled into: read from a form, and held to the limits of bottle, jug, bag or keg.

use leesline_calc::quantity::Quantity;

use super::read::{number, word};
use super::{Form, Refusal};
use crate::cellar::bottling::{Closure, Package, bar, drawn, package_of};
use crate::cellar::entry::Draft;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Value, field};

/// What is filled, what closes it, and what pressure it stands.
pub(super) struct Filled {
    pub(super) package: Package,
    pub(super) closure: Closure,
    pub(super) size_ml: i64,
    /// As printed on the keg, kPa over the air's.
    rating_kpa: Option<f64>,
    /// That it is kept under, kPa over the air's.
    pressure_kpa: Option<f64>,
}

impl Filled {
    /// As the form says. Refused is what can never be: a closure that the package does not have, a size
    /// there is none of, pressure on glass or in a bag, more pressure than a keg is rated for.
    pub(super) fn of(form: &Form, cellar: &Snapshot) -> Result<Filled, Refusal> {
        let closure = word(form, "closure", Closure::WORDS)?;
        let package = word(form, "package", Package::WORDS)?;
        let (package, closure) =
            package_of(package, closure).map_err(|it| Refusal::book(Some("closure"), it))?;
        let size_ml = size(form, package, cellar)?;
        let said = rating(form, package, cellar)?;
        let filled = Filled {
            package,
            closure: closure.unwrap_or(package.closures()[0]),
            size_ml,
            rating_kpa: said.or_else(|| rated(package, size_ml, cellar)),
            pressure_kpa: pressure(form, "pressure", (0.0, 2_000.0), cellar)?,
        };
        filled.stands(filled.pressure_kpa.unwrap_or(0.0))?;
        Ok(filled)
    }

    /// Refuses a pressure that it does not stand.
    pub(super) fn stands(&self, kpa: f64) -> Result<(), Refusal> {
        let refused = |sentence: String| Err(Refusal::book(Some("pressure"), sentence));
        if kpa <= 0.0 {
            return Ok(());
        }
        if !self.package.takes_pressure() {
            return refused(format!(
                "A {} is never put under pressure, since it bursts; give --package keg with its --rating, or let the gas off.",
                self.package.label()
            ));
        }
        match self.rating_kpa {
            None => refused(format!(
                "What the keg is rated for is not known; read it off the keg and give --rating, such as 9 bar, before {} goes on it.",
                bar(kpa)
            )),
            Some(rating) if kpa > rating => refused(format!(
                "{} is more than the {} that the keg is rated for; let gas off, or take a keg that stands it.",
                bar(kpa),
                bar(rating)
            )),
            Some(_) => Ok(()),
        }
    }

    /// What the run keeps of it.
    pub(super) fn set(&self, draft: &mut Draft, run: Key) {
        draft.set(run, field::SIZE, Value::Int(self.size_ml));
        draft.set(run, field::CLOSURE, self.closure.word());
        if self.package != Package::Bottle {
            draft.set(run, field::PACKAGE, self.package.word());
        }
        for (name, kpa) in [
            (field::RATING, self.rating_kpa),
            (field::PRESSURE, self.pressure_kpa),
        ] {
            if let Some(kpa) = kpa {
                draft.set(run, name, Value::Real(kpa));
            }
        }
    }

    /// Refuses to fill one with more than it holds.
    pub(super) fn holds(&self, size_ml: i64) -> Result<(), Refusal> {
        match self.package.overfilled(self.size_ml, size_ml) {
            Some(sentence) => Err(Refusal::book(Some("filled"), sentence)),
            None => Ok(()),
        }
    }
}

/// Size in whole millilitres, within what there is of that package.
pub(super) fn size(form: &Form, package: Package, cellar: &Snapshot) -> Result<i64, Refusal> {
    let (least, most) = package.sizes_ml();
    let range = (least as f64, most as f64);
    let size = number(form, "size", Quantity::SmallVolume, range, cellar)?;
    Ok(size.map_or(package.usual_ml(), |it| it.round() as i64))
}

/// The rating typed, kPa; only a keg has one.
pub(super) fn rating(
    form: &Form,
    package: Package,
    cellar: &Snapshot,
) -> Result<Option<f64>, Refusal> {
    let rating = pressure(form, "rating", (10.0, 5_000.0), cellar)?;
    if rating.is_some() && !package.takes_pressure() {
        return Err(Refusal::input(
            "rating",
            format!(
                "A {} has no rating, since it is never put under pressure; leave it out.",
                package.label()
            ),
        ));
    }
    Ok(rating)
}

/// A pressure within what is allowed, kPa. A bare number is refused: kegs are marked in bar and in psi, and
/// one taken for the other is wrong by more than ten times.
fn pressure(
    form: &Form,
    key: &'static str,
    allowed: (f64, f64),
    cellar: &Snapshot,
) -> Result<Option<f64>, Refusal> {
    let text = form.get(key).unwrap_or_default().trim();
    let is_bare = !text.ends_with(char::is_alphabetic);
    let kpa = number(form, key, Quantity::Pressure, (0.0, f64::MAX), cellar)?;
    let Some(kpa) = kpa.filter(|it| *it > 0.0) else {
        return Ok(kpa);
    };
    if is_bare {
        return Err(Refusal::input(
            key,
            format!(
                "`{text}` has no unit; write `{text} bar` or `{text} psi`, as it is printed or as the gauge shows it."
            ),
        ));
    }
    if !(allowed.0..=allowed.1).contains(&kpa) {
        return Err(Refusal::input(
            key,
            format!(
                "`{text}` is outside {} to {}; check the number and its unit.",
                bar(allowed.0),
                bar(allowed.1)
            ),
        ));
    }
    Ok(Some(kpa))
}

/// The lowest rating of the empty ones there are of that size, kPa: which of them is taken nobody said.
fn rated(package: Package, size_ml: i64, cellar: &Snapshot) -> Option<f64> {
    let lots = drawn(package, None, cellar).into_iter();
    let of_size = lots.filter(|it| Package::empties_ml(it) == size_ml);
    of_size
        .filter_map(|it| it.real(field::RATING))
        .reduce(f64::min)
}
