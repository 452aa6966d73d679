//! What the screen shows, in words: a row a lot, and what to buy. Derived once from the cellar and kept
//! until it changes.

use crate::cellar::attention::Rank;
use crate::cellar::bottling::{Cleanness, Closure, Finish, Package, PutOut};
use crate::cellar::dosing::is_powder;
use crate::cellar::entry::Dose;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::supplies::to_buy::{ToBuy, soon_words, to_buy};
use crate::cellar::supplies::{self, Lot, Supply};
use crate::cellar::telling;
use crate::cellar::thing::{Key, field};
use crate::tui::message::{Call, Facts};

/// Everything on the screen.
#[derive(Debug)]
pub(super) struct Shown {
    /// The line at the top: sulfite at a glance.
    pub(super) head: String,
    pub(super) rows: Vec<Row>,
    pub(super) to_buy: Vec<Wanted>,
    /// What stands over what is to be bought: how much of it soon, how much later.
    pub(super) buying: String,
}

/// A lot.
#[derive(Debug)]
pub(super) struct Row {
    pub(super) lot: Key,
    pub(super) name: String,
    pub(super) left: String,
    /// What the work ahead takes, or how much is lacking for it.
    pub(super) ahead: String,
    pub(super) lasts: String,
    pub(super) lasts_short: String,
    /// How pressing what is said of it is, if anything is.
    pub(super) rank: Option<Rank>,
    /// More of it, line by line, the name first.
    pub(super) about: Vec<String>,
    /// Of what there was: what remains after the work ahead, and what that takes, 0–1.
    remains: f64,
    planned: f64,
}

/// Something to buy.
#[derive(Debug)]
pub(super) struct Wanted {
    pub(super) substance: String,
    /// The vessel or batch that it is for.
    pub(super) subject: Key,
    pub(super) what: String,
    pub(super) why: String,
}

impl Shown {
    pub(super) fn of(facts: &Facts, out: &PutOut) -> Shown {
        let cellar = &facts.cellar;
        let all = supplies::supplies(cellar, &facts.policy, &facts.reasons);
        let glance = supplies::sulfite(cellar, &facts.policy);
        let head = glance.map_or("Supplies".to_owned(), |it| telling::capital(&it.words()));
        let wanted = to_buy(cellar, &facts.policy, &facts.reasons);
        let of = |it| Wanted::of(it, cellar);
        Shown {
            head,
            rows: all.iter().flat_map(|it| rows(it, facts, out)).collect(),
            to_buy: wanted.iter().map(of).collect(),
            buying: buying(&wanted, facts),
        }
    }
}

/// `To buy: 2 within 2 weeks, 1 later`.
fn buying(wanted: &[ToBuy], facts: &Facts) -> String {
    let is_soon = |it: &&ToBuy| it.is_soon(&facts.cellar, &facts.policy);
    let soon = wanted.iter().filter(is_soon).count();
    let within = soon_words(&facts.policy);
    match wanted.len() - soon {
        0 => format!("To buy within {within}"),
        later => format!("To buy: {soon} within {within}, {later} later"),
    }
}

impl Wanted {
    /// Writes it down as bought; how much, the person says. Empty bottles have a verb of their own.
    pub(super) fn call(&self) -> Call {
        let (verb, values, need) = match Package::from_word(&self.substance) {
            Some(package) => (
                "empties add",
                vec![("package".to_owned(), package.word().to_owned())],
                "count",
            ),
            None => (
                "buy",
                vec![("substance".to_owned(), self.substance.clone())],
                "amount",
            ),
        };
        Call {
            about: None,
            name: verb.to_owned(),
            values,
            needs: vec![need.to_owned()],
        }
    }

    fn of(it: &ToBuy, cellar: &Snapshot) -> Wanted {
        let by = match it.by_words(cellar) {
            none if none.is_empty() => none,
            by => format!("{by}, "),
        };
        Wanted {
            substance: it.need.substance.clone(),
            subject: it.need.subject,
            what: format!("{} {}", it.how_much(), it.what()).trim().to_owned(),
            why: format!("{by}for {}; {}", it.need.for_what(cellar), it.there_words()),
        }
    }
}

impl Row {
    /// What remains in full blocks, what is planned in grey ones, what is gone as dots.
    pub(super) fn bar(&self, cells: usize) -> String {
        let of = |share: f64| (share * cells as f64).round() as usize;
        let full = of(self.remains).min(cells);
        // What is planned shows, be it ever so little.
        let least = usize::from(self.planned > 0.0 && full < cells);
        let grey = of(self.planned).max(least).min(cells - full);
        let dots = cells - full - grey;
        format!(
            "{}{}{}",
            "█".repeat(full),
            "▒".repeat(grey),
            "·".repeat(dots)
        )
    }
}

/// A row a lot, the one to take from first. What is said of them all stands by that.
fn rows(supply: &Supply, facts: &Facts, out: &PutOut) -> Vec<Row> {
    // The work ahead takes from the first lot what there is of it, then from the next.
    let mut to_take = supply.planned().map_or(0, Dose::amount);
    let lots = supply.lots.iter().enumerate();
    let row = |(at, lot): (usize, &Lot)| {
        let cellar = &facts.cellar;
        let left = lot.left.map_or(0, |it| it.amount().max(0));
        let taken = to_take.min(left);
        to_take -= taken;
        let drawn = cellar
            .stock(lot.thing.key)
            .map_or(0, |it| it.draws.iter().map(|it| it.amount).sum());
        let whole = (left + drawn).max(1) as f64;
        let is_first = at == 0;
        let said = |words: String| if is_first { words } else { String::new() };
        let reason = facts.reasons_for(lot.thing.key).next();
        let short = is_first && supply.is_short();
        Row {
            lot: lot.thing.key,
            name: lot.name(cellar),
            left: lot.left.map_or("not known".to_owned(), telling::dose),
            ahead: said(ahead(supply)),
            lasts: said(supply.lasting()),
            lasts_short: said(short_lasting(supply)),
            rank: reason.map(|it| it.rank).or(short.then_some(Rank::Soon)),
            about: about(supply, lot, cellar, out),
            remains: (left - taken) as f64 / whole,
            planned: taken as f64 / whole,
        }
    };
    lots.map(row).collect()
}

/// `takes 27`, `5 short`.
fn ahead(supply: &Supply) -> String {
    match (supply.planned(), supply.remains()) {
        (_, Some(rest)) if rest.amount() < 0 => format!("{} short", telling::dose(rest.times(-1))),
        (Some(planned), _) => format!("takes {}", telling::dose(planned)),
        (None, _) if !supply.needs.is_empty() => "takes some".to_owned(),
        (None, _) => String::new(),
    }
}

/// `to ~Mar 2027`; of a powder that is too weak before, `weak ~Mar 2027`.
fn short_lasting(supply: &Supply) -> String {
    if let Some(day) = supply.stale() {
        return day.date().format("weak ~%b %Y").to_string();
    }
    match supply.runs_out() {
        Some(out) => format!("to ~{}", out.mid.date().format("%b %Y")),
        None if supply.pace.is_none() => "pace not known".to_owned(),
        None if supply.left.is_some_and(|it| it.amount() <= 0) => "used up".to_owned(),
        None => "over ten years".to_owned(),
    }
}

/// More of a lot, line by line.
fn about(supply: &Supply, lot: &Lot, cellar: &Snapshot, out: &PutOut) -> Vec<String> {
    let thing = lot.thing;
    let day = |at: Option<i64>| at.map(|it| cellar.now.at(it).day_words());
    let mut kept = vec![supply.name()];
    kept.extend(day(thing.int(field::BOUGHT)).map(|it| format!("bought {it}")));
    kept.extend(day(supplies::opened(thing, cellar)).map(|it| format!("opened {it}")));
    let number = thing.text(field::MAKERS_LOT);
    kept.extend((!number.is_empty()).then(|| format!("maker's lot {number}")));
    kept.extend(lot.best_before(cellar));
    kept.extend(lot.cost(cellar).map(|it| format!("cost {it}")));
    kept.extend(Finish::of(thing).map(|it| it.label().to_owned()));
    kept.extend(Cleanness::of(thing, cellar.now).map(|it| it.label().to_owned()));
    let mut lines = vec![lot.name(cellar), kept.join(", ")];
    lines.extend(counted(lot, cellar));
    if let Some(out) = out.get(&thing.key) {
        let parts = out
            .iter()
            .map(|(because, many)| format!("{many} {because}"));
        let parts: Vec<String> = parts.collect();
        lines.push(format!("Put out of use: {}.", parts.join(", ")));
    }
    if let Some([low, usual, high]) = lot.strength {
        lines.push(if low < high {
            format!(
                "About {usual:.0} % strong ({low:.0} to {high:.0}): opened powder loses 10 to 20 % a year (from memory)."
            )
        } else {
            "Not opened yet, as far as the book knows.".to_owned()
        });
    } else if is_powder(supply.substance) {
        lines.push("Open for more than two years: nothing is known of its strength.".to_owned());
    }
    let needs: Vec<String> = supply
        .needs
        .iter()
        .map(|it| {
            let how_much = it.amount.map_or("some".to_owned(), telling::dose);
            format!("{how_much} for {}", it.for_what(cellar))
        })
        .collect();
    if !needs.is_empty() {
        lines.push(format!("Ahead: {}.", needs.join("; ")));
    }
    if Closure::from_word(supply.substance).is_some_and(Closure::is_driven) {
        lines.push(
            "Kept dry and closed; a bag once opened dries them out (common practice).".to_owned(),
        );
    }
    lines
}

/// `Counted 26 Nov 2026: 20 g less than the book had, spilled.`
fn counted(lot: &Lot, cellar: &Snapshot) -> Option<String> {
    let stock = cellar.stock(lot.thing.key)?;
    let day = cellar.now.at(stock.counted_ms?).day_words();
    let than = match stock.unexpected_dose() {
        Some(less) if less.amount() < 0 => {
            format!(": {} less than the book had", telling::dose(less.times(-1)))
        }
        Some(more) if more.amount() > 0 => {
            format!(": {} more than the book had", telling::dose(more))
        }
        Some(_) => ", as the book had it".to_owned(),
        None => String::new(),
    };
    let because = match lot.thing.text(field::COUNTED_BECAUSE) {
        "" => String::new(),
        why => format!(", {why}"),
    };
    Some(format!("Counted {day}{than}{because}."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(remains: f64, planned: f64, expected: &str) {
        let row = Row {
            lot: Key(1),
            name: String::new(),
            left: String::new(),
            ahead: String::new(),
            lasts: String::new(),
            lasts_short: String::new(),
            rank: None,
            about: Vec::new(),
            remains,
            planned,
        };
        assert_eq!(row.bar(10), expected);
    }

    #[test]
    fn a_bar_shows_what_remains_what_is_planned_and_what_is_gone() {
        check(1.0, 0.0, "██████████");
        check(0.5, 0.2, "█████▒▒···");
        check(0.7, 0.001, "███████▒··");
        check(0.0, 1.0, "▒▒▒▒▒▒▒▒▒▒");
        check(0.0, 0.0, "··········");
        check(0.96, 0.04, "██████████");
    }
}
