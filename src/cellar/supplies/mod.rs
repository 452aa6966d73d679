//! Supplies: what there is of each, how strong, what the work ahead takes of it, and when it runs out
//! at this cellar's own pace.

pub mod course;
pub mod needs;
pub mod pace;
pub mod to_buy;

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::attention::{Policy, Reason, words};
use super::bottling::{Cleanness, Closure, Finish, Package};
use super::dosing::{self, is_powder};
use super::entry::Dose;
use super::moment::Moment;
use super::snapshot::Snapshot;
use super::state::Draw;
use super::telling;
use super::thing::{CELLAR, Sort, Thing, field};

pub use needs::Need;
pub use pace::Pace;

/// All lots of a substance together.
#[derive(Clone, Debug)]
pub struct Supply<'a> {
    /// What it is, as the book calls it.
    pub substance: &'a str,
    /// Lots in use, the one to take from first.
    pub lots: Vec<Lot<'a>>,
    /// What is left of all of them; `None` where nobody knows of one, or they are counted in
    /// different units.
    pub left: Option<Dose>,
    /// What the work ahead takes of it, the soonest first.
    pub needs: Vec<Need>,
    /// How fast it goes; `None` while the book has too little to say.
    pub pace: Option<Pace>,
    now: Moment,
}

/// A lot in use.
#[derive(Clone, Debug)]
pub struct Lot<'a> {
    /// The lot.
    pub thing: &'a Thing,
    /// What is left of it.
    pub left: Option<Dose>,
    /// How strong a sulfite powder still is, %: low, usual, high.
    pub strength: Option<[f64; 3]>,
    /// Until when something is known of that; `None` while it is not opened.
    trusted_until: Option<Moment>,
}

/// Days on which it runs out, if nothing is bought: one in ten is sooner, the usual, one in ten is later.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunsOut {
    /// One in ten.
    pub low: Moment,
    /// The usual.
    pub mid: Moment,
    /// Nine in ten.
    pub high: Moment,
}

/// Longer ahead than this no day is named.
const FURTHEST_DAYS: f64 = 3_650.0;

/// Every supply in use: sulfite first, then what a bottling takes, then the rest by name. `reasons` are
/// what needs someone now: the doses among them are work ahead.
pub fn supplies<'a>(cellar: &'a Snapshot, policy: &Policy, reasons: &[Reason]) -> Vec<Supply<'a>> {
    let mut needs = needs::all(cellar, policy, reasons);
    let mut all: Vec<Supply> = by_substance(cellar)
        .into_iter()
        .map(|(substance, lots)| {
            let of_it = |it: &mut Need| it.substance == substance;
            Supply {
                needs: needs.extract_if(.., of_it).collect(),
                ..Supply::of(substance, lots, cellar)
            }
        })
        .filter(|it| !it.lots.is_empty())
        .collect();
    all.sort_by_key(|it| (it.group(), it.substance));
    all
}

/// Every lot there is or was, by what it is.
fn by_substance(cellar: &Snapshot) -> BTreeMap<&str, Vec<&Thing>> {
    let mut lots: BTreeMap<&str, Vec<&Thing>> = BTreeMap::new();
    for lot in cellar.all().filter(|it| it.sort == Sort::Supply) {
        let of_it = lots.entry(lot.text(field::SUBSTANCE)).or_default();
        of_it.push(lot);
    }
    lots
}

/// Since when a lot is open, UTC ms: since it was said to be opened or first taken from, whichever is sooner. Empty bottles have
/// no packet.
pub fn opened(lot: &Thing, cellar: &Snapshot) -> Option<i64> {
    let used = cellar.stock(lot.key).and_then(|it| it.first_used_ms);
    let used = used.filter(|_| Package::of_empties(lot).is_none());
    [lot.int(field::OPENED), used].into_iter().flatten().min()
}

/// How fast a substance goes, from all its lots, those used up among them.
fn pace(lots: &[&Thing], cellar: &Snapshot) -> Option<Pace> {
    let mut since = None;
    let mut draws: Vec<Draw> = Vec::new();
    for lot in lots {
        let Some(stock) = cellar.stock(lot.key) else {
            continue;
        };
        let bought = lot
            .int(field::BOUGHT)
            .or(stock.draws.first().map(|it| it.at_ms));
        since = [since, bought].into_iter().flatten().min();
        draws.extend(&stock.draws);
    }
    Pace::of(&draws, since?, cellar.now)
}

/// All of them in one unit; `None` where one is not known, or the units differ.
fn together(lots: impl Iterator<Item = Option<Dose>>) -> Option<Dose> {
    let mut sum: Option<Dose> = None;
    for left in lots {
        let left = left?;
        sum = Some(match sum {
            None => left,
            Some(sum) if sum.unit() == left.unit() => sum.plus(left),
            Some(_) => return None,
        });
    }
    sum
}

impl<'a> Lot<'a> {
    fn of(thing: &'a Thing, cellar: &Snapshot) -> Lot<'a> {
        Lot {
            thing,
            left: cellar.stock(thing.key).and_then(|it| it.left),
            strength: is_powder(thing.text(field::SUBSTANCE))
                .then(|| dosing::left_pct(thing, cellar))
                .flatten(),
            trusted_until: dosing::trusted_until(thing, cellar),
        }
    }
}

impl Lot<'_> {
    /// A lot of empties is called by all that tells it from another: its name, and of size, colour, cleanness
    /// and mouth what the name does not say.
    pub fn name(&self, cellar: &Snapshot) -> String {
        let own = self.thing.name();
        let Some(package) = Package::of_empties(self.thing) else {
            return own.to_owned();
        };
        let known = own.to_lowercase();
        let more = [
            Some(package.size_words(Package::empties_ml(self.thing))),
            Some(self.thing.text(field::COLOUR).to_owned()),
            Cleanness::of(self.thing, cellar.now).map(|it| it.label().to_owned()),
            Finish::of(self.thing).map(|it| it.word().to_owned()),
        ];
        let more = more.into_iter().flatten();
        let more = more.filter(|it| !it.is_empty() && !known.contains(&it.to_lowercase()));
        let more: Vec<String> = more.collect();
        match more.join(" ") {
            none if none.is_empty() => format!("empty {own}"),
            more => format!("empty {own}, {more}"),
        }
    }

    /// Whether the book has nothing left of it.
    fn is_used_up(&self) -> bool {
        self.left.is_some_and(|it| it.amount() <= 0)
    }

    /// What it cost, in the cellar's currency: `12.50 EUR`; `None` where nobody said.
    pub fn cost(&self, cellar: &Snapshot) -> Option<String> {
        let cost = self.thing.int(field::COST)? as f64 / 100.0;
        let currency = cellar
            .thing(CELLAR)
            .map_or("", |it| it.text(field::CURRENCY));
        Some(format!("{cost:.2} {currency}").trim_end().to_owned())
    }

    /// The last day on which it is as good as its maker says, in words.
    pub fn best_before(&self, cellar: &Snapshot) -> Option<String> {
        let end = cellar.now.at(self.thing.int(field::BEST_BEFORE)?);
        let past = if end < cellar.now { ", past" } else { "" };
        Some(format!("best before {}{past}", end.day_words()))
    }
}

impl<'a> Supply<'a> {
    /// From all lots there are or were, with no thought of the work ahead.
    fn of(substance: &'a str, mut lots: Vec<&'a Thing>, cellar: &Snapshot) -> Supply<'a> {
        let pace = pace(&lots, cellar);
        lots.retain(|it| it.is_open());
        // The one that was opened first is used up first; one never opened waits.
        lots.sort_by_key(|it| {
            let opened = opened(it, cellar);
            (opened.is_none(), opened, it.int(field::BOUGHT), it.key)
        });
        let mut lots: Vec<Lot> = lots.into_iter().map(|it| Lot::of(it, cellar)).collect();
        // What is said of all lots together stands by the first, and nothing is taken from an empty one.
        lots.sort_by_key(Lot::is_used_up);
        Supply {
            substance,
            left: together(lots.iter().map(|it| it.left)),
            lots,
            needs: Vec::new(),
            pace,
            now: cellar.now,
        }
    }
}

impl Supply<'_> {
    /// As people call it: `corks`, `potassium metabisulfite`.
    pub fn name(&self) -> String {
        telling::substance(self.substance)
    }

    /// Where it stands among the others.
    fn group(&self) -> usize {
        match self.substance {
            it if is_powder(it) => 0,
            "sulfite-tablet" => 1,
            "bottle" => 2,
            it if Closure::from_word(it).is_some() => 3,
            _ => 4,
        }
    }

    /// What the work ahead takes of it in all; what nobody can say the amount of is not in it.
    pub fn planned(&self) -> Option<Dose> {
        let known: Vec<Dose> = self.needs.iter().filter_map(|it| it.amount).collect();
        together(known.into_iter().map(Some))
    }

    /// What is left after that; below zero where it does not last.
    pub fn remains(&self) -> Option<Dose> {
        match (self.left?, self.planned()) {
            (left, None) => Some(left),
            (left, Some(planned)) if left.unit() == planned.unit() => {
                Some(left.plus(planned.times(-1)))
            }
            _ => None,
        }
    }

    /// Whether the work ahead takes more than there is.
    pub fn is_short(&self) -> bool {
        self.remains().is_some_and(|it| it.amount() < 0)
    }

    /// When it runs out at this cellar's pace; `None` where that is not known, or too far to say.
    pub fn runs_out(&self) -> Option<RunsOut> {
        let left = self.left?.amount();
        if left <= 0 {
            return None;
        }
        let [low, mid, high] = self.pace?.days_to(left as f64);
        let day = |days: f64| self.now.plus_days(days.round() as i64);
        (mid <= FURTHEST_DAYS).then(|| RunsOut {
            low: day(low),
            mid: day(mid),
            high: day(high.min(2.0 * FURTHEST_DAYS)),
        })
    }

    /// From when on nothing is known of the strength of a sulfite powder of which there is more than is used up by then: the last of
    /// its opened lots. `None` while one was not opened.
    pub fn stale(&self) -> Option<Moment> {
        let powder = is_powder(self.substance).then_some(&self.lots)?;
        let lots = powder.iter().filter(|it| !it.is_used_up());
        let until: Option<Vec<Moment>> = lots.map(|it| it.trusted_until).collect();
        let last = until?.into_iter().max()?;
        let is_left = self.runs_out().is_none_or(|it| it.mid > last);
        (is_left && self.pace.is_some()).then_some(last)
    }

    /// How long it lasts, in words: `runs out about Mar 2027 (Jan to Aug 2027)`; of a powder that is too weak before, when that is.
    pub fn lasting(&self) -> String {
        let Some(pace) = self.pace else {
            return "too few uses to say how long it lasts".to_owned();
        };
        let month = |it: Moment| it.date().format("%b %Y").to_string();
        let is_powder = is_powder(self.substance);
        let lasts = match self.runs_out() {
            Some(out) => format!(
                "runs out about {} ({} to {})",
                month(out.mid),
                month(out.low),
                month(out.high)
            ),
            None if self.left.is_some_and(|it| it.amount() <= 0) => return "used up".to_owned(),
            None if self.left.is_none() => return "not known how much is left".to_owned(),
            None if is_powder => "enough for more than ten years".to_owned(),
            None => format!(
                "lasts more than ten years at {} in {}",
                words::count(pace.uses as i64, "use"),
                words::span(pace.days)
            ),
        };
        let too_weak = |when: &str| {
            format!("{lasts}; too weak {when}, since open powder loses 10–20 % a year")
        };
        match self.stale() {
            Some(day) if day <= self.now => too_weak("by now"),
            Some(day) => too_weak(&format!("from about {}", month(day))),
            None if is_powder && self.runs_out().is_none() => {
                too_weak("two years after it is opened")
            }
            None => lasts,
        }
    }
}

/// Sulfite powder at a glance: grams, how strong it is now, and for how many more doses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SulfiteGlance {
    /// Grams of all lots in use.
    pub grams: f64,
    /// How strong they are, by weight, %: low, usual, high; of those that are known.
    pub strength: Option<[f64; 3]>,
    /// Grams of lots whose strength nobody knows.
    pub unknown_g: f64,
    /// How many more doses; `None` where no wine is there to dose and none was dosed yet.
    pub doses: Option<f64>,
    /// Whether a dose is taken as the middle of this cellar's own, else as the usual one for all its
    /// wine.
    pub own: bool,
    /// How often it was put into wine, as far as the book remembers.
    pub given: usize,
}

/// What there is of sulfite powder; `None` where none is weighed.
pub fn sulfite(cellar: &Snapshot, policy: &Policy) -> Option<SulfiteGlance> {
    let mut powders = by_substance(cellar);
    powders.retain(|it, _| is_powder(it));
    let lots = powders.values().flatten().filter(|it| it.is_open());
    let weighed: Vec<(f64, Option<[f64; 3]>)> = lots
        .filter_map(|it| match cellar.stock(it.key)?.left? {
            Dose::Mass(mass) => {
                let strength = dosing::left_pct(it, cellar);
                Some((mass.in_grams().max(0.0), strength))
            }
            Dose::Volume(_) | Dose::Count(_) | Dose::Packets(_) | Dose::Tablets(_) => None,
        })
        .collect();
    let grams: f64 = (!weighed.is_empty()).then(|| weighed.iter().map(|it| it.0).sum())?;
    let known = || weighed.iter().filter_map(|it| Some((it.0, it.1?)));
    let known_g: f64 = known().map(|it| it.0).sum();
    let of_all = |at: usize| known().map(|it| it.0 * it.1[at]).sum::<f64>() / known_g;
    let paces = powders.values().filter_map(|it| pace(it, cellar));
    let own = paces
        .min_by_key(|it| Reverse(it.uses))
        .and_then(|it| Some(it.dose? / 1e6));
    let usual = litres_in_vessels(cellar) * policy.next_dose_g_l;
    let dose = own.or((usual > 0.0).then_some(usual));
    Some(SulfiteGlance {
        grams,
        strength: (known_g > 0.0).then(|| [0, 1, 2].map(of_all)),
        unknown_g: grams - known_g,
        doses: dose.map(|it| grams / it),
        own: own.is_some(),
        given: powders
            .values()
            .flatten()
            .filter_map(|it| cellar.stock(it.key))
            .flat_map(|it| &it.draws)
            .filter(|it| it.into_wine)
            .count(),
    })
}

/// Wine in all vessels together.
pub fn litres_in_vessels(cellar: &Snapshot) -> f64 {
    cellar
        .open(Sort::Vessel)
        .filter_map(|it| cellar.wine(it.key))
        .map(|it| it.volume.in_litres().max(0.0))
        .sum()
}

impl SulfiteGlance {
    /// `sulfite 211 g, about 92 % strong, 190 more doses`.
    pub fn words(&self) -> String {
        let unknown = match self.unknown_g {
            some if some > 0.0 => format!(", {some:.0} g of it of unknown strength"),
            _ => String::new(),
        };
        let strength = match self.strength {
            Some([low, usual, high]) if low < high => {
                format!(", about {usual:.0} % strong{unknown}")
            }
            // One never opened is as strong as it was bought.
            Some(_) => unknown,
            None => ", strength not known".to_owned(),
        };
        let doses = match self.doses.map(|it| (it.round() as i64, self.own)) {
            Some((doses, true)) => format!(", {doses} more doses like yours"),
            Some((0, false)) => ", too little to dose all wine here".to_owned(),
            Some((1, false)) => ", doses all wine here once".to_owned(),
            Some((times, false)) => format!(", doses all wine here {times} times"),
            None if self.given == 0 => ", no dose yet".to_owned(),
            None => ", few doses yet".to_owned(),
        };
        format!("sulfite {:.0} g{strength}{doses}", self.grams)
    }
}

#[cfg(test)]
mod tests;
