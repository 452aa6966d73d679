//! The powder that a dose would be taken from: which lot, and how strong it still is.

use leesline_calc::sulfite::{POWDER_LOSS_PER_YEAR, powder_left};

use super::known::{Known, Sign};
use crate::cellar::attention::words::span;
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::supplies::opened;
use crate::cellar::thing::{Sort, Thing, field};

/// Powders that bring sulfite, and the calculators' word for each.
const POWDERS: [(&str, &str); 2] = [
    ("potassium-metabisulfite", "potassium"),
    ("sodium-metabisulfite", "sodium"),
];

/// Tablets that bring it.
const TABLET: &str = "sulfite-tablet";

/// Past this nothing is known of its strength.
const LONGEST_DAYS: f64 = 2.0 * 365.25;

/// Which salt it is, in the calculators' word.
pub(super) fn salt(lot: &Thing) -> Option<Known> {
    let of = lot.text(field::SUBSTANCE);
    let (_, word) = POWDERS.iter().find(|(powder, _)| *powder == of)?;
    Some(Known::from_book(*word, lot.name()))
}

/// Whether it is a powder that brings sulfite: one stands in for the other.
pub fn is_powder(substance: &str) -> bool {
    POWDERS.iter().any(|(powder, _)| *powder == substance)
}

/// The oldest open lot of sulfite powder that has something left.
pub fn lot(cellar: &Snapshot) -> Option<&Thing> {
    oldest(cellar, |it| is_powder(it.text(field::SUBSTANCE)))
}

/// The oldest open lot of sulfite tablets that has something left.
pub fn tablets(cellar: &Snapshot) -> Option<&Thing> {
    oldest(cellar, is_tablets)
}

pub(super) fn is_tablets(lot: &Thing) -> bool {
    lot.text(field::SUBSTANCE) == TABLET
}

/// What one tablet gives, by the label of its lot.
pub(super) fn so2_of_a_tablet(lot: &Thing) -> Option<Known> {
    let each_mg = lot.real(field::TABLET_SO2)?;
    Some(Known::from_book(each_mg.to_string(), lot.name()))
}

fn oldest(cellar: &Snapshot, is_it: impl Fn(&Thing) -> bool) -> Option<&Thing> {
    let has_some = |lot: &&Thing| {
        let left = cellar.stock(lot.key).and_then(|it| it.left);
        left.is_none_or(|it| it.amount() > 0)
    };
    let lots = cellar
        .open(Sort::Supply)
        .filter(|it| is_it(it))
        .filter(has_some);
    lots.min_by_key(|it| (it.int(field::BOUGHT), it.key))
}

/// Since when it loses strength: since it was opened, or since its day was past if that was sooner, since nobody answers for it
/// from then on (house estimate). Beside it whether it was opened.
fn losing_since(lot: &Thing, cellar: &Snapshot) -> Option<(Moment, bool)> {
    let at = |it: Option<i64>| it.map(|it| cellar.now.at(it));
    let past = at(lot.int(field::BEST_BEFORE)).filter(|it| *it < cellar.now);
    match (at(opened(lot, cellar)), past) {
        (Some(opened), past) if past.is_none_or(|it| opened <= it) => Some((opened, true)),
        (_, past) => Some((past?, false)),
    }
}

/// The powder's strength: as bought, less what it loses once opened or past its day.
pub(super) fn strength(lot: &Thing, cellar: &Snapshot) -> Known {
    let bought = lot.real(field::STRENGTH);
    let fresh = bought.unwrap_or(100.0);
    let Some((since, is_opened)) = losing_since(lot, cellar) else {
        let words = "not opened yet";
        return match bought {
            Some(strength) => Known::from_book(format!("{strength:.0}"), words),
            None => Known::assumed("100", words),
        };
    };
    let days = cellar.now.days_since(since);
    let [least, usual, most] = opened_for(fresh, days);
    let what = if is_opened { "opened" } else { "past its day" };
    let ago = if is_opened { " ago" } else { "" };
    let mut words = format!("{what} {}{ago}", span(days));
    if days as f64 > LONGEST_DAYS {
        words.push_str("; of its strength nothing is known past two years: take fresh powder");
    }
    Known {
        sign: Sign::Rough,
        band: Some((least, most)),
        why: "Opened powder is said to lose 10–20 % of its strength a year (from memory: Zoecklein and others, Wine Analysis and Production); past its day it is taken as opened.",
        ..Known::from_book(format!("{usual:.0}"), words)
    }
}

/// How strong it is taken to be by all that is known of it, %: its dose is reckoned with that.
pub fn strength_pct(lot: &Thing, cellar: &Snapshot) -> f64 {
    let fresh = lot.real(field::STRENGTH).unwrap_or(100.0);
    let since = losing_since(lot, cellar);
    since.map_or(fresh, |(since, _)| {
        opened_for(fresh, cellar.now.days_since(since))[1]
    })
}

/// How strong a powder still is, %: low, usual, high. `None` past two years after it was opened, or after its day: of its
/// strength nothing is known then.
pub fn left_pct(lot: &Thing, cellar: &Snapshot) -> Option<[f64; 3]> {
    let fresh = lot.real(field::STRENGTH).unwrap_or(100.0);
    let Some((since, _)) = losing_since(lot, cellar) else {
        return Some([fresh; 3]);
    };
    let days = cellar.now.days_since(since);
    (days as f64 <= LONGEST_DAYS).then(|| opened_for(fresh, days))
}

/// Until when something is known of the strength of an opened powder; `None` of one that loses none yet.
pub fn trusted_until(lot: &Thing, cellar: &Snapshot) -> Option<Moment> {
    let (since, _) = losing_since(lot, cellar)?;
    Some(since.plus_days(LONGEST_DAYS as i64))
}

/// A strength given is of the day on which it was opened.
fn opened_for(fresh: f64, days: i64) -> [f64; 3] {
    let months = days.max(0) as f64 * 12.0 / 365.25;
    let (slow, usual, fast) = POWDER_LOSS_PER_YEAR;
    [fast, usual, slow].map(|loss| (fresh * powder_left(loss, months)).clamp(10.0, 100.0))
}
